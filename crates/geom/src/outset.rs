//! Outlines grown by an even margin: all that lies within so many mm of a shape, as the fan of a gun reaches
//! beyond a paint edge.
//!
//! The shape, a strip along the outside of each edge, and a pie slice at each corner that points outwards are
//! joined; that is the whole of the grown shape, whatever the outlines look like. Round edges are cut into
//! chords first. Meant for areas of paint, not for cut lines: the tolerance is the caller's.

use crate::boolean::union;
use crate::point::{Point, Vec2, left_of, turned};
use crate::ring::Ring;
use crate::tolerance::NOISE_MM;
use std::f64::consts::TAU;

/// All within `margin` mm of `rings` (outer counter-clockwise, holes clockwise): outer rings counter-clockwise,
/// holes clockwise. Its edge lies inside the true one by `tolerance` mm at most. Several shapes may overlap; what
/// they share is there once.
///
/// # Panics
/// If a coordinate is not finite or lies beyond a thousand kilometres, as [`union`].
///
/// # Example
/// ```
/// use geom::{Point, Ring, outset::outset};
/// let square = Ring::from_points([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(Point::from));
/// let grown: f64 = outset(&[square], 2.0, 0.001).iter().map(Ring::area).sum();
/// assert!((grown - (100.0 + 4.0 * 20.0 + std::f64::consts::PI * 4.0)).abs() < 0.05);
/// ```
pub fn outset(rings: &[Ring], margin: f64, tolerance: f64) -> Vec<Ring> {
    let mut pieces = Vec::new();
    for ring in rings {
        let corners = corners(ring, tolerance);
        let n = corners.len();
        for i in 0..n {
            let (before, here, next) = (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
            let out = outwards(here, next) * margin;
            pieces.push(Ring::from_points([here, here + out, next + out, next]));
            let from = outwards(before, here) * margin;
            let turn = from.cross(out).atan2(from.dot(out));
            // A corner that points inwards lies under the strips of its two edges.
            if turn > 0.0 {
                pieces.push(slice(here, from, turn, margin, tolerance));
            }
        }
    }
    union(rings, &pieces)
}

/// The corners of a ring with its arcs cut into chords, none twice running.
fn corners(ring: &Ring, tolerance: f64) -> Vec<Point> {
    let all = ring.flattened(tolerance);
    let n = all.len();
    (0..n).filter(|i| all[*i].distance(all[(i + 1) % n]) > NOISE_MM).map(|i| all[i]).collect()
}

/// The unit direction square to an edge, away from the painted side, which lies on the left.
fn outwards(a: Point, b: Point) -> Vec2 {
    -left_of((b - a).normalize())
}

fn slice(centre: Point, from: Vec2, turn: f64, margin: f64, tolerance: f64) -> Ring {
    let share = (1.0 - tolerance / margin.max(tolerance)).clamp(-1.0, 1.0);
    let step = (2.0 * share.acos()).clamp(TAU / 4096.0, TAU / 8.0);
    let steps = (turn / step).ceil().max(1.0) as usize;
    let rim = (0..=steps).map(|k| centre + turned(from, turn * k as f64 / steps as f64));
    Ring::from_points(std::iter::once(centre).chain(rim))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn area(rings: &[Ring]) -> f64 {
        rings.iter().map(Ring::area).sum()
    }

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Ring {
        Ring::from_points([(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from))
    }

    #[test]
    fn a_convex_shape_grows_by_steiners_formula() {
        // Steiner: area + perimeter r + pi r^2 for every convex shape.
        for ring in [
            rectangle(0.0, 0.0, 508.0, 762.0),
            Ring::circle(Point::new(3.0, 4.0), 57.15),
            Ring::from_points([(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)].map(Point::from)),
        ] {
            let r = 101.6;
            let wanted = ring.area() + ring.perimeter() * r + PI * r * r;
            let grown = area(&outset(std::slice::from_ref(&ring), r, 0.01));
            assert!(grown <= wanted + 1.0 && wanted - grown < 0.05 * ring.perimeter(), "{grown} {wanted}");
        }
    }

    #[test]
    fn an_inside_corner_is_counted_once() {
        // An L of two strokes 4 wide, 24 high, 16 long grown by 2: its box is 20 by 28, the notch
        // still 12 by 20 and sharp; the five other corners are quarter rounds.
        let l = Ring::from_points(
            [(0.0, 0.0), (16.0, 0.0), (16.0, 4.0), (4.0, 4.0), (4.0, 24.0), (0.0, 24.0)].map(Point::from),
        );
        let wanted = 20.0 * 28.0 - 12.0 * 20.0 - 5.0 * (4.0 - PI);
        assert!((area(&outset(&[l], 2.0, 0.0001)) - wanted).abs() < 0.02);
    }

    #[test]
    fn a_counter_shrinks_and_closes() {
        let hole = |side: f64| {
            let at = (40.0 - side) / 2.0;
            vec![rectangle(0.0, 0.0, 40.0, 40.0), rectangle(at, at, side, side).reversed()]
        };
        let outer = 1600.0 + 160.0 * 5.0 + PI * 25.0;
        assert!((area(&outset(&hole(20.0), 5.0, 0.001)) - (outer - 100.0)).abs() < 0.1);
        assert!((area(&outset(&hole(8.0), 5.0, 0.001)) - outer).abs() < 0.1);
    }

    #[test]
    fn neighbours_share_their_overlap() {
        // Two squares 10 apart grown by 5 just touch; by 6 they share a strip.
        let two = [rectangle(0.0, 0.0, 50.0, 50.0), rectangle(60.0, 0.0, 50.0, 50.0)];
        let alone = |r: f64| 2500.0 + 200.0 * r + PI * r * r;
        assert!((area(&outset(&two, 5.0, 0.001)) - 2.0 * alone(5.0)).abs() < 0.5);
        let shared = 2.0 * alone(6.0) - area(&outset(&two, 6.0, 0.001));
        assert!(shared > 2.0 * 50.0 - 0.5 && shared < 2.0 * 62.0, "{shared}");
    }
}
