//! The easiest place: of all places that keep every wall, one that meets the painter's wishes. No cover split,
//! no paint edge along a seam or the tape over a rib, even margins all round; in this order.
//!
//! Wishes never move the place that was asked for. All are tried together; if no place meets all, they are
//! taken one after the other, each kept if some place meets it with those already kept. A cleverer choice might
//! then meet one more.

use super::face::{Face, room};
use super::nearby::{ALONG_DEG, NEAR_MM};
use super::relation::asks;
use super::search::{Answer, Task, answer, ties};
use crate::job::FeatureKind;
use crate::surface::{FlatFeature, FlatRib};
use crate::words::inches;
use geom::measure::segments;
use geom::point::left_of;
use geom::room::Wall;
use geom::{Edge, Point, Region, Ring, Vec2};

/// Most wishes that are tried one by one; those past it are left to chance.
const MOST_WISHES: usize = 40;

/// How the name of a rib's wish begins.
const RIB: &str = "rib ";

/// Most pieces a curved rib is taken as: a wish needs no hundredths.
const RIB_PIECES: usize = 6;

/// The easiest place, and in words what makes it so.
#[derive(Clone, Debug, PartialEq)]
pub struct Easiest {
    /// The place.
    pub answer: Answer,
    /// What it meets and what it gives up.
    pub words: String,
}

/// Something a painter would rather have.
struct Wish {
    /// What is kept clear, in words.
    name: String,
    /// Its walls.
    walls: Vec<Wall>,
    /// Paint edges that must keep clear of them; `None` is the whole mark.
    edges: Option<Vec<Edge>>,
}

/// The easiest of the places that keep every wall; `None` if there is none.
pub fn easiest(task: Task) -> Option<Easiest> {
    let shape = Face::of(task).shape;
    let wishes = wishes(task, &shape);
    let all: Vec<usize> = (0..wishes.len()).collect();
    let serves = |kept: &[usize]| room(faces(task, &wishes, kept)).exists().is_ok();
    let kept = if serves(&all) {
        all
    } else {
        let mut kept = Vec::new();
        for k in 0..wishes.len().min(MOST_WISHES) {
            kept.push(k);
            if !serves(&kept) {
                kept.pop();
            }
        }
        kept
    };
    let (lo, hi) = task.allowed.bounds()?;
    let even = lo.midpoint(hi) - task.aim;
    let place = room(faces(task, &wishes, &kept)).nearest(even, 0.0, ties(task)).ok()?;
    let answer = answer(task, &place);
    let words = in_words(task, &wishes, &kept, &shape, answer.centre);
    Some(Easiest { answer, words })
}

fn wishes(task: Task, shape: &[Ring]) -> Vec<Wish> {
    let soft = |region, clearance| Wall { region, clearance, uncovered: false, counts: false };
    let along = |f: &&FlatFeature| matches!(f.kind, FeatureKind::Seam | FeatureKind::Lap);
    let mut wishes: Vec<Wish> = task
        .features
        .iter()
        .filter(|f| f.removable && !asks(f).1)
        .map(|f| Wish { name: f.id.clone(), walls: vec![soft(f.region.clone(), f.clearance)], edges: None })
        .collect();
    for seam in task.features.iter().filter(along) {
        let Region::Band { path, .. } = &seam.region else { continue };
        let edges = running(shape, &segments(path).collect::<Vec<_>>());
        wishes.push(Wish {
            name: seam.id.clone(),
            walls: vec![soft(seam.region.clone(), NEAR_MM)],
            edges: Some(edges),
        });
    }
    // The ribs nearest to where the mark is wanted matter most if not all can be kept.
    let mut ribs: Vec<&FlatRib> =
        task.skin.ribs.iter().filter(|r| r.tape > 0.0 && r.line.len() > 1).collect();
    let far = |r: &FlatRib| (middle_of(r).x - task.aim.x).abs();
    ribs.sort_by(|a, b| far(a).total_cmp(&far(b)));
    for rib in ribs {
        let sides = tape_edges(rib);
        let line: Vec<Edge> = segments(&sides[0]).collect();
        let walls = sides.into_iter().map(|path| soft(Region::Band { path, width: 0.0 }, NEAR_MM)).collect();
        let name = format!("{RIB}{}", inches(rib.station));
        wishes.push(Wish { name, walls, edges: Some(running(shape, &line)) });
    }
    wishes.retain(|w| w.edges.as_ref().is_none_or(|e| !e.is_empty()));
    wishes
}

/// The mark with its walls, and the wishes that are kept. Wishes of the same edges are one face.
fn faces(task: Task, wishes: &[Wish], kept: &[usize]) -> Vec<Face> {
    let mut main = Face::of(task);
    let mut runs: Vec<(&[Edge], Vec<Wall>)> = Vec::new();
    for wish in kept.iter().map(|&k| &wishes[k]) {
        match &wish.edges {
            None => main.walls.extend_from_slice(&wish.walls),
            Some(edges) => match runs.iter_mut().find(|r| r.0 == edges.as_slice()) {
                Some(run) => run.1.extend_from_slice(&wish.walls),
                None => runs.push((edges, wish.walls.clone())),
            },
        }
    }
    std::iter::once(main).chain(runs.into_iter().map(|(edges, walls)| Face::of_edges(edges, walls))).collect()
}

/// Paint edges, arcs chord by chord, that run along a line.
fn running(shape: &[Ring], line: &[Edge]) -> Vec<Edge> {
    let least_cosine = ALONG_DEG.to_radians().cos();
    let along = |e: &Edge| line.iter().any(|l| e.direction(0.5).dot(l.direction(0.5)).abs() > least_cosine);
    shape
        .iter()
        .flat_map(|r| Ring::from_points(r.flattened(COARSE_MM)).edges().collect::<Vec<_>>())
        .filter(|e| e.length() > geom::tolerance::NOISE_MM && along(e))
        .collect()
}

/// How far chords may be from their arcs, mm: a wish needs no hundredths.
const COARSE_MM: f64 = 0.5;

/// Both edges of the tape over a rib, in few pieces.
fn tape_edges(rib: &FlatRib) -> [Vec<Point>; 2] {
    let n = rib.line.len() - 1;
    let pieces = n.min(RIB_PIECES);
    let line: Vec<Point> = (0..=pieces).map(|k| rib.line[k * n / pieces]).collect();
    [0.5, -0.5].map(|share| {
        let last = line.len() - 1;
        let aside = |k: usize| {
            let way: Vec2 = line[(k + 1).min(last)] - line[k.saturating_sub(1)];
            left_of(way / way.hypot()) * (share * rib.tape)
        };
        (0..=last).map(|k| line[k] + aside(k)).collect()
    })
}

fn middle_of(rib: &FlatRib) -> Point {
    rib.line[0].midpoint(rib.line[rib.line.len() - 1])
}

fn in_words(task: Task, wishes: &[Wish], kept: &[usize], shape: &[Ring], centre: Point) -> String {
    let lost = || (0..wishes.len()).filter(|k| !kept.contains(k)).map(|k| wishes[k].name.as_str());
    let ribs: Vec<&str> = lost().filter_map(|name| name.strip_prefix(RIB)).collect();
    let mut names: Vec<String> = lost().filter(|n| !n.starts_with(RIB)).map(str::to_owned).collect();
    if !ribs.is_empty() {
        names.push(format!("the rib tape at {}", ribs.join(", ")));
    }
    let mut words = match (wishes.is_empty(), names.is_empty()) {
        (true, _) => "no cover, seam or rib tape asks anything".to_owned(),
        (false, true) => "it splits no cover and runs along no seam or rib tape".to_owned(),
        (false, false) => format!("it keeps clear of all but {}", names.join(", ")),
    };
    let box_of = |rings: &[Ring]| {
        rings.iter().filter_map(Ring::bounds).reduce(|a, b| {
            (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
        })
    };
    let area = task.allowed.bounds();
    if let (Some((lo, hi)), Some((left, right))) = (box_of(shape), area) {
        let moved = centre - task.aim;
        let margins = [
            lo.x + moved.x - left.x,
            right.x - hi.x - moved.x,
            lo.y + moved.y - left.y,
            right.y - hi.y - moved.y,
        ]
        .map(inches);
        words += &format!(
            "; margins {} left, {} right, {} below, {} above",
            margins[0], margins[1], margins[2], margins[3]
        );
    }
    words
}
