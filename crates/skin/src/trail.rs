//! A line drawn on triangles, so that every place of it is known to lie in one of them: a level cut, an open rim, a way.
//!
//! Its stretches are straight, each within one triangle. It can be walked by length, cut where some measure says, and the
//! exact way to it from anywhere beside it found.

use crate::around::Near;
use crate::taut::taut;
use crate::{Mesh, Spot};
use geom::Point3;
use geom::tolerance::{NOISE_MM, SETTLED_MM};
use std::collections::BinaryHeap;

mod level;

pub use level::{level, rims};

/// Most triangles looked through for the one a stretch lies in. chosen: a few rings of neighbours.
const MOST_NEAR: usize = 400;
/// Most times a foot is looked for closer; six are usual.
const CLOSER: usize = 40;
/// Most places of a line from which a foot is looked for: where it comes near more than once.
const MOST_FEET: usize = 8;
/// A foot known this closely, mm, is known: at a bend of the line a way errs by less than a hundredth of that.
const FOOT_MM: f64 = 0.01;

/// A line on triangles.
#[derive(Clone, Debug, PartialEq)]
pub struct Trail {
    points: Vec<Point3>,
    /// The triangle each stretch between two points lies in.
    triangles: Vec<u32>,
    /// Length along it at each point, mm.
    knots: Vec<f64>,
}

/// The nearest place of a line.
#[derive(Clone, Copy, Debug)]
pub struct Foot {
    /// Where on the line, mm from its start.
    pub s: f64,
    /// How far it is over the skin, mm.
    pub far: f64,
    /// The way there as one sets out, of unit length; zero on the line itself.
    pub toward: Point3,
}

impl Trail {
    /// Of points and the triangle of each stretch; stretches of no length are left out. `None` if nothing is left.
    pub fn new(points: Vec<Point3>, triangles: &[u32]) -> Option<Trail> {
        let mut trail = Trail { points: vec![*points.first()?], triangles: Vec::new(), knots: vec![0.0] };
        for (p, t) in points[1..].iter().zip(triangles) {
            let far = p.distance(trail.points[trail.points.len() - 1]);
            if far > NOISE_MM {
                trail.points.push(*p);
                trail.triangles.push(*t);
                trail.knots.push(trail.length() + far);
            }
        }
        (!trail.triangles.is_empty()).then_some(trail)
    }

    /// Along a way over the skin whose points lie on sides, in triangles and at corners, from a spot on.
    pub fn of_way(mesh: &Mesh, from: Spot, points: &[Point3]) -> Option<Trail> {
        let mut t = from.triangle;
        let mut triangles = Vec::with_capacity(points.len());
        for w in points.windows(2) {
            t = near_by(mesh, t, w[0].midpoint(w[1])).triangle;
            triangles.push(t);
        }
        Trail::new(points.to_vec(), &triangles)
    }

    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.knots[self.knots.len() - 1]
    }

    /// Its points.
    pub fn points(&self) -> &[Point3] {
        &self.points
    }

    /// Length along it at each, mm.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// True if it ends where it starts.
    pub fn closed(&self) -> bool {
        self.points[0].distance(self.points[self.points.len() - 1]) <= NOISE_MM
    }

    /// The stretch in which the place `s` mm along lies.
    fn stretch(&self, s: f64) -> usize {
        self.knots.partition_point(|k| *k <= s).clamp(1, self.triangles.len()) - 1
    }

    /// The spot `s` mm along; beyond its ends they themselves.
    pub fn at(&self, mesh: &Mesh, s: f64) -> Spot {
        let k = self.stretch(s);
        let share = ((s - self.knots[k]) / (self.knots[k + 1] - self.knots[k])).clamp(0.0, 1.0);
        Spot::on(mesh, self.triangles[k], self.points[k].lerp(self.points[k + 1], share))
    }

    /// Which way it runs `s` mm along, of unit length.
    pub fn way(&self, s: f64) -> Point3 {
        let k = self.stretch(s);
        (self.points[k + 1] - self.points[k]).normalize_or_zero()
    }

    /// The same line walked the other way.
    pub fn reversed(&self) -> Trail {
        let whole = self.length();
        Trail {
            points: self.points.iter().rev().copied().collect(),
            triangles: self.triangles.iter().rev().copied().collect(),
            knots: self.knots.iter().rev().map(|s| whole - s).collect(),
        }
    }

    /// This line and then another that starts where it ends.
    pub fn then(mut self, next: &Trail) -> Trail {
        let whole = self.length();
        self.points.extend(&next.points[1..]);
        self.triangles.extend(&next.triangles);
        self.knots.extend(next.knots[1..].iter().map(|s| whole + s));
        self
    }

    /// The pieces of it at which `measure`, which changes evenly along each stretch, is 0 or more. One that was closed and
    /// is cut is walked from cut to cut.
    pub fn kept(&self, measure: &impl Fn(Point3) -> f64) -> Vec<Trail> {
        let values: Vec<f64> = self.points.iter().map(|p| measure(*p)).collect();
        if values.iter().all(|v| 0.0 <= *v) {
            return vec![self.clone()];
        }
        let n = self.triangles.len();
        // A closed one starts where it is out.
        let first = if self.closed() { values[..n].iter().position(|v| *v < 0.0).unwrap_or(0) } else { 0 };
        let mut pieces: Vec<(Vec<Point3>, Vec<u32>)> = Vec::new();
        let mut open = false;
        for k in (0..n).map(|k| (first + k) % n) {
            let (a, b) = (values[k], values[k + 1]);
            let cut = || self.points[k].lerp(self.points[k + 1], (a / (a - b)).clamp(0.0, 1.0));
            if 0.0 <= a && !open {
                pieces.push((vec![self.points[k]], vec![]));
            } else if a < 0.0 && 0.0 <= b {
                pieces.push((vec![cut()], vec![]));
            }
            open = 0.0 <= b;
            if (0.0 <= a || 0.0 <= b)
                && let Some((points, triangles)) = pieces.last_mut()
            {
                points.push(if 0.0 <= b { self.points[k + 1] } else { cut() });
                triangles.push(self.triangles[k]);
            }
        }
        pieces.into_iter().filter_map(|(points, triangles)| Trail::new(points, &triangles)).collect()
    }

    /// The stretch of it between two lengths along it, mm.
    pub fn part(&self, from: f64, to: f64) -> Option<Trail> {
        let (a, b) = (from.max(0.0), to.min(self.length()));
        if !(a < b) {
            return None;
        }
        let (first, last) = (self.stretch(a), self.stretch(b));
        let place = |k: usize, s: f64| {
            let share = (s - self.knots[k]) / (self.knots[k + 1] - self.knots[k]);
            self.points[k].lerp(self.points[k + 1], share.clamp(0.0, 1.0))
        };
        let inner = self.points[first + 1..=last].iter().copied();
        let points = [place(first, a)].into_iter().chain(inner).chain([place(last, b)]).collect();
        Trail::new(points, &self.triangles[first..=last])
    }

    /// The place of it nearest to a spot, over the skin: the way there is taut, its length exact on the triangles. `None`
    /// where none is found.
    pub fn foot(&self, mesh: &Mesh, from: Spot) -> Option<Foot> {
        let here = from.point(mesh);
        let far: Vec<f64> = self.points.iter().map(|p| p.distance(here)).collect();
        let last = far.len() - 1;
        let mut starts: Vec<usize> = (0..=last)
            .filter(|k| (*k == 0 || far[*k] <= far[k - 1]) && (*k == last || far[*k] < far[k + 1]))
            .collect();
        starts.sort_by(|a, b| far[*a].total_cmp(&far[*b]));
        let mut best: Option<Foot> = None;
        for k in starts.into_iter().take(MOST_FEET) {
            // No way over the skin is shorter than the one through space.
            let long = if k == 0 { 0.0 } else { self.knots[k] - self.knots[k - 1] };
            if best.is_some_and(|b| b.far <= far[k] - long) {
                continue;
            }
            if let Some(foot) = self.foot_near(mesh, from, self.knots[k])
                && best.is_none_or(|b| foot.far < b.far)
            {
                best = Some(foot);
            }
        }
        best
    }

    /// The same from a first guess: what the way's length changes by along the line is brought to nothing, between two
    /// places at which it has the two signs.
    fn foot_near(&self, mesh: &Mesh, from: Spot, guess: f64) -> Option<Foot> {
        let whole = self.length();
        let look = |s: f64| -> Option<(Foot, f64)> {
            let way = taut(mesh, from, self.at(mesh, s))?;
            let n = way.points.len();
            if n < 2 || way.length <= SETTLED_MM {
                return Some((Foot { s, far: way.length, toward: Point3::ZERO }, 0.0));
            }
            let arrives = (way.points[n - 1] - way.points[n - 2]).normalize_or_zero();
            let toward = (way.points[1] - way.points[0]).normalize_or_zero();
            Some((Foot { s, far: way.length, toward }, arrives.dot(self.way(s))))
        };
        let (mut best, mut slope) = look(guess)?;
        let (mut low, mut high) = ((0.0, f64::NEG_INFINITY), (whole, f64::INFINITY));
        for _ in 0..CLOSER {
            let met = (best.far * slope).abs() <= FOOT_MM;
            if met || (slope < 0.0 && whole <= best.s) || (0.0 < slope && best.s <= 0.0) {
                break;
            }
            if slope < 0.0 {
                low = (best.s, slope)
            } else {
                high = (best.s, slope)
            }
            if high.0 - low.0 <= FOOT_MM {
                break;
            }
            // Straight on as if the skin were flat there; inside what is known to hold it.
            let mut next = best.s - best.far * slope;
            if !(low.0 < next && next < high.0) || (low.1.is_finite() && high.1.is_finite()) {
                let between = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
                let inner = (high.0 - low.0) / 8.0;
                next = if between.is_finite() {
                    between.clamp(low.0 + inner, high.0 - inner)
                } else {
                    next.clamp(low.0, high.0)
                };
            }
            let Some((foot, to)) = look(next) else { break };
            (best, slope) = (foot, to);
        }
        Some(best)
    }
}

/// The spot nearest to a point near a triangle: that one and its neighbours are looked through until one holds it.
pub fn near_by(mesh: &Mesh, triangle: u32, point: Point3) -> Spot {
    let mut met = vec![triangle];
    let far = |t: u32| {
        let spot = Spot::on(mesh, t, point);
        (spot, spot.point(mesh).distance(point))
    };
    let first = far(triangle);
    let mut queue = BinaryHeap::from([Near(first.1, triangle)]);
    let mut best = first;
    while let Some(Near(_, t)) = queue.pop() {
        if best.1 <= NOISE_MM || MOST_NEAR < met.len() {
            break;
        }
        for side in 3 * t..3 * t + 3 {
            let Some(other) = mesh.across(side).map(|s| s / 3) else { continue };
            if met.contains(&other) {
                continue;
            }
            met.push(other);
            let found = far(other);
            if found.1 < best.1 {
                best = found;
            }
            queue.push(Near(found.1, other));
        }
    }
    best.0
}

#[cfg(test)]
mod tests;
