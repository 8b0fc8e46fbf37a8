//! The taping days before the first go: washing, baseline, layout tape, tack strip and paper, the edge tape last.
//!
//! Each taping day begins when the shop opens; there are as many as the work needs and no more.

use super::ask::Ask;
use super::figures::Figures;
use super::labour::{MaskWork, mask_minutes};
use super::shots::Shot;
use crate::fit::placed::Placed;

/// A piece of taping work, minutes for one pair of hands.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Index of its mark.
    pub mark: usize,
    /// Minutes.
    pub minutes: f64,
    /// What is done.
    pub what: &'static str,
}

/// The work before the edge tape, in its order.
pub fn pieces(marks: &[Placed], shots: &[Shot], work: &[MaskWork], rates: &Figures) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut washed: Vec<&str> = Vec::new();
    for (m, mark) in marks.iter().enumerate() {
        let own: Vec<usize> =
            (0..shots.len()).filter(|s| shots[*s].mark == m && !shots[*s].further).collect();
        if own.is_empty() {
            continue;
        }
        if !washed.contains(&mark.surface.as_str()) {
            washed.push(&mark.surface);
            pieces.push(Piece {
                mark: m,
                minutes: rates.value("wash"),
                what: "wash, degrease, cover the ports",
            });
        }
        let stripe = own.iter().all(|s| shots[*s].char == crate::stripe::SIGN);
        let film = own.iter().any(|s| work[*s].film_mm > 0.0);
        let all = own.iter().map(|s| mask_minutes(&work[*s], rates));
        let (layout, strips) = all.fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
        pieces.push(Piece {
            mark: m,
            minutes: rates.value("baseline") + layout,
            what: if film {
                "baseline, cap line and the boxes of the film"
            } else if stripe {
                "its middle struck and its stations marked, then layout tape along it"
            } else {
                "baseline, then layout tape in the shape of the letters"
            },
        });
        let what = if film {
            "tack strip round the boxes of the film, then paper"
        } else if stripe {
            "tack strip along both edges, then paper"
        } else {
            "tack strip round the letters, then paper"
        };
        pieces.push(Piece { mark: m, minutes: strips, what });
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
        // A ground that is dry only that morning leaves too little.
        assert_eq!(schedule(&ask, &[300, 420], Some(500 - 1440), 1080 - 1440), None);
        assert_eq!(schedule(&ask, &[300], Some(500 - 1440), 1080 - 1440).unwrap(), [(0, 500 - 1440, 300)]);
    }
}
