//! A shape leaned over: every point moved along by its height, as upright letters become slanted ones.
//!
//! A leaning circle is an ellipse, and a ring has no ellipses. Each arc is replaced by pairs of arcs that leave in
//! the right direction, meet without a corner and arrive in the right direction; as many pairs as keep them within
//! the tolerance. So a curve stays a curve a tape can follow, and areas, levels and widths along the level stay.

use crate::point::{Affine, Point, Vec2};
use crate::ring::{Edge, Ring, Vertex};
use std::f64::consts::FRAC_PI_4;

/// Most pairs of arcs in place of one arc. chosen: 128 keep a circle 10 m across within a thousandth of a
/// millimetre.
const MOST_PAIRS: usize = 128;

/// Where on each arc its distance from the ellipse is looked at; between its ends it is greatest near a third.
const LOOKED_AT: [f64; 5] = [0.17, 0.33, 0.5, 0.67, 0.83];

/// The ring with x + `slope` y in place of x. Arcs stay within `tolerance` (in the ring's unit) of the ellipses
/// they stand for; straight edges are exact.
pub fn sheared(ring: &Ring, slope: f64, tolerance: f64) -> Ring {
    let lean = Affine::new([1.0, 0.0, slope, 1.0, 0.0, 0.0]);
    let mut vertices = Vec::with_capacity(ring.vertices.len());
    for edge in ring.edges() {
        match edge {
            Edge::Line { a, .. } => vertices.push(Vertex { p: lean * a, bulge: 0.0 }),
            Edge::Arc { .. } => vertices.extend(ellipse(&edge, slope, tolerance)),
        }
    }
    Ring { vertices }
}

/// Arcs along a sheared arc, its last point left out.
fn ellipse(arc: &Edge, slope: f64, tolerance: f64) -> Vec<Vertex> {
    let Edge::Arc { turn, .. } = *arc else { return vec![Vertex { p: arc.start(), bulge: 0.0 }] };
    let mut pairs = ((turn.abs() / FRAC_PI_4).ceil() as usize).max(1);
    loop {
        let (vertices, off) = in_pairs(arc, slope, pairs);
        if off <= tolerance || pairs >= MOST_PAIRS {
            return vertices;
        }
        pairs *= 2;
    }
}

/// The vertices of so many pairs of arcs, and the most they stray.
fn in_pairs(arc: &Edge, slope: f64, pairs: usize) -> (Vec<Vertex>, f64) {
    let lean = |p: Point| Point::new(p.x + slope * p.y, p.y);
    let along = |f: f64| {
        let d = arc.direction(f);
        Vec2::new(d.x + slope * d.y, d.y).normalize()
    };
    let mut vertices = Vec::with_capacity(2 * pairs);
    let mut off: f64 = 0.0;
    for k in 0..pairs {
        let (f, g) = (k as f64 / pairs as f64, (k + 1) as f64 / pairs as f64);
        let (p, q) = (lean(arc.at(f)), lean(arc.at(g)));
        let (u, v) = (along(f), along(g));
        let middle = meeting(p, u, q, v);
        let pair =
            [Vertex { p, bulge: bulge(u, middle - p) }, Vertex { p: middle, bulge: -bulge(v, q - middle) }];
        off = off.max(strays(arc, slope, &pair, q));
        vertices.extend(pair);
    }
    (vertices, off)
}

/// Where two arcs meet that leave `p` along `u`, run into each other without a corner, and reach `q` along `v`:
/// the middle of the feet p + d u and q - d v, with both feet d from their ends and 2 d from each other.
fn meeting(p: Point, u: Vec2, q: Point, v: Vec2) -> Point {
    let to = q - p;
    let (ahead, bend) = (to.dot(u + v), 1.0 - u.dot(v));
    // d is the positive root of 2 bend d^2 + 2 ahead d - to^2, in the form that holds for bend near 0.
    let d = to.hypot2() / (ahead + (ahead * ahead + 2.0 * bend * to.hypot2()).sqrt());
    (p + u * d).midpoint(q - v * d)
}

/// Bulge of the arc that leaves along `u` and has the chord `chord`; the chord lies half the turn off.
fn bulge(u: Vec2, chord: Vec2) -> f64 {
    (u.cross(chord).atan2(u.dot(chord)) / 2.0).tan()
}

/// The most that a pair of arcs strays from the ellipse, measured where it was still round and taken as far as a
/// shear can stretch it.
fn strays(arc: &Edge, slope: f64, pair: &[Vertex; 2], end: Point) -> f64 {
    let Edge::Arc { centre, radius, .. } = *arc else { return 0.0 };
    let stretch = f64::midpoint(slope.abs(), (slope * slope + 4.0).sqrt());
    let ring = Ring { vertices: vec![pair[0], pair[1], Vertex { p: end, bulge: 0.0 }] };
    ring.edges()
        .take(2)
        .flat_map(|e| LOOKED_AT.map(|f| e.at(f)))
        .map(|p| (Point::new(p.x - slope * p.y, p.y).distance(centre) - radius).abs() * stretch)
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn tolerance(k: i32) -> f64 {
        0.1_f64.powi(k)
    }

    #[test]
    fn a_sheared_circle_is_the_ellipse_of_the_closed_form() {
        // Closed form: the points of x^2 - 2 s x y + (1 + s^2) y^2 = r^2; the area stays pi r^2, the box grows to
        // r sqrt(1 + s^2) each way along the level and stays r high.
        let (r, s) = (150.0, 0.25_f64);
        let ring = sheared(&Ring::circle(Point::ZERO, r), s, 0.005);
        for p in ring.flattened(0.0005) {
            let off = (p.x * p.x - 2.0 * s * p.x * p.y + (1.0 + s * s) * p.y * p.y).sqrt() - r;
            assert!(off.abs() < 0.006, "{p:?} {off}");
        }
        assert!((ring.area() / (PI * r * r) - 1.0).abs() < 1e-4, "{}", ring.area());
        let (lo, hi) = ring.bounds().unwrap();
        let reach = r * (1.0 + s * s).sqrt();
        assert!((hi.x - reach).abs() < 0.006 && (lo.x + reach).abs() < 0.006 && (hi.y - r).abs() < 0.006);
        assert!(ring.vertices.len() < 70, "{}", ring.vertices.len());
    }

    #[test]
    fn arcs_run_into_each_other_without_a_corner() {
        let ring = sheared(&Ring::circle(Point::new(3.0, -40.0), 90.0), -0.7, 0.01);
        let edges: Vec<Edge> = ring.edges().collect();
        for i in 0..edges.len() {
            let (u, v) = (edges[i].direction(1.0), edges[(i + 1) % edges.len()].direction(0.0));
            assert!(u.dot(v) > 1.0 - 1e-9, "{u:?} {v:?}");
        }
    }

    proptest! {
        #[test]
        fn a_shear_keeps_areas_and_a_shear_back_undoes_it(
            slope in -1.0..1.0_f64, r in 5.0..400.0_f64, bulge in -1.2..1.2_f64, k in 1..4_i32
        ) {
            // A square with one edge bent in or out.
            let mut square = Ring::from_points([(0.0, 0.0), (r, 0.0), (r, r), (0.0, r)].map(Point::from));
            square.vertices[1].bulge = bulge;
            let leaning = sheared(&square, slope, tolerance(k));
            let slack = 2.0 * square.perimeter() * tolerance(k);
            prop_assert!((leaning.area() - square.area()).abs() < slack);
            let back = sheared(&leaning, -slope, tolerance(k));
            for p in back.flattened(tolerance(k)) {
                let near = square.edges().map(|e| crate::distance::point_to_edge(p, &e)).fold(f64::MAX, f64::min);
                prop_assert!(near < 5.0 * tolerance(k), "{:?} {}", p, near);
            }
        }
    }
}
