//! How long it takes to solve a day: four marks in two paints and three goes, and a day of forty tasks and more.

use criterion::{Criterion, criterion_group, criterion_main};
use plan::spray::ask::{Ask, Beside, Letter, PaintAsk, Round};
use plan::spray::day::solve;

/// So many letters of each paint, half of them on another surface than the rest.
fn ask(hands: i64, paints: &[usize], by: i64) -> Ask {
    let round = |least, most| Round { least, most };
    let paint = PaintAsk {
        rounds: vec![round(0, None), round(5, Some(10)), round(5, Some(10)), round(45, None)],
        pull: Some((0, by)),
        unmask: Some((360, 720)),
        pot_life: Some(150),
        dry_to_tape: 660,
        mix: 12,
        clean: 20,
    };
    let letters: Vec<Letter> = paints
        .iter()
        .enumerate()
        .flat_map(|(paint, n)| {
            (0..*n).map(move |k| Letter {
                paint,
                coat: vec![1, 1, 1, 3],
                pull: 5 + (k % 3) as i64,
                swab: 0,
                wipe: 4,
                edge: 20,
                lay: 0,
                edge_from: i64::MIN / 4,
                unmask: 12,
                cover: 6,
                until: 0,
            })
        })
        .collect();
    let n = letters.len();
    let beside = |a: usize, b: usize| Beside { near: a % 2 == b % 2, taped: false, laid: false };
    Ask {
        hands,
        hours: (480, 1080),
        midnight: 1440,
        days: (-2, 13),
        dwell: Some(1440),
        paints: vec![paint; paints.len()],
        beside: (0..n).map(|b| (0..n).map(|a| beside(a, b)).collect()).collect(),
        letters,
    }
}

#[allow(clippy::print_stderr, reason = "a bench tells what it measures")]
fn days(c: &mut Criterion) {
    for (name, ask) in [
        ("four marks, two paints, three goes", ask(2, &[14, 6], 60)),
        ("forty tasks", ask(1, &[10], 25)),
        ("two paints in six goes", ask(1, &[12, 6], 25)),
    ] {
        let day = solve(&ask).expect("the bench's own day works");
        // Goes, steps of the day as the plan writes them, and how far the answer is proved.
        let tasks: usize = day.goes.iter().map(|g| 9 + 3 * g.letters.len()).sum();
        eprintln!("{name}: {} goes, {tasks} tasks, ends {}, bound {}", day.goes.len(), day.finish, day.bound);
        c.bench_function(name, |b| b.iter(|| solve(std::hint::black_box(&ask))));
    }
}

criterion_group!(benches, days);
criterion_main!(benches);
