//! The skin of a wing that does not unroll: washout, a tip section of its own, a panel that kinks at a rib.
//!
//! Between two ribs the skin is made of straight lines, each from a place of one rib to the place at the same share of
//! the girth of the next. Such a skin bends two ways, but hardly: with a few degrees of washout a sheet laid on it
//! stretches by some millionths. So the whole face gets one flat: its straight lines unrolled (`unrolled`), then put
//! right until lengths err least (`skin::smooth`). It says of every place how large that error is.

mod reading;
mod stretch;
mod unrolled;

use super::section::Face;
use geom::{Point, Point3, Vec2};
use reading::Reading;
use skin::smooth::{Knots, Place, Smooth, Stretch, find, lay};
use unrolled::Unrolled;

/// Cells of what is put right from leading to trailing edge. Measured beside libigl on a wing from a 4415 to a 2409 with 5
/// degrees of washout: 24 leave 1.014 of its mean strain, 32 leave 1.006.
const CELLS_ROUND: usize = 40;

/// Part of the skin's turn, not of its length, by which those cells are laid out, and places at which it is looked at.
const BY_TURN: f64 = 0.5;
const LOOKS: usize = 128;

/// Cells along the span of one panel between two ribs. Measured beside libigl: 8 leave 1.0024 of its mean strain at worst,
/// 12 leave 1.002.
const CELLS_ALONG: usize = 8;

/// Further cells beside a kink, each half as long as the next.
const CELLS_BESIDE: u32 = 4;

/// A rib of a ruled skin.
#[derive(Clone, Debug)]
pub(super) struct Rib {
    /// Its station, mm.
    pub(super) station: f64,
    /// Its leading edge aft of the root's and above it, mm.
    pub(super) edge: Vec2,
    /// How far it is turned nose down, rad.
    pub(super) washout: f64,
    /// Chord, mm, as the girth asks for.
    pub(super) chord: f64,
    /// Its face at unit chord.
    pub(super) face: Face,
}

impl Rib {
    /// Aft and up of the root's leading edge at a share of the girth, and how that moves with the share, mm.
    fn at(&self, share: f64) -> (Point, Vec2) {
        let girth = self.face.girth();
        let (p, v) = self.face.at(self.face.u_from_tau(share * girth));
        let turn = |v: Vec2| geom::point::turned(v, self.washout) * self.chord;
        ((self.edge + turn(p.to_vec2())).to_point(), turn(v / v.hypot() * girth))
    }

    fn girth(&self) -> f64 {
        self.chord * self.face.girth()
    }
}

/// A place of the skin with what lengths and bends follow from.
struct Jet {
    p: Point3,
    along: Point3,
    round: Point3,
    /// How `along` changes round.
    twist: Point3,
}

impl Jet {
    /// Products of the first derivatives.
    fn products(&self) -> [f64; 3] {
        [self.along.dot(self.along), self.along.dot(self.round), self.round.dot(self.round)]
    }

    /// Area for each unit of station and share, mm.
    fn area(&self) -> f64 {
        self.along.cross(self.round).length()
    }

    /// Gaussian curvature, 1/mm2: never above 0 where there are straight lines.
    fn curvature(&self) -> f64 {
        let normal = self.along.cross(self.round);
        -(self.twist.dot(normal) / normal.length_squared()).powi(2)
    }
}

/// A ruled skin. Flat points here have the tip at the right, whichever face it is.
#[derive(Clone, Debug)]
pub(super) struct Ruled {
    ribs: Vec<Rib>,
    readings: Vec<Reading>,
    unrolled: Unrolled,
    right: Smooth,
    /// The four corners in flat: root and tip, leading and trailing edge.
    corners: [Point; 4],
}

impl Ruled {
    /// The skin through these ribs, two at least, by rising station; `None` if it folds so sharply that it cannot be
    /// laid flat.
    pub(super) fn new(ribs: Vec<Rib>) -> Option<Ruled> {
        let readings: Vec<Reading> = ribs.windows(2).map(|w| Reading::between(&w[0], &w[1])).collect();
        let last = ribs.len() - 2;
        let cells = ribs.windows(2).enumerate().flat_map(|(i, w)| {
            let (from, run) = (w[0].station, w[1].station - w[0].station);
            let first = if i == 0 { vec![(from, false)] } else { Vec::new() };
            let inner = shares_along(0 < i, i < last).into_iter().map(move |x| (from + run * x, false));
            first.into_iter().chain(inner).chain([(w[1].station, true)])
        });
        let u = Knots::new(&cells.collect::<Vec<_>>())?;
        let v = Knots::new(&round_cells(&ribs).into_iter().map(|x| (x, false)).collect::<Vec<_>>())?;
        let row = |share: f64| {
            let points: Vec<(Point, Vec2)> = ribs.iter().map(|r| r.at(share)).collect();
            let ribs = &ribs;
            move |s: f64| {
                let jet = jet(ribs, &|k| points[k], s);
                [jet.along, jet.round]
            }
        };
        let unrolled = Unrolled::new(&ribs);
        let right = lay(u, v, &row, &|uv| unrolled.at(uv))?;
        let (from, to) = (ribs[0].station, ribs[ribs.len() - 1].station);
        let mut ruled = Ruled { ribs, readings, unrolled, right, corners: [Point::ZERO; 4] };
        ruled.corners = [(from, 0.0), (to, 0.0), (from, 1.0), (to, 1.0)]
            .map(|(s, share)| ruled.place(Vec2::new(s, share)).p.to_point());
        ruled.faces_one_way().then_some(ruled)
    }

    /// Where a place lies on the sheet, t growing upwards.
    fn place(&self, uv: Vec2) -> Place {
        self.unrolled.at(uv) + self.right.at(uv)
    }

    /// True if no place of the flat map lies face down.
    fn faces_one_way(&self) -> bool {
        self.net().all(|(_, _, place, _)| 0.0 < place.u.cross(place.v))
    }

    /// Chord at station `s`, straight, mm.
    pub(super) fn chord(&self, s: f64) -> f64 {
        let (i, share) = panel(&self.ribs, s);
        let chord = |rib: &Rib| {
            let end = rib.face.at(rib.face.range().1).0.to_vec2();
            geom::point::turned(end / end.hypot(), rib.washout) * rib.chord
        };
        (chord(&self.ribs[i]) * (1.0 - share) + chord(&self.ribs[i + 1]) * share).hypot()
    }

    /// Girth from leading to trailing edge at station `s`, mm.
    pub(super) fn girth(&self, s: f64) -> f64 {
        self.t(s, 1.0)
    }

    /// Length of the leading edge from the root to station `to`, mm.
    pub(super) fn edge_length(&self, to: f64) -> f64 {
        let ways = self.ribs.windows(2).map(|w| {
            let step = w[1].edge - w[0].edge;
            let run = w[1].station - w[0].station;
            ((to - w[0].station) / run).clamp(0.0, 1.0) * run.hypot(step.hypot())
        });
        ways.sum()
    }

    /// What a steel tape reads round the skin at station `s` down to a share of the girth, mm.
    pub(super) fn t(&self, s: f64, share: f64) -> f64 {
        let (i, along) = panel(&self.ribs, s);
        self.readings[i].t(along, share)
    }

    /// The share of the girth at that reading.
    pub(super) fn share(&self, s: f64, t: f64) -> f64 {
        let (i, along) = panel(&self.ribs, s);
        self.readings[i].share(along, t)
    }

    /// Flat point at station `s` and a share of the girth.
    pub(super) fn flat(&self, s: f64, share: f64) -> Point {
        seen(self.place(Vec2::new(s, share)).p).to_point()
    }

    /// Station and share of the girth at a flat point.
    pub(super) fn station(&self, p: Point) -> (f64, f64) {
        let p = seen(p.to_vec2());
        let [a, b, c, d] = self.corners;
        // Where it would be on the sheet of four straight edges.
        let (mut x, mut y) = (0.5, 0.5);
        for _ in 0..3 {
            let at = a.lerp(b, x).lerp(c.lerp(d, x), y);
            let (along, across) = ((b - a).lerp(d - c, y), (c - a).lerp(d - b, x));
            let (off, all) = (p.to_point() - at, along.cross(across));
            x = (x + off.cross(across) / all).clamp(0.0, 1.0);
            y = (y + along.cross(off) / all).clamp(0.0, 1.0);
        }
        let (from, to) = (self.ribs[0].station, self.ribs[self.ribs.len() - 1].station);
        let guess = Vec2::new(from + (to - from) * x, y);
        let found = find(&|uv| self.place(uv), p, guess).unwrap_or_else(|| {
            // Far beyond the sheet: straight on from where it was sought.
            let at = self.place(guess);
            let (off, all) = (p - at.p, at.u.cross(at.v));
            guess + Vec2::new(off.cross(at.v) / all, at.u.cross(off) / all)
        });
        (found.x, found.y)
    }

    /// The point in space at station `s` and a share of the girth: aft, out, up.
    pub(super) fn space(&self, s: f64, share: f64) -> Point3 {
        self.jet(s, share).p
    }

    /// The span axis laid onto the skin there, as a direction in flat.
    pub(super) fn span_direction(&self, s: f64, share: f64) -> Vec2 {
        let jet = self.jet(s, share);
        let [e, f, g] = jet.products();
        let (a, b) = (jet.along.y, jet.round.y);
        let place = self.place(Vec2::new(s, share));
        let way = seen(place.u * (g * a - f * b) + place.v * (e * b - f * a));
        way / way.hypot()
    }

    /// Which way the leading edge of the panel at station `s` runs in flat, from rib to rib.
    pub(super) fn edge_direction(&self, s: f64) -> Vec2 {
        let i = panel(&self.ribs, s).0;
        let way = self.flat(self.ribs[i + 1].station, 0.0) - self.flat(self.ribs[i].station, 0.0);
        way / way.hypot()
    }

    /// Stations of the ribs at which it kinks.
    pub(super) fn breaks(&self) -> impl Iterator<Item = f64> + '_ {
        self.ribs[1..self.ribs.len() - 1].iter().map(|r| r.station)
    }

    /// Gaussian curvature at station `s` and a share of the girth, 1/mm2; at a kink that of the panel outboard.
    pub(super) fn gauss(&self, s: f64, share: f64) -> f64 {
        self.jet(s, share).curvature()
    }

    fn jet(&self, s: f64, share: f64) -> Jet {
        jet(&self.ribs, &|k| self.ribs[k].at(share), s)
    }

    fn stretch(&self, s: f64, share: f64) -> Stretch {
        Stretch::of(self.jet(s, share).products(), &self.place(Vec2::new(s, share)))
    }

    /// A net of places over the whole face: each with its skin, its flat place and the share of the net it stands for.
    fn net(&self) -> impl Iterator<Item = (f64, Jet, Place, f64)> + '_ {
        const ROUND: usize = 48;
        const ALONG: usize = 24;
        (0..ROUND).flat_map(move |j| {
            let at = |k: usize| (k as f64 / ROUND as f64).powi(2);
            let (low, high) = (at(j), at(j + 1));
            let share = low.midpoint(high);
            let points: Vec<(Point, Vec2)> = self.ribs.iter().map(|r| r.at(share)).collect();
            self.ribs.windows(2).flat_map(move |w| {
                let points = points.clone();
                let run = w[1].station - w[0].station;
                let from = w[0].station;
                (0..ALONG).map(move |i| {
                    let s = from + run * (i as f64 + 0.5) / ALONG as f64;
                    let jet = jet(&self.ribs, &|k| points[k], s);
                    (s, jet, self.place(Vec2::new(s, share)), (high - low) * run / ALONG as f64)
                })
            })
        })
    }
}

/// Where the cells meet from leading to trailing edge, as shares of the girth: each takes the same part of the skin's turn
/// and of its length.
fn round_cells(ribs: &[Rib]) -> Vec<f64> {
    let share = |k: usize| (k as f64 / LOOKS as f64).powi(2);
    let directions: Vec<Vec<Vec2>> =
        (0..=LOOKS).map(|k| ribs.iter().map(|r| r.at(share(k)).1).collect()).collect();
    let turn = |k: usize| -> f64 {
        let both = directions[k].iter().zip(&directions[k + 1]);
        both.map(|(a, b)| a.cross(*b).atan2(a.dot(*b)).abs()).fold(0.0, f64::max)
    };
    let turns: Vec<f64> = (0..LOOKS).map(turn).collect();
    let whole: f64 = turns.iter().sum();
    let mut met = vec![0.0];
    let (mut at, mut sum) = (0, 0.0);
    for cell in 1..CELLS_ROUND {
        let wanted = cell as f64 / CELLS_ROUND as f64;
        loop {
            let length = share(at + 1) - share(at);
            let step = BY_TURN * turns[at] / whole + (1.0 - BY_TURN) * length;
            if wanted <= sum + step || at + 1 == LOOKS {
                met.push(share(at) + length * ((wanted - sum) / step));
                break;
            }
            sum += step;
            at += 1;
        }
    }
    met.push(1.0);
    met
}

/// Where the cells of a panel meet, as shares of its way, ends left out: even, and closer beside its kinks.
fn shares_along(kink_inboard: bool, kink_outboard: bool) -> Vec<f64> {
    let even = 1.0 / CELLS_ALONG as f64;
    let beside: Vec<f64> = (1..=CELLS_BESIDE).rev().map(|k| even * 0.5_f64.powi(k as i32)).collect();
    let mut all: Vec<f64> = if kink_inboard { beside.clone() } else { Vec::new() };
    all.extend((1..CELLS_ALONG).map(|k| k as f64 * even));
    if kink_outboard {
        all.extend(beside.iter().rev().map(|x| 1.0 - x));
    }
    all
}

/// As faced: the map is laid as if seen from inside, t growing upwards.
fn seen(p: Vec2) -> Vec2 {
    Vec2::new(p.x, -p.y)
}

/// The panel in which station `s` lies, and the share of it inboard of `s`; the first and the last go on beyond.
fn panel(ribs: &[Rib], s: f64) -> (usize, f64) {
    let i = ribs.partition_point(|r| r.station <= s).clamp(1, ribs.len() - 1) - 1;
    (i, (s - ribs[i].station) / (ribs[i + 1].station - ribs[i].station))
}

fn jet(ribs: &[Rib], rib: &impl Fn(usize) -> (Point, Vec2), s: f64) -> Jet {
    let (i, share) = panel(ribs, s);
    let run = ribs[i + 1].station - ribs[i].station;
    let ((p, v), (q, w)) = (rib(i), rib(i + 1));
    let (at, round) = (p.lerp(q, share), v.lerp(w, share));
    let (along, twist) = ((q - p) / run, (w - v) / run);
    Jet {
        p: Point3::new(at.x, s, at.y),
        along: Point3::new(along.x, 1.0, along.y),
        round: Point3::new(round.x, 0.0, round.y),
        twist: Point3::new(twist.x, 0.0, twist.y),
    }
}
