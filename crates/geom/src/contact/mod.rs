//! One paint edge against one wall: how clear they are when the shape is moved by t, and how that changes.
//!
//! For a straight edge and a convex piece of wall the signed distance is a convex function of t: a tilted
//! plane through its value at one place lies below it everywhere, and a plane that is not below it at the corners
//! of a box lies above it all over the box. For an arc the plane is taken from the point of the
//! arc that is nearest at the box's middle: the whole arc cannot be farther than that point.

mod paint_edge;
mod piece;
mod polygon;

pub use paint_edge::PaintEdge;
pub use piece::{Convex, Piece};

use crate::distance::nearest_on_segment;
use crate::maximin::Plane;
use crate::point::{Point, Vec2};
use paint_edge::straight;
use polygon::{bent_to_polygon, straight_to_polygon};

/// Signed distance (negative = depth) and its slope with respect to moving the edge.
pub type ValueAndSlope = (f64, Vec2);

/// Least signed distance of `edge` moved by `t` to a piece, and its slope. For a straight edge the plane
/// through the value with this slope is nowhere above the clearance.
pub fn clearance(edge: &PaintEdge, piece: &Piece, t: Vec2) -> ValueAndSlope {
    // Moving the edge by t is moving the piece by -t.
    match piece {
        Piece::Disc { centre, radius } => {
            let c = *centre - t;
            let (d, way) = apart(edge.nearest(c), c);
            (d - radius, way)
        }
        Piece::Bar { a, b, half_width } => {
            let (p, q) = nearest_pair(edge, *a - t, *b - t);
            let (d, way) = apart(p, q);
            (d - half_width, way)
        }
        Piece::Polygon(polygon) => {
            let (value, slope, _) = to_polygon(edge, polygon, t);
            (value, slope)
        }
    }
}

/// A plane over d that is nowhere below the clearance of `edge` moved by `t + d`, for |d.x| <= half.x and
/// |d.y| <= half.y.
pub fn lid(edge: &PaintEdge, piece: &Piece, t: Vec2, half: Vec2) -> Plane {
    // An arc is represented by its nearest point: a point against a convex piece is convex again.
    let stand_in = if edge.is_straight() {
        *edge
    } else {
        let p = foot(edge, piece, t);
        straight(p, p)
    };
    // What is convex lies under any plane that is above it at the corners. Of four heights the plane through
    // their mean misses each by the same: their twist.
    let [a, b, c, d] = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(sx, sy)| clearance(&stand_in, piece, t + Vec2::new(sx * half.x, sy * half.y)).0);
    let gradient = Vec2::new((b + c - a - d) / (4.0 * half.x), (c + d - a - b) / (4.0 * half.y));
    Plane { value: (a + b + c + d + (a - b + c - d).abs()) / 4.0, gradient }
}

/// Distance and the unit direction from q to p; without a direction where they coincide.
fn apart(p: Point, q: Point) -> ValueAndSlope {
    let v = p - q;
    let d = v.hypot2().sqrt();
    (d, if d > 0.0 { v / d } else { Vec2::ZERO })
}

/// The nearest points of an edge and the straight line from `c` to `d`; the same point twice if they cross.
fn nearest_pair(edge: &PaintEdge, c: Point, d: Point) -> (Point, Point) {
    let (a, b) = edge.ends();
    if let Some(x) = edge.crossing(c, d) {
        return (x, x);
    }
    let mut best = (a, nearest_on_segment(a, c, d));
    let mut least = best.0.distance_squared(best.1);
    let mut take = |p: Point, q: Point| {
        let far = p.distance_squared(q);
        if far < least {
            (best, least) = ((p, q), far);
        }
    };
    take(b, nearest_on_segment(b, c, d));
    take(edge.nearest(c), c);
    take(edge.nearest(d), d);
    if let PaintEdge::Bent { centre, .. } = edge {
        // Square to the line through the circle's centre.
        let q = nearest_on_segment(*centre, c, d);
        take(edge.nearest(q), q);
    }
    best
}

/// Where an edge moved by `t` is nearest to a piece, or deepest in it: the point of the moved edge, the point on
/// the piece's rim, and the signed distance between them.
pub(crate) fn touch(edge: &PaintEdge, piece: &Piece, t: Vec2) -> (Point, Point, f64) {
    let (value, slope) = clearance(edge, piece, t);
    let p = foot(edge, piece, t) + t;
    (p, p - slope * value, value)
}

/// The point of the edge, not moved, that is nearest to the piece, or deepest in it, when it is moved by t.
fn foot(edge: &PaintEdge, piece: &Piece, t: Vec2) -> Point {
    match piece {
        Piece::Disc { centre, .. } => edge.nearest(*centre - t),
        Piece::Bar { a, b, .. } => nearest_pair(edge, *a - t, *b - t).0,
        Piece::Polygon(polygon) => to_polygon(edge, polygon, t).2,
    }
}

/// Signed distance to a polygon, its slope, and the point of the edge, not moved, that it is measured from.
fn to_polygon(edge: &PaintEdge, polygon: &Convex, t: Vec2) -> (f64, Vec2, Point) {
    match edge {
        PaintEdge::Straight { a, along, .. } => {
            let (value, slope, p) = straight_to_polygon(*a + t, *along, polygon);
            (value, slope, p - t)
        }
        PaintEdge::Bent { .. } => bent_to_polygon(edge, polygon, t),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::edge_to_region;
    use crate::region::Region;
    use crate::ring::{Edge, Ring};
    use crate::sample::edge_strategy;
    use proptest::prelude::*;

    fn piece_strategy() -> impl Strategy<Value = Piece> {
        let p = || (-30.0..30.0_f64, -30.0..30.0_f64).prop_map(Point::from);
        prop_oneof![
            (p(), 1.0..15.0_f64).prop_map(|(centre, radius)| Piece::Disc { centre, radius }),
            (p(), p(), 0.1..5.0_f64)
                .prop_filter("length", |(a, b, _)| a.distance(*b) > 1.0)
                .prop_map(|(a, b, half_width)| Piece::Bar { a, b, half_width }),
            (p(), 5.0..25.0_f64, 3_u32..7, 0.0..1.0_f64).prop_map(|(c, r, n, turn)| Piece::Polygon(
                Convex::new(
                    (0..n)
                        .map(|k| {
                            c + Vec2::from_angle(turn + std::f64::consts::TAU * f64::from(k) / f64::from(n))
                                * r
                        })
                        .collect()
                )
            )),
        ]
    }

    fn region(piece: &Piece) -> Region {
        match piece {
            Piece::Disc { centre, radius } => Region::Disc { centre: *centre, radius: *radius },
            Piece::Bar { a, b, half_width } => Region::Band { path: vec![*a, *b], width: 2.0 * half_width },
            Piece::Polygon(polygon) => {
                Region::Area { rings: vec![Ring::from_points(polygon.corners().to_vec())] }
            }
        }
    }

    fn moved(e: &Edge, t: Vec2) -> Edge {
        match *e {
            Edge::Line { a, b } => Edge::Line { a: a + t, b: b + t },
            Edge::Arc { a, b, centre, radius, turn } => {
                Edge::Arc { a: a + t, b: b + t, centre: centre + t, radius, turn }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]

        /// Against `measure`, which finds depth by bisection instead of crossing planes.
        #[test]
        fn clearance_is_the_least_signed_distance(
            e in edge_strategy(), piece in piece_strategy(), x in -20.0..20.0_f64, y in -20.0..20.0_f64,
        ) {
            let t = Vec2::new(x, y);
            let got = clearance(&PaintEdge::new(&e), &piece, t).0;
            let want = edge_to_region(&moved(&e, t), &region(&piece));
            prop_assert!((got - want).abs() < 2e-3, "got {got}, want {want}");
        }

        #[test]
        fn the_plane_of_a_straight_edge_is_nowhere_above_the_clearance(
            e in edge_strategy(), piece in piece_strategy(), x in -20.0..20.0_f64, y in -20.0..20.0_f64,
            dx in -10.0..10.0_f64, dy in -10.0..10.0_f64,
        ) {
            let (t, d, edge) = (Vec2::new(x, y), Vec2::new(dx, dy), PaintEdge::new(&e));
            prop_assume!(edge.is_straight());
            let (value, slope) = clearance(&edge, &piece, t);
            let there = edge_to_region(&moved(&e, t + d), &region(&piece));
            prop_assert!(there >= value + slope.dot(d) - 2e-3, "clearance {there}, plane {}", value + slope.dot(d));
        }

        #[test]
        fn a_lid_is_nowhere_below_the_clearance(
            e in edge_strategy(), piece in piece_strategy(), x in -20.0..20.0_f64, y in -20.0..20.0_f64,
            hx in 0.1..10.0_f64, hy in 0.1..10.0_f64, fx in -1.0..1.0_f64, fy in -1.0..1.0_f64,
        ) {
            let (t, half) = (Vec2::new(x, y), Vec2::new(hx, hy));
            let plane = lid(&PaintEdge::new(&e), &piece, t, half);
            let d = Vec2::new(fx * hx, fy * hy);
            let there = edge_to_region(&moved(&e, t + d), &region(&piece));
            prop_assert!(there <= plane.at(d) + 2e-3, "clearance {there}, lid {}", plane.at(d));
        }
    }
}
