//! Arcs found again in an outline of chords, so that what was cut with straight edges can be drawn round.
//!
//! A run of corners on one circle becomes one arc where its chords are as short as those of a cut curve. Corners stay where they are; nothing else of the outline moves by more than the chords did.

use crate::point::{Point, Vec2};
use crate::ring::{Ring, Vertex};
use crate::tolerance::{BEND_MM, PARALLEL_SINE};
use std::f64::consts::PI;

/// Fewest chords that are taken for an arc: three corners are always on one circle.
const FEWEST_CHORDS: usize = 3;

/// The outline of straight edges with an arc for every run of corners that lies on one circle within `BEND_MM`,
/// if no chord is farther than `rise` (mm) from the arc in its place.
pub fn bent(corners: &[Point], rise: f64) -> Ring {
    let n = corners.len();
    let Some(first) = (0..n).max_by(|a, b| sharpness(corners, *a).total_cmp(&sharpness(corners, *b))) else {
        return Ring::default();
    };
    // From the sharpest corner round to it again.
    let round: Vec<Point> = (0..=n).map(|k| corners[(first + k) % n]).collect();
    let mut vertices = Vec::new();
    let mut at = 0;
    while at < n {
        let mut arc = None;
        let mut end = at + FEWEST_CHORDS;
        while end <= n {
            let Some(turn) = arc_through(&round[at..=end], rise) else { break };
            arc = Some((end, turn));
            end += 1;
        }
        let (next, bulge) = arc.map_or((at + 1, 0.0), |(end, turn)| (end, (turn / 4.0).tan()));
        vertices.push(Vertex { p: round[at], bulge });
        at = next;
    }
    Ring { vertices }
}

/// How much an outline turns at a corner, radians.
fn sharpness(corners: &[Point], k: usize) -> f64 {
    let n = corners.len();
    let (u, v) = (corners[k] - corners[(k + n - 1) % n], corners[(k + 1) % n] - corners[k]);
    u.cross(v).atan2(u.dot(v)).abs()
}

/// The angle, at most half a turn either way, through which an arc over all the points turns; `None` if none
/// goes through them.
fn arc_through(points: &[Point], most: f64) -> Option<f64> {
    let last = points.len() - 1;
    let (centre, left) = circle(points[0], points[last / 2], points[last])?;
    let radius = centre.distance(points[0]);
    let mut turn = 0.0;
    for w in points.windows(2) {
        let (u, v): (Vec2, Vec2) = (w[0] - centre, w[1] - centre);
        let step = u.cross(v).atan2(u.dot(v));
        let rise = radius * (1.0 - (step / 2.0).cos());
        let off = (v.hypot() - radius).abs();
        if (step > 0.0) != left || rise > most || off > BEND_MM {
            return None;
        }
        turn += step;
    }
    (turn.abs() <= PI).then_some(turn)
}

/// Centre of the circle through three points, and whether it turns left through them.
fn circle(a: Point, b: Point, c: Point) -> Option<(Point, bool)> {
    let (u, v) = (b - a, c - a);
    let area = 2.0 * u.cross(v);
    if area.abs() <= PARALLEL_SINE * u.hypot() * v.hypot() {
        return None;
    }
    let (uu, vv) = (u.hypot2(), v.hypot2());
    let to_centre = Vec2::new(v.y * uu - u.y * vv, u.x * vv - v.x * uu) / area;
    Some((a + to_centre, area > 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::{FLATTEN_MM, GRID_MM};

    /// A stadium 40 long with ends of radius 10, as chords on the grid.
    fn chords() -> Vec<Point> {
        let ring = Ring {
            vertices: [(0.0, 0.0, 0.0), (40.0, 0.0, 1.0), (40.0, 20.0, 0.0), (0.0, 20.0, 1.0)]
                .map(|(x, y, bulge)| Vertex { p: Point::new(x, y), bulge })
                .to_vec(),
        };
        let on_grid = |v: f64| (v / GRID_MM).round() * GRID_MM;
        ring.flattened(FLATTEN_MM).iter().map(|p| Point::new(on_grid(p.x), on_grid(p.y))).collect()
    }

    #[test]
    fn the_ends_of_a_stadium_become_arcs_again() {
        let ring = bent(&chords(), 1.5 * FLATTEN_MM);
        assert!(ring.vertices.len() <= 8 && chords().len() > 50, "{ring:?}");
        // Closed form: 40 x 20 and a disc of radius 10.
        assert!((ring.area() - 800.0 - 100.0 * PI).abs() < 0.1, "{}", ring.area());
        assert!((ring.perimeter() - 80.0 - 20.0 * PI).abs() < 0.02);
    }

    #[test]
    fn corners_far_apart_stay_corners_though_they_lie_on_one_circle() {
        let octagon: Vec<Point> = (0..8)
            .map(|k| Point::ZERO + Vec2::from_angle(std::f64::consts::TAU * f64::from(k) / 8.0) * 30.0)
            .collect();
        assert!(bent(&octagon, 1.5 * FLATTEN_MM).vertices.iter().all(|v| v.bulge == 0.0));
        assert_eq!(bent(&octagon, 1.5 * FLATTEN_MM).vertices.len(), 8);
        assert!(bent(&[], FLATTEN_MM).vertices.is_empty());
    }
}
