//! Letters and figures of straight slanting strokes: A M N V W X Y Z, 4 and 7.
//!
//! A slanting stroke meets cap and base line in a level cut, wider than the stroke by the slant. Two that
//! meet at a foot overlap, so that the foot is a stroke or a little more wide and the crotch runs deep.

use super::kit::Kit;
use super::outline::{at, ring};
use geom::Ring;

/// Width of the foot of M, V and of the top of A, in strokes. Chosen by eye: a pointed foot looks short, a
/// wide one looks heavy.
const FOOT: f64 = 1.2;

/// Width of the feet of W, in strokes; a little more, for its crotches are the tightest.
const FOOT_W: f64 = 1.25;

/// Level width of a stroke `t` thick that fills a box `w` wide and `h` high from corner to corner.
///
/// With s that width, the stroke runs w - s along for h up, so that t = s h / hypot(w - s, h); squared, a
/// quadratic in s, whose positive root this is. `t` is less than `h` and the box wider than s.
pub(super) fn foot(w: f64, h: f64, t: f64) -> f64 {
    t * (h * (w * w + h * h - t * t).sqrt() - t * w) / (h * h - t * t)
}

/// Level width of a stroke `t` thick that runs `run` along for `h` up.
pub(super) fn level(run: f64, h: f64, t: f64) -> f64 {
    t * run.hypot(h) / h
}

pub(super) fn a(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let top = FOOT * t;
    let run = (w - top) / 2.0;
    let s = level(run, 1.0, t);
    let crotch = (w / 2.0 - s) / run;
    // Low, for the counter narrows upwards; lower still in heavy letters, which have little of it.
    let low = 0.26 - 0.4 * t;
    let high = low + t;
    let inner = |y: f64| s + run * y;
    let outer = ring(&[
        at(0.0, 0.0),
        at(s, 0.0),
        at(inner(low), low),
        at(w - inner(low), low),
        at(w - s, 0.0),
        at(w, 0.0),
        at(w - run, 1.0),
        at(run, 1.0),
    ]);
    vec![outer, ring(&[at(inner(high), high), at(w / 2.0, crotch), at(w - inner(high), high)])]
}

pub(super) fn m(kit: &Kit) -> Vec<Ring> {
    let Kit { t, wide: w, .. } = *kit;
    let run = (w - FOOT * t) / 2.0;
    let s = level(run, 1.0, t);
    let crotch = 1.0 - (w / 2.0 - s) / run;
    let armpit = 1.0 - t / run;
    vec![ring(&[
        at(0.0, 0.0),
        at(t, 0.0),
        at(t, armpit),
        at(run, 0.0),
        at(w - run, 0.0),
        at(w - t, armpit),
        at(w - t, 0.0),
        at(w, 0.0),
        at(w, 1.0),
        at(w - s, 1.0),
        at(w / 2.0, crotch),
        at(s, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn n(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let s = foot(w, 1.0, t);
    let run = w - s;
    vec![ring(&[
        at(0.0, 0.0),
        at(t, 0.0),
        at(t, 1.0 - t / run),
        at(run, 0.0),
        at(w, 0.0),
        at(w, 1.0),
        at(w - t, 1.0),
        at(w - t, t / run),
        at(s, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn v(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let run = (w - FOOT * t) / 2.0;
    let s = level(run, 1.0, t);
    let crotch = 1.0 - (w / 2.0 - s) / run;
    vec![ring(&[
        at(run, 0.0),
        at(w - run, 0.0),
        at(w, 1.0),
        at(w - s, 1.0),
        at(w / 2.0, crotch),
        at(s, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn w(kit: &Kit) -> Vec<Ring> {
    let Kit { t, wide: w, .. } = *kit;
    let foot = FOOT_W * t;
    // Four strokes run `run` along each. From the left: run, foot less s, run, half the middle top make half
    // the width: 2 run = half + s with half = w / 2 - 3 / 2 foot, and s = t hypot(run, 1). Squared, a quadratic.
    let half = w / 2.0 - 1.5 * foot;
    let lead = 4.0 - t * t;
    let run = (2.0 * half + (4.0 * half * half - lead * (half * half - t * t)).sqrt()) / lead;
    let s = level(run, 1.0, t);
    let second = run + foot - s;
    let crotch = (s + run - second) / (2.0 * run);
    let x_crotch = s + run * (1.0 - crotch);
    vec![ring(&[
        at(run, 0.0),
        at(run + foot, 0.0),
        at(w / 2.0, 1.0 - (2.0 * s - foot) / (2.0 * run)),
        at(w - run - foot, 0.0),
        at(w - run, 0.0),
        at(w, 1.0),
        at(w - s, 1.0),
        at(w - x_crotch, crotch),
        at((w + foot) / 2.0, 1.0),
        at((w - foot) / 2.0, 1.0),
        at(x_crotch, crotch),
        at(s, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn x(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let s = foot(w, 1.0, t);
    let run = w - s;
    let crotch = (w / 2.0 - s) / run;
    vec![ring(&[
        at(0.0, 0.0),
        at(s, 0.0),
        at(w / 2.0, crotch),
        at(w - s, 0.0),
        at(w, 0.0),
        at(w - run / 2.0, 0.5),
        at(w, 1.0),
        at(w - s, 1.0),
        at(w / 2.0, 1.0 - crotch),
        at(s, 1.0),
        at(0.0, 1.0),
        at(run / 2.0, 0.5),
    ])]
}

pub(super) fn y(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    // Where the arms' undersides reach the stem.
    let neck = 0.4;
    let (left, right) = ((w - t) / 2.0, (w + t) / 2.0);
    let s = level(left, 1.0 - neck, t);
    let crotch = 1.0 - (w / 2.0 - s) * (1.0 - neck) / left;
    vec![ring(&[
        at(left, 0.0),
        at(right, 0.0),
        at(right, neck),
        at(w, 1.0),
        at(w - s, 1.0),
        at(w / 2.0, crotch),
        at(s, 1.0),
        at(0.0, 1.0),
        at(left, neck),
    ])]
}

pub(super) fn z(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let s = foot(w, 1.0 - 2.0 * t, t);
    vec![ring(&[
        at(0.0, 0.0),
        at(w, 0.0),
        at(w, t),
        at(s, t),
        at(w, 1.0 - t),
        at(w, 1.0),
        at(0.0, 1.0),
        at(0.0, 1.0 - t),
        at(w - s, 1.0 - t),
        at(0.0, t),
    ])]
}

pub(super) fn four(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let right = w - 0.5 * t;
    let low = 0.24 - 0.35 * t;
    let high = low + t;
    let rise = 1.0 - high;
    let s = foot(right, rise, t);
    let run = right - s;
    let stem = right - t;
    let outer = ring(&[
        at(stem, 0.0),
        at(right, 0.0),
        at(right, low),
        at(w, low),
        at(w, high),
        at(right, high),
        at(right, 1.0),
        at(run, 1.0),
        at(0.0, high),
        at(0.0, low),
        at(stem, low),
    ]);
    let peak = high + (stem - s) * rise / run;
    vec![outer, ring(&[at(s, high), at(stem, peak), at(stem, high)])]
}

pub(super) fn seven(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let run = 0.52 * w;
    let s = level(run, 1.0 - t, t);
    let toe = w - s - run;
    vec![ring(&[
        at(toe, 0.0),
        at(toe + s, 0.0),
        at(w, 1.0 - t),
        at(w, 1.0),
        at(0.0, 1.0),
        at(0.0, 1.0 - t),
        at(w - s, 1.0 - t),
    ])]
}
