//! The solver held against worked days and against every day there is, minute by minute.

use super::super::ask::tests::one_paint;
use super::super::ask::{Ask, Beside, Letter, PaintAsk, Round};
use super::*;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

/// A worked example as a day: six letters, one pair of hands. By hand: 3 to a go, so two goes; the second
/// starts when the first is dry to tape (12 h), the next morning.
#[test]
fn six_letters_take_one_pair_of_hands_two_goes_and_two_days() {
    let ask = one_paint(1, 6, &[3], 6, Some((0, 20)));
    let day = solve(&ask).unwrap();
    let cut: Vec<_> = day.goes.iter().map(|g| g.letters.clone()).collect();
    assert_eq!(cut, [0..3, 3..6]);
    assert_eq!(day.goes[0].start, 480);
    assert_eq!(day.goes[1].start, 1440 + 480);
    assert_eq!((day.finish, day.bound), (1440 + 480 + 27, 1440 + 480 + 27));
}

#[test]
fn two_pairs_of_hands_take_five_and_one_or_three_and_three() {
    let ask = one_paint(2, 6, &[3], 6, Some((0, 20)));
    let day = solve(&ask).unwrap();
    assert_eq!(day.goes.len(), 2);
    assert!(day.goes.iter().all(|g| g.letters.len() <= 5));
    assert!(solve(&one_paint(2, 5, &[3], 6, Some((0, 20)))).unwrap().goes.len() == 1);
}

#[test]
fn a_wiping_window_in_the_night_asks_for_an_early_start() {
    // Closes at 18:00, paper off 6 to 12 h after the last coat, 30 min of it: coats end by 11:30.
    let mut ask = one_paint(1, 1, &[60], 6, None);
    ask.paints[0].unmask = Some((360, 720));
    ask.letters[0].unmask = 30;
    let day = solve(&ask).unwrap();
    assert_eq!(day.latest, 690 - 60);
    // Opening at 11:00 the coat ends at 12:00, and 6 h later the shop closes.
    ask.hours = (660, 1080);
    assert_eq!(solve(&ask), Err(Stuck::Day));
}

#[test]
fn edge_tape_is_laid_the_day_before_if_its_dwell_allows() {
    let mut ask = one_paint(1, 2, &[3], 6, Some((0, 20)));
    for l in &mut ask.letters {
        l.edge = 60;
        l.edge_from = i64::MIN / 4;
    }
    ask.dwell = Some(24 * 60);
    let day = solve(&ask).unwrap();
    assert_eq!(day.goes[0].edge, Some((1080 - 120 - 1440, 120)));
    assert_eq!(day.goes[0].start, 480);
    ask.dwell = Some(8 * 60);
    let day = solve(&ask).unwrap();
    assert_eq!((day.goes[0].edge, day.goes[0].start), (Some((480, 120)), 600));
}

/// Everything below is a second reading of the rules, minute by minute, for days small enough for it.
mod brute {
    use super::*;

    /// Fewest cups, then the soonest end of the coats and of the pulls: cups, coats' end, pulls' end, end.
    pub(super) fn go(ask: &Ask, letters: Range<usize>) -> Option<(usize, i64, i64, i64)> {
        let paint = &ask.paints[ask.letters[letters.start].paint];
        let own: Vec<&Letter> = ask.letters[letters].iter().collect();
        let mut best = None;
        for cups in 0..1_u32 << (paint.rounds.len() - 1) {
            coats(ask, paint, &own, cups, &mut vec![], &mut best);
        }
        best
    }

    fn ends(own: &[&Letter], k: usize, start: i64) -> Vec<i64> {
        let mut at = start;
        own.iter()
            .map(|l| {
                at += l.coat[k];
                at
            })
            .collect()
    }

    fn coats(
        ask: &Ask,
        paint: &PaintAsk,
        own: &[&Letter],
        cups: u32,
        starts: &mut Vec<i64>,
        best: &mut Option<(usize, i64, i64, i64)>,
    ) {
        let k = starts.len();
        if k == paint.rounds.len() {
            let fresh = |k: usize| k == 0 || cups >> (k - 1) & 1 == 1;
            let mut mixed = 0;
            for k in 0..k {
                if fresh(k) {
                    mixed = starts[k] - paint.mix;
                    if k > 0 && mixed < *ends(own, k - 1, starts[k - 1]).last().unwrap() {
                        return;
                    }
                }
                let over = *ends(own, k, starts[k]).last().unwrap();
                if paint.pot_life.is_some_and(|pot| over - mixed > pot) {
                    return;
                }
            }
            let last = ends(own, k - 1, starts[k - 1]);
            let wet = *last.last().unwrap();
            let cups_used = 1 + cups.count_ones() as usize;
            if best.is_some_and(|old| (old.0, old.1) < (cups_used, wet)) {
                return;
            }
            let (from, by) = paint.pull.unwrap_or((0, 14));
            let mut jobs: Vec<Job> = vec![];
            for (k, l) in own.iter().enumerate() {
                let shares = l.until > 0 && k > 0 && own[k - 1].until == l.until;
                if shares && let Some(job) = jobs.last_mut() {
                    // One mask: after the last of its coats, within the window of the first, by all hands.
                    job.from = job.from.max(last[k] + from);
                    (job.pull, job.swab) = (job.pull + l.pull, job.swab + l.swab);
                    job.hands = ask.hands;
                } else {
                    let (from, by) = (wet.max(last[k] + from), last[k] + by);
                    jobs.push(Job { from, by, pull: l.pull, swab: l.swab, hands: 1 });
                }
            }
            let mut soonest = None;
            pulls(ask, &jobs, &mut vec![], &mut soonest);
            if let Some(over) = soonest {
                let new = (cups_used, wet, over, over + paint.clean);
                if best.is_none_or(|old| new < old) {
                    *best = Some(new);
                }
            }
            return;
        }
        let tries = if k == 0 { paint.mix..=paint.mix } else { starts[k - 1]..=starts[k - 1] + 12 };
        for start in tries {
            if k > 0 {
                let before = ends(own, k - 1, starts[k - 1]);
                let now = ends(own, k, start);
                if start < *before.last().unwrap() {
                    continue;
                }
                let good = (0..own.len()).all(|i| {
                    let wait = now[i] - own[i].coat[k] - before[i];
                    wait >= paint.rounds[k].least && paint.rounds[k].most.is_none_or(|m| wait <= m)
                });
                if !good {
                    continue;
                }
            }
            starts.push(start);
            coats(ask, paint, own, cups, starts, best);
            starts.pop();
        }
    }

    fn pulls(ask: &Ask, jobs: &[Job], at: &mut Vec<i64>, best: &mut Option<i64>) {
        let i = at.len();
        if i == jobs.len() {
            let over = at.iter().zip(jobs).map(|(t, j)| t + j.long()).max().unwrap();
            if best.is_none_or(|b| over < b) {
                *best = Some(over);
            }
            return;
        }
        let own = &jobs[i];
        for t in own.from..=own.by - own.long() {
            if best.is_some_and(|b| t + own.long() >= b) {
                break;
            }
            let busy = |m: i64| -> i64 {
                at.iter()
                    .zip(jobs)
                    .filter(|(s, j)| **s <= m && m < **s + j.long())
                    .map(|(_, j)| j.hands)
                    .sum()
            };
            if (t..t + own.long()).all(|m| busy(m) + own.hands <= ask.hands) {
                at.push(t);
                pulls(ask, jobs, at, best);
                at.pop();
            }
        }
    }

    /// A letter, or the stripes of one mask, to be pulled.
    struct Job {
        from: i64,
        by: i64,
        pull: i64,
        swab: i64,
        hands: i64,
    }

    impl Job {
        fn long(&self) -> i64 {
            let all = |minutes: i64| (minutes + self.hands - 1) / self.hands;
            all(self.pull) + all(self.swab)
        }
    }

    struct Block {
        at: i64,
        long: i64,
    }

    /// Fewest goes and earliest end.
    pub(super) fn day(ask: &Ask) -> Option<(usize, i64)> {
        let n = ask.letters.len();
        let mut best: Option<(usize, i64)> = None;
        for bits in 0..1_u32 << (n - 1) {
            let mut cut = vec![];
            let mut from = 0;
            for k in 1..=n {
                if k == n || bits >> (k - 1) & 1 == 1 {
                    cut.push(from..k);
                    from = k;
                }
            }
            let parted = |g: &Range<usize>| {
                let mask = ask.letters[g.end - 1].until;
                mask > 0 && ask.letters.get(g.end).is_some_and(|l| l.until == mask)
            };
            if cut.iter().any(parted) {
                continue;
            }
            if cut.iter().any(|g| ask.letters[g.start].paint != ask.letters[g.end - 1].paint)
                || best.is_some_and(|(goes, _)| cut.len() > goes)
            {
                continue;
            }
            let Some(own) = cut.iter().map(|g| go(ask, g.clone())).collect::<Option<Vec<_>>>() else {
                continue;
            };
            let mut end = best.filter(|(goes, _)| *goes == cut.len()).map_or(i64::MAX, |b| b.1);
            place(ask, &cut, &own, &mut vec![], &mut end);
            if end < i64::MAX {
                best = Some((cut.len(), end));
            }
        }
        best
    }

    fn open(ask: &Ask, at: i64, long: i64) -> bool {
        let day = at.div_euclid(ask.midnight) * ask.midnight;
        day + ask.hours.0 <= at && at + long <= day + ask.hours.1
    }

    /// Blocks so far: edge tape, go, unmasking of each go in turn.
    fn place(
        ask: &Ask,
        cut: &[Range<usize>],
        own: &[(usize, i64, i64, i64)],
        blocks: &mut Vec<[Block; 3]>,
        best: &mut i64,
    ) {
        let g = blocks.len();
        if g == cut.len() {
            *best = (*best)
                .min(blocks.iter().flatten().filter(|b| b.long > 0).map(|b| b.at + b.long).max().unwrap());
            return;
        }
        let letters = &ask.letters[cut[g].clone()];
        let sum = |of: fn(&Letter) -> i64| (letters.iter().map(of).sum::<i64>() + ask.hands - 1) / ask.hands;
        let near: Vec<usize> =
            (0..cut[g].start).filter(|a| cut[g].clone().any(|b| ask.beside[b][*a].near)).collect();
        let cover = (near.iter().map(|a| ask.letters[*a].cover).sum::<i64>() + ask.hands - 1) / ask.hands;
        let before = cover + sum(|l| l.wipe);
        let (_, wet, pulled, end) = own[g];
        let long = before + end;
        let paint = &ask.paints[letters[0].paint];
        let coats_end = |h: usize, b: &[[Block; 3]]| {
            let (l, (_, wet, _, end)) = (&b[h][1], own[h]);
            l.at + l.long - end + wet
        };
        let (edge, unmask) = (sum(|l| l.edge), sum(|l| l.unmask));
        let days = if g == 0 { 0..=0 } else { 0..=ask.days.1 };
        for at in *days.start() * ask.midnight..(*days.end() + 1) * ask.midnight {
            if at + long > *best || !open(ask, at, long) {
                continue;
            }
            let dry = (0..g).all(|h| {
                !beside(ask, &cut[h], &cut[g], |s| s.near)
                    || at >= coats_end(h, blocks) + ask.paints[ask.letters[cut[h].start].paint].dry_to_tape
            });
            let after = blocks.last().is_none_or(|b| at >= b[1].at + b[1].long);
            if !dry || !after || clash(blocks, at, long) {
                continue;
            }
            let edges: Vec<i64> = if edge == 0 { vec![0] } else { (ask.days.0 * ask.midnight..at).collect() };
            for e in edges {
                if edge > 0 {
                    let late = letters.iter().all(|l| e >= l.edge_from);
                    let dwell = ask.dwell.is_none_or(|d| at + before + pulled - e <= d);
                    let taped = (0..g).all(|h| {
                        !beside(ask, &cut[h], &cut[g], |s| s.taped)
                            || e >= coats_end(h, blocks)
                                + ask.paints[ask.letters[cut[h].start].paint].dry_to_tape
                    });
                    // Minute by minute: so many opening minutes from when the mask may be laid.
                    let laid = (0..g).all(|h| {
                        if !beside(ask, &cut[h], &cut[g], |s| s.laid) {
                            return true;
                        }
                        let off = if blocks[h][2].long > 0 {
                            blocks[h][2].at + blocks[h][2].long
                        } else {
                            i64::MIN
                        };
                        let dry = ask.paints[ask.letters[cut[h].start].paint].dry_to_tape;
                        let ready = off.max(coats_end(h, blocks) + dry);
                        (ready..e).filter(|t| open(ask, *t, 1)).count() as i64 >= sum(|l| l.lay) && e >= ready
                    });
                    let order = blocks.last().is_none_or(|b| b[0].long == 0 || e >= b[0].at + b[0].long);
                    if !late || !dwell || !taped || !laid || !order || e + edge > at || !open(ask, e, edge) {
                        continue;
                    }
                    if clash(blocks, e, edge) {
                        continue;
                    }
                }
                let windows: Vec<i64> = match paint.unmask {
                    None => vec![0],
                    Some((from, by)) => {
                        let wet = at + before + wet;
                        (wet + from..=wet + by - unmask).collect()
                    }
                };
                for m in windows {
                    let planned = paint.unmask.is_some();
                    if planned {
                        let order = blocks.last().is_none_or(|b| b[2].long == 0 || m >= b[2].at + b[2].long);
                        let free = m < (ask.days.1 + 1) * ask.midnight
                            && m >= at + long
                            && !clash(blocks, m, unmask);
                        if !order || !free || !open(ask, m, unmask) || m + unmask > *best {
                            continue;
                        }
                    }
                    blocks.push([
                        Block { at: e, long: edge },
                        Block { at, long },
                        Block { at: m, long: if planned { unmask } else { 0 } },
                    ]);
                    place(ask, cut, own, blocks, best);
                    blocks.pop();
                }
            }
        }
    }

    fn clash(blocks: &[[Block; 3]], at: i64, long: i64) -> bool {
        blocks.iter().flatten().any(|b| b.long > 0 && at < b.at + b.long && b.at < at + long)
    }
}

fn window(from: Range<i64>, wide: Range<i64>) -> impl Strategy<Value = (i64, i64)> {
    (from, wide).prop_map(|(a, w)| (a, a + w))
}

fn small_paint() -> impl Strategy<Value = PaintAsk> {
    let round = (0..4_i64, prop::option::of(0..4_i64))
        .prop_map(|(least, more)| Round { least, most: more.map(|m| least + m) });
    (
        prop::collection::vec(round, 1..4),
        prop::option::of(window(0..2, 2..7)),
        prop::option::of(window(0..8, 2..7)),
        prop::option::of(6..16_i64),
        (1..10_i64, 0..2_i64, 0..2_i64),
    )
        .prop_map(|(rounds, pull, unmask, pot_life, (dry_to_tape, mix, clean))| PaintAsk {
            rounds,
            pull,
            unmask,
            pot_life,
            dry_to_tape,
            mix,
            clean,
        })
}

fn small_letter(rounds: usize) -> impl Strategy<Value = Letter> {
    (
        prop::collection::vec(1..3_i64, rounds),
        1..4_i64,
        0..2_i64,
        prop::option::of(1..4_i64),
        1..3_i64,
        0..2_i64,
        0..4_i64,
        -14..2_i64,
    )
        .prop_map(|(coat, pull, wipe, edge, unmask, cover, lay, edge_from)| Letter {
            paint: 0,
            coat,
            pull,
            wipe,
            edge: edge.unwrap_or(0),
            lay,
            edge_from,
            unmask,
            cover,
            ..Letter::default()
        })
}

fn small_ask() -> impl Strategy<Value = Ask> {
    (small_paint(), 1..4_usize).prop_flat_map(|(paint, n)| {
        let letters = prop::collection::vec(small_letter(paint.rounds.len()), n);
        let near = prop::collection::vec(any::<[bool; 3]>(), n * n);
        (letters, near, 1..3_i64, 7..11_i64, prop::option::of(6..16_i64)).prop_map(
            move |(mut letters, near, hands, open, dwell)| {
                let n = letters.len();
                // Edge tape is planned for all letters of a job or for none.
                if letters[0].edge == 0 {
                    letters.iter_mut().for_each(|l| l.edge = 0);
                } else {
                    letters.iter_mut().for_each(|l| l.edge = l.edge.max(1));
                }
                let beside = (0..n)
                    .map(|b| {
                        (0..n)
                            .map(|a| Beside {
                                near: near[b * n + a][0],
                                taped: near[b * n + a][1],
                                laid: near[b * n + a][1] && near[b * n + a][2],
                            })
                            .collect()
                    })
                    .collect();
                Ask {
                    hands,
                    hours: (2, 2 + open),
                    midnight: 14,
                    days: (-1, 2),
                    dwell,
                    paints: vec![paint.clone()],
                    letters,
                    beside,
                }
            },
        )
    })
}

/// Counts days by how many goes they take: a comparison that never sees a day of several shows little.
fn count(seen: &std::cell::Cell<(u32, u32, u32)>, wanted: Option<(usize, i64)>) {
    let (none, one, more) = seen.get();
    seen.set(match wanted {
        None => (none + 1, one, more),
        Some((1, _)) => (none, one + 1, more),
        Some(_) => (none, one, more + 1),
    });
}

#[test]
fn a_solved_day_is_the_best_of_all_days() {
    let mut runner = TestRunner::new(Config { cases: 1500, failure_persistence: None, ..Config::default() });
    let seen = std::cell::Cell::new((0, 0, 0));
    runner
        .run(&small_ask(), |ask| {
            let got = solve(&ask).ok().map(|a| {
                assert_eq!(a.bound, a.finish);
                (a.goes.len(), a.finish)
            });
            let wanted = brute::day(&ask);
            count(&seen, wanted);
            prop_assert_eq!(got, wanted);
            Ok(())
        })
        .unwrap();
    let (none, one, more) = seen.get();
    assert!(none > 20 && one > 20 && more > 20, "{none} impossible, {one} of one go, {more} of more");
}

#[test]
fn every_go_alone_is_the_shortest_of_all() {
    let mut runner = TestRunner::new(Config { cases: 400, failure_persistence: None, ..Config::default() });
    runner
        .run(&small_ask(), |ask| {
            let n = ask.letters.len();
            let got = profile(&ask, 0..n).ok().map(|p| (p.mixes.len(), p.coats_end, p.pulls_end, p.end));
            prop_assert_eq!(got, brute::go(&ask, 0..n));
            Ok(())
        })
        .unwrap();
}

/// The same where two of the letters are stripes of one mask: never in two goes, pulled in one.
#[test]
fn a_solved_day_with_stripes_of_one_mask_is_the_best_of_all_days() {
    let asked =
        (small_ask(), any::<bool>(), prop::collection::vec(0..2_i64, 3)).prop_map(|(mut ask, late, swab)| {
            let n = ask.letters.len();
            let first = usize::from(late && n > 2);
            for (l, swab) in ask.letters.iter_mut().zip(swab) {
                l.swab = swab;
            }
            for l in ask.letters.iter_mut().skip(first).take(if n > 1 { 2 } else { 0 }) {
                l.until = first + 1;
            }
            ask
        });
    let mut runner = TestRunner::new(Config { cases: 3000, failure_persistence: None, ..Config::default() });
    let seen = std::cell::Cell::new((0, 0, 0));
    runner
        .run(&asked, |ask| {
            let solved = solve(&ask).ok();
            for go in solved.iter().flat_map(|a| &a.goes) {
                let mask =
                    |l: usize| ask.unit(l).start >= go.letters.start && ask.unit(l).end <= go.letters.end;
                prop_assert!(go.letters.clone().all(mask));
            }
            let got = solved.map(|a| (a.goes.len(), a.finish));
            let wanted = brute::day(&ask);
            count(&seen, wanted);
            prop_assert_eq!(got, wanted);
            Ok(())
        })
        .unwrap();
    let (none, one, more) = seen.get();
    assert!(none > 20 && one > 20 && more > 10, "{none} impossible, {one} of one go, {more} of more");
}
