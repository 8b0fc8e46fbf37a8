//! Skins given by formula: what a point of two numbers is in space, and how the skin bends there.
//!
//! Everything else follows from the first and second derivatives: the way out, the curvature, the straightest line
//! (a geodesic: a strip of tape that is not steered), and a grid laid out about a centre by such lines.

use crate::Mesh;
use geom::{Point3, Vec2};

pub mod forms;
mod settle;
pub mod way;

/// A point of a skin with its derivatives by `u` and `v`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jet {
    /// The point, mm.
    pub p: Point3,
    /// First derivatives.
    pub u: Point3,
    /// By v.
    pub v: Point3,
    /// Second derivatives.
    pub uu: Point3,
    /// By u and v.
    pub uv: Point3,
    /// By v twice.
    pub vv: Point3,
}

impl Jet {
    /// The way out: u, v and it are right-handed.
    pub fn normal(&self) -> Point3 {
        self.u.cross(self.v).normalize_or_zero()
    }

    /// Gaussian curvature, 1/mm2: positive on a ball, negative on a saddle, 0 where the skin unrolls.
    pub fn curvature(&self) -> f64 {
        let n = self.normal();
        let (e, f, g) = (self.u.dot(self.u), self.u.dot(self.v), self.v.dot(self.v));
        (self.uu.dot(n) * self.vv.dot(n) - self.uv.dot(n).powi(2)) / (e * g - f * f)
    }

    /// Shares of `u` and `v` that make a direction along the skin (its part off the skin is dropped).
    pub fn shares(&self, w: Point3) -> Vec2 {
        let (e, f, g) = (self.u.dot(self.u), self.u.dot(self.v), self.v.dot(self.v));
        let (a, b) = (w.dot(self.u), w.dot(self.v));
        Vec2::new(g * a - f * b, e * b - f * a) / (e * g - f * f)
    }

    /// The direction in space of shares of `u` and `v`.
    pub fn direction(&self, shares: Vec2) -> Point3 {
        self.u * shares.x + self.v * shares.y
    }

    /// What second derivatives along a line add off its own change of shares.
    fn bend(&self, d: Vec2) -> Point3 {
        self.uu * (d.x * d.x) + self.uv * (2.0 * d.x * d.y) + self.vv * (d.y * d.y)
    }
}

/// A skin given by formula.
pub trait Surface {
    /// The point at `uv` with its derivatives.
    fn jet(&self, uv: Vec2) -> Jet;
}

/// A point on a skin by formula and a unit direction there, as shares of its derivatives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heading {
    /// The point's two numbers.
    pub uv: Vec2,
    /// Direction, of unit length on the skin.
    pub way: Vec2,
}

/// Longest step along a straightest line, as a share of the least radius of bend met. chosen: the fourth-order
/// rule then errs by less than a ten-millionth of the way.
const STEP: f64 = 0.02;

/// Longest step along a straightest line, mm. Where a skin hardly bends a step would be long and pass over the bends that
/// come after it. chosen: over a swell of 40 mm beyond half a metre of straight tube one is then 0.001 mm off, and 3.6 mm
/// off in one step.
const LONGEST: f64 = 60.0;

/// A step that ends where the skin bends so much more than a step of its length may is taken again, shorter; and by how much
/// at most. chosen.
const SHARPER: f64 = 3.0;
const LEAST: f64 = 16.0;

impl Heading {
    /// At `uv` along the direction `along` in space.
    pub fn new(surface: &impl Surface, uv: Vec2, along: Point3) -> Heading {
        let jet = surface.jet(uv);
        let way = jet.shares(along);
        Heading { uv, way: way / jet.direction(way).length() }
    }

    /// The same place, turned counter-clockwise (seen from outside) by `angle`.
    pub fn turned(self, surface: &impl Surface, angle: f64) -> Heading {
        let jet = surface.jet(self.uv);
        let x = jet.direction(self.way);
        let (sin, cos) = angle.sin_cos();
        Heading { uv: self.uv, way: jet.shares(x * cos + jet.normal().cross(x) * sin) }
    }

    /// Straight on for `length` mm (back if negative): where one comes to, still headed straight on.
    ///
    /// Steps of the fourth order, as short as the bend of the skin asks for; the speed is put right after each.
    pub fn ahead(mut self, surface: &impl Surface, length: f64) -> Heading {
        let back = length < 0.0;
        if back {
            self.way = -self.way;
        }
        let mut left = length.abs();
        let mut jet = surface.jet(self.uv);
        while 0.0 < left {
            let step = left / (left / most(&jet, self.way)).ceil().max(1.0);
            let (mut gone, mut next) = (step, self.stepped(surface, &jet, step));
            let there = most(&next.1, next.0.way);
            if SHARPER * there < step {
                gone = (SHARPER * there).max(step / LEAST);
                next = self.stepped(surface, &jet, gone);
            }
            (self, jet) = next;
            left = if left <= gone { 0.0 } else { left - gone };
        }
        if back {
            self.way = -self.way;
        }
        self
    }

    /// A step from where the skin is as `here` says; and how it is where one comes to.
    fn stepped(self, surface: &impl Surface, here: &Jet, h: f64) -> (Heading, Jet) {
        let rate = |uv: Vec2, way: Vec2| (way, slow(&surface.jet(uv), way));
        let (a, da) = (self.way, slow(here, self.way));
        let (b, db) = rate(self.uv + a * (h / 2.0), self.way + da * (h / 2.0));
        let (c, dc) = rate(self.uv + b * (h / 2.0), self.way + db * (h / 2.0));
        let (d, dd) = rate(self.uv + c * h, self.way + dc * h);
        let uv = self.uv + (a + (b + c) * 2.0 + d) * (h / 6.0);
        let way = self.way + (da + (db + dc) * 2.0 + dd) * (h / 6.0);
        let jet = surface.jet(uv);
        (Heading { uv, way: way / jet.direction(way).length() }, jet)
    }
}

/// The longest step for the bend of the skin at a place, mm.
fn most(jet: &Jet, way: Vec2) -> f64 {
    let bend = (jet.bend(way) + jet.direction(slow(jet, way))).length();
    let wide = jet.bend(way).length().max(bend);
    if wide <= 0.0 { LONGEST } else { (STEP / wide).min(LONGEST) }
}

/// Change of the shares along a straightest line: what keeps its bend square to the skin.
fn slow(jet: &Jet, way: Vec2) -> Vec2 {
    -jet.shares(jet.bend(way))
}

/// A grid about a centre: columns stand square on a straightest line through it.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Corners column by column, each from the bottom up.
    pub mesh: Mesh,
    /// Each corner's distance along the line and then square off it, mm: a first flat map, true along both.
    pub flat: Vec<Vec2>,
    /// Each corner's two numbers on the skin.
    pub places: Vec<Vec2>,
    /// The way out at each corner.
    pub normals: Vec<Point3>,
    /// Squares along the line.
    pub across: usize,
    /// Squares square to it.
    pub up: usize,
}

/// A grid of `across` by `up` squares, each cut in two, over `width` by `height` mm about `centre`.
pub fn grid(
    surface: &impl Surface,
    centre: Heading,
    width: f64,
    height: f64,
    across: usize,
    up: usize,
) -> Grid {
    let (nu, nv) = (across.max(1), up.max(1));
    let at = |k: usize, n: usize, size: f64| size * (k as f64 / n as f64 - 0.5);
    // The places of one side of the middle, from the middle outwards.
    let outwards = |n: usize, after: bool| -> Vec<usize> {
        let side = (0..=n).filter(|k| (0.0 <= at(*k, n, 1.0)) == after);
        if after { side.collect() } else { side.rev().collect() }
    };
    let mut points = vec![Point3::ZERO; (nu + 1) * (nv + 1)];
    let mut flat = vec![Vec2::ZERO; points.len()];
    let mut places = flat.clone();
    let mut normals = points.clone();
    for right in [false, true] {
        let (mut base, mut gone) = (centre, 0.0);
        for i in outwards(nu, right) {
            let x = at(i, nu, width);
            base = base.ahead(surface, x - gone);
            gone = x;
            let upright = base.turned(surface, std::f64::consts::FRAC_PI_2);
            for above in [false, true] {
                let (mut spot, mut climbed) = (upright, 0.0);
                for j in outwards(nv, above) {
                    let y = at(j, nv, height);
                    spot = spot.ahead(surface, y - climbed);
                    climbed = y;
                    let jet = surface.jet(spot.uv);
                    points[i * (nv + 1) + j] = jet.p;
                    normals[i * (nv + 1) + j] = jet.normal();
                    places[i * (nv + 1) + j] = spot.uv;
                    flat[i * (nv + 1) + j] = Vec2::new(x, y);
                }
            }
        }
    }
    let mesh = Mesh::of_grid(points, triangles(nu, nv));
    Grid { mesh, flat, places, normals, across: nu, up: nv }
}

impl Grid {
    /// Length of each side over the skin, as [`crate::flatten::flatten_sides`] takes them.
    pub fn sides(&self) -> Vec<f64> {
        let one = |side: u32| {
            let (a, b) = (self.mesh.from(side) as usize, self.mesh.to(side) as usize);
            over(self.mesh.points()[b] - self.mesh.points()[a], self.normals[b] - self.normals[a])
        };
        (0..3 * self.mesh.triangles().len() as u32).map(one).collect()
    }
}

/// Length over the skin of a short chord between two points whose ways out differ by `turn`. Exact on tubes and balls,
/// else off by the fourth power of chord over radius: the part of the chord along the turn is the chord of an arc.
fn over(chord: Point3, turn: Point3) -> f64 {
    let half = turn.length() / 2.0;
    let Some(way) = turn.try_normalize() else { return chord.length() };
    let along = chord.dot(way);
    let swelled = half.min(1.0).asin() / half;
    (chord.length_squared() + along * along * (swelled * swelled - 1.0)).sqrt()
}

/// Two triangles a square, the cut turning from square to square.
pub fn triangles(across: usize, up: usize) -> Vec<[u32; 3]> {
    let corner = |i: usize, j: usize| (i * (up + 1) + j) as u32;
    let mut all = Vec::with_capacity(2 * across * up);
    for i in 0..across {
        for j in 0..up {
            let (a, b, c, d) = (corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1));
            all.extend(if (i + j) % 2 == 0 { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] });
        }
    }
    all
}

#[cfg(test)]
mod tests;
