//! How the tape along a stripe's edges takes their bends: which tape, where it must be steered, where it would lift.
//!
//! A tape b wide laid with one edge on a line of bend k on a skin of Gaussian curvature K strains |k| b + |K| b^2 / 2 at
//! its other edge (derived in the fact sheet on geometry). A skin that unrolls has K = 0, a wing
//! with washout hardly more; a kink is left out, which is said. Both are those of the skin itself, the bend that of the
//! edge, not of the middle.

use super::way::Way;
use crate::job::{Masking, Tape};
use geom::tolerance::{KEPT_MM, NOISE_UNIT};

/// Share of the working strain from which tape does not fall into the bend by itself and is steered by hand. chosen.
pub const STEERED: f64 = 0.5;
/// Distance between the places that are looked at, mm.
const STEP: f64 = 5.0;
/// Most places.
const MOST: f64 = 4000.0;

/// The strain of the far edge of a tape `width` mm wide, share: bend of its line (1/mm) and Gaussian curvature of the
/// skin (1/mm2).
pub fn strain(bend: f64, gauss: f64, width: f64) -> f64 {
    bend.abs() * width + gauss.abs() * width * width / 2.0
}

/// How the skin and the tighter of the two edges bend at a place.
#[derive(Clone, Copy, Debug)]
struct Bent {
    /// Along the middle, mm.
    s: f64,
    /// Bend of the edge on the skin (geodesic curvature), 1/mm.
    edge: f64,
    /// Gaussian curvature of the skin, 1/mm2.
    gauss: f64,
}

impl Bent {
    fn strain(&self, width: f64) -> f64 {
        strain(self.edge, self.gauss, width)
    }
}

/// The bend of the tighter of two edges `half` to either side of a line of bend `k` on a skin of Gaussian curvature K,
/// taken as even across the stripe. A length along the line is c - k s of itself at y to the left, c and s the cosine
/// and sine of a ball of that curvature (Jacobi's equation); an edge bends by the change of that over y, over that.
/// Beside a great circle lies a parallel, and it bends.
pub fn edge_bend(k: f64, gauss: f64, half: f64) -> f64 {
    let root = gauss.abs().sqrt();
    let at = |y: f64| {
        let x = root * y;
        let (c, s) = if x.abs() <= NOISE_UNIT {
            (1.0, y)
        } else if gauss > 0.0 {
            (x.cos(), x.sin() / root)
        } else {
            (x.cosh(), x.sinh() / root)
        };
        (k * c + gauss * s).abs() / (c - k * s).max(KEPT_MM)
    };
    at(half).max(at(-half))
}

/// How a tape lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lies {
    /// It falls into every bend.
    Flat,
    /// It must be steered somewhere.
    Steered,
    /// It would lift somewhere.
    Lifts,
}

impl Lies {
    /// The plan file's word.
    pub fn word(self) -> &'static str {
        match self {
            Lies::Flat => "lies",
            Lies::Steered => "steer",
            Lies::Lifts => "lifts",
        }
    }
}

/// What was found of the tape along a stripe.
#[derive(Clone, Debug, PartialEq)]
pub struct TapeAlong {
    /// Real width of the tape looked at, mm; 0 if the job has none.
    pub width: f64,
    /// Its greatest strain, share.
    pub strain: f64,
    /// Its working strain, share.
    pub working: f64,
    /// How it lies at its worst.
    pub lies: Lies,
    /// Stretches along the middle where it is steered, mm from its start.
    pub steer: Vec<[f64; 2]>,
    /// Stretches where it would lift.
    pub lifts: Vec<[f64; 2]>,
}

/// The tape of the shelf that an edge `half` to either side of the middle (by mm along it) gets: of those that stay
/// within their working strain the narrowest that reaches the tack strip, else the widest; if none does, the narrowest.
pub fn look(
    way: &Way,
    half: &dyn Fn(f64) -> f64,
    gauss: &dyn Fn(f64) -> f64,
    masking: Option<&Masking>,
) -> TapeAlong {
    let whole = way.length();
    let count = (whole / STEP).ceil().clamp(8.0, MOST);
    let bends: Vec<Bent> = (0..=count as usize)
        .map(|k| {
            let s = whole * k as f64 / count;
            let gauss = gauss(s);
            Bent { s, edge: edge_bend(way.at(s).bend, gauss, half(s)), gauss }
        })
        .collect();
    let of = |t: &Tape| bends.iter().map(|b| b.strain(t.real)).fold(0.0, f64::max);
    let Some(masking) = masking else { return judge(&bends, 0.0, f64::INFINITY) };
    let reach = masking.gap + masking.overlap;
    let by_width = |a: &&Tape, b: &&Tape| a.real.total_cmp(&b.real);
    let shelf = &masking.edge_tapes;
    let fitting = || shelf.iter().filter(|t| of(t) <= t.strain);
    let chosen = fitting()
        .filter(|t| t.real + KEPT_MM >= reach)
        .min_by(by_width)
        .or_else(|| fitting().max_by(by_width))
        .or_else(|| shelf.iter().min_by(by_width));
    chosen.map_or_else(|| judge(&bends, 0.0, f64::INFINITY), |t| judge(&bends, t.real, t.strain))
}

fn judge(bends: &[Bent], width: f64, working: f64) -> TapeAlong {
    let over = |limit: f64| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        let mut open = false;
        for bent in bends {
            let (s, beyond) = (bent.s, bent.strain(width) > limit);
            match out.last_mut() {
                Some(last) if beyond && open => last[1] = s,
                _ if beyond => out.push([s, s]),
                _ => {}
            }
            open = beyond;
        }
        out
    };
    let strain = bends.iter().map(|b| b.strain(width)).fold(0.0, f64::max);
    let (steer, lifts) = (over(STEERED * working), over(working));
    let lies = if !lifts.is_empty() {
        Lies::Lifts
    } else if !steer.is_empty() {
        Lies::Steered
    } else {
        Lies::Flat
    };
    TapeAlong { width, strain, working, lies, steer, lifts }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms of the fact sheet: on a plane k b; on a great circle of a sphere b^2 / (2 R^2).
    #[test]
    fn strain_is_bend_times_width_and_half_the_curvature_times_its_square() {
        assert!((strain(-1.0 / 250.0, 0.0, 12.7) - 0.0508).abs() < 1e-12);
        let r: f64 = 300.0;
        assert!((strain(0.0, 1.0 / (r * r), 6.0) - 36.0 / (2.0 * r * r)).abs() < 1e-15);
    }

    /// Closed forms: beside a great circle of a ball lies a parallel, of bend tan(h / R) / R; on a plane the tighter of
    /// two circles, 1 / (R - h).
    #[test]
    fn the_edges_of_a_straight_stripe_on_a_ball_are_parallels() {
        let (r, h) = (400.0_f64, 30.0);
        let wanted = (h / r).tan() / r;
        assert!((edge_bend(0.0, 1.0 / (r * r), h) / wanted - 1.0).abs() < 1e-12);
        assert!((edge_bend(1.0 / 500.0, 0.0, 50.0) * 450.0 - 1.0).abs() < 1e-12);
        // A parallel at latitude 0.6, its edges at 0.6 + 30 / 400 and 0.6 - 30 / 400.
        let wanted = (0.6_f64 + h / r).tan() / r;
        let found = edge_bend(0.6_f64.tan() / r, 1.0 / (r * r), h);
        assert!((found / wanted - 1.0).abs() < 1e-12, "{found} {wanted}");
    }

    #[test]
    fn a_stretch_is_told_from_where_it_begins_to_where_it_ends() {
        let bends: Vec<Bent> = (0..=10)
            .map(|k| Bent {
                s: f64::from(k),
                edge: if (3..6).contains(&k) { 0.01 } else { 0.002 },
                gauss: 0.0,
            })
            .collect();
        let found = judge(&bends, 6.0, 0.05);
        assert_eq!((found.lies, found.lifts, found.steer), (Lies::Lifts, vec![[3.0, 5.0]], vec![[3.0, 5.0]]));
        assert_eq!(judge(&bends, 4.0, 0.05).lies, Lies::Steered);
        assert_eq!(judge(&bends, 2.0, 0.05).lies, Lies::Flat);
    }
}
