//! The colours of a mark in the order they are shot, and the shape that is really sprayed of each.
//!
//! Which goes first is `paint_order`'s. Two colours never butt: where a later one
//! will cover it, the earlier one reaches under it by 1/16 in. What the later colour covers between two such laps is
//! not masked where it is narrow: the earlier colour is sprayed right through below it (both: common practice, no
//! source).

use super::outline::thin;
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::job::types::Tone;
use geom::boolean::{difference, intersection, outset, union};
use geom::grown::grown;
use geom::tolerance::{FLATTEN_MM, TAPE_KEPT_MM, TAPE_PATH_MM};
use geom::{Point, Ring};

/// How far an earlier colour reaches under a later one, mm: 1/16 in. common practice, no source.
pub const UNDER: f64 = 25.4 / 16.0;
/// Length over which an edge in sight goes over into the edge of a lap, mm: 3 in, so that 1/2 in tape bends with it.
/// chosen.
const EASE: f64 = 76.2;
/// Longest step from an edge in sight out to the edge of a lap, in laps: of a later edge that comes in at 24 degrees.
const STEP: f64 = 2.5;
/// By how much shapes that lie edge to edge are grown before they are joined, mm, so that no hair of skin stays
/// between them. chosen: three steps of the grid on which they are cut.
const SEAM: f64 = 0.003;

/// Which colour of a mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Part {
    /// The letters themselves.
    #[default]
    Letters,
    /// The band round them.
    Outline,
    /// The shadow they cast.
    Shadow,
}

impl Part {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Part::Letters => "letters",
            Part::Outline => "outline",
            Part::Shadow => "shadow",
        }
    }
}

/// A colour of a mark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Colour {
    /// Id of its paint; empty if the job names none.
    pub paint: String,
    /// What it paints.
    pub part: Part,
    /// What is sprayed of it at each character, flat, laps included: outer counter-clockwise, holes clockwise. What
    /// runs along several characters stands at the one it lies nearest to.
    pub glyphs: Vec<Vec<Ring>>,
    /// True if it is sprayed right through below some of a later colour.
    pub through: bool,
}

/// Id of the paint of a mark's letters.
pub(super) fn own_paint<'a>(job: &'a Job, mark: &Placed) -> Option<&'a str> {
    job.painted_with(&mark.id).map(|p| p.0)
}

/// Share of light a tone reflects: for a colour the relative luminance of WCAG, which is near enough to tell lighter
/// from darker. `None` if it is not known.
pub fn lightness(tone: Tone) -> Option<f64> {
    match tone {
        Tone::Reflectance(share) => Some(share),
        Tone::Colour(rgb) => {
            let [r, g, b] = rgb.map(|byte| {
                let c = f64::from(byte) / 255.0;
                if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
            });
            Some(0.2126 * r + 0.7152 * g + 0.0722 * b)
        }
        Tone::Unknown => None,
    }
}

/// The colours of a mark as they are sprayed, by the `order` of all paints. Under a later colour the earlier one goes
/// right through where less than `narrow` mm is left between its laps.
pub fn colours(job: &Job, mark: &Placed, order: &[String], narrow: f64) -> Vec<Colour> {
    let own = own_paint(job, mark).unwrap_or_default();
    if mark.further.is_empty() {
        let glyphs = mark.glyphs.iter().map(|g| g.rings.clone()).collect();
        return vec![Colour { paint: own.to_owned(), part: Part::Letters, glyphs, through: false }];
    }
    let mut shown: Vec<(&str, Part, Vec<Ring>)> = vec![(own, Part::Letters, mark.rings())];
    for further in &mark.further {
        match shown.iter_mut().find(|(paint, ..)| *paint == further.paint) {
            Some((_, _, rings)) => *rings = union(&outset(&flat(rings), SEAM, SEAM), &further.rings),
            None => {
                let part = if further.shadow { Part::Shadow } else { Part::Outline };
                shown.push((&further.paint, part, further.rings.clone()));
            }
        }
    }
    shown.retain(|(.., rings)| !rings.is_empty());
    let rank = |id: &str| order.iter().position(|p| p == id).unwrap_or(usize::MAX);
    shown.sort_by_key(|(paint, ..)| rank(paint));
    let mut out = Vec::new();
    for (i, (paint, part, rings)) in shown.iter().enumerate() {
        let later: Vec<Ring> = shown[i + 1..].iter().flat_map(|(.., rings)| flat(rings)).collect();
        let own_letters = later.is_empty() && *part == Part::Letters && rings.len() == mark.rings().len();
        let (glyphs, through) = if own_letters {
            (mark.glyphs.iter().map(|g| g.rings.clone()).collect(), false)
        } else {
            let (sprayed, through) = reaching_under(rings, &later, narrow);
            (by_glyph(mark, sprayed), through)
        };
        out.push(Colour { paint: (*paint).to_owned(), part: *part, glyphs, through });
    }
    out
}

/// The shape with its laps under what comes `later`, and whether it goes through below some of it.
fn reaching_under(shape: &[Ring], later: &[Ring], narrow: f64) -> (Vec<Ring>, bool) {
    if later.is_empty() {
        return (clean(flat(shape)), false);
    }
    let room = union(&flat(shape), &outset(later, SEAM, SEAM));
    let lapped = clean(eased(clean(intersection(&grown(shape, UNDER), &room)), shape));
    let mut through = Vec::new();
    for island in parts(clean(difference(later, &lapped))) {
        // Ground or an earlier colour beside it: it has an edge of its own, which two colours must not share.
        let beside =
            difference(&outset(&island, TAPE_KEPT_MM, SEAM), &union(&lapped, &outset(later, SEAM, SEAM)));
        let alone = beside.iter().map(Ring::area).sum::<f64>() <= TAPE_KEPT_MM * FLATTEN_MM;
        if narrow > 0.0 && alone && narrower(&island, narrow) {
            through.extend(outset(&island, SEAM, SEAM));
        }
    }
    if through.is_empty() { (lapped, false) } else { (clean(union(&lapped, &through)), true) }
}

/// Where a lap begins beside an edge that stays in sight, the paint edge would step aside by 1/16 in. It is eased
/// instead, over `EASE` mm of what the later colour covers, so that one tape follows it.
fn eased(rings: Vec<Ring>, shape: &[Ring]) -> Vec<Ring> {
    let in_lap = |p: Point| {
        let off = shape
            .iter()
            .flat_map(Ring::edges)
            .map(|e| geom::distance::point_to_edge(p, &e))
            .fold(f64::INFINITY, f64::min);
        off > UNDER - TAPE_KEPT_MM
    };
    let ease = |ring: Ring| {
        let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
        let n = p.len();
        let step = |i: usize, to: usize| p[i].distance(p[to]) <= STEP * UNDER && !in_lap(p[to]);
        let long =
            |i: usize, to: usize| p[i].distance(p[to]) > 2.0 * STEP * UNDER && in_lap(p[i].midpoint(p[to]));
        // The corner of the lap beside which it steps out, and the corner to which it then runs.
        let eases = |i: usize| {
            let (before, after) = ((i + n - 1) % n, (i + 1) % n);
            let convex = (p[i] - p[before]).cross(p[after] - p[i]) > 0.0;
            if !convex || !in_lap(p[i]) {
                None
            } else if step(i, before) && long(i, after) {
                Some(after)
            } else if step(i, after) && long(i, before) {
                Some(before)
            } else {
                None
            }
        };
        let to: Vec<Option<usize>> = (0..n).map(eases).collect();
        let mut out = Vec::with_capacity(n);
        for i in 0..n {
            let Some(far) = to[i] else {
                out.push(p[i]);
                continue;
            };
            let share = EASE / p[i].distance(p[far]);
            if to[far] == Some(i) {
                out.push(p[i].lerp(p[far], share.min(0.5)));
            } else if share < 0.5 {
                out.push(p[i].lerp(p[far], share));
            }
            // Else it is full only at the far corner: one straight line.
        }
        Ring::from_points(out)
    };
    rings.into_iter().map(ease).collect()
}

/// True if no disc of this diameter, mm, lies in the shape.
fn narrower(shape: &[Ring], diameter: f64) -> bool {
    let Some((lo, hi)) = super::order::bounds(shape) else { return true };
    let far = diameter + 1.0;
    let frame = [
        (lo.x - far, lo.y - far),
        (hi.x + far, lo.y - far),
        (hi.x + far, hi.y + far),
        (lo.x - far, hi.y + far),
    ];
    let around = difference(&[Ring::from_points(frame.map(Point::from))], shape);
    difference(shape, &outset(&around, diameter / 2.0, FLATTEN_MM)).is_empty()
}

fn flat(rings: &[Ring]) -> Vec<Ring> {
    // The very chords that further colours are cut along.
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM / 2.0))).collect()
}

/// Without hairs between shapes that lie edge to edge, and without corners that are none.
fn clean(mut rings: Vec<Ring>) -> Vec<Ring> {
    rings.retain(|r| r.area().abs() > FLATTEN_MM * r.perimeter());
    rings
        .into_iter()
        .map(|r| Ring::from_points(thin(&r.vertices.iter().map(|v| v.p).collect::<Vec<_>>(), TAPE_PATH_MM)))
        .filter(|r| r.vertices.len() > 2)
        .collect()
}

/// Outer rings, each with its holes behind it, as shapes of their own.
fn parts(rings: Vec<Ring>) -> Vec<Vec<Ring>> {
    let mut out: Vec<Vec<Ring>> = Vec::new();
    for ring in rings {
        match out.last_mut() {
            Some(part) if ring.area() < 0.0 => part.push(ring),
            _ => out.push(vec![ring]),
        }
    }
    out
}

/// Shares a colour out over the characters, each connected piece to the one its middle is nearest to.
fn by_glyph(mark: &Placed, rings: Vec<Ring>) -> Vec<Vec<Ring>> {
    let mut out = vec![Vec::new(); mark.glyphs.len()];
    for part in parts(rings) {
        if let Some(k) = part.first().and_then(|r| nearest_glyph(mark, r)) {
            out[k].extend(part);
        }
    }
    out
}

/// The character whose box has its middle nearest to that of a ring.
fn nearest_glyph(mark: &Placed, ring: &Ring) -> Option<usize> {
    let (lo, hi) = ring.bounds()?;
    nearest(mark, lo.midpoint(hi))
}

/// The character whose box has its middle nearest to a point.
pub(super) fn nearest(mark: &Placed, p: Point) -> Option<usize> {
    let far = |g: usize| mark.glyphs[g].corners[0].midpoint(mark.glyphs[g].corners[2]).distance(p);
    (0..mark.glyphs.len()).min_by(|a, b| far(*a).total_cmp(&far(*b)))
}
