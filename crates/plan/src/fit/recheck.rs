//! The same claims by another road: outlines and clearances re-computed from plain points.
//!
//! Shares no code with the placement: outlines are compared by area and winding as a string of points,
//! clearances by triangle heights over the flattened paint edges.

use super::charts::REACH_MM;
use super::placed::Placed;
use crate::finding::{Bound, Finding, Severity};
use crate::marks::design::FurtherShape;
use crate::surface::FlatFeature;
use geom::{Point, Region, Ring};

/// Most, mm, by which two ways of computing one distance may differ (the promise of a plan).
const AGREE_MM: f64 = 0.05;

/// Findings for every outline or clearance of a placed mark that its second computation does not confirm.
/// `design_area` is the painted area the design asks of the letters, mm2; `colours` are its further colours; `slack`
/// is what the lengths of a chart err by, mm (0 where the skin unrolls).
pub fn recheck(
    placed: &Placed,
    design_area: f64,
    colours: &[FurtherShape],
    features: &[FlatFeature],
    slack: f64,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let outlines: Vec<Vec<Point>> =
        placed.rings().iter().map(|r| r.flattened(geom::tolerance::FLATTEN_MM)).collect();
    let area: f64 = outlines.iter().map(|o| shoelace(o)).sum();
    let edge: f64 = placed.rings().iter().map(Ring::perimeter).sum();
    // Chords stay within the flattening tolerance of their arcs, so that the area may differ by that much
    // along the whole edge.
    let allowed = edge * geom::tolerance::FLATTEN_MM + geom::tolerance::OUTPUT_MM;
    if (area - design_area).abs() > allowed {
        findings.push(
            Finding::new(
                Severity::Fail,
                "outline-recheck",
                &placed.id,
                format!("the outlines enclose {area:.1} mm2, the design asks for {design_area:.1} mm2"),
            )
            .figures(area, Bound::Exact, design_area, "mm2")
            .hint("do not paint from this plan; report it with the job file"),
        );
    }
    findings.extend(further(placed, colours));
    let outlines: Vec<Vec<Point>> =
        placed.all_rings().iter().map(|r| r.flattened(geom::tolerance::FLATTEN_MM)).collect();
    // One id may stand for several pieces of a path, in one order here and there.
    for (fit, feature) in placed.fit.features.iter().zip(features).filter(|(fit, f)| f.id == fit.id) {
        let (_, wall) = super::relation::asks(feature);
        if !wall {
            continue;
        }
        let Some(sampled) = sampled_clearance(&outlines, feature) else { continue };
        // Far from a chart's middle flat is no plane of true lengths.
        if placed.charts.is_some() && REACH_MM < sampled + feature.clearance {
            continue;
        }
        // Samples can only miss the nearest point, by less than one step.
        let agree = AGREE_MM + slack;
        if sampled < fit.clearance - agree || (sampled > fit.clearance + agree && fit.clearance > 0.0) {
            findings.push(
                Finding::new(
                    Severity::Fail,
                    "clearance-recheck",
                    &placed.id,
                    format!(
                        "clearance to {} comes out as {:.2} mm one way and {:.2} mm another",
                        fit.id, fit.clearance, sampled
                    ),
                )
                .figures(sampled, Bound::Exact, fit.clearance, "mm")
                .hint("do not paint from this plan; report it with the job file"),
            );
        }
    }
    findings
}

/// Further colours by another road than the one they were drawn by. A corner of an outline keeps its width from
/// all edges above it or lies on one; from every edge of a shadow the way back meets what casts it.
fn further(placed: &Placed, colours: &[FurtherShape]) -> Vec<Finding> {
    let flat = |rings: &[Ring]| -> Vec<Vec<Point>> {
        rings.iter().map(|r| r.flattened(geom::tolerance::FLATTEN_MM)).collect()
    };
    let mut above = flat(&placed.rings());
    let mut findings = Vec::new();
    for (further, shape) in placed.further.iter().zip(colours) {
        let rings = flat(&further.rings);
        let (name, off) = match *shape {
            FurtherShape::Outline(width) => ("outline", farthest_from_width(&rings, &above, width)),
            FurtherShape::Shadow([x, y]) => {
                let (sin, cos) = placed.angle.sin_cos();
                let back = [y * sin - x * cos, -x * sin - y * cos];
                ("shadow", farthest_from_caster(&rings, &above, back))
            }
        };
        if off > AGREE_MM {
            findings.push(
                Finding::new(
                    Severity::Fail,
                    "further-recheck",
                    &placed.id,
                    format!("the {name} comes out {off:.2} mm off when it is measured again"),
                )
                .figures(off, Bound::Max, AGREE_MM, "mm")
                .hint("do not paint from this plan; report it with the job file"),
            );
        }
        above.extend(rings);
    }
    findings
}

/// How far, at most, a corner of an outline is from where one may be, mm: on an edge of what it surrounds, or no
/// nearer to it than the width.
fn farthest_from_width(rings: &[Vec<Point>], above: &[Vec<Point>], width: f64) -> f64 {
    let off = |p: &Point| {
        let d = sides(above).map(|(a, b)| along(a, b, *p)).fold(f64::INFINITY, f64::min);
        d.min((width - d).max(0.0))
    };
    rings.iter().flatten().map(off).fold(0.0, f64::max)
}

/// How far, at most, the way back from a corner of a shadow misses what casts it, mm.
fn farthest_from_caster(rings: &[Vec<Point>], above: &[Vec<Point>], back: [f64; 2]) -> f64 {
    let missed = |p: &Point| {
        let q = Point::new(p.x + back[0], p.y + back[1]);
        sides(above).map(|(a, b)| apart(*p, q, a, b)).fold(f64::INFINITY, f64::min)
    };
    rings.iter().flatten().map(missed).fold(0.0, f64::max)
}

fn sides(outlines: &[Vec<Point>]) -> impl Iterator<Item = (Point, Point)> + '_ {
    outlines.iter().flat_map(|o| (0..o.len()).map(|i| (o[i], o[(i + 1) % o.len()])))
}

/// Net clearance from points along the outlines; `None` where paint covers the feature or an edge enters it
/// (depth inside is not a matter of points along an edge).
fn sampled_clearance(outlines: &[Vec<Point>], feature: &FlatFeature) -> Option<f64> {
    let mut least = f64::INFINITY;
    for outline in outlines {
        for i in 0..outline.len() {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            least = least.min(match &feature.region {
                Region::Disc { centre, radius } => along(a, b, *centre) - radius,
                Region::Band { path, width } => {
                    path.windows(2).map(|w| apart(a, b, w[0], w[1])).fold(f64::INFINITY, f64::min)
                        - width / 2.0
                }
                Region::Area { rings } => rings
                    .iter()
                    .map(|r| {
                        let side = r.flattened(geom::tolerance::FLATTEN_MM);
                        (0..side.len())
                            .map(|k| apart(a, b, side[k], side[(k + 1) % side.len()]))
                            .fold(f64::INFINITY, f64::min)
                    })
                    .fold(f64::INFINITY, f64::min),
            });
        }
    }
    (least > 0.0).then_some(least - feature.clearance)
}

/// Distance from `p` to the stretch a-b, by its height over the stretch as a triangle.
fn along(a: Point, b: Point, p: Point) -> f64 {
    let (ax, ay, bx, by) = (p.x - a.x, p.y - a.y, b.x - a.x, b.y - a.y);
    let len = (bx * bx + by * by).sqrt();
    let before = ax * bx + ay * by < 0.0;
    let after = (p.x - b.x) * bx + (p.y - b.y) * by > 0.0;
    if len == 0.0 || before {
        (ax * ax + ay * ay).sqrt()
    } else if after {
        ((p.x - b.x).powi(2) + (p.y - b.y).powi(2)).sqrt()
    } else {
        (ax * by - ay * bx).abs() / len
    }
}

/// Distance of two stretches: 0 where each one's ends lie on both sides of the other, else the least of the
/// four ends.
fn apart(a: Point, b: Point, c: Point, d: Point) -> f64 {
    let side = |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    along(a, b, c).min(along(a, b, d)).min(along(c, d, a)).min(along(c, d, b))
}

fn shoelace(points: &[Point]) -> f64 {
    let n = points.len();
    (0..n).map(|i| points[i].x * points[(i + 1) % n].y - points[(i + 1) % n].x * points[i].y).sum::<f64>()
        / 2.0
}
