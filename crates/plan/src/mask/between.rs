//! One piece between two letters, as wide as the gap, where two edge tapes of the shelf cannot meet in it.

use super::channel::Across;
use super::outline::Run;
use super::shelf::{Measures, SHORT};
use crate::job::types::Tape;
use geom::tolerance::{KEPT_MM, TAPE_KEPT_MM};

/// A strip that is the mask of two facing edges at once.
#[derive(Debug)]
pub(super) struct Between {
    /// The edge it lies along, and the edge its back meets.
    pub(super) runs: [usize; 2],
    /// Width of the channel, mm.
    pub(super) width: f64,
    /// The tape it is cut from; `None`: film.
    pub(super) tape: Option<Tape>,
}

/// Share of each edge that must face the other for one piece to serve both.
const SHARE: f64 = 0.98;

/// The pairs of straight parallel edges that face each other all along, too near for two tapes of the shelf.
pub(super) fn strips_between(
    runs: &[Run],
    across: &[(Vec<Across>, f64)],
    taken: &[bool],
    shelf: &[Tape],
    m: &Measures,
) -> Vec<Between> {
    let mut out: Vec<Between> = Vec::new();
    for (k, run) in runs.iter().enumerate() {
        if taken[k] || !run.straight() || out.iter().any(|b| b.runs.contains(&k)) {
            continue;
        }
        let (looks, least) = &across[k];
        let c = *least;
        let meet = |t: &Tape| (c + m.overlap) / 2.0 <= t.real + KEPT_MM && t.real <= c - SHORT + KEPT_MM;
        if c >= m.shared() || shelf.iter().any(meet) {
            continue;
        }
        let Some(other) = looks[looks.len() / 2].facing.map(|f| f.run) else { continue };
        let facing = &runs[other];
        let same = looks
            .iter()
            .all(|l| l.facing.is_some_and(|f| f.run == other && (f.far - c).abs() <= TAPE_KEPT_MM / 2.0));
        let alike = (run.length - facing.length).abs() <= (1.0 - SHARE) * run.length;
        let bends = |a: f64, b: f64| (a > 0.0) == (b > 0.0);
        let ends = bends(run.turns[0], facing.turns[1]) && bends(run.turns[1], facing.turns[0]);
        if other == k || taken[other] || !facing.straight() || !same || !alike || !ends {
            continue;
        }
        let tape =
            shelf.iter().filter(|t| t.real + KEPT_MM >= c).min_by(|a, b| a.real.total_cmp(&b.real)).copied();
        out.push(Between { runs: [k, other], width: c, tape });
    }
    out
}
