//! An area as convex pieces: what a search can measure depth in.
//!
//! The area is cut level at the height of every corner into slabs, and slabs are joined again where that leaves
//! them convex. Pieces also overlap across every cut that is left, so that a point deep inside the area is
//! inside some piece and an edge that runs along a cut is not taken for one that merely touches.

use crate::point::Point;
use crate::ring::Ring;
use crate::tolerance::{DISC_CUT_MM, NOISE_MM, PARALLEL_SINE};

/// Convex polygons, counter-clockwise, that together cover the area the rings wind round and nothing else
/// (outer rings counter-clockwise, holes clockwise). Arcs become chords within `DISC_CUT_MM` first.
pub fn pieces(rings: &[Ring]) -> Vec<Vec<Point>> {
    let outlines: Vec<Vec<Point>> = rings.iter().map(|r| r.flattened(DISC_CUT_MM)).collect();
    if let [outline] = outlines.as_slice() {
        let clean = without_straight_corners(outline);
        if clean.len() >= 3 && turns_left_only(&clean) {
            return vec![clean];
        }
    }
    let columns = columns(&outlines);
    let mut found: Vec<Vec<Point>> = columns.iter().map(Column::outline).filter(|o| o.len() >= 3).collect();
    for below in &columns {
        for above in &columns {
            found.extend(straddle(below, above));
        }
    }
    found
}

/// A convex stack of slabs: its left and right limits at rising heights.
struct Column {
    levels: Vec<Level>,
}

#[derive(Clone, Copy)]
struct Level {
    y: f64,
    left: f64,
    right: f64,
}

impl Column {
    fn outline(&self) -> Vec<Point> {
        let right = self.levels.iter().map(|l| Point::new(l.right, l.y));
        let left = self.levels.iter().rev().map(|l| Point::new(l.left, l.y));
        without_straight_corners(&right.chain(left).collect::<Vec<_>>())
    }

    fn top(&self) -> Level {
        self.levels[self.levels.len() - 1]
    }

    /// Takes a slab on top if it fits edge to edge and the whole stays convex.
    fn joins(&mut self, bottom: Level, top: Level) -> bool {
        let mine = self.top();
        let same = (mine.y - bottom.y).abs() <= NOISE_MM
            && (mine.left - bottom.left).abs() <= NOISE_MM
            && (mine.right - bottom.right).abs() <= NOISE_MM;
        if !same {
            return false;
        }
        self.levels.push(top);
        let n = self.levels.len();
        let (a, b, c) = (self.levels[n - 3], self.levels[n - 2], self.levels[n - 1]);
        let bend = |p: f64, q: f64, r: f64| (q - p) * (c.y - b.y) - (r - q) * (b.y - a.y);
        let convex = bend(a.right, b.right, c.right) >= 0.0 && bend(a.left, b.left, c.left) <= 0.0;
        if !convex {
            self.levels.pop();
        }
        convex
    }
}

fn columns(outlines: &[Vec<Point>]) -> Vec<Column> {
    let sides: Vec<(Point, Point)> =
        outlines.iter().flat_map(|o| (0..o.len()).map(|k| (o[k], o[(k + 1) % o.len()]))).collect();
    let mut heights: Vec<f64> = outlines.iter().flatten().map(|p| p.y).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() <= NOISE_MM);
    let mut columns: Vec<Column> = Vec::new();
    for w in heights.windows(2) {
        let (low, high) = (w[0], w[1]);
        let middle = f64::midpoint(low, high);
        // The sides that cross the slab from left to right, and which way they run.
        let mut across: Vec<(f64, f64, f64, i32)> = sides
            .iter()
            .filter(|(a, b)| (a.y < middle) != (b.y < middle))
            .map(|(a, b)| {
                let at = |y: f64| {
                    let share = ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0);
                    a.x + (b.x - a.x) * share
                };
                (at(middle), at(low), at(high), if a.y < b.y { 1 } else { -1 })
            })
            .collect();
        across.sort_by(|x, y| x.0.total_cmp(&y.0));
        let mut around = 0;
        let mut left = None;
        for (_, low_x, high_x, way) in across {
            let before = around;
            around -= way;
            if before == 0 {
                left = Some((low_x, high_x));
            } else if around == 0
                && let Some((low_left, high_left)) = left.take()
            {
                let bottom = Level { y: low, left: low_left, right: low_x };
                let top = Level { y: high, left: high_left, right: high_x };
                if !columns.iter_mut().any(|c| c.joins(bottom, top)) {
                    columns.push(Column { levels: vec![bottom, top] });
                }
            }
        }
    }
    columns
}

/// A kite across the level cut between two columns, inside both of them.
fn straddle(below: &Column, above: &Column) -> Option<Vec<Point>> {
    let (low, high) = (below.top(), above.levels[0]);
    if (low.y - high.y).abs() > NOISE_MM {
        return None;
    }
    let (left, right) = (low.left.max(high.left), low.right.min(high.right));
    if right - left <= NOISE_MM {
        return None;
    }
    let x = f64::midpoint(left, right);
    let up = reach(&above.levels, x)?;
    let mut downwards = below.levels.clone();
    downwards.reverse();
    let down = reach(&downwards, x)?;
    Some(vec![Point::new(left, low.y), Point::new(x, down), Point::new(right, low.y), Point::new(x, up)])
}

/// The height at which the upright line at `x` leaves a column, seen from its first level.
fn reach(levels: &[Level], x: f64) -> Option<f64> {
    let mut height = None;
    for w in levels.windows(2) {
        let (a, b) = (w[0], w[1]);
        // Share of the slab until either limit passes x.
        let until = |from: f64, to: f64| if to > from { (x - from) / (to - from) } else { 1.0 };
        let mirrored = |right: f64| 2.0 * x - right;
        let share = until(a.left, b.left).min(until(mirrored(a.right), mirrored(b.right))).clamp(0.0, 1.0);
        if share > 0.0 {
            height = Some(a.y + (b.y - a.y) * share);
        }
        if share < 1.0 {
            break;
        }
    }
    height
}

fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b - a).cross(c - b)
}

fn turns_left_only(outline: &[Point]) -> bool {
    let n = outline.len();
    let around: f64 = (0..n)
        .map(|k| {
            let (u, v) = (outline[(k + 1) % n] - outline[k], outline[(k + 2) % n] - outline[(k + 1) % n]);
            u.cross(v).atan2(u.dot(v))
        })
        .sum();
    // Once round only: a star turns left everywhere too.
    (0..n).all(|k| turn(outline[k], outline[(k + 1) % n], outline[(k + 2) % n]) > 0.0)
        && around < 1.5 * std::f64::consts::TAU
}

/// The outline without doubled corners and corners that do not turn.
fn without_straight_corners(outline: &[Point]) -> Vec<Point> {
    let mut distinct: Vec<Point> = Vec::with_capacity(outline.len());
    for p in outline {
        if distinct.last().is_none_or(|q| q.distance(*p) > NOISE_MM) {
            distinct.push(*p);
        }
    }
    while distinct.len() > 1 && distinct[0].distance(distinct[distinct.len() - 1]) <= NOISE_MM {
        distinct.pop();
    }
    let n = distinct.len();
    (0..n)
        .filter(|&k| {
            let (a, b, c) = (distinct[(k + n - 1) % n], distinct[k], distinct[(k + 1) % n]);
            turn(a, b, c).abs() > PARALLEL_SINE * a.distance(b) * b.distance(c)
        })
        .map(|k| distinct[k])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boolean::{difference, union};
    use proptest::prelude::*;

    fn ring(points: &[(f64, f64)]) -> Ring {
        Ring::from_points(points.iter().copied().map(Point::from))
    }

    fn joined(found: &[Vec<Point>]) -> Vec<Ring> {
        let rings: Vec<Ring> = found.iter().map(|p| Ring::from_points(p.clone())).collect();
        union(&rings, &[])
    }

    fn area(rings: &[Ring]) -> f64 {
        rings.iter().map(Ring::area).sum()
    }

    /// Against the overlay library: the pieces put together are the area, none reaches out of it.
    fn assert_covers(rings: &[Ring]) {
        let found = pieces(rings);
        for p in &found {
            assert!(turns_left_only(p), "a piece is convex and counter-clockwise: {p:?}");
        }
        let whole = union(rings, &[]);
        // A micrometre of grid along every edge is the most the two may differ by.
        let slack = whole.iter().map(Ring::perimeter).sum::<f64>() * 0.004;
        assert!(area(&difference(&whole, &joined(&found))) < slack);
        assert!(area(&difference(&joined(&found), &whole)) < slack);
    }

    #[test]
    fn a_plate_with_a_hole_and_a_hook_are_covered_by_their_pieces_and_no_more() {
        assert_covers(&[ring(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)])]);
        let hook = ring(&[(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (45.0, 40.0), (45.0, 12.0), (0.0, 12.0)]);
        assert_covers(&[hook]);
        let plate = ring(&[(0.0, 0.0), (90.0, 5.0), (80.0, 70.0), (-5.0, 60.0)]);
        assert_covers(&[plate, Ring::circle(Point::new(40.0, 30.0), 17.0).reversed()]);
    }

    #[test]
    fn no_point_inside_an_area_lies_on_the_rim_of_all_its_pieces() {
        let hook = ring(&[(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (45.0, 40.0), (45.0, 12.0), (0.0, 12.0)]);
        let found = pieces(&[hook]);
        assert!(found.len() >= 2);
        // The cut runs level at 12 from x = 45 to 60.
        for i in 1..15 {
            let p = Point::new(45.0 + f64::from(i), 12.0);
            let deepest = found
                .iter()
                .map(|o| {
                    (0..o.len())
                        .map(|k| {
                            let u = o[(k + 1) % o.len()] - o[k];
                            u.cross(p - o[k]) / u.hypot()
                        })
                        .fold(f64::INFINITY, f64::min)
                })
                .fold(f64::NEG_INFINITY, f64::max);
            assert!(deepest > 0.1, "{p:?} is {deepest} deep");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn any_star_is_covered_by_its_pieces(radii in proptest::collection::vec(5.0..60.0_f64, 3..12), turn in 0.0..1.0_f64) {
            let n = radii.len() as f64;
            let corners = radii.iter().enumerate().map(|(k, r)| {
                Point::ZERO + crate::point::Vec2::from_angle(turn + std::f64::consts::TAU * k as f64 / n) * *r
            });
            let star = Ring::from_points(corners);
            prop_assume!(star.area() > 50.0);
            assert_covers(&[star]);
        }
    }
}
