//! How long patches and ways take: a letter on a body, and patches of 200,000 triangles.
//!
//! `examples/skin_speed.rs` prints the same once with memory.

#[path = "../examples/skins/mod.rs"]
mod skins;

use criterion::{Criterion, criterion_group, criterion_main};
use skin::around::around;
use skin::body::Side;
use skin::cut::{Cutter, Shape};
use skin::flatten::flatten;
use skin::straight::Bearing;
use skin::surface::grid;
use skin::taut::{shortest, taut};
use skin::windows::Distances;
use skin::{Spot, denoise};
use std::hint::black_box;

const INCH: f64 = 25.4;

fn letter(c: &mut Criterion) {
    let body = skins::body();
    let place = body.place(Side::Left, 1500.0, 50.0).expect("on the side");
    let heading = body.heading(place, geom::Point3::X);
    let patch = grid(&body, heading, 16.0 * INCH, 24.0 * INCH, 41, 61);
    c.bench_function("letter 16 x 24 in: grid of 5k on a body", |b| {
        b.iter(|| grid(black_box(&body), heading, 16.0 * INCH, 24.0 * INCH, 41, 61));
    });
    c.bench_function("letter, 5k grid: flatten", |b| b.iter(|| flatten(black_box(&patch.mesh), &patch.flat)));
    let scan = skins::scan(20_000);
    let (spot, _) = Spot::nearest(&scan, skins::middle(&scan));
    let bearing = Bearing::new(&scan, spot, geom::Point3::X).expect("along the skin");
    let cutter = Cutter::new(&scan);
    let shape = Shape::Rectangle(17.0 * INCH, 25.5 * INCH);
    c.bench_function("letter, 4k of a scan of 20k: cut", |b| {
        b.iter(|| black_box(&cutter).patch(bearing, shape))
    });
    let size = geom::Vec2::new(17.0 * INCH, 25.5 * INCH);
    c.bench_function("letter, 4k of a scan of 20k: cut off at its box", |b| {
        b.iter(|| black_box(&cutter).ended(bearing, size))
    });
    let cut = cutter.patch(bearing, shape);
    c.bench_function("letter, 4k of a scan of 20k: flatten", |b| {
        b.iter(|| flatten(black_box(&cut.mesh), &cut.flat))
    });
}

fn large(c: &mut Criterion) {
    let mut slow = c.benchmark_group("200k");
    slow.sample_size(10);
    let egg = skins::egg_patch(200_000);
    slow.bench_function("grid: flatten", |b| b.iter(|| flatten(black_box(&egg.mesh), &egg.flat)));
    let scan = skins::scan(200_000);
    let (spot, _) = Spot::nearest(&scan, skins::middle(&scan));
    let (normals, firsts) = (scan.normals(), scan.first_sides());
    let first = || around(&scan, &normals, &firsts, spot, geom::Point3::X, |_, _| true);
    slow.bench_function("scan: first map", |b| b.iter(first));
    let map = first();
    slow.bench_function("scan: flatten", |b| b.iter(|| flatten(black_box(&scan), &map.flat)));
    slow.bench_function("scan: smooth to 1 in", |b| b.iter(|| denoise::smoothed(black_box(&scan), INCH)));
    let goal = skins::corner_at(&scan, spot, 12.0 * INCH);
    slow.bench_function("scan: taut way of 12 in", |b| b.iter(|| taut(black_box(&scan), spot, goal)));
    slow.bench_function("scan: the same, none shorter", |b| {
        b.iter(|| shortest(black_box(&scan), spot, goal, usize::MAX))
    });
    let target =
        scan.from(3 * goal.triangle + (0..3).find(|k| 0.5 < goal.shares[*k as usize]).expect("a corner"));
    slow.bench_function("scan: exact distances until that corner", |b| {
        b.iter(|| Distances::from(black_box(&scan), spot, f64::INFINITY, &[target]).all()[target as usize]);
    });
    let bearing = Bearing::new(&scan, spot, geom::Point3::X).expect("along the skin");
    slow.bench_function("scan: straight on for 30 in", |b| {
        b.iter(|| black_box(bearing).ahead(&scan, 30.0 * INCH))
    });
    slow.finish();
}

criterion_group!(benches, letter, large);
criterion_main!(benches);
