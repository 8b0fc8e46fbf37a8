//! One go: a cup mixed, every coat on every letter of it, then the pulls, then the gun cleaned.
//!
//! Within a go everything has a fixed order. Each coat runs through the letters without a break; every last coat
//! ends before the first edge tape is pulled; each letter is pulled and swabbed within its window after its own
//! last coat, stripes of one mask together within the windows of all. What is left to decide is how often to mix and who
//! pulls what when; both are solved here. Whole minutes, counted from the moment the first cup is mixed.

use super::ask::{Ask, PaintAsk};
use std::ops::Range;

/// Most steps of the search for an order of pulling. chosen: all orders of eight letters.
const MOST_ORDERS: usize = 50_000;

/// A go on its own clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Each mixing: the coat it is for first, and when it starts.
    pub mixes: Vec<(usize, i64)>,
    /// When each coat starts on the first letter.
    pub coats: Vec<i64>,
    /// When the last coat of each letter ends.
    pub last_coat: Vec<i64>,
    /// When each letter's pull starts.
    pub pulls: Vec<i64>,
    /// When the last coat of all ends.
    pub coats_end: i64,
    /// When the last pull ends.
    pub pulls_end: i64,
    /// When the gun is clean.
    pub end: i64,
    /// True if no other order of pulling can end sooner.
    pub proved: bool,
}

/// The window that a go breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Breaks {
    /// The wait between two coats would be longer than the paint allows.
    Flash,
    /// A coat does not fit into the pot life of a cup.
    PotLife,
    /// A letter cannot be pulled within its window.
    Pull,
}

/// The go of these letters, all of one paint; or the first window it cannot keep.
///
/// # Errors
/// The window that breaks.
pub fn profile(ask: &Ask, letters: Range<usize>) -> Result<Profile, Breaks> {
    let paint = &ask.paints[ask.letters[letters.start].paint];
    let minutes = |coat: usize| letters.clone().map(move |i| ask.letters[i].coat[coat]);
    let total: Vec<i64> = (0..paint.rounds.len()).map(|k| minutes(k).sum()).collect();
    let mut gaps = vec![(0, None); paint.rounds.len()];
    for (k, slot) in gaps.iter_mut().enumerate().skip(1) {
        *slot = gap(
            &minutes(k - 1).collect::<Vec<_>>(),
            &minutes(k).collect::<Vec<_>>(),
            paint.rounds[k].least,
            paint.rounds[k].most,
        );
        if slot.1.is_some_and(|most| most < slot.0) {
            return Err(Breaks::Flash);
        }
    }
    let firsts = mixings(paint, &total, &gaps)?;
    let mut coats: Vec<i64> = Vec::new();
    let mut mixes = Vec::new();
    for k in 0..paint.rounds.len() {
        let start = match coats.last() {
            None => paint.mix,
            Some(last) => last + spaced(k, &firsts, paint, &total, &gaps),
        };
        if firsts.contains(&k) {
            mixes.push((k, start - paint.mix));
        }
        coats.push(start);
    }
    let last = paint.rounds.len() - 1;
    let mut at = coats[last];
    let last_coat: Vec<i64> = minutes(last)
        .map(|m| {
            at += m;
            at
        })
        .collect();
    let coats_end = at;
    let (pulls, pulls_end, proved) = pulls(ask, paint, letters, &last_coat).ok_or(Breaks::Pull)?;
    Ok(Profile { mixes, coats, last_coat, pulls, coats_end, pulls_end, end: pulls_end + paint.clean, proved })
}

/// Least and most time from the start of one coat to the start of the next, so that every letter's own wait keeps
/// within `least` and `most`.
fn gap(before: &[i64], next: &[i64], least: i64, most: Option<i64>) -> (i64, Option<i64>) {
    let mut low: i64 = before.iter().sum();
    let mut high: Option<i64> = None;
    let mut lead = 0;
    for (b, n) in before.iter().zip(next) {
        // The letter's wait is the time between the starts less what its own coat took, plus its later place.
        low = low.max(least + b + lead);
        if let Some(most) = most {
            high = Some(high.map_or(most + b + lead, |h: i64| h.min(most + b + lead)));
        }
        lead += b - n;
    }
    (low, high)
}

/// The coats before which a cup is mixed: fewest cups, then the shortest go. Each cup's last coat ends within its
/// pot life, which starts with the mixing.
fn mixings(paint: &PaintAsk, total: &[i64], gaps: &[(i64, Option<i64>)]) -> Result<Vec<usize>, Breaks> {
    let n = total.len();
    // Best way to have sprayed the first `k` coats: cups, time lost, where the last cup began.
    let mut best: Vec<Option<(usize, i64, usize)>> = vec![None; n + 1];
    best[0] = Some((0, 0, 0));
    for first in 0..n {
        let Some((cups, lost, _)) = best[first] else { continue };
        let delay = if first == 0 { 0 } else { total[first - 1] + paint.mix - gaps[first].0 };
        let delay = delay.max(0);
        if first > 0 && gaps[first].1.is_some_and(|most| gaps[first].0 + delay > most) {
            continue;
        }
        let mut long = paint.mix;
        for k in first..n {
            long += if k > first { gaps[k].0 } else { 0 };
            if paint.pot_life.is_some_and(|pot| long + total[k] > pot) {
                break;
            }
            let new = (cups + 1, lost + delay, first);
            if best[k + 1].is_none_or(|old| (new.0, new.1) < (old.0, old.1)) {
                best[k + 1] = Some(new);
            }
        }
    }
    let mut firsts = Vec::new();
    let mut k = n;
    while k > 0 {
        let (_, _, first) = best[k].ok_or(Breaks::PotLife)?;
        firsts.push(first);
        k = first;
    }
    firsts.reverse();
    Ok(firsts)
}

fn spaced(k: usize, firsts: &[usize], paint: &PaintAsk, total: &[i64], gaps: &[(i64, Option<i64>)]) -> i64 {
    if firsts.contains(&k) { gaps[k].0.max(total[k - 1] + paint.mix) } else { gaps[k].0 }
}

/// When each letter is pulled: all within their windows, the last as soon as can be.
fn pulls(
    ask: &Ask,
    paint: &PaintAsk,
    letters: Range<usize>,
    last_coat: &[i64],
) -> Option<(Vec<i64>, i64, bool)> {
    let wet_over = *last_coat.last()?;
    let units = ask.units(letters.clone());
    let jobs: Vec<Pull> = units
        .iter()
        .map(|unit| {
            let (from, by) = paint.pull.unwrap_or((0, i64::MAX / 4));
            // The window of the last sprayed opens last, that of the first closes first.
            let (first, last) =
                (last_coat[unit.start - letters.start], last_coat[unit.end - 1 - letters.start]);
            let (pull, swab) = ask.pulling(unit.clone());
            Pull { from: wet_over.max(last + from), by: first + by, long: pull + swab, all: unit.len() > 1 }
        })
        .collect();
    let hands = ask.hands.max(1) as usize;
    let mut search = Search { jobs: &jobs, best: None, steps: 0, most: MOST_ORDERS };
    let alike = jobs.windows(2).all(|w| (w[0].long, w[0].all) == (w[1].long, w[1].all));
    if hands == 1 || alike {
        // Windows open and close in the order of the letters: that order is then the best there is.
        search.most = jobs.len();
        search.in_order(hands);
    } else {
        let mut starts = vec![0; jobs.len()];
        search.extend(&mut vec![wet_over; hands], &mut starts, &mut vec![false; jobs.len()], 0, 0);
    }
    let proved = hands == 1 || alike || search.steps < search.most;
    search.best.map(|(end, starts)| {
        let each = units.iter().zip(starts).flat_map(|(unit, start)| unit.clone().map(move |_| start));
        (each.collect(), end, proved)
    })
}

#[derive(Clone, Copy, Debug)]
struct Pull {
    from: i64,
    by: i64,
    long: i64,
    /// All hands are at it.
    all: bool,
}

impl Pull {
    /// When it starts with the hands free at these times, and which of them are at it.
    fn start(&self, free: &[i64]) -> (i64, Range<usize>) {
        let hand = soonest(free);
        let hands = if self.all { 0..free.len() } else { hand..hand + 1 };
        let ready = free[hands.clone()].iter().copied().max();
        (self.from.max(ready.unwrap_or(self.from)), hands)
    }
}

struct Search<'a> {
    jobs: &'a [Pull],
    best: Option<(i64, Vec<i64>)>,
    steps: usize,
    most: usize,
}

impl Search<'_> {
    fn in_order(&mut self, hands: usize) {
        let mut free = vec![i64::MIN; hands];
        let mut starts = Vec::new();
        let mut over = i64::MIN;
        for job in self.jobs {
            let (start, at_it) = job.start(&free);
            if start + job.long > job.by {
                return;
            }
            free[at_it].fill(start + job.long);
            over = over.max(start + job.long);
            starts.push(start);
        }
        self.best = Some((over, starts));
    }

    /// All orders: every schedule worth having is one in which each letter, in some order, is taken by the hand
    /// that is free first, or by all of them as soon as all are free.
    fn extend(
        &mut self,
        free: &mut Vec<i64>,
        starts: &mut Vec<i64>,
        done: &mut Vec<bool>,
        n: usize,
        over: i64,
    ) {
        if n == self.jobs.len() {
            if self.best.as_ref().is_none_or(|(best, _)| over < *best) {
                self.best = Some((over, starts.clone()));
            }
            return;
        }
        self.steps += 1;
        if self.steps >= self.most || self.best.as_ref().is_some_and(|(best, _)| over >= *best) {
            return;
        }
        let now = free[soonest(free)];
        // A letter whose window closes before even the freest hand could have pulled it ends this order.
        if self.jobs.iter().zip(&*done).any(|(j, d)| !d && now.max(j.from) + j.long > j.by) {
            return;
        }
        for i in 0..self.jobs.len() {
            let job = self.jobs[i];
            let same = |k: usize| {
                let other = self.jobs[k];
                !done[k]
                    && (other.long, other.from, other.by, other.all) == (job.long, job.from, job.by, job.all)
            };
            if done[i] || (0..i).any(same) {
                continue;
            }
            let (start, at_it) = job.start(free);
            if start + job.long > job.by {
                continue;
            }
            // One hand is put back as it was; all of them seldom have to be.
            let (first, one) = (at_it.start, free[at_it.start]);
            let all = if job.all { free.clone() } else { Vec::new() };
            done[i] = true;
            free[at_it].fill(start + job.long);
            starts[i] = start;
            self.extend(free, starts, done, n + 1, over.max(start + job.long));
            if job.all {
                free.copy_from_slice(&all);
            } else {
                free[first] = one;
            }
            done[i] = false;
        }
    }
}

fn soonest(free: &[i64]) -> usize {
    (0..free.len()).min_by_key(|h| (free[*h], *h)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::super::ask::tests::{letter, one_paint};
    use super::*;

    /// A worked example: 3 min a wet coat, 6 min a pull with swab, 20 min window. By hand: the last of n
    /// letters is wet at 3n and pulled by 3n + 6n at the soonest, at most 3n + 20: n is 3.
    #[test]
    fn one_pair_of_hands_pulls_three_letters_in_their_window() {
        let ask = one_paint(1, 6, &[3], 6, Some((0, 20)));
        assert!(profile(&ask, 0..3).is_ok());
        assert_eq!(profile(&ask, 0..4), Err(Breaks::Pull));
    }

    /// Two pairs: 5 letters: wet over at 15, pulled at 21, 21, 27, 27, 33; windows close at 23, 26, 29, 32, 35.
    /// 6: wet over at 18, the first is pulled at 24, but its window closes at 23.
    #[test]
    fn two_pairs_of_hands_pull_five() {
        let ask = one_paint(2, 6, &[3], 6, Some((0, 20)));
        let five = profile(&ask, 0..5).unwrap();
        assert_eq!(five.pulls_end - five.coats[0], 33);
        assert_eq!(profile(&ask, 0..6), Err(Breaks::Pull));
    }

    #[test]
    fn every_letter_waits_its_own_flash() {
        // Fog takes 1 min, wet 3: the second letter's wait grows by what the first took longer.
        let (low, high) = gap(&[1, 1], &[3, 3], 5, Some(10));
        assert_eq!((low, high), (6, Some(9)));
        // First letter: 6 - 1 = 5. Second: (6 + 3) - 2 = 7, and 9 + 3 - 2 = 10.
        assert_eq!(gap(&[4, 4, 4], &[4, 4, 4], 1, None), (12, None));
    }

    #[test]
    fn a_second_cup_is_mixed_when_the_first_would_go_off() {
        let mut ask = one_paint(1, 1, &[2, 2, 4], 3, None);
        ask.paints[0].rounds[2].least = 45;
        ask.paints[0].mix = 10;
        ask.paints[0].pot_life = Some(70);
        assert_eq!(profile(&ask, 0..1).unwrap().mixes, [(0, 0)]);
        ask.paints[0].pot_life = Some(40);
        let p = profile(&ask, 0..1).unwrap();
        assert_eq!(p.mixes, [(0, 0), (2, 49)]);
        assert_eq!(p.coats, [10, 12, 59]);
        ask.paints[0].pot_life = Some(11);
        assert_eq!(profile(&ask, 0..1), Err(Breaks::PotLife));
    }

    #[test]
    fn unlike_pulls_are_shared_out_best() {
        // Pulls of 5, 5, 10 between two hands: the long one first, or the last window is missed.
        let mut ask = one_paint(2, 3, &[1], 5, Some((0, 13)));
        ask.letters[2] = letter(0, &[1], 10);
        let p = profile(&ask, 0..3).unwrap();
        assert_eq!(p.pulls_end - p.coats_end, 10);
        assert!(p.proved);
    }
}
