//! When no day works: which window breaks, and what would help. Each answer was tried, not guessed.

use super::ask::Ask;
use super::clock::{span_words, time};
use super::day::{Stuck, solve};
use super::goes::Breaks;

/// Minutes between the openings that are tried. chosen: nobody sets an alarm finer than this.
const STEP: i64 = 10;
/// Earliest opening and latest closing that are tried, minutes after midnight.
const EARLIEST: i64 = 300;
const LATEST: i64 = 1380;

/// Which window breaks, in words. `name` writes a letter.
pub fn breaks(ask: &Ask, stuck: Stuck, name: impl Fn(usize) -> String) -> String {
    match stuck {
        Stuck::Letter(l, Breaks::Pull) => {
            let window = ask.paints[ask.letters[l].paint].pull.unwrap_or_default();
            let unit = ask.unit(l);
            let (pull, swab) = ask.pulling(unit.clone());
            let wide = window.1 - window.0;
            if unit.len() == 1 {
                let name = name(l);
                return format!(
                    "pulling {name} takes {} min, longer than its window of {wide} min",
                    pull + swab
                );
            }
            // All are pulled in one: what the last is shot later is lost to the window of the first.
            let later: i64 = ask.letters[unit.start + 1..unit.end].iter().filter_map(|l| l.coat.last()).sum();
            format!(
                "pulling {}, all of one mask, takes {} min; the last is shot {later} min after the first, which leaves {} min of \
                 their window of {wide} min",
                name(l),
                pull + swab,
                (wide - later).max(0)
            )
        }
        Stuck::Letter(l, Breaks::PotLife) => {
            format!("one coat on {} with its mixing is longer than the pot life", name(l))
        }
        Stuck::Letter(l, Breaks::Flash) => {
            format!("the flash of {} runs out before its next coat", name(l))
        }
        Stuck::Hours(l) => format!("the go of {} alone is longer than the shop is open", name(l)),
        Stuck::EdgeHours(l) => {
            format!("the edge tape of {} alone takes longer than the shop is open", name(l))
        }
        Stuck::GaveUp => "no day was found among those tried".to_owned(),
        Stuck::Day => day_breaks(ask),
    }
}

/// The one rule without which there is a day.
fn day_breaks(ask: &Ask) -> String {
    let works = |change: &dyn Fn(&mut Ask)| {
        let mut other = ask.clone();
        change(&mut other);
        solve(&other).is_ok()
    };
    let early = i64::MIN / 4;
    if works(&|a| a.letters.iter_mut().for_each(|l| l.edge_from = early)) {
        return "the ground is dry to tape too late for the first go to be on that day".to_owned();
    }
    if works(&|a| a.paints.iter_mut().for_each(|p| p.unmask = None)) {
        return "the window for taking the paper off falls when the shop is closed".to_owned();
    }
    if works(&|a| a.dwell = None) {
        return "edge tape would stay on longer than its dwell".to_owned();
    }
    "the goes do not fit into the shop's hours".to_owned()
}

/// What would help, each tried; empty if nothing of it does.
pub fn helps(ask: &Ask) -> Vec<String> {
    let works = |change: &dyn Fn(&mut Ask)| {
        let mut other = ask.clone();
        change(&mut other);
        solve(&other).is_ok()
    };
    let mut list = Vec::new();
    if works(&|a| a.hands += 1) {
        list.push("one more pair of hands".to_owned());
    }
    let slower = |a: &mut Ask| {
        for p in &mut a.paints {
            p.pull = p.pull.map(|(from, by)| (from, by + by / 2));
            p.pot_life = p.pot_life.map(|m| m + m / 2);
            for r in &mut p.rounds {
                r.most = r.most.map(|m| m + m / 2);
            }
        }
    };
    if works(&slower) {
        list.push("a slower reducer, if the data sheet has one (half as long again was tried)".to_owned());
    }
    let opens = (1..).map(|k| ask.hours.0 - k * STEP).take_while(|t| *t >= EARLIEST);
    if let Some(t) = opens.into_iter().find(|t| works(&|a| a.hours.0 = *t)) {
        list.push(format!("a start by {}", time(t)));
    }
    let closes = (1..).map(|k| ask.hours.1 + k * STEP).take_while(|t| *t <= LATEST);
    if let Some(t) = closes.into_iter().find(|t| works(&|a| a.hours.1 = *t)) {
        list.push(format!("work until {}", time(t)));
    }
    if let Some(dwell) = ask.dwell
        && let Some(more) = [2, 3].into_iter().find(|k| works(&|a| a.dwell = Some(dwell * k)))
    {
        list.push(format!("edge tape that may stay on {}", span_words(dwell * more)));
    }
    list
}
