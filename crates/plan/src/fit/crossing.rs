//! Crossing a ring, a patch or a row of rivets on purpose: square, through the middle half, never skimming
//! the rim (common practice, no source).

use geom::distance::crossings;
use geom::measure::{point_to_region, segments};
use geom::point::Vec2;
use geom::tolerance::NOISE_MM;
use geom::{Edge, Point, Region, Ring};

/// Least angle, degrees, at which a paint edge may cross a feature that allows it.
pub const LEAST_ANGLE_DEG: f64 = 60.0;

/// True if every paint edge that enters the region crosses it square enough and through its middle half:
/// - a disc: straight across, no nearer the rim than half the radius (then it also meets the rim at 60
///   degrees or more),
/// - an area: both sides it passes at 60 to 90 degrees and within their middle halves,
/// - a band: at 60 to 90 degrees to its path, not round its ends.
///
/// An edge that ends, turns or bends inside the region does not cross it square.
pub fn crosses_square(rings: &[Ring], region: &Region) -> bool {
    rings.iter().flat_map(Ring::edges).filter(|e| enters(e, region)).all(|e| edge_is_square(&e, region))
}

fn enters(e: &Edge, region: &Region) -> bool {
    geom::measure::edge_to_region(e, region) < -NOISE_MM
}

fn edge_is_square(e: &Edge, region: &Region) -> bool {
    let Edge::Line { a, b } = *e else { return false };
    if point_to_region(a, region) < 0.0 || point_to_region(b, region) < 0.0 {
        return false;
    }
    let way = b - a;
    match region {
        Region::Disc { centre, radius } => {
            geom::distance::point_to_edge(*centre, e) <= radius / 2.0 + NOISE_MM
        }
        Region::Area { rings } => rings.iter().flat_map(Ring::edges).all(|side| {
            crossings(e, &side)
                .iter()
                .all(|p| square_to(way, side.direction(0.5)) && in_middle_half(*p, &side))
        }),
        Region::Band { path, .. } => {
            let near: Vec<(Edge, Vec<Point>)> = segments(path).map(|s| (s, crossings(e, &s))).collect();
            near.iter().any(|(_, at)| !at.is_empty())
                && near.iter().all(|(s, at)| at.is_empty() || square_to(way, s.direction(0.5)))
        }
    }
}

fn square_to(u: Vec2, v: Vec2) -> bool {
    let sine = u.cross(v).abs() / (u.hypot() * v.hypot());
    sine >= LEAST_ANGLE_DEG.to_radians().sin() - geom::tolerance::NOISE_UNIT
}

fn in_middle_half(p: Point, side: &Edge) -> bool {
    let share = p.distance(side.start()) / side.length();
    (0.25..=0.75).contains(&share)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stroke(x0: f64, x1: f64) -> Vec<Ring> {
        vec![Ring::from_points([(x0, -100.0), (x1, -100.0), (x1, 100.0), (x0, 100.0)].map(Point::from))]
    }

    #[test]
    fn a_disc_may_be_crossed_at_half_its_radius_and_no_farther_out() {
        let ring = Region::Disc { centre: Point::ZERO, radius: 40.0 };
        assert!(crosses_square(&stroke(-19.9, 300.0), &ring));
        assert!(!crosses_square(&stroke(-20.1, 300.0), &ring));
    }

    #[test]
    fn rivets_may_be_crossed_square_but_not_along() {
        let across = Region::Band { path: vec![Point::new(-200.0, 0.0), Point::new(200.0, 0.0)], width: 6.0 };
        assert!(crosses_square(&stroke(-10.0, 10.0), &across));
        let slanted =
            Region::Band { path: vec![Point::new(-20.0, -90.0), Point::new(25.0, 90.0)], width: 6.0 };
        assert!(!crosses_square(&stroke(-10.0, 10.0), &slanted));
    }
}
