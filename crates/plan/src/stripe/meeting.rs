//! Ends of stripes that meet another stripe: two mitred on one line, or one that butts onto the edge of the other.
//!
//! Both are found from the stripes as laid with square ends: edges are run on straight, or cut back, to where they cross.
//! On a skin that curves both ways this is done in the flat of one, and brought over into that of the other.

use super::joint::{Over, one_go, place_words};
use super::laid::Laid;
use super::way::BEND;
use crate::finding::{Finding, Severity};
use crate::job::{Job, StripeEnd};
use crate::surface::{Skin, StripSkin};
use crate::words::length;
use geom::distance::{crossings, nearest_on_segment};
use geom::point::{crossing, left_of};
use geom::{Edge, Point, Vec2};
use std::f64::consts::PI;

/// How far off the other stripe may be that an end meets, in widths of the wider of the two. chosen: at a corner of 60
/// degrees the ends of a pair with a gap as wide as the thinner are three of its widths apart.
pub const REACH: f64 = 4.0;
/// Greatest turn at a mitre, radians: beyond it the tip would stand out farther than the stripe is wide, and is cut blunt
/// there. chosen: as within one stripe.
const TURN_MOST: f64 = 2.0 * PI / 3.0;
/// Longest step of an edge that is carried over to another flat, mm. chosen.
const STEP: f64 = 5.0;
/// Turn from which two ends lie side by side rather than meet, radians.
const BESIDE: f64 = PI - BEND;

/// How an end is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Where the edges left and right of travel end.
    pub sides: [Point; 2],
    /// The end's line between them, from right to left.
    pub between: Vec<Point>,
}

/// How the two ends of a stripe are cut.
pub type Cuts = [Option<Cut>; 2];

/// How far beyond the start and the end of a strip its cut ends reach, mm; 0 where they do not.
pub(super) fn past(cuts: &Cuts, strip: &StripSkin) -> [f64; 2] {
    let beyond = |k: usize| {
        let corners = cuts[k].iter().flat_map(|c| c.sides.iter().chain(&c.between));
        let out = corners.map(|p| {
            let s = strip.along_and_off(*p)[0];
            if k == 0 { -s } else { s - strip.length() }
        });
        out.fold(0.0, f64::max)
    };
    [beyond(0), beyond(1)]
}

/// An end as it is laid, seen going out of it.
struct Tip<'a> {
    laid: &'a Laid,
    /// Index of the stripe, and 0 for its start.
    stripe: usize,
    end: usize,
    /// Edges left and right of the way out, and the middle, each towards the end.
    sides: [Vec<Point>; 2],
    middle: Vec<Point>,
    width: f64,
}

impl<'a> Tip<'a> {
    fn new(laid: &'a Laid, stripe: usize, end: usize) -> Tip<'a> {
        let towards = |line: &[Point]| {
            let mut line = line.to_vec();
            if end == 0 {
                line.reverse();
            }
            line
        };
        let sides = [laid.flanks[1 - end].as_slice(), laid.flanks[end].as_slice()].map(towards);
        let width = sides[0][sides[0].len() - 1].distance(sides[1][sides[1].len() - 1]);
        Tip { laid, stripe, end, middle: towards(&laid.middle), width, sides }
    }

    fn at(&self) -> Point {
        self.middle[self.middle.len() - 1]
    }

    fn way(&self) -> Vec2 {
        way_out(&self.middle)
    }

    /// The cut by its left and right going out, and what lies between from right to left.
    fn cut(&self, left: Point, right: Point, mut between: Vec<Point>) -> Cut {
        // Out of the start left is right of travel.
        if self.end == 1 {
            return Cut { sides: [left, right], between };
        }
        between.reverse();
        Cut { sides: [right, left], between }
    }
}

/// The direction at the end of a line.
fn way_out(line: &[Point]) -> Vec2 {
    let n = line.len();
    (line[n - 1] - line[n - 2]).normalize()
}

/// A line run on straight past its end.
fn run_on(line: &[Point], by: f64) -> Vec<Point> {
    let mut out = line.to_vec();
    out.push(line[line.len() - 1] + way_out(line) * by);
    out
}

/// The last `far` mm of a line, in steps short enough to be carried over.
fn last_of(line: &[Point], far: f64) -> Vec<Point> {
    let mut out = vec![line[line.len() - 1]];
    let mut left = far;
    for w in line.windows(2).rev() {
        let long = w[0].distance(w[1]);
        let count = (long / STEP).ceil().max(1.0) as usize;
        for k in (0..count).rev() {
            out.push(w[0].lerp(w[1], k as f64 / count as f64));
        }
        left -= long;
        if left <= 0.0 {
            break;
        }
    }
    out.reverse();
    out
}

/// The stretch of a line next to its end that can be told in another flat.
fn told(over: &Over<'_>, line: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = line.iter().rev().map_while(|p| over.point(*p)).collect();
    out.reverse();
    out
}

/// The crossing of two lines nearest to a place.
fn met(a: &[Point], b: &[Point], near: Point) -> Option<Point> {
    let edges = |line: &[Point]| line.windows(2).map(|w| Edge::Line { a: w[0], b: w[1] }).collect::<Vec<_>>();
    let (a, b) = (edges(a), edges(b));
    let all = a.iter().flat_map(|e| b.iter().flat_map(|f| crossings(e, f)));
    all.min_by(|p, q| p.distance(near).total_cmp(&q.distance(near)))
}

/// The cuts of all ends that meet another stripe, stripe by stripe, and what there is to say of them.
pub(super) fn cuts(job: &Job, laid: &[Laid], skins: &[Skin]) -> (Vec<Cuts>, Vec<Vec<Finding>>) {
    let mut all =
        Meetings { job, skins, laid, cuts: vec![[None, None]; laid.len()], said: vec![vec![]; laid.len()] };
    let tips = |kind: StripeEnd| {
        let ends = laid.iter().enumerate().flat_map(|(k, l)| [(k, l, 0), (k, l, 1)]);
        let own = ends.filter(|(_, l, end)| l.shape.ends[*end] == kind);
        own.map(|(k, l, end)| Tip::new(l, k, end)).collect::<Vec<_>>()
    };
    all.mitres(&tips(StripeEnd::Mitre));
    for tip in tips(StripeEnd::Butt) {
        all.butt(&tip);
    }
    (all.cuts, all.said)
}

struct Meetings<'a> {
    job: &'a Job,
    skins: &'a [Skin],
    laid: &'a [Laid],
    cuts: Vec<Cuts>,
    said: Vec<Vec<Finding>>,
}

/// Two ends that may be mitred with each other, by their numbers.
struct Pair {
    a: usize,
    b: usize,
    other_paint: bool,
    apart: f64,
}

impl Meetings<'_> {
    /// Pairs off mitred ends: of one paint first, the nearest first.
    fn mitres(&mut self, tips: &[Tip<'_>]) {
        let mut pairs: Vec<Pair> = Vec::new();
        for (a, one) in tips.iter().enumerate() {
            for (b, other) in tips.iter().enumerate().skip(a + 1) {
                let apart = one.laid.surface == other.laid.surface && one.stripe != other.stripe;
                let Some((at, way)) = apart.then(|| seen(one, other)).flatten() else { continue };
                let apart = one.at().distance(at);
                if apart <= REACH * one.width.max(other.width) && turn(one.way(), -way).abs() < BESIDE {
                    let other_paint = !one_go(self.job, &one.laid.painted, &other.laid.painted);
                    pairs.push(Pair { a, b, other_paint, apart });
                }
            }
        }
        pairs.sort_by(|p, q| p.other_paint.cmp(&q.other_paint).then(p.apart.total_cmp(&q.apart)));
        let mut taken = vec![false; tips.len()];
        for pair in pairs {
            if !taken[pair.a] && !taken[pair.b] {
                (taken[pair.a], taken[pair.b]) = (true, true);
                self.mitre(&tips[pair.a], &tips[pair.b]);
            }
        }
        for (tip, _) in tips.iter().zip(&taken).filter(|(_, taken)| !**taken) {
            let near = tips.iter().zip(&taken).filter_map(|(other, taken)| {
                let apart = other.laid.surface == tip.laid.surface && other.stripe != tip.stripe;
                let (at, way) = apart.then(|| seen(tip, other)).flatten()?;
                let far = tip.at().distance(at);
                (far <= REACH * tip.width.max(other.width)).then_some((far, other, way, *taken))
            });
            let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0));
            let (why, hint) = match nearest {
                Some((far, other, way, _)) if turn(tip.way(), -way).abs() >= BESIDE => (
                    format!(
                        "the {} of {}, {} off, lies beside it and runs back the way it came: their edges cross nowhere",
                        end_word(other),
                        other.laid.id,
                        length(far)
                    ),
                    "let the two run to each other at an angle, or join them by a stripe across, mitred at both ends",
                ),
                Some((far, other, _, true)) => (
                    format!(
                        "the {} of {}, {} off, is cut to a nearer end",
                        end_word(other),
                        other.laid.id,
                        length(far)
                    ),
                    "two ends to a mitre: give the third `butt`, so that it ends on the edge of one of them",
                ),
                _ => (
                    format!("no other mitred end lies within {} of it", length(REACH * tip.width)),
                    "give the stripe it meets a mitred end there too, or move one to the other",
                ),
            };
            self.left_square(tip, &why, hint);
        }
    }

    /// Where two ends are cut to one line.
    fn mitre(&mut self, one: &Tip<'_>, other: &Tip<'_>) {
        match mitred(one, other) {
            Some(joint) => {
                self.cuts[one.stripe][one.end] = Some(joint.cuts[0].clone());
                self.cuts[other.stripe][other.end] = Some(joint.cuts[1].clone());
                let turns = format!(
                    "its {} and that of {} are cut on one line {}, where it turns by {:.1} degrees",
                    end_word(one),
                    other.laid.id,
                    place_words(one.laid, self.skins, joint.at),
                    joint.turn.abs().to_degrees()
                );
                let finding = if joint.turn.abs() > TURN_MOST {
                    Finding::new(
                        Severity::Caution,
                        "stripe-blunt",
                        &one.laid.id,
                        format!(
                            "{turns}: beyond {:.0} degrees a mitre runs out in a spike, so its tip is cut blunt {} past the \
                             crossing of the two middles",
                            TURN_MOST.to_degrees(),
                            length(one.width.max(other.width))
                        ),
                    )
                    .hint("let the two meet at a wider angle for a true mitre")
                } else {
                    Finding::new(Severity::Note, "stripe-mitre", &one.laid.id, turns)
                        .hint("strike the line from corner to corner: where both edges of the one cross those of the other")
                };
                self.said[one.stripe].push(finding);
            }
            None => {
                let why = format!(
                    "its edges and those of {} do not cross within {}{}",
                    other.laid.id,
                    length(REACH * one.width.max(other.width)),
                    or_beyond_rim(one)
                );
                for tip in [one, other] {
                    self.left_square(
                        tip,
                        &why,
                        "let the two lines turn more where they meet, or draw them as one stripe",
                    );
                }
            }
        }
    }

    /// Where an end butts onto another stripe: the nearest in its way, of its own paint before others.
    fn butt(&mut self, tip: &Tip<'_>) {
        let others =
            self.laid.iter().enumerate().filter(|(k, o)| *k != tip.stripe && o.surface == tip.laid.surface);
        let best = others
            .filter_map(|(_, o)| {
                let (cut, at, far) = butted(tip, o)?;
                Some((!one_go(self.job, &tip.laid.painted, &o.painted), far, cut, at, &o.id))
            })
            .min_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
        match best {
            Some((_, _, cut, at, id)) => {
                self.cuts[tip.stripe][tip.end] = Some(cut);
                self.said[tip.stripe].push(
                    Finding::new(
                        Severity::Note,
                        "stripe-butt",
                        &tip.laid.id,
                        format!(
                            "its {} runs up to the edge of {id} {}: both its edges meet it there",
                            end_word(tip),
                            place_words(tip.laid, self.skins, at)
                        ),
                    )
                    .hint("lay the edge tape of the stripe it meets first, and cut this one's against it"),
                );
            }
            None => {
                let why = format!(
                    "both its edges meet no other stripe within {}{}",
                    length(REACH * tip.width),
                    or_beyond_rim(tip)
                );
                self.left_square(
                    tip,
                    &why,
                    "run it nearer to the stripe it is to meet, or give it another end",
                );
            }
        }
    }

    fn left_square(&mut self, tip: &Tip<'_>, why: &str, hint: &str) {
        let asked = if tip.laid.shape.ends[tip.end] == StripeEnd::Mitre { "mitred" } else { "to butt" };
        self.said[tip.stripe].push(
            Finding::new(
                Severity::Fail,
                "stripe-end",
                &tip.laid.id,
                format!("its {} is asked {asked}, but {why}: it is left square", end_word(tip)),
            )
            .hint(hint),
        );
    }
}

/// What else may be why two do not meet, of those on a scan.
fn or_beyond_rim(tip: &Tip<'_>) -> &'static str {
    let strip = tip.laid.painted.charts.as_ref().and_then(|c| c.sheet.strip());
    if strip.is_some_and(|s| s.scan().is_some()) { ", or only beyond the rim of the scan" } else { "" }
}

fn end_word(tip: &Tip<'_>) -> &'static str {
    if tip.end == 0 { "start" } else { "end" }
}

/// Where the other end lies, and which way it goes out, in the flat of the first; `None` if that cannot be told there.
fn seen(one: &Tip<'_>, other: &Tip<'_>) -> Option<(Point, Vec2)> {
    let over = Over::into(&one.laid.painted, &other.laid.painted)?;
    let line = told(&over, &last_of(&other.middle, STEP));
    (line.len() > 1).then(|| (line[line.len() - 1], way_out(&line)))
}

fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// A mitre.
struct Mitre {
    /// Of the one and of the other, each in its own flat.
    cuts: [Cut; 2],
    /// Where the middles cross, in the flat of the one.
    at: Point,
    /// Turn from the one to the other, radians.
    turn: f64,
}

fn mitred(one: &Tip<'_>, other: &Tip<'_>) -> Option<Mitre> {
    let over = Over::into(&one.laid.painted, &other.laid.painted)?;
    let back = Over::into(&other.laid.painted, &one.laid.painted)?;
    let wide = one.width.max(other.width);
    let reach = REACH * wide;
    let own = |line: &[Point]| run_on(line, reach);
    // As far back as an inner corner may lie: at a turn of 170 degrees six widths.
    let theirs = |line: &[Point]| {
        let part = last_of(line, 2.0 * reach);
        // The run-on in its own flat, so that it is straight there.
        let mut on = last_of(&[part[part.len() - 1], run_on(line, reach)[line.len()]], reach);
        let near = told(&over, &part);
        on.remove(0);
        near.into_iter().chain(on.iter().map_while(|p| over.point(*p))).collect::<Vec<_>>()
    };
    let (at, way) = seen(one, other)?;
    let turn = turn(one.way(), -way);
    let middle = one.at().midpoint(at);
    let [left, right] = [own(&one.sides[0]), own(&one.sides[1])];
    // Coming back from the other's end its sides change hands.
    let [their_right, their_left] = [theirs(&other.sides[0]), theirs(&other.sides[1])];
    let in_theirs = |p: Point| back.point(p);
    let cuts = |sides: [Point; 2], of_other: [Point; 2], between: &[Point]| {
        let own = one.cut(sides[0], sides[1], between.to_vec());
        let there: Option<Vec<Point>> = between.iter().rev().map(|p| in_theirs(*p)).collect();
        // Going out of the other its left is what is right going in.
        let other = other.cut(in_theirs(of_other[1])?, in_theirs(of_other[0])?, there?);
        Some([own, other])
    };
    if turn.abs() <= BEND {
        let across = left_of(one.way()) * reach;
        let line = [middle - across, middle + across];
        let on = |side: &[Point]| met(side, &line, middle);
        let cuts = cuts([on(&left)?, on(&right)?], [on(&their_left)?, on(&their_right)?], &[])?;
        return Some(Mitre { cuts, at: middle, turn });
    }
    let at = met(&own(&one.middle), &theirs(&other.middle), middle).unwrap_or(middle);
    if turn.abs() <= TURN_MOST {
        let corners = [met(&left, &their_left, at)?, met(&right, &their_right, at)?];
        return Some(Mitre { cuts: cuts(corners, corners, &[])?, at, turn });
    }
    // The inner corner is true, the outer one is cut square to the line from there.
    let inner_left = turn > 0.0;
    let inner = if inner_left { met(&left, &their_left, at)? } else { met(&right, &their_right, at)? };
    let out = (at - inner).normalize();
    let tip = at + out * wide;
    let square = |side: &[Point]| {
        let n = side.len();
        crossing(side[n - 2], way_out(side), tip, left_of(out))
    };
    let (own_outer, their_outer) = if inner_left {
        (square(&right)?, square(&their_right)?)
    } else {
        (square(&left)?, square(&their_left)?)
    };
    let cuts = if inner_left {
        cuts([inner, own_outer], [inner, their_outer], &[tip])?
    } else {
        cuts([own_outer, inner], [their_outer, inner], &[tip])?
    };
    Some(Mitre { cuts, at, turn })
}

/// The cut of an end along the edge of another stripe that its middle meets first, where, and how far from its end as laid;
/// `None` if its edges do not both meet that edge within reach.
fn butted(tip: &Tip<'_>, other: &Laid) -> Option<(Cut, Point, f64)> {
    let over = Over::into(&tip.laid.painted, &other.painted)?;
    let reach = REACH * tip.width;
    let near = |line: &[Point]| run_on(&last_of(line, reach), reach);
    let middle = near(&tip.middle);
    let edges: Vec<Vec<Point>> =
        other.flanks.iter().flat_map(|f| pieces(&over, f, tip.laid.painted.charts.is_some())).collect();
    let along = |p: Point| {
        let mut sum = 0.0;
        for w in middle.windows(2) {
            if nearest_on_segment(p, w[0], w[1]).distance(p) <= geom::tolerance::KEPT_MM {
                return sum + w[0].distance(p);
            }
            sum += w[0].distance(w[1]);
        }
        sum
    };
    let first = edges
        .iter()
        .filter_map(|edge| {
            let all = edge.windows(2).flat_map(|f| {
                let f = Edge::Line { a: f[0], b: f[1] };
                middle
                    .windows(2)
                    .flat_map(|e| crossings(&Edge::Line { a: e[0], b: e[1] }, &f))
                    .collect::<Vec<_>>()
            });
            let at = all.min_by(|p, q| along(*p).total_cmp(&along(*q)))?;
            Some((edge, at))
        })
        .min_by(|p, q| along(p.1).total_cmp(&along(q.1)));
    let (edge, at) = first?;
    let [left, right] = [met(&near(&tip.sides[0]), edge, at)?, met(&near(&tip.sides[1]), edge, at)?];
    let place = |p: Point| {
        let off = |w: &[Point]| nearest_on_segment(p, w[0], w[1]).distance(p);
        let k = (0..edge.len() - 1).min_by(|i, j| off(&edge[*i..i + 2]).total_cmp(&off(&edge[*j..j + 2])));
        k.map_or((0, 0.0), |k| (k, edge[k].distance(p)))
    };
    let (from, to) = (place(right), place(left));
    let between: Vec<Point> = if from <= to {
        edge[from.0 + 1..=to.0].to_vec()
    } else {
        edge[to.0 + 1..=from.0].iter().rev().copied().collect()
    };
    Some((tip.cut(left, right, between), at, tip.at().distance(at)))
}

/// The pieces of a line that can be told in another flat.
fn pieces(over: &Over<'_>, line: &[Point], curved: bool) -> Vec<Vec<Point>> {
    let fine = if curved { last_of(line, f64::INFINITY) } else { line.to_vec() };
    let mut out: Vec<Vec<Point>> = vec![vec![]];
    for p in fine {
        match (over.point(p), out.last_mut()) {
            (Some(p), Some(last)) => last.push(p),
            _ => out.push(vec![]),
        }
    }
    out.retain(|piece| piece.len() > 1);
    out
}
