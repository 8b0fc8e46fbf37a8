//! Stripes of one paint that lie so near to each other that the mask of one would lie on the other: masked together.
//!
//! They become one mark of several outlines, in the flat of the first; on a skin that curves both ways each stripe has a
//! flat of its own, so the others are carried over through space. Stripes that touch or cross become one outline, without
//! the edges that lie in the joint. What cannot be carried keeps a mask of its own. Last all masks are held against each
//! other: nothing shot in one go may lie under tape of another.

use super::colours::own_paint;
use super::order::bounds;
use super::overlap::apart;
use super::plan::{Kind, Mask, Piece};
use super::shelf::Measures;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::stripe::joint::{
    Lying, Over, carried, flat, is_stripe, may_meet, one_go, seam, touch, why_apart, within_another,
};
use crate::words::length;
use geom::boolean::intersection;
use geom::distance::point_to_edge;
use geom::joined::{Joined, joined};
use geom::measure::{edges_to_region, point_to_region};
use geom::tolerance::{TAPE_KEPT_MM, TAPE_TOUCH_MM2};
use geom::{Point, Region, Ring};

/// What is masked in one: a mark, or a stripe with those beside it and those it meets.
pub(super) struct Together {
    /// The mark; of several stripes the first, with the outlines of all, those that meet as one.
    pub(super) mark: Placed,
    /// Of stripes their ids; empty for a mark.
    ids: Vec<String>,
    /// Of stripes, for each outline and each edge of it, which of the ids it is of.
    of: Vec<Vec<usize>>,
}

impl Together {
    /// Which of its stripes has the edge of an outline at or next to a place.
    pub(super) fn stripe_at(&self, ring: i32, p: Point) -> usize {
        let rings = &self.mark.glyphs[0].rings;
        let known = usize::try_from(ring).ok().and_then(|k| Some((rings.get(k)?, self.of.get(k)?)));
        let Some((ring, of)) = known else { return 0 };
        if of.windows(2).all(|w| w[0] == w[1]) {
            return of.first().copied().unwrap_or(0);
        }
        let off = ring.edges().zip(of).map(|(e, k)| (point_to_edge(p, &e), *k));
        off.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(0, |o| o.1)
    }

    /// The stripe that has the edge of an outline at or next to a place, by its id; a mark's own id.
    pub(super) fn id_at(&self, ring: i32, p: Point) -> String {
        self.ids.get(self.stripe_at(ring, p)).unwrap_or(&self.mark.id).clone()
    }

    /// Of stripes masked together which of them each piece is counted with; empty for one alone.
    pub(super) fn owners(&self, pieces: &[Piece]) -> Vec<usize> {
        if self.ids.len() < 2 {
            return Vec::new();
        }
        // Layout tape fills all outlines, whatever it lies in.
        let met = self.of.iter().any(|of| of.windows(2).any(|w| w[0] != w[1]));
        let owner = |p: &Piece| {
            let at = half_way(&p.path);
            if p.kind == Kind::Layout && met { self.nearest(at) } else { self.stripe_at(p.ring, at) }
        };
        pieces.iter().map(owner).collect()
    }

    /// Which of its stripes has the edge nearest to a place.
    fn nearest(&self, p: Point) -> usize {
        let rings = self.mark.glyphs[0].rings.iter().zip(&self.of);
        let off = rings.flat_map(|(r, of)| {
            r.edges().zip(of).map(|(e, k)| (point_to_edge(p, &e), *k)).collect::<Vec<_>>()
        });
        off.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(0, |o| o.1)
    }

    /// True if it masks the mark or stripe of that id.
    pub(super) fn serves(&self, id: &str) -> bool {
        self.mark.id == id || self.ids.iter().any(|own| own == id)
    }

    /// The stripes masked with the first, in their order.
    pub(super) fn with(&self) -> Vec<String> {
        self.ids.iter().skip(1).cloned().collect()
    }
}

/// The point half-way along a line.
pub(super) fn half_way(path: &[Point]) -> Point {
    let mut left = path.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>() / 2.0;
    for w in path.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d && d > 0.0 {
            return w[0].lerp(w[1], left / d);
        }
        left -= d;
    }
    path.first().copied().unwrap_or_default()
}

/// What is masked, each in one, in the order of the job.
pub(super) fn together(job: &Job, placed: &[Placed], m: &Measures) -> Vec<Together> {
    let mut out: Vec<Together> = Vec::new();
    let mut taken = vec![false; placed.len()];
    // What lies wholly within another has no edge of its own: it joins that, wherever it stands in the job.
    let within = within_another(job, placed);
    let mut order: Vec<usize> = (0..placed.len()).collect();
    order.sort_by_key(|k| within[*k]);
    for (n, &k) in order.iter().enumerate() {
        let mark = &placed[k];
        if taken[k] {
            continue;
        }
        if !is_stripe(mark) {
            out.push(Together { mark: mark.clone(), ids: Vec::new(), of: Vec::new() });
            continue;
        }
        let seam = seam(mark);
        let mut shapes: Vec<Vec<Ring>> = vec![mark.rings()];
        let mut ids = vec![mark.id.clone()];
        let mut whole = in_one(&shapes, seam).unwrap_or_default();
        // Each that joins may bring the next within reach; what is near none of them is not brought over.
        let later = order[n + 1..].iter().copied();
        let mut waiting: Vec<usize> = later
            .filter(|i| !taken[*i] && is_stripe(&placed[*i]) && one_go(job, mark, &placed[*i]))
            .collect();
        let mut members = vec![k];
        let mut brought: Vec<Option<Option<Vec<Ring>>>> = vec![None; placed.len()];
        let near = |members: &[usize], i: usize| {
            members.iter().any(|k| may_meet(&placed[*k], &placed[i], m.two_strips()))
        };
        let joins =
            |i: usize, members: &[usize], whole: &[Ring], brought: &mut [Option<Option<Vec<Ring>>>]| {
                if brought[i].is_none() && near(members, i) {
                    brought[i] = Some(carried(mark, &placed[i]));
                }
                brought[i].iter().flatten().any(|rings| within_reach(whole, rings, m))
            };
        while let Some(at) = waiting.iter().position(|i| joins(*i, &members, &whole.rings, &mut brought)) {
            let i = waiting.remove(at);
            shapes.extend(brought[i].take().flatten());
            let Some(one) = in_one(&shapes, seam) else {
                shapes.pop();
                continue;
            };
            taken[i] = true;
            members.push(i);
            ids.push(placed[i].id.clone());
            whole = one;
        }
        let mut mark = mark.clone();
        mark.glyphs[0].rings = whole.rings;
        out.push(Together { mark, ids, of: whole.of });
    }
    out
}

/// Outlines as one mask has them: as they are, or joined where they touch or lie over each other; `None` if they cannot be.
fn in_one(shapes: &[Vec<Ring>], seam: f64) -> Option<Joined> {
    let met = shapes.iter().enumerate().any(|(k, a)| shapes[..k].iter().any(|b| touch(a, b, seam)));
    if met {
        return joined(shapes, seam);
    }
    let own = |(k, rings): (usize, &Vec<Ring>)| {
        rings.iter().map(move |r| vec![k; r.vertices.len()]).collect::<Vec<_>>()
    };
    Some(Joined {
        rings: shapes.iter().flatten().cloned().collect(),
        of: shapes.iter().enumerate().flat_map(own).collect(),
    })
}

/// True if two outlines lie so near that their masks would meet.
fn within_reach(a: &[Ring], b: &[Ring], m: &Measures) -> bool {
    let (Some(one), Some(other)) = (bounds(a), bounds(b)) else { return false };
    let by = m.two_strips();
    let grown = (Point::new(one.0.x - by, one.0.y - by), Point::new(one.1.x + by, one.1.y + by));
    let to = |a: &[Ring], b: &[Ring]| edges_to_region(a, &Region::Area { rings: b.to_vec() });
    !apart(grown, other) && (to(a, b) < by || to(b, a) < by)
}

/// The outlines of a mask's tape and tabs, piece by piece.
fn outlines(mask: &Mask, asked: impl Fn(&Piece) -> bool) -> Vec<(&Piece, Vec<Ring>)> {
    let shape = |p: &Piece| {
        let mut shape = p.footprint.clone();
        if !p.tab.area.is_empty() {
            shape.push(Ring::from_points(p.tab.area.iter().copied()));
        }
        shape
    };
    mask.pieces.iter().filter(|p| asked(p)).map(|p| (p, shape(p))).collect()
}

/// What is shot of a mark or stripe in one paint.
pub(super) fn in_paint(job: &Job, of: &Placed, paint: &str) -> Vec<Ring> {
    let own = if own_paint(job, of) == Some(paint) { of.rings() } else { Vec::new() };
    let further = of.further.iter().filter(|f| f.paint == paint).flat_map(|f| f.rings.iter().cloned());
    own.into_iter().chain(further).collect()
}

/// Tape of one mask that lies where another is sprayed in the same go.
pub(super) fn on_others(job: &Job, masks: &[Mask], placed: &[Placed]) -> Vec<Finding> {
    let mut out = Vec::new();
    for mask in masks.iter().filter(|m| m.tape && !m.paint.is_empty()) {
        let Some(own) = placed.iter().find(|p| p.id == mask.of) else { continue };
        let others = placed.iter().filter(|o| o.surface == mask.surface && !mask.serves(&o.id));
        for other in others {
            let rings = in_paint(job, other, &mask.paint);
            let on = pieces_on(mask, own, other, &rings, |p| p.kind != Kind::Layout);
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
                        "{} of its mask {} on {}, shot in the same paint and go: {:.1} cm2, first {}{}",
                        if on.len() == 1 { "1 piece".to_owned() } else { format!("{} pieces", on.len()) },
                        if on.len() == 1 { "lies" } else { "lie" },
                        other.id,
                        sum / 100.0,
                        on[0].0,
                        if is_stripe(own) && is_stripe(other) {
                            format!("; they have no mask in one: {}", why_apart(own, other))
                        } else {
                            String::new()
                        }
                    ),
                )
                .figures(sum, Bound::Max, 0.0, "mm2")
                .hint("shoot the two in two goes, the second masked when the first is dry to tape; or leave a wider gap"),
            );
        }
    }
    out
}

/// The pieces of a mask that lie on `rings` of another, and how much of each does, mm2.
pub(super) fn pieces_on<'a>(
    mask: &'a Mask,
    own: &Placed,
    other: &Placed,
    rings: &[Ring],
    asked: impl Fn(&Piece) -> bool,
) -> Vec<(&'a str, f64)> {
    let mut pieces = outlines(mask, asked);
    let theirs = Lying::of(other, rings);
    let may_reach = |shapes: &[Ring]| Lying::of(own, shapes).may_meet(&theirs, TAPE_KEPT_MM);
    // Tape of a stripe lies along all of it; of a letter each piece is asked for itself: bringing it over takes long.
    if !is_stripe(own) {
        let near = |ring: &Ring| Lying::along(own, ring).may_meet(&theirs, TAPE_KEPT_MM);
        pieces.retain(|p| may_reach(&p.1) && p.1.iter().any(near));
    }
    let all: Vec<Ring> = pieces.iter().flat_map(|p| p.1.iter().cloned()).collect();
    if rings.is_empty() || all.is_empty() || !may_reach(&all) {
        return Vec::new();
    }
    // However much lengths are off there: what lies over what is true. A letter has a chart of its own: its tape is brought
    // into the flat of the stripe, where it can be told.
    let into = Over::into(own, other);
    let there = into.and_then(|over| brought(&over, rings, &all));
    let back = if there.is_none() { Over::into(other, own) } else { None };
    let rings = match (there, &back) {
        (Some(there), _) => flat(&there),
        (None, Some(_)) => flat(rings),
        (None, None) => return Vec::new(),
    };
    let Some(box_) = bounds(&rings) else { return Vec::new() };
    let mut on = Vec::new();
    for (p, shape) in pieces {
        let shape = match &back {
            Some(over) => brought(over, &shape, &rings).unwrap_or_default(),
            None => shape,
        };
        if bounds(&shape).is_none_or(|b| apart(b, box_)) {
            continue;
        }
        let shared: f64 = intersection(&shape, &rings).iter().map(Ring::area).sum();
        // A hair along an edge they share is rounding.
        if shared > TAPE_TOUCH_MM2.max(TAPE_KEPT_MM * p.path_length()) {
            on.push((p.id.as_str(), shared));
        }
    }
    on
}

/// Those of some outlines that may reach `to`, brought over: of each its middle is asked first, since all of it takes long.
fn brought(over: &Over<'_>, rings: &[Ring], to: &[Ring]) -> Option<Vec<Ring>> {
    let to = Region::Area { rings: to.to_vec() };
    let may_reach = |ring: &&Ring| {
        let Some((lo, hi)) = ring.bounds() else { return false };
        over.point(lo.midpoint(hi)).is_none_or(|p| point_to_region(p, &to) <= lo.distance(hi))
    };
    over.rings(&rings.iter().filter(may_reach).cloned().collect::<Vec<_>>())
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
