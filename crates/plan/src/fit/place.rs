//! Every mark of a job into its place, and held against the rule.

use super::given::{Pose, place_given};
use super::placed::Placed;
use super::{law, recheck};
use crate::finding::Finding;
use crate::job::{self, Job, Place};
use crate::marks::design::Design;
use crate::marks::settle::year_of;
use crate::problem::Problem;
use crate::rules::{self, MarkFacts, Pack};
use crate::surface::Skin;
use geom::{Point, Ring};

/// The marks in their places, in the job's order, with what there is to say about them.
///
/// # Errors
/// Places that make no sense on their surface or cannot be found yet, each at its span in the job file.
pub fn place_marks(
    job: &Job,
    pack: Option<&Pack>,
    skins: &[Skin],
    designs: &[Design],
) -> Result<(Vec<Placed>, Vec<Finding>), Vec<Problem>> {
    let (mut marks, mut findings, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    let mut all_facts: Vec<MarkFacts> = Vec::new();
    for (mark, design) in job.marks.iter().zip(designs) {
        // The job reader has refused marks on surfaces that are not there.
        let surface = job.surfaces.iter().find(|s| s.id == mark.surface);
        let skin = skins.iter().find(|s| s.id == mark.surface);
        let (Some(surface), Some(skin)) = (surface, skin) else { continue };
        let pose = match pose(mark, skin) {
            Ok(pose) => pose,
            Err(problem) => {
                problems.push(problem);
                continue;
            }
        };
        let (placed, said) = place_given(design, skin, pose, &allowed(mark, skin), job.survey_error);
        findings.extend(said);
        findings.extend(law::strokes(design));
        findings.extend(recheck::recheck(&placed, painted_area(design), &skin.features));
        let facts = law::facts(mark, surface, skin, design, &placed);
        if let Some(pack) = pack {
            findings.extend(rules::check_mark(pack, &job.craft, year_of(job), &facts, job.rule_tolerance));
        }
        all_facts.push(facts);
        marks.push(placed);
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    if let Some(pack) = pack {
        findings.extend(rules::check_job(pack, &job.craft, year_of(job), &all_facts, job.rule_tolerance));
    }
    Ok((marks, findings))
}

/// Where the user put the mark.
fn pose(mark: &job::Mark, skin: &Skin) -> Result<Pose, Problem> {
    let at = match &mark.place.value {
        Place::At(at) => *at,
        Place::Nearest | Place::Roomiest => {
            let word = if mark.place.value == Place::Nearest { "nearest" } else { "roomiest" };
            return Err(Problem::at(
                mark.place.span.clone(),
                format!("mark `{}`: place = \"{word}\" cannot be found yet", mark.id),
            )
            .expected("place = { at = [s, t] }, the centre of the mark's box")
            .hint("a given place works today"));
        }
        Place::OnMesh { .. } => {
            return Err(Problem::at(mark.place.span.clone(), "only a scan takes a place of three numbers")
                .expected("place = { at = [s, t] }"));
        }
    };
    let centre = skin.flat_from_skin(at);
    let tops = mark.tops.as_ref().map(|t| t.value);
    let angle = skin.angle_for(tops, mark.along_span, centre).map_err(|why| {
        let span = mark.tops.as_ref().map_or(mark.place.span.clone(), |t| t.span.clone());
        Problem::at(span, why)
    })?;
    Ok(Pose { centre, angle })
}

/// Where a mark must stay, in flat: its `within`, else the skin.
fn allowed(mark: &job::Mark, skin: &Skin) -> Ring {
    if mark.within.is_empty() {
        return skin.outline.clone();
    }
    let ring = Ring::from_points(mark.within.iter().map(|p| skin.flat_from_user(*p)).collect::<Vec<Point>>());
    if ring.area() < 0.0 { ring.reversed() } else { ring }
}

/// The painted area the design asks for, mm2.
fn painted_area(design: &Design) -> f64 {
    let unit: f64 = design.glyphs.iter().flat_map(|g| &g.glyph.rings).map(Ring::area).sum();
    unit * design.height_mm * design.height_mm
}
