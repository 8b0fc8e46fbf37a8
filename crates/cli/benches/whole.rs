//! Whole runs of the program as a user waits for them: the demo with its files, and a check.

use criterion::{Criterion, criterion_group, criterion_main};
use std::path::Path;
use std::process::{Command, Stdio};

fn run(args: &[&str]) {
    let status = Command::new(env!("CARGO_BIN_EXE_maskwright"))
        .args(args)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    assert!(status.success());
}

fn whole(c: &mut Criterion) {
    let hangar = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../hangar/01-parasol-wing/job.toml");
    let job = hangar.to_str().expect("a path of ours is UTF-8");
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench-demo");
    let folder = out.to_str().expect("a path of ours is UTF-8");
    c.bench_function("demo, whole process with its files", |b| b.iter(|| run(&["demo", "-o", folder])));
    c.bench_function("check, whole process", |b| b.iter(|| run(&["check", job])));
}

criterion_group!(benches, whole);
criterion_main!(benches);
