//! Letters and figures with bowls: B C D G J O P S U and 0 2 3 5 6 8 9.
//!
//! Told apart by their turns, in every alphabet:
//! - D has square left corners and the largest turns on the right; O turns alike at all four; the zero
//!   narrows to cap and base (cuts two up for one along, or half circles).
//! - B has a straight left side and turns on the right; 8 is alike left and right.
//! - S turns at every corner; 5 has a square flag and turns only round its bowl.
//! - 6 is closed, its bar running into the stem; G is open, with a short bar.
//! - 2 is built of three bars, Z of two and a diagonal.
//!
//! In the square alphabet turns are sharp but for those of B, D, 0 and the bowl of 5.

use super::kit::Kit;
use super::outline::{Corner, Turn, at, counter, ring, waist_left, waist_right};
use geom::point::Affine;
use geom::tolerance::NOISE_UNIT;
use geom::{Point, Ring, Vertex};

pub(super) fn b(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let ((low, high), turn) = (kit.middle(0.04), kit.half_always());
    let mut corners = vec![at(0.0, 0.0), turn.out(w, 0.0)];
    corners.extend(waist_right(turn, w, w, low, high));
    corners.extend([turn.out(w, 1.0), at(0.0, 1.0)]);
    let turns = [Turn::SHARP, Turn::SHARP, turn, turn];
    vec![ring(&corners), counter(t, t, w - t, low, turns), counter(t, high, w - t, 1.0 - t, turns)]
}

pub(super) fn c(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    let hook = kit.tall_hook();
    vec![ring(&[
        full.out(0.0, 0.0),
        full.out(w, 0.0),
        at(w, hook),
        at(w - t, hook),
        full.inn(w - t, t),
        full.inn(t, t),
        full.inn(t, 1.0 - t),
        full.inn(w - t, 1.0 - t),
        at(w - t, 1.0 - hook),
        at(w, 1.0 - hook),
        full.out(w, 1.0),
        full.out(0.0, 1.0),
    ])]
}

pub(super) fn d(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let turn = kit.deep();
    let outer = ring(&[at(0.0, 0.0), turn.out(w, 0.0), turn.out(w, 1.0), at(0.0, 1.0)]);
    vec![outer, counter(t, t, w - t, 1.0 - t, [Turn::SHARP, Turn::SHARP, turn, turn])]
}

pub(super) fn g(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    let hook = kit.tall_hook();
    // The bar stands clear above the inner turn below it.
    let bar = (2.0 * t + full.inner.upright + 0.022).max(0.5);
    let tip = 0.52 * w;
    vec![ring(&[
        full.out(0.0, 0.0),
        full.out(w, 0.0),
        at(w, bar),
        at(tip, bar),
        at(tip, bar - t),
        at(w - t, bar - t),
        full.inn(w - t, t),
        full.inn(t, t),
        full.inn(t, 1.0 - t),
        full.inn(w - t, 1.0 - t),
        at(w - t, 1.0 - hook),
        at(w, 1.0 - hook),
        full.out(w, 1.0),
        full.out(0.0, 1.0),
    ])]
}

pub(super) fn j(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    let hook = kit.tall_hook() + 0.04;
    vec![ring(&[
        full.out(0.0, 0.0),
        full.out(w, 0.0),
        at(w, 1.0),
        at(w - t, 1.0),
        full.inn(w - t, t),
        full.inn(t, t),
        at(t, hook),
        at(0.0, hook),
    ])]
}

pub(super) fn o(kit: &Kit) -> Vec<Ring> {
    frame(kit, kit.full)
}

pub(super) fn zero(kit: &Kit) -> Vec<Ring> {
    match kit.steep() {
        Some(turn) => frame(kit, turn),
        None => vec![lozenge(kit.w, 0.0), lozenge(kit.w, kit.t).reversed()],
    }
}

/// A frame of four equal turns.
fn frame(kit: &Kit, turn: Turn) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let outer = ring(&[turn.out(0.0, 0.0), turn.out(w, 0.0), turn.out(w, 1.0), turn.out(0.0, 1.0)]);
    vec![outer, counter(t, t, w - t, 1.0 - t, [turn; 4])]
}

/// Two half circles and the straights between them, `inset` from the box `w` by 1, counter-clockwise.
fn lozenge(w: f64, inset: f64) -> Ring {
    let r = w.min(1.0) / 2.0;
    let end = r - inset;
    let v = |x: f64, y: f64, bulge: f64| Vertex { p: Point::new(x, y), bulge };
    if (w - 1.0).abs() < NOISE_UNIT {
        return Ring::circle(Point::new(r, r), end);
    }
    let vertices = if w < 1.0 {
        vec![v(w - inset, r, 0.0), v(w - inset, 1.0 - r, 1.0), v(inset, 1.0 - r, 0.0), v(inset, r, 1.0)]
    } else {
        vec![v(r, inset, 0.0), v(w - r, inset, 1.0), v(w - r, 1.0 - inset, 0.0), v(r, 1.0 - inset, 1.0)]
    };
    Ring { vertices }
}

pub(super) fn p(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(-0.06);
    let outer =
        ring(&[at(0.0, 0.0), at(t, 0.0), at(t, low), half.out(w, low), half.out(w, 1.0), at(0.0, 1.0)]);
    vec![outer, counter(t, high, w - t, 1.0 - t, [Turn::SHARP, Turn::SHARP, half, half])]
}

pub(super) fn s(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(0.04);
    let mut corners = vec![half.out(w, 0.0), half.out(w, high), half.inn(t, high), half.inn(t, 1.0 - t)];
    corners.extend(upper_right_end(kit));
    corners.extend([half.out(0.0, 1.0), half.out(0.0, low), half.inn(w - t, low), half.inn(w - t, t)]);
    corners.extend(lower_left_end(kit));
    vec![ring(&corners)]
}

pub(super) fn u(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    vec![ring(&[
        full.out(0.0, 0.0),
        full.out(w, 0.0),
        at(w, 1.0),
        at(w - t, 1.0),
        full.inn(w - t, t),
        full.inn(t, t),
        at(t, 1.0),
        at(0.0, 1.0),
    ])]
}

pub(super) fn two(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(0.02);
    let mut corners = vec![
        at(0.0, 0.0),
        at(w, 0.0),
        at(w, t),
        at(t, t),
        half.inn(t, low),
        half.out(w, low),
        half.out(w, 1.0),
    ];
    corners.extend(upper_left_end(kit));
    corners.extend([half.inn(w - t, 1.0 - t), half.inn(w - t, high), half.out(0.0, high)]);
    vec![ring(&corners)]
}

pub(super) fn three(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let ((low, high), tip) = (kit.middle(0.04), 0.3 * w);
    let mut corners = vec![half.out(w, 0.0)];
    corners.extend(waist_right(half, w, w, low, high));
    corners.push(half.out(w, 1.0));
    corners.extend(upper_left_end(kit));
    corners.extend([half.inn(w - t, 1.0 - t), half.inn(w - t, high), at(tip, high)]);
    corners.extend([at(tip, low), half.inn(w - t, low), half.inn(w - t, t)]);
    corners.extend(lower_left_end(kit));
    vec![ring(&corners)]
}

pub(super) fn five(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    let ((low, high), turn) = (kit.middle(0.08), kit.half_always());
    // The flag stays a little behind the bowl.
    let flag = w - 0.35 * t;
    let mut corners = vec![turn.out(w, 0.0), turn.out(w, high), at(t, high), at(t, 1.0 - t)];
    corners.extend([at(flag, 1.0 - t), at(flag, 1.0), at(0.0, 1.0), at(0.0, low)]);
    corners.extend([turn.inn(w - t, low), turn.inn(w - t, t)]);
    corners.extend(lower_left_end(kit));
    vec![ring(&corners)]
}

pub(super) fn six(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(0.05);
    let mut corners = vec![half.out(0.0, 0.0), half.out(w, 0.0), half.out(w, high)];
    corners.extend([at(t, high), half.inn(t, 1.0 - t)]);
    corners.extend(upper_right_end(kit));
    corners.push(half.out(0.0, 1.0));
    vec![ring(&corners), counter(t, t, w - t, low, [half, Turn::SHARP, half, half])]
}

pub(super) fn eight(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(0.04);
    let mut corners = vec![half.out(0.0, 0.0), half.out(w, 0.0)];
    corners.extend(waist_right(half, w, w, low, high));
    corners.extend([half.out(w, 1.0), half.out(0.0, 1.0)]);
    corners.extend(waist_left(half, 0.0, 0.0, low, high));
    vec![ring(&corners), counter(t, t, w - t, low, [half; 4]), counter(t, high, w - t, 1.0 - t, [half; 4])]
}

/// The six turned half round.
pub(super) fn nine(kit: &Kit) -> Vec<Ring> {
    let half_round = Affine::new([-1.0, 0.0, 0.0, -1.0, kit.w, 1.0]);
    six(kit).iter().map(|ring| ring.mapped(half_round)).collect()
}

/// The end of a top arm on the right, from its underside to its top.
fn upper_right_end(kit: &Kit) -> Vec<Corner> {
    let Kit { t, w, half, .. } = *kit;
    match kit.hook() {
        Some(hook) => {
            vec![half.inn(w - t, 1.0 - t), at(w - t, 1.0 - hook), at(w, 1.0 - hook), half.out(w, 1.0)]
        }
        None => vec![at(w, 1.0 - t), at(w, 1.0)],
    }
}

/// The end of a top arm on the left, from its top to its underside.
fn upper_left_end(kit: &Kit) -> Vec<Corner> {
    let Kit { t, half, .. } = *kit;
    match kit.hook() {
        Some(hook) => {
            vec![half.out(0.0, 1.0), at(0.0, 1.0 - hook), at(t, 1.0 - hook), half.inn(t, 1.0 - t)]
        }
        None => vec![at(0.0, 1.0), at(0.0, 1.0 - t)],
    }
}

/// The end of a bottom arm on the left, from its upper side to its foot.
fn lower_left_end(kit: &Kit) -> Vec<Corner> {
    let Kit { t, half, .. } = *kit;
    match kit.hook() {
        Some(hook) => vec![half.inn(t, t), at(t, hook), at(0.0, hook), half.out(0.0, 0.0)],
        None => vec![at(0.0, t), at(0.0, 0.0)],
    }
}
