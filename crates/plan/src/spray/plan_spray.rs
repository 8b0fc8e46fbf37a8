//! The stage as a whole: from the placed marks to paint, day and what a shop wants to know.

use super::air::{Air, judge};
use super::called::called;
use super::cautions::{Caution, cautions};
use super::day_ask::rounds_of;
use super::figures::Figures;
use super::labour::{self, Labour, MaskWork};
use super::materials::{Material, materials};
use super::parts::{PartLoad, loads};
use super::plan_day::{Day, plan_day};
use super::quantity::{CupFor, PaintNeed, need};
use super::shots::{Shot, shots};
use super::{ALLOWANCES, LIMITS, ground, parts, said};
use crate::finding::Finding;
use crate::fit::placed::Placed;
use crate::job::keys::shop::GUN;
use crate::job::{Attachments, Gun, Job};
use crate::mask::MaskPlan;
use crate::problem::Problem;
use crate::surface::Skin;

/// Everything about paint and day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SprayPlan {
    /// The paints used, in the order they are shot.
    pub paints: Vec<PaintNeed>,
    /// Parts that get paint.
    pub parts: Vec<PartLoad>,
    /// The air; `None` if it is not known.
    pub air: Option<Air>,
    /// The day; `None` if there is none, or none is asked for.
    pub day: Option<Day>,
    /// What to buy.
    pub materials: Vec<Material>,
    /// Labour; `None` if nothing of it is asked for.
    pub labour: Option<Labour>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Everything there is to say.
    pub findings: Vec<Finding>,
}

/// The gun of a job; its defaults where the table is absent.
fn gun(job: &Job) -> Gun {
    job.gun.unwrap_or_else(|| Gun {
        fan: GUN.default_length_mm("fan"),
        overlap: 0.5,
        // The default of the key, 18 in/s.
        speed: 18.0 * sheet::units::INCH_MM,
    })
}

/// Plans paint and day.
///
/// # Errors
/// Everything in the shop's own file of working times that cannot be used.
pub fn plan_spray(
    job: &Job,
    skins: &[Skin],
    marks: &[Placed],
    masking: &MaskPlan,
    files: &Attachments,
) -> Result<SprayPlan, Vec<Problem>> {
    let rates = labour::rates(job, files)?;
    let (limits, extra) = (Figures::own(LIMITS), Figures::own(ALLOWANCES));
    let shots = shots(job, skins, marks);
    let gun = gun(job);
    let (air, mut findings) = judge(job, &limits);
    let work = mask_work(job, marks, &shots, masking);

    let (day, more) = plan_day(job, skins, marks, &shots, &work, &gun, &rates, &extra);
    findings.extend(more);
    if !job.paints.is_empty() {
        findings.extend(marks.iter().filter_map(|m| ground::seal(job, skins, m)));
    }

    let names = called(job, marks);
    let mut order: Vec<usize> = Vec::new();
    for s in &shots {
        if !order.contains(&s.paint) {
            order.push(s.paint);
        }
    }
    let paints: Vec<PaintNeed> = order
        .iter()
        .map(|p| {
            let cups = day.as_ref().map_or_else(|| vec![whole_cup(job, &shots, *p)], |d| d.cups(*p));
            need(*p, &job.paints[*p], skins, &shots, marks, &names, gun.fan, &cups, &extra)
        })
        .collect();
    findings.extend(said::paints(job, &paints, &shots, &extra));
    let parts = loads(job, skins, &shots);
    findings.extend(parts::findings(&parts));
    let labour = said::labour(job, marks, &shots, &work, &gun, &rates, &paints);
    let materials = materials(job, &paints, masking, &extra);
    Ok(SprayPlan {
        paints,
        parts,
        air,
        day,
        materials,
        labour,
        cautions: cautions(job),
        findings: if shots.is_empty() && job.conditions.is_none() { vec![] } else { findings },
    })
}

/// One cup for everything: what is mixed if no day is planned.
fn whole_cup(job: &Job, shots: &[Shot], paint: usize) -> CupFor {
    CupFor {
        go: 0,
        shots: (0..shots.len()).filter(|s| shots[*s].paint == paint).collect(),
        coats: rounds_of(&job.paints[paint]).into_iter().map(|r| r.coat).collect(),
        mixed_at: None,
        use_by: None,
    }
}

/// The masking of every letter, from its mask where it has one; the papered faces are shared out over the letters of
/// their panel.
fn mask_work(job: &Job, marks: &[Placed], shots: &[Shot], plan: &MaskPlan) -> Vec<MaskWork> {
    let Some(masking) = &job.masking else { return vec![MaskWork::default(); shots.len()] };
    let tape = masking.layout_tapes.iter().map(|t| t.real).fold(0.0, f64::max);
    let papered = plan.paper.as_ref().map_or(0.0, |p| p.area) / super::area::M2;
    let own = shots.iter().filter(|s| !s.further).count().max(1);
    let faces = papered / own as f64;
    shots
        .iter()
        .map(|s| {
            let mark = &marks[s.mark];
            let faces = if s.further { 0.0 } else { faces };
            let paint = &job.paints[s.paint].id;
            let at = plan.masks.iter().position(|m| m.serves(&mark.id) && m.paint == *paint);
            match at.map(|k| (k, &plan.masks[k])) {
                Some((k, mask)) => MaskWork {
                    shared: if mask.with.is_empty() { 0 } else { k + 1 },
                    upon: (0..marks.len()).filter(|m| mask.upon.contains(&marks[*m].id)).collect(),
                    ..labour::of_mask(mask, &mark.id, s, mark.glyphs.len(), faces)
                },
                None => labour::estimate(
                    s,
                    masking.gap,
                    if tape > 0.0 { tape } else { sheet::units::INCH_MM },
                    faces,
                ),
            }
        })
        .collect()
}
