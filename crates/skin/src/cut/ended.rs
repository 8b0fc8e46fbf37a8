//! A patch that ends where it was asked to end, however coarse the scan.
//!
//! What laying a letter flat strains grows with the square of the patch, so a patch that ends in whole coarse
//! triangles, wider than the letter's box, says too much, and more the coarser the scan. Here the triangles on the
//! rim are cut off along the box's edges: what is left of each is still a flat piece of the scan's own triangle, so
//! that what is cut from the pattern lands on the scan as before.

use super::{Cutter, Patch, rounded};
use crate::around::around;
use crate::straight::Bearing;
use crate::surface::Grid;
use crate::{Mesh, Spot};
use geom::{Point3, Vec2};
use std::collections::{HashMap, HashSet};

/// Share of the mean side, or of half the box where that is less, by which a corner beside the box's edge counts as on it,
/// so that no needles are cut. chosen.
const ON_EDGE: f64 = 0.02;

/// A patch ended on the edges of its box.
#[derive(Clone, Debug)]
pub struct Ended {
    /// Flat pieces of the scan's own triangles: the ground of a pattern.
    pub patch: Patch,
    /// The same box on the smooth skin, where the scan's triangles are coarse beside it: what the skin itself strains.
    pub smooth: Option<Grid>,
    /// Mean Gaussian curvature within the box, 1/mm2: how far the ways out turn over its area.
    pub bend: f64,
}

/// Triangles with their flat places while their rim is cut off.
struct Rim {
    points: Vec<Point3>,
    flat: Vec<Vec2>,
    triangles: Vec<[u32; 3]>,
    /// Triangle of the skin each lies in.
    of: Vec<u32>,
}

impl Cutter<'_> {
    /// The patch within a rectangle of this width and height about a bearing (along it, square off it), ended on the
    /// rectangle's own edges; `None` where the first map is so far off that the bearing's own triangle is not in it.
    pub fn ended(&self, bearing: Bearing, size: Vec2) -> Option<Ended> {
        let (mesh, spot, half) = (self.mesh, bearing.spot, size / 2.0);
        // A triangle may come in with none of its corners inside, so each corner reaches as far as its longest side.
        let keep = |k: u32, at: Vec2| {
            let far = self.longest(k);
            at.x.abs() <= half.x + far && at.y.abs() <= half.y + far
        };
        let map = around(mesh, &self.normals, &self.firsts, spot, bearing.along, keep);
        let flat_of = |t: u32| mesh.triangles()[t as usize].map(|k| map.flat[k as usize]);
        let (mut kept, mut met, mut next) = (vec![spot.triangle], HashSet::from([spot.triangle]), 0);
        let mut short = false;
        while next < kept.len() {
            let t = kept[next];
            next += 1;
            let places = flat_of(t);
            for side in 3 * t..3 * t + 3 {
                let k = side as usize % 3;
                match mesh.across(side).map(|s| s / 3) {
                    None => short |= meets(half, places[k], places[(k + 1) % 3]),
                    Some(other) => {
                        if !met.contains(&other) && !beside(half, flat_of(other)) {
                            met.insert(other);
                            kept.push(other);
                        }
                    }
                }
            }
        }
        kept.sort_unstable();
        let (part, corners) = mesh.part(&kept);
        let rim = Rim {
            points: part.points().to_vec(),
            flat: corners.iter().map(|k| map.flat[*k as usize]).collect(),
            triangles: part.triangles().to_vec(),
            of: kept.clone(),
        };
        let normals: Vec<Point3> = corners.iter().map(|k| self.way_out(*k)).collect();
        let smooth = rounded::grid(&part, &rim.flat, &normals, size);
        let patch = rim.cut(half).patch(spot.point(mesh), spot.triangle, short)?;
        let turns = kept.iter().zip(part.triangles());
        let turns: Vec<f64> = turns
            .map(|(t, corners)| turn(corners.map(|k| normals[k as usize])) / mesh.cross(*t).length())
            .collect();
        // Triangles are kept in rising order.
        let of = |t: &u32| turns[kept.partition_point(|k| k < t)];
        let area = |t: usize| patch.mesh.cross(t as u32).length();
        let whole = patch.triangles.iter().enumerate().map(|(t, own)| of(own) * area(t)).sum::<f64>();
        let bend = whole / (2.0 * patch.mesh.area());
        Some(Ended { patch, smooth, bend })
    }
}

impl Rim {
    /// Cuts off what lies farther than `most` along `way`; corners within `near` of there count as on the edge.
    fn cut_off(&mut self, way: Vec2, most: f64, near: f64) {
        let depth = |p: &Vec2| Some(most - p.dot(way)).filter(|d| near < d.abs()).unwrap_or(0.0);
        let depths: Vec<f64> = self.flat.iter().map(depth).collect();
        if depths.iter().all(|d| 0.0 <= *d) {
            return;
        }
        let mut cuts = HashMap::new();
        let (triangles, of) = (std::mem::take(&mut self.triangles), std::mem::take(&mut self.of));
        for (t, of) in triangles.into_iter().zip(of) {
            let depth = t.map(|k| depths[k as usize]);
            if depth.iter().all(|d| 0.0 <= *d) && depth.iter().any(|d| 0.0 < *d) {
                self.triangles.push(t);
                self.of.push(of);
                continue;
            }
            // What only touches the edge has no area.
            if depth.iter().all(|d| *d <= 0.0) {
                continue;
            }
            let mut ring = Vec::with_capacity(4);
            for k in 0..3 {
                let (a, b, d, e) = (t[k], t[(k + 1) % 3], depth[k], depth[(k + 1) % 3]);
                if 0.0 <= d {
                    ring.push(a);
                }
                if d * e < 0.0 {
                    let cut = cuts.entry((a.min(b), a.max(b)));
                    ring.push(*cut.or_insert_with(|| self.between(a, b, d / (d - e))));
                }
            }
            for k in 2..ring.len() {
                self.triangles.push([ring[0], ring[k - 1], ring[k]]);
                self.of.push(of);
            }
        }
    }

    /// A new corner on a side.
    fn between(&mut self, a: u32, b: u32, share: f64) -> u32 {
        let (a, b) = (a as usize, b as usize);
        self.points.push(self.points[a].lerp(self.points[b], share));
        self.flat.push(self.flat[a].lerp(self.flat[b], share));
        self.points.len() as u32 - 1
    }

    /// Cut off along the four edges of a box.
    fn cut(mut self, half: Vec2) -> Rim {
        // Long facets of a drawn skin are longer than the box: all their corners would count as on its edges.
        let near = ON_EDGE * self.side().min(half.x).min(half.y);
        for (x, y) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            self.cut_off(Vec2::new(x, y), if y == 0.0 { half.x } else { half.y }, near);
        }
        self
    }

    /// Length of the sides in the mean square, mm: a few needles of a scan do not make the rest finer.
    fn side(&self) -> f64 {
        let at = |k: u32| self.points[k as usize];
        let one = |t: &[u32; 3]| (0..3).map(|k| at(t[k]).distance_squared(at(t[(k + 1) % 3]))).sum::<f64>();
        (self.triangles.iter().map(one).sum::<f64>() / (3 * self.triangles.len()) as f64).sqrt()
    }

    /// What hangs together with the piece that holds a spot, which lies in this triangle of the skin; `None` if nothing is
    /// left of that.
    fn patch(self, place: Point3, triangle: u32, short: bool) -> Option<Patch> {
        let all = Mesh::of_grid(self.points, self.triangles);
        let own: Vec<u32> = (0..self.of.len() as u32).filter(|t| self.of[*t as usize] == triangle).collect();
        let (centre, far) = Spot::nearest_of(&all, own, place);
        if !far.is_finite() {
            return None;
        }
        let (mut kept, mut next) = (vec![centre.triangle], 0);
        let mut met = vec![false; self.of.len()];
        met[centre.triangle as usize] = true;
        while next < kept.len() {
            let t = kept[next];
            next += 1;
            for other in (3 * t..3 * t + 3).filter_map(|s| all.across(s)).map(|s| s / 3) {
                if !std::mem::replace(&mut met[other as usize], true) {
                    kept.push(other);
                }
            }
        }
        kept.sort_unstable();
        let (mesh, corners) = all.part(&kept);
        let own = kept.partition_point(|t| *t < centre.triangle) as u32;
        Some(Patch {
            mesh,
            flat: corners.iter().map(|k| self.flat[*k as usize]).collect(),
            centre: Spot { triangle: own, ..centre },
            triangles: kept.iter().map(|t| self.of[*t as usize]).collect(),
            short,
        })
    }
}

/// Twice the area, on a ball of radius 1, between three ways out.
fn turn([a, b, c]: [Point3; 3]) -> f64 {
    a.dot(b.cross(c))
}

/// Whether a triangle of the flat map lies wholly beyond one edge of the box, or the map did not reach it.
fn beside(half: Vec2, at: [Vec2; 3]) -> bool {
    !(at.iter().any(|p| p.x < half.x)
        && at.iter().any(|p| -half.x < p.x)
        && at.iter().any(|p| p.y < half.y)
        && at.iter().any(|p| -half.y < p.y)
        && at.iter().all(|p| p.is_finite()))
}

/// Whether a line from `a` to `b` comes into the box.
fn meets(half: Vec2, a: Vec2, b: Vec2) -> bool {
    let step = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (at, way, most) in [(a.x, step.x, half.x), (a.y, step.y, half.y)] {
        if way == 0.0 {
            if most < at.abs() {
                return false;
            }
            continue;
        }
        let (one, other) = ((-most - at) / way, (most - at) / way);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from <= to
}

#[cfg(test)]
mod tests;
