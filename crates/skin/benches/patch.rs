//! How long a letter's patch takes.

use criterion::{Criterion, criterion_group, criterion_main};

fn patch(_c: &mut Criterion) {}

criterion_group!(benches, patch);
criterion_main!(benches);
