//! Points a stripe may miss by so much: moved within what they allow so that the line through them bends more evenly.
//!
//! Each loose point moves along the normal of the line through the points as given. The summed squared change of bend is
//! taken as a quadratic of these moves (its slopes by trying), made least one move at a time within its limits, and tried
//! again from there; a round that does not lessen it is not taken.

use super::fair::Fair;
use geom::point::left_of;
use geom::{Point, Vec2};

/// Rounds of trying. chosen: the second hardly moves a point by a tenth of the first.
const ROUNDS: usize = 4;
/// Sweeps over the moves in a round.
const SWEEPS: usize = 200;
/// Share of what a point allows by which its slope is tried.
const TRIED: f64 = 0.01;
/// Places at which the change of bend is looked at, for each span.
const LOOKS: usize = 16;

/// The points, moved by at most `loose` mm each (0, or absent = not at all) to where the line through them is fairest.
pub fn eased(points: &[Point], loose: &[f64]) -> Vec<Point> {
    let free: Vec<usize> = (0..points.len()).filter(|k| loose.get(*k).is_some_and(|l| *l > 0.0)).collect();
    let Some(fair) = Fair::through(points).filter(|_| !free.is_empty() && points.len() > 2) else {
        return points.to_vec();
    };
    let normals: Vec<Vec2> =
        free.iter().map(|k| left_of(Vec2::from_angle(fair.at(fair.knots()[*k]).1))).collect();
    let moved = |by: &[f64]| {
        let mut out = points.to_vec();
        for ((k, normal), by) in free.iter().zip(&normals).zip(by) {
            out[*k] += *normal * *by;
        }
        out
    };
    let changes = |by: &[f64]| Fair::through(&moved(by)).map(|fair| change(&fair));
    let cost = |r: &[f64]| r.iter().map(|v| v * v).sum::<f64>();
    let mut by = vec![0.0; free.len()];
    let Some(mut now) = changes(&by) else { return points.to_vec() };
    for _ in 0..ROUNDS {
        let mut slopes: Vec<Vec<f64>> = Vec::new();
        for (j, k) in free.iter().enumerate() {
            let h = TRIED * loose[*k];
            let tried = |way: f64| {
                let mut by = by.clone();
                by[j] += way * h;
                changes(&by)
            };
            let (Some(more), Some(less)) = (tried(1.0), tried(-1.0)) else { return moved(&by) };
            slopes.push(more.iter().zip(&less).map(|(a, b)| (a - b) / (2.0 * h)).collect());
        }
        let mut next = by.clone();
        let mut rest = now.clone();
        for _ in 0..SWEEPS {
            for (j, k) in free.iter().enumerate() {
                let (up, down): (f64, f64) =
                    slopes[j].iter().zip(&rest).fold((0.0, 0.0), |(u, d), (s, r)| (u + s * r, d + s * s));
                if down <= 0.0 {
                    continue;
                }
                let to = (next[j] - up / down).clamp(-loose[*k], loose[*k]);
                let step = to - next[j];
                rest.iter_mut().zip(&slopes[j]).for_each(|(r, s)| *r += s * step);
                next[j] = to;
            }
        }
        match changes(&next) {
            Some(found) if cost(&found) < cost(&now) => (by, now) = (next, found),
            _ => break,
        }
    }
    moved(&by)
}

/// The change of bend along a line at even places, each scaled so that the sum of squares is its integral.
fn change(fair: &Fair) -> Vec<f64> {
    let count = LOOKS * (fair.knots().len() - 1);
    let step = fair.length() / count as f64;
    let bend = |k: usize| fair.at(step * k as f64).2;
    (0..count).map(|k| (bend(k + 1) - bend(k)) / step.sqrt()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: four points on a line but one of the inner ones 3 mm off; let it move by 3 mm or more and the line is
    /// straight again, by 2 mm and 1 mm is left.
    #[test]
    fn a_point_that_waves_is_let_back_as_far_as_it_may() {
        let points = [(0.0, 0.0), (500.0, 3.0), (1000.0, 0.0), (1500.0, 0.0)].map(Point::from);
        let free = eased(&points, &[0.0, 5.0, 0.0, 0.0]);
        assert!(free[1].y.abs() < 0.01, "{free:?}");
        let held = eased(&points, &[0.0, 2.0, 0.0, 0.0]);
        assert!((held[1].distance(points[1]) - 2.0).abs() < 1e-6 && held[1].y > 0.9, "{held:?}");
        assert_eq!(eased(&points, &[]), points);
        assert_eq!(eased(&points, &[0.0; 4]), points);
    }

    #[test]
    fn no_point_moves_further_than_it_allows_and_the_line_is_no_less_fair() {
        let points =
            [(0.0, 0.0), (400.0, 30.0), (900.0, 20.0), (1400.0, 70.0), (2000.0, 60.0)].map(Point::from);
        let loose = [2.0, 5.0, 0.0, 8.0, 1.0];
        let eased = eased(&points, &loose);
        let cost = |p: &[Point]| change(&Fair::through(p).unwrap()).iter().map(|v| v * v).sum::<f64>();
        assert!(cost(&eased) < 0.8 * cost(&points), "{} {}", cost(&eased), cost(&points));
        for ((a, b), l) in eased.iter().zip(&points).zip(loose) {
            assert!(a.distance(*b) <= l + 1e-9);
        }
    }
}
