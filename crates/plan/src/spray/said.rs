//! What there is to say about paints, and the hours of a job by phase.

use super::figures::Figures;
use super::labour::{Labour, MaskWork, edge_minutes, mask_minutes, pull_minutes};
use super::passes::passes;
use super::quantity::PaintNeed;
use super::shots::Shot;
use crate::finding::{Bound, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::{Gun, Job, Tone};
use crate::mask::colours::lightness;

/// Film, hiding, figures that are missing.
pub(super) fn paints(job: &Job, needs: &[PaintNeed], shots: &[Shot], extra: &Figures) -> Vec<Finding> {
    let mut found = Vec::new();
    for need in needs {
        let paint = &job.paints[need.paint];
        let least = extra.get("film-least");
        let tone = |id: &str| -> Option<Tone> {
            let ground = job.grounds.iter().find(|g| g.id == id).map(|g| g.tone);
            ground.or_else(|| job.paints.iter().find(|p| p.id == id).map(|p| p.tone))
        };
        if need.dry_film_um > 0.0 && need.dry_film_um < least.value {
            found.push(
                Finding::new(
                    Severity::Note,
                    "thin-film",
                    &need.id,
                    format!("all coats come to {:.0} µm dry, under {:.0} µm", need.dry_film_um, least.value),
                )
                .figures(need.dry_film_um, Bound::Should, least.value, "um")
                .source(least.basis, least.cite.clone())
                .hint("see on a test panel that it hides"),
            );
        }
        let over: Vec<f64> = shots
            .iter()
            .filter(|s| s.paint == need.paint)
            .filter_map(|s| lightness(tone(&s.over)?))
            .collect();
        if let Some(own) = lightness(paint.tone)
            && over.iter().any(|under| own > *under)
        {
            found.push(
                Finding::new(
                    Severity::Note,
                    "hiding",
                    &need.id,
                    "it is lighter than what it goes over: expect to need a further wet coat",
                )
                .source(
                    crate::finding::Basis::Read,
                    "TM 1-1500-344-23-2 A-8.2: a full wet coat hides what is below",
                )
                .hint("shoot a test panel over black and white, with as many coats as it takes to hide"),
            );
        }
        let missing: Vec<&str> = [
            ("volume_solids", paint.volume_solids.is_none()),
            ("transfer_efficiency", paint.transfer_efficiency.is_none()),
            ("coats", paint.coats.is_empty()),
        ]
        .into_iter()
        .filter_map(|(key, absent)| absent.then_some(key))
        .collect();
        if !missing.is_empty() && missing.len() < 3 {
            found.push(
                Finding::new(
                    Severity::Note,
                    "no-volume",
                    &need.id,
                    format!("no volume is worked out without {}", missing.join(" and ")),
                )
                .hint("take the figures from the paint's data sheet"),
            );
        }
    }
    found
}

/// Labour by phase, minutes for one pair of hands; `None` if no paint, mask or shop is given.
#[allow(clippy::too_many_arguments, reason = "the stage's own pieces, each made once")]
pub(super) fn labour(
    job: &Job,
    marks: &[Placed],
    shots: &[Shot],
    work: &[MaskWork],
    gun: &Gun,
    rates: &Figures,
    needs: &[PaintNeed],
) -> Option<Labour> {
    if shots.is_empty() || (job.masking.is_none() && job.shop.is_none()) {
        return None;
    }
    let rate = |id: &str| rates.value(id);
    let letters = shots.iter().filter(|s| !s.further).count() as f64;
    let own_marks = marks.iter().enumerate().filter(|(m, _)| shots.iter().any(|s| s.mark == *m));
    let mut surfaces: Vec<usize> = shots.iter().map(|s| s.skin).collect();
    surfaces.dedup();
    surfaces.sort_unstable();
    surfaces.dedup();
    let surfaces = surfaces.len() as f64;
    let (mut layout, mut masking, mut edge, mut scuff, mut pull, mut coats) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for (shot, work) in shots.iter().zip(work) {
        let (own_layout, strips) = mask_minutes(work, rates);
        layout += if shot.further { 0.0 } else { own_layout };
        masking += strips;
        let tape = edge_minutes(work, false, rates);
        edge += tape;
        scuff += edge_minutes(work, true, rates) - tape;
        pull += pull_minutes(work, rates) + rate("swab");
        let own = passes(shot.size[0], shot.size[1], gun, rate("turn")).seconds / 60.0;
        for coat in &job.paints[shot.paint].coats {
            let step = if coat.kind == "wet" { rate("coat-wet") } else { rate("coat-light") };
            coats += f64::from(coat.count) * (own + step);
        }
    }
    let cups: f64 = needs.iter().map(|n| n.cups.len() as f64).sum();
    let basis = if rates.0.iter().any(|f| f.basis == crate::finding::Basis::Shop) {
        "the shop's own rates, and common practice without a source for the rest"
    } else {
        "common practice, no source: set so that 7 letters of 30 in, tape method, both faces papered, take near 30 h"
    };
    Some(Labour {
        phases: vec![
            ("survey", rate("survey") * surfaces),
            ("layout", rate("baseline") * own_marks.count() as f64 + layout),
            ("masking", masking + edge),
            ("preparation", rate("wash") * surfaces + scuff + rate("wipe") * letters),
            ("spraying", coats + rate("mix") * cups),
            ("pulling", pull),
            ("cleanup", rate("clean-gun") * cups + rate("unmask") * letters),
            ("inspection", (rate("inspect") + rate("polish")) * letters),
        ],
        basis: basis.to_owned(),
    })
}
