//! Where words on a tape map go: near what they speak of, over as few lines as may be, never over each other.

use geom::{Point, Vec2};
use sheet::{Item, Role, Room, Words, pen};
use std::f64::consts::TAU;

/// How far from its place a tag may stand, mm, in the order of trying.
const FAR: [f64; 18] =
    [0.0, 3.0, 5.0, 7.0, 9.0, 12.0, 15.0, 18.0, 22.0, 27.0, 33.0, 40.0, 48.0, 57.0, 68.0, 82.0, 100.0, 125.0];
/// Directions tried at each distance.
const WAYS: usize = 24;
/// What a line under a tag weighs, in mm of further leader. chosen by eye.
const LINE_COST: f64 = 2.5;
/// White round a tag, mm.
const AIR: f64 = 0.5;

/// A straight line on the sheet.
pub(super) type Segment = (Point, Point);

/// What has been placed, and what it should keep off.
pub(super) struct Floor {
    /// Nothing leaves it.
    pub(super) room: Room,
    /// Lines that are better not covered, with their weight.
    pub(super) lines: Vec<(Segment, f64)>,
    boxes: Vec<Room>,
    leaders: Vec<Segment>,
}

impl Floor {
    pub(super) fn new(room: Room, lines: Vec<(Segment, f64)>) -> Floor {
        Floor { room, lines, boxes: Vec::new(), leaders: Vec::new() }
    }

    /// Keeps a room free of words and leaders.
    pub(super) fn keep(&mut self, room: Room) {
        self.boxes.push(room);
    }

    /// A room of this size for words about `at`, best in the direction `way`; with its leader if it stands apart.
    /// `None` if there is no room left at all.
    pub(super) fn place(&mut self, at: Point, way: Vec2, size: (f64, f64)) -> Option<(Room, Option<Item>)> {
        let found = self.best(at, way, size, true).or_else(|| self.best(at, way, size, false))?;
        self.boxes.push(found);
        let foot = nearest(found, at);
        let apart = foot.distance(at) > 1.0;
        if apart {
            self.leaders.push((foot, at));
        }
        Some((found, apart.then(|| Item::line([foot, at], pen(Role::Leader)))))
    }

    fn best(&self, at: Point, way: Vec2, size: (f64, f64), clean: bool) -> Option<Room> {
        let mut best: Option<(f64, Room)> = None;
        let turn = way.y.atan2(way.x);
        for far in FAR {
            if best.as_ref().is_some_and(|b| b.0 <= far) {
                break;
            }
            for k in 0..WAYS {
                let off = (k as f64 / 2.0).ceil() * if k % 2 == 0 { 1.0 } else { -1.0 };
                let d = Vec2::from_angle(turn + off * TAU / WAYS as f64);
                // The tag's edge, not its middle, stands at the distance.
                let reach = (d.x.abs() * size.0 + d.y.abs() * size.1) / 2.0;
                let middle = at + d * if far > 0.0 { far + reach } else { 0.0 };
                let half = Vec2::new(size.0, size.1) / 2.0;
                let room = Room { lo: middle - half, hi: middle + half };
                let least = best.as_ref().map_or(f64::INFINITY, |b| b.0);
                let bent = 0.08 * far * off.abs();
                if far + bent >= least || !self.free(room, at, clean) {
                    continue;
                }
                let cost = far + bent + self.under(room, nearest(room, at), at);
                if cost < least {
                    best = Some((cost, room));
                }
                if far <= 0.0 {
                    break;
                }
            }
        }
        best.map(|b| b.1)
    }

    fn free(&self, room: Room, at: Point, clean: bool) -> bool {
        let (lo, hi) = (self.room.lo, self.room.hi);
        if room.lo.x < lo.x || room.lo.y < lo.y || hi.x < room.hi.x || hi.y < room.hi.y {
            return false;
        }
        let own = room.inset(-AIR);
        let over =
            |b: &Room| own.lo.x < b.hi.x && b.lo.x < own.hi.x && own.lo.y < b.hi.y && b.lo.y < own.hi.y;
        if self.boxes.iter().any(over) {
            return false;
        }
        let leader = (nearest(room, at), at);
        let thin = |b: &Room| b.inset(AIR / 2.0);
        !clean
            || !(self.boxes.iter().any(|b| meets(leader, thin(b)))
                || self.leaders.iter().any(|l| meets(*l, own) || cross(*l, leader)))
    }

    fn under(&self, room: Room, foot: Point, at: Point) -> f64 {
        let covered: f64 =
            self.lines.iter().filter(|(l, _)| meets(*l, room)).map(|(_, w)| w * LINE_COST).sum();
        let crossed: f64 =
            self.lines.iter().filter(|(l, _)| cross(*l, (foot, at))).map(|(_, w)| w * 0.3).sum();
        covered + crossed
    }
}

/// The point of a room nearest to a place.
fn nearest(room: Room, at: Point) -> Point {
    Point::new(at.x.clamp(room.lo.x, room.hi.x), at.y.clamp(room.lo.y, room.hi.y))
}

/// True if a straight line enters a room.
fn meets(line: Segment, room: Room) -> bool {
    clip(line, room).is_some()
}

/// The part of a straight line inside a room.
pub(super) fn clip((a, b): Segment, room: Room) -> Option<Segment> {
    let d = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in
        [(-d.x, a.x - room.lo.x), (d.x, room.hi.x - a.x), (-d.y, a.y - room.lo.y), (d.y, room.hi.y - a.y)]
    {
        if p < 0.0 {
            from = from.max(q / p);
        } else if p > 0.0 {
            to = to.min(q / p);
        } else if q < 0.0 {
            return None;
        }
    }
    (from < to).then(|| (a + d * from, a + d * to))
}

fn cross((a, b): Segment, (c, d): Segment) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Words and how wide they are at a size.
pub(super) fn wide(words: &str, size: f64, weight: sheet::Weight) -> f64 {
    Words::from(words).width(size, weight)
}
