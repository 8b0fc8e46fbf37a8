//! Letters with a leg or tail set onto another form: K Q R and the ampersand.

use super::diagonals::{foot, level};
use super::kit::Kit;
use super::outline::{Turn, at, counter, edge_into_turn, on, ring, waist_left};
use geom::point::crossing;
use geom::{Point, Ring, Vec2};
use std::f64::consts::FRAC_1_SQRT_2;

pub(super) fn k(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, .. } = *kit;
    // The arm's underside runs from the upper right corner to the stem; the leg grows out of it.
    let heel = 0.3;
    let slope = (1.0 - heel) / (w - t);
    let s = level(w - t, 1.0 - heel, t);
    let above = 1.0 - (w - s - t) * slope;
    let start = 1.45 * t;
    let y_start = heel + (start - t) * slope;
    let s_leg = foot(w - start, y_start, t);
    let leg = Vec2::new(start - (w - s_leg), y_start);
    let mut corners = vec![at(0.0, 0.0), at(t, 0.0), at(t, heel), at(start, y_start), at(w - s_leg, 0.0)];
    corners.push(at(w, 0.0));
    // Arm and leg lean opposite ways and always cross.
    corners.extend(crossing(Point::new(w, 0.0), leg, Point::new(w, 1.0), Vec2::new(1.0, slope)).map(on));
    corners.extend([at(w, 1.0), at(w - s, 1.0), at(t, above), at(t, 1.0), at(0.0, 1.0)]);
    vec![ring(&corners)]
}

pub(super) fn r(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, half, .. } = *kit;
    let (low, high) = kit.middle(-0.04);
    // The leg leaves the bowl where its underside is still straight: at two thirds of the width or, where the
    // turn begins near there or sooner, at the turn.
    let bend = w - half.outer.level;
    let hip = if bend < 0.68 * w + 0.025 { bend } else { 0.68 * w };
    let s = level(w - hip, low, t);
    let outer = ring(&[
        at(0.0, 0.0),
        at(t, 0.0),
        at(t, low),
        at(hip - s, low),
        at(w - s, 0.0),
        at(w, 0.0),
        at(hip, low),
        half.out(w, low),
        half.out(w, 1.0),
        at(0.0, 1.0),
    ]);
    vec![outer, counter(t, high, w - t, 1.0 - t, [Turn::SHARP, Turn::SHARP, half, half])]
}

/// The O with its lower right corner square and a tail out of that corner into the counter, at 45 degrees.
pub(super) fn q(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    let outer = ring(&[full.out(0.0, 0.0), at(w, 0.0), full.out(w, 1.0), full.out(0.0, 1.0)]);
    // The tail's middle line ends `reach` left of the counter's corner and as much above it: longer where the
    // counter is wide, but three quarters of a stroke clear of the left stem. It ends square.
    let reach = (w.min(1.0) - 3.1 * t).clamp(0.5 * t, (1.3 * t).max(0.28 * w));
    // Half the stroke across, along each axis; and where a side leaves the bar, from the corner.
    let (half, leaves) = (t / 2.0 * FRAC_1_SQRT_2, t * FRAC_1_SQRT_2);
    let hole = ring(&[
        full.inn(t, t),
        full.inn(t, 1.0 - t),
        full.inn(w - t, 1.0 - t),
        at(w - t, t + leaves),
        at(w - t - reach + half, t + reach + half),
        at(w - t - reach - half, t + reach - half),
        at(w - t - leaves, t),
    ]);
    vec![outer, hole]
}

/// A small bowl over a large one, a leg down to the right and an arm up to the right from it.
pub(super) fn ampersand(kit: &Kit) -> Vec<Ring> {
    let Kit { t, wide: w, .. } = *kit;
    let (low, high) = kit.middle(0.05);
    // Not so far left that the leg lies down and drowns in the bar at its foot.
    let knee = (0.385 * w).max(w - 1.3 * low);
    let s = foot(w - knee, low, t);
    let (left, right) = (0.4 * t, knee + s + 0.35 * t);
    let turn = kit.half_within(right - left - 2.0 * t);
    let leg = Vec2::new(knee + s - w, low);
    // The arm ends upright at the right edge; its upper side rises to a little over the bar's foot.
    let rise = Vec2::new(1.0, 0.8);
    let end = low + 0.2 * t;
    let thick = t * rise.hypot();
    let toe = Point::new(w, 0.0);
    let mut corners = vec![turn.out(0.0, 0.0), on(toe)];
    corners.extend(crossing(toe, leg, Point::new(w, end - thick), rise).map(on));
    corners.extend([at(w, end - thick), at(w, end)]);
    corners.extend(crossing(toe, leg, Point::new(w, end), rise).map(on));
    corners.extend(edge_into_turn(Point::new(right, low), turn, toe, leg));
    corners.extend([turn.out(right, 1.0), turn.out(left, 1.0)]);
    corners.extend(waist_left(turn, left, 0.0, low, high));
    let lower = ring(&[
        turn.inn(t, t),
        turn.inn(t, low),
        at(knee, low),
        at(knee + (w - s - knee) * (1.0 - t / low), t),
    ]);
    vec![ring(&corners), lower, counter(left + t, high, right - t, 1.0 - t, [turn; 4])]
}
