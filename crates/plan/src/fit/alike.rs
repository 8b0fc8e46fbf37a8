//! Marks that belong together: one height and one gap for all of a group, and on paired skins one station.
//!
//! The features of all sides are counted together: the marks move as one, mirrored where a skin is, and every
//! one must keep its own walls and stay in its own area. Where no one station serves, each takes its own best
//! place, and that is said.

use super::allowed::with_gap;
use super::face::{Face, room};
use super::find::{Found, choices, find, proof, unplaced};
use super::placed::{Asked, Certificate, FitStatus};
use super::search::{Answer, Goal, Task, answer, nearest, roomiest, ties};
use super::wanted::Wanted;
use crate::finding::{Bound, Finding, Severity};
use crate::job::{Job, Side};
use crate::surface::{Skin, SkinShape};
use crate::words::length;
use geom::room::{NoPlace, Place, Room};
use geom::tolerance::KEPT_MM;
use geom::{Affine, Point, Vec2};

/// Stations that differ by no more, mm (1/64 in), read the same on a steel tape.
const READS_ALIKE_MM: f64 = 25.4 / 64.0;

/// The groups of the job, each as places in `wanted`; marks that are not there are left out.
pub fn groups(job: &Job, wanted: &[Wanted]) -> Vec<Vec<usize>> {
    let at = |id: &String| wanted.iter().position(|w| w.mark.id == *id);
    job.alike.iter().map(|group| group.iter().filter_map(at).collect()).collect()
}

/// One group: gives every mark its place in `wanted` and what was found for it; `own_place` if each may have a station
/// of its own.
pub fn alike(own_place: bool, wanted: &mut [Wanted], group: &[usize]) -> Vec<(usize, Found)> {
    let mut said = one_gap(wanted, group);
    said.extend(one_height(wanted, group));
    let (mut found, mut no_station) = (None, None);
    if !own_place && paired(wanted, group) {
        one_station(wanted, group);
        match together(wanted, group) {
            Ok(all) => found = Some(all),
            Err(none) if wanted[group[0]].looked.bare => {
                let nowhere = |&k: &usize| (k, Found { apart: Some(none), ..unplaced(&wanted[k]) });
                return group.iter().map(nowhere).collect();
            }
            Err(none) => {
                said.push(apart(wanted, group, none));
                no_station = Some(none);
            }
        }
    }
    let mut found = found.unwrap_or_else(|| {
        said.extend(own_height(wanted, group));
        group.iter().map(|&k| (k, find(&wanted[k]))).collect()
    });
    if let Some((_, first)) = found.first_mut() {
        said.append(&mut first.said);
        (first.said, first.apart) = (said, no_station);
    }
    found
}

/// The widest gap of the group for all.
fn one_gap(wanted: &mut [Wanted], group: &[usize]) -> Vec<Finding> {
    let gap = group.iter().map(|&k| wanted[k].design.gap).fold(0.0, f64::max);
    let mut said = Vec::new();
    for &k in group {
        let one = &mut wanted[k];
        if (one.design.gap - gap).abs() > geom::tolerance::NOISE_UNIT {
            said.push(Finding::new(
                Severity::Note,
                "alike-gap",
                &one.design.id,
                format!(
                    "its gap is {}, the widest of its group, not {} as by itself",
                    length(gap * one.design.height_mm),
                    length(one.design.gap * one.design.height_mm)
                ),
            ));
            one.design = with_gap(&one.design, gap);
        }
    }
    said
}

/// The greatest height that is given, for all; if none is, it stays open.
fn one_height(wanted: &mut [Wanted], group: &[usize]) -> Vec<Finding> {
    let given = group.iter().filter(|&&k| !wanted[k].open_height).map(|&k| wanted[k].design.height_mm);
    let Some(height) = given.reduce(f64::max) else { return Vec::new() };
    let mut said = Vec::new();
    for &k in group {
        let one = &mut wanted[k];
        if !one.open_height && height - one.design.height_mm > KEPT_MM {
            said.push(
                Finding::new(
                    Severity::Caution,
                    "alike-height",
                    &one.design.id,
                    format!(
                        "its height is {}, the greatest its group is given, not {} as it asks",
                        length(height),
                        length(one.design.height_mm)
                    ),
                )
                .figures(height, Bound::Exact, one.design.height_mm, "mm")
                .hint("give all marks of a group one height"),
            );
        }
        one.design.height_mm = height;
        one.open_height = false;
    }
    said
}

/// True if the skins have stations in common: faces of wings, sides of bodies, or flat panels of known sides, one mark on each,
/// none with a place of its own.
pub fn paired(wanted: &[Wanted], group: &[usize]) -> bool {
    let all = || group.iter().map(|&k| &wanted[k]);
    let apart = group
        .iter()
        .enumerate()
        .all(|(i, &k)| group[..i].iter().all(|&other| wanted[other].mark.surface != wanted[k].mark.surface));
    let wings = all().all(|w| matches!(w.skin.shape, SkinShape::Wing(_)));
    let sides = all().all(|w| {
        matches!(w.skin.shape, SkinShape::Flat) && matches!(w.skin.side, Some(Side::Left | Side::Right))
    });
    let bodies = all().all(|w| w.skin.chart().is_some_and(|c| c.body().is_some()));
    group.len() > 1 && apart && (wings || sides || bodies) && !all().any(Wanted::is_given)
}

/// Station of a flat point: along the span; on a flat panel from its forward edge.
fn station(skin: &Skin, p: Point) -> f64 {
    let (lo, hi) = skin.outline.bounds().unwrap_or_default();
    match (&skin.shape, skin.side) {
        (SkinShape::Wing(_) | SkinShape::Body(_) | SkinShape::Chart(_), _) => skin.skin_from_flat(p)[0],
        (_, Some(Side::Right)) => hi.x - p.x,
        (_, _) => p.x - lo.x,
    }
}

/// A flat point moved to a station.
fn at_station(skin: &Skin, s: f64, p: Point) -> Point {
    match &skin.shape {
        // The charts of a group are laid round one station already.
        SkinShape::Chart(_) | SkinShape::Strip(_) => p,
        SkinShape::Wing(_) | SkinShape::Body(_) => skin.flat_from_skin([s, skin.skin_from_flat(p)[1]]),
        SkinShape::Flat | SkinShape::Scan(_) => {
            let grows = station(skin, p + Vec2::new(1.0, 0.0)) - station(skin, p);
            Point::new(p.x + (s - station(skin, p)) * grows, p.y)
        }
    }
}

/// One station to aim at: the mean of those the marks aim at by themselves.
fn one_station(wanted: &mut [Wanted], group: &[usize]) {
    let sum: f64 = group.iter().map(|&k| station(wanted[k].skin, wanted[k].aim)).sum();
    let mean = sum / group.len() as f64;
    for &k in group {
        wanted[k].aim = at_station(wanted[k].skin, mean, wanted[k].aim);
    }
}

/// How a movement of the first mark moves another: alike where stations grow the same way, else mirrored.
fn mirror(first: &Wanted, other: &Wanted) -> Affine {
    let way = |w: &Wanted| {
        let ahead = station(w.skin, w.aim + Vec2::new(1.0, 0.0)) - station(w.skin, w.aim);
        let [_, up] = ties(w.task());
        (ahead.signum(), if up.y < 0.0 { -1.0 } else { 1.0 })
    };
    let ((x0, y0), (x1, y1)) = (way(first), way(other));
    Affine::scale_non_uniform(x0 * x1, y0 * y1)
}

/// The room of all marks moving as one, each at `height` if given.
fn common_room(wanted: &[Wanted], group: &[usize], height: f64) -> Room {
    let first = &wanted[group[0]];
    let faces = group.iter().map(|&k| {
        let one = &wanted[k];
        let design = crate::marks::design::Design { height_mm: height, ..one.design.clone() };
        let face = Face::of(Task { design: &design, ..one.task() });
        // About its own aim, so that its movement is measured from there.
        let map = Affine::translate(first.aim.to_vec2())
            * mirror(first, one)
            * Affine::translate(-one.aim.to_vec2());
        face.mapped(map)
    });
    room(faces.collect())
}

/// One place for all.
fn together(wanted: &mut [Wanted], group: &[usize]) -> Result<Vec<(usize, Found)>, NoPlace> {
    let first = &wanted[group[0]];
    let goal = if group.iter().any(|&k| wanted[k].goal() == Goal::Roomiest) {
        Goal::Roomiest
    } else {
        Goal::Nearest
    };
    let tie = ties(first.task());
    let seek = |height: f64| -> Result<Place, NoPlace> {
        let room = common_room(wanted, group, height);
        room.exists()?;
        match goal {
            Goal::Nearest => room.nearest(Vec2::ZERO, 0.0, tie),
            Goal::Roomiest => room.roomiest(Vec2::ZERO, tie),
        }
    };
    let open = first.open_height;
    let heights = if open { common_ladder(wanted, group) } else { vec![first.design.height_mm] };
    let mut none = NoPlace { proved: true, boxes: 0 };
    let mut best = None;
    for height in heights {
        match seek(height) {
            Ok(place) => {
                best = Some((height, place));
                break;
            }
            Err(e) => none = NoPlace { proved: none.proved && e.proved, boxes: none.boxes + e.boxes },
        }
    }
    let (height, place) = best.ok_or(none)?;
    let maps: Vec<Affine> = group.iter().map(|&k| mirror(first, &wanted[k])).collect();
    let ids: Vec<&str> = group.iter().map(|&k| wanted[k].mark.id.as_str()).collect();
    let ids = ids.join(" and ");
    let mut all = Vec::new();
    for (&k, map) in group.iter().zip(maps) {
        wanted[k].design.height_mm = height;
        wanted[k].open_height = false;
        let one = &wanted[k];
        let moved = (map * place.t.to_point()).to_vec2();
        let shared = Answer { centre: one.aim + moved, ..answer(one.task(), &place) };
        let mut found = unplaced(one);
        (found.centre, found.status) = (shared.centre, FitStatus::Placed);
        let has = if goal == Goal::Nearest { Some(moved.hypot()) } else { shared.clearance };
        found.certificate = Some(Certificate {
            asked: if goal == Goal::Nearest { Asked::Nearest } else { Asked::Roomiest },
            bound: has.map(|_| shared.bound),
            answer: has,
            boxes: one.looked.boxes + shared.boxes,
            proved: shared.proved && none.proved && !one.looked.gave_up,
        });
        let largest = match (open, one.looked.place.is_empty()) {
            (false, _) => String::new(),
            (true, true) => format!("{} is the largest height, and ", length(height)),
            // What sheets of skin err by is kept clear: a little more may fit.
            (true, false) => format!("of {}, the largest height found, ", length(height)),
        };
        let what = match goal {
            Goal::Nearest => format!("the nearest to the aim, {} from it,", length(moved.hypot())),
            Goal::Roomiest => "the roomiest".to_owned(),
        };
        found.said.push(proof(
            &one.mark.id,
            &format!(
                "{largest}its place is {what} that serves {ids} at one station, {}",
                length(station(one.skin, shared.centre))
            ),
            &shared,
            &one.looked,
        ));
        if !one.looked.bare {
            let own = (nearest(one.task()).ok(), roomiest(one.task()).ok(), None);
            choices(&mut found, one, own, &|_, answer| answer);
        }
        all.push((k, found));
    }
    let stations: Vec<f64> = all.iter().map(|(k, f)| station(wanted[*k].skin, f.centre)).collect();
    let spread = stations.iter().fold(0.0, |most: f64, s| most.max((s - stations[0]).abs()));
    if spread > READS_ALIKE_MM {
        let note =
            format!("the stations of {ids} differ by {}: their skins unroll differently", length(spread));
        all[0].1.said.push(Finding::new(Severity::Note, "alike-stations", &wanted[group[0]].mark.id, note));
    }
    Ok(all)
}

/// Heights that every mark of the group may have, greatest first.
fn common_ladder(wanted: &[Wanted], group: &[usize]) -> Vec<f64> {
    let Some((&first, rest)) = group.split_first() else { return Vec::new() };
    let in_all =
        |h: &f64| rest.iter().all(|&k| wanted[k].ladder.iter().any(|other| (other - h).abs() < KEPT_MM));
    wanted[first].ladder.iter().copied().filter(in_all).collect()
}

/// The largest height at which each mark has a place of its own, where the height is open.
fn own_height(wanted: &mut [Wanted], group: &[usize]) -> Option<Finding> {
    if group.iter().any(|&k| !wanted[k].open_height) {
        return None;
    }
    let serves = |k: usize, height: f64| {
        let one = &wanted[k];
        let design = crate::marks::design::Design { height_mm: height, ..one.design.clone() };
        room(vec![Face::of(Task { design: &design, ..one.task() })]).exists().is_ok()
    };
    let height = common_ladder(wanted, group).into_iter().find(|h| group.iter().all(|&k| serves(k, *h)))?;
    for &k in group {
        wanted[k].design.height_mm = height;
        wanted[k].open_height = false;
    }
    Some(Finding::new(
        Severity::Pass,
        "alike-largest",
        &wanted[group[0]].mark.id,
        format!("{} is the largest height for which every mark of its group has a place", length(height)),
    ))
}

/// No one station serves: why, and the gap that would let one.
pub fn apart(wanted: &[Wanted], group: &[usize], none: NoPlace) -> Finding {
    let first = &wanted[group[0]];
    let ids: Vec<&str> = group.iter().map(|&k| wanted[k].mark.id.as_str()).collect();
    let sure = if none.proved { "proved" } else { "not proved" };
    let open = first.gaps.iter().find(|gap| {
        let mut wider = wanted.to_vec();
        for &k in group {
            wider[k].design = with_gap(&wider[k].design, **gap);
        }
        common_room(&wider, group, first.design.height_mm).exists().is_ok()
    });
    let hint = open.map_or_else(
        || "set alike_place = \"own\" if that is meant; else make the marks smaller".to_owned(),
        |gap| {
            format!(
                "with {} between characters (gap_ratio = {:.4}) one station serves all",
                length(gap * first.design.height_mm),
                first.gap_ratio(*gap)
            )
        },
    );
    Finding::new(
        Severity::Caution,
        "alike-apart",
        &first.mark.id,
        format!(
            "no one station serves {} ({sure} over {} boxes of places{}): each is at the best place of its own face",
            ids.join(" and "),
            none.boxes,
            first.looked.place
        ),
    )
    .hint(hint)
}
