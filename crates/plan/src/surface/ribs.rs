//! Ribs on the flat sheet: straight on a panel without taper, gently curved on a tapered one.

use super::FlatRib;
use super::clip::cut;
use super::wing::WingSkin;
use crate::finding::{Finding, Severity};
use crate::job::{RibStations, Ribs};
use geom::tolerance::NOISE_MM;
use geom::{Point, Ring};

/// Most ribs that are laid out. chosen: a hundred times what a large wing has; more is a slip in `every`.
pub(super) const MOST_RIBS: usize = 2_000;

/// Stations of the ribs between `from` and `to`, mm, and a caution for those that lie beyond.
///
/// # Errors
/// In words, why the ribs cannot be laid out.
pub(super) fn stations(
    id: &str,
    ribs: &Ribs,
    from: f64,
    to: f64,
) -> Result<(Vec<f64>, Option<Finding>), String> {
    match &ribs.at {
        RibStations::Every(every) => {
            let count = ((to + NOISE_MM) / every).floor();
            if !(*every > 0.0 && count <= MOST_RIBS as f64) {
                return Err(format!("ribs every {every} mm over {to:.1} mm, more than {MOST_RIBS} or none"));
            }
            let first = ((from - NOISE_MM) / every).ceil();
            let steps = (first as i64)..=(count as i64);
            Ok((steps.map(|k| k as f64 * every).collect(), None))
        }
        RibStations::At(stations) => {
            let on = |s: &f64| from - NOISE_MM <= *s && *s <= to + NOISE_MM;
            let off: Vec<String> = stations.iter().filter(|s| !on(s)).map(|s| format!("{s:.1}")).collect();
            let caution = (!off.is_empty()).then(|| {
                let message = format!("no rib is drawn at {} mm, beyond the panel's end", off.join(", "));
                Finding::new(Severity::Caution, "rib-off-surface", id, message)
            });
            Ok((stations.iter().copied().filter(|s| on(s)).collect(), caution))
        }
    }
}

/// Ribs of a wing at these stations.
pub(super) fn on_wing(wing: &WingSkin, stations: &[f64], tape: f64) -> Vec<FlatRib> {
    stations.iter().map(|&station| FlatRib { station, line: wing.rib(station), tape }).collect()
}

/// Ribs of a flat panel: upright lines at these x, from its lower to its upper edge; where the panel is notched,
/// one a piece.
pub(super) fn on_panel(outline: &Ring, stations: &[f64], tape: f64) -> Vec<FlatRib> {
    let edge: Vec<Point> = outline.vertices.iter().map(|v| v.p).collect();
    let Some((low, high)) = outline.bounds() else { return Vec::new() };
    let rib = |&x: &f64| {
        let upright = [Point::new(x, low.y), Point::new(x, high.y)];
        cut(&upright, &edge).inside.into_iter().map(move |line| FlatRib { station: x, line, tape })
    };
    stations.iter().flat_map(rib).collect()
}

/// Frames of a body: round it at their stations, from the middle of the bottom to that of the top.
pub(super) fn on_body(body: &super::BodySkin, stations: &[f64], tape: f64) -> Vec<FlatRib> {
    let one = |&station: &f64| {
        let (bottom, top) = body.body().girths(body.side(), station)?;
        let line = [bottom, top].map(|t| body.flat([station, t])).to_vec();
        Some(FlatRib { station, line, tape })
    };
    stations.iter().filter_map(one).collect()
}
