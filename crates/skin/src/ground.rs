//! A skin that can be walked straight on over, whether it is given by formula or by triangles.
//!
//! Whoever lays a line on a skin needs no more than this: where one stands and which way one looks, a turn, a walk
//! straight on, the straightest way to a place near by, and how the skin bends there.

use crate::straight::Bearing;
use crate::surface::way::between;
use crate::surface::{Heading, Surface};
use crate::{Mesh, Spot};
use geom::Point3;
use geom::tolerance::{NOISE_MM, STRIP_AIM_MM};
use std::f64::consts::TAU;

/// Most rounds of spreading curvature over triangles: what is smoother than 10 sides needs no more.
const MOST_ROUNDS: usize = 100;

/// Most times a way over triangles is tried.
const MOST_TRIES: usize = 40;

/// A skin to walk on.
pub trait Ground {
    /// A place on it and a direction there.
    type Stand: Copy + std::fmt::Debug;

    /// The place in space, mm.
    fn point(&self, at: Self::Stand) -> Point3;
    /// The direction in space, of unit length.
    fn along(&self, at: Self::Stand) -> Point3;
    /// The way out of the skin, of unit length.
    fn out(&self, at: Self::Stand) -> Point3;
    /// The same place, turned counter-clockwise (seen from outside) by so many radians.
    fn turned(&self, at: Self::Stand, angle: f64) -> Self::Stand;
    /// Straight on for so many mm (back if negative), still headed straight on; `None` where the skin ends before.
    fn ahead(&self, at: Self::Stand, length: f64) -> Option<Self::Stand>;
    /// The straightest way to a place near by: headed along it, and its length, mm; `None` if it is not found.
    fn toward(&self, at: Self::Stand, to: Point3) -> Option<(Self::Stand, f64)>;
    /// Gaussian curvature, 1/mm2.
    fn gauss(&self, at: Self::Stand) -> f64;
}

impl<S: Surface> Ground for S {
    type Stand = Heading;

    fn point(&self, at: Heading) -> Point3 {
        self.jet(at.uv).p
    }

    fn along(&self, at: Heading) -> Point3 {
        self.jet(at.uv).direction(at.way)
    }

    fn out(&self, at: Heading) -> Point3 {
        self.jet(at.uv).normal()
    }

    fn turned(&self, at: Heading, angle: f64) -> Heading {
        at.turned(self, angle)
    }

    fn ahead(&self, at: Heading, length: f64) -> Option<Heading> {
        let end = at.ahead(self, length);
        end.uv.is_finite().then_some(end)
    }

    fn toward(&self, at: Heading, to: Point3) -> Option<(Heading, f64)> {
        between(self, at.uv, to)
    }

    fn gauss(&self, at: Heading) -> f64 {
        self.jet(at.uv).curvature()
    }
}

/// Triangles with the Gaussian curvature at each corner, as smoothed as its maker thinks right.
#[derive(Clone, Copy, Debug)]
pub struct Bent<'a> {
    /// The triangles.
    pub mesh: &'a Mesh,
    /// Curvature at each corner, 1/mm2.
    pub gauss: &'a [f64],
}

impl Ground for Bent<'_> {
    type Stand = Bearing;

    fn point(&self, at: Bearing) -> Point3 {
        at.spot.point(self.mesh)
    }

    fn along(&self, at: Bearing) -> Point3 {
        at.along
    }

    fn out(&self, at: Bearing) -> Point3 {
        self.mesh.cross(at.spot.triangle).normalize()
    }

    fn turned(&self, at: Bearing, angle: f64) -> Bearing {
        at.turned(self.mesh, angle)
    }

    fn ahead(&self, at: Bearing, length: f64) -> Option<Bearing> {
        let line = at.ahead(self.mesh, length);
        (length.abs() <= line.length + NOISE_MM).then_some(line.end)
    }

    /// Across sides and past corners a way jumps a little; it is taken where it comes within
    /// [`STRIP_AIM_MM`] of the place.
    fn toward(&self, at: Bearing, to: Point3) -> Option<(Bearing, f64)> {
        let here = at.spot.point(self.mesh);
        let mut length = to.distance(here);
        if length <= NOISE_MM {
            return Some((at, 0.0));
        }
        let mut heading = Bearing::new(self.mesh, at.spot, to - here)?;
        let mut best: Option<(f64, Bearing, f64)> = None;
        for _ in 0..MOST_TRIES {
            let line = heading.ahead(self.mesh, length);
            let end = line.end;
            let miss = to - end.spot.point(self.mesh);
            let far = miss.length();
            if line.length + NOISE_MM >= length && best.as_ref().is_none_or(|b| far < b.0) {
                best = Some((far, heading, length));
            }
            if far <= NOISE_MM {
                break;
            }
            let left = self.out(end).cross(end.along);
            heading = heading.turned(self.mesh, (miss.dot(left) / length).clamp(-0.5, 0.5));
            length += miss.dot(end.along).clamp(-0.5 * length, length);
            if !length.is_finite() || !heading.along.is_finite() {
                break;
            }
        }
        best.filter(|b| b.0 <= STRIP_AIM_MM).map(|(_, heading, length)| (heading, length))
    }

    fn gauss(&self, at: Bearing) -> f64 {
        at.spot.between(self.mesh, self.gauss)
    }
}

/// A stand on triangles at the spot nearest to a point, looking toward another.
pub fn stand_on(mesh: &Mesh, at: Point3, toward: Point3) -> Option<Bearing> {
    let (spot, _) = Spot::nearest(mesh, at);
    Bearing::new(mesh, spot, toward - spot.point(mesh))
}

/// Gaussian curvature at each corner, 1/mm2: what the corners within about `length` mm lack to a full turn, over their
/// area. A rim has none of its own and takes its neighbours'.
pub fn bends(mesh: &Mesh, length: f64) -> Vec<f64> {
    let n = mesh.points().len();
    let (mut lacks, mut area, mut rim) = (vec![TAU; n], vec![0.0; n], vec![false; n]);
    let sides = 3 * mesh.triangles().len() as u32;
    let (mut long, mut shares) = (0.0, vec![1.0; n]);
    for side in 0..sides {
        let a = mesh.from(side) as usize;
        let (to, last) = (mesh.point(mesh.to(side)), mesh.point(mesh.facing(side)));
        let here = mesh.points()[a];
        lacks[a] -= (to - here).angle_between(last - here);
        area[a] += mesh.cross(side / 3).length() / 6.0;
        long += to.distance(here);
        shares[a] += 1.0;
        if mesh.across(side).is_none() {
            rim[a] = true;
            rim[mesh.to(side) as usize] = true;
        }
    }
    for k in (0..n).filter(|k| rim[*k]) {
        (lacks[k], area[k]) = (0.0, 0.0);
    }
    // Spread from corner to corner: so many rounds of a mean over neighbours reach about their square root of sides.
    let side = long / f64::from(sides.max(1));
    let rounds = ((length / side.max(NOISE_MM)).powi(2).ceil() as usize).clamp(1, MOST_ROUNDS);
    for _ in 0..rounds {
        // Each gives itself and its neighbours equal shares, so that no sum is lost.
        let (mut l, mut a) = (vec![0.0; n], vec![0.0; n]);
        for k in 0..n {
            (lacks[k], area[k]) = (lacks[k] / shares[k], area[k] / shares[k]);
            (l[k], a[k]) = (lacks[k], area[k]);
        }
        for s in 0..sides {
            let (from, to) = (mesh.from(s) as usize, mesh.to(s) as usize);
            l[to] += lacks[from];
            a[to] += area[from];
        }
        (lacks, area) = (l, a);
    }
    lacks.iter().zip(&area).map(|(l, a)| if 0.0 < *a { l / a } else { 0.0 }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::forms::{Cylinder, Egg};
    use crate::surface::grid;
    use geom::Vec2;

    #[test]
    fn triangles_of_a_ball_bend_by_its_radius_and_those_of_a_tube_not_at_all() {
        let ball = Egg { half_length: 300.0, radius: 300.0 };
        let on = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 200.0, 200.0, 40, 40);
        let found = bends(&on.mesh, 15.0);
        let middle = 20 * 41 + 20;
        assert!((found[middle] * 9e4 - 1.0).abs() < 0.01, "{}", found[middle] * 9e4);
        assert!(found.iter().all(|k| (k * 9e4 - 1.0).abs() < 0.1));
        let tube = Cylinder { radius: 300.0 };
        let on = grid(&tube, Heading::new(&tube, Vec2::ZERO, Point3::X), 200.0, 200.0, 40, 40);
        assert!(bends(&on.mesh, 15.0).iter().all(|k| (k * 9e4).abs() < 0.001));
    }

    #[test]
    fn over_triangles_a_place_near_by_is_found() {
        let ball = Egg { half_length: 300.0, radius: 300.0 };
        let on = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 200.0, 200.0, 40, 40);
        let ground = Bent { mesh: &on.mesh, gauss: &[] };
        let (from, to) = (ball.jet(Vec2::new(0.05, 0.02)).p, on.mesh.points()[33 * 41 + 9]);
        let stand = stand_on(&on.mesh, from, to).unwrap();
        let (heading, length) = ground.toward(stand, to).unwrap();
        let end = ground.ahead(heading, length).unwrap();
        assert!(ground.point(end).distance(to) <= STRIP_AIM_MM);
        let arc = 300.0 * from.normalize().dot(to.normalize()).acos();
        assert!((length / arc - 1.0).abs() < 1e-3, "{length} {arc}");
        assert!(ground.ahead(heading, 1e4).is_none());
    }
}
