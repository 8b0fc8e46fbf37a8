//! The day solved: into which goes the letters are cut and when each is shot. Fewest goes, then the earliest end.
//!
//! For every number of goes, from the least there can be, every way to cut the letters is looked at, best bound
//! first. For one way to cut, every order of the blocks (edge tape, go, unmasking of each go; each kind in the
//! order of the goes) is looked at; for one order the least starts that keep every window and the hours are found
//! by moving blocks later until nothing breaks. That fixpoint is the earliest of all schedules of its order, so
//! what is found is the best there is, unless a bound of the search was reached; then the answer says how much
//! better another could be at most.

use super::ask::Ask;
use super::goes::{Breaks, Profile, profile};
use super::taping::runs_to;
use std::ops::Range;

/// Most steps of one search. chosen: well under a second.
const MOST_STEPS: usize = 400_000;
/// Most ways to cut that are weighed for one number of goes.
const MOST_CUTS: usize = 60_000;
/// Most goes a day's plan is cut into.
const MOST_GOES: usize = 12;

/// A go in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct GoTimes {
    /// Its letters.
    pub letters: Range<usize>,
    /// Its own clock.
    pub profile: Profile,
    /// When its edge tape is begun, and how long that takes with all hands; `None` if it is not planned.
    pub edge: Option<(i64, i64)>,
    /// When the block starts: with covering and wiping.
    pub start: i64,
    /// How long covering takes, and which letters are covered.
    pub cover: (i64, Vec<usize>),
    /// How long wiping takes.
    pub wipe: i64,
    /// When the paper comes off, and how long that takes; `None` if it is not planned.
    pub unmask: Option<(i64, i64)>,
}

impl GoTimes {
    /// When its first cup is mixed: zero of its own clock.
    pub fn zero(&self) -> i64 {
        self.start + self.cover.0 + self.wipe
    }

    /// When its gun is clean.
    pub fn end(&self) -> i64 {
        self.zero() + self.profile.end
    }
}

/// A day that works.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The goes in order.
    pub goes: Vec<GoTimes>,
    /// When the last of it ends.
    pub finish: i64,
    /// A bound below which no day with as few goes can end; `finish` itself if this one is proved the best.
    pub bound: i64,
    /// The latest start of the first go at which everything still ends on the same day.
    pub latest: i64,
}

/// Why there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stuck {
    /// This letter alone, or the mask it is the first of, breaks a window of its paint.
    Letter(usize, Breaks),
    /// The go of this letter alone is longer than the shop is open.
    Hours(usize),
    /// The edge tape of this letter alone is longer than the shop is open.
    EdgeHours(usize),
    /// Every go keeps its own windows, but no day holds them all.
    Day,
    /// The search gave up before it found one.
    GaveUp,
}

/// The best day.
///
/// # Errors
/// Why no day works.
pub fn solve(ask: &Ask) -> Result<Answer, Stuck> {
    let mut solver = Solver { ask, steps: 0, profiles: Default::default() };
    if let Some(stuck) = ask.units(0..ask.letters.len()).into_iter().find_map(|unit| solver.alone(unit)) {
        return Err(stuck);
    }
    let n = ask.letters.len();
    let mut gave_up = false;
    for goes in ask.paints.len().min(n).max(1)..=n.min(MOST_GOES) {
        let (cuts, all) = solver.cuts(goes);
        gave_up |= !all;
        let mut weighed: Vec<(i64, Vec<Range<usize>>)> =
            cuts.into_iter().filter_map(|cut| Some((solver.bound(&cut)?, cut))).collect();
        weighed.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| uneven(&a.1).cmp(&uneven(&b.1))));
        let mut best: Option<(i64, Vec<GoTimes>, Plan)> = None;
        let mut open = None;
        for (bound, cut) in weighed {
            if best.as_ref().is_some_and(|(finish, ..)| bound >= *finish) {
                break;
            }
            if solver.steps >= MOST_STEPS {
                open = Some(bound);
                break;
            }
            solver.order(&cut, &mut best);
            if solver.steps >= MOST_STEPS {
                open = Some(bound);
                break;
            }
        }
        if let Some((finish, mut times, plan)) = best {
            plan.edges_late(ask, &mut times);
            let latest = plan.latest(ask, finish);
            let bound = if all { open.unwrap_or(finish).min(finish) } else { 0 };
            return Ok(Answer { goes: times, finish, bound, latest });
        }
        gave_up |= open.is_some();
    }
    Err(if gave_up { Stuck::GaveUp } else { Stuck::Day })
}

/// Difference between the largest and the smallest go: of equals the evenest cut is taken.
fn uneven(cut: &[Range<usize>]) -> usize {
    let most = cut.iter().map(Range::len).max().unwrap_or(0);
    most - cut.iter().map(Range::len).min().unwrap_or(0)
}

struct Solver<'a> {
    ask: &'a Ask,
    steps: usize,
    profiles: std::collections::BTreeMap<(usize, usize), Option<Profile>>,
}

/// Kinds of block.
const EDGE: usize = 0;
const GO: usize = 1;
const UNMASK: usize = 2;

/// What is known of a way to cut, and an order of its blocks.
#[derive(Clone, Debug)]
struct Plan {
    /// The goes with their lengths; starts are not yet set.
    goes: Vec<GoTimes>,
    /// Blocks in order: kind and go.
    order: Vec<(usize, usize)>,
    /// Their starts.
    starts: Vec<i64>,
}

impl Solver<'_> {
    /// What keeps a letter, or the stripes of one mask, from being a go of its own.
    fn alone(&mut self, unit: Range<usize>) -> Option<Stuck> {
        let open = self.ask.hours.1 - self.ask.hours.0;
        let first = unit.start;
        if let Err(breaks) = profile(self.ask, unit.clone()) {
            return Some(Stuck::Letter(first, breaks));
        }
        let edge = self.ask.letters[unit.clone()].iter().map(|l| l.edge).sum();
        if self.ask.shared(edge) > open {
            return Some(Stuck::EdgeHours(first));
        }
        self.profile(&unit).is_none().then_some(Stuck::Hours(first))
    }

    /// The go of these letters, if it keeps its windows and fits into the hours.
    fn profile(&mut self, letters: &Range<usize>) -> Option<Profile> {
        let ask = self.ask;
        let key = (letters.start, letters.end);
        self.profiles
            .entry(key)
            .or_insert_with(|| {
                let open = ask.hours.1 - ask.hours.0;
                let own = &ask.letters[letters.clone()];
                let edge = ask.shared(own.iter().map(|l| l.edge).sum());
                let unmask = ask.shared(own.iter().map(|l| l.unmask).sum());
                let wipe = ask.shared(own.iter().map(|l| l.wipe).sum());
                let p = profile(ask, letters.clone()).ok()?;
                (edge <= open && unmask <= open && wipe + p.end <= open).then_some(p)
            })
            .clone()
    }

    /// Every way to cut the letters into so many goes, each of one paint and within its windows; false if there
    /// were too many to list.
    fn cuts(&mut self, goes: usize) -> (Vec<Vec<Range<usize>>>, bool) {
        let mut found = Vec::new();
        let all = self.cut_on(&mut Vec::new(), 0, goes, &mut found);
        (found, all)
    }

    fn cut_on(
        &mut self,
        cut: &mut Vec<Range<usize>>,
        from: usize,
        left: usize,
        found: &mut Vec<Vec<Range<usize>>>,
    ) -> bool {
        let n = self.ask.letters.len();
        if left == 0 {
            found.push(cut.clone());
            return found.len() < MOST_CUTS;
        }
        // The last go takes all that is left; the others leave a letter for each go to come.
        let first = if left == 1 { n } else { from + 1 };
        for to in first..=n + 1 - left {
            // Paints do not share a cup; longer runs hold what already broke.
            let one_paint = self.ask.letters[from].paint == self.ask.letters[to - 1].paint;
            if !one_paint || self.profile(&(from..to)).is_none() {
                break;
            }
            // What shares a mask is shot in one go.
            if self.ask.letters[from..to].iter().any(|l| l.until >= to) {
                continue;
            }
            cut.push(from..to);
            let room = self.cut_on(cut, to, left - 1, found);
            cut.pop();
            if !room {
                return false;
            }
        }
        true
    }

    /// The goes of a cut with all their lengths.
    fn goes(&mut self, cut: &[Range<usize>]) -> Option<Vec<GoTimes>> {
        let ask = self.ask;
        let mut goes: Vec<GoTimes> = Vec::new();
        for letters in cut {
            let profile = self.profile(letters)?;
            let sum = |of: fn(&super::ask::Letter) -> i64| ask.letters[letters.clone()].iter().map(of).sum();
            let near: Vec<usize> =
                (0..letters.start).filter(|a| letters.clone().any(|b| ask.beside[b][*a].near)).collect();
            let cover = ask.shared(near.iter().map(|a| ask.letters[*a].cover).sum());
            let paint = &ask.paints[ask.letters[letters.start].paint];
            let (edge, unmask): (i64, i64) = (sum(|l| l.edge), sum(|l| l.unmask));
            let wipe = ask.shared(sum(|l| l.wipe));
            if cover + wipe + profile.end > ask.hours.1 - ask.hours.0 {
                return None;
            }
            goes.push(GoTimes {
                letters: letters.clone(),
                profile,
                edge: (edge > 0).then(|| (0, ask.shared(edge))),
                start: 0,
                cover: (cover, near),
                wipe,
                unmask: paint.unmask.map(|_| (0, ask.shared(unmask))),
            });
        }
        Some(goes)
    }

    /// A time before which no day with this cut ends: its goes alone, and the unmasking of each after it. `None` if
    /// not even that can be.
    fn bound(&mut self, cut: &[Range<usize>]) -> Option<i64> {
        let mut plan = Plan { goes: self.goes(cut)?, order: vec![], starts: vec![] };
        for g in 0..plan.goes.len() {
            plan.order.push((GO, g));
            plan.starts.push(i64::MIN / 2);
        }
        if !plan.settle(self.ask) {
            return None;
        }
        let mut last = plan.end(plan.order.len() - 1);
        for g in 0..plan.goes.len() {
            if let Some((_, long)) = plan.goes[g].unmask {
                let (from, _) = self.ask.paints[self.ask.letters[plan.goes[g].letters.start].paint].unmask?;
                let after = plan.coats_end(g, plan.starts[g]) + from;
                last = last.max(self.ask.fit(after, long)? + long);
            }
        }
        Some(last)
    }

    /// The best order of the blocks of a cut, if it beats `best`.
    fn order(&mut self, cut: &[Range<usize>], best: &mut Option<(i64, Vec<GoTimes>, Plan)>) {
        let Some(goes) = self.goes(cut) else { return };
        let next = [0; 3];
        self.extend(Plan { goes, order: vec![], starts: vec![] }, next, best);
    }

    /// Appends each block that may come next. `next` counts the blocks of each kind that are in.
    fn extend(&mut self, plan: Plan, next: [usize; 3], best: &mut Option<(i64, Vec<GoTimes>, Plan)>) {
        let n = plan.goes.len();
        let skip = |kind: usize, mut g: usize| {
            // A kind that is not planned for a go has nothing to be placed.
            while g < n
                && match kind {
                    EDGE => plan.goes[g].edge.is_none(),
                    UNMASK => plan.goes[g].unmask.is_none(),
                    _ => false,
                }
            {
                g += 1;
            }
            g
        };
        let next = [skip(EDGE, next[EDGE]), next[GO], skip(UNMASK, next[UNMASK])];
        if next == [n; 3] {
            let finish = plan.end(plan.order.len() - 1);
            if best.as_ref().is_none_or(|(b, ..)| finish < *b) {
                *best = Some((finish, plan.timed(), plan));
            }
            return;
        }
        for kind in [GO, UNMASK, EDGE] {
            let g = next[kind];
            if g == n || self.steps >= MOST_STEPS {
                continue;
            }
            let ready = match kind {
                GO => next[EDGE] > g,
                UNMASK => next[GO] > g,
                // Tape that lies on another go's paint comes after that go, a mask that does after that one's is off.
                _ => (0..g).all(|a| {
                    (a < next[GO] || !self.taped(&plan, a, g))
                        && (a < next[UNMASK] || !self.laid(&plan, a, g))
                }),
            };
            if !ready {
                continue;
            }
            self.steps += 1;
            let mut longer = plan.clone();
            longer.order.push((kind, g));
            longer.starts.push(i64::MIN / 2);
            if !longer.settle(self.ask) {
                continue;
            }
            let end = longer.end(longer.order.len() - 1);
            if best.as_ref().is_some_and(|(b, ..)| end >= *b) {
                continue;
            }
            let mut after = next;
            after[kind] += 1;
            self.extend(longer, after, best);
        }
    }

    fn taped(&self, plan: &Plan, a: usize, b: usize) -> bool {
        beside(self.ask, &plan.goes[a].letters, &plan.goes[b].letters, |s| s.taped)
    }

    fn laid(&self, plan: &Plan, a: usize, b: usize) -> bool {
        beside(self.ask, &plan.goes[a].letters, &plan.goes[b].letters, |s| s.laid)
    }
}

fn beside(
    ask: &Ask,
    a: &Range<usize>,
    b: &Range<usize>,
    what: impl Fn(super::ask::Beside) -> bool + Copy,
) -> bool {
    b.clone().any(|y| a.clone().any(|x| what(ask.beside[y][x])))
}

impl Plan {
    fn long(&self, (kind, g): (usize, usize)) -> i64 {
        let go = &self.goes[g];
        match kind {
            EDGE => go.edge.map_or(0, |e| e.1),
            UNMASK => go.unmask.map_or(0, |u| u.1),
            _ => go.cover.0 + go.wipe + go.profile.end,
        }
    }

    fn end(&self, k: usize) -> i64 {
        self.starts[k] + self.long(self.order[k])
    }

    fn coats_end(&self, g: usize, start: i64) -> i64 {
        let go = &self.goes[g];
        start + go.cover.0 + go.wipe + go.profile.coats_end
    }

    /// Moves blocks later until every window and the hours are kept, no further than needed. False if a block
    /// would have to leave its days.
    fn settle(&mut self, ask: &Ask) -> bool {
        let (first, last) = ask.days;
        let day = |d: i64| d * ask.midnight;
        loop {
            let mut moved = false;
            for k in 0..self.order.len() {
                let (kind, g) = self.order[k];
                let go = &self.goes[g];
                let mut from = if kind == EDGE { day(first) } else { 0 };
                if kind == EDGE {
                    let own = ask.letters[go.letters.clone()].iter().map(|l| l.edge_from).max();
                    from = from.max(own.unwrap_or(from));
                }
                if k > 0 {
                    from = from.max(self.end(k - 1));
                }
                for j in 0..self.order.len() {
                    from = from.max(self.lag(ask, j, k));
                }
                let Some(start) = ask.fit(from.max(self.starts[k]), self.long(self.order[k])) else {
                    return false;
                };
                let most = if (kind, g) == (GO, 0) { day(1) } else { day(last + 1) };
                if start >= most {
                    return false;
                }
                if start > self.starts[k] {
                    self.starts[k] = start;
                    moved = true;
                }
            }
            if !moved {
                return true;
            }
        }
    }

    /// The soonest that block `k` may start because of where block `j` stands.
    fn lag(&self, ask: &Ask, j: usize, k: usize) -> i64 {
        let ((kind, g), (other, h)) = (self.order[k], self.order[j]);
        let paint = |g: usize| &ask.paints[ask.letters[self.goes[g].letters.start].paint];
        let never = i64::MIN / 2;
        match (other, kind) {
            // Dry to tape before it is covered, or taped over.
            (GO, GO) if h < g => {
                if beside(ask, &self.goes[h].letters, &self.goes[g].letters, |s| s.near) {
                    self.coats_end(h, self.starts[j]) + paint(h).dry_to_tape
                } else {
                    never
                }
            }
            (GO, EDGE) if h < g => {
                let dry = self.coats_end(h, self.starts[j]) + paint(h).dry_to_tape;
                if beside(ask, &self.goes[h].letters, &self.goes[g].letters, |s| s.laid) {
                    self.masked(ask, g, dry)
                } else if beside(ask, &self.goes[h].letters, &self.goes[g].letters, |s| s.taped) {
                    dry
                } else {
                    never
                }
            }
            (UNMASK, EDGE) if h < g => {
                if beside(ask, &self.goes[h].letters, &self.goes[g].letters, |s| s.laid) {
                    self.masked(ask, g, self.end(j))
                } else {
                    never
                }
            }
            // Edge tape stays on no longer than its dwell.
            (GO, EDGE) if h == g => ask.dwell.map_or(never, |dwell| {
                let go = &self.goes[g];
                self.starts[j] + go.cover.0 + go.wipe + go.profile.pulls_end - dwell
            }),
            (GO, UNMASK) if h == g => {
                paint(g).unmask.map_or(never, |(from, _)| self.coats_end(g, self.starts[j]) + from)
            }
            (UNMASK, GO) if h == g => {
                paint(g).unmask.map_or(never, |(_, by)| self.end(j) - by - (self.coats_end(g, 0)))
            }
            _ => never,
        }
    }

    /// When the mask of a go is laid but for its edge tape, if that waits until `from`.
    fn masked(&self, ask: &Ask, g: usize, from: i64) -> i64 {
        let own = &ask.letters[self.goes[g].letters.clone()];
        let lay = ask.shared(own.iter().map(|l| l.lay).sum());
        if lay > 0 { runs_to(ask, from, lay) } else { from }
    }

    fn timed(&self) -> Vec<GoTimes> {
        let mut goes = self.goes.clone();
        for (k, (kind, g)) in self.order.iter().enumerate() {
            let at = self.starts[k];
            match *kind {
                EDGE => goes[*g].edge = goes[*g].edge.map(|e| (at, e.1)),
                UNMASK => goes[*g].unmask = goes[*g].unmask.map(|u| (at, u.1)),
                _ => goes[*g].start = at,
            }
        }
        goes
    }

    /// Edge tape as late as its place in the order allows: it should stay on for hours, not days.
    fn edges_late(&self, ask: &Ask, goes: &mut [GoTimes]) {
        let mut starts = self.starts.clone();
        for k in (0..self.order.len()).rev() {
            let (kind, g) = self.order[k];
            if kind != EDGE || k + 1 == self.order.len() {
                continue;
            }
            let long = self.long(self.order[k]);
            if let Some(at) = ask.fit_back(starts[k + 1] - long, long) {
                starts[k] = at.max(starts[k]);
                goes[g].edge = Some((starts[k], long));
            }
        }
    }

    /// The latest start of the first go at which this order still ends on the same day.
    fn latest(&self, ask: &Ask, finish: i64) -> i64 {
        let end_day = (finish - 1).div_euclid(ask.midnight);
        let Some(k) = self.order.iter().position(|b| *b == (GO, 0)) else { return 0 };
        let works = |at: i64| {
            let mut plan = self.clone();
            plan.starts[k] = at;
            plan.settle(ask)
                && plan.starts[k] == at
                && (plan.end(plan.order.len() - 1) - 1).div_euclid(ask.midnight) == end_day
        };
        let soonest = self.starts[k];
        (soonest..=ask.hours.1).rev().find(|at| works(*at)).unwrap_or(soonest)
    }
}

#[cfg(test)]
mod tests;
