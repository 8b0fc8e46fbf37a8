//! Shapes that several tests of this crate ask the same of.

use crate::point::Point;
use crate::ring::{Edge, Ring, Vertex};
use proptest::prelude::*;

/// An L: a foot of 200 by 50 and a stem of 50 by 300.
pub(crate) fn ell() -> Ring {
    let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 50.0), (50.0, 50.0), (50.0, 300.0), (0.0, 300.0)];
    Ring::from_points(corners.map(Point::from))
}

/// Area of outlines and their holes together.
pub(crate) fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

/// Straight and bent edges about the origin, each more than 1 from end to end.
pub(crate) fn edge_strategy() -> impl Strategy<Value = Edge> {
    let xy = -50.0..50.0_f64;
    (xy.clone(), xy.clone(), xy.clone(), xy, prop_oneof![Just(0.0), -2.0..2.0_f64]).prop_filter_map(
        "an edge with length",
        |(x, y, z, w, bulge)| {
            let (a, b) = (Point::new(x, y), Point::new(z, w));
            let ring = Ring { vertices: vec![Vertex { p: a, bulge }, Vertex { p: b, bulge: 0.0 }] };
            ring.edges().next().filter(|_| a.distance(b) > 1.0)
        },
    )
}
