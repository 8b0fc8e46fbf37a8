//! The cleanest crossing: where features that may be crossed are crossed on purpose, as few as will do, each
//! square and through its middle half, never near the rim.
//!
//! For one paint edge and one feature the movements that cross it so are a few straight borders: the edge runs
//! within half a radius of a disc's middle, or through the middle halves of two sides of an area. Every other
//! edge keeps the feature's full clearance, so that none skims the rim or ends inside. Each choice of features
//! and edges is then one search like any other; what it finds is held against `crossing` again.

use super::crossing::{LEAST_ANGLE_DEG, crosses_square};
use super::face::{Face, room, wall};
use super::given::{Pose, lay_all};
use super::relation::{Asks, asks};
use super::search::{Answer, Task, answer, ties};
use crate::job::Cross;
use crate::surface::FlatFeature;
use geom::maximin::{Border, nearest_inside};
use geom::measure::segments;
use geom::point::left_of;
use geom::room::Wall;
use geom::tolerance::{KEPT_MM, NOISE_MM, NOISE_UNIT};
use geom::{Edge, Point, Region, Ring, Vec2};

/// Most features one mark crosses. chosen: with four it is the wrong place for the mark.
const MOST_CROSSED: usize = 3;

/// Most choices of features and edges that are searched, nearest first; past it the best so far is given.
const MOST_TRIES: usize = 300;

/// Most choices that are looked at before any is searched.
const MOST_CHOICES: usize = 200_000;

/// Farthest, mm, a movement goes. chosen: as far as a skin is believed.
const FARTHEST_MM: f64 = 100_000.0;

/// A place at which features are crossed.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// The place; its clearance is over the walls that are not crossed.
    pub answer: Answer,
    /// Which features are crossed, by their place in the task.
    pub crossed: Vec<usize>,
}

/// One way to cross one feature.
#[derive(Clone, Debug)]
struct Way {
    feature: usize,
    /// Edges of the mark that cross it, or may.
    edges: Vec<usize>,
    borders: Vec<Border>,
    /// What the crossing edges keep clear of all the same.
    ends: Vec<Wall>,
}

/// Of all places that cross the fewest features, each square through its middle half, the nearest to the aim;
/// `None` if crossing up to three features opens no place, or none may be crossed.
pub fn cleanest(task: Task) -> Option<Crossing> {
    let main = Face::of(task);
    let edges: Vec<Edge> =
        main.shape.iter().flat_map(Ring::edges).filter(|e| e.length() > NOISE_MM).collect();
    let ways: Vec<Vec<Way>> = (0..task.features.len())
        .map(|k| ways(k, &task.features[k], &edges))
        .map(|all| all.into_iter().filter(|w| reach(&main.borders, &[w]).is_some()).collect())
        .filter(|all: &Vec<Way>| !all.is_empty())
        .collect();
    (1..=MOST_CROSSED).find_map(|count| {
        let mut choices = Vec::new();
        choose(&ways, count, &main.borders, &mut Vec::new(), &mut choices);
        choices.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<(f64, Crossing)> = None;
        for (least, choice) in choices.into_iter().take(MOST_TRIES) {
            if best.as_ref().is_some_and(|b| b.0 <= least) {
                break;
            }
            let Some(found) = search(task, &edges, &choice) else { continue };
            let far = found.answer.centre.distance(task.aim);
            if best.as_ref().is_none_or(|b| far < b.0) {
                best = Some((far, found));
            }
        }
        best.map(|b| b.1)
    })
}

/// Every choice of one way for each of `count` features that some movement allows, with the least such movement.
fn choose<'w>(
    ways: &'w [Vec<Way>],
    count: usize,
    borders: &[Border],
    chosen: &mut Vec<&'w Way>,
    out: &mut Vec<(f64, Vec<&'w Way>)>,
) {
    if out.len() >= MOST_CHOICES {
        return;
    }
    let Some(least) = reach(borders, chosen) else { return };
    if count == 0 {
        out.push((least, chosen.clone()));
        return;
    }
    for (k, of_feature) in ways.iter().enumerate() {
        for way in of_feature {
            chosen.push(way);
            choose(&ways[k + 1..], count - 1, borders, chosen, out);
            chosen.pop();
        }
    }
}

/// Length of the least movement inside all borders; `None` if there is none.
fn reach(borders: &[Border], chosen: &[&Way]) -> Option<f64> {
    let all: Vec<Border> = borders.iter().chain(chosen.iter().flat_map(|w| &w.borders)).copied().collect();
    nearest_inside(Vec2::ZERO, Vec2::new(FARTHEST_MM, FARTHEST_MM), &all).map(Vec2::hypot)
}

fn search(task: Task, edges: &[Edge], choice: &[&Way]) -> Option<Crossing> {
    let crossed: Vec<usize> = choice.iter().map(|w| w.feature).collect();
    let others: Vec<FlatFeature> = task
        .features
        .iter()
        .enumerate()
        .filter(|(k, _)| !crossed.contains(k))
        .map(|(_, f)| f.clone())
        .collect();
    let mut main = Face::of(Task { features: &others, ..task });
    let mut faces = Vec::new();
    for way in choice {
        main.borders.extend_from_slice(&way.borders);
        let (through, clear): (Vec<usize>, Vec<usize>) =
            (0..edges.len()).partition(|k| way.edges.contains(k));
        let pick = |which: &[usize]| which.iter().map(|&k| edges[k]).collect::<Vec<Edge>>();
        let whole = wall(&task.features[way.feature]).map(|w| Wall { counts: false, ..w });
        faces.push(Face::of_edges(&pick(&clear), whole.into_iter().collect()));
        if !way.ends.is_empty() {
            faces.push(Face::of_edges(&pick(&through), way.ends.clone()));
        }
    }
    faces.insert(0, main);
    let place = room(faces).nearest(Vec2::ZERO, 0.0, ties(task)).ok()?;
    let answer = answer(task, &place);
    let laid = lay_all(task.design, Pose { centre: answer.centre, angle: task.angle });
    let clean = crossed.iter().all(|&k| crosses_square(&laid, &task.features[k].region));
    clean.then_some(Crossing { answer, crossed })
}

/// The ways in which the mark's edges can cross a feature.
fn ways(k: usize, feature: &FlatFeature, edges: &[Edge]) -> Vec<Way> {
    let (asked, wall) = asks(feature);
    if !wall || asked != Asks::EdgesClear || feature.cross != Cross::Square {
        return Vec::new();
    }
    let way = |edges: Vec<usize>, borders| Way { feature: k, edges, borders, ends: Vec::new() };
    let alone = |borders_of: &dyn Fn(Point, Vec2) -> Vec<Vec<Border>>| -> Vec<Way> {
        edges
            .iter()
            .enumerate()
            .filter_map(|(e, edge)| if let Edge::Line { a, b } = *edge { Some((e, a, b - a)) } else { None })
            .flat_map(|(e, a, along)| borders_of(a, along).into_iter().map(move |b| way(vec![e], b)))
            .collect()
    };
    match &feature.region {
        Region::Disc { centre, radius } => {
            let single = alone(&|a, along| vec![through_disc(*centre, *radius, a, along)]);
            with_pairs(single, edges)
        }
        Region::Area { rings } => match rings.as_slice() {
            [ring] if is_convex(ring) => {
                let sides: Vec<(Point, Vec2)> =
                    ring.edges().map(|e| (e.start(), e.end() - e.start())).collect();
                with_pairs(alone(&|a, along| through_sides(&sides, a, along)), edges)
            }
            _ => Vec::new(),
        },
        Region::Band { path, width } => across_band(k, path, *width, edges).into_iter().collect(),
    }
}

/// Two edges of one stroke may both cross: every pair of single ways whose edges are parallel.
fn with_pairs(single: Vec<Way>, edges: &[Edge]) -> Vec<Way> {
    let direction = |w: &Way| edges[w.edges[0]].direction(0.5);
    let mut all = single.clone();
    for (i, a) in single.iter().enumerate() {
        for b in &single[i + 1..] {
            if a.edges != b.edges && direction(a).cross(direction(b)).abs() < NOISE_UNIT {
                all.push(Way {
                    edges: vec![a.edges[0], b.edges[0]],
                    borders: a.borders.iter().chain(&b.borders).copied().collect(),
                    ..a.clone()
                });
            }
        }
    }
    all
}

/// The edge passes the middle of the disc within half its radius, and its foot lies on the edge.
fn through_disc(centre: Point, radius: f64, a: Point, along: Vec2) -> Vec<Border> {
    let (length, way) = (along.hypot(), along / along.hypot());
    let (across, out) = (left_of(way), centre - a);
    let (aside, foot) = (across.dot(out), way.dot(out));
    let half = radius / 2.0 - KEPT_MM;
    vec![
        Border { normal: across, limit: aside + half },
        Border { normal: -across, limit: half - aside },
        Border { normal: way, limit: foot },
        Border { normal: -way, limit: length - foot },
    ]
}

/// For each two sides the edge may pass square: it passes both in their middle halves, and reaches over both.
fn through_sides(sides: &[(Point, Vec2)], a: Point, along: Vec2) -> Vec<Vec<Border>> {
    let square: Vec<Vec<Border>> = sides
        .iter()
        .filter(|(_, side)| is_square(along, *side))
        .map(|(start, side)| {
            let turn = along.cross(*side);
            // Where the moved edge meets the side's line, as a share of the side and of the edge; both grow
            // evenly with the movement.
            let on_side = (-(a - *start).cross(along) / turn, Vec2::new(-along.y, along.x) / turn);
            let on_edge = ((*start - a).cross(*side) / turn, Vec2::new(-side.y, side.x) / turn);
            let mut borders = between(on_side, 0.25, 0.75);
            borders.extend(between(on_edge, 0.0, 1.0));
            borders
        })
        .collect();
    let mut all = Vec::new();
    for (i, first) in square.iter().enumerate() {
        all.extend(square[i + 1..].iter().map(|other| [first.as_slice(), other].concat()));
    }
    all
}

/// Borders that hold `value + slope . t` between two figures.
fn between((value, slope): (f64, Vec2), least: f64, most: f64) -> Vec<Border> {
    let steep = slope.hypot();
    let normal = slope / steep;
    // Half a reading inside, so that rounding decides nothing.
    vec![
        Border { normal, limit: (most - value) / steep - KEPT_MM },
        Border { normal: -normal, limit: (value - least) / steep - KEPT_MM },
    ]
}

/// Every edge square to a row may cross it; its ends are gone round by none, and no corner stands in it.
fn across_band(k: usize, path: &[Point], width: f64, edges: &[Edge]) -> Option<Way> {
    let square = |e: &Edge| {
        matches!(e, Edge::Line { .. })
            && segments(path).all(|s| is_square(e.direction(0.5), s.direction(0.5)))
    };
    let through: Vec<usize> = (0..edges.len()).filter(|&e| square(&edges[e])).collect();
    let ends = [path.first(), path.last()].into_iter().flatten().map(|end| Wall {
        region: Region::Disc { centre: *end, radius: width / 2.0 },
        clearance: KEPT_MM,
        uncovered: false,
        counts: false,
    });
    (!through.is_empty()).then(|| Way {
        feature: k,
        edges: through,
        borders: Vec::new(),
        ends: ends.collect(),
    })
}

fn is_square(u: Vec2, v: Vec2) -> bool {
    u.cross(v).abs() >= LEAST_ANGLE_DEG.to_radians().sin() * u.hypot() * v.hypot()
}

fn is_convex(ring: &Ring) -> bool {
    let sides: Vec<Vec2> = ring.edges().map(|e| e.end() - e.start()).collect();
    let n = sides.len();
    ring.vertices.iter().all(|v| v.bulge == 0.0)
        && (0..n).all(|i| sides[i].cross(sides[(i + 1) % n]) > -NOISE_MM)
}
