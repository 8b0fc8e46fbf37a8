//! A scale bar in millimetres and in inches, and a square to lay a ruler on.
//!
//! On a full-size sheet they tell whether the printer kept the size; on a smaller drawing the bars show how
//! long 100 mm and 4 in, or so many times that, have become.

use crate::advance::{ASCENT, DESCENT};
use crate::frame::scale_text;
use crate::model::{Anchor, Fill, Item, Room, Text};
use crate::pens::{Role, pen};
use crate::tokens::{SOFT_INK, TYPE_LABEL};
use crate::units::INCH_MM;
use crate::words::{Weight, Words};
use geom::{Point, Vec2};

/// Length of the millimetre bar, mm, and of the inch bar, in; or so many times that.
const BARS: (f64, f64) = (100.0, 4.0);
/// A bar shorter than this on paper, mm, is made longer by the next round number. Chosen: its fifths can
/// still be told apart.
const SHORTEST: f64 = 40.0;
/// Thickness of a bar, mm.
const THICK: f64 = 1.8;
/// White between a bar and its figures, and between the figures of one bar and the other bar, mm.
const AIR: f64 = 1.2;
/// Side of the check square, mm.
pub const CHECK_SQUARE: f64 = 100.0;

/// The smallest of 1, 2, 5, 10, 20 and so on that makes the bar long enough at `scale`; bounded at 10^9,
/// where the bar is simply left short.
fn times(scale: f64) -> f64 {
    let mut tens = 1.0;
    for _ in 0..9 {
        for step in [1.0, 2.0, 5.0] {
            if BARS.0 * step * tens * scale >= SHORTEST {
                return step * tens;
            }
        }
        tens *= 10.0;
    }
    tens
}

/// From the foot of one bar's figures to the foot of the next, mm.
const ROW: f64 = THICK + AIR + TYPE_LABEL + AIR;
/// Room left of a bar for half of its first figure, mm.
const LEFT: f64 = 3.0;

/// How much room the bars and their words take at `scale`, mm: width and height.
pub fn scale_bar_size(scale: f64) -> (f64, f64) {
    let times = times(scale);
    let end = |length: f64, unit: &str, paper_per_unit: f64| {
        let words = Words::from(format!("{} {unit}", figure(length)));
        length * paper_per_unit + words.width(TYPE_LABEL, Weight::Regular) / 2.0
    };
    let long = end(BARS.0 * times, "mm", scale).max(end(BARS.1 * times, "in", INCH_MM * scale));
    (LEFT + long, 2.0 * ROW + AIR + ASCENT * TYPE_LABEL)
}

/// Both bars with their lower left corner at `at`; `scale` is millimetres on paper for one on the work.
pub fn scale_bar(at: Point, scale: f64) -> Vec<Item> {
    let times = times(scale);
    let left = at + Vec2::new(LEFT, 0.0);
    let mut items = bar(left, BARS.1 * times, INCH_MM * scale, 4, "in");
    items.extend(bar(left + Vec2::new(0.0, ROW), BARS.0 * times, scale, 5, "mm"));
    let words = if (scale - 1.0).abs() < geom::tolerance::NOISE_UNIT {
        "full size, print at 100 %".to_owned()
    } else {
        format!("scale {}", scale_text(scale))
    };
    let over = left + Vec2::new(0.0, 2.0 * ROW + AIR);
    items.push(Item::Text(Text { colour: SOFT_INK, ..Text::new(over, words, TYPE_LABEL) }));
    items
}

/// One bar of `parts` equal parts, filled and empty in turn, its figures below; its lowest line at `at`.
fn bar(at: Point, length: f64, paper_per_unit: f64, parts: u32, unit: &str) -> Vec<Item> {
    let stroke = pen(Role::Dimension);
    let base = at + Vec2::new(0.0, TYPE_LABEL + AIR);
    let step = length / f64::from(parts);
    let mut items = Vec::new();
    for k in 0..parts {
        let x = |k: u32| f64::from(k) * step * paper_per_unit;
        let ring = Room { lo: base + Vec2::new(x(k), 0.0), hi: base + Vec2::new(x(k + 1), THICK) }.ring();
        if k % 2 == 0 {
            items.push(Item::filled([&ring], Fill::Plain(stroke.colour)));
        }
        items.push(Item::rings([&ring], stroke));
    }
    let figures = [(0, "0".to_owned()), (1, figure(step)), (parts, format!("{} {unit}", figure(length)))];
    for (k, words) in figures {
        let x = f64::from(k) * step * paper_per_unit;
        let text = Text::new(at + Vec2::new(x, DESCENT * TYPE_LABEL), words, TYPE_LABEL);
        items.push(Item::Text(Text { anchor: Anchor::Middle, ..text }));
    }
    items
}

/// A whole number without decimals, any other with as many as it needs.
fn figure(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A square of 100 mm with its lower left corner at `at`, for laying a ruler on both ways.
pub fn check_square(at: Point) -> Vec<Item> {
    let stroke = pen(Role::Dimension);
    let square = Room { lo: at, hi: at + Vec2::new(CHECK_SQUARE, CHECK_SQUARE) };
    let words = Text::centred(square.centre(), "100 mm each way: measure before use", TYPE_LABEL);
    let mut items = vec![Item::rings([&square.ring()], stroke), Item::Text(words)];
    // Short strokes at every 10 mm along two sides show which way a printer has stretched.
    for k in 1..10 {
        let s = f64::from(k) * 10.0;
        let long = if k == 5 { 4.0 } else { 2.0 };
        items.push(Item::line([at + Vec2::new(s, 0.0), at + Vec2::new(s, long)], stroke));
        items.push(Item::line([at + Vec2::new(0.0, s), at + Vec2::new(long, s)], stroke));
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Widths of the bars as drawn, mm: the reach of all parts of each row.
    fn reach(items: &[Item]) -> Vec<f64> {
        let mut rows: Vec<(f64, f64, f64)> = Vec::new();
        for item in items {
            let Item::Path(p) = item else { continue };
            let xs: Vec<f64> = p.outlines[0].vertices.iter().map(|v| v.p.x).collect();
            let y = p.outlines[0].vertices[0].p.y;
            let (lo, hi) =
                (xs.iter().copied().fold(f64::MAX, f64::min), xs.iter().copied().fold(0.0, f64::max));
            match rows.iter_mut().find(|r| (r.0 - y).abs() < 1e-9) {
                Some(r) => (r.1, r.2) = (r.1.min(lo), r.2.max(hi)),
                None => rows.push((y, lo, hi)),
            }
        }
        rows.iter().map(|r| r.2 - r.1).collect()
    }

    #[test]
    fn bars_are_as_long_as_they_say() {
        // 4 in are 101.6 mm by definition of the inch (1959).
        let full = reach(&scale_bar(Point::ZERO, 1.0));
        assert!((full[0] - 101.6).abs() < 1e-9 && (full[1] - 100.0).abs() < 1e-9, "{full:?}");
        // At 1:20 the next round number is ten times: 1000 mm are 50 mm on paper.
        let small = reach(&scale_bar(Point::ZERO, 0.05));
        assert!((small[0] - 50.8).abs() < 1e-9 && (small[1] - 50.0).abs() < 1e-9, "{small:?}");
    }

    #[test]
    fn bars_stay_long_enough_to_read_at_any_scale() {
        for n in 1..2000 {
            let scale = 1.0 / f64::from(n);
            let reach = reach(&scale_bar(Point::ZERO, scale));
            assert!(reach.iter().all(|&l| (SHORTEST..=102.0).contains(&l)), "1:{n} {reach:?}");
        }
    }

    #[test]
    fn bars_and_words_stay_in_the_room_they_ask_for() {
        for scale in [1.0, 0.4, 0.1, 1.0 / 15.0, 0.005] {
            let (w, h) = scale_bar_size(scale);
            for item in scale_bar(Point::ZERO, scale) {
                let corners: Vec<Point> = match &item {
                    Item::Text(text) => text.corners().to_vec(),
                    Item::Path(p) => p.outlines[0].vertices.iter().map(|v| v.p).collect(),
                    Item::Circle { .. } => panic!("no circles here"),
                };
                for c in corners {
                    let slack = 1e-9;
                    let within = -slack <= c.x && c.x <= w + slack && -slack <= c.y && c.y <= h + slack;
                    assert!(within, "{c:?} in {w} by {h} at {scale}");
                }
            }
        }
    }
}
