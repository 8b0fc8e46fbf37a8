//! Letters with a leg or tail set onto another form: K Q R and the ampersand.

use super::diagonals::{foot, level};
use super::kit::Kit;
use super::outline::{Turn, at, counter, edge_into_turn, on, ring, waist_left};
use geom::point::crossing;
use geom::{Point, Ring, Vec2};

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
    // The leg leaves the bowl where its underside is still straight.
    let hip = (w - half.outer.level).min(0.68 * w);
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

/// The O with a tail that comes down out of the counter to the lower right corner of the box.
pub(super) fn q(kit: &Kit) -> Vec<Ring> {
    let Kit { t, w, full, .. } = *kit;
    // Steeper than a diagonal, so that the counter stays open on its left.
    let along = Vec2::new(-1.0, 1.5);
    let s = level(1.0, 1.5, t);
    let corner = Point::new(w, 0.0);
    // The tail's right side leaves the right stem 1.5 strokes up; it ends square, 0.4 strokes further in.
    let tip = Point::new(w - 1.4 * t, 2.1 * t);
    let across = Vec2::new(-1.5, -1.0).normalize() * t;
    let mut corners = vec![full.out(0.0, 0.0), on(corner)];
    // Square letters have their corner there anyway.
    if full.outer.level > 0.0 {
        corners.extend(edge_into_turn(corner, kit.full_up_to(0.5 * t), corner, along));
    }
    corners.extend([full.out(w, 1.0), full.out(0.0, 1.0)]);
    let hole = ring(&[
        full.inn(t, t),
        full.inn(t, 1.0 - t),
        full.inn(w - t, 1.0 - t),
        at(w - t, 1.5 * t),
        on(tip),
        on(tip + across),
        at(w - s - t / 1.5, t),
    ]);
    vec![ring(&corners), hole]
}

/// A small bowl over a large one, a leg down to the right and an arm up to the right from it.
pub(super) fn ampersand(kit: &Kit) -> Vec<Ring> {
    let Kit { t, wide: w, .. } = *kit;
    let (low, high) = kit.middle(0.05);
    let knee = 0.385 * w;
    let s = foot(w - knee, low, t);
    let (left, right) = (0.4 * t, knee + s + 0.35 * t);
    let turn = kit.half_within(right - left - 2.0 * t);
    let leg = Vec2::new(knee + s - w, low);
    // The arm ends upright at the right edge; its upper side rises to a little under the bar.
    let rise = Vec2::new(1.0, 0.8);
    let end = low - 0.1 * t;
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
