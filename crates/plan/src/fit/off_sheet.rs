//! What lies on a scan but not on the sheet laid flat round a mark: how far from the paint it is at least.
//!
//! No way over the skin is shorter than the straight one through space: what is far enough by that is clear.

use super::placed::Placed;
use super::relation::asks;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::surface::{Skin, SkinShape};
use crate::words::length;
use geom::Point3;
use geom::tolerance::FLATTEN_MM;

/// A finding about each wall that may be nearer than asked but is on no sheet; `own` is the scan as a whole.
pub fn off_sheet(placed: &Placed, own: &Skin) -> Vec<Finding> {
    let (SkinShape::Scan(scan), Some(charts)) = (&own.shape, &placed.charts) else { return Vec::new() };
    let on_sheet = |id: &str| charts.sheet.features.iter().any(|f| f.id == id);
    let missing: Vec<_> = own.features.iter().filter(|f| !on_sheet(&f.id) && asks(f).1).collect();
    if missing.is_empty() {
        return Vec::new();
    }
    let points: Vec<Point3> = placed
        .glyphs
        .iter()
        .zip(&charts.letters)
        .flat_map(|(glyph, chart)| {
            let ring = |r: &geom::Ring| chart.ring_in_space(&r.flattened(FLATTEN_MM)).unwrap_or_default();
            glyph.rings.iter().flat_map(ring).collect::<Vec<_>>()
        })
        .collect();
    let one = |feature: &&crate::surface::FlatFeature| {
        let straight = scan.straight_to(&feature.id, &points)?;
        (straight < feature.clearance).then(|| {
            Finding::new(
                Severity::Caution,
                "not-laid-flat",
                &placed.id,
                format!(
                    "{} may be as near as {}: the scan cannot be laid flat so far round the mark, and how it lies there is \
                     not known",
                    super::given::named(feature),
                    length(straight)
                ),
            )
            .figures(straight, Bound::Min, feature.clearance, "mm")
            .source(Basis::Shop, "clearance of the job file")
            .hint("measure it on the skin, or move the mark")
        })
    };
    missing.iter().filter_map(one).collect()
}
