//! The shortest way over a scan between two spots: where a straightedge bent round the skin would lie.

use geom::Point3;
use skin::taut::shortest;
use skin::{Mesh, Spot};

/// The shortest way, its first and last point the spots themselves, and its length, mm; exact on the triangles. `None` if
/// the two lie on separate pieces of the scan.
pub(super) fn way(mesh: &Mesh, from: Spot, to: Spot) -> Option<(Vec<Point3>, f64)> {
    // However much skin that takes: what a clearance is judged by must not be a longer way than there is.
    let (way, _) = shortest(mesh, from, to, usize::MAX)?;
    let points = match way.points.as_slice() {
        [one] => vec![*one; 2],
        _ => way.points,
    };
    Some((points, way.length))
}

#[cfg(test)]
mod tests {
    use super::*;
    use geom::Vec2;
    use skin::surface::forms::{Cylinder, Egg};
    use skin::surface::{Heading, grid};

    #[test]
    fn on_a_tube_the_way_is_straight_when_it_is_unrolled() {
        // Facets of a tube unroll without stretch: the straight line of the drawing is the shortest way.
        let tube = Cylinder { radius: 150.0 };
        let all = grid(&tube, Heading::new(&tube, Vec2::ZERO, Point3::X), 400.0, 300.0, 40, 60);
        let spots = [(-150.3, -101.7), (120.9, 88.4)];
        let near = |(x, y): (f64, f64)| {
            let (sin, cos) = (y / 150.0_f64).sin_cos();
            Spot::nearest(&all.mesh, Point3::new(x, -150.0 * cos, 150.0 * sin)).0
        };
        let [a, b] = spots.map(near);
        let (points, length) = way(&all.mesh, a, b).unwrap();
        let straight = (spots[1].0 - spots[0].0).hypot(spots[1].1 - spots[0].1);
        // Chords of 5 mm on a radius of 150 are shorter than their arcs by 5 parts in 100 000.
        assert!((length / straight - 1.0).abs() < 1e-4, "{length} {straight}");
        assert!(points.iter().all(|p| (p.y.hypot(p.z) - 150.0).abs() < 0.03));
    }

    #[test]
    fn on_a_ball_the_way_is_its_great_circle_and_the_spots_are_its_ends() {
        let ball = Egg { half_length: 200.0, radius: 200.0 };
        let all = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 300.0, 300.0, 60, 60);
        let [a, b] = [700, 5_000].map(Spot::middle_of);
        let (points, length) = way(&all.mesh, a, b).unwrap();
        let (p, q) = (a.point(&all.mesh), b.point(&all.mesh));
        assert_eq!((points.first(), points.last()), (Some(&p), Some(&q)));
        let arc = 200.0 * p.normalize().dot(q.normalize()).acos();
        assert!((length / arc - 1.0).abs() < 1e-3, "{length} {arc}");
        assert!(points.iter().all(|p| (p.length() - 200.0).abs() < 0.1));
    }

    #[test]
    fn from_a_spot_on_a_side_it_is_as_straight_as_from_any_other() {
        let flat = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let at = |k: u32| flat(f64::from(k % 9) * 10.0, f64::from(k / 9) * 10.0);
        let cells = (0..72u32).filter(|k| k % 9 < 8).map(|k| [[k, k + 1, k + 10], [k, k + 10, k + 9]]);
        let mesh = Mesh::of_grid((0..81).map(at).collect(), cells.flatten().collect());
        // On sides, on corners and within triangles.
        for (a, b) in [
            (flat(40.0, 33.0), flat(12.0, 33.0)),
            (flat(40.0, 33.0), flat(60.0, 35.0)),
            (flat(20.0, 20.0), flat(50.0, 20.0)),
            (flat(23.0, 30.0), flat(44.0, 11.0)),
            (flat(31.0, 31.0), flat(64.0, 64.0)),
        ] {
            let (p, q) = (Spot::nearest(&mesh, a).0, Spot::nearest(&mesh, b).0);
            for (p, q) in [(p, q), (q, p)] {
                let (points, length) = way(&mesh, p, q).unwrap();
                assert!((length - a.distance(b)).abs() < 1e-9, "{a} {b} {length}");
                let off = |m: &Point3| (*m - a).cross((b - a).normalize()).length();
                assert!(points.iter().all(|m| off(m) < 0.3), "{points:?}");
            }
        }
    }

    #[test]
    fn between_separate_pieces_there_is_none() {
        let corner = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let points = vec![
            corner(0.0, 0.0),
            corner(9.0, 0.0),
            corner(0.0, 9.0),
            corner(50.0, 0.0),
            corner(59.0, 0.0),
            corner(50.0, 9.0),
        ];
        let mesh = Mesh::of_grid(points, vec![[0, 1, 2], [3, 4, 5]]);
        assert!(way(&mesh, Spot::middle_of(0), Spot::middle_of(1)).is_none());
    }
}
