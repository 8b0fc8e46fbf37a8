//! The finished plan looked at by another road: points along every paint edge are asked what lies on them.
//!
//! Planning works with strips and cuts; this counts windings of footprints round points. A hair outside the edge
//! there must be tape, from there to the tack strip (or to the next paint) too, and over the strip's own width; a hair
//! inside there must be none. And each piece is held against the paint: one in the midst of it has no edge there to ask at.

use super::channel::{Across, Bit, Field};
use super::order::bounds;
use super::outline::Run;
use super::overlap::{apart, around};
use super::plan::{Kind, Piece};
use super::shelf::Measures;
use super::tack::apart as apart_lines;
use geom::beside::near_box;
use geom::boolean::intersection;
use geom::point::left_of;
use geom::tolerance::{TAPE_KEPT_MM, TAPE_TOUCH_MM2};
use geom::winding::{Slabs, contains};
use geom::{Point, Ring, Vec2};

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
    /// Skin where the tack strip should lie and nothing does.
    pub(super) unbound: Vec<Point>,
}

/// Least share of the way to the tack strip, and the greatest, at which cover is asked for.
const WAYS: [f64; 3] = [0.35, 0.7, 0.97];
/// Shares of the tack strip's width at which cover is asked for: its middle, and beyond the reach of edge tape.
const STRIP: [f64; 2] = [0.5, 0.9];

/// How far inside its own edge a bridge is asked, mm: well past what rounding may lay on paint.
const INSIDE: f64 = 5.0 * TAPE_KEPT_MM;
/// Sides up to which a piece is asked one by one whether a paint edge meets it. chosen.
const MANY_SIDES: usize = 16;

/// Shapes in squares, to ask few of them for each point.
struct Covers {
    shapes: Vec<(usize, (Point, Point), Slabs)>,
    lo: Point,
    cell: f64,
    across: usize,
    down: usize,
    cells: Vec<Vec<u32>>,
}

/// Most squares along one side of the grid.
const MOST_CELLS: f64 = 500.0;

impl Covers {
    /// The shapes, each by its number, in squares of about `cell` mm.
    fn new<'a>(shapes: impl Iterator<Item = (usize, &'a [Ring])>, cell: f64) -> Covers {
        let shapes: Vec<(usize, (Point, Point), Slabs)> =
            shapes.filter_map(|(i, rings)| Some((i, bounds(rings)?, Slabs::new(rings)))).collect();
        let boxes = shapes.iter().map(|(_, b, _)| *b);
        let (lo, hi) = boxes
            .reduce(|a, b| {
                (
                    Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)),
                    Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)),
                )
            })
            .unwrap_or((Point::ZERO, Point::ZERO));
        let cell = cell.max((hi.x - lo.x).max(hi.y - lo.y) / MOST_CELLS).max(1.0);
        let (across, down) = (((hi.x - lo.x) / cell) as usize + 1, ((hi.y - lo.y) / cell) as usize + 1);
        let mut out = Covers { shapes, lo, cell, across, down, cells: vec![Vec::new(); across * down] };
        for k in 0..out.shapes.len() {
            let (a, b) = out.shapes[k].1;
            let ((x0, y0), (x1, y1)) = (out.place(a), out.place(b));
            for y in y0..=y1 {
                for x in x0..=x1 {
                    out.cells[y * across + x].push(k as u32);
                }
            }
        }
        out
    }

    fn place(&self, p: Point) -> (usize, usize) {
        let at = |v: f64, most: usize| ((v / self.cell) as usize).min(most - 1);
        (at(p.x - self.lo.x, self.across), at(p.y - self.lo.y, self.down))
    }

    /// The first shape that holds a point.
    fn at(&self, p: Point) -> Option<usize> {
        let (x, y) = self.place(p);
        self.cells[y * self.across + x].iter().map(|k| &self.shapes[*k as usize]).find_map(
            |(i, (lo, hi), shape)| {
                (lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y && shape.contains(p)).then_some(*i)
            },
        )
    }
}

/// Asks points along all runs, at the looks across that were taken when they were planned.
pub(super) fn check(
    runs: &[Run],
    field: &Field,
    paint: &[(Vec<Ring>, (Point, Point))],
    across: &[(Vec<Across>, f64)],
    pieces: &[Piece],
    (m, stripe): (&Measures, bool),
) -> Found {
    // Neither asks the other.
    let (mut found, mut lain) = (Found::default(), Vec::new());
    std::thread::scope(|hands| {
        hands.spawn(|| lain = lying(field, paint, pieces, m.tack));
        found = along_edges(runs, field, paint, across, pieces, (m, stripe));
    });
    found.on_paint.extend(lain);
    found.on_paint.sort_unstable();
    found.on_paint.dedup();
    found
}

/// What the points along the paint edges tell.
fn along_edges(
    runs: &[Run],
    field: &Field,
    paint: &[(Vec<Ring>, (Point, Point))],
    across: &[(Vec<Across>, f64)],
    pieces: &[Piece],
    (m, stripe): (&Measures, bool),
) -> Found {
    let mut found = Found::default();
    let painted = painted(paint, m.tack);
    let taped = pieces.iter().enumerate().filter(|(_, p)| p.kind != Kind::Layout);
    let covers = Covers::new(taped.map(|(i, p)| (i, p.footprint.as_slice())), m.tack);
    for (k, run) in runs.iter().enumerate() {
        // The looks come in order: one walk along the run serves them all.
        let (mut from, mut base) = (0, 0.0);
        for look in &across[k].0 {
            // Not in the very corner, where a hair to the side is a hair past the end.
            let mut ends = run.turns.map(corner_hair);
            if ends[0] + ends[1] >= run.length {
                // All of it lies in the tip of a needle: asked clear of its two corners.
                ends = [2.0 * TAPE_KEPT_MM; 2].map(|hair| hair.min(run.length / 4.0));
            }
            let at = look.at.clamp(ends[0], run.length - ends[1]);
            let long = |k: usize| run.points[k].distance(run.points[k + 1]);
            while from + 2 < run.points.len() && base + long(from) < at {
                base += long(from);
                from += 1;
            }
            let way = (run.points[from + 1] - run.points[from]).normalize();
            let p = run.points[from] + way * (at - base);
            let right = -left_of(way);
            if look.any.is_some_and(|met| met.far < 4.0 * TAPE_KEPT_MM) {
                // The very tip of a wedge: a hair to the side is the other paint.
                continue;
            }
            found.asked += 1;
            if covers.at(p + right * TAPE_KEPT_MM).is_none() {
                found.bare.push(p);
            }
            // In the tip of a spike a hair inside one edge is outside the other.
            let inside = p - right * TAPE_KEPT_MM;
            if let Some(i) = covers.at(inside).filter(|_| painted.at(inside).is_some()) {
                found.on_paint.push(i);
            }
            let far = look.any.map_or(m.gap, |met| m.gap.min(met.far));
            if WAYS.iter().any(|f| covers.at(p + right * (f * far)).is_none()) {
                found.open.push(p);
            }
            // Of a stripe: where there is room for two strips and no other paint is nearer, its own edge has one. Not asked
            // of letters, in whose counters a strip may be stopped by paint that lies aslant; slits tell what stays open.
            if stripe
                && look.any.is_none_or(|met| met.far >= m.two_strips())
                && STRIP.iter().map(|f| m.gap + f * m.tack).any(|off| {
                    let q = p + right * off;
                    covers.at(q).is_none() && !nearer(field, q, off - TAPE_KEPT_MM)
                })
            {
                found.unbound.push(p);
            }
        }
    }
    found
}

/// What is painted, ready to be asked.
fn painted(paint: &[(Vec<Ring>, (Point, Point))], step: f64) -> Covers {
    Covers::new(paint.iter().map(|(rings, _)| rings.as_slice()).enumerate(), step)
}

/// Pieces that lie on paint, the points along its edges aside.
///
/// What crosses a paint edge is cut with the paint: it may share a hair along itself, which is rounding. What crosses none lies
/// on paint with all of it or with nothing. Edge tape, which touches paint all along, is asked along its middle.
fn lying(field: &Field, paint: &[(Vec<Ring>, (Point, Point))], pieces: &[Piece], step: f64) -> Vec<usize> {
    let painted = painted(paint, step);
    let on_paint = |p: &Piece| {
        if p.kind == Kind::Edge {
            return middle_line(p, step).any(|q| painted.at(q).is_some() && contains(&p.footprint, q));
        }
        let Some(box_) = bounds(&p.footprint) else { return false };
        let bits = field.near(&[box_.0, box_.1], 0.0);
        let sides = || {
            p.footprint.iter().flat_map(|r| {
                let n = r.vertices.len();
                (0..n).map(move |i| (r.vertices[i].p, r.vertices[(i + 1) % n].p))
            })
        };
        // A bent bridge lies against the paint edge all along: asked inside its own edge, side by side.
        if p.kind == Kind::Bridge && sides().nth(MANY_SIDES).is_some() {
            // What is inside lies on the left of all sides, or on the right of all.
            let area: f64 = p.footprint.iter().map(Ring::area).sum();
            return sides().any(|(u, v)| {
                let off = left_of((v - u).normalize()) * INSIDE.copysign(area);
                let mut asked = [0.25, 0.5, 0.75].into_iter().map(|f| u.lerp(v, f) + off);
                asked.any(|q| painted.at(q).is_some() && contains(&p.footprint, q))
            });
        }
        let met = |b: &Bit| {
            let bit = around([b.a, b.b]);
            (!apart((b.a, b.a), box_) && contains(&p.footprint, b.a))
                || sides().any(|(u, v)| {
                    let (lo, hi) = around([u, v]);
                    let hair = Vec2::new(TAPE_KEPT_MM, TAPE_KEPT_MM);
                    !apart((lo - hair, hi + hair), bit) && apart_lines(u, v, b.a, b.b) <= TAPE_KEPT_MM
                })
        };
        // Of a long bent shape, or a plug, whose outline is the paint edge, cutting is sooner done.
        if sides().nth(MANY_SIDES).is_none() && !bits.iter().any(met) {
            return sides().next().is_some_and(|(u, v)| painted.at(u.midpoint(v)).is_some());
        }
        let near = paint
            .iter()
            .filter(|(_, b)| !apart(*b, box_))
            .map(|(rings, _)| rings.iter().filter_map(|r| near_box(r, box_.0, box_.1)).collect::<Vec<_>>());
        let shared: f64 = near.flat_map(|rings| intersection(&p.footprint, &rings)).map(|r| r.area()).sum();
        shared > TAPE_TOUCH_MM2.max(TAPE_KEPT_MM * p.path_length())
    };
    let taped = pieces.iter().enumerate().filter(|(_, p)| p.kind != Kind::Layout);
    taped.filter(|(_, p)| on_paint(p)).map(|(i, _)| i).collect()
}

/// Places along the middle of a tape, not more than `step` mm apart.
fn middle_line(p: &Piece, step: f64) -> impl Iterator<Item = Point> + '_ {
    p.path.windows(2).flat_map(move |w| {
        let right = -left_of((w[1] - w[0]).normalize());
        let count = (w[0].distance(w[1]) / step).ceil().max(1.0) as usize;
        (0..count).map(move |k| w[0].lerp(w[1], (k as f64 + 0.5) / count as f64) + right * (p.width / 2.0))
    })
}

/// True if paint lies within `by` mm of a place.
fn nearer(field: &Field, q: Point, by: f64) -> bool {
    field
        .near(&[q], by)
        .iter()
        .any(|bit| geom::distance::nearest_on_segment(q, bit.a, bit.b).distance(q) < by)
}

/// How far from a corner of so much turn the paint edge is asked, mm: two hairs, or, at a tip so sharp that a hair inside
/// one edge is beyond the other there, to where it is not.
fn corner_hair(turn: f64) -> f64 {
    let inside = std::f64::consts::PI - turn;
    let sharp = if turn > std::f64::consts::FRAC_PI_2 { 1.1 * TAPE_KEPT_MM / inside.tan() } else { 0.0 };
    sharp.max(2.0 * TAPE_KEPT_MM)
}
