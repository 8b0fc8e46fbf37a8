//! Cells shared out onto panels of film: in as few as the rolls and an arm's reach allow, parted at the middles of the
//! gaps, each lapping the next. Film runs along the baseline, or up the letters where they are too tall for that. Only
//! a letter that is larger than the film both ways is parted through its paint.

use super::film::{LAP, RIM, SPARE};
use super::film_cells::{Cell, Divide, TextLine};
use super::reach::REACH;
use super::shelf::SHORT;
use crate::fit::placed::Placed;
use crate::job::types::Roll;
use geom::boolean::intersection;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring, Vec2};
use std::ops::Range;

/// Length of a tick at the rim, mm: 1/2 in. chosen.
const TICK: f64 = 12.7;

/// A panel before its cuts are known, level.
#[derive(Clone, Debug)]
pub(super) struct Panel {
    /// Index of its line of text.
    pub(super) line: usize,
    /// Its cells in that line.
    pub(super) range: Range<usize>,
    /// Its box: lower left, lower right, upper right, upper left.
    pub(super) outline: [Point; 4],
    /// Without the laps at its sides: what each cell's film ends at.
    pub(super) sides: [Option<Divide>; 2],
    /// The film.
    pub(super) film: Roll,
    /// True if the film runs up the letters.
    pub(super) upright: bool,
    /// Which part of its letters, from the top, and of how many: more than one where a letter is parted.
    pub(super) part: (usize, usize),
    /// Width of film, mm, on which it need not be parted like this; 0 if it is not.
    pub(super) wants: f64,
    /// The narrowest lap at its sides, mm; infinite if there is none.
    pub(super) lap: f64,
}

/// The panels of all lines in the order of pulling.
pub(super) fn share_panels(lines: &[TextLine], shelf: &[Roll], alone: bool) -> Vec<Panel> {
    let mut shelf = shelf.to_vec();
    shelf.sort_by(|a, b| a.width.total_cmp(&b.width).then(b.length.total_cmp(&a.length)));
    lines.iter().enumerate().flat_map(|(k, line)| line_panels(k, line, &shelf, alone)).collect()
}

/// Half of the lap there is room for.
fn half_lap(half: f64) -> f64 {
    (LAP / 2.0).min(half - SHORT).max(0.0)
}

fn line_panels(k: usize, line: &TextLine, shelf: &[Roll], alone: bool) -> Vec<Panel> {
    let lap = |room: Option<f64>| room.map_or(0.0, half_lap);
    let (bottom, top) = (line.bottom - lap(line.room[0]), line.top + lap(line.room[1]));
    let tall = top - bottom;
    let mut best: Option<((usize, f64), Vec<Panel>)> = None;
    for film in shelf {
        let (wide, long) = (film.width - 2.0 * SPARE, film.length - 2.0 * SPARE);
        for upright in [false, true] {
            let fits = if upright { tall <= long } else { tall <= wide };
            let most = if upright { wide } else { long };
            let make = |range: Range<usize>| panel(k, line, range, [bottom, top], *film, upright);
            if !fits || (0..line.cells.len()).any(|c| make(c..c + 1).wide() > most) {
                continue;
            }
            let panels = grouped(line.cells.len(), most.min(REACH), alone, &make);
            let used = panels.iter().map(|p| (p.size()[0] + 2.0 * SPARE) * film.width).sum();
            if best.as_ref().is_none_or(|(b, _)| (panels.len(), used) < *b) {
                best = Some(((panels.len(), used), panels));
            }
        }
    }
    if let Some((_, panels)) = best {
        return panels;
    }
    // A letter is larger than any film both ways: it is parted across.
    let Some(film) = shelf.last() else { return vec![] };
    let wide = (film.width - 2.0 * SPARE).max(2.0 * LAP);
    let count = ((tall - LAP) / (wide - LAP)).ceil().max(1.0) as usize;
    let each = (tall - LAP) / count as f64 + LAP;
    let mut out = Vec::new();
    let single = |c: usize| panel(k, line, c..c + 1, [bottom, top], *film, true).wide();
    let widest = (0..line.cells.len()).map(single).fold(0.0, f64::max);
    for part in 0..count {
        let high = top - (each - LAP) * part as f64;
        let make = |range: Range<usize>| panel(k, line, range, [high - each, high], *film, false);
        let mut row = grouped(line.cells.len(), (film.length - 2.0 * SPARE).min(REACH), alone, &make);
        for panel in &mut row {
            panel.part = (part, count);
            panel.wants = tall.min(widest) + 2.0 * SPARE;
        }
        out.extend(row);
    }
    out
}

/// Cells in as few groups as keep within `most`, the widest as narrow as can be.
fn grouped(count: usize, most: f64, alone: bool, make: &dyn Fn(Range<usize>) -> Panel) -> Vec<Panel> {
    let greedy = |most: f64| {
        let mut out: Vec<Panel> = Vec::new();
        for k in 0..count {
            let more = out.last().map(|p| make(p.range.start..k + 1));
            match more.filter(|p| !alone && p.wide() <= most + KEPT_MM) {
                Some(panel) => *out.last_mut().expect("it was just extended") = panel,
                None => out.push(make(k..k + 1)),
            }
        }
        out
    };
    let panels = greedy(most);
    let mut caps: Vec<f64> = (0..count)
        .flat_map(|a| (a + 1..=count).map(move |b| (a, b)))
        .map(|(a, b)| make(a..b).wide())
        .filter(|w| *w < most)
        .collect();
    caps.sort_by(f64::total_cmp);
    let even = caps.iter().map(|cap| greedy(*cap)).find(|p| p.len() == panels.len());
    even.unwrap_or(panels)
}

fn panel(
    k: usize,
    line: &TextLine,
    range: Range<usize>,
    [bottom, top]: [f64; 2],
    film: Roll,
    upright: bool,
) -> Panel {
    let cells = &line.cells[range.clone()];
    let left = range.start.checked_sub(1).map(|d| line.divides[d]);
    let right = line.divides.get(range.end - 1).copied();
    let lo = cells.iter().map(|c| c.lo.x).fold(f64::INFINITY, f64::min) - RIM;
    let hi = cells.iter().map(|c| c.hi.x).fold(f64::NEG_INFINITY, f64::max) + RIM;
    let left_at = |y: f64| left.map_or(lo, |d| d.moved(-half_lap(d.half)).x(y));
    let right_at = |y: f64| right.map_or(hi, |d| d.moved(half_lap(d.half)).x(y));
    let laps = [left, right].into_iter().flatten().map(|d| 2.0 * half_lap(d.half));
    Panel {
        line: k,
        outline: [
            Point::new(left_at(bottom), bottom),
            Point::new(right_at(bottom), bottom),
            Point::new(right_at(top), top),
            Point::new(left_at(top), top),
        ],
        sides: [left, right],
        range,
        film,
        upright,
        part: (0, 1),
        wants: 0.0,
        lap: laps.fold(f64::INFINITY, f64::min),
    }
}

impl Panel {
    /// Its cells.
    pub(super) fn cells<'a>(&self, line: &'a TextLine) -> &'a [Cell] {
        &line.cells[self.range.clone()]
    }

    /// Where it ends below and above.
    pub(super) fn ends(&self) -> [f64; 2] {
        [self.outline[0].y, self.outline[2].y]
    }

    /// Its greatest width along the baseline, mm.
    fn wide(&self) -> f64 {
        self.outline[1].x.max(self.outline[2].x) - self.outline[0].x.min(self.outline[3].x)
    }

    /// Length along the roll and across it, mm.
    pub(super) fn size(&self) -> [f64; 2] {
        let tall = self.outline[2].y - self.outline[0].y;
        if self.upright { [tall, self.wide()] } else { [self.wide(), tall] }
    }

    /// Along the roll.
    pub(super) fn along(&self) -> Vec2 {
        if self.upright { Vec2::new(0.0, 1.0) } else { Vec2::new(1.0, 0.0) }
    }

    /// Where a cell of it ends on its left and right: at the divides, at the panel's sides past its laps.
    pub(super) fn cell_ends(&self, line: &TextLine, cell: usize) -> [Divide; 2] {
        let edge = |a: Point, b: Point| Divide {
            foot: a.x - a.y * (b.x - a.x) / (b.y - a.y),
            lean: (b.x - a.x) / (b.y - a.y),
            half: RIM,
        };
        let [a, b, c, d] = self.outline;
        let left = if cell == self.range.start { edge(a, d) } else { line.divides[cell - 1] };
        let right = if cell + 1 == self.range.end { edge(b, c) } else { line.divides[cell] };
        [left, right]
    }

    /// The paint it is cut out for: as drawn, or cut through where a letter is parted.
    pub(super) fn paint(&self, line: &TextLine) -> Vec<Ring> {
        let cells = self.cells(line);
        if self.part.1 > 1 {
            let all: Vec<Ring> = cells.iter().flat_map(|c| c.shape.iter().cloned()).collect();
            return intersection(&all, &[Ring::from_points(self.outline)]);
        }
        cells.iter().flat_map(|c| c.drawn.iter().cloned()).collect()
    }

    /// A line across its middle, the short way.
    pub(super) fn hinge(&self) -> [Point; 2] {
        let [a, b, c, d] = self.outline;
        if self.wide() < c.y - a.y { [a.midpoint(d), b.midpoint(c)] } else { [a.midpoint(b), d.midpoint(c)] }
    }

    /// Ticks at the rim: baseline and cap line where a side is no lap, the middle of its letters below and above.
    pub(super) fn register(&self, mark: &Placed, line: &TextLine) -> Vec<[Point; 2]> {
        let [a, b, c, d] = self.outline;
        let mut out = Vec::new();
        let cells = self.cells(line);
        let base = cells.iter().map(|c| c.lo.y).fold(f64::INFINITY, f64::min);
        for y in [base, base + mark.height] {
            if y <= a.y + TICK || c.y - TICK <= y {
                continue;
            }
            let at = |p: Point, q: Point| p.lerp(q, (y - p.y) / (q.y - p.y));
            if self.sides[0].is_none() {
                let p = at(a, d);
                out.push([p, p + Vec2::new(TICK, 0.0)]);
            }
            if self.sides[1].is_none() {
                let p = at(b, c);
                out.push([p, p - Vec2::new(TICK, 0.0)]);
            }
        }
        let lo = cells.iter().map(|c| c.lo.x).fold(f64::INFINITY, f64::min);
        let hi = cells.iter().map(|c| c.hi.x).fold(f64::NEG_INFINITY, f64::max);
        let x = f64::midpoint(lo, hi);
        let first = self.part.0 == 0 && line.room[1].is_none();
        let last = self.part.0 + 1 == self.part.1 && line.room[0].is_none();
        if last {
            out.push([Point::new(x, a.y), Point::new(x, a.y + TICK)]);
        }
        if first {
            out.push([Point::new(x, c.y), Point::new(x, c.y - TICK)]);
        }
        out
    }
}
