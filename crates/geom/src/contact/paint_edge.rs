//! An edge of the painted shape, straight or bent, ready to be asked for its nearest point again and again.

use crate::point::{Point, Vec2};
use crate::ring::Edge;

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

    /// Its start and its end.
    pub(super) fn ends(&self) -> (Point, Point) {
        match *self {
            PaintEdge::Straight { a, along, .. } => (a, a + along),
            PaintEdge::Bent { arc, .. } => (arc.start(), arc.end()),
        }
    }

    /// A point where the straight line from `c` to `d` crosses it.
    pub(super) fn crossing(&self, c: Point, d: Point) -> Option<Point> {
        let u = d - c;
        match *self {
            PaintEdge::Straight { a, along, .. } => {
                // They cross if each one's ends lie on both sides of the other.
                let (s0, s1) = (u.cross(a - c), u.cross(a + along - c));
                let (r0, r1) = (along.cross(c - a), along.cross(d - a));
                (s0 * s1 < 0.0 && r0 * r1 < 0.0).then(|| a + along * (s0 / (s0 - s1)))
            }
            PaintEdge::Bent { centre, radius, middle, cos_half, .. } => {
                let len2 = u.hypot2();
                if len2 == 0.0 {
                    return None;
                }
                let to_foot = (centre - c).dot(u) / len2;
                let half2 = (radius * radius - (c + u * to_foot - centre).hypot2()) / len2;
                if half2 < 0.0 {
                    return None;
                }
                let half = half2.sqrt();
                [to_foot - half, to_foot + half]
                    .into_iter()
                    .filter(|s| (0.0..=1.0).contains(s))
                    .map(|s| c + u * s)
                    .find(|x| (*x - centre).dot(middle) >= radius * cos_half)
            }
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

    pub(super) fn nearest(&self, p: Point) -> Point {
        match *self {
            PaintEdge::Straight { a, along, inverse } => {
                a + along * ((p - a).dot(along) * inverse).clamp(0.0, 1.0)
            }
            PaintEdge::Bent { arc, centre, radius, middle, cos_half } => {
                let out = p - centre;
                let far = out.hypot2().sqrt();
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

pub(super) fn straight(a: Point, b: Point) -> PaintEdge {
    let along = b - a;
    let len2 = along.hypot2();
    PaintEdge::Straight { a, along, inverse: if len2 > 0.0 { 1.0 / len2 } else { 0.0 } }
}
