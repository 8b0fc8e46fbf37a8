//! How clear a painted shape is of a region: the least signed distance, negative = depth inside.
//!
//! Two questions, both answered for outlines with arcs:
//! - `edges_to_region`: from the shape's *edges* (a ring may lie wholly inside a stroke),
//! - `shape_to_region`: from the shape's *painted area* (a port must have no paint on it at all).
//!
//! Discs and bands are exact. Depth inside an area is searched with bounds that close on the answer;
//! the result is within `tolerance::DISTANCE_MM`.

use crate::distance::{crossings, edge_to_edge, point_to_edge};
use crate::point::Point;
use crate::region::Region;
use crate::ring::{Edge, Ring};
use crate::tolerance::DISTANCE_MM;
use crate::winding::contains;

/// Most intervals or boxes one search may open. A search that reached it would give its best so far, which
/// is then too shallow by at most the box it stood at. Tests need a few hundred.
const MOST_BOXES: usize = 200_000;

/// Signed distance of a point to a region, negative inside. For an area the depth is measured to its
/// nearest edge.
pub fn point_to_region(p: Point, region: &Region) -> f64 {
    match region {
        Region::Disc { centre, radius } => p.distance(*centre) - radius,
        Region::Band { path, width } => {
            segments(path).map(|e| point_to_edge(p, &e)).fold(f64::INFINITY, f64::min) - width / 2.0
        }
        Region::Area { rings } => {
            let d = rings
                .iter()
                .flat_map(Ring::edges)
                .map(|e| point_to_edge(p, &e))
                .fold(f64::INFINITY, f64::min);
            if contains(rings, p) { -d } else { d }
        }
    }
}

/// Least signed distance from any point of one edge to a region.
pub fn edge_to_region(edge: &Edge, region: &Region) -> f64 {
    match region {
        Region::Disc { centre, radius } => point_to_edge(*centre, edge) - radius,
        Region::Band { path, width } => {
            segments(path).map(|e| edge_to_edge(edge, &e)).fold(f64::INFINITY, f64::min) - width / 2.0
        }
        Region::Area { rings } => {
            let boundary: Vec<Edge> = rings.iter().flat_map(Ring::edges).collect();
            let enters = contains(rings, edge.start())
                || contains(rings, edge.end())
                || boundary.iter().any(|b| !crossings(edge, b).is_empty());
            if enters {
                -deepest_on_edge(edge, rings, &boundary)
            } else {
                boundary.iter().map(|b| edge_to_edge(edge, b)).fold(f64::INFINITY, f64::min)
            }
        }
    }
}

/// Least signed distance from the edges of a painted shape to a region; infinite for no edges.
pub fn edges_to_region(shape: &[Ring], region: &Region) -> f64 {
    shape.iter().flat_map(Ring::edges).map(|e| edge_to_region(&e, region)).fold(f64::INFINITY, f64::min)
}

/// Least signed distance from the painted area of a shape to a region.
pub fn shape_to_region(shape: &[Ring], region: &Region) -> f64 {
    let to_shape = |e: &Edge| {
        if contains(shape, e.start()) {
            0.0
        } else {
            shape.iter().flat_map(Ring::edges).map(|f| edge_to_edge(e, &f)).fold(f64::INFINITY, f64::min)
        }
    };
    match region {
        Region::Disc { centre, radius } => to_shape(&Edge::Line { a: *centre, b: *centre }) - radius,
        Region::Band { path, width } => {
            segments(path).map(|e| to_shape(&e)).fold(f64::INFINITY, f64::min) - width / 2.0
        }
        Region::Area { rings } => {
            let from_edges = edges_to_region(shape, region);
            // What no paint edge enters lies in paint or beside it as a whole.
            if 0.0 < from_edges && !contains(shape, point_of(region)) {
                return from_edges;
            }
            match deepest_in_paint(shape, rings) {
                Some(depth) => from_edges.min(-depth),
                None => from_edges,
            }
        }
    }
}

/// A point inside the region, for asking on which side of an outline it lies: of a region no edge enters,
/// any point does.
pub fn point_of(region: &Region) -> Point {
    match region {
        Region::Disc { centre, .. } => *centre,
        Region::Band { path, .. } => path[0],
        Region::Area { rings } => rings.first().and_then(|r| r.vertices.first()).map_or(Point::ZERO, |v| v.p),
    }
}

/// The straight pieces of a path.
pub fn segments(path: &[Point]) -> impl Iterator<Item = Edge> + '_ {
    path.windows(2).map(|w| Edge::Line { a: w[0], b: w[1] })
}

/// Greatest depth inside the area over the points of an edge. Halves the edge; on each half no depth can
/// exceed what the nearest boundary edge allows at its two ends (distance to a straight edge is convex along
/// a straight line) or at its middle (no point is farther than the half's length from it).
fn deepest_on_edge(edge: &Edge, rings: &[Ring], boundary: &[Edge]) -> f64 {
    let area = Region::Area { rings: rings.to_vec() };
    let depth_at = |f: f64| -point_to_region(edge.at(f), &area);
    let mut best = depth_at(0.0).max(depth_at(1.0));
    let mut open = vec![(0.0, 1.0)];
    let mut opened = 0;
    while let Some((lo, hi)) = open.pop() {
        opened += 1;
        let middle = f64::midpoint(lo, hi);
        let depth = depth_at(middle);
        best = best.max(depth);
        let half_length = edge.length() * (hi - lo) / 2.0;
        if depth < -half_length {
            continue; // wholly outside
        }
        let bound = boundary
            .iter()
            .map(|b| {
                let at_middle = point_to_edge(edge.at(middle), b) + half_length;
                if is_straight(edge) && is_straight(b) {
                    let ends = point_to_edge(edge.at(lo), b).max(point_to_edge(edge.at(hi), b));
                    ends.min(at_middle)
                } else {
                    at_middle
                }
            })
            .fold(f64::INFINITY, f64::min);
        if bound > best + DISTANCE_MM && opened < MOST_BOXES {
            open.extend([(lo, middle), (middle, hi)]);
        }
    }
    best
}

/// Greatest depth inside the area over the points that are painted; `None` if no paint lies in it that the
/// search can see. Boxes are quartered; over a box the mean of two distances to straight edges is convex,
/// so no depth in it exceeds the mean's greatest value at the four corners.
fn deepest_in_paint(shape: &[Ring], rings: &[Ring]) -> Option<f64> {
    let boundary: Vec<Edge> = rings.iter().flat_map(Ring::edges).collect();
    let area = Region::Area { rings: rings.to_vec() };
    let (lo, hi) = rings.iter().filter_map(Ring::bounds).reduce(|a, b| {
        (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
    })?;
    let mut best: Option<f64> = None;
    let mut open = vec![(lo, hi)];
    let mut opened = 0;
    while let Some((lo, hi)) = open.pop() {
        opened += 1;
        let middle = lo.midpoint(hi);
        let half = lo.distance(hi) / 2.0;
        let to_paint = if contains(shape, middle) {
            0.0
        } else {
            let near = shape.iter().flat_map(Ring::edges).map(|e| point_to_edge(middle, &e));
            near.fold(f64::INFINITY, f64::min)
        };
        if to_paint > half {
            continue;
        }
        let depth = -point_to_region(middle, &area);
        if to_paint == 0.0 && depth > best.unwrap_or(0.0) {
            best = Some(depth);
        }
        if depth < -half || opened >= MOST_BOXES {
            continue;
        }
        let corners = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)];
        if bound_on_box(&boundary, middle, half, &corners) > best.unwrap_or(0.0) + DISTANCE_MM {
            let (m, l, h) = (middle, lo, hi);
            open.extend([
                (l, m),
                (Point::new(m.x, l.y), Point::new(h.x, m.y)),
                (m, h),
                (Point::new(l.x, m.y), Point::new(m.x, h.y)),
            ]);
        }
    }
    best
}

fn bound_on_box(boundary: &[Edge], middle: Point, half: f64, corners: &[Point; 4]) -> f64 {
    let mut at_corners: Vec<[f64; 4]> = Vec::new();
    let mut bound = f64::INFINITY;
    for b in boundary {
        bound = bound.min(point_to_edge(middle, b) + half);
        if is_straight(b) {
            at_corners.push(corners.map(|c| point_to_edge(c, b)));
        }
    }
    for (i, u) in at_corners.iter().enumerate() {
        for v in &at_corners[i..] {
            let mean = (0..4).map(|k| f64::midpoint(u[k], v[k])).fold(0.0, f64::max);
            bound = bound.min(mean);
        }
    }
    bound
}

fn is_straight(e: &Edge) -> bool {
    matches!(e, Edge::Line { .. })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::Vec2;
    use proptest::prelude::*;

    fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
        Ring::from_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from))
    }

    /// A frame: 100 x 100 outside, 60 x 60 counter.
    fn frame() -> Vec<Ring> {
        vec![rect(0.0, 0.0, 100.0, 100.0), rect(20.0, 20.0, 80.0, 80.0).reversed()]
    }

    #[test]
    fn a_ring_inside_a_counter_is_as_clear_as_the_gap_round_it() {
        let ring = Region::Disc { centre: Point::new(50.0, 50.0), radius: 12.0 };
        assert!((edges_to_region(&frame(), &ring) - 18.0).abs() < 1e-12);
        assert!((shape_to_region(&frame(), &ring) - 18.0).abs() < 1e-12);
    }

    #[test]
    fn a_port_inside_a_stroke_is_covered_by_its_whole_radius() {
        let port = Region::Disc { centre: Point::new(10.0, 50.0), radius: 2.0 };
        assert!((edges_to_region(&frame(), &port) - 8.0).abs() < 1e-12);
        assert!((shape_to_region(&frame(), &port) + 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_data_plate_under_paint_is_as_deep_as_half_its_short_side() {
        let plate = Region::Area { rings: vec![rect(2.0, 30.0, 18.0, 70.0)] };
        assert!((shape_to_region(&frame(), &plate) + 8.0).abs() < 2.0 * DISTANCE_MM);
        // The same plate moved so that the counter's edge runs 3 mm inside its long side.
        let plate = Region::Area { rings: vec![rect(7.0, 30.0, 23.0, 70.0)] };
        assert!((edges_to_region(&frame(), &plate) + 3.0).abs() < DISTANCE_MM);
        assert!((shape_to_region(&frame(), &plate) + 8.0).abs() < 2.0 * DISTANCE_MM);
    }

    #[test]
    fn a_hinge_band_across_a_stroke_is_crossed_by_half_its_width() {
        let hinge = Region::Band { path: vec![Point::new(-5.0, 50.0), Point::new(120.0, 50.0)], width: 3.0 };
        assert!((edges_to_region(&frame(), &hinge) + 1.5).abs() < 1e-12);
        assert!((shape_to_region(&frame(), &hinge) + 1.5).abs() < 1e-12);
    }

    proptest! {
        /// Against brute force: depth and distance sampled along every edge, by even-odd ray casting that
        /// shares no code with `winding`.
        #[test]
        fn least_distance_to_a_concave_area_matches_samples(
            dx in -60.0..160.0_f64, dy in -60.0..160.0_f64, turn in 0.0..6.3_f64, long in 10.0..60.0_f64,
        ) {
            let ell = [(0.0, 0.0), (long, 0.0), (long, 8.0), (9.0, 8.0), (9.0, 30.0), (0.0, 30.0)];
            let place = |p: (f64, f64)| Point::new(dx, dy) + crate::point::turned(Vec2::new(p.0, p.1), turn);
            let corners: Vec<Point> = ell.iter().map(|&p| place(p)).collect();
            let region = Region::Area { rings: vec![Ring::from_points(corners.clone())] };
            let got = edges_to_region(&frame(), &region);
            let mut brute = f64::INFINITY;
            for e in frame().iter().flat_map(Ring::edges) {
                for i in 0..=400 {
                    let p = e.at(f64::from(i) / 400.0);
                    let mut inside = false;
                    let mut near = f64::INFINITY;
                    for k in 0..6 {
                        let (a, b) = (corners[k], corners[(k + 1) % 6]);
                        near = near.min(crate::distance::nearest_on_segment(p, a, b).distance(p));
                        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
                            inside = !inside;
                        }
                    }
                    brute = brute.min(if inside { -near } else { near });
                }
            }
            // Samples lie at most 0.125 mm from any point of an edge.
            prop_assert!(got <= brute + DISTANCE_MM && brute <= got + 0.125 + DISTANCE_MM, "got {got}, brute {brute}");
        }
    }
}
