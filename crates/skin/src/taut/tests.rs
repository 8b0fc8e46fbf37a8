//! Beside exact windows on skins of many kinds, and beside lines unrolled in closed form.

use super::*;
use crate::surface::forms::{Cone, Cylinder, Egg};
use crate::surface::{Heading, Surface, grid, triangles};
use crate::windows::Distances;
use geom::Vec2;
use proptest::prelude::*;

fn long(way: &Way) -> f64 {
    way.points.windows(2).map(|w| w[0].distance(w[1])).sum()
}

/// Even draws from 0 to 1, the same every time.
struct Draws(u64);

impl Draws {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> u32 {
        (self.even() * n as f64) as u32
    }

    /// A spot inside a triangle, on a side or at a corner.
    fn spot(&mut self, mesh: &Mesh) -> Spot {
        let triangle = self.below(mesh.triangles().len());
        let (a, b) = (0.02 + 0.48 * self.even(), 0.02 + 0.48 * self.even());
        let turn = self.below(3) as usize;
        let mut shares = match self.below(3) {
            0 => [1.0 - a - b, a, b],
            1 => [1.0 - a, a, 0.0],
            _ => [1.0, 0.0, 0.0],
        };
        shares.rotate_right(turn);
        Spot { triangle, shares }
    }
}

/// The exact distance between two spots, the second made a corner of a mesh of its own.
fn exact(mesh: &Mesh, from: Spot, to: Spot) -> f64 {
    let every: Vec<u32> = (0..mesh.triangles().len() as u32).collect();
    let (parted, source, goal) = proof::cut_out(mesh, &every, from, to);
    Distances::from(&parted, source, f64::INFINITY, &[goal]).all()[goal as usize]
}

/// Taut ways are true ways, never shorter than the exact ones; proven ways are the exact ones. The share by which the
/// worst taut way is longer.
fn bears_out(mesh: &Mesh, draws: &mut Draws, pairs: usize) -> f64 {
    let mut worst = 0.0;
    for _ in 0..pairs {
        let (from, to) = (draws.spot(mesh), draws.spot(mesh));
        let truth = exact(mesh, from, to);
        let way = taut(mesh, from, to).unwrap();
        let back = taut(mesh, to, from).unwrap();
        let (best, sure) = shortest(mesh, from, to, usize::MAX).unwrap();
        let slack = 1e-9 * truth.max(1.0);
        assert!(sure);
        for w in [&way, &back, &best] {
            assert!((long(w) - w.length).abs() <= slack, "{} {}", long(w), w.length);
            assert!(truth - slack <= w.length, "{from:?} {to:?} {truth} {}", w.length);
        }
        assert!((best.length - truth).abs() <= slack, "{from:?} {to:?} {truth} {}", best.length);
        assert!(way.points[0].distance(from.point(mesh)) <= slack);
        assert!(way.points[way.points.len() - 1].distance(to.point(mesh)) <= slack);
        worst = f64::max(worst, way.length / truth.max(1e-3) - 1.0);
    }
    worst
}

/// A strip of squares bent and joined to itself both ways.
fn ring_of_tube(n: u32, m: u32) -> Mesh {
    let at = |i: u32, j: u32| (i % n) * m + j % m;
    let (mut points, mut all) = (Vec::new(), Vec::new());
    for i in 0..n {
        for j in 0..m {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / f64::from(n)).sin_cos();
            let (up, out) = (std::f64::consts::TAU * f64::from(j) / f64::from(m)).sin_cos();
            let r = 300.0 + 100.0 * out;
            points.push(Point3::new(r * cos, r * sin, 100.0 * up));
            all.push([at(i, j), at(i + 1, j), at(i + 1, j + 1)]);
            all.push([at(i, j), at(i + 1, j + 1), at(i, j + 1)]);
        }
    }
    Mesh::of_grid(points, all)
}

#[test]
fn on_a_ring_of_tube_its_inside_a_saddle() {
    let mesh = ring_of_tube(36, 18);
    let worst = bears_out(&mesh, &mut Draws(1), 60);
    // On a ring a taut way may go round the wrong hand of the hole.
    assert!(worst < 0.25, "{worst}");
}

#[test]
fn on_an_egg() {
    let egg = Egg { half_length: 600.0, radius: 200.0 };
    let grid = grid(&egg, Heading::new(&egg, Vec2::ZERO, Point3::X), 500.0, 400.0, 30, 24);
    let worst = bears_out(&grid.mesh, &mut Draws(2), 60);
    assert!(worst < 1e-7, "{worst}");
}

#[test]
fn too_much_skin_to_look_at_is_said() {
    let mesh = ring_of_tube(36, 18);
    let (from, to) = (Spot::middle_of(0), Spot::middle_of(300));
    let way = taut(&mesh, from, to).unwrap();
    assert_eq!(shortest(&mesh, from, to, 10), Some((way, false)));
    assert!(shortest(&mesh, from, to, mesh.triangles().len()).unwrap().1);
}

#[test]
fn round_a_hole() {
    let points =
        (0..21 * 21).map(|k| Point3::new(f64::from(k / 21) * 10.0, f64::from(k % 21) * 10.0, 0.0)).collect();
    let inside = |v: u32| (5..15).contains(&v);
    let kept: Vec<[u32; 3]> = triangles(20, 20)
        .into_iter()
        .enumerate()
        .filter(|(k, _)| !(inside(*k as u32 / 40) && inside(*k as u32 % 40 / 2)))
        .map(|(_, t)| t)
        .collect();
    let whole = Mesh::of_grid(points, kept);
    let every: Vec<u32> = (0..whole.triangles().len() as u32).collect();
    let (mesh, _) = whole.part(&every);
    bears_out(&mesh, &mut Draws(3), 60);
    // From the middle of one side to the middle of the other: over a corner of the hole either way.
    let (a, b) = (Point3::new(0.0, 100.0, 0.0), Point3::new(200.0, 100.0, 0.0));
    let way = taut(&mesh, Spot::nearest(&mesh, a).0, Spot::nearest(&mesh, b).0).unwrap();
    let wanted = 100.0 + 2.0 * 50.0_f64.hypot(50.0);
    assert!((way.length - wanted).abs() < 1e-9, "{} {wanted}", way.length);
    let on_rim = |p: &&Point3| {
        let d = *p - Point3::new(100.0, 100.0, 0.0);
        (d.x.abs() - 50.0).abs() < 1e-9 && (d.y.abs() - 50.0).abs() < 1e-9
    };
    assert_eq!(way.points.iter().filter(on_rim).count(), 2);
}

#[test]
fn a_cone_is_crossed_in_the_length_of_its_unrolled_line() {
    // facts/geometry.md, E: 59.214697 in; A2: 960 triangles lose 1.7e-4 in, 8600 lose 1.9e-5 in to chords.
    let (inch, t) = (25.4, 5.0_f64.to_radians());
    let cone = Cone { half_angle: t };
    let tip = 24.0 / t.sin();
    for ((nu, nv), may) in [((30, 16), 2e-4), ((90, 48), 3e-5), ((300, 160), 3e-6)] {
        let mut points = Vec::new();
        for i in 0..=nu {
            for j in 0..=nv {
                let (a, b) = (58.0 * (i as f64 / nu as f64 - 0.5), 12.0 * (j as f64 / nv as f64 - 0.5));
                points.push(cone.jet(Vec2::new((tip - a) * inch, -b / 24.0)).p);
            }
        }
        let last = points.len() as u32 - 1;
        let mesh = Mesh::of_grid(points, triangles(nu, nv));
        let firsts = mesh.first_sides();
        let way =
            taut(&mesh, Spot::at_start_of(firsts[0]), Spot::at_start_of(firsts[last as usize])).unwrap();
        let off = way.length / inch - 59.214697;
        assert!(off.abs() < may, "{off}");
    }
}

#[test]
fn a_tube_is_crossed_by_helices() {
    let tube = Cylinder { radius: 300.0 };
    let grid = grid(&tube, Heading::new(&tube, Vec2::ZERO, Point3::X), 600.0, 600.0, 200, 200);
    let mut draws = Draws(5);
    for _ in 0..40 {
        let mut at = || Vec2::new(580.0 * (draws.even() - 0.5), 1.8 * (draws.even() - 0.5));
        let (a, b) = (at(), at());
        let spot = |uv: Vec2| Spot::nearest(&grid.mesh, tube.jet(uv).p).0;
        let way = taut(&grid.mesh, spot(a), spot(b)).unwrap();
        let wanted = (b.x - a.x).hypot(300.0 * (b.y - a.y));
        // Chords of 3 mm on a radius of 300 mm are shorter by 4e-6; spots lie 4 um inside.
        assert!((way.length - wanted).abs() < 6e-6 * wanted + 0.001, "{} {wanted}", way.length);
    }
}

#[test]
fn between_pieces_there_is_no_way() {
    let points =
        (0..6).map(|k| Point3::new(f64::from(k % 2), f64::from(k % 3), f64::from(k / 3) * 9.0)).collect();
    let mesh = Mesh::of_grid(points, vec![[0, 1, 2], [3, 4, 5]]);
    assert_eq!(taut(&mesh, Spot::middle_of(0), Spot::middle_of(1)), None);
    let way = taut(&mesh, Spot::middle_of(0), Spot::middle_of(0)).unwrap();
    assert!(way.length.abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn on_rough_ground(heights in prop::collection::vec(0.0..12.0_f64, 64), seed in 0..1_000_000_u64) {
        let points = (0..64).map(|k| Point3::new((k / 8) as f64 * 10.0, (k % 8) as f64 * 10.0, heights[k])).collect();
        let mesh = Mesh::of_grid(points, triangles(7, 7));
        bears_out(&mesh, &mut Draws(seed), 6);
    }
}
