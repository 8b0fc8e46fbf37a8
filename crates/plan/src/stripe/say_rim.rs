//! A stripe drawn back from the edge of its skin till both corners of its square end lie on it: where that edge runs aslant, a
//! wedge of bare base stays between the two.

use super::edges::{Drawn, Shape};
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::StripeEnd;
use crate::surface::Skin;
use crate::words::length;
use geom::distance::point_to_edge;
use geom::tolerance::KEPT_MM;
use geom::winding::contains;
use geom::{Point, Vec2};

/// Difference between the two corners, mm, from which it is told: 1/8 in, what the narrowest tape of most shelves covers. chosen.
const SEEN: f64 = 25.4 / 8.0;
/// How near the edge the nearer corner lies, mm, if that is what ends the stripe: an end is drawn back from a rim in steps of
/// 1 mm. chosen.
const NEAR: f64 = 2.0;
/// How far an edge is looked for, in widths, and in what steps, mm. chosen: one that leans by more is a corner, of a hole, say.
const FAR: f64 = 2.0;
const STEP: f64 = 3.0;
/// Halvings of the last step.
const HALVINGS: u32 = 16;
/// How far inside its corner an end is asked, mm: an edge that runs along the stripe's own is not what ends it.
const INSIDE: f64 = 0.5;

/// What there is to say of both ends; `cut` is true of one that is shaped by a stripe it meets.
pub(super) fn wedges(id: &str, skin: &Skin, drawn: &Drawn, shape: &Shape, cut: [bool; 2]) -> Vec<Finding> {
    let square = (0..2).filter(|k| shape.ends[*k] == StripeEnd::Square && !cut[*k]);
    square.filter_map(|k| wedge(id, skin, drawn, k)).collect()
}

fn wedge(id: &str, skin: &Skin, drawn: &Drawn, end: usize) -> Option<Finding> {
    let line = &drawn.middle;
    let n = line.len();
    let out = if end == 0 { line[0] - line[1] } else { line[n - 1] - line[n - 2] }.normalize();
    let corner = |side: usize| {
        let flank = &drawn.flanks[side];
        if end == 0 { flank[0] } else { flank[flank.len() - 1] }
    };
    let [a, b] = [corner(0), corner(1)];
    let wide = a.distance(b);
    if wide <= 4.0 * INSIDE {
        return None;
    }
    let inward = (b - a).normalize() * INSIDE;
    let most = FAR * wide;
    let far = |p: Point| match skin.strip().filter(|s| s.scan().is_some()) {
        Some(strip) => strip.to_rim(p, end == 1, most).filter(|far| *far < most),
        None => to_edge(skin, p, out, most),
    };
    let [left, right] = [far(a + inward)?, far(b - inward)?];
    // On to the corners themselves, of which both were asked a little inward.
    let more = (left - right).abs() / (wide - 2.0 * INSIDE);
    let (open, nearest) = (more * wide, left.min(right) - more * INSIDE);
    if NEAR < nearest || open <= SEEN {
        return None;
    }
    let (name, side) = (if end == 0 { "start" } else { "end" }, if left < right { "right" } else { "left" });
    Some(
        Finding::new(
            Severity::Caution,
            "stripe-wedge",
            id,
            format!(
                "its {name} is square and the edge of the skin runs aslant there: a wedge of base stays bare between the two, {} long \
                 on its {side}, as one looks from start to end, and nothing on the other side",
                length(open)
            ),
        )
        .figures(open, Bound::Should, SEEN, "mm")
        .source(Basis::Practice, "common practice, no source")
        .hint(
            "if the paint is to reach the edge, leave out the tape across this end: run both edge tapes on over the edge and \
             mask what lies behind it",
        ),
    )
}

/// How far it is to the edge of the skin, mm; `None` if that is farther than `most`, or the place lies on no skin.
fn to_edge(skin: &Skin, from: Point, way: Vec2, most: f64) -> Option<f64> {
    let on = |s: f64| on_skin(skin, from + way * s);
    if !on(0.0) {
        return None;
    }
    let beyond = (1..=(most / STEP).ceil() as usize).map(|k| k as f64 * STEP).find(|s| !on(*s))?;
    let (mut inside, mut outside) = (beyond - STEP, beyond);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(inside, outside);
        if on(middle) { inside = middle } else { outside = middle }
    }
    Some(inside)
}

fn on_skin(skin: &Skin, p: Point) -> bool {
    let Some(strip) = skin.strip() else {
        let off = || skin.outline.edges().map(|e| point_to_edge(p, &e)).fold(f64::INFINITY, f64::min);
        return contains(std::slice::from_ref(&skin.outline), p) || off() <= KEPT_MM;
    };
    strip.body().is_some_and(|body| {
        let (low, high) = body.range();
        (low - KEPT_MM..=high + KEPT_MM).contains(&strip.station(p))
    })
}
