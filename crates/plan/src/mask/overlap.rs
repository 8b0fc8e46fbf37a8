//! Which pieces of tape lie over each other: all shapes of a mark, two by two, by what they share.
//!
//! Short straight lengths have no dents and are cut by each other's sides; of a long bent strip only the part near the
//! other piece is looked at.

use super::order::bounds;
use super::plan::Piece;
use geom::boolean::intersection;
use geom::tolerance::{NOISE_MM, TAPE_DENT_SINE, TAPE_TOUCH_MM2};
use geom::{Point, Ring};

/// A box: its lower left and its upper right corner.
type Box = (Point, Point);

/// For each piece, in the order of laying, the earlier ones it lies on.
pub(super) fn overlaps(pieces: &[Piece]) -> Vec<Vec<usize>> {
    let shapes: Vec<Option<Shape>> = pieces.iter().map(|p| Shape::new(&p.footprint)).collect();
    let mut by_x: Vec<(usize, &Shape)> =
        shapes.iter().enumerate().filter_map(|(i, s)| Some((i, s.as_ref()?))).collect();
    by_x.sort_by(|a, b| a.1.box_.0.x.total_cmp(&b.1.box_.0.x));
    let mut out = vec![Vec::new(); pieces.len()];
    for (n, (i, a)) in by_x.iter().enumerate() {
        for (j, b) in &by_x[n + 1..] {
            if b.box_.0.x >= a.box_.1.x {
                break;
            }
            if b.box_.0.y >= a.box_.1.y || a.box_.0.y >= b.box_.1.y {
                continue;
            }
            if touch(a, b) {
                out[*i.max(j)].push(*i.min(j));
            }
        }
    }
    for list in &mut out {
        list.sort_unstable();
    }
    out
}

/// A footprint ready to be asked.
struct Shape {
    box_: Box,
    kind: Sort,
}

enum Sort {
    /// Straight sides without dents, counter-clockwise.
    Convex(Vec<Point>),
    /// Anything else, ring by ring.
    Any(Vec<Corners>),
}

/// The corners of a ring with a box round every so many of them.
struct Corners {
    points: Vec<Point>,
    boxes: Vec<Box>,
}

/// Corners in one box.
const BLOCK: usize = 16;

impl Shape {
    fn new(rings: &[Ring]) -> Option<Shape> {
        let box_ = bounds(rings)?;
        let kind = match rings {
            [ring] if let Some(corners) = convex(ring) => Sort::Convex(corners),
            _ => Sort::Any(rings.iter().map(Corners::new).collect()),
        };
        Some(Shape { box_, kind })
    }

    /// Its rings as they are near a box; all that lies in the box is as it was.
    fn near(&self, near: Box) -> Vec<Vec<Point>> {
        match &self.kind {
            Sort::Convex(corners) => vec![corners.clone()],
            Sort::Any(rings) => rings.iter().map(|r| r.near(near)).filter(|p| p.len() > 2).collect(),
        }
    }
}

impl Corners {
    fn new(ring: &Ring) -> Corners {
        let points: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
        let boxes = points
            .chunks(BLOCK)
            .map(|block| {
                block.iter().fold((block[0], block[0]), |(lo, hi), p| {
                    (Point::new(lo.x.min(p.x), lo.y.min(p.y)), Point::new(hi.x.max(p.x), hi.y.max(p.y)))
                })
            })
            .collect();
        Corners { points, boxes }
    }

    /// Of corners that follow each other beyond one side of the box only the first and the last: the outline between
    /// them moves, but not into the box.
    fn near(&self, (lo, hi): Box) -> Vec<Point> {
        let mut out: Vec<Point> = Vec::new();
        // Beyond which sides the last two kept lie, as bits.
        let sides = |p: Point| {
            u8::from(p.x < lo.x)
                | u8::from(p.x > hi.x) << 1
                | u8::from(p.y < lo.y) << 2
                | u8::from(p.y > hi.y) << 3
        };
        let mut last = [0_u8; 2];
        let mut keep = |p: Point| {
            let s = sides(p);
            if out.len() >= 2 && last[0] & last[1] & s != 0 {
                out.pop();
            } else {
                last[0] = last[1];
            }
            last[1] = s;
            out.push(p);
        };
        for (block, b) in self.points.chunks(BLOCK).zip(&self.boxes) {
            let beyond = b.1.x < lo.x || b.0.x > hi.x || b.1.y < lo.y || b.0.y > hi.y;
            if beyond {
                keep(block[0]);
                keep(block[block.len() - 1]);
            } else {
                block.iter().for_each(|p| keep(*p));
            }
        }
        out
    }
}

/// Shared area, in touches, from which a sum over corners needs no second look, though loops of a strip that curls
/// count in it as often as it winds.
const SURE: f64 = 10.0;

/// True if two shapes share more than a touch.
fn touch(a: &Shape, b: &Shape) -> bool {
    // What they share lies in the box they share: the rest of a long strip need not be cut.
    let (x, y) = (a.box_, b.box_);
    let lo = Point::new(x.0.x.max(y.0.x) - 1.0, x.0.y.max(y.0.y) - 1.0);
    let hi = Point::new(x.1.x.min(y.1.x) + 1.0, x.1.y.min(y.1.y) + 1.0);
    match (&a.kind, &b.kind) {
        (Sort::Convex(p), Sort::Convex(q)) => return shared(p, q) > TAPE_TOUCH_MM2,
        (Sort::Convex(p), Sort::Any(_)) | (Sort::Any(_), Sort::Convex(p)) => {
            let other = if matches!(a.kind, Sort::Any(_)) { a } else { b };
            let area: f64 = other.near((lo, hi)).iter().map(|ring| shared(ring, p)).sum();
            if area > SURE * TAPE_TOUCH_MM2 {
                return true;
            }
            if area.abs() <= NOISE_MM {
                return false;
            }
        }
        (Sort::Any(_), Sort::Any(_)) => {}
    }
    let near = |s: &Shape| s.near((lo, hi)).into_iter().map(Ring::from_points).collect::<Vec<_>>();
    // Beyond the box shortened outlines may meet where the shapes do not.
    let both = intersection(&near(a), &near(b));
    let frame = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)];
    let corners = |r: &Ring| r.vertices.iter().map(|v| v.p).collect::<Vec<_>>();
    both.iter().map(|r| shared(&corners(r), &frame)).sum::<f64>() > TAPE_TOUCH_MM2
}

/// The corners of a straight-sided ring without dents.
pub(super) fn convex(ring: &Ring) -> Option<Vec<Point>> {
    let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let n = p.len();
    let bends = |i: usize| {
        let (u, v) = (p[(i + 1) % n] - p[i], p[(i + 2) % n] - p[(i + 1) % n]);
        let slack = TAPE_DENT_SINE * u.hypot() * v.hypot();
        // A side that comes straight back is a slit, not a straight corner.
        u.cross(v) > slack || (u.cross(v) >= -slack && u.dot(v) > 0.0)
    };
    (n <= 12 && (0..n).all(bends)).then_some(p)
}

/// Area a polygon shares with a convex one (counter-clockwise): it is cut by each side of that. Where it is cut to several
/// parts, lines that run there and back along the cut join them and have no area.
fn shared(a: &[Point], b: &[Point]) -> f64 {
    let mut left = a.to_vec();
    for i in 0..b.len() {
        let (p, way) = (b[i], b[(i + 1) % b.len()] - b[i]);
        let side = |q: Point| way.cross(q - p);
        let mut kept = Vec::with_capacity(left.len() + 1);
        for k in 0..left.len() {
            let (u, v) = (left[k], left[(k + 1) % left.len()]);
            let (su, sv) = (side(u), side(v));
            if su >= 0.0 {
                kept.push(u);
            }
            if (su > 0.0 && sv < 0.0) || (su < 0.0 && sv > 0.0) {
                kept.push(u.lerp(v, su / (su - sv)));
            }
        }
        left = kept;
        if left.len() < 3 {
            return 0.0;
        }
    }
    Ring::from_points(left).area()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The edge tape of a shadow's tip: its run-on passes the tip, and a slit is left where the needle of paint is.
    #[test]
    fn a_shape_with_a_slit_is_not_convex_and_its_overlap_is_found() {
        let ring = |p: &[(f64, f64)]| Ring::from_points(p.iter().map(|p| Point::from(*p)));
        let slit = ring(&[
            (2287.51, 446.68),
            (2276.5, 440.35),
            (2283.46, 428.24),
            (2354.41, 304.8),
            (2287.91, 420.5),
            (2405.03, 216.71),
            (2416.05, 223.04),
        ]);
        assert!(convex(&slit).is_none());
        let other = ring(&[(2281.24, 446.99), (2237.57, 385.84), (2247.9, 378.46), (2291.58, 439.61)]);
        // 125.26 mm2 by shapely 2.1.
        let shape = |r: Ring| Shape::new(&[r]).unwrap();
        assert!(touch(&shape(slit), &shape(other)));
    }
}
