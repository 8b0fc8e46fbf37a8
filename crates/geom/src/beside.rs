//! An outline made shorter where it does not matter: what lies wholly to one side of a box.

use crate::point::{Point, Vec2};
use crate::ring::Ring;
use crate::tolerance::FLATTEN_MM;

/// The ring with as few corners as leave everything within the box as it was; `None` if it lies wholly to one side.
/// Arcs become chords within `FLATTEN_MM` first.
///
/// Of corners that follow each other beyond one side of the box only the first and the last are kept: the outline
/// between them moves, but not into the box, so no point of the box comes to lie elsewhere. Edges that enter the box
/// stay what they are, corner for corner.
///
/// # Example
/// ```
/// use geom::{Point, Ring, beside::near_box};
/// let disc = Ring::circle(Point::new(0.0, 0.0), 100.0);
/// let bit = near_box(&disc, Point::new(95.0, -1.0), Point::new(105.0, 1.0)).unwrap();
/// assert!(bit.vertices.len() < 16);
/// assert!(near_box(&disc, Point::new(200.0, 0.0), Point::new(201.0, 1.0)).is_none());
/// ```
pub fn near_box(ring: &Ring, lo: Point, hi: Point) -> Option<Ring> {
    near_turned(ring, Vec2::new(1.0, 0.0), lo, hi)
}

/// As [`near_box`], for a box that is turned: `way`, of length 1, is the direction of its first side, and `lo` and `hi` are
/// its corners measured along that and along the direction left of it.
pub fn near_turned(ring: &Ring, way: Vec2, lo: Point, hi: Point) -> Option<Ring> {
    let mut points: Vec<(Point, Point)> = ring
        .flattened(FLATTEN_MM)
        .into_iter()
        .map(|p| (p, Point::new(way.dot(p.to_vec2()), way.cross(p.to_vec2()))))
        .collect();
    let beyond: [&dyn Fn(&Point) -> bool; 4] =
        [&|p| p.x < lo.x, &|p| p.x > hi.x, &|p| p.y < lo.y, &|p| p.y > hi.y];
    for out in beyond {
        let n = points.len();
        let outside: Vec<bool> = points.iter().map(|p| out(&p.1)).collect();
        if !outside.contains(&false) {
            return None;
        }
        let kept = |k: usize| !(outside[(k + n - 1) % n] && outside[k] && outside[(k + 1) % n]);
        points = (0..n).filter(|k| kept(*k)).map(|k| points[k]).collect();
    }
    (points.len() > 2).then(|| Ring::from_points(points.into_iter().map(|p| p.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boolean::intersection;
    use crate::winding::winding;

    #[test]
    fn nothing_within_the_box_changes() {
        // A curl that winds twice round some points, and boxes all over it.
        let curl = Ring::from_points((0..400).map(|k| {
            let a = f64::from(k) / 400.0 * 2.0 * std::f64::consts::TAU;
            let r = 60.0 + 35.0 * (a / 2.0).cos();
            Point::new(r * a.cos(), r * a.sin())
        }));
        let mut fewer = 0;
        for (i, j) in (0..11).flat_map(|i| (0..11).map(move |j| (i, j))) {
            let lo = Point::new(f64::from(i) * 18.0 - 99.0, f64::from(j) * 18.0 - 99.0);
            let hi = Point::new(lo.x + 17.0, lo.y + 11.0);
            let near: Vec<Ring> = near_box(&curl, lo, hi).into_iter().collect();
            let corners = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)];
            let box_ = [Ring::from_points(corners)];
            let area = |rings: Vec<Ring>| rings.iter().map(Ring::area).sum::<f64>();
            let (all, some) = (intersection(std::slice::from_ref(&curl), &box_), intersection(&near, &box_));
            let (all, some) = (area(all), area(some));
            assert!((all - some).abs() < 1e-6, "{lo:?}: {all} {some}");
            let middle = lo.midpoint(hi);
            assert_eq!(winding(&near, middle), winding(std::slice::from_ref(&curl), middle));
            fewer += usize::from(near.iter().all(|r| r.vertices.len() < 60));
        }
        assert!(fewer > 100, "{fewer}");
    }
    #[test]
    fn nor_within_one_that_is_turned() {
        let disc = Ring::circle(Point::new(7.0, 3.0), 100.0);
        let way = Vec2::from_angle(0.7);
        let left = Vec2::new(-way.y, way.x);
        for (u, v) in [(-100.0, -8.0), (60.0, 40.0), (-20.0, 90.0), (10.0, 10.0)] {
            let (lo, hi) = (Point::new(u, v), Point::new(u + 70.0, v + 16.0));
            let at = |p: Point| Point::ZERO + way * p.x + left * p.y;
            let corners = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)].map(at);
            let box_ = [Ring::from_points(corners)];
            let area = |rings: Vec<Ring>| rings.iter().map(Ring::area).sum::<f64>();
            let near: Vec<Ring> = near_turned(&disc, way, lo, hi).into_iter().collect();
            let (all, some) = (intersection(std::slice::from_ref(&disc), &box_), intersection(&near, &box_));
            let (all, some) = (area(all), area(some));
            assert!(all > 100.0 && (all - some).abs() < 1e-6, "{u} {v}: {all} {some}");
            assert!(near.iter().all(|r| r.vertices.len() < 200));
        }
    }
}
