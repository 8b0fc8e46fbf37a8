//! The shape of a strip of tape on the flat skin: a path moved to the right, with its ends run on or cut.

use geom::point::{crossing, left_of};
use geom::tolerance::NOISE_MM;
use geom::{Point, Ring, Vec2};

/// Least cosine of half a turn at which neighbouring chords are still joined where they meet.
const SHARPEST: f64 = 0.25;

/// How one end of a strip is shaped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum EndShape {
    /// Runs on past the path by so many mm and is cut square.
    Square(f64),
    /// Cut along the line through the path's end in the direction of travel of the edge met there (paint on its
    /// left); before that it runs on by `extend` mm at most.
    Along {
        /// Direction of travel of the other edge.
        way: Vec2,
        /// How far the strip may run on, mm.
        extend: f64,
    },
}

/// A line `by` mm to the right of an open path.
pub(super) fn offset(path: &[Point], by: f64) -> Vec<Point> {
    let n = path.len();
    let right = |i: usize| -left_of((path[i + 1] - path[i]).normalize());
    (0..n)
        .map(|i| {
            if i == 0 {
                path[0] + right(0) * by
            } else if i == n - 1 {
                path[i] + right(i - 1) * by
            } else {
                joined(path[i], right(i - 1), right(i), by)
            }
        })
        .collect()
}

/// A line `by` mm to the right of a closed path that repeats its first point; it repeats its own.
pub(super) fn offset_closed(path: &[Point], by: f64) -> Vec<Point> {
    let n = path.len() - 1;
    let right = |i: usize| -left_of((path[(i % n) + 1] - path[i % n]).normalize());
    let mut out: Vec<Point> = (0..n).map(|i| joined(path[i], right(i + n - 1), right(i), by)).collect();
    out.push(out[0]);
    out
}

fn joined(p: Point, u: Vec2, v: Vec2, by: f64) -> Point {
    let middle = u + v;
    let half = (middle.hypot() / 2.0).max(SHARPEST);
    p + middle.normalize() * (by / half)
}

/// A strip of tape as it lies.
#[derive(Debug, Default)]
pub(super) struct Strip {
    /// Its outline, counter-clockwise; of a closed one the outer and the inner.
    pub(super) rings: Vec<Ring>,
    /// The triangles between its two sides, in the order of travel. Together they are the strip.
    pub(super) cells: Vec<Cell>,
}

/// A triangle of a strip.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell {
    /// Its corners.
    pub(super) corners: [Point; 3],
    /// How much the strip's left side has turned up to it, whichever way, radians.
    pub(super) turned: f64,
}

impl Strip {
    /// A strip as [`open_strip`] draws it.
    pub(super) fn open(path: &[Point], off: f64, width: f64, start: EndShape, finish: EndShape) -> Strip {
        let [left, right] = sides(path, off, width, start, finish);
        let cells = cells(&left, &right);
        Strip { rings: vec![outline(left, right)], cells }
    }

    /// A strip as [`closed_strip`] draws it.
    pub(super) fn closed(path: &[Point], off: f64, width: f64) -> Strip {
        let side = |by: f64| if by > 0.0 { offset_closed(path, by) } else { path.to_vec() };
        Strip { rings: closed_strip(path, off, width), cells: cells(&side(off), &side(off + width)) }
    }
}

/// The triangles between two lines that run beside each other.
fn cells(left: &[Point], right: &[Point]) -> Vec<Cell> {
    let mut out = Vec::with_capacity(left.len() + right.len());
    let (mut i, mut j, mut turned) = (0, 0, 0.0);
    while i + 1 < left.len() || j + 1 < right.len() {
        let ahead = |from: Point, to: Option<&Point>| to.map_or(f64::INFINITY, |to| from.distance(*to));
        // Across the shorter way.
        if ahead(right[j], left.get(i + 1)) <= ahead(left[i], right.get(j + 1)) {
            out.push(Cell { corners: [left[i], right[j], left[i + 1]], turned });
            if let Some(next) = left.get(i + 2) {
                let (u, v) = (left[i + 1] - left[i], *next - left[i + 1]);
                turned += u.cross(v).atan2(u.dot(v)).abs();
            }
            i += 1;
        } else {
            out.push(Cell { corners: [left[i], right[j], right[j + 1]], turned });
            j += 1;
        }
    }
    out
}

/// The shape of an open strip whose left side lies `off` mm right of `path` and which is `width` mm wide,
/// counter-clockwise.
pub(super) fn open_strip(path: &[Point], off: f64, width: f64, start: EndShape, finish: EndShape) -> Ring {
    let [left, right] = sides(path, off, width, start, finish);
    outline(left, right)
}

/// The two sides of an open strip in the order of travel, the left one first; what its ends have beside them goes with the
/// right one.
fn sides(path: &[Point], off: f64, width: f64, start: EndShape, finish: EndShape) -> [Vec<Point>; 2] {
    let n = path.len();
    let way0 = (path[1] - path[0]).normalize();
    let way1 = (path[n - 1] - path[n - 2]).normalize();
    let mut inner = if off > 0.0 { offset(path, off) } else { path.to_vec() };
    let mut outer = offset(path, off + width);
    let last = shape_end(&mut inner, &mut outer, path[n - 1], way1, off, width, finish);
    inner.reverse();
    outer.reverse();
    let first = shape_end(&mut inner, &mut outer, path[0], -way0, off, width, start);
    inner.reverse();
    outer.extend(first);
    outer.reverse();
    outer.extend(last);
    [inner, outer]
}

fn outline(left: Vec<Point>, right: Vec<Point>) -> Ring {
    // Back along the right side gives a clockwise walk; the strip is wanted counter-clockwise.
    let mut ring = left;
    ring.extend(right.into_iter().rev());
    ring.reverse();
    ring.dedup_by(|a, b| a.distance(*b) <= NOISE_MM);
    Ring::from_points(ring)
}

/// Runs both sides on at their last points, or cuts them along the other edge. The knee comes back where a cut
/// along an obtuse corner is cut off square.
fn shape_end(
    inner: &mut Vec<Point>,
    outer: &mut Vec<Point>,
    end: Point,
    way: Vec2,
    off: f64,
    width: f64,
    shape: EndShape,
) -> Option<Point> {
    match shape {
        EndShape::Square(past) => {
            for side in [inner, outer] {
                if let Some(last) = side.last_mut() {
                    *last += way * past;
                }
            }
            None
        }
        EndShape::Along { way: other, extend } => {
            let extended = extend > 0.0;
            for side in [&mut *inner, &mut *outer] {
                if extended && let Some(last) = side.last_mut() {
                    *last += way * extend;
                }
                cut_back(side, end, other);
            }
            // The far corner of a strip that stops before the other edge's line does: cut along the line first,
            // then square.
            let (a, b) = (*inner.last()?, *outer.last()?);
            let short = other.cross(b - end).abs() > NOISE_MM && extended;
            if !short {
                return None;
            }
            let knee = crossing(end, other, b, b - offset_back(b, way))?;
            let inside = (knee - a).dot(b - a) > 0.0 && (knee - a).hypot() <= 3.0 * (off + width);
            inside.then_some(knee)
        }
    }
}

/// A second point of the square line through `b`.
fn offset_back(b: Point, way: Vec2) -> Point {
    b + left_of(way)
}

/// Drops what lies left of the line through `end` along `other`, from the side's last point on.
fn cut_back(side: &mut Vec<Point>, end: Point, other: Vec2) {
    let left = |p: Point| other.cross(p - end);
    let mut last = None;
    while side.len() > 1 && side.last().is_some_and(|p| left(*p) > 0.0) {
        last = side.pop();
    }
    if let (Some(out), Some(kept)) = (last, side.last()) {
        let (a, b) = (left(*kept), left(out));
        if b - a > 0.0 {
            side.push(kept.lerp(out, -a / (b - a)));
        }
    }
}

/// The shape of a strip all round a closed path (first point repeated), as outlines that may be united.
pub(super) fn closed_strip(path: &[Point], off: f64, width: f64) -> Vec<Ring> {
    let ring = |by: f64| {
        let mut line = if by > 0.0 { offset_closed(path, by) } else { path.to_vec() };
        line.pop();
        Ring::from_points(line)
    };
    let (near, far) = (ring(off), ring(off + width));
    let (outer, inner) = if near.area().abs() > far.area().abs() { (near, far) } else { (far, near) };
    let ccw = |r: Ring| if r.area() < 0.0 { r.reversed() } else { r };
    vec![ccw(outer), ccw(inner).reversed()]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line() -> Vec<Point> {
        vec![Point::new(0.0, 0.0), Point::new(100.0, 0.0)]
    }

    #[test]
    fn a_run_on_strip_is_a_rectangle_right_of_its_path() {
        let ring = open_strip(&line(), 0.0, 12.7, EndShape::Square(5.0), EndShape::Square(7.0));
        assert!((ring.area() - 112.0 * 12.7).abs() < 1e-9);
        let (lo, hi) = ring.bounds().unwrap();
        assert!(
            (lo - Point::new(-5.0, -12.7)).hypot() < 1e-9 && (hi - Point::new(107.0, 0.0)).hypot() < 1e-9
        );
    }

    #[test]
    fn a_cut_follows_the_other_edge() {
        // Sharp wedge of 45 degrees: the far side is a width shorter. Travel of the other edge points back over
        // the strip with paint on its left.
        let way = Vec2::new(-1.0, -1.0).normalize();
        let cut = EndShape::Along { way, extend: 0.0 };
        let ring = open_strip(&line(), 0.0, 10.0, EndShape::Square(0.0), cut);
        assert!((ring.area() - (100.0 * 10.0 - 50.0)).abs() < 1e-9, "{}", ring.area());
        // Wedge of 135 degrees: the far side is a width longer.
        let way = Vec2::new(1.0, -1.0).normalize();
        let cut = EndShape::Along { way, extend: 30.0 };
        let ring = open_strip(&line(), 0.0, 10.0, EndShape::Square(0.0), cut);
        assert!((ring.area() - (100.0 * 10.0 + 50.0)).abs() < 1e-9, "{}", ring.area());
        // The same run on by half a width only: a corner is missing.
        let cut = EndShape::Along { way, extend: 5.0 };
        let ring = open_strip(&line(), 0.0, 10.0, EndShape::Square(0.0), cut);
        assert!((ring.area() - (100.0 * 10.0 + 50.0 - 12.5)).abs() < 1e-9, "{}", ring.area());
    }
}
