//! How many rolls of film and of application tape to buy: each panel takes its length off the roll, each run of
//! application tape its own.

use super::plan::MaskPlan;
use super::rolls::{Packed, packed};
use crate::job::types::Roll;
use geom::tolerance::NOISE_MM;

/// The rolls of one film or application tape.
#[derive(Clone, Debug, PartialEq)]
pub struct FilmRolls {
    /// `mask film` or `application tape`.
    pub what: &'static str,
    /// The roll.
    pub roll: Roll,
    /// How many panels, or runs, are cut from it.
    pub pieces: usize,
    /// Length of all of them, mm.
    pub need: f64,
    /// How many rolls.
    pub rolls: Packed,
}

/// The rolls of every film the masks use, the narrowest first, then of the application tape.
pub fn film_rolls(plan: &MaskPlan) -> Vec<FilmRolls> {
    let mut lots: Vec<(&'static str, Roll, Vec<f64>)> = Vec::new();
    let films = || plan.masks.iter().filter_map(|m| m.film.as_ref());
    let mut add = |what: &'static str, roll: Roll, lengths: Vec<f64>| {
        let same =
            |o: &Roll| (o.width - roll.width).abs() <= NOISE_MM && (o.length - roll.length).abs() <= NOISE_MM;
        match lots.iter_mut().find(|(w, r, _)| *w == what && same(r)) {
            Some((.., all)) => all.extend(lengths),
            None => lots.push((what, roll, lengths)),
        }
    };
    for panel in films().flat_map(|f| &f.panels) {
        add("mask film", panel.film, vec![panel.taken]);
    }
    for film in films() {
        for panel in &film.panels {
            add("application tape", film.carrier.0, vec![panel.carry.1; panel.carry.0]);
        }
    }
    lots.sort_by(|a, b| b.0.cmp(a.0).then(a.1.width.total_cmp(&b.1.width)));
    lots.into_iter()
        .map(|(what, roll, lengths)| FilmRolls {
            what,
            roll,
            pieces: lengths.len(),
            need: lengths.iter().sum(),
            rolls: packed(&lengths, roll.length),
        })
        .collect()
}
