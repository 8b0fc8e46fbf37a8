//! Finding a mark's place: the one nearest to where the painter wants it, the one with the most room, and the
//! largest height for which there is one.
//!
//! The mark is slid over the flat skin at its angle, never turned. The answer is proved over all places
//! (`geom::room`), not picked from a grid. Which features are walls says `relation`; one that may be crossed
//! square is a wall here, and crossing it is offered elsewhere.

use super::face::{Face, room};
use super::given::{Pose, lay_all};
use crate::marks::design::Design;
use crate::surface::{FlatFeature, Skin};
use geom::point::left_of;
use geom::room::{NoPlace, Place, Room};
use geom::tolerance::NOISE_MM;
use geom::{Affine, Point, Ring, Vec2};

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
    /// The skin it goes on.
    pub skin: &'a Skin,
    /// What is in the way: the skin's features, or some of them.
    pub features: &'a [FlatFeature],
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
    let place = alone(task).nearest(Vec2::ZERO, 0.0, ties(task))?;
    Ok(answer(task, &place))
}

/// The place with the greatest least net clearance; of equally clear ones the nearest to the aim, then the one
/// with the smaller s, then the smaller t.
///
/// # Errors
/// If there is no place, or the search was given up (`proved` tells which).
pub fn roomiest(task: Task) -> Result<Answer, NoPlace> {
    let place = alone(task).roomiest(Vec2::ZERO, ties(task))?;
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
    let most = most_height(task);
    for height in heights.into_iter().filter(|h| *h <= most) {
        let design = Design { height_mm: height, ..task.design.clone() };
        let task = Task { design: &design, ..task };
        let found = letters_fit(task).and_then(|()| alone(task).exists()).and_then(|_| match goal {
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

/// The height, mm, above which the letters are longer or higher than all of where they may go, whatever lies in it.
fn most_height(task: Task) -> f64 {
    let size = |rings: &[Ring]| {
        let boxes = rings.iter().filter_map(Ring::bounds);
        boxes
            .reduce(|(a, b), (c, d)| {
                (Point::new(a.x.min(c.x), a.y.min(c.y)), Point::new(b.x.max(d.x), b.y.max(d.y)))
            })
            .map_or(Vec2::ZERO, |(lo, hi)| hi - lo)
    };
    let letters = Design { further: vec![], height_mm: 1.0, ..task.design.clone() };
    let laid = lay_all(&letters, Pose { centre: Point::ZERO, angle: 0.0 });
    let (one, room) = (size(&laid), size(&[task.allowed.mapped(Affine::rotate(-task.angle))]));
    // A hair more, so that a slot exactly as wide as the mark is not lost to rounding.
    let over = |room: f64, one: f64| if one > 0.0 { (room + NOISE_MM) / one } else { f64::INFINITY };
    over(room.x, one.x).min(over(room.y, one.y))
}

/// Further colours only add paint edges: where the letters alone have no place, they need not be drawn to know it.
fn letters_fit(task: Task) -> Result<(), NoPlace> {
    if task.design.further.is_empty() {
        return Ok(());
    }
    let letters = Design { further: vec![], ..task.design.clone() };
    alone(Task { design: &letters, ..task }).exists().map(|_| ())
}

/// The room of one mark by itself.
fn alone(task: Task) -> Room {
    room(vec![Face::of(task)])
}

/// What a search came to, told of the mark.
pub(super) fn answer(task: Task, place: &Place) -> Answer {
    Answer {
        centre: task.aim + place.t,
        clearance: place.clearance.is_finite().then_some(place.clearance),
        bound: place.bound,
        boxes: place.boxes,
        proved: place.proved,
    }
}

/// The directions in which s and t grow at the aim, flat.
pub(super) fn ties(task: Task) -> [Vec2; 2] {
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
