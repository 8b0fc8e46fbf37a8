//! Wings that do not unroll, against those that do, against lengths in space and against bounds that no map beats.

use super::*;
use proptest::prelude::*;

/// Every measure of a strain here is of this face: washout and a kink.
fn twisted(washout_deg: f64) -> WingShape {
    WingShape { washout_deg, ..wing(true, true, [1500.0, 750.0], 4500.0, 300.0) }
}

fn kinked() -> WingShape {
    let rib = WingBreak {
        s: 2500.0,
        chord: Some(1500.0),
        sweep: Some(0.0),
        rise: Some(50.0),
        washout_deg: None,
        section: None,
        girth: None,
        span: 0..1,
    };
    WingShape { rise: 350.0, breaks: vec![rib], ..wing(true, true, [1500.0, 900.0], 4500.0, 300.0) }
}

#[test]
fn a_twisted_wing_bends_as_its_places_in_space_do_and_one_that_unrolls_not_at_all() {
    // By differences of places, through both fundamental forms (any textbook of surfaces).
    let skin = skin(twisted(4.0));
    for reading in [[1000.0, 300.0], [2600.0, 500.0], [4000.0, 250.0]] {
        let p = skin.flat_from_skin(reading);
        let h = 10.0;
        let at = |i: f64, j: f64| skin.space_from_flat(p + geom::Vec2::new(i * h, j * h)).unwrap();
        let (x, y) = ((at(1.0, 0.0) - at(-1.0, 0.0)) / (2.0 * h), (at(0.0, 1.0) - at(0.0, -1.0)) / (2.0 * h));
        let n = x.cross(y).normalize();
        let l = (at(1.0, 0.0) + at(-1.0, 0.0) - at(0.0, 0.0) * 2.0).dot(n) / (h * h);
        let m = (at(1.0, 1.0) + at(-1.0, -1.0) - at(1.0, -1.0) - at(-1.0, 1.0)).dot(n) / (4.0 * h * h);
        let k = (at(0.0, 1.0) + at(0.0, -1.0) - at(0.0, 0.0) * 2.0).dot(n) / (h * h);
        let (e, f, g) = (x.dot(x), x.dot(y), y.dot(y));
        let bend = (l * k - m * m) / (e * g - f * f);
        assert!(bend < 0.0 && (skin.gauss(p) / bend - 1.0).abs() < 0.02, "{} {bend}", skin.gauss(p));
    }
    let cone = super::skin(wing(true, true, [1500.0, 900.0], 4500.0, 300.0));
    assert!(cone.gauss(cone.flat_from_skin([1000.0, 300.0])).abs() <= 0.0 && cone.kinks().is_empty());
}

/// Length in space of a straight line of the flat.
fn on_skin(skin: &Skin, a: Point, b: Point) -> f64 {
    let n = 400;
    let at = |k: i32| skin.space_from_flat(a.lerp(b, f64::from(k) / f64::from(n))).unwrap();
    (0..n).map(|k| (at(k + 1) - at(k)).length()).sum()
}

#[test]
fn a_rise_alone_and_a_break_on_the_straight_line_still_unroll() {
    // A panel that only rises is a cylinder or cone as before; a rib on its straight lines changes nothing.
    let cases = [[1500.0, 1500.0], [1500.0, 900.0], [900.0, 1500.0]];
    let cases = cases.into_iter().flat_map(|chord| [0.0, 300.0].map(|sweep| (chord, sweep)));
    for ((chord, sweep), rise) in cases.flat_map(|case| [0.0, 400.0, -250.0].map(|rise| (case, rise))) {
        let plain = WingShape { rise, ..wing(true, true, chord, 4000.0, sweep) };
        let rib = WingBreak {
            s: 1000.0,
            chord: None,
            sweep: None,
            rise: None,
            washout_deg: None,
            section: None,
            girth: None,
            span: 0..1,
        };
        let known = WingShape { breaks: vec![rib], ..plain.clone() };
        let (exact, ruled) = (skin(plain), skin(known));
        assert!(exact.unrolls_exactly() && !ruled.unrolls_exactly() && ruled.unrolls());
        assert!(inner(&exact).strain().is_none());
        let strain = inner(&ruled).strain().unwrap();
        assert!(strain.max < 2e-7, "{chord:?}: {strain:?}");
        for s in [0.0, 700.0, 1000.0, 3900.0] {
            for t in [0.0, 4.0, 100.0, 800.0] {
                let (a, b) = (exact.flat_from_skin([s, t]), ruled.flat_from_skin([s, t]));
                assert!(a.distance(b) < 1e-3, "{chord:?} at {s}, {t}: {a:?} {b:?}");
                for (skin, flat) in [(&exact, a), (&ruled, b)] {
                    let back = skin.skin_from_flat(flat);
                    assert!((back[0] - s).abs() < 1e-6 && (back[1] - t).abs() < 1e-6, "{back:?}");
                }
                let (p, q) = (exact.space_from_flat(a).unwrap(), ruled.space_from_flat(b).unwrap());
                assert!(p.distance(q) < 1e-5, "{p:?} {q:?}");
            }
            let (a, b) = (exact.flat_from_skin([s, 200.0]), exact.flat_from_skin([s, 300.0]));
            let ways = [&exact, &ruled].map(|skin| inner(skin).span_direction(a).atan2());
            assert!((ways[0] - ways[1]).abs() < 1e-4, "{ways:?}");
            let (drawn, long) = (a.distance(b), on_skin(&exact, a, b));
            assert!((long / drawn - 1.0).abs() < 1e-7, "{long} {drawn}");
        }
        let tip = exact.flat_from_skin([4000.0, 0.0]);
        let edge = (4000.0_f64.powi(2) + sweep.powi(2) + rise.powi(2)).sqrt();
        assert!((tip.x - edge).abs() < 1e-9 && tip.y.abs() < 1e-9, "{tip:?} wanted {edge}");
        assert!((inner(&exact).leading_edge() - edge).abs() < 1e-9);
    }
}

#[test]
fn strain_of_a_twisted_wing_is_the_one_measured_elsewhere() {
    // facts of the geometry sheet, A1, mesh `wing`: NACA 2412, chord 60 to 30 in, half span 180 in, 3 degrees of washout, both
    // faces in one: libigl's ARAP reaches 7e-5 at most and 1.3e-5 in the mean. One face alone can only be better.
    let shape = WingShape { washout_deg: 3.0, ..wing(true, true, [1524.0, 762.0], 4572.0, 0.0) };
    let strain = inner(&skin(shape)).strain().unwrap();
    assert!(strain.max < 7e-5 && strain.rms < 1.3e-5 && 1e-7 < strain.rms, "{strain:?}");
    // Without twist the same face is a cone.
    let none = WingShape { washout_deg: 0.0, ..wing(true, true, [1524.0, 762.0], 4572.0, 0.0) };
    assert!(inner(&skin(none)).strain().is_none());
    // Curvature, and with it strain, goes with the square of the twist.
    let [small, large] = [1.0, 4.0].map(|deg| inner(&skin(twisted(deg))).strain().unwrap().rms);
    assert!((large / small / 16.0 - 1.0).abs() < 0.1, "{small} {large}");
}

#[test]
fn lengths_on_the_skin_are_those_of_the_flat_within_the_stated_strain() {
    for shape in [twisted(3.0), twisted(-2.0), kinked()] {
        let skin = skin(shape);
        let wing = inner(&skin);
        let strain = wing.strain().unwrap().max;
        for (a, b) in [([200.0, 100.0], [3000.0, 500.0]), ([2300.0, 60.0], [2700.0, 900.0])] {
            let (a, b) = (skin.flat_from_skin(a), skin.flat_from_skin(b));
            let (flat, space) = (a.distance(b), on_skin(&skin, a, b));
            assert!((space - flat).abs() <= strain * flat + 1e-4 * flat / 400.0, "{flat} {space} {strain}");
        }
        // Along a rib the tape reads t.
        let n = 4000;
        for s in [0.0, 1700.0, 4500.0] {
            let girth = skin.girth_at(s).unwrap();
            let at = |k: i32| {
                skin.space_from_flat(skin.flat_from_skin([s, girth * f64::from(k) / f64::from(n)])).unwrap()
            };
            let length: f64 = (0..n).map(|k| (at(k + 1) - at(k)).length()).sum();
            assert!((length - girth).abs() < 2e-3, "girth at {s}: {girth} {length}");
            assert!((at(n / 2).y - s).abs() < 1e-6);
        }
    }
}

#[test]
fn girth_between_two_sections_is_that_of_the_skin_between_them() {
    let mut shape = wing(true, true, [1500.0, 1000.0], 4000.0, 0.0);
    shape.section = ["4415", "0009"].map(|d| At::assumed(SectionName::Naca(d.to_owned())));
    shape.washout_deg = 5.0;
    let skin = skin(shape);
    let n = 20_000;
    for s in [300.0, 2000.0, 3300.0] {
        for share in [0.1, 0.6, 1.0] {
            let t = skin.girth_at(s).unwrap() * share;
            let at = |k: i32| {
                // Steps by the square, closer at the nose, where a chord loses most.
                let x = f64::from(k) / f64::from(n);
                skin.space_from_flat(skin.flat_from_skin([s, t * x * x])).unwrap()
            };
            let length: f64 = (0..n).map(|k| (at(k + 1) - at(k)).length()).sum();
            assert!((length - t).abs() < 1e-4, "at {s}: {t} {length}");
        }
    }
}

#[test]
fn the_tones_of_a_face_fill_it_and_say_what_lengths_in_space_do() {
    for (right, upper) in FACES {
        for shape in [kinked(), twisted(3.0)] {
            let tip_bow = At::assumed(250.0);
            let skin = skin(WingShape { right, upper, tip_bow, ..shape });
            let wing = inner(&skin);
            let cells = wing.strained();
            let area = |c: &[Point; 4]| Ring::from_points(*c).area().abs();
            let whole: f64 = cells.iter().map(|(c, _)| area(c)).sum();
            assert!((whole / skin.outline.area() - 1.0).abs() < 1e-3, "{whole}");
            for (corners, said) in cells.iter().step_by(97) {
                let p = corners[0].midpoint(corners[2]).midpoint(corners[1].midpoint(corners[3]));
                let at = wing.strain_at(p);
                assert!((at - said).abs() <= 0.02 * said + 1e-8, "{at} {said}");
                // The greatest change of a short length over all directions, by places in space.
                let change = |k: u32| {
                    let d = geom::Vec2::from_angle(f64::from(k) * std::f64::consts::PI / 180.0) * 0.02;
                    let long = (skin.space_from_flat(p + d).unwrap() - skin.space_from_flat(p - d).unwrap())
                        .length();
                    (long / (2.0 * d.hypot()) - 1.0).abs()
                };
                let most = (0..180).map(change).fold(0.0, f64::max);
                // Beside the nose a chord is shorter than its arc by less than a millionth.
                assert!((most - at).abs() <= 0.02 * at + 2e-6, "{most} {at}");
            }
        }
    }
    let cone = skin(wing(true, true, [1500.0, 900.0], 4500.0, 300.0));
    assert!(inner(&cone).strained().is_empty() && inner(&cone).strain_at(Point::new(900.0, -300.0)) <= 0.0);
}

#[test]
fn a_finer_map_is_hardly_better() {
    // No map stretches less than the bound of a disc inside the panel (J. Milnor, A problem in cartography, 1969); and under a
    // mark the figures stay between that and those of the whole face.
    let skin = skin(twisted(3.0));
    let wing = inner(&skin);
    let whole = wing.strain().unwrap();
    let corner = skin.flat_from_skin([1500.0, 700.0]);
    let figures = wing.figures(corner, [geom::Vec2::new(1200.0, 0.0), geom::Vec2::new(0.0, 400.0)]).unwrap();
    assert!(0.0 < figures.bound && figures.bound < figures.max_strain, "{figures:?}");
    assert!(figures.max_strain <= whole.max * 1.01, "{figures:?} {whole:?}");
    assert!(figures.rms_strain <= figures.p99_strain && figures.p99_strain <= figures.max_strain);
    assert!(figures.stroke_error < 1200.0 * figures.max_strain && figures.curvature < 0.0);
}

#[test]
fn a_kink_bends_the_edge_and_the_tip_bow_is_left_out() {
    let shape = WingShape { tip_bow: At::assumed(250.0), ..kinked() };
    let skin = skin(shape);
    let wing = inner(&skin);
    assert_eq!(wing.breaks(), [2500.0]);
    assert!((wing.span() - 4250.0).abs() < 1e-9);
    // The bow is not part of the outline.
    let (inside, beyond) = (skin.flat_from_skin([4200.0, 400.0]), skin.flat_from_skin([4300.0, 400.0]));
    assert!(geom::winding::contains(std::slice::from_ref(&skin.outline), inside));
    assert!(!geom::winding::contains(std::slice::from_ref(&skin.outline), beyond));
    // Inboard the edge runs square to the root rib, outboard it sweeps: 300 over 2000.
    let angle = |s: f64| skin.baseline_angle(skin.flat_from_skin([s, 500.0]), false);
    let bend = angle(1000.0) - angle(4000.0);
    assert!((bend - (300.0_f64 / 2000.0).atan()).abs() < 0.02, "{bend}");
    assert!(skin.outline.area() > 0.0);
}

#[test]
fn each_face_of_a_twisted_wing_is_seen_from_outside() {
    for (right, upper) in FACES {
        let shape = WingShape { washout_deg: 3.0, ..wing(right, upper, [1500.0, 900.0], 4000.0, 300.0) };
        let skin = skin(shape);
        let p = skin.flat_from_skin([2000.0, 600.0]);
        let at = |x: f64, y: f64| skin.space_from_flat(p + geom::Vec2::new(x, y)).unwrap();
        let out = (at(1.0, 0.0) - at(0.0, 0.0)).cross(at(0.0, 1.0) - at(0.0, 0.0));
        assert!((out.z > 0.9) == upper && (out.z < -0.9) != upper, "{right} {upper}: {out:?}");
        // Washout: at the tip the trailing edge stands higher against the leading edge than at the root.
        let rise = |s: f64| {
            let at = |t: f64| skin.space_from_flat(skin.flat_from_skin([s, t])).unwrap();
            let (nose, tail) = (at(0.0), at(skin.girth_at(s).unwrap()));
            (tail.z - nose.z) / (tail - nose).length()
        };
        assert!((rise(4000.0) - rise(0.0) - 3.0_f64.to_radians().sin()).abs() < 2e-3);
    }
}

#[test]
fn a_wing_that_cannot_be_laid_flat_is_told_and_not_a_panic() {
    let mut shape = kinked();
    shape.breaks[0].chord = Some(1.0);
    assert!(problems(&on_wing(shape)).iter().any(|p| p.message.contains("chord of 1 mm")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn there_and_back_on_any_twisted_or_kinked_wing(
        washout in -8.0..8.0_f64, rise in -600.0..600.0_f64, sweep in -1500.0..1500.0_f64,
        root in 800.0..2000.0_f64, tip in 500.0..2000.0_f64,
        at in 0.2..0.8_f64, mid in 700.0..2000.0_f64, s in -0.02..1.02_f64, t in -0.03..1.03_f64,
        face in 0..4_usize,
    ) {
        let (right, upper) = FACES[face];
        let rib = WingBreak {
            s: 4000.0 * at, chord: Some(mid), sweep: None, rise: Some(0.0), washout_deg: Some(0.0),
            section: None, girth: None, span: 0..1,
        };
        let shape = WingShape {
            washout_deg: washout, rise, breaks: vec![rib], ..wing(right, upper, [root, tip], 4000.0, sweep)
        };
        let skin = skin(shape);
        let place = [4000.0 * s, skin.girth_at(4000.0 * s).unwrap() * t];
        let back = skin.skin_from_flat(skin.flat_from_skin(place));
        prop_assert!((back[0] - place[0]).abs() + (back[1] - place[1]).abs() < 1e-5, "{:?} {:?}", place, back);
        let strain = inner(&skin).strain().unwrap();
        prop_assert!(strain.rms <= strain.max && strain.max < 0.2, "{:?}", strain);
    }
}
