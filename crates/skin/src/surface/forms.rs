//! Cylinder, cone, ball, ring and egg: skins whose lengths and bends are known in closed form.
//!
//! A cylinder and a cone unroll exactly: [`Cylinder::unrolled`] and [`Cone::unrolled`] give the flat place of a point,
//! and lengths there are those on the skin.

use super::{Jet, Surface};
use geom::{Point3, Vec2};

/// A round tube about the x axis: u along it in mm, v the angle round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cylinder {
    /// Radius, mm.
    pub radius: f64,
}

impl Cylinder {
    /// Flat place of a point, mm.
    pub fn unrolled(&self, uv: Vec2) -> Vec2 {
        Vec2::new(uv.x, self.radius * uv.y)
    }
}

impl Surface for Cylinder {
    fn jet(&self, uv: Vec2) -> Jet {
        let (sin, cos) = uv.y.sin_cos();
        let ring = Point3::new(0.0, -cos, sin) * self.radius;
        let turn = Point3::new(0.0, sin, cos) * self.radius;
        Jet {
            p: ring + Point3::X * uv.x,
            u: Point3::X,
            v: turn,
            uu: Point3::ZERO,
            uv: Point3::ZERO,
            vv: -ring,
        }
    }
}

/// A round cone about the x axis: u along the slant from the tip in mm, v the angle round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    /// Angle between axis and slant.
    pub half_angle: f64,
}

impl Cone {
    /// Flat place of a point about the tip, mm.
    pub fn unrolled(&self, uv: Vec2) -> Vec2 {
        let (sin, cos) = (uv.y * self.half_angle.sin()).sin_cos();
        Vec2::new(cos, sin) * uv.x
    }
}

impl Surface for Cone {
    fn jet(&self, uv: Vec2) -> Jet {
        let (sin, cos) = uv.y.sin_cos();
        let (s, c) = self.half_angle.sin_cos();
        let ring = Point3::new(0.0, -cos, sin) * s;
        let turn = Point3::new(0.0, sin, cos) * s;
        let slant = Point3::X * c + ring;
        Jet { p: slant * uv.x, u: slant, v: turn * uv.x, uu: Point3::ZERO, uv: turn, vv: -ring * uv.x }
    }
}

/// An egg about the x axis (a ball if both radii are one): u the angle from the middle towards +x, v round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Egg {
    /// Half length along x, mm.
    pub half_length: f64,
    /// Greatest radius, mm.
    pub radius: f64,
}

impl Surface for Egg {
    fn jet(&self, uv: Vec2) -> Jet {
        let ((su, cu), (sin, cos)) = (uv.x.sin_cos(), uv.y.sin_cos());
        let ring = Point3::new(0.0, -cos, sin) * self.radius;
        let turn = Point3::new(0.0, sin, cos) * self.radius;
        let axis = Point3::X * self.half_length;
        Jet {
            p: axis * su + ring * cu,
            u: axis * cu - ring * su,
            v: turn * cu,
            uu: -axis * su - ring * cu,
            uv: -turn * su,
            vv: -ring * cu,
        }
    }
}

/// A ring about the x axis (a cowl lip): u round the pipe from its outer side, v round the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Torus {
    /// Radius of the pipe's centre line, mm.
    pub ring: f64,
    /// Radius of the pipe, mm.
    pub pipe: f64,
}

impl Surface for Torus {
    fn jet(&self, uv: Vec2) -> Jet {
        let ((su, cu), (sin, cos)) = (uv.x.sin_cos(), uv.y.sin_cos());
        let ring = Point3::new(0.0, -cos, sin);
        let turn = Point3::new(0.0, sin, cos);
        let r = self.ring + self.pipe * cu;
        Jet {
            p: Point3::X * (self.pipe * su) + ring * r,
            u: Point3::X * (self.pipe * cu) - ring * (self.pipe * su),
            v: turn * r,
            uu: -Point3::X * (self.pipe * su) - ring * (self.pipe * cu),
            uv: -turn * (self.pipe * su),
            vv: -ring * r,
        }
    }
}
