//! How a planned mark would lie somewhere else: distances only, for a hand that drags it.

use super::placed::{FeatureFit, Placed, PlacedGlyph};
use super::relation::lie;
use crate::surface::Skin;
use geom::{Point, Ring, Vertex};

/// Relation and net clearance of every feature with the mark's centre at `centre`, flat; the plan stays as it is.
pub fn tried(placed: &Placed, skin: &Skin, centre: Point) -> Vec<FeatureFit> {
    let by = centre - placed.centre;
    let moved = |ring: &Ring| Ring {
        vertices: ring.vertices.iter().map(|v| Vertex { p: v.p + by, ..*v }).collect(),
    };
    let glyphs: Vec<PlacedGlyph> = placed
        .glyphs
        .iter()
        .map(|g| PlacedGlyph {
            corners: g.corners.map(|c| c + by),
            rings: g.rings.iter().map(moved).collect(),
            ..g.clone()
        })
        .collect();
    skin.features.iter().map(|f| lie(&glyphs, f)).collect()
}
