//! A shape grown by an even width with its corners kept sharp: the outer edge of a painted outline.
//!
//! Every edge is widened on its outer side, a straight one into a strip and an arc into a piece of a ring; every
//! corner that points outwards gets a kite with a sharp tip; they and the shape are then one area. Counters shrink
//! by the same width, and close where they are no wider than twice of it.

use crate::boolean::union;
use crate::point::{Point, Vec2, left_of, turned};
use crate::ring::{Edge, Ring, Vertex};
use crate::tolerance::{FLATTEN_MM, GRID_MM};

/// How far the tip of a sharp corner may stand out, in widths. chosen: corners down to 39 degrees keep their tip;
/// a sharper one is cut square at this distance, for a spike says nothing about the letter.
pub const TIP_MOST: f64 = 3.0;

/// Shortest edge, mm, that says where it points. A shorter one may point anywhere and would grow a tip of its own;
/// the chords of a curve are longer.
const EDGE_LEAST: f64 = FLATTEN_MM / 2.0;

/// All points within `width` mm of the shape, with sharp corners instead of round ones. Straight edges only; arcs
/// are cut into chords within half of `FLATTEN_MM`. Outer rings counter-clockwise, holes clockwise.
///
/// # Panics
/// As [`union`].
pub fn grown(shape: &[Ring], width: f64) -> Vec<Ring> {
    let mut pieces = Vec::new();
    for ring in shape {
        let edges: Vec<Edge> = without_crumbs(ring).edges().collect();
        for (i, edge) in edges.iter().enumerate() {
            match *edge {
                Edge::Line { a, b } => {
                    let out = -left_of((b - a).normalize()) * width;
                    pieces.push(Ring::from_points([a, a + out, b + out, b]));
                }
                Edge::Arc { .. } => {
                    pieces.extend(sectors(edge, width));
                    pieces.extend([0.0, 1.0].map(|f| seam(edge.at(f), edge.direction(f), width)));
                }
            }
            let next = edges[(i + 1) % edges.len()];
            pieces.extend(kite(edge.end(), edge.direction(1.0), next.direction(0.0), width));
        }
    }
    let flat: Vec<Ring> = shape.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM / 2.0))).collect();
    union(&flat, &pieces)
}

/// The ring without corners nearer than `EDGE_LEAST` to the last one that is kept.
fn without_crumbs(ring: &Ring) -> Ring {
    let mut kept: Vec<Vertex> = Vec::with_capacity(ring.vertices.len());
    for v in &ring.vertices {
        match kept.last_mut() {
            Some(last) if last.p.distance(v.p) <= EDGE_LEAST => last.bulge = v.bulge,
            _ => kept.push(*v),
        }
    }
    while kept.len() > 1 && kept[0].p.distance(kept[kept.len() - 1].p) <= EDGE_LEAST {
        kept.pop();
    }
    Ring { vertices: kept }
}

/// What lies within `width` outside an arc, on its radii: a piece of a ring; round a hollow narrower than the width
/// a piece of pie, and one across the centre.
fn sectors(arc: &Edge, width: f64) -> Vec<Ring> {
    let Edge::Arc { a, centre, radius, turn, .. } = *arc else { return vec![] };
    let bulge = (turn / 4.0).tan();
    // A little into the paint, so that nothing is left open between chords and arc.
    let lap = 2.0 * FLATTEN_MM;
    let (from, to) = ((a - centre) / radius, turned(a - centre, turn) / radius);
    let pie = |reach: f64| {
        let tip = Vertex { p: centre, bulge: 0.0 };
        let (p, q) = (centre + from * reach, centre + to * reach);
        Ring { vertices: vec![Vertex { p, bulge }, Vertex { p: q, bulge: 0.0 }, tip] }
    };
    let (near, far) =
        if turn > 0.0 { (radius - lap, radius + width) } else { (radius + lap, radius - width) };
    let pieces = if near > 0.0 && far > 0.0 {
        let corner = |way: Vec2, reach: f64, bulge: f64| Vertex { p: centre + way * reach, bulge };
        vec![Ring {
            vertices: vec![
                corner(from, far, bulge),
                corner(to, far, 0.0),
                corner(to, near, -bulge),
                corner(from, near, 0.0),
            ],
        }]
    } else if turn > 0.0 {
        vec![pie(far)]
    } else {
        vec![pie(near), pie(far)]
    };
    let flat = pieces.into_iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM / 2.0)));
    flat.map(|r| if r.area() < 0.0 { r.reversed() } else { r }).collect()
}

/// A narrow strip over the joint at an end of an arc: rounded to the grid, two pieces that end on one normal may
/// leave a crack of a grid step between them.
fn seam(end: Point, along: Vec2, width: f64) -> Ring {
    let (half, out) = (along * (2.0 * GRID_MM), -left_of(along));
    let (near, far) = (end - out * (2.0 * FLATTEN_MM), end + out * width);
    Ring::from_points([near - half, far - half, far + half, near + half])
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
    use crate::sample::{area, ell};
    use proptest::prelude::*;
    use std::f64::consts::PI;

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

    #[test]
    fn a_half_disc_grows_round_its_arc_and_square_at_its_ends() {
        // Half discs turned many ways on the grid. Closed form: the arc grows to pi (r + w); each end of the straight
        // side goes on by w and up by w.
        let (r, w) = (50.0, 11.0);
        for k in 0..100 {
            let way = Vec2::from_angle(0.1 + f64::from(k)) * r;
            let middle = Point::new(0.137 * f64::from(k), 7.7);
            let half = Ring {
                vertices: vec![
                    Vertex { p: middle + way, bulge: 1.0 },
                    Vertex { p: middle - way, bulge: 0.0 },
                ],
            };
            let got = grown(&[half], w);
            let want = PI * (r + w) + 2.0 * r + 4.0 * w;
            assert_eq!(got.len(), 1);
            assert!((got[0].perimeter() - want).abs() < 0.2, "{k}: {} {want}", got[0].perimeter());
        }
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
