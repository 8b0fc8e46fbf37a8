//! What laying flat did to lengths.

use super::shape::{Shape, Shapes};
use crate::Mesh;
use geom::Vec2;

/// Stretch of lengths between skin and pattern, as shares of the length (0.01 is one per cent).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Strain {
    /// Greatest anywhere.
    pub max: f64,
    /// What 99 per cent of the area stays within.
    pub p99: f64,
    /// Root mean square over the area and both directions.
    pub rms: f64,
}

impl Strain {
    /// Of the greatest and least stretch of each triangle.
    pub(super) fn of(shapes: &Shapes, stretches: &[(f64, f64)]) -> Strain {
        let mut all: Vec<(f64, f64)> = Vec::with_capacity(stretches.len());
        let mut square = 0.0;
        for (shape, (most, least)) in shapes.shapes.iter().zip(stretches) {
            let area = shape.area();
            square += area * ((most - 1.0).powi(2) + (least - 1.0).powi(2)) / 2.0;
            all.push(((most - 1.0).abs().max((least - 1.0).abs()), area));
        }
        all.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut below = 0.0;
        let p99 = all.iter().find(|(_, area)| {
            below += area;
            0.99 * shapes.area <= below
        });
        let max = all.last().map_or(0.0, |last| last.0);
        Strain { max, p99: p99.map_or(max, |at| at.0), rms: (square / shapes.area).sqrt() }
    }
}

/// Greatest and least stretch of each triangle; the least is below zero where it lies face down.
pub(super) fn stretches(mesh: &Mesh, shapes: &[Shape], places: &[Vec2]) -> Vec<(f64, f64)> {
    let each = shapes.iter().zip(mesh.triangles()).map(|(shape, t)| {
        let [p, q, r] = t.map(|k| places[k as usize]);
        let along = (q - p) / shape.b;
        let across = ((r - p) - along * shape.c.x) / shape.c.y;
        let turn = Vec2::new(along.x + across.y, along.y - across.x).hypot2().sqrt() / 2.0;
        let skew = Vec2::new(along.x - across.y, along.y + across.x).hypot2().sqrt() / 2.0;
        (turn + skew, turn - skew)
    });
    each.collect()
}
