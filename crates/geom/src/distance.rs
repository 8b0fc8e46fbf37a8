//! How near two things are: points, edges and paths. Closed forms, no search.

use crate::point::{Point, Vec2};
use crate::ring::{Edge, within_turn};
use crate::tolerance::PARALLEL_SINE;

/// The point of the edge nearest to `p`.
pub fn nearest_on_edge(p: Point, edge: &Edge) -> Point {
    match *edge {
        Edge::Line { a, b } => nearest_on_segment(p, a, b),
        Edge::Arc { a, b, centre, radius, turn } => {
            let out = p - centre;
            if out.hypot2() == 0.0 {
                return a;
            }
            if within_turn(a - centre, turn, out.atan2()) {
                return centre + out.normalize() * radius;
            }
            if p.distance_squared(a) <= p.distance_squared(b) { a } else { b }
        }
    }
}

/// Distance from `p` to the edge.
pub fn point_to_edge(p: Point, edge: &Edge) -> f64 {
    match *edge {
        // At the very centre of an arc every point of it is equally near.
        Edge::Arc { centre, radius, .. } if p == centre => radius,
        _ => p.distance(nearest_on_edge(p, edge)),
    }
}

/// The point of the straight line from `a` to `b` nearest to `p`.
pub fn nearest_on_segment(p: Point, a: Point, b: Point) -> Point {
    let along = b - a;
    let len2 = along.hypot2();
    if len2 == 0.0 {
        return a;
    }
    a + along * ((p - a).dot(along) / len2).clamp(0.0, 1.0)
}

/// The nearest points of two edges, the first on `e`, the second on `f`. If they cross, the crossing twice.
pub fn nearest_of_edges(e: &Edge, f: &Edge) -> (Point, Point) {
    if let Some(x) = crossings(e, f).into_iter().next() {
        return (x, x);
    }
    // Away from a crossing the nearest pair has an end point of one edge, or lies on the line through a
    // circle's centre square to the other edge.
    let mut best = (e.start(), nearest_on_edge(e.start(), f));
    let mut take = |p: Point, q: Point| {
        if p.distance_squared(q) < best.0.distance_squared(best.1) {
            best = (p, q);
        }
    };
    take(e.end(), nearest_on_edge(e.end(), f));
    for q in [f.start(), f.end()] {
        take(nearest_on_edge(q, e), q);
    }
    if let Some(c) = centre_of(e) {
        let q = nearest_on_edge(c, f);
        take(nearest_on_edge(q, e), q);
    }
    if let Some(c) = centre_of(f) {
        let p = nearest_on_edge(c, e);
        take(p, nearest_on_edge(p, f));
    }
    if let (Some(c), Some(d)) = (centre_of(e), centre_of(f)) {
        // One circle inside the other: the pair lies on the far side of the line through both centres.
        let axis = d - c;
        if axis.hypot2() > 0.0 {
            for way in [axis.normalize(), -axis.normalize()] {
                let p = nearest_on_edge(c + way, e);
                take(p, nearest_on_edge(p, f));
                let q = nearest_on_edge(d + way, f);
                take(nearest_on_edge(q, e), q);
            }
        }
    }
    best
}

/// Distance between two edges; 0 if they touch or cross.
pub fn edge_to_edge(e: &Edge, f: &Edge) -> f64 {
    let (p, q) = nearest_of_edges(e, f);
    p.distance(q)
}

fn centre_of(e: &Edge) -> Option<Point> {
    match *e {
        Edge::Line { .. } => None,
        Edge::Arc { centre, .. } => Some(centre),
    }
}

/// Points where two edges meet: none, one or two. Two straight edges on one line give none even where they
/// overlap; their end points tell the distance.
pub fn crossings(e: &Edge, f: &Edge) -> Vec<Point> {
    match (e, f) {
        (Edge::Line { a, b }, Edge::Line { a: c, b: d }) => {
            let (u, v) = (*b - *a, *d - *c);
            let sine = u.cross(v);
            if sine.abs() <= PARALLEL_SINE * u.hypot() * v.hypot() {
                return vec![];
            }
            let s = (*c - *a).cross(v) / sine;
            let t = (*c - *a).cross(u) / sine;
            let on = |x: f64| (0.0..=1.0).contains(&x);
            if on(s) && on(t) { vec![*a + u * s] } else { vec![] }
        }
        (Edge::Line { a, b }, arc @ Edge::Arc { .. }) | (arc @ Edge::Arc { .. }, Edge::Line { a, b }) => {
            line_with_arc(*a, *b, arc)
        }
        (Edge::Arc { .. }, Edge::Arc { .. }) => arc_with_arc(e, f),
    }
}

fn line_with_arc(a: Point, b: Point, arc: &Edge) -> Vec<Point> {
    let Edge::Arc { a: from, centre, radius, turn, .. } = *arc else { return vec![] };
    let u = b - a;
    let len2 = u.hypot2();
    if len2 == 0.0 {
        return vec![];
    }
    let foot = (centre - a).dot(u) / len2;
    let off2 = (a + u * foot - centre).hypot2();
    let half2 = radius * radius - off2;
    if half2 < 0.0 {
        return vec![];
    }
    let half = (half2 / len2).sqrt();
    [foot - half, foot + half]
        .into_iter()
        .filter(|s| (0.0..=1.0).contains(s))
        .map(|s| a + u * s)
        .filter(|p| within_turn(from - centre, turn, (*p - centre).atan2()))
        .collect()
}

fn arc_with_arc(e: &Edge, f: &Edge) -> Vec<Point> {
    let (
        Edge::Arc { a: from_e, centre: c, radius: r, turn: turn_e, .. },
        Edge::Arc { a: from_f, centre: d, radius: q, turn: turn_f, .. },
    ) = (*e, *f)
    else {
        return vec![];
    };
    let axis = d - c;
    let apart = axis.hypot();
    if apart == 0.0 || apart > r + q || apart < (r - q).abs() {
        return vec![];
    }
    let along = (apart * apart + r * r - q * q) / (2.0 * apart);
    let up = (r * r - along * along).max(0.0).sqrt();
    let axis = axis / apart;
    let left = Vec2::new(-axis.y, axis.x);
    [up, -up]
        .into_iter()
        .map(|h| c + axis * along + left * h)
        .filter(|p| within_turn(from_e - c, turn_e, (*p - c).atan2()))
        .filter(|p| within_turn(from_f - d, turn_f, (*p - d).atan2()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::edge_strategy;
    use proptest::prelude::*;

    proptest! {
        /// Against brute force: points every 1/400 of either edge.
        #[test]
        fn distance_of_edges_is_the_least_over_their_points(e in edge_strategy(), f in edge_strategy()) {
            let n = 400;
            let got = edge_to_edge(&e, &f);
            let mut brute = f64::INFINITY;
            for i in 0..=n {
                brute = brute.min(point_to_edge(e.at(f64::from(i) / f64::from(n)), &f));
            }
            // Half a step of `e` is the most the samples can miss.
            let slack = e.length() / f64::from(n) / 2.0 + 1e-9;
            prop_assert!(got <= brute + 1e-9 && brute <= got + slack, "got {got}, brute {brute}");
        }

        #[test]
        fn distance_to_an_edge_is_the_least_over_its_points(e in edge_strategy(), x in -60.0..60.0, y in -60.0..60.0) {
            let p = Point::new(x, y);
            let brute = (0..=2000).map(|i| p.distance(e.at(f64::from(i) / 2000.0))).fold(f64::INFINITY, f64::min);
            let got = point_to_edge(p, &e);
            prop_assert!(got <= brute + 1e-9 && brute <= got + e.length() / 4000.0 + 1e-9);
        }
    }
}
