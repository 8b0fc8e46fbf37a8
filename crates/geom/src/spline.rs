//! A smooth curve through measured points, as a spline batten laid against nails.
//!
//! Parametric cubic spline: x and y are cubics of one parameter between neighbouring points, position, direction
//! and bend continuous at the points, ends free (no bend). The parameter grows with the chord between points,
//! so that close points at a round nose and wide ones along a flat back are both drawn fairly.

use crate::point::{Point, Vec2};
use crate::quadrature::gauss;

/// A cubic spline through points.
#[derive(Clone, Debug)]
pub struct Spline {
    /// Parameter at each point, increasing from 0.
    knots: Vec<f64>,
    /// The points.
    points: Vec<Point>,
    /// Second derivative at each point.
    bends: Vec<Vec2>,
}

impl Spline {
    /// The spline through `points`, its parameter growing with the chord between neighbours to the `power`:
    /// 1 = chord length, 0.5 = centripetal.
    ///
    /// `None` for fewer than two points, neighbours that coincide, or a coordinate that is not finite.
    pub fn through(points: &[Point], power: f64) -> Option<Spline> {
        Spline::with_steps(points, points.windows(2).map(|w| w[0].distance(w[1]).powf(power)))
    }

    /// The spline through `points` whose parameter is near its own arc length: begun with chord length and
    /// refitted `passes` times with the length of each span. Where points are few at a round nose this is fairer
    /// than chord length; three passes leave the lengths at rest to about 1e-5 of themselves.
    ///
    /// `None` as for [`Spline::through`].
    pub fn by_arc_length(points: &[Point], passes: usize) -> Option<Spline> {
        let mut spline = Spline::through(points, 1.0)?;
        for _ in 0..passes {
            let length = |w: &[f64]| gauss(w[0], w[1], &|v| spline.derivative(v).hypot());
            let steps: Vec<f64> = spline.knots.windows(2).map(length).collect();
            spline = Spline::with_steps(points, steps)?;
        }
        Some(spline)
    }

    /// The spline whose parameter grows by these steps from point to point.
    fn with_steps(points: &[Point], steps: impl IntoIterator<Item = f64>) -> Option<Spline> {
        let mut knots = vec![0.0];
        for step in steps {
            let next = knots[knots.len() - 1] + step;
            if !next.is_finite() || next <= knots[knots.len() - 1] {
                return None;
            }
            knots.push(next);
        }
        if points.len() < 2 {
            return None;
        }
        let bends = bends(&knots, points);
        Some(Spline { knots, points: points.to_vec(), bends })
    }

    /// The parameter at each point, increasing from 0.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The point at parameter `v`; beyond the ends the end cubics run on.
    pub fn at(&self, v: f64) -> Point {
        let (i, h, a, b) = self.share(v);
        let bend = self.bends[i] * (a * a * a - a) + self.bends[i + 1] * (b * b * b - b);
        (self.points[i].to_vec2() * a + self.points[i + 1].to_vec2() * b + bend * (h * h / 6.0)).to_point()
    }

    /// The derivative of the point by the parameter at `v`.
    pub fn derivative(&self, v: f64) -> Vec2 {
        let (i, h, a, b) = self.share(v);
        let bend = self.bends[i + 1] * (3.0 * b * b - 1.0) - self.bends[i] * (3.0 * a * a - 1.0);
        (self.points[i + 1] - self.points[i]) / h + bend * (h / 6.0)
    }

    /// Span of `v`, its length, and the shares of its start and its end.
    fn share(&self, v: f64) -> (usize, f64, f64, f64) {
        let i = self.knots.partition_point(|&k| k <= v).clamp(1, self.knots.len() - 1) - 1;
        let h = self.knots[i + 1] - self.knots[i];
        (i, h, (self.knots[i + 1] - v) / h, (v - self.knots[i]) / h)
    }
}

/// Second derivatives of the cubic through `points` at increasing `knots` that make the first ones continuous, free
/// at the ends: a system with three diagonals, solved in one pass down and one up (it is diagonally dominant, so no
/// pivoting is needed).
pub fn bends(knots: &[f64], points: &[Point]) -> Vec<Vec2> {
    let n = points.len();
    let mut bends = vec![Vec2::ZERO; n];
    let mut above = vec![0.0; n];
    for i in 1..n.saturating_sub(1) {
        let (h0, h1) = (knots[i] - knots[i - 1], knots[i + 1] - knots[i]);
        let right = ((points[i + 1] - points[i]) / h1 - (points[i] - points[i - 1]) / h0) * 6.0;
        let pivot = 2.0 * (h0 + h1) - h0 * above[i - 1];
        above[i] = h1 / pivot;
        bends[i] = (right - bends[i - 1] * h0) / pivot;
    }
    for i in (1..n.saturating_sub(1)).rev() {
        bends[i] = bends[i] - bends[i + 1] * above[i];
    }
    bends
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn arc(n: usize) -> Vec<Point> {
        (0..=n).map(|i| Vec2::from_angle(PI * i as f64 / n as f64).to_point()).collect()
    }

    #[test]
    fn spline_passes_through_its_points_and_its_slope_is_its_derivative() {
        for power in [0.5, 1.0] {
            let points = [(0.0, 0.0), (1.0, 0.3), (1.5, 2.0), (4.0, 2.2), (4.1, 0.0)].map(Point::from);
            let s = Spline::through(&points, power).unwrap();
            for (i, p) in points.iter().enumerate() {
                assert!((s.at(s.knots()[i]) - *p).hypot() < 1e-14);
            }
            for v in [0.2, 1.1, 2.0, 3.3] {
                let h = 1e-6;
                let slope = (s.at(v + h) - s.at(v - h)) / (2.0 * h);
                assert!((slope - s.derivative(v)).hypot() < 1e-8, "at {v}");
            }
            // Position and slope go on across a point.
            let k = s.knots()[2];
            assert!((s.derivative(k - 1e-9) - s.derivative(k + 1e-9)).hypot() < 1e-7);
        }
    }

    #[test]
    fn spline_through_points_on_a_circle_nears_it_with_the_fourth_power_of_the_spacing_inside() {
        // Closed form: distance from the centre is 1. The ends are free, so the middle half is judged.
        let worst = |n: usize| {
            let s = Spline::through(&arc(n), 1.0).unwrap();
            let all = s.knots()[n];
            (0..=400)
                .map(|k| all * (0.25 + 0.5 * f64::from(k) / 400.0))
                .map(|v| (s.at(v).to_vec2().hypot() - 1.0).abs())
                .fold(0.0, f64::max)
        };
        let mut last = worst(16);
        for n in [32, 64, 128] {
            let now = worst(n);
            assert!(now < last / 12.0, "{n} points: {now:e} after {last:e}");
            last = now;
        }
    }

    #[test]
    fn parameter_by_arc_length_is_the_length_of_each_span() {
        let points = [(1.0, 0.0), (0.3, 0.1), (0.0, 0.0), (0.05, -0.04), (0.9, -0.02)].map(Point::from);
        let s = Spline::by_arc_length(&points, 8).unwrap();
        for w in s.knots().windows(2) {
            let n = 2000;
            let at = |i: i32| s.at(w[0] + (w[1] - w[0]) * f64::from(i) / f64::from(n));
            let length: f64 = (0..n).map(|i| at(i).distance(at(i + 1))).sum();
            assert!((length / (w[1] - w[0]) - 1.0).abs() < 1e-3, "{length} {w:?}");
        }
    }

    #[test]
    fn points_that_coincide_or_are_not_finite_make_no_spline() {
        let p = Point::new(1.0, 1.0);
        assert!(Spline::through(&[p], 1.0).is_none());
        assert!(Spline::through(&[p, p], 1.0).is_none());
        assert!(Spline::through(&[p, Point::new(f64::NAN, 0.0)], 1.0).is_none());
    }
}
