//! A length between two places, with a line, two arrowheads and its reading; and words led to a place.
//!
//! For a size that is judged on its own, such as the width of a stroke. What is measured along a tape from
//! one zero belongs on a chain of ordinates, so that no error is added to another.

use crate::advance::{CAP_HEIGHT, DESCENT};
use crate::model::{Anchor, Fill, Item, Text};
use crate::pens::{NARROW, Role, pen};
use crate::symbols::{ARROW, arrowhead, readable};
use crate::tokens::TYPE_FIGURE;
use crate::words::Words;
use geom::point::left_of;
use geom::{Point, Vec2};

/// White between the thing measured and an extension line, and how far that line runs past, mm.
const EXTENSION: (f64, f64) = (1.0, 1.5);
/// White between a line and the words over it, mm.
const OVER: f64 = 0.8;
/// Level piece of a leader before its words, mm.
const SHOULDER: f64 = 4.0;
/// Radius of the dot at the end of a leader that points into an area, mm.
const DOT: f64 = 2.0 * NARROW;

/// The length from `a` to `b`, drawn `offset` mm left of the way from `a` to `b` (negative for right of it).
///
/// The reading stands over the line where it fits between the arrowheads; otherwise the arrowheads come from
/// outside and the reading follows behind `b`. Nothing is drawn if `a` and `b` are one place.
pub fn span(a: Point, b: Point, offset: f64, words: impl Into<Words>) -> Vec<Item> {
    let length = a.distance(b);
    if length <= geom::tolerance::NOISE_MM {
        return Vec::new();
    }
    let stroke = pen(Role::Dimension);
    let along = (b - a) / length;
    let out = left_of(along) * if offset < 0.0 { -1.0 } else { 1.0 };
    let far = offset.abs();
    let (p, q) = (a + out * far, b + out * far);
    let mut items: Vec<Item> = Vec::new();
    if far > EXTENSION.0 {
        for end in [a, b] {
            items.push(Item::line([end + out * EXTENSION.0, end + out * (far + EXTENSION.1)], stroke));
        }
    }
    let turn = readable(along.atan2());
    let reading = Vec2::from_angle(turn);
    let up = left_of(reading);
    let text = Text { turn, anchor: Anchor::Middle, clears: true, ..Text::new(p, words, TYPE_FIGURE) };
    if text.width() + 2.0 * ARROW <= length {
        items.push(Item::line([p, q], stroke));
        items.extend([arrowhead(p, -along, stroke.colour), arrowhead(q, along, stroke.colour)]);
        let at = p.midpoint(q) + up * (OVER + DESCENT * text.size);
        items.push(Item::Text(Text { at, ..text }));
    } else {
        let tail = 2.0 * ARROW;
        items.push(Item::line([p - along * tail, q + along * tail], stroke));
        items.extend([arrowhead(p, along, stroke.colour), arrowhead(q, -along, stroke.colour)]);
        let forward = reading.dot(along) > 0.0;
        let at = q + along * (tail + 1.0) - up * (CAP_HEIGHT / 2.0 * text.size);
        let anchor = if forward { Anchor::Start } else { Anchor::End };
        items.push(Item::Text(Text { at, anchor, ..text }));
    }
    items
}

/// What a leader's end says about the place it points to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tip {
    /// An arrowhead: this line.
    Arrow,
    /// A dot: this area.
    Dot,
}

/// A line from `place` to `elbow`, a short level piece away from the place, and words at `size` mm there.
pub fn leader(place: Point, elbow: Point, tip: Tip, size: f64, words: impl Into<Words>) -> Vec<Item> {
    let stroke = pen(Role::Leader);
    let right = elbow.x >= place.x;
    let away = Vec2::new(if right { 1.0 } else { -1.0 }, 0.0);
    let end = elbow + away * SHOULDER;
    let anchor = if right { Anchor::Start } else { Anchor::End };
    let at = end + away - Vec2::new(0.0, CAP_HEIGHT / 2.0 * size);
    let mut items = vec![Item::line([place, elbow, end], stroke)];
    items.push(match tip {
        Tip::Dot => {
            Item::Circle { centre: place, radius: DOT, stroke: None, fill: Some(Fill::Plain(stroke.colour)) }
        }
        Tip::Arrow => {
            let way = place - elbow;
            let way = if way.hypot() > 0.0 { way.normalize() } else { -away };
            arrowhead(place, way, stroke.colour)
        }
    });
    items.push(Item::Text(Text { anchor, clears: true, ..Text::new(at, words, size) }));
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::both_words;

    fn text(items: &[Item]) -> &Text {
        let Some(Item::Text(text)) = items.last() else { panic!("words last") };
        text
    }

    #[test]
    fn a_reading_that_fits_stands_between_its_arrows() {
        let items = span(Point::ZERO, Point::new(80.0, 0.0), 10.0, both_words(619.125));
        let xs = text(&items).corners().map(|c| c.x);
        assert!(xs.iter().all(|&x| (ARROW..=80.0 - ARROW).contains(&x)), "{xs:?}");
        assert!(text(&items).corners().iter().all(|c| c.y > 10.0));
    }

    #[test]
    fn a_reading_that_does_not_fit_goes_behind_the_second_place() {
        for (b, offset) in
            [(Point::new(9.0, 0.0), 5.0), (Point::new(-9.0, 0.0), 5.0), (Point::new(0.0, 9.0), -5.0)]
        {
            let items = span(Point::ZERO, b, offset, both_words(619.125));
            let along = b.to_vec2().normalize();
            assert!(text(&items).corners().iter().all(|c| c.to_vec2().dot(along) > 9.0 + ARROW), "{b:?}");
        }
    }

    #[test]
    fn no_length_draws_nothing() {
        assert!(span(Point::ZERO, Point::ZERO, 5.0, "0 mm").is_empty());
    }

    #[test]
    fn words_of_a_leader_stay_clear_of_the_place() {
        for x in [-12.0, 12.0] {
            let items = leader(Point::ZERO, Point::new(x, 8.0), Tip::Dot, 3.5, "ring");
            assert!(text(&items).corners().iter().all(|c| c.x.abs() > 12.0 + SHOULDER));
        }
    }
}
