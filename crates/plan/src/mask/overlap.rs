//! Which pieces of tape lie over each other: all shapes of a mark, two by two, by what they share.
//!
//! Short straight lengths have no dents and are cut by each other's sides. Of two long bent strips it is first asked whether
//! their outlines meet at all, then what they share close round a place where they do; only where that tells nothing are
//! they cut by each other, and then only near each other.

use super::order::bounds;
use super::plan::{Kind, Piece};
use geom::boolean::intersection;
use geom::point::crossing;
use geom::tolerance::{NOISE_MM, TAPE_DENT_SINE, TAPE_TOUCH_MM2};
use geom::winding::contains;
use geom::{Point, Ring};

/// A box: its lower left and its upper right corner.
type Box = (Point, Point);

/// For each piece, in the order of laying, the earlier ones it lies on.
pub(super) fn overlaps(pieces: &[Piece]) -> Vec<Vec<usize>> {
    let shapes: Vec<Option<Shape<'_>>> = pieces.iter().map(|p| Shape::new(&p.footprint)).collect();
    let on_paint = |i: usize| pieces[i].kind == Kind::Layout;
    let mut by_x: Vec<(usize, &Shape<'_>)> =
        shapes.iter().enumerate().filter_map(|(i, s)| Some((i, s.as_ref()?))).collect();
    by_x.sort_by(|a, b| a.1.box_.0.x.total_cmp(&b.1.box_.0.x));
    let mut out = vec![Vec::new(); pieces.len()];
    for (n, (i, a)) in by_x.iter().enumerate() {
        for (j, b) in &by_x[n + 1..] {
            if b.box_.0.x >= a.box_.1.x {
                break;
            }
            if b.box_.0.y >= a.box_.1.y || a.box_.0.y >= b.box_.1.y {
                continue;
            }
            // Layout tape is cut to the paint, all else keeps off it: they have no more in common than the edge.
            if on_paint(*i) == on_paint(*j) && touch(a, b) {
                out[*i.max(j)].push(*i.min(j));
            }
        }
    }
    for list in &mut out {
        list.sort_unstable();
    }
    out
}

/// A footprint ready to be asked.
struct Shape<'a> {
    rings: &'a [Ring],
    box_: Box,
    kind: Sort,
}

enum Sort {
    /// Straight sides without dents, counter-clockwise.
    Convex(Vec<Point>),
    /// Anything else, ring by ring.
    Any(Vec<Corners>),
}

/// The corners of a ring with a box round every so many of its edges.
struct Corners {
    points: Vec<Point>,
    boxes: Vec<Box>,
}

/// Edges in one box.
const BLOCK: usize = 16;
/// Half the side, mm, of a square in which two shapes are cut first. chosen: with strips laid edge to edge a hair over each
/// other enough is shared there, and a bent strip has few corners in it.
const CLOSE: f64 = 4.0;
/// Most places where two outlines meet that are looked at one by one. chosen.
const PLACES: usize = 6;

impl<'a> Shape<'a> {
    fn new(rings: &'a [Ring]) -> Option<Shape<'a>> {
        let box_ = bounds(rings)?;
        let kind = match rings {
            [ring] if let Some(corners) = convex(ring) => Sort::Convex(corners),
            _ => Sort::Any(rings.iter().map(Corners::new).collect()),
        };
        Some(Shape { rings, box_, kind })
    }

    /// Its outlines if they are long.
    fn outlines(&self) -> &[Corners] {
        match &self.kind {
            Sort::Convex(_) => &[],
            Sort::Any(rings) => rings,
        }
    }

    /// Its rings as they are near a box; all that lies in the box is as it was.
    fn near(&self, near: Box) -> Vec<Vec<Point>> {
        match &self.kind {
            Sort::Convex(corners) => vec![corners.clone()],
            Sort::Any(rings) => rings.iter().map(|r| r.near(near)).filter(|p| p.len() > 2).collect(),
        }
    }
}

impl Corners {
    fn new(ring: &Ring) -> Corners {
        let points: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
        let boxes = (0..points.len())
            .step_by(BLOCK)
            .map(|k| around((k..=k + BLOCK).map(|i| points[i.min(points.len()) % points.len()])))
            .collect();
        Corners { points, boxes }
    }

    /// The edges in a box.
    fn block(&self, k: usize) -> impl Iterator<Item = (Point, Point)> + Clone + '_ {
        let n = self.points.len();
        (k * BLOCK..((k + 1) * BLOCK).min(n)).map(move |i| (self.points[i], self.points[(i + 1) % n]))
    }

    /// Of corners that follow each other beyond one side of the box only the first and the last: the outline between
    /// them moves, but not into the box.
    fn near(&self, (lo, hi): Box) -> Vec<Point> {
        let mut out: Vec<Point> = Vec::new();
        // Beyond which sides the last two kept lie, as bits.
        let sides = |p: Point| {
            u8::from(p.x < lo.x)
                | u8::from(p.x > hi.x) << 1
                | u8::from(p.y < lo.y) << 2
                | u8::from(p.y > hi.y) << 3
        };
        let mut last = [0_u8; 2];
        let mut keep = |p: Point| {
            let s = sides(p);
            if out.len() >= 2 && last[0] & last[1] & s != 0 {
                out.pop();
            } else {
                last[0] = last[1];
            }
            last[1] = s;
            out.push(p);
        };
        for (block, b) in self.points.chunks(BLOCK).zip(&self.boxes) {
            let beyond = b.1.x < lo.x || b.0.x > hi.x || b.1.y < lo.y || b.0.y > hi.y;
            if beyond {
                keep(block[0]);
                keep(block[block.len() - 1]);
            } else {
                block.iter().for_each(|p| keep(*p));
            }
        }
        out
    }
}

/// Shared area, in touches, from which a sum over corners needs no second look, though loops of a strip that curls
/// count in it as often as it winds.
const SURE: f64 = 10.0;

/// True if two shapes share more than a touch.
fn touch(a: &Shape<'_>, b: &Shape<'_>) -> bool {
    // What they share lies in the box they share: the rest of a long strip need not be cut.
    let (x, y) = (a.box_, b.box_);
    let lo = Point::new(x.0.x.max(y.0.x) - 1.0, x.0.y.max(y.0.y) - 1.0);
    let hi = Point::new(x.1.x.min(y.1.x) + 1.0, x.1.y.min(y.1.y) + 1.0);
    match (&a.kind, &b.kind) {
        (Sort::Convex(p), Sort::Convex(q)) => return shared(p, q) > TAPE_TOUCH_MM2,
        (Sort::Convex(p), Sort::Any(_)) | (Sort::Any(_), Sort::Convex(p)) => {
            let other = if matches!(a.kind, Sort::Any(_)) { a } else { b };
            let area: f64 = other.near((lo, hi)).iter().map(|ring| shared(ring, p)).sum();
            if area > SURE * TAPE_TOUCH_MM2 {
                return true;
            }
            if area.abs() <= NOISE_MM {
                return false;
            }
        }
        (Sort::Any(_), Sort::Any(_)) => {
            let places = places(a, b, (lo, hi));
            let close = |p: &Point| {
                let (u, v) = (Point::new(p.x - CLOSE, p.y - CLOSE), Point::new(p.x + CLOSE, p.y + CLOSE));
                shared_in(a, b, (u, v)) > TAPE_TOUCH_MM2
            };
            if places.iter().any(close) {
                return true;
            }
            if places.is_empty() {
                return false;
            }
        }
    }
    shared_in(a, b, (lo, hi)) > TAPE_TOUCH_MM2
}

/// Area that two shapes share within a box.
fn shared_in(a: &Shape<'_>, b: &Shape<'_>, (lo, hi): Box) -> f64 {
    let near = |s: &Shape<'_>| s.near((lo, hi)).into_iter().map(Ring::from_points).collect::<Vec<_>>();
    // Beyond the box shortened outlines may meet where the shapes do not.
    let both = intersection(&near(a), &near(b));
    let frame = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)];
    let corners = |r: &Ring| r.vertices.iter().map(|v| v.p).collect::<Vec<_>>();
    both.iter().map(|r| shared(&corners(r), &frame)).sum::<f64>()
}

/// Some places where two shapes may share skin: corners of one in the other, and where their outlines meet. None if they
/// share nothing: then neither outline meets the other, and none of either lies in the other.
fn places(a: &Shape<'_>, b: &Shape<'_>, box_: Box) -> Vec<Point> {
    let mut places: Vec<Point> = Vec::new();
    for (one, other) in [(a, b), (b, a)] {
        for corners in one.outlines() {
            let first = corners.points.iter().take(1);
            places.extend(first.filter(|p| within(**p, box_) && contains(other.rings, **p)));
        }
    }
    let pairs = a.outlines().iter().flat_map(|p| b.outlines().iter().map(move |q| (p, q)));
    for (p, q) in pairs {
        for (i, u) in p.boxes.iter().enumerate().filter(|(_, u)| !apart(**u, box_)) {
            for (j, _) in q.boxes.iter().enumerate().filter(|(_, v)| !apart(**v, *u)) {
                if places.len() >= PLACES {
                    return places;
                }
                meetings(p.block(i), q.block(j), &mut places);
            }
        }
    }
    places
}

/// Adds one place where two stretches of outline meet and no place is known yet.
fn meetings(
    p: impl Iterator<Item = (Point, Point)>,
    q: impl Iterator<Item = (Point, Point)> + Clone,
    places: &mut Vec<Point>,
) {
    for (a, b) in p {
        for (c, d) in q.clone() {
            let Some(at) = meeting((a, b), (c, d)) else { continue };
            if places.iter().all(|p| p.distance(at) > CLOSE / 2.0) {
                places.push(at);
                return;
            }
        }
    }
}

/// The corners of a straight-sided ring without dents.
pub(super) fn convex(ring: &Ring) -> Option<Vec<Point>> {
    let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let n = p.len();
    let bends = |i: usize| {
        let (u, v) = (p[(i + 1) % n] - p[i], p[(i + 2) % n] - p[(i + 1) % n]);
        let slack = TAPE_DENT_SINE * u.hypot() * v.hypot();
        // A side that comes straight back is a slit, not a straight corner.
        u.cross(v) > slack || (u.cross(v) >= -slack && u.dot(v) > 0.0)
    };
    (n <= 12 && (0..n).all(bends)).then_some(p)
}

/// Area a polygon shares with a convex one (counter-clockwise): it is cut by each side of that. Where it is cut to several
/// parts, lines that run there and back along the cut join them and have no area.
fn shared(a: &[Point], b: &[Point]) -> f64 {
    let mut left = a.to_vec();
    for i in 0..b.len() {
        let (p, way) = (b[i], b[(i + 1) % b.len()] - b[i]);
        let side = |q: Point| way.cross(q - p);
        let mut kept = Vec::with_capacity(left.len() + 1);
        for k in 0..left.len() {
            let (u, v) = (left[k], left[(k + 1) % left.len()]);
            let (su, sv) = (side(u), side(v));
            if su >= 0.0 {
                kept.push(u);
            }
            if (su > 0.0 && sv < 0.0) || (su < 0.0 && sv > 0.0) {
                kept.push(u.lerp(v, su / (su - sv)));
            }
        }
        left = kept;
        if left.len() < 3 {
            return 0.0;
        }
    }
    Ring::from_points(left).area()
}

/// Where two straight bits of outline meet, touches included; of two along each other an end.
fn meeting((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Point> {
    if apart(around([a, b]), around([c, d])) {
        return None;
    }
    let (u, v) = (b - a, d - c);
    let slack = NOISE_MM * u.hypot().max(v.hypot());
    let beside = |s: f64, t: f64| (s > slack && t > slack) || (s < -slack && t < -slack);
    if beside(u.cross(c - a), u.cross(d - a)) || beside(v.cross(a - c), v.cross(b - c)) {
        return None;
    }
    let ends = [a, b, c, d];
    let near = |p: &Point| within(*p, around([a, b])) && within(*p, around([c, d]));
    crossing(a, u, c, v).filter(near).or_else(|| ends.into_iter().find(near)).or(Some(a))
}

/// The box round some points.
pub(super) fn around(points: impl IntoIterator<Item = Point>) -> Box {
    let nowhere =
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
    points.into_iter().fold(nowhere, |(lo, hi), p| {
        (Point::new(lo.x.min(p.x), lo.y.min(p.y)), Point::new(hi.x.max(p.x), hi.y.max(p.y)))
    })
}

pub(super) fn within(p: Point, (lo, hi): Box) -> bool {
    lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y
}

/// True if two boxes have more than noise between them.
pub(super) fn apart(a: Box, b: Box) -> bool {
    let far = |lo: f64, hi: f64| lo > hi + NOISE_MM;
    far(a.0.x, b.1.x) || far(b.0.x, a.1.x) || far(a.0.y, b.1.y) || far(b.0.y, a.1.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The edge tape of a shadow's tip: its run-on passes the tip, and a slit is left where the needle of paint is.
    #[test]
    fn a_shape_with_a_slit_is_not_convex_and_its_overlap_is_found() {
        let ring = |p: &[(f64, f64)]| Ring::from_points(p.iter().map(|p| Point::from(*p)));
        let slit = ring(&[
            (2287.51, 446.68),
            (2276.5, 440.35),
            (2283.46, 428.24),
            (2354.41, 304.8),
            (2287.91, 420.5),
            (2405.03, 216.71),
            (2416.05, 223.04),
        ]);
        assert!(convex(&slit).is_none());
        let other = ring(&[(2281.24, 446.99), (2237.57, 385.84), (2247.9, 378.46), (2291.58, 439.61)]);
        // 125.26 mm2 by shapely 2.1.
        let (slit, other) = ([slit], [other]);
        assert!(touch(&Shape::new(&slit).unwrap(), &Shape::new(&other).unwrap()));
    }
    /// Against the whole boolean: rings of tape and bent lengths moved past each other.
    #[test]
    fn shapes_touch_where_what_they_share_is_more_than_a_touch() {
        use super::super::strip::{EndShape, Strip};
        use geom::{Affine, Vec2};
        let arc = |radius: f64, turn: f64| -> Vec<Point> {
            (0..=80).map(|k| Point::ZERO + Vec2::from_angle(turn * f64::from(k) / 80.0) * radius).collect()
        };
        let flat = EndShape::Square(2.0);
        let mut round = arc(70.0, std::f64::consts::TAU);
        round[80] = round[0];
        let closed = Strip::closed(&round, 0.0, 12.0).rings;
        let bent = Strip::open(&arc(55.0, 2.5), 0.0, 6.0, flat, flat).rings;
        let (mut yes, mut no) = (0, 0);
        for k in 0..120 {
            let by = Vec2::from_angle(0.7 * f64::from(k)) * (f64::from(k) * 1.3);
            let moved: Vec<Ring> = bent.iter().map(|r| r.mapped(Affine::translate(by))).collect();
            let all: f64 = intersection(&closed, &moved).iter().map(Ring::area).sum();
            let told = touch(&Shape::new(&closed).unwrap(), &Shape::new(&moved).unwrap());
            assert_eq!(told, all > TAPE_TOUCH_MM2, "{k}: {all}");
            let (a, b) = (&mut yes, &mut no);
            *(if told { a } else { b }) += 1;
        }
        assert!(yes > 20 && no > 20, "{yes} {no}");
        // One within the other, and one on the other's edge.
        let thin = Strip::closed(&round, 3.0, 4.0).rings;
        let beside = Strip::closed(&round, 12.0, 4.0).rings;
        let ring = Shape::new(&closed).unwrap();
        assert!(touch(&ring, &Shape::new(&thin).unwrap()) && !touch(&ring, &Shape::new(&beside).unwrap()));
    }
}
