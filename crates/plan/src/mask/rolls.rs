//! How many rolls of each tape to buy: every piece cut from a roll, none joined, and how few rolls could ever do.
//!
//! Pieces are cut at the wing from the roll, an inch longer than planned and up to the next quarter inch. Up to forty
//! pieces are fitted onto rolls exactly; more by the longest first, each onto the fullest roll that takes it, which
//! for pieces much shorter than a roll comes out at most one above the bound. A piece longer than a roll is joined:
//! whole rolls and a rest, with a lap between.

use super::edge::LAP;
use super::plan::{Kind, MaskPlan, Piece};
use crate::job::types::{Masking, Tape};
use geom::tolerance::NOISE_MM;

/// What is cut longer than planned, mm, and the step it is rounded up to: 1 in, 1/4 in (common practice, no source).
const OVER: f64 = 25.4;
const STEP: f64 = 6.35;
/// Pieces up to which rolls are counted exactly, and the steps the search for it may take.
const EXACT: usize = 40;
const STEPS: usize = 200_000;

/// The rolls of one tape.
#[derive(Clone, Debug, PartialEq)]
pub struct TapeRolls {
    /// What it is for: `edge tape`, `tack strip tape`, `layout tape`.
    pub what: &'static str,
    /// The tape.
    pub tape: Tape,
    /// How many pieces are cut from it.
    pub pieces: usize,
    /// Length of all of them as cut at the wing, mm.
    pub need: f64,
    /// How many rolls.
    pub rolls: Packed,
}

/// Pieces on rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packed {
    /// Rolls that do.
    pub rolls: usize,
    /// Fewer than this cannot do.
    pub bound: usize,
}

/// Length a piece is cut at the wing, mm: planned length and an inch, up to the next quarter inch.
pub fn cut_at_the_wing(length: f64) -> f64 {
    ((length + OVER - NOISE_MM) / STEP).ceil() * STEP
}

/// The rolls of every tape on the shelf that the masks use, in the order of the shelf.
pub fn tape_rolls(masking: &Masking, plan: &MaskPlan) -> Vec<TapeRolls> {
    let pieces = || plan.masks.iter().flat_map(|m| &m.pieces).filter(|p| p.kind != Kind::Film);
    let tack: Vec<Tape> = masking.tack_tape.into_iter().collect();
    let mut out = Vec::new();
    for (what, shelf) in [
        ("edge tape", &masking.edge_tapes),
        ("tack strip tape", &tack),
        ("layout tape", &masking.layout_tapes),
    ] {
        for tape in shelf {
            let own = |p: &&Piece| {
                // Film has no width on its label.
                let edge = masking.edge_tapes.iter().any(|t| same(t.width, p.label));
                let from = match p.kind {
                    Kind::Layout => "layout tape",
                    Kind::Tack => "tack strip tape",
                    Kind::Edge | Kind::Bridge | Kind::Plug if edge => "edge tape",
                    Kind::Edge | Kind::Bridge | Kind::Plug => "tack strip tape",
                    Kind::Film => "mask film",
                };
                from == what && same(p.label, tape.width)
            };
            let lengths: Vec<f64> = pieces().filter(own).map(|p| cut_at_the_wing(p.taken())).collect();
            if lengths.is_empty() {
                continue;
            }
            let need = lengths.iter().sum();
            let rolls = packed(&lengths, tape.roll);
            out.push(TapeRolls { what, tape: *tape, pieces: lengths.len(), need, rolls });
        }
    }
    out
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= NOISE_MM
}

impl Piece {
    /// Length of tape it takes, mm: a plug is cut from a square, anything else is as long as it is.
    fn taken(&self) -> f64 {
        if self.kind != Kind::Plug {
            return self.cut_length;
        }
        let corner = super::order::bounds(&self.footprint);
        corner.map_or(0.0, |(lo, hi)| (hi.x - lo.x).max(hi.y - lo.y))
    }
}

/// How many rolls `roll` mm long do for pieces of these lengths, and the bound below which none does.
pub fn packed(lengths: &[f64], roll: f64) -> Packed {
    if lengths.is_empty() || roll <= LAP {
        return Packed { rolls: 0, bound: 0 };
    }
    let mut sorted: Vec<f64> = Vec::new();
    let mut whole = 0;
    for length in lengths {
        let mut left = *length;
        while left > roll + NOISE_MM {
            whole += 1;
            left += LAP - roll;
        }
        sorted.push(left);
    }
    sorted.sort_by(|a, b| b.total_cmp(a));
    let bound = bound(&sorted, roll);
    let mut rolls = fullest_first(&sorted, roll);
    if sorted.len() < EXACT {
        let mut steps = STEPS;
        while rolls > bound && fits(&sorted, &mut vec![roll; rolls - 1], &mut steps) {
            rolls -= 1;
        }
        if steps > 0 {
            // Every way onto one roll fewer was looked at.
            return Packed { rolls: whole + rolls, bound: whole + rolls };
        }
    }
    Packed { rolls: whole + rolls, bound: whole + bound }
}

/// Fewest rolls by length alone, and by pieces of which no two share a roll with one of the long ones (Martello and
/// Toth's second bound, 1990, from memory). `sorted`: the longest first.
fn bound(sorted: &[f64], roll: f64) -> usize {
    let most = |sum: f64| ((sum - NOISE_MM) / roll).ceil().max(0.0) as usize;
    let mut best = most(sorted.iter().sum());
    // `small`: pieces below it are left out, so are those that only fit beside them.
    for small in sorted.iter().copied().filter(|l| 2.0 * l <= roll).chain([0.0]) {
        let alone = sorted.iter().filter(|l| **l > roll - small).count();
        let half: Vec<f64> =
            sorted.iter().copied().filter(|l| 2.0 * l > roll && *l <= roll - small).collect();
        let rest: f64 = sorted.iter().filter(|l| 2.0 * **l <= roll && **l >= small).sum();
        let room = half.len() as f64 * roll - half.iter().sum::<f64>();
        best = best.max(alone + half.len() + most((rest - room).max(0.0)));
    }
    best
}

/// The longest first, each onto the fullest roll that takes it.
fn fullest_first(sorted: &[f64], roll: f64) -> usize {
    let mut room: Vec<f64> = Vec::new();
    for length in sorted {
        let takes = (0..room.len())
            .filter(|k| room[*k] + NOISE_MM >= *length)
            .min_by(|a, b| room[*a].total_cmp(&room[*b]));
        match takes {
            Some(k) => room[k] -= length,
            None => room.push(roll - length),
        }
    }
    room.len()
}

/// True if the pieces fit into the room left on some rolls; false if not, or if the steps run out (then they are 0).
fn fits(sorted: &[f64], room: &mut Vec<f64>, steps: &mut usize) -> bool {
    let Some((length, rest)) = sorted.split_first() else { return true };
    if *steps == 0 {
        return false;
    }
    *steps -= 1;
    if sorted.iter().sum::<f64>() > room.iter().sum::<f64>() + NOISE_MM {
        return false;
    }
    for k in 0..room.len() {
        // Rolls with the same room left are the same roll.
        if room[k] + NOISE_MM < *length || room[..k].iter().any(|r| same(*r, room[k])) {
            continue;
        }
        room[k] -= length;
        if fits(rest, room, steps) {
            return true;
        }
        room[k] += length;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_piece_is_cut_an_inch_over_and_up_to_the_next_quarter() {
        for (planned, cut) in [(25.4, 50.8), (25.5, 57.15), (31.75, 57.15), (0.0, 25.4)] {
            assert!((cut_at_the_wing(planned) - cut).abs() < 1e-9, "{planned}: {}", cut_at_the_wing(planned));
        }
    }

    /// By hand: seven pieces of 6, 5, 5, 4, 4, 3, 3 fill three rolls of 10 to the last mm; the longest first alone
    /// would do it too, but 7, 6, 4, 3 needs 7 + 3 and 6 + 4.
    #[test]
    fn rolls_by_hand() {
        assert_eq!(packed(&[6.0, 5.0, 5.0, 4.0, 4.0, 3.0, 3.0].map(|l| l * 100.0), 1000.0).rolls, 3);
        assert_eq!(packed(&[7.0, 6.0, 4.0, 3.0].map(|l| l * 100.0), 1000.0).rolls, 2);
        // Of six pieces just over half a roll each takes its own, though they are only 3.3 rolls long.
        assert_eq!(packed(&[550.0; 6], 1000.0), Packed { rolls: 6, bound: 6 });
        // The longest first leaves four rolls; three do (6 + 3 + 1 twice does not exist, 4 + 4 + 2 does).
        let lengths = [400.0, 400.0, 300.0, 300.0, 300.0, 300.0, 300.0, 300.0, 200.0, 200.0];
        assert_eq!(packed(&lengths, 1000.0), Packed { rolls: 3, bound: 3 });
        // A stripe longer than its roll.
        assert_eq!(packed(&[2500.0], 1000.0), Packed { rolls: 3, bound: 3 });
        assert_eq!(packed(&[], 1000.0), Packed { rolls: 0, bound: 0 });
    }

    /// Fewest rolls by trying every way to share pieces out.
    fn brute(lengths: &[f64], roll: f64) -> usize {
        fn place(lengths: &[f64], room: &mut Vec<f64>, roll: f64) -> usize {
            let Some((first, rest)) = lengths.split_first() else { return room.len() };
            let mut best = usize::MAX;
            for k in 0..room.len() {
                if room[k] >= *first {
                    room[k] -= first;
                    best = best.min(place(rest, room, roll));
                    room[k] += first;
                }
            }
            room.push(roll - first);
            best = best.min(place(rest, room, roll));
            room.pop();
            best
        }
        place(lengths, &mut Vec::new(), roll)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn few_pieces_take_the_fewest_rolls(
            lengths in prop::collection::vec((1..100_u32).prop_map(|l| f64::from(l) * 10.0), 1..8)
        ) {
            let found = packed(&lengths, 1000.0);
            prop_assert_eq!(found.rolls, brute(&lengths, 1000.0));
            prop_assert_eq!(found.rolls, found.bound);
        }

        /// Rolls are never more than one above the bound: any number of pieces no longer than a third of a roll, which
        /// every piece of a mask is.
        #[test]
        fn many_pieces_take_at_most_one_roll_above_the_bound(
            lengths in prop::collection::vec((10..3333_u32).prop_map(|l| f64::from(l) / 10.0), 1..300)
        ) {
            let found = packed(&lengths, 1000.0);
            prop_assert!(found.bound <= found.rolls && found.rolls <= found.bound + 1, "{found:?}");
            prop_assert!(lengths.iter().sum::<f64>() <= found.rolls as f64 * 1000.0 + 1e-6);
        }
    }
}
