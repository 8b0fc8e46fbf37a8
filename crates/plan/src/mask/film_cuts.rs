//! Relief cuts, along which the film peels away from a letter in strips, and weeding cuts, along which the waste is
//! lifted in parts.
//!
//! A relief cut leaves the letter where it reaches farthest towards a corner of its box, straight away from it, and
//! begins 1/16 in off the paint, so that no paint creeps along it; one more runs down the middle of each gap. A letter
//! of film longer than a forearm is parted across its strokes. No cut but the paint's own comes near the paint.

use super::film::CLEAR;
use super::film_cells::TextLine;
use super::film_panels::Panel;
use super::order::bounds;
use super::shelf::SHORT;
use geom::boolean::intersection;
use geom::distance::edge_to_edge;
use geom::measure::segments;
use geom::tolerance::FLATTEN_MM;
use geom::winding::contains;
use geom::{Edge, Point, Ring, Vec2};
use std::f64::consts::FRAC_1_SQRT_2;

/// Longest part of a letter's film that is lifted in one, mm: 12 in (from memory).
const LIFTED: f64 = 304.8;
/// Longest cut across a stroke, in strokes: a slanted stroke is crossed level. chosen.
const CROSS: f64 = 1.7;
/// Places tried for a cut on either side of where it is wanted, and how far apart, in lifted lengths.
const TRIED: (i32, f64) = (6, 0.06);
/// How far a cut in the waste stays off the film's own edge, mm: 1/4 in. chosen.
const FILM_EDGE: f64 = 6.35;

/// A relief cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// True along the middle of a gap, false outward from a letter.
    pub gap: bool,
    /// The cell it belongs to; that on its left for a gap.
    pub(super) cell: usize,
    /// From near the paint outwards; from foot to head in a gap.
    pub line: [Point; 2],
}

/// The four ways out of a letter: towards upper right, upper left, lower left, lower right.
const WAYS: [(f64, f64); 4] = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];

/// The relief cuts of a panel, level.
pub(super) fn relief_cuts(line: &TextLine, panel: &Panel) -> Vec<Relief> {
    let [bottom, top] = panel.ends();
    let paint = panel.paint(line);
    let mut out = Vec::new();
    for cell in panel.range.clone() {
        let frame = frame(line, panel, cell);
        for (x, y) in WAYS {
            let way = Vec2::new(x, y) * FRAC_1_SQRT_2;
            let Some(from) = farthest(&line.cells[cell].shape, way) else { continue };
            let start = from + way * SHORT;
            let Some(far) = leaves(&frame, start, way).filter(|far| *far > 2.0 * CLEAR) else { continue };
            let cut = [start, start + way * far];
            if clear_of(&paint, cut, CLEAR) {
                out.push(Relief { gap: false, cell, line: cut });
            }
        }
        if cell + 1 < panel.range.end {
            let d = line.divides[cell];
            let cut = [Point::new(d.x(bottom), bottom), Point::new(d.x(top), top)];
            out.push(Relief { gap: true, cell, line: cut });
        }
    }
    out
}

/// What a cell's film ends at, corner by corner, counter-clockwise.
pub(super) fn frame(line: &TextLine, panel: &Panel, cell: usize) -> [Point; 4] {
    let [left, right] = panel.cell_ends(line, cell);
    let [bottom, top] = panel.ends();
    let at = |x: f64, y: f64| Point::new(x, y);
    [at(left.x(bottom), bottom), at(right.x(bottom), bottom), at(right.x(top), top), at(left.x(top), top)]
}

/// The point of a shape farthest along a way; where an edge lies square to it, the edge's middle.
pub(super) fn farthest(shape: &[Ring], way: Vec2) -> Option<Point> {
    let mut all: Vec<Point> = shape.iter().flat_map(|r| &r.vertices).map(|v| v.p).collect();
    let far = |p: &Point| way.dot(p.to_vec2());
    let most = all.iter().map(far).fold(f64::NEG_INFINITY, f64::max);
    all.retain(|p| far(p) >= most - 2.0 * FLATTEN_MM);
    let first = *all.first()?;
    let last = all.iter().copied().max_by(|a, b| a.distance(first).total_cmp(&b.distance(first)))?;
    let other = all.iter().copied().max_by(|a, b| a.distance(last).total_cmp(&b.distance(last)))?;
    let middle = last.midpoint(other);
    let off = |p: Point| {
        let edges = shape.iter().flat_map(Ring::edges);
        edges.map(|e| geom::distance::point_to_edge(p, &e)).fold(f64::INFINITY, f64::min)
    };
    // Of two feet that reach as far the middle lies between them.
    Some(if off(middle) <= 2.0 * FLATTEN_MM { middle } else { last })
}

/// How far it is from a point inside a convex frame to its edge; `None` if the point lies outside.
fn leaves(frame: &[Point; 4], from: Point, way: Vec2) -> Option<f64> {
    let mut least = f64::INFINITY;
    for k in 0..4 {
        let (a, b) = (frame[k], frame[(k + 1) % 4]);
        let side = (b - a).normalize();
        let inside = side.cross(from - a);
        if inside <= 0.0 {
            return None;
        }
        let nearer = -side.cross(way);
        if nearer > 0.0 {
            least = least.min(inside / nearer);
        }
    }
    least.is_finite().then_some(least)
}

/// True if a cut keeps this distance from all paint edges.
fn clear_of(paint: &[Ring], cut: [Point; 2], distance: f64) -> bool {
    let cut: Vec<Edge> = segments(&cut).collect();
    paint.iter().flat_map(Ring::edges).all(|e| cut.iter().all(|c| edge_to_edge(c, &e) >= distance))
}

/// The weeding cuts of a panel, level: from the corners of its box across the waste to the film's edge, and across the
/// strokes of large letters. The box itself is one more.
pub(super) fn weeding_cuts(line: &TextLine, panel: &Panel, stroke: f64) -> Vec<[Point; 2]> {
    let mut out = Vec::new();
    let [_, across] = panel.size();
    let beside = (panel.film.width - across) / 2.0 - FILM_EDGE;
    if beside > FILM_EDGE {
        for (k, p) in panel.outline.iter().enumerate() {
            let away = match (panel.upright, k) {
                (false, 0 | 1) => Vec2::new(0.0, -1.0),
                (false, _) => Vec2::new(0.0, 1.0),
                (true, 0 | 3) => Vec2::new(-1.0, 0.0),
                (true, _) => Vec2::new(1.0, 0.0),
            };
            out.push([*p, *p + away * beside]);
        }
    }
    let inside = Ring::from_points(panel.outline);
    for cell in panel.cells(line) {
        let shape = if panel.part.1 > 1 {
            intersection(&cell.shape, std::slice::from_ref(&inside))
        } else {
            cell.shape.clone()
        };
        for level in [true, false] {
            out.extend(across_strokes(&shape, stroke, level));
        }
    }
    out
}

/// Cuts across the strokes of a shape so that no part of its film is much longer than [`LIFTED`]: level ones, or
/// upright ones.
fn across_strokes(shape: &[Ring], stroke: f64, level: bool) -> Vec<[Point; 2]> {
    let swap = |p: Point| if level { p } else { Point::new(p.y, p.x) };
    let Some((lo, hi)) = bounds(shape) else { return vec![] };
    let (lo, hi) = (swap(lo), swap(hi));
    let parts = ((hi.y - lo.y) / LIFTED).ceil();
    let mut out = Vec::new();
    for k in 1..parts as u32 {
        let wanted = lo.y + (hi.y - lo.y) * f64::from(k) / parts;
        let at = |y: f64| {
            let all = chords(shape, y, level);
            let good: Vec<[Point; 2]> =
                all.iter().filter(|[a, b]| a.distance(*b) <= CROSS * stroke).copied().collect();
            (all.len() - good.len(), good)
        };
        let tried = (-TRIED.0..=TRIED.0).map(|n| (n.abs(), at(wanted + f64::from(n) * TRIED.1 * LIFTED)));
        let best = tried.min_by_key(|(far, (bad, good))| (good.is_empty(), *bad, *far));
        out.extend(best.into_iter().flat_map(|(_, (_, good))| good));
    }
    out.into_iter()
        .filter_map(|[a, b]| {
            let way = (b - a).normalize();
            let cut = [a + way * SHORT, b - way * SHORT];
            // Both ends stay in the waste: a knife that runs over would nick the mask's edge.
            (a.distance(b) > 2.0 * SHORT + 2.0 * CLEAR
                && contains(shape, cut[0].midpoint(cut[1]))
                && clear_of(shape, cut, CLEAR))
            .then_some(cut)
        })
        .collect()
}

/// What of a level (or upright) line lies in a shape, at a height (or station).
fn chords(shape: &[Ring], at: f64, level: bool) -> Vec<[Point; 2]> {
    let swap = |p: Point| if level { p } else { Point::new(p.y, p.x) };
    let mut met: Vec<f64> = Vec::new();
    for edge in shape.iter().flat_map(Ring::edges) {
        let (a, b) = (swap(edge.start()), swap(edge.end()));
        if (a.y <= at) != (b.y <= at) {
            met.push(a.x + (b.x - a.x) * (at - a.y) / (b.y - a.y));
        }
    }
    met.sort_by(f64::total_cmp);
    met.chunks_exact(2).map(|x| [swap(Point::new(x[0], at)), swap(Point::new(x[1], at))]).collect()
}
