//! The net of a chart: where each place of the first map (along, then square off) lies in the flat one, and what laying it
//! flat strained.

use super::body::BodySkin;
use super::figures::stroke_error;
use geom::{Point3, Vec2};
use skin::flatten::{Strain, flatten_sides};
use skin::surface::{Grid, Surface};

/// Rounds of putting a place right through the net; the map is nearly the identity.
const ROUNDS: usize = 6;

/// The net of a chart.
#[derive(Debug)]
pub(super) struct Net {
    pub(super) grid: Grid,
    /// By how much each corner is moved from its first place.
    pub(super) shifts: Vec<Vec2>,
    /// Greatest strain of each triangle.
    pub(super) strains: Vec<f64>,
}

impl Net {
    /// A grid laid flat, its middle where it was and the line through it along x; its strain, and the worst error of a
    /// straight stroke, mm, of a chart of this size. `None` if it folds.
    pub(super) fn laid(grid: Grid, size: Vec2) -> Option<(Net, Strain, f64)> {
        let flat = flatten_sides(&grid.mesh, &grid.sides(), &grid.flat).ok()?;
        if flat.turned_over > 0 {
            return None;
        }
        let at = |i: usize, j: usize| i * (grid.up + 1) + j;
        let (i, j) = (grid.across / 2, grid.up / 2);
        let origin = flat.places[at(i, j)];
        let along = flat.places[at(i + 1, j)] - flat.places[at(i - 1, j)];
        let turned = |p: Vec2| {
            let d = p - origin;
            Vec2::new(d.dot(along), along.cross(d)) / along.hypot()
        };
        let shifts = flat.places.iter().zip(&grid.flat).map(|(p, first)| turned(*p) - *first).collect();
        let (strains, stroke) = (flat.strains(&grid.mesh), stroke_error(&flat, &grid.mesh, size));
        Some((Net { grid, shifts, strains }, flat.strain, stroke))
    }

    /// Each triangle flat, with its greatest strain.
    pub(super) fn strained(&self) -> Vec<([Vec2; 3], f64)> {
        let place = |k: u32| self.grid.flat[k as usize] + self.shifts[k as usize];
        let corners = self.grid.mesh.triangles().iter().map(|t| t.map(place));
        corners.zip(self.strains.iter().copied()).collect()
    }

    /// Shift at a first place, straight between the corners round it; beyond the net that of its edge.
    pub(super) fn shift(&self, first: Vec2) -> Vec2 {
        self.between(&self.shifts, first)
    }

    pub(super) fn between<T>(&self, values: &[T], first: Vec2) -> T
    where
        T: Copy + std::ops::Mul<f64, Output = T> + std::ops::Add<Output = T>,
    {
        let (nu, nv) = (self.grid.across, self.grid.up);
        let (low, high) = (self.grid.flat[0], self.grid.flat[self.grid.flat.len() - 1]);
        let share = |x: f64, low: f64, high: f64, n: usize| {
            let at = ((x - low) / (high - low)).clamp(0.0, 1.0) * n as f64;
            let cell = (at.floor() as usize).min(n - 1);
            (cell, at - cell as f64)
        };
        let (i, a) = share(first.x, low.x, high.x, nu);
        let (j, b) = share(first.y, low.y, high.y, nv);
        let at = |i: usize, j: usize| values[i * (nv + 1) + j];
        let left = at(i, j) * (1.0 - b) + at(i, j + 1) * b;
        let right = at(i + 1, j) * (1.0 - b) + at(i + 1, j + 1) * b;
        left * (1.0 - a) + right * a
    }

    /// First place of a flat one.
    pub(super) fn first(&self, local: Vec2) -> Vec2 {
        let mut first = local;
        for _ in 0..ROUNDS {
            first = local - self.shift(first);
        }
        first
    }

    /// First place of the corner nearest to a point in space.
    pub(super) fn nearest(&self, to: Point3) -> Option<Vec2> {
        let far = |p: &Point3| p.distance_squared(to);
        let points = self.grid.mesh.points().iter().zip(&self.grid.flat);
        points.min_by(|a, b| far(a.0).total_cmp(&far(b.0))).map(|(_, first)| *first)
    }

    /// For each edge of the side of a body, how far inside it every corner lies, mm along or round the body.
    pub(super) fn edges(&self, body: &BodySkin) -> [Vec<f64>; 4] {
        let (from, to) = body.range();
        let (low, high) = skin::body::Body::shares(body.side());
        let of = |f: &dyn Fn(Vec2, f64) -> f64| {
            let one = |p: &Vec2| f(*p, body.body().jet(*p).v.length());
            self.grid.places.iter().map(one).collect::<Vec<f64>>()
        };
        [
            of(&|p, _| p.x - from),
            of(&|p, _| to - p.x),
            of(&|p, girth| (p.y - low) * girth),
            of(&|p, girth| (high - p.y) * girth),
        ]
    }

    /// What of a border (flat, about the middle) lies inside an edge; where it leaves, the edge is followed.
    pub(super) fn cut_off(&self, border: &[Vec2], inside: &[f64]) -> Vec<Vec2> {
        let depth = |p: Vec2| self.between(inside, self.first(p));
        let depths: Vec<f64> = border.iter().map(|p| depth(*p)).collect();
        if depths.iter().all(|d| 0.0 <= *d) {
            return border.to_vec();
        }
        let n = border.len();
        let (mut kept, mut left): (Vec<Vec2>, Option<usize>) = (Vec::new(), None);
        for k in 0..n {
            let (a, b) = (depths[k], depths[(k + 1) % n]);
            if 0.0 <= a {
                kept.push(border[k]);
            }
            if (0.0 <= a) != (0.0 <= b) {
                kept.push(border[k].lerp(border[(k + 1) % n], a / (a - b)));
                if 0.0 <= a {
                    left = Some(kept.len() - 1);
                }
            }
        }
        // Between where it left and where it came back the edge itself, nearly straight, is put on its line.
        let Some(from) = left else { return kept };
        let to = (from + 1) % kept.len();
        let (a, b) = (kept[from], kept[to]);
        let along = b - a;
        let across = Vec2::new(-along.y, along.x) / along.hypot();
        let parts = 16;
        let followed = (1..parts).map(|i| {
            let mut p = a + along * (f64::from(i) / f64::from(parts));
            for _ in 0..ROUNDS {
                let d = depth(p);
                let rate = depth(p + across) - d;
                if rate.abs() <= geom::tolerance::NOISE_UNIT {
                    break;
                }
                p -= across * (d / rate);
            }
            p
        });
        let followed: Vec<Vec2> = followed.collect();
        kept.splice(from + 1..from + 1, followed);
        kept
    }
}
