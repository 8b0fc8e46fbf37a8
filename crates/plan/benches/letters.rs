//! How long a mark of 12 characters takes to draw and set, per alphabet.

use criterion::{Criterion, criterion_group, criterion_main};
use plan::marks::letters::{Alphabet, Proportions, glyph};
use plan::marks::setting::{Setting, set};
use std::hint::black_box;

fn letters(c: &mut Criterion) {
    let p = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };
    for alphabet in Alphabet::ALL {
        c.bench_function(&format!("12 characters, {alphabet:?}"), |b| {
            b.iter(|| {
                set(black_box("N80364KHPC67"), &Setting::plain(p.width / 4.0, p.width), |ch| {
                    glyph(alphabet, ch, &p)
                })
            });
        });
    }
}

criterion_group!(benches, letters);
criterion_main!(benches);
