//! The full example: every key taken, every value where it belongs, the same job in every spelling.

use super::{LEAST, SPELLINGS, Spelling, every_key};
use crate::job::checked::TAKEN;
use crate::job::keys::top::JOB;
use crate::job::*;
use std::collections::BTreeSet;

fn job(text: &str) -> Job {
    read(text).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() <= 1e-9, "wanted {wanted}, got {got}");
}

#[test]
fn every_listed_key_is_read_and_every_key_of_the_lists_is_in_the_example() {
    TAKEN.with_borrow_mut(BTreeSet::clear);
    let text = every_key(Spelling::BareInches);
    job(&text);
    let taken = TAKEN.with_borrow(Clone::clone);
    for table in JOB.all() {
        for key in table.keys {
            assert!(
                taken.contains(&(table.written, key.name)),
                "`{}` of {} is never read",
                key.name,
                table.written
            );
            assert!(
                text.contains(&format!("{} =", key.name)) || text.contains(&format!("{}]", key.name)),
                "{}",
                key.name
            );
        }
    }
}

#[test]
#[should_panic(expected = "is not a key of")]
fn a_key_that_is_not_listed_panics_when_it_is_read() {
    let (tree, _) = tree::grow("title = 'x'");
    let mut checker =
        check::Checker { text: "title = 'x'", units: Unit::In, problems: Vec::new(), absences: Vec::new() };
    checker.table(&tree, &JOB, "the job").get("subtitle");
}

/// The text of a job with its numbers taken out: the numbers apart, and without the places in the file.
fn numbers_apart(job: &Job) -> (String, Vec<f64>) {
    let printed = format!("{job:?}");
    let (mut words, mut numbers) = (String::new(), Vec::new());
    for piece in printed.split_inclusive([' ', ',', '(', ')', '[', ']', '{', '}']) {
        let (token, end) = piece.split_at(piece.len() - 1);
        match token.parse::<f64>() {
            Ok(number) => numbers.push(number),
            // A span is printed as 12..34.
            Err(_) if token.contains("..") => {}
            Err(_) => words.push_str(token),
        }
        words.push_str(end);
    }
    (words, numbers)
}

/// P3, for the reader: every spelling of a length gives the same job.
#[test]
fn p3_the_spelling_of_lengths_does_not_matter() {
    let mut first = job(&every_key(Spelling::BareInches));
    first.units = Unit::Mm;
    let (wanted_words, wanted) = numbers_apart(&first);
    assert!(wanted.len() > 150, "only {} numbers are compared", wanted.len());
    for spelling in SPELLINGS {
        let mut other = job(&every_key(spelling));
        other.units = Unit::Mm;
        let (words, numbers) = numbers_apart(&other);
        assert_eq!(words, wanted_words, "{spelling:?}");
        for (got, wanted) in numbers.iter().zip(&wanted) {
            assert!((got - wanted).abs() <= 1e-9, "{spelling:?}: wanted {wanted}, got {got}");
        }
        assert_eq!(numbers.len(), wanted.len());
    }
}

/// Expected values worked out by hand from the example: inches times 25.4.
#[test]
fn values_of_the_full_example_are_where_they_belong() {
    let job = job(&every_key(Spelling::Fractions));
    assert_eq!(job.title, "Every key, Überführung 試験");
    near(job.rule_tolerance, 1.5875);
    near(job.survey_error, 0.79375);
    assert_eq!(job.alike, [["upper", "lower"]]);
    assert_eq!(job.craft.category, Some(Category::FixedWing));
    assert_eq!(
        (job.craft.built, job.craft.adiz, job.craft.special),
        (Some(1958), Some(false), Some(Special::None))
    );
    let cream = &job.grounds[0];
    assert_eq!((cream.tone, cream.finish), (Tone::Colour([0xef, 0xe6, 0xcf]), Finish::ClearCoated));
    assert_eq!(cream.shot, Some(DateTime { date: [2026, 6, 4], minute: 900 }));
    near(cream.dry_to_tape.unwrap().at_c.unwrap(), 190.0 / 9.0);
    assert_eq!(cream.scuff_after, Some(2880.0));
    assert_eq!(job.grounds[1].tone, Tone::Reflectance(0.55));

    let SurfaceShape::Wing(wing) = &job.surfaces[0].shape.value else { panic!() };
    assert!(wing.right && wing.upper && wing.t_from_trailing);
    near(wing.span, 4267.2);
    near(wing.chord[0], 1543.05);
    near(wing.chord[1], 1524.0);
    near(wing.sweep, -88.9);
    let girth = wing.girth.clone().unwrap().value;
    near(girth[0], 1565.275);
    near(girth[1], 1565.275);
    assert_eq!(wing.section[0].value, SectionName::Naca("2412".to_owned()));
    assert_eq!(wing.section[1].value, SectionName::File("sections/tip.dat".to_owned()));
    assert_eq!(job.surfaces[0].ribs, Some(Ribs { at: RibStations::Every(304.8), tape: 50.8 }));
    assert!(job.surfaces[0].parts[0].control && job.surfaces[0].parts[0].balanced);
    let [ring, walk, row] = &job.surfaces[0].features[..] else { panic!() };
    assert!(matches!(ring.shape, FeatureShape::Disc { diameter, .. } if (diameter - 114.3).abs() < 1e-9));
    assert!(ring.removable && ring.cross == Cross::Square);
    assert!(matches!(&walk.shape, FeatureShape::Area { corners } if corners.len() == 4));
    near(walk.clearance, 6.35);
    assert!(matches!(row.shape, FeatureShape::Path { width, .. } if (width - 4.7625).abs() < 1e-9));
    near(row.rivets.pitch.unwrap(), 25.4);
    near(row.rivets.head.unwrap(), 3.96875);

    let SurfaceShape::Body { waterline, stations } = &job.surfaces[2].shape.value else { panic!() };
    near(*waterline, -12.7);
    assert!(
        matches!(stations[2].outline, StationOutline::Superellipse { power, .. } if (power - 2.0).abs() < 1e-9)
    );
    assert!(matches!(&stations[1].outline, StationOutline::Points(points) if points.len() == 5));

    let [upper, lower, scanned] = &job.marks[..] else { panic!() };
    assert_eq!(upper.text.value, "ZZ 9qX");
    assert!(upper.along_span && upper.legal && !lower.legal);
    assert_eq!(upper.tops.as_ref().unwrap().value, Tops::TrailingEdge);
    near(upper.outline.as_ref().unwrap().value.0, 12.7);
    assert_eq!((lower.height.value, lower.place.value.clone()), (Height::Largest, Place::Roomiest));
    assert_eq!(lower.letters.value, Letters::Font("fonts/own.ttf".to_owned()));
    assert_eq!(lower.shadow.as_ref().unwrap().value.1, "gold");
    assert_eq!(scanned.height.value, Height::Legal);
    let Place::OnMesh { at, toward } = scanned.place.value else { panic!() };
    // Bare numbers are in the scan's own unit.
    for (got, wanted) in at.iter().zip([1.0, 2.5, -300.0]) {
        near(*got, wanted);
    }
    near(toward[0], 25.4);
    near(toward[1], 100.0);

    assert_eq!(job.stripes[0].ends, [StripeEnd::Square, StripeEnd::Swallowtail]);
    assert_eq!(job.stripes[0].width.len(), 3);
    let masking = job.masking.as_ref().unwrap();
    assert!(!masking.tape);
    near(masking.edge_tapes[0].real, 12.50156250);
    near(masking.edge_tapes[1].real, 3.175);
    near(masking.edge_tapes[1].strain, 0.05);
    near(masking.edge_dwell, 1200.0);
    let blue = &job.paints[0];
    assert_eq!(blue.coats[1].after, Some(75.0));
    assert_eq!((blue.coats[0].flash, blue.coats[1].count), (Some([5.0, 10.0]), 1));
    assert_eq!(blue.dry_to_tape, Some(TimeAt { minutes: 720.0, at_c: None }));
    near(job.gun.unwrap().speed, 381.0);
    let shop = job.shop.as_ref().unwrap();
    assert_eq!((shop.hands, shop.opens, shop.closes, shop.date), (2, 450, 1005, Some([2026, 6, 6])));
    assert_eq!(job.conditions.unwrap().forecast.len(), 1);
}

#[test]
fn an_absent_key_is_what_the_reference_page_says() {
    let job = job(LEAST);
    assert_eq!(job.units, Unit::In);
    near(job.rule_tolerance, 1.5875);
    near(job.survey_error, 1.5875);
    let seam = &job.surfaces[0].features[0];
    assert!(matches!(seam.shape, FeatureShape::Path { width, .. } if (width - 1.0).abs() < 1e-9));
    near(seam.clearance, 6.35);
    assert_eq!((seam.cross, seam.removable), (Cross::Never, false));
    let mark = &job.marks[0];
    assert!(matches!(mark.height.value, Height::Given(mm) if (mm - 469.9).abs() < 1e-9));
    assert_eq!((mark.letters.value.clone(), mark.place.value.clone()), (Letters::Square, Place::Nearest));
    assert!(mark.legal && !mark.along_span && mark.tops.is_none() && mark.place.span == (0..0));
    let masking = job.masking.unwrap();
    near(masking.gap, 9.525);
    near(masking.overlap, 3.175);
    near(masking.longest_piece, 1524.0);
    near(masking.tab, 12.7);
    assert!(masking.tape && masking.edge_tapes.is_empty());
    near(job.gun.unwrap().fan, 203.2);
    assert_eq!(job.conditions.unwrap().air_c, None);
    let shop = job.shop.unwrap();
    assert_eq!((shop.hands, shop.opens, shop.closes, shop.date), (1, 480, 1080, None));
}

#[test]
fn the_files_a_job_names_come_with_their_places() {
    let text = every_key(Spelling::BareInches);
    let files = files_named(&job(&text));
    let named: Vec<&str> = files.iter().map(|file| file.value.as_str()).collect();
    assert_eq!(named, ["packs/own.toml", "sections/tip.dat", "scans/fairing.STL", "fonts/own.ttf"]);
    for file in &files {
        assert!(text[file.span.clone()].contains(&file.value), "{file:?}");
    }
    assert!(!names_a_file("us-14cfr45"));
    assert!(names_a_file("own.toml"));
}

/// The schema and the examples as files, for `tests/outside/schema.py`, which validates them with a reader that is
/// not ours: `SCHEMA_DIR=dir cargo test -p plan schema_for_outside`.
#[test]
fn schema_for_outside_readers_is_written_where_asked() {
    let Some(dir) = std::env::var_os("SCHEMA_DIR").map(std::path::PathBuf::from) else { return };
    let good = dir.join("good");
    std::fs::create_dir_all(&good).unwrap();
    std::fs::write(dir.join("schema.json"), serde_json::to_string_pretty(&schema()).unwrap()).unwrap();
    for spelling in SPELLINGS {
        std::fs::write(good.join(format!("every-key-{spelling:?}.toml")), every_key(spelling)).unwrap();
    }
    std::fs::write(good.join("least.toml"), LEAST).unwrap();
    for kind in TemplateKind::ALL {
        std::fs::write(good.join(format!("template-{}.toml", kind.name())), template(kind)).unwrap();
    }
    super::refusals::write_bad(&dir.join("bad"));
}
