//! The skin of a panel of constant chord, unrolled: a cylinder, swept, rising or neither.
//!
//! Its straight lines run along the leading edge. On the flat sheet they lie side by side along x, and the girth
//! across them is measured square to them: shorter than the rib's own girth where the wing is swept or rises, because
//! a rib then crosses the straight lines at a slant. Nothing is stretched; lengths are exact.

use super::section::Face;
use geom::quadrature::Cumulative;
use geom::{Point, Point3, Vec2};

/// A swept or rising panel of constant chord. Flat points here have the tip at the right, whichever face it is.
#[derive(Clone, Debug)]
pub(super) struct Cylinder {
    chord: f64,
    /// The way of the straight lines (aft, out, up), of unit length.
    line: Point3,
    /// Girth square to the straight lines, at unit chord.
    girth: Cumulative,
}

impl Cylinder {
    /// The panel with this face, chord (mm) and slopes of the leading edge (aft and up over span).
    pub(super) fn new(face: &Face, chord: f64, [aft, up]: [f64; 2]) -> Cylinder {
        let line = Point3::new(aft, 1.0, up).normalize();
        let girth = Cumulative::new(&face.breaks(), 0.0, &|u| speed(face, line, u));
        Cylinder { chord, line, girth }
    }

    /// Flat point at station `s` and the section's parameter `u`.
    pub(super) fn flat(&self, face: &Face, s: f64, u: f64) -> Point {
        let (lo, hi) = face.range();
        let on = u.clamp(lo, hi);
        let f = |u: f64| speed(face, self.line, u);
        let girth = self.girth.at(on, &f) + f(on) * (u - on);
        Point::new(s / self.line.y + self.along(face, u), -self.chord * girth)
    }

    /// Station and the section's parameter at a flat point.
    pub(super) fn station(&self, face: &Face, p: Point) -> (f64, f64) {
        let girth = -p.y / self.chord;
        let f = |u: f64| speed(face, self.line, u);
        let (least, most) = self.girth.range();
        let on = self.girth.inverse(girth, &f);
        let u = on + (girth - girth.clamp(least, most)) / f(on);
        ((p.x - self.along(face, u)) * self.line.y, u)
    }

    /// How far along the straight lines the root rib lies at parameter `u`, mm.
    fn along(&self, face: &Face, u: f64) -> f64 {
        let p = face.at(u).0;
        self.chord * (p.x * self.line.x + p.y * self.line.z)
    }

    /// The span axis laid onto the skin at parameter `u`, as a direction in flat.
    pub(super) fn span_direction(&self, face: &Face, u: f64) -> Vec2 {
        let v = face.at(u).1;
        let rib = Point3::new(v.x, 0.0, v.y);
        let across = (rib - self.line * rib.dot(self.line)).normalize();
        Vec2::new(self.line.y, -across.y)
    }
}

/// Girth gained for each unit of parameter, square to the straight lines, at unit chord.
fn speed(face: &Face, line: Point3, u: f64) -> f64 {
    let v = face.at(u).1;
    Point3::new(v.x, 0.0, v.y).cross(line).length()
}
