//! One paint edge against a convex polygon: how far apart, or how deep the deepest point of the edge lies.

use super::paint_edge::{PaintEdge, straight};
use super::piece::Convex;
use super::{apart, nearest_pair};
use crate::distance::nearest_on_segment;
use crate::point::{Point, Vec2, left_of};

/// A straight edge from `a` along `u` (the polygon stands still): signed distance, slope, and the point of the edge
/// that it is measured from.
pub(super) fn straight_to_polygon(a: Point, u: Vec2, polygon: &Convex) -> (f64, Vec2, Point) {
    let beyond = |p: Point, k: usize| {
        let (normal, limit) = polygon.sides[k];
        normal.dot(p.to_vec2()) - limit
    };
    let sides = 0..polygon.sides.len();
    // Beyond one side with both ends, it cannot enter.
    if !sides.clone().any(|k| beyond(a, k) > 0.0 && beyond(a + u, k) > 0.0) {
        // The stretch of the edge inside all sides.
        let (mut lo, mut hi): (f64, f64) = (0.0, 1.0);
        for k in sides {
            let along = polygon.sides[k].0.dot(u);
            let room = -beyond(a, k);
            if along > 0.0 {
                hi = hi.min(room / along);
            } else if along < 0.0 {
                lo = lo.max(room / along);
            } else if room < 0.0 {
                hi = f64::NEG_INFINITY;
            }
        }
        if lo <= hi {
            let (depth, normal, f) = deepest_along(a, u, polygon);
            if depth >= 0.0 {
                return (-depth, normal, a + u * f);
            }
        }
    }
    let (b, edge) = (a + u, straight(a, a + u));
    let n = polygon.corners.len();
    let mut best = (f64::INFINITY, a, a);
    let mut take = |p: Point, q: Point| {
        let far = p.distance_squared(q);
        if far < best.0 {
            best = (far, p, q);
        }
    };
    for k in 0..n {
        let (c, d) = (polygon.corners[k], polygon.corners[(k + 1) % n]);
        let (normal, limit) = polygon.sides[k];
        take(edge.nearest(c), c);
        // Only a side that an end looks at from outside can be that end's nearest.
        for p in [a, b] {
            if normal.dot(p.to_vec2()) > limit {
                take(p, nearest_on_segment(p, c, d));
            }
        }
    }
    let (d, way) = apart(best.1, best.2);
    (d, way, best.1)
}

/// Greatest depth along a straight edge, the slope of minus that depth, and how far along it lies (0 to 1). Along the edge the depth under each
/// side changes evenly: walk up along the lowest until it no longer rises.
fn deepest_along(a: Point, u: Vec2, polygon: &Convex) -> (f64, Vec2, f64) {
    let depth = |k: usize| {
        let (normal, limit) = polygon.sides[k];
        (limit - normal.dot(a.to_vec2()), -normal.dot(u))
    };
    let n = polygon.sides.len();
    let mut f = 0.0;
    let mut lowest = 0;
    for k in 1..n {
        let (x, y) = (depth(k), depth(lowest));
        if x.0 < y.0 || (x.0 <= y.0 && x.1 < y.1) {
            lowest = k;
        }
    }
    // Each step goes to a side that rises less; there are only so many.
    for _ in 0..n {
        let (at, rise) = depth(lowest);
        if rise <= 0.0 {
            return (at + rise * f, polygon.sides[lowest].0, f);
        }
        let mut next: Option<(f64, usize)> = None;
        for k in 0..n {
            let (other, slower) = depth(k);
            if slower < rise {
                let meet = ((other - at) / (rise - slower)).max(f);
                let steeper = |best: usize| slower < depth(best).1;
                if next.is_none_or(|x| meet < x.0 || (meet <= x.0 && steeper(x.1))) {
                    next = Some((meet, k));
                }
            }
        }
        match next {
            Some((meet, k)) if meet < 1.0 => {
                let slower = depth(k).1;
                if slower <= 0.0 {
                    // The top lies where one rises and one falls: neither alone bounds it.
                    let share = -slower / (rise - slower);
                    let normal = polygon.sides[lowest].0 * share + polygon.sides[k].0 * (1.0 - share);
                    return (at + rise * meet, normal, meet);
                }
                (f, lowest) = (meet, k);
            }
            _ => return (at + rise, polygon.sides[lowest].0, 1.0),
        }
    }
    let (at, rise) = depth(lowest);
    (at + rise * f, polygon.sides[lowest].0, f)
}

/// An arc against a polygon: signed distance, slope, and the arc's point (unmoved) that it is measured from.
pub(super) fn bent_to_polygon(edge: &PaintEdge, polygon: &Convex, t: Vec2) -> (f64, Vec2, Point) {
    let (start, _) = edge.ends();
    let n = polygon.corners.len();
    let mut best = (f64::INFINITY, start, start);
    for k in 0..n {
        let (c, d) = (polygon.corners[k] - t, polygon.corners[(k + 1) % n] - t);
        if let PaintEdge::Bent { centre, radius, .. } = edge {
            // No point of the arc is nearer to the side than the circle is.
            let off = centre.distance_squared(nearest_on_segment(*centre, c, d)).sqrt() - radius;
            if off > 0.0 && off * off >= best.0 {
                continue;
            }
        }
        let (p, q) = nearest_pair(edge, c, d);
        let far = p.distance_squared(q);
        if far < best.0 {
            best = (far, p, q);
        }
    }
    if best.0 > 0.0 && !polygon.holds(start + t) {
        let (d, way) = apart(best.1, best.2);
        return (d, way, best.1);
    }
    deepest_on_arc(edge, polygon, t)
}

/// The deepest point of an arc that enters a polygon: an end, the point farthest in under one side, or a point
/// as deep under two sides.
fn deepest_on_arc(edge: &PaintEdge, polygon: &Convex, t: Vec2) -> (f64, Vec2, Point) {
    let PaintEdge::Bent { arc, centre, radius, middle, cos_half } = *edge else {
        return (f64::INFINITY, Vec2::ZERO, Point::ZERO);
    };
    let mut best = (f64::NEG_INFINITY, Vec2::ZERO, arc.start());
    let mut take = |p: Point| {
        let mut least = (f64::INFINITY, Vec2::ZERO);
        for (normal, limit) in &polygon.sides {
            let depth = limit - normal.dot((p + t).to_vec2());
            if depth < least.0 {
                least = (depth, *normal);
            }
        }
        if least.0 > best.0 {
            best = (least.0, least.1, p);
        }
    };
    take(arc.start());
    take(arc.end());
    let mut on_circle = |out: Vec2| {
        if out.dot(middle) >= cos_half {
            take(centre + out * radius);
        }
    };
    let moved = (centre + t).to_vec2();
    for (i, (u, limit)) in polygon.sides.iter().enumerate() {
        on_circle(-*u);
        for (v, other) in &polygon.sides[i + 1..] {
            // (u - v) . (moved + radius out) = limit - other
            let axis = *u - *v;
            let steep = axis.hypot();
            let along = (limit - other - axis.dot(moved)) / (steep * radius);
            if along.abs() <= 1.0 {
                let aside = (1.0 - along * along).sqrt();
                let axis = axis / steep;
                on_circle(axis * along + left_of(axis) * aside);
                on_circle(axis * along - left_of(axis) * aside);
            }
        }
    }
    // Touching without entering is a depth of nothing.
    (-best.0.max(0.0), best.1, best.2)
}
