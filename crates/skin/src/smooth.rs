//! A skin given by formula laid flat as one smooth map, with the least error of length.
//!
//! Where a whole panel is nearly flat sheet (a wing with a few degrees of washout) it needs no patch for each letter:
//! one flat for all of it errs by less than a knife wanders. The map is a net of cubic pieces that meet without a
//! bend, so that no line drawn on it shows where they meet; it says of every place how much lengths are stretched.

mod knots;
mod lay;

pub use knots::Knots;
pub use lay::lay;

use geom::Vec2;

/// Basis functions of a cell along one number.
pub(crate) const PIECES: usize = 4;

/// The smooth part of a flat map of a skin of two numbers `u` and `v`: what is added to a first map, known by formula.
#[derive(Clone, Debug)]
pub struct Smooth {
    u: Knots,
    v: Knots,
    /// Moves of the control points, mm, those of one `v` side by side.
    controls: Vec<Vec2>,
}

/// A flat place and how it moves with the two numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The place, mm.
    pub p: Vec2,
    /// By u.
    pub u: Vec2,
    /// By v.
    pub v: Vec2,
}

impl std::ops::Add for Place {
    type Output = Place;

    fn add(self, more: Place) -> Place {
        Place { p: self.p + more.p, u: self.u + more.u, v: self.v + more.v }
    }
}

impl Smooth {
    /// What is added at `uv`. Beyond the ends of the net it is carried on straight.
    pub fn at(&self, uv: Vec2) -> Place {
        let on = Vec2::new(self.u.within(uv.x), self.v.within(uv.y));
        let (iu, bu, du) = self.u.basis(on.x);
        let (iv, bv, dv) = self.v.basis(on.y);
        let (mut p, mut pu, mut pv) = (Vec2::ZERO, Vec2::ZERO, Vec2::ZERO);
        for (j, (b, d)) in bv.iter().zip(&dv).enumerate() {
            let row = (iv + j) * self.u.count() + iu;
            let (mut sum, mut along) = (Vec2::ZERO, Vec2::ZERO);
            for (k, c) in self.controls[row..row + PIECES].iter().enumerate() {
                sum += *c * bu[k];
                along += *c * du[k];
            }
            p += sum * *b;
            pu += along * *b;
            pv += sum * *d;
        }
        let beyond = uv - on;
        Place { p: p + pu * beyond.x + pv * beyond.y, u: pu, v: pv }
    }
}

/// The two numbers of a flat place of `map`, searched from `guess`; `None` if the search does not come to rest.
pub fn find(map: &impl Fn(Vec2) -> Place, p: Vec2, guess: Vec2) -> Option<Vec2> {
    let mut uv = guess;
    for _ in 0..MOST_STEPS {
        let at = map(uv);
        let off = p - at.p;
        let all = at.u.cross(at.v);
        let step = Vec2::new(off.cross(at.v) / all, at.u.cross(off) / all);
        uv += step;
        if (at.u * step.x + at.v * step.y).hypot() <= geom::tolerance::NOISE_MM {
            return Some(uv);
        }
        if !uv.x.is_finite() || !uv.y.is_finite() {
            return None;
        }
    }
    None
}

/// Most steps of the search for a place: four or five are usual on the net, a dozen beyond it.
const MOST_STEPS: usize = 60;

/// What a flat map does to lengths at one place of the skin: stretch along and across, and half their shear, as
/// shares, in the frame of the flat turned back to the skin's own `u`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stretch {
    /// Along the skin's `u`.
    pub along: f64,
    /// Square to it.
    pub across: f64,
    /// Half of what a right angle between them loses, rad.
    pub shear: f64,
    /// Turn of the skin's `u` from flat x, rad.
    pub turn: f64,
}

impl Stretch {
    /// Of a skin whose first derivatives have these products (u by u, u by v, v by v), mm2.
    pub fn of([e, f, g]: [f64; 3], place: &Place) -> Stretch {
        let a = e.sqrt();
        let across = (g - f * f / e).max(0.0).sqrt();
        let (j1, j2) = (place.u / a, (place.v - place.u * (f / e)) / across);
        let turn = (j1.y - j2.x).atan2(j1.x + j2.y);
        let (r1, r2) = frame(turn);
        Stretch {
            along: r1.dot(j1) - 1.0,
            across: r2.dot(j2) - 1.0,
            shear: f64::midpoint(r1.dot(j2), r2.dot(j1)),
            turn,
        }
    }

    /// Greatest and least stretch in any direction.
    pub fn ends(&self) -> (f64, f64) {
        let (mean, half) = (f64::midpoint(self.along, self.across), (self.along - self.across) / 2.0);
        let spread = half.hypot(self.shear);
        (mean + spread, mean - spread)
    }

    /// The larger of the two, whichever its sign.
    pub fn most(&self) -> f64 {
        let (most, least) = self.ends();
        most.abs().max(least.abs())
    }

    /// Mean square over both directions.
    pub fn square(&self) -> f64 {
        (self.along.powi(2) + self.across.powi(2) + 2.0 * self.shear.powi(2)) / 2.0
    }

    /// Stretch of a line of the flat that runs in direction `flat` (of unit length).
    pub fn towards(&self, flat: Vec2) -> f64 {
        let (r1, r2) = frame(self.turn);
        let (c, s) = (r1.dot(flat), r2.dot(flat));
        self.along * c * c + self.across * s * s + 2.0 * self.shear * c * s
    }
}

fn frame(turn: f64) -> (Vec2, Vec2) {
    let (sin, cos) = turn.sin_cos();
    (Vec2::new(cos, sin), Vec2::new(-sin, cos))
}

#[cfg(test)]
mod tests;
