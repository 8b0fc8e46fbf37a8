//! Bridges: from the back of an edge tape too narrow to reach the tack strip on to that strip.
//!
//! One tape where it takes the bend; round a tighter one two or three narrower rows, each lapping the one before; and only
//! where no tape of the shelf does, straight lengths.

use super::channel::Across;
use super::chords::chords;
use super::edge::{Draft, Ground, LAP, Said, behind, blank, draft};
use super::ends::{Planned, Side, bridge_end};
use super::outline::Run;
use super::plan::{End, EndKind, Kind, Piece};
use super::shelf::{Choice, SHORT, strain_at_best};
use super::strip::{EndShape, Strip, offset, offset_closed};
use crate::job::types::Tape;
use geom::tolerance::{KEPT_MM, NOISE_MM};

/// Strain beyond which a bridge does not follow a bend: 10 %, twice what film takes at work. A bridge may pucker, but
/// not stand up. common practice, no source.
const BRIDGE_BEND: f64 = 0.10;
/// How far a row laps the one before it, mm: 1/16 in, as far as a strip laid by hand wanders. chosen.
const ROW_LAP: f64 = SHORT;
/// Most rows of one bridge. chosen: more are more work than straight lengths.
const MOST_ROWS: usize = 3;

/// Half the length, mm, over which the bend of an edge is told. chosen: a few chords of a letter.
const BEND_REACH: f64 = 3.0;

/// A stretch of a run that one bridge serves.
#[derive(Clone, Copy)]
struct Stretch {
    from: usize,
    to: usize,
    need: f64,
    limit: f64,
}

/// The bridges along a run that is taped with `choice`, in the order of pulling.
pub(super) fn bridges(
    g: &Ground<'_>,
    run: &Run,
    looks: &[Across],
    choice: &Choice,
    said: &mut Said,
) -> Vec<Draft> {
    let off = choice.width / 2.0;
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut open = false;
    for (i, look) in looks.iter().enumerate() {
        let need = g.m.need(look.any.map_or(f64::INFINITY, |m| m.far));
        if need <= choice.width + KEPT_MM {
            open = false;
            continue;
        }
        // Between two looks a corner may come nearer than either tells; a straight run knows its least.
        let limit = look.facing.map_or(f64::INFINITY, |m| m.far) - SHORT;
        match stretches.last_mut() {
            Some(s) if open && need.max(s.need) <= limit.min(s.limit) + KEPT_MM => {
                (s.to, s.need, s.limit) = (i, s.need.max(need), s.limit.min(limit));
            }
            _ => stretches.push(Stretch { from: i, to: i, need, limit }),
        }
        open = true;
    }
    let spans: Vec<(usize, usize)> = stretches.iter().map(|s| (s.from, s.to)).collect();
    let mut out = Vec::new();
    for (k, s) in stretches.iter().enumerate() {
        let before = k > 0 && spans[k - 1].1.abs_diff(s.from) <= 1;
        let after = spans.get(k + 1).is_some_and(|o| o.0.abs_diff(s.to) <= 1);
        let way = Way { looks, off, joined: [before, after], radii: (run.bulging, run.hollow) };
        let (whole, straight) = stretch(g, run, s, &way, said);
        let parts = if straight && !run.closed { by_bend(g, run, s, &way) } else { Vec::new() };
        let mut told = Said::default();
        let mut split: Vec<Draft> = Vec::new();
        // What bends gently in one piece each, and straight lengths only round the tight corners between.
        for (i, (part, radii)) in parts.iter().enumerate() {
            let joined = [i > 0 || before, i + 1 == parts.len() && after];
            let (new, _) = stretch(g, run, part, &Way { joined, radii: *radii, ..way }, &mut told);
            split.extend(new);
        }
        if parts.len() > 1 && split.len() < whole.len() {
            said.rows.append(&mut told.rows);
            out.extend(split);
        } else {
            out.extend(whole);
        }
    }
    out
}

/// How a stretch lies: looks across along its run, how far its bridge lies from the paint edge, whether other
/// bridges go on at its ends, and its least radii, bulging and hollow.
#[derive(Clone, Copy)]
struct Way<'a> {
    looks: &'a [Across],
    off: f64,
    joined: [bool; 2],
    radii: (f64, f64),
}

/// Least that a tape `width` wide strains whose near side lies `off` mm from an edge of these radii.
fn bent((bulging, hollow): (f64, f64), off: f64, width: f64) -> f64 {
    strain_at_best(width, bulging + off, (hollow - off).max(NOISE_MM))
}

/// A stretch cut where its bends get too tight for one bridge, and where they end; each with its least radii. A straight
/// or short part beside a tight one goes with it: straight lengths take it along.
fn by_bend(g: &Ground<'_>, run: &Run, s: &Stretch, way: &Way<'_>) -> Vec<(Stretch, (f64, f64))> {
    let width = one(g, way.off, s).width;
    let bend = |i: usize| {
        let at = way.looks[i].at;
        let (u, v) = (run.at((at - BEND_REACH).max(0.0)).1, run.at((at + BEND_REACH).min(run.length)).1);
        let radius = 2.0 * BEND_REACH / u.cross(v).atan2(u.dot(v));
        let radii = if radius > 0.0 { (radius, f64::INFINITY) } else { (f64::INFINITY, -radius) };
        match bent(radii, way.off, width) {
            b if b > BRIDGE_BEND => (Bend::Tight, way.radii),
            b if b > STRAIGHT => (Bend::Gentle, radii),
            _ => (Bend::None, radii),
        }
    };
    let mut parts: Vec<(Stretch, (f64, f64), Bend)> = Vec::new();
    for i in s.from..=s.to {
        let (bend, radii) = bend(i);
        match parts.last_mut() {
            Some((part, least, was)) if *was == bend => {
                part.to = i;
                *least = (least.0.min(radii.0), least.1.min(radii.1));
            }
            _ => parts.push((Stretch { from: i, to: i, ..*s }, radii, bend)),
        }
    }
    let mut laid_straight: Vec<bool> = parts.iter().map(|p| p.2 == Bend::Tight).collect();
    let joins = |k: usize| {
        let (part, _, bend) = &parts[k];
        *bend == Bend::None || way.looks[part.to].at - way.looks[part.from].at < 2.0 * LAP
    };
    // From part to part, forth and back: each takes along what may join beside it.
    for k in 1..parts.len() {
        laid_straight[k] |= laid_straight[k - 1] && joins(k);
    }
    for k in (1..parts.len()).rev() {
        laid_straight[k - 1] |= laid_straight[k] && joins(k - 1);
    }
    let mut out: Vec<(Stretch, (f64, f64))> = Vec::new();
    for (k, (part, radii, _)) in parts.iter().enumerate() {
        match out.last_mut() {
            Some((last, least)) if laid_straight[k] == laid_straight[k - 1] => {
                last.to = part.to;
                *least = (least.0.min(radii.0), least.1.min(radii.1));
            }
            _ => out.push((*part, *radii)),
        }
    }
    out
}

/// How an edge bends, seen by a bridge.
#[derive(Clone, Copy, PartialEq)]
enum Bend {
    None,
    Gentle,
    Tight,
}

/// Strain up to which a bend is none. chosen: a hundredth of what a bridge takes.
const STRAIGHT: f64 = BRIDGE_BEND / 100.0;

/// The bridge of a stretch in the order of pulling, and whether it is laid in straight lengths.
fn stretch(g: &Ground<'_>, run: &Run, s: &Stretch, way: &Way<'_>, said: &mut Said) -> (Vec<Draft>, bool) {
    let Way { looks, off, joined, radii } = *way;
    let n = looks.len();
    let mut s = *s;
    let need = s.need;
    if !run.straight() {
        // Straight lengths round a bend come nearer to the paint in their middle.
        s.need = (need + off / 2.0).min(s.limit.max(need));
    }
    let mut lay = vec![one(g, off, &s)];
    let mut straight = bent(radii, off, lay[0].width) > BRIDGE_BEND;
    if straight && let Some(rows) = rows(g, off, &Stretch { need, ..s }, radii) {
        said.rows.push((run.glyph, rows.len(), rows[0].width));
        (lay, straight) = (rows, false);
    } else if off + lay[0].tape.real + KEPT_MM < s.need {
        said.bare.push((run.glyph, off + lay[0].tape.real, s.need));
    }
    let whole = s.from == 0 && s.to == n - 1;
    let mut out = Vec::new();
    // The row farthest from the paint lies on the others and is pulled first.
    for Row { tape, width, off } in lay.into_iter().rev() {
        let end = |side: Side, at_corner: bool, joined: bool| {
            if at_corner && !run.closed {
                bridge_end(g.field, g.runs, run, side, off, width, &g.m)
            } else {
                let past = if joined && side == Side::Finish { LAP } else { 0.0 };
                Planned {
                    end: End { kind: EndKind::Lap, cut: 0.0, past, exact: false },
                    shape: EndShape::Square(0.0),
                    short: 0.0,
                    free: 0.0,
                }
            }
        };
        let start = end(Side::Start, s.from == 0, joined[0]);
        let finish = end(Side::Finish, s.to == n - 1, joined[1]);
        // A stretch reaches half-way to the next look on either side, where there is one.
        let from =
            if s.from == 0 { start.short } else { f64::midpoint(looks[s.from - 1].at, looks[s.from].at) };
        let to = if s.to == n - 1 {
            run.length - finish.short
        } else {
            f64::midpoint(looks[s.to].at, looks[s.to + 1].at)
        };
        if to - from <= SHORT {
            continue;
        }
        // Straight lengths come nearer to the paint only by what the tape is wider than it need be.
        let inside = (off + width - need).clamp(off / 8.0, off / 2.0);
        let laid = Laid { from, to, off, width, inside, start, finish, closed: whole && run.closed };
        let new = if straight {
            straight_bridges(g, run, looks, &laid)
        } else {
            vec![bent_bridge(g, run, looks, &laid, radii)]
        };
        out.extend(new.into_iter().map(|mut d| {
            d.piece.label = tape.width;
            d.piece.trimmed = width + KEPT_MM < tape.real;
            d
        }));
    }
    (out, straight)
}

/// One tape behind another.
struct Row {
    tape: Tape,
    width: f64,
    off: f64,
}

/// One bridge that reaches what a stretch needs: the narrowest that does and keeps clear, else one cut down, else the widest
/// there is.
fn one(g: &Ground<'_>, off: f64, s: &Stretch) -> Row {
    let least_of = |a: &&Tape, b: &&Tape| a.real.total_cmp(&b.real);
    let reaching = |t: &&Tape| off + t.real + KEPT_MM >= s.need;
    let room = (s.limit - off).max(SHORT);
    let fitting = |t: &&Tape| reaching(t) && off + t.real <= s.limit + KEPT_MM;
    if let Some(t) = g.bridging.iter().filter(fitting).min_by(least_of) {
        return Row { tape: *t, width: t.real, off };
    }
    if let Some(t) = g.bridging.iter().filter(reaching).min_by(least_of) {
        return Row { tape: *t, width: room, off };
    }
    // The shelf holds the edge tape at least.
    let t = g.bridging.iter().max_by(least_of).unwrap_or(&g.shelf[0]);
    Row { tape: *t, width: t.real.min(room), off }
}

/// Rows of one tape that take the bend and reach together: the fewest, then the narrowest.
fn rows(g: &Ground<'_>, off: f64, s: &Stretch, radii: (f64, f64)) -> Option<Vec<Row>> {
    let of = |tape: &Tape, count: usize| {
        let rows: Vec<Row> = (0..count)
            .map(|k| Row { tape: *tape, width: tape.real, off: off + (tape.real - ROW_LAP) * k as f64 })
            .collect();
        let reach = rows.last().map_or(0.0, |r| r.off + r.width);
        let good = tape.real > 2.0 * ROW_LAP
            && s.need <= reach + KEPT_MM
            && reach <= s.limit + KEPT_MM
            && rows.iter().all(|r| bent(radii, r.off, r.width) <= BRIDGE_BEND);
        good.then_some(rows)
    };
    (2..=MOST_ROWS).find_map(|count| {
        g.bridging.iter().filter_map(|t| of(t, count)).min_by(|a, b| a[0].width.total_cmp(&b[0].width))
    })
}

/// One bridge to be laid.
struct Laid {
    from: f64,
    to: f64,
    off: f64,
    width: f64,
    /// How much nearer to the paint the middle of a straight length may come.
    inside: f64,
    start: Planned,
    finish: Planned,
    closed: bool,
}

/// A bridge that follows the bend.
fn bent_bridge(g: &Ground<'_>, run: &Run, looks: &[Across], laid: &Laid, radii: (f64, f64)) -> Draft {
    let Laid { from, to, off, width, start, finish, closed, .. } = *laid;
    let along = if closed { run.points.clone() } else { run.part(from, to) };
    let past = if finish.end.kind == EndKind::Lap { finish.end.past.min(run.length - to) } else { 0.0 };
    let mut finish_end = finish.end;
    if finish.end.kind == EndKind::Lap {
        finish_end.past = past;
    }
    let (path, footprint) = if closed {
        finish_end.past = LAP;
        (offset_closed(&along, off), Strip::closed(&along, off, width))
    } else {
        let strip = if past > 0.0 { run.part(from, to + past) } else { along.clone() };
        (offset(&along, off), Strip::open(&strip, off, width, start.shape, finish.shape))
    };
    let piece = Piece {
        width,
        strain: bent(radii, off, width),
        start: start.end,
        finish: finish_end,
        ..blank(Kind::Bridge, run, path)
    };
    let behind = behind(looks, f64::midpoint(from, to)) - off;
    draft(g, piece, footprint, [start.free, finish.free], behind)
}

/// Round a tight bend the bridge is laid in straight lengths, each lapping the next.
fn straight_bridges(g: &Ground<'_>, run: &Run, looks: &[Across], laid: &Laid) -> Vec<Draft> {
    let Laid { from, to, off, width, inside, start, finish, closed } = *laid;
    let along = if closed { run.points.clone() } else { run.part(from, to) };
    let line = if closed { offset_closed(&along, off) } else { offset(&along, off) };
    let mut points = chords(&line, closed, inside, off / 2.0);
    points.dedup_by(|a, b| a.distance(*b) <= KEPT_MM);
    let n = points.len() - 1;
    let turn = |i: usize| {
        // At the point between length i and the next one.
        let (u, v) = (points[i + 1] - points[i], points[(i + 1) % n + 1] - points[(i + 1) % n]);
        u.cross(v).atan2(u.dot(v))
    };
    let lap = |turn: f64| if turn > 0.0 { width * (turn / 2.0).tan().min(1.0) + g.m.overlap } else { 0.0 };
    let lapped = |past: f64| Planned {
        end: End { kind: EndKind::Lap, cut: 0.0, past, exact: false },
        shape: EndShape::Square(past),
        short: 0.0,
        free: 0.0,
    };
    (0..n)
        .map(|i| {
            // Where the next bridge of another width goes on, both run on straight over each other.
            let joint =
                |end: Planned| if end.end.kind == EndKind::Lap { lapped(2.0 * g.m.overlap) } else { end };
            let first = if i == 0 && !closed { joint(start) } else { lapped(lap(turn((i + n - 1) % n))) };
            let last = if i + 1 == n && !closed { joint(finish) } else { lapped(lap(turn(i))) };
            let path = vec![points[i], points[i + 1]];
            let shape = Strip::open(&path, 0.0, width, first.shape, last.shape);
            let piece =
                Piece { width, start: first.end, finish: last.end, ..blank(Kind::Bridge, run, path.clone()) };
            let at = from + (to - from) * (i as f64 + 0.5) / n as f64;
            draft(g, piece, shape, [first.free, last.free], behind(looks, at) - off)
        })
        .collect()
}
