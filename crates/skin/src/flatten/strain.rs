//! What laying flat did to lengths.

use super::hands::{both, half};
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

/// Shares of the greatest strain that triangles are sorted into before the last few are put in order.
const DRAWERS: usize = 4096;

impl Strain {
    /// Of the greatest and least stretch of each triangle.
    pub(super) fn of(shapes: &Shapes, stretches: &[(f64, f64)]) -> Strain {
        let far = |(most, least): &(f64, f64)| (most - 1.0).abs().max((least - 1.0).abs());
        let (mut square, mut max) = (0.0, 0.0_f64);
        for (shape, both) in shapes.shapes.iter().zip(stretches) {
            square += shape.area() * ((both.0 - 1.0).powi(2) + (both.1 - 1.0).powi(2)) / 2.0;
            max = max.max(far(both));
        }
        let rms = (square / shapes.area).sqrt();
        let drawer = |far: f64| ((far / max * DRAWERS as f64) as usize).min(DRAWERS - 1);
        let mut areas = vec![0.0; DRAWERS];
        for (shape, both) in shapes.shapes.iter().zip(stretches) {
            areas[drawer(far(both))] += shape.area();
        }
        let (mut below, mut at) = (0.0, 0);
        while at + 1 < DRAWERS && below + areas[at] < 0.99 * shapes.area {
            below += areas[at];
            at += 1;
        }
        let all = shapes.shapes.iter().zip(stretches).map(|(shape, both)| (far(both), shape.area()));
        let mut within: Vec<(f64, f64)> = all.filter(|(far, _)| drawer(*far) == at).collect();
        within.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let p99 = within.iter().find(|(_, area)| {
            below += area;
            0.99 * shapes.area <= below
        });
        Strain { max, p99: p99.or(within.last()).map_or(max, |at| at.0), rms }
    }
}

/// Greatest and least stretch of each triangle; the least is below zero where it lies face down.
pub(super) fn stretches(mesh: &Mesh, shapes: &[Shape], places: &[Vec2]) -> Vec<(f64, f64)> {
    let mut all = vec![(0.0, 0.0); shapes.len()];
    let part = if half(places.len()) < places.len() { shapes.len() / 2 } else { shapes.len() };
    let (lower, upper) = all.split_at_mut(part);
    let stretch = |first: usize, part: &mut [(f64, f64)]| {
        let own = shapes[first..].iter().zip(&mesh.triangles()[first..]);
        for (both, (shape, t)) in part.iter_mut().zip(own) {
            let [p, q, r] = t.map(|k| places[k as usize]);
            let along = (q - p) / shape.b;
            let across = ((r - p) - along * shape.c.x) / shape.c.y;
            let turn = Vec2::new(along.x + across.y, along.y - across.x).hypot2().sqrt() / 2.0;
            let skew = Vec2::new(along.x - across.y, along.y + across.x).hypot2().sqrt() / 2.0;
            *both = (turn + skew, turn - skew);
        }
    };
    both(places.len(), || stretch(0, lower), || stretch(part, upper));
    all
}
