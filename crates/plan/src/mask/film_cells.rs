//! The letters of a mark shared out into cells of film: each has its own stretch of the line, parted from its
//! neighbours along the middle of the gap. Letters that no straight cut can part share a cell.
//!
//! Everything here is level: baseline along x, the first letter's foot at 0.

use super::colours::Colour;
use super::film::{CLEAR, RIM};
use super::order::bounds;
use crate::fit::placed::Placed;
use geom::boolean::union;
use geom::{Affine, Point, Ring, Vec2};

/// Leans from upright that are tried for a cut between two letters, in steps of 5 degrees: as far as a V leans. chosen.
const LEANS: i32 = 6;
/// Share of the widest gap from which the letters' own lean is kept. chosen.
const OWN_LEAN: f64 = 0.7;

/// Letters that hang together on the film.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    /// Indices of the characters.
    pub(super) glyphs: Vec<usize>,
    /// What is painted: outlines cut into chords, each outside before its holes.
    pub(super) shape: Vec<Ring>,
    /// The same as it was drawn, arcs and all.
    pub(super) drawn: Vec<Ring>,
    /// The box round it.
    pub(super) lo: Point,
    pub(super) hi: Point,
}

/// The middle of a gap between two cells.
#[derive(Clone, Copy, Debug)]
pub(super) struct Divide {
    /// Where it meets y = 0.
    pub(super) foot: f64,
    /// How far it leans to the right for each mm up.
    pub(super) lean: f64,
    /// Distance to the paint on either side, mm.
    pub(super) half: f64,
}

impl Divide {
    /// Its x at a height.
    pub(super) fn x(&self, y: f64) -> f64 {
        self.foot + self.lean * y
    }

    /// Moved sideways, square to itself.
    pub(super) fn moved(&self, by: f64) -> Divide {
        Divide { foot: self.foot + by * (1.0 + self.lean * self.lean).sqrt(), ..*self }
    }
}

/// A line of the mark's text.
#[derive(Clone, Debug)]
pub(super) struct TextLine {
    /// Its cells, as they read.
    pub(super) cells: Vec<Cell>,
    /// The divides between them: one less than there are cells.
    pub(super) divides: Vec<Divide>,
    /// Where its film ends below and above without a lap: past the paint, or midway to the next line.
    pub(super) bottom: f64,
    pub(super) top: f64,
    /// Room, mm, that a lap over the next line's film has below and above; none at the mark's own rim.
    pub(super) room: [Option<f64>; 2],
}

/// The lines of a colour of a mark, the highest first; none if nothing is sprayed of it.
pub(super) fn lines_of(mark: &Placed, colour: &Colour, level_from_flat: Affine) -> Vec<TextLine> {
    let mut lines: Vec<(f64, Vec<Cell>)> = Vec::new();
    for (k, glyph) in mark.glyphs.iter().enumerate() {
        let Some(rings) = colour.glyphs.get(k).filter(|r| !r.is_empty()) else { continue };
        let drawn: Vec<Ring> = rings.iter().map(|r| r.mapped(level_from_flat)).collect();
        let shape = union(&drawn, &[]);
        let Some((lo, hi)) = bounds(&shape) else { continue };
        let base = (level_from_flat * glyph.corners[0].midpoint(glyph.corners[1])).y;
        let cell = Cell { glyphs: vec![k], shape, drawn, lo, hi };
        match lines.iter_mut().find(|(y, _)| (*y - base).abs() < mark.height / 2.0) {
            Some((_, cells)) => cells.push(cell),
            None => lines.push((base, vec![cell])),
        }
    }
    lines.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut cells: Vec<Vec<Cell>> = lines.into_iter().map(|(_, cells)| cells).collect();
    // Lines that no level cut parts are one.
    let mut k = 1;
    while k < cells.len() {
        if low(&cells[k - 1]) - high(&cells[k]) < 2.0 * CLEAR {
            let more = cells.remove(k);
            let one = cells[k - 1].drain(..).chain(more).reduce(joined);
            cells[k - 1] = one.into_iter().collect();
        } else {
            k += 1;
        }
    }
    let own_lean = mark.glyphs.first().map_or(0.0, |g| {
        let up = level_from_flat * g.corners[3] - level_from_flat * g.corners[0];
        if up.y > 0.0 { up.x / up.y } else { 0.0 }
    });
    let edges: Vec<[f64; 2]> = cells.iter().map(|c| [low(c), high(c)]).collect();
    let count = cells.len();
    cells
        .into_iter()
        .enumerate()
        .map(|(k, cells)| {
            let [low, high] = edges[k];
            let below = (k + 1 < count).then(|| (low - edges[k + 1][1]) / 2.0);
            let above = (k > 0).then(|| (edges[k - 1][0] - high) / 2.0);
            let (cells, divides) = parted(cells, own_lean);
            TextLine {
                cells,
                divides,
                bottom: low - below.unwrap_or(RIM),
                top: high + above.unwrap_or(RIM),
                room: [below, above],
            }
        })
        .collect()
}

fn low(cells: &[Cell]) -> f64 {
    cells.iter().map(|c| c.lo.y).fold(f64::INFINITY, f64::min)
}

fn high(cells: &[Cell]) -> f64 {
    cells.iter().map(|c| c.hi.y).fold(f64::NEG_INFINITY, f64::max)
}

fn joined(mut a: Cell, b: Cell) -> Cell {
    a.glyphs.extend(b.glyphs);
    a.shape.extend(b.shape);
    a.drawn.extend(b.drawn);
    a.lo = Point::new(a.lo.x.min(b.lo.x), a.lo.y.min(b.lo.y));
    a.hi = Point::new(a.hi.x.max(b.hi.x), a.hi.y.max(b.hi.y));
    a
}

/// Cells with the divides between them; neighbours without one are joined.
fn parted(cells: Vec<Cell>, own_lean: f64) -> (Vec<Cell>, Vec<Divide>) {
    let mut out: Vec<Cell> = Vec::new();
    let mut divides: Vec<Divide> = Vec::new();
    for cell in cells {
        let mut next = cell;
        while let Some(last) = out.pop() {
            match divide(&last, &next, own_lean) {
                Some(divide) => {
                    out.push(last);
                    divides.push(divide);
                    break;
                }
                None => {
                    next = joined(last, next);
                    divides.pop();
                }
            }
        }
        out.push(next);
    }
    (out, divides)
}

/// The straight cut between two cells: with the lean of the letters, or with another where that leaves clearly more.
fn divide(a: &Cell, b: &Cell, own_lean: f64) -> Option<Divide> {
    let at = |lean: f64| {
        let square = Vec2::new(1.0, -lean).normalize();
        let reach = |cell: &Cell, most: bool| {
            let all = cell.shape.iter().flat_map(|r| &r.vertices).map(|v| square.dot(v.p.to_vec2()));
            if most { all.fold(f64::NEG_INFINITY, f64::max) } else { all.fold(f64::INFINITY, f64::min) }
        };
        let (from, to) = (reach(a, true), reach(b, false));
        Divide { foot: f64::midpoint(from, to) / square.x, lean, half: (to - from) / 2.0 }
    };
    let own = at(own_lean);
    let best = (-LEANS..=LEANS)
        .map(|k| at((f64::from(k) * 5.0).to_radians().tan()))
        .fold(own, |best, d| if d.half * OWN_LEAN > best.half.max(own.half) { d } else { best });
    (best.half >= CLEAR).then_some(best)
}
