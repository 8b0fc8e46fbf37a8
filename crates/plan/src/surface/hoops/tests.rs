//! Hoops against closed forms: a tube, a cone and a ball.

use super::*;
use crate::job::{self, Station, StationOutline};
use geom::Point;
use std::f64::consts::PI;

fn body(side: job::Side, rings: &[(f64, f64)]) -> BodySkin {
    let hoop = |&(s, r): &(f64, f64)| Station {
        s,
        outline: StationOutline::Superellipse { half_width: r, top: r, bottom: -r, power: 2.0 },
    };
    BodySkin::new(Some(side), 0.0, &rings.iter().map(hoop).collect::<Vec<_>>()).unwrap()
}

/// A ring on the flat of a side, counter-clockwise, through readings.
fn ring(body: &BodySkin, readings: impl Iterator<Item = [f64; 2]>) -> Ring {
    let ring = Ring::from_points(readings.map(|r| body.flat(r)).collect::<Vec<_>>());
    if ring.area() < 0.0 { ring.reversed() } else { ring }
}

fn near(got: f64, wanted: f64, by: f64) {
    assert!((got - wanted).abs() <= by, "{got}, wanted {wanted} within {by}");
}

#[test]
fn a_tube_reads_as_its_unrolled_skin() {
    for side in [job::Side::Left, job::Side::Right] {
        let tube = body(side, &[(0.0, 600.0), (1500.0, 600.0), (3000.0, 600.0)]);
        let hoops = Hoops::new(&tube).unwrap();
        let row = hoops.row(200.0);
        for [s, t] in [[10.0, 200.0], [1234.0, 20.0], [2500.0, 420.0], [3000.0, -30.0]] {
            near(hoops.along((&row, 200.0), [s, t]), s, 1e-3);
            let place = tube.place([s, t]).unwrap();
            let [s2, t2] = hoops.reading(place);
            near(s2, s, 1e-9);
            near(t2, t, 1e-3);
        }
        near(hoops.girths(700.0)[1], 300.0 * PI, 1e-3);
        let corners = [[100.0, -300.0], [2100.0, -300.0], [2100.0, 250.0], [100.0, 250.0]];
        near(hoops.area(&[ring(&tube, corners.into_iter())]), 2000.0 * 550.0, 10.0);
        assert!(row.folded(914.4, (0.0, 3000.0), 0.0) < 0.1);
        // Over the middle of the top a row runs on down the other side.
        let angle: f64 = 1100.0 / 600.0;
        let out = if side == job::Side::Left { -1.0 } else { 1.0 };
        for p in hoops.row(1100.0).points {
            near(p.y, out * 600.0 * angle.cos(), 2e-3);
            near(p.z, 600.0 * angle.sin(), 2e-3);
        }
    }
}

/// The cone unrolled about its tip: a girth t at slant r stands at angle t / r.
#[test]
fn a_cone_reads_as_its_unrolled_skin() {
    let cone = body(job::Side::Left, &[(0.0, 300.0), (1500.0, 600.0), (3000.0, 900.0)]);
    let hoops = Hoops::new(&cone).unwrap();
    let tilt = 0.2_f64.atan();
    let flat = |s: f64, t: f64| {
        let slant = (300.0 + 0.2 * s) / tilt.sin();
        Vec2::from_angle(t / slant) * slant
    };
    let middle = 200.0;
    let row = hoops.row(middle);
    let line: Vec<Vec2> = (0..=6000).map(|k| flat(f64::from(k) / 2.0, middle)).collect();
    let mut sums = vec![0.0];
    for w in line.windows(2) {
        sums.push(sums[sums.len() - 1] + (w[1] - w[0]).hypot());
    }
    // The foot of a place on the unrolled row, on its line carried straight on beyond the ends.
    let foot = |p: Vec2| {
        let k =
            (1..line.len()).min_by(|a, b| (line[*a] - p).hypot().total_cmp(&(line[*b] - p).hypot())).unwrap();
        let way = (line[k] - line[k - 1]).normalize();
        sums[k] + (p - line[k]).dot(way)
    };
    for s in [0.0, 700.0, 1900.0, 3000.0] {
        for t in [-20.0, 100.0, 200.0, 330.0, 420.0] {
            let wanted = foot(flat(s, t));
            near(hoops.along((&row, middle), [s, t]), wanted, 0.6);
            near(hoops.exactly_along((&row, middle), [s, t]).unwrap(), wanted, 0.05);
        }
    }
    // No skin of its own bends here, so that what is folded is the turn of the row times half the width.
    let (start, end) = (line[1] - line[0], line[6000] - line[5999]);
    let turn = start.cross(end).atan2(start.dot(end)).abs();
    near(row.folded(300.0, (0.0, 3000.0), 0.0), turn * 150.0, 0.02 * turn * 150.0);
    let corners = [[500.0, -200.0], [2500.0, -200.0], [2500.0, 250.0], [500.0, 250.0]];
    let wanted = 2000.0 * 450.0 / tilt.cos();
    near(hoops.area(&[ring(&cone, corners.into_iter())]), wanted, 1e-5 * wanted);
}

#[test]
fn on_a_ball_lengths_area_and_folds_have_their_closed_forms() {
    let r = 500.0_f64;
    let rings: Vec<(f64, f64)> = (-12..=12)
        .map(|k| {
            let s = r * (f64::from(k) / 12.0).sin();
            (s, (r * r - s * s).sqrt())
        })
        .collect();
    let ball = body(job::Side::Right, &rings);
    let hoops = Hoops::new(&ball).unwrap();
    let row = hoops.row(0.0);
    let start = hoops.along((&row, 0.0), [0.0, 0.0]);
    for s in [-300.0_f64, -50.0, 120.0, 300.0] {
        near(hoops.along((&row, 0.0), [s, 0.0]) - start, r * (s / r).asin(), 0.05);
        // Square off a great circle: the foot of a place is where the plane through the middle and it meets the circle.
        for t in [-200.0, 90.0, 250.0] {
            let ring = (r * r - s * s).sqrt();
            let wanted = r * s.atan2(ring * (t / ring).cos());
            near(hoops.exactly_along((&row, 0.0), [s, t]).unwrap() - start, wanted, 0.05);
        }
    }
    // A great circle does not bend; the skin's own bend is 1 / r^2.
    let long = r * 2.0 * (200.0 / r).asin();
    let wanted = 300.0 * 300.0 / 8.0 / (r * r) * long;
    near(row.folded(300.0, (-200.0, 200.0), 0.0), wanted, 0.02 * wanted);
    // What can be smoothed down is not folded.
    near(row.folded(300.0, (-200.0, 200.0), 0.02), wanted - 0.02 * long, 0.02 * wanted);
    let girth = |s: f64| (r * r - s * s).sqrt() * PI / 2.0;
    let (up, down) = ((-40..=40).map(|k| 5.0 * f64::from(k)), (-40..=40).rev().map(|k| 5.0 * f64::from(k)));
    let zone = ring(&ball, up.map(|s| [s, -girth(s)]).chain(down.map(|s| [s, girth(s)])));
    let wanted = PI * r * 400.0;
    near(hoops.area(&[zone]), wanted, 1e-3 * wanted);
    assert_eq!(ball.flat([1.0, 2.0]), Point::new(-1.0, 2.0));
}
