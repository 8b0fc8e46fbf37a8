//! Bodies whose shape is known.

use super::*;
use crate::flatten::flatten;
use crate::surface::grid;

const INCH: f64 = 25.4;

fn round(s: f64, radius: f64) -> Station {
    let ring = Ring::Superellipse { half_width: radius, top: radius, bottom: -radius, power: 2.0 };
    Station { s, ring }
}

#[test]
fn a_tube_of_stations_is_a_tube() {
    let body = Body::through(&[round(0.0, 600.0), round(1000.0, 600.0), round(2500.0, 600.0)], 0.0).unwrap();
    for s in [0.0, 400.0, 1700.0, 2500.0] {
        for v in [0.0, 3.3, 20.5, 47.0, 61.7, 95.9] {
            let jet = body.jet(Vec2::new(s, v));
            assert!((jet.p.y.hypot(jet.p.z) - 600.0).abs() < 1e-3, "{s} {v}: {}", jet.p.y.hypot(jet.p.z));
            assert!(jet.curvature().abs() < 1e-12);
            assert!(0.0 < jet.normal().dot(Point3::new(0.0, jet.p.y, jet.p.z)), "faces out");
        }
    }
    // Girth from the waterline: a quarter turn up is the top.
    let quarter = 600.0 * std::f64::consts::FRAC_PI_2;
    for (side, y) in [(Side::Left, -1.0), (Side::Right, 1.0)] {
        let place = body.place(side, 900.0, 0.5 * quarter).unwrap();
        let p = body.jet(place).p;
        let wanted = Point3::new(900.0, y * 600.0 * 0.5_f64.sqrt(), 600.0 * 0.5_f64.sqrt());
        assert!((p - wanted).length() < 1e-2, "{p} {wanted}");
        let (s, t) = body.measured(side, place).unwrap();
        assert!((s - 900.0).abs() < 1e-9 && (t - 0.5 * quarter).abs() < 1e-6);
        assert!(body.place(side, 900.0, 1.01 * quarter).is_none());
        assert!(body.place(side, 900.0, -0.99 * quarter).is_some());
    }
}

#[test]
fn both_sides_are_mirror_images_and_derivatives_are_those_of_the_shape() {
    let stations = [
        Station {
            s: 0.0,
            ring: Ring::Superellipse { half_width: 406.0, top: 508.0, bottom: -559.0, power: 2.0 },
        },
        Station {
            s: 1524.0,
            ring: Ring::Points(
                [(0.0, 508.0), (356.0, 305.0), (432.0, 0.0), (305.0, -406.0), (0.0, -559.0)]
                    .map(Point::from)
                    .to_vec(),
            ),
        },
        Station {
            s: 3048.0,
            ring: Ring::Superellipse { half_width: 152.0, top: 305.0, bottom: -203.0, power: 2.4 },
        },
    ];
    let body = Body::through(&stations, 0.0).unwrap();
    for (s, v) in [(200.0, 10.3), (1524.0, 30.2), (2500.0, 41.9)] {
        let (right, left) = (body.jet(Vec2::new(s, v)).p, body.jet(Vec2::new(s, 96.0 - v)).p);
        assert!((right.y + left.y).abs() < 1e-9 && (right.z - left.z).abs() < 1e-9);
        let h = 1e-3;
        let at = |du: f64, dv: f64| body.jet(Vec2::new(s + du, v + dv));
        let jet = at(0.0, 0.0);
        let close = |a: Point3, b: Point3| assert!((a - b).length() < 1e-5 * (1.0 + b.length()), "{a} {b}");
        close(jet.u, (at(h, 0.0).p - at(-h, 0.0).p) / (2.0 * h));
        close(jet.v, (at(0.0, h).p - at(0.0, -h).p) / (2.0 * h));
        close(jet.uu, (at(h, 0.0).u - at(-h, 0.0).u) / (2.0 * h));
        close(jet.uv, (at(h, 0.0).v - at(-h, 0.0).v) / (2.0 * h));
        close(jet.vv, (at(0.0, h).v - at(0.0, -h).v) / (2.0 * h));
    }
    // Measured points lie on the skin.
    let ring: Vec<Point3> = (0..9600).map(|k| body.jet(Vec2::new(1524.0, f64::from(k) / 100.0)).p).collect();
    for (y, z) in [(356.0, 305.0), (432.0, 0.0), (-305.0, -406.0)] {
        let near = ring.iter().map(|p| (p.y - y).hypot(p.z - z)).fold(f64::INFINITY, f64::min);
        assert!(near < 0.5, "{y} {z}: {near}");
    }
    // Tangent and bend run on through a station and through a share.
    for (a, b) in
        [((1524.0 - 1e-6, 20.4), (1524.0 + 1e-6, 20.4)), ((700.0, 30.0 - 1e-6), (700.0, 30.0 + 1e-6))]
    {
        let (a, b) = (body.jet(Vec2::from(a)), body.jet(Vec2::from(b)));
        assert!(
            (a.u - b.u).length() < 1e-5 && (a.uu - b.uu).length() < 1e-5 && (a.vv - b.vv).length() < 1e-4
        );
    }
}

#[test]
fn a_letter_on_a_body_like_an_egg_strains_as_on_the_egg() {
    // facts/geometry.md, B2: ellipsoid 240 x 48 in, letter 16 x 24 in at the middle: max 1.3e-3, RMS 3.3e-4, stroke 0.0136 in.
    let stations: Vec<Station> = (-9..=9)
        .map(|k| {
            round(f64::from(k) * 12.0 * INCH, 24.0 * INCH * (1.0 - (f64::from(k) / 10.0).powi(2)).sqrt())
        })
        .collect();
    let body = Body::through(&stations, 0.0).unwrap();
    let place = body.place(Side::Left, 0.0, 0.0).unwrap();
    let patch = grid(&body, body.heading(place, Point3::X), 16.0 * INCH, 24.0 * INCH, 40, 60);
    let flat = flatten(&patch.mesh, &patch.flat).unwrap();
    assert!((flat.strain.rms / 3.3e-4 - 1.0).abs() < 0.1, "{:?}", flat.strain);
    assert!((flat.strain.max / 1.3e-3 - 1.0).abs() < 0.15, "{:?}", flat.strain);
    let stroke = flat.worst_stroke(&patch.mesh, 21.6 * INCH, 40_000).unwrap() / INCH;
    assert!((0.012..0.020).contains(&stroke), "{stroke}");
}

#[test]
fn stations_that_make_no_body_are_refused() {
    let said = |stations: &[Station]| Body::through(stations, 0.0).unwrap_err().to_string();
    assert_eq!(said(&[round(0.0, 1.0)]), "a body takes two stations or more");
    assert_eq!(said(&[round(0.0, 1.0), round(0.0, 2.0)]), "station 2 does not lie beyond the one before it");
    assert!(said(&[round(0.0, 1.0), round(9.0, 0.0)]).starts_with("station 2: half width"));
    let points = [(1.0, 5.0), (3.0, 2.0), (2.0, 1.0), (0.0, 0.0)].map(Point::from).to_vec();
    assert!(
        said(&[round(0.0, 1.0), Station { s: 5.0, ring: Ring::Points(points) }])
            .contains("middle of the top")
    );
    // A waterline above the ring meets it nowhere.
    let body = Body::through(&[round(0.0, 10.0), round(50.0, 10.0)], 20.0).unwrap();
    assert!(body.place(Side::Left, 20.0, 0.0).is_none());
}

/// Half width, top, bottom and power at a station, in.
fn oval(s: f64, [half_width, top, bottom, power]: [f64; 4]) -> Station {
    let ring =
        Ring::Superellipse { half_width: half_width * INCH, top: top * INCH, bottom: bottom * INCH, power };
    Station { s: s * INCH, ring }
}

/// Least and most of what `value` is between two stations.
fn reach(body: &Body, from: f64, to: f64, value: impl Fn(&Body, f64) -> f64) -> (f64, f64) {
    (0..=2000)
        .map(|k| value(body, (from + (to - from) * f64::from(k) / 2000.0) * INCH) / INCH)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(v), hi.max(v)))
}

fn top(body: &Body, s: f64) -> f64 {
    body.jet(Vec2::new(s, 0.0)).p.z
}

fn widest(body: &Body, s: f64) -> f64 {
    (0..=48).map(|v| body.jet(Vec2::new(s, f64::from(v))).p.y).fold(0.0, f64::max)
}

#[test]
fn a_loft_over_a_step_keeps_to_what_the_stations_on_either_side_say() {
    // A free cubic gives 2.8 in at s 18 and 28.5 in at s 57.
    let stations =
        [(0.0, 10.0), (30.0, 10.0), (33.0, 14.0), (90.0, 14.0)].map(|(s, r)| oval(s, [r, r, -r, 2.0]));
    let body = Body::through(&stations, 0.0).unwrap();
    for (from, to, low, high) in [(0.0, 30.0, 10.0, 10.0), (30.0, 33.0, 10.0, 14.0), (33.0, 90.0, 14.0, 14.0)]
    {
        let (lo, hi) = reach(&body, from, to, widest);
        assert!(low - 0.18 < lo && hi < high + 0.18, "{from} to {to}: {lo} to {hi}");
    }
    // Rings stay round, and the skin has no fold, crease or jump of bend at a station.
    for s in [12.0, 29.5, 31.0, 33.4, 60.0].map(|s| s * INCH) {
        let r = top(&body, s);
        for v in [5.0, 17.3, 48.0] {
            let p = body.jet(Vec2::new(s, v)).p;
            assert!((p.y.hypot(p.z) - r).abs() < 1e-3);
        }
    }
    for s in [30.0 * INCH, 33.0 * INCH] {
        let (a, b) = (body.jet(Vec2::new(s - 1e-9, 8.2)), body.jet(Vec2::new(s + 1e-9, 8.2)));
        assert!((a.u - b.u).length() < 1e-7 && (a.uu - b.uu).length() < 1e-6);
    }
    let steps = body.steps();
    assert_eq!(steps.len(), 1);
    assert_eq!(steps[0].between, (30.0 * INCH, 33.0 * INCH));
    assert!((steps[0].moved - 4.0 * INCH).abs() < 1e-6);
    assert_eq!(body.swings(6.35), []);
}

#[test]
fn a_cabin_roof_stays_where_its_stations_have_it() {
    // A free cubic has the top at 42.9 in at s 80 and at 2.05 in at s 156.
    let stations = [
        (0.0, [17.0, 16.0, -20.0, 2.3]),
        (36.0, [19.0, 18.0, -22.0, 2.4]),
        (56.0, [20.0, 34.0, -22.0, 2.4]),
        (96.0, [20.0, 36.0, -22.0, 2.4]),
        (110.0, [18.0, 22.0, -21.0, 2.3]),
        (200.0, [8.0, 12.0, -10.0, 2.1]),
    ]
    .map(|(s, ring)| oval(s, ring));
    let body = Body::through(&stations, 0.0).unwrap();
    let (roof, tail) = (reach(&body, 56.0, 96.0, top), reach(&body, 110.0, 200.0, top));
    assert!(33.5 < roof.0 && roof.1 < 36.5, "{roof:?}");
    assert!(11.5 < tail.0 && tail.1 < 22.5, "{tail:?}");
    let between: Vec<_> = body.steps().iter().map(|s| (s.between.0 / INCH, s.between.1 / INCH)).collect();
    assert_eq!(between.len(), 2);
    assert!((between[0].0 - 36.0).abs() < 1e-9 && (between[1].0 - 96.0).abs() < 1e-9);
    // What it stands outside is told where, and by as much as a finer look finds.
    let swing = *body.swings(2.0).iter().find(|s| s.line == Line::Top).unwrap();
    assert_eq!(swing.between, (56.0 * INCH, 96.0 * INCH));
    assert!((swing.outside / INCH - (roof.1 - 36.0)).abs() < 0.02, "{swing:?}");
    assert!((swing.value - top(&body, swing.at)).abs() < 1e-9);
}

#[test]
fn a_bulge_that_all_stations_agree_on_is_kept() {
    // A ball of 20 in sampled either side of its belly: the free cubic stands, and is within 1/16 in of the ball.
    let ball = |s: f64| {
        let r = (400.0 - s * s).sqrt();
        oval(s, [r, r, -r, 2.0])
    };
    let body = Body::through(&[-15.0, -9.0, -3.0, 3.0, 9.0, 15.0].map(ball), 0.0).unwrap();
    let (_, hi) = reach(&body, -3.0, 3.0, top);
    assert!((hi - 20.0).abs() < 1.0 / 16.0 && body.steps().is_empty(), "{hi}");
    // Against the cubic of another implementation: geom's, through the same tops.
    let at: Vec<f64> = body.stations().to_vec();
    let tops: Vec<Point> = at.iter().map(|s| Point::new(0.0, top(&body, *s))).collect();
    let bends = geom::spline::bends(&at, &tops);
    for (k, bend) in bends.iter().enumerate() {
        assert!((body.jet(Vec2::new(at[k], 0.0)).uu.z - bend.y).abs() < 1e-12);
    }
}

#[test]
fn a_cone_stays_a_cone_however_its_stations_are_spaced() {
    let stations = [0.0, 2.0, 50.0, 51.0, 300.0].map(|s| round(s, 100.0 + 0.25 * s));
    let body = Body::through(&stations, 0.0).unwrap();
    for s in [1.0, 30.0, 50.5, 240.0] {
        let jet = body.jet(Vec2::new(s, 13.7));
        assert!((jet.p.y.hypot(jet.p.z) - (100.0 + 0.25 * s)).abs() < 1e-3 && jet.curvature().abs() < 1e-12);
    }
}
