//! Letters of upright and level strokes only: E F H I L T, the 1, hyphen, period and slash.

use super::diagonals::foot;
use super::kit::Kit;
use super::outline::{at, ring};
use geom::{Point, Ring};

/// Width of the slash as a share of an ordinary character. Chosen: steep enough not to be taken for a leg.
pub(super) const SLASH_WIDTH: f64 = 0.75;

/// How far the middle arm of E and F stays behind, in strokes. Chosen by eye.
const ARM_SHORT: f64 = 0.6;

/// A plain bar from x = 0 to `width`, `low` to `high`.
pub(super) fn bar(width: f64, low: f64, high: f64) -> Vec<Ring> {
    vec![Ring::from_points([(0.0, low), (width, low), (width, high), (0.0, high)].map(Point::from))]
}

/// A stroke from the lower left corner of its box to the upper right one, flush with both lines.
pub(super) fn slash(kit: &Kit) -> Vec<Ring> {
    let w = SLASH_WIDTH * kit.w;
    let s = foot(w, 1.0, kit.t);
    vec![ring(&[at(0.0, 0.0), at(s, 0.0), at(w, 1.0), at(w - s, 1.0)])]
}

pub(super) fn e(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let ((low, high), arm) = (kit.middle(0.04), w - ARM_SHORT * t);
    vec![ring(&[
        at(0.0, 0.0),
        at(w, 0.0),
        at(w, t),
        at(t, t),
        at(t, low),
        at(arm, low),
        at(arm, high),
        at(t, high),
        at(t, 1.0 - t),
        at(w, 1.0 - t),
        at(w, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn f(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    // Nothing stands below the arm of F, so it hangs lower than that of E.
    let ((low, high), arm) = (kit.middle(-0.04), w - ARM_SHORT * t);
    vec![ring(&[
        at(0.0, 0.0),
        at(t, 0.0),
        at(t, low),
        at(arm, low),
        at(arm, high),
        at(t, high),
        at(t, 1.0 - t),
        at(w, 1.0 - t),
        at(w, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn h(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let (low, high) = kit.middle(0.04);
    vec![ring(&[
        at(0.0, 0.0),
        at(t, 0.0),
        at(t, low),
        at(w - t, low),
        at(w - t, 0.0),
        at(w, 0.0),
        at(w, 1.0),
        at(w - t, 1.0),
        at(w - t, high),
        at(t, high),
        at(t, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn l(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    vec![ring(&[at(0.0, 0.0), at(w, 0.0), at(w, t), at(t, t), at(t, 1.0), at(0.0, 1.0)])]
}

pub(super) fn t(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let (left, right) = ((w - t) / 2.0, (w + t) / 2.0);
    vec![ring(&[
        at(left, 0.0),
        at(right, 0.0),
        at(right, 1.0 - t),
        at(w, 1.0 - t),
        at(w, 1.0),
        at(0.0, 1.0),
        at(0.0, 1.0 - t),
        at(left, 1.0 - t),
    ])]
}
