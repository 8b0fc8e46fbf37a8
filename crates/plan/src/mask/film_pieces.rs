//! The film as it comes off: islands in counters, strips round each letter, panel by panel; and the tack strip that the
//! rim of the film lies on.

use super::band::parts;
use super::film::ON_TACK;
use super::film_cells::{Cell, TextLine};
use super::film_cuts::{Relief, farthest, frame};
use super::film_panels::Panel;
use super::order::bounds;
use super::plan::{EndKind, Kind, Piece, Tab, TabAt, TabKind};
use super::shelf::Measures;
use crate::fit::placed::Placed;
use crate::job::types::Tape;
use geom::boolean::{difference, union};
use geom::distance::point_to_edge;
use geom::inset::inset;
use geom::point::left_of;
use geom::tolerance::{FLATTEN_MM, GRID_MM, KEPT_MM, TAPE_KEPT_MM};
use geom::{Point, Ring, Vec2};
use std::collections::BTreeSet;
use std::f64::consts::{FRAC_PI_4, TAU};

/// Width of a cut where film is parted on the computer, mm: five steps of the grid either way. A knife takes nothing.
const SLIT: f64 = 10.0 * GRID_MM;
/// How far such a cut reaches past both its ends, mm, so that it parts what it should. Towards the paint it goes on to
/// the paint's edge, where the last 1/16 in of film is left to tear.
const PAST: f64 = 5.0 * FLATTEN_MM;

/// The pieces of a panel in the order of pulling, level: letter by letter the islands, then round the letter from the
/// far side on. `before`: the pieces of the panels before it.
pub(super) fn strips_of_panel(
    line: &TextLine,
    panel: &Panel,
    relief: &[Relief],
    mark: &Placed,
    m: &Measures,
    before: &[Piece],
) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    for k in panel.range.clone() {
        let cell = &line.cells[k];
        let whole = Ring::from_points(frame(line, panel, k));
        let film = parts(difference(std::slice::from_ref(&whole), &cell.shape));
        let outside = |part: &Vec<Ring>| {
            part[0].vertices.iter().any(|v| whole.edges().any(|e| point_to_edge(v.p, &e) <= 2.0 * GRID_MM))
        };
        let (round, mut islands): (Vec<_>, Vec<_>) = film.into_iter().partition(outside);
        let high = |part: &Vec<Ring>| bounds(part).map_or(0.0, |b| b.1.y);
        islands.sort_by(|a, b| high(b).total_cmp(&high(a)));
        let slits: Vec<Ring> =
            relief.iter().filter(|r| !r.gap && r.cell == k).map(|r| slit(&cell.shape, r)).collect();
        let mut strips = parts(difference(&round.concat(), &slits));
        strips.retain(|part| part.iter().map(Ring::area).sum::<f64>() > TAPE_KEPT_MM * part[0].perimeter());
        let edge = PaintEdge::new(cell, &whole, relief.iter().filter(|r| !r.gap && r.cell == k));
        let middle = cell.lo.midpoint(cell.hi);
        let turn = |path: &[Point]| {
            let at = super::tab::along(path, length(path) / 2.0).0;
            ((at - middle).angle() - FRAC_PI_4).rem_euclid(TAU)
        };
        let mut strips: Vec<(Vec<Ring>, Vec<Point>)> = strips
            .into_iter()
            .map(|part| {
                let path = edge.along(&part);
                (part, path)
            })
            .collect();
        strips.sort_by(|a, b| turn(&a.1).total_cmp(&turn(&b.1)));
        let islands = islands.into_iter().map(|part| {
            let path = closed(&part[0]);
            (part, path, true)
        });
        for (part, path, island) in islands.chain(strips.into_iter().map(|(part, path)| (part, path, false)))
        {
            let mut piece = piece_of(part, path, cell);
            piece.width = panel.film.width;
            if !island {
                piece.tab.area = flag(&piece.footprint[0], line, panel, m.tab);
            }
            piece.id = name(cell, mark, before, &out);
            out.push(piece);
        }
    }
    out
}

fn length(path: &[Point]) -> f64 {
    path.windows(2).map(|w| w[0].distance(w[1])).sum()
}

/// The cut as a narrow quadrilateral, from just inside the paint to just outside the cell.
fn slit(shape: &[Ring], relief: &Relief) -> Ring {
    let [a, b] = relief.line;
    let way = (b - a).normalize();
    let side = left_of(way) * (SLIT / 2.0);
    let from = farthest(shape, way).unwrap_or(a) - way * PAST;
    let to = b + way * PAST;
    Ring::from_points([from - side, to - side, to + side, from + side])
}

fn piece_of(footprint: Vec<Ring>, path: Vec<Point>, cell: &Cell) -> Piece {
    let glyph = if cell.glyphs.len() == 1 { cell.glyphs[0] as i32 } else { -1 };
    let ring = if glyph < 0 { -1 } else { ring_at(&cell.drawn, &path) };
    let mut piece = Piece::blank(Kind::Film, glyph, ring, path);
    piece.trimmed = true;
    for end in [&mut piece.start, &mut piece.finish] {
        end.kind = EndKind::PreCut;
        end.exact = true;
    }
    piece.tab = Tab { at: TabAt::Middle, kind: TabKind::Flag, area: Vec::new() };
    piece.footprint = footprint;
    piece
}

fn closed(ring: &Ring) -> Vec<Point> {
    let mut path: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    path.push(path[0]);
    path
}

/// The paint edge of a cell, to tell which corners of a strip lie on it.
struct PaintEdge<'a> {
    cell: &'a Cell,
    /// The cell's frame.
    whole: &'a Ring,
    /// The corners of the paint, in steps of the grid.
    corners: BTreeSet<(i64, i64)>,
    /// Where relief cuts meet the paint.
    starts: Vec<Point>,
}

fn step(p: Point) -> (i64, i64) {
    ((p.x / GRID_MM).round() as i64, (p.y / GRID_MM).round() as i64)
}

impl<'a> PaintEdge<'a> {
    fn new<'r>(cell: &'a Cell, whole: &'a Ring, relief: impl Iterator<Item = &'r Relief>) -> PaintEdge<'a> {
        let starts = relief.filter_map(|r| farthest(&cell.shape, r.line[1] - r.line[0])).collect();
        let corners = cell.shape.iter().flat_map(|r| &r.vertices).map(|v| step(v.p)).collect();
        PaintEdge { cell, whole, corners, starts }
    }

    /// True for a corner of a strip that lies on the paint: one of the paint's own, or where a cut meets it.
    fn holds(&self, p: Point) -> bool {
        let on = |r: &Ring| r.edges().any(|e| point_to_edge(p, &e) <= TAPE_KEPT_MM);
        self.corners.contains(&step(p))
            || self.starts.iter().any(|s| s.distance(p) <= 2.0 * PAST)
            || (on(self.whole) && self.cell.shape.iter().any(on))
    }

    /// Where a strip lies along the paint: the longest stretch of its edge that does; its longest side if none does.
    fn along(&self, part: &[Ring]) -> Vec<Point> {
        let mut best: Vec<Point> = Vec::new();
        for ring in part {
            let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
            let on: Vec<bool> = p.iter().map(|q| self.holds(*q)).collect();
            let n = p.len();
            if on.iter().all(|b| *b) && ring.perimeter() > length(&best) {
                // All round paint that stands alone in the strip; only islands are closed.
                best.clone_from(&p);
                continue;
            }
            for first in (0..n).filter(|i| on[*i] && !on[(*i + n - 1) % n]) {
                let run: Vec<Point> =
                    (0..n).map(|k| (first + k) % n).take_while(|i| on[*i]).map(|i| p[i]).collect();
                if run.len() > 1 && length(&run) > length(&best) {
                    best = run;
                }
            }
        }
        if best.len() > 1 {
            return best;
        }
        let longest = part[0].edges().max_by(|a, b| a.length().total_cmp(&b.length()));
        longest.map_or_else(Vec::new, |e| vec![e.start(), e.end()])
    }
}

/// Which ring of its letter a path lies along.
fn ring_at(rings: &[Ring], path: &[Point]) -> i32 {
    let far = |ring: &Ring| {
        let off = |p: &Point| ring.edges().map(|e| point_to_edge(*p, &e)).fold(f64::INFINITY, f64::min);
        // Three of its points tell the rings apart.
        [0, path.len() / 3, path.len() / 2]
            .into_iter()
            .filter_map(|k| path.get(k))
            .map(off)
            .fold(0.0, f64::max)
    };
    let nearest = (0..rings.len()).min_by(|a, b| far(&rings[*a]).total_cmp(&far(&rings[*b])));
    nearest.map_or(0, |k| k as i32)
}

/// The skin below the flag a strip is pulled by: outward from the middle of its longest side at the rim; empty where
/// it has none there and the flag stands up on the film itself.
fn flag(edge: &Ring, line: &TextLine, panel: &Panel, tab: f64) -> Vec<Point> {
    let [a, b, c, d] = panel.outline;
    let rims = [
        (a, b, line.room[0].is_none() && panel.part.0 + 1 == panel.part.1),
        (b, c, panel.sides[1].is_none()),
        (c, d, line.room[1].is_none() && panel.part.0 == 0),
        (d, a, panel.sides[0].is_none()),
    ];
    let mut best: Option<(f64, Point, Vec2)> = None;
    for (from, to, _) in rims.into_iter().filter(|r| r.2) {
        let way = (to - from).normalize();
        let on = |p: Point| way.cross(p - from).abs() <= 2.0 * GRID_MM;
        for e in edge.edges().filter(|e| on(e.start()) && on(e.end())) {
            if best.is_none_or(|(l, ..)| e.length() > l + KEPT_MM) {
                best = Some((e.length(), e.at(0.5), way));
            }
        }
    }
    let Some((_, at, way)) = best.filter(|(long, ..)| *long >= tab) else { return vec![] };
    // A panel's rim runs counter-clockwise: what lies outside it lies right of it.
    let out = -left_of(way) * tab;
    let half = way * (tab / 2.0);
    vec![at - half, at - half + out, at + half + out, at + half]
}

/// `2A-1`, first piece of film at the second character; `along-1` where letters share a cell.
fn name(cell: &Cell, mark: &Placed, before: &[Piece], here: &[Piece]) -> String {
    let stem = match cell.glyphs[..] {
        [g] => format!("{}{}", g + 1, mark.glyphs[g].char),
        _ => "along".to_owned(),
    };
    let own = |p: &&Piece| p.id.strip_prefix(&stem).is_some_and(|r| r.starts_with('-'));
    format!("{stem}-{}", before.iter().chain(here).filter(own).count() + 1)
}

/// The tack strip under the rim of all panels, in straight lengths that cross at the corners, and its edges that face
/// the paint; none without tack tape.
pub(super) fn rim_strip(panels: &[Panel], tape: Option<Tape>, width: f64) -> (Vec<Piece>, Vec<Vec<Point>>) {
    let Some(tape) = tape else { return (vec![], vec![]) };
    let all: Vec<Ring> = panels.iter().map(|p| Ring::from_points(p.outline)).collect();
    let outer: Vec<Ring> = union(&all, &[]).into_iter().filter(|r| r.area() > 0.0).collect();
    let mut pieces: Vec<Piece> = Vec::new();
    let mut rings = Vec::new();
    for ring in &outer {
        // Where panels of several lines leave a step too short for that, the strip runs round the box of all.
        let boxed = || {
            let (lo, hi) = ring.bounds()?;
            inset(&Ring::from_points([lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)]), ON_TACK)
        };
        let Some(inner) = inset(ring, ON_TACK).or_else(boxed) else { continue };
        rings.push(closed(&inner));
        for edge in inner.edges().filter(|e| e.length() > ON_TACK) {
            // Film and paint lie left of the rim: the tape goes to the right.
            let (a, b) = (edge.start(), edge.end());
            let way = (b - a).normalize();
            let past = width - ON_TACK;
            let side = -left_of(way) * width;
            let (from, to) = (a - way * past, b + way * past);
            let mut piece = Piece::blank(Kind::Tack, -1, -1, vec![a, b]);
            piece.id = format!("tack-{}", pieces.len() + 1);
            piece.width = width;
            piece.label = tape.width;
            for end in [&mut piece.start, &mut piece.finish] {
                end.kind = EndKind::RunOn;
                end.past = past;
            }
            piece.footprint = vec![Ring::from_points([from, from + side, to + side, to])];
            pieces.push(piece);
        }
    }
    (pieces, rings)
}
