//! One paint edge against one wall: how clear they are when the shape is moved by t, and how that changes.
//!
//! For a straight edge and a convex piece of wall the signed distance is a convex function of t: a tilted
//! plane through its value at one place lies below it everywhere, and the same plane lifted by what it misses
//! at the corners of a box lies above it all over the box. For an arc the plane is taken from the point of the
//! arc that is nearest at the box's middle: the whole arc cannot be farther than that point.

use crate::distance::{nearest_of_edges, nearest_on_segment};
use crate::maximin::Plane;
use crate::point::{Point, Vec2, left_of};
use crate::ring::Edge;

/// A convex piece of a wall.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// All points within `radius` of `centre`.
    Disc {
        /// Centre.
        centre: Point,
        /// Radius, mm.
        radius: f64,
    },
    /// All points within `half_width` of a straight line.
    Bar {
        /// One end.
        a: Point,
        /// The other.
        b: Point,
        /// Half its width, mm.
        half_width: f64,
    },
    /// A convex polygon.
    Polygon(Convex),
}

/// A convex polygon with what is asked of it often.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    /// Its corners, counter-clockwise.
    corners: Vec<Point>,
    /// Outward unit normal of each side and its offset from the origin.
    sides: Vec<(Vec2, f64)>,
}

impl Convex {
    /// From its corners, counter-clockwise, no two neighbours the same.
    pub fn new(corners: Vec<Point>) -> Convex {
        let n = corners.len();
        let sides = (0..n)
            .map(|k| {
                let along = corners[(k + 1) % n] - corners[k];
                let normal = -left_of(along) / along.hypot();
                (normal, normal.dot(corners[k].to_vec2()))
            })
            .collect();
        Convex { corners, sides }
    }

    /// Its corners, counter-clockwise.
    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    fn holds(&self, p: Point) -> bool {
        self.sides.iter().all(|(normal, limit)| normal.dot(p.to_vec2()) <= *limit)
    }
}

/// A paint edge with what is asked of it often.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PaintEdge {
    /// Straight.
    Straight {
        /// Start.
        a: Point,
        /// From start to end.
        along: Vec2,
        /// One over its length squared; 0 for a mere point.
        inverse: f64,
    },
    /// Part of a circle.
    Bent {
        /// The edge.
        arc: Edge,
        /// Centre of its circle.
        centre: Point,
        /// Radius of its circle.
        radius: f64,
        /// Unit direction from the centre to the arc's middle.
        middle: Vec2,
        /// Cosine of half the angle it turns through.
        cos_half: f64,
    },
}

/// Signed distance (negative = depth) and its slope with respect to moving the edge.
pub type ValueAndSlope = (f64, Vec2);

impl PaintEdge {
    /// From an edge.
    pub fn new(edge: &Edge) -> PaintEdge {
        match *edge {
            Edge::Line { a, b } => straight(a, b),
            arc @ Edge::Arc { centre, radius, turn, .. } => PaintEdge::Bent {
                arc,
                centre,
                radius,
                middle: (arc.at(0.5) - centre) / radius,
                cos_half: (turn / 2.0).cos(),
            },
        }
    }

    /// The edge it was made from.
    pub fn edge(&self) -> Edge {
        match *self {
            PaintEdge::Straight { a, along, .. } => Edge::Line { a, b: a + along },
            PaintEdge::Bent { arc, .. } => arc,
        }
    }

    /// True if a plane through its clearance lies below it everywhere.
    pub fn is_straight(&self) -> bool {
        matches!(self, PaintEdge::Straight { .. })
    }

    /// Distance of a point to the edge.
    pub fn distance(&self, p: Point) -> f64 {
        p.distance(self.nearest(p))
    }

    fn nearest(&self, p: Point) -> Point {
        match *self {
            PaintEdge::Straight { a, along, inverse } => {
                a + along * ((p - a).dot(along) * inverse).clamp(0.0, 1.0)
            }
            PaintEdge::Bent { arc, centre, radius, middle, cos_half } => {
                let out = p - centre;
                let far = out.hypot();
                if far == 0.0 {
                    arc.start()
                } else if out.dot(middle) >= far * cos_half {
                    centre + out * (radius / far)
                } else {
                    let (a, b) = (arc.start(), arc.end());
                    if p.distance_squared(a) <= p.distance_squared(b) { a } else { b }
                }
            }
        }
    }
}

fn straight(a: Point, b: Point) -> PaintEdge {
    let along = b - a;
    let len2 = along.hypot2();
    PaintEdge::Straight { a, along, inverse: if len2 > 0.0 { 1.0 / len2 } else { 0.0 } }
}

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
        Piece::Polygon(polygon) => match edge {
            PaintEdge::Straight { a, along, .. } => straight_to_polygon(*a + t, *along, polygon),
            PaintEdge::Bent { .. } => {
                let (value, slope, _) = bent_to_polygon(edge, polygon, t);
                (value, slope)
            }
        },
    }
}

/// A plane over d that is nowhere below the clearance of `edge` moved by `t + d`, for |d.x| <= half.x and
/// |d.y| <= half.y. `at_middle` is what `clearance` gives at `t`.
pub fn lid(edge: &PaintEdge, piece: &Piece, t: Vec2, half: Vec2, at_middle: ValueAndSlope) -> Plane {
    let (value, gradient) = at_middle;
    // An arc is represented by its nearest point: a point against a convex piece is convex again.
    let stand_in = if edge.is_straight() {
        *edge
    } else {
        let p = foot(edge, piece, t);
        straight(p, p)
    };
    let missed = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .into_iter()
        .map(|(sx, sy)| {
            let d = Vec2::new(sx * half.x, sy * half.y);
            clearance(&stand_in, piece, t + d).0 - value - gradient.dot(d)
        })
        .fold(0.0, f64::max);
    Plane { value: value + missed, gradient }
}

/// Distance and the unit direction from q to p; without a direction where they coincide.
fn apart(p: Point, q: Point) -> ValueAndSlope {
    let v = p - q;
    let d = v.hypot2().sqrt();
    (d, if d > 0.0 { v / d } else { Vec2::ZERO })
}

/// The nearest points of an edge and the straight line from `c` to `d`; the same point twice if they cross.
fn nearest_pair(edge: &PaintEdge, c: Point, d: Point) -> (Point, Point) {
    let PaintEdge::Straight { a, along, .. } = *edge else {
        return nearest_of_edges(&edge.edge(), &Edge::Line { a: c, b: d });
    };
    let (b, other) = (a + along, d - c);
    // They cross if each one's ends lie on both sides of the other.
    let (s0, s1) = (other.cross(a - c), other.cross(b - c));
    let (r0, r1) = (along.cross(c - a), along.cross(d - a));
    if s0 * s1 < 0.0 && r0 * r1 < 0.0 {
        let x = a + along * (s0 / (s0 - s1));
        return (x, x);
    }
    let mut best = (a, nearest_on_segment(a, c, d));
    let mut least = best.0.distance_squared(best.1);
    for (p, q) in [(b, nearest_on_segment(b, c, d)), (edge.nearest(c), c), (edge.nearest(d), d)] {
        let far = p.distance_squared(q);
        if far < least {
            (best, least) = ((p, q), far);
        }
    }
    best
}

/// A straight edge from `a` along `u` (the polygon stands still).
fn straight_to_polygon(a: Point, u: Vec2, polygon: &Convex) -> ValueAndSlope {
    // The stretch of the edge inside all sides.
    let (mut lo, mut hi): (f64, f64) = (0.0, 1.0);
    for (normal, limit) in &polygon.sides {
        let room = limit - normal.dot(a.to_vec2());
        let along = normal.dot(u);
        if along > 0.0 {
            hi = hi.min(room / along);
        } else if along < 0.0 {
            lo = lo.max(room / along);
        } else if room < 0.0 {
            hi = f64::NEG_INFINITY;
        }
    }
    if lo <= hi {
        let (depth, normal) = deepest_along(a, u, polygon);
        if depth >= 0.0 {
            return (-depth, normal);
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
    apart(best.1, best.2)
}

/// Greatest depth along a straight edge and the slope of minus that depth. Along the edge the depth under each
/// side changes evenly: walk up along the lowest until it no longer rises.
fn deepest_along(a: Point, u: Vec2, polygon: &Convex) -> ValueAndSlope {
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
            return (at + rise * f, polygon.sides[lowest].0);
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
                    return (at + rise * meet, normal);
                }
                (f, lowest) = (meet, k);
            }
            _ => return (at + rise, polygon.sides[lowest].0),
        }
    }
    let (at, rise) = depth(lowest);
    (at + rise * f, polygon.sides[lowest].0)
}

/// The point of an arc that is nearest to, or deepest in, the piece when the arc is moved by t.
fn foot(edge: &PaintEdge, piece: &Piece, t: Vec2) -> Point {
    match piece {
        Piece::Disc { centre, .. } => edge.nearest(*centre - t),
        Piece::Bar { a, b, .. } => nearest_pair(edge, *a - t, *b - t).0,
        Piece::Polygon(polygon) => bent_to_polygon(edge, polygon, t).2,
    }
}

/// An arc against a polygon: signed distance, slope, and the arc's point (unmoved) that it is measured from.
fn bent_to_polygon(edge: &PaintEdge, polygon: &Convex, t: Vec2) -> (f64, Vec2, Point) {
    let arc = edge.edge();
    let n = polygon.corners.len();
    let mut best = (f64::INFINITY, arc.start(), arc.start());
    for k in 0..n {
        let side = Edge::Line { a: polygon.corners[k] - t, b: polygon.corners[(k + 1) % n] - t };
        let (p, q) = nearest_of_edges(&arc, &side);
        let far = p.distance_squared(q);
        if far < best.0 {
            best = (far, p, q);
        }
    }
    if best.0 > 0.0 && !polygon.holds(arc.start() + t) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::edge_to_region;
    use crate::region::Region;
    use crate::ring::{Ring, Vertex};
    use proptest::prelude::*;

    fn edge_strategy() -> impl Strategy<Value = Edge> {
        let xy = -50.0..50.0_f64;
        (xy.clone(), xy.clone(), xy.clone(), xy, prop_oneof![Just(0.0), -2.0..2.0_f64]).prop_filter_map(
            "an edge with length",
            |(x, y, z, w, bulge)| {
                let (a, b) = (Point::new(x, y), Point::new(z, w));
                let ring = Ring { vertices: vec![Vertex { p: a, bulge }, Vertex { p: b, bulge: 0.0 }] };
                (a.distance(b) > 1.0).then(|| ring.edges().next().unwrap())
            },
        )
    }

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
            let plane = lid(&PaintEdge::new(&e), &piece, t, half, clearance(&PaintEdge::new(&e), &piece, t));
            let d = Vec2::new(fx * hx, fy * hy);
            let there = edge_to_region(&moved(&e, t + d), &region(&piece));
            prop_assert!(there <= plane.at(d) + 2e-3, "clearance {there}, lid {}", plane.at(d));
        }
    }
}
