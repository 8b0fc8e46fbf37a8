//! An outline with fewer corners: what a fan blurs need not be carried chord by chord.
//!
//! Corners are left out as Ramer (1972) and Douglas and Peucker (1973) leave them out of a drawn line.

use crate::Ring;
use crate::tolerance::GRID_MM;

/// `ring` as straight chords between some of its own points, nowhere more than `tolerance` mm from it.
///
/// # Example
/// ```
/// use geom::{Point, Ring, plainer::plainer};
/// let steps = (0..1000).map(|k| Point::new(f64::from(k) * 0.1, 0.001 * f64::from(k % 2)));
/// let ring = Ring::from_points(steps.chain([Point::new(100.0, 50.0), Point::new(0.0, 50.0)]));
/// assert!(plainer(&ring, 0.01).vertices.len() < 8);
/// ```
pub fn plainer(ring: &Ring, tolerance: f64) -> Ring {
    // Half for the chords of arcs, half for the corners left out.
    let p = ring.flattened(tolerance / 2.0);
    let half = p.len() / 2;
    let mut kept = vec![false; p.len()];
    let mut parts = vec![(0, half), (half, p.len())];
    while let Some((from, to)) = parts.pop() {
        let Some(&a) = p.get(from) else { continue };
        let along = p[to % p.len()] - a;
        kept[from] = true;
        let off = |k: usize| {
            let off = p[k] - a;
            // From the chord, not its line: a corner may lie beyond either end.
            let t = (off.dot(along) / along.hypot2().max(GRID_MM * GRID_MM)).clamp(0.0, 1.0);
            (off - along * t).hypot()
        };
        let far = (from + 1..to).map(|k| (k, off(k))).max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((far, _)) = far.filter(|(_, off)| *off > tolerance / 2.0) {
            parts.extend([(from, far), (far, to)]);
        }
    }
    Ring::from_points(p.iter().zip(kept).filter(|(_, kept)| *kept).map(|(p, _)| *p))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Point;

    #[test]
    fn a_circle_keeps_its_place_with_far_fewer_corners() {
        let circle = Ring::circle(Point::new(3.0, 4.0), 120.0);
        let fine = Ring::from_points(circle.flattened(0.0005));
        let plain = plainer(&fine, 0.1);
        assert!(
            plain.vertices.len() * 8 < fine.vertices.len(),
            "{} {}",
            plain.vertices.len(),
            fine.vertices.len()
        );
        let away = |p: Point| ((p - Point::new(3.0, 4.0)).hypot() - 120.0).abs();
        let middles = (0..plain.vertices.len())
            .map(|k| plain.vertices[k].p.midpoint(plain.vertices[(k + 1) % plain.vertices.len()].p));
        assert!(middles.map(away).fold(0.0, f64::max) <= 0.1);
        assert!((plain.area() - circle.area()).abs() <= 0.1 * circle.perimeter());
    }

    #[test]
    fn an_outline_of_corners_alone_stays_as_it_is() {
        let l = [(0.0, 0.0), (16.0, 0.0), (16.0, 4.0), (4.0, 4.0), (4.0, 24.0), (0.0, 24.0)].map(Point::from);
        assert_eq!(plainer(&Ring::from_points(l), 0.1), Ring::from_points(l));
    }

    #[test]
    fn a_spike_is_not_lost() {
        let spike =
            [(0.0, 0.0), (50.0, 0.0), (50.02, -30.0), (50.04, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)];
        let plain = plainer(&Ring::from_points(spike.map(Point::from)), 0.1);
        assert!(plain.vertices.iter().any(|v| v.p.y < -29.0));
    }
}
