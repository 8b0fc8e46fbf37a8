//! The line a stripe runs along: a waterline, an edge of the skin, a seam, the straightest way, another stripe, or the
//! mirror image of one; all as joins between points in flat.

use super::Laid;
use super::edges::Shape;
use super::way::Chords;
use crate::job::{Along, AlongLine, Apart, Side, SkinEdge, StripeEnd};
use crate::surface::{Skin, SkinShape};
use geom::tolerance::{KEPT_MM, NOISE_MM};
use geom::{Point, Region, Vec2};

/// How a line comes to be, or why it does not, in words.
pub type Line = Result<Chords, String>;

/// Joins along a wing's edge. Both edges are straight in flat; more only guards against that being changed.
const EDGE_STEPS: u32 = 32;

/// The middle of a stripe of a shape along something. `other` is the stripe it
/// runs beside, already laid.
///
/// # Errors
/// In words, why there is no such line.
pub fn along(asked: &Along, skin: &Skin, other: Option<&Laid>, shape: &Shape) -> Line {
    let (line, off) = match &asked.line {
        AlongLine::Waterline(height) => (level(skin, *height)?, asked.off),
        AlongLine::Edge(edge) => {
            let inwards = if matches!(edge, SkinEdge::Leading | SkinEdge::Upper) { -1.0 } else { 1.0 };
            (edge_of(skin, *edge)?, inwards * asked.off)
        }
        AlongLine::Feature(id) => (path_of(skin, id)?, asked.off),
        AlongLine::Straight([a, b]) => {
            let ends = [*a, *b].map(|p| skin.flat_from_user(p));
            (Chords::new(ends).ok_or("its two points are one")?, asked.off)
        }
        // The job reader takes these on scans only.
        AlongLine::ScanStraight(_) => return Err("its two points are on a scan".to_owned()),
        AlongLine::Stripe(id, apart) => {
            let other = other.ok_or_else(|| format!("there is no stripe `{id}` to run beside"))?;
            return beside(asked, skin, other, *apart, shape);
        }
    };
    let line = if matches!(asked.line, AlongLine::Straight(_)) { line } else { rising(line, skin) };
    off_and_cut(line, asked, skin, off)
}

/// So far beside a line, upwards as one faces the skin, between the stations asked for.
pub(super) fn off_and_cut(line: Chords, asked: &Along, skin: &Skin, off: f64) -> Line {
    let up = up(&line);
    cut(line.beside(&|_| up * off).ok_or("nothing is left of its line")?, asked, skin)
}

/// Beside another stripe, middle to middle or with a gap from edge to edge.
pub(super) fn beside(asked: &Along, skin: &Skin, other: &Laid, apart: Apart, shape: &Shape) -> Line {
    let none = || "nothing is left of its line".to_owned();
    let middle = Chords::new(other.middle.iter().copied()).ok_or_else(none)?;
    // No further than the other goes: its edges may lean outwards at its ends.
    let [a, b] = other.ends_on(skin);
    let mut asked = asked.clone();
    if (b[0] - a[0]).abs() > (b[1] - a[1]).abs() {
        asked.from = asked.from.or(Some(a[0].min(b[0])));
        asked.to = asked.to.or(Some(a[0].max(b[0])));
    }
    let line = match apart {
        Apart::Middles(off) => {
            let up = up(&middle);
            middle.beside(&|_| up * off)
        }
        Apart::Gap { gap, below, .. } => {
            let left = (up(&middle) > 0.0) != below;
            let flank = Chords::new(other.flanks[usize::from(!left)].iter().copied()).ok_or_else(none)?;
            let whole = flank.clone();
            let flank = cut(flank, &asked, skin)?;
            let shape = tapering_with(shape, &other.shape, &whole, &flank);
            let (way, long) = (if left { 1.0 } else { -1.0 }, flank.length());
            let edge = flank.stopped_at(&shape.stops(long)).beside(&|_| way * gap);
            let half = |line: &Chords, s: f64| {
                let mut own = shape.clone();
                own.taper_from_corner(line);
                own.half(s, line.length())
            };
            edge.and_then(|edge| edge.middle_of_edge(&half, way))
        }
    };
    cut(line.ok_or_else(none)?, &asked, skin)
}

/// A shape as far as it tapers together with the one it runs beside: where both run to their points its own edge keeps
/// the gap, from the same corner on; a point beside what goes on is even on both sides of its middle.
fn tapering_with(own: &Shape, other: &Shape, whole: &Chords, flank: &Chords) -> Shape {
    let ends = |line: &Chords| [line.points()[0], line.points()[line.points().len() - 1]];
    let (all, kept) = (ends(whole), ends(flank));
    let mut shape = own.clone();
    for k in 0..2 {
        let both = own.ends[k] == StripeEnd::Point && other.ends[k] == StripeEnd::Point;
        if !both || KEPT_MM < all[k].distance(kept[k]) {
            shape.ends[k] = StripeEnd::Square;
        }
    }
    shape.taper_from_corner(flank);
    shape
}

/// Between the stations asked for.
fn cut(line: Chords, asked: &Along, skin: &Skin) -> Line {
    if asked.from.is_none() && asked.to.is_none() {
        return Ok(line);
    }
    let station = |p: Point| skin.station(p);
    let (from, to) = (asked.from.unwrap_or(f64::NEG_INFINITY), asked.to.unwrap_or(f64::INFINITY));
    line.between(&station, from, to)
        .ok_or_else(|| "its line has nothing between the stations `from` and `to`".to_owned())
}

/// Level across a panel: from its foremost to its last point at that height.
fn level(skin: &Skin, height: f64) -> Line {
    let mut x: Vec<f64> = Vec::new();
    for edge in skin.outline.edges() {
        let (a, b) = (edge.start(), edge.end());
        if (a.y - height).abs() <= NOISE_MM {
            x.push(a.x);
        }
        if (a.y < height) != (b.y < height) {
            x.push(a.x + (b.x - a.x) * (height - a.y) / (b.y - a.y));
        }
    }
    let (lo, hi) = (x.iter().copied().reduce(f64::min), x.iter().copied().reduce(f64::max));
    let ends = lo.zip(hi).map(|(lo, hi)| [Point::new(lo, height), Point::new(hi, height)]);
    ends.and_then(Chords::new).ok_or_else(|| "its waterline does not cross the panel".to_owned())
}

/// An edge of the skin, left to right in flat.
fn edge_of(skin: &Skin, edge: SkinEdge) -> Line {
    let none = || "the surface has no such edge".to_owned();
    if let SkinShape::Wing(wing) = &skin.shape {
        let at = |k: u32| {
            let s = wing.span() * f64::from(k) / f64::from(EDGE_STEPS);
            let t = if edge == SkinEdge::Trailing { wing.girth(s) } else { 0.0 };
            wing.flat_from_skin([s, t])
        };
        return Chords::new((0..=EDGE_STEPS).map(at)).ok_or_else(none);
    }
    // Round the outline, counter-clockwise, between its foremost and its last corner on that side.
    let corners: Vec<Point> = skin.outline.vertices.iter().map(|v| v.p).collect();
    let (n, side) = (corners.len(), if edge == SkinEdge::Upper { -1.0 } else { 1.0 });
    let first = |way: f64| {
        let key = |i: &usize| (way * corners[*i].x, side * corners[*i].y);
        (0..n).min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
    };
    let (from, to) = (first(side).ok_or_else(none)?, first(-side).ok_or_else(none)?);
    let steps = (to + n - from) % n;
    let line = Chords::new((0..=steps).map(|k| corners[(from + k) % n])).ok_or_else(none)?;
    Ok(if side < 0.0 { line.reversed() } else { line })
}

/// The path of a feature; of one that the skin's edge cuts apart, its longest piece.
fn path_of(skin: &Skin, id: &str) -> Line {
    let paths = skin.features.iter().filter(|f| f.id == id).filter_map(|f| match &f.region {
        Region::Band { path, .. } => Chords::new(path.iter().copied()),
        _ => None,
    });
    paths
        .max_by(|a, b| a.length().total_cmp(&b.length()))
        .ok_or_else(|| format!("feature `{id}` has no path on the skin"))
}

/// The line walked so that stations grow along it, or, upright, as it was drawn.
fn rising(line: Chords, skin: &Skin) -> Chords {
    let ends = [line.points()[0], line.points()[line.points().len() - 1]];
    let [a, b] = ends.map(|p| skin.skin_from_flat(p));
    let level = (b[0] - a[0]).abs() > (b[1] - a[1]).abs();
    if level && b[0] < a[0] { line.reversed() } else { line }
}

/// 1 if left of travel is up as one faces the skin (of an upright line: to the left), else -1.
pub(super) fn up(line: &Chords) -> f64 {
    let along: Vec2 = line.points()[line.points().len() - 1] - line.points()[0];
    let up = if along.x.abs() >= along.y.abs() { along.x >= 0.0 } else { along.y >= 0.0 };
    if up { 1.0 } else { -1.0 }
}

/// The middle of the mirror image of `other`, laid on the skin `theirs`, on `own`: the same stations and heights, each
/// counted from the end of its panel that is forward; and by how much the two panels differ in size, mm.
///
/// # Errors
/// In words, why there is none.
pub fn mirrored(other: &Laid, theirs: &Skin, own: &Skin) -> Result<(Chords, [f64; 2]), String> {
    let none = || "nothing is left of its line".to_owned();
    if let (SkinShape::Wing(a), SkinShape::Wing(b)) = (&theirs.shape, &own.shape) {
        let points = other.middle.iter().map(|p| own.flat_from_skin(theirs.skin_from_flat(*p)));
        let differ = [a.span() - b.span(), a.girth(0.0) - b.girth(0.0)];
        return Ok((Chords::new(points).ok_or_else(none)?, differ));
    }
    let (a, b) = (theirs.outline.bounds(), own.outline.bounds());
    let ((lo, hi), (own_lo, own_hi)) = a.zip(b).ok_or_else(none)?;
    let across = |side: Option<Side>| matches!(side, Some(Side::Left | Side::Right));
    // Panels of the two sides have the nose at opposite hands; two panels of one hand do not.
    let turned = across(theirs.side) && across(own.side) && theirs.side != own.side;
    let points = other.middle.iter().map(|p| {
        let x = if turned { own_hi.x - (p.x - lo.x) } else { own_lo.x + (p.x - lo.x) };
        Point::new(x, own_lo.y + (p.y - lo.y))
    });
    let size = |lo: Point, hi: Point| hi - lo;
    let differ = size(lo, hi) - size(own_lo, own_hi);
    Ok((Chords::new(points).ok_or_else(none)?, [differ.x, differ.y]))
}
