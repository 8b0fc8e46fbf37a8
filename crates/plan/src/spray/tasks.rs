//! The day as tasks: what is done when, to which letters, with how many hands, and between which limits.

use super::ask::Ask;
use super::called::written;
use super::clock::Clock;
use super::day::{Answer, GoTimes};
use super::day_ask::{LetterMinutes, RoundOf, rounds_of};
use super::shots::Shot;
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::stripe::SIGN;

/// A step of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Washing, layout tape, tack strip, paper.
    Mask,
    /// Edge tape.
    Edge,
    /// Scuffing.
    Scuff,
    /// Covering dry neighbours.
    Cover,
    /// Wiping, a last look.
    Wipe,
    /// Mixing a cup.
    Mix,
    /// A coat: which spraying of its paint.
    Coat(usize),
    /// A wait.
    Wait,
    /// Pulling edge tape.
    Pull,
    /// Swabbing.
    Swab,
    /// Cleaning the gun.
    CleanGun,
    /// Taking the paper off.
    Unmask,
    /// Measuring and writing down.
    Inspect,
    /// Polishing.
    Polish,
}

/// A task of the day. Times in minutes of the shop's clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Its id.
    pub id: String,
    /// What it is.
    pub step: Step,
    /// The plan file's word for it.
    pub word: &'static str,
    /// Index of its mark; `None` for what is about none.
    pub mark: Option<usize>,
    /// Its letters (indices of the day's letters), in the order they are worked on; empty for all.
    pub letters: Vec<usize>,
    /// Minutes of each of them, where they are worked on one after the other by one pair of hands.
    pub each: Vec<i64>,
    /// The letters as written.
    pub part: String,
    /// Index of its go from 1; 0 before the first.
    pub go: usize,
    /// When it starts.
    pub start: i64,
    /// How long.
    pub minutes: i64,
    /// With how many hands.
    pub hands: i64,
    /// It may not start before.
    pub not_before: Option<i64>,
    /// It may not end after.
    pub not_after: Option<i64>,
    /// Why it is there and then.
    pub why: String,
}

impl Task {
    /// When it ends.
    pub fn end(&self) -> i64 {
        self.start + self.minutes
    }
}

/// What the tasks are made from.
pub struct Made<'a> {
    /// The job.
    pub job: &'a Job,
    /// The marks.
    pub marks: &'a [Placed],
    /// What each is called among the others.
    pub names: &'a [String],
    /// Everything that is shot.
    pub shots: &'a [Shot],
    /// Which of it are the day's letters.
    pub letters: &'a [usize],
    /// Minutes of each of the day's letters.
    pub minutes: &'a [LetterMinutes],
    /// True of each of them that is filled with layout tape.
    pub filled: &'a [bool],
    /// The problem.
    pub ask: &'a Ask,
    /// Its answer.
    pub answer: &'a Answer,
}

/// The tasks of the goes, in the order of their starts.
pub fn tasks(made: &Made<'_>) -> Vec<Task> {
    let mut all = Vec::new();
    for (g, go) in made.answer.goes.iter().enumerate() {
        let mut own = Own { made, go, number: g + 1, tasks: vec![] };
        own.edge();
        own.before();
        own.coats();
        own.pulls();
        own.after();
        all.extend(own.tasks);
    }
    all
}

/// Sorts by start and gives every task an id of its own.
pub fn numbered(mut tasks: Vec<Task>) -> Vec<Task> {
    tasks.sort_by_key(|t| (t.start, t.go, t.hands == 0));
    let mut seen: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for t in &mut tasks {
        let stem = if t.go == 0 { t.word.to_owned() } else { format!("go-{}-{}", t.go, t.word) };
        let n = seen.entry(stem.clone()).or_insert(0);
        *n += 1;
        t.id = format!("{stem}-{n}");
    }
    tasks
}

struct Own<'a, 'm> {
    made: &'a Made<'m>,
    go: &'a GoTimes,
    number: usize,
    tasks: Vec<Task>,
}

impl Own<'_, '_> {
    fn shot(&self, letter: usize) -> &Shot {
        &self.made.shots[self.made.letters[letter]]
    }

    fn paint(&self) -> usize {
        self.shot(self.go.letters.start).paint
    }

    /// The letters of the go, one run a mark, stripes of one mask one run.
    fn runs(&self, letters: impl Iterator<Item = usize>) -> Vec<Vec<usize>> {
        let mark = |l: usize| self.shot(self.made.ask.unit(l).start).mark;
        let mut runs: Vec<Vec<usize>> = Vec::new();
        for l in letters {
            match runs.last_mut() {
                Some(run) if mark(run[0]) == mark(l) => run.push(l),
                _ => runs.push(vec![l]),
            }
        }
        runs
    }

    /// What they are: `letter`, or `stripe` if they are nothing else.
    fn kind(&self, letters: impl IntoIterator<Item = usize>) -> &'static str {
        if letters.into_iter().all(|l| self.shot(l).char == SIGN) { "stripe" } else { "letter" }
    }

    fn part(&self, letters: &[usize]) -> String {
        let mark = |l: &usize| self.shot(*l).mark;
        if letters.iter().any(|l| mark(l) != mark(&letters[0])) {
            return written(letters.iter().map(|l| self.shot(*l)), self.made.marks, self.made.names);
        }
        letters.iter().map(|l| self.shot(*l).char).filter(|c| *c != SIGN).collect()
    }

    fn push(
        &mut self,
        step: Step,
        word: &'static str,
        letters: Vec<usize>,
        start: i64,
        minutes: i64,
    ) -> &mut Task {
        // What is about no letter of its own is about the go.
        let mark = self.shot(letters.first().copied().unwrap_or(self.go.letters.start)).mark;
        let part = self.part(&letters);
        self.tasks.push(Task {
            id: String::new(),
            step,
            word,
            mark: Some(mark),
            letters,
            each: vec![],
            part,
            go: self.number,
            start,
            minutes,
            hands: 1,
            not_before: None,
            not_after: None,
            why: String::new(),
        });
        let last = self.tasks.len() - 1;
        &mut self.tasks[last]
    }

    /// Work that all hands share, mark by mark, from `start` on: each ends where its share of the whole ends.
    fn shared(
        &mut self,
        step: Step,
        word: &'static str,
        letters: Vec<usize>,
        start: i64,
        minutes: impl Fn(usize) -> i64,
        done: &mut i64,
    ) -> Vec<usize> {
        let hands = self.made.ask.hands.max(1);
        let mut made = Vec::new();
        for run in self.runs(letters.into_iter()) {
            let from = self.made.ask.shared(*done);
            *done += run.iter().map(|l| minutes(*l)).sum::<i64>();
            let to = self.made.ask.shared(*done);
            if to > from {
                self.push(step, word, run, start + from, to - from).hands = hands;
                made.push(self.tasks.len() - 1);
            }
        }
        made
    }

    fn edge(&mut self) {
        let Some((start, _)) = self.go.edge else { return };
        let letters: Vec<usize> = self.go.letters.clone().collect();
        let minutes = self.made.minutes;
        let mut done = 0;
        let taped = self.shared(Step::Edge, "tape", letters.clone(), start, |l| minutes[l].tape, &mut done);
        let scuffed = self.shared(Step::Scuff, "scuff", letters, start, |l| minutes[l].scuff, &mut done);
        let by = self.go.zero() + self.go.profile.pulls_end;
        for k in taped {
            let t = &mut self.tasks[k];
            t.not_before = self.made.ask.dwell.map(|d| by - d);
            let one = t.letters.len() > 1 && self.made.ask.unit(t.letters[0]).len() > 1;
            let (the, order) =
                if one { ("the one mask", ", by its laying numbers") } else { ("the mask", "") };
            t.why = format!("edge tape, the last of {the}{order}: it stays on for hours, not days");
            let letters = t.letters.clone();
            // So short that it is over within the minutes of the tape.
            let scuff = letters.iter().map(|l| minutes[*l].scuff).sum::<i64>() > 0;
            if scuff && !scuffed.iter().any(|s| self.tasks[*s].letters == letters) {
                let kind = self.kind(letters);
                let out = if self.filled(&self.tasks[k].letters) { "layout tape out, " } else { "" };
                self.tasks[k].why += &format!("; {out}the open {kind}s scuffed");
            }
        }
        for k in scuffed {
            let kind = self.kind(self.tasks[k].letters.clone());
            let out = if self.filled(&self.tasks[k].letters) { "layout tape out, then " } else { "" };
            self.tasks[k].why = format!("{out}scuff the open {kind}s, along the edge near it");
        }
    }

    /// True if layout tape lies in any of them.
    fn filled(&self, letters: &[usize]) -> bool {
        letters.iter().any(|l| self.made.filled[*l])
    }

    fn before(&mut self) {
        let start = self.go.start;
        let covered = self.go.cover.1.clone();
        let ask = self.made.ask;
        let mut done = 0;
        let tasks = self.shared(Step::Cover, "tape", covered, start, |l| ask.letters[l].cover, &mut done);
        for k in tasks {
            let dry = self.tasks[k].letters.iter().map(|l| self.dry(*l)).max();
            let kind = self.kind(self.tasks[k].letters.clone());
            let t = &mut self.tasks[k];
            t.not_before = dry;
            t.why = format!("paper over the {kind}s beside this go, dry to tape by then");
        }
        let letters: Vec<usize> = self.go.letters.clone().collect();
        let mut done = 0;
        let at = start + self.go.cover.0;
        for k in self.shared(Step::Wipe, "inspect", letters, at, |l| ask.letters[l].wipe, &mut done) {
            self.tasks[k].why = "wipe, tack off, press the tape edges down, last look".to_owned();
        }
    }

    /// When a letter of an earlier go is dry to tape.
    fn dry(&self, letter: usize) -> i64 {
        let earlier = self.made.answer.goes.iter().find(|g| g.letters.contains(&letter));
        earlier.map_or(0, |g| {
            let paint = self.made.ask.letters[letter].paint;
            g.zero() + g.profile.coats_end + self.made.ask.paints[paint].dry_to_tape
        })
    }

    /// When coat `k` on each letter of the go ends.
    fn ends(&self, k: usize) -> Vec<i64> {
        let mut at = self.go.zero() + self.go.profile.coats[k];
        self.go
            .letters
            .clone()
            .map(|l| {
                at += self.made.ask.letters[l].coat[k];
                at
            })
            .collect()
    }

    fn use_by(&self, k: usize) -> Option<i64> {
        let ask = self.made.ask;
        let pot = ask.paints[ask.letters[self.go.letters.start].paint].pot_life?;
        let mixed = self.go.profile.mixes.iter().rev().find(|m| m.0 <= k)?.1;
        Some(self.go.zero() + mixed + pot)
    }

    fn coats(&mut self) {
        let ask = self.made.ask;
        let zero = self.go.zero();
        let paint_idx = self.paint();
        let rounds: Vec<RoundOf> = rounds_of(&self.made.job.paints[paint_idx]);
        let paint_ask = &ask.paints[ask.letters[self.go.letters.start].paint];
        let kind = self.kind(self.go.letters.clone());
        let name = self.made.job.paints[paint_idx].id.clone();
        for (k, at) in self.go.profile.mixes.clone() {
            let use_by = self.use_by(k);
            let all: Vec<usize> = self.go.letters.clone().collect();
            let t = self.push(Step::Mix, "mix", all, zero + at, paint_ask.mix);
            t.not_after = use_by;
            t.why = match use_by {
                Some(by) => format!("mix {name}: the cup is good until {}", super::clock::time(by)),
                None => format!("mix {name}"),
            };
        }
        for (k, round) in rounds.iter().enumerate() {
            let coat = &self.made.job.paints[paint_idx].coats[round.coat];
            let (word, per_letter) = match coat.kind.as_str() {
                "wet" => ("wet-coat", true),
                "tack-up" => ("tack-up", false),
                _ => ("fog", false),
            };
            let before = (k > 0).then(|| self.ends(k - 1));
            let (least, most) = (paint_ask.rounds[k].least, paint_ask.rounds[k].most);
            let use_by = self.use_by(k);
            let first = self.go.letters.start;
            let mut at = zero + self.go.profile.coats[k];
            if let Some(over) = before.as_ref().and_then(|b| b.last()).copied()
                && at > over
            {
                let why = if round.nth == 0 && least > 0 {
                    format!("let it tack up: {least} min at least after the coat before")
                } else {
                    match most {
                        Some(most) => format!("flash: {least} to {most} min on every {kind}"),
                        None => format!("flash: {least} min at least on every {kind}"),
                    }
                };
                let t = self.push(Step::Wait, "wait", vec![], over, at - over);
                t.hands = 0;
                t.why = why;
            }
            let runs: Vec<Vec<usize>> = if per_letter {
                ask.units(self.go.letters.clone()).into_iter().map(Iterator::collect).collect()
            } else {
                self.runs(self.go.letters.clone())
            };
            for run in runs {
                let each: Vec<i64> = run.iter().map(|l| ask.letters[*l].coat[k]).collect();
                let minutes = each.iter().sum();
                let mut lead = 0;
                let (mut from, mut to) = (None::<i64>, use_by);
                for (l, m) in run.iter().zip(&each) {
                    if let Some(before) = &before {
                        let dry = before[l - first];
                        from = Some(from.map_or(dry + least - lead, |f| f.max(dry + least - lead)));
                        if let Some(most) = most {
                            let end = dry + most - lead + minutes;
                            to = Some(to.map_or(end, |t| t.min(end)));
                        }
                    }
                    lead += m;
                }
                let of = if rounds.iter().filter(|r| r.coat == round.coat).count() > 1 {
                    format!(
                        "{} coat {} of {}, {} µm dry each",
                        coat.kind,
                        round.nth + 1,
                        coat.count,
                        coat.film_um
                    )
                } else {
                    format!("{} coat, {} µm dry", coat.kind, coat.film_um)
                };
                let t = self.push(Step::Coat(k), word, run, at, minutes);
                t.each = each;
                t.not_before = from;
                t.not_after = to;
                t.why = of;
                at += minutes;
            }
        }
    }

    fn pulls(&mut self) {
        let ask = self.made.ask;
        let zero = self.go.zero();
        let window = ask.paints[ask.letters[self.go.letters.start].paint].pull;
        let wet_over = zero + self.go.profile.coats_end;
        let soonest = self.go.profile.pulls.iter().min().map_or(wet_over, |p| zero + p);
        if soonest > wet_over {
            let t = self.push(Step::Wait, "wait", vec![], wet_over, soonest - wet_over);
            t.hands = 0;
            t.why = "until the paint is as it should be for pulling".to_owned();
        }
        for unit in ask.units(self.go.letters.clone()) {
            let (pull, swab) = ask.pulling(unit.clone());
            let own = |l: usize| l - self.go.letters.start;
            let start = zero + self.go.profile.pulls[own(unit.start)];
            let [first, last] = [unit.start, unit.end - 1].map(|l| zero + self.go.profile.last_coat[own(l)]);
            let from = window.map_or(wet_over, |w| wet_over.max(last + w.0));
            let by = window.map(|w| first + w.1);
            let one = unit.len() > 1;
            let what = match self.shot(unit.start).char {
                _ if one => "one mask".to_owned(),
                SIGN => "the stripe".to_owned(),
                _ => format!("character {}", self.shot(unit.start).glyph + 1),
            };
            let hands = if one { ask.hands.max(1) } else { 1 };
            let t = self.push(Step::Pull, "pull", unit.clone().collect(), start, pull);
            t.not_before = Some(from);
            t.not_after = by;
            t.hands = hands;
            let order = match hands {
                _ if !one => "last laid first pulled",
                1 => "by the numbers of the pull card",
                _ => "by the numbers of the pull card, each hand the next that nothing lies on",
            };
            t.why = format!("{what}: {order}, back over itself, away from the paint");
            if swab > 0 {
                let t = self.push(Step::Swab, "swab", unit.collect(), start + pull, swab);
                t.not_after = by;
                t.hands = hands;
                t.why = format!("{what}: wipe bleed, sharpen corners");
            }
        }
        let clean = ask.paints[ask.letters[self.go.letters.start].paint].clean;
        if clean > 0 {
            let t = self.push(Step::CleanGun, "clean-gun", vec![], zero + self.go.profile.pulls_end, clean);
            t.why = "before the paint sets in it".to_owned();
        }
    }

    fn after(&mut self) {
        let Some((start, _)) = self.go.unmask else { return };
        let ask = self.made.ask;
        let letters: Vec<usize> = self.go.letters.clone().collect();
        let mut done = 0;
        let over = self.go.zero() + self.go.profile.coats_end;
        let window = ask.paints[ask.letters[self.go.letters.start].paint].unmask;
        for k in self.shared(Step::Unmask, "unmask", letters, start, |l| ask.letters[l].unmask, &mut done) {
            let t = &mut self.tasks[k];
            t.not_before = window.map(|w| over + w.0);
            t.not_after = window.map(|w| over + w.1);
            t.why = "paper and strips off; shadows still wipe off in this window".to_owned();
        }
    }
}

/// The day's tasks in a few words, for messages and the chart: `Sat 6 June 08:10`.
pub fn when(clock: &Clock, task: &Task) -> String {
    clock.words(task.start)
}
