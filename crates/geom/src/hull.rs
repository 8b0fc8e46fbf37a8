//! The shape of a thread drawn tight round some points.

use crate::point::Point;
use crate::tolerance::NOISE_MM;

/// The convex hull of some points, counter-clockwise, without corners that do not turn: fewer than three
/// where the points lie on one line (Andrew's monotone chain, 1979, from memory).
pub fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
    points.dedup_by(|p, q| p.distance_squared(*q) <= NOISE_MM * NOISE_MM);
    if points.len() < 3 {
        return points;
    }
    let mut chain: Vec<Point> = Vec::with_capacity(points.len() + 1);
    let there = points.iter().copied();
    let back = points.iter().rev().skip(1).copied();
    let mut least = 1;
    for (k, p) in there.chain(back).enumerate() {
        if k == points.len() {
            least = chain.len();
        }
        while chain.len() > least {
            let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
            if (b - a).cross(p - b) > NOISE_MM * NOISE_MM {
                break;
            }
            chain.pop();
        }
        chain.push(p);
    }
    chain.pop();
    chain
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn points_on_a_line_leave_its_two_ends() {
        let on = [2.0, 0.0, 1.0, 2.0, 0.5].map(|x| Point::new(x, 3.0 * x));
        assert_eq!(hull(on.to_vec()), [Point::new(0.0, 0.0), Point::new(2.0, 6.0)]);
        assert_eq!(hull(vec![]), []);
    }

    proptest! {
        /// By its own meaning: corners are points, every turn is to the left, and no point lies outside a side.
        #[test]
        fn a_hull_turns_left_round_all_points(
            points in proptest::collection::vec((-50_i32..50, -50_i32..50), 3..40),
        ) {
            let all: Vec<Point> = points.iter().map(|p| Point::new(f64::from(p.0), f64::from(p.1))).collect();
            let hull = hull(all.clone());
            let n = hull.len();
            prop_assert!(hull.iter().all(|p| all.contains(p)));
            for i in 0..if n < 3 { 0 } else { n } {
                let (a, b, c) = (hull[i], hull[(i + 1) % n], hull[(i + 2) % n]);
                prop_assert!((b - a).cross(c - b) > 0.0);
                prop_assert!(all.iter().all(|p| (b - a).cross(*p - a) >= 0.0));
            }
        }
    }
}
