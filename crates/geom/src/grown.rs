//! A shape grown by an even width with its corners kept sharp: the outer edge of a painted outline.
//!
//! Every edge is widened into a strip on its outer side and every corner that points outwards into a kite with a
//! sharp tip; shape, strips and kites are then one area. Counters shrink by the same width, and close where they
//! are no wider than twice of it.

use crate::boolean::union;
use crate::point::{Point, Vec2, left_of};
use crate::ring::Ring;
use crate::tolerance::FLATTEN_MM;

/// How far the tip of a sharp corner may stand out, in widths. chosen: corners down to 39 degrees keep their tip;
/// a sharper one is cut square at this distance, for a spike says nothing about the letter.
pub const TIP_MOST: f64 = 3.0;

/// All points within `width` mm of the shape, with sharp corners instead of round ones. Straight edges only; arcs
/// are cut into chords within `FLATTEN_MM` first. Outer rings counter-clockwise, holes clockwise.
///
/// # Panics
/// As [`union`].
pub fn grown(shape: &[Ring], width: f64) -> Vec<Ring> {
    let shape: Vec<Ring> = shape.iter().map(chords).collect();
    let mut pieces = Vec::new();
    for ring in &shape {
        let edges: Vec<(Point, Point)> = ring.edges().map(|e| (e.start(), e.end())).collect();
        let n = edges.len();
        for (i, &(a, b)) in edges.iter().enumerate() {
            let (along, next) = ((b - a).normalize(), edges[(i + 1) % n]);
            let out = -left_of(along) * width;
            pieces.push(Ring::from_points([a, a + out, b + out, b]));
            pieces.extend(kite(b, along, (next.1 - next.0).normalize(), width));
        }
    }
    union(&shape, &pieces)
}

/// A ring cut into chords as fine as the strips along them need. Corners nearer to the last one than the chords to
/// their arc are left out: so short an edge points anywhere, and would grow a tip of its own.
fn chords(ring: &Ring) -> Ring {
    let mut points: Vec<Point> = Vec::new();
    for p in ring.flattened(FLATTEN_MM / 2.0) {
        if points.last().is_none_or(|last| last.distance(p) > FLATTEN_MM / 2.0) {
            points.push(p);
        }
    }
    while points.len() > 1 && points[0].distance(points[points.len() - 1]) <= FLATTEN_MM / 2.0 {
        points.pop();
    }
    Ring::from_points(points)
}

/// What the strips along `u` and `v` leave open at an outward corner.
fn kite(corner: Point, u: Vec2, v: Vec2, width: f64) -> Option<Ring> {
    if u.cross(v) <= 0.0 {
        return None;
    }
    let (m, n) = (-left_of(u), -left_of(v));
    // Half the angle turned: the tip lies width / cos(half) from the corner.
    let half = u.cross(v).atan2(u.dot(v)) / 2.0;
    let (a, b) = (corner + m * width, corner + n * width);
    if TIP_MOST * half.cos() >= 1.0 {
        return Some(Ring::from_points([corner, a, a + u * (width * half.tan()), b]));
    }
    // Cut square to the bisector: along each strip as far as the cut.
    let run = width * (TIP_MOST - half.cos()) / half.sin();
    Some(Ring::from_points([corner, a, a + u * run, b - v * run, b]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn area(rings: &[Ring]) -> f64 {
        rings.iter().map(Ring::area).sum()
    }

    fn ell() -> Ring {
        Ring::from_points(
            [(0.0, 0.0), (200.0, 0.0), (200.0, 50.0), (50.0, 50.0), (50.0, 300.0), (0.0, 300.0)]
                .map(Point::from),
        )
    }

    #[test]
    fn an_ell_grows_into_a_larger_ell() {
        // Closed form: 220 by 70 and 70 by 250, the inner corner moved with its two sides.
        let got = grown(&[ell()], 10.0);
        assert_eq!(got.len(), 1);
        assert!((area(&got) - (220.0 * 70.0 + 70.0 * 250.0)).abs() < 1e-6, "{}", area(&got));
        assert_eq!(got[0].vertices.len(), 6);
    }

    #[test]
    fn a_ring_grows_both_ways_and_its_counter_closes_in_time() {
        // Closed form: radii 100 + 8 and 60 - 8.
        let o = [Ring::circle(Point::ZERO, 100.0), Ring::circle(Point::ZERO, 60.0).reversed()];
        let got = grown(&o, 8.0);
        assert_eq!(got.len(), 2);
        let want = PI * (108.0 * 108.0 - 52.0 * 52.0);
        assert!((area(&got) / want - 1.0).abs() < 1e-4, "{} {want}", area(&got));
        assert_eq!(grown(&o, 61.0).len(), 1);
    }

    #[test]
    fn a_needle_is_cut_square_at_three_widths() {
        // A triangle of 10 degrees at the tip: without a cut the tip would stand out 11.5 widths.
        let half = 5.0_f64.to_radians();
        let needle = Ring::from_points(
            [(0.0, 0.0), (-400.0, 400.0 * half.tan()), (-400.0, -400.0 * half.tan())].map(Point::from),
        );
        let (_, hi) = grown(&[needle], 10.0)[0].bounds().unwrap();
        assert!((hi.x - 30.0).abs() < 0.002, "{hi:?}");
    }

    #[test]
    fn neighbours_nearer_than_twice_the_width_run_together() {
        let bar = |x: f64| {
            Ring::from_points([(x, 0.0), (x + 50.0, 0.0), (x + 50.0, 300.0), (x, 300.0)].map(Point::from))
        };
        assert_eq!(grown(&[bar(0.0), bar(79.0)], 10.0).len(), 2);
        assert_eq!(grown(&[bar(0.0), bar(69.0)], 10.0).len(), 1);
    }

    proptest! {
        #[test]
        fn what_grows_further_holds_what_grew_less(width in 1.0..30.0_f64, more in 0.5..20.0_f64) {
            let (less, most) = (grown(&[ell()], width), grown(&[ell()], width + more));
            prop_assert!(area(&crate::boolean::difference(&less, &most)).abs() < 1e-6);
            // In one go or in two: an ell has no corner that is cut.
            let twice = grown(&less, more);
            // Corners lie on a grid of a micrometre.
            prop_assert!((area(&twice) - area(&most)).abs() < 0.002 * most[0].perimeter());
        }
    }
}
