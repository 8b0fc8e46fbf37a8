//! How long the search for a place takes on invented panels; `examples/room_spread.rs` prints the spread.

mod panel;

use criterion::{Criterion, criterion_group, criterion_main};
use panel::{AIM, TIES, font, large, round, small};
use std::hint::black_box;

fn room(c: &mut Criterion) {
    // The seed of a small panel near the median of a hundred.
    let thirty = small(7);
    c.bench_function("roomiest among 30", |b| b.iter(|| black_box(&thirty).roomiest(AIM, TIES)));
    c.bench_function("nearest among 30", |b| b.iter(|| black_box(&thirty).nearest(AIM, 0.0, TIES)));
    let (bent, chords) = (round(7), font(7));
    c.bench_function("roomiest among 30, arcs", |b| b.iter(|| black_box(&bent).roomiest(AIM, TIES)));
    c.bench_function("nearest among 30, arcs", |b| b.iter(|| black_box(&bent).nearest(AIM, 0.0, TIES)));
    c.bench_function("roomiest among 30, chords", |b| b.iter(|| black_box(&chords).roomiest(AIM, TIES)));
    c.bench_function("nearest among 30, chords", |b| b.iter(|| black_box(&chords).nearest(AIM, 0.0, TIES)));
    c.bench_function("room among 30", |b| b.iter(|| black_box(&thirty).free()));
    c.bench_function("room among 30, arcs", |b| b.iter(|| black_box(&bent).free()));
    c.bench_function("contacts among 30", |b| b.iter(|| black_box(&thirty).contacts_at(AIM, 0.05)));
    let mut slow = c.benchmark_group("panel of 168 x 60 in");
    slow.sample_size(10);
    let many = large(7);
    slow.bench_function("roomiest among 300", |b| b.iter(|| black_box(&many).roomiest(AIM, TIES)));
    slow.bench_function("nearest among 300", |b| b.iter(|| black_box(&many).nearest(AIM, 0.0, TIES)));
    slow.finish();
}

criterion_group!(benches, room);
criterion_main!(benches);
