//! How a planned mark would lie somewhere else: distances only, for a hand that drags it.

use super::placed::{FeatureFit, Placed};
use super::relation::lie;
use crate::surface::Skin;
use geom::{Point, Ring, Vertex};

/// Relation and net clearance of every feature with the mark's centre at `centre`, flat; the plan stays as it is.
pub fn tried(placed: &Placed, skin: &Skin, centre: Point) -> Vec<FeatureFit> {
    let by = centre - placed.centre;
    let moved =
        |ring: &Ring| Ring { vertices: ring.vertices.iter().map(|v| Vertex { p: v.p + by, ..*v }).collect() };
    let rings: Vec<Ring> = placed.all_rings().iter().map(moved).collect();
    skin.features.iter().map(|f| lie(&rings, f)).collect()
}
