//! What a loft has to say about its stations: where it swings outside them, and where it runs over a step that one
//! more station would show.

use super::batten::{LOOKS, look, shares};
use super::{Body, SHARES};
use geom::Vec2;

/// Degree from which a span counts as pulled tight: below it nobody sees the difference. chosen.
const TIGHT: u16 = 9;

/// A line of a body as it is measured at its stations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// The middle of the top.
    Top,
    /// The middle of the bottom.
    Bottom,
    /// The greatest half width.
    Side,
}

/// Where a line of the loft stands farthest outside both stations of a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// Which line.
    pub line: Line,
    /// The two stations, mm.
    pub between: (f64, f64),
    /// Where between them, mm.
    pub at: f64,
    /// What the line is there, mm: a height, or half a width.
    pub value: f64,
    /// How far outside what both stations say, mm.
    pub outside: f64,
}

/// A span over which the skin goes so steeply that the battens beside it had to be pulled tight (degree 9 or more).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// The two stations, mm.
    pub between: (f64, f64),
    /// How far the skin moves between them, square to the body, mm.
    pub moved: f64,
}

impl Body {
    /// Where top, bottom and sides of the loft stand farthest outside both stations of each span, if by more than
    /// `least` mm.
    pub fn swings(&self, least: f64) -> Vec<Swing> {
        let spans = 0..self.stations.len() - 1;
        spans
            .flat_map(|k| [Line::Top, Line::Side, Line::Bottom].map(|line| self.swing(k, line)))
            .filter(|swing| least < swing.outside)
            .collect()
    }

    fn swing(&self, k: usize, line: Line) -> Swing {
        let (from, to) = (self.stations[k], self.stations[k + 1]);
        let value = |part: f64| {
            let x = shares(part, to - from, self.degrees[k])[0];
            let batten = |share: usize| {
                let (here, there) = (&self.nets[k * SHARES + share], &self.nets[(k + 1) * SHARES + share]);
                here[0] * x[0] + there[0] * x[1] + here[1] * x[2] + there[1] * x[3]
            };
            match line {
                Line::Top => batten(0).y,
                Line::Bottom => batten(SHARES / 2).y,
                Line::Side => (0..=SHARES / 2).map(|share| batten(share).x).fold(0.0, f64::max),
            }
        };
        let (a, b) = (value(0.0), value(1.0));
        let looks = (1..LOOKS).map(|i| {
            let v = value(look(i));
            let outside = (a.min(b) - v).max(v - a.max(b));
            Swing { line, between: (from, to), at: from + (to - from) * look(i), value: v, outside }
        });
        let none = Swing { line, between: (from, to), at: from, value: a, outside: 0.0 };
        looks.fold(none, |most, swing| if most.outside < swing.outside { swing } else { most })
    }

    /// The steps: for every span pulled tight the steeper of the two beside it.
    pub fn steps(&self) -> Vec<Step> {
        let spans = self.stations.len() - 1;
        let point = |k: usize, share: usize| -> Vec2 { self.nets[k * SHARES + share][0] };
        let moved = |k: usize| {
            (0..=SHARES / 2).map(|share| (point(k + 1, share) - point(k, share)).hypot()).fold(0.0, f64::max)
        };
        let steep = |k: usize| moved(k) / (self.stations[k + 1] - self.stations[k]);
        let mut at: Vec<usize> = (0..spans)
            .filter(|k| TIGHT <= self.degrees[*k])
            .filter_map(|k| {
                let beside = [k.checked_sub(1), Some(k + 1).filter(|next| *next < spans)];
                beside.into_iter().flatten().max_by(|a, b| steep(*a).total_cmp(&steep(*b)))
            })
            .collect();
        at.sort_unstable();
        at.dedup();
        at.into_iter()
            .map(|k| Step { between: (self.stations[k], self.stations[k + 1]), moved: moved(k) })
            .collect()
    }
}
