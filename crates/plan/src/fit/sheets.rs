//! The skin round each mark on a body or scan whose place is known, laid flat.

use super::find::Found;
use super::placed::FitStatus;
use super::wanted::{Wanted, has_place, wanted_place};
use crate::job::{Height, Job, Mark, Place, ScanPoint};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::rules::Pack;
use crate::surface::{Chart, OFF_SCAN, ScanSkin, Skin, SkinShape};
use geom::tolerance::KEPT_MM;
use geom::{Point, Vec2};

/// What a sheet shows round a mark whose place is given, mm: what may lie within a clearance or under a tack strip.
const ROUND_MM: f64 = 60.0;

/// How far beside and above its aim a place is looked for on a scan, of the cap height; and at least so far, mm. chosen:
/// laid flat wider, a sheet errs more than the places in it are worth.
const LOOK: (f64, f64) = (3.0, 1.0);
const LOOK_LEAST: f64 = 150.0;

/// Widest sheet, mm.
const WIDEST: f64 = 4000.0;

/// How much closer a sheet on a scan is laid flat where it bends too much to be laid flat as wide as wanted. chosen.
const CLOSER: [f64; 5] = [1.0, 0.75, 0.5, 0.35, 0.2];

/// Most that is to spare on each side of a sheet on a scan, mm: what bends so much that it wants more errs more the wider it is. chosen.
const MOST_SPARE: f64 = 15.0;

/// Beyond a feature's clearance what a tack strip may take, mm.
const TACK_MM: f64 = 25.4;

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
    let given = match mark.place.value {
        Place::OnMesh { at, toward } => Some([at, toward]),
        _ => None,
    };
    let aim = mark.scan_aim.as_ref().filter(|_| given.is_none());
    let span = aim.map_or(&mark.place.span, |aim| &aim.span);
    let problem = |what: String| Problem::at(span.clone(), what);
    let Some([at, toward]) = given.or(aim.map(|aim| aim.value)) else {
        return Err(problem(format!("mark `{}` is on a scan", mark.id))
            .expected("place = { at = [x, y, z], toward = [x, y, z] }"));
    };
    let (bearing, off) = scan.bearing(scan.point(at), scan.point(toward)).ok_or_else(|| {
        problem(format!(
            "`toward` of mark `{}` lies straight out from the skin or straight in, within 10 degrees",
            mark.id
        ))
        .expected("a point along the baseline")
    })?;
    let off_scan = |span: &std::ops::Range<usize>, what: &str, off: f64| {
        let far = crate::words::length(off);
        Problem::at(span.clone(), format!("{what} of mark `{}` is {far} off the scan", mark.id))
            .expected("a point on the scan, in its own axes and unit")
    };
    if OFF_SCAN < off {
        return Err(off_scan(span, if aim.is_some() { "the aim" } else { "the place" }, off));
    }
    for (k, corner) in mark.scan_within.value.iter().enumerate() {
        let off = scan.off(*corner);
        if OFF_SCAN < off {
            return Err(off_scan(&mark.scan_within.span, &format!("corner {} of `within`", k + 1), off));
        }
    }
    let sizes = match given {
        Some(_) => sizes_round(skin, design),
        None => sizes_to_look(mark, scan, design, at),
    };
    let chart = sizes.into_iter().find_map(|size| Chart::on_scan(scan, bearing, size)).ok_or_else(|| {
        problem(format!("the scan round mark `{}` cannot be laid flat", mark.id))
            .hint("look for holes and folds of the scan there, or make the mark smaller")
    })?;
    Ok(skin.sheet(if given.is_some() { chart } else { chart.to_look_in() }))
}

/// Sizes of the sheet round a mark on a scan, the widest first: what bends too much to be laid flat wide is laid flat
/// closer. Where nothing lies on the scan no more is laid flat than the mark needs.
fn sizes_round(skin: &Skin, design: &Design) -> Vec<Vec2> {
    let size = box_of(design);
    let least = size + Vec2::new(1.0, 1.0) * (size.y / 2.0);
    if skin.features.is_empty() && skin.parts.is_empty() {
        return vec![least];
    }
    let clear = skin.features.iter().map(|f| f.clearance).fold(0.0, f64::max);
    let reach = ROUND_MM.max(clear + TACK_MM);
    let wide = CLOSER.iter().map(|share| size + Vec2::new(2.0, 2.0) * (share * reach));
    wide.filter(|wide| least.x < wide.x).chain([least]).collect()
}

/// The same of a sheet to look for a place in.
fn sizes_to_look(mark: &Mark, scan: &ScanSkin, design: &Design, at: ScanPoint) -> Vec<Vec2> {
    let size = box_of(design);
    let least = size + Vec2::new(1.0, 1.0) * (size.y / 2.0);
    let h = design.height_mm;
    let mut more = Vec2::new((2.0 * LOOK.0 * h).max(LOOK_LEAST), (2.0 * LOOK.1 * h).max(LOOK_LEAST));
    if mark.height.value == Height::Largest {
        more += Vec2::new(1.0, 1.0) * (scan.outline_size() / 2.0);
    }
    let middle = scan.point(at);
    for corner in &mark.scan_within.value {
        let far = 2.0 * scan.point(*corner).distance(middle);
        more = Vec2::new(more.x.max(far - size.x), more.y.max(far - size.y));
    }
    more = Vec2::new(more.x.min(WIDEST), more.y.min(WIDEST));
    CLOSER.iter().map(|share| size + more * *share).filter(|wide| least.x < wide.x).chain([least]).collect()
}

/// The sheet close round what was found on a wide one of a scan.
pub fn close_on_scan(own: &Skin, wide: &Skin, found: &Found) -> Option<Skin> {
    let chart = wide.chart()?;
    if found.status != FitStatus::Placed {
        return None;
    }
    // Far enough round it for what the wide sheet may have been off by.
    Some(own.sheet(moved(own, chart, found, 2.0 * chart.figures.stroke_error)?.aimed_as(chart)))
}

/// The chart of a mark on a body or scan moved to where it was found, with so much to spare round it.
fn moved(own: &Skin, chart: &Chart, found: &Found, spare: f64) -> Option<Chart> {
    let more = Vec2::new(2.0, 2.0) * if chart.is_scan() { spare.min(MOST_SPARE) } else { spare };
    if !chart.is_scan() {
        return chart.moved(found.centre, round_size(&found.design) + more);
    }
    sizes_round(own, &found.design).into_iter().find_map(|size| chart.moved(found.centre, size + more))
}

/// The sheet of a mark laid flat anew round the place that was found on a first one; `None` where it lies there already,
/// or nothing is laid flat.
pub fn round_place(own: &Skin, wanted: &Wanted, found: &Found) -> Option<Skin> {
    let chart = wanted.skin.chart()?;
    let off = found.centre.distance(chart.pose().0);
    // The place of a mark on a scan whose place is given is laid flat as wide as it can be already.
    let there = if chart.is_scan() {
        off <= KEPT_MM
    } else {
        off <= KEPT_MM && (round_size(&found.design) - chart.size()).hypot() <= KEPT_MM
    };
    if there { None } else { Some(own.sheet(moved(own, chart, found, 0.0)?)) }
}

/// Size of the sheet round a mark that has its place.
pub fn round_size(design: &Design) -> Vec2 {
    box_of(design) + Vec2::new(2.0, 2.0) * ROUND_MM
}

/// Length and height of a mark, full size.
pub fn box_of(design: &Design) -> Vec2 {
    Vec2::new(design.overall_length(), design.depth) * design.height_mm
}
