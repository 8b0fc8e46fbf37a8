//! From corners to an outline: where a corner is sharp, cut or swept, and where two turned corners meet.
//!
//! A letter is written down as the corners of its plain block form. A corner at a turn carries its legs: how
//! far from the corner the cut or the arc leaves each edge.

use geom::point::{crossing, left_of};
use geom::tolerance::NOISE_UNIT;
use geom::{Point, Ring, Vec2, Vertex};
use std::f64::consts::{FRAC_PI_8, SQRT_2};

/// How far from a corner its cut or arc begins, along the level edge and along the upright one. Both 0 for a
/// sharp corner; both the radius for an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Legs {
    pub(super) level: f64,
    pub(super) upright: f64,
    pub(super) round: bool,
}

/// A stroke's right-angled turn: the legs of its outer corner, and those of its inner corner that keep the
/// stroke's thickness round the turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turn {
    pub(super) outer: Legs,
    pub(super) inner: Legs,
}

/// A corner of a block form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Corner {
    /// As it stands; the edge from it may bend.
    At(Vertex),
    /// Between a level and an upright edge, with legs.
    Turned(Point, Legs),
}

const SHARP_LEGS: Legs = Legs { level: 0.0, upright: 0.0, round: false };

impl Turn {
    /// A turn with both corners sharp.
    pub(super) const SHARP: Turn = Turn { outer: SHARP_LEGS, inner: SHARP_LEGS };

    /// A turn cut at 45 degrees, with `inner` the leg inside. Two parallel cuts with legs c outside and i inside,
    /// on corners t apart both ways, are (2 t + i - c) / sqrt 2 apart; that is t for c = i + t (2 - sqrt 2).
    pub(super) fn cut(inner: f64, t: f64) -> Turn {
        let even = |leg| Legs { level: leg, upright: leg, round: false };
        Turn { outer: even(inner + t * (2.0 - SQRT_2)), inner: even(inner) }
    }

    /// A turn cut two up for one along, with `level` the leg outside. The inner cut is its parallel at t.
    pub(super) fn steep(level: f64, t: f64) -> Turn {
        let upright = 2.0 * level;
        // Negative: the inner corner's legs are shorter than the outer's.
        let shift = t * (level.hypot(upright) - level - upright);
        let outer = Legs { level, upright, round: false };
        let inner = Legs { level: level + shift / upright, upright: upright + shift / level, round: false };
        Turn { outer, inner }
    }

    /// A turn of two arcs round one centre, with `inner` the radius inside.
    pub(super) fn round(inner: f64, t: f64) -> Turn {
        let arc = |leg| Legs { level: leg, upright: leg, round: true };
        Turn { outer: arc(inner + t), inner: arc(inner) }
    }

    /// The outer corner of this turn at (x, y).
    pub(super) fn out(&self, x: f64, y: f64) -> Corner {
        Corner::Turned(Point::new(x, y), self.outer)
    }

    /// The inner corner of this turn at (x, y).
    pub(super) fn inn(&self, x: f64, y: f64) -> Corner {
        Corner::Turned(Point::new(x, y), self.inner)
    }
}

/// A sharp corner.
pub(super) fn at(x: f64, y: f64) -> Corner {
    Corner::At(Vertex { p: Point::new(x, y), bulge: 0.0 })
}

/// A sharp corner at a point.
pub(super) fn on(p: Point) -> Corner {
    at(p.x, p.y)
}

/// The outline through `corners`, each turned as it asks; where a turn ends exactly on the next corner the
/// two become one.
pub(super) fn ring(corners: &[Corner]) -> Ring {
    let n = corners.len();
    let mut vertices: Vec<Vertex> = Vec::with_capacity(2 * n);
    let mut put = |v: Vertex| match vertices.last_mut() {
        Some(last) if last.p.distance(v.p) < NOISE_UNIT => *last = v,
        _ => vertices.push(v),
    };
    for (i, corner) in corners.iter().enumerate() {
        match *corner {
            Corner::At(v) => put(v),
            Corner::Turned(p, legs) if legs.level <= 0.0 => put(Vertex { p, bulge: 0.0 }),
            Corner::Turned(p, legs) => {
                let came = (p - place(corners[(i + n - 1) % n])).normalize();
                let goes = (place(corners[(i + 1) % n]) - p).normalize();
                let (before, after) = if came.x.abs() > came.y.abs() {
                    (legs.level, legs.upright)
                } else {
                    (legs.upright, legs.level)
                };
                let quarter = if legs.round { FRAC_PI_8.tan() * came.cross(goes).signum() } else { 0.0 };
                put(Vertex { p: p - came * before, bulge: quarter });
                put(Vertex { p: p + goes * after, bulge: 0.0 });
            }
        }
    }
    if let (Some(first), Some(last)) = (vertices.first().copied(), vertices.last().copied())
        && vertices.len() > 1
        && first.p.distance(last.p) < NOISE_UNIT
    {
        vertices.pop();
    }
    Ring { vertices }
}

fn place(corner: Corner) -> Point {
    match corner {
        Corner::At(v) => v.p,
        Corner::Turned(p, _) => p,
    }
}

/// The outline, clockwise, of a counter from (x0, y0) to (x1, y1) with the inner corners of `turns`: lower
/// left, upper left, upper right, lower right.
pub(super) fn counter(x0: f64, y0: f64, x1: f64, y1: f64, turns: [Turn; 4]) -> Ring {
    ring(&[turns[0].inn(x0, y0), turns[1].inn(x0, y1), turns[2].inn(x1, y1), turns[3].inn(x1, y0)])
}

/// The waist on the right of two stacked bowls that share the bar from `low` to `high`, walked upwards: the
/// lower bowl's upper outer turn as far as the upper bowl's lower one, and on. `upper` and `lower` are where
/// the bowls' right sides stand, `upper` not right of `lower`.
pub(super) fn waist_right(turn: Turn, upper: f64, lower: f64, low: f64, high: f64) -> Vec<Corner> {
    let leg = turn.outer.level;
    if leg <= 0.0 {
        // Sharp: a straight side, or a step on top of the bar.
        return if lower - upper > NOISE_UNIT { vec![at(lower, high), at(upper, high)] } else { Vec::new() };
    }
    let begin = Point::new(lower, high - leg);
    let end = Point::new(upper, low + leg);
    if !turn.outer.round {
        let nick = crossing(begin, Vec2::new(-1.0, 1.0), end, Vec2::new(-1.0, -1.0));
        // Lines square to each other always cross.
        return [Some(begin), nick, Some(end)].into_iter().flatten().map(on).collect();
    }
    // Two circles of the same radius cross on the line square to their centres' join, half way along it.
    let (c_lower, c_upper) = (begin - Vec2::new(leg, 0.0), end - Vec2::new(leg, 0.0));
    let half = (c_upper - c_lower) / 2.0;
    let reach = (leg * leg - half.hypot2()).max(0.0).sqrt();
    let nick = c_lower + half - left_of(half).normalize() * reach;
    let up = (nick - c_lower).atan2();
    let down = -(nick - c_upper).atan2();
    vec![
        Corner::At(Vertex { p: begin, bulge: (up / 4.0).tan() }),
        Corner::At(Vertex { p: nick, bulge: (down / 4.0).tan() }),
        on(end),
    ]
}

/// The waist on the left, walked downwards; `upper` not left of `lower`. See `waist_right`.
pub(super) fn waist_left(turn: Turn, upper: f64, lower: f64, low: f64, high: f64) -> Vec<Corner> {
    let right = waist_right(turn, -upper, -lower, low, high);
    let n = right.len();
    // Mirrored and walked the other way an arc bends the same way, but belongs to its other end.
    let bulge = |i: usize| match right[i] {
        Corner::At(v) => v.bulge,
        Corner::Turned(..) => 0.0,
    };
    (0..n)
        .rev()
        .map(|i| {
            let p = place(right[i]);
            Corner::At(Vertex { p: Point::new(-p.x, p.y), bulge: if i > 0 { bulge(i - 1) } else { 0.0 } })
        })
        .collect()
}

/// Where a straight edge running up along `along` from `from` meets the outer turn at the lower right corner
/// `corner` of a bowl, and the rest of that turn, walked from the edge up the right side. For a sharp turn:
/// where the edge meets the level side, and the corner itself.
pub(super) fn edge_into_turn(corner: Point, turn: Turn, from: Point, along: Vec2) -> Vec<Corner> {
    let leg = turn.outer.level;
    if leg <= 0.0 {
        let meets = crossing(from, along, corner, Vec2::new(1.0, 0.0));
        return meets.into_iter().chain([corner]).map(on).collect();
    }
    let end = corner + Vec2::new(0.0, leg);
    if !turn.outer.round {
        let meets = crossing(from, along, end, Vec2::new(1.0, 1.0));
        return meets.into_iter().chain([end]).map(on).collect();
    }
    // The first crossing of the line with the circle, counted from the lower end of the line.
    let centre = corner + Vec2::new(-leg, leg);
    let u = along.normalize();
    let out = from - centre;
    let b = out.dot(u);
    let inside = (b * b - out.hypot2() + leg * leg).max(0.0).sqrt();
    // Outside the circle the line enters it; from a start inside, it leaves behind the start.
    let meets = from + u * (-b - inside);
    let turn = (end - centre).atan2() - (meets - centre).atan2();
    vec![Corner::At(Vertex { p: meets, bulge: (turn / 4.0).tan() }), on(end)]
}
