//! How a planned mark would lie somewhere else, or larger: distances only, for a hand that drags it.

use super::face::{Face, room as room_of};
use super::inside;
use super::placed::{FeatureFit, Placed};
use super::relation::lie;
use crate::surface::Skin;
use geom::{Point, Ring, Vertex};

/// Relation and net clearance of every feature with the mark's centre at `centre`, flat, and its outlines `grown`
/// times; the plan stays as it is.
pub fn tried(placed: &Placed, skin: &Skin, centre: Point, grown: f64) -> Vec<FeatureFit> {
    let rings = moved(placed, centre, grown);
    skin.features.iter().map(|f| lie(&rings, f)).collect()
}

/// How far it would stick out of where it may go, mm; 0 if it does not.
pub fn beyond(placed: &Placed, centre: Point, grown: f64) -> f64 {
    inside::beyond(&moved(placed, centre, grown), &placed.fit.allowed).max(0.0)
}

/// Where the mark's centre may be, flat, at its height and turn, with every wall kept: outer rings
/// counter-clockwise, holes clockwise.
pub fn room(placed: &Placed, skin: &Skin) -> Vec<Ring> {
    let face = Face::of_shape(placed.all_rings(), &skin.features, &placed.fit.allowed);
    let moves = room_of(vec![face]).free();
    let by = placed.centre.to_vec2();
    let at_centre = |v: Vertex| Vertex { p: v.p + by, ..v };
    moves.into_iter().map(|r| Ring { vertices: r.vertices.into_iter().map(at_centre).collect() }).collect()
}

fn moved(placed: &Placed, centre: Point, grown: f64) -> Vec<Ring> {
    // A bulge is a ratio: it stays as the outline grows.
    let to = |v: &Vertex| Vertex { p: centre + (v.p - placed.centre) * grown, ..*v };
    placed.all_rings().iter().map(|r| Ring { vertices: r.vertices.iter().map(to).collect() }).collect()
}
