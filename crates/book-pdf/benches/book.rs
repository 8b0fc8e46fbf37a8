//! How long the demo's book takes, from a finished plan to PDF bytes.

#[path = "../src/tests/sample.rs"]
mod sample;

use book_pdf::{Paper, book};
use criterion::{Criterion, criterion_group, criterion_main};
use plan::job::Attachments;

const JOB: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");
const SECTION: &[u8] = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");

fn demo(c: &mut Criterion) {
    let job = plan::job::read(JOB).expect("the demo job is good");
    let mut files = Attachments::default();
    files.files.insert("naca-4412.dat".to_owned(), SECTION.to_vec());
    let plan = plan::run(&job, &files).expect("the demo can be planned");
    let mut data = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    sample::fill(&mut data);
    let (data, drawings) = (data.to_string(), plan.book_drawings());
    let mut group = c.benchmark_group("book");
    group.sample_size(10);
    group.bench_function("the demo's book, all pages", |b| {
        b.iter(|| book(&data, &drawings, Paper::A4).expect("the book can be set"))
    });
    group.finish();
}

criterion_group!(benches, demo);
criterion_main!(benches);
