//! Stripes of one paint that lie so near to each other that the mask of one would lie on the other: masked together.
//!
//! They become one mark of several outlines, in the flat of the first; on a skin that curves both ways each stripe has a
//! flat of its own, so the others are carried over through space. What cannot be carried, and stripes that cross, keep
//! masks of their own. Last all masks are held against each other: nothing shot in one go may lie under tape of another.

use super::colours::Part;
use super::order::bounds;
use super::overlap::apart;
use super::plan::{Kind, Mask};
use super::shelf::Measures;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::stripe::SIGN;
use crate::words::length;
use geom::boolean::intersection;
use geom::measure::edges_to_region;
use geom::tolerance::{FLATTEN_MM, TAPE_KEPT_MM, TAPE_TOUCH_MM2};
use geom::{Edge, Point, Region, Ring, Vertex};

/// How far a place carried from one strip's flat to another's, and back onto the skin, may lie off, mm: as two edges of
/// one gap are told apart. chosen.
const CARRIED_MM: f64 = 0.05;
/// Longest chord of an edge that is carried over, mm. chosen: on a radius of 500 mm its sagitta is 0.006 mm.
const CHORD: f64 = 5.0;

/// What is masked in one: a mark, or a stripe with those beside it.
pub(super) struct Together {
    /// The mark; of several stripes the first, with the outlines of all.
    pub(super) mark: Placed,
    /// Of stripes the id each outline belongs to; empty for a mark.
    pub(super) ids: Vec<String>,
}

impl Together {
    /// The stripe an outline belongs to.
    pub(super) fn id_of(&self, ring: i32) -> String {
        let own = usize::try_from(ring).ok().and_then(|k| self.ids.get(k));
        own.unwrap_or(&self.mark.id).clone()
    }

    /// The stripes masked with the first, in their order.
    pub(super) fn with(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for id in self.ids.iter().filter(|id| **id != self.mark.id) {
            if !out.contains(id) {
                out.push(id.clone());
            }
        }
        out
    }
}

/// True for a stripe.
pub(super) fn is_stripe(mark: &Placed) -> bool {
    mark.glyphs.iter().all(|g| g.char == SIGN)
}

/// What is masked, each in one, in the order of the job.
pub(super) fn together(job: &Job, placed: &[Placed], m: &Measures) -> Vec<Together> {
    let mut out: Vec<Together> = Vec::new();
    let mut taken = vec![false; placed.len()];
    for (k, mark) in placed.iter().enumerate() {
        if taken[k] {
            continue;
        }
        if !is_stripe(mark) {
            out.push(Together { mark: mark.clone(), ids: Vec::new() });
            continue;
        }
        let mut one = Together { mark: mark.clone(), ids: vec![mark.id.clone(); mark.rings().len()] };
        // Each that joins may bring the next within reach.
        let later: Vec<usize> = (k + 1..placed.len())
            .filter(|i| is_stripe(&placed[*i]) && one_go(job, mark, &placed[*i]))
            .collect();
        let mut waiting: Vec<(usize, Vec<Ring>)> = later
            .into_iter()
            .filter(|i| !taken[*i])
            .filter_map(|i| Some((i, carried(mark, &placed[i])?)))
            .collect();
        while let Some(at) = waiting.iter().position(|(_, rings)| beside(&one.mark.rings(), rings, m)) {
            let (i, rings) = waiting.remove(at);
            taken[i] = true;
            one.ids.extend(vec![placed[i].id.clone(); rings.len()]);
            one.mark.glyphs[0].rings.extend(rings);
        }
        out.push(one);
    }
    out
}

/// True if two are shot in one go for all that the mask knows: in one paint on one surface.
fn one_go(job: &Job, a: &Placed, b: &Placed) -> bool {
    let paint = |m: &Placed| job.painted_with(&m.id).unwrap_or_default().0;
    a.surface == b.surface && !paint(a).is_empty() && paint(a) == paint(b)
}

/// True if two outlines lie so near that their masks would meet, but not over each other.
fn beside(a: &[Ring], b: &[Ring], m: &Measures) -> bool {
    let (Some(one), Some(other)) = (bounds(a), bounds(b)) else { return false };
    let by = m.two_strips();
    let grown = (Point::new(one.0.x - by, one.0.y - by), Point::new(one.1.x + by, one.1.y + by));
    !apart(grown, other)
        && edges_to_region(a, &Region::Area { rings: b.to_vec() }) < by
        && intersection(&flat(a), &flat(b)).iter().map(Ring::area).sum::<f64>() <= TAPE_TOUCH_MM2
}

fn flat(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
}

/// The outlines of another stripe or mark in the flat of the first; `None` if they lie in flats that cannot be brought together.
fn carried(first: &Placed, other: &Placed) -> Option<Vec<Ring>> {
    let (own, theirs) = match (&first.charts, &other.charts) {
        (None, None) => return Some(other.rings()),
        (Some(own), Some(theirs)) => (own.sheet.strip()?, &theirs.sheet),
        _ => return None,
    };
    theirs.strip()?;
    let point = |p: Point| {
        let there = theirs.space_from_flat(p)?;
        let here = own.at_space(there);
        own.space(here).filter(|q| q.distance(there) <= CARRIED_MM).map(|_| here)
    };
    let ring = |r: &Ring| {
        let mut out = Vec::new();
        for edge in r.edges() {
            match edge {
                Edge::Line { a, b } => {
                    let count = (a.distance(b) / CHORD).ceil().max(1.0) as usize;
                    for k in 0..count {
                        let p = point(a.lerp(b, k as f64 / count as f64))?;
                        out.push(Vertex { p, bulge: 0.0 });
                    }
                }
                // A round end is a few inches: it stays the arc it is.
                Edge::Arc { turn, .. } => {
                    out.push(Vertex { p: point(edge.at(0.0))?, bulge: (turn / 4.0).tan() });
                }
            }
        }
        Some(Ring { vertices: out })
    };
    other.rings().iter().map(ring).collect()
}

/// Tape of one mask that lies where another is sprayed in the same go.
pub(super) fn on_others(job: &Job, masks: &[Mask], placed: &[Placed]) -> Vec<Finding> {
    let mut out = Vec::new();
    for mask in masks.iter().filter(|m| m.tape && m.part == Part::Letters) {
        let Some(own) = placed.iter().find(|p| p.id == mask.of) else { continue };
        for other in placed.iter().filter(|o| !mask.serves(&o.id) && (is_stripe(own) || is_stripe(o))) {
            if !one_go(job, own, other) {
                continue;
            }
            let Some(rings) = carried(own, other) else { continue };
            let rings = flat(&rings);
            let Some(box_) = bounds(&rings) else { continue };
            let mut on: Vec<(&str, f64)> = Vec::new();
            for p in mask.pieces.iter().filter(|p| p.kind != Kind::Layout) {
                let mut shape = p.footprint.clone();
                if !p.tab.area.is_empty() {
                    shape.push(Ring::from_points(p.tab.area.iter().copied()));
                }
                if bounds(&shape).is_none_or(|b| apart(b, box_)) {
                    continue;
                }
                let shared: f64 = intersection(&shape, &rings).iter().map(Ring::area).sum();
                // A hair along an edge they share is rounding.
                if shared > TAPE_TOUCH_MM2.max(TAPE_KEPT_MM * p.path_length()) {
                    on.push((&p.id, shared));
                }
            }
            if on.is_empty() {
                continue;
            }
            let sum: f64 = on.iter().map(|o| o.1).sum();
            out.push(
                Finding::new(
                    Severity::Fail,
                    "tape-on-other",
                    &mask.of,
                    format!(
                        "{} of its mask {} on {}, shot in the same paint and go: {:.1} cm2, first {}",
                        if on.len() == 1 { "1 piece".to_owned() } else { format!("{} pieces", on.len()) },
                        if on.len() == 1 { "lies" } else { "lie" },
                        other.id,
                        sum / 100.0,
                        on[0].0
                    ),
                )
                .figures(sum, Bound::Max, 0.0, "mm2")
                .hint("shoot the two in two goes, the second masked when the first is dry to tape; or leave a wider gap"),
            );
        }
    }
    out
}

/// How stripes masked together share what lies between them: names of the pieces that serve two edges, width of the base
/// and of the tape they come from (`None`: cut to the width), mm.
#[derive(Debug, Default)]
pub(super) struct Shared {
    /// Piece, ids of the two stripes, width between, real width of the tape if it is as wide.
    pub(super) one: Vec<(String, [String; 2], f64, Option<f64>)>,
}

/// What is done where stripes are masked together.
pub(super) fn told(of: &Together, shared: &Shared) -> Option<Finding> {
    let with = of.with();
    if with.is_empty() {
        return None;
    }
    let mut words = format!(
        "{} and {} are of one paint and lie within reach of one mask: masked together",
        of.mark.id,
        with.join(", ")
    );
    for (piece, [a, b], width, tape) in &shared.one {
        let how = match tape {
            Some(real) => format!("one piece of tape {real:.2} mm wide"),
            None => "one piece cut to that width".to_owned(),
        };
        words.push_str(&format!(
            "; {} of base between {a} and {b}: {how} serves both edges, {piece}",
            length(*width)
        ));
    }
    let hint = if shared.one.is_empty() {
        ""
    } else {
        "lay it first along the one edge, then see that its back meets the other all along"
    };
    Some(
        Finding::new(Severity::Note, "stripe-one-tape", &of.mark.id, words)
            .source(Basis::Practice, "common practice, no source")
            .hint(hint),
    )
}
