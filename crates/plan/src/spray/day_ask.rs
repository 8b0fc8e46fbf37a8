//! From the job to the day's plain problem: minutes of work by the shop's rates, windows by the data sheet, scaled to
//! the shop's warmth; limits round down, waits round up.

use super::ask::{Ask, Beside, Letter, PaintAsk, Round};
use super::clock::{Clock, DAY};
use super::figures::Figures;
use super::labour::{MaskWork, edge_minutes, pull_minutes};
use super::passes::passes;
use super::shots::Shot;
use super::warmth::{at_least, at_most, minutes, scaled};
use crate::job::{Coat, Gun, Job, Paint, Shop};

/// Days a plan may take. chosen: two weeks; more is another job.
const LAST_DAY: i64 = 13;

/// One spraying of a coat: which coat of the paint, and which of its count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoundOf {
    /// Index of the coat.
    pub coat: usize,
    /// Which one of its count, from 0.
    pub nth: u32,
}

/// The sprayings of a paint in order.
pub fn rounds_of(paint: &Paint) -> Vec<RoundOf> {
    let each = |(coat, c): (usize, &Coat)| (0..c.count).map(move |nth| RoundOf { coat, nth });
    paint.coats.iter().enumerate().flat_map(each).collect()
}

/// What the day is made from.
pub struct Sources<'a> {
    /// The job.
    pub job: &'a Job,
    /// Hours and hands.
    pub shop: &'a Shop,
    /// The gun.
    pub gun: Gun,
    /// Working times.
    pub rates: &'a Figures,
    /// What a shop adds.
    pub allowances: &'a Figures,
    /// The shop's clock.
    pub clock: &'a Clock,
    /// The shop's warmth, C, if known.
    pub shop_c: Option<f64>,
}

/// Times given with a temperature, scaled; others as they stand.
fn at(time: f64, at_c: Option<f64>, shop_c: Option<f64>) -> f64 {
    match (at_c, shop_c) {
        (Some(at), Some(now)) => scaled(time, at, now),
        _ => time,
    }
}

/// A paint's windows.
pub fn paint_ask(paint: &Paint, from: &Sources<'_>) -> PaintAsk {
    let warm = from.shop_c;
    let rounds = rounds_of(paint)
        .into_iter()
        .map(|r| {
            let coat = &paint.coats[r.coat];
            match (r.nth, coat.flash) {
                (0, _) => Round { least: at_least(coat.after.unwrap_or(0.0)), most: None },
                (_, Some([least, most])) => Round {
                    least: at_least(at(least, coat.flash_at_c, warm)),
                    most: Some(at_most(at(most, coat.flash_at_c, warm))),
                },
                (_, None) => Round::default(),
            }
        })
        .collect();
    let rate = |id: &str| at_least(from.rates.value(id));
    PaintAsk {
        rounds,
        pull: paint
            .pull_edge
            .as_ref()
            .map(|p| (at_least(at(p.from, p.at_c, warm)), at_most(at(p.by, p.at_c, warm)))),
        unmask: paint.unmask.map(|[a, b]| {
            (at_least(at(a, paint.unmask_at_c, warm)), at_most(at(b, paint.unmask_at_c, warm)))
        }),
        pot_life: paint.pot_life.map(|t| at_most(minutes(t, warm))),
        dry_to_tape: at_least(
            paint.dry_to_tape.map_or_else(|| from.allowances.value("dry-to-tape"), |t| minutes(t, warm)),
        ),
        mix: rate("mix"),
        clean: rate("clean-gun"),
    }
}

/// True if bleed is wiped right after the pull: only paint that is still soft can be.
pub fn swabbed(paint: &Paint) -> bool {
    paint.pull_edge.as_ref().is_some_and(|p| p.state == "wet" || p.state == "tacky")
}

/// Minutes of some steps of a letter, kept apart where the day tells them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LetterMinutes {
    /// Laying its edge tape; 0 if the job does not say how it masks.
    pub tape: i64,
    /// Scuffing it; 0 if it is not scuffed.
    pub scuff: i64,
    /// Pulling its edge tape.
    pub pull: i64,
    /// Swabbing it; 0 if the paint is then too dry for it.
    pub swab: i64,
}

/// Those minutes of each of the day's letters, by the shop's rates. Stripes of one mask share the whole minutes of that
/// mask: what each adds to those before it.
pub fn minutes_each(
    from: &Sources<'_>,
    shots: &[Shot],
    work: &[MaskWork],
    letters: &[usize],
    scuffed: &[bool],
) -> Vec<LetterMinutes> {
    let taping = from.job.masking.is_some();
    let rates = from.rates;
    let mut all = Vec::new();
    for unit in letters.chunk_by(|a, b| work[*a].shared == work[*b].shared && work[*a].shared > 0) {
        let mut sum = [0.0; 3];
        for s in unit {
            let before = sum;
            let tape = edge_minutes(&work[*s], false, rates);
            let scuff = edge_minutes(&work[*s], scuffed[*s], rates) - tape;
            let own = [tape, scuff, pull_minutes(&work[*s], rates)];
            sum = std::array::from_fn(|k| before[k] + own[k]);
            let [tape, scuff, pull] = std::array::from_fn(|k| at_least(sum[k]) - at_least(before[k]));
            // Nothing is taped or pulled in no time.
            let least = i64::from(*s == unit[0]);
            all.push(LetterMinutes {
                tape: if taping { tape.max(least) } else { 0 },
                scuff: if taping { scuff } else { 0 },
                pull: pull.max(least),
                swab: if swabbed(&from.job.paints[shots[*s].paint]) {
                    at_least(rates.value("swab"))
                } else {
                    0
                },
            });
        }
    }
    all
}

/// The letters of the day in shooting order: those whose paint has coats, stripes of one mask after the first of them.
pub fn day_letters(job: &Job, shots: &[Shot], work: &[MaskWork]) -> Vec<usize> {
    let mut letters: Vec<usize> =
        (0..shots.len()).filter(|s| !job.paints[shots[*s].paint].coats.is_empty()).collect();
    let first: Vec<usize> = (0..shots.len())
        .map(|s| match work[s].shared {
            0 => s,
            mask => work.iter().position(|w| w.shared == mask).unwrap_or(s),
        })
        .collect();
    letters.sort_by_key(|s| first[*s]);
    letters
}

/// True if the masks of two shots must not be on at the same time: tack strip or layout tape of one lies where the other is
/// painted, in another paint.
pub fn laid(shots: &[Shot], work: &[MaskWork], a: usize, b: usize) -> bool {
    let upon = |x: usize, y: usize| work[x].upon.contains(&shots[y].mark);
    shots[a].paint != shots[b].paint && (upon(a, b) || upon(b, a))
}

/// The whole problem. `work` is the masking of each shot, `minutes` those of the letters, `edge_from` when edge tape may
/// be started.
pub fn ask(
    from: &Sources<'_>,
    shots: &[Shot],
    work: &[MaskWork],
    letters: &[usize],
    minutes: &[LetterMinutes],
    edge_from: i64,
) -> Ask {
    let mut paints = Vec::new();
    let mut used: Vec<usize> = Vec::new();
    for s in letters {
        if !used.contains(&shots[*s].paint) {
            used.push(shots[*s].paint);
            paints.push(paint_ask(&from.job.paints[shots[*s].paint], from));
        }
    }
    let rates = from.rates;
    let rate = |id: &str| rates.value(id);
    let letter = |(&s, m): (&usize, &LetterMinutes)| {
        let shot = &shots[s];
        let paint = &from.job.paints[shot.paint];
        let gun = passes(shot.size[0], shot.size[1], &from.gun, rate("turn"));
        let coat = rounds_of(paint)
            .iter()
            .map(|r| {
                let step =
                    if paint.coats[r.coat].kind == "wet" { rate("coat-wet") } else { rate("coat-light") };
                at_least(gun.seconds / 60.0 + step).max(1)
            })
            .collect();
        Letter {
            paint: used.iter().position(|p| *p == shot.paint).unwrap_or(0),
            coat,
            pull: m.pull,
            swab: m.swab,
            wipe: at_least(rate("wipe")),
            edge: m.tape + m.scuff,
            lay: 0,
            edge_from,
            unmask: at_least(rate("unmask")),
            cover: at_least(rate("cover")),
            until: letters
                .iter()
                .rposition(|o| work[*o].shared == work[s].shared)
                .filter(|_| work[s].shared > 0)
                .unwrap_or(0),
        }
    };
    let near = from.allowances.value("goes-apart");
    let reach = from.allowances.value("tape-reach");
    let beside = |b: usize, a: usize| {
        let apart = shots[b].apart(&shots[a]);
        // Only a further paint's tape lies on what another letter has; letters of one paint keep their strips apart.
        Beside {
            near: apart < near,
            taped: apart < reach && shots[a].paint != shots[b].paint,
            laid: laid(shots, work, a, b),
        }
    };
    let dwell = from.job.masking.as_ref().map(|m| at_most(m.edge_dwell));
    Ask {
        hands: i64::from(from.shop.hands),
        hours: (i64::from(from.shop.opens), i64::from(from.shop.closes)),
        midnight: DAY,
        days: (-1 - dwell.unwrap_or(0) / DAY, LAST_DAY),
        dwell,
        paints,
        letters: letters.iter().zip(minutes).map(letter).collect(),
        beside: letters.iter().map(|b| letters.iter().map(|a| beside(*b, *a)).collect()).collect(),
    }
}
