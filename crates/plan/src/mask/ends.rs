//! The two ends of a piece: run on past the corner where the paint is convex, cut on the board where it is not.

use super::channel::Field;
use super::edge::LAP;
use super::outline::{CORNER, Run};
use super::plan::{End, EndKind};
use super::shelf::{Measures, SHORT};
use super::strip::EndShape;
use geom::point::left_of;
use geom::tolerance::KEPT_MM;
use geom::{Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// How far beyond an obtuse inside corner the exact end follows the other edge, in widths: enough to cover the bit
/// the other tape leaves free, without a long thin tongue. chosen.
const TONGUE: f64 = 1.25;
/// Longest run-on in reaches to the tack strip: what a corner of 7 degrees asks. The tip of a shadow may be sharper
/// than any letter's corner; there the two tapes cross long before. chosen.
const RUN_ON_MOST: f64 = 8.0;
/// Share of its run that a short end may stop short.
const SHORT_SHARE: f64 = 0.25;

/// Which end of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Start,
    Finish,
}

/// An end as planned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Planned {
    pub(super) end: End,
    pub(super) shape: EndShape,
    /// How far the path stops before the corner, mm.
    pub(super) short: f64,
    /// How far a strip of this width may run on past the corner, tab included, before it meets paint, mm.
    pub(super) free: f64,
}

/// What is known of a corner.
struct Corner {
    at: Point,
    /// Direction out of the run.
    out: Vec2,
    /// Signed turn; positive where the paint is convex.
    turn: f64,
    /// Travel of the other edge at the corner.
    other: Vec2,
    /// The other edge is not straight.
    bent: bool,
}

fn corner(runs: &[Run], run: &Run, side: Side) -> Corner {
    match side {
        Side::Start => Corner {
            at: run.points[0],
            out: -run.ways[0],
            turn: run.turns[0],
            other: runs[run.before].ways[1],
            bent: !runs[run.before].straight(),
        },
        Side::Finish => Corner {
            at: run.points[run.points.len() - 1],
            out: run.ways[1],
            turn: run.turns[1],
            other: runs[run.after].ways[0],
            bent: !runs[run.after].straight(),
        },
    }
}

/// The end of an edge tape. `on_top`: at an inside corner this end is the one cut to the line.
pub(super) fn edge_end(
    field: &Field,
    runs: &[Run],
    run: &Run,
    side: Side,
    width: f64,
    on_top: bool,
    m: &Measures,
) -> Planned {
    let c = corner(runs, run, side);
    if c.turn > 0.0 {
        return run_on(field, &c, side, 0.0, width, m);
    }
    let wedge = PI + c.turn;
    if on_top {
        // Obtuse: the far side reaches on until it meets the other edge's line, or a tongue is cut off square.
        let extend = if wedge > FRAC_PI_2 {
            (width * TONGUE).min(width / (PI - wedge).tan()).max(2.0 * SHORT)
        } else {
            0.0
        };
        // A bent edge is followed by what the cut leaves off the paint, not by its tangent.
        let shape = if c.bent { EndShape::Square(extend) } else { EndShape::Along { way: c.other, extend } };
        return Planned {
            end: End { kind: EndKind::PreCut, cut: wedge, past: 0.0, exact: true },
            shape,
            short: 0.0,
            free: 0.0,
        };
    }
    short_end(run, side, &c)
}

/// Sharpest corner at which two tapes between two paints are cut to one mitre, radians: 30 degrees. chosen.
const MITRE_MOST: f64 = PI / 6.0;

/// The end of a tape as wide as the base between two paints, at a corner where it goes on as such a tape: neither can run
/// on, so both are cut to the mitre. `None` where the corner is too sharp for it.
pub(super) fn mitred_end(runs: &[Run], run: &Run, side: Side, width: f64) -> Option<Planned> {
    let c = corner(runs, run, side);
    if MITRE_MOST < c.turn.abs() {
        return None;
    }
    let own = if side == Side::Start { run.ways[0] } else { run.ways[1] };
    let across = left_of((own + c.other).normalize());
    // What lies left of the cut is dropped: beyond the corner.
    let way = if side == Side::Start { across } else { -across };
    let extend = if c.turn > 0.0 { width * (c.turn / 2.0).tan() + SHORT } else { 0.0 };
    Some(Planned {
        end: End { kind: EndKind::PreCut, cut: f64::midpoint(PI, c.turn), past: 0.0, exact: true },
        shape: EndShape::Along { way, extend },
        short: 0.0,
        free: 0.0,
    })
}

/// An end that stops short of an inside corner, cut along the other edge there.
fn short_end(run: &Run, side: Side, c: &Corner) -> Planned {
    let short = SHORT.min(run.length * SHORT_SHARE);
    // The cut is set against the tape where it stops: a bent one has turned a little from there to the corner.
    let wedge = match side {
        Side::Start => PI + turn(c.other, run.at(short).1),
        Side::Finish => PI + turn(run.at(run.length - short).1, c.other),
    };
    let shape =
        if wedge < FRAC_PI_2 { EndShape::Along { way: c.other, extend: 0.0 } } else { EndShape::Square(0.0) };
    Planned {
        end: End { kind: EndKind::PreCut, cut: wedge.min(FRAC_PI_2), past: 0.0, exact: false },
        shape,
        short,
        free: 0.0,
    }
}

/// Angle turned from one way to another, left positive.
fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// The end of a bridge whose left side lies `off` mm from the paint edge.
pub(super) fn bridge_end(
    field: &Field,
    runs: &[Run],
    run: &Run,
    side: Side,
    off: f64,
    width: f64,
    m: &Measures,
) -> Planned {
    let c = corner(runs, run, side);
    if c.turn > 0.0 {
        return run_on(field, &c, side, off, width, m);
    }
    short_end(run, side, &c)
}

/// Length by which tape runs on past a corner where the paint is convex: far enough to lie on the tack strip of the
/// other edge, and a tape width.
pub(super) fn run_on_length(turn: f64, width: f64, m: &Measures) -> f64 {
    if turn < CORNER {
        // Hardly a corner: the other tape takes over at once, so that this one only laps it.
        return LAP.max(width);
    }
    let inside = (PI - turn).max(0.0);
    (m.reach() / inside.sin()).max(width).min(m.reach() * RUN_ON_MOST)
}

fn run_on(field: &Field, c: &Corner, side: Side, off: f64, width: f64, m: &Measures) -> Planned {
    let wanted = run_on_length(c.turn, width, m);
    // The strip right of travel; walking out of the start its body is on the left.
    let right = match side {
        Side::Start => left_of(c.out),
        Side::Finish => -left_of(c.out),
    };
    let reach = wanted + m.tab + SHORT;
    let free = match side {
        Side::Finish => field.free_way(c.at + right * off, c.out, width, reach),
        // Seen from the start the strip lies left of the way out: begin at its far side instead.
        Side::Start => field.free_way(c.at + right * (off + width), c.out, width, reach),
    };
    let free = if free < reach { (free - SHORT).max(0.0) } else { wanted + m.tab };
    let past = wanted.min(free);
    let blocked = past + KEPT_MM < wanted;
    let (kind, cut) = if blocked { (EndKind::PreCut, FRAC_PI_2) } else { (EndKind::RunOn, 0.0) };
    Planned { end: End { kind, cut, past, exact: false }, shape: EndShape::Square(past), short: 0.0, free }
}
