//! One paint edge against one wall: how clear they are when the shape is moved by t, and how that changes.
//!
//! For a straight edge and a convex piece of wall the signed distance is a convex function of t: a tilted
//! plane through its value at one place lies below it everywhere, and the same plane lifted by what it misses
//! at the corners of a box lies above it all over the box. For an arc the plane is taken from the point of the
//! arc that is nearest at the box's middle: the whole arc cannot be farther than that point.

use crate::distance::{nearest_of_edges, nearest_on_edge, nearest_on_segment};
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
    /// A convex polygon, counter-clockwise.
    Polygon {
        /// Its corners.
        corners: Vec<Point>,
    },
}

/// Signed distance (negative = depth) and its slope with respect to moving the edge.
pub type ValueAndSlope = (f64, Vec2);

/// Least signed distance of `edge` moved by `t` to a piece, and its slope.
pub fn clearance(edge: &Edge, piece: &Piece, t: Vec2) -> ValueAndSlope {
    // Moving the edge by t is moving the piece by -t.
    match piece {
        Piece::Disc { centre, radius } => {
            let c = *centre - t;
            let p = nearest_on_edge(c, edge);
            let (d, way) = apart(p, c);
            (d - radius, way)
        }
        Piece::Bar { a, b, half_width } => {
            let bar = Edge::Line { a: *a - t, b: *b - t };
            let (p, q) = nearest_of_edges(edge, &bar);
            let (d, way) = apart(p, q);
            (d - half_width, way)
        }
        Piece::Polygon { corners } => to_polygon(edge, corners, t),
    }
}

/// A plane over d that is nowhere below the clearance of `edge` moved by `t + d`, for |d.x| <= half.x and
/// |d.y| <= half.y. `at_middle` is what `clearance` gives at `t`.
pub fn lid(edge: &Edge, piece: &Piece, t: Vec2, half: Vec2, at_middle: ValueAndSlope) -> Plane {
    let (value, gradient) = at_middle;
    // An arc is represented by its nearest point: a point against a convex piece is convex again.
    let stand_in = match edge {
        Edge::Line { .. } => *edge,
        Edge::Arc { .. } => {
            let p = foot(edge, piece, t);
            Edge::Line { a: p, b: p }
        }
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
    let d = v.hypot();
    (d, if d > 0.0 { v / d } else { Vec2::ZERO })
}

/// The point of an arc that is nearest to, or deepest in, the piece when the arc is moved by t.
fn foot(arc: &Edge, piece: &Piece, t: Vec2) -> Point {
    match piece {
        Piece::Disc { centre, .. } => nearest_on_edge(*centre - t, arc),
        Piece::Bar { a, b, .. } => nearest_of_edges(arc, &Edge::Line { a: *a - t, b: *b - t }).0,
        Piece::Polygon { corners } => {
            let outside = nearest_outside(arc, corners, t);
            if outside.0 > 0.0 && !holds(corners, arc.start() + t) {
                outside.1
            } else {
                deepest_sample(arc, corners, t).1
            }
        }
    }
}

fn to_polygon(edge: &Edge, corners: &[Point], t: Vec2) -> ValueAndSlope {
    let (d, p, q) = nearest_outside(edge, corners, t);
    if d > 0.0 && !holds(corners, edge.start() + t) {
        return apart(p, q);
    }
    match edge {
        Edge::Line { a, b } => {
            // Along the edge each side's depth changes evenly: the greatest least depth lies at an end or
            // where two sides' depths are equal.
            let n = corners.len();
            let sides: Vec<(Vec2, f64, f64)> = (0..n)
                .map(|k| {
                    let (normal, limit) = side(corners, k);
                    let depth = |p: Point| limit - normal.dot((p + t).to_vec2());
                    (normal, depth(*a), depth(*b))
                })
                .collect();
            let least = |f: f64| {
                sides
                    .iter()
                    .map(|(normal, d0, d1)| (d0 + (d1 - d0) * f, *normal))
                    .min_by(|x, y| x.0.total_cmp(&y.0))
                    .unwrap_or((0.0, Vec2::ZERO))
            };
            let mut best = least(0.0);
            let mut take = |f: f64| {
                if (0.0..=1.0).contains(&f) {
                    let at = least(f);
                    if at.0 > best.0 {
                        best = at;
                    }
                }
            };
            take(1.0);
            for (i, x) in sides.iter().enumerate() {
                for y in &sides[i + 1..] {
                    let closing = (x.2 - x.1) - (y.2 - y.1);
                    if closing != 0.0 {
                        take((y.1 - x.1) / closing);
                    }
                }
            }
            (-best.0, best.1)
        }
        Edge::Arc { .. } => {
            let (depth, _, normal) = deepest_sample(edge, corners, t);
            (-depth, normal)
        }
    }
}

/// Least distance to the polygon's sides and the two points it lies between, in the edge's frame.
fn nearest_outside(edge: &Edge, corners: &[Point], t: Vec2) -> (f64, Point, Point) {
    let n = corners.len();
    let mut best = (f64::INFINITY, edge.start(), edge.start());
    for k in 0..n {
        let (p, q) = match edge {
            // A mere point is asked often (arcs stand in by one).
            Edge::Line { a, b } if a == b => {
                (*a, nearest_on_segment(*a, corners[k] - t, corners[(k + 1) % n] - t))
            }
            _ => nearest_of_edges(edge, &Edge::Line { a: corners[k] - t, b: corners[(k + 1) % n] - t }),
        };
        let d = p.distance(q);
        if d < best.0 {
            best = (d, p, q);
        }
    }
    best
}

/// The deepest of a few points of an arc inside the polygon. The true depth is at least this, so that what is
/// told of it is never too deep; the boxes of a search shrink until it does not matter.
fn deepest_sample(arc: &Edge, corners: &[Point], t: Vec2) -> (f64, Point, Vec2) {
    const SAMPLES: u32 = 16;
    let mut best = (f64::NEG_INFINITY, arc.start(), Vec2::ZERO);
    for i in 0..=SAMPLES {
        let p = arc.at(f64::from(i) / f64::from(SAMPLES));
        let mut least = (f64::INFINITY, Vec2::ZERO);
        for k in 0..corners.len() {
            let (normal, limit) = side(corners, k);
            let depth = limit - normal.dot((p + t).to_vec2());
            if depth < least.0 {
                least = (depth, normal);
            }
        }
        if least.0 > best.0 {
            best = (least.0, p, least.1);
        }
    }
    if best.0 < 0.0 { (0.0, best.1, best.2) } else { best }
}

fn holds(corners: &[Point], p: Point) -> bool {
    (0..corners.len()).all(|k| {
        let (normal, limit) = side(corners, k);
        normal.dot(p.to_vec2()) <= limit
    })
}

/// Outward unit normal of side k and its offset from the origin.
fn side(corners: &[Point], k: usize) -> (Vec2, f64) {
    let a = corners[k];
    let along = corners[(k + 1) % corners.len()] - a;
    let normal = -left_of(along) / along.hypot();
    (normal, normal.dot(a.to_vec2()))
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
            (p(), 5.0..25.0_f64, 3_u32..7, 0.0..1.0_f64).prop_map(|(c, r, n, turn)| Piece::Polygon {
                corners: (0..n)
                    .map(|k| {
                        c + Vec2::from_angle(turn + std::f64::consts::TAU * f64::from(k) / f64::from(n)) * r
                    })
                    .collect()
            }),
        ]
    }

    fn region(piece: &Piece) -> Region {
        match piece {
            Piece::Disc { centre, radius } => Region::Disc { centre: *centre, radius: *radius },
            Piece::Bar { a, b, half_width } => Region::Band { path: vec![*a, *b], width: 2.0 * half_width },
            Piece::Polygon { corners } => Region::Area { rings: vec![Ring::from_points(corners.clone())] },
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
            let got = clearance(&e, &piece, t).0;
            let want = edge_to_region(&moved(&e, t), &region(&piece));
            let is_arc = matches!(e, Edge::Arc { .. });
            if is_arc && want < 0.0 && matches!(piece, Piece::Polygon { .. }) {
                // Told from samples: never too deep, and negative or zero.
                prop_assert!(got >= want - 2e-3 && got <= 1e-9, "got {got}, want {want}");
            } else {
                prop_assert!((got - want).abs() < 2e-3, "got {got}, want {want}");
            }
        }

        #[test]
        fn a_lid_is_nowhere_below_the_clearance(
            e in edge_strategy(), piece in piece_strategy(), x in -20.0..20.0_f64, y in -20.0..20.0_f64,
            hx in 0.1..10.0_f64, hy in 0.1..10.0_f64, fx in -1.0..1.0_f64, fy in -1.0..1.0_f64,
        ) {
            let (t, half) = (Vec2::new(x, y), Vec2::new(hx, hy));
            let plane = lid(&e, &piece, t, half, clearance(&e, &piece, t));
            let d = Vec2::new(fx * hx, fy * hy);
            let there = edge_to_region(&moved(&e, t + d), &region(&piece));
            prop_assert!(there <= plane.at(d) + 2e-3, "clearance {there}, lid {}", plane.at(d));
        }
    }
}
