//! An outline drawn in by an even margin, for keeping a mark off the edge of a panel.
//!
//! Each side moves inwards; neighbouring sides are cut where they meet. Meant for panels much larger than the
//! margin: where sides would vanish the outline cannot be drawn in like this and `None` comes back. It does not
//! round reflex corners; there the margin is kept along both sides.

use crate::point::{Point, crossing, left_of};
use crate::ring::Ring;
use crate::tolerance::NOISE_MM;

/// The outline (counter-clockwise, straight sides) drawn in by `margin` mm; `None` if it is too small for that.
pub fn inset(outline: &Ring, margin: f64) -> Option<Ring> {
    let corners: Vec<Point> = {
        let all: Vec<Point> = outline.vertices.iter().map(|v| v.p).collect();
        let n = all.len();
        (0..n).filter(|i| all[*i].distance(all[(i + 1) % n]) > NOISE_MM).map(|i| all[i]).collect()
    };
    let n = corners.len();
    if n < 3 {
        return None;
    }
    let side = |i: usize| {
        let (a, b) = (corners[i % n], corners[(i + 1) % n]);
        let along = b - a;
        (a + left_of(along) * (margin / along.hypot()), along)
    };
    let moved: Vec<Point> = (0..n)
        .map(|i| {
            let ((p, u), (q, v)) = (side(i + n - 1), side(i));
            // Two sides on one line have no crossing: the corner moves square to them.
            crossing(p, u, q, v).unwrap_or(q)
        })
        .collect();
    let kept = (0..n).all(|i| (moved[(i + 1) % n] - moved[i]).dot(side(i).1) > 0.0);
    let ring = Ring::from_points(moved);
    (kept && ring.area() > 0.0).then_some(ring)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_loses_its_margin_on_every_side() {
        let panel = Ring::from_points(
            [(0.0, 0.0), (400.0, 0.0), (400.0, 200.0), (200.0, 200.0), (0.0, 200.0)].map(Point::from),
        );
        let ring = inset(&panel, 50.0).unwrap();
        assert!((ring.area() - 300.0 * 100.0).abs() < 1e-6);
        let (lo, hi) = ring.bounds().unwrap();
        assert!(
            (lo - Point::new(50.0, 50.0)).hypot() < 1e-9 && (hi - Point::new(350.0, 150.0)).hypot() < 1e-9
        );
        assert_eq!(inset(&panel, 101.0), None);
    }

    #[test]
    fn a_right_triangle_keeps_its_shape() {
        // Sides 3, 4, 5: in-radius 1; drawn in by a quarter of it the area falls by the square of 3/4.
        let panel = Ring::from_points([(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)].map(Point::from));
        let ring = inset(&panel, 25.0).unwrap();
        assert!((ring.area() - 60_000.0 * 0.75 * 0.75).abs() < 1e-6);
    }
}
