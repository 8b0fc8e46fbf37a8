//! A shape swept along a straight way: all it covers from its own place to where it is moved, as a solid shadow is
//! cast.

use crate::boolean::union;
use crate::point::{Affine, Point, Vec2};
use crate::ring::Ring;
use crate::tolerance::FLATTEN_MM;

/// Everything the shape covers while it moves by `by` mm. Whatever it leaves, an edge of it passes over: so it is the
/// shape at both ends and what each edge sweeps. Arcs are cut into chords within `FLATTEN_MM` first. Outer rings
/// counter-clockwise, holes clockwise.
///
/// # Panics
/// As [`union`].
pub fn swept(shape: &[Ring], by: Vec2) -> Vec<Ring> {
    let chords: Vec<Ring> = shape.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM / 2.0))).collect();
    let mut pieces: Vec<Ring> = chords.iter().map(|r| r.mapped(Affine::translate(by))).collect();
    pieces.extend(chords.iter().flat_map(|ring| ring.edges().map(|e| patch(e.start(), e.end(), by))));
    union(&chords, &pieces)
}

fn patch(a: Point, b: Point, by: Vec2) -> Ring {
    let patch = Ring::from_points([a, b, b + by, a + by]);
    if patch.area() < 0.0 { patch.reversed() } else { patch }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{area, ell};
    use proptest::prelude::*;

    #[test]
    fn an_ell_swept_to_the_lower_right_gains_what_its_lower_right_sides_pass_over() {
        // Closed form: a convex shape gains its width across the way times the way. The ell gains that for its hull
        // seen along the way, as nothing it passes over is passed twice: (20, -10) across sides of 200 along the
        // bottom, 50 + 250 up the right, and the step is swept from above only where the foot leaves it.
        let got = area(&swept(&[ell()], Vec2::new(20.0, -10.0))) - ell().area();
        // Bottom 200 by 10, right of the foot 50 by 20, right of the stem 250 by 20 of which the corner triangle
        // 20 by 10 / 2 falls on the foot.
        let want = 200.0 * 10.0 + 50.0 * 20.0 + 250.0 * 20.0 - 20.0 * 10.0 / 2.0;
        assert!((got - want).abs() < 1e-6, "{got} {want}");
    }

    #[test]
    fn a_counter_wider_than_the_way_keeps_what_is_left_of_it() {
        let square =
            |lo: f64, hi: f64| Ring::from_points([(lo, lo), (hi, lo), (hi, hi), (lo, hi)].map(Point::from));
        let frame = [square(0.0, 100.0), square(30.0, 70.0).reversed()];
        let got = swept(&frame, Vec2::new(15.0, 0.0));
        assert_eq!(got.len(), 2);
        assert!((area(&got) - (115.0 * 100.0 - 25.0 * 40.0)).abs() < 1e-6);
        assert_eq!(swept(&frame, Vec2::new(41.0, 0.0)).len(), 1);
    }

    proptest! {
        #[test]
        fn sweeping_there_or_back_covers_the_same(x in -40.0..40.0_f64, y in -40.0..40.0_f64) {
            // Both moved so that they lie over each other; on whole micrometres, so that the grid moves with them.
            let by = Vec2::new((x * 1000.0).round() / 1000.0, (y * 1000.0).round() / 1000.0);
            let moved = ell().mapped(Affine::translate(by));
            let (there, back) = (swept(&[ell()], by), swept(&[moved], -by));
            prop_assert!((area(&there) - area(&back)).abs() < 0.01);
            prop_assert!(area(&there) >= ell().area() - 1e-6);
        }
    }
}
