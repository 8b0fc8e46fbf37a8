//! What would give where a mark has no place: what is in the way at the aim and by how much, and every single
//! change that opens a place. Each is searched for, none is guessed.

use super::allowed::with_gap;
use super::cleanest::cleanest;
use super::face::{Face, room};
use super::given::{Pose, lay_all, named};
use super::placed::{Alternative, Why};
use super::relation::lie;
use super::search::{Goal, Task, answer, largest, nearest, ties};
use super::wanted::Wanted;
use crate::finding::{Bound, Finding, Severity};
use crate::marks::design::Design;
use crate::surface::FlatFeature;
use crate::words::{inches, length};
use geom::room::Wall;
use geom::tolerance::KEPT_MM;
use geom::{Point, Point3, Ring, Vec2};

/// Most features whose giving way is searched for, the nearest to the aim first.
const MOST_FEATURES: usize = 60;

/// What would open a place.
#[derive(Clone, Debug, Default)]
pub struct Gives {
    /// Other sizes and places that would do.
    pub alternatives: Vec<Alternative>,
    /// In words.
    pub said: Vec<Finding>,
}

/// The features in the way of a mark laid at the aim, each with how much it lacks, the worst first.
pub fn in_the_way(task: Task) -> Vec<String> {
    let pose = Pose { centre: task.aim, angle: task.angle };
    let rings = lay_all(task.design, pose);
    let mut short: Vec<(f64, &FlatFeature)> = task
        .features
        .iter()
        .map(|f| (lie(&rings, f), f))
        .filter(|(fit, _)| fit.wall && fit.clearance < -KEPT_MM)
        .map(|(fit, f)| (-fit.clearance, f))
        .collect();
    short.sort_by(|a, b| b.0.total_cmp(&a.0));
    short.into_iter().map(|(by, f)| format!("{} by {}", named(f), length(by))).collect()
}

/// Every single change that opens a place for the mark at this design.
pub fn gives(wanted: &Wanted, design: &Design) -> Gives {
    let task = Task { design, ..wanted.task() };
    let mut gives = Gives::default();
    smaller(&mut gives, wanted, task);
    if room(vec![Face::of(Task { features: &[], ..task })]).exists().is_err() {
        gives.said.push(too_small(task));
        elsewhere(&mut gives, wanted, task);
        return gives;
    }
    other_gap(&mut gives, wanted, task);
    one_feature(&mut gives, task);
    crossing(&mut gives, task);
    elsewhere(&mut gives, wanted, task);
    gives
}

/// The place of the cleanest crossing, as an alternative and in words.
pub fn crossing(gives: &mut Gives, task: Task) {
    let Some(found) = cleanest(task) else { return };
    let names: Vec<String> = found.crossed.iter().map(|&k| named(&task.features[k])).collect();
    gives.alternatives.push(Alternative::new(Why::Crossing, task.design, &found.answer));
    gives.said.push(
        Finding::new(
            Severity::Note,
            "fit-crossing",
            &task.design.id,
            format!(
                "crossing {} square, through the middle half, there is a place {} from the aim",
                names.join(" and "),
                length(found.answer.centre.distance(task.aim))
            ),
        )
        .hint(at_words(task, found.answer.centre)),
    );
}

/// Where a place is, as a job file takes it.
pub fn at_words(task: Task, centre: Point) -> String {
    if let Some(chart) = task.skin.chart().filter(|c| c.is_scan()) {
        let ahead = Vec2::from_angle(task.angle) * (task.design.length * task.design.height_mm / 2.0);
        if let (Some(at), Some(toward)) = (chart.own_space(centre), chart.own_space(centre + ahead)) {
            let own = |p: Point3| format!("\"{:.1} mm\", \"{:.1} mm\", \"{:.1} mm\"", p.x, p.y, p.z);
            return format!("place = {{ at = [{}], toward = [{}] }}", own(at), own(toward));
        }
        return String::new();
    }
    let [s, t] = task.skin.skin_from_flat(centre);
    format!("place = {{ at = [\"{s:.1} mm\", \"{t:.1} mm\"] }}")
}

fn smaller(gives: &mut Gives, wanted: &Wanted, task: Task) {
    let heights = wanted.ladder.iter().copied().filter(|h| *h < task.design.height_mm - KEPT_MM);
    if let Ok((height, answer)) = largest(task, heights, Goal::Nearest) {
        let design = Design { height_mm: height, ..task.design.clone() };
        gives.alternatives.push(Alternative::new(Why::Largest, &design, &answer));
        gives.said.push(
            Finding::new(
                Severity::Note,
                "fit-smaller",
                &design.id,
                format!("at {} high there is a place", length(height)),
            )
            .figures(height, Bound::None, task.design.height_mm, "mm")
            .hint(at_words(task, answer.centre)),
        );
    }
}

fn too_small(task: Task) -> Finding {
    let rings = lay_all(task.design, Pose { centre: task.aim, angle: task.angle });
    let size = |rings: &[Ring]| {
        let boxes = rings.iter().filter_map(Ring::bounds);
        let all = boxes.reduce(|a, b| {
            (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
        });
        all.map_or(Vec2::ZERO, |(lo, hi)| hi - lo)
    };
    let (needs, has) = (size(&rings), size(std::slice::from_ref(task.allowed)));
    Finding::new(
        Severity::Note,
        "area-too-small",
        &task.design.id,
        format!(
            "no feature is in the way: the mark takes {} by {}, the area it must stay in measures {} by {}",
            length(needs.x),
            length(needs.y),
            length(has.x),
            length(has.y)
        ),
    )
    .hint("make it smaller, or widen `within`")
}

fn other_gap(gives: &mut Gives, wanted: &Wanted, task: Task) {
    for gap in &wanted.gaps {
        let design = with_gap(task.design, *gap);
        let task = Task { design: &design, ..task };
        // Most gaps open nothing, which is told sooner than where the nearest place is.
        if room(vec![Face::of(task)]).exists().is_err() {
            continue;
        }
        let Ok(answer) = nearest(task) else { continue };
        gives.alternatives.push(Alternative::new(Why::Gap, &design, &answer));
        gives.said.push(
            Finding::new(
                Severity::Note,
                "fit-gap",
                &design.id,
                format!(
                    "with {} between characters instead of {} there is a place",
                    length(design.gap * design.height_mm),
                    length(wanted.design.gap * task.design.height_mm)
                ),
            )
            .hint(format!(
                "gap_ratio = {:.4}; {}",
                wanted.gap_ratio(*gap),
                at_words(task, answer.centre)
            )),
        );
        return;
    }
}

/// Each feature alone: how much less clearance opens a place, or that only its removal does.
fn one_feature(gives: &mut Gives, task: Task) {
    let far = |f: &FlatFeature| geom::measure::point_to_region(task.aim, &f.region);
    let mut order: Vec<usize> = (0..task.features.len()).collect();
    order.sort_by(|&a, &b| far(&task.features[a]).total_cmp(&far(&task.features[b])));
    let mut taken: Vec<&str> = Vec::new();
    for k in order.into_iter().take(MOST_FEATURES) {
        let feature = &task.features[k];
        // A path the panel's edge cuts apart is several features of one id.
        if super::face::wall(feature).is_none() || taken.contains(&feature.id.as_str()) {
            continue;
        }
        taken.push(&feature.id);
        let others: Vec<FlatFeature> = task.features.iter().filter(|f| f.id != feature.id).cloned().collect();
        let without = Task { features: &others, ..task };
        let mut face = Face::of(without);
        if room(vec![face.clone()]).exists().is_err() {
            continue;
        }
        for wall in &mut face.walls {
            wall.counts = false;
        }
        let mine = task.features.iter().filter(|f| f.id == feature.id).filter_map(super::face::wall);
        face.walls.extend(mine.map(|w| Wall { clearance: 0.0, counts: true, ..w }));
        let most = room(vec![face]).roomiest(Vec2::ZERO, ties(task)).ok();
        let what = named(feature);
        let (message, figure, hint) = match most {
            Some(place) if place.clearance < feature.clearance => {
                let centre = answer(task, &place).centre;
                (
                    format!(
                        "with {} of clearance at {what} instead of {} there is a place",
                        length(place.clearance.max(0.0)),
                        length(feature.clearance)
                    ),
                    place.clearance.max(0.0),
                    at_words(task, centre),
                )
            }
            _ => {
                let Ok(answer) = nearest(without) else { continue };
                (
                    format!("without {what} there is a place; less clearance there is not enough"),
                    0.0,
                    at_words(task, answer.centre),
                )
            }
        };
        gives.said.push(
            Finding::new(Severity::Note, "fit-gives", &task.design.id, message)
                .figures(figure, Bound::None, feature.clearance, "mm")
                .hint(hint),
        );
    }
}

fn elsewhere(gives: &mut Gives, wanted: &Wanted, task: Task) {
    let Some(whole) = &wanted.beyond_within else { return };
    let Ok(answer) = nearest(Task { allowed: whole, ..task }) else { return };
    gives.said.push(
        Finding::new(
            Severity::Note,
            "fit-elsewhere",
            &task.design.id,
            format!(
                "beyond `within` there is a place on this surface, {} from the aim",
                inches(answer.centre.distance(task.aim))
            ),
        )
        .hint(at_words(task, answer.centre)),
    );
}
