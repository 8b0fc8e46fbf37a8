//! Every mark of a job into its place, and held against the rule.

use super::allowed::allowed;
use super::beside::Standing;
use super::find::Found;
use super::given::{Pose, full_size, place_given};
use super::highest::highest_at;
use super::look::{at_aim, close_round, is_looked_for, look};
use super::off_sheet::off_sheet;
use super::placed::Placed;
use super::seek::Ground;
use super::sheets::{at_its_place, close_on_scan, round_place, sheets};
use super::wanted::{Wanted, has_place, slack};
use super::{beside, law, recheck};
use crate::finding::{Finding, Severity};
use crate::job::{self, Job, Place};
use crate::marks::design::Design;
use crate::marks::further;
use crate::marks::settle::year_of;
use crate::problem::Problem;
use crate::rules::{self, MarkFacts, Pack};
use crate::surface::{Chart, Skin};
use crate::words::{fine, length};
use geom::Ring;
use geom::tolerance::OVERHANG_MM;
use std::sync::OnceLock;

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
    let mut designs = designs.to_vec();
    let mut highest = Vec::new();
    for k in 0..designs.len() {
        let ground = Ground { job, pack, skins, designs: &designs, standing: &[] };
        let Some((design, said)) = highest_at(&ground, k) else { continue };
        let round = ground.skin(k).and_then(|skin| at_its_place(&job.marks[k], pack, skin, &design).ok());
        if sheets[k].is_some() {
            sheets[k] = round;
        }
        designs[k] = design;
        highest.push(said);
    }
    let standing: Vec<OnceLock<Standing>> = designs.iter().map(|_| OnceLock::new()).collect();
    let ground = Ground { job, pack, skins, designs: &designs, standing: &standing };
    let laid: Vec<OnceLock<Skin>> = designs.iter().map(|_| OnceLock::new()).collect();
    let mut settled: Vec<Option<(Wanted, Found)>> = designs.iter().map(|_| None).collect();
    let mut problems = Vec::new();
    // What has its place stands; what is looked for keeps off that and off what was found before it.
    let mut units = ground.units();
    units.sort_by_key(|unit| unit.iter().any(|&k| !has_place(&job.marks[k])));
    for unit in units {
        match settle(&ground, &unit, &mut sheets, &laid) {
            Ok(all) => {
                for (&k, (one, found)) in unit.iter().zip(all) {
                    if let Some(stands) = Standing::of(&one, &found) {
                        standing[k].get_or_init(|| stands);
                    }
                    settled[k] = Some((one, found));
                }
            }
            Err(more) => problems.extend(more),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let (mut marks, mut findings) = (Vec::new(), Vec::new());
    let mut all_facts: Vec<MarkFacts> = Vec::new();
    findings.extend(highest);
    for (wanted, found) in settled.iter().flatten() {
        let (wanted, found) = (wanted, found.clone());
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
        if let (Some(chart), Some(first), Some(_)) =
            (skin.chart().filter(|c| c.is_scan()), wanted.skin.chart(), &moved)
        {
            // A sheet laid anew has a flat of its own.
            placed.fit.aim = chart.flat_of(first, wanted.aim);
            for other in &mut placed.fit.alternatives {
                other.centre = chart.flat_of(first, other.centre);
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
    findings.extend(beside::told(job, &marks, skins));
    if let Some(pack) = pack {
        findings.extend(rules::check_job(pack, &job.craft, year_of(job), &all_facts, job.rule_tolerance));
    }
    Ok((marks, findings))
}

/// The marks of a unit, each on its sheet, and what was found for it.
///
/// # Errors
/// Places that make no sense there or cannot be found.
fn settle<'a>(
    ground: &Ground<'a>,
    unit: &[usize],
    sheets: &mut [Option<Skin>],
    laid: &'a [OnceLock<Skin>],
) -> Result<Vec<(Wanted<'a>, Found)>, Vec<Problem>> {
    let looked = if is_looked_for(ground, unit) {
        let mut all = Vec::new();
        for (&k, (sheet, found)) in unit.iter().zip(look(ground, unit)?) {
            sheets[k] = Some(sheet);
            all.push(found);
        }
        Some(all)
    } else {
        on_two_sheets(ground, unit, sheets)?;
        None
    };
    let lie = |&k: &usize| sheets[k].take().map(|sheet| laid[k].get_or_init(|| sheet));
    let lie: Vec<Option<&Skin>> = unit.iter().map(lie).collect();
    let mut wanted = ground.wanted(unit, &lie)?;
    if let Some(found) = looked {
        return Ok(wanted.into_iter().zip(found).collect());
    }
    let mut found = ground.seek(&mut wanted, ground.job.alike_own_place);
    for ((&k, one), found) in unit.iter().zip(&wanted).zip(&mut found) {
        on_own_flat(ground, k, one, found);
    }
    Ok(wanted.into_iter().zip(found).collect())
}

/// Marks on bodies that are sought together with marks on other skins, and marks on scans: each on a sheet round its aim
/// first, then close round what was found there.
fn on_two_sheets(ground: &Ground, unit: &[usize], sheets: &mut [Option<Skin>]) -> Result<(), Vec<Problem>> {
    let mut wide = false;
    for &k in unit {
        if sheets[k].is_none() && is_looked_for(ground, &[k]) {
            sheets[k] = at_aim(ground, k)?;
        }
        wide |= sheets[k].as_ref().and_then(Skin::chart).is_some_and(Chart::is_wide);
    }
    if !wide {
        return Ok(());
    }
    let near: Vec<Option<Skin>> = {
        let laid: Vec<Option<&Skin>> = unit.iter().map(|&k| sheets[k].as_ref()).collect();
        let mut wanted = ground.wanted(unit, &laid)?;
        let found = ground.seek(&mut wanted, ground.job.alike_own_place);
        let close = |((&k, laid), found): ((&usize, &Option<&Skin>), &Found)| {
            let wide = laid.filter(|s| s.chart().is_some_and(Chart::is_wide))?;
            if wide.chart().is_some_and(Chart::is_scan) {
                close_on_scan(ground.skin(k)?, wide, found)
            } else {
                close_round(ground, k, wide, found)
            }
        };
        unit.iter().zip(&laid).zip(&found).map(close).collect()
    };
    for (&k, near) in unit.iter().zip(near) {
        if near.is_some() {
            sheets[k] = near;
        }
    }
    Ok(())
}

/// Other places found on a chart, as the surface's own flat has them; those on a scan stay on the chart.
fn on_own_flat(ground: &Ground, k: usize, wanted: &Wanted, found: &mut Found) {
    let (Some(chart), Some(own)) = (wanted.skin.chart(), ground.skin(k)) else { return };
    if chart.is_scan() {
        // Where nothing lies on a scan and no place is searched there is nothing to choose.
        if wanted.is_given() && wanted.skin.features.is_empty() {
            found.alternatives.clear();
        }
        return;
    }
    for other in &mut found.alternatives {
        other.centre = own.flat_from_skin(wanted.skin.skin_from_flat(other.centre));
    }
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
            "its place was settled on the skin laid flat {} by {} round it, where lengths are off by up to {}; \
                 every clearance was asked with that on top, then measured over the skin itself",
            length(size.x),
            length(size.y),
            if off < OVERHANG_MM { fine(off) } else { length(off) }
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
