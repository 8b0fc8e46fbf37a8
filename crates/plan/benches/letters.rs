//! How long a mark of 12 characters takes to draw and set, per alphabet: plain; with optical gaps, laid full size under
//! a slant; and what an outline and a shadow take on top.

use criterion::{Criterion, criterion_group, criterion_main};
use plan::fit::given::full_size;
use plan::marks::design::{Design, Further, FurtherShape};
use plan::marks::further::shown;
use plan::marks::letters::{Alphabet, Proportions, glyph};
use plan::marks::setting::{Set, Setting, set};
use std::hint::black_box;

const P: Proportions = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };

fn twelve(alphabet: Alphabet, setting: &Setting) -> Set {
    set(black_box("N80364KHPC67"), setting, |ch| glyph(alphabet, ch, &P))
}

fn slanted(set: Set) -> Design {
    let (glyphs, length, depth) = (set.glyphs, set.length, set.depth);
    Design { glyphs, length, depth, slant: 0.2, ..Design::plain("", Alphabet::Square, &P, 300.0) }
}

fn letters(c: &mut Criterion) {
    let plain = Setting::plain(P.width / 4.0, P.width);
    let optical = Setting { optical: true, ..plain.clone() };
    for alphabet in Alphabet::ALL {
        c.bench_function(&format!("12 characters, {alphabet:?}"), |b| b.iter(|| twelve(alphabet, &plain)));
        c.bench_function(&format!("12 characters, {alphabet:?}, optical and slanted"), |b| {
            b.iter(|| full_size(&slanted(twelve(alphabet, &optical))));
        });
        let laid = full_size(&slanted(twelve(alphabet, &plain)));
        let rings: Vec<_> = laid.into_iter().flat_map(|g| g.rings).collect();
        for (name, shape) in
            [("outline", FurtherShape::Outline(12.0)), ("shadow", FurtherShape::Shadow([20.0, -15.0]))]
        {
            let colour = [Further { paint: String::new(), shape }];
            c.bench_function(&format!("{name} of 12 slanted characters, {alphabet:?}"), |b| {
                b.iter(|| shown(black_box(&colour), &rings));
            });
        }
    }
}

criterion_group!(benches, letters);
criterion_main!(benches);
