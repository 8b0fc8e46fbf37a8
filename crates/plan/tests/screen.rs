//! What a screen asks of a plan, checked by another road: the room by trying places, a place tried larger by
//! planning it larger, a section by its own length.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::winding::contains;
use geom::{Point, Ring};
use plan::job::Attachments;
use plan::{Plan, run};
use serde_json::Value;

const JOB: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");
const SECTION: &[u8] = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");

fn planned(text: &str) -> Plan {
    let mut files = Attachments::default();
    files.files.insert("naca-4412.dat".to_owned(), SECTION.to_vec());
    run(&plan::job::read(text).unwrap(), &files).unwrap()
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

fn points(list: &Value) -> Vec<[f64; 2]> {
    serde_json::from_value(list.clone()).unwrap()
}

#[test]
fn a_place_is_in_the_room_exactly_if_every_wall_is_kept_there() {
    let plan = planned(JOB);
    let room = plan.room("reg-upper").unwrap();
    let rings: Vec<Ring> = room["rings_flat_mm"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| Ring::from_points(points(r).into_iter().map(point)))
        .collect();
    assert!(!rings.is_empty());
    let (mut inside, mut outside) = (0, 0);
    for i in -30..=30 {
        for k in -20..=20 {
            let at = [2032.0 + 3.1 * f64::from(i), -711.2 + 2.9 * f64::from(k)];
            let tried = plan.tried("reg-upper", at, None).unwrap();
            let beyond = tried["beyond_mm"].as_f64().unwrap();
            let clear = tried["clearance_mm"].as_f64().unwrap();
            // Within the drawing's own error of the edge it may be either.
            if clear.abs() < 0.1 || (0.0 < beyond && beyond < 0.1) {
                continue;
            }
            let kept = clear > 0.0 && beyond <= 0.0;
            assert_eq!(contains(&rings, point(at)), kept, "at {at:?}: clear {clear}, beyond {beyond}");
            *(if kept { &mut inside } else { &mut outside }) += 1;
        }
    }
    assert!(inside > 100 && outside > 100, "{inside} inside, {outside} outside");
}

#[test]
fn a_height_tried_lies_as_the_height_planned() {
    let tried = planned(JOB).tried("reg-upper", [2032.0, -711.2], Some(31.5 * 25.4)).unwrap();
    let plan = planned(&JOB.replace("height = 30", "height = 31.5"));
    let mark = &plan.marks[0];
    assert!(mark.centre.distance(Point::new(2032.0, -711.2)) < 0.001);
    for (fit, said) in mark.fit.features.iter().zip(tried["features"].as_array().unwrap()) {
        assert_eq!(said["id"], fit.id.as_str());
        let by = said["clearance_mm"].as_f64().unwrap() - fit.clearance;
        // Both are rounded to 0.001 mm where they leave.
        assert!(by.abs() < 0.002, "{}: {said} against {}", fit.id, fit.clearance);
    }
}

#[test]
fn a_section_is_as_long_as_its_girth_and_paint_lies_where_the_letters_do() {
    let plan = planned(JOB);
    // Station 12.5 in runs through the first stroke of the N, 5 in wide, 30 in high, its middle at t = 28 in.
    let cut = plan.section("upper-right", 12.5 * 25.4).unwrap();
    let face = points(&cut["face_mm"]);
    let length: f64 = face.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum();
    let girth = cut["girth_mm"].as_f64().unwrap();
    // Chords are shorter than the arc: at 96 steps by less than a thousandth, most of it at the nose.
    assert!(length <= girth + 0.001 && girth - length < girth / 1000.0, "{length} of {girth}");
    let paint = cut["paint"].as_array().unwrap();
    assert_eq!(paint.len(), 1, "{paint:?}");
    let t: [f64; 2] = serde_json::from_value(paint[0]["t_mm"].clone()).unwrap();
    for (has, wants) in t.into_iter().zip([13.0 * 25.4, 43.0 * 25.4]) {
        // Rounded to 0.001 mm where it leaves.
        assert!((has - wants).abs() <= 0.002, "{has} against {wants}");
    }
    assert!(plan.section("nothing", 0.0).is_none());
    assert!(plan.section("upper-right", f64::NAN).is_none());
}

#[test]
fn a_surface_in_space_is_as_long_and_deep_as_the_wing() {
    let space = planned(JOB).space("upper-right").unwrap();
    let strips: Vec<Vec<[f64; 3]>> = serde_json::from_value(space["strips_mm"].clone()).unwrap();
    let all: Vec<[f64; 3]> = strips.concat();
    let most = |k: usize| all.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
    let least = |k: usize| all.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
    assert!((most(1) - least(1) - 168.0 * 25.4).abs() < 0.01, "span");
    // NACA 4412: the nose of the upper face turns back by less than a hundredth of the chord.
    let deep = most(0) - least(0);
    assert!((deep - 60.0 * 25.4).abs() < 60.0 * 25.4 / 100.0, "chord {deep}");
}
