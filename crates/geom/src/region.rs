//! A place on a surface that a layout must respect: a disc, an area with corners, or a band along a path.

use crate::point::Point;
use crate::ring::Ring;

/// A closed region of the plane, mm.
#[derive(Clone, Debug, PartialEq)]
pub enum Region {
    /// All points within `radius` of `centre`.
    Disc {
        /// Centre.
        centre: Point,
        /// Radius, mm.
        radius: f64,
    },
    /// An area: outer rings counter-clockwise, holes clockwise.
    Area {
        /// Its rings.
        rings: Vec<Ring>,
    },
    /// All points within half the `width` of a path (its ends are round).
    Band {
        /// Corners of the path, at least two.
        path: Vec<Point>,
        /// Full width, mm.
        width: f64,
    },
}
