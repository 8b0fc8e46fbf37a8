//! Numbered balloons along a line, each led to its place, with no two balloons over each other and no two
//! leaders crossing.
//!
//! Balloons stand on one straight rail. A leader may pass close by a neighbour's balloon where a place lies
//! far along the rail; put the rail further out then.

use crate::model::{Fill, Item, Text};
use crate::pens::{NARROW, Role, pen};
use crate::spread::{Wish, spread};
use crate::tokens::{GAP, PAPER, TYPE_BODY};
use crate::words::{Weight, Words};
use geom::{Point, Vec2};

/// Least radius of a balloon, mm.
const LEAST_RADIUS: f64 = 3.6;
/// White inside a balloon, mm.
const PAD: f64 = 1.1;
/// Radius of the dot at the place, mm.
const DOT: f64 = 2.0 * NARROW;

/// A number and the place it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbered {
    /// Where the leader ends.
    pub place: Point,
    /// What stands in the balloon: a number or a letter or two.
    pub words: Words,
}

/// Balloons as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Balloons {
    /// All rings, words and leaders.
    pub items: Vec<Item>,
    /// The middle of each balloon, in the order given.
    pub centres: Vec<Point>,
    /// The radius of all of them, mm.
    pub radius: f64,
    /// How much the rail is too short for them, mm; 0 if it is not.
    pub over: f64,
}

/// Balloons for `numbered` on the rail from `from` to `to` (two places apart from each other).
pub fn balloons(numbered: &[Numbered], from: Point, to: Point) -> Balloons {
    let widest = numbered.iter().map(|n| n.words.width(TYPE_BODY, Weight::Regular)).fold(0.0, f64::max);
    let radius = (widest / 2.0 + PAD).max(LEAST_RADIUS);
    let rail = to - from;
    let along = if rail.hypot() > 0.0 { rail.normalize() } else { Vec2::new(1.0, 0.0) };

    let wishes: Vec<Wish> =
        numbered.iter().map(|n| Wish { at: (n.place - from).dot(along), size: 2.0 * radius }).collect();
    let placed = spread(&wishes, GAP, (0.0, rail.hypot()));
    let mut centres: Vec<Point> = placed.centres.iter().map(|&s| from + along * s).collect();
    untangle(numbered, &mut centres);

    let stroke = pen(Role::Leader);
    let mut items = Vec::new();
    for (n, &centre) in numbered.iter().zip(&centres) {
        let way = n.place - centre;
        if way.hypot() > radius {
            items.push(Item::line([centre + way.normalize() * radius, n.place], stroke));
            let fill = Some(Fill::Plain(stroke.colour));
            items.push(Item::Circle { centre: n.place, radius: DOT, stroke: None, fill });
        }
        let fill = Some(Fill::Plain(PAPER));
        items.push(Item::Circle { centre, radius, stroke: Some(stroke), fill });
        items.push(Item::Text(Text::centred(centre, n.words.clone(), TYPE_BODY)));
    }
    Balloons { items, centres, radius, over: placed.over }
}

/// Changes balloons over until no leaders cross.
///
/// Two sides of a four-sided figure are shorter together than its two diagonals, so each change makes the
/// leaders shorter in all, no arrangement comes back, and the work ends. It is bounded all the same, at the
/// square of the number of balloons; past that, leaders may cross.
fn untangle(numbered: &[Numbered], centres: &mut [Point]) {
    let n = centres.len();
    for _ in 0..n * n {
        let mut changed = false;
        for i in 0..n {
            for j in i + 1..n {
                if cross(centres[i], numbered[i].place, centres[j], numbered[j].place) {
                    centres.swap(i, j);
                    changed = true;
                }
            }
        }
        if !changed {
            return;
        }
    }
}

/// True if the straight lines from `a` to `b` and from `c` to `d` cross properly.
fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_lone_balloon_stands_straight_across_from_its_place() {
        let one = [Numbered { place: Point::new(30.0, -20.0), words: "1".into() }];
        let drawn = balloons(&one, Point::ZERO, Point::new(100.0, 0.0));
        assert!((drawn.centres[0] - Point::new(30.0, 0.0)).hypot() < 1e-9);
    }

    #[test]
    fn balloons_change_over_rather_than_let_leaders_cross() {
        // The nearer place lies behind in order along the rail, but its straight leader would be crossed.
        let two = [
            Numbered { place: Point::new(50.0, -60.0), words: "1".into() },
            Numbered { place: Point::new(50.5, -4.0), words: "2".into() },
            Numbered { place: Point::new(51.0, -30.0), words: "3".into() },
        ];
        let c = balloons(&two, Point::ZERO, Point::new(100.0, 0.0)).centres;
        for (i, j) in [(0, 1), (0, 2), (1, 2)] {
            assert!(!cross(c[i], two[i].place, c[j], two[j].place), "{i} {j} {c:?}");
        }
    }

    proptest! {
        #[test]
        fn no_balloons_overlap_and_no_leaders_cross(
            places in prop::collection::vec((0.0..200.0_f64, -90.0..-8.0_f64), 1..18),
        ) {
            let numbered: Vec<Numbered> = places
                .iter()
                .enumerate()
                .map(|(k, &(x, y))| Numbered { place: Point::new(x, y), words: (k + 1).to_string().into() })
                .collect();
            let drawn = balloons(&numbered, Point::ZERO, Point::new(200.0, 0.0));
            let c = &drawn.centres;
            prop_assert!(drawn.over <= 1e-9);
            for i in 0..c.len() {
                prop_assert!((0.0..=200.0).contains(&c[i].x));
                for j in i + 1..c.len() {
                    prop_assert!(c[i].distance(c[j]) >= 2.0 * drawn.radius + GAP - 1e-9);
                    prop_assert!(!cross(c[i], numbered[i].place, c[j], numbered[j].place));
                }
            }
        }
    }
}
