//! A wing section at unit chord: two faces, each a curve from the leading edge to its trailing edge.
//!
//! What a steel tape reads round the skin, and where it is when it reads that: arc length and point, exact both
//! ways. The leading edge is the section's own (0, 0), not its foremost point, because that is where the
//! section's drawing measures from; a pinned tape at the round nose finds it to a quarter of an inch at best.

use super::naca::Naca;
use geom::quadrature::Cumulative;
use geom::spline::Spline;
use geom::{Point, Vec2};

/// A section at unit chord, its leading edge at (0, 0), x towards the trailing edge, y up.
#[derive(Clone, Debug)]
pub enum Section {
    /// From its digits.
    Naca(Naca),
    /// A curve through ordinates, from the upper trailing edge round the nose to the lower one.
    Curve {
        /// The curve.
        spline: Spline,
        /// The spline's parameter at the leading edge.
        nose: f64,
    },
}

impl Section {
    /// Point of a face and its derivative at parameter `u`: 0 at the leading edge, [`Section::end`] at the
    /// trailing edge. A negative `u` goes on round the nose onto the other face; beyond a trailing edge the
    /// curve goes on straight, as a ruler laid against it.
    pub fn at(&self, upper: bool, u: f64) -> (Point, Vec2) {
        let (on_upper, along) = if u >= 0.0 { (upper, u) } else { (!upper, -u) };
        let end = self.end(on_upper);
        let (p, v) = self.on_face(on_upper, along.min(end));
        let p = p + v * (along - end).max(0.0);
        (p, if u >= 0.0 { v } else { -v })
    }

    fn on_face(&self, upper: bool, u: f64) -> (Point, Vec2) {
        match self {
            Section::Naca(naca) => naca.at(u, upper),
            Section::Curve { spline, nose } if upper => (spline.at(nose - u), -spline.derivative(nose - u)),
            Section::Curve { spline, nose } => (spline.at(nose + u), spline.derivative(nose + u)),
        }
    }

    /// The parameter of a face at its trailing edge.
    pub fn end(&self, upper: bool) -> f64 {
        match self {
            Section::Naca(_) => 1.0,
            Section::Curve { nose, .. } if upper => *nose,
            Section::Curve { spline, nose } => spline.knots()[spline.knots().len() - 1] - nose,
        }
    }

    /// Parameters, increasing, between which the curve is smooth: from the other face's trailing edge
    /// (negative) through 0 to this one's.
    pub fn breaks(&self, upper: bool) -> Vec<f64> {
        let mut breaks: Vec<f64> = self.face_breaks(!upper).iter().rev().map(|u| -u).collect();
        breaks.pop();
        breaks.extend(self.face_breaks(upper));
        breaks
    }

    fn face_breaks(&self, upper: bool) -> Vec<f64> {
        match self {
            Section::Naca(naca) => naca.breaks(),
            Section::Curve { spline, nose } if upper => {
                spline.knots().iter().rev().filter(|&k| k <= nose).map(|k| nose - k).collect()
            }
            Section::Curve { spline, nose } => {
                spline.knots().iter().filter(|&k| nose <= k).map(|k| k - nose).collect()
            }
        }
    }

    /// Girth of a face, leading to trailing edge, at unit chord.
    pub fn girth(&self, upper: bool) -> f64 {
        Face::new(self.clone(), upper).girth()
    }
}

/// One face of a section with its arc length.
#[derive(Clone, Debug)]
pub struct Face {
    section: Section,
    upper: bool,
    length: Cumulative,
}

impl Face {
    /// The upper or the lower face of `section`.
    pub fn new(section: Section, upper: bool) -> Face {
        let length = Cumulative::new(&section.breaks(upper), 0.0, &|u| section.at(upper, u).1.hypot());
        Face { section, upper, length }
    }

    /// Arc length from the leading edge to the trailing edge at unit chord.
    pub fn girth(&self) -> f64 {
        self.length.range().1
    }

    /// Least and greatest parameter on the section itself: the other face's trailing edge (negative) and this
    /// one's.
    pub fn range(&self) -> (f64, f64) {
        (-self.section.end(!self.upper), self.section.end(self.upper))
    }

    /// Parameters between which the curve is smooth, as [`Section::breaks`].
    pub fn breaks(&self) -> Vec<f64> {
        self.section.breaks(self.upper)
    }

    /// Point and its derivative by the parameter.
    pub fn at(&self, u: f64) -> (Point, Vec2) {
        self.section.at(self.upper, u)
    }

    /// The point at arc length `tau` from the leading edge; negative goes round the nose onto the other face.
    pub fn point(&self, tau: f64) -> Point {
        self.at(self.u_from_tau(tau)).0
    }

    /// Arc length from the leading edge at parameter `u`, negative on the other face.
    pub fn tau_from_u(&self, u: f64) -> f64 {
        let (lo, hi) = self.range();
        let on = u.clamp(lo, hi);
        self.length.at(on, &|u| self.speed(u)) + self.speed(on) * (u - on)
    }

    /// The parameter at arc length `tau`.
    pub fn u_from_tau(&self, tau: f64) -> f64 {
        let (lo, hi) = self.range();
        let (least, most) = self.length.range();
        if tau < least {
            return lo + (tau - least) / self.speed(lo);
        }
        if most < tau {
            return hi + (tau - most) / self.speed(hi);
        }
        self.length.inverse(tau, &|u| self.speed(u))
    }

    fn speed(&self, u: f64) -> f64 {
        self.at(u).1.hypot()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn naca(digits: &str) -> Section {
        Section::Naca(Naca::new(digits).unwrap())
    }

    #[test]
    fn arc_length_and_point_belong_together_over_both_faces_and_beyond() {
        for digits in ["2412", "0001", "23112", "4440"] {
            let face = Face::new(naca(digits), true);
            for k in -30..=30 {
                let tau = f64::from(k) * 0.05;
                let u = face.u_from_tau(tau);
                assert!((face.tau_from_u(u) - tau).abs() < 1e-12, "{digits} at {tau}");
            }
        }
    }

    #[test]
    fn girth_of_a_section_is_the_sum_of_many_short_chords() {
        // An independent way: 200,000 chords, whose sum nears the length from below with the square of the
        // spacing (here under 1e-9).
        for digits in ["2412", "4412", "0012", "23012"] {
            for upper in [true, false] {
                let section = naca(digits);
                let n = 200_000;
                let at = |i: i32| section.at(upper, f64::from(i) / f64::from(n)).0;
                let chords: f64 = (0..n).map(|i| at(i).distance(at(i + 1))).sum();
                let girth = section.girth(upper);
                assert!((girth - chords).abs() < 1e-9, "{digits}: {girth} against {chords}");
            }
        }
    }

    #[test]
    fn the_curve_goes_round_the_nose_without_a_kink() {
        let section = naca("2412");
        let (before, after) = (section.at(true, -1e-9), section.at(true, 1e-9));
        assert!((before.0 - after.0).hypot() < 1e-8 && (before.1 - after.1).hypot() < 1e-7);
    }

    #[test]
    fn girth_of_a_symmetric_section_is_the_same_on_both_faces_and_more_camber_lengthens_the_upper_one() {
        let plain = naca("0012");
        assert!((plain.girth(true) - plain.girth(false)).abs() < 1e-15);
        let (low, high) = (naca("2412"), naca("4412"));
        assert!(plain.girth(true) < low.girth(true) && low.girth(true) < high.girth(true));
    }
}
