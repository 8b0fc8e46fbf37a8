//! The edges of a stripe: half its width to either side of its middle, and the shape of its two ends.
//!
//! Square to the middle everywhere, cut into chords within [`RISE`]. A point tapers straight from its full width; a round
//! end is a true half circle; a swallowtail is notched straight to its middle. Where an end meets another stripe it is cut as
//! `meeting` says. Arcs stay arcs.

use super::meeting::{Cut, Cuts};
use super::way::{Chords, Way};
use crate::job::StripeEnd;
use geom::boolean::union;
use geom::distance::{crossings, nearest_on_segment};
use geom::tolerance::{FAIR_MM, GRID_MM, NOISE_MM};
use geom::{Edge, Point, Ring, Vertex};

/// Largest distance, mm, between an edge and the chords in its place: a fifth of the 0.01 mm an offset may be off.
pub const RISE: f64 = 0.002;
/// Most halvings of the stretch between two stops.
const MOST_HALVINGS: u32 = 14;

/// What a stripe is shaped by.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Width, mm: one, or several evenly spaced along the way.
    pub widths: Vec<f64>,
    /// Its ends.
    pub ends: [StripeEnd; 2],
    /// How long a point or a swallowtail is, mm, at each end.
    pub long: [f64; 2],
}

/// A stripe drawn.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its middle, from start to end.
    pub middle: Vec<Point>,
    /// Its edges left and right of travel, from start to end, without what closes a round end or a swallowtail.
    pub edges: [Vec<Point>; 2],
    /// The same from the very start to the very end as if round ends were square.
    pub flanks: [Vec<Point>; 2],
    /// Both edges where what is long of its start and of its end (a point, a swallowtail) begins.
    pub long_at: [[Point; 2]; 2],
    /// Its outline, counter-clockwise; several rings only if it crosses itself.
    pub rings: Vec<Ring>,
    /// The tightest bend where the middle bends tighter than half the width: place along it, radius, half width, mm.
    pub tight: Option<[f64; 3]>,
    /// True if the outline crosses itself.
    pub crosses: bool,
}

impl Shape {
    /// The shape with its lengths of ends settled: `long` as asked, else a point as long as the stripe is wide there and
    /// a swallowtail half of it.
    pub fn new(widths: &[f64], ends: [StripeEnd; 2], long: Option<[f64; 2]>) -> Shape {
        let usual = |k: usize| {
            let width = if k == 0 { widths[0] } else { widths[widths.len() - 1] };
            match ends[k] {
                StripeEnd::Point => width,
                StripeEnd::Swallowtail => width / 2.0,
                StripeEnd::Square | StripeEnd::Round | StripeEnd::Mitre | StripeEnd::Butt => 0.0,
            }
        };
        let long = [0, 1].map(|k| match (ends[k], long) {
            (StripeEnd::Point | StripeEnd::Swallowtail, Some(asked)) if asked[k] > 0.0 => asked[k],
            _ => usual(k),
        });
        Shape { widths: widths.to_vec(), ends, long }
    }

    /// Full width at a share of the way: between two widths straight, through more of them smoothly and never beyond
    /// its neighbours (a cubic with the slopes of Fritsch and Carlson 1980, from memory).
    pub fn width(&self, share: f64) -> f64 {
        let w = &self.widths;
        let last = w.len() - 1;
        if last == 0 {
            return w[0];
        }
        let x = share.clamp(0.0, 1.0) * last as f64;
        let i = (x as usize).min(last - 1);
        let b = x - i as f64;
        let step = |k: usize| w[k + 1] - w[k];
        if last == 1 {
            return w[0] + step(0) * b;
        }
        let slope = |k: usize| {
            if k == 0 {
                return step(0);
            }
            if k == last {
                return step(last - 1);
            }
            let (d, e) = (step(k - 1), step(k));
            if d * e <= 0.0 { 0.0 } else { 2.0 * d * e / (d + e) }
        };
        let (m, n) = (slope(i), slope(i + 1));
        let (b2, b3) = (b * b, b * b * b);
        w[i] * (2.0 * b3 - 3.0 * b2 + 1.0)
            + m * (b3 - 2.0 * b2 + b)
            + w[i + 1] * (3.0 * b2 - 2.0 * b3)
            + n * (b3 - b2)
    }

    /// Half its width at a share of the way, its ends left out, mm.
    pub fn half_at(&self, share: f64) -> f64 {
        self.width(share) / 2.0
    }

    /// Its greatest width, mm.
    pub fn widest(&self) -> f64 {
        (0..=100).map(|k| self.width(f64::from(k) / 100.0)).fold(0.0, f64::max)
    }

    /// Lets a point begin at a corner of its line that lies next to where it would begin: beside a stripe that tapers
    /// both come from the same place, and two corners a hair apart cannot be taped.
    pub fn taper_from_corner(&mut self, line: &Chords) {
        let (whole, near) = (line.length(), self.widest() / 2.0);
        let corners = line.mitres();
        for k in (0..2).filter(|k| self.ends[*k] == StripeEnd::Point).collect::<Vec<_>>() {
            let long = |at: f64| if k == 0 { at } else { whole - at };
            let off = |long: &f64| (long - self.long[k]).abs();
            let best = corners.iter().map(|c| long(c.0)).min_by(|a, b| off(a).total_cmp(&off(b)));
            if let Some(best) = best.filter(|b| off(b) <= near) {
                self.long[k] = best;
            }
        }
    }

    /// Where on a way `whole` mm long its points begin and its widths change, mm along it.
    pub fn stops(&self, whole: f64) -> Vec<f64> {
        let parts = self.widths.len() - 1;
        let mut stops: Vec<f64> = (1..parts).map(|k| whole * k as f64 / parts as f64).collect();
        for (k, at) in [(0, self.long[0]), (1, whole - self.long[1])] {
            if self.ends[k] == StripeEnd::Point {
                stops.push(at);
            }
        }
        stops
    }

    /// Half the width at `s` of a way `whole` mm long, its points tapered.
    pub fn half(&self, s: f64, whole: f64) -> f64 {
        let taper = |k: usize, from: f64| {
            if self.ends[k] == StripeEnd::Point { (from / self.long[k]).clamp(0.0, 1.0) } else { 1.0 }
        };
        self.width(s / whole) / 2.0 * taper(0, s) * taper(1, whole - s)
    }
}

/// The stripe of a shape along its middle, its ends cut where they meet another stripe.
pub fn draw(way: &Way, shape: &Shape, cuts: &Cuts) -> Drawn {
    let whole = way.length();
    let half = |s: f64| shape.half(s, whole);
    // A round end's half circle stands where the way has its radius left.
    let round = |k: usize| {
        let mut r =
            if shape.ends[k] == StripeEnd::Round { half(if k == 0 { 0.0 } else { whole }) } else { 0.0 };
        for _ in 0..3 {
            r = if r > 0.0 { half(if k == 0 { r } else { whole - r }) } else { 0.0 };
        }
        r.min(whole / 2.0)
    };
    let (from, to) = (round(0), whole - round(1));
    let mut stops: Vec<f64> = way.stops().to_vec();
    stops.extend([from, to]);
    stops.extend(shape.stops(whole));
    stops.retain(|s| 0.0 < *s && *s < whole);
    stops.extend([0.0, whole]);
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|a, b| (*a - *b).abs() <= NOISE_MM);

    let sides = |s: f64| {
        let at = way.at(s);
        let h = half(s);
        [at.p + at.left * h, at.p - at.left * h]
    };
    let mut places = vec![0.0];
    for w in stops.windows(2) {
        halve(&sides, w[0], w[1], MOST_HALVINGS, &mut places);
    }
    let taken = |k: usize, from: f64, to: f64| {
        let own = places.iter().filter(|s| from - NOISE_MM <= **s && **s <= to + NOISE_MM);
        distinct(own.map(|s| sides(*s)[k]))
    };
    let cut_side = |k: usize, line: Vec<Point>| {
        let end = |line: Vec<Point>, e: usize| match &cuts[e] {
            Some(cut) => ending_at(&line, e, cut.sides[k]),
            None => line,
        };
        end(end(line, 0), 1)
    };
    let edges = [0, 1].map(|k| cut_side(k, taken(k, from, to)));
    let flanks = [0, 1].map(|k| cut_side(k, taken(k, 0.0, whole)));
    let middle = distinct(places.iter().map(|s| way.at(*s).p));
    let middle = (0..2).fold(middle, |line, e| match cuts[e].as_ref().and_then(|cut| cut.across(&line, e)) {
        Some(at) => ending_at(&line, e, at),
        None => line,
    });
    let tight = places
        .iter()
        .map(|s| (*s, way.at(*s).bend.abs(), half(*s)))
        .filter(|(_, bend, half)| bend * half >= 1.0)
        .max_by(|a, b| (a.1 * a.2).total_cmp(&(b.1 * b.2)))
        .map(|(s, bend, half)| [s, 1.0 / bend, half]);
    let ring = outline(way, shape, &edges, cuts);
    let whole_area: f64 = union(std::slice::from_ref(&ring), &[]).iter().map(Ring::area).sum();
    let crosses = (whole_area - ring.area()).abs() > GRID_MM * ring.perimeter();
    let rings = if crosses { union(&[ring], &[]) } else { vec![ring] };
    Drawn {
        middle,
        edges,
        flanks,
        long_at: [sides(shape.long[0]), sides(whole - shape.long[1])],
        rings,
        tight,
        crosses,
    }
}

/// A line that begins (`end` 0) or ends at a place on it or straight on past it.
fn ending_at(line: &[Point], end: usize, at: Point) -> Vec<Point> {
    let towards = |mut line: Vec<Point>| {
        if end == 0 {
            line.reverse();
        }
        line
    };
    let mut line = towards(line.to_vec());
    let last = line.len() - 2;
    let off = |i: usize| {
        let (a, b) = (line[i], line[i + 1]);
        // Past its end it goes straight on.
        let b = if i == last { b + (b - a) * (at.distance(a) / a.distance(b).max(GRID_MM)) } else { b };
        nearest_on_segment(at, a, b).distance(at)
    };
    let own = (0..=last).min_by(|i, j| off(*i).total_cmp(&off(*j))).unwrap_or(last);
    line.truncate(own + 1);
    if line[own].distance(at) > GRID_MM / 2.0 || own == 0 {
        line.push(at);
    }
    towards(line)
}

impl Cut {
    /// Where a middle, run on straight past its end, meets the end's line.
    fn across(&self, middle: &[Point], end: usize) -> Option<Point> {
        let n = middle.len();
        let (from, tip) = if end == 0 { (middle[1], middle[0]) } else { (middle[n - 2], middle[n - 1]) };
        let across: Vec<Point> =
            [self.sides[1]].into_iter().chain(self.between.iter().copied()).chain([self.sides[0]]).collect();
        let reach = across.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>();
        let reach = reach + across.iter().map(|p| p.distance(tip)).fold(0.0, f64::max);
        let mut line = middle.to_vec();
        let on = tip + (tip - from).normalize() * reach;
        if end == 0 {
            line.insert(0, on)
        } else {
            line.push(on)
        }
        let bits =
            |line: &[Point]| line.windows(2).map(|w| Edge::Line { a: w[0], b: w[1] }).collect::<Vec<_>>();
        let (line, across) = (bits(&line), bits(&across));
        let all = line.iter().flat_map(|e| across.iter().flat_map(|f| crossings(e, f)));
        all.min_by(|p, q| p.distance(tip).total_cmp(&q.distance(tip)))
    }
}

/// Adds the places after `a` up to `b` between which both edges are as good as straight.
fn halve(sides: &impl Fn(f64) -> [Point; 2], a: f64, b: f64, left: u32, places: &mut Vec<f64>) {
    let (p, q) = (sides(a), sides(b));
    let bent = left > 0
        && [0.25, 0.5, 0.75].iter().any(|f| {
            let r = sides(a + (b - a) * f);
            (0..2).any(|k| {
                let along = q[k] - p[k];
                (r[k] - p[k]).cross(along).abs() > RISE * along.hypot().max(FAIR_MM)
            })
        });
    if bent {
        let middle = f64::midpoint(a, b);
        halve(sides, a, middle, left - 1, places);
        halve(sides, middle, b, left - 1, places);
    } else {
        places.push(b);
    }
}

/// The points without those that coincide with the one before.
fn distinct(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for p in points {
        if kept.last().is_none_or(|last| last.distance(p) > GRID_MM / 2.0) {
            kept.push(p);
        }
    }
    kept
}

/// Right edge forward, the end, left edge back, the start: counter-clockwise.
fn outline(way: &Way, shape: &Shape, edges: &[Vec<Point>; 2], cuts: &Cuts) -> Ring {
    let corner = |p: &Point| Vertex { p: *p, bulge: 0.0 };
    let [left, right] = edges;
    let whole = way.length();
    let mut vertices: Vec<Vertex> = right.iter().map(corner).collect();
    let close = |k: usize, vertices: &mut Vec<Vertex>| match shape.ends[k] {
        StripeEnd::Round => {
            if let Some(last) = vertices.last_mut() {
                last.bulge = 1.0;
            }
        }
        StripeEnd::Swallowtail => {
            let s = if k == 0 { shape.long[0] } else { whole - shape.long[1] };
            vertices.push(corner(&way.at(s).p));
        }
        StripeEnd::Mitre | StripeEnd::Butt => {
            let between = cuts[k].iter().flat_map(|c| &c.between).map(corner);
            // From right to left at the end, back again at the start.
            if k == 1 { vertices.extend(between) } else { vertices.extend(between.rev()) }
        }
        StripeEnd::Square | StripeEnd::Point => {}
    };
    close(1, &mut vertices);
    vertices.extend(left.iter().rev().map(corner));
    close(0, &mut vertices);
    let n = vertices.len();
    let same = |i: usize| vertices[i].p.distance(vertices[(i + 1) % n].p) <= GRID_MM / 2.0;
    let kept: Vec<Vertex> = (0..n).filter(|i| !same(*i)).map(|i| vertices[i]).collect();
    Ring { vertices: kept }
}
