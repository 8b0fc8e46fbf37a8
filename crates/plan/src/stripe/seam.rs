//! A seam of a body as it was measured: points taken along it, and what runs between them.
//!
//! Straight in the body's readings from point to point. Where it hardly turns at a point the points are taken on a bend, and
//! it is rounded there, by so little that no tape measure tells; where it turns more it has a corner, as on a flat panel.

use super::way::BEND;
use crate::surface::BodySkin;
use geom::{Point, Point3, Vec2};
use skin::surface::Surface;

/// How far from a point its two directions are looked at, as a share of the way to the next.
const BESIDE: f64 = 1.0 / 1024.0;
/// Turn, radians, from which it has a corner: beside a corner the turn of a line on a body is a little less or more, and
/// must still be more than a bend's. chosen: an eighth more.
const CORNER: f64 = 1.125 * BEND;
/// How far to either side of a point it is rounded, mm, if there is so much: the point is then passed by a quarter of that
/// times the turn, 1.2 mm at most. chosen: tape of 1/2 in lies in that bend with a third of a hundredth of strain.
const ROUNDED: f64 = 100.0;

/// A seam by number of its points: 0 at the first, 1 at the second, between them in between.
pub(super) struct Seam {
    path: Vec<Point>,
    /// How far to either side of each point it is rounded, mm.
    rounded: Vec<f64>,
}

impl Seam {
    /// Through these points of a body's flat.
    pub(super) fn through(body: &BodySkin, path: Vec<Point>) -> Seam {
        let last = path.len() - 1;
        let long = |k: usize| path[k].distance(path[k + 1]);
        let round = |k: usize| {
            if k == 0 || k == last || CORNER < turn(body, [path[k - 1], path[k], path[k + 1]]) {
                0.0
            } else {
                ROUNDED.min(long(k - 1) / 2.0).min(long(k) / 2.0)
            }
        };
        let rounded = (0..=last).map(round).collect();
        Seam { path, rounded }
    }

    /// Number of its last point.
    pub(super) fn last(&self) -> usize {
        self.path.len() - 1
    }

    /// Where it is.
    pub(super) fn at(&self, t: f64) -> Point {
        let k = (t.floor() as usize).min(self.path.len() - 2);
        let (a, b) = (self.path[k], self.path[k + 1]);
        let straight = a.lerp(b, t - k as f64);
        let long = a.distance(b);
        let [past, short] = [(t - k as f64) * long, (1.0 - (t - k as f64)) * long];
        if past < self.rounded[k] {
            self.round(k, past / self.rounded[k])
        } else if short < self.rounded[k + 1] {
            self.round(k + 1, -short / self.rounded[k + 1])
        } else {
            straight
        }
    }

    /// On the parabola round a point, from -1 where it is left to 1 where it is come back to.
    fn round(&self, k: usize, part: f64) -> Point {
        let (p, far) = (self.path[k], self.rounded[k]);
        let toward = |to: Point| p.lerp(to, far / p.distance(to));
        let (from, to) = (toward(self.path[k - 1]), toward(self.path[k + 1]));
        let share = (1.0 + part) / 2.0;
        from.lerp(p, share).lerp(p.lerp(to, share), share)
    }
}

/// By how much it turns on the skin at the middle one of three points, radians; 0 where the skin does not tell.
fn turn(body: &BodySkin, [before, at, after]: [Point; 3]) -> f64 {
    let skin = body.body();
    let place = |p: Point| body.place(body.reading(p));
    let told = || {
        let jet = skin.jet(place(at)?);
        let way = |to: Point| -> Option<Point3> {
            let beside: Vec2 = place(at.lerp(to, BESIDE))?;
            let d = skin.jet(beside).p - jet.p;
            Some(d - jet.normal() * d.dot(jet.normal()))
        };
        let (came, goes) = (-way(before)?, way(after)?);
        Some(came.cross(goes).length().atan2(came.dot(goes)))
    };
    told().unwrap_or(0.0)
}
