//! The tack strip: border tape at the gap round the paint, in straight pieces mitred where they meet.
//!
//! Laid before everything else; papers end on it and edge tape laps it. In a channel too narrow for two strips one
//! serves both edges; where not even that fits there is none. A strip laid by hand wanders 1/16 in, so curves are
//! followed by straight lengths within that.

use super::channel::{Bit, Field};
use super::chords::chords;
use super::edge::blank;
use super::order::bounds;
use super::outline::{CORNER, Run};
use super::overlap::apart as apart_boxes;
use super::plan::{EndKind, Kind, Piece};
use super::shelf::{Measures, SHORT};
use super::strip::{EndShape, offset, open_strip};
use super::wedge::wedge;
use super::whole::Outlines;
use crate::job::types::Tape;
use geom::beside::near_box;
use geom::boolean::difference;
use geom::point::{crossing, left_of};
use geom::tolerance::{KEPT_MM, NOISE_MM, TAPE_TOUCH_MM2};
use geom::winding::contains;
use geom::{Point, Ring, Vec2};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, PI};

/// How far a strip laid by hand wanders, mm: 1/16 in (common practice, no source).
pub(super) const WANDER: f64 = 25.4 / 16.0;
/// Length, mm, up to which a piece of strip is a scrap that hardly a hand can lay: 1/2 in. chosen.
pub(super) const SCRAP: f64 = 12.7;
/// Turn, radians, from which a mitre is bevelled: corners of the paint sharper than 60 degrees.
const BEVEL: f64 = 2.0 * FRAC_PI_3;
/// Most times a length is halved to find where the strip still fits.
const HALVINGS: u32 = 6;

/// One straight length of the line the strip's edge follows.
#[derive(Clone, Copy, Debug)]
struct Length {
    a: Point,
    b: Point,
    run: usize,
    /// Turn at its start and finish if another length goes on there.
    turns: [Option<f64>; 2],
}

/// Strain up to which tack tape is laid round a bend in one piece: 2 %, what crepe paper takes (facts, suggested working
/// strain; common practice, no source).
const CREPE: f64 = 0.02;

/// A piece of the strip: one length, or, along a stripe, several that bend so little that one tape follows them.
struct Laid {
    path: Vec<Point>,
    run: usize,
    turns: [Option<f64>; 2],
    width: f64,
}

impl Laid {
    fn new(length: &Length, width: f64) -> Laid {
        Laid { path: vec![length.a, length.b], run: length.run, turns: length.turns, width }
    }

    /// True if the tape can go on along the next length.
    fn goes_on(&self, next: &Length, width: f64) -> bool {
        let n = self.path.len();
        let (a, b) = (self.path[n - 2], self.path[n - 1]);
        let Some(turn) = self.turns[1] else { return false };
        let around = f64::midpoint(a.distance(b), next.a.distance(next.b));
        self.run == next.run
            && (self.width - width).abs() <= KEPT_MM
            && b.distance(next.a) <= NOISE_MM
            && turn.abs() * width <= CREPE * around
    }

    fn go_on(&mut self, next: &Length) {
        self.path.push(next.b);
        self.turns[1] = next.turns[1];
    }
}

/// The strip's pieces, and its edges facing the paint as lines. `bent`: one piece goes on round gentle bends.
pub(super) fn tack_strip(
    Outlines { runs, rings, field, paint }: &Outlines,
    skip: impl Fn(usize) -> bool,
    tape: Option<Tape>,
    m: &Measures,
    bent: bool,
) -> (Vec<Piece>, Vec<Vec<Point>>) {
    let mut lines = Vec::new();
    let mut laid: Vec<Laid> = Vec::new();
    // That no paint edge is near holds in the middle of paint too: across a gap narrower than its wander the strip of an edge
    // would lie there, and the paint edge behind it pass for its own.
    let on_paint = |(part, width): &(Length, f64)| {
        let way = (part.b - part.a).normalize();
        let middle = part.a.midpoint(part.b) - left_of(way) * (*width / 2.0);
        paint.iter().any(|(rings, box_)| !apart_boxes(*box_, (middle, middle)) && contains(rings, middle))
    };
    for (r, ring) in rings.iter().enumerate() {
        if skip(r) {
            continue;
        }
        let mut line: Vec<Point> = Vec::new();
        for length in lengths(&ring.runs, runs, (m.gap, m.overlap, m.tack), bent) {
            let parts = tapered(field, length, m).unwrap_or_else(|| {
                let mut parts = fitting(field, length, m, HALVINGS);
                if bent {
                    run_on(field, &length, &mut parts, m);
                }
                parts.into_iter().map(|(part, width)| (clear_mitres(field, part, width, m), width)).collect()
            });
            for (part, width) in parts.into_iter().filter(|p| !on_paint(p)) {
                match laid.last_mut() {
                    Some(last) if bent && last.goes_on(&part, width) => last.go_on(&part),
                    _ => laid.push(Laid::new(&part, width)),
                }
                if line.last().is_none_or(|p| p.distance(part.a) > NOISE_MM) {
                    if line.len() > 1 {
                        lines.push(std::mem::take(&mut line));
                    }
                    line = vec![part.a];
                }
                line.push(part.b);
            }
        }
        if line.len() > 1 {
            lines.push(line);
        }
    }
    (laid.iter().map(|l| piece(&runs[l.run], l, tape)).collect(), lines)
}

/// Leaves out pieces too short to be handled where edge tape and the rest of the strip cover their skin anyway, shortest
/// first; then names those that stay. Returns how many went.
pub(super) fn without_scraps(strip: &mut Vec<Piece>, others: &[&[Ring]]) -> usize {
    let mut order: Vec<usize> = (0..strip.len()).filter(|i| strip[*i].cut_length < SCRAP).collect();
    order.sort_by(|a, b| strip[*a].cut_length.total_cmp(&strip[*b].cut_length));
    let mut gone = vec![false; strip.len()];
    let all: Vec<(usize, (Point, Point), &[Ring])> = strip
        .iter()
        .map(|p| p.footprint.as_slice())
        .chain(others.iter().copied())
        .enumerate()
        .filter_map(|(i, shape)| Some((i, bounds(shape)?, shape)))
        .collect();
    for k in order {
        let Some((lo, hi)) = bounds(&strip[k].footprint) else { continue };
        let (lo, hi) = (Point::new(lo.x - 1.0, lo.y - 1.0), Point::new(hi.x + 1.0, hi.y + 1.0));
        let apart = |b: (Point, Point)| b.0.x > hi.x || b.1.x < lo.x || b.0.y > hi.y || b.1.y < lo.y;
        let near: Vec<Ring> = all
            .iter()
            .filter(|(i, b, _)| *i != k && !gone.get(*i).is_some_and(|g| *g) && !apart(*b))
            .flat_map(|(.., shape)| *shape)
            .filter_map(|r| near_box(r, lo, hi))
            .collect();
        let open = difference(&strip[k].footprint, &near);
        gone[k] = open.iter().map(Ring::area).sum::<f64>() <= TAPE_TOUCH_MM2;
    }
    let mut stays = gone.iter().map(|g| !g);
    strip.retain(|_| stays.next().unwrap_or(true));
    for (i, p) in strip.iter_mut().enumerate() {
        p.id = format!("tack-{}", i + 1);
    }
    gone.iter().filter(|g| **g).count()
}

/// The lengths round one ring; scraps up to `least` mm long are left out, `closing` the line over them: those beside meet in
/// the middle.
fn lengths(ring: &[usize], runs: &[Run], (gap, least, tack): (f64, f64, f64), closing: bool) -> Vec<Length> {
    let n = ring.len();
    let mut lines: Vec<Vec<Point>> = ring.iter().map(|k| thinned(&runs[*k], gap)).collect();
    let mut bevels: Vec<Option<(Point, Point)>> = vec![None; n];
    let mut joined = vec![false; n];
    for i in 0..n {
        let j = (i + 1) % n;
        let (a, b) = (&runs[ring[i]], &runs[ring[j]]);
        if a.closed {
            joined[i] = true;
            continue;
        }
        let turn = a.turns[1];
        let (Some(&p), Some(&q)) = (lines[i].last(), lines[j].first()) else { continue };
        let meet = if turn.abs() < CORNER {
            // Hardly a corner, as where a round end begins: two lines so near to parallel cross anywhere. Half-way
            // between their ends lies off by 1 - cos(turn / 2) of the gap, at most a 250th.
            p.midpoint(q)
        } else {
            let Some(meet) = crossing(p, a.ways[1], q, b.ways[0]) else { continue };
            meet
        };
        if turn > BEVEL {
            let out = (a.ways[1] - b.ways[0]).normalize();
            let at = a.points[a.points.len() - 1] + out * gap;
            let across = left_of(out);
            if let (Some(u), Some(v)) =
                (crossing(p, a.ways[1], at, across), crossing(q, b.ways[0], at, across))
            {
                set_ends(&mut lines, i, j, u, v);
                bevels[i] = Some((u, v));
                joined[i] = true;
            }
        } else {
            // Inside a corner both lines must still have something left behind the crossing.
            let keeps = turn > 0.0
                || ((meet - lines[i][lines[i].len() - 2]).dot(a.ways[1]) > 0.0
                    && (lines[j][1] - meet).dot(b.ways[0]) > 0.0);
            if keeps {
                set_ends(&mut lines, i, j, meet, meet);
                joined[i] = true;
            }
        }
    }
    let mut out: Vec<Length> = Vec::new();
    let mut breaks: Vec<bool> = Vec::new();
    for i in 0..n {
        let count = lines[i].len() - 1;
        for (k, w) in lines[i].windows(2).enumerate() {
            out.push(Length { a: w[0], b: w[1], run: ring[i], turns: [None; 2] });
            breaks.push(k + 1 == count && !joined[i]);
        }
        if let Some((u, v)) = bevels[i] {
            out.push(Length { a: u, b: v, run: ring[i], turns: [None; 2] });
            breaks.push(false);
        }
    }
    let mut i = 0;
    while closing && i < out.len() && out.len() > 3 {
        let n = out.len();
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        if breaks[i] || breaks[before] || out[i].a.distance(out[i].b) > least {
            i += 1;
            continue;
        }
        let middle = out[i].a.midpoint(out[i].b);
        (out[before].b, out[after].a) = (middle, middle);
        out.remove(i);
        breaks.remove(i);
    }
    let count = out.len();
    for i in 0..count {
        let j = (i + 1) % count;
        let (u, v) = (out[i].b - out[i].a, out[j].b - out[j].a);
        if !breaks[i]
            && out[i].b.distance(out[j].a) <= KEPT_MM
            && u.hypot() > NOISE_MM
            && v.hypot() > NOISE_MM
        {
            let turn = u.cross(v).atan2(u.dot(v));
            out[i].turns[1] = Some(turn);
            out[j].turns[0] = Some(turn);
        }
    }
    out.retain(|l| l.a.distance(l.b) > least);
    if closing {
        lap_short(&mut out, tack, least);
    }
    out
}

/// Inside a corner a mitre takes from both; where one is too short for that the ends of both stay square and lap.
fn lap_short(lengths: &mut [Length], tack: f64, least: f64) {
    let n = lengths.len();
    for i in 0..n {
        let length = lengths[i];
        let lost: f64 = length.turns.iter().flatten().map(|t| tack * (-t / 2.0).max(0.0).tan()).sum();
        if lost + least <= length.a.distance(length.b) {
            continue;
        }
        for (end, beside) in [(0, (i + n - 1) % n), (1, (i + 1) % n)] {
            if length.turns[end].is_some_and(|t| t < 0.0) {
                (lengths[i].turns[end], lengths[beside].turns[1 - end]) = (None, None);
            }
        }
    }
}

fn set_ends(lines: &mut [Vec<Point>], i: usize, j: usize, finish: Point, start: Point) {
    if let Some(last) = lines[i].last_mut() {
        *last = finish;
    }
    if let Some(first) = lines[j].first_mut() {
        *first = start;
    }
}

/// The line of the strip along a run, in straight lengths within half its wander on either side of the true one.
fn thinned(run: &Run, gap: f64) -> Vec<Point> {
    let line =
        if run.closed { super::strip::offset_closed(&run.points, gap) } else { offset(&run.points, gap) };
    chords(&line, run.closed, WANDER / 2.0, WANDER / 2.0)
}

/// The length cut to a point, or stopped, where other paint closes in on it; `None` if that is not the case or will
/// not keep off the paint.
fn tapered(field: &Field, length: Length, m: &Measures) -> Option<Vec<(Length, f64)>> {
    let Some(wedge) = wedge(field, length.a, length.b, length.run, m)? else { return Some(Vec::new()) };
    let way = (length.b - length.a).normalize();
    let mut out = Length { a: length.a + way * wedge.along.0, b: length.a + way * wedge.along.1, ..length };
    // A cut at an angle is the mitre of a corner that turns back by the rest of twice that angle.
    let pointed = wedge.cuts.map(|cut| cut.map(|angle| 2.0 * angle - PI));
    for ((turn, pointed), stops) in out.turns.iter_mut().zip(pointed).zip(wedge.stops) {
        *turn = if stops { None } else { pointed.or(*turn) };
    }
    // The mitre of its other end may come too near to paint that the strip itself keeps off.
    let plain = Length { turns: pointed, ..out };
    [out, plain].into_iter().find(|l| keeps_off(field, l, wedge.width, m)).map(|l| vec![(l, wedge.width)])
}

/// The parts of a length where the strip fits, with the width it has there.
fn fitting(field: &Field, length: Length, m: &Measures, halvings: u32) -> Vec<(Length, f64)> {
    let long = length.a.distance(length.b);
    let whole = fits(field, &length, m);
    if let Some(width) = whole.filter(|w| *w >= m.tack) {
        return vec![(length, width)];
    }
    if halvings > 0 && long > 4.0 * m.overlap {
        let middle = length.a.midpoint(length.b);
        let first = Length { b: middle, turns: [length.turns[0], Some(0.0)], ..length };
        let second = Length { a: middle, turns: [Some(0.0), length.turns[1]], ..length };
        let mut parts = fitting(field, first, m, halvings - 1);
        parts.extend(fitting(field, second, m, halvings - 1));
        return merged(parts);
    }
    whole.map(|width| (length, width)).into_iter().collect()
}

/// How wide the strip is that fits along the whole of a length, both ends square: the tape's width, or, as one strip for both
/// edges of a channel, what is left between their gaps; `None` if none does.
fn fits(field: &Field, length: &Length, m: &Measures) -> Option<f64> {
    let long = length.a.distance(length.b);
    let way = (length.b - length.a) / long;
    let right = -left_of(way);
    let reach = m.tack + m.gap;
    let far = [length.a, length.b, length.a + right * reach, length.b + right * reach];
    // Distance of the nearest paint in front of the line, and its run; paint beside or behind too near spoils it.
    let (mut front, mut facing, mut spoilt) = (f64::INFINITY, usize::MAX, false);
    for bit in field.near(&far, m.gap) {
        let Some((near, ahead)) = distance(&bit, length.a, way, right, long, m.gap) else { continue };
        if ahead {
            if near < front {
                (front, facing) = (near, bit.run);
            }
        } else if near < m.gap - WANDER {
            spoilt = true;
        }
    }
    // Room for the strip: to the gap of the paint in front.
    let room = front - m.gap;
    let own = room + KEPT_MM >= 2.0 * m.overlap + m.tack;
    let shared = room + KEPT_MM >= 2.0 * m.overlap;
    if !spoilt && own && keeps_off(field, &square(*length), m.tack, m) {
        return Some(m.tack);
    }
    // One strip serves both edges: the edge that comes first has it.
    let width = room.min(m.tack);
    (!spoilt && shared && length.run < facing && keeps_off(field, &square(*length), width, m))
        .then_some(width)
}

/// Parts of one length run on at ends that halving left short: of an edge many feet long its last half is inches.
fn run_on(field: &Field, length: &Length, parts: &mut [(Length, f64)], m: &Measures) {
    for k in 0..parts.len() {
        let (mut part, width) = parts[k];
        let before = if k > 0 { parts[k - 1].0.b } else { length.a };
        let after = parts.get(k + 1).map_or(length.b, |p| p.0.a);
        for end in 0..2 {
            let (own, other) = if end == 0 { (part.a, before) } else { (part.b, after) };
            let free = own.distance(other);
            if free <= WANDER {
                continue;
            }
            let run = |by: f64| {
                let mut longer = part;
                let to = own.lerp(other, by / free);
                if end == 0 {
                    longer.a = to;
                } else {
                    longer.b = to;
                }
                longer
            };
            // As far as it surely fits, and as near as surely not, until a hand could not tell the two.
            let (mut good, mut bad) = (0.0, free);
            while bad - good > WANDER / 2.0 {
                let by = f64::midpoint(good, bad);
                if fits(field, &run(by), m).is_some_and(|w| w + KEPT_MM >= width) {
                    good = by;
                } else {
                    bad = by;
                }
            }
            part = run(good);
            if good > 0.0 {
                // It ends short of the corner: nothing to mitre with.
                part.turns[end] = None;
            }
        }
        parts[k].0 = part;
    }
}

/// The length with both ends cut square.
fn square(length: Length) -> Length {
    Length { turns: [None; 2], ..length }
}

/// The length with those mitres cut square that would come too near to other paint.
fn clear_mitres(field: &Field, length: Length, width: f64, m: &Measures) -> Length {
    let mut out = length;
    // Inside corners take from the far side; where nothing of it would be left the ends lie over each other.
    let lost: f64 = out.turns.iter().flatten().map(|t| width * (-t / 2.0).max(0.0).tan()).sum();
    if lost + m.overlap > out.a.distance(out.b) {
        for turn in &mut out.turns {
            *turn = turn.filter(|t| *t > 0.0);
        }
    }
    let length = out;
    for end in 0..2 {
        let mut only = square(length);
        only.turns[end] = length.turns[end];
        if !keeps_off(field, &only, width, m) {
            out.turns[end] = None;
        }
    }
    out
}

/// True if a length of the strip keeps off all paint by the gap, less its wander.
fn keeps_off(field: &Field, length: &Length, width: f64, m: &Measures) -> bool {
    let ring = outline(&[length.a, length.b], length.turns, width);
    let corners: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let n = corners.len();
    let least = m.gap - WANDER - NOISE_MM;
    let near = field.near(&corners, least);
    near.iter().all(|bit| (0..n).all(|i| apart(corners[i], corners[(i + 1) % n], bit.a, bit.b) >= least))
        && !near.iter().any(|bit| contains(std::slice::from_ref(&ring), bit.a))
}

/// Distance of two straight lines between their ends; 0 if they cross.
pub(super) fn apart(a: Point, b: Point, c: Point, d: Point) -> f64 {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    to_line(a, b, c).min(to_line(a, b, d)).min(to_line(c, d, a)).min(to_line(c, d, b))
}

/// Distance of `r` from the straight line between `p` and `q`.
fn to_line(p: Point, q: Point, r: Point) -> f64 {
    let d = q - p;
    let t = ((r - p).dot(d) / d.hypot2().max(NOISE_MM)).clamp(0.0, 1.0);
    (p + d * t).distance(r)
}

/// Joins neighbouring parts of one width.
fn merged(parts: Vec<(Length, f64)>) -> Vec<(Length, f64)> {
    let mut out: Vec<(Length, f64)> = Vec::new();
    for (part, width) in parts {
        match out.last_mut() {
            Some((last, w)) if last.b.distance(part.a) <= NOISE_MM && (*w - width).abs() <= SHORT => {
                last.b = part.b;
                last.turns[1] = part.turns[1];
                *w = w.min(width);
            }
            _ => out.push((part, width)),
        }
    }
    out
}

/// Distance of a bit of paint edge from the line of a length, and whether it lies in front (to the right, within
/// the length grown by the gap); `None` if it is too far to matter.
fn distance(bit: &Bit, a: Point, way: Vec2, right: Vec2, long: f64, gap: f64) -> Option<(f64, bool)> {
    let local = |p: Point| ((p - a).dot(way), (p - a).dot(right));
    let ((u0, v0), (u1, v1)) = (local(bit.a), local(bit.b));
    // The paint behind the line is the one the strip borders on.
    let faces = (bit.b - bit.a).dot(way) < 0.0 || v0.max(v1) > NOISE_MM;
    if v0.max(v1) > NOISE_MM && faces {
        let (lo, hi) = (-gap * 0.5, long + gap * 0.5);
        if u0.max(u1) > lo && u0.min(u1) < hi {
            let at = |u: f64| {
                if (u1 - u0).abs() > NOISE_MM {
                    v0 + (v1 - v0) * (u.clamp(lo, hi) - u0) / (u1 - u0)
                } else {
                    v0.min(v1)
                }
            };
            let v = at(u0).min(at(u1));
            if v > 0.0 {
                return Some((v, true));
            }
        }
    }
    let b = a + way * long;
    Some((apart(a, b, bit.a, bit.b), false))
}

/// The shape of a length of the strip.
fn outline(path: &[Point], turns: [Option<f64>; 2], width: f64) -> Ring {
    let n = path.len();
    let shape = |turn: Option<f64>, sign: f64| match turn {
        Some(turn) if turn.abs() > KEPT_MM => {
            let (a, b) = if sign < 0.0 { (path[0], path[1]) } else { (path[n - 2], path[n - 1]) };
            let way = (b - a).normalize();
            let right = -left_of(way);
            // Along the bisector, out of the corner.
            let out = (right * (turn / 2.0).cos() + way * (sign * (turn / 2.0).sin())) * sign;
            let extend = if turn > 0.0 { width * (turn / 2.0).tan() + NOISE_MM } else { 0.0 };
            EndShape::Along { way: out, extend }
        }
        _ => EndShape::Square(0.0),
    };
    open_strip(path, 0.0, width, shape(turns[0], -1.0), shape(turns[1], 1.0))
}

fn piece(run: &Run, laid: &Laid, tape: Option<Tape>) -> Piece {
    let width = laid.width;
    let mut piece = blank(Kind::Tack, run, laid.path.clone());
    piece.width = width;
    piece.label = tape.map_or(width, |t| t.width);
    piece.trimmed = tape.is_some_and(|t| width + KEPT_MM < t.real);
    for (end, turn) in [(&mut piece.start, laid.turns[0]), (&mut piece.finish, laid.turns[1])] {
        end.kind = EndKind::PreCut;
        end.cut = FRAC_PI_2 + turn.unwrap_or(0.0) / 2.0;
    }
    piece.footprint = vec![outline(&laid.path, laid.turns, width)];
    piece.cut_length = piece.path_length();
    piece
}
