//! Where stripes of one paint meet or cross on one surface: they are painted as one, and no edge stays in the joint.
//!
//! On a skin that curves both ways each stripe has a flat of its own; what meets is brought through space into the flat
//! of the one that stands first in the job.

use super::laid::{Laid, SIGN};
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::surface::{Skin, SkinShape, StripSkin};
use crate::words::{length, percent};
use geom::boolean::{difference, intersection, outset, union};
use geom::distance::point_to_edge;
use geom::joined::joined;
use geom::measure::{edges_to_region, point_to_region};
use geom::tolerance::{FLATTEN_MM, TAPE_TOUCH_MM2};
use geom::winding::contains;
use geom::{Edge, Point, Point3, Region, Ring, Vec2, Vertex};

/// How far a place carried from one strip's flat to another's, and back onto the skin, may lie off, mm: as two edges of
/// one gap are told apart. chosen.
const CARRIED_MM: f64 = 0.05;
/// The same on a scan, whose triangles leave places between ways square off to which none leads: 1/64 in, what no tape
/// reads. chosen.
const ON_SCAN_MM: f64 = 25.4 / 64.0;
/// Longest chord of an edge that is carried over, mm. chosen: on a radius of 500 mm its sagitta is 0.006 mm.
const CHORD: f64 = 5.0;
/// How far off the middle of a stripe another is brought into its flat, mm: 20 ft. chosen.
const FAR: f64 = 6096.0;
/// By how much lengths of a stripe brought into the flat of another may be off, share. chosen: on a piece of tape 4 ft long
/// less than a fold of tape.
const OFF_MOST: f64 = 0.004;
/// How much farther a place of a chart may lie from another than in the flat: more than the strain of any that is kept.
/// chosen.
const ON_CHART: f64 = 1.25;
/// How far apart places along an edge are asked for, mm. chosen.
const ALONG: f64 = 25.0;
/// Base between two edges, mm, that is none where both lie in one flat: three steps of the grid.
const SEAM_MM: f64 = 0.003;
/// By how much two stripes are grown to see where they meet, mm. chosen.
const ROUND: f64 = 0.5;

/// True for a stripe among what is painted.
pub fn is_stripe(mark: &Placed) -> bool {
    mark.glyphs.iter().all(|g| g.char == SIGN)
}

/// True if two are shot in one go for all that is known before the day: in one paint on one surface.
pub fn one_go(job: &Job, a: &Placed, b: &Placed) -> bool {
    let paint = |m: &Placed| job.painted_with(&m.id).unwrap_or_default().0;
    a.surface == b.surface && !paint(a).is_empty() && paint(a) == paint(b)
}

/// The way from the flat of one to that of another. On a skin that curves both ways each has its own.
pub struct Over<'a> {
    way: Way<'a>,
}

enum Way<'a> {
    /// Both lie in one flat.
    Same,
    /// Into the strip of a stripe.
    Strip(StripSkin, &'a Skin),
    /// From a mark's sheet into another's.
    Sheets(&'a Skin, &'a Skin),
}

impl<'a> Over<'a> {
    /// Into the flat of `first`; `None` if they lie in flats that cannot be brought together.
    pub fn into(first: &'a Placed, other: &'a Placed) -> Option<Over<'a>> {
        let way = match (&first.charts, &other.charts) {
            (None, None) => Way::Same,
            (Some(own), Some(theirs)) => match own.sheet.strip() {
                Some(strip) => Way::Strip(strip.told_to(FAR), &theirs.sheet),
                None if theirs.sheet.strip().is_none() => Way::Sheets(&own.sheet, &theirs.sheet),
                None => return None,
            },
            _ => return None,
        };
        Some(Over { way })
    }

    /// A place; `None` if it lies too far off to be told there.
    pub fn point(&self, p: Point) -> Option<Point> {
        match &self.way {
            Way::Same => Some(p),
            Way::Sheets(own, theirs) => Some(own.place_of(theirs, p)),
            Way::Strip(own, theirs) => {
                let there = theirs.space_from_flat(p)?;
                let here = own.at_space(there);
                let most = if own.scan().is_some() { ON_SCAN_MM } else { CARRIED_MM };
                own.space(here).filter(|q| q.distance(there) <= most).map(|_| here)
            }
        }
    }

    /// Outlines.
    pub fn rings(&self, rings: &[Ring]) -> Option<Vec<Ring>> {
        if matches!(self.way, Way::Same) {
            return Some(rings.to_vec());
        }
        let ring = |r: &Ring| {
            let mut out = Vec::new();
            for edge in r.edges() {
                match edge {
                    Edge::Line { a, b } => {
                        let count = (a.distance(b) / CHORD).ceil().max(1.0) as usize;
                        for k in 0..count {
                            let p = self.point(a.lerp(b, k as f64 / count as f64))?;
                            out.push(Vertex { p, bulge: 0.0 });
                        }
                    }
                    // A round end is a few inches: it stays the arc it is.
                    Edge::Arc { turn, .. } => {
                        out.push(Vertex { p: self.point(edge.at(0.0))?, bulge: (turn / 4.0).tan() });
                    }
                }
            }
            Some(Ring { vertices: out })
        };
        rings.iter().map(ring).collect()
    }

    /// A line.
    pub fn line(&self, points: &[Point]) -> Option<Vec<Point>> {
        points.iter().map(|p| self.point(*p)).collect()
    }
}

/// False if two on a skin that curves both ways are surely more than `by` mm apart everywhere: what is far off need not be
/// brought over, which takes long. Straight through space it is never farther than over the skin.
pub fn may_meet(a: &Placed, b: &Placed, by: f64) -> bool {
    Lying::of(a, &a.rings()).may_meet(&Lying::of(b, &b.rings()), by)
}

/// About where shapes lie on a skin that curves both ways: points in space, and how far from the nearest of them any place of
/// the shapes may lie, mm. `None` on a skin that unrolls.
pub struct Lying(Option<(Vec<Point3>, f64)>);

impl Lying {
    /// Of shapes in the flat of a mark or stripe.
    pub fn of(mark: &Placed, rings: &[Ring]) -> Lying {
        Lying(in_space(mark, rings))
    }

    /// The same of an outline in the flat of a mark, more narrowly: along its edge, from which nothing in it is farther than
    /// half its box is wide.
    pub fn along(mark: &Placed, ring: &Ring) -> Lying {
        let round = || {
            let (sheet, (lo, hi)) = (&mark.charts.as_ref()?.sheet, ring.bounds()?);
            let count = |e: &Edge| (e.length() / ALONG).ceil().max(1.0) as usize;
            let all =
                ring.edges().flat_map(|e| (0..count(&e)).map(move |k| e.at(k as f64 / count(&e) as f64)));
            let size = hi - lo;
            let wide = ON_CHART * (ALONG + size.x.min(size.y)) / 2.0;
            Some((all.map(|p| sheet.space_from_flat(p)).collect::<Option<Vec<_>>>()?, wide))
        };
        Lying(round())
    }

    /// False if they are surely more than `by` mm apart everywhere.
    pub fn may_meet(&self, other: &Lying, by: f64) -> bool {
        let (Some((p, wide)), Some((q, broad))) = (&self.0, &other.0) else { return true };
        let within = (wide + broad + by).powi(2);
        p.iter().any(|p| q.iter().any(|q| p.distance_squared(*q) <= within))
    }
}

fn in_space(of: &Placed, rings: &[Ring]) -> Option<(Vec<Point3>, f64)> {
    let sheet = &of.charts.as_ref()?.sheet;
    if let Some(strip) = sheet.strip() {
        let (middle, wide) = strip.in_space(flat(rings).into_iter().flat_map(|r| r.vertices).map(|v| v.p));
        return Some((middle.to_vec(), wide));
    }
    let mut wide: f64 = 0.0;
    let middle = |ring: &Ring| {
        let (lo, hi) = ring.bounds()?;
        wide = wide.max(ON_CHART * lo.distance(hi) / 2.0);
        sheet.space_from_flat(lo.midpoint(hi))
    };
    Some((rings.iter().map(middle).collect::<Option<Vec<_>>>()?, wide))
}

/// The outlines of another in the flat of the first; `None` if they lie in flats that cannot be brought together, or if
/// lengths there would be off by more than tape is cut to.
pub fn carried(first: &Placed, other: &Placed) -> Option<Vec<Ring>> {
    let (there, off) = over_and_off(first, other)?;
    (off <= OFF_MOST).then_some(there)
}

/// The same, and by how much lengths are off there, share.
fn over_and_off(first: &Placed, other: &Placed) -> Option<(Vec<Ring>, f64)> {
    let (own, over) = (other.rings(), Over::into(first, other)?);
    let there = over.rings(&own)?;
    let long = |rings: &[Ring]| rings.iter().map(Ring::perimeter).sum::<f64>();
    let off = (long(&there) / long(&own) - 1.0).abs();
    Some((there, off))
}

/// Why two stripes have no mask in one, in words.
pub fn why_apart(first: &Placed, other: &Placed) -> String {
    match over_and_off(first, other) {
        Some((_, off)) if OFF_MOST < off => format!(
            "the skin curves so much that in one flat lengths would be off by {}, more than the {} tape is cut to",
            percent(off),
            percent(OFF_MOST)
        ),
        Some(_) => "the outlines cannot be made one".to_owned(),
        None => "the skin ends, folds or is too coarse between them to be laid in one flat".to_owned(),
    }
}

/// Base between two edges that is none, mm, in the flat of a stripe.
pub fn seam(first: &Placed) -> f64 {
    if first.charts.is_some() { CARRIED_MM } else { SEAM_MM }
}

/// True if two outlines in one flat touch or lie over each other.
pub fn touch(a: &[Ring], b: &[Ring], seam: f64) -> bool {
    let boxes = |rings: &[Ring]| rings.iter().filter_map(Ring::bounds).collect::<Vec<_>>();
    let near = |a: &(Point, Point), b: &(Point, Point)| {
        a.0.x <= b.1.x + seam && b.0.x <= a.1.x + seam && a.0.y <= b.1.y + seam && b.0.y <= a.1.y + seam
    };
    let others = boxes(b);
    let region = |rings: &[Ring]| Region::Area { rings: rings.to_vec() };
    // Of two the one may lie wholly within the other.
    boxes(a).iter().any(|a| others.iter().any(|b| near(a, b)))
        && (edges_to_region(a, &region(b)) <= seam || edges_to_region(b, &region(a)) <= seam)
}

/// What is left of the outlines of a stripe without what those before it in its paint already cover: where they meet or cross
/// they are painted as one. Nothing if it lies wholly within them.
pub fn left_of<'a>(
    job: &Job,
    before: impl Iterator<Item = &'a Placed>,
    own: &Placed,
    rings: Vec<Ring>,
) -> Vec<Ring> {
    let left = before
        .filter(|o| is_stripe(o) && one_go(job, o, own) && may_meet(own, o, 0.0))
        .filter_map(|o| carried(own, o))
        .fold(rings, |left, other| if touch(&left, &other, 0.0) { difference(&left, &other) } else { left });
    // Slivers along an edge they share are rounding.
    if left.iter().map(Ring::area).sum::<f64>() <= TAPE_TOUCH_MM2 { Vec::new() } else { left }
}

/// Outlines in chords.
pub fn flat(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
}

/// True if an outline lies within another, but for what is rounding.
fn lies_within(inner: &[Ring], around: &[Ring]) -> bool {
    let beyond = difference(&flat(inner), &flat(around));
    beyond.iter().map(Ring::area).sum::<f64>() <= TAPE_TOUCH_MM2
}

/// For each stripe true if all of it is painted by another in its paint: the larger, or of two alike the first.
pub fn within_another(job: &Job, placed: &[Placed]) -> Vec<bool> {
    let area = |rings: &[Ring]| rings.iter().map(Ring::area).sum::<f64>();
    let held = |k: usize, by: usize| {
        if by == k
            || !is_stripe(&placed[k])
            || !is_stripe(&placed[by])
            || !one_go(job, &placed[by], &placed[k])
            || !may_meet(&placed[by], &placed[k], 0.0)
        {
            return false;
        }
        let (around, Some(own)) = (placed[by].rings(), carried(&placed[by], &placed[k])) else {
            return false;
        };
        let more = area(&around) - area(&own);
        let larger = more > TAPE_TOUCH_MM2 || more > -TAPE_TOUCH_MM2 && by < k;
        larger && touch(&own, &around, 0.0) && lies_within(&own, &around)
    };
    (0..placed.len()).map(|k| (0..placed.len()).any(|by| held(k, by))).collect()
}

/// What two stripes of one paint that meet say of it, a note a place; empty if they do not meet or cannot be joined.
pub(super) fn notes(job: &Job, first: &Laid, other: &Laid, skins: &[Skin]) -> Vec<Finding> {
    if !one_go(job, &first.painted, &other.painted) || !may_meet(&first.painted, &other.painted, CARRIED_MM) {
        return vec![];
    }
    let Some(over) = Over::into(&first.painted, &other.painted) else { return vec![] };
    let own = first.painted.rings();
    let (Some(rings), Some(middle)) = (carried(&first.painted, &other.painted), over.line(&other.middle))
    else {
        return vec![];
    };
    let seam = seam(&first.painted);
    if !touch(&own, &rings, seam) || joined(&[own.clone(), rings.clone()], seam).is_none() {
        return vec![];
    }
    for (inner, around, of, by) in [(&rings, &own, other, first), (&own, &rings, first, other)] {
        if lies_within(inner, around) {
            let words = format!(
                "all of it lies within {}, which is painted in the same paint: it adds nothing",
                by.id
            );
            let said = Finding::new(Severity::Caution, "stripe-within", &of.id, words);
            return vec![said.hint("leave it out, or see whether it is where it should be")];
        }
    }
    let places = intersection(&grown(&own), &grown(&rings));
    let lines = [(&first.middle, &own, first.width), (&middle, &rings, other.width)];
    let one = |place: Ring| {
        let at = middle_of(&place);
        let region = Region::Area { rings: vec![place] };
        let meets = [0, 1].map(|k| Meets::new(lines[k].0, lines[1 - k].1, lines[k].2, &region, at));
        let (how, angle) = match &meets {
            [Meets { end: true, .. }, Meets { end: true, .. }] => ("a corner", meets[0].between(&meets[1])),
            [Meets { end: false, .. }, Meets { end: false, .. }] => ("a cross", meets[0].acute(&meets[1])),
            _ => ("a tee", meets[0].acute(&meets[1])),
        };
        Finding::new(
            Severity::Note,
            "stripe-joined",
            &other.id,
            format!(
                "it meets {} {}: {how} of {:.1} degrees; of one paint, so the two are painted as one and no edge is left \
                 between",
                first.id,
                place_words(first, skins, at),
                angle.to_degrees()
            ),
        )
        .source(Basis::Practice, "common practice, no source")
        .hint("tape stops where the other stripe begins: none runs across it")
    };
    places.into_iter().filter(|r| r.area() > 0.0).map(one).collect()
}

/// The centroid of a polygon: its first moment, edge by edge.
fn middle_of(place: &Ring) -> Point {
    let from = place.vertices.first().map_or(Point::ZERO, |v| v.p);
    let moment = place.edges().fold(Vec2::ZERO, |sum, e| {
        let (a, b) = (e.start() - from, e.end() - from);
        sum + (a + b) * (a.cross(b) / 6.0)
    });
    from + moment / place.area()
}

fn grown(rings: &[Ring]) -> Vec<Ring> {
    outset(&flat(rings), ROUND, ROUND / 10.0)
}

/// How a stripe comes to where it meets another.
struct Meets {
    /// True if one of its ends lies there.
    end: bool,
    /// Its direction there; at an end away from it, along the stripe.
    way: Vec2,
}

impl Meets {
    fn new(middle: &[Point], other: &[Ring], wide: f64, place: &Region, at: Point) -> Meets {
        let last = middle.len() - 1;
        let ends = [(0, 1), (last, last - 1)].map(|(i, j)| (middle[i], (middle[j] - middle[i]).normalize()));
        let near = |p: Point| {
            let off = other
                .iter()
                .flat_map(Ring::edges)
                .map(|e| point_to_edge(p, &e))
                .fold(f64::INFINITY, f64::min);
            (contains(other, p) || off <= wide / 2.0) && point_to_region(p, place) <= wide / 2.0 + ROUND
        };
        let nearest = ends.into_iter().filter(|(p, _)| near(*p));
        match nearest.min_by(|a, b| a.0.distance(at).total_cmp(&b.0.distance(at))) {
            Some((_, way)) => Meets { end: true, way },
            None => {
                let off = |w: &&[Point]| point_to_edge(at, &Edge::Line { a: w[0], b: w[1] });
                let bit = middle.windows(2).min_by(|a, b| off(a).total_cmp(&off(b)));
                Meets { end: false, way: bit.map_or(Vec2::new(1.0, 0.0), |w| (w[1] - w[0]).normalize()) }
            }
        }
    }

    /// Angle between two ways that leave one place, up to half a turn.
    fn between(&self, other: &Meets) -> f64 {
        self.way.cross(other.way).atan2(self.way.dot(other.way)).abs()
    }

    /// Angle between two lines, up to a right angle.
    fn acute(&self, other: &Meets) -> f64 {
        let angle = self.between(other);
        angle.min(std::f64::consts::PI - angle)
    }
}

/// Where a place of a stripe's flat is on its skin, in words.
pub(super) fn place_words(stripe: &Laid, skins: &[Skin], at: Point) -> String {
    let Some(skin) = stripe.painted.skin(skins) else { return String::new() };
    let [s, t] = skin.skin_from_flat(at);
    let whole = skins.iter().find(|k| k.id == stripe.surface).unwrap_or(skin);
    match &whole.shape {
        SkinShape::Wing(_) => format!("at station {}, {} from the leading edge", length(s), length(t)),
        SkinShape::Body(_) => {
            let height = skin.space_from_flat(at).map_or(t, |p| p.z);
            format!("at station {}, waterline {}", length(s), length(height))
        }
        SkinShape::Scan(_) => format!("{} along {}", length(s), stripe.id),
        _ => format!("at station {}, waterline {}", length(s), length(t)),
    }
}

/// The outline of a stripe and of those of its paint that it meets, as one, in its own flat; `None` if it meets none.
pub(super) fn with_those_it_meets(job: &Job, one: &Laid, all: &[Laid]) -> Option<Vec<Ring>> {
    let (own, seam) = (one.painted.rings(), seam(&one.painted));
    let others = all.iter().filter(|o| o.id != one.id && one_go(job, &one.painted, &o.painted));
    let others = others.filter(|o| may_meet(&one.painted, &o.painted, CARRIED_MM));
    let met = others.filter_map(|o| carried(&one.painted, &o.painted)).filter(|r| touch(&own, r, seam));
    let shapes: Vec<Vec<Ring>> = std::iter::once(own.clone()).chain(met).collect();
    if shapes.len() < 2 {
        return None;
    }
    joined(&shapes, seam).map(|j| j.rings)
}

/// The outlines of stripes as a drawing of their surface shows them, those of one paint that meet as one.
pub fn as_one(job: &Job, drawn: &[&Laid]) -> Vec<Vec<Ring>> {
    let mut out: Vec<Vec<Ring>> = Vec::new();
    let mut taken = vec![false; drawn.len()];
    for (k, first) in drawn.iter().enumerate() {
        if taken[k] {
            continue;
        }
        let seam = if first.painted.charts.is_some() { ROUND } else { SEAM_MM };
        let mut shapes = vec![first.painted.rings()];
        let mut whole = shapes[0].clone();
        let joins = |i: usize, whole: &[Ring]| {
            one_go(job, &first.painted, &drawn[i].painted) && touch(whole, &drawn[i].painted.rings(), seam)
        };
        while let Some(i) = (k + 1..drawn.len()).find(|i| !taken[*i] && joins(*i, &whole)) {
            taken[i] = true;
            shapes.push(drawn[i].painted.rings());
            let all: Vec<Ring> = shapes.iter().flatten().cloned().collect();
            whole = joined(&shapes, seam).map_or_else(|| union(&all, &[]), |j| j.rings);
        }
        out.push(whole);
    }
    out
}
