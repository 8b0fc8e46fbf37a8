//! Paper on the side of a body: strips along it, laid bottom up as roof tiles.
//!
//! Covered is the side from the middle of the bottom to that of the top, end to end, and 2 in beyond all round. A strip's
//! middle keeps its girth from the waterline, so that its lower edge is chalked by measuring round at a few stations. Round
//! a ring a tape reads the way over the skin or more, never less: strips a lap apart by girth lap as much or more, and
//! what lies within half a width by girth lies under the paper. Lengths go along the middle of the strip over the skin,
//! ends square off it. Paper does not stretch: where the skin curves both ways, or the strip bends, more than can be smoothed
//! down is folded up in darts along its edges, and where that is much a narrower paper is laid. Strips over an opening are cut along the tack
//! strip; one lies over a stripe that sweeps up and is cut on both of its sides.

use super::paper::{
    FOLD, GIVES, LAP, Paper, PaperStrip, area, closed, flat, left_open, past, rectangle, widths,
};
use super::plan::Mask;
use crate::fit::placed::Placed;
use crate::job::types::Masking;
use crate::surface::{BodySkin, Hoops, Skin, SkinShape};
use geom::boolean::{intersection, union};
use geom::plainer::plainer;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring};

/// How far, mm, the outline of what is painted and taped may be from what paper is cut by: it ends half-way over the tack
/// strip, 9 mm off.
const PLAIN_MM: f64 = 0.2;

/// Longest chord, mm, of what is straight on its chart and bends by station and girth: with a bend of 10 m off by 0.1 mm.
const CHORD_MM: f64 = 100.0;

/// Share of its length that may be folded up before a narrower paper is taken: 1/4 in a yard. chosen.
const FOLDED: f64 = 6.35 / 914.4;

/// Share of its box that a mark with its tape fills, from which strips begin and end at its height; a stripe that sweeps
/// up fills less, and the strips run over it. chosen.
const LEVEL: f64 = 0.5;

/// Columns in which a mark's tape is looked at. chosen: four or more in each of twelve letters' widths and gaps.
const COLUMNS: usize = 96;

/// How deep below its tops or above its feet, mm, the tape's edge is taken for a bay of a letter: 1 in. chosen.
const BAY: f64 = 25.4;

/// True if they are the two sides of one body.
pub(super) fn two_sides(a: &Skin, b: &Skin) -> bool {
    let (SkinShape::Body(a), SkinShape::Body(b)) = (&a.shape, &b.shape) else { return false };
    a.side() != b.side() && a.body() == b.body()
}

/// Covers a side, and with `back` the whole of the other one.
pub(super) fn cover(
    (skin, body): (&Skin, &BodySkin),
    masking: &Masking,
    (marks, masks): (&[&Placed], &[&Mask]),
    back: bool,
    out: &mut Paper,
) {
    let Some(hoops) = Hoops::new(body) else { return };
    let each: Vec<Vec<Ring>> = marks.iter().map(|mark| shut(body, &hoops, mark, masks)).collect();
    let shut = each.iter().fold(Vec::new(), |all, one| union(&all, one));
    let (bare, _) = left_open(&skin.outline, &shut);
    let edge = flat(&skin.outline);
    let side = Side { id: &skin.id, body, hoops: &hoops, edge: &edge, masking, back: false };
    out.area += hoops.area(&bare);
    side.cover(&bare, &levels(&each), &mut out.strips);
    if back {
        let whole = [edge.clone()];
        out.area += hoops.area(&whole);
        Side { back: true, ..side }.cover(&whole, &[], &mut out.strips);
    }
}

/// What a mark paints and its tape covers, by station and girth.
fn shut(body: &BodySkin, hoops: &Hoops, mark: &Placed, masks: &[&Mask]) -> Vec<Ring> {
    let own: Vec<&Mask> = masks.iter().copied().filter(|m| m.of == mark.id).collect();
    let Some(sheet) = mark.charts.as_ref().map(|c| &c.sheet) else { return Vec::new() };
    let place = |p: Point| match &sheet.shape {
        SkinShape::Chart(chart) => chart.place(p),
        SkinShape::Strip(strip) => strip.place(p),
        _ => None,
    };
    let point =
        |p: Point| body.flat(place(p).map_or_else(|| sheet.skin_from_flat(p), |uv| hoops.reading(uv)));
    let carried = |ring: &Ring| {
        let chords = plainer(ring, PLAIN_MM);
        let points = chords.edges().flat_map(|e| {
            let parts = (e.length() / CHORD_MM).ceil().max(1.0);
            (0..parts as usize).map(|k| point(e.at(k as f64 / parts))).collect::<Vec<_>>()
        });
        Ring::from_points(points.collect::<Vec<_>>())
    };
    union(&closed(&[mark], &own), &[]).iter().map(carried).collect()
}

/// Girths between which strips begin and end: where the tape of marks does that run along the body. What is straight on the
/// mark's chart bends a little by girth: taken is where the tape lies at every station of the mark, so that no sliver
/// beside it takes a strip of its own.
fn levels(each: &[Vec<Ring>]) -> Vec<[f64; 2]> {
    let mut out = Vec::new();
    for rings in each {
        let bounds = rings.iter().filter_map(Ring::bounds);
        let around = bounds.reduce(|a, b| {
            (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
        });
        let Some((lo, hi)) = around else { continue };
        if area(rings) < LEVEL * (hi.x - lo.x) * (hi.y - lo.y) {
            continue;
        }
        let across: Vec<(f64, f64)> = (0..COLUMNS)
            .filter_map(|k| across(rings, lo.x + (hi.x - lo.x) * (k as f64 + 0.5) / COLUMNS as f64))
            .collect();
        // Bays and gaps open to below or above are passed over.
        let feet = across.iter().map(|a| a.0).filter(|y| *y < lo.y + BAY);
        let tops = across.iter().map(|a| a.1).filter(|y| hi.y - BAY < *y);
        out.push([feet.fold(lo.y, f64::max), tops.fold(hi.y, f64::min)]);
    }
    out
}

/// Lowest and highest crossing of rings with a column.
fn across(rings: &[Ring], x: f64) -> Option<(f64, f64)> {
    let edges = rings.iter().flat_map(Ring::edges);
    let crossing = |e: geom::Edge| {
        let (a, b) = (e.start(), e.end());
        ((a.x <= x) != (b.x <= x)).then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
    };
    edges
        .filter_map(crossing)
        .fold(None, |all: Option<(f64, f64)>, y| Some(all.map_or((y, y), |(lo, hi)| (lo.min(y), hi.max(y)))))
}

/// One side to cover.
#[derive(Clone, Copy)]
struct Side<'a> {
    id: &'a str,
    body: &'a BodySkin,
    hoops: &'a Hoops,
    edge: &'a Ring,
    masking: &'a Masking,
    back: bool,
}

impl Side<'_> {
    /// Adds the strips that cover `bare`, the lowest first.
    fn cover(&self, bare: &[Ring], levels: &[[f64; 2]], strips: &mut Vec<PaperStrip>) {
        let widths = widths(self.masking);
        let Some((lo, hi)) = self.edge.bounds().filter(|_| !widths.is_empty()) else { return };
        let mut cuts: Vec<f64> = levels.iter().flatten().copied().collect();
        cuts.retain(|y| lo.y + KEPT_MM < *y && *y < hi.y - KEPT_MM);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < LAP);
        cuts.insert(0, lo.y - 1.0);
        cuts.push(hi.y + 1.0);
        for slab in cuts.windows(2) {
            let frame = rectangle(Point::new(lo.x - 1.0, slab[0]), Point::new(hi.x + 1.0, slab[1]));
            // Above and below a mark paper ends half-way over its tack strip; what lies beside it laps that paper.
            let middle = f64::midpoint(slab[0], slab[1]);
            let beside = levels.iter().any(|level| level[0] < middle && middle < level[1]);
            for part in super::band::parts(intersection(bare, &[frame])) {
                self.rows(&part, beside.then_some(slab), &widths, strips);
            }
        }
    }

    fn past(&self, p: Point) -> f64 {
        past(self.masking, self.edge, self.back, p)
    }

    /// The strips over one part that hangs together.
    fn rows(&self, part: &[Ring], beside: Option<&[f64]>, widths: &[f64], strips: &mut Vec<PaperStrip>) {
        let points = || part.iter().flat_map(|r| r.vertices.iter().map(|v| v.p));
        let lowest = points().min_by(|a, b| a.y.total_cmp(&b.y));
        let highest = points().max_by(|a, b| a.y.total_cmp(&b.y));
        let (Some(lowest), Some(highest)) = (lowest, highest) else { return };
        let past = |p: Point| {
            let on_cut = beside.is_some_and(|slab| slab.iter().any(|y| (p.y - y).abs() <= 10.0 * KEPT_MM));
            if on_cut { LAP } else { self.past(p) }
        };
        let (bottom, top) = (lowest.y - past(lowest), highest.y + past(highest));
        let narrowest = widths[0];
        let mut at = bottom;
        // Each strip gains more than a lap.
        while at + LAP < top || at <= bottom {
            let enough = widths.iter().position(|w| top - at <= *w + KEPT_MM).unwrap_or(widths.len() - 1);
            let mut width = narrowest;
            for k in (0..=enough).rev() {
                width = widths[k];
                match self.strip(part, at, width) {
                    Some(strip) if FOLDED * strip.length < strip.darts && 0 < k => {}
                    Some(strip) => {
                        strips.push(strip);
                        break;
                    }
                    None => break,
                }
            }
            at += width - LAP;
        }
    }

    /// The strip whose lower edge lies at girth `at`; `None` if nothing of the part lies under it.
    fn strip(&self, part: &[Ring], at: f64, width: f64) -> Option<PaperStrip> {
        let under = intersection(part, &[rectangle(Point::new(-1e6, at), Point::new(1e6, at + width))]);
        let middle = at + width / 2.0;
        let row = (&self.hoops.row(middle), middle);
        let places: Vec<(Point, f64)> = under
            .iter()
            .flat_map(|r| r.vertices.iter().map(|v| v.p))
            .map(|p| (p, self.hoops.along(row, self.body.reading(p))))
            .collect();
        // The farthest way each way, past what it ends on; those a little less far may end on more.
        let end = |sign: f64, of: fn(&(Point, f64)) -> f64| {
            let most = places.iter().map(|p| sign * of(p)).fold(f64::NEG_INFINITY, f64::max);
            let near = places.iter().filter(|p| most - FOLD < sign * of(p));
            let past = near.map(|p| (p, sign * self.past(p.0)));
            past.max_by(|a, b| (sign * (of(a.0) + a.1)).total_cmp(&(sign * (of(b.0) + b.1))))
        };
        let along = |sign: f64| {
            let (found, past) = end(sign, |p| p.1)?;
            let exact = self.hoops.exactly_along(row, self.body.reading(found.0));
            Some(exact.unwrap_or(found.1) + past)
        };
        let (from, to) = (along(-1.0)?, along(1.0)?);
        let across = |sign: f64| end(sign, |p| p.0.x).map(|(found, past)| found.0.x + past);
        let (left, right) = (across(-1.0)?, across(1.0)?);
        let stations = [left, right].map(|x| self.body.reading(Point::new(x, 0.0))[0]);
        let (fore, aft) = (stations[0].min(stations[1]), stations[0].max(stations[1]));
        Some(PaperStrip {
            surface: self.id.to_owned(),
            back: self.back,
            width,
            length: to - from,
            corners: [(left, at), (right, at), (right, at + width), (left, at + width)]
                .map(|(x, y)| Point::new(x, y)),
            darts: row.0.folded(width, (fore, aft), GIVES),
            round: None,
        })
    }
}

#[cfg(test)]
mod tests;
