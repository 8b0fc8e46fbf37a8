//! Round which place each mark on a body or scan is laid flat, and how wide, before anything is searched there.

use super::aim::aim;
use super::allowed::allowed;
use super::find::Found;
use super::placed::FitStatus;
use super::wanted::Wanted;
use crate::job::{Height, Job, Mark, Place};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::rules::Pack;
use crate::surface::{Chart, Skin, SkinShape};
use geom::{Point, Vec2};

/// What a sheet shows round a mark whose place is given, mm: what may lie within a clearance or under a tack strip.
const ROUND_MM: f64 = 60.0;

/// How far beside and above its aim a place is looked for, of the cap height; and at least so far, mm. chosen: laid
/// flat wider, a sheet errs more than the places in it are worth.
const LOOK: (f64, f64) = (3.0, 1.0);
const LOOK_LEAST: f64 = 150.0;

/// Widest sheet, mm, and highest as a share of the girth of the side.
const WIDEST: f64 = 4000.0;
const HIGHEST: f64 = 0.9;

/// A spot farther off the scan than this, mm, is not on it.
const OFF_SCAN: f64 = 25.4;

/// For each mark the skin round it; `None` where the surface unrolls.
///
/// # Errors
/// Places that are on no skin, each at its span in the job file.
pub fn sheets(
    job: &Job,
    pack: Option<&Pack>,
    skins: &[Skin],
    designs: &[Design],
) -> Result<Vec<Option<Skin>>, Vec<Problem>> {
    let (mut found, mut problems) = (Vec::new(), Vec::new());
    let aims: Vec<Option<Point>> = job.marks.iter().map(|m| body_aim(pack, m, skins)).collect();
    for ((k, mark), design) in job.marks.iter().enumerate().zip(designs) {
        let Some(skin) = skins.iter().find(|s| s.id == mark.surface) else {
            found.push(None);
            continue;
        };
        let one = match &skin.shape {
            SkinShape::Body(_) => on_body(mark, skin, design, one_station(job, skins, &aims, k)),
            SkinShape::Scan(_) => on_scan(mark, skin, design),
            _ => {
                found.push(None);
                continue;
            }
        };
        match one {
            Ok(sheet) => found.push(Some(sheet)),
            Err(problem) => {
                problems.push(problem);
                found.push(None);
            }
        }
    }
    if problems.is_empty() { Ok(found) } else { Err(problems) }
}

/// Where a mark on a body is wanted, in the body's own flat.
fn body_aim(pack: Option<&Pack>, mark: &Mark, skins: &[Skin]) -> Option<Point> {
    let skin = skins.iter().find(|s| s.id == mark.surface)?;
    matches!(skin.shape, SkinShape::Body(_))
        .then(|| aim(mark, skin, &allowed(mark, skin), super::wanted::location(mark, pack), None))
}

/// A mark's aim; of marks that are to be alike on the sides of bodies at their mean station and girth, so that their
/// charts are mirror images.
fn one_station(job: &Job, skins: &[Skin], aims: &[Option<Point>], k: usize) -> Point {
    let own = aims[k].unwrap_or_default();
    let mark = &job.marks[k];
    let given = |m: &Mark| matches!(m.place.value, Place::At(_));
    let group = job.alike.iter().find(|g| g.contains(&mark.id));
    let Some(group) = group.filter(|_| !job.alike_own_place && !given(mark)) else { return own };
    let reading = |m: &Mark, p: Point| {
        let skin = skins.iter().find(|s| s.id == m.surface)?;
        Some(skin.skin_from_flat(p))
    };
    let mut all = Vec::new();
    for (other, aim) in job.marks.iter().zip(aims).filter(|(m, _)| group.contains(&m.id)) {
        match (given(other), *aim) {
            (false, Some(p)) => all.extend(reading(other, p)),
            _ => return own,
        }
    }
    let n = all.len() as f64;
    let mean = [0, 1].map(|i| all.iter().map(|r| r[i]).sum::<f64>() / n);
    skins.iter().find(|s| s.id == mark.surface).map_or(own, |s| s.flat_from_skin(mean))
}

fn on_body(mark: &Mark, skin: &Skin, design: &Design, at: Point) -> Result<Skin, Problem> {
    let SkinShape::Body(body) = &skin.shape else { return Ok(skin.clone()) };
    let tops = mark.tops.as_ref().map(|t| t.value);
    let angle = skin.angle_for(tops, mark.along_span, at).map_err(|why| {
        Problem::at(mark.tops.as_ref().map_or(mark.place.span.clone(), |t| t.span.clone()), why)
    })?;
    let (low, high) = skin.outline.bounds().unwrap_or_default();
    let reading = body.reading(at);
    if body.to_edge(reading) <= 0.0 {
        return Err(Problem::at(
            mark.place.span.clone(),
            format!("the middle of mark `{}` does not lie on `{}`", mark.id, skin.id),
        )
        .expected("a station between its ends and a girth between the middle of its bottom and of its top"));
    }
    let mut size = box_of(design);
    if matches!(mark.place.value, Place::At(_)) {
        size = round_size(design);
    } else {
        if mark.height.value == Height::Largest {
            size *= (high.y - low.y) / size.y * HIGHEST;
        }
        let h = design.height_mm;
        size += Vec2::new((2.0 * LOOK.0 * h).max(LOOK_LEAST), (2.0 * LOOK.1 * h).max(LOOK_LEAST));
        for corner in &mark.within {
            let off = body.flat(*corner) - at;
            let most = Vec2::new(2.0 * off.x.abs(), 2.0 * off.y.abs());
            size = Vec2::new(size.x.max(most.x), size.y.max(most.y));
        }
        size = Vec2::new(size.x.min(WIDEST), size.y.min(HIGHEST * (high.y - low.y)));
    }
    let (sin, cos) = angle.sin_cos();
    // The size is along and square to the baseline; limits were along and round the body.
    let size = if cos.abs() < sin.abs() && !matches!(mark.place.value, Place::At(_)) {
        let own = box_of(design);
        Vec2::new(size.y.max(own.x), size.x.max(own.y))
    } else {
        size
    };
    let chart = Chart::on_body(body, at, angle, size).ok_or_else(|| {
        Problem::at(
            mark.place.span.clone(),
            format!("the skin round mark `{}` cannot be laid flat: it curves too much there", mark.id),
        )
        .hint("make the mark smaller, or put it where the body is wider")
    })?;
    let given = matches!(mark.place.value, Place::At(_));
    Ok(skin.sheet(if given { chart } else { chart.to_look_in() }))
}

/// For each mark that was placed on a wide sheet a closer one round that place; `None` if there is none such.
pub fn closer(skins: &[Skin], wanted: &[Wanted], found: &[Found]) -> Option<Vec<Option<Skin>>> {
    let one = |(wanted, found): (&Wanted, &Found)| {
        let chart = wanted.skin.chart().filter(|c| c.is_wide())?;
        let own = skins.iter().find(|s| s.id == wanted.mark.surface)?;
        if found.status != FitStatus::Placed {
            return None;
        }
        // Far enough round it for what the wide sheet may have been off by.
        let size = round_size(&found.design) + Vec2::new(2.0, 2.0) * (2.0 * chart.figures.stroke_error);
        Some(own.sheet(chart.moved(found.centre, size)?.aimed_as(chart)))
    };
    let all: Vec<Option<Skin>> = wanted.iter().zip(found).map(one).collect();
    all.iter().any(Option::is_some).then_some(all)
}

fn on_scan(mark: &Mark, skin: &Skin, design: &Design) -> Result<Skin, Problem> {
    let SkinShape::Scan(scan) = &skin.shape else { return Ok(skin.clone()) };
    let problem = |what: String| Problem::at(mark.place.span.clone(), what);
    let Place::OnMesh { at, toward } = mark.place.value else {
        return Err(problem(format!("mark `{}` is on a scan", mark.id))
            .expected("place = { at = [x, y, z], toward = [x, y, z] }"));
    };
    let (bearing, off) = scan.bearing(scan.point(at), scan.point(toward)).ok_or_else(|| {
        problem(format!("`toward` of mark `{}` lies straight out from the skin", mark.id))
            .expected("a point along the baseline")
    })?;
    if OFF_SCAN < off {
        return Err(problem(format!(
            "the place of mark `{}` is {} off the scan",
            mark.id,
            crate::words::length(off)
        ))
        .expected("a point on the scan, in its own axes and unit"));
    }
    let size = box_of(design);
    let chart =
        Chart::on_scan(scan, bearing, size + Vec2::new(1.0, 1.0) * (size.y / 2.0)).ok_or_else(|| {
            problem(format!("the scan round mark `{}` cannot be laid flat", mark.id))
                .hint("look for holes and folds of the scan there, or make the mark smaller")
        })?;
    Ok(skin.sheet(chart))
}

/// Size of the sheet round a mark that has its place.
pub fn round_size(design: &Design) -> Vec2 {
    box_of(design) + Vec2::new(2.0, 2.0) * ROUND_MM
}

/// Length and height of a mark, full size.
fn box_of(design: &Design) -> Vec2 {
    Vec2::new(design.overall_length(), design.depth) * design.height_mm
}
