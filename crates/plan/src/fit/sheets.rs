//! The skin round each mark on a body or scan whose place is known, laid flat.

use super::wanted::{has_place, wanted_place};
use crate::job::{Job, Mark, Place};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::rules::Pack;
use crate::surface::{Chart, Skin, SkinShape};
use geom::{Point, Vec2};

/// What a sheet shows round a mark whose place is given, mm: what may lie within a clearance or under a tack strip.
const ROUND_MM: f64 = 60.0;

/// A spot farther off the scan than this, mm, is not on it.
const OFF_SCAN: f64 = 25.4;

/// For each mark the skin round it, as far as its place is known: given, or on a scan. `None` where the surface
/// unrolls, and where a place is looked for on sheets laid one after the other (see `look`).
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
    for (mark, design) in job.marks.iter().zip(designs) {
        let skin = skins.iter().find(|s| s.id == mark.surface);
        let one = match skin.map(|skin| (skin, &skin.shape)) {
            Some((skin, SkinShape::Body(_))) => {
                on_it(mark, skin, wanted_place(mark, pack, skin)).and_then(|(at, angle)| {
                    if has_place(mark) { given(mark, skin, design, (at, angle)).map(Some) } else { Ok(None) }
                })
            }
            Some((skin, SkinShape::Scan(_))) => on_scan(mark, skin, design).map(Some),
            _ => Ok(None),
        };
        found.push(one.unwrap_or_else(|problem| {
            problems.push(problem);
            None
        }));
    }
    if problems.is_empty() { Ok(found) } else { Err(problems) }
}

/// The skin round a mark at a height, if it lies where the job puts it.
///
/// # Errors
/// Why there is none.
pub fn at_its_place(mark: &Mark, pack: Option<&Pack>, skin: &Skin, design: &Design) -> Result<Skin, Problem> {
    match &skin.shape {
        SkinShape::Body(_) => {
            let at = on_it(mark, skin, wanted_place(mark, pack, skin))?;
            given(mark, skin, design, at)
        }
        SkinShape::Scan(_) => on_scan(mark, skin, design),
        _ => Ok(skin.clone()),
    }
}

/// A place on a body and the turn of a mark there.
fn on_it(mark: &Mark, skin: &Skin, at: Point) -> Result<(Point, f64), Problem> {
    let tops = mark.tops.as_ref().map(|t| t.value);
    let angle = skin.angle_for(tops, mark.along_span, at).map_err(|why| {
        Problem::at(mark.tops.as_ref().map_or(mark.place.span.clone(), |t| t.span.clone()), why)
    })?;
    let off = matches!(&skin.shape, SkinShape::Body(body) if body.to_edge(body.reading(at)) <= 0.0);
    if off {
        return Err(Problem::at(
            mark.place.span.clone(),
            format!("the middle of mark `{}` does not lie on `{}`", mark.id, skin.id),
        )
        .expected("a station between its ends and a girth between the middle of its bottom and of its top"));
    }
    Ok((at, angle))
}

fn given(mark: &Mark, skin: &Skin, design: &Design, (at, angle): (Point, f64)) -> Result<Skin, Problem> {
    let SkinShape::Body(body) = &skin.shape else { return Ok(skin.clone()) };
    let chart = Chart::on_body(body, at, angle, round_size(design)).ok_or_else(|| no_chart(mark))?;
    Ok(skin.sheet(chart))
}

/// That no sheet can be laid where a mark is wanted.
pub fn no_chart(mark: &Mark) -> Problem {
    let words = format!("the skin round mark `{}` cannot be laid flat: it curves too much there", mark.id);
    Problem::at(mark.place.span.clone(), words)
        .hint("make the mark smaller, or put it where the body is wider")
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
pub fn box_of(design: &Design) -> Vec2 {
    Vec2::new(design.overall_length(), design.depth) * design.height_mm
}
