//! A chain of ordinates: every mark measured along one line from one zero, the way a tape is read.
//!
//! A rail runs beside the drawing with a small ring at zero. From each place a thin line comes out to the
//! rail, and beyond it the reading, pushed aside where readings would cover each other, with a line bent to
//! follow it. It does not know what is measured; readings are given as words.

use crate::advance::CAP_HEIGHT;
use crate::model::{Anchor, Item, Text};
use crate::pens::{Role, pen};
use crate::spread::{Wish, spread};
use crate::symbols::{ARROW, arrowhead, readable, tick};
use crate::tokens::{LINE_HEIGHT, PAPER, TYPE_FIGURE};
use crate::words::{Weight, Words};
use crate::{Fill, Item::Circle};
use geom::point::left_of;
use geom::tolerance::OUTPUT_MM;
use geom::{Point, Vec2};

/// White between the thing measured and its extension line, mm.
const EXTENSION_GAP: f64 = 1.0;
/// How far an extension line runs on past the rail, mm.
const EXTENSION_PAST: f64 = 1.5;
/// Straight end of a bent line before the reading, mm.
const LEAD_END: f64 = 1.5;
/// White between that line and the reading, mm.
const LABEL_GAP: f64 = 1.0;
/// White between two readings, in ems: above each other, and side by side, where less than this would join
/// the end of one reading to the beginning of the next.
const BETWEEN: (f64, f64) = (0.2, 0.8);
/// Depth of the bend, mm: at least and at most, and as a share of the longest push between them. Chosen: a
/// bend flatter than about 20 degrees runs into its neighbour.
const BEND: (f64, f64) = (3.0, 16.0);
const BEND_SHARE: f64 = 0.4;
/// Radius of the ring at zero, mm.
const ZERO_RING: f64 = 1.1;

/// Which way readings run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lay {
    /// Along the rail. Wide apart, but no head need be turned over a level rail.
    Along,
    /// Square to the rail. Takes no more of it than the height of the letters.
    Across,
}

/// One place that is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// How far from zero along the axis, mm on the sheet; negative lies before zero.
    pub at: f64,
    /// How far left of the axis the thing measured lies, mm on the sheet: its line starts there.
    pub from: f64,
    /// The reading, a line each. Nothing is read at a stop without lines.
    pub lines: Vec<Words>,
}

/// A chain to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordinates {
    /// Where zero is on the sheet.
    pub zero: Point,
    /// The direction of measuring, unit length.
    pub along: Vec2,
    /// How far left of the axis the rail runs, mm; negative for right of it.
    pub rail: f64,
    /// What is measured.
    pub stops: Vec<Stop>,
    /// Which way readings run.
    pub lay: Lay,
    /// From where to where along the axis readings may lie, mm from zero.
    pub room: (f64, f64),
    /// Size of the figures, mm.
    pub size: f64,
}

/// A chain as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// All lines and readings.
    pub items: Vec<Item>,
    /// How far left (or right, if the rail is there) of the axis the outermost reading reaches, mm.
    pub depth: f64,
    /// How much the room is too small for the readings, mm; 0 if it is not.
    pub over: f64,
}

impl Ordinates {
    /// A chain from `zero` along `along` with figures of the usual size and no limit to its readings.
    pub fn new(zero: Point, along: Vec2, rail: f64, lay: Lay, stops: Vec<Stop>) -> Ordinates {
        let room = (f64::NEG_INFINITY, f64::INFINITY);
        Ordinates { zero, along, rail, stops, lay, room, size: TYPE_FIGURE }
    }

    /// The chain as lines and words.
    pub fn draw(&self) -> Chain {
        let stroke = pen(Role::Dimension);
        let side = if self.rail < 0.0 { -1.0 } else { 1.0 };
        let out = left_of(self.along) * side;
        let rail = self.rail.abs();
        // A place by how far along and how far out it is.
        let place = |s: f64, t: f64| self.zero + self.along * s + out * t;

        let mut stops: Vec<&Stop> = self.stops.iter().collect();
        stops.sort_by(|a, b| a.at.total_cmp(&b.at));
        let wishes: Vec<Wish> =
            stops.iter().map(|stop| Wish { at: stop.at, size: self.label_size(stop) }).collect();
        let between = if self.lay == Lay::Across { BETWEEN.0 } else { BETWEEN.1 };
        let placed = spread(&wishes, between * self.size, self.room);
        let push = wishes.iter().zip(&placed.centres).map(|(w, c)| (w.at - c).abs()).fold(0.0, f64::max);
        let bend = if push > OUTPUT_MM { (push * BEND_SHARE).clamp(BEND.0, BEND.1) } else { BEND.0 };

        let mut items = Vec::new();
        let first = stops.first().map_or(0.0, |s| s.at).min(0.0);
        let last = stops.last().map_or(0.0, |s| s.at).max(0.0);
        items.push(Item::line([place(first, rail), place(last, rail)], stroke));
        let roomy = stops.windows(2).all(|w| {
            let apart = w[1].at - w[0].at;
            apart <= OUTPUT_MM || apart >= ARROW + ZERO_RING
        });
        let mut depth = rail + EXTENSION_PAST;
        for (stop, &centre) in stops.iter().zip(&placed.centres) {
            let start = stop.from * side;
            let gap = EXTENSION_GAP * (rail - start).signum();
            let knee = rail + EXTENSION_PAST;
            let mut line = vec![place(stop.at, start + gap), place(stop.at, knee)];
            if !stop.lines.is_empty() {
                line.push(place(centre, knee + bend));
                line.push(place(centre, knee + bend + LEAD_END));
                let near = knee + bend + LEAD_END + LABEL_GAP;
                items.extend(self.label(stop, out, place(centre, near)).into_iter().map(Item::Text));
                depth = depth.max(near + self.label_depth(stop));
            }
            items.push(Item::line(line, stroke));
            if stop.at.abs() > OUTPUT_MM {
                let on_rail = place(stop.at, rail);
                let away = self.along * stop.at.signum();
                items.push(if roomy { arrowhead(on_rail, away, stroke.colour) } else { tick(on_rail, away) });
            }
        }
        items.push(Circle {
            centre: place(0.0, rail),
            radius: ZERO_RING,
            stroke: Some(stroke),
            fill: Some(Fill::Plain(PAPER)),
        });
        Chain { items, depth, over: placed.over }
    }

    /// How much of the rail a reading takes.
    fn label_size(&self, stop: &Stop) -> f64 {
        match self.lay {
            Lay::Along => self.widest(stop),
            Lay::Across => self.tall(stop),
        }
    }

    /// How far out a reading reaches.
    fn label_depth(&self, stop: &Stop) -> f64 {
        match self.lay {
            Lay::Along => self.tall(stop),
            Lay::Across => self.widest(stop),
        }
    }

    fn widest(&self, stop: &Stop) -> f64 {
        stop.lines.iter().map(|l| l.width(self.size, Weight::Regular)).fold(0.0, f64::max)
    }

    fn tall(&self, stop: &Stop) -> f64 {
        stop.lines.len() as f64 * LINE_HEIGHT * self.size
    }

    /// The lines of a reading whose middle along the rail is at `near`, and which starts there going out.
    fn label(&self, stop: &Stop, out: Vec2, near: Point) -> Vec<Text> {
        let (turn, anchor, middle) = match self.lay {
            Lay::Along => {
                let turn = readable(self.along.atan2());
                (turn, Anchor::Middle, near + out * (self.tall(stop) / 2.0))
            }
            Lay::Across => {
                let turn = readable(out.atan2());
                let forward = Vec2::from_angle(turn).dot(out) > 0.0;
                (turn, if forward { Anchor::Start } else { Anchor::End }, near)
            }
        };
        let up = left_of(Vec2::from_angle(turn));
        let count = stop.lines.len() as f64;
        let line = |(k, words): (usize, &Words)| {
            let rise = ((count - 1.0) / 2.0 - k as f64) * LINE_HEIGHT * self.size;
            let baseline = middle + up * (rise - CAP_HEIGHT / 2.0 * self.size);
            Text { turn, anchor, clears: true, ..Text::new(baseline, words.clone(), self.size) }
        };
        stop.lines.iter().enumerate().map(line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::tests::boxes_overlap;
    use crate::units::{both_words, mm_words, tape_measure};
    use proptest::prelude::*;

    fn texts(items: &[Item]) -> Vec<&Text> {
        items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None }).collect()
    }

    /// Ends of the bent lines, as (start, knee, bend, end).
    fn leads(items: &[Item]) -> Vec<Vec<Point>> {
        let mut leads = Vec::new();
        for item in items {
            if let Item::Path(p) = item
                && p.outlines[0].vertices.len() == 4
                && p.stroke.is_some()
            {
                leads.push(p.outlines[0].vertices.iter().map(|v| v.p).collect());
            }
        }
        leads
    }

    #[test]
    fn an_extension_line_stands_over_the_place_it_measures() {
        let stop = Stop { at: 40.0, from: 3.0, lines: vec!["40 mm".into()] };
        let chain =
            Ordinates::new(Point::new(10.0, 20.0), Vec2::new(1.0, 0.0), 12.0, Lay::Along, vec![stop]).draw();
        let lead = &leads(&chain.items)[0];
        assert!((lead[0] - Point::new(50.0, 24.0)).hypot() < 1e-9, "{lead:?}");
        assert!(
            (lead[1] - Point::new(50.0, 33.5)).hypot() < 1e-9 && (lead[3].x - 50.0).abs() < 1e-9,
            "{lead:?}"
        );
    }

    #[test]
    fn a_rail_to_the_right_puts_its_readings_there() {
        let stop = Stop { at: 40.0, from: 0.0, lines: vec!["40 mm".into()] };
        let chain = Ordinates::new(Point::ZERO, Vec2::new(0.0, 1.0), -12.0, Lay::Across, vec![stop]).draw();
        let text = texts(&chain.items)[0];
        assert!(text.anchor == Anchor::Start && text.at.x > 12.0 && text.turn.abs() < 1e-9, "{text:?}");
        assert!((chain.depth - (text.at.x + text.width())).abs() < 1e-9);
    }

    #[test]
    fn close_stops_get_ticks_because_arrowheads_would_meet() {
        let at = |at| Stop { at, from: 0.0, lines: vec![] };
        let heads = |stops| {
            let chain = Ordinates::new(Point::ZERO, Vec2::new(1.0, 0.0), 9.0, Lay::Along, stops).draw();
            chain.items.iter().filter(|i| matches!(i, Item::Path(p) if p.fill.is_some())).count()
        };
        assert_eq!(heads(vec![at(0.0), at(10.0), at(20.0)]), 2);
        assert_eq!(heads(vec![at(0.0), at(10.0), at(11.0)]), 0);
    }

    proptest! {
        #[test]
        fn no_two_readings_overlap_and_their_order_is_kept(
            places in prop::collection::vec(-150.0..150.0_f64, 1..20),
            angle in -3.2..3.2_f64, across in any::<bool>(), left in any::<bool>(), two in any::<bool>(),
        ) {
            let stop = |&at: &f64| {
                let real = at * 20.0;
                let lines = if two {
                    vec![tape_measure(real).words(), mm_words(real)]
                } else {
                    vec![both_words(real)]
                };
                Stop { at, from: 0.0, lines }
            };
            let along = Vec2::from_angle(angle);
            let rail = if left { 10.0 } else { -10.0 };
            let lay = if across { Lay::Across } else { Lay::Along };
            let chain =
                Ordinates::new(Point::new(3.0, 4.0), along, rail, lay, places.iter().map(stop).collect()).draw();
            let texts = texts(&chain.items);
            let per = if two { 2 } else { 1 };
            prop_assert_eq!(texts.len(), places.len() * per);
            for i in 0..texts.len() {
                for j in i + 1..texts.len() {
                    // Two lines of one reading may touch with their generous boxes; readings may not.
                    if i / per != j / per {
                        prop_assert!(!boxes_overlap(&texts[i].corners(), &texts[j].corners()), "{:?} {:?}", texts[i], texts[j]);
                    }
                }
            }
            let leads = leads(&chain.items);
            prop_assert_eq!(leads.len(), places.len());
            for pair in leads.windows(2) {
                // In order at the rail and in order at the readings: the bent lines cannot cross.
                prop_assert!((pair[1][1] - pair[0][1]).dot(along) >= -1e-9);
                prop_assert!((pair[1][3] - pair[0][3]).dot(along) > 0.0);
            }
        }
    }
}
