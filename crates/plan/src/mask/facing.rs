//! One tape along two facing edges of stripes: as wide as the base between them, laid in one run along the longer edge.
//!
//! Where the gap is as wide as a tape of the shelf really is, it is that tape; where two tapes can meet in it they do,
//! as between letters; else one piece is cut to the width along its length.

use super::channel::{Across, Met};
use super::outline::Run;
use super::shelf::{Measures, SHORT};
use crate::job::types::Tape;
use geom::tolerance::{KEPT_MM, TAPE_KEPT_MM};

/// How evenly wide the base between two edges must be for one tape to serve both, mm. chosen: a fifth of a millimetre
/// shows nowhere beside what a hand lays.
const EVEN: f64 = 0.1;
/// Share of the places along an edge that must face the other.
const SHARE: f64 = 0.98;

/// A tape that is the mask of two facing edges or more.
#[derive(Clone, Debug)]
pub(super) struct Facing {
    /// The edge it lies along.
    pub(super) run: usize,
    /// The edges its back meets.
    pub(super) back: Vec<usize>,
    /// Greatest width of the base between, mm: the piece is drawn so wide and cut off the paint.
    pub(super) drawn: f64,
    /// Width of the piece, mm.
    pub(super) width: f64,
    /// The tape it is cut from.
    pub(super) tape: Tape,
}

impl Facing {
    /// True if the tape is as wide as the gap, as it comes off the roll.
    pub(super) fn whole(&self) -> bool {
        (self.width - self.tape.real).abs() <= KEPT_MM
    }

    /// The looks across from its edge: where it meets the other paint it need go no farther.
    pub(super) fn looks(&self, looks: &[Across], m: &Measures) -> Vec<Across> {
        let near = |met: Met| Met { far: (2.0 * self.drawn - m.overlap).max(0.0).min(met.far), ..met };
        let served = |l: &Across| l.facing.is_some_and(|f| self.back.contains(&f.run));
        let one = |l: &Across| if served(l) { Across { any: l.any.map(near), ..*l } } else { *l };
        looks.iter().map(one).collect()
    }
}

/// The edges of stripes that one tape serves two by two. `ring_of`: which stripe a run belongs to.
pub(super) fn facing(
    runs: &[Run],
    across: &[(Vec<Across>, f64)],
    stripe_of: impl Fn(&Run) -> usize,
    shelf: &[Tape],
    bridging: &[Tape],
    m: &Measures,
) -> Vec<Facing> {
    let mut out: Vec<Facing> = Vec::new();
    // An edge wholly beside another is served from there; of two alike the first keeps its tape.
    for k in (0..runs.len()).rev() {
        let Some((other, least, most)) = beside(k, &across[k].0) else { continue };
        let free = stripe_of(&runs[k]) != stripe_of(&runs[other])
            && !out.iter().any(|f| f.run == k || f.back.contains(&other) || f.back.contains(&k));
        if !free || least >= m.shared() || most - least > EVEN {
            continue;
        }
        if let Some(known) = out.iter_mut().find(|f| f.run == other) {
            if (known.width - least).abs() <= EVEN {
                known.back.push(k);
                known.drawn = known.drawn.max(most);
            }
            continue;
        }
        let by_width = |a: &&Tape, b: &&Tape| a.real.total_cmp(&b.real);
        let as_wide = shelf.iter().find(|t| least - TAPE_KEPT_MM <= t.real && t.real <= most + TAPE_KEPT_MM);
        let meet =
            |t: &&Tape| (least + m.overlap) / 2.0 <= t.real + KEPT_MM && t.real <= least - SHORT + KEPT_MM;
        let cut = || bridging.iter().filter(|t| t.real >= least).min_by(by_width);
        let chosen = match as_wide {
            Some(tape) => Some((*tape, tape.real)),
            None if shelf.iter().any(|t| meet(&t)) => None,
            None => cut().map(|tape| (*tape, least)),
        };
        if let Some((tape, width)) = chosen {
            out.push(Facing { run: other, back: vec![k], drawn: most.max(width), width, tape });
        }
    }
    out
}

/// The run that faces an edge all along, and the least and greatest distance to it, mm.
fn beside(k: usize, looks: &[Across]) -> Option<(usize, f64, f64)> {
    let other = looks.get(looks.len() / 2)?.facing?.run;
    let met: Vec<f64> =
        looks.iter().filter_map(|l| l.facing).filter(|f| f.run == other).map(|f| f.far).collect();
    // At its very ends it may look past the other's.
    let missed = looks.len() - met.len();
    let enough = met.len() > 2 && (missed <= 2 || met.len() as f64 >= SHARE * looks.len() as f64);
    (other != k && enough)
        .then(|| met.iter().fold((other, f64::INFINITY, 0.0), |(o, a, b), far| (o, far.min(a), far.max(b))))
}
