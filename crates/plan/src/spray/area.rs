//! Painted and sprayed area: the letters themselves, and all that the fan reaches round them.
//!
//! Sprayed is the paint's outline grown by half the fan (common practice, derived in the fact sheet B1), clipped
//! to the skin; what two letters share is counted once.

use super::shots::Shot;
use crate::surface::Skin;
use geom::boolean::{intersection, outset, union};
use geom::{Point, Ring};

/// Distance, mm, by which the edge of a sprayed area may lie off the true one. chosen: paint is measured to a
/// few per cent; on 10 m of edge this is 0.002 m2.
const EDGE_MM: f64 = 0.2;

/// Square millimetres in a square metre.
pub const M2: f64 = 1.0e6;

/// Painted area of some letters, m2.
pub fn painted_m2(shots: &[&Shot]) -> f64 {
    shots.iter().map(|s| s.area()).sum::<f64>() / M2
}

/// Sprayed area of some letters with a fan of `fan` mm, m2.
pub fn sprayed_m2(skins: &[Skin], shots: &[&Shot], fan: f64) -> f64 {
    let mut sum = 0.0;
    for (k, skin) in skins.iter().enumerate() {
        let rings: Vec<Ring> =
            shots.iter().filter(|s| s.skin == k).flat_map(|s| s.rings.iter().cloned()).collect();
        if !rings.is_empty() {
            sum +=
                area(&intersection(&outset(&rings, fan / 2.0, EDGE_MM), std::slice::from_ref(&skin.outline)));
        }
    }
    sum / M2
}

/// Area and centroid of the painted shapes inside an outline, mm2 and flat; `None` if nothing is.
pub fn painted_inside(shots: &[&Shot], outline: &Ring) -> Option<(f64, Point)> {
    let rings: Vec<Ring> = shots.iter().flat_map(|s| s.rings.iter().cloned()).collect();
    let inside = intersection(&union(&rings, &[]), std::slice::from_ref(outline));
    let whole = area(&inside);
    (whole > 0.0).then(|| {
        // The first moment of a polygon, edge by edge.
        let mut moment = geom::Vec2::ZERO;
        for ring in &inside {
            let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
            for i in 0..p.len() {
                let (a, b) = (p[i].to_vec2(), p[(i + 1) % p.len()].to_vec2());
                moment += (a + b) * (a.cross(b) / 6.0);
            }
        }
        (whole, (moment / whole).to_point())
    })
}

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}
