//! Finding a mark's place: the one nearest to where the painter wants it, the one with the most room, and the
//! largest height for which there is one.
//!
//! The mark is slid over the flat skin at its angle, never turned. The answer is proved over all places
//! (`geom::room`), not picked from a grid. Which features are walls says `relation`; one that may be crossed
//! square is a wall here, and crossing it is offered elsewhere.

use super::given::{Pose, lay, lay_further};
use super::relation::{Asks, asks};
use crate::marks::design::Design;
use crate::surface::Skin;
use geom::maximin::Border;
use geom::point::left_of;
use geom::room::{NoPlace, Place, Room, Wall};
use geom::tolerance::{NOISE_MM, PARALLEL_SINE};
use geom::{Affine, Point, Region, Ring, Vec2};

/// A place that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// Centre of the mark's box, flat.
    pub centre: Point,
    /// Least net clearance over the features with walls, mm; `None` if there are none.
    pub clearance: Option<f64>,
    /// What was proved, mm: no place is nearer to the aim (nearest), or none has more clearance (roomiest).
    pub bound: f64,
    /// Boxes of places that were looked at.
    pub boxes: usize,
    /// True if the proof is complete.
    pub proved: bool,
}

/// Which of the places that serve is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// The nearest to the aim.
    Nearest,
    /// The one with the greatest least clearance.
    Roomiest,
}

/// What is searched: a mark, the skin it goes on, and where it may go.
#[derive(Clone, Copy, Debug)]
pub struct Task<'a> {
    /// The mark; its `height_mm` is what is laid.
    pub design: &'a Design,
    /// The skin with its features.
    pub skin: &'a Skin,
    /// The mark's turn, radians.
    pub angle: f64,
    /// Where the mark must stay, in flat: straight edges that do not cross each other.
    pub allowed: &'a Ring,
    /// Where the centre of its box should be, flat.
    pub aim: Point,
}

/// Of all places at which every wall is kept, the one nearest to the aim; of equally near ones the one with the
/// smaller s, then the smaller t.
///
/// # Errors
/// If there is no place, or the search was given up (`proved` tells which).
pub fn nearest(task: Task) -> Result<Answer, NoPlace> {
    let place = room(task).nearest(Vec2::ZERO, 0.0, ties(task))?;
    Ok(answer(task, &place))
}

/// The place with the greatest least net clearance; of equally clear ones the nearest to the aim, then the one
/// with the smaller s, then the smaller t.
///
/// # Errors
/// If there is no place, or the search was given up (`proved` tells which).
pub fn roomiest(task: Task) -> Result<Answer, NoPlace> {
    let place = room(task).roomiest(Vec2::ZERO, ties(task))?;
    Ok(answer(task, &place))
}

/// The first of the `heights` (mm, greatest first) for which there is a place, and the place wanted at it. Every
/// height is tried: a ring may fit into the stroke of a larger letter and not of a smaller one. If a height was
/// given up on, the answer after it is not `proved` to be at the largest.
///
/// # Errors
/// If no height has a place, or those that might were given up on.
pub fn largest(
    task: Task,
    heights: impl IntoIterator<Item = f64>,
    goal: Goal,
) -> Result<(f64, Answer), NoPlace> {
    let mut none = NoPlace { proved: true, boxes: 0 };
    for height in heights {
        let design = Design { height_mm: height, ..task.design.clone() };
        let task = Task { design: &design, ..task };
        let found = letters_fit(task).and_then(|()| room(task).exists()).and_then(|_| match goal {
            Goal::Nearest => nearest(task),
            Goal::Roomiest => roomiest(task),
        });
        match found {
            Ok(answer) => {
                let (proved, boxes) = (answer.proved && none.proved, answer.boxes + none.boxes);
                return Ok((height, Answer { proved, boxes, ..answer }));
            }
            Err(e) => none = NoPlace { proved: none.proved && e.proved, boxes: none.boxes + e.boxes },
        }
    }
    Err(none)
}

/// Further colours only add paint edges: where the letters alone have no place, they need not be drawn to know it.
fn letters_fit(task: Task) -> Result<(), NoPlace> {
    if task.design.further.is_empty() {
        return Ok(());
    }
    let letters = Design { further: vec![], ..task.design.clone() };
    room(Task { design: &letters, ..task }).exists().map(|_| ())
}

fn answer(task: Task, place: &Place) -> Answer {
    Answer {
        centre: task.aim + place.t,
        clearance: place.clearance.is_finite().then_some(place.clearance),
        bound: place.bound,
        boxes: place.boxes,
        proved: place.proved,
    }
}

/// The mark laid at the aim, and all that limits how it may be moved from there.
fn room(task: Task) -> Room {
    let pose = Pose { centre: task.aim, angle: task.angle };
    let further = lay_further(task.design, pose).into_iter().flat_map(|f| f.rings);
    let shape: Vec<Ring> = lay(task.design, pose).into_iter().flat_map(|g| g.rings).chain(further).collect();
    let mut walls = walls(task.skin);
    let (hull, pockets) = hull_and_pockets(task.allowed);
    let borders = borders(&hull, &shape);
    // A pocket is no place for paint, but keeping it has no clearance to be made greater.
    walls.extend(pockets.into_iter().map(|ring| Wall {
        region: Region::Area { rings: vec![ring] },
        clearance: 0.0,
        uncovered: true,
        counts: false,
    }));
    Room::new(shape, &walls, borders)
}

fn walls(skin: &Skin) -> Vec<Wall> {
    skin.features
        .iter()
        .filter_map(|f| {
            let (asked, wall) = asks(f);
            wall.then(|| Wall {
                region: f.region.clone(),
                clearance: f.clearance,
                uncovered: asked == Asks::PaintClear,
                counts: true,
            })
        })
        .collect()
}

/// How far the whole mark may go before it leaves the hull: each side of the hull against the mark's own reach
/// that way.
fn borders(hull: &[Point], shape: &[Ring]) -> Vec<Border> {
    let n = hull.len();
    (0..n)
        .map(|k| {
            let along = hull[(k + 1) % n] - hull[k];
            let normal = -left_of(along) / along.hypot();
            let turned = Affine::rotate(-normal.atan2());
            let reach = shape
                .iter()
                .filter_map(|r| r.mapped(turned).bounds())
                .fold(f64::NEG_INFINITY, |most, (_, hi)| most.max(hi.x));
            Border { normal, limit: normal.dot(hull[k].to_vec2()) - reach }
        })
        .collect()
}

/// The convex hull of an outline, counter-clockwise, and what of it the outline leaves out.
fn hull_and_pockets(outline: &Ring) -> (Vec<Point>, Vec<Ring>) {
    let outline = if outline.area() < 0.0 { outline.reversed() } else { outline.clone() };
    let mut points: Vec<Point> = Vec::new();
    for v in &outline.vertices {
        if points.last().is_none_or(|p| p.distance(v.p) > NOISE_MM) {
            points.push(v.p);
        }
    }
    while points.len() > 1 && points[0].distance(points[points.len() - 1]) <= NOISE_MM {
        points.pop();
    }
    let n = points.len();
    let Some(first) = (0..n).min_by(|&a, &b| {
        let (p, q) = (points[a], points[b]);
        p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y))
    }) else {
        return (Vec::new(), Vec::new());
    };
    // Wrap round the outline from its leftmost corner: the next corner of the hull has all others to its left.
    let mut at = vec![first];
    while at.len() <= n {
        let from = at[at.len() - 1];
        let next = (1..n).map(|k| (from + k) % n).reduce(|best, k| {
            let (u, v) = (points[best] - points[from], points[k] - points[from]);
            let turn = u.cross(v);
            let level = turn.abs() <= PARALLEL_SINE * u.hypot() * v.hypot();
            // Of corners on one line the farthest, so that the line is one side.
            if (level && v.hypot2() > u.hypot2()) || (!level && turn < 0.0) { k } else { best }
        });
        match next {
            Some(k) if k != first => at.push(k),
            _ => break,
        }
    }
    let corners = at.len();
    let pockets = (0..corners)
        .filter_map(|i| {
            let (from, to) = (at[i], at[(i + 1) % corners]);
            let chain: Vec<Point> = (0..=(to + n - from) % n).map(|k| points[(from + k) % n]).collect();
            let pocket = Ring::from_points(chain.into_iter().rev());
            // Corners along one side of the hull leave nothing out.
            (pocket.area() > NOISE_MM * pocket.perimeter()).then_some(pocket)
        })
        .collect();
    (at.into_iter().map(|k| points[k]).collect(), pockets)
}

/// The directions in which s and t grow at the aim, flat.
fn ties(task: Task) -> [Vec2; 2] {
    let step = Vec2::new(1.0, 0.0);
    let at = |v: Vec2| task.skin.skin_from_flat(task.aim + v);
    let (x0, x1, y0, y1) = (at(-step), at(step), at(-left_of(step)), at(left_of(step)));
    let grows = |k: usize| {
        let slope = Vec2::new(x1[k] - x0[k], y1[k] - y0[k]);
        let steep = slope.hypot();
        if steep > NOISE_MM { slope / steep } else { Vec2::ZERO }
    };
    [grows(0), grows(1)]
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
