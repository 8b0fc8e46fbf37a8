//! Inside or outside: how often an outline goes round a point.

use crate::point::Point;
use crate::ring::{Edge, Ring};
use std::f64::consts::{FRAC_PI_2, PI};

/// How many times the rings together turn counter-clockwise round `p`: 1 inside an outer ring, 0 outside or
/// in a hole. For a point on an edge either side's answer may come back.
pub fn winding(rings: &[Ring], p: Point) -> i32 {
    rings.iter().flat_map(Ring::edges).map(|e| crossing(&e, p)).sum()
}

/// True if `p` lies in the area the rings enclose (outer counter-clockwise, holes clockwise).
pub fn contains(rings: &[Ring], p: Point) -> bool {
    winding(rings, p) != 0
}

/// +1 where the edge passes upwards through the ray from `p` towards +x, -1 downwards.
fn crossing(e: &Edge, p: Point) -> i32 {
    match *e {
        Edge::Line { a, b } => {
            // Half-open in y, so that a ray through a corner counts once.
            if (a.y <= p.y) == (b.y <= p.y) {
                return 0;
            }
            let x = a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
            if x <= p.x {
                0
            } else if a.y < b.y {
                1
            } else {
                -1
            }
        }
        Edge::Arc { a, b, centre, radius, turn } => {
            // Cut the arc at its top and bottom; each piece rises or falls all the way. The two ends are the
            // very points of the edge, so that neighbouring edges meet without a seam.
            let from = (a - centre).atan2();
            let (lo, hi) = (from.min(from + turn), from.max(from + turn));
            let (y_lo, y_hi) = if turn > 0.0 { (a.y, b.y) } else { (b.y, a.y) };
            let mut cuts = vec![(lo, y_lo)];
            let mut k = ((lo - FRAC_PI_2) / PI).floor() + 1.0;
            while FRAC_PI_2 + k * PI < hi {
                let angle = FRAC_PI_2 + k * PI;
                cuts.push((angle, centre.y + radius * angle.sin()));
                k += 1.0;
            }
            cuts.push((hi, y_hi));
            let mut sum = 0;
            for w in cuts.windows(2) {
                let ((from, y0), (to, y1)) = (w[0], w[1]);
                if (y0 <= p.y) == (y1 <= p.y) {
                    continue;
                }
                let half = (radius * radius - (p.y - centre.y).powi(2)).max(0.0).sqrt();
                let x = centre.x + if from.midpoint(to).cos() > 0.0 { half } else { -half };
                if x > p.x {
                    sum += if (y1 > y0) == (turn > 0.0) { 1 } else { -1 };
                }
            }
            sum
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_disc_holds_the_points_nearer_than_its_radius(x in -9.0..9.0_f64, y in -9.0..9.0_f64) {
            let (c, r) = (Point::new(1.0, -2.0), 5.0);
            let ring = Ring::circle(c, r);
            let p = Point::new(x, y);
            prop_assume!((p.distance(c) - r).abs() > 1e-9);
            prop_assert_eq!(winding(std::slice::from_ref(&ring), p), i32::from(p.distance(c) < r));
            prop_assert_eq!(winding(&[ring.reversed()], p), -i32::from(p.distance(c) < r));
        }

        /// The flattened outline answers the same, away from the sliver between chord and arc.
        #[test]
        fn arcs_and_their_chords_agree(x in -3.0..13.0_f64, y in -3.0..13.0_f64, bulge in -0.9..0.9_f64) {
            let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
            let ring = Ring { vertices: corners.iter().enumerate().map(|(i, &(x, y))| crate::ring::Vertex {
                p: Point::new(x, y), bulge: if i == 1 { bulge } else { 0.0 } }).collect() };
            let chords = Ring::from_points(ring.flattened(1e-5));
            let p = Point::new(x, y);
            let near = ring.edges().map(|e| crate::distance::point_to_edge(p, &e)).fold(f64::INFINITY, f64::min);
            prop_assume!(near > 1e-4);
            prop_assert_eq!(contains(&[ring], p), contains(&[chords], p));
        }
    }
}
