//! Lengths known in closed form, and a second way to every other.

use super::*;
use crate::mesh::Soup;
use crate::surface::forms::{Cone, Egg};
use crate::surface::{Heading, grid};
use proptest::prelude::*;

fn long(way: &[Point3]) -> f64 {
    way.windows(2).map(|w| w[0].distance(w[1])).sum()
}

/// Every way is as long as its distance and starts and ends right.
fn ways_bear_out(found: &Distances<'_>) {
    for k in 0..found.mesh.points().len() as u32 {
        let way = found.way(k);
        assert!(
            (long(&way) - found.distance[k as usize]).abs() < 1e-7,
            "{k}: {} {}",
            long(&way),
            found.distance[k as usize]
        );
        assert!(way[0].distance(found.source.point(found.mesh)) < 1e-9);
        assert_eq!(*way.last().unwrap(), found.mesh.point(k));
    }
}

#[test]
fn across_a_cube_from_corner_to_corner() {
    let corner = |k: u32| Point3::new((k & 1) as f64, (k >> 1 & 1) as f64, (k >> 2) as f64) * 10.0;
    let squares = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let soup = Soup {
        points: (0..8).map(corner).collect(),
        triangles: squares.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect(),
        normals: Vec::new(),
    };
    let (mesh, _) = Mesh::joined(&soup, 0.001).unwrap();
    let side = (0..36).find(|s| mesh.point(mesh.from(*s)) == Point3::ZERO).unwrap();
    let found = Distances::from(&mesh, Spot::at_start_of(side), f64::INFINITY, &[]);
    for k in 0..8 {
        let p = mesh.point(k);
        // Edge, diagonal of a square, and across two squares laid flat.
        let wanted =
            [0.0, 10.0, 200.0_f64.sqrt(), 500.0_f64.sqrt()][(p.dot(Point3::splat(0.1)).round()) as usize];
        assert!((found.distance[k as usize] - wanted).abs() < 1e-9, "{p}: {}", found.distance[k as usize]);
    }
    ways_bear_out(&found);
    let found = Distances::from(&mesh, Spot { triangle: 3, shares: [0.2, 0.5, 0.3] }, f64::INFINITY, &[]);
    ways_bear_out(&found);
}

#[test]
fn a_cone_is_crossed_in_the_length_of_its_unrolled_line() {
    // facts/geometry.md, E: 59.214697 in; A2: 960 triangles lose 1.7e-4 in, 8600 lose 1.9e-5 in to chords.
    let (inch, t) = (25.4, 5.0_f64.to_radians());
    let cone = Cone { half_angle: t };
    let tip = 24.0 / t.sin();
    for (n, may) in [((30, 16), 2e-4), ((90, 48), 3e-5)] {
        let (nu, nv) = n;
        let mut points = Vec::new();
        for i in 0..=nu {
            for j in 0..=nv {
                let (a, b) = (58.0 * (i as f64 / nu as f64 - 0.5), 12.0 * (j as f64 / nv as f64 - 0.5));
                points.push(crate::surface::Surface::jet(&cone, Vec2::new((tip - a) * inch, -b / 24.0)).p);
            }
        }
        let last = points.len() as u32 - 1;
        let mesh = Mesh::of_grid(points, crate::surface::triangles(nu, nv));
        let found = Distances::from(&mesh, Spot::at_start_of(0), f64::INFINITY, &[last]);
        let off = found.distance[last as usize] / inch - 59.214697;
        assert!(off.abs() < may, "{off}");
        assert!((long(&found.way(last)) / inch - 59.214697 - off).abs() < 1e-9);
    }
}

#[test]
fn a_ball_is_measured_along_its_great_circles() {
    let ball = Egg { half_length: 200.0, radius: 200.0 };
    let grid = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 300.0, 300.0, 60, 60);
    let centre = 30 * 61 + 30;
    let side = (0..).find(|s| grid.mesh.from(*s) == centre).unwrap();
    let found = Distances::from(&grid.mesh, Spot::at_start_of(side), f64::INFINITY, &[]);
    let middle = grid.mesh.point(centre);
    for (k, p) in grid.mesh.points().iter().enumerate() {
        let wanted = 200.0 * (middle.dot(*p) / 40_000.0).clamp(-1.0, 1.0).acos();
        assert!(
            (found.all()[k] - wanted).abs() < 2e-3 * wanted.max(10.0),
            "{k}: {} {wanted}",
            found.all()[k]
        );
    }
    ways_bear_out(&found);
}

/// Least distances along sides cut into `parts` and chords across triangles: never below the exact ones.
fn by_chords(mesh: &Mesh, source: u32, parts: usize) -> Vec<f64> {
    let mut nodes: Vec<Point3> = mesh.points().to_vec();
    let mut on = std::collections::BTreeMap::new();
    let mut beside: Vec<Vec<usize>> = Vec::new();
    for side in 0..3 * mesh.triangles().len() as u32 {
        let (a, b) = (mesh.from(side).min(mesh.to(side)), mesh.from(side).max(mesh.to(side)));
        on.entry((a, b)).or_insert_with(|| {
            let first = nodes.len();
            for k in 1..parts {
                nodes.push(mesh.point(a).lerp(mesh.point(b), k as f64 / parts as f64));
            }
            first
        });
    }
    let mut groups = Vec::new();
    for t in mesh.triangles() {
        let mut group: Vec<usize> = t.iter().map(|k| *k as usize).collect();
        for k in 0..3 {
            let (a, b) = (t[k].min(t[(k + 1) % 3]), t[k].max(t[(k + 1) % 3]));
            group.extend(on[&(a, b)]..on[&(a, b)] + parts - 1);
        }
        groups.push(group);
    }
    beside.resize(nodes.len(), Vec::new());
    for (g, group) in groups.iter().enumerate() {
        group.iter().for_each(|n| beside[*n].push(g));
    }
    let mut far = vec![f64::INFINITY; nodes.len()];
    far[source as usize] = 0.0;
    let mut queue = BinaryHeap::from([Near(0.0, source)]);
    while let Some(Near(d, k)) = queue.pop() {
        if d <= far[k as usize] {
            for g in &beside[k as usize] {
                for &other in &groups[*g] {
                    let to = d + nodes[k as usize].distance(nodes[other]);
                    if to < far[other] {
                        far[other] = to;
                        queue.push(Near(to, other as u32));
                    }
                }
            }
        }
    }
    far.truncate(mesh.points().len());
    far
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn on_rough_ground_no_way_is_shorter_and_the_chords_come_near(
        heights in prop::collection::vec(0.0..12.0_f64, 36),
        start in 0..36_u32,
    ) {
        let points = (0..36).map(|k| Point3::new((k / 6) as f64 * 10.0, (k % 6) as f64 * 10.0, heights[k])).collect();
        let mesh = Mesh::of_grid(points, crate::surface::triangles(5, 5));
        let side = (0..).find(|s| mesh.from(*s) == start).unwrap();
        let found = Distances::from(&mesh, Spot::at_start_of(side), f64::INFINITY, &[]);
        let chords = by_chords(&mesh, start, 24);
        for (k, (exact, above)) in found.all().iter().zip(&chords).enumerate() {
            prop_assert!(*exact <= above + 1e-9, "{k}: {exact} {above}");
            prop_assert!(*above <= exact * 1.004 + 1e-9, "{k}: {exact} {above}");
        }
        ways_bear_out(&found);
    }
}

#[test]
fn on_a_flat_sheet_every_way_is_straight_also_from_a_side_and_past_corners_in_line() {
    let points: Vec<Point3> =
        (0..441).map(|k| Point3::new((k / 21) as f64 * 10.0, (k % 21) as f64 * 10.0, 0.0)).collect();
    let mesh = Mesh::of_grid(points, crate::surface::triangles(20, 20));
    let shares = [[1.0, 0.0, 0.0], [0.5, 0.5, 0.0], [0.0, 0.3, 0.7], [0.25, 0.0, 0.75], [0.2, 0.5, 0.3]];
    for (triangle, shares) in [0, 7, 211, 430, 799].into_iter().flat_map(|t| shares.map(|s| (t, s))) {
        let source = Spot { triangle, shares };
        let found = Distances::from(&mesh, source, f64::INFINITY, &[]);
        let here = source.point(&mesh);
        for (k, p) in mesh.points().iter().enumerate() {
            let off = found.all()[k] - here.distance(*p);
            assert!(off.abs() < 1e-9, "{source:?} {p} {off}");
        }
    }
}

#[test]
fn light_that_bends_at_a_rim_passes_corners_in_line_with_it() {
    // Squares of 10 mm with a square of 100 mm cut out; from its corner at (50, 50) the corners (90, 40) and (130, 30)
    // stand in line, and what lies above that line is in plain sight past them.
    let points = (0..441).map(|k| Point3::new((k / 21) as f64 * 10.0, (k % 21) as f64 * 10.0, 0.0)).collect();
    let inside = |v: usize| (5..15).contains(&v);
    let all: Vec<[u32; 3]> = crate::surface::triangles(20, 20)
        .into_iter()
        .enumerate()
        .filter(|(k, _)| !(inside(k / 40) && inside(k % 40 / 2)))
        .map(|(_, t)| t)
        .collect();
    let mesh = Mesh::of_grid(points, all);
    let (source, _) = Spot::nearest(&mesh, Point3::new(30.3, 120.2, 0.0));
    let found = Distances::from(&mesh, source, f64::INFINITY, &[]);
    let here = source.point(&mesh);
    let bend = Point3::new(50.0, 50.0, 0.0);
    for (k, p) in mesh.points().iter().enumerate().filter(|(_, p)| 150.0 < p.x && p.y <= 50.0) {
        let wanted = here.distance(bend) + bend.distance(*p);
        assert!((found.all()[k] - wanted).abs() < 1e-9, "{p} {} {wanted}", found.all()[k]);
    }
}
