//! The day of a job: made into the plain problem, solved, written out as tasks, and read a second time.

use super::air::shop_c;
use super::ask::Ask;
use super::called::{called, written};
use super::clock::{Clock, span_words, time};
use super::day::{Answer, GoTimes, solve};
use super::day_ask::{LetterMinutes, Sources, ask, day_letters, laid, minutes_each, rounds_of};
use super::day_check::{self, Facts};
use super::day_help::{breaks, helps};
use super::figures::Figures;
use super::labour::MaskWork;
use super::quantity::CupFor;
use super::shots::Shot;
use super::tasks::{Made, Step, Task, numbered, tasks};
use super::warmth::{at_least, minutes};
use super::{ground, taping};
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::{Gun, Job, Shop};
use crate::stripe::SIGN;
use crate::surface::Skin;
use std::ops::Range;

/// A day that works.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Its clock.
    pub clock: Clock,
    /// When the shop opens and closes, minutes after midnight.
    pub hours: (i64, i64),
    /// Its tasks in order of their starts.
    pub tasks: Vec<Task>,
    /// Its goes.
    pub goes: Vec<DayGo>,
}

/// A go as the card and the chart show it.
#[derive(Clone, Debug, PartialEq)]
pub struct DayGo {
    /// Index of its paint in the job.
    pub paint: usize,
    /// Its letters and stripes as written, those of each mark apart.
    pub characters: String,
    /// Indices of its shots.
    pub shots: Vec<usize>,
    /// What each of its shots is: index of its mark, and the character; of a stripe the stripe's id.
    pub rows: Vec<(usize, String)>,
    /// Each cup: the coat of each of its sprayings; when it is mixed; until when it is good.
    pub cups: Vec<(Vec<usize>, i64, Option<i64>)>,
    /// The windows of its letters for pulling: from, by. Stripes of one mask have one.
    pub pull_windows: Vec<(i64, i64)>,
    /// The window for its paper.
    pub unmask_window: Option<(i64, i64)>,
}

impl Day {
    /// The cups of one paint.
    pub fn cups(&self, paint: usize) -> Vec<CupFor> {
        let mut cups = Vec::new();
        for (g, go) in self.goes.iter().enumerate().filter(|(_, go)| go.paint == paint) {
            for (coats, mixed_at, use_by) in &go.cups {
                cups.push(CupFor {
                    go: g + 1,
                    shots: go.shots.clone(),
                    coats: coats.clone(),
                    mixed_at: Some(*mixed_at),
                    use_by: *use_by,
                });
            }
        }
        cups
    }
}

/// The day of a job, if it asks for one and there is one; and what there is to say about it.
#[allow(clippy::too_many_arguments, reason = "the stage's own pieces, each made once")]
pub(super) fn plan_day(
    job: &Job,
    skins: &[Skin],
    marks: &[Placed],
    shots: &[Shot],
    work: &[MaskWork],
    gun: &Gun,
    rates: &Figures,
    extra: &Figures,
) -> (Option<Day>, Vec<Finding>) {
    let Some(shop) = &job.shop else { return (None, vec![]) };
    let letters = day_letters(job, shots, work);
    if letters.is_empty() {
        return (None, vec![]);
    }
    let Some(clock) = shop.date.and_then(Clock::new) else {
        let said =
            Finding::new(Severity::Note, "no-date", "", "no day is planned: the shop's date is not given")
                .hint("set `date` in [shop] to the day of the first spraying");
        return (None, vec![said]);
    };
    let from = Sources { job, shop, gun: *gun, rates, allowances: extra, clock: &clock, shop_c: shop_c(job) };
    let names = called(job, marks);
    Planner { from, skins, marks, names, shots, work, letters, shop, clock }.plan()
}

/// Whole minutes of a piece of taping work for one pair of hands.
fn whole(piece: &taping::Piece) -> i64 {
    at_least(piece.minutes).max(1)
}

struct Planner<'a> {
    from: Sources<'a>,
    skins: &'a [Skin],
    marks: &'a [Placed],
    names: Vec<String>,
    shots: &'a [Shot],
    work: &'a [MaskWork],
    letters: Vec<usize>,
    shop: &'a Shop,
    clock: Clock,
}

impl Planner<'_> {
    fn plan(&self) -> (Option<Day>, Vec<Finding>) {
        let mut findings = Vec::new();
        let job = self.from.job;
        let pieces = if job.masking.is_some() {
            taping::pieces(self.marks, self.shots, self.work, self.from.rates)
        } else {
            vec![]
        };
        let tape_from = self.tape_from();
        let noon = i64::from(self.shop.opens);
        let scuffed: Vec<bool> =
            self.shots.iter().map(|s| ground::scuffed(self.ground(s), &self.clock, noon)).collect();
        let minutes = minutes_each(&self.from, self.shots, self.work, &self.letters, &scuffed);
        let filled: Vec<bool> = self.letters.iter().map(|l| self.work[*l].layout_mm > 0.0).collect();
        let early = i64::MIN / 4;
        let (later, pieces): (Vec<taping::Piece>, Vec<taping::Piece>) =
            pieces.into_iter().partition(|p| self.waits(p));
        let mut ask = self.ask(&minutes, &later, early);
        // All hands share the taping; a stretch is whole minutes.
        let shared: Vec<i64> = pieces.iter().map(|p| ask.shared(whole(p))).collect();
        if let Some(first) = tape_from {
            let taped = taping::runs_to(&ask, first, shared.iter().sum::<i64>().max(1));
            ask = self.ask(&minutes, &later, taped);
        }
        let answer = match solve(&ask) {
            Ok(answer) => answer,
            Err(stuck) => {
                findings.extend(tape_from.map(|dry| self.dry_to_tape(dry, None)));
                let mut hint = helps(&ask).join(", or ");
                if tape_from.is_some() && hint.is_empty() {
                    hint = "a later day for the first spraying".to_owned();
                }
                let why = breaks(&ask, stuck, |l| self.named(&ask, l));
                findings.push(
                    Finding::new(Severity::Fail, "no-day", "", format!("no day works: {why}"))
                        .hint(if hint.is_empty() { hint } else { format!("tried, and would do: {hint}") }),
                );
                return (None, findings);
            }
        };
        let made = Made {
            job,
            marks: self.marks,
            names: &self.names,
            shots: self.shots,
            letters: &self.letters,
            minutes: &minutes,
            filled: &filled,
            ask: &ask,
            answer: &answer,
        };
        let mut all = tasks(&made);
        self.film_told(&mut all);
        let first = all.iter().filter(|t| t.step == Step::Edge).map(|t| t.start).min();
        let by = first.unwrap_or(answer.goes[0].start);
        match taping::schedule(&ask, &shared, tape_from, by) {
            Some(stretches) => {
                all.extend(stretches.into_iter().map(|(k, start, minutes)| {
                    self.mask_task(&pieces[k], start, minutes, ask.hands, tape_from)
                }))
            }
            None => findings.push(Finding::new(
                Severity::Fail,
                "no-day",
                "",
                "the ground is dry to tape too late for the taping before the first go",
            )),
        }
        if !self.between(&ask, &answer, &later, &mut all) {
            findings.push(Finding::new(
                Severity::Fail,
                "no-day",
                "",
                "a mask that waits for another paint to dry cannot be laid before its own go",
            ));
        }
        self.afterwards(&ask, &answer, &mut all);
        let tasks = numbered(all);
        let on = tasks.iter().filter(|t| matches!(t.step, Step::Mask | Step::Edge)).map(|t| t.start).min();
        findings.extend(tape_from.map(|dry| self.dry_to_tape(dry, on)));
        let facts = Facts {
            job,
            shop: self.shop,
            clock: &self.clock,
            shop_c: self.from.shop_c,
            shots: self.shots,
            letters: &self.letters,
            work: self.work,
            near: self.from.allowances.value("goes-apart"),
            dry_to_tape: self.from.allowances.value("dry-to-tape"),
        };
        findings.extend(day_check::findings(&day_check::check(&tasks, &facts), tasks.len()));
        findings.extend(self.said(&ask, &answer, &tasks));
        let goes = answer.goes.iter().map(|go| self.day_go(&ask, go)).collect();
        (Some(Day { clock: self.clock, hours: ask.hours, tasks, goes }), findings)
    }

    /// Where a mark is masked with film, the tasks say so.
    fn film_told(&self, tasks: &mut [Task]) {
        for t in tasks {
            let film =
                |m: usize| self.shots.iter().zip(self.work).any(|(s, w)| s.mark == m && w.film_mm > 0.0);
            if !t.mark.is_some_and(film) {
                continue;
            }
            match t.step {
                Step::Edge => {
                    t.why = "film, the last of the mask: weeded and laid, it stays on for hours, not days"
                        .to_owned();
                }
                Step::Scuff => t.why = "scuff the open letters, along the edge near it".to_owned(),
                _ => {}
            }
        }
    }

    fn ground(&self, shot: &Shot) -> Option<&crate::job::Ground> {
        self.from.job.grounds.iter().find(|g| g.id == shot.over)
    }

    /// The first minute at which tape may lie on all that is taped; `None` if the job does not say.
    fn tape_from(&self) -> Option<i64> {
        let of = |s: &usize| {
            let ground = self.ground(&self.shots[*s])?;
            ground::tape_from(ground, &self.clock, self.from.shop_c)
        };
        self.letters.iter().filter_map(of).max()
    }

    /// When the ground is dry to tape, and when the day's first tape goes on if there is a day.
    fn dry_to_tape(&self, dry: i64, on: Option<i64>) -> Finding {
        let on =
            on.map_or(String::new(), |on| format!(": the first tape goes on at {}", self.clock.text(on)));
        let message = format!("the ground is dry to tape at {}{on}", self.clock.text(dry));
        Finding::new(Severity::Note, "first-tape", "", message).source(
            Basis::Read,
            "UFGS 09 97 para 3.7.1.3: times double per 10 C colder; the data sheet first",
        )
    }

    fn ask(&self, minutes: &[LetterMinutes], later: &[taping::Piece], edge_from: i64) -> Ask {
        let mut ask = ask(&self.from, self.shots, self.work, &self.letters, minutes, edge_from);
        for piece in later {
            if let Some(first) = self.letters_of(piece).next() {
                ask.letters[first].lay += whole(piece);
            }
        }
        ask
    }

    /// The day's letters that a piece of work is for.
    fn letters_of<'a>(&'a self, piece: &'a taping::Piece) -> impl Iterator<Item = usize> + 'a {
        (0..self.letters.len()).filter(|l| {
            let shot = &self.shots[self.letters[*l]];
            piece.marks.contains(&shot.mark) && !shot.further
        })
    }

    /// True if a mask is laid only when the paint of an earlier go is dry to tape.
    fn waits(&self, piece: &taping::Piece) -> bool {
        let earlier =
            |l: usize| self.letters[..l].iter().any(|a| laid(self.shots, self.work, *a, self.letters[l]));
        piece.lays && self.letters_of(piece).any(earlier)
    }

    /// Masks that wait for an earlier go, laid between the goes. False if there is no time.
    fn between(&self, ask: &Ask, answer: &Answer, later: &[taping::Piece], all: &mut Vec<Task>) -> bool {
        let mut busy: Vec<(i64, i64)> = Vec::new();
        for go in &answer.goes {
            busy.push((go.start, go.end()));
            let more = [go.edge, go.unmask].into_iter().flatten();
            busy.extend(more.map(|(at, long)| (at, at + long)));
        }
        for (g, go) in answer.goes.iter().enumerate() {
            let own: Vec<&taping::Piece> =
                later.iter().filter(|p| self.letters_of(p).any(|l| go.letters.contains(&l))).collect();
            if own.is_empty() {
                continue;
            }
            let before: Vec<&GoTimes> = answer.goes[..g]
                .iter()
                .filter(|h| go.letters.clone().any(|b| h.letters.clone().any(|a| ask.beside[b][a].laid)))
                .collect();
            let paint = |h: &&GoTimes| {
                self.from.job.paints[self.shots[self.letters[h.letters.start]].paint].id.clone()
            };
            let mut paints: Vec<String> = before.iter().map(paint).collect();
            paints.dedup();
            let ready = before.iter().map(|h| {
                let dry = ask.paints[ask.letters[h.letters.start].paint].dry_to_tape;
                let off = h.unmask.map_or(h.end(), |(at, long)| at + long);
                (h.zero() + h.profile.coats_end + dry).max(off)
            });
            let Some(ready) = ready.max() else { continue };
            let end = go.edge.map_or(go.start, |e| e.0);
            let shared: Vec<i64> = own.iter().map(|p| ask.shared(whole(p))).collect();
            let Some(stretches) = taping::between(ask, &shared, ready, &busy, end) else { return false };
            for (k, start, minutes) in stretches {
                busy.push((start, start + minutes));
                let mut task = self.mask_task(own[k], start, minutes, ask.hands, Some(ready));
                task.go = g + 1;
                task.why = format!("{}; {} dry to tape and unmasked by then", task.why, paints.join(" and "));
                all.push(task);
            }
        }
        true
    }

    /// A letter, or the stripes of its mask.
    fn named(&self, ask: &Ask, letter: usize) -> String {
        let shot = &self.shots[self.letters[letter]];
        let unit = ask.unit(letter);
        if unit.len() > 1 {
            return format!("stripes {}", self.written(&self.letters[unit]));
        }
        match shot.char {
            SIGN => format!("stripe {}", self.marks[shot.mark].id),
            char => format!("{char} of {}", self.marks[shot.mark].id),
        }
    }

    fn mask_task(
        &self,
        piece: &taping::Piece,
        start: i64,
        minutes: i64,
        hands: i64,
        from: Option<i64>,
    ) -> Task {
        // Of several stripes each is named.
        let of = |l: &usize| {
            let shot = &self.shots[self.letters[*l]];
            piece.marks.contains(&shot.mark) && !shot.further
        };
        let letters: Vec<usize> =
            (0..self.letters.len()).filter(|_| piece.marks.len() > 1).filter(of).collect();
        Task {
            id: String::new(),
            step: Step::Mask,
            word: "tape",
            mark: piece.marks.first().copied(),
            part: self.written(&letters.iter().map(|l| self.letters[*l]).collect::<Vec<_>>()),
            letters,
            each: vec![],
            go: 0,
            start,
            minutes,
            hands,
            not_before: from,
            not_after: None,
            why: piece.what.to_owned(),
        }
    }

    /// Inspection after the last paper, and polishing when the paint allows; both mark by mark, all hands at once.
    fn afterwards(&self, ask: &Ask, answer: &Answer, all: &mut Vec<Task>) {
        let rates = self.from.rates;
        let mut at = answer.finish;
        let mut later: Vec<(i64, Vec<usize>, i64)> = Vec::new();
        let piece =
            |marks: &[usize], what| taping::Piece { marks: marks.to_vec(), minutes: 0.0, what, lays: false };
        for marks in taping::in_one(self.marks.len(), self.shots, self.work) {
            let own = |s: &usize| marks.contains(&self.shots[*s].mark);
            let count = self.letters.iter().filter(|s| own(s) && !self.shots[**s].further).count();
            if count == 0 {
                continue;
            }
            let long = |rate: &str| ask.shared(at_least(rates.value(rate) * count as f64));
            if let Some(start) = ask.fit(at, long("inspect")) {
                let mut t = self.mask_task(
                    &piece(&marks, "measure what was painted, write it down"),
                    start,
                    long("inspect"),
                    ask.hands,
                    None,
                );
                (t.step, t.word, t.go) = (Step::Inspect, "inspect", answer.goes.len());
                at = t.end();
                all.push(t);
            }
            let last = answer
                .goes
                .iter()
                .filter(|g| g.letters.clone().any(|l| own(&self.letters[l])))
                .filter_map(|g| {
                    let paint = self.shots[self.letters[g.letters.start]].paint;
                    let after = self.from.job.paints[paint].polish_after?;
                    Some(g.zero() + g.profile.coats_end + at_least(minutes(after, self.from.shop_c)))
                })
                .max();
            if let Some(from) = last {
                later.push((from, marks.clone(), long("polish")));
            }
        }
        later.sort_unstable();
        for (not_before, marks, long) in later {
            let from = not_before;
            if let Some(start) = ask.fit(from.max(at), long) {
                let mut t = self.mask_task(
                    &piece(&marks, "polish: the paint is hard enough"),
                    start,
                    long,
                    ask.hands,
                    Some(not_before),
                );
                (t.step, t.word, t.go) = (Step::Polish, "polish", answer.goes.len());
                at = t.end();
                all.push(t);
            }
        }
    }

    fn day_go(&self, ask: &Ask, go: &GoTimes) -> DayGo {
        let shots: Vec<usize> = go.letters.clone().map(|l| self.letters[l]).collect();
        let paint = self.shots[shots[0]].paint;
        let own = &ask.paints[ask.letters[go.letters.start].paint];
        let rounds = rounds_of(&self.from.job.paints[paint]);
        let ends = go.profile.mixes.iter().skip(1).map(|m| m.0).chain([rounds.len()]);
        DayGo {
            paint,
            characters: self.written(&shots),
            rows: shots.iter().map(|s| self.row(&self.shots[*s])).collect(),
            shots,
            cups: go
                .profile
                .mixes
                .iter()
                .zip(ends)
                .map(|((from, at), to)| {
                    let mixed = go.zero() + at;
                    let coats = rounds[*from..to].iter().map(|r| r.coat).collect();
                    (coats, mixed, own.pot_life.map(|p| mixed + p))
                })
                .collect(),
            pull_windows: own.pull.map_or_else(Vec::new, |(from, by)| {
                let wet = |l: usize| go.zero() + go.profile.last_coat[l - go.letters.start];
                let window = |unit: Range<usize>| (wet(unit.end - 1) + from, wet(unit.start) + by);
                go.letters.clone().map(|l| window(ask.unit(l))).collect()
            }),
            unmask_window: own.unmask.map(|(from, by)| {
                (go.zero() + go.profile.coats_end + from, go.zero() + go.profile.coats_end + by)
            }),
        }
    }

    fn written(&self, shots: &[usize]) -> String {
        written(shots.iter().map(|s| &self.shots[*s]), self.marks, &self.names)
    }

    fn row(&self, shot: &Shot) -> (usize, String) {
        let stripe = shot.char == SIGN;
        (shot.mark, if stripe { self.marks[shot.mark].id.clone() } else { shot.char.to_string() })
    }

    /// What there is to say about a day that works.
    fn said(&self, ask: &Ask, answer: &Answer, tasks: &[Task]) -> Vec<Finding> {
        let mut found = Vec::new();
        let goes: Vec<String> = answer
            .goes
            .iter()
            .map(|g| self.written(&g.letters.clone().map(|l| self.letters[l]).collect::<Vec<_>>()))
            .collect();
        let proof = if answer.bound >= answer.finish {
            "no fewer goes and no earlier end are possible".to_owned()
        } else if answer.bound > 0 {
            format!("no fewer goes are possible, and none can end before {}", self.clock.words(answer.bound))
        } else {
            "not every way to cut was looked at".to_owned()
        };
        let start = answer.goes[0].start;
        found.push(Finding::new(
            Severity::Note,
            "day",
            "",
            format!(
                "{} go{} ({}), from {} to {}; the first may start at {} at the latest; {proof}",
                goes.len(),
                if goes.len() == 1 { "" } else { "es" },
                goes.join(" | "),
                self.clock.words(start),
                self.clock.words(answer.finish),
                time(answer.latest)
            ),
        ));
        if goes.len() > 1 {
            let mut more = ask.clone();
            more.hands += 1;
            if let Ok(other) = solve(&more)
                && other.goes.len() < goes.len()
            {
                found.push(Finding::new(
                    Severity::Note,
                    "more-hands",
                    "",
                    format!(
                        "one more pair of hands would make it {} instead of {}",
                        other.goes.len(),
                        goes.len()
                    ),
                ));
            }
        }
        for (g, go) in answer.goes.iter().enumerate() {
            let own = &ask.paints[ask.letters[go.letters.start].paint];
            let (Some(pot), Some((_, mixed))) = (own.pot_life, go.profile.mixes.last()) else { continue };
            let late = go.profile.end - (mixed + pot);
            if late > 0 {
                found.push(
                    Finding::new(
                        Severity::Caution,
                        "gun-late",
                        "",
                        format!(
                            "the gun of go {} is clean {} after its cup is past its pot life",
                            g + 1,
                            span_words(late)
                        ),
                    )
                    .source(Basis::Practice, "common practice, no source")
                    .hint("empty it and flush it before the first pull"),
                );
            }
        }
        let mut asked: Vec<(usize, &str)> = Vec::new();
        for (l, s) in self.letters.iter().enumerate() {
            let shot = &self.shots[*s];
            if asked.contains(&(shot.mark, shot.over.as_str())) {
                continue;
            }
            asked.push((shot.mark, &shot.over));
            let coat = tasks
                .iter()
                .filter(|t| t.step == Step::Coat(0) && t.letters.contains(&l))
                .map(|t| t.start)
                .min();
            let mark = &self.marks[shot.mark].id;
            found.extend(ground::findings(
                self.from.job,
                mark,
                &shot.over,
                &self.clock,
                coat.unwrap_or(start),
            ));
        }
        let _ = self.skins;
        found
    }
}
