//! What laying a chart flat did to lengths: its strain, the least it could have been, the error of a straight stroke.

use geom::Vec2;
use skin::Mesh;
use skin::flatten::{Flat, Strain};
use std::f64::consts::TAU;

/// Share of the longer side that a straight stroke takes at most, and how many strokes are tried (facts of the
/// geometry sheet, B2).
const STROKE: f64 = 0.9;
const STROKES: usize = 480;

/// What laying a chart flat did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figures {
    /// Greatest strain, share.
    pub max_strain: f64,
    /// What 99 per cent of the area stays within.
    pub p99_strain: f64,
    /// Root mean square.
    pub rms_strain: f64,
    /// Worst error of a straight stroke as long as nine tenths of the longer side, mm.
    pub stroke_error: f64,
    /// No way of laying it flat has a lesser greatest strain than this: least curvature times the square of the
    /// inscribed radius over 12. On a scan its mean curvature stands for the least: no proof there.
    pub bound: f64,
    /// Mean Gaussian curvature, 1/mm2.
    pub curvature: f64,
}

/// Worst error of a straight stroke of a chart, mm.
pub(super) fn stroke_error(flat: &Flat, mesh: &Mesh, size: Vec2) -> f64 {
    flat.worst_stroke(mesh, STROKE * size.x.max(size.y), STROKES).unwrap_or(0.0)
}

/// Strain and bound of a chart of `whole` size with these curvatures.
pub(super) fn figures(strain: Strain, bends: &[f64], whole: Vec2) -> Figures {
    let radius = whole.x.min(whole.y) / 2.0;
    let least = bends.iter().copied().fold(f64::INFINITY, f64::min);
    let most = bends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // Where the skin bends both ways within one chart nothing can be said for sure.
    let sure = if 0.0 < least { least } else { (-most).max(0.0) };
    Figures {
        max_strain: strain.max,
        p99_strain: strain.p99,
        rms_strain: strain.rms,
        stroke_error: 0.0,
        bound: sure * radius * radius / 12.0,
        curvature: bends.iter().sum::<f64>() / bends.len().max(1) as f64,
    }
}

/// Mean curvature of a patch: what its inner corners lack to a full turn, over their area.
pub(super) fn bend(mesh: &Mesh) -> f64 {
    let n = mesh.points().len();
    let (mut turn, mut area, mut rim) = (vec![0.0; n], vec![0.0; n], vec![false; n]);
    for side in 0..3 * mesh.triangles().len() as u32 {
        let a = mesh.from(side);
        let (b, c) = (mesh.point(mesh.to(side)), mesh.point(mesh.facing(side)));
        turn[a as usize] += (b - mesh.point(a)).angle_between(c - mesh.point(a));
        area[a as usize] += mesh.cross(side / 3).length() / 6.0;
        if mesh.across(side).is_none() {
            rim[a as usize] = true;
            rim[mesh.to(side) as usize] = true;
        }
    }
    let inner = (0..n).filter(|k| !rim[*k]);
    let (lacks, over) = inner.fold((0.0, 0.0), |(l, o), k| (l + TAU - turn[k], o + area[k]));
    if 0.0 < over { lacks / over } else { 0.0 }
}
