//! A convex piece of a wall: a disc, a bar with round ends, or a convex polygon.

use crate::point::{Point, Vec2, left_of};

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
    pub(super) corners: Vec<Point>,
    /// Outward unit normal of each side and its offset from the origin.
    pub(super) sides: Vec<(Vec2, f64)>,
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

    pub(super) fn holds(&self, p: Point) -> bool {
        self.sides.iter().all(|(normal, limit)| normal.dot(p.to_vec2()) <= *limit)
    }
}
