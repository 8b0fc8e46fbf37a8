//! How wide the mask is: from a paint edge straight across to the next paint edge that faces it.
//!
//! All paint edges of the mark lie in a grid of squares, so that each look across touches few of them.

use super::outline::Run;
use super::overlap::{apart, around};
use geom::point::left_of;
use geom::tolerance::{NOISE_MM, NOISE_UNIT, TAPE_KEPT_MM};
use geom::{Point, Vec2};

/// A straight bit of paint edge; paint on its left.
#[derive(Clone, Copy, Debug)]
pub struct Bit {
    /// Start.
    pub a: Point,
    /// End.
    pub b: Point,
    /// Index of its run.
    pub run: usize,
    /// Distance along the run to `a`, mm.
    pub at: f64,
}

/// What a look across the mask meets.
#[derive(Clone, Copy, Debug)]
pub struct Met {
    /// How far off, mm.
    pub far: f64,
    /// Index of the run.
    pub run: usize,
    /// Distance along that run, mm.
    pub at: f64,
    /// Direction of travel of the edge met.
    pub way: Vec2,
    /// How squarely it is met: 1 = square on.
    pub square: f64,
}

/// All paint edges of a mark, ready to be looked at.
#[derive(Debug)]
pub struct Field {
    bits: Vec<Bit>,
    lo: Point,
    cell: f64,
    across: usize,
    down: usize,
    cells: Vec<Vec<u32>>,
    /// Boxes round so many bits each, in their order.
    stretches: Vec<(Point, Point)>,
}

/// Bits of one stretch: about as many as there are stretches near a letter.
const STRETCH: usize = 16;

/// Most squares of a grid along one side.
const MOST_CELLS: f64 = 1500.0;

impl Field {
    /// The edges of `runs` in squares of about `cell` mm.
    pub fn new(runs: &[Run], cell: f64) -> Field {
        let mut bits = Vec::new();
        for (k, run) in runs.iter().enumerate() {
            let mut at = 0.0;
            for w in run.points.windows(2) {
                bits.push(Bit { a: w[0], b: w[1], run: k, at });
                at += w[0].distance(w[1]);
            }
        }
        let stretches: Vec<(Point, Point)> =
            bits.chunks(STRETCH).map(|s| around(s.iter().flat_map(|b| [b.a, b.b]))).collect();
        let (mut lo, mut hi) = around(stretches.iter().flat_map(|s| [s.0, s.1]));
        if bits.is_empty() {
            (lo, hi) = (Point::ZERO, Point::ZERO);
        }
        let cell = cell.max((hi.x - lo.x).max(hi.y - lo.y) / MOST_CELLS).max(1.0);
        let across = ((hi.x - lo.x) / cell) as usize + 1;
        let down = ((hi.y - lo.y) / cell) as usize + 1;
        let cells = vec![Vec::new(); across * down];
        let mut field = Field { bits, lo, cell, across, down, cells, stretches };
        for k in 0..field.bits.len() {
            let b = field.bits[k];
            let (x0, y0, x1, y1) = field.span(b.a, b.b, 0.0);
            for y in y0..=y1 {
                for x in x0..=x1 {
                    if field.touches(b, x, y) {
                        field.cells[y * field.across + x].push(k as u32);
                    }
                }
            }
        }
        field
    }

    /// Columns and rows of squares the box round two points, grown by `by`, reaches over.
    fn span(&self, a: Point, b: Point, by: f64) -> (usize, usize, usize, usize) {
        let col = |x: f64| (((x - self.lo.x) / self.cell).floor().max(0.0) as usize).min(self.across - 1);
        let row = |y: f64| (((y - self.lo.y) / self.cell).floor().max(0.0) as usize).min(self.down - 1);
        (col(a.x.min(b.x) - by), row(a.y.min(b.y) - by), col(a.x.max(b.x) + by), row(a.y.max(b.y) + by))
    }

    /// True if the line of a bit may pass through a square.
    fn touches(&self, b: Bit, x: usize, y: usize) -> bool {
        let middle = self.lo + Vec2::new((x as f64 + 0.5) * self.cell, (y as f64 + 0.5) * self.cell);
        let along = b.b - b.a;
        let length = along.hypot();
        length <= NOISE_MM || (middle - b.a).cross(along).abs() / length <= self.cell * 0.75
    }

    /// The first paint met from `from` along the unit direction `way`, within `reach` mm, of those `kept`.
    pub fn look(&self, from: Point, way: Vec2, reach: f64, kept: impl Fn(&Met) -> bool) -> Option<Met> {
        let mut best: Option<Met> = None;
        let place = |p: Point| {
            (((p.x - self.lo.x) / self.cell).floor() as i64, ((p.y - self.lo.y) / self.cell).floor() as i64)
        };
        let (mut x, mut y) = place(from);
        let (end_x, end_y) = place(from + way * reach);
        let step = |v: f64| if v > 0.0 { 1 } else { -1 };
        let next = |v: f64, lo: f64, k: i64, at: f64| {
            if v.abs() <= NOISE_UNIT {
                f64::INFINITY
            } else {
                (lo + (k as f64 + if v > 0.0 { 1.0 } else { 0.0 }) * self.cell - at) / v
            }
        };
        let mut tx = next(way.x, self.lo.x, x, from.x);
        let mut ty = next(way.y, self.lo.y, y, from.y);
        let (dx, dy) = (self.cell / way.x.abs().max(NOISE_UNIT), self.cell / way.y.abs().max(NOISE_UNIT));
        let most = (end_x - x).abs() + (end_y - y).abs() + 2;
        let mut entered = 0.0;
        for _ in 0..=most {
            if best.is_some_and(|m| m.far < entered) || entered > reach {
                break;
            }
            if (0..self.across as i64).contains(&x) && (0..self.down as i64).contains(&y) {
                for k in &self.cells[y as usize * self.across + x as usize] {
                    if let Some(met) = self.meets(self.bits[*k as usize], from, way)
                        && met.far <= reach
                        && best.is_none_or(|b| met.far < b.far)
                        && kept(&met)
                    {
                        best = Some(met);
                    }
                }
            }
            if tx < ty {
                entered = tx;
                tx += dx;
                x += step(way.x);
            } else {
                entered = ty;
                ty += dy;
                y += step(way.y);
            }
        }
        best
    }

    fn meets(&self, bit: Bit, from: Point, way: Vec2) -> Option<Met> {
        let along = bit.b - bit.a;
        let length = along.hypot();
        // Only from the mask into paint: the look must come from the right of the edge.
        let sine = way.cross(along);
        if sine >= -NOISE_UNIT * length {
            return None;
        }
        let d = bit.a - from;
        let far = d.cross(along) / sine;
        let f = d.cross(way) / sine;
        let slack = NOISE_MM / length;
        (far > NOISE_MM && -slack <= f && f <= 1.0 + slack).then(|| Met {
            far,
            run: bit.run,
            at: bit.at + f * length,
            way: along / length,
            square: -sine / length,
        })
    }

    /// Bits of paint edge that may lie within `by` mm of the box round `points`.
    pub fn near(&self, points: &[Point], by: f64) -> Vec<Bit> {
        let Some(first) = points.first() else { return Vec::new() };
        let (mut lo, mut hi) = (*first, *first);
        for p in points {
            lo = Point::new(lo.x.min(p.x), lo.y.min(p.y));
            hi = Point::new(hi.x.max(p.x), hi.y.max(p.y));
        }
        let (x0, y0, x1, y1) = self.span(lo, hi, by);
        let inside = |b: &Bit| {
            b.a.x.min(b.b.x) <= hi.x + by
                && b.a.x.max(b.b.x) >= lo.x - by
                && b.a.y.min(b.b.y) <= hi.y + by
                && b.a.y.max(b.b.y) >= lo.y - by
        };
        let mut found: Vec<u32> = Vec::new();
        for y in y0..=y1 {
            for x in x0..=x1 {
                let here = self.cells[y * self.across + x].iter().copied();
                found.extend(here.filter(|k| inside(&self.bits[*k as usize])));
            }
        }
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|k| self.bits[k as usize]).collect()
    }

    /// Stretches of paint edge, each with the box round it, that may meet a box.
    pub(super) fn stretches(
        &self,
        box_: (Point, Point),
    ) -> impl Iterator<Item = (&[Bit], (Point, Point))> + '_ {
        let all = self.bits.chunks(STRETCH).zip(self.stretches.iter().copied());
        all.filter(move |(_, s)| !apart(*s, box_))
    }

    /// How far a strip `width` mm wide, its left side on the line from `from` along the unit `way`, may go before
    /// it lies on paint, at most `reach`. Paint that only touches its left side or its start does not count.
    pub fn free_way(&self, from: Point, way: Vec2, width: f64, reach: f64) -> f64 {
        let right = -left_of(way);
        let box_ = [from, from + way * reach, from + right * width, from + way * reach + right * width];
        let slack = NOISE_MM * 100.0;
        let mut free = reach;
        for bit in self.near(&box_, 0.0) {
            let local = |p: Point| ((p - from).dot(way), (p - from).dot(right));
            let ((u0, v0), (u1, v1)) = (local(bit.a), local(bit.b));
            // The part of the bit that lies between the strip's two sides.
            let (lo, hi) = (slack, width - slack);
            let (mut f0, mut f1) = (0.0_f64, 1.0_f64);
            if (v1 - v0).abs() <= NOISE_MM {
                if v0 <= lo || v0 >= hi {
                    continue;
                }
            } else {
                let (p, q) = ((lo - v0) / (v1 - v0), (hi - v0) / (v1 - v0));
                f0 = f0.max(p.min(q));
                f1 = f1.min(p.max(q));
                if f0 >= f1 {
                    continue;
                }
            }
            let (a, b) = (u0 + (u1 - u0) * f0, u0 + (u1 - u0) * f1);
            if a.max(b) > slack {
                free = free.min(a.min(b).max(0.0));
            }
        }
        free
    }
}

/// What lies across the mask from one place of a run.
#[derive(Clone, Copy, Debug)]
pub struct Across {
    /// Distance along the run, mm.
    pub at: f64,
    /// The nearest paint straight across, whatever it is.
    pub any: Option<Met>,
    /// The nearest paint straight across that faces this edge: not the other side of its own inside corner.
    pub facing: Option<Met>,
}

/// Looks across the mask from places along a run, `step` mm apart, its ends included.
pub fn look_across(field: &Field, runs: &[Run], k: usize, step: f64, reach: f64) -> Vec<Across> {
    let run = &runs[k];
    let count = (run.length / step).ceil().max(2.0) as usize;
    let place = |i: usize| {
        // A hair inside the ends, so that a look never runs along the neighbouring edge.
        let f = i as f64 / count as f64;
        (run.length * f)
            .clamp(TAPE_KEPT_MM.min(run.length / 4.0), run.length - TAPE_KEPT_MM.min(run.length / 4.0))
    };
    let mut out = Vec::with_capacity(count + 1);
    let (mut from, mut base) = (0, 0.0);
    for i in 0..=count {
        let at = place(i);
        while from + 2 < run.points.len() && base + run.points[from].distance(run.points[from + 1]) < at {
            base += run.points[from].distance(run.points[from + 1]);
            from += 1;
        }
        let (a, b) = (run.points[from], run.points[from + 1]);
        let way = (b - a).normalize();
        let p = a + way * (at - base);
        let right = -left_of(way);
        let any = field.look(p, right, reach, |_| true);
        let facing = match any {
            Some(met) if own_corner(runs, k, &met) => {
                field.look(p, right, reach, |m| !own_corner(runs, k, m))
            }
            other => other,
        };
        out.push(Across { at, any, facing });
    }
    out
}

/// True if what is met is the other side of an inside corner of this very run: a wedge, no channel. An edge that
/// has bent round by more than sixty degrees since the corner faces like any other.
fn own_corner(runs: &[Run], k: usize, met: &Met) -> bool {
    let run = &runs[k];
    let unbent = |way: Vec2| way.dot(met.way) > 0.5;
    let r = &runs[met.run];
    (met.run == run.after && run.turns[1] < 0.0 && unbent(r.ways[0]))
        || (met.run == run.before && run.turns[0] < 0.0 && unbent(r.ways[1]))
}
