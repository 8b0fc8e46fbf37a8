//! Points, directions and placements: the vocabulary. The only file that names the crates behind it.
//!
//! `Point`, `Vec2` and `Affine` live in the plane; `Point3` in space. All in millimetres.

use crate::tolerance::PARALLEL_SINE;
pub use glam::DVec3 as Point3;
pub use kurbo::{Affine, Point, Vec2};

/// The direction a quarter turn counter-clockwise from `v`, of the same length.
pub fn left_of(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}

/// `v` turned counter-clockwise by `angle` radians.
pub fn turned(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

/// Where two straight lines cross, each given by a point and a direction; `None` if they are parallel
/// (sine of the angle between them under `PARALLEL_SINE`).
pub fn crossing(p: Point, u: Vec2, q: Point, v: Vec2) -> Option<Point> {
    let sine = u.cross(v);
    if sine.abs() <= PARALLEL_SINE * u.hypot() * v.hypot() {
        return None;
    }
    Some(p + u * ((q - p).cross(v) / sine))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossing_of_the_diagonals_of_a_square_is_its_middle() {
        let p =
            crossing(Point::ZERO, Vec2::new(1.0, 1.0), Point::new(0.0, 4.0), Vec2::new(1.0, -1.0)).unwrap();
        assert!((p - Point::new(2.0, 2.0)).hypot() < 1e-12);
        assert!(
            crossing(Point::ZERO, Vec2::new(1.0, 2.0), Point::new(5.0, 0.0), Vec2::new(-2.0, -4.0)).is_none()
        );
    }
}
