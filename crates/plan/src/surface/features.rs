//! Features and parts on the flat sheet, cut off at the panel's edge.
//!
//! A disc stays a true disc, because unrolling changes no length. Areas and paths are straight between their
//! corners on the sheet, as a straightedge laid on the skin is. What reaches beyond the edge by more than a
//! reading is cut off there, with a caution; what lies wholly outside is left out, with a caution, or a fail where it is
//! something to be covered.

use super::clip::{crossing_edges, cut, overhang};
use super::{FlatFeature, FlatPart};
use crate::finding::{Finding, Severity};
use crate::job::{Feature, FeatureKind, FeatureShape, Part, SkinPair};
use crate::problem::Problem;
use crate::words::length;
use geom::boolean::{difference, intersection};
use geom::region::Region;
use geom::tolerance::{DISC_CUT_MM, OVERHANG_MM};
use geom::{Point, Ring};

/// Farthest, mm, that a measure on a skin is believed. chosen: a hundred metres, longer than anything painted.
pub(super) const BELIEVED_MM: f64 = 1e5;

/// The sheet the features are laid on.
pub(super) struct Sheet<'a> {
    /// Id of the surface.
    pub(super) id: &'a str,
    /// Edge of the panel in flat, counter-clockwise, straight edges.
    pub(super) outline: &'a Ring,
    /// Flat point of a point as the user measures it.
    pub(super) flat_from_user: &'a dyn Fn(SkinPair) -> Point,
}

impl Sheet<'_> {
    /// The feature in flat: one, or several pieces of one id where the edge cuts a path apart; empty if nothing
    /// of it lies on the panel.
    pub(super) fn feature(
        &self,
        feature: &Feature,
        findings: &mut Vec<Finding>,
        problems: &mut Vec<Problem>,
    ) -> Vec<FlatFeature> {
        let complain =
            |what: &str| Problem::at(feature.span.clone(), format!("feature `{}` {what}", feature.id));
        if let Err(what) = sound(&feature.shape) {
            problems.push(complain(what));
            return Vec::new();
        }
        let whole = match &feature.shape {
            // The job reader takes these on scans only, where they are dropped on the skin itself.
            FeatureShape::Scan(_) => return Vec::new(),
            FeatureShape::Disc { at, diameter } => {
                Region::Disc { centre: (self.flat_from_user)(*at), radius: diameter / 2.0 }
            }
            FeatureShape::Path { path, width } => Region::Band { path: self.flat(path), width: *width },
            FeatureShape::Area { corners } => {
                let corners = self.flat(corners);
                if crossing_edges(&corners).is_some() {
                    problems.push(
                        complain("has an edge that crosses itself")
                            .hint("give its corners in order round it"),
                    );
                    return Vec::new();
                }
                Region::Area { rings: vec![counter_clockwise(corners)] }
            }
        };
        let (regions, beyond) = clipped(self.outline, whole);
        if beyond > OVERHANG_MM {
            findings.push(self.caution(feature, regions.is_empty(), beyond));
        }
        let flat = |region| FlatFeature {
            id: feature.id.clone(),
            kind: feature.kind,
            region,
            clearance: feature.clearance,
            removable: feature.removable,
            cross: feature.cross,
        };
        regions.into_iter().map(flat).collect()
    }

    /// The part in flat.
    pub(super) fn part(&self, part: &Part) -> FlatPart {
        FlatPart {
            id: part.id.clone(),
            outline: counter_clockwise(self.flat(&part.corners)),
            hinge: self.flat(&part.hinge),
            control: part.control,
            balanced: part.balanced,
        }
    }

    fn flat(&self, points: &[SkinPair]) -> Vec<Point> {
        points.iter().map(|p| (self.flat_from_user)(*p)).collect()
    }

    fn caution(&self, feature: &Feature, gone: bool, beyond: f64) -> Finding {
        let id = &feature.id;
        // What must be covered before anything is shot may not be lost for a slip of the tape.
        let covered = FeatureKind::OPENINGS.contains(&feature.kind) || feature.kind == FeatureKind::Window;
        let (severity, code, message) = if gone {
            let lost = if covered { ": nothing keeps off it and nobody is told to cover it" } else { "" };
            (
                if covered { Severity::Fail } else { Severity::Caution },
                "feature-off-surface",
                format!("feature `{id}` lies wholly outside the panel and is left out{lost}"),
            )
        } else {
            (
                Severity::Caution,
                "feature-beyond-edge",
                format!(
                    "feature `{id}` reaches {} beyond the panel's edge and is cut off there",
                    length(beyond)
                ),
            )
        };
        Finding::new(severity, code, self.id, message)
            .figures(beyond, crate::finding::Bound::Max, OVERHANG_MM, "mm")
            .hint("measure it again, or check from which edge or line its second number is read; what is on another surface goes there")
    }
}

/// What of a region lies on the panel, and how far, mm, it reaches beyond the edge. Within `OVERHANG_MM` it
/// is left as it is.
fn clipped(outline: &Ring, region: Region) -> (Vec<Region>, f64) {
    let edge: Vec<Point> = outline.vertices.iter().map(|v| v.p).collect();
    let panel = std::slice::from_ref(outline);
    let farthest = |rings: &[Ring]| {
        let corners = rings.iter().flat_map(|r| &r.vertices);
        corners.map(|v| overhang(v.p, &edge)).fold(f64::NEG_INFINITY, f64::max)
    };
    let area = |rings: Vec<Ring>| {
        if rings.is_empty() { Vec::new() } else { vec![Region::Area { rings }] }
    };
    match &region {
        Region::Disc { centre, radius } => {
            let beyond = overhang(*centre, &edge) + radius;
            if beyond <= OVERHANG_MM {
                return (vec![region], beyond);
            }
            (area(intersection(&[polygon_round(*centre, *radius)], panel)), beyond)
        }
        Region::Area { rings } => {
            let beyond = farthest(&difference(rings, panel));
            if beyond <= OVERHANG_MM {
                return (vec![region], beyond);
            }
            (area(intersection(rings, panel)), beyond)
        }
        Region::Band { path, width } => {
            let cut = cut(path, &edge);
            if cut.overhang <= OVERHANG_MM {
                return (vec![region], cut.overhang);
            }
            let bands = cut.inside.into_iter().map(|path| Region::Band { path, width: *width });
            (bands.collect(), cut.overhang)
        }
    }
}

/// The same corners, counter-clockwise.
pub(super) fn counter_clockwise(corners: Vec<Point>) -> Ring {
    let ring = Ring::from_points(corners);
    if ring.area() < 0.0 { ring.reversed() } else { ring }
}

/// Why a feature's measures make no shape, if they do not.
fn sound(shape: &FeatureShape) -> Result<(), &'static str> {
    let (points, size) = match shape {
        FeatureShape::Scan(_) => return Ok(()),
        FeatureShape::Disc { at, diameter } => (std::slice::from_ref(at), Some(*diameter)),
        FeatureShape::Area { corners } if corners.len() < 3 => return Err("has fewer than three corners"),
        FeatureShape::Area { corners } => (corners.as_slice(), None),
        FeatureShape::Path { path, .. } if path.len() < 2 => return Err("has fewer than two points"),
        FeatureShape::Path { path, width } => (path.as_slice(), Some(*width)),
    };
    if !points.iter().flatten().all(|v| v.abs() <= BELIEVED_MM) {
        return Err("lies more than 100 m away");
    }
    match size {
        Some(size) if !(0.0 < size && size <= BELIEVED_MM) => Err("has no size between 0 and 100 m"),
        _ => Ok(()),
    }
}

/// A polygon round a disc, never inside it and within `DISC_CUT_MM` of it.
fn polygon_round(centre: Point, radius: f64) -> Ring {
    let inner = Ring::circle(centre, radius).flattened(DISC_CUT_MM / 2.0);
    // Chords cut inside the circle; pushing their corners out puts their middles on it.
    let half_step = std::f64::consts::PI / inner.len() as f64;
    Ring::from_points(inner.into_iter().map(|p| centre + (p - centre) / half_step.cos()))
}
