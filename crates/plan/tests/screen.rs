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

const BODY: &str = include_str!("../../../hangar/61-body-sides/job.toml");
const SCAN: &str = include_str!("../../../hangar/62-fairing-scan/job.toml");
const FAIRING: &[u8] = include_bytes!("../../../hangar/62-fairing-scan/fairing.stl");

fn scanned() -> Plan {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), FAIRING.to_vec());
    run(&plan::job::read(SCAN).unwrap(), &files).unwrap()
}

#[test]
fn the_ring_of_a_body_is_its_station_as_measured_and_paint_lies_where_the_letters_do() {
    let plan = planned(BODY);
    // Station 120 in: 18 in to each side, from 20 in below to 21 in above.
    let ring = plan.section("left-side", 120.0 * 25.4).unwrap();
    let face = points(&ring["face_mm"]);
    // From the middle of the bottom to the middle of the top, and no step out of line.
    assert!(face.windows(2).all(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]) < 30.0));
    for p in face {
        // Left of the middle, on the superellipse of power 2.3.
        assert!(p[0] <= 0.001);
        let (y, z) = (-p[0] / 457.2, (p[1] - 12.7) / 520.7);
        // The spline through 96 shares of the ring: within a thousandth of it.
        assert!((y.abs().powf(2.3) + z.abs().powf(2.3) - 1.0).abs() < 0.005, "{p:?}");
    }
    assert!((ring["half_width_mm"].as_f64().unwrap() - 457.2).abs() < 0.5);
    assert!((ring["height_mm"].as_f64().unwrap() - 1041.4).abs() < 0.5);
    assert!(points(&ring["other_face_mm"]).iter().all(|p| -0.001 <= p[0]));
    // Through the first upright of the N, 12 in high, its readings from the mark's own outline in space.
    let mark = &plan.marks[0];
    let s = mark
        .skin(&plan.skins)
        .unwrap()
        .skin_from_flat(mark.glyphs[0].corners[0].lerp(mark.glyphs[0].corners[3], 0.5))[0];
    let ring = plan.section("left-side", s + 25.4).unwrap();
    let paint = ring["paint"].as_array().unwrap();
    assert_eq!(paint.len(), 1, "{paint:?}");
    let t: [f64; 2] = serde_json::from_value(paint[0]["t_mm"].clone()).unwrap();
    assert!((t[1] - t[0] - 304.8).abs() < 0.5, "{t:?}");
    let drawn = points(&paint[0]["points_mm"]);
    let length: f64 = drawn.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum();
    assert!((length - (t[1] - t[0])).abs() < 0.5, "{length}");
}

#[test]
fn marks_of_a_body_are_drawn_where_they_lie_on_it() {
    let plan = planned(BODY);
    for surface in ["left-side", "right-side"] {
        let laid = &plan.under(surface).unwrap()["laid"];
        let mark = plan.marks.iter().find(|m| m.surface == surface).unwrap();
        let rings = laid[&mark.id]["rings_flat_mm"].as_array().unwrap();
        assert_eq!(rings.len(), mark.rings().len());
        let all: Vec<Point> = rings.iter().flat_map(points).map(point).collect();
        // By the letters' own places in space: x aft is the station, and flat x on the left, its negative on the
        // right. To the drawing's own error of 0.2 mm.
        let told: Value = serde_json::from_str(&plan.plan_json()).unwrap();
        let own = told["marks"].as_array().unwrap().iter().find(|m| m["id"] == mark.id.as_str()).unwrap();
        let glyphs = own["glyphs"].as_array().unwrap();
        let rings = glyphs.iter().flat_map(|g| g["rings_xyz_mm"].as_array().unwrap());
        let stations: Vec<f64> = rings
            .flat_map(|r| serde_json::from_value::<Vec<[f64; 3]>>(r.clone()).unwrap())
            .map(|p| p[0])
            .collect();
        let way = if surface == "left-side" { 1.0 } else { -1.0 };
        let drawn: Vec<f64> = all.iter().map(|p| way * p.x).collect();
        let ends = |xs: &[f64]| {
            (
                xs.iter().copied().fold(f64::INFINITY, f64::min),
                xs.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let ((a, b), (c, d)) = (ends(&drawn), ends(&stations));
        assert!((a - c).abs() < 0.25 && (b - d).abs() < 0.25, "{surface}: {a} to {b}, {c} to {d}");
    }
    assert_eq!(planned(JOB).under("upper-right").unwrap()["laid"], serde_json::json!({}));
}

#[test]
fn a_place_tried_on_a_scan_is_a_point_of_the_scan() {
    let plan = scanned();
    let mark = &plan.marks[0];
    let [x, y] = [mark.centre.x, mark.centre.y];
    let there = plan.tried("number", [x, y], None).unwrap();
    let at: [f64; 3] = serde_json::from_value(there["place_mm"]["at"].clone()).unwrap();
    let toward: [f64; 3] = serde_json::from_value(there["place_mm"]["toward"].clone()).unwrap();
    // Where the job puts it, to what smoothing moved, and the baseline pointing the way it says.
    assert!((at[0] - 330.0).hypot(at[1] - 120.0) < 5.0, "{at:?}");
    assert!(toward[0] < at[0] - 20.0 && (toward[1] - at[1]).abs() < 20.0, "{toward:?}");
    // Saved as the job file takes it, the plan has its middle there.
    let text = SCAN.replace(
        "place = { at = [330, 120, 0], toward = [200, 120, 0] }",
        &format!("place = {{ at = {at:?}, toward = {toward:?} }}"),
    );
    assert_ne!(text, SCAN);
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), FAIRING.to_vec());
    let again = run(&plan::job::read(&text).unwrap(), &files).unwrap();
    assert!(again.marks[0].centre.distance(mark.centre) < 0.1, "{:?}", again.marks[0].centre);
    assert!(planned(JOB).tried("reg-upper", [2032.0, -711.2], None).unwrap()["place_mm"].is_null());
}

#[test]
fn a_scan_in_space_has_its_own_extent_and_a_flat_panel_stands_upright() {
    let space = scanned().space("fairing").unwrap();
    let all: Vec<[f64; 3]> = serde_json::from_value(space["points_mm"].clone()).unwrap();
    let triangles: Vec<[usize; 3]> = serde_json::from_value(space["triangles"].clone()).unwrap();
    assert!(triangles.iter().flatten().all(|k| *k < all.len()));
    // The STL's own extent, read by hand: 80 bytes of head, a count, 50 bytes a triangle of which 12 are its normal.
    let figure = |at: usize| f64::from(f32::from_le_bytes(FAIRING[at..at + 4].try_into().unwrap()));
    let n = u32::from_le_bytes(FAIRING[80..84].try_into().unwrap()) as usize;
    for k in 0..3 {
        let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
        for corner in 0..3 * n {
            let v = figure(84 + 50 * (corner / 3) + 12 + 12 * (corner % 3) + 4 * k);
            (lo, hi) = (lo.min(v), hi.max(v));
        }
        let most = all.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
        let least = all.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
        // Smoothing moves a corner by less than the scanner's noise.
        assert!(
            (most - hi).abs() < 2.0 && (least - lo).abs() < 2.0,
            "axis {k}: {least} to {most}, {lo} to {hi}"
        );
    }
    let flat = planned(include_str!("../../../hangar/51-side-stripes/job.toml"));
    let space = flat.space("left-side").unwrap();
    let strips: Vec<Vec<[f64; 3]>> = serde_json::from_value(space["strips_mm"].clone()).unwrap();
    let most = strips.concat().iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
    assert!((most - 264.0 * 25.4).abs() < 0.01, "{most}");
    assert_eq!(space["stripes"].as_array().unwrap().len(), 2);
}

/// Points of the lines a surface has in space under a key.
/// The fairing faces +y, its nose at -x: as the left one of a craft whose up is +z it is looked at from +y.
#[test]
fn a_scan_with_stated_axes_says_which_way_is_up_and_from_where_it_is_seen() {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), FAIRING.to_vec());
    let stated =
        "kind = \"mesh\"\nside = \"left\"\naxes = { up = [0, 0, 2], aft = [-1, 0, 0], datum = [10, 0, 5] }\n";
    let text = SCAN.replace("kind = \"mesh\"\n", stated);
    let plan = run(&plan::job::read(&text).unwrap_or_else(|p| panic!("{p:#?}")), &files).unwrap();
    let space = plan.space("fairing").unwrap();
    assert_eq!(space["axes"]["up"], serde_json::json!([0.0, 0.0, 1.0]));
    assert_eq!(space["axes"]["aft"], serde_json::json!([-1.0, 0.0, 0.0]));
    assert_eq!(space["from"], serde_json::json!([0.0, 1.0, 0.0]));
    let bare = scanned();
    let unsaid = bare.space("fairing").unwrap();
    assert!(unsaid.get("axes").is_none() && unsaid.get("from").is_none());
    // Zero's ring stands on the drawing at the datum, or nowhere.
    let rings = |plan: &Plan| {
        let sheets = plan.layouts(false);
        let items = sheets[0].layers.iter().flat_map(|l| &l.items);
        items
            .filter(|i| matches!(i, sheet::Item::Circle { radius, .. } if (radius - 1.8).abs() < 0.01))
            .count()
    };
    assert_eq!((rings(&plan), rings(&bare)), (1, 0));
}

fn lines(space: &Value, key: &str) -> Vec<Vec<[f64; 3]>> {
    let all = space[key].as_array().unwrap().iter();
    all.map(|l| serde_json::from_value(l["points_mm"].clone()).unwrap()).collect()
}

#[test]
fn what_lies_on_a_scan_is_shown_in_space_where_the_job_puts_it() {
    let space = scanned().space("fairing").unwrap();
    let features = lines(&space, "features");
    // A plate 1 1/2 in across, its middle as the job gives it within what smoothing moves the skin.
    let far = |p: &[f64; 3], q: [f64; 3]| (p[0] - q[0]).hypot(p[1] - q[1]).hypot(p[2] - q[2]);
    assert!(features[0].len() > 20);
    assert!(features[0].iter().all(|p| (far(p, [240.0, 116.6, -25.0]) - 19.05).abs() < 0.6));
    // The seam runs from its first point through its second to its last.
    for q in [[60.0, 68.9, -40.0], [330.0, 106.5, -64.0], [700.0, 50.2, -24.0]] {
        assert!(features[1].iter().map(|p| far(p, q)).fold(f64::INFINITY, f64::min) < 1.0, "{q:?}");
    }
    // The way out: from the fairing's middle plane, y = 0, outwards.
    let out: Vec<[f64; 3]> = serde_json::from_value(space["features"][1]["out"].clone()).unwrap();
    assert!(out.len() == features[1].len() && out.iter().all(|v| v[1] > 0.2), "{out:?}");
}

#[test]
fn a_stripe_of_a_body_is_shown_in_space_at_its_waterline_and_a_door_where_it_is() {
    let plan = planned(include_str!("../../../hangar/64-body-stripes/job.toml"));
    let space = plan.space("left-side").unwrap();
    let rings: Vec<Vec<[f64; 3]>> = serde_json::from_value(space["stripes"][0]["rings_mm"].clone()).unwrap();
    let ring = &rings[0];
    let (least, most) = ring.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), p| (a.min(p[0]), b.max(p[0])));
    assert!((least / 25.4 - 2.0).abs() < 0.2 && (most / 25.4 - 240.0).abs() < 0.2, "{least} to {most}");
    // Through station 90 at 5 1/2 in below the waterline, 4 in wide and rising a little, the left side to the left.
    let near: Vec<&[f64; 3]> = ring.iter().filter(|p| (p[0] / 25.4 - 90.0).abs() < 4.0).collect();
    let (low, high) =
        near.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p[2]), b.max(p[2])));
    assert!(
        (f64::midpoint(low, high) / 25.4 + 5.5).abs() < 0.3 && (high - low) / 25.4 < 4.1,
        "{low} to {high}"
    );
    assert!(near.iter().all(|p| p[1] < -300.0));
    for part in lines(&space, "parts") {
        assert!(part.len() > 10 && part.first() == part.last());
    }
}
