//! The day as a plain problem in whole minutes: letters, coats, windows, hands and hours. No paint, no geometry.
//!
//! The rules it is solved by, which the checker reads again:
//! - The letters of one paint stand in shooting order; a go is a run of them.
//! - A go is one block: dry neighbours covered, its letters wiped, a cup mixed, the coats, the pulls, the gun
//!   cleaned. It lies within one day's opening hours, and nothing else is done meanwhile: paper taken off beside
//!   wet paint sheds dust on it.
//! - The edge tape of a go is laid before it and stays on no longer than its dwell, to the last pull.
//! - Its paper comes off in its window after its last coat.
//! - A mask that lies where an earlier go is painted, or that one's on it, is laid when the earlier paint is dry to tape and
//!   its mask off, in the opening hours before the edge tape.
//! - A go near letters shot before starts when those are dry to tape, so that they can be covered.
//! - The first go is on the first day.
//! - Stripes of one mask are one unit: all of them in one go, sprayed one after the other, and pulled in one, after the
//!   last coat on the last of them and before the window of the first closes.

use std::ops::Range;

/// The whole problem.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// Pairs of hands.
    pub hands: i64,
    /// When the shop opens and closes, minutes after midnight.
    pub hours: (i64, i64),
    /// Minutes from one midnight to the next: 1440. Tests have shorter days.
    pub midnight: i64,
    /// First day on which edge tape may be laid (0 is the day of the first go), and the last day of all.
    pub days: (i64, i64),
    /// Longest time edge tape may stay on, from its laying to the last pull of its go.
    pub dwell: Option<i64>,
    /// The paints in the order they are shot.
    pub paints: Vec<PaintAsk>,
    /// The letters, those of one paint together, in shooting order.
    pub letters: Vec<Letter>,
    /// For letters a < b: how b lies to a, in `beside[b][a]`.
    pub beside: Vec<Vec<Beside>>,
}

/// How a letter lies to one shot before it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Beside {
    /// So near that the earlier one must be dry and covered.
    pub near: bool,
    /// So near that the later one's edge tape lies on the earlier one's paint.
    pub taped: bool,
    /// So near that one's tack strip or layout tape lies where the other is painted: the later one's whole mask is laid
    /// after the earlier one's is off.
    pub laid: bool,
}

/// A paint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaintAsk {
    /// Its coats in order; the wait of the first is not used.
    pub rounds: Vec<Round>,
    /// The window for pulling and swabbing, after a letter's last coat.
    pub pull: Option<(i64, i64)>,
    /// The window for taking the paper off, after the last coat of the go.
    pub unmask: Option<(i64, i64)>,
    /// Pot life of a cup, from the start of its mixing.
    pub pot_life: Option<i64>,
    /// From its last coat until tape may lie on it.
    pub dry_to_tape: i64,
    /// Mixing a cup.
    pub mix: i64,
    /// Cleaning the gun.
    pub clean: i64,
}

/// A coat: how long each letter waits for it after the coat before.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Round {
    /// At least.
    pub least: i64,
    /// At most.
    pub most: Option<i64>,
}

/// A letter: minutes of work for one pair of hands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Letter {
    /// Its paint.
    pub paint: usize,
    /// Each coat.
    pub coat: Vec<i64>,
    /// Pulling it.
    pub pull: i64,
    /// Swabbing it, right after its pull.
    pub swab: i64,
    /// Wiping it before the first coat.
    pub wipe: i64,
    /// Laying its edge tape and scuffing it; 0 if that is not planned.
    pub edge: i64,
    /// Laying all of its mask but the edge tape, where that waits for an earlier go; else 0.
    pub lay: i64,
    /// The soonest its edge tape may be started.
    pub edge_from: i64,
    /// Taking its paper off.
    pub unmask: i64,
    /// Covering it once it is dry.
    pub cover: i64,
    /// Place of the last letter that shares its mask (they stand together): no go ends before that one.
    pub until: usize,
}

impl Ask {
    /// What is masked with a letter, and so taped, pulled and unmasked at one go: stripes of one mask; else it alone.
    pub fn unit(&self, letter: usize) -> Range<usize> {
        let until = self.letters[letter].until;
        let first = self.letters.iter().position(|l| l.until == until).filter(|_| until > 0);
        first.map_or(letter..letter + 1, |first| first..until + 1)
    }

    /// The units of a run of letters, in order; one that the run parts only as far as it is in it.
    pub fn units(&self, letters: Range<usize>) -> Vec<Range<usize>> {
        let mut units = Vec::new();
        let mut at = letters.start;
        while at < letters.end {
            units.push(at..self.unit(at).end.min(letters.end));
            at = units.last().map_or(letters.end, |u| u.end);
        }
        units
    }

    /// Minutes of pulling a unit, and of swabbing it after that. One pair of hands pulls a letter; a mask of several
    /// stripes is pulled by all.
    pub fn pulling(&self, unit: Range<usize>) -> (i64, i64) {
        let own = &self.letters[unit];
        let sum = |of: fn(&Letter) -> i64| own.iter().map(of).sum::<i64>();
        let (pull, swab) = (sum(|l| l.pull), sum(|l| l.swab));
        if own.len() > 1 { (self.shared(pull), self.shared(swab)) } else { (pull, swab) }
    }

    /// Minutes a piece of work takes when all hands share it.
    pub fn shared(&self, minutes: i64) -> i64 {
        let hands = self.hands.max(1);
        (minutes + hands - 1) / hands
    }

    /// The first opening at or after `t` at which `long` minutes fit in before closing; `None` if they never do.
    pub fn fit(&self, t: i64, long: i64) -> Option<i64> {
        let (opens, closes) = self.hours;
        if long > closes - opens {
            return None;
        }
        let day = t.div_euclid(self.midnight);
        let start = t.max(day * self.midnight + opens);
        if start + long <= day * self.midnight + closes {
            Some(start)
        } else {
            Some((day + 1) * self.midnight + opens)
        }
    }

    /// The last start at or before `t` at which `long` minutes fit into the hours; `None` if they never do.
    pub fn fit_back(&self, t: i64, long: i64) -> Option<i64> {
        let (opens, closes) = self.hours;
        if long > closes - opens {
            return None;
        }
        let day = t.div_euclid(self.midnight);
        let start = t.min(day * self.midnight + closes - long);
        if start >= day * self.midnight + opens {
            Some(start)
        } else {
            Some((day - 1) * self.midnight + closes - long)
        }
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in super::super) fn letter(paint: usize, coat: &[i64], pull: i64) -> Letter {
        Letter { paint, coat: coat.to_vec(), pull, ..Letter::default() }
    }

    /// So many like letters of one paint, in a shop open from 8 to 18, with nothing else to do.
    pub(in super::super) fn one_paint(
        hands: i64,
        letters: usize,
        coats: &[i64],
        pull: i64,
        window: Option<(i64, i64)>,
    ) -> Ask {
        Ask {
            hands,
            hours: (480, 1080),
            midnight: 1440,
            days: (-1, 14),
            dwell: None,
            paints: vec![PaintAsk {
                rounds: vec![Round::default(); coats.len()],
                pull: window,
                dry_to_tape: 720,
                ..PaintAsk::default()
            }],
            letters: vec![letter(0, coats, pull); letters],
            beside: vec![vec![Beside { near: true, ..Beside::default() }; letters]; letters],
        }
    }

    #[test]
    fn work_is_put_into_the_hours() {
        let ask = one_paint(1, 1, &[1], 1, None);
        assert_eq!(ask.fit(0, 60), Some(480));
        assert_eq!(ask.fit(1021, 60), Some(1440 + 480));
        assert_eq!(ask.fit(1020, 60), Some(1020));
        assert_eq!(ask.fit(-1, 60), Some(480));
        assert_eq!(ask.fit(0, 601), None);
        assert_eq!(ask.fit_back(1440 + 100, 60), Some(1020));
        assert_eq!(ask.fit_back(500, 60), Some(500));
        assert_eq!(ask.shared(7), 7);
    }
}
