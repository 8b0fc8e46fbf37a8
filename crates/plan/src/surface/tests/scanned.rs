//! What lies on a scan: dropped on its skin, joined over it, and carried into a chart.
//!
//! The scan is a tube of facets, which unrolls without stretch: its closed form says where everything lies on the chart.

use super::*;
use crate::surface::chart::Chart;
use geom::{Point, Vec2};
use std::fmt::Write;

const RADIUS: f64 = 300.0;
const STEP: f64 = 0.05;

/// Facets round a tube about the x axis, 600 mm long, from `from` to `to` steps round; 0 faces the left.
fn tube(from: i32, to: i32, hole: impl Fn(usize, i32) -> bool) -> String {
    let (mut text, n) = (String::new(), to - from + 1);
    for i in 0..=40 {
        for j in from..=to {
            let p = on_tube(15.0 * f64::from(i), STEP * f64::from(j));
            let _ = writeln!(text, "v {} {} {}", p[0], p[1], p[2]);
        }
    }
    for i in 0..40_i32 {
        for j in from..to {
            if hole(i as usize, j) {
                continue;
            }
            let at = |i: i32, j: i32| i * n + (j - from) + 1;
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            // Seen from the left, x to the right and z up.
            let _ = writeln!(text, "f {a} {b} {c}\nf {a} {c} {d}");
        }
    }
    text
}

fn on_tube(x: f64, angle: f64) -> [f64; 3] {
    [x, -RADIUS * angle.cos(), RADIUS * angle.sin()]
}

/// Height on the unrolled facets: whole chords, and the share of the last one at its straight distance.
fn up(angle: f64) -> f64 {
    let (whole, chord) = ((angle / STEP).floor(), 2.0 * RADIUS * (STEP / 2.0).sin());
    let rest = angle - whole * STEP - STEP / 2.0;
    // A point of the round tube drops straight in on the facet; measured from the middle of its chord.
    whole * chord + chord / 2.0 + RADIUS * rest.sin()
}

pub(super) fn scan(text: String, features: Vec<Feature>, parts: Vec<Part>) -> (Surface, Attachments) {
    let mut files = Attachments::default();
    files.files.insert("tube.obj".to_owned(), text.into_bytes());
    let file = At { value: "tube.obj".to_owned(), span: 3..9 };
    let shape = SurfaceShape::Mesh { file, unit: Unit::Mm, smooth: 0.0, axes: None };
    (Surface { features, parts, ..surface(shape) }, files)
}

pub(super) fn sheet(skin: &Skin, at: [f64; 3], size: Vec2) -> Skin {
    let SkinShape::Scan(scan) = &skin.shape else { panic!("a scan") };
    let (bearing, _) = scan.bearing(scan.point(at), scan.point([at[0] + 50.0, at[1], at[2]])).unwrap();
    skin.sheet(Chart::on_scan(scan, bearing, size).unwrap())
}

fn disc(id: &str, at: [f64; 3], diameter: f64) -> Feature {
    feature(id, FeatureShape::Scan(ScanShape::Disc { at, diameter }))
}

/// About the middle of the sheet, x along the tube.
fn about(sheet: &Skin, p: Point) -> Vec2 {
    (sheet.chart().unwrap().axes() * p).to_vec2()
}

#[test]
fn discs_paths_and_areas_lie_on_the_chart_as_on_the_unrolled_tube() {
    let corners = [(250.0, 0.12), (330.0, 0.12), (330.0, 0.31), (250.0, 0.31)].map(|(x, a)| on_tube(x, a));
    let features = vec![
        disc("hole", on_tube(360.0, -0.11), 30.0),
        feature("hatch", FeatureShape::Scan(ScanShape::Area { corners: corners.to_vec() })),
        feature(
            "seam",
            FeatureShape::Scan(ScanShape::Path {
                path: vec![on_tube(120.0, -0.33), on_tube(480.0, 0.17)],
                width: 2.0,
            }),
        ),
        disc("far", on_tube(30.0, 0.9), 30.0),
    ];
    let (surface, files) = scan(tube(-28, 28, |_, _| false), features, vec![]);
    let (skin, said) = develop(&surface, &files).unwrap();
    assert!(said.iter().all(|f| f.code != "off-scan"), "{said:?}");
    assert_eq!(skin.features.len(), 4, "all of them in the scan's own view");
    let middle = (300.0, 0.02);
    let sheet = sheet(&skin, on_tube(middle.0, middle.1), Vec2::new(260.0, 220.0));
    let ids: Vec<&str> = sheet.features.iter().map(|f| f.id.as_str()).collect();
    assert_eq!(ids, ["hole", "hatch", "seam"]);
    let wanted = |x: f64, a: f64| Vec2::new(x - middle.0, up(a) - up(middle.1));
    let near = |p: Point, x: f64, a: f64| {
        let (got, want) = (about(&sheet, p), wanted(x, a));
        assert!((got - want).hypot() < 0.01, "{got:?} {want:?}");
    };
    let Region::Disc { centre, radius } = &sheet.features[0].region else { panic!("a disc") };
    near(*centre, 360.0, -0.11);
    assert!((radius - 15.0).abs() < 1e-9);
    let Region::Area { rings } = &sheet.features[1].region else { panic!("an area") };
    // Its sides are straight on the unrolled tube: the area is that of the rectangle.
    let area = 80.0 * (up(0.31) - up(0.12));
    assert!((rings[0].area() - area).abs() < 0.5, "{} {area}", rings[0].area());
    let Region::Band { path, .. } = &sheet.features[2].region else { panic!("a band") };
    let (a, b) = (wanted(120.0, -0.33), wanted(480.0, 0.17));
    let along = (b - a) * (1.0 / (b - a).hypot());
    for p in &path[1..path.len() - 1] {
        let off = along.cross(about(&sheet, *p) - a);
        assert!(off.abs() < 0.02, "{off}");
    }
    assert!(path.len() > 20);
}

#[test]
fn every_point_off_the_scan_is_told_at_its_own_table() {
    let features = vec![
        disc("up", [300.0, -RADIUS - 26.0, 0.0], 30.0),
        feature(
            "beside",
            FeatureShape::Scan(ScanShape::Path {
                path: vec![[300.0, 0.0, 0.0], [300.0, -RADIUS, 0.0]],
                width: 1.0,
            }),
        ),
        disc("near", [300.0, -RADIUS - 4.0, 0.0], 30.0),
    ];
    let (surface, files) = scan(tube(-28, 28, |_, _| false), features, vec![]);
    let problems = develop(&surface, &files).unwrap_err();
    let said: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert_eq!(said[0], "feature `up` of `panel` has a point 1 1/32 in (26 mm) off the scan: [300, -326, 0]");
    assert!(said[1].starts_with("feature `beside` of `panel`"), "{said:?}");
    assert!(problems.iter().all(|p| p.span == (100..120) && !p.expected.is_empty()));

    let (surface, files) = scan(tube(-28, 28, |_, _| false), surface.features[2..].to_vec(), vec![]);
    let (_, said) = develop(&surface, &files).unwrap();
    let told: Vec<&str> = said.iter().filter(|f| f.code == "off-scan").map(|f| f.message.as_str()).collect();
    assert_eq!(told.len(), 1);
    assert!(told[0].contains("off the scan as smoothed"), "{told:?}");
}

#[test]
fn the_middle_of_an_opening_of_the_scan_is_carried_on_from_its_rim() {
    // Two by two facets are missing round (300, 0): an opening 30 mm wide.
    let text = tube(-28, 28, |i, j| (19..21).contains(&i) && (-1..1).contains(&j));
    let (surface, files) = scan(text, vec![disc("hole", on_tube(300.0, 0.0), 32.0)], vec![]);
    let (skin, said) = develop(&surface, &files).unwrap();
    assert!(said.iter().any(|f| f.message.contains("beyond an open rim")), "{said:?}");
    let sheet = sheet(&skin, on_tube(240.0, 0.0), Vec2::new(220.0, 120.0));
    let Region::Disc { centre, .. } = &sheet.features[0].region else { panic!("a disc") };
    let off = about(&sheet, *centre) - Vec2::new(60.0, 0.0);
    assert!(off.hypot() < 0.1, "{off:?}");
}

#[test]
fn a_part_round_the_whole_chart_holds_it_and_one_through_the_skin_does_not() {
    // All round: the right half lies behind the left, seen from either.
    let ring = |x0: f64, x1: f64, a0: f64, a1: f64| {
        vec![on_tube(x0, a0), on_tube(x1, a0), on_tube(x1, a1), on_tube(x0, a1)]
    };
    let part = |id: &str, scan_corners| Part {
        id: id.to_owned(),
        corners: vec![],
        hinge: vec![],
        scan_corners,
        scan_hinge: vec![],
        span: 50..60,
        control: false,
        balanced: false,
    };
    let parts =
        vec![part("cowl", ring(60.0, 540.0, -0.9, 0.9)), part("behind", ring(250.0, 350.0, 2.6, 3.0))];
    let (surface, files) = scan(tube(-63, 62, |_, _| false), vec![], parts);
    let (skin, _) = develop(&surface, &files).unwrap();
    let sheet = sheet(&skin, on_tube(300.0, 0.02), Vec2::new(120.0, 80.0));
    let ids: Vec<&str> = sheet.parts.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(ids, ["cowl"]);
    let corners = sheet.chart().unwrap().border(0.0);
    let cowl = std::slice::from_ref(&sheet.parts[0].outline);
    assert!(corners.vertices.iter().all(|v| geom::winding::contains(cowl, v.p)));
}

#[test]
fn what_lies_on_two_pieces_is_refused() {
    let text = tube(-28, 28, |i, _| i == 20);
    let path = vec![on_tube(200.0, 0.0), on_tube(400.0, 0.0)];
    let seam = feature("seam", FeatureShape::Scan(ScanShape::Path { path, width: 1.0 }));
    let (surface, files) = scan(text, vec![seam], vec![]);
    let problems = develop(&surface, &files).unwrap_err();
    assert!(problems[0].message.contains("do not hang together"), "{problems:?}");
}

#[test]
fn a_place_of_the_drawing_is_the_outermost_of_the_skin_seen_there() {
    // All round, and seen from above, where its facets measure least: each place of the view has a face to the viewer and
    // one away from him.
    let (surface, files) = scan(tube(-40, 86, |_, _| false), vec![], vec![]);
    let skin = develop(&surface, &files).unwrap().0;
    let SkinShape::Scan(scan) = &skin.shape else { panic!("a scan") };
    for (i, j) in [(3, 31), (20, 12), (11, 50)] {
        let corner = scan.point(on_tube(15.0 * f64::from(i), STEP * f64::from(j)));
        assert!(scan.seen_at(scan.flat(corner)).distance(corner) < 1e-6, "{corner:?}");
    }
    // In a facet it lies on the chord, within its rise inside the round tube.
    let within = scan.point(on_tube(100.0, 1.31));
    let seen = scan.seen_at(scan.flat(within));
    let rise = RADIUS * (1.0 - (STEP / 2.0).cos());
    assert!(scan.flat(seen).distance(scan.flat(within)) < 1e-9);
    assert!((0.0..=2.0 * rise).contains(&seen.distance(within)), "{seen:?}");
    // Beside the tube: its rim as seen.
    let beside = scan.flat(scan.point([300.0, -RADIUS - 80.0, 0.0]));
    assert!((scan.seen_at(beside).y + RADIUS).abs() < 1.0, "{:?}", scan.seen_at(beside));
}
