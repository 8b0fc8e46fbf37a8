//! What laying a chart flat did to lengths: its strain, the least it could have been, the error of a straight stroke.

use geom::Vec2;
use skin::Mesh;
use skin::flatten::{Flat, Strain};

/// Share of the longer side that a straight stroke takes at most, and how many strokes are tried (facts of the
/// geometry sheet, B2).
const STROKE: f64 = 0.9;
const STROKES: usize = 480;

/// Shares of the longer side that further strokes take on a scan: on bare triangles a shorter stroke may err more.
const SHORTER: [f64; 2] = [0.6, 0.4];

/// RMS strain of a disc of radius 1 on which the skin bends by 1, laid flat with the least error of length (facts of the
/// geometry sheet, B1).
const LEAST_IN_THE_MEAN: f64 = 0.051;

/// What laying a chart flat did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figures {
    /// Greatest strain, share; on a scan whose triangles are coarse beside the chart that of the smooth skin.
    pub max_strain: f64,
    /// What 99 per cent of the area stays within.
    pub p99_strain: f64,
    /// Root mean square.
    pub rms_strain: f64,
    /// Worst error of a straight stroke as long as nine tenths of the longer side, mm; on a scan of one up to that long,
    /// over its triangles and over the smooth skin. A character's own straight sides are among them.
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

/// The same over a scan's triangles, of shorter strokes too; among them those along the sides and the middles of the box,
/// where letters have theirs.
pub(super) fn stroke_error_on_triangles(flat: &Flat, mesh: &Mesh, size: Vec2) -> f64 {
    let longer = size.x.max(size.y);
    let shorter = |share: f64| flat.worst_stroke(mesh, share * longer, STROKES).unwrap_or(0.0);
    let along = |middle: Vec2, way: Vec2| {
        let half = way * (STROKE * longer).min(way.dot(size)) / 2.0;
        let drawn = 2.0 * half.hypot();
        flat.length(mesh, [middle - half, middle + half]).map_or(0.0, |on_skin| (on_skin - drawn).abs())
    };
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let sides = [-0.5, 0.0, 0.5].map(|k| along(y * (k * size.y), x).max(along(x * (k * size.x), y)));
    SHORTER.into_iter().map(shorter).chain(sides).fold(stroke_error(flat, mesh, size), f64::max)
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

/// Whether the strain of a scan's bare triangles is what to state, not that of the smooth skin taken from them: spreading
/// the bend of corners can only ease it, so where it adds strain, as beside creases, no smooth skin was there; unless the
/// triangles are so few that they do not have the strain that their bend asks for.
pub(super) fn bare(triangles: Strain, smooth: Strain, bend: f64, whole: Vec2) -> bool {
    let radius = whole.x.min(whole.y) / 2.0;
    triangles.rms < smooth.rms && LEAST_IN_THE_MEAN * bend.abs() * radius * radius <= triangles.rms
}
