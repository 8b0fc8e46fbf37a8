//! Closed forms of stripes on a tube, a cone, a ball and a ring, and the straightest way as second opinion.

use super::*;
use crate::surface::forms::{Cone, Cylinder, Egg, Torus};
use crate::surface::way::between;
use crate::surface::{Heading, Surface};

const FINE: Fine = Fine { rise: 0.002, longest: 20.0, shortest: 0.1, legs: false };

/// The strip along a curve of the surface's own two numbers, `count` stops.
fn laid<G: Surface>(surface: &G, curve: &dyn Fn(f64) -> Vec2, to: f64) -> Strip<Heading> {
    let line = |t: f64| Some(surface.jet(curve(t)).p);
    let ahead = surface.jet(curve(to / 1000.0)).p - surface.jet(curve(0.0)).p;
    let start = Heading::new(surface, curve(0.0), ahead);
    Strip::along(surface, start, &line, &[0.0, to], FINE).unwrap()
}

#[test]
fn on_a_tube_it_is_the_strip_of_the_unrolled_sheet() {
    let tube = Cylinder { radius: 500.0 };
    // A circle of 900 mm in the unrolled sheet.
    let r = 900.0;
    let strip = laid(&tube, &|a| Vec2::new(r * a.sin(), r * (1.0 - a.cos()) / 500.0), 1.2);
    assert!((strip.length() - 1.2 * r).abs() < 0.01, "{}", strip.length());
    for (s, off) in [(100.0, 60.0), (500.0, -80.0), (900.0, 51.0)] {
        let end = strip.place(&tube, s, off).unwrap();
        // On the concentric circle of the sheet; left of a left turn is nearer the middle.
        let from = tube.unrolled(end.uv) - Vec2::new(0.0, r);
        assert!((from.hypot() - (r - off)).abs() < 0.004, "{}", from.hypot());
    }
    // A stripe at a constant station runs straight round: no bend at all.
    let round = laid(&tube, &|a| Vec2::new(40.0, a), 1.5);
    assert!((round.length() - 750.0).abs() < 1e-6);
    assert!((0..round.knots().len()).all(|k| round.bend(k).abs() < 1e-9));
    // So does a waterline.
    let level = laid(&tube, &|a| Vec2::new(a, 0.3), 900.0);
    assert!(level.flat().iter().all(|p| p.y.abs() < 1e-6));
}

#[test]
fn on_a_cone_a_station_bends_by_its_distance_from_the_tip() {
    let cone = Cone { half_angle: 0.2 };
    let slant = 1500.0;
    let strip = laid(&cone, &|a| Vec2::new(slant, a), 1.6);
    // Unrolled it is an arc of the slant's radius, as long as the ring.
    assert!((strip.length() - 1.6 * slant * 0.2_f64.sin()).abs() < 0.005);
    for k in 1..strip.knots().len() - 1 {
        assert!((strip.bend(k).abs() * slant - 1.0).abs() < 1e-4, "{}", strip.bend(k) * slant);
    }
    for off in [-75.0, 75.0] {
        let end = strip.place(&cone, strip.length() / 2.0, off).unwrap();
        let toward_tip = strip.bend(3).signum();
        assert!((end.uv.x - (slant - toward_tip * off)).abs() < 0.005, "{}", end.uv.x);
    }
}

#[test]
fn on_a_ball_a_parallel_bends_by_the_cotangent_and_its_edges_are_parallels() {
    let (r, high) = (400.0, 0.6_f64);
    let ball = Egg { half_length: r, radius: r };
    // Parallel at latitude 0.6: its geodesic curvature is cot(colatitude) / R = tan(latitude) / R.
    let strip = laid(&ball, &|a| Vec2::new(high, a), 2.0);
    assert!((strip.length() - 2.0 * r * high.cos()).abs() < 0.01);
    for k in 1..strip.knots().len() - 1 {
        assert!((strip.bend(k).abs() * r / high.tan() - 1.0).abs() < 1e-4, "{}", strip.bend(k));
    }
    let pole = strip.bend(3).signum();
    for off in [-60.0, 60.0] {
        for s in [50.0, 300.0, 610.0] {
            let end = strip.place(&ball, s, off).unwrap();
            assert!((end.uv.x - (high + pole * off / r)).abs() * r < 0.004, "{off} {s}: {}", end.uv.x);
        }
    }
    assert!((Ground::gauss(&ball, strip.stands()[4]) * r * r - 1.0).abs() < 1e-9);
}

#[test]
fn on_a_ring_edges_lie_as_far_round_the_pipe_as_they_are_wide() {
    let ring = Torus { ring: 508.0, pipe: 152.4 };
    let u = 0.5_f64;
    let strip = laid(&ring, &|a| Vec2::new(u, a), 1.8);
    let wide = 508.0 + 152.4 * u.cos();
    assert!((strip.length() - 1.8 * wide).abs() < 0.01);
    for k in 1..strip.knots().len() - 1 {
        assert!((strip.bend(k).abs() * wide / u.sin() - 1.0).abs() < 1e-3, "{}", strip.bend(k));
    }
    let round = strip.bend(3).signum();
    for off in [-50.0, 50.0] {
        let end = strip.place(&ring, 400.0, off).unwrap();
        assert!((end.uv.x - (u + round * off / 152.4)).abs() * 152.4 < 0.004, "{}", end.uv.x);
    }
}

/// By another road: the straightest way from a point of the edge to the line is as long as the edge is off, at every
/// place no shorter; and a point put on the skin is found again in flat.
#[test]
fn an_edge_is_as_far_from_the_line_as_it_is_off_and_every_place_is_found_again() {
    let egg = Egg { half_length: 1500.0, radius: 420.0 };
    let curve = |t: f64| Vec2::new(-0.5 + t, 0.5 + 0.25 * (3.0 * t).sin());
    let strip = laid(&egg, &curve, 1.0);
    for (s, off) in [(200.0, 60.0), (640.0, -70.0), (1100.0, 45.0)] {
        let edge = strip.place(&egg, s, off).unwrap();
        let p = egg.jet(edge.uv).p;
        let far = |s: f64| between(&egg, strip.stand(&egg, s).unwrap().uv, p).unwrap().1;
        assert!((far(s) - off.abs()).abs() < 1e-5, "{}", far(s));
        // The joins bend the foot to and fro by half a turn: less than a hundredth of a millimetre nearer.
        let least = (-60..=60).map(|k| far(s + f64::from(k))).fold(f64::INFINITY, f64::min);
        assert!(off.abs() - least < 0.01, "{least} {off}");
        let (there, aside) = strip.foot(&egg, p, 500.0).unwrap();
        assert!((there - s).abs() < 1e-4 && (aside - off).abs() < 1e-4, "{there} {aside}");
        let (s2, off2) = strip.along_and_off(strip.flat_at(s, off));
        assert!((s2 - s).abs() < 1e-6 && (off2 - off).abs() < 1e-9);
    }
    // Beyond its ends straight on.
    let before = strip.place(&egg, -30.0, 20.0).unwrap();
    let (s, off) = strip.foot(&egg, egg.jet(before.uv).p, 500.0).unwrap();
    assert!((s + 30.0).abs() < 1e-4 && (off - 20.0).abs() < 1e-4);
}

#[test]
fn it_is_moved_in_its_plane_without_being_changed() {
    let ball = Egg { half_length: 400.0, radius: 400.0 };
    let strip = laid(&ball, &|a| Vec2::new(0.3, a), 1.0);
    let moved = strip.clone().moved(100.0, Vec2::new(7.0, 8.0), 0.4);
    assert!((moved.flat_at(100.0, 0.0) - Vec2::new(7.0, 8.0)).hypot() < 1e-9);
    let apart = |s: &Strip<Heading>| (s.flat_at(20.0, 30.0) - s.flat_at(300.0, -10.0)).hypot();
    assert!((apart(&strip) - apart(&moved)).abs() < 1e-9);
    assert!((moved.along_and_off(moved.flat_at(50.0, 5.0)).1 - 5.0).abs() < 1e-9);
}

#[test]
fn a_line_that_leaves_the_skin_or_is_no_line_makes_no_strip() {
    let tube = Cylinder { radius: 500.0 };
    let start = Heading::new(&tube, Vec2::ZERO, Point3::X);
    assert!(Strip::along(&tube, start, &|_| None, &[0.0, 1.0], FINE).is_none());
    let still = |_: f64| Some(tube.jet(Vec2::ZERO).p);
    assert!(Strip::along(&tube, start, &still, &[0.0, 1.0], FINE).is_none());
}
