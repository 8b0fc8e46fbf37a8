//! The marks that are sought together, on whatever each of them is laid.

use super::alike::{alike, groups};
use super::beside::{Standing, keep_off};
use super::find::{Found, find};
use super::wanted::Wanted;
use crate::job::{Job, Surface};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::rules::Pack;
use crate::surface::Skin;
use std::sync::OnceLock;

/// What every search of a job starts from.
#[derive(Clone, Copy, Debug)]
pub struct Ground<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its rule pack.
    pub pack: Option<&'a Pack>,
    /// Its surfaces.
    pub skins: &'a [Skin],
    /// Its marks, drawn.
    pub designs: &'a [Design],
    /// Of each mark, once it has its place, where it stands.
    pub standing: &'a [OnceLock<Standing>],
}

impl<'a> Ground<'a> {
    /// Marks, by their place in the job, that must be sought together: each group of marks that are alike, each other
    /// mark by itself; in the order of the job.
    pub fn units(&self) -> Vec<Vec<usize>> {
        let mut units: Vec<Vec<usize>> = Vec::new();
        for (k, mark) in self.job.marks.iter().enumerate() {
            if units.iter().flatten().any(|other| *other == k) {
                continue;
            }
            let group = self.job.alike.iter().find(|g| g.contains(&mark.id));
            units.push(group.map_or_else(
                || vec![k],
                |g| (0..self.job.marks.len()).filter(|i| g.contains(&self.job.marks[*i].id)).collect(),
            ));
        }
        units
    }

    /// The surface of a mark.
    pub fn skin(&self, k: usize) -> Option<&'a Skin> {
        self.skins.iter().find(|s| s.id == self.job.marks[k].surface)
    }

    /// The marks of a unit, each on its sheet or, where it has none, on its surface.
    ///
    /// # Errors
    /// Places and tops that make no sense there.
    pub fn wanted(
        &self,
        unit: &[usize],
        sheets: &[Option<&'a Skin>],
    ) -> Result<Vec<Wanted<'a>>, Vec<Problem>> {
        let (mut wanted, mut problems) = (Vec::new(), Vec::new());
        for (&k, sheet) in unit.iter().zip(sheets) {
            let mark = &self.job.marks[k];
            // The job reader has refused marks on surfaces that are not there.
            let surface: Option<&Surface> = self.job.surfaces.iter().find(|s| s.id == mark.surface);
            let (Some(surface), Some(skin)) = (surface, sheet.or_else(|| self.skin(k))) else { continue };
            match Wanted::of(self.job, self.pack, mark, surface, skin, &self.designs[k]) {
                Ok(mut one) => {
                    for other in self.standing.iter().filter_map(OnceLock::get) {
                        keep_off(self.job, &mut one, other);
                    }
                    wanted.push(one);
                }
                Err(problem) => problems.push(problem),
            }
        }
        if problems.is_empty() { Ok(wanted) } else { Err(problems) }
    }

    /// What each of them comes to; `own` if marks that are alike may have stations of their own.
    pub fn seek(&self, wanted: &mut [Wanted], own: bool) -> Vec<Found> {
        let mut found: Vec<Option<Found>> = vec![None; wanted.len()];
        for group in groups(self.job, wanted).into_iter().filter(|g| !g.is_empty()) {
            for (k, one) in alike(own, wanted, &group) {
                found[k] = Some(one);
            }
        }
        wanted.iter().zip(found).map(|(wanted, found)| found.unwrap_or_else(|| find(wanted))).collect()
    }
}
