//! A side of a body read hoop by hoop, to lay paper on it: where a girth is, how long a line along a girth is, how much
//! skin lies below it.
//!
//! Hoops stand at even stations; between two of them readings change evenly. Good to a fraction of a millimetre, which is
//! plenty for paper; letters and tape go by the skin itself (see `chart` and `strip`).

use super::BodySkin;
use geom::tolerance::NOISE_MM;
use geom::{Point3, Ring, Vec2};
use skin::body::{Body, Side};
use skin::surface::way::along_and_off;
use skin::surface::{Heading, Surface};

/// Hoops along a side. chosen: on a side 22 ft long one every 2 3/4 in, which misses less than 0.1 mm of its length.
const HOOPS: usize = 96;

/// Newton's steps for a girth between two shares; two are usual.
const STEPS: usize = 8;

/// A side of a body, hoop by hoop.
#[derive(Clone, Debug)]
pub struct Hoops {
    body: BodySkin,
    hoops: Vec<Hoop>,
}

/// A ring of a side, from the middle of the bottom up.
#[derive(Clone, Debug)]
struct Hoop {
    s: f64,
    knots: Vec<Knot>,
}

/// A share of a hoop.
#[derive(Clone, Copy, Debug, Default)]
struct Knot {
    /// Girth from the waterline, mm, and how it grows by share.
    t: f64,
    dt: f64,
    /// Skin below it, mm2 for a mm of station, and how it grows by share.
    below: f64,
    dbelow: f64,
}

/// A line along a girth, from the first hoop to the last.
#[derive(Clone, Debug)]
pub struct Row {
    stations: Vec<f64>,
    points: Vec<Point3>,
    /// Length from the first, mm.
    sums: Vec<f64>,
    /// Bend on the skin (geodesic curvature), 1/mm, and the skin's own (Gaussian curvature), 1/mm2.
    bends: Vec<[f64; 2]>,
}

impl Hoops {
    /// The hoops of a side; `None` if fewer than three of its rings reach the waterline.
    pub fn new(body: &BodySkin) -> Option<Hoops> {
        let (from, to) = body.range();
        let at = |k: usize| from + (to - from) * k as f64 / HOOPS as f64;
        let hoops: Vec<Hoop> = (0..=HOOPS).filter_map(|k| Hoop::new(body, at(k))).collect();
        (2 < hoops.len()).then(|| Hoops { body: body.clone(), hoops })
    }

    /// The hoop before a station, or the last but one, and the share of the way to the next.
    fn before(&self, s: f64) -> (usize, f64) {
        let k = self.hoops.partition_point(|h| h.s <= s).saturating_sub(1).min(self.hoops.len() - 2);
        let (a, b) = (self.hoops[k].s, self.hoops[k + 1].s);
        (k, ((s - a) / (b - a)).clamp(0.0, 1.0))
    }

    fn between(&self, s: f64, of: impl Fn(&Hoop) -> f64) -> f64 {
        let (k, part) = self.before(s);
        let (a, b) = (of(&self.hoops[k]), of(&self.hoops[k + 1]));
        a + (b - a) * part
    }

    /// Station and girth of a place in the body's own two numbers, mm.
    pub fn reading(&self, place: Vec2) -> [f64; 2] {
        let (low, high) = Body::shares(self.body.side());
        let share = if self.body.side() == Side::Left { place.y - low } else { high - place.y };
        [place.x, self.between(place.x, |hoop| hoop.at(share).t)]
    }

    /// Girth from the middle of the bottom to that of the top at a station, mm.
    pub fn girths(&self, s: f64) -> [f64; 2] {
        [self.between(s, |h| h.knots[0].t), self.between(s, |h| h.knots[h.knots.len() - 1].t)]
    }

    /// Skin inside rings on the side's flat, mm2; holes clockwise.
    pub fn area(&self, rings: &[Ring]) -> f64 {
        let (from, to) = self.body.range();
        let step = (to - from) / HOOPS as f64;
        let below = |p: geom::Point| {
            let [s, t] = self.body.reading(p);
            self.between(s, |hoop| hoop.at(hoop.share(t)).below)
        };
        // Green's formula: the skin below each edge, added up round the ring.
        let edge = |e: geom::Edge| {
            let parts = ((e.end().x - e.start().x).abs() / step).ceil().max(1.0);
            let one = |k: usize| {
                let [a, b] = [k as f64 / parts, (k + 1) as f64 / parts].map(|f| e.at(f));
                let wide = b.x - a.x;
                -wide / 6.0 * (below(a) + 4.0 * below(a.midpoint(b)) + below(b))
            };
            (0..parts as usize).map(one).sum::<f64>()
        };
        rings.iter().flat_map(Ring::edges).map(edge).sum()
    }

    /// The line along girth `t`. Where the hoops do not reach so far it runs on over the middle onto the other side.
    pub fn row(&self, t: f64) -> Row {
        let jets: Vec<_> =
            self.hoops.iter().map(|h| self.body.body().jet(h.place(self.body.side(), t))).collect();
        let points: Vec<Point3> = jets.iter().map(|j| j.p).collect();
        let n = points.len();
        let mut bends: Vec<[f64; 2]> = (0..n)
            .map(|k| {
                let (a, b) = (k.max(1) - 1, (k + 1).min(n - 1));
                let gauss = jets[k].curvature();
                if b - a < 2 {
                    return [0.0, gauss];
                }
                let (before, after) = (points[k] - points[a], points[b] - points[k]);
                let turn = after.normalize() - before.normalize();
                let left = jets[k].normal().cross((points[b] - points[a]).normalize());
                [2.0 * turn.dot(left) / (before.length() + after.length()), gauss]
            })
            .collect();
        (bends[0][0], bends[n - 1][0]) = (bends[1][0], bends[n - 2][0]);
        let mut sums = vec![0.0];
        for (k, w) in points.windows(2).enumerate() {
            sums.push(sums[k] + w[0].distance(w[1]));
        }
        Row { stations: self.hoops.iter().map(|h| h.s).collect(), points, sums, bends }
    }

    /// How far along the row of girth `middle` a reading stands that lies beside it, square off, mm from the row's start:
    /// the rings lean on the rows, and how much is added up round the ring.
    pub fn along(&self, (row, middle): (&Row, f64), [s, t]: [f64; 2]) -> f64 {
        let (k, part) = self.before(s);
        let (skin, side, last) = (self.body.body(), self.body.side(), self.hoops.len() - 1);
        let lean = |k: usize| {
            let [a, b] = [k.max(1) - 1, (k + 1).min(last)].map(|k| &self.hoops[k]);
            let lean = |t: f64| {
                let up = skin.jet(self.hoops[k].place(side, t)).v.normalize();
                let ahead = skin.jet(b.place(side, t)).p - skin.jet(a.place(side, t)).p;
                up.dot(ahead.normalize()) * if side == Side::Left { 1.0 } else { -1.0 }
            };
            // Simpson's rule over four stretches.
            let sums =
                (0..=4).map(|j| [1.0, 4.0, 2.0, 4.0, 1.0][j] * lean(middle + (t - middle) * j as f64 / 4.0));
            sums.sum::<f64>() * (t - middle) / 12.0
        };
        let (a, b) = (lean(k), lean(k + 1));
        row.to(s) + a + (b - a) * part
    }

    /// The same, found by walking along the row and then straight, square off it, to within a ten-millionth; `None` where
    /// no way is found.
    pub fn exactly_along(&self, (row, middle): (&Row, f64), reading: [f64; 2]) -> Option<f64> {
        let (skin, [s, t]) = (self.body.body(), reading);
        let off = if self.body.side() == Side::Left { t - middle } else { middle - t };
        let rough = self.along((row, middle), reading) - row.to(s);
        let k = self.before(s).0;
        let foot = self.hoops[k].place(self.body.side(), middle);
        let share = |k: usize| self.hoops[k].place(self.body.side(), middle).y;
        let part = (s - self.hoops[k].s) / (self.hoops[k + 1].s - self.hoops[k].s);
        let foot = Vec2::new(s, foot.y + (share(k + 1) - share(k)) * part);
        let heading = Heading::new(skin, foot, row.points[k + 1] - row.points[k]);
        let to = self.body.space(reading)?;
        Some(row.to(s) + along_and_off(skin, heading, to, Vec2::new(rough, off))?.x)
    }
}

impl Row {
    /// Length from its start to a station, mm; beyond its ends that of the nearer one.
    fn to(&self, s: f64) -> f64 {
        let k = self.stations.partition_point(|x| *x <= s).saturating_sub(1).min(self.stations.len() - 2);
        let part = (s - self.stations[k]) / (self.stations[k + 1] - self.stations[k]);
        self.sums[k] + (self.sums[k + 1] - self.sums[k]) * part.clamp(0.0, 1.0)
    }

    /// How much of an edge of paper `width` wide, laid along it between two stations, must be folded up, mm, if paper
    /// `gives` so much of its length: |bend| width / 2 + |Gaussian curvature| width^2 / 8 of each length is how much longer
    /// or shorter than the middle the worse edge would have to be (fact sheet on geometry, derived there: at an edge b off
    /// the middle k b - K b^2 / 2).
    pub fn folded(&self, width: f64, (from, to): (f64, f64), gives: f64) -> f64 {
        let share = |k: usize| {
            let [bend, gauss] = self.bends[k].map(f64::abs);
            (bend * width / 2.0 + gauss * width * width / 8.0 - gives).max(0.0)
        };
        let pieces = self.stations.windows(2).enumerate().map(|(k, w)| {
            let inside = (w[1].min(to) - w[0].max(from)).max(0.0) / (w[1] - w[0]);
            inside * (self.sums[k + 1] - self.sums[k]) * f64::midpoint(share(k), share(k + 1))
        });
        pieces.sum()
    }
}

impl Hoop {
    fn new(body: &BodySkin, s: f64) -> Option<Hoop> {
        let (skin, side) = (body.body(), body.side());
        let (low, high) = Body::shares(side);
        let count = (high - low) as usize;
        let rates = |share: f64| {
            let jet = skin.jet(Vec2::new(s, spot(side, share)));
            [jet.v.length(), jet.u.cross(jet.v).length()]
        };
        let mut knots = vec![Knot::default(); count + 1];
        [knots[0].dt, knots[0].dbelow] = rates(0.0);
        for k in 0..count {
            let (middle, next) = (rates(k as f64 + 0.5), rates((k + 1) as f64));
            let last = knots[k];
            // Simpson's rule: rings are divided into even shares, so that the rates hardly change.
            knots[k + 1] = Knot {
                t: last.t + (last.dt + 4.0 * middle[0] + next[0]) / 6.0,
                dt: next[0],
                below: last.below + (last.dbelow + 4.0 * middle[1] + next[1]) / 6.0,
                dbelow: next[1],
            };
        }
        let zero = skin.level(side, s, skin.waterline())?.y;
        let mut hoop = Hoop { s, knots };
        let zero = hoop.at(if side == Side::Left { zero - low } else { high - zero });
        for knot in &mut hoop.knots {
            knot.t -= zero.t;
            knot.below -= zero.below;
        }
        Some(hoop)
    }

    /// What is read at a share from the middle of the bottom.
    fn at(&self, share: f64) -> Knot {
        let k = (share.max(0.0).floor() as usize).min(self.knots.len() - 2);
        let (a, b) = (self.knots[k], self.knots[k + 1]);
        let x = (share - k as f64).clamp(0.0, 1.0);
        Knot {
            t: smooth(x, [a.t, b.t], [a.dt, b.dt]),
            dt: a.dt + (b.dt - a.dt) * x,
            below: smooth(x, [a.below, b.below], [a.dbelow, b.dbelow]),
            dbelow: a.dbelow + (b.dbelow - a.dbelow) * x,
        }
    }

    /// The share from the middle of the bottom at which a girth is read; beyond the middles the nearer one.
    fn share(&self, t: f64) -> f64 {
        let last = self.knots.len() - 2;
        let k = self.knots.partition_point(|knot| knot.t <= t).saturating_sub(1).min(last);
        let (a, b) = (self.knots[k], self.knots[k + 1]);
        let mut x = ((t - a.t) / (b.t - a.t)).clamp(0.0, 1.0);
        for _ in 0..STEPS {
            let miss = t - smooth(x, [a.t, b.t], [a.dt, b.dt]);
            x = (x + miss / (a.dt + (b.dt - a.dt) * x)).clamp(0.0, 1.0);
            if miss.abs() <= NOISE_MM {
                break;
            }
        }
        k as f64 + x
    }

    /// The place of a girth in the body's own two numbers; beyond a middle line as far down the other side.
    fn place(&self, side: Side, t: f64) -> Vec2 {
        let (bottom, top) = (self.knots[0].t, self.knots[self.knots.len() - 1].t);
        let share = if t < bottom {
            -self.share(2.0 * bottom - t)
        } else if top < t {
            2.0 * (self.knots.len() - 1) as f64 - self.share(2.0 * top - t)
        } else {
            self.share(t)
        };
        Vec2::new(self.s, spot(side, share))
    }
}

/// The body's own second number of a share from the middle of the bottom.
fn spot(side: Side, share: f64) -> f64 {
    let (low, high) = Body::shares(side);
    if side == Side::Left { low + share } else { high - share }
}

/// Between two values with their rates (a cubic).
fn smooth(x: f64, [a, b]: [f64; 2], [da, db]: [f64; 2]) -> f64 {
    let (y, steep) = (1.0 - x, b - a);
    a * y + b * x + x * y * ((da - steep) * y - (db - steep) * x)
}

#[cfg(test)]
mod tests;
