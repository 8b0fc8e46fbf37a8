//! Letters on scans of a ball, an egg and a ring, however coarse: what they strain, and where their patch ends.

use super::*;
use crate::flatten::{Strain, flatten, flatten_sides};
use crate::surface::forms::{Egg, Torus};
use crate::surface::{Heading, Surface, grid};

const INCH: f64 = 25.4;

/// A letter 3 in high with a tenth of white round it.
const BOX: Vec2 = Vec2::new(2.2 * INCH, 3.3 * INCH);

/// A scan of a skin round a letter, its rows turned and shifted by `n` so that they meet the letter's box anyhow, and the
/// letter's bearing on it.
fn scanned(skin: &impl Surface, letter: Heading, spacing: f64, n: u32) -> (Mesh, Bearing) {
    let n = f64::from(n);
    let shift = Vec2::new((n * 0.618).fract() - 0.5, (n * 0.755).fract() - 0.5) * spacing;
    let from = letter.turned(skin, 0.37 * n).ahead(skin, shift.x).turned(skin, 1.57).ahead(skin, shift.y);
    let count = (8.0 * INCH / spacing) as usize;
    let size = count as f64 * spacing;
    let mesh = grid(skin, from, size, size, count, count).mesh;
    let jet = skin.jet(letter.uv);
    let spot = Spot::nearest(&mesh, jet.p).0;
    let bearing = Bearing::new(&mesh, spot, jet.direction(letter.way)).unwrap();
    (mesh, bearing)
}

fn laid(grid: &Grid) -> Strain {
    let flat = flatten_sides(&grid.mesh, &grid.sides(), &grid.flat).unwrap();
    assert_eq!(flat.turned_over, 0);
    flat.strain
}

fn near(got: Strain, wanted: Strain, share: f64) {
    for (a, b) in [(got.max, wanted.max), (got.p99, wanted.p99), (got.rms, wanted.rms)] {
        assert!((a / b - 1.0).abs() < share, "{got:?} {wanted:?}");
    }
}

/// What a letter strains on a scan of this skin is what it strains on the skin itself, also where three triangles make
/// up its height; and what it strains on the triangles nears that as they grow fine.
fn measured(skin: &impl Surface, at: Vec2) {
    let letter = Heading::new(skin, at, Point3::Z);
    let truth = laid(&grid(skin, letter, BOX.x, BOX.y, 16, 22));
    // facts/geometry.md, B1: no map strains less than K r^2 / 12 over the disc inside; the least bend there is.
    let places = grid(skin, letter, BOX.x, BOX.y, 8, 8).places;
    let bends: Vec<f64> = places.iter().map(|p| skin.jet(*p).curvature().abs()).collect();
    let mean = bends.iter().sum::<f64>() / bends.len() as f64;
    let bound = bends.iter().copied().fold(f64::INFINITY, f64::min) * (BOX.x / 2.0).powi(2) / 12.0;
    assert!(bound < truth.max);
    for rows in [12.0, 8.0, 6.0, 4.0, 3.0] {
        for n in 0..3 {
            let (mesh, bearing) = scanned(skin, letter, 3.0 * INCH / rows, n);
            let Ended { patch, smooth, bend } = Cutter::new(&mesh).ended(bearing, BOX).unwrap();
            let strain = laid(&smooth.unwrap());
            assert!((bend.abs() / mean - 1.0).abs() < 0.01, "{bend} {mean}");
            near(strain, truth, if rows < 4.0 { 0.03 } else { 0.015 });
            assert!(bound < strain.max);
            // The pieces of the triangles hold what bend there is in their corners: they strain more.
            let own = flatten(&patch.mesh, &patch.flat).unwrap();
            assert_eq!(own.turned_over, 0);
            assert!(bound < own.strain.max);
            if 10.0 < rows {
                assert!((own.strain.rms / truth.rms - 1.0).abs() < 0.1, "{:?} {truth:?}", own.strain);
            }
        }
    }
}

#[test]
fn a_letter_strains_as_much_on_a_coarse_scan_of_a_ball_as_on_the_ball() {
    measured(&Egg { half_length: 8.0 * INCH, radius: 8.0 * INCH }, Vec2::ZERO);
}

#[test]
fn the_same_on_an_egg() {
    measured(&Egg { half_length: 13.0 * INCH, radius: 5.0 * INCH }, Vec2::new(0.3, 0.0));
}

#[test]
fn the_same_outside_and_inside_a_ring() {
    let ring = Torus { ring: 20.0 * INCH, pipe: 6.0 * INCH };
    measured(&ring, Vec2::new(0.2, 0.0));
    measured(&ring, Vec2::new(2.9, 0.0));
}

#[test]
fn the_pieces_lie_on_the_triangles_they_are_of_and_fill_the_box() {
    let egg = Egg { half_length: 13.0 * INCH, radius: 5.0 * INCH };
    let letter = Heading::new(&egg, Vec2::new(0.3, 0.0), Point3::Z);
    for n in 0..4 {
        let (mesh, bearing) = scanned(&egg, letter, INCH, n);
        let patch = Cutter::new(&mesh).ended(bearing, BOX).unwrap().patch;
        assert!(!patch.short);
        assert!(patch.centre.point(&patch.mesh).distance(bearing.spot.point(&mesh)) < 1e-9);
        // A first map is good to a few parts in a thousand; a chord is shorter than its arc.
        assert!((patch.mesh.area() / (BOX.x * BOX.y) - 1.0).abs() < 0.02, "{}", patch.mesh.area());
        for (t, own) in patch.triangles.iter().enumerate() {
            for p in patch.mesh.corners(t as u32) {
                assert!(Spot::nearest_of(&mesh, [*own], p).1 < 1e-9);
            }
            let (piece, whole) = (patch.mesh.cross(t as u32), mesh.cross(*own));
            assert!(0.0 < piece.dot(whole), "face up");
        }
    }
}

#[test]
fn where_the_skin_ends_within_the_box_the_patch_says_so() {
    let ball = Egg { half_length: 200.0, radius: 200.0 };
    let all = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 300.0, 300.0, 20, 20);
    let bearing =
        Bearing::new(&all.mesh, Spot::nearest(&all.mesh, ball.jet(Vec2::ZERO).p).0, Point3::X).unwrap();
    let cutter = Cutter::new(&all.mesh);
    let within = cutter.ended(bearing, Vec2::new(280.0, 100.0)).unwrap();
    assert!(!within.patch.short && within.smooth.is_some());
    let beyond = cutter.ended(bearing, Vec2::new(320.0, 100.0)).unwrap();
    assert!(beyond.patch.short && beyond.smooth.is_none());
    let wide = (beyond.patch.flat.iter().map(|p| p.x)).fold(0.0, f64::max);
    assert!((wide - 150.0).abs() < 1.0, "{wide}");
}

/// Skins drawn rather than scanned have facets as long as the body: a tube 16 in across and 200 in long in 64 strips of
/// two triangles. A letter there lies flat without strain but at the bends, as on a tube.
#[test]
fn a_letter_on_facets_far_longer_than_it_is_cut_out_and_lies_flat() {
    let (radius, long, strips) = (8.0 * INCH, 200.0 * INCH, 64_u32);
    let at = |k: u32, x: f64| {
        let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / f64::from(strips)).sin_cos();
        Point3::new(x, radius * sin, radius * cos)
    };
    let points = (0..2 * strips).map(|k| at(k / 2, if k % 2 == 0 { 0.0 } else { long })).collect();
    let [all, two] = [2 * strips, 2];
    let triangles = (0..strips).flat_map(|k| {
        let [a, b, c, d] = [two * k, two * k + 1, (two * k + 2) % all, (two * k + 3) % all];
        [[a, d, b], [a, c, d]]
    });
    let mesh = Mesh::of_grid(points, triangles.collect());
    for (x, turn) in [(100.0, 0.0), (100.3, 0.5), (30.0, 1.2), (170.0, -0.7)] {
        let spot = Spot::nearest(&mesh, at(11, x * INCH)).0;
        let bearing = Bearing::new(&mesh, spot, Point3::X).unwrap().turned(&mesh, turn);
        let patch = Cutter::new(&mesh).ended(bearing, BOX).unwrap().patch;
        assert!(!patch.short);
        assert!((patch.mesh.area() / (BOX.x * BOX.y) - 1.0).abs() < 0.02, "{}", patch.mesh.area());
        let flat = flatten(&patch.mesh, &patch.flat).unwrap();
        assert!(flat.turned_over == 0 && flat.strain.max < 1e-6, "{:?}", flat.strain);
    }
}
