//! Edge tape along one run of the paint edge, and the bridges from its back to the tack strip.

use super::band::parts;
use super::bridge::bridges;
use super::channel::{Across, Field, look_across};
use super::clear::clear_of_paint;
use super::ends::{Planned, Side, edge_end, mitred_end};
use super::facing::Facing;
use super::gap_tape::GapTape;
use super::outline::Run;
use super::plan::{End, EndKind, Kind, Piece};
use super::shelf::{Bend, Choice, Measures, SHORT, choose, strain, widest_that_bends};
use super::strip::{EndShape, Strip};
use crate::job::types::Tape;
use geom::beside::near_box;
use geom::boolean::difference;
use geom::point::left_of;
use geom::tolerance::{KEPT_MM, NOISE_MM, TAPE_SAME_MM2};
use geom::{Point, Ring, Vec2};

/// How far one piece laps the next along the same edge, mm: 1/2 in. common practice, no source.
pub(super) const LAP: f64 = 12.7;

/// The mark as the tape sees it.
pub(super) struct Ground<'a> {
    pub(super) runs: &'a [Run],
    pub(super) field: &'a Field,
    /// Painted outlines, character by character, with the box round each.
    pub(super) paint: &'a [(Vec<Ring>, (Point, Point))],
    pub(super) shelf: &'a [Tape],
    /// What bridges are cut from: edge tapes and the tack tape.
    pub(super) bridging: &'a [Tape],
    pub(super) m: Measures,
    /// Distance between looks across the mask, mm.
    pub(super) step: f64,
    /// True for stripes.
    pub(super) stripe: bool,
    /// Tapes that lie in the gap to a stripe with a mask of its own.
    pub(super) gaps: &'a [GapTape],
}

/// A piece with what the order needs to know.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) piece: Piece,
    /// How far a tab may stand out past the start and the finish, from the ends of the path, mm.
    pub(super) free: [f64; 2],
    /// How far the mask is free behind the middle of the piece, from the paint edge, mm.
    pub(super) behind: f64,
}

/// What was said while a run was taped.
#[derive(Debug, Default)]
pub(super) struct Said {
    /// Runs whose bends are too tight for what was chosen: width, least radii, strain, best that can be hoped for.
    pub(super) tight: Vec<(Bend, i32, f64, f64, f64)>,
    /// Widest tape that would have done in those bends, mm.
    pub(super) would_bend: f64,
    /// Edges that no tape bends round: character and radius, mm. They are cut from film.
    pub(super) film: Vec<(i32, f64)>,
    /// Bends of stripes that no tape on the shelf takes, though a narrower one would: radius and width of that, mm. They
    /// are cut from film like tighter ones, unless it is bought.
    pub(super) film_or: Vec<(f64, f64)>,
    /// Edges where tape was cut down to this width, mm.
    pub(super) cut_down: Vec<(i32, f64)>,
    /// Edges whose bridge is several rows: glyph, how many, width of each, mm.
    pub(super) rows: Vec<(i32, usize, f64)>,
    /// Edges at which the tack strip is not reached: glyph, reached, needed, mm.
    pub(super) bare: Vec<(i32, f64, f64)>,
    /// Narrowest channel without a strip, by rule: strips shared, edge tapes meeting.
    pub(super) shared: Option<f64>,
    /// See `shared`.
    pub(super) meeting: Option<f64>,
    /// Straight edges that a tape wide enough would have reached alone: real width, mm.
    pub(super) too_narrow: Option<f64>,
}

/// The way across at the places of a run, and the least of it.
pub(super) fn across(g: &Ground<'_>, k: usize) -> (Vec<Across>, f64) {
    let reach = g.m.two_strips() + g.m.tack;
    let looks = look_across(g.field, g.runs, k, g.step, reach);
    let mut least = looks.iter().filter_map(|l| l.facing.map(|f| f.far)).fold(f64::INFINITY, f64::min);
    let run = &g.runs[k];
    if run.straight() {
        least = least.min(straight_clearance(g, run, reach));
    }
    (looks, least)
}

/// The nearest paint right of a straight run, between its ends, other than the sides of its own inside corners.
fn straight_clearance(g: &Ground<'_>, run: &Run, reach: f64) -> f64 {
    let (a, way) = (run.points[0], run.ways[0]);
    let right = -left_of(way);
    let far = [a, run.points[1], a + right * reach, run.points[1] + right * reach];
    let mut least = f64::INFINITY;
    for bit in g.field.near(&far, 0.0) {
        let wedge =
            (bit.run == run.after && run.turns[1] < 0.0) || (bit.run == run.before && run.turns[0] < 0.0);
        if wedge && g.runs[bit.run].ways[0].dot(way).abs() > 0.0 && unbent(g, run, &bit) {
            continue;
        }
        let local = |p: Point| ((p - a).dot(way), (p - a).dot(right));
        let ((u0, v0), (u1, v1)) = (local(bit.a), local(bit.b));
        let (lo, hi) = (NOISE_MM * 100.0, run.length - NOISE_MM * 100.0);
        if u0.max(u1) <= lo || u0.min(u1) >= hi {
            continue;
        }
        let at = |u: f64| {
            if (u1 - u0).abs() > NOISE_MM { v0 + (v1 - v0) * (u - u0) / (u1 - u0) } else { v0.min(v1) }
        };
        for v in [at(u0.clamp(lo, hi)), at(u1.clamp(lo, hi))] {
            if v > NOISE_MM * 1000.0 {
                least = least.min(v);
            }
        }
    }
    least
}

fn unbent(g: &Ground<'_>, run: &Run, bit: &super::channel::Bit) -> bool {
    let way = (bit.b - bit.a).normalize();
    let r = &g.runs[bit.run];
    (bit.run == run.after && way.dot(r.ways[0]) > 0.5) || (bit.run == run.before && way.dot(r.ways[1]) > 0.5)
}

/// The pieces along a run (or along a line made of several): its edge tape, then its bridges.
pub(super) fn tape_run(
    g: &Ground<'_>,
    run: &Run,
    looks: &[Across],
    least: f64,
    on_top: [bool; 2],
    said: &mut Said,
) -> Vec<Draft> {
    let need = looks.iter().map(|l| g.m.need(l.any.map_or(f64::INFINITY, |m| m.far))).fold(0.0, f64::max);
    let most = least - SHORT;
    let gap = g.gaps.iter().find(|gap| gap.lies_along(&run.points)).map(|gap| [gap.tape]);
    let shelf = gap.as_ref().map_or(g.shelf, |tape| tape.as_slice());
    let Some(choice) = choose(shelf, run, need, most) else { return Vec::new() };
    let narrow = said.too_narrow;
    tell(g, run, least, need, &choice, said);
    if gap.is_some() {
        // Where a tape makes the gap its width is no choice.
        said.too_narrow = narrow;
    }
    let mut drafts = edge_pieces(g, run, looks, &choice, Meets { on_top, mitred: [false; 2] });
    drafts.extend(bridges(g, run, looks, &choice, said));
    drafts
}

/// The pieces along an edge whose tape serves the facing edge of another stripe too: the tape, then bridges where that other
/// edge does not reach.
pub(super) fn tape_between(
    g: &Ground<'_>,
    run: &Run,
    looks: &[Across],
    facing: &Facing,
    ends: Meets,
    said: &mut Said,
) -> Vec<Draft> {
    let as_laid = Tape { real: facing.drawn, ..facing.tape };
    let Some(choice) = choose(&[as_laid], run, facing.drawn, f64::INFINITY) else { return Vec::new() };
    tell(g, run, f64::INFINITY, facing.drawn, &choice, said);
    let mut drafts = edge_pieces(g, run, looks, &choice, ends);
    for d in &mut drafts {
        d.piece.width = facing.width;
        d.piece.trimmed = !facing.whole();
    }
    drafts.extend(bridges(g, run, looks, &choice, said));
    drafts
}

fn tell(g: &Ground<'_>, run: &Run, least: f64, need: f64, choice: &Choice, said: &mut Said) {
    if g.stripe && choice.bend == Bend::TooTight {
        let best = widest_that_bends(run, choice.tape.strain);
        said.film_or.push((run.bulging.min(run.hollow), best));
    } else if choice.film {
        said.film.push((run.glyph, run.bulging.min(run.hollow)));
    } else if choice.bend != Bend::Sure {
        let strain = strain(choice.width, run.bulging, run.hollow);
        said.tight.push((choice.bend, run.glyph, choice.width, run.bulging.min(run.hollow), strain));
        let best = widest_that_bends(run, choice.tape.strain);
        said.would_bend = if said.would_bend > 0.0 { said.would_bend.min(best) } else { best };
    }
    if choice.width + KEPT_MM < choice.tape.real {
        said.cut_down.push((run.glyph, choice.width));
    }
    if run.straight() && !choice.reaches && least > g.m.shared() {
        said.too_narrow = Some(said.too_narrow.map_or(choice.width, |w| w.max(choice.width)));
    }
    let _ = need;
    let least_of = |old: &mut Option<f64>| *old = Some(old.map_or(least, |o| o.min(least)));
    if least + KEPT_MM < g.m.shared() {
        least_of(&mut said.meeting);
    } else if least < g.m.two_strips() {
        least_of(&mut said.shared);
    }
}

/// How a tape meets those of the edges before and after.
#[derive(Clone, Copy)]
pub(super) struct Meets {
    /// At an inside corner it is the one cut to the line.
    pub(super) on_top: [bool; 2],
    /// It goes on as a tape between two paints.
    pub(super) mitred: [bool; 2],
}

impl Meets {
    /// The end of a tape that meets a corner.
    fn end(self, g: &Ground<'_>, run: &Run, side: Side, width: f64) -> Planned {
        let k = usize::from(side == Side::Finish);
        let mitre = if self.mitred[k] { mitred_end(g.runs, run, side, width) } else { None };
        mitre.unwrap_or_else(|| edge_end(g.field, g.runs, run, side, width, self.on_top[k], &g.m))
    }
}

fn edge_pieces(g: &Ground<'_>, run: &Run, looks: &[Across], choice: &Choice, ends: Meets) -> Vec<Draft> {
    let w = choice.width;
    let count = (run.length / g.m.longest).ceil().max(1.0) as usize;
    let each = run.length / count as f64;
    let strain = strain(w, run.bulging, run.hollow);
    (0..count)
        .map(|i| {
            let lap = |past: f64| Planned {
                end: End { kind: EndKind::Lap, cut: 0.0, past, exact: false },
                shape: EndShape::Square(0.0),
                short: 0.0,
                free: 0.0,
            };
            let whole = run.closed && count == 1;
            let start = if i > 0 || run.closed { lap(0.0) } else { ends.end(g, run, Side::Start, w) };
            let finish = if i + 1 < count || run.closed {
                lap(LAP.min(each / 2.0))
            } else {
                ends.end(g, run, Side::Finish, w)
            };
            let (from, to) = (each * i as f64 + start.short, each * (i + 1) as f64 - finish.short);
            let path = if whole { run.points.clone() } else { run.part(from, to) };
            let footprint = if whole {
                Strip::closed(&path, 0.0, w)
            } else {
                let lapped = if finish.end.kind == EndKind::Lap { finish.end.past } else { 0.0 };
                let laid = if lapped > 0.0 { part_round(run, from, to + lapped) } else { path.clone() };
                Strip::open(&laid, 0.0, w, start.shape, finish.shape)
            };
            let middle = f64::midpoint(from, to);
            let behind = behind(looks, middle);
            let piece = Piece {
                width: w,
                label: choice.tape.width,
                trimmed: w + KEPT_MM < choice.tape.real,
                strain,
                start: start.end,
                finish: finish.end,
                ..blank(Kind::Edge, run, path)
            };
            draft(g, piece, footprint, [start.free, finish.free], behind)
        })
        .collect()
}

/// The part of a run between two places; a closed one goes on past its start.
fn part_round(run: &Run, from: f64, to: f64) -> Vec<Point> {
    if run.closed && to > run.length {
        let mut path = run.part(from, run.length);
        path.pop();
        path.extend(run.part(0.0, to - run.length));
        return path;
    }
    run.part(from, to)
}

/// How far the mask is free behind the place nearest to `at`, mm.
pub(super) fn behind(looks: &[Across], at: f64) -> f64 {
    looks
        .iter()
        .min_by(|a, b| (a.at - at).abs().total_cmp(&(b.at - at).abs()))
        .and_then(|l| l.any)
        .map_or(f64::INFINITY, |m| m.far)
}

/// A piece of a run before its ends and order are known.
pub(super) fn blank(kind: Kind, run: &Run, path: Vec<Point>) -> Piece {
    Piece::blank(kind, run.glyph, run.ring, path)
}

/// Keeps the piece off all paint: whatever of its shape the neighbouring edges cut off is gone.
pub(super) fn draft(g: &Ground<'_>, piece: Piece, strip: Strip, free: [f64; 2], behind: f64) -> Draft {
    let middle = middle_of(&piece);
    let clear = clear_of_paint(g.field, g.paint, &strip, middle);
    let footprint = if clear { strip.rings } else { off_paint(g.paint, strip.rings, middle) };
    Draft { piece: Piece { footprint, ..piece }, free, behind }
}

/// A point just inside the piece, half-way along.
fn middle_of(piece: &Piece) -> Point {
    let half = piece.path_length() / 2.0;
    let mut left = half;
    for w in piece.path.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d && d > 0.0 {
            let way: Vec2 = (w[1] - w[0]) / d;
            return w[0] + way * left - left_of(way) * (piece.width / 8.0).min(0.5);
        }
        left -= d;
    }
    piece.path[0]
}

/// The shape without what lies on paint: of the parts that are left, the one that holds `middle`, or the largest.
pub(super) fn off_paint(paint: &[(Vec<Ring>, (Point, Point))], shape: Vec<Ring>, middle: Point) -> Vec<Ring> {
    let boxes: Vec<(Point, Point)> = shape.iter().filter_map(Ring::bounds).collect();
    let near: Vec<Ring> = paint
        .iter()
        .filter(|(_, b)| {
            boxes.iter().any(|a| a.0.x <= b.1.x && b.0.x <= a.1.x && a.0.y <= b.1.y && b.0.y <= a.1.y)
        })
        .flat_map(|(rings, _)| rings)
        .filter_map(|r| match boxes.as_slice() {
            [(lo, hi)] => near_box(r, Point::new(lo.x - 1.0, lo.y - 1.0), Point::new(hi.x + 1.0, hi.y + 1.0)),
            _ => Some(r.clone()),
        })
        .collect();
    let area = |rings: &[Ring]| rings.iter().map(Ring::area).sum::<f64>();
    let left = difference(&shape, &near);
    if (area(&shape) - area(&left)).abs() <= TAPE_SAME_MM2 {
        return shape;
    }
    let parts = parts(left);
    let holds = |part: &Vec<Ring>| geom::winding::contains(part, middle);
    parts
        .into_iter()
        .max_by(|a, b| holds(a).cmp(&holds(b)).then(area(a).total_cmp(&area(b))))
        .unwrap_or_default()
}
