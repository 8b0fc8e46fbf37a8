//! How long the search for the largest height takes: six characters from 30 in down to 12 in on an invented panel; and
//! how long six characters on a body take to be placed again, charts, clearances and all.

use criterion::{Criterion, criterion_group, criterion_main};
use geom::{Point, Region, Ring};
use plan::fit::place::place_marks;
use plan::fit::search::{Goal, Task, largest};
use plan::job::{Attachments, Cross, FeatureKind, read};
use plan::marks::design::Design;
use plan::marks::letters::{Alphabet, Proportions};
use plan::marks::settle::design_marks;
use plan::rules::SkinSize;
use plan::surface::{FlatFeature, Skin, SkinShape, develop};
use std::hint::black_box;

const INCH: f64 = 25.4;

/// Repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        lo + (hi - lo) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// A panel of 168 x 40 in with 60 rings and ports.
fn panel() -> Skin {
    let mut n = Numbers(11);
    let features = (0..60)
        .map(|k| FlatFeature {
            id: format!("f{k}"),
            kind: if k % 3 == 0 { FeatureKind::Port } else { FeatureKind::Ring },
            region: Region::Disc {
                centre: Point::new(n.next(0.0, 168.0) * INCH, n.next(0.0, 40.0) * INCH),
                radius: n.next(0.2, 0.8) * INCH,
            },
            clearance: 0.1 * INCH,
            removable: false,
            cross: Cross::Never,
        })
        .collect();
    let corners = [(0.0, 0.0), (168.0, 0.0), (168.0, 40.0), (0.0, 40.0)];
    Skin {
        id: "panel".into(),
        side: None,
        shape: SkinShape::Flat,
        outline: Ring::from_points(corners.map(|(x, y)| Point::new(x * INCH, y * INCH))),
        girths: None,
        features,
        parts: Vec::new(),
        ribs: Vec::new(),
    }
}

fn fit(c: &mut Criterion) {
    let skin = panel();
    let p = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };
    let mut group = c.benchmark_group("largest, 30 in down to 12 in");
    group.sample_size(10);
    for alphabet in Alphabet::ALL {
        let design = Design::plain("N80HE4", alphabet, &p, 12.0 * INCH);
        let aim = Point::new(84.0 * INCH, 20.0 * INCH);
        let task = Task {
            design: &design,
            skin: &skin,
            features: &skin.features,
            angle: 0.0,
            allowed: &skin.outline,
            aim,
        };
        let ladder = || (96..=240).rev().map(|k| f64::from(k) * INCH / 8.0);
        for goal in [Goal::Nearest, Goal::Roomiest] {
            group.bench_function(format!("{alphabet:?}, {goal:?}"), |b| {
                b.iter(|| largest(black_box(task), ladder(), goal).map(|(height, _)| height));
            });
        }
        let found = largest(task, ladder(), Goal::Nearest);
        assert!(found.is_ok_and(|(height, answer)| height < 30.0 * INCH && answer.proved));
    }
    group.finish();
}

/// A mark of six characters on one side of a body: everything from its skin to its charts, the skin lofted already.
fn body(c: &mut Criterion) {
    const SIDES: &str = include_str!("../../../hangar/61-body-sides/job.toml");
    let given = SIDES.replacen("aim = [138, 8.25]", "place = { at = [149.25, 8.25] }", 1);
    let mut job = read(&given).expect("a job of the hangar");
    job.marks.truncate(1);
    job.alike.clear();
    let files = Attachments::default();
    let skins: Vec<Skin> = job.surfaces.iter().map(|s| develop(s, &files).expect("a body").0).collect();
    let designs = design_marks(&job, None, &files, |_| SkinSize::default()).expect("letters");
    c.bench_function("six characters on a body, placed again", |b| {
        b.iter(|| place_marks(black_box(&job), None, &skins, &designs).map(|(marks, _)| marks.len()));
    });
}

criterion_group!(benches, fit, body);
criterion_main!(benches);
