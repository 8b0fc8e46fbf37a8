//! Rings divided into equal shares of girth, and the bends of the curves through them.

use super::{Ring, measured};
use geom::{Point, Vec2};

/// Points of a fine polygon round a superellipse from which its shares are read. chosen.
const FINE: usize = 4096;

/// The ring from the top over the right side (y above 0) to the bottom and back, at equal shares of girth.
pub(super) fn divided(ring: &Ring, shares: usize) -> Result<Vec<Vec2>, &'static str> {
    let half: Vec<Vec2> = match ring {
        Ring::Superellipse { half_width, top, bottom, power } => {
            let finite = [half_width, top, bottom, power].iter().all(|v| v.is_finite());
            if !finite || *half_width <= 0.0 || top <= bottom {
                return Err("half width must be over 0 and top above bottom");
            }
            if *power < 1.0 {
                return Err("power must be 1 or more; 2 is an ellipse");
            }
            superellipse(*half_width, *top, *bottom, *power)
        }
        Ring::Points(points) => half_of_points(points)?,
    };
    let lengths: Vec<f64> = std::iter::once(0.0)
        .chain(half.windows(2).scan(0.0, |sum, w| {
            *sum += (w[1] - w[0]).hypot();
            Some(*sum)
        }))
        .collect();
    let whole = lengths[lengths.len() - 1];
    let n = shares / 2;
    let at = |k: usize| {
        let wanted = whole * k as f64 / n as f64;
        let i = lengths.partition_point(|l| *l <= wanted).clamp(1, half.len() - 1);
        let part = ((wanted - lengths[i - 1]) / (lengths[i] - lengths[i - 1])).clamp(0.0, 1.0);
        half[i - 1].lerp(half[i], part)
    };
    let down: Vec<Vec2> = (0..=n).map(at).collect();
    let left = down[1..n].iter().rev().map(|p| Vec2::new(-p.x, p.y));
    Ok(down.iter().copied().chain(left).collect())
}

/// Half width and height from top to bottom.
fn superellipse(half_width: f64, top: f64, bottom: f64, power: f64) -> Vec<Vec2> {
    let (middle, half_height) = (top.midpoint(bottom), (top - bottom) / 2.0);
    let pulled = |v: f64| v.abs().powf(2.0 / power).copysign(v);
    let one = |k: usize| {
        let (sin, cos) = (std::f64::consts::PI * k as f64 / FINE as f64).sin_cos();
        // Exactly on the middle line at both ends.
        let across = if k == 0 || k == FINE { 0.0 } else { pulled(sin) };
        Vec2::new(half_width * across, middle + half_height * pulled(cos))
    };
    (0..=FINE).map(one).collect()
}

fn half_of_points(points: &[Point]) -> Result<Vec<Vec2>, &'static str> {
    if points.len() < 4 {
        return Err("a ring takes four measured points or more, top to bottom");
    }
    if points.iter().any(|p| !p.is_finite() || p.x < 0.0) {
        return Err("half widths are 0 or more");
    }
    let (first, last) = (points[0], points[points.len() - 1]);
    if first.x != 0.0 || last.x != 0.0 || first.y <= last.y {
        return Err(
            "points run from the middle of the top (half width 0) to the middle of the bottom (half width 0)",
        );
    }
    let curve = measured(points).ok_or("two neighbouring points are one")?;
    // The middle lap, its first half.
    let laps = 2 * (points.len() - 1);
    let (from, to) = (curve.knots()[laps], curve.knots()[laps + points.len() - 1]);
    let at = |k: usize| {
        let p = curve.at(from + (to - from) * k as f64 / FINE as f64);
        Vec2::new(if k == 0 || k == FINE { 0.0 } else { p.x }, p.y)
    };
    let half: Vec<Vec2> = (0..=FINE).map(at).collect();
    if half.iter().any(|p| p.x < -0.001) {
        return Err("the curve through the points crosses the middle line: measure more points there");
    }
    Ok(half)
}

/// Second derivatives of the closed curve through values one apart.
pub(super) fn periodic(values: &[Vec2]) -> Vec<Vec2> {
    let n = values.len();
    let wanted: Vec<Vec2> =
        (0..n).map(|k| (values[(k + 1) % n] - values[k] * 2.0 + values[(k + n - 1) % n]) * 6.0).collect();
    // The matrix 1 4 1 all round has an inverse whose rows fall off by (sqrt 3 - 2) a place: sum until it is nothing.
    let ratio = 3.0_f64.sqrt() - 2.0;
    let reach = (n / 2).min(28);
    let scale = 1.0 / (2.0 * 3.0_f64.sqrt());
    let one = |k: usize| {
        let mut sum = wanted[k];
        let mut weight = 1.0;
        for d in 1..=reach {
            weight *= ratio;
            sum += (wanted[(k + d) % n] + wanted[(k + n - d % n) % n]) * weight;
        }
        sum * scale
    };
    (0..n).map(one).collect()
}
