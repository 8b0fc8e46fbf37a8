//! Layout tape: a letter's exact shape filled from the widths on the shelf, in as few strips as can be found.
//!
//! The rule. A strip is straight, and one side of it, as it comes off the roll, lies on a straight paint edge, on the
//! tangent of a curved one, or along a strip that lies already. It runs from paint edge to paint edge and never
//! leaves the letter: whatever stands over is cut off on the board, from the pattern. Where the stroke is narrower
//! than the tape it is cut down to the stroke. It is a strip, not a stencil: a shape with a deep notch or a hole is
//! not cut from one piece, however wide the tape. The strip that fills most of what is still open comes first; what
//! would run on over strips that lie already stops a lap past their edge. So straight strokes fill lengthwise, bends
//! by short straight strips, and inside the letter strips butt or lap as they come: only the paint edge counts.
//!
//! Fewest is proved for no letter; it is met for those whose strokes are as wide as a tape, and a ring takes about as
//! many as strips laid across its stroke would be (tests). The strips are the first pieces laid and the first taken
//! out, when the edge tape lies; they carry no tabs.

use super::band::{Band, Cut, hull_area, parts};
use super::edge::LAP;
use super::order::bounds;
use super::outline::thin;
use super::overlap::{apart, around, within};
use super::plan::{End, EndKind, Kind, Piece};
use crate::job::types::Tape;
use geom::beside::{near_box, near_turned};
use geom::boolean::{difference, intersection};
use geom::point::left_of;
use geom::tolerance::{FLATTEN_MM, KEPT_MM, SQUARE_CUT, TAPE_KEPT_MM, TAPE_PATH_MM};
use geom::winding::contains;
use geom::{Point, Ring, Vec2};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::f64::consts::FRAC_PI_2;

/// Least share a strip fills of the shape a thread drawn tight round it has: a bend of 60 degrees about an inside
/// radius of two strokes still is a strip, an L or a ring is not. chosen.
const STRIP: f64 = 0.85;
/// From this share on it has no notch, and what a strip with one fills counts for less, so that straight strokes are
/// filled one by one and only bends by strips cut round. chosen.
const WHOLE: (f64, f64) = (0.98, 0.8);
/// Most lines along which strips are tried at first, and the spacing of tangents tried on curves, as a share of the
/// outline.
const LINES: usize = 24;
/// Most new lines along what is open later on.
const LATER: usize = 10;
const TANGENTS: f64 = 1.0 / 32.0;
/// Shares of the narrowest tape that are tried on curves: cut down along its length.
const CUT_DOWN: [f64; 4] = [0.75, 0.5, 0.33, 0.2];
/// Share by which two strips may differ in what they fill and still be as good as each other; then the narrower tape
/// goes first, then the strip nearer to the start of the mark. chosen: far above rounding, so that a mark laid
/// elsewhere is filled alike.
const ALIKE: f64 = 0.002;
/// Most strips of one character. A letter takes a dozen; what is left then is said by the check of cover.
const MOST: usize = 200;
/// Corners from which an outline has curves.
const MANY: usize = 30;
/// Area, mm2, up to which what is open is rounding.
const NOTHING: f64 = 0.005;

/// From end to end, mm: longer than any mark.
const EVERYWHERE: [f64; 2] = [-1e9, 1e9];

/// What of a letter is still open.
struct Open {
    rings: Vec<Ring>,
    /// The box round each.
    boxes: Vec<Option<(Point, Point)>>,
}

impl Open {
    fn new(rings: Vec<Ring>) -> Open {
        let boxes = rings.iter().map(Ring::bounds).collect();
        Open { rings, boxes }
    }

    /// How much of it lies in a band between two places along that, mm2.
    fn area_in(&self, band: &Band, between: [f64; 2]) -> f64 {
        let near = self.rings.iter().zip(&self.boxes).filter(|(_, b)| b.is_some_and(|b| band.meets(b)));
        band.area_of(near.map(|(ring, _)| ring), between)
    }
}

/// A strip that may be laid.
struct Candidate {
    band: Band,
    tape: Tape,
    /// Its shape, once cut from the letter.
    shape: Option<Cut>,
    /// Worth of what it fills, as a share of that; `None` until its shape has been judged.
    worth: Option<f64>,
    /// What the open area it fills is worth, mm2, as of the round it was asked in; before it is cut, at most.
    fills: f64,
    /// That round; `None` where it was not asked, and fills no more than so much.
    asked: Option<usize>,
}

/// The strips that may be laid, best first.
#[derive(Default)]
struct Waiting {
    all: Vec<Candidate>,
    line: BinaryHeap<Turn>,
}

/// A candidate's place in the line: the most it may fill, and which it is.
struct Turn(f64, usize);

impl Ord for Turn {
    fn cmp(&self, other: &Turn) -> Ordering {
        self.0.total_cmp(&other.0).then(other.1.cmp(&self.1))
    }
}

impl PartialOrd for Turn {
    fn partial_cmp(&self, other: &Turn) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Turn {
    fn eq(&self, other: &Turn) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Turn {}

impl Waiting {
    fn add(&mut self, candidate: Candidate) {
        self.line.push(Turn(candidate.fills, self.all.len()));
        self.all.push(candidate);
    }
}

/// The strips of one character, in the order of laying. `letter`: its outlines without arcs, outer ones
/// counter-clockwise; `along`: the way the mark reads.
pub(super) fn layout_strips(letter: &[Ring], along: Vec2, shelf: &[Tape]) -> Vec<Piece> {
    let mut shelf: Vec<Tape> = shelf.iter().filter(|t| t.real > KEPT_MM).copied().collect();
    shelf.sort_by(|a, b| a.real.total_cmp(&b.real));
    let Some(widest) = shelf.last().copied() else { return Vec::new() };
    let exact = letter;
    let letter = &letter.iter().map(thinned).collect::<Vec<_>>()[..];
    let mut open = Open::new(letter.to_vec());
    let mut waiting = Waiting::default();
    let mut tried: Vec<(Point, Vec2)> = Vec::new();
    let mut laid: Vec<Laid> = Vec::new();
    let mut round = 0;
    add_lines(&open, letter, &shelf, &mut tried, &mut waiting);
    while laid.len() < MOST && area(&open.rings) > NOTHING {
        let chosen =
            best(letter, &open, &mut waiting, round, along).or_else(|| whatever(letter, &open, widest));
        let Some(chosen) = chosen else { break };
        let Some(cut) = chosen.shape else { break };
        let strip = shortened(&open.rings, &chosen.band, chosen.tape, cut);
        let before = area(&open.rings);
        let left = if laid.is_empty() {
            difference(&open.rings, &strip.shape.rings)
        } else {
            uncovered(open.rings, &strip.shape.rings)
        };
        if before - area(&left) <= NOTHING / 10.0 {
            break;
        }
        open = Open::new(without_crumbs(left));
        laid.push(strip);
        round += 1;
        add_lines(&open, letter, &shelf, &mut tried, &mut waiting);
    }
    spare(&mut laid);
    if exact.iter().any(|r| r.vertices.len() >= MANY) {
        for strip in &mut laid {
            strip.shape.rings = on_paint(&strip.shape.rings, strip.band.way, exact);
        }
    }
    laid.into_iter().map(Laid::piece).collect()
}

/// What of a strip lies on paint, by the outline the edge tape is laid along: not a hair of it lies beneath that.
fn on_paint(strip: &[Ring], way: Vec2, letter: &[Ring]) -> Vec<Ring> {
    let frame = |p: Point| Point::new(way.dot(p.to_vec2()), way.cross(p.to_vec2()));
    let (lo, hi) = around(strip.iter().flat_map(|r| r.vertices.iter().map(|v| frame(v.p))));
    let (lo, hi) = (Point::new(lo.x - 1.0, lo.y - 1.0), Point::new(hi.x + 1.0, hi.y + 1.0));
    let near: Vec<Ring> = letter.iter().filter_map(|r| near_turned(r, way, lo, hi)).collect();
    without_crumbs(intersection(strip, &near))
}

/// What of `open` is left when a strip lies. Parts it does not reach stay as they are.
fn uncovered(open: Vec<Ring>, strip: &[Ring]) -> Vec<Ring> {
    let Some(box_) = bounds(strip) else { return open };
    let beside = |part: &Vec<Ring>| bounds(part).is_none_or(|b| apart(b, box_));
    let (far, near): (Vec<Vec<Ring>>, Vec<Vec<Ring>>) = parts(open).into_iter().partition(beside);
    let mut left = parts(difference(&near.concat(), strip));
    left.extend(far);
    // As if all had been cut: from left to right.
    left.sort_by(|a, b| {
        let first = |part: &[Ring]| part[0].vertices[0].p;
        first(a).x.total_cmp(&first(b).x).then(first(a).y.total_cmp(&first(b).y))
    });
    left.concat()
}

/// Fewer chords round a curve: the hair that a tape is taken for wider covers what they cut off.
fn thinned(ring: &Ring) -> Ring {
    let points: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    if points.len() < MANY { ring.clone() } else { Ring::from_points(thin(&points, FLATTEN_MM)) }
}

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

/// Slivers thinner than the paths tape is planned on are rounding.
fn without_crumbs(rings: Vec<Ring>) -> Vec<Ring> {
    let thick = |r: &Ring| 2.0 * r.area().abs() / r.perimeter().max(KEPT_MM);
    rings.into_iter().filter(|r| r.area() < 0.0 || thick(r) > TAPE_PATH_MM).collect()
}

/// Puts strips along the edges of `open` on the waiting list, each line once.
fn add_lines(
    open: &Open,
    letter: &[Ring],
    shelf: &[Tape],
    tried: &mut Vec<(Point, Vec2)>,
    waiting: &mut Waiting,
) {
    let mut lines: Vec<(f64, Point, Vec2)> = Vec::new();
    for ring in &open.rings {
        let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
        let n = p.len();
        let every = ring.perimeter() * TANGENTS;
        let mut since = 0.0;
        for i in 0..n {
            let (a, b) = (p[i], p[(i + 1) % n]);
            let long = a.distance(b);
            since += long;
            if long <= 10.0 * KEPT_MM || (long < every && since < every) {
                continue;
            }
            since = 0.0;
            // Paint lies left of the edge, so right of the way back along it.
            lines.push((long, b, (a - b) / long));
        }
    }
    lines.sort_by(|a, b| b.0.total_cmp(&a.0));
    let edges = Band::facing(letter);
    // No strip of a letter is longer.
    let longest = bounds(letter).map_or(0.0, |(lo, hi)| lo.distance(hi));
    let (narrowest, widest) = (shelf[0], shelf[shelf.len() - 1]);
    let most = if tried.is_empty() { LINES } else { LATER };
    let mut new = 0;
    for (_, from, way) in lines {
        if new == most {
            break;
        }
        let same = |(p, w): &(Point, Vec2)| {
            w.dot(way) > 0.0 && w.cross(way).abs() < 0.002 && w.cross(from - *p).abs() < TAPE_KEPT_MM
        };
        if tried.iter().any(same) {
            continue;
        }
        tried.push((from, way));
        new += 1;
        let mut widths: Vec<f64> = shelf.iter().map(|t| t.real).collect();
        widths.extend(edges.behind(from, way, widest.real));
        widths.extend(CUT_DOWN.map(|share| share * narrowest.real));
        widths.sort_by(f64::total_cmp);
        widths.dedup_by(|a, b| (*a - *b).abs() <= TAPE_KEPT_MM);
        let all = Band { from, way, width: widths.last().copied().unwrap_or(0.0) };
        let all = open.area_in(&all, EVERYWHERE);
        if all <= NOTHING {
            continue;
        }
        for width in widths {
            let Some(tape) = shelf.iter().find(|t| t.real + TAPE_KEPT_MM >= width) else { continue };
            let band = Band { from, way, width };
            // No more than what the widest takes; what it takes itself is asked when its turn comes.
            let fills = all.min(longest * (width + TAPE_KEPT_MM));
            waiting.add(Candidate { band, tape: *tape, shape: None, worth: None, fills, asked: None });
        }
    }
}

/// How much of what is open a part of a band fills, mm2.
fn filled(band: &Band, cut: &Cut, open: &Open) -> f64 {
    if cut.alone { open.area_in(band, cut.along) } else { area(&intersection(&cut.rings, &open.rings)) }
}

/// Takes the best strip off the waiting list.
fn best(letter: &[Ring], open: &Open, waiting: &mut Waiting, round: usize, along: Vec2) -> Option<Candidate> {
    // What a strip fills only shrinks as others are laid, so an old figure is a bound: ask the highest again until
    // the highest is fresh.
    let mut found: Vec<usize> = Vec::new();
    let mut most = 0.0;
    while let Some(Turn(fills, k)) = waiting.line.pop() {
        if fills <= NOTHING.max(most * (1.0 - ALIKE)) {
            waiting.line.push(Turn(fills, k));
            break;
        }
        let candidate = &mut waiting.all[k];
        let worth = candidate.worth.unwrap_or(1.0);
        if candidate.asked != Some(round) {
            candidate.asked = Some(round);
            candidate.fills = match &candidate.shape {
                None => open.area_in(&candidate.band, EVERYWHERE),
                Some(cut) => worth * filled(&candidate.band, cut, open),
            };
        } else if let Some(cut) = &candidate.shape {
            if candidate.worth.is_some() {
                most = candidate.fills.max(most);
                found.push(k);
                continue;
            }
            let full = area(&cut.rings) / hull_area(&cut.rings).max(NOTHING);
            if full < STRIP {
                continue;
            }
            let worth = if full < WHOLE.0 { WHOLE.1 } else { 1.0 };
            candidate.worth = Some(worth);
            candidate.fills *= worth;
        } else {
            let (band, tape) = (candidate.band, candidate.tape);
            for cut in band.cut(letter) {
                let fills = filled(&band, &cut, open);
                waiting.add(Candidate {
                    band,
                    tape,
                    shape: Some(cut),
                    worth: None,
                    fills,
                    asked: Some(round),
                });
            }
            continue;
        }
        waiting.line.push(Turn(candidate.fills, k));
    }
    let near = |c: &Candidate| {
        c.shape.as_ref().map_or(0.0, |s| {
            let p = s.middle.to_vec2();
            // A slant, so that strips level with or over each other have an order too.
            // To the hair, or rounding would choose.
            ((p.dot(along) + 0.37 * p.cross(along)) / TAPE_KEPT_MM).round()
        })
    };
    let first = found.iter().copied().min_by(|a, b| {
        let (a, b) = (&waiting.all[*a], &waiting.all[*b]);
        // Of two that are the same strip, the one off the roll as it comes, laid the way the mark reads.
        let reads = |c: &Candidate| c.band.way.dot(along) < -KEPT_MM;
        (a.tape.real.total_cmp(&b.tape.real).then(near(a).total_cmp(&near(b))))
            .then(b.band.width.total_cmp(&a.band.width))
            .then(reads(a).cmp(&reads(b)))
    })?;
    for k in found.into_iter().filter(|k| *k != first) {
        waiting.line.push(Turn(waiting.all[k].fills, k));
    }
    let chosen = &mut waiting.all[first];
    Some(Candidate { shape: chosen.shape.take(), ..*chosen })
}

/// Where no strip does: whatever the widest tape takes of the largest open part along its longest edge.
fn whatever(letter: &[Ring], open: &Open, tape: Tape) -> Option<Candidate> {
    let ring = open.rings.iter().max_by(|a, b| a.area().total_cmp(&b.area()))?;
    let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let edge = |i: usize| (p[i], p[(i + 1) % p.len()]);
    let long = |i: &usize| edge(*i).0.distance(edge(*i).1);
    let longest = (0..p.len()).max_by(|a, b| long(a).total_cmp(&long(b)))?;
    let (a, b) = edge(longest);
    let band = Band { from: b, way: (a - b) / a.distance(b).max(KEPT_MM), width: tape.real };
    let fills = |c: &Cut| filled(&band, c, open);
    let cut = band.cut(letter).into_iter().max_by(|a, b| fills(a).total_cmp(&fills(b)))?;
    Some(Candidate { fills: fills(&cut), band, tape, shape: Some(cut), worth: None, asked: None })
}

/// A strip as it will be laid.
struct Laid {
    band: Band,
    tape: Tape,
    shape: Cut,
    /// True where it stops a lap past what was open.
    laps: [bool; 2],
    /// Points in what was open when it was chosen.
    reason: Vec<Point>,
}

/// Cut to the length that is still needed.
fn shortened(open: &[Ring], band: &Band, tape: Tape, cut: Cut) -> Laid {
    let within = |c: &Cut| cut.along[0] - 1.0 <= c.along[0] && c.along[1] <= cut.along[1] + 1.0;
    let needed: Vec<Ring> = if cut.alone {
        band.cut(open).into_iter().filter(within).flat_map(|c| c.rings).collect()
    } else {
        intersection(&cut.rings, open)
    };
    let ([from, to], _) = band.reach(&needed);
    let ([first, last], _) = band.reach(&cut.rings);
    let laps = [from - first > 2.0 * LAP, last - to > 2.0 * LAP];
    let mut shape = cut;
    if laps[0] || laps[1] {
        let from = if laps[0] { from - LAP } else { first - 1.0 };
        let to = if laps[1] { to + LAP } else { last + 1.0 };
        let filled = |c: &Cut| area(&intersection(&c.rings, open));
        let short = band.cut_between(&shape.rings, from, to);
        if let Some(part) = short.into_iter().max_by(|a, b| filled(a).total_cmp(&filled(b))) {
            shape = part;
        }
    }
    Laid { band: *band, tape, shape, laps, reason: inside_of(&needed) }
}

/// A point within each part of some outlines: off the middle of its longest side.
fn inside_of(rings: &[Ring]) -> Vec<Point> {
    rings
        .iter()
        .filter(|r| r.area() > NOTHING)
        .filter_map(|r| {
            let side = |i: &usize| (r.vertices[*i].p, r.vertices[(*i + 1) % r.vertices.len()].p);
            let long = |i: &usize| side(i).0.distance(side(i).1);
            let longest = (0..r.vertices.len()).max_by(|a, b| long(a).total_cmp(&long(b)))?;
            let (a, b) = side(&longest);
            let off = (r.area() / r.perimeter() / 4.0).min(1.0);
            Some(a.midpoint(b) + left_of((b - a).normalize()) * off)
        })
        .collect()
}

/// Points a little inside the edges of some outlines.
fn beside_edges(rings: &[Ring]) -> impl Iterator<Item = Point> + '_ {
    rings.iter().flat_map(Ring::edges).filter(|e| e.length() > KEPT_MM).map(|e| {
        let off = (e.length() / 4.0).min(1.0);
        e.at(0.5) + left_of(e.direction(0.5)) * off
    })
}

/// Leaves out strips that the others fill.
fn spare(laid: &mut Vec<Laid>) {
    let mut order: Vec<usize> = (0..laid.len()).collect();
    order.sort_by(|a, b| area(&laid[*a].shape.rings).total_cmp(&area(&laid[*b].shape.rings)));
    let boxes: Vec<Option<(Point, Point)>> = laid.iter().map(|l| bounds(&l.shape.rings)).collect();
    let mut gone = vec![false; laid.len()];
    for k in order {
        let others = || (0..laid.len()).filter(|i| *i != k && !gone[*i]);
        let still = |p: &Point| !others().any(|i| contains(&laid[i].shape.rings, *p));
        if laid[k].reason.iter().any(still) {
            continue;
        }
        let Some((lo, hi)) = boxes[k] else { continue };
        let (lo, hi) = (Point::new(lo.x - 1.0, lo.y - 1.0), Point::new(hi.x + 1.0, hi.y + 1.0));
        let beside = |i: &usize| {
            boxes[*i].is_some_and(|b| b.0.x <= hi.x && lo.x <= b.1.x && b.0.y <= hi.y && lo.y <= b.1.y)
        };
        let beside: Vec<usize> = others().filter(beside).collect();
        // Most that stay show it at some place along their edge.
        let bare = |p: &Point| {
            contains(&laid[k].shape.rings, *p)
                && !beside
                    .iter()
                    .any(|i| boxes[*i].is_some_and(|b| within(*p, b)) && contains(&laid[*i].shape.rings, *p))
        };
        if beside_edges(&laid[k].shape.rings).any(|p| bare(&p)) {
            continue;
        }
        let near = beside.iter().flat_map(|i| &laid[*i].shape.rings);
        let rings: Vec<Ring> = near.filter_map(|r| near_box(r, lo, hi)).collect();
        gone[k] = area(&difference(&laid[k].shape.rings, &rings)) <= NOTHING / 10.0;
    }
    let mut keep = gone.iter().map(|g| !g);
    laid.retain(|_| keep.next().unwrap_or(true));
}

impl Laid {
    fn piece(self) -> Piece {
        let ([from, to], [_, high]) = self.band.reach(&self.shape.rings);
        let width = self.band.width.min(high.max(KEPT_MM));
        let width = if (width - self.tape.real).abs() <= TAPE_KEPT_MM { self.tape.real } else { width };
        let cut = [0, 1].map(|k| if self.laps[k] { None } else { self.cut_angle(k, [from, to], width) });
        // Cut on the slant the side along the paint edge may be the shorter one: its path ends there, the tape runs on.
        let past = [0, 1].map(|k| match cut[k] {
            None if self.laps[k] => LAP.min((to - from) / 3.0),
            Some((_, past)) => past,
            None => 0.0,
        });
        let path = vec![self.band.at(from + past[0]), self.band.at(to - past[1])];
        let end = |k: usize| {
            if self.laps[k] {
                return End { kind: EndKind::Lap, cut: 0.0, past: past[k], exact: false };
            }
            End { kind: EndKind::PreCut, cut: cut[k].map_or(0.0, |c| c.0), past: past[k], exact: true }
        };
        let (start, finish) = (end(0), end(1));
        Piece {
            width,
            label: self.tape.width,
            trimmed: width + TAPE_KEPT_MM < self.tape.real,
            start,
            finish,
            footprint: self.shape.rings,
            ..Piece::blank(Kind::Layout, 0, 0, path)
        }
    }

    /// Angle between one cut across the whole width and the paint line, and how far the tape reaches past the end of that
    /// line, mm; `None` if the end follows several edges.
    fn cut_angle(&self, end: usize, [from, to]: [f64; 2], width: f64) -> Option<(f64, f64)> {
        let sign = if end == 0 { -1.0 } else { 1.0 };
        let tip = if end == 0 { -from } else { to };
        let all: Vec<(f64, f64)> = self
            .shape
            .rings
            .iter()
            .flat_map(|r| r.vertices.iter().map(|v| self.band.local(v.p)))
            .map(|(u, v)| (sign * u, v))
            .collect();
        let farthest = |side: &dyn Fn(f64) -> bool| {
            all.iter().filter(|(_, v)| side(*v)).map(|p| p.0).fold(f64::NEG_INFINITY, f64::max)
        };
        let near = farthest(&|v| v <= TAPE_KEPT_MM);
        let far = farthest(&|v| v >= width - TAPE_KEPT_MM);
        if !near.is_finite() || !far.is_finite() || near.max(far) + TAPE_KEPT_MM < tip {
            return None;
        }
        // Nothing of the strip may lie beyond the straight cut, and none of its corners short of it.
        let line = |v: f64| near + (far - near) * v / width;
        let back = (near - far).abs() + width;
        let off = |(u, v): &(f64, f64)| *u > line(*v) + TAPE_KEPT_MM;
        let dented = |(u, v): &(f64, f64)| {
            *v > TAPE_KEPT_MM && *v < width - TAPE_KEPT_MM && *u > tip - back && *u < line(*v) - TAPE_KEPT_MM
        };
        if all.iter().any(|p| off(p) || dented(p)) {
            return None;
        }
        let angle = width.atan2(near - far);
        if (angle - FRAC_PI_2).abs() < SQUARE_CUT {
            return Some((FRAC_PI_2, 0.0));
        }
        // Never past the other end, should both slants leave next to nothing of the line.
        Some((angle, (tip - near).clamp(0.0, (to - from) / 3.0)))
    }
}

#[cfg(test)]
#[path = "layout_tape_tests.rs"]
mod tests;
