//! Whether a strip lies clear of all paint as it is drawn, so that nothing need be cut from it.
//!
//! A strip is asked triangle by triangle: no paint edge may enter one, and the triangles may not lie over each other. It
//! answers yes only where that is sure; what it does not know is left to be cut from the paint (`edge::off_paint`).

use super::channel::{Bit, Field};
use super::overlap::{apart, around, convex};
use super::strip::{Cell, Strip};
use super::tab::enters;
use geom::tolerance::NOISE_MM;
use geom::winding::contains;
use geom::{Point, Ring};
use std::f64::consts::{FRAC_PI_6, PI};

/// A box: its lower left and its upper right corner.
type Box = (Point, Point);

/// Most triangles of a strip in one box, and most that it turns in one, radians.
const BLOCK: (usize, f64) = (32, FRAC_PI_6);
/// Turn, radians, up to which a strip that is folded nowhere cannot lie over itself. A line that nowhere bends more tightly
/// than a circle and turns by less than half keeps its ends at least as far apart as on the circle (Schur's theorem on
/// arcs), so that the far side of the strip never comes back to its near one. chosen: less than that by a quarter.
const SURE: f64 = 0.75 * PI;

/// True if no paint lies under a strip and no part of it lies over another. `middle`: a point within it.
pub(super) fn clear_of_paint(
    field: &Field,
    paint: &[(Vec<Ring>, Box)],
    strip: &Strip,
    middle: Point,
) -> bool {
    let inside = |(rings, (lo, hi)): &(Vec<Ring>, Box)| {
        lo.x <= middle.x
            && middle.x <= hi.x
            && lo.y <= middle.y
            && middle.y <= hi.y
            && contains(rings, middle)
    };
    let edges_clear = match strip.rings.as_slice() {
        [ring] if let Some(corners) = convex(ring) => {
            !field.near(&corners, 0.0).iter().any(|b| enters(&corners, b.a, b.b, NOISE_MM))
        }
        rings => bent_clear(field, &strip.cells, rings.len() > 1),
    };
    edges_clear && !paint.iter().any(inside)
}

/// The same of a bent strip; `closed`: its end is its start.
fn bent_clear(field: &Field, cells: &[Cell], closed: bool) -> bool {
    let mut cells = cells.to_vec();
    // Without skin nothing is entered.
    cells.retain(|c| area(c).abs() > NOISE_MM);
    if cells.iter().any(|c| area(c) < 0.0) {
        return false;
    }
    let blocks = blocks(&cells);
    let whole = around(blocks.iter().flat_map(|b| [b.box_.0, b.box_.1]));
    if !laid_once(&blocks, closed) {
        return false;
    }
    field.stretches(whole).all(|(bits, box_)| {
        let near = blocks.iter().filter(|b| !apart(b.box_, box_));
        near.into_iter().all(|block| bits.iter().all(|bit| !block.entered(bit)))
    })
}

/// Twice the area of a triangle, mm2; positive as the sides of a strip run.
fn area(c: &Cell) -> f64 {
    let [a, b, c] = c.corners;
    (b - a).cross(c - a)
}

/// Some triangles of a strip, one after the other.
struct Block<'a> {
    cells: &'a [Cell],
    box_: Box,
}

impl<'a> Block<'a> {
    fn new(cells: &'a [Cell]) -> Block<'a> {
        Block { cells, box_: around(cells.iter().flat_map(|c| c.corners)) }
    }

    /// True if a bit of paint edge passes through the inside of one of its triangles.
    fn entered(&self, bit: &Bit) -> bool {
        let box_ = around([bit.a, bit.b]);
        !apart(self.box_, box_)
            && self
                .cells
                .iter()
                .any(|c| !apart(around(c.corners), box_) && enters(&c.corners, bit.a, bit.b, NOISE_MM))
    }
}

/// The triangles in their order, box by box.
fn blocks(cells: &[Cell]) -> Vec<Block<'_>> {
    let mut out = Vec::new();
    let mut from = 0;
    for k in 1..=cells.len() {
        let full = |last: &Cell| k - from == BLOCK.0 || last.turned - cells[from].turned > BLOCK.1;
        if cells.get(k).is_none_or(full) {
            out.push(Block::new(&cells[from..k]));
            from = k;
        }
    }
    out
}

/// True if no part of a strip lies over another: what lies so far apart along it that it might must not be near.
fn laid_once(blocks: &[Block<'_>], closed: bool) -> bool {
    let turned = |b: &Block<'_>| (b.cells[0].turned, b.cells[b.cells.len() - 1].turned);
    let all = blocks.last().map_or(0.0, |b| turned(b).1);
    blocks.iter().enumerate().all(|(i, a)| {
        blocks[i + 1..].iter().all(|b| {
            let turn = turned(b).1 - turned(a).0;
            // Round a closed strip the other way may be the shorter one.
            let back = all - turned(b).0 + turned(a).1;
            turn < SURE || (closed && back < SURE) || apart(a.box_, b.box_)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::super::outline::{Run, runs_of_ring};
    use super::super::strip::EndShape;
    use super::*;
    use geom::boolean::{difference, union};
    use geom::{Affine, Vec2};

    fn asked(paint: &[Ring], strip: &Strip) -> bool {
        let mut runs: Vec<Run> = Vec::new();
        for (k, ring) in paint.iter().enumerate() {
            runs_of_ring(ring, 0, k as i32, &mut runs);
        }
        let boxes = super::super::order::bounds(paint).unwrap();
        // Nothing here lies wholly within paint.
        clear_of_paint(&Field::new(&runs, 30.0), &[(paint.to_vec(), boxes)], strip, Point::new(-1e4, -1e4))
    }

    fn round(radius: f64, from: f64, turn: f64) -> Vec<Point> {
        (0..=90).map(|k| Point::ZERO + Vec2::from_angle(from + turn * f64::from(k) / 90.0) * radius).collect()
    }

    /// Against the boolean: a strip round a disc of paint, and another disc moved step by step into it.
    #[test]
    fn a_bent_strip_is_clear_where_cutting_takes_nothing() {
        let mut path = round(100.0, 0.0, std::f64::consts::TAU);
        path[90] = path[0];
        let disc = Ring::from_points(path[..90].iter().copied());
        let strip = Strip::closed(&path, 0.0, 12.0);
        assert!(asked(std::slice::from_ref(&disc), &strip));
        let area = |rings: &[Ring]| rings.iter().map(Ring::area).sum::<f64>();
        let (mut clear, mut not) = (0, 0);
        for step in 0..40 {
            let way = Vec2::from_angle(f64::from(step));
            let other = disc.mapped(Affine::translate(way * (208.0 + 0.213 * f64::from(step))));
            let lost = area(&strip.rings) - area(&difference(&strip.rings, std::slice::from_ref(&other)));
            let told = asked(&[disc.clone(), other], &strip);
            if told {
                assert!(lost.abs() < 0.1, "{step}: {lost}");
                clear += 1;
            } else {
                assert!(lost > -0.1 && step < 22, "{step}: {lost}");
                not += 1;
            }
        }
        assert!(clear > 10 && not > 10, "{clear} {not}");
    }

    #[test]
    fn a_strip_that_folds_or_curls_over_itself_is_not() {
        let far = [Ring::circle(Point::new(1e3, 0.0), 5.0)];
        let flat = EndShape::Square(0.0);
        // Bending right about a radius less than its width it folds; about a greater one it does not.
        for (radius, clear) in [(8.0, false), (16.0, true)] {
            let strip = Strip::open(&round(radius, 0.0, -2.0), 0.0, 12.0, flat, flat);
            assert_eq!(asked(&far, &strip), clear, "{radius}");
        }
        // Round three quarters of a square with round corners, both ends run on across each other.
        let mut path = vec![Point::new(60.0, -20.0)];
        for (k, centre) in [(0.0, (50.0, 50.0)), (1.0, (-50.0, 50.0)), (2.0, (-50.0, -50.0))] {
            let centre = Point::new(centre.0, centre.1);
            path.extend((0..=30).map(|i| {
                centre + Vec2::from_angle((k + f64::from(i) / 30.0) * std::f64::consts::FRAC_PI_2) * 10.0
            }));
        }
        path.push(Point::new(20.0, -60.0));
        for (past, clear) in [(10.0, true), (50.0, false)] {
            let strip = Strip::open(&path, 0.0, 12.0, EndShape::Square(past), EndShape::Square(past));
            assert_eq!(asked(&far, &strip), clear, "{past}");
        }
        // A coil whose rounds lie 9 mm apart, and one whose rounds lie 15 mm apart.
        for (pitch, clear) in [(9.0, false), (15.0, true)] {
            let coil: Vec<Point> = (0..=400)
                .map(|k| {
                    let turn = f64::from(k) / 400.0 * 11.0;
                    Point::ZERO + Vec2::from_angle(turn) * (150.0 - pitch * turn / std::f64::consts::TAU)
                })
                .collect();
            let strip = Strip::open(&coil, 0.0, 12.0, flat, flat);
            let area = |rings: &[Ring]| rings.iter().map(Ring::area).sum::<f64>();
            let once = (area(&strip.rings) - area(&union(&strip.rings, &[]))).abs() < 0.1;
            assert_eq!(once, clear, "{pitch}");
            assert!(clear || !asked(&far, &strip), "{pitch}");
        }
    }
}
