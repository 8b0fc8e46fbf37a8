//! A second reading of a finished day: from the tasks and the job alone, not from the problem it was solved as.
//!
//! Whatever it finds is a `fail`: a day that breaks its own windows must not be painted by.

use super::clock::Clock;
use super::labour::MaskWork;
use super::shots::Shot;
use super::taping;
use super::tasks::{Step, Task};
use crate::finding::{Finding, Severity};
use crate::job::{Job, Paint, Shop};

/// What the checker reads beside the tasks.
pub struct Facts<'a> {
    /// The job.
    pub job: &'a Job,
    /// Hours and hands.
    pub shop: &'a Shop,
    /// The shop's clock.
    pub clock: &'a Clock,
    /// The shop's warmth, C, if known.
    pub shop_c: Option<f64>,
    /// Everything that is shot.
    pub shots: &'a [Shot],
    /// Which of it are the day's letters.
    pub letters: &'a [usize],
    /// The masking of each shot.
    pub work: &'a [MaskWork],
    /// Distance under which a letter is near another, mm.
    pub near: f64,
    /// Dry to tape where a paint does not say, minutes.
    pub dry_to_tape: f64,
}

/// Everything a day breaks; empty for a sound one.
pub fn check(tasks: &[Task], facts: &Facts<'_>) -> Vec<String> {
    let mut wrong = Vec::new();
    hours_and_hands(tasks, facts, &mut wrong);
    for t in tasks {
        if t.not_before.is_some_and(|n| t.start < n) || t.not_after.is_some_and(|n| t.end() > n) {
            wrong.push(format!("{} lies outside its window", t.id));
        }
    }
    for l in 0..facts.letters.len() {
        letter(l, tasks, facts, &mut wrong);
    }
    let goes = tasks.iter().map(|t| t.go).max().unwrap_or(0);
    for g in 1..=goes {
        go(g, tasks, facts, &mut wrong);
    }
    ground(tasks, facts, &mut wrong);
    masks(tasks, facts, &mut wrong);
    wrong
}

/// The findings of a check: one `pass`, or a `fail` for each thing.
pub fn findings(wrong: &[String], tasks: usize) -> Vec<Finding> {
    if wrong.is_empty() {
        return vec![Finding::new(
            Severity::Pass,
            "day-checked",
            "",
            format!("every window of the day's {tasks} tasks was read a second time and is kept"),
        )];
    }
    wrong.iter().map(|w| Finding::new(Severity::Fail, "day-checked", "", w.clone())).collect()
}

/// A time as it is in this shop: our own reading of the doubling rule.
fn here(minutes: f64, at_c: Option<f64>, shop_c: Option<f64>) -> f64 {
    match (at_c, shop_c) {
        (Some(at), Some(now)) => minutes * 2.0_f64.powf((at - now) / 10.0),
        _ => minutes,
    }
}

/// Slack for rounding of a scaled time, minutes.
const NOISE_MIN: f64 = 0.001;

fn at_least(got: i64, least: f64) -> bool {
    got as f64 >= least - NOISE_MIN
}

fn at_most(got: i64, most: f64) -> bool {
    got as f64 <= most + NOISE_MIN
}

fn hours_and_hands(tasks: &[Task], facts: &Facts<'_>, wrong: &mut Vec<String>) {
    let (opens, closes) = (i64::from(facts.shop.opens), i64::from(facts.shop.closes));
    for t in tasks.iter().filter(|t| t.hands > 0) {
        let into = t.start.rem_euclid(1440);
        if into < opens || into + t.minutes > closes {
            wrong.push(format!("{} lies outside the shop's hours", t.id));
        }
        if t.minutes <= 0 {
            wrong.push(format!("{} takes no time", t.id));
        }
        let busy: i64 =
            tasks.iter().filter(|o| o.start <= t.start && t.start < o.end()).map(|o| o.hands).sum();
        if busy > i64::from(facts.shop.hands) {
            wrong.push(format!("{busy} pairs of hands are needed at the start of {}", t.id));
        }
    }
    let gun = |t: &&Task| matches!(t.step, Step::Coat(_) | Step::CleanGun);
    for t in tasks.iter().filter(gun) {
        if tasks.iter().filter(gun).any(|o| o.id != t.id && o.start <= t.start && t.start < o.end()) {
            wrong.push(format!("{} needs the gun while it is in use", t.id));
        }
    }
}

/// Start and end of coat `k` on letter `l`.
fn coat(l: usize, k: usize, tasks: &[Task]) -> Vec<(i64, i64, usize)> {
    let mut found = Vec::new();
    for t in tasks.iter().filter(|t| t.step == Step::Coat(k)) {
        let mut at = t.start;
        for (own, m) in t.letters.iter().zip(&t.each) {
            if *own == l {
                found.push((at, at + m, t.go));
            }
            at += m;
        }
        if at != t.end() {
            found.push((0, -1, t.go));
        }
    }
    found
}

fn paint<'a>(l: usize, facts: &Facts<'a>) -> &'a Paint {
    &facts.job.paints[facts.shots[facts.letters[l]].paint]
}

fn letter(l: usize, tasks: &[Task], facts: &Facts<'_>, wrong: &mut Vec<String>) {
    let name = format!("letter {}", l + 1);
    let paint = paint(l, facts);
    let mut last: Option<(i64, i64, usize)> = None;
    let mut k = 0;
    for own in &paint.coats {
        for nth in 0..own.count {
            let [now] = coat(l, k, tasks)[..] else {
                wrong.push(format!("{name} does not get coat {} exactly once", k + 1));
                return;
            };
            if let Some(before) = last {
                let wait = now.0 - before.1;
                let [least, most] = match (nth, own.flash) {
                    (0, _) => [own.after.unwrap_or(0.0), f64::INFINITY],
                    (_, Some(f)) => f.map(|m| here(m, own.flash_at_c, facts.shop_c)),
                    (_, None) => [0.0, f64::INFINITY],
                };
                if !at_least(wait, least) || !at_most(wait, most) || before.2 != now.2 {
                    wrong.push(format!("{name} waits {wait} min for coat {}", k + 1));
                }
            }
            let mixed = tasks.iter().filter(|t| t.step == Step::Mix && t.go == now.2 && t.end() <= now.0);
            match (mixed.map(|t| t.start).max(), paint.pot_life) {
                (None, _) => wrong.push(format!("{name} gets coat {} from no cup", k + 1)),
                (Some(mixed), Some(pot))
                    if !at_most(now.1 - mixed, here(pot.minutes, pot.at_c, facts.shop_c)) =>
                {
                    wrong.push(format!("{name} gets coat {} from a cup past its pot life", k + 1));
                }
                _ => {}
            }
            last = Some(now);
            k += 1;
        }
    }
    let Some((_, wet, go)) = last else { return };
    let one = |step: Step| -> Vec<&Task> {
        tasks.iter().filter(|t| t.step == step && t.go == go && t.letters.contains(&l)).collect()
    };
    let [pull] = one(Step::Pull)[..] else {
        wrong.push(format!("{name} is not pulled exactly once"));
        return;
    };
    let over = one(Step::Swab).first().map_or(pull.end(), |t| t.end());
    if let Some(window) = &paint.pull_edge {
        let [from, by] = [window.from, window.by].map(|m| here(m, window.at_c, facts.shop_c));
        if !at_least(pull.start - wet, from) || !at_most(over - wet, by) {
            wrong.push(format!("{name} is pulled outside its window"));
        }
    }
    if let Some(window) = paint.unmask {
        let [from, by] = window.map(|m| here(m, paint.unmask_at_c, facts.shop_c));
        let go_wet = tasks
            .iter()
            .filter(|t| t.go == go && matches!(t.step, Step::Coat(_)))
            .map(Task::end)
            .max()
            .unwrap_or(wet);
        match one(Step::Unmask)[..] {
            [] => wrong.push(format!("{name} is not unmasked")),
            ref all => {
                if all.iter().any(|t| !at_least(t.start - go_wet, from) || !at_most(t.end() - go_wet, by)) {
                    wrong.push(format!("{name} is unmasked outside its window"));
                }
            }
        }
    }
    if let Some(masking) = &facts.job.masking {
        let taped = one(Step::Edge);
        let first = tasks.iter().filter(|t| t.go == go && t.step == Step::Coat(0)).map(|t| t.start).min();
        if taped.is_empty() || taped.iter().any(|t| Some(t.end()) > first) {
            wrong.push(format!("{name} has no edge tape before its first coat"));
        }
        let laid = tasks.iter().filter(|t| t.go == go && t.step == Step::Edge).map(|t| t.start).min();
        if laid.is_some_and(|laid| !at_most(over - laid, masking.edge_dwell)) {
            wrong.push(format!("{name} keeps its edge tape too long"));
        }
    }
}

fn go(g: usize, tasks: &[Task], facts: &Facts<'_>, wrong: &mut Vec<String>) {
    let own = |t: &&Task| t.go == g;
    let coats = || tasks.iter().filter(own).filter(|t| matches!(t.step, Step::Coat(_)));
    let pulls = || tasks.iter().filter(own).filter(|t| t.step == Step::Pull);
    let (Some(first), Some(wet)) = (coats().map(|t| t.start).min(), coats().map(Task::end).max()) else {
        return;
    };
    if pulls().any(|t| t.start < wet) {
        wrong.push(format!("go {g} pulls before its last wet coat ends"));
    }
    let pulled = pulls().map(Task::end).max().unwrap_or(wet);
    let mixing = tasks.iter().filter(own).filter(|t| t.step == Step::Mix).map(|t| t.start).min();
    let begin = mixing.unwrap_or(first);
    for t in tasks.iter().filter(|t| t.go != g && t.hands > 0) {
        if t.start < pulled && begin < t.end() {
            wrong.push(format!("{} is done while go {g} is wet", t.id));
        }
    }
    let letters = |g: usize| -> Vec<usize> {
        tasks
            .iter()
            .filter(|t| t.go == g && t.step == Step::Coat(0))
            .flat_map(|t| t.letters.clone())
            .collect()
    };
    let mine = letters(g);
    for h in 1..g {
        for a in letters(h) {
            let other = &facts.shots[facts.letters[a]];
            if mine.iter().all(|b| facts.shots[facts.letters[*b]].apart(other) >= facts.near) {
                continue;
            }
            let paint = paint(a, facts);
            let dry = paint.dry_to_tape.map_or(facts.dry_to_tape, |t| here(t.minutes, t.at_c, facts.shop_c));
            let over =
                tasks.iter().filter(|t| t.go == h && matches!(t.step, Step::Coat(_))).map(Task::end).max();
            let covered: Vec<&Task> = tasks
                .iter()
                .filter(own)
                .filter(|t| t.step == Step::Cover && t.letters.contains(&a))
                .collect();
            if covered.is_empty() || covered.iter().any(|t| t.end() > begin) {
                wrong.push(format!("letter {} is not covered before go {g}", a + 1));
            }
            if over.is_some_and(|over| covered.iter().any(|t| !at_least(t.start - over, dry))) {
                wrong.push(format!("letter {} is covered for go {g} before it is dry to tape", a + 1));
            }
        }
    }
}

/// No mask is laid where the paint of an earlier go, or its mask, is still to come, wet or on: one lies on the other's place.
fn masks(tasks: &[Task], facts: &Facts<'_>, wrong: &mut Vec<String>) {
    let shot = |l: usize| &facts.shots[facts.letters[l]];
    let upon = |x: usize, y: usize| facts.work[facts.letters[x]].upon.contains(&shot(y).mark);
    let goes =
        |l: usize| tasks.iter().find(|t| t.step == Step::Coat(0) && t.letters.contains(&l)).map(|t| t.go);
    let lays = |t: &&Task| matches!(t.step, Step::Mask | Step::Edge) && !t.why.starts_with(taping::WASH);
    for t in tasks.iter().filter(lays) {
        let own = |l: &usize| {
            if t.letters.is_empty() { t.mark == Some(shot(*l).mark) } else { t.letters.contains(l) }
        };
        for b in (0..facts.letters.len()).filter(own) {
            for a in 0..facts.letters.len() {
                let met = shot(a).paint != shot(b).paint && (upon(a, b) || upon(b, a));
                let (Some(first), Some(second)) = (goes(a), goes(b)) else { continue };
                if !met || first >= second {
                    continue;
                }
                let of = |step: fn(&Step) -> bool| {
                    tasks.iter().filter(move |o| o.go == first && step(&o.step)).map(Task::end).max()
                };
                let paint = paint(a, facts);
                let dry =
                    paint.dry_to_tape.map_or(facts.dry_to_tape, |d| here(d.minutes, d.at_c, facts.shop_c));
                let wet = of(|s| matches!(s, Step::Coat(_)));
                let off = of(|s| *s == Step::Unmask);
                if wet.is_some_and(|wet| !at_least(t.start - wet, dry))
                    || off.is_some_and(|off| t.start < off)
                {
                    wrong.push(format!("{} lays a mask on the place of letter {} too soon", t.id, a + 1));
                    return;
                }
            }
        }
    }
}

fn ground(tasks: &[Task], facts: &Facts<'_>, wrong: &mut Vec<String>) {
    for t in tasks.iter().filter(|t| matches!(t.step, Step::Mask | Step::Edge)) {
        for (l, s) in facts.letters.iter().enumerate() {
            let shot = &facts.shots[*s];
            let own = if t.letters.is_empty() { t.mark == Some(shot.mark) } else { t.letters.contains(&l) };
            if !own {
                continue;
            }
            let Some(ground) = facts.job.grounds.iter().find(|g| g.id == shot.over) else { continue };
            let (Some(shot), Some(dry)) = (ground.shot, ground.dry_to_tape) else { continue };
            let Some(shot) = facts.clock.minute(shot) else { continue };
            if !at_least(t.start - shot, here(dry.minutes, dry.at_c, facts.shop_c)) {
                wrong.push(format!("{} lies on a ground that is not dry to tape", t.id));
                break;
            }
        }
    }
}
