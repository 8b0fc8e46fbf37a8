//! The finished plan looked at by another road: points along every paint edge are asked what lies on them.
//!
//! Planning works with strips and cuts; this counts windings of footprints round points. A hair outside the edge
//! there must be tape, from there to the tack strip (or to the next paint) too; a hair inside there must be none.

use super::channel::Across;
use super::outline::Run;
use super::plan::{Kind, Piece};
use super::shelf::Measures;
use geom::point::left_of;
use geom::tolerance::TAPE_KEPT_MM;
use geom::winding::contains;
use geom::{Point, Ring};

/// What was found.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// How many points were asked.
    pub(super) asked: usize,
    /// Paint edge without tape: first place.
    pub(super) bare: Vec<Point>,
    /// Tape on paint: pieces.
    pub(super) on_paint: Vec<usize>,
    /// Skin between edge tape and tack strip without cover.
    pub(super) open: Vec<Point>,
}

/// Least share of the way to the tack strip, and the greatest, at which cover is asked for.
const WAYS: [f64; 3] = [0.35, 0.7, 0.97];

/// Boxes, to ask few pieces for each point.
struct Covers<'a> {
    pieces: Vec<(usize, (Point, Point), &'a [Ring])>,
}

impl Covers<'_> {
    fn at(&self, p: Point) -> Option<usize> {
        self.pieces
            .iter()
            .find(|(_, (lo, hi), rings)| {
                lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y && contains(rings, p)
            })
            .map(|(i, ..)| *i)
    }
}

/// Asks points along all runs, at the looks across that were taken when they were planned.
pub(super) fn check(runs: &[Run], across: &[(Vec<Across>, f64)], pieces: &[Piece], m: &Measures) -> Found {
    let mut found = Found::default();
    let boxes: Vec<Option<(Point, Point)>> =
        pieces.iter().map(|p| super::order::bounds(&p.footprint)).collect();
    for (k, run) in runs.iter().enumerate() {
        let (mut lo, mut hi) = (run.points[0], run.points[0]);
        for p in &run.points {
            lo = Point::new(lo.x.min(p.x), lo.y.min(p.y));
            hi = Point::new(hi.x.max(p.x), hi.y.max(p.y));
        }
        let by = m.reach();
        let near = pieces.iter().enumerate().filter(|(_, p)| p.kind != Kind::Layout).filter_map(|(i, p)| {
            let b = boxes[i]?;
            let apart = b.0.x > hi.x + by || b.1.x < lo.x - by || b.0.y > hi.y + by || b.1.y < lo.y - by;
            (!apart).then_some((i, b, p.footprint.as_slice()))
        });
        let covers = Covers { pieces: near.collect() };
        for look in &across[k].0 {
            // Not in the very corner, where a hair to the side is a hair past the end.
            let [from, to] = run.turns.map(corner_hair);
            let at = look.at.clamp(from, (run.length - to).max(from));
            let (p, way) = run.at(at);
            let right = -left_of(way);
            if look.any.is_some_and(|met| met.far < 4.0 * TAPE_KEPT_MM) {
                // The very tip of a wedge: a hair to the side is the other paint.
                continue;
            }
            found.asked += 1;
            if covers.at(p + right * TAPE_KEPT_MM).is_none() {
                found.bare.push(p);
            }
            if let Some(i) = covers.at(p - right * TAPE_KEPT_MM) {
                found.on_paint.push(i);
            }
            let far = look.any.map_or(m.gap, |met| m.gap.min(met.far));
            if WAYS.iter().any(|f| covers.at(p + right * (f * far)).is_none()) {
                found.open.push(p);
            }
        }
    }
    found.on_paint.sort_unstable();
    found.on_paint.dedup();
    found
}

/// How far from a corner of so much turn the paint edge is asked, mm: two hairs, or, at a tip so sharp that a hair inside
/// one edge is beyond the other there, to where it is not.
fn corner_hair(turn: f64) -> f64 {
    let inside = std::f64::consts::PI - turn;
    let sharp = if turn > std::f64::consts::FRAC_PI_2 { 1.1 * TAPE_KEPT_MM / inside.tan() } else { 0.0 };
    sharp.max(2.0 * TAPE_KEPT_MM)
}
