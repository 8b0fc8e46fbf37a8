//! Each ledger of `docs/conformance/` names the checks by the names they have, and no check is left out.

use super::*;
use crate::rules::codes::ALL;
use crate::rules::{MarkShades, Shade, check_contrast, check_job, check_mark};
use std::collections::BTreeSet;

/// The ledger of each pack.
const LEDGERS: &[(&str, &str)] = &[
    ("us-14cfr45", include_str!("../../../../../docs/conformance/us-14cfr45.md")),
    ("icao-annex7", include_str!("../../../../../docs/conformance/icao-annex7.md")),
    ("de-luftvzo", include_str!("../../../../../docs/conformance/de-luftvzo.md")),
    ("ca-222", include_str!("../../../../../docs/conformance/ca-222.md")),
    ("ch-748", include_str!("../../../../../docs/conformance/ch-748.md")),
    ("convention-1919", include_str!("../../../../../docs/conformance/convention-1919.md")),
    ("us-wing-1930s", include_str!("../../../../../docs/conformance/us-wing-1930s.md")),
    ("us-boat-33cfr173", include_str!("../../../../../docs/conformance/us-boat-33cfr173.md")),
    ("us-documented-46cfr67", include_str!("../../../../../docs/conformance/us-documented-46cfr67.md")),
    ("us-truck-49cfr390", include_str!("../../../../../docs/conformance/us-truck-49cfr390.md")),
];

fn named(ledger: &str) -> Vec<&str> {
    ledger.split('`').skip(1).step_by(2).collect()
}

#[test]
fn a_ledger_names_no_check_that_does_not_exist() {
    for (id, ledger) in LEDGERS {
        for code in named(ledger) {
            assert!(ALL.iter().any(|(known, _)| *known == code), "{id} names `{code}`, no check does");
        }
    }
    let packs: Vec<&str> = builtin().iter().map(|(id, _)| *id).collect();
    assert_eq!(packs, LEDGERS.iter().map(|(id, _)| *id).collect::<Vec<_>>(), "a ledger a pack");
}

#[test]
fn the_ways_to_be_wrong_name_checks_that_exist() {
    let ledger = include_str!("../../../../../docs/conformance/failure-modes.md");
    for row in ledger.lines().filter(|line| line.starts_with("| ")).skip(2) {
        for code in named(row.split(" | ").nth(2).unwrap()) {
            assert!(ALL.iter().any(|(known, _)| *known == code), "{row}: no check is called `{code}`");
        }
    }
}

#[test]
fn the_first_ledger_leaves_out_no_check() {
    for (code, what) in ALL {
        assert!(named(LEDGERS[0].1).contains(code), "the ledger leaves out `{code}`: {what}");
    }
}

/// Marks, right and wrong in every way, on every kind of craft, at every place of a pack.
fn everything_said(pack: &Pack) -> BTreeSet<&'static str> {
    use Category::{
        Airship, Balloon, Boat, FixedWing, Glider, PoweredParachute, Rotorcraft, Truck, WeightShift,
    };
    let mut said = BTreeSet::new();
    for reflectance in [None, Some(0.1)] {
        let shade =
            |reflectance| Some(Shade { name: "a".to_owned(), reflectance, estimated: true, metallic: false });
        let mark = MarkShades {
            id: "reg".to_owned(),
            legal: true,
            paint: shade(reflectance),
            over: shade(Some(0.8)),
            outline: None,
            shadow: shade(Some(0.5)),
        };
        said.extend(check_contrast(Some(pack), &mark).iter().map(|f| f.code));
    }
    let texts = [
        "N417RW",
        "NX12",
        "N12",
        "D-EXYZ",
        "DEXYZ",
        "C-FXYZ",
        "D-SOS",
        "HB-QAB",
        "ST 1234 AB",
        "12I4",
        "EXPERIMENTAL",
        "GABCD",
    ];
    let places = pack
        .locations
        .iter()
        .map(|location| Some(location.id.clone()))
        .chain([None, Some("moon".to_owned())]);
    for place in places {
        for category in
            [FixedWing, Glider, Rotorcraft, Airship, Balloon, PoweredParachute, WeightShift, Boat, Truck]
        {
            for (n, text) in texts.iter().enumerate() {
                let height = [600.0, 40.0, 60.0, 310.0][n % 4];
                let mut mark = laid(pack, text, height, 1.0);
                mark.location.clone_from(&place);
                let right = MarkFacts {
                    location: place.as_ref().map(|place| place.replace("-left", "-right")),
                    ..mark.clone()
                };
                if n % 2 == 1 {
                    (mark.slant_deg, mark.outlined, mark.margin_mm, mark.colours) =
                        (20.0, true, Some(20.0), 2);
                    mark.characters[0].width_mm *= 0.5;
                    mark.characters.iter_mut().for_each(|c| c.stroke.as_mut().unwrap().max_mm += 9.0);
                    mark.gaps_mm.iter_mut().for_each(|gap| *gap *= 0.5);
                    (mark.to_leading_edge_mm, mark.to_trailing_edge_mm) = (Some(10.0), Some(90.0));
                }
                let known = Craft { special: Some(Special::AmateurBuilt), ..craft(category) };
                for craft in [Craft { built: Some(1940), ..known }, craft(category), Craft::default()] {
                    let marks = [mark.clone(), right.clone()];
                    let findings =
                        marks.iter().flat_map(|mark| check_mark(pack, &craft, YEAR, mark, SHOP_MM));
                    said.extend(findings.map(|finding| finding.code));
                    said.extend(check_job(pack, &craft, YEAR, &marks, SHOP_MM).iter().map(|f| f.code));
                }
            }
        }
    }
    said
}

#[test]
fn whatever_a_pack_says_is_in_its_ledger() {
    let mut everything = BTreeSet::new();
    for (id, ledger) in LEDGERS {
        let said = everything_said(&pack(id));
        for code in &said {
            assert!(named(ledger).contains(code), "{id} says `{code}`, its ledger does not");
        }
        everything.extend(said);
    }
    for (code, what) in ALL {
        assert!(everything.contains(code), "no pack ever says `{code}`: {what}");
    }
}

#[test]
fn no_check_makes_up_a_name() {
    let sources = [
        include_str!("../check.rs"),
        include_str!("../check_contrast.rs"),
        include_str!("../check_job.rs"),
        include_str!("../check_letters.rs"),
        include_str!("../check_place.rs"),
        include_str!("../check_size.rs"),
        include_str!("../check_text.rs"),
        include_str!("../height.rs"),
        include_str!("../legible.rs"),
    ];
    let all = sources.join("\n");
    for call in all.split("Finding::new(").skip(1) {
        let arguments = call.split(')').next().unwrap();
        assert!(arguments.contains("code"), "a finding without a code from the list: {arguments}");
    }
    let constants = include_str!("../codes.rs");
    for (code, _) in ALL {
        let name = constants.split(&format!(" = \"{code}\"")).next().unwrap().rsplit(' ').next().unwrap();
        assert!(all.contains(&format!("codes::{name}")), "{code} is never said");
    }
}
