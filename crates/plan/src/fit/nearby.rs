//! Edges that run along something: a paint edge close to a rib tape's edge or a seam, and nearly parallel to
//! it, bleeds and shows every wander.

use geom::distance::edge_to_edge;
use geom::{Edge, Ring};

/// Nearer than this, mm (3/8 in), a paint edge along a step is a caution. Common practice, no source.
pub const NEAR_MM: f64 = 9.525;

/// Under this angle, degrees, a paint edge counts as running along a line. Common practice, no source.
pub const ALONG_DEG: f64 = 30.0;

/// Least distance, mm, from the line to a paint edge that runs along it; `None` if none does within
/// `NEAR_MM`. `half_width` is taken off: the line may be the middle of a narrow band.
pub fn runs_along(rings: &[Ring], line: &[Edge], half_width: f64) -> Option<f64> {
    let least_cosine = ALONG_DEG.to_radians().cos();
    let mut least: Option<f64> = None;
    for ring in rings {
        // Arcs are looked at chord by chord: only the part that runs along counts.
        let chords = Ring::from_points(ring.flattened(geom::tolerance::FLATTEN_MM));
        for e in chords.edges() {
            for l in line {
                if e.direction(0.5).dot(l.direction(0.5)).abs() <= least_cosine {
                    continue;
                }
                let d = (edge_to_edge(&e, l) - half_width).max(0.0);
                if d <= NEAR_MM && least.is_none_or(|x| d < x) {
                    least = Some(d);
                }
            }
        }
    }
    least
}
