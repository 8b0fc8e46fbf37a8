//! How a placed mark lies to a feature: clear, inside paint, inside a counter, crossed; and by how much.

use super::placed::{FeatureFit, Relation};
use crate::job::{Cross, FeatureKind};
use crate::surface::FlatFeature;
use geom::distance::{nearest_of_edges, nearest_on_edge};
use geom::measure::{edges_to_region, point_of, segments, shape_to_region};
use geom::tolerance::NOISE_MM;
use geom::winding::contains;
use geom::{Point, Region, Ring};

/// What a feature asks of the paint near it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// No paint edge within its clearance; it may lie wholly inside a stroke or a counter.
    EdgesClear,
    /// No paint on it, and none within its clearance.
    PaintClear,
    /// Nothing: its relation is only reported.
    Nothing,
}

/// What a feature asks of the paint near it, and whether that is a wall for a mark's place.
pub fn asks(feature: &FlatFeature) -> (Asks, bool) {
    use FeatureKind as K;
    match feature.kind {
        K::Ring | K::Plate | K::Cap | K::Step | K::Patch | K::Rivets => {
            (Asks::EdgesClear, !feature.removable && feature.cross != Cross::Any)
        }
        K::Port | K::Drain | K::Vent | K::Filler | K::Placard | K::DataPlate | K::Window | K::KeepOut => {
            (Asks::PaintClear, true)
        }
        K::Hinge | K::Gap => (Asks::PaintClear, feature.cross != Cross::Any),
        K::Seam | K::Lap => (Asks::Nothing, false),
    }
}

/// Relation and net clearance of a mark to one feature; `rings` are the outlines of all its paint.
pub fn lie(rings: &[Ring], feature: &FlatFeature) -> FeatureFit {
    let (asks, wall) = asks(feature);
    let from_edges = edges_to_region(rings, &feature.region);
    let distance = match asks {
        Asks::EdgesClear | Asks::Nothing => from_edges,
        Asks::PaintClear => shape_to_region(rings, &feature.region),
    };
    FeatureFit {
        id: feature.id.clone(),
        relation: relation(rings, &feature.region, from_edges, feature.removable),
        clearance: distance - feature.clearance,
        wall,
        touch: touch(rings, &feature.region),
    }
}

/// Where the paint edges come nearest to the rim of a region: the foot on the edge and the foot on the rim.
fn touch(rings: &[Ring], region: &Region) -> Option<[Point; 2]> {
    let edges = || rings.iter().flat_map(Ring::edges);
    let nearest = |pairs: &mut dyn Iterator<Item = [Point; 2]>| {
        pairs.min_by(|p, q| p[0].distance(p[1]).total_cmp(&q[0].distance(q[1])))
    };
    let rim = |[at, core]: [Point; 2], radius: f64| {
        let way = at - core;
        let far = way.hypot();
        (far > NOISE_MM).then(|| [at, core + way * (radius / far)])
    };
    match region {
        Region::Disc { centre, radius } => {
            let mut feet = edges().map(|e| [nearest_on_edge(*centre, &e), *centre]);
            rim(nearest(&mut feet)?, *radius)
        }
        Region::Band { path, width } => {
            let mut feet = edges().flat_map(|e| {
                segments(path).map(move |s| {
                    let (p, q) = nearest_of_edges(&e, &s);
                    [p, q]
                })
            });
            rim(nearest(&mut feet)?, width / 2.0)
        }
        Region::Area { rings: sides } => {
            let mut feet = edges().flat_map(|e| {
                sides.iter().flat_map(Ring::edges).map(move |s| {
                    let (p, q) = nearest_of_edges(&e, &s);
                    [p, q]
                })
            });
            nearest(&mut feet).filter(|f| f[0].distance(f[1]) > NOISE_MM)
        }
    }
}

/// The relation by the true shapes; `from_edges` is the least signed distance of the paint edges. Touching
/// is not crossing.
fn relation(rings: &[Ring], region: &Region, from_edges: f64, removable: bool) -> Relation {
    if from_edges < -NOISE_MM {
        return if removable { Relation::Split } else { Relation::Crossed };
    }
    // No edge enters it, so that any of its points tells where all of it lies.
    let p = point_of(region);
    let outer: Vec<Ring> = rings.iter().filter(|r| r.area() > 0.0).cloned().collect();
    if contains(rings, p) {
        Relation::InsidePaint
    } else if contains(&outer, p) {
        Relation::InsideCounter
    } else {
        Relation::Clear
    }
}
