//! How long the whole tape plan of a mark takes: 12 characters of a font full of curves, 12 in high, with layout tape
//! and without, and 12 square ones.

use criterion::{Criterion, criterion_group, criterion_main};
use plan::job::Attachments;
use plan::mask::mask_marks;

const CURVED: &[u8] = include_bytes!("../../../data/fonts/DejaVuSans.ttf");

fn job(letters: &str, layout_tapes: &str) -> String {
    format!(
        r#"title = "bench"
units = "in"
[[surface]]
id = "panel"
kind = "flat"
corners = [[0, 0], [200, 0], [200, 40], [0, 40]]
[[mark]]
id = "m"
surface = "panel"
text = "BCDGJOPQRS68"
legal = false
letters = {letters}
height = 12
gap_ratio = 0.25
place = {{ at = [100, 20] }}
[masking]
method = "tape"
edge_tapes = [ {{ width = "1/2 in", real = "12.7 mm", roll = "36 yd", strain = 0.05 }}, {{ width = "1/4 in", roll = "36 yd", strain = 0.05 }}, {{ width = "1/8 in", roll = "36 yd", strain = 0.05 }} ]
tack_tape = {{ width = "3/4 in", real = "18 mm", roll = "60 yd" }}
layout_tapes = [ {layout_tapes} ]
"#
    )
}

#[allow(clippy::print_stderr, reason = "a bench tells what it measures")]
fn tape(c: &mut Criterion) {
    let both = r#"{ width = "1 in", roll = "60 yd" }, { width = "2 in", roll = "60 yd" }"#;
    let font = r#"{ font = "curved.ttf" }"#;
    for (name, letters, layout) in [
        ("12 curved characters", font, both),
        ("12 curved characters, no layout tape", font, ""),
        ("12 square characters", r#""square""#, both),
    ] {
        let mut files = Attachments::default();
        files.files.insert("curved.ttf".to_owned(), CURVED.to_vec());
        let job = plan::job::read(&job(letters, layout)).expect("the bench's own job is good");
        let plan = plan::run(&job, &files).expect("the bench's own job can be planned");
        let mask = &plan.masking.masks[0];
        eprintln!(
            "{name}: {} pieces, {:.1} m of layout tape",
            mask.pieces.len(),
            mask.totals.layout / 1000.0
        );
        c.bench_function(name, |b| b.iter(|| mask_marks(std::hint::black_box(&job), &plan.marks)));
    }
}

criterion_group!(benches, tape);
criterion_main!(benches);
