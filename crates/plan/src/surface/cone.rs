//! The skin of a straight-tapered panel with one section, unrolled: a cone.
//!
//! Leading and trailing edge, and every straight line between them, meet in one point, the apex. On the flat
//! sheet each point keeps its distance from the apex, and the angle between two straight lines is what the skin
//! between them turns through as seen from the apex: the sum of |rho x d rho| / |rho|^2 along the root rib, rho
//! reaching from the apex to the rib. Nothing is stretched; lengths are exact.
//!
//! The apex may lie miles off (hardly any taper), so no length here is a difference of two distances to it.
//! Stations at or beyond the apex have no place on the sheet.

use super::section::Face;
use geom::quadrature::Cumulative;
use geom::{Point, Point3, Vec2};

/// Farthest, in root chords, that the straight run of a rib beyond an edge is followed. Seen from the apex that
/// run never turns through more than its own direction; flat points farther round are given this place.
const FAR_CHORDS: f64 = 100.0;

/// A tapered panel. Flat points here have the tip at the right, whichever face it is.
#[derive(Clone, Debug)]
pub(super) struct Cone {
    /// Chord at the root, mm.
    chord: f64,
    /// Slopes of the leading edge, aft and up over span.
    slopes: [f64; 2],
    /// Station of the apex, mm: beyond the tip, or negative where the tip is the wider end.
    apex: f64,
    /// Distance from the apex to the root's leading edge.
    radius: f64,
    /// Angle from the leading edge, seen from the apex, over the root rib.
    angle: Cumulative,
}

impl Cone {
    /// The panel with this face, chords at root and tip (mm, different), span (mm) and slopes of the leading edge
    /// (aft and up over span).
    pub(super) fn new(face: &Face, chord: [f64; 2], span: f64, slopes: [f64; 2]) -> Cone {
        let apex = span * chord[0] / (chord[0] - chord[1]);
        let radius = apex.abs() * Point3::new(slopes[0], 1.0, slopes[1]).length();
        let shape = Shape { chord: chord[0], slopes, apex };
        let angle = Cumulative::new(&face.breaks(), 0.0, &|u| shape.turn(face, u));
        Cone { chord: chord[0], slopes, apex, radius, angle }
    }

    /// Chord at station `s` over the chord at the root.
    pub(super) fn share(&self, s: f64) -> f64 {
        1.0 - s / self.apex
    }

    /// Flat point at station `s` and the section's parameter `u`.
    pub(super) fn flat(&self, face: &Face, s: f64, u: f64) -> Point {
        let (sin, cos) = self.angle(face, u).sin_cos();
        let half_sin = (self.angle(face, u) / 2.0).sin();
        let gain = self.gain(face, u);
        let r = self.radius + gain;
        // radius - share r cos, with the large parts taken out of it first.
        let along = r * (2.0 * half_sin * half_sin + s / self.apex * cos) - gain;
        Point::new(self.apex.signum() * along, -self.share(s) * r * sin)
    }

    /// Station and the section's parameter at a flat point.
    pub(super) fn station(&self, face: &Face, p: Point) -> (f64, f64) {
        let along = self.apex.signum() * p.x;
        let r = (self.radius - along).hypot(p.y);
        let u = self.parameter(face, (-p.y).atan2(self.radius - along));
        let nearer = (along * (2.0 * self.radius - along) - p.y * p.y) / (self.radius + r);
        let gain = self.gain(face, u);
        (self.apex * (gain + nearer) / (self.radius + gain), u)
    }

    /// The span axis laid onto the skin at parameter `u`, as a direction in flat.
    pub(super) fn span_direction(&self, face: &Face, u: f64) -> Vec2 {
        let (rho, rib) = self.shape().rho(face, u);
        let side = self.apex.signum();
        let out = rho.normalize();
        let across = (rib - out * rib.dot(out)).normalize();
        let (sin, cos) = self.angle(face, u).sin_cos();
        // Along the straight line towards the tip, and across it towards the trailing edge.
        Vec2::new(cos, side * sin) * (-side * out.y) + Vec2::new(side * sin, -cos) * across.y
    }

    /// Angle from the leading edge at parameter `u`.
    fn angle(&self, face: &Face, u: f64) -> f64 {
        let shape = self.shape();
        let (lo, hi) = face.range();
        let on = u.clamp(lo, hi);
        let angle = self.angle.at(on, &|u| shape.turn(face, u));
        let (edge, end) = (shape.rho(face, on).0, shape.rho(face, u).0);
        angle + (u - on).signum() * edge.cross(end).length().atan2(edge.dot(end))
    }

    /// The parameter at an angle from the leading edge.
    fn parameter(&self, face: &Face, angle: f64) -> f64 {
        let shape = self.shape();
        let (least, most) = self.angle.range();
        let on = self.angle.inverse(angle, &|u| shape.turn(face, u));
        let beyond = angle - angle.clamp(least, most);
        let (edge, rib) = shape.rho(face, on);
        // Beyond an edge the rib runs straight: the side of a triangle from one side and two angles.
        let out = edge.normalize();
        let (along, across) = (beyond.signum() * rib.dot(out), rib.cross(out).length());
        let (sin, cos) = beyond.abs().sin_cos();
        let (rise, run) = (edge.length() * sin, across * cos - along * sin);
        let far = FAR_CHORDS * self.chord / rib.length();
        let step = if run * far > rise { rise / run } else { far };
        on + beyond.signum() * step
    }

    /// How much farther from the apex the root rib is at parameter `u` than its leading edge, mm.
    fn gain(&self, face: &Face, u: f64) -> f64 {
        let p = face.at(u).0.to_vec2() * self.chord;
        let [aft, up] = self.slopes;
        let squares = p.hypot2() - 2.0 * self.apex * (aft * p.x + up * p.y);
        squares / (self.radius + (self.radius * self.radius + squares).sqrt())
    }

    fn shape(&self) -> Shape {
        Shape { chord: self.chord, slopes: self.slopes, apex: self.apex }
    }
}

/// The root rib as seen from the apex.
#[derive(Clone, Copy)]
struct Shape {
    chord: f64,
    slopes: [f64; 2],
    apex: f64,
}

impl Shape {
    /// From the apex to the root rib at parameter `u` (aft, out, up), and its derivative.
    fn rho(&self, face: &Face, u: f64) -> (Point3, Point3) {
        let (p, v) = face.at(u);
        let [aft, up] = self.slopes.map(|slope| slope * self.apex);
        let rho = Point3::new(self.chord * p.x - aft, -self.apex, self.chord * p.y - up);
        (rho, Point3::new(v.x, 0.0, v.y) * self.chord)
    }

    /// Angle turned through for each unit of parameter.
    fn turn(&self, face: &Face, u: f64) -> f64 {
        let (rho, rib) = self.rho(face, u);
        rho.cross(rib).length() / rho.length_squared()
    }
}
