//! Level cuts, rims and distances beside them, against closed forms of the ball, the tube and the ring.

use super::*;
use crate::beside::Beside;
use crate::surface::forms::{Cylinder, Egg, Torus};
use crate::surface::{Grid, Heading, Surface, grid};
use crate::windows::Distances;
use geom::Vec2;

fn of(surface: &impl Surface, size: [f64; 2], cells: usize) -> Grid {
    grid(surface, Heading::new(surface, Vec2::ZERO, Point3::X), size[0], size[1], cells, cells)
}

/// Geodesic curvature of a trail by the turns of ways between places `step` apart along it: the mean of its middle half.
fn bend(mesh: &Mesh, trail: &Trail, step: f64) -> f64 {
    let n = (trail.length() / step) as usize;
    let at = |k: usize| trail.at(mesh, trail.length() * k as f64 / n as f64);
    let turn = |k: usize| {
        let (a, b, c) = (at(k - 1), at(k), at(k + 1));
        let (came, goes) = (taut(mesh, a, b).unwrap(), taut(mesh, b, c).unwrap());
        let end = came.points.len() - 1;
        let (u, v) = (came.points[end] - came.points[end - 1], goes.points[1] - goes.points[0]);
        let out = mesh.cross(b.triangle).normalize();
        u.cross(v).dot(out).atan2(u.dot(v)) / ((came.length + goes.length) / 2.0)
    };
    let inner = n / 4..3 * n / 4;
    inner.clone().map(turn).sum::<f64>() / inner.count() as f64
}

/// A ball of radius R cut h off its middle: a circle of radius sqrt(R2 - h2), geodesic curvature h / (R r) (closed form).
#[test]
fn a_level_cut_of_a_ball_is_its_circle_and_comes_nearer_with_finer_triangles() {
    let (radius, height) = (300.0, 110.0);
    let ball = Egg { half_length: radius, radius };
    let mut errs = Vec::new();
    for cells in [20, 40, 80] {
        let all = of(&ball, [400.0, 400.0], cells);
        let middle = all.mesh.point(all.mesh.triangles()[0][0]).normalize();
        // Square to the way out in the middle of the patch, so that the cut runs over the patch.
        let out = ball.jet(Vec2::ZERO).normal();
        let up = (middle - out * middle.dot(out)).normalize();
        let cuts = level(&all.mesh, up, height);
        assert_eq!(cuts.len(), 1);
        let cut = &cuts[0];
        assert!(!cut.closed());
        let r = (radius * radius - height * height).sqrt();
        let off = cut.points().iter().map(|p| ((*p - up * height).length() - r).abs()).fold(0.0, f64::max);
        assert!(cut.points().iter().all(|p| (p.dot(up) - height).abs() < 1e-9));
        let wanted = height / (radius * r);
        let found = bend(&all.mesh, cut, 30.0);
        errs.push((off, (found.abs() / wanted - 1.0).abs()));
    }
    assert!(errs[2].0 < 0.03 && errs[2].0 < errs[0].0 / 8.0, "{errs:?}");
    assert!(errs[2].1 < 0.01, "{errs:?}");
}

/// Of a closed ball a cut is closed and as long as its circle; what lies on one hand is walked from cut to cut.
#[test]
fn a_closed_cut_is_parted_where_it_is_told() {
    let mut triangles = Vec::new();
    let at = |i: u32, k: u32| {
        let (lat, lon) =
            (f64::from(i) / 40.0 * std::f64::consts::PI, f64::from(k % 80) / 80.0 * std::f64::consts::TAU);
        Point3::new(lat.sin() * lon.cos(), lat.sin() * lon.sin(), lat.cos()) * 200.0
    };
    for i in 0..40 {
        for k in 0..80 {
            triangles.push([at(i, k), at(i + 1, k), at(i + 1, k + 1)]);
            triangles.push([at(i, k), at(i + 1, k + 1), at(i, k + 1)]);
        }
    }
    let points: Vec<Point3> = triangles.iter().flatten().copied().collect();
    let triangles = (0..points.len() as u32 / 3).map(|k| [3 * k, 3 * k + 1, 3 * k + 2]).collect();
    let soup = crate::mesh::Soup { points, triangles, normals: Vec::new() };
    let mesh = Mesh::joined(&soup, 0.01).unwrap().0;
    let cuts = level(&mesh, Point3::Z, 70.0);
    assert!(cuts.len() == 1 && cuts[0].closed());
    let r = (200.0_f64 * 200.0 - 70.0 * 70.0).sqrt();
    assert!((cuts[0].length() / (std::f64::consts::TAU * r) - 1.0).abs() < 2e-3, "{}", cuts[0].length());
    let halves = cuts[0].kept(&|p: Point3| p.y);
    assert_eq!(halves.len(), 1);
    assert!((halves[0].length() / cuts[0].length() - 0.5).abs() < 1e-3);
    let ends = [halves[0].points()[0], halves[0].points()[halves[0].points().len() - 1]];
    assert!(ends.iter().all(|p| p.y.abs() < 1e-9) && halves[0].points().iter().all(|p| -1e-9 < p.y));
    // What is higher lies on the left: from above it runs counter-clockwise.
    assert!(0.0 < cuts[0].way(1.0).dot(Point3::Z.cross(cuts[0].points()[0])));
    assert!(rims(&mesh).is_empty());
}

/// A tube unrolls: beside a ruling lies a ruling, the arc between them as asked; beside a slanting straight way another.
#[test]
fn on_a_tube_what_lies_beside_a_straight_way_is_straight() {
    let tube = Cylinder { radius: 150.0 };
    let all = of(&tube, [500.0, 400.0], 48);
    let mesh = &all.mesh;
    let place = |x: f64, y: f64| {
        let (sin, cos) = (y / 150.0_f64).sin_cos();
        Spot::nearest(mesh, Point3::new(x, -150.0 * cos, 150.0 * sin)).0
    };
    // Facets are read by their angle.
    let unrolled = |p: Point3| Vec2::new(p.x, 150.0 * p.z.atan2(-p.y));
    for (a, b) in [((-200.0, 10.0), (200.0, 10.0)), ((-190.0, -60.0), (180.0, 20.0))] {
        let (from, to) = (place(a.0, a.1), place(b.0, b.1));
        let way = taut(mesh, from, to).unwrap();
        let line = Trail::of_way(mesh, from, &way.points).unwrap();
        assert!((line.length() - way.length).abs() < 1e-6);
        for off in [40.0, -25.4] {
            let beside = Beside { mesh, line: &line, corners: &[], off, step: 19.05 };
            let places = beside.places();
            assert!(places.len() > 15, "{}", places.len());
            let (u, v) = (unrolled(from.point(mesh)), unrolled(to.point(mesh)));
            let along = (v - u).normalize();
            // Seen from outside with x to the right, girth grows upwards or downwards: by the first place.
            let at = |p: &crate::beside::Place| along.cross(unrolled(p.spot.point(mesh)) - u);
            let way = at(&places[0]).signum();
            for p in &places {
                // Chords of 8 mm on a radius of 150 mm are short by 1.3 parts in 10 000.
                assert!((way * at(p) - off.abs()).abs() < 0.02, "{} {off}", at(p));
            }
            let spots: Vec<Spot> = places.iter().map(|p| p.spot).collect();
            assert!(beside.errs(&spots).unwrap() <= 2.0 * SETTLED_MM);
        }
    }
}

/// On a ring, by exact windows from a place beside the line: no corner of the line's own triangles is nearer than asked,
/// and the line is met at that distance. Windows are another road than taut ways.
#[test]
fn on_a_ring_places_beside_a_line_are_as_far_as_exact_windows_say() {
    let ring = Torus { ring: 508.0, pipe: 152.4 };
    let all = of(&ring, [300.0, 300.0], 60);
    let mesh = &all.mesh;
    // Along corners of the grid, so that windows reach its points.
    let column: Vec<Point3> = (0..=60).map(|i| mesh.points()[i * 61 + 30]).collect();
    let line = Trail::of_way(mesh, Spot::nearest(mesh, column[0]).0, &column).unwrap();
    let beside = Beside { mesh, line: &line, corners: &[], off: 50.8, step: 19.05 };
    let places = beside.places();
    assert!(places.len() >= 14, "{}", places.len());
    for p in &places {
        let found = Distances::from(mesh, p.spot, 80.0, &[]);
        let least = (0..=60).map(|i| found.all()[i * 61 + 30]).fold(f64::INFINITY, f64::min);
        // The nearest corner is at most half a side (2.5 mm) beside the foot: 0.062 mm farther than it.
        assert!((50.8 - 2.0 * SETTLED_MM..50.8 + 0.07).contains(&least), "{least}");
    }
}

/// A corner: the two hands meet in a mitre on a flat, the square root of 2 out at a right angle (closed form), and
/// nothing runs backwards inside it.
#[test]
fn at_a_corner_of_a_flat_both_hands_meet() {
    let n = 41_u32;
    let corner = |k: u32| Point3::new(f64::from(k % n) * 10.0, f64::from(k / n) * 10.0, 0.0);
    let cells =
        (0..n * (n - 1)).filter(|k| k % n < n - 1).map(|k| [[k, k + 1, k + n + 1], [k, k + n + 1, k + n]]);
    let mesh = Mesh::of_grid((0..n * n).map(corner).collect(), cells.flatten().collect());
    let spot = |x: f64, y: f64| Spot::nearest(&mesh, Point3::new(x, y, 0.0)).0;
    let (a, b, c) = (spot(53.0, 121.0), spot(243.0, 121.0), spot(243.0, 341.0));
    let leg =
        |from: Spot, to: Spot| Trail::of_way(&mesh, from, &taut(&mesh, from, to).unwrap().points).unwrap();
    let line = leg(a, b).then(&leg(b, c));
    let corners = [(190.0, std::f64::consts::FRAC_PI_2)];
    for (off, wanted) in [(30.0, Vec2::new(213.0, 151.0)), (-30.0, Vec2::new(273.0, 91.0))] {
        let places = Beside { mesh: &mesh, line: &line, corners: &corners, off, step: 15.0 }.places();
        let mitre: Vec<_> = places.iter().filter(|p| p.corner).collect();
        let p = mitre[0].spot.point(&mesh);
        assert!(mitre.len() == 1 && (Vec2::new(p.x, p.y) - wanted).hypot() < 1e-6, "{p}");
        let points: Vec<Point3> = places.iter().map(|p| p.spot.point(&mesh)).collect();
        for w in points.windows(2) {
            let way = w[1] - w[0];
            assert!(way.x.abs() < 1e-3 || way.y.abs() < 1e-3, "{w:?}");
            assert!(0.0 < way.x + way.y, "{w:?}");
        }
    }
}

/// The rim of a patch has the skin on its left, and its teeth do not trouble what lies inside it.
#[test]
fn a_rim_is_walked_round() {
    let ball = Egg { half_length: 300.0, radius: 300.0 };
    let all = of(&ball, [300.0, 200.0], 30);
    let rim = rims(&all.mesh);
    assert!(rim.len() == 1 && rim[0].closed());
    let part = rim[0].part(20.0, 200.0).unwrap();
    assert!((part.length() - 180.0).abs() < 1e-9);
    let places = Beside { mesh: &all.mesh, line: &part, corners: &[], off: 25.0, step: 19.05 }.places();
    assert!(places.len() > 6);
    for p in &places {
        let found = part.foot(&all.mesh, p.spot).unwrap();
        assert!((found.far - 25.0).abs() < 2.0 * SETTLED_MM);
    }
}

/// A line through a ball meets it at the two ends of its chord (closed form); the nearer is told.
#[test]
fn a_line_meets_a_ball_at_its_chord() {
    let ball = Egg { half_length: 300.0, radius: 300.0 };
    let all = of(&ball, [300.0, 300.0], 60);
    let out = ball.jet(Vec2::ZERO).normal();
    let across = ball.jet(Vec2::ZERO).u.normalize();
    let from = out * 250.0 + across * 60.0;
    let (spot, far) = Spot::pierced(&all.mesh, from, out).unwrap();
    let on = spot.point(&all.mesh);
    assert!((far - ((300.0_f64 * 300.0 - 3600.0).sqrt() - 250.0)).abs() < 0.02, "{far}");
    assert!((on - from - out * far).length() < 1e-9);
    assert!(Spot::pierced(&all.mesh, from, across).is_none());
}
