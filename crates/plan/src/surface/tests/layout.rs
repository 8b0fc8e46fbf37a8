//! Ribs, features, parts and directions on the sheet, and what is refused.

use super::*;
use crate::finding::Severity;
use std::f64::consts::{FRAC_PI_2, PI};

#[test]
fn ribs_stand_every_so_far_with_the_tip_and_follow_the_skin_within_the_tolerance() {
    let mut wanted = on_wing(wing(false, true, [1500.0, 700.0], 3657.6, 400.0));
    wanted.ribs = Some(Ribs { at: RibStations::Every(304.8), tape: 50.8 });
    let (skin, _) = develop(&wanted, &Attachments::default()).unwrap();
    assert_eq!(skin.ribs.len(), 13);
    let rib = &skin.ribs[6];
    assert!(rib.line.len() > 2 && rib.line.len() < 200, "{} points", rib.line.len());
    let girth = inner(&skin).girth(rib.station);
    let (mut worst, mut chords) = (0.0_f64, 0.0);
    for k in 0..=500 {
        let p = skin.flat_from_skin([rib.station, girth * f64::from(k) / 500.0]);
        worst = worst.max(line_distance(p, &rib.line));
    }
    for w in rib.line.windows(2) {
        chords += w[0].distance(w[1]);
    }
    assert!(worst <= geom::tolerance::FLATTEN_MM, "{worst}");
    assert!((chords - girth).abs() < 0.01);
    // A flat panel has its ribs upright.
    let mut flat = square();
    flat.ribs = Some(Ribs { at: RibStations::At(vec![100.0, 700.0]), tape: 0.0 });
    let (skin, findings) = develop(&flat, &Attachments::default()).unwrap();
    assert_eq!(skin.ribs.len(), 1);
    assert!(findings.iter().any(|f| f.code == "rib-off-surface"));
}

fn line_distance(p: Point, line: &[Point]) -> f64 {
    let to = |w: &[Point]| {
        let v = w[1] - w[0];
        p.distance(w[0] + v * ((p - w[0]).dot(v) / v.hypot2()).clamp(0.0, 1.0))
    };
    line.windows(2).map(to).fold(f64::INFINITY, f64::min)
}

#[test]
fn features_inside_stay_as_they_are_and_those_beyond_the_edge_are_cut_or_left_out() {
    let mut flat = square();
    flat.features = vec![
        feature("in", FeatureShape::Disc { at: [100.0, 100.0], diameter: 114.3 }),
        feature("grazing", FeatureShape::Disc { at: [50.0, 200.0], diameter: 100.8 }),
        feature("half", FeatureShape::Disc { at: [600.0, 200.0], diameter: 100.0 }),
        feature("out", FeatureShape::Disc { at: [700.0, 200.0], diameter: 100.0 }),
        feature(
            "corner",
            FeatureShape::Area {
                corners: vec![[550.0, 350.0], [650.0, 350.0], [650.0, 450.0], [550.0, 450.0]],
            },
        ),
        feature("line", FeatureShape::Path { path: vec![[-50.0, 10.0], [650.0, 10.0]], width: 2.0 }),
        feature("edge", FeatureShape::Path { path: vec![[0.0, 0.0], [600.0, 0.0]], width: 2.0 }),
    ];
    let (skin, findings) = develop(&flat, &Attachments::default()).unwrap();
    let ids: Vec<&str> = skin.features.iter().map(|f| f.id.as_str()).collect();
    assert_eq!(ids, ["in", "grazing", "half", "corner", "line", "edge"]);
    assert!(matches!(skin.features[0].region, Region::Disc { radius, .. } if (radius - 57.15).abs() < 1e-12));
    assert!(matches!(skin.features[1].region, Region::Disc { .. }));
    let area = |i: usize| match &skin.features[i].region {
        Region::Area { rings } => rings.iter().map(Ring::area).sum::<f64>(),
        other => panic!("an area, not {other:?}"),
    };
    // Closed forms: half a disc; a quarter of the square. The disc's polygon lies outside it.
    let half = PI * 50.0 * 50.0 / 2.0;
    assert!(half <= area(2) + 0.01 && area(2) - half < 0.25, "{}", area(2));
    assert!((area(3) - 2500.0).abs() < 1e-6);
    let Region::Band { path, .. } = &skin.features[4].region else { panic!("a band") };
    assert!(path.len() == 2 && path[0].x.abs() < 1e-9 && (path[1].x - 600.0).abs() < 1e-9);
    let codes: Vec<&str> = findings.iter().map(|f| f.code).collect();
    assert_eq!(
        codes,
        ["feature-beyond-edge", "feature-off-surface", "feature-beyond-edge", "feature-beyond-edge"]
    );
    // What must be covered is not lost for a slip of the tape.
    for (kind, severity) in [
        (FeatureKind::Drain, Severity::Fail),
        (FeatureKind::Port, Severity::Fail),
        (FeatureKind::Plate, Severity::Caution),
    ] {
        flat.features = vec![Feature {
            kind,
            ..feature("out", FeatureShape::Disc { at: [700.0, 200.0], diameter: 9.0 })
        }];
        let (_, findings) = develop(&flat, &Attachments::default()).unwrap();
        assert_eq!((findings[0].code, findings[0].severity), ("feature-off-surface", severity));
    }
}

#[test]
fn discs_on_a_cone_are_true_discs_in_space() {
    let mut tapered = on_wing(wing(true, false, [1500.0, 500.0], 3000.0, 400.0));
    tapered.features = vec![feature("ring", FeatureShape::Disc { at: [1500.0, 60.0], diameter: 50.0 })];
    let (skin, _) = develop(&tapered, &Attachments::default()).unwrap();
    let Region::Disc { centre, radius } = skin.features[0].region else { panic!("a disc") };
    assert!(centre.distance(skin.flat_from_skin([1500.0, 60.0])) < 1e-9);
    for k in 0..12 {
        let v = geom::Vec2::from_angle(PI * f64::from(k) / 6.0) * radius;
        let n = 2000;
        let at = |i: i32| skin.space_from_flat(centre + v * (f64::from(i) / f64::from(n))).unwrap();
        let length: f64 = (0..n).map(|i| (at(i + 1) - at(i)).length()).sum();
        assert!((length - 25.0).abs() < 1e-4, "{length}");
    }
}

#[test]
fn parts_are_laid_out_counter_clockwise() {
    let mut whole = on_wing(wing(false, true, [1500.0, 1500.0], 4000.0, 0.0));
    let corners = vec![[2000.0, 1200.0], [4000.0, 1200.0], [4000.0, 1500.0], [2000.0, 1500.0]];
    let hinge = vec![[2000.0, 1200.0], [4000.0, 1200.0]];
    whole.parts = vec![Part {
        id: "aileron".to_owned(),
        corners,
        hinge,
        scan_corners: vec![],
        scan_hinge: vec![],
        span: 0..0,
        control: true,
        balanced: true,
    }];
    let (skin, _) = develop(&whole, &Attachments::default()).unwrap();
    assert!((skin.parts[0].outline.area() - 2000.0 * 300.0).abs() < 1e-6);
    assert!(skin.parts[0].hinge[1].distance(Point::new(-4000.0, -1200.0)) < 1e-9);
}

#[test]
fn baselines_along_the_span_follow_the_span_axis_laid_on_the_skin() {
    // An independent way: the direction in flat whose image in space has the greatest part along the span.
    for (right, upper) in FACES {
        for (chord, sweep) in [([1500.0, 1500.0], 600.0), ([1500.0, 700.0], 300.0), ([700.0, 1500.0], -300.0)]
        {
            let skin = skin(wing(right, upper, chord, 4000.0, sweep));
            for at in [[1000.0, 100.0], [2500.0, 600.0]] {
                let p = skin.flat_from_skin(at);
                let outward = |angle: f64| {
                    let v = geom::Vec2::from_angle(angle) * 0.01;
                    let along = skin.space_from_flat(p + v).unwrap() - skin.space_from_flat(p - v).unwrap();
                    along.y.abs()
                };
                let angle = skin.baseline_angle(p, true);
                let best = outward(angle);
                assert!(
                    angle.abs() < FRAC_PI_2 && best > outward(angle + 0.01) && best > outward(angle - 0.01)
                );
                assert!(skin.baseline_angle(p, false).abs() <= 0.0);
            }
        }
    }
    let plain = skin(wing(true, true, [1500.0, 1500.0], 4000.0, 0.0));
    assert!(plain.baseline_angle(Point::new(500.0, -500.0), true).abs() <= 0.0);
}

#[test]
fn tops_turn_the_mark_as_the_contract_says() {
    let at = Point::new(100.0, -100.0);
    let wing = skin(wing(true, true, [1500.0, 1500.0], 4000.0, 0.0));
    let angle = |skin: &Skin, tops| skin.angle_for(tops, false, at);
    for (tops, want) in [(None, 0.0), (Some(Tops::LeadingEdge), 0.0), (Some(Tops::TrailingEdge), PI)] {
        assert!((angle(&wing, tops).unwrap() - want).abs() < 1e-12);
    }
    assert!(angle(&wing, Some(Tops::Forward)).is_err() && angle(&wing, Some(Tops::Up)).is_err());
    let flat = |side| {
        let mut s = square();
        s.side = side;
        develop(&s, &Attachments::default()).unwrap().0
    };
    let (left, right, none) = (flat(Some(Side::Left)), flat(Some(Side::Right)), flat(None));
    assert!((angle(&left, Some(Tops::Forward)).unwrap() - FRAC_PI_2).abs() < 1e-12);
    assert!((angle(&right, Some(Tops::Forward)).unwrap() + FRAC_PI_2).abs() < 1e-12);
    assert!((angle(&left, Some(Tops::Aft)).unwrap() + FRAC_PI_2).abs() < 1e-12);
    assert!((angle(&right, Some(Tops::Aft)).unwrap() - FRAC_PI_2).abs() < 1e-12);
    assert!(angle(&none, None).unwrap().abs() <= 0.0);
    assert!(angle(&none, Some(Tops::Forward)).is_err() && angle(&left, Some(Tops::LeadingEdge)).is_err());
    assert!(left.angle_for(None, true, at).is_err());
}

#[test]
fn panels_that_cross_themselves_or_enclose_nothing_are_refused_and_either_turn_is_taken() {
    let flat = |corners: &[SkinPair]| surface(SurfaceShape::Flat { corners: corners.to_vec() });
    let bow = flat(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]]);
    assert!(problems(&bow)[0].message.contains("crosses itself") && problems(&bow)[0].span == (7..11));
    assert_eq!(problems(&flat(&[[0.0, 0.0], [10.0, 0.0]])).len(), 1);
    assert_eq!(problems(&flat(&[[0.0, 0.0], [10.0, 0.0], [20.0, 0.0]])).len(), 1);
    assert_eq!(problems(&flat(&[[0.0, f64::NAN], [10.0, 0.0], [20.0, 5.0]])).len(), 1);
    let (skin, _) = develop(&square(), &Attachments::default()).unwrap();
    assert!((skin.outline.area() - 240_000.0).abs() < 1e-9);
}

#[test]
fn wings_that_cannot_be_unrolled_are_refused_with_every_reason_at_once() {
    let mut shape = wing(true, true, [1500.0, 0.0], -1.0, f64::NAN);
    shape.section[0] = At { value: SectionName::Naca("2012".to_owned()), span: 20..30 };
    shape.section[1] = At { value: SectionName::File("tip.dat".to_owned()), span: 40..50 };
    let found = problems(&on_wing(shape.clone()));
    assert_eq!(found.len(), 5, "{found:#?}");
    assert!(found.iter().any(|p| p.span == (40..50)) && found.iter().any(|p| p.span == (20..30)));
    shape = wing(true, true, [1500.0, 14.9], 4000.0, 0.0);
    assert_eq!(problems(&on_wing(shape)).len(), 1);
    let mesh = surface(SurfaceShape::Mesh {
        file: At::assumed("a.stl".to_owned()),
        unit: Unit::Mm,
        smooth: 25.4,
        axes: None,
    });
    assert!(problems(&mesh)[0].message.contains("a.stl") && problems(&mesh)[0].expected.contains("STL"));
    let twice = |s: f64| Station {
        s,
        outline: StationOutline::Superellipse { half_width: 100.0, top: 100.0, bottom: -100.0, power: 2.0 },
    };
    let body = |waterline: f64, stations: Vec<Station>| {
        problems(&surface(SurfaceShape::Body { waterline, stations }))[0].message.clone()
    };
    assert!(body(0.0, vec![twice(5.0), twice(5.0)]).contains("station 2 does not lie beyond"));
    assert!(body(300.0, vec![twice(0.0), twice(900.0)]).contains("waterline at station 0 in"));
    let mut missing = wing(true, true, [1500.0, 1500.0], 4000.0, 0.0);
    missing.section = [0, 1].map(|_| At { value: SectionName::File("none.dat".to_owned()), span: 3..9 });
    assert_eq!(problems(&on_wing(missing)).len(), 1);
}
