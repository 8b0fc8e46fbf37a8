//! Straight on over triangles: the line tape takes by itself, and characters along it.
//!
//! Within a triangle the line is straight, across a side it stays straight when the two triangles are laid flat, and
//! at a corner it leaves equal angles of skin on both hands (Polthier and Schmies 1998). A direction carried along such
//! a line keeps its angle to it, so the line's own heading says how each character stands.

use crate::mesh::NONE;
use crate::{Mesh, Spot};
use geom::Point3;
use geom::tolerance::NOISE_UNIT;

/// A spot and a unit direction along the skin there, in the plane of the spot's triangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    /// Where.
    pub spot: Spot,
    /// Which way, in space.
    pub along: Point3,
}

/// A line straight on.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its points, from the start to the end.
    pub points: Vec<Point3>,
    /// Where it ended, still headed straight on.
    pub end: Bearing,
    /// Its length, mm: less than asked for where it met the edge of the skin.
    pub length: f64,
}

impl Bearing {
    /// At `spot`, headed as near `along` as the skin allows; `None` if that is square to the skin.
    pub fn new(mesh: &Mesh, spot: Spot, along: Point3) -> Option<Bearing> {
        let n = mesh.cross(spot.triangle).normalize();
        let along = (along - n * along.dot(n)).try_normalize()?;
        Some(Bearing { spot, along })
    }

    /// The same spot, turned counter-clockwise (seen from outside) by `angle`.
    pub fn turned(self, mesh: &Mesh, angle: f64) -> Bearing {
        let n = mesh.cross(self.spot.triangle).normalize();
        let (sin, cos) = angle.sin_cos();
        Bearing { along: self.along * cos + n.cross(self.along) * sin, ..self }
    }

    /// Straight on for `length` mm (back if negative), as far as the skin goes.
    pub fn ahead(self, mesh: &Mesh, length: f64) -> Line {
        if length < 0.0 {
            let mut line = Bearing { along: -self.along, ..self }.ahead(mesh, -length);
            line.end.along = -line.end.along;
            return line;
        }
        let mut walk = Walk { mesh, at: self, points: vec![self.spot.point(mesh)], came: NONE, gone: 0.0 };
        // A line crosses a triangle of a sound mesh a few times at most.
        for _ in 0..8 * mesh.triangles().len() + 8 {
            if !walk.step(length) {
                break;
            }
        }
        Line { points: walk.points, end: walk.at, length: walk.gone }
    }
}

struct Walk<'a> {
    mesh: &'a Mesh,
    at: Bearing,
    points: Vec<Point3>,
    /// The side it came in by, in the triangle it is in.
    came: u32,
    gone: f64,
}

impl Walk<'_> {
    /// On to the far side of the triangle, or to the end; false when it has ended.
    fn step(&mut self, length: f64) -> bool {
        let Bearing { spot, along } = self.at;
        let t = spot.triangle;
        if self.points.len() == 1
            && let Some(k) = (0..3).find(|k| 1.0 - NOISE_UNIT <= spot.shares[*k])
        {
            self.points.push(self.points[0]);
            return self.round_corner(3 * t + k as u32, true);
        }
        let rate = rates(self.mesh, t, along);
        // The corner's share that runs out first names the side it faces.
        let (mut far, mut out) = (f64::INFINITY, 0);
        for k in 0..3 {
            let side = (k + 1) % 3;
            if rate[k] < 0.0 && 3 * t + side as u32 != self.came {
                let at = spot.shares[k].max(0.0) / -rate[k];
                if at < far {
                    (far, out) = (at, side);
                }
            }
        }
        let left = length - self.gone;
        if left <= far {
            let shares: [f64; 3] = std::array::from_fn(|k| spot.shares[k] + rate[k] * left);
            self.at.spot.shares = tidy(shares);
            self.gone = length;
            self.points.push(self.at.spot.point(self.mesh));
            return false;
        }
        if !far.is_finite() {
            return false;
        }
        let mut shares: [f64; 3] = std::array::from_fn(|k| spot.shares[k] + rate[k] * far);
        shares[(out + 2) % 3] = 0.0;
        let shares = tidy(shares);
        self.gone += far;
        self.at.spot.shares = shares;
        self.points.push(self.at.spot.point(self.mesh));
        let side = 3 * t + out as u32;
        // Within a thousand-millionth of a corner it is at the corner.
        if shares[out] <= NOISE_UNIT {
            return self.round_corner(Mesh::next(side), false);
        }
        if shares[(out + 1) % 3] <= NOISE_UNIT {
            return self.round_corner(side, false);
        }
        let Some(other) = self.mesh.across(side) else { return false };
        let mut into = [0.0; 3];
        into[other as usize % 3] = shares[(out + 1) % 3];
        into[(other as usize + 1) % 3] = shares[out];
        let e = (self.mesh.point(self.mesh.to(side)) - self.mesh.point(self.mesh.from(side))).normalize();
        let m = e.cross(self.mesh.cross(t).normalize());
        let m_other = -(-e).cross(self.mesh.cross(other / 3).normalize());
        let on = e * along.dot(e) + m_other * along.dot(m);
        self.at = Bearing { spot: Spot { triangle: other / 3, shares: into }, along: on.normalize() };
        self.came = other;
        true
    }

    /// At the corner a side starts from: on with equal angles on both hands, or from a `start` there as it is headed;
    /// ends at an edge of the skin.
    fn round_corner(&mut self, side: u32, start: bool) -> bool {
        let mesh = self.mesh;
        let corner = mesh.from(side);
        // The fan from the clockwise-most side; all of it is needed.
        let mut first = side;
        while let Some(other) = mesh.across(first) {
            let next = Mesh::next(other);
            first = next;
            if first == side {
                break;
            }
        }
        let fan: Vec<u32> = mesh.around(first).collect();
        let at = mesh.point(corner);
        let angle = |s: u32| (mesh.point(mesh.to(s)) - at).angle_between(mesh.point(mesh.facing(s)) - at);
        let total: f64 = fan.iter().map(|s| angle(*s)).sum();
        // Where it came from, counter-clockwise from the first side.
        let mut from = 0.0;
        for &s in &fan {
            if s / 3 == self.at.spot.triangle {
                let x = (mesh.point(mesh.to(s)) - at).normalize();
                let y = mesh.cross(s / 3).normalize().cross(x);
                let headed = if start { self.at.along } else { -self.at.along };
                from += headed.dot(y).atan2(headed.dot(x));
                break;
            }
            from += angle(s);
        }
        let closed = mesh.across(first).is_some();
        let mut to = if start { from } else { from + total / 2.0 };
        if closed {
            to = to.rem_euclid(total);
        } else if start {
            if to < 0.0 {
                to += std::f64::consts::TAU;
            }
            if total + NOISE_UNIT < to {
                return false;
            }
        } else {
            // Half a turn of flat skin on the left hand, if there is that much.
            to = from + std::f64::consts::PI;
            if total < to {
                to = from - std::f64::consts::PI;
            }
            if to < 0.0 {
                self.at.spot = Spot::at_start_of(side);
                return false;
            }
        }
        for &s in &fan {
            if to <= angle(s) || s == fan[fan.len() - 1] {
                let x = (mesh.point(mesh.to(s)) - at).normalize();
                let y = mesh.cross(s / 3).normalize().cross(x);
                let along = x * to.cos() + y * to.sin();
                self.at = Bearing { spot: Spot::at_start_of(s), along };
                self.came = NONE;
                return true;
            }
            to -= angle(s);
        }
        false
    }
}

/// Change of each corner's share for a step of 1 mm along a direction in the triangle's plane.
fn rates(mesh: &Mesh, t: u32, along: Point3) -> [f64; 3] {
    let [a, b, c] = mesh.corners(t);
    let n = mesh.cross(t);
    let doubled = n.length_squared();
    [c - b, a - c, b - a].map(|side| n.cross(side).dot(along) / doubled)
}

/// Shares that add up to 1 with none below 0.
fn tidy(shares: [f64; 3]) -> [f64; 3] {
    let shares = shares.map(|s| s.max(0.0));
    let sum: f64 = shares.iter().sum();
    shares.map(|s| s / sum)
}

/// Bearings at these distances along the line straight on through `middle` (mm, negative before it): where the
/// characters of a mark stand, each at its own mid-height, and how each is turned. `None` beyond the edge of the skin.
pub fn along(mesh: &Mesh, middle: Bearing, distances: &[f64]) -> Vec<Option<Bearing>> {
    let slack = NOISE_UNIT * distances.iter().fold(1.0, |most: f64, d| most.max(d.abs()));
    let one = |d: &f64| {
        let line = middle.ahead(mesh, *d);
        (d.abs() - slack <= line.length).then_some(line.end)
    };
    distances.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::forms::{Cylinder, Egg};
    use crate::surface::{Heading, Surface, grid};
    use geom::Vec2;
    use proptest::prelude::*;

    #[test]
    fn on_a_tube_it_is_a_helix() {
        let tube = Cylinder { radius: 300.0 };
        let grid = grid(&tube, Heading::new(&tube, Vec2::ZERO, Point3::X), 600.0, 600.0, 60, 60);
        let (spot, _) = Spot::nearest(&grid.mesh, tube.jet(Vec2::ZERO).p);
        // At a corner of the grid, along a diagonal through corners, and askew.
        for angle in [0.0_f64, 0.25 * std::f64::consts::PI, 0.3, 1.2] {
            let start = Bearing::new(&grid.mesh, spot, Point3::X).unwrap().turned(&grid.mesh, angle);
            let line = start.ahead(&grid.mesh, 250.0);
            let wanted = tube.jet(Vec2::new(250.0 * angle.cos(), 250.0 * angle.sin() / 300.0)).p;
            assert!((line.length - 250.0).abs() < 1e-9);
            // Round the grid's prism a turn is shorter by the chords' share, and the first plane is tilted by half a square.
            assert!((line.end.spot.point(&grid.mesh) - wanted).length() < 0.1, "{angle}");
            let long: f64 = line.points.windows(2).map(|w| w[0].distance(w[1])).sum();
            assert!((long - 250.0).abs() < 1e-9);
            let back = line.end.ahead(&grid.mesh, -250.0);
            assert!((back.end.spot.point(&grid.mesh) - spot.point(&grid.mesh)).length() < 1e-6);
        }
        let off = Bearing::new(&grid.mesh, spot, Point3::X).unwrap().ahead(&grid.mesh, 1000.0);
        assert!((off.length - 300.0).abs() < 1e-6);
        let stands = along(
            &grid.mesh,
            Bearing::new(&grid.mesh, spot, Point3::X).unwrap(),
            &[-100.0, 0.0, 299.9, 301.0],
        );
        assert_eq!(stands.iter().map(Option::is_some).collect::<Vec<_>>(), [true, true, true, false]);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        #[test]
        fn on_a_ball_it_is_a_great_circle_from_anywhere(
            t in 0..7200_u32, a in 0.05..0.9_f64, b in 0.05..0.9_f64, angle in 0.0..6.2_f64,
        ) {
            let ball = Egg { half_length: 200.0, radius: 200.0 };
            let grid = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 240.0, 240.0, 60, 60);
            let mesh = &grid.mesh;
            let spot = Spot { triangle: t, shares: [1.0 - a * (1.0 - b) - a * b, a * (1.0 - b), a * b] };
            let start = Bearing::new(mesh, spot, Point3::new(0.3, 0.5, 0.8)).unwrap().turned(mesh, angle);
            let line = start.ahead(mesh, 100.0);
            prop_assume!(99.999 < line.length);
            let from = start.spot.point(mesh).normalize();
            let wanted = from * 0.5_f64.cos() + start.along * 0.5_f64.sin();
            let there = line.end.spot.point(mesh).normalize();
            prop_assert!((there - wanted).length() < 0.02, "{}", (there - wanted).length());
            prop_assert!((line.end.along.length() - 1.0).abs() < 1e-9);
        }
    }
}
