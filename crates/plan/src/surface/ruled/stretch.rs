//! What laying a ruled skin flat did to lengths: over the whole face, and over the box of one mark.

use super::super::figures::{Figures, figures};
use super::{Ruled, shares_along};
use geom::{Point, Vec2};
use skin::flatten::Strain;
use skin::smooth::Stretch;

/// Places along each side of a mark's box at which it is looked at: the stretch changes over a wing's length, not over
/// a letter's.
const PLACES: usize = 16;

/// Cells from leading to trailing edge in a drawing of the face. chosen.
const SHOWN_ROUND: usize = 24;

/// Share of the longer side that a straight stroke takes at most (facts of the geometry sheet, B2), its directions and the
/// places along it.
const STROKE: f64 = 0.9;
const DIRECTIONS: usize = 12;
const ALONG: usize = 16;

impl Ruled {
    /// Over the whole face.
    pub(in crate::surface) fn strain(&self) -> Strain {
        let all = self
            .net()
            .map(|(_, jet, place, share)| (Stretch::of(jet.products(), &place), jet.area() * share));
        strain(all.collect())
    }

    /// The face from the root to station `to` in cells, each with its four corners in flat and its greatest stretch in
    /// the middle; closer beside a kink, where it gives most.
    pub(in crate::surface) fn strained(&self, to: f64) -> Vec<([Point; 4], f64)> {
        let last = self.ribs.len() - 2;
        let mut stations = vec![self.ribs[0].station];
        for (i, w) in self.ribs.windows(2).enumerate() {
            let run = w[1].station - w[0].station;
            stations.extend(shares_along(0 < i, i < last).into_iter().map(|x| w[0].station + run * x));
            stations.push(w[1].station);
        }
        stations.retain(|s| *s < to);
        stations.push(to);
        let share = |k: usize| (k as f64 / SHOWN_ROUND as f64).powi(2);
        let cells = stations
            .windows(2)
            .flat_map(|s| (0..SHOWN_ROUND).map(|k| ([s[0], s[1]], [share(k), share(k + 1)])));
        cells
            .map(|([a, b], [c, d])| {
                let middle = self.stretch(a.midpoint(b), c.midpoint(d)).most();
                ([(a, c), (b, c), (b, d), (a, d)].map(|(s, share)| self.flat(s, share)), middle)
            })
            .collect()
    }

    /// Greatest stretch at a flat point.
    pub(in crate::surface) fn strain_at(&self, p: Point) -> f64 {
        let (s, share) = self.station(p);
        self.stretch(s, share).most()
    }

    /// Over a box of the flat: its corner, and its two sides.
    pub(in crate::surface) fn figures(&self, corner: Point, sides: [Vec2; 2]) -> Figures {
        let step = |k: usize| k as f64 / (PLACES - 1) as f64;
        let mut bends = Vec::with_capacity(PLACES * PLACES);
        let (mut first, mut last) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut net = Vec::with_capacity(PLACES * PLACES);
        for j in 0..PLACES {
            for i in 0..PLACES {
                let (s, share) = self.station(corner + sides[0] * step(i) + sides[1] * step(j));
                (first, last) = (first.min(s), last.max(s));
                bends.push(self.jet(s, share).curvature());
                net.push(self.stretch(s, share));
            }
        }
        let size = Vec2::new(sides[0].hypot(), sides[1].hypot());
        let strain = strain(net.iter().map(|s| (*s, 1.0)).collect());
        // Across a kink all bends are in one line: nothing can be said of what is least there.
        if self.breaks().any(|s| first < s && s < last) {
            bends.push(0.0);
        }
        Figures { stroke_error: worst_stroke(&net, sides, size), ..figures(strain, &bends, size) }
    }
}

fn strain(mut all: Vec<(Stretch, f64)>) -> Strain {
    let area: f64 = all.iter().map(|a| a.1).sum();
    let square: f64 = all.iter().map(|(s, a)| s.square() * a).sum();
    all.sort_by(|a, b| a.0.most().total_cmp(&b.0.most()));
    let max = all.last().map_or(0.0, |a| a.0.most());
    let mut below = 0.0;
    let p99 = all.iter().find(|(_, a)| {
        below += a;
        0.99 * area <= below
    });
    Strain { max, p99: p99.map_or(max, |a| a.0.most()), rms: (square / area).sqrt() }
}

/// Worst error of a straight stroke within the box, mm: what its stretch adds up to along it.
fn worst_stroke(net: &[Stretch], sides: [Vec2; 2], size: Vec2) -> f64 {
    let length = STROKE * size.x.max(size.y);
    let axes = [sides[0] / size.x, sides[1] / size.y];
    let at = |p: Vec2| {
        let near = |x: f64, whole: f64| ((x / whole * (PLACES - 1) as f64).round() as usize).min(PLACES - 1);
        net[near(p.y, size.y) * PLACES + near(p.x, size.x)]
    };
    let mut worst: f64 = 0.0;
    for d in 0..DIRECTIONS {
        let way = Vec2::from_angle(std::f64::consts::PI * d as f64 / DIRECTIONS as f64);
        let in_flat = axes[0] * way.x + axes[1] * way.y;
        // As long as the box lets it be in that direction.
        let long = length.min(size.x / way.x.abs()).min(size.y / way.y.abs());
        let room = size - Vec2::new(way.x.abs(), way.y.abs()) * long;
        for j in 0..PLACES {
            for i in 0..PLACES {
                let middle = size / 2.0
                    + Vec2::new(
                        room.x * (i as f64 / (PLACES - 1) as f64 - 0.5),
                        room.y * (j as f64 / (PLACES - 1) as f64 - 0.5),
                    );
                let off: f64 = (0..ALONG)
                    .map(|k| {
                        at(middle + way * (long * ((k as f64 + 0.5) / ALONG as f64 - 0.5))).towards(in_flat)
                    })
                    .sum();
                worst = worst.max((off / ALONG as f64 * long).abs());
            }
        }
    }
    worst
}
