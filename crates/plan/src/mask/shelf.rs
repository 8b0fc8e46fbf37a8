//! Which tape of the shelf goes along an edge: wide enough to reach, narrow enough to bend and to clear.

use super::outline::Run;
use crate::job::types::{Masking, Tape};
use geom::tolerance::KEPT_MM;

/// How far short of the line the lower of two ends stops, and how far tape stays off other paint, mm: 1/16 in.
/// common practice, no source.
pub const SHORT: f64 = 25.4 / 16.0;

/// The measures of a mask, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// Paint edge to tack strip.
    pub gap: f64,
    /// Least edge tape on the tack strip.
    pub overlap: f64,
    /// Real width of the tack tape.
    pub tack: f64,
    /// Length of a tab.
    pub tab: f64,
    /// Longest piece of edge tape.
    pub longest: f64,
}

impl Measures {
    /// The measures of a job.
    pub fn new(masking: &Masking) -> Measures {
        Measures {
            gap: masking.gap,
            overlap: masking.overlap,
            tack: masking.tack(),
            tab: masking.tab,
            longest: masking.longest_piece,
        }
    }

    /// How far from the paint edge tape must reach to lie on the tack strip.
    pub fn reach(&self) -> f64 {
        self.gap + self.overlap
    }

    /// Least channel that still has a strip down its middle.
    pub fn shared(&self) -> f64 {
        2.0 * self.reach()
    }

    /// Widest counter that is a plug: with room for no more than half a tack tape inside its gap, a piece cut whole
    /// on the board is less work than a ring of short ends. chosen.
    pub fn plug(&self) -> f64 {
        self.shared() + self.tack / 2.0
    }

    /// Least channel with two tack strips.
    pub fn two_strips(&self) -> f64 {
        2.0 * self.reach() + self.tack
    }

    /// How far tape must reach where the channel is `across` wide.
    pub fn need(&self, across: f64) -> f64 {
        if across < self.shared() { ((across + self.overlap) / 2.0).min(self.reach()) } else { self.reach() }
    }
}

/// Strain of the stretched side of a tape `width` wide along an edge, share: the greater of what its tightest
/// bends ask.
///
/// Where the paint bulges (radius R to the edge) the line is the tape's inner edge, which may not be pushed
/// together or it puckers: the outer side stretches by w / R. In a hollow the line is the stretched outer edge and
/// the back may pucker a little: w / (2R - w), half of the bend on either side (facts E1, derived).
pub fn strain(width: f64, bulging: f64, hollow: f64) -> f64 {
    let outside = width / bulging;
    let inside = if hollow.is_infinite() {
        0.0
    } else if 2.0 * hollow <= width {
        f64::INFINITY
    } else {
        width / (2.0 * hollow - width)
    };
    outside.max(inside)
}

/// The least strain that can be hoped for: as [`strain`], but outside a bend it is spread over the width too:
/// w / (2R + w).
pub fn strain_at_best(width: f64, bulging: f64, hollow: f64) -> f64 {
    let outside = if bulging.is_infinite() { 0.0 } else { width / (2.0 * bulging + width) };
    outside.max(strain(width, f64::INFINITY, hollow))
}

/// What was taken off the shelf for an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// The tape.
    pub tape: Tape,
    /// Its width as laid, mm: the real width, or less if it is cut down.
    pub width: f64,
    /// How it bends.
    pub bend: Bend,
    /// It reaches where it must without a bridge.
    pub reaches: bool,
    /// No tape sold bends round this: the strip is cut from film along the curve.
    pub film: bool,
}

/// Narrowest edge tape sold, mm: 1/16 in (facts E4, from memory).
pub const NARROWEST: f64 = 25.4 / 16.0;

/// Radius, mm, up to which a bend is a short tight corner, which takes twice the working strain: 2 in. The strain is
/// facts E1 (10 % for film, common practice, no source); the radius is chosen.
pub const SHORT_CORNER: f64 = 50.8;

/// Widest tape that bends round an edge within a working strain, mm.
pub fn widest_that_bends(run: &Run, working: f64) -> f64 {
    let limit = |radius: f64| if radius <= SHORT_CORNER { 2.0 * working } else { working };
    let (s, h) = (limit(run.bulging), limit(run.hollow));
    (s * run.bulging).min(2.0 * run.hollow * h / (1.0 + h))
}

/// How well a tape takes the bends of an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bend {
    /// Within its working strain however it is laid.
    Sure,
    /// Within it only if the strain is spread over the width as it is laid.
    AtBest,
    /// Within twice of it in a short tight corner: warmed by the fingers and pressed down it stays.
    Corner,
    /// Beyond it: it puckers or creeps back.
    TooTight,
}

/// The tape for a run that must reach `need` and may not be wider than `most`; `None` if the shelf is empty.
///
/// First what bends surely, then what reaches alone, then the narrowest that reaches or the widest that does not.
pub fn choose(shelf: &[Tape], run: &Run, need: f64, most: f64) -> Option<Choice> {
    let bend = |t: &Tape, width: f64| {
        if strain(width, run.bulging, run.hollow) <= t.strain + KEPT_MM * t.strain {
            Bend::Sure
        } else if strain_at_best(width, run.bulging, run.hollow) <= t.strain {
            Bend::AtBest
        } else if width <= widest_that_bends(run, t.strain) {
            Bend::Corner
        } else {
            Bend::TooTight
        }
    };
    let fits: Vec<Choice> = shelf
        .iter()
        .filter(|t| t.real <= most + KEPT_MM)
        .map(|t| Choice {
            tape: *t,
            width: t.real,
            bend: bend(t, t.real),
            reaches: t.real + KEPT_MM >= need,
            film: bend(t, t.real) == Bend::TooTight && widest_that_bends(run, t.strain) < NARROWEST,
        })
        .collect();
    let best = fits.iter().copied().min_by(|a, b| {
        let reach = |c: &Choice| if c.reaches { c.width } else { -c.width };
        // Beyond the working strain the narrowest is the least bad.
        let key = |c: &Choice| if c.bend == Bend::TooTight { c.width } else { reach(c) };
        let late = |c: &Choice| (c.bend, !c.reaches || c.bend == Bend::TooTight);
        late(a).cmp(&late(b)).then(key(a).total_cmp(&key(b)))
    });
    best.or_else(|| {
        // Nothing is narrow enough: the narrowest, cut down along its length on the board.
        let tape = *shelf.iter().min_by(|a, b| a.real.total_cmp(&b.real))?;
        let width = most.max(SHORT);
        Some(Choice { tape, width, bend: bend(&tape, width), reaches: width + KEPT_MM >= need, film: false })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const IN: f64 = 25.4;

    /// facts/trade-practice.md, checks 31 and 32 (derived): strain by the radius of the middle of the tape.
    #[test]
    fn strain_is_half_the_width_over_the_radius_of_the_middle() {
        let w = 0.25 * IN;
        let middle = 2.5 * IN;
        assert!((strain_at_best(w, middle - w / 2.0, f64::INFINITY) - 0.05).abs() < 1e-12);
        assert!((strain(w, f64::INFINITY, middle + w / 2.0) - 0.05).abs() < 1e-12);
        let w = 0.5 * IN;
        assert!((strain_at_best(w, 12.5 * IN - w / 2.0, f64::INFINITY) - 0.02).abs() < 1e-12);
    }

    /// Check 33 (Smith et al. 2016, read): a tow of 6.35 mm steered at 1350 mm strains 0.235 %.
    #[test]
    fn a_tow_at_its_smallest_radius_strains_as_published() {
        let strain = strain_at_best(6.35, 1350.0 - 6.35 / 2.0, f64::INFINITY);
        assert!((strain * 100.0 - 0.235).abs() < 0.001, "{strain}");
    }

    /// Check 34 (derived): gap 3/8 in; 1/2 in tape laps 0.125 in, 18 mm 0.334 in, 1/4 in does not reach.
    #[test]
    fn the_real_width_decides_whether_the_gap_is_bridged() {
        let m = Measures { gap: 0.375 * IN, overlap: 0.125 * IN, tack: 18.0, tab: 12.7, longest: 1524.0 };
        for (real, laps) in [(12.7, 0.125), (18.0, 0.334)] {
            assert!(((real - m.gap) / IN - laps).abs() < 0.001 && real + 1e-9 >= m.reach());
        }
        assert!(0.25 * IN < m.reach() && 12.0 < m.reach());
    }
}
