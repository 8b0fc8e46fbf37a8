//! What there is to say of a stripe on a scan alone: how true it is to its line, to the other side, and to the rim.

use crate::finding::{Bound, Finding, Severity};
use crate::fit::charts::fine;
use crate::surface::Skin;
use crate::words::length;
use geom::Point;

/// What a stripe may leave its line by unsaid, mm: 1/32 in, what a tape reads.
const LEFT_SEEN: f64 = 25.4 / 32.0;

/// How true the middle is to the line it runs along.
pub(super) fn along(id: &str, name: &str, off: f64, errs: f64, long: f64) -> Finding {
    let line =
        if off > 0.0 { format!("keeps {} from {name}", length(off)) } else { format!("follows {name}") };
    let severity = if errs > LEFT_SEEN { Severity::Caution } else { Severity::Note };
    let said = Finding::new(
        severity,
        "stripe-along",
        id,
        format!(
            "its middle, {} long, {line} within {}, measured over the triangles of the scan as smoothed",
            length(long),
            fine(errs.max(0.01))
        ),
    )
    .figures(errs, Bound::Should, LEFT_SEEN, "mm");
    if errs > LEFT_SEEN {
        said.hint("the line bends more than the scan's triangles can tell: scan it finer, or run the stripe through points")
    } else {
        said
    }
}

/// Pieces of a line that are not striped.
pub(super) fn pieces(id: &str, long: f64, others: &[f64]) -> Option<Finding> {
    let rest: Vec<String> = others.iter().map(|l| length(*l)).take(5).collect();
    (!others.is_empty()).then(|| {
        Finding::new(
            Severity::Caution,
            "stripe-pieces",
            id,
            format!(
                "its waterline meets the scan in {} pieces; the longest, {}, is striped, not {}",
                others.len() + 1,
                length(long),
                rest.join(", ")
            ),
        )
        .hint("choose another with the surface's `side`, or with `from` and `to`")
    })
}

/// How far a mirror image was brought onto the skin.
pub(super) fn moved(id: &str, of: &str, far: f64) -> Finding {
    let severity = if far > LEFT_SEEN { Severity::Caution } else { Severity::Note };
    let said = Finding::new(
        severity,
        "stripe-mirror-moved",
        id,
        format!(
            "mirrored in the plane of symmetry, the middle of {of} was brought onto the skin by up to {}",
            fine(far.max(0.01))
        ),
    )
    .figures(far, Bound::Should, LEFT_SEEN, "mm");
    if far > LEFT_SEEN {
        said.hint("the two sides differ by that, or the plane is not where it is said: check the `axes` of the scan, its centre line first")
    } else {
        said
    }
}

/// Edges that run over the rim of a scan.
pub(super) fn over_rim(id: &str, skin: &Skin, edges: &[Vec<Point>; 2]) -> Option<Finding> {
    let strip = skin.strip().filter(|s| s.scan().is_some())?;
    let off = |p: &&Point| strip.space(**p).is_none();
    let places: Vec<f64> = edges.iter().flatten().filter(off).map(|p| strip.along_and_off(*p)[0]).collect();
    let (first, last) =
        places.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(*s), b.max(*s)));
    (first <= last).then(|| {
        Finding::new(
            Severity::Fail,
            "stripe-over-rim",
            id,
            format!(
                "an edge of it runs over the rim of the scan between {} and {} from its start",
                length(first.max(0.0)),
                length(last)
            ),
        )
        .hint("move it inwards, make it narrower, or scan farther")
    })
}
