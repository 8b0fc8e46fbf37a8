//! The shortest way over a scan between two spots: where a straightedge bent round the skin would lie.
//!
//! Exact on the triangles. Only the piece of the scan is looked at that can hold the way.

use geom::Point3;
use geom::tolerance::NOISE_MM;
use skin::windows::Distances;
use skin::{Mesh, Spot};

/// Share of a triangle by which both ends are looked at off its corners and sides, so that the three the goal's is cut into
/// have an area: a thousandth of a millimetre on a triangle of 10 mm.
const OFF_SIDES: f64 = 0.0001;

/// How much wider than half the way as the crow flies the first piece is cut. chosen: most ways are hardly longer.
const WIDER: f64 = 1.25;

/// The shortest way, its first and last point the spots themselves, and its length, mm; `None` if the two lie on separate
/// pieces of the scan.
pub(super) fn way(mesh: &Mesh, from: Spot, to: Spot) -> Option<(Vec<Point3>, f64)> {
    let (a, b) = (from.point(mesh), to.point(mesh));
    if from.triangle == to.triangle || a.distance(b) <= NOISE_MM {
        return Some((vec![a, b], a.distance(b)));
    }
    let middle = a.midpoint(b);
    let mut radius = WIDER * a.distance(b) / 2.0;
    loop {
        let kept = within(mesh, middle, radius, [from.triangle, to.triangle]);
        let whole = kept.len() == mesh.triangles().len();
        let found = in_piece(mesh, &kept, from, to);
        // A way of this length cannot leave the ball.
        if let Some(inner) = found.filter(|(_, length)| whole || length / 2.0 <= radius).map(|(way, _)| way) {
            let all: Vec<Point3> = [a].into_iter().chain(inner).chain([b]).collect();
            let length = all.windows(2).map(|w| w[0].distance(w[1])).sum();
            return Some((all, length));
        }
        if whole {
            return None;
        }
        radius *= 2.0;
    }
}

/// Triangles that reach into a ball, and these.
fn within(mesh: &Mesh, middle: Point3, radius: f64, always: [u32; 2]) -> Vec<u32> {
    let near = |t: &u32| {
        let [a, b, c] = mesh.corners(*t);
        let side = a.distance(b).max(b.distance(c)).max(c.distance(a));
        let far = a.distance(middle).min(b.distance(middle)).min(c.distance(middle));
        far <= radius + side || always.contains(t)
    };
    (0..mesh.triangles().len() as u32).filter(near).collect()
}

/// The shortest way over some of the triangles, without its ends, and its length.
fn in_piece(mesh: &Mesh, kept: &[u32], from: Spot, to: Spot) -> Option<(Vec<Point3>, f64)> {
    let place = |t: u32| kept.binary_search(&t).ok();
    let (start, goal) = (place(from.triangle)? as u32, place(to.triangle)?);
    let (piece, _) = mesh.part(kept);
    // The goal becomes a corner: its triangle is cut into three. Light that starts on a side does not pass that side.
    let off_sides = |shares: [f64; 3]| {
        let shares = shares.map(|s| s.max(OFF_SIDES));
        shares.map(|s| s / shares.iter().sum::<f64>())
    };
    let corner = piece.points().len() as u32;
    let inside = Spot { triangle: goal as u32, shares: off_sides(to.shares) };
    let points: Vec<Point3> = piece.points().iter().copied().chain([inside.point(&piece)]).collect();
    let mut triangles = piece.triangles().to_vec();
    let [a, b, c] = triangles[goal];
    triangles[goal] = [a, b, corner];
    triangles.extend([[b, c, corner], [c, a, corner]]);
    let piece = Mesh::of_grid(points, triangles);
    let source = Spot { triangle: start, shares: off_sides(from.shares) };
    let light = Distances::from(&piece, source, f64::INFINITY, &[corner]);
    let length = light.all()[corner as usize];
    let mut points = light.way(corner);
    if !length.is_finite() || points.len() < 2 {
        return None;
    }
    points.pop();
    Some((points.split_off(1), length))
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
                // A way that grazes a row of corners comes out a ten-thousandth too long.
                assert!(-1e-9 < length - a.distance(b) && length - a.distance(b) < 0.005, "{a} {b} {length}");
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
