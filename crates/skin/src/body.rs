//! A body lofted through its stations: fuselage, nacelle, hull.
//!
//! Each station is a closed ring, the same on both sides: an ellipse pulled square (a superellipse) or points measured
//! from top to bottom. Rings are divided into equal shares of their girth; a batten runs lengthwise through the same share
//! of every ring, pulled tight where it would leave what the stations say (see `batten`), and curves of least bend
//! (cubic splines) run round every ring, so that the skin is fair both ways: tangent and bend are continuous everywhere.
//! A closed nose or tail is not made: skins end at a ring.

use crate::surface::{Heading, Jet, Surface};
use geom::quadrature::gauss;
use geom::spline::Spline;
use geom::{Point, Point3, Vec2};
use std::fmt;

mod batten;
mod ring;
mod said;

pub use said::{Line, Step, Swing};

use batten::{FREE, shares};
use ring::periodic;

/// Shares of girth on a ring, both sides together. chosen: even, so that top and bottom are among them.
const SHARES: usize = 96;

/// Steps of Newton's method for a place by girth; four are usual.
const MOST_STEPS: usize = 40;

/// A station as measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Distance along the body from the datum, mm.
    pub s: f64,
    /// Its ring.
    pub ring: Ring,
}

/// The ring at a station.
#[derive(Clone, Debug, PartialEq)]
pub enum Ring {
    /// `|y / half_width|^power + |(z - middle) / half_height|^power = 1`; power 2 is an ellipse.
    Superellipse {
        /// Greatest half width, mm.
        half_width: f64,
        /// Height of the top, mm.
        top: f64,
        /// Height of the bottom, mm.
        bottom: f64,
        /// From 1 (a diamond) up; 2 an ellipse.
        power: f64,
    },
    /// Half width and height, from the middle of the top to the middle of the bottom, mm.
    Points(Vec<Point>),
}

/// Why stations make no body.
#[derive(Clone, Debug, PartialEq)]
pub enum BodyError {
    /// Fewer than two stations.
    TooFew,
    /// This station (from 0) does not lie beyond the one before it.
    Order(usize),
    /// This station's ring: what is wrong with it.
    Ring(usize, &'static str),
}

impl fmt::Display for BodyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BodyError::TooFew => write!(f, "a body takes two stations or more"),
            BodyError::Order(k) => write!(f, "station {} does not lie beyond the one before it", k + 1),
            BodyError::Ring(k, what) => write!(f, "station {}: {what}", k + 1),
        }
    }
}

impl std::error::Error for BodyError {}

/// Left or right, as the pilot sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// y below 0.
    Left,
    /// y above 0.
    Right,
}

/// A lofted body: x along it aft from the datum, y to the pilot's right, z up (right-handed). As a [`Surface`] its first number is the station in
/// mm, its second the share of girth round the ring from the top over the right side to the bottom and back over the
/// left, from 0 to 96; so it faces out.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    stations: Vec<f64>,
    /// How tight the battens are pulled in each span between two stations.
    degrees: Vec<u16>,
    waterline: f64,
    /// For each station and share: y and z, their second derivatives along, round, and along and round.
    nets: Vec<[Vec2; 4]>,
}

impl Body {
    /// The body through these stations; `waterline` is the height from which girth is counted.
    ///
    /// # Errors
    /// [`BodyError`].
    pub fn through(stations: &[Station], waterline: f64) -> Result<Body, BodyError> {
        if stations.len() < 2 {
            return Err(BodyError::TooFew);
        }
        let at: Vec<f64> = stations.iter().map(|s| s.s).collect();
        if let Some(k) =
            at.windows(2).position(|w| w[1].partial_cmp(&w[0]) != Some(std::cmp::Ordering::Greater))
        {
            return Err(BodyError::Order(k + 1));
        }
        let mut nets = Vec::with_capacity(at.len() * SHARES);
        for (k, station) in stations.iter().enumerate() {
            let ring = ring::divided(&station.ring, SHARES).map_err(|what| BodyError::Ring(k, what))?;
            nets.extend(ring.into_iter().map(|p| [p, Vec2::ZERO, Vec2::ZERO, Vec2::ZERO]));
        }
        // Bend lengthwise of the values, then bend round of both.
        let batten = |share: usize| (0..at.len()).map(|k| nets[k * SHARES + share][0]).collect::<Vec<Vec2>>();
        let battens: Vec<Vec<Vec2>> = (0..SHARES).map(batten).collect();
        // The other side is this one's mirror image.
        let degrees = batten::degrees(&at, &battens[..=SHARES / 2]);
        for (share, batten) in battens.iter().enumerate() {
            for (k, bend) in batten::bends(&at, &degrees, batten).into_iter().enumerate() {
                nets[k * SHARES + share][1] = bend;
            }
        }
        for ring in nets.chunks_mut(SHARES) {
            for (from, to) in [(0, 2), (1, 3)] {
                let values: Vec<Vec2> = ring.iter().map(|n| n[from]).collect();
                for (n, bend) in ring.iter_mut().zip(periodic(&values)) {
                    n[to] = bend;
                }
            }
        }
        Ok(Body { stations: at, degrees, waterline, nets })
    }

    /// Its stations, mm.
    pub fn stations(&self) -> &[f64] {
        &self.stations
    }

    /// Height from which girth is counted, mm.
    pub fn waterline(&self) -> f64 {
        self.waterline
    }

    /// First and last station, mm.
    pub fn range(&self) -> (f64, f64) {
        (self.stations[0], self.stations[self.stations.len() - 1])
    }

    /// Place on the skin of station `s` and girth `t` from the waterline, up positive; `None` if the waterline does
    /// not meet that ring, or `t` leads past the middle of the top or bottom.
    pub fn place(&self, side: Side, s: f64, t: f64) -> Option<Vec2> {
        let zero = self.zero(side, s)?;
        let up = match side {
            Side::Right => -1.0,
            Side::Left => 1.0,
        };
        // Girth per share is nearly the same round the ring, so Newton's steps close in at once.
        let mut v = zero;
        for _ in 0..MOST_STEPS {
            let miss = t - self.girth(side, s, zero, v);
            let rate = self.jet(Vec2::new(s, v)).v.length();
            let step = up * miss / rate;
            v += step;
            if !v.is_finite() || step.abs() * rate <= geom::tolerance::NOISE_MM {
                break;
            }
        }
        let (low, high) = Body::shares(side);
        (low..=high).contains(&v).then_some(Vec2::new(s, v))
    }

    /// Station and girth from the waterline of a place on the skin.
    pub fn measured(&self, side: Side, place: Vec2) -> Option<(f64, f64)> {
        Some((place.x, self.girth(side, place.x, self.zero(side, place.x)?, place.y)))
    }

    /// Girth from the waterline to the middle of the bottom (0 or less) and of the top, mm; `None` if the waterline
    /// does not meet the ring there.
    pub fn girths(&self, side: Side, s: f64) -> Option<(f64, f64)> {
        let zero = self.zero(side, s)?;
        let (low, high) = Body::shares(side);
        let ends = [low, high].map(|v| self.girth(side, s, zero, v));
        Some((ends[0].min(ends[1]), ends[0].max(ends[1])))
    }

    /// Girth up from share `from` to share `to` of a ring, mm.
    fn girth(&self, side: Side, s: f64, from: f64, to: f64) -> f64 {
        let rate = |v: f64| self.jet(Vec2::new(s, v)).v.length();
        let (low, high) = (from.min(to), from.max(to));
        // Knot by knot, for between knots it is smooth.
        let mut at = low;
        let mut sum = 0.0;
        while at < high {
            let next = (at.floor() + 1.0).min(high);
            sum += gauss(at, next, &rate);
            at = next;
        }
        let up = (side == Side::Left) == (from <= to);
        if up { sum } else { -sum }
    }

    /// Shares of a side, from one middle line to the other.
    pub fn shares(side: Side) -> (f64, f64) {
        let half = (SHARES / 2) as f64;
        match side {
            Side::Right => (0.0, half),
            Side::Left => (half, 2.0 * half),
        }
    }

    /// Place of a height on a side of the ring at station `s`; `None` if the ring does not reach it.
    pub fn level(&self, side: Side, s: f64, height: f64) -> Option<Vec2> {
        Some(Vec2::new(s, self.share_at(side, s, height)?))
    }

    /// The place across from one: as high on the other side of the same ring.
    pub fn across(place: Vec2) -> Vec2 {
        Vec2::new(place.x, SHARES as f64 - place.y)
    }

    /// Share at which the waterline meets a side of the ring.
    fn zero(&self, side: Side, s: f64) -> Option<f64> {
        self.share_at(side, s, self.waterline)
    }

    fn share_at(&self, side: Side, s: f64, height: f64) -> Option<f64> {
        let (low, high) = Body::shares(side);
        let down = if side == Side::Right { 1.0 } else { -1.0 };
        let above = |v: f64| {
            let jet = self.jet(Vec2::new(s, v));
            ((jet.p.z - height) * down, jet.v.z * down)
        };
        // Above at the low end, below at the high end: Newton's steps, held in by halving.
        let (mut low, mut high) = (low, high);
        if !(above(low).0 >= 0.0 && above(high).0 <= 0.0) {
            return None;
        }
        let mut v = low.midpoint(high);
        for _ in 0..60 {
            let (far, rate) = above(v);
            if far >= 0.0 {
                low = v
            } else {
                high = v
            }
            let next = v - far / rate;
            let next = if low < next && next < high { next } else { low.midpoint(high) };
            if (next - v).abs() <= geom::tolerance::NOISE_RELATIVE * SHARES as f64 {
                return Some(next);
            }
            v = next;
        }
        Some(v)
    }

    /// A bearing on the skin: aft along +x on either side.
    pub fn heading(&self, place: Vec2, along: Point3) -> Heading {
        Heading::new(self, place, along)
    }
}

impl Surface for Body {
    fn jet(&self, at: Vec2) -> Jet {
        let last = self.stations.len() - 2;
        let k = self.stations.partition_point(|s| *s <= at.x).saturating_sub(1).min(last);
        let h = self.stations[k + 1] - self.stations[k];
        let along = shares((at.x - self.stations[k]) / h, h, self.degrees[k]);
        let v = at.y.rem_euclid(SHARES as f64);
        let j = (v.floor() as usize).min(SHARES - 1);
        let round = shares(v - j as f64, 1.0, FREE);
        let next = (j + 1) % SHARES;
        let corners = [
            (&self.nets[k * SHARES + j], &self.nets[k * SHARES + next]),
            (&self.nets[(k + 1) * SHARES + j], &self.nets[(k + 1) * SHARES + next]),
        ];
        // For each derivative along, the curve round at its four coefficients; then that or its derivatives.
        let curve = |x: &[f64; 4]| {
            std::array::from_fn::<[Vec2; 4], 2, _>(|end| {
                let (here, there) = corners[end];
                let (value, bend) = (x[end], x[2 + end]);
                [
                    here[0] * value + here[1] * bend,
                    there[0] * value + there[1] * bend,
                    here[2] * value + here[3] * bend,
                    there[2] * value + there[3] * bend,
                ]
            })
        };
        let sum = |curve: &[[Vec2; 4]; 2], y: &[f64; 4]| {
            let mut to = Vec2::ZERO;
            for c in curve {
                to += c[0] * y[0] + c[1] * y[1];
                to += c[2] * y[2] + c[3] * y[3];
            }
            to
        };
        let [still, first, second] = [curve(&along[0]), curve(&along[1]), curve(&along[2])];
        let flat = |x: f64, yz: Vec2| Point3::new(x, yz.x, yz.y);
        Jet {
            p: flat(at.x, sum(&still, &round[0])),
            u: flat(1.0, sum(&first, &round[0])),
            v: flat(0.0, sum(&still, &round[1])),
            uu: flat(0.0, sum(&second, &round[0])),
            uv: flat(0.0, sum(&first, &round[1])),
            vv: flat(0.0, sum(&still, &round[2])),
        }
    }
}

/// The curve through measured points of a half ring and its mirror image.
fn measured(points: &[Point]) -> Option<Spline> {
    let mirrored = points.iter().rev().skip(1).map(|p| Point::new(-p.x, p.y));
    let all: Vec<Point> = points.iter().copied().chain(mirrored).collect();
    // Once more round at either end, so that the free ends of the curve lie far from what is used.
    let n = all.len() - 1;
    let lap: Vec<Point> = (0..=3 * n).map(|k| all[k % n]).collect();
    Spline::by_arc_length(&lap, 3)
}

#[cfg(test)]
mod tests;
