//! Small signs drawn as lines, so that they print on any machine: verdicts, arrowheads, directions.
//!
//! A verdict is told by its mark and its word; colour comes last and may be lost on a printer.

use crate::model::{Anchor, Fill, Item, Outline, Path, Text};
use crate::pens::{Dash, Role, Stroke, WIDE, pen};
use crate::tokens::{CAUTION, Colour, FAIL, GAP, PASS};
use crate::words::{Weight, Words};
use geom::point::left_of;
use geom::{Point, Ring, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// Length of an arrowhead, mm. Chosen by eye: seen from arm's length, and still a tip.
pub const ARROW: f64 = 3.2;
/// Half the width of an arrowhead, mm: slim, so that the tip is a place and not an area.
const ARROW_HALF: f64 = 0.62;

/// What an examination came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// As it must be: a tick.
    Pass,
    /// To be looked at: a bar.
    Caution,
    /// Not as it must be: a cross in a ring.
    Fail,
}

impl Verdict {
    /// The word that goes with the mark.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Pass => "pass",
            Verdict::Caution => "caution",
            Verdict::Fail => "fail",
        }
    }

    /// The colour that repeats what mark and word say.
    pub fn colour(self) -> Colour {
        match self {
            Verdict::Pass => PASS,
            Verdict::Caution => CAUTION,
            Verdict::Fail => FAIL,
        }
    }
}

/// The mark of a verdict in a square of `size` mm round `centre`.
pub fn verdict_mark(centre: Point, size: f64, verdict: Verdict) -> Vec<Item> {
    let colour = verdict.colour();
    let stroke = Stroke { width: (size / 6.0).max(WIDE), dash: Dash::Solid, colour, steady: false };
    let at = |x: f64, y: f64| centre + Vec2::new(x, y) * size;
    match verdict {
        Verdict::Pass => vec![Item::line([at(-0.42, 0.02), at(-0.12, -0.34), at(0.44, 0.40)], stroke)],
        Verdict::Caution => {
            let bar = [at(-0.46, -0.16), at(0.46, -0.16), at(0.46, 0.16), at(-0.46, 0.16)];
            vec![Item::filled([&Ring::from_points(bar)], Fill::Plain(colour))]
        }
        Verdict::Fail => {
            let thin = Stroke { width: stroke.width * 0.75, ..stroke };
            vec![
                Item::circle(centre, 0.46 * size, thin),
                Item::line([at(-0.19, -0.19), at(0.19, 0.19)], thin),
                Item::line([at(-0.19, 0.19), at(0.19, -0.19)], thin),
            ]
        }
    }
}

/// A verdict as mark, word and what there is to say, on a line of size `size` mm starting at `at`.
pub fn verdict_line(at: Point, size: f64, verdict: Verdict, words: impl Into<Words>) -> Vec<Item> {
    let mut items = verdict_mark(at + Vec2::new(size / 2.0, 0.365 * size), size, verdict);
    let word = Text {
        weight: Weight::Bold,
        colour: verdict.colour(),
        ..Text::new(at + Vec2::new(1.5 * size, 0.0), verdict.word(), size)
    };
    // All verdict words get the room of the widest, so that lines below each other line up.
    let widest = [Verdict::Pass, Verdict::Caution, Verdict::Fail]
        .map(|v| Words::from(v.word()).width(size, Weight::Bold))
        .into_iter()
        .fold(0.0, f64::max);
    let rest = Text::new(word.at + Vec2::new(widest + GAP, 0.0), words, size);
    items.extend([Item::Text(word), Item::Text(rest)]);
    items
}

/// A filled arrowhead with its tip at `tip`, pointing along `direction` (unit length), in `colour`.
pub fn arrowhead(tip: Point, direction: Vec2, colour: Colour) -> Item {
    let back = tip - direction * ARROW;
    let side = left_of(direction) * ARROW_HALF;
    Item::filled([&Ring::from_points([tip, back + side, back - side])], Fill::Plain(colour))
}

/// A slanting tick through `at`, where a dimension line along `direction` (unit length) ends and there is no
/// room for an arrowhead.
pub fn tick(at: Point, direction: Vec2) -> Item {
    let slant = (direction + left_of(direction)) * (ARROW / 2.0 / 2.0_f64.sqrt());
    let stroke = Stroke { width: WIDE, ..pen(Role::Dimension) };
    Item::line([at - slant, at + slant], stroke)
}

/// An arrow that says which way something lies, `length` mm long from `tail`, its words set along it.
///
/// `angle` is where it points, radians counter-clockwise from level. Words stand over the shaft and are
/// never upside down; the arrow grows if they need it to.
pub fn direction_arrow(
    tail: Point,
    angle: f64,
    length: f64,
    size: f64,
    words: impl Into<Words>,
) -> Vec<Item> {
    let words = words.into();
    let head = 5.0;
    let length = length.max(words.width(size, Weight::Regular) + head + GAP);
    let along = Vec2::from_angle(angle);
    let tip = tail + along * length;
    let side = left_of(along);
    let stroke = pen(Role::CutLine);
    let shaft_end = tip - along * (head * 0.8);
    let blade = [tip, tip - along * head + side * 1.9, shaft_end, tip - along * head - side * 1.9];
    let foot = [tail - side * 1.6, tail + side * 1.6];
    let turn = readable(angle);
    let up = left_of(Vec2::from_angle(turn));
    let middle = tail + along * ((length - head) / 2.0) + up * (0.24 * size + 1.0);
    vec![
        Item::line([tail, shaft_end], stroke),
        Item::line(foot, stroke),
        Item::filled([&Ring::from_points(blade)], Fill::Plain(stroke.colour)),
        Item::Text(Text { turn, anchor: Anchor::Middle, ..Text::new(middle, words, size) }),
    ]
}

/// A register mark for laying two sheets over each other: a ring with a cross, half of it filled so that a
/// sheet turned round is noticed. `size` mm across the cross.
pub fn register_mark(centre: Point, size: f64) -> Vec<Item> {
    let stroke = pen(Role::Dimension);
    let r = size * 0.3;
    let arm = size / 2.0;
    let quarter = |x: f64, y: f64| Outline {
        vertices: vec![
            geom::Vertex { p: centre, bulge: 0.0 },
            geom::Vertex { p: centre + Vec2::new(x, y) * r, bulge: (PI / 8.0).tan() },
            geom::Vertex { p: centre + left_of(Vec2::new(x, y)) * r, bulge: 0.0 },
        ],
        closed: true,
    };
    vec![
        Item::Path(Path {
            outlines: vec![quarter(1.0, 0.0), quarter(0.0, 1.0)],
            stroke: None,
            fill: Some(Fill::Plain(stroke.colour)),
        }),
        Item::circle(centre, r, stroke),
        Item::line([centre - Vec2::new(arm, 0.0), centre + Vec2::new(arm, 0.0)], stroke),
        Item::line([centre - Vec2::new(0.0, arm), centre + Vec2::new(0.0, arm)], stroke),
    ]
}

/// The direction nearest to `angle`, or its opposite, in which words read from below or from the right:
/// over -90 degrees and up to 90 degrees.
pub fn readable(angle: f64) -> f64 {
    let slack = geom::tolerance::NOISE_UNIT;
    let turn = (angle + FRAC_PI_2 - slack).rem_euclid(PI) - FRAC_PI_2 + slack;
    if turn.abs() <= slack { 0.0 } else { turn }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_never_upside_down() {
        for (angle, wanted) in [
            (0.0, 0.0),
            (PI, 0.0),
            (-PI, 0.0),
            (FRAC_PI_2, FRAC_PI_2),
            (-FRAC_PI_2, FRAC_PI_2),
            (0.75 * PI, -0.25 * PI),
            (1.25 * PI, 0.25 * PI),
        ] {
            assert!((readable(angle) - wanted).abs() < 1e-8, "{angle}: got {}", readable(angle));
        }
    }

    #[test]
    fn an_arrow_is_long_enough_for_its_words() {
        let items = direction_arrow(Point::ZERO, 0.3, 4.0, 4.0, "leading edge");
        let Some(Item::Text(text)) = items.last() else { panic!("words last") };
        let Item::Path(shaft) = &items[0] else { panic!("shaft first") };
        let length: f64 = shaft.outlines[0].edges().iter().map(geom::Edge::length).sum();
        assert!(length >= text.width(), "shaft {length}, words {}", text.width());
    }

    #[test]
    fn verdicts_are_told_apart_without_colour() {
        // The three marks consist of different things: one line; one filled shape; a ring and two lines.
        let kinds = |v| -> String {
            verdict_mark(Point::ZERO, 4.0, v)
                .iter()
                .map(|item| match item {
                    Item::Path(Path { fill: Some(_), .. }) => 'f',
                    Item::Path(_) => 'l',
                    Item::Circle { .. } => 'o',
                    Item::Text(_) => 't',
                })
                .collect()
        };
        assert_eq!([kinds(Verdict::Pass), kinds(Verdict::Caution), kinds(Verdict::Fail)], ["l", "f", "oll"]);
    }
}
