//! The skin of a panel of constant chord, unrolled: a cylinder, swept or not.
//!
//! Its straight lines run along the leading edge. On the flat sheet they lie side by side along x, and the girth
//! across them is measured square to them: shorter than the rib's own girth where the wing is swept, because a
//! rib then crosses the straight lines at a slant. Nothing is stretched; lengths are exact.

use super::section::Face;
use geom::quadrature::Cumulative;
use geom::{Point, Point3, Vec2};

/// A swept panel of constant chord. Flat points here have the tip at the right, whichever face it is.
#[derive(Clone, Debug)]
pub(super) struct Cylinder {
    chord: f64,
    /// Cosine and sine of the sweep of the leading edge.
    cos: f64,
    sin: f64,
    /// Girth square to the straight lines, at unit chord.
    girth: Cumulative,
}

impl Cylinder {
    /// The panel with this face, chord (mm) and slope of the leading edge (aft over span).
    pub(super) fn new(face: &Face, chord: f64, slope: f64) -> Cylinder {
        let cos = 1.0 / slope.hypot(1.0);
        let girth = Cumulative::new(&face.breaks(), 0.0, &|u| speed(face, cos, u));
        Cylinder { chord, cos, sin: slope * cos, girth }
    }

    /// Flat point at station `s` and the section's parameter `u`.
    pub(super) fn flat(&self, face: &Face, s: f64, u: f64) -> Point {
        let (lo, hi) = face.range();
        let on = u.clamp(lo, hi);
        let f = |u: f64| speed(face, self.cos, u);
        let girth = self.girth.at(on, &f) + f(on) * (u - on);
        let x = face.at(u).0.x;
        Point::new(s / self.cos + self.chord * x * self.sin, -self.chord * girth)
    }

    /// Station and the section's parameter at a flat point.
    pub(super) fn station(&self, face: &Face, p: Point) -> (f64, f64) {
        let girth = -p.y / self.chord;
        let f = |u: f64| speed(face, self.cos, u);
        let (least, most) = self.girth.range();
        let on = self.girth.inverse(girth, &f);
        let u = on + (girth - girth.clamp(least, most)) / f(on);
        ((p.x - self.chord * face.at(u).0.x * self.sin) * self.cos, u)
    }

    /// The span axis laid onto the skin at parameter `u`, as a direction in flat.
    pub(super) fn span_direction(&self, face: &Face, u: f64) -> Vec2 {
        let v = face.at(u).1;
        let straight = Point3::new(self.sin, self.cos, 0.0);
        let rib = Point3::new(v.x, 0.0, v.y);
        let across = (rib - straight * rib.dot(straight)).normalize();
        Vec2::new(straight.y, -across.y)
    }
}

/// Girth gained for each unit of parameter, square to the straight lines, at unit chord.
fn speed(face: &Face, cos: f64, u: f64) -> f64 {
    let v = face.at(u).1;
    (v.x * cos).hypot(v.y)
}
