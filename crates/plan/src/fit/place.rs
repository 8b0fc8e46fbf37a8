//! Every mark of a job into its place, and held against the rule.

use super::given::{Pose, full_size, place_given};
use super::placed::{Alternative, FitStatus, Placed, Why};
use super::search::{Answer, Goal, Task, largest, nearest, roomiest};
use super::{law, recheck};
use crate::finding::{Bound, Finding, Severity};
use crate::job::{self, Height, Job, Place};
use crate::marks::design::Design;
use crate::marks::further;
use crate::marks::settle::year_of;
use crate::problem::Problem;
use crate::rules::{self, MarkFacts, Pack};
use crate::surface::Skin;
use crate::words::length;
use geom::inset::inset;
use geom::room::NoPlace;
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
        let allowed = allowed(mark, skin);
        let aim = aim(mark, skin, &allowed);
        let angle = match angle(mark, skin, aim) {
            Ok(angle) => angle,
            Err(problem) => {
                problems.push(problem);
                continue;
            }
        };
        let ladder = ladder(job, mark, pack, skin, aim);
        let room = less_margin(job, mark, pack, &allowed);
        let found = find(mark, design, skin, angle, &room, aim, &ladder);
        let design = &found.design;
        let pose = Pose { centre: found.centre, angle };
        let (mut placed, said) = place_given(design, skin, pose, &allowed, job.survey_error);
        placed.fit.status = found.status;
        placed.fit.alternatives = found.alternatives;
        findings.extend(found.said);
        findings.extend(two_edges(mark, surface));
        findings.extend(said);
        findings.extend(design.said.iter().cloned());
        findings.extend(law::strokes(mark, design));
        findings.extend(law::slanted(design));
        findings.extend(law::broken_up(mark, design, pack));
        findings.extend(further_told(design));
        let colours: Vec<_> = design.further.iter().map(|f| f.shape).collect();
        findings.extend(recheck::recheck(&placed, painted_area(design), &colours, &skin.features));
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

/// What there is to say about a mark's further colours.
fn further_told(design: &Design) -> Vec<Finding> {
    if design.further.is_empty() {
        return vec![];
    }
    let letters: Vec<Vec<Ring>> = full_size(design).into_iter().map(|g| g.rings).collect();
    further::told(design, &letters)
}

/// The turn of a mark whose tops and baseline point as asked.
fn angle(mark: &job::Mark, skin: &Skin, at: Point) -> Result<f64, Problem> {
    if matches!(mark.place.value, Place::OnMesh { .. }) {
        return Err(Problem::at(mark.place.span.clone(), "only a scan takes a place of three numbers")
            .expected("place = { at = [s, t] }"));
    }
    let tops = mark.tops.as_ref().map(|t| t.value);
    skin.angle_for(tops, mark.along_span, at).map_err(|why| {
        let span = mark.tops.as_ref().map_or(mark.place.span.clone(), |t| t.span.clone());
        Problem::at(span, why)
    })
}

/// Where the mark's centre is wanted: the given place, the aim, else the middle of where it may be.
fn aim(mark: &job::Mark, skin: &Skin, allowed: &Ring) -> Point {
    match (&mark.place.value, mark.aim) {
        (Place::At(at), _) => skin.flat_from_skin(*at),
        (_, Some(aim)) => skin.flat_from_skin(aim),
        _ => allowed.bounds().map_or(Point::ZERO, |(lo, hi)| lo.midpoint(hi)),
    }
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

/// What a search for a place came to.
struct Found {
    design: Design,
    centre: Point,
    status: FitStatus,
    alternatives: Vec<Alternative>,
    said: Vec<Finding>,
}

/// The place the job asks for, and at `height = "largest"` the height it allows. `ladder` holds the heights
/// that may be tried, greatest first.
fn find(
    mark: &job::Mark,
    design: &Design,
    skin: &Skin,
    angle: f64,
    allowed: &Ring,
    aim: Point,
    ladder: &[f64],
) -> Found {
    let task = Task { design, skin, angle, allowed, aim };
    let goal = if mark.place.value == Place::Roomiest { Goal::Roomiest } else { Goal::Nearest };
    let given = matches!(mark.place.value, Place::At(_));
    let mut found = Found {
        design: design.clone(),
        centre: aim,
        status: FitStatus::Given,
        alternatives: vec![],
        said: vec![],
    };
    if mark.height.value == Height::Largest {
        match largest(task, ladder.iter().copied(), goal) {
            Ok((height, answer)) => {
                found.design = Design { height_mm: height, ..design.clone() };
                found.said.push(proof(
                    &mark.id,
                    &format!("{} is the largest height that fits", length(height)),
                    &answer,
                ));
                if !given {
                    (found.centre, found.status) = (answer.centre, FitStatus::Placed);
                }
            }
            Err(none) => found.said.push(no_place(mark, none, "at any height of the ladder")),
        }
        if given {
            return found;
        }
        if found.status == FitStatus::Given {
            found.status = FitStatus::None;
            return found;
        }
    } else if given {
        return found;
    }
    let design = found.design.clone();
    let task = Task { design: &design, ..task };
    let (near, roomy) = (nearest(task), roomiest(task));
    for (why, answer) in [(Why::Nearest, &near), (Why::Roomiest, &roomy)] {
        if let Ok(a) = answer {
            found.alternatives.push(alternative(why, &design, a));
        }
    }
    match if goal == Goal::Nearest { near } else { roomy } {
        Ok(answer) => {
            (found.centre, found.status) = (answer.centre, FitStatus::Placed);
            let what = if goal == Goal::Nearest {
                format!(
                    "its place is the nearest to the aim, {} from it",
                    length(answer.centre.distance(aim))
                )
            } else {
                "its place is the roomiest there is".to_owned()
            };
            found.said.push(proof(&mark.id, &what, &answer));
        }
        Err(none) => {
            found.status = FitStatus::None;
            found.said.push(no_place(mark, none, "at this height"));
            let smaller = ladder.iter().copied().filter(|h| *h < design.height_mm);
            if let Ok((height, answer)) = largest(task, smaller, Goal::Nearest) {
                let design = Design { height_mm: height, ..design };
                found.alternatives.push(alternative(Why::Largest, &design, &answer));
                found.said.push(Finding::new(
                    Severity::Note,
                    "fit-smaller",
                    &mark.id,
                    format!("at {} high there is a place", length(height)),
                ));
            }
        }
    }
    found
}

fn alternative(why: Why, design: &Design, answer: &Answer) -> Alternative {
    Alternative {
        why,
        height: design.height_mm,
        gap: design.gap * design.height_mm,
        centre: answer.centre,
        clearance: answer.clearance,
    }
}

fn proof(mark: &str, what: &str, answer: &Answer) -> Finding {
    let sure = if answer.proved { "proved" } else { "best found, not proved" };
    Finding::new(
        if answer.proved { Severity::Pass } else { Severity::Caution },
        "fit-proof",
        mark,
        format!("{what} ({sure} over {} boxes of places)", answer.boxes),
    )
    .figures(answer.clearance.unwrap_or(0.0), Bound::Min, 0.0, "mm")
}

fn no_place(mark: &job::Mark, none: NoPlace, when: &str) -> Finding {
    let words = mark.text.value.replace('\n', " / ");
    let words = if none.proved {
        format!("there is no place for {} {when} (proved over {} boxes of places)", words, none.boxes)
    } else {
        format!("no place was found for {} {when} within {} boxes of places", words, none.boxes)
    };
    Finding::new(Severity::Fail, "no-place", &mark.id, words).hint(
        "make it smaller, ask less clearance, or widen `within`; what is in the way at the aim is listed",
    )
}

/// The heights that may be tried, greatest first: steps of 1/8 in, or 2 mm where the job measures in metric,
/// from what the allowed area could hold down to the least legal height.
fn ladder(job: &Job, mark: &job::Mark, pack: Option<&Pack>, skin: &Skin, aim: Point) -> Vec<f64> {
    let step = match job.units {
        job::Unit::In | job::Unit::Ft => 25.4 / 8.0,
        job::Unit::Mm | job::Unit::Cm | job::Unit::M => 2.0,
    };
    let least = pack
        .filter(|_| mark.legal)
        .and_then(|p| p.least_height(ask(job, mark), law::skin_size(skin, aim)).height)
        .and_then(|f| f.mm())
        .unwrap_or(LEAST_HEIGHT_MM);
    let (lo, hi) = skin.outline.bounds().unwrap_or_default();
    let first = (lo.distance(hi) / step).floor() as usize;
    let last = (least / step - geom::tolerance::NOISE_UNIT).ceil().max(1.0) as usize;
    (last..=first.min(last + MOST_STEPS)).rev().map(|k| k as f64 * step).collect()
}

/// Least height, mm, that is tried where no rule asks for one. chosen: the smallest placarded words are 2 in.
const LEAST_HEIGHT_MM: f64 = 12.7;

/// Most heights on a ladder; a panel of 10 m in steps of 2 mm has 5,000.
const MOST_STEPS: usize = 5_000;

/// Where a mark must stay, in flat: its `within`, else the skin.
fn allowed(mark: &job::Mark, skin: &Skin) -> Ring {
    if mark.within.is_empty() {
        return skin.outline.clone();
    }
    let ring = Ring::from_points(mark.within.iter().map(|p| skin.flat_from_user(*p)).collect::<Vec<Point>>());
    if ring.area() < 0.0 { ring.reversed() } else { ring }
}

/// Where a place is looked for: the skin less the pack's margin, unless the job says where with `within`. A
/// panel too small for the margin is searched as it is; the rule report then says what is missing.
fn less_margin(job: &Job, mark: &job::Mark, pack: Option<&Pack>, allowed: &Ring) -> Ring {
    let margin =
        pack.filter(|_| mark.legal && mark.within.is_empty()).map_or(0.0, |p| p.margin(ask(job, mark)));
    if margin > 0.0 { inset(allowed, margin).unwrap_or_else(|| allowed.clone()) } else { allowed.clone() }
}

/// What a rule pack is asked about a mark.
fn ask<'a>(job: &'a Job, mark: &'a job::Mark) -> rules::Ask<'a> {
    rules::Ask {
        craft: &job.craft,
        location: mark.location.as_ref().map(|l| l.value.as_str()),
        this_year: year_of(job),
    }
}

/// The painted area the design asks for, mm2.
fn painted_area(design: &Design) -> f64 {
    let unit: f64 = design.glyphs.iter().flat_map(|g| &g.glyph.rings).map(Ring::area).sum();
    unit * design.height_mm * design.height_mm
}
