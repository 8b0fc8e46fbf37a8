//! The taping days before the first go: washing, baseline, layout tape, tack strip and paper, the edge tape last.
//!
//! Each taping day begins when the shop opens; there are as many as the work needs and no more. A mask that lies where an
//! earlier go is painted waits for that go, and is laid between the goes.

use super::ask::Ask;
use super::figures::Figures;
use super::labour::{MaskWork, mask_minutes};
use super::shots::Shot;
use crate::fit::placed::Placed;

/// What comes first of all on each surface.
pub const WASH: &str = "wash, degrease, cover the ports";

/// A piece of taping work, minutes for one pair of hands.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Indices of its marks: one, or the stripes of one mask.
    pub marks: Vec<usize>,
    /// Minutes.
    pub minutes: f64,
    /// What is done.
    pub what: &'static str,
    /// True if it lays a mask; washing does not.
    pub lays: bool,
}

/// Indices of the marks that are painted, those that are taped, pulled and measured in one together: the stripes of one
/// mask; any other mark alone.
pub fn in_one(marks: usize, shots: &[Shot], work: &[MaskWork]) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = Vec::new();
    for m in 0..marks {
        let own = || shots.iter().zip(work).filter(|(s, _)| s.mark == m && !s.further).map(|(_, w)| w.shared);
        let Some(mask) = own().next() else { continue };
        let with = |k: &usize| shots.iter().zip(work).any(|(s, w)| s.mark == *k && w.shared == mask);
        match all.iter_mut().find(|one| mask > 0 && one.iter().any(with)) {
            Some(one) => one.push(m),
            None => all.push(vec![m]),
        }
    }
    all
}

/// The work before the edge tape, in its order.
pub fn pieces(marks: &[Placed], shots: &[Shot], work: &[MaskWork], rates: &Figures) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut washed: Vec<&str> = Vec::new();
    for own_marks in in_one(marks.len(), shots, work) {
        let own: Vec<usize> =
            (0..shots.len()).filter(|s| own_marks.contains(&shots[*s].mark) && !shots[*s].further).collect();
        let surface = &marks[own_marks[0]].surface;
        if !washed.contains(&surface.as_str()) {
            washed.push(surface);
            pieces.push(Piece {
                marks: vec![own_marks[0]],
                minutes: rates.value("wash"),
                what: WASH,
                lays: false,
            });
        }
        let stripe = own.iter().all(|s| shots[*s].char == crate::stripe::SIGN);
        let film = own.iter().any(|s| work[*s].film_mm > 0.0);
        let all = own.iter().map(|s| mask_minutes(&work[*s], rates));
        let (layout, strips) = all.fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
        let several = own_marks.len() > 1;
        // What the masks hold, not what is usual: a shelf may have no layout tape.
        let fills = own.iter().any(|s| work[*s].layout_mm > 0.0);
        pieces.push(Piece {
            marks: own_marks.clone(),
            minutes: rates.value("baseline") * own_marks.len() as f64 + layout,
            what: if film {
                "baseline, cap line and the boxes of the film"
            } else if several && fills {
                "their middles struck and their stations marked, then layout tape along them"
            } else if several {
                "their middles struck and their stations marked, their edges drawn"
            } else if stripe && fills {
                "its middle struck and its stations marked, then layout tape along it"
            } else if stripe {
                "its middle struck and its stations marked, its edges drawn"
            } else if fills {
                "baseline, then layout tape in the shape of the letters"
            } else {
                "baseline and cap line, the letters drawn in outline"
            },
            lays: true,
        });
        let what = if film {
            "tack strip round the boxes of the film, then paper"
        } else if several {
            "one mask: tack strip along their edges, then paper"
        } else if stripe {
            "tack strip along both edges, then paper"
        } else {
            "tack strip round the letters, then paper"
        };
        pieces.push(Piece { marks: own_marks, minutes: strips, what, lays: true });
    }
    pieces
}

/// When so many minutes of work end that are begun at `from` and go on through the opening hours.
pub fn runs_to(ask: &Ask, from: i64, minutes: i64) -> i64 {
    let (opens, closes) = ask.hours;
    let mut at = ask.fit(from, 1).unwrap_or(from);
    let mut left = minutes;
    loop {
        let room = at.div_euclid(ask.midnight) * ask.midnight + closes - at;
        if left <= room {
            return at + left;
        }
        left -= room;
        at = (at.div_euclid(ask.midnight) + 1) * ask.midnight + opens;
    }
}

/// Start and length of each stretch of `pieces` (index, start, minutes), all ended by `end`, begun at an opening or
/// at `from`. Pieces that run over closing time go on the next morning. `None` if the time from `from` does not do.
pub fn schedule(ask: &Ask, pieces: &[i64], from: Option<i64>, end: i64) -> Option<Vec<(usize, i64, i64)>> {
    let (opens, closes) = ask.hours;
    let total: i64 = pieces.iter().sum();
    let mut day = end.div_euclid(ask.midnight);
    let begin = loop {
        let opening = day * ask.midnight + opens;
        let begin = from.map_or(opening, |f| f.max(opening));
        let late = from.is_some_and(|f| f > opening);
        if runs_to(ask, begin, total) <= end {
            break begin;
        }
        // Nothing is won by a day that opens before the ground is dry.
        if late || day < -3660 {
            return None;
        }
        day -= 1;
    };
    let mut at = ask.fit(begin, 1)?;
    let mut stretches = Vec::new();
    for (k, minutes) in pieces.iter().enumerate() {
        let mut left = *minutes;
        while left > 0 {
            let midnight = at.div_euclid(ask.midnight) * ask.midnight;
            let room = midnight + closes - at;
            let now = left.min(room);
            if now > 0 {
                stretches.push((k, at, now));
            }
            left -= now;
            at += now;
            if now == room {
                at = midnight + ask.midnight + opens;
            }
        }
    }
    Some(stretches)
}

/// Start and length of each stretch of `pieces` (index, start, minutes) as soon as can be after `from`, in the opening hours
/// and while nothing of `busy` (start, end) goes on. `None` if they are not ended by `end`.
pub fn between(
    ask: &Ask,
    pieces: &[i64],
    from: i64,
    busy: &[(i64, i64)],
    end: i64,
) -> Option<Vec<(usize, i64, i64)>> {
    let (_, closes) = ask.hours;
    let mut at = from;
    let mut stretches = Vec::new();
    for (k, minutes) in pieces.iter().enumerate() {
        let mut left = *minutes;
        while left > 0 {
            at = ask.fit(at, 1)?;
            if let Some((_, over)) = busy.iter().find(|(b, e)| *b <= at && at < *e) {
                at = *over;
                continue;
            }
            let closing = at.div_euclid(ask.midnight) * ask.midnight + closes;
            let next = busy.iter().map(|b| b.0).filter(|b| *b > at).min().unwrap_or(closing);
            let now = left.min(next.min(closing) - at);
            stretches.push((k, at, now));
            left -= now;
            at += now;
            if at > end {
                return None;
            }
        }
    }
    Some(stretches)
}

#[cfg(test)]
mod tests {
    use super::super::ask::tests::one_paint;
    use super::*;

    #[test]
    fn work_goes_on_the_next_morning_and_ends_in_time() {
        let ask = one_paint(1, 1, &[1], 1, None);
        // 12 h of work before closing time the day before: two days.
        let found = schedule(&ask, &[300, 420], None, 1080 - 1440).unwrap();
        assert_eq!(found, [(0, 480 - 2880, 300), (1, 780 - 2880, 300), (1, 480 - 1440, 120)]);
        assert_eq!(runs_to(&ask, 480 - 2880, 720), 600 - 1440);
        // Between two goes: round what goes on at noon, on to the next morning.
        let busy = [(600, 660), (1000, 1020)];
        let found = between(&ask, &[200, 420], 300, &busy, 2020).unwrap();
        assert_eq!(found, [(0, 480, 120), (0, 660, 80), (1, 740, 260), (1, 1020, 60), (1, 1440 + 480, 100)]);
        assert_eq!(between(&ask, &[200, 420], 300, &busy, 2019), None);
        assert!(between(&ask, &[200, 420], 300, &busy, 2020).is_some());
        // A ground that is dry only that morning leaves too little.
        assert_eq!(schedule(&ask, &[300, 420], Some(500 - 1440), 1080 - 1440), None);
        assert_eq!(schedule(&ask, &[300], Some(500 - 1440), 1080 - 1440).unwrap(), [(0, 500 - 1440, 300)]);
    }
}
