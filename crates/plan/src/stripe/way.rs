//! The middle of a stripe as a line one can walk along: where it is, which way its left lies, how it bends.
//!
//! Either a fair curve or chords: straight joins with mitres at their corners. Flat, mm. A body that does not unroll can
//! bring its own kind later; edges, stations and tape ask no more than what is here.

use super::fair::Fair;
use geom::point::left_of;
use geom::tolerance::{NOISE_MM, NOISE_UNIT};
use geom::{Point, Vec2};

/// Turn, radians, up to which two chords are one bend cut into straight bits; beyond it they meet in a mitre. Chords of
/// a curve are laid so short that they turn less, down to a radius of 16 mm. chosen: 2.5 degrees.
pub const BEND: f64 = 2.5 * std::f64::consts::PI / 180.0;
/// Least cosine of half the turn at a mitre: beyond 120 degrees it is cut short. chosen.
const LEAST_MITRE: f64 = 0.5;

/// Rounds in which a middle is found from its edge. chosen: then an edge with a taper is met to a thousandth of a
/// millimetre (the test below).
const MITRE_ROUNDS: usize = 5;

/// Longest loop that is cut off a line beside another, over how far beside it that is. chosen: on the inside of a corner of
/// 120 degrees the loop is 3.5 times as long.
const LOOP: f64 = 4.0;

/// Two points of a line nearer than this, mm, would be two corners a hair apart. chosen.
const STOP_MM: f64 = 1.0;

/// The middle of a stripe.
#[derive(Clone, Debug)]
pub enum Way {
    /// A fair curve.
    Fair(Fair),
    /// Straight joins.
    Chords(Chords),
}

/// A place along a way.
#[derive(Clone, Copy, Debug)]
pub struct At {
    /// Where it is.
    pub p: Point,
    /// To the left, one unit off every straight bit that meets here: longer than one at a mitre.
    pub left: Vec2,
    /// Bend, 1/mm, left positive; 0 at a mitre.
    pub bend: f64,
}

/// Straight joins between points.
#[derive(Clone, Debug)]
pub struct Chords {
    points: Vec<Point>,
    /// Length along the line at each, mm.
    knots: Vec<f64>,
}

impl Way {
    /// Length, mm.
    pub fn length(&self) -> f64 {
        match self {
            Way::Fair(fair) => fair.length(),
            Way::Chords(chords) => chords.length(),
        }
    }

    /// Places along it, mm, at which it may not be taken for smooth.
    pub fn stops(&self) -> &[f64] {
        match self {
            Way::Fair(fair) => fair.knots(),
            Way::Chords(chords) => &chords.knots,
        }
    }

    /// What is `s` mm along it.
    pub fn at(&self, s: f64) -> At {
        match self {
            Way::Fair(fair) => {
                let (p, way, bend) = fair.at(s);
                At { p, left: left_of(Vec2::from_angle(way)), bend }
            }
            Way::Chords(chords) => chords.at(s),
        }
    }
}

impl Chords {
    /// Joins between points; those that coincide with the one before are left out. `None` for fewer than two.
    pub fn new(points: impl IntoIterator<Item = Point>) -> Option<Chords> {
        let mut kept: Vec<Point> = Vec::new();
        let mut knots = Vec::new();
        for p in points {
            let far = kept.last().map_or(f64::INFINITY, |last| last.distance(p));
            if far > NOISE_MM * 10.0 {
                knots.push(knots.last().map_or(0.0, |s| s + far));
                kept.push(p);
            }
        }
        (kept.len() > 1).then_some(Chords { points: kept, knots })
    }

    /// Its points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Length along it at each of its points, mm.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.knots[self.knots.len() - 1]
    }

    /// Unit direction of the join `i`.
    fn way(&self, i: usize) -> Vec2 {
        (self.points[i + 1] - self.points[i]).normalize()
    }

    /// What is `s` mm along it; beyond its ends straight on.
    pub fn at(&self, s: f64) -> At {
        let last = self.knots.len() - 1;
        let i = self.knots.partition_point(|k| *k <= s).clamp(1, last) - 1;
        let (own, u) = (self.way(i), s - self.knots[i]);
        let corner = |k: usize| {
            if 0 < k && k < last {
                self.corner(k)
            } else {
                At { p: self.points[k], left: left_of(own), bend: 0.0 }
            }
        };
        // From mitre to mitre, so that an edge has no jump at either; one unit off the join all the way.
        let (a, b) = (corner(i), corner(i + 1));
        let share = u / (self.knots[i + 1] - self.knots[i]);
        let near = if share > 0.5 { b } else { a };
        At { p: self.points[i] + own * u, left: a.left + (b.left - a.left) * share, bend: near.bend }
    }

    /// The mitre or bend at the inner point `i`.
    fn corner(&self, i: usize) -> At {
        let (before, after) = (self.way(i - 1), self.way(i));
        let turn = before.cross(after).atan2(before.dot(after));
        let half = left_of(Vec2::from_angle(before.atan2() + turn / 2.0));
        let left = half / (turn / 2.0).cos().max(LEAST_MITRE);
        let around = (self.knots[i + 1] - self.knots[i - 1]) / 2.0;
        let bend = if turn.abs() <= BEND { turn / around.max(NOISE_UNIT) } else { 0.0 };
        At { p: self.points[i], left, bend }
    }

    /// Turns of more than a bend, each with its place along the line, mm and radians.
    pub fn mitres(&self) -> Vec<(f64, f64)> {
        let turn = |i: usize| self.way(i - 1).cross(self.way(i)).atan2(self.way(i - 1).dot(self.way(i)));
        (1..self.knots.len() - 1).map(|i| (self.knots[i], turn(i))).filter(|m| m.1.abs() > BEND).collect()
    }

    /// The same line with points of its own at these places along it, mm.
    pub fn stopped_at(&self, places: &[f64]) -> Chords {
        let mut all: Vec<(f64, Point)> =
            self.knots.iter().copied().zip(self.points.iter().copied()).collect();
        // Next to one of its own there is one already.
        let own = |s: f64| self.knots.iter().any(|k| (k - s).abs() <= STOP_MM);
        let inner = places.iter().filter(|s| 0.0 < **s && **s < self.length() && !own(**s));
        all.extend(inner.map(|s| (*s, self.at(*s).p)));
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        Chords::new(all.into_iter().map(|p| p.1)).unwrap_or_else(|| self.clone())
    }

    /// The line beside it, `by` of its share (0 to 1) to the left at every point. On the inside of a corner or of a bend
    /// tighter than that it runs from one hand of it to the other where the two cross; where they do not, the points that
    /// would run backwards are left out.
    pub fn beside(&self, by: &impl Fn(f64) -> f64) -> Option<Chords> {
        let whole = self.length();
        let moved = |s: f64| {
            let at = self.at(s);
            at.p + at.left * by(s / whole)
        };
        let moved: Vec<Point> = self.knots.iter().map(|s| moved(*s)).collect();
        let forward = |all: &[(usize, Point)]| {
            let mut kept: Vec<Point> = Vec::new();
            for (i, p) in all {
                let backwards = |last: &Point| *i > 0 && (*p - *last).dot(self.way(i - 1)) < 0.0;
                if kept.last().is_none_or(|last| !backwards(last)) {
                    kept.push(*p);
                }
            }
            kept
        };
        let all: Vec<(usize, Point)> = moved.iter().copied().enumerate().collect();
        let kept = forward(&all);
        if kept.len() == all.len() {
            return Chords::new(kept);
        }
        let most = self.knots.iter().map(|s| by(s / whole).abs()).fold(0.0, f64::max);
        Chords::new(forward(&self.unlooped(&moved, LOOP * most)))
    }

    /// The points of a line beside this one without its loops: from where it crosses itself on to where it does so, if that
    /// is no farther than `most` along this line. Each with the number of the point it stands for.
    fn unlooped(&self, moved: &[Point], most: f64) -> Vec<(usize, Point)> {
        let last = moved.len() - 1;
        let mut kept = vec![(0, moved[0])];
        let (mut i, mut from) = (0, moved[0]);
        while i < last {
            let near = (i + 2..last).take_while(|j| self.knots[*j] - self.knots[i + 1] <= most);
            let loops =
                near.filter_map(|j| Some((j, crossing([from, moved[i + 1]], [moved[j], moved[j + 1]])?)));
            // The farthest that can be cut off in one.
            match loops.last() {
                Some((j, p)) => {
                    kept.push((j, p));
                    (i, from) = (j, p);
                }
                None => {
                    kept.push((i + 1, moved[i + 1]));
                    (i, from) = (i + 1, moved[i + 1]);
                }
            }
        }
        kept
    }

    /// The middle of a stripe whose edge this line is: `half` tells half the width by the middle and the length along it,
    /// `way` is 1 if the middle lies left, else -1. A mitre of the middle leans otherwise than that of its edge, so that it
    /// is found in a few rounds.
    pub fn middle_of_edge(&self, half: &impl Fn(&Chords, f64) -> f64, way: f64) -> Option<Chords> {
        let mut middle = self.beside(&|share| way * half(self, share * self.length()))?;
        for _ in 0..MITRE_ROUNDS {
            if middle.points.len() != self.points.len() {
                break;
            }
            let off = |i: usize| middle.at(middle.knots[i]).left * (way * half(&middle, middle.knots[i]));
            let next = Chords::new((0..self.points.len()).map(|i| self.points[i] + off(i)))?;
            if next.points.len() != middle.points.len() {
                break;
            }
            middle = next;
        }
        Some(middle)
    }

    /// The same line walked the other way.
    pub fn reversed(&self) -> Chords {
        let whole = self.length();
        Chords {
            points: self.points.iter().rev().copied().collect(),
            knots: self.knots.iter().rev().map(|s| whole - s).collect(),
        }
    }

    /// The part of it where `measure` lies between `from` and `to`, if `measure` grows along it; `None` if nothing does.
    pub fn between(&self, measure: &impl Fn(Point) -> f64, from: f64, to: f64) -> Option<Chords> {
        let values: Vec<f64> = self.points.iter().map(|p| measure(*p)).collect();
        let inside = |v: f64| from <= v && v <= to;
        let mut kept = Vec::new();
        for (i, p) in self.points.iter().enumerate() {
            if i > 0 {
                let (a, b) = (values[i - 1], values[i]);
                for limit in [from, to] {
                    if (a < limit && limit < b) || (b < limit && limit < a) {
                        kept.push(self.cut(i - 1, measure, limit));
                    }
                }
            }
            if inside(values[i]) {
                kept.push(*p);
            }
        }
        Chords::new(kept)
    }

    /// The point of the join `i` at which `measure` is `limit`, by halving.
    fn cut(&self, i: usize, measure: &impl Fn(Point) -> f64, limit: f64) -> Point {
        let (mut a, mut b) = (self.points[i], self.points[i + 1]);
        let rising = measure(b) > measure(a);
        for _ in 0..HALVINGS {
            let middle = a.midpoint(b);
            if (measure(middle) < limit) == rising { a = middle } else { b = middle }
        }
        a.midpoint(b)
    }
}

/// Where two joins cross.
fn crossing([a, b]: [Point; 2], [c, d]: [Point; 2]) -> Option<Point> {
    let (u, v, w) = (b - a, d - c, c - a);
    let all = u.cross(v);
    if all == 0.0 {
        return None;
    }
    let (s, t) = (w.cross(v) / all, w.cross(u) / all);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then(|| a + u * s)
}

/// Halvings of a join: from 100 m down to below noise.
const HALVINGS: u32 = 50;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mitre_keeps_the_distance_from_both_joins() {
        // Closed form: at a right turn of 90 degrees the mitre is the square root of 2 out.
        let line = Chords::new([(0.0, 0.0), (100.0, 0.0), (100.0, -80.0)].map(Point::from)).unwrap();
        let out = line.beside(&|_| 10.0).unwrap();
        assert!(out.points()[1].distance(Point::new(110.0, 10.0)) < 1e-9);
        let inner = line.beside(&|_| -10.0).unwrap();
        assert!(inner.points()[1].distance(Point::new(90.0, -10.0)) < 1e-9);
        assert_eq!(line.mitres().len(), 1);
    }

    /// The same corner whose joins are cut into bits shorter than the mitre is long: no bit runs on past it.
    #[test]
    fn a_mitre_between_short_joins_does_not_double_back() {
        let fore = (0..=50).map(|k| Point::new(2.0 * f64::from(k), 0.0));
        let down = (1..=40).map(|k| Point::new(100.0, -2.0 * f64::from(k)));
        let line = Chords::new(fore.chain(down)).unwrap();
        let inner = line.beside(&|_| -10.0).unwrap();
        assert!((inner.length() - (90.0 + 70.0)).abs() < 1e-9, "{}", inner.length());
        assert_eq!(inner.mitres().len(), 1);
        assert!((inner.mitres()[0].1 + std::f64::consts::FRAC_PI_2).abs() < 1e-9);
        let corner = inner.at(inner.mitres()[0].0).p;
        assert!(corner.distance(Point::new(90.0, -10.0)) < 1e-9, "{corner:?}");
    }

    #[test]
    fn a_line_beside_chords_of_a_circle_lies_on_the_larger_circle() {
        let r = 800.0;
        let chord = |k: i32| (Vec2::from_angle(f64::from(k) * 0.004) * r).to_point();
        let line = Chords::new((0..=200).map(chord)).unwrap();
        let out = line.beside(&|_| -50.0).unwrap();
        for p in &out.points()[1..200] {
            // Chords of 3.2 mm stand 0.0016 mm inside.
            assert!((p.to_vec2().hypot() - (r + 50.0)).abs() < 0.002, "{p:?}");
        }
        assert!((Way::Chords(line).at(400.0).bend * r - 1.0).abs() < 1e-4);
    }

    /// Back again: the edge drawn beside the middle found from it is the edge, corner and taper too.
    #[test]
    fn the_edge_of_a_middle_found_from_an_edge_is_that_edge() {
        let edge = Chords::new([(0.0, 0.0), (500.0, 0.0), (855.6, -50.8)].map(Point::from)).unwrap();
        for way in [1.0, -1.0] {
            let half = |line: &Chords, s: f64| {
                let corner = line.knots()[1];
                12.7 * if s <= corner { 1.0 } else { (line.length() - s) / (line.length() - corner) }
            };
            let middle = edge.middle_of_edge(&half, way).unwrap();
            for (p, s) in edge.points().iter().zip(middle.knots()) {
                let at = middle.at(*s);
                let back = at.p - at.left * (way * half(&middle, *s));
                assert!(back.distance(*p) < 1e-3, "{way}: {back:?} for {p:?}");
            }
        }
    }

    #[test]
    fn it_is_cut_where_its_station_says() {
        let line = Chords::new([(0.0, 0.0), (100.0, 10.0), (300.0, 0.0)].map(Point::from)).unwrap();
        let part = line.between(&|p: Point| p.x, 50.0, 200.0).unwrap();
        let want = [(50.0, 5.0), (100.0, 10.0), (200.0, 5.0)].map(Point::from);
        assert!(part.points().iter().zip(want).all(|(a, b)| a.distance(b) < 1e-9), "{part:?}");
        assert!(line.between(&|p: Point| p.x, 400.0, 500.0).is_none());
    }
}
