//! The other packs against worked examples: lengths are hand-worked sums of the clauses' ratios (Annex 7 and
//! the German rule: width 2/3, gap 1/4 of it, I as one stroke; convention of 1919: 4/5 of the chord, gap 1/2).

use super::*;
use crate::finding::Basis;
use crate::rules::{Ask, check_job, check_mark};
use geom::tolerance::NOISE_MM;

fn length(id: &str, text: &str, height: f64) -> f64 {
    let lettering = pack(id).lettering();
    lettering.length(text, height, 2.0 / 3.0).unwrap()
}

fn least_mm(id: &str, craft: &Craft, place: Option<&str>, size: SkinSize) -> (Option<f64>, usize) {
    let least = pack(id).least_height(Ask { craft, location: place, this_year: YEAR }, size);
    (least.height.map(|figure| figure.value), least.findings.len())
}

fn near(found: Option<f64>, wanted: f64) {
    assert!(
        found.is_some_and(|found| (found - wanted).abs() < NOISE_MM),
        "wanted {wanted} mm, got {found:?}"
    );
}

#[test]
fn lengths_in_cm_are_the_hand_worked_ones() {
    for id in ["icao-annex7", "de-luftvzo"] {
        for (text, height, expected) in [
            ("D-EXYZ", 50.0, 241.7),
            ("D-EXYZ", 30.0, 145.0),
            ("D-EIIK", 50.0, 191.7),
            ("D-EIIK", 30.0, 115.0),
        ] {
            let found = length(id, text, height);
            assert!((found - expected).abs() < 0.05, "{id} {text}: wanted {expected} cm, got {found} cm");
        }
    }
    assert!((length("convention-1919", "GABCD", 120.0) - 560.0).abs() < 0.05);
    assert!((length("us-wing-1930s", "NC482K", 30.0) - 145.0).abs() < 0.05);
    assert!((length("us-wing-1930s", "NC482K", 28.8) - 139.2).abs() < 0.05);
}

#[test]
fn a_height_that_is_a_share_of_the_chord_follows_the_chord_up_to_its_cap() {
    let plane = craft(Category::FixedWing);
    let chord = |mm: f64| SkinSize { chord_mm: Some(mm), ..SkinSize::default() };
    let wing = Some("wing-upper-right");
    near(least_mm("us-wing-1930s", &plane, wing, chord(60.0 * INCH)).0, 30.0 * INCH);
    near(least_mm("us-wing-1930s", &plane, wing, chord(36.0 * INCH)).0, 28.8 * INCH);
    near(least_mm("convention-1919", &plane, Some("wing-lower"), chord(1500.0)).0, 1200.0);
    let (unknown, cautions) = least_mm("us-wing-1930s", &plane, wing, SkinSize::default());
    near(unknown, 30.0 * INCH);
    assert_eq!(cautions, 1);
    assert_eq!(least_mm("convention-1919", &plane, Some("wing-lower"), SkinSize::default()), (None, 1));
}

#[test]
fn an_exact_height_binds_both_ways_within_the_shops_tolerance() {
    let convention = pack("convention-1919");
    for (off, expected) in
        [(0.0, Severity::Pass), (SHOP_MM, Severity::Pass), (1.7, Severity::Fail), (-1.7, Severity::Fail)]
    {
        let mut mark = laid(&convention, "GABCD", 1200.0 + off, 1.0);
        mark.location = Some("wing-lower".to_owned());
        mark.skin.chord_mm = Some(1500.0);
        let findings = check_mark(&convention, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "height"), Some(expected), "{off} mm off");
    }
}

#[test]
fn heights_follow_the_place_and_a_missing_place_costs_the_most() {
    let plane = craft(Category::FixedWing);
    for id in ["icao-annex7", "de-luftvzo"] {
        near(least_mm(id, &plane, Some("wing-lower-left"), SkinSize::default()).0, 500.0);
        near(least_mm(id, &plane, Some("fuselage-left"), SkinSize::default()).0, 300.0);
        let (height, cautions) = least_mm(id, &plane, None, SkinSize::default());
        near(height, 500.0);
        assert_eq!(cautions, 1, "{id}");
    }
}

#[test]
fn the_lesser_of_two_heights_holds_on_a_belly() {
    let rotorcraft = craft(Category::Rotorcraft);
    for (across, expected) in [(500.0, 400.0), (625.0, 500.0), (1500.0, 500.0)] {
        let size = SkinSize { across_mm: Some(across), ..SkinSize::default() };
        near(least_mm("ca-222", &rotorcraft, Some("belly"), size).0, expected);
    }
}

#[test]
fn side_marks_of_light_aircraft_may_be_smaller_and_of_shallow_ones_smaller_still() {
    let light = craft(Category::FixedWing);
    let heavy = Craft { mass_kg: Some(5701.0), ..light.clone() };
    near(least_mm("ch-748", &light, Some("tail-left"), SkinSize::default()).0, 200.0);
    near(least_mm("ch-748", &heavy, Some("tail-left"), SkinSize::default()).0, 300.0);
    let swiss = pack("ch-748");
    for (height, expected) in [(179.0, Severity::Fail), (180.0, Severity::Caution), (200.0, Severity::Pass)] {
        let mut mark = laid(&swiss, "HB-ABC", height, 1.0);
        mark.location = Some("fuselage-left".to_owned());
        mark.skin.depth_mm = Some(300.0);
        let findings = check_mark(&swiss, &light, YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "height"), Some(expected), "{height} mm");
    }
}

#[test]
fn what_is_wanted_and_not_demanded_is_a_caution() {
    let german = pack("de-luftvzo");
    let mut mark = laid(&german, "D-EXYZ", 300.0, 1.0);
    mark.location = Some("fuselage-left".to_owned());
    let light = craft(Category::FixedWing);
    let right = check_mark(&german, &light, YEAR, &mark, SHOP_MM);
    assert!(right.iter().all(|finding| finding.severity == Severity::Pass), "{right:#?}");
    assert_eq!(right.iter().find(|finding| finding.code == "height").unwrap().basis, Basis::Read);
    mark.characters[2].width_mm += 10.0;
    mark.gaps_mm[1] += 10.0;
    let wrong = check_mark(&german, &light, YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&wrong, "width"), Some(Severity::Caution));
    assert_eq!(worst(&wrong, "gap"), Some(Severity::Caution));
    mark.characters[1].width_mm -= 10.0;
    let short = check_mark(&german, &light, YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&short, "hyphen-length"), Some(Severity::Fail), "the hyphen's length is demanded");
}

#[test]
fn a_hyphen_that_is_missing_is_said_to_be_missing() {
    let german = pack("de-luftvzo");
    let mark = laid(&german, "DEXYZ", 500.0, 1.0);
    let findings = check_mark(&german, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&findings, "hyphen"), Some(Severity::Fail));
    assert!(message(&findings, "hyphen").contains("only a hyphen may stand there"));
}

#[test]
fn slant_is_held_against_each_packs_own_limit() {
    for (id, text, most) in
        [("de-luftvzo", "D-EXYZ", 15.0), ("ch-748", "HB-ABC", 30.0), ("us-boat-33cfr173", "ST 123 AB", 0.0)]
    {
        let pack = pack(id);
        for (slant, expected) in
            [(most, Severity::Pass), (-most, Severity::Pass), (most + 0.01, Severity::Fail)]
        {
            let mut mark = laid(&pack, text, 500.0, 1.0);
            mark.slant_deg = slant;
            let findings = check_mark(&pack, &Craft::default(), YEAR, &mark, SHOP_MM);
            assert_eq!(worst(&findings, "slant"), Some(expected), "{id} at {slant} degrees");
        }
    }
}

#[test]
fn groups_of_a_boats_number_stand_exactly_a_character_apart() {
    let boat = pack("us-boat-33cfr173");
    for (off, expected) in
        [(0.0, Severity::Pass), (1.5, Severity::Pass), (2.0, Severity::Fail), (-2.0, Severity::Fail)]
    {
        let mut mark = laid(&boat, "ST 1111 AB", 80.0, 1.0);
        mark.characters.iter_mut().filter(|c| c.character == '1').for_each(|c| c.width_mm = 12.0);
        mark.group_gaps_mm[1] += off;
        let findings = check_mark(&boat, &craft(Category::Boat), YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "group-gap"), Some(expected), "{off} mm off");
    }
    let close = laid(&boat, "ST1234AB", 80.0, 1.0);
    let findings = check_mark(&boat, &craft(Category::Boat), YEAR, &close, SHOP_MM);
    assert_eq!(worst(&findings, "hyphen"), Some(Severity::Fail));
}

#[test]
fn a_trucks_characters_are_held_against_the_angles_of_reading() {
    // 50 ft = 15240 mm: 0.003 rad is 45.72 mm (1.8 in), one minute of arc 4.433 mm.
    let truck = pack("us-truck-49cfr390");
    let mark = |height: f64, stroke: f64| {
        let mut mark = laid(&truck, "EXAMPLE HAULAGE", height, 1.0);
        mark.characters.iter_mut().for_each(|c| c.stroke.as_mut().unwrap().median_mm = stroke);
        check_mark(&truck, &craft(Category::Truck), YEAR, &mark, SHOP_MM)
    };
    for (height, stroke, expected) in
        [(45.73, 4.44, Severity::Pass), (45.71, 4.44, Severity::Caution), (45.73, 4.43, Severity::Caution)]
    {
        let findings = mark(height, stroke);
        assert_eq!(worst(&findings, "legible-size"), Some(expected), "{height} mm, stroke {stroke} mm");
        let finding = findings.iter().find(|f| f.code == "legible-size").unwrap();
        assert!(finding.message.contains("not by the rule") && finding.cite.contains("Human Factors"));
    }
}

#[test]
fn a_truck_is_asked_how_far_it_reads_and_not_how_large_it_is() {
    let truck = pack("us-truck-49cfr390");
    let mark = laid(&truck, "EXAMPLE HAULAGE", 20.0, 1.0);
    let findings = check_mark(&truck, &craft(Category::Truck), YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&findings, "height"), None);
    let job = check_job(&truck, &craft(Category::Truck), YEAR, &[mark], SHOP_MM);
    assert!(message(&job, "legible-from").contains("50 ft (15.24 m)"), "50 ft are 15.24 m");
}

#[test]
fn the_custom_of_the_1930s_is_labelled_in_every_finding() {
    let custom = pack("us-wing-1930s");
    let mark = laid(&custom, "NC482K", 30.0 * INCH, 1.0);
    for finding in check_mark(&custom, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM) {
        assert!(finding.message.contains("unverified practice"), "{finding:?}");
    }
}

/// Width, stroke and gap that a pack asks at a height, in the unit of the height.
fn parts(id: &str, height: f64) -> [f64; 3] {
    let lettering = pack(id).lettering();
    let width = lettering.width_ratio.as_ref().unwrap().value * height;
    [
        width,
        lettering.stroke_ratio.as_ref().unwrap().value * height,
        lettering.gap_ratio.as_ref().unwrap().value * width,
    ]
}

#[test]
fn widths_strokes_and_gaps_are_the_hand_worked_ones() {
    for (id, height, wanted) in [
        ("icao-annex7", 50.0, [33.33, 8.33, 8.33]),
        ("de-luftvzo", 50.0, [33.33, 8.33, 8.33]),
        ("convention-1919", 120.0, [80.0, 20.0, 40.0]),
        ("us-wing-1930s", 30.0, [20.0, 5.0, 5.0]),
        ("us-wing-1930s", 28.8, [19.2, 4.8, 4.8]),
    ] {
        for (found, wanted) in parts(id, height).into_iter().zip(wanted) {
            assert!((found - wanted).abs() < 0.01, "{id} at {height}: wanted {wanted}, got {found}");
        }
    }
}

#[test]
fn a_gap_of_half_a_width_gives_the_longer_marks_of_the_convention() {
    let mut custom = pack("us-wing-1930s");
    custom.gap.as_mut().unwrap().value = 0.5;
    for (height, wanted) in [(30.0, 170.0), (28.8, 163.2)] {
        let found = custom.lettering().length("NC482K", height, 2.0 / 3.0).unwrap();
        assert!((found - wanted).abs() < 0.01, "{height} in high: wanted {wanted} in, got {found} in");
    }
}
