//! The largest height at a place that is given: as large as the mark can be there and nothing be wrong with it.

use super::allowed::{allowed, ladder, searched};
use super::given::{Pose, place_given};
use super::seek::Ground;
use super::sheets::at_its_place;
use super::wanted::{has_place, wanted_place};
use crate::finding::{Finding, Severity};
use crate::job::Height;
use crate::marks::design::Design;
use crate::surface::Chart;
use crate::words::length;

/// The design of a mark with a place of its own whose height is open, at a height that fits there while the next of the
/// ladder does not, and the words for it; `None` for all others, and where none fits.
pub fn highest_at(ground: &Ground, k: usize) -> Option<(Design, Finding)> {
    let (mark, skin) = (&ground.job.marks[k], ground.skin(k)?);
    let alike = ground.job.alike.iter().any(|g| g.contains(&mark.id));
    if !has_place(mark) || mark.height.value != Height::Largest || alike {
        return None;
    }
    let aim = wanted_place(mark, ground.pack, skin);
    let steps: Vec<f64> = ladder(ground.job, mark, ground.pack, skin, aim).into_iter().rev().collect();
    let sized = |step: usize| Design { height_mm: steps[step], ..ground.designs[k].clone() };
    let wrong = |step: usize| wrong(ground, mark, skin, &sized(step));
    // Doubling up, then halving between what fits and what does not.
    let (mut fits, mut fails): (Option<usize>, Option<(usize, String)>) = (None, None);
    let mut at = 0;
    while at < steps.len() {
        match wrong(at) {
            None => fits = Some(at),
            Some(why) => {
                fails = Some((at, why));
                break;
            }
        }
        at = if at + 1 == steps.len() { steps.len() } else { (2 * at + 1).min(steps.len() - 1) };
    }
    let mut good = fits?;
    while let Some((bad, _)) = fails.as_ref().filter(|(bad, _)| good + 1 < *bad) {
        let mid = usize::midpoint(good, *bad);
        match wrong(mid) {
            None => good = mid,
            Some(why) => fails = Some((mid, why)),
        }
    }
    let message = match &fails {
        Some((bad, why)) => format!(
            "{} is the largest height that fits at its place; at {}: {why}",
            length(steps[good]),
            length(steps[*bad])
        ),
        None => format!("{} fits at its place; no larger was tried", length(steps[good])),
    };
    Some((sized(good), Finding::new(Severity::Pass, "fit-largest", &mark.id, message)))
}

/// What is wrong with a mark of this design at its place; `None` if nothing is.
fn wrong(
    ground: &Ground,
    mark: &crate::job::Mark,
    skin: &crate::surface::Skin,
    design: &Design,
) -> Option<String> {
    let sheet = match at_its_place(mark, ground.pack, skin, design) {
        Ok(sheet) => sheet,
        Err(problem) => return Some(problem.message),
    };
    let inside = searched(ground.job, mark, ground.pack, &allowed(mark, &sheet));
    let pose = if let Some((centre, angle)) = sheet.chart().map(Chart::pose) {
        Pose { centre, angle }
    } else {
        let at = wanted_place(mark, ground.pack, &sheet);
        let tops = mark.tops.as_ref().map(|t| t.value);
        Pose { centre: at, angle: sheet.angle_for(tops, mark.along_span, at).unwrap_or(0.0) }
    };
    let (_, said) = place_given(design, &sheet, pose, &inside, ground.job.survey_error);
    said.into_iter().find(|f| f.severity == Severity::Fail).map(|f| f.message)
}
