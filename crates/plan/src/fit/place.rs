//! Every mark of a job into its place, and held against the rule.

use super::alike::{alike, groups};
use super::allowed::allowed;
use super::find::{Found, find};
use super::given::{Pose, full_size, place_given};
use super::off_sheet::off_sheet;
use super::placed::Placed;
use super::sheets::{closer, round_place, sheets};
use super::wanted::{Wanted, slack};
use super::{law, recheck};
use crate::finding::{Finding, Severity};
use crate::job::{self, Job, Place};
use crate::marks::design::Design;
use crate::marks::further;
use crate::marks::settle::year_of;
use crate::problem::Problem;
use crate::rules::{self, MarkFacts, Pack};
use crate::surface::{Chart, Skin};
use crate::words::length;
use geom::Ring;

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
    let mut sheets = sheets(job, pack, skins, designs)?;
    // Bodies are searched on wide sheets first, then close round what was found there.
    if sheets.iter().flatten().any(|s| s.chart().is_some_and(Chart::is_wide)) {
        let near = {
            let (wanted, found) = seek(job, pack, skins, &sheets, designs)?;
            closer(skins, &wanted, &found)
        };
        for (sheet, near) in sheets.iter_mut().zip(near.into_iter().flatten()) {
            if near.is_some() {
                *sheet = near;
            }
        }
    }
    let (wanted, found) = seek(job, pack, skins, &sheets, designs)?;
    let (mut marks, mut findings) = (Vec::new(), Vec::new());
    let mut all_facts: Vec<MarkFacts> = Vec::new();
    for (wanted, found) in wanted.iter().zip(found) {
        let design = &found.design;
        let own = skins.iter().find(|s| s.id == wanted.mark.surface);
        // A mark that moved is laid flat again round its place.
        let moved = own.and_then(|own| round_place(own, wanted, &found));
        let (skin, allowed_there) = match &moved {
            Some(sheet) => (sheet, allowed(wanted.mark, sheet)),
            None => (wanted.skin, wanted.allowed.clone()),
        };
        let pose = match skin.chart().map(Chart::pose) {
            // A scan that bends too much to be laid flat round the place found is laid flat where it was.
            Some((_, angle)) if moved.is_none() && skin.chart().is_some_and(Chart::is_scan) => {
                Pose { centre: found.centre, angle }
            }
            Some((centre, angle)) => Pose { centre, angle },
            None => Pose { centre: found.centre, angle: wanted.angle },
        };
        let (mut placed, said) = place_given(design, skin, pose, &allowed_there, job.survey_error);
        placed.fit.status = found.status;
        placed.fit.aim = wanted.aim;
        placed.fit.allowed = if moved.is_some() { allowed_there } else { wanted.searched.clone() };
        placed.fit.alternatives = found.alternatives;
        if let (Some(chart), Some(first)) = (skin.chart().filter(|c| c.is_scan()), wanted.skin.chart()) {
            // Where nothing lies on a scan and no place is searched there is nothing to choose.
            if wanted.is_given() && skin.features.is_empty() {
                placed.fit.alternatives.clear();
            }
            // A sheet laid anew has a flat of its own.
            if moved.is_some() {
                placed.fit.aim = chart.flat_of(first, wanted.aim);
                for other in &mut placed.fit.alternatives {
                    other.centre = chart.flat_of(first, other.centre);
                }
            }
        } else if let (Some(own), Some(_)) = (own, wanted.skin.chart()) {
            // Places found on the chart, as the body's own flat has them.
            for other in &mut placed.fit.alternatives {
                other.centre = own.flat_from_skin(wanted.skin.skin_from_flat(other.centre));
            }
        }
        placed.fit.certificate = found.certificate;
        findings.extend(found.said);
        findings.extend(looked_at(wanted));
        findings.extend(own.iter().flat_map(|own| off_sheet(&placed, own)));
        findings.extend(two_edges(wanted.mark, wanted.surface));
        findings.extend(said);
        findings.extend(design.said.iter().cloned());
        findings.extend(law::strokes(wanted.mark, design));
        findings.extend(law::slanted(design));
        findings.extend(law::broken_up(wanted.mark, design, pack));
        findings.extend(further_told(design));
        let colours: Vec<_> = design.further.iter().map(|f| f.shape).collect();
        findings.extend(recheck::recheck(
            &placed,
            painted_area(design),
            &colours,
            &skin.features,
            slack(skin),
        ));
        let facts = law::facts(wanted.mark, wanted.surface, skin, design, &placed);
        if let Some(pack) = pack {
            findings.extend(rules::check_mark(pack, &job.craft, year_of(job), &facts, job.rule_tolerance));
        }
        all_facts.push(facts);
        marks.push(placed);
    }
    if let Some(pack) = pack {
        findings.extend(rules::check_job(pack, &job.craft, year_of(job), &all_facts, job.rule_tolerance));
    }
    Ok((marks, findings))
}

/// Every mark's place, each sought on its skin or on the sheet round it.
fn seek<'a>(
    job: &'a Job,
    pack: Option<&Pack>,
    skins: &'a [Skin],
    sheets: &'a [Option<Skin>],
    designs: &[Design],
) -> Result<(Vec<Wanted<'a>>, Vec<Found>), Vec<Problem>> {
    let (mut wanted, mut problems) = (Vec::new(), Vec::new());
    for ((mark, design), sheet) in job.marks.iter().zip(designs).zip(sheets) {
        // The job reader has refused marks on surfaces that are not there.
        let surface = job.surfaces.iter().find(|s| s.id == mark.surface);
        let skin = sheet.as_ref().or_else(|| skins.iter().find(|s| s.id == mark.surface));
        let (Some(surface), Some(skin)) = (surface, skin) else { continue };
        match Wanted::of(job, pack, mark, surface, skin, design) {
            Ok(one) => wanted.push(one),
            Err(problem) => problems.push(problem),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut found: Vec<Option<Found>> = vec![None; wanted.len()];
    for group in groups(job, &wanted) {
        for (k, one) in alike(job, &mut wanted, &group) {
            found[k] = Some(one);
        }
    }
    let found = wanted.iter().zip(found).map(|(wanted, found)| found.unwrap_or_else(|| find(wanted)));
    let found = found.collect();
    Ok((wanted, found))
}

/// How true the sheet is that a place was looked for on.
fn looked_at(wanted: &Wanted) -> Option<Finding> {
    let chart = wanted.skin.chart()?;
    let (size, off) = (chart.size(), slack(wanted.skin));
    if wanted.is_given() {
        // On a scan that bends tightly that is some millimetres.
        return (chart.is_scan() && !wanted.skin.features.is_empty()).then(|| {
            Finding::new(
                Severity::Note,
                "searched-flat",
                &wanted.mark.id,
                format!(
                    "other places were looked for on the skin laid flat {} by {} round it, where lengths are off by up to \
                     {}: each is said with so much less to spare; what this place has is measured over the skin itself",
                    length(size.x),
                    length(size.y),
                    length(off)
                ),
            )
        });
    }
    Some(Finding::new(
        Severity::Note,
        "searched-flat",
        &wanted.mark.id,
        format!(
            "its place was looked for on the skin laid flat {} by {} round it, where lengths are off by up to {}; \
                 every clearance was asked with that on top, then measured over the skin itself",
            length(size.x),
            length(size.y),
            length(off)
        ),
    ))
}

/// What there is to say about a mark's further colours.
fn further_told(design: &Design) -> Vec<Finding> {
    if design.further.is_empty() {
        return vec![];
    }
    let letters: Vec<Vec<Ring>> = full_size(design).into_iter().map(|g| g.rings).collect();
    further::told(design, &letters)
}

/// Where features are measured from the trailing edge and the mark's own place is not, that is said.
fn two_edges(mark: &job::Mark, surface: &job::Surface) -> Option<Finding> {
    let job::SurfaceShape::Wing(wing) = &surface.shape.value else { return None };
    let typed = matches!(mark.place.value, Place::At(_)) || mark.aim.is_some();
    (wing.t_from_trailing && typed).then(|| {
        Finding::new(
            Severity::Note,
            "place-from",
            &mark.id,
            "its place or aim is read from the leading edge; features, parts and `within` from the trailing edge",
        )
    })
}

/// The painted area the design asks for, mm2.
fn painted_area(design: &Design) -> f64 {
    let unit: f64 = design.glyphs.iter().flat_map(|g| &g.glyph.rings).map(Ring::area).sum();
    unit * design.height_mm * design.height_mm
}
