//! A bent line followed by straight lengths of tape: as few as keep within so much of it on either side.

use geom::point::left_of;
use geom::tolerance::{NOISE_MM, NOISE_UNIT};
use geom::{Point, Vec2};

/// Half the length, mm, over which it is told which way a line bends. chosen: a few chords of a letter's curve.
const BEND_REACH: f64 = 5.0;
/// Turn over that length, radians, up to which the line counts as straight. chosen: half a degree.
const STRAIGHT: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// Least cosine of the turn between a length and the line at its ends: no length cuts off more than 120 degrees.
const TURN: f64 = 0.5;
/// Times the limits are halved down to even the lengths out.
const HALVINGS: u32 = 5;

/// Corners of straight lengths along `line` (paint on its left; a closed one repeats its first point), nowhere farther
/// than `inside` mm to its left or `outside` mm to its right. The ends of an open line stay; as many lengths as
/// a walk from end to end needs that takes each as long as it can, then evened out.
///
/// Round a bend the corners lie on its outer side and the middles on its inner one, so that both sides are used.
pub(super) fn chords(line: &[Point], closed: bool, inside: f64, outside: f64) -> Vec<Point> {
    if line.len() < 3 {
        return line.to_vec();
    }
    let rights = rights(line, closed);
    let bends = bends(line, closed);
    let walk = |share: f64| walk(line, &rights, &bends, closed, inside * share, outside * share);
    let mut best = walk(1.0);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let share = f64::midpoint(low, high);
        let even = walk(share);
        if even.len() == best.len() {
            (best, high) = (even, share);
        } else {
            low = share;
        }
    }
    best
}

/// Unit directions to the right of a line at its points.
fn rights(line: &[Point], closed: bool) -> Vec<Vec2> {
    let n = line.len();
    let way = |i: usize| (line[i + 1] - line[i]).normalize();
    (0..n)
        .map(|i| {
            let (before, after) = match (i, closed) {
                (0, true) => (n - 2, 0),
                (0, false) => (0, 0),
                (i, true) if i + 1 == n => (n - 2, 0),
                (i, false) if i + 1 == n => (n - 2, n - 2),
                (i, _) => (i - 1, i),
            };
            -left_of((way(before) + way(after)).normalize())
        })
        .collect()
}

/// Which way a line bends at its points: 1 left, -1 right, 0 not; 0 at the ends of an open one.
fn bends(line: &[Point], closed: bool) -> Vec<f64> {
    let n = line.len();
    let mut at = vec![0.0; n];
    for i in 1..n {
        at[i] = at[i - 1] + line[i - 1].distance(line[i]);
    }
    let long = at[n - 1];
    // The first length that reaches so far along and has one.
    let way = |s: f64| {
        let s = if closed { s.rem_euclid(long) } else { s.clamp(0.0, long) };
        let k = at[1..n - 1].partition_point(|end| *end < s || *end <= 0.0);
        (line[k + 1] - line[k]).normalize()
    };
    let least = STRAIGHT.tan();
    (0..n)
        .map(|i| {
            if !closed && (i == 0 || i + 1 == n) {
                return 0.0;
            }
            let (u, v) = (way(at[i] - BEND_REACH), way(at[i] + BEND_REACH));
            let (sine, cosine) = (u.cross(v), u.dot(v));
            if cosine <= 0.0 || sine.abs() > least * cosine { sine.signum() } else { 0.0 }
        })
        .collect()
}

fn walk(
    line: &[Point],
    rights: &[Vec2],
    bends: &[f64],
    closed: bool,
    inside: f64,
    outside: f64,
) -> Vec<Point> {
    let n = line.len();
    let corner = |i: usize| {
        let by = if bends[i] > 0.0 { outside } else { inside };
        line[i] + rights[i] * (bends[i] * by)
    };
    let good = |i: usize, j: usize| {
        let (a, b) = (corner(i), corner(j));
        let way = b - a;
        let long = way.hypot();
        if long <= NOISE_MM {
            return false;
        }
        let way = way / long;
        let (first, last) = (line[i + 1] - line[i], line[j] - line[j - 1]);
        way.dot(first) >= TURN * first.hypot()
            && way.dot(last) >= TURN * last.hypot()
            && (i + 1..j).all(|k| {
                // The line lies left of a length that has gone to the right.
                let right = way.cross(line[k] - a);
                -inside - NOISE_UNIT <= right && right <= outside + NOISE_UNIT
            })
    };
    let mut out = vec![corner(0)];
    let mut from = 0;
    while from + 1 < n {
        let (mut to, mut step) = (from + 1, 1);
        while to + step < n && good(from, to + step) {
            to += step;
            step *= 2;
        }
        while step > 0 {
            if to + step < n && good(from, to + step) {
                to += step;
            }
            step /= 2;
        }
        out.push(corner(to));
        from = to;
    }
    if closed {
        let last = out.len() - 1;
        out[last] = out[0];
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn round(radius: f64, share: f64, turn: f64) -> Vec<Point> {
        let n = (360.0 * share) as usize;
        (0..=n)
            .map(|k| {
                Point::ZERO
                    + Vec2::from_angle(turn * k as f64 * std::f64::consts::TAU * share / n as f64) * radius
            })
            .collect()
    }

    /// Closed form: a chord of a circle has the sagitta R - sqrt(R^2 - (c / 2)^2), so that lengths within e on either
    /// side of R, their corners at R + e, are c = 2 sqrt((R + e)^2 - (R - e)^2) long.
    #[test]
    fn round_a_circle_lengths_are_as_long_as_the_limits_let_them() {
        for (radius, e) in [(100.0, 0.8), (60.0, 0.4), (300.0, 1.0)] {
            for turn in [1.0, -1.0] {
                let line = round(radius, 1.0, turn);
                let got = chords(&line, true, e, e);
                let out = radius + e;
                let c = 2.0 * (out * out - (radius - e).powi(2)).sqrt();
                let fewest = std::f64::consts::TAU / (2.0 * (c / 2.0 / out).asin());
                let count = (got.len() - 1) as f64;
                // A corner is always a point of the line, one degree from the next.
                assert!(fewest <= count && count <= fewest * 1.1 + 1.0, "{radius}: {count} for {fewest}");
                for w in got.windows(2) {
                    let middle = w[0].midpoint(w[1]).to_vec2().hypot();
                    assert!(middle >= radius - e - 0.02 && w[0].to_vec2().hypot() <= radius + e + 0.02);
                }
            }
        }
    }

    /// An S of two half circles: corners change sides with the bend, the ends stay, and the lengths are even.
    #[test]
    fn an_s_is_followed_on_both_sides() {
        let mut line = round(80.0, 0.5, 1.0);
        let shift = line[line.len() - 1] - Point::new(80.0, 0.0);
        line.extend(round(80.0, 0.5, -1.0).into_iter().skip(1).map(|p| p + shift));
        let got = chords(&line, false, 0.8, 0.8);
        assert!(got[0] == line[0] && got[got.len() - 1] == line[line.len() - 1]);
        let far = |p: Point| line.iter().map(|q| q.distance(p)).fold(f64::INFINITY, f64::min);
        for w in got.windows(2) {
            for f in [0.1, 0.3, 0.5, 0.7, 0.9] {
                // Points of the line are 1.4 mm apart.
                assert!(far(w[0].lerp(w[1], f)) <= 0.8f64.hypot(0.7) + 0.05);
            }
        }
        let lengths: Vec<f64> = got.windows(2).map(|w| w[0].distance(w[1])).collect();
        assert!(lengths.iter().copied().fold(f64::INFINITY, f64::min) > 12.7, "{lengths:?}");
        assert!(lengths.len() <= 20, "{lengths:?}");
    }
}
