//! A straight band across an outline, as wide as a tape: what of the outline lies in it, part by part.

use geom::boolean::intersection;
use geom::hull::hull;
use geom::point::left_of;
use geom::tolerance::{GRID_MM, KEPT_MM, TAPE_KEPT_MM};
use geom::winding::contains;
use geom::{Point, Ring, Vec2};

/// A tape is taken for so much wider on either side, mm, so that strips laid edge to edge leave no hair between
/// them: less than a tape's own edges wander.
const HAIR: f64 = TAPE_KEPT_MM / 2.0;

/// A band right of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Band {
    /// On its left side.
    pub(super) from: Point,
    /// Unit direction of that side.
    pub(super) way: Vec2,
    /// How wide, mm.
    pub(super) width: f64,
}

/// One part of an outline within a band.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    /// Its outline and holes.
    pub(super) rings: Vec<Ring>,
    /// The middle of the box round it.
    pub(super) middle: Point,
    /// From where to where it reaches along the band.
    pub(super) along: [f64; 2],
    /// True if no other part lies beside it between those.
    pub(super) alone: bool,
}

/// The straight edges of an outline, to find what lies across a stroke.
pub(super) struct Facing {
    edges: Vec<(Point, Point)>,
}

impl Facing {
    /// Distances, mm, of the edges that run the other way along a line, behind it and up to `most`.
    pub(super) fn behind(&self, from: Point, way: Vec2, most: f64) -> Vec<f64> {
        let right = -left_of(way);
        let mut out: Vec<f64> = Vec::new();
        for (a, b) in &self.edges {
            let along = *b - *a;
            let long = along.hypot();
            // Paint lies left of an edge and right of the line, so that edges of the far side run with the line.
            if long < KEPT_MM || along.cross(way).abs() > 0.002 * long || along.dot(way) < 0.0 {
                continue;
            }
            let far = right.dot(a.midpoint(*b) - from);
            if far > TAPE_KEPT_MM && far < most && !out.iter().any(|o| (o - far).abs() <= TAPE_KEPT_MM) {
                out.push(far);
            }
        }
        out
    }
}

impl Band {
    /// The straight edges of a letter.
    pub(super) fn facing(letter: &[Ring]) -> Facing {
        let mut edges = Vec::new();
        for ring in letter {
            let n = ring.vertices.len();
            edges.extend((0..n).map(|i| (ring.vertices[i].p, ring.vertices[(i + 1) % n].p)));
        }
        let longest = edges.iter().map(|(a, b)| a.distance(*b)).fold(0.0, f64::max);
        // Chords of a curve face nothing.
        edges.retain(|(a, b)| a.distance(*b) >= longest / 20.0);
        Facing { edges }
    }

    /// A point along its left side.
    pub(super) fn at(&self, u: f64) -> Point {
        self.from + self.way * u
    }

    /// How far along the band a point lies, and how far right of its left side.
    pub(super) fn local(&self, p: Point) -> (f64, f64) {
        let d = p - self.from;
        (self.way.dot(d), -left_of(self.way).dot(d))
    }

    /// From where to where some outlines reach along the band and across it.
    pub(super) fn reach(&self, rings: &[Ring]) -> ([f64; 2], [f64; 2]) {
        let (mut u, mut v) = ([f64::INFINITY, f64::NEG_INFINITY], [f64::INFINITY, f64::NEG_INFINITY]);
        for vertex in rings.iter().flat_map(|r| &r.vertices) {
            let (a, b) = self.local(vertex.p);
            u = [u[0].min(a), u[1].max(a)];
            v = [v[0].min(b), v[1].max(b)];
        }
        if u[0] > u[1] { ([0.0; 2], [0.0; 2]) } else { (u, v) }
    }

    /// How much of some outlines lies in the band between two places along it, mm2.
    pub(super) fn area_of<'a>(&self, rings: impl IntoIterator<Item = &'a Ring>, between: [f64; 2]) -> f64 {
        rings.into_iter().map(|r| self.ring_area(r, between)).sum()
    }

    /// True if something in a box may lie in the band.
    pub(super) fn meets(&self, (lo, hi): (Point, Point)) -> bool {
        let (low, high) = self.sides();
        let half = (hi - lo) / 2.0;
        let (_, v) = self.local(lo.midpoint(hi));
        let far = self.way.y.abs() * half.x + self.way.x.abs() * half.y + KEPT_MM;
        low <= v + far && v - far <= high
    }

    /// Cut level at all sides, whatever the shape: bits along the cut are walked there and back and cancel.
    fn ring_area(&self, ring: &Ring, between: [f64; 2]) -> f64 {
        let n = ring.vertices.len();
        let (low, high) = self.sides();
        let mut sum = 0.0;
        let Some(last) = ring.vertices.last() else { return 0.0 };
        let mut a = self.local(last.p);
        for i in 0..n {
            let b = self.local(ring.vertices[i].p);
            let (lo, hi) = (a.1.min(b.1).clamp(low, high), a.1.max(b.1).clamp(low, high));
            if hi > lo {
                let at = |v: f64| a.0 + (b.0 - a.0) * (v - a.1) / (b.1 - a.1);
                let part = (hi - lo) * mean_within(at(lo), at(hi), between);
                sum += if b.1 > a.1 { part } else { -part };
            }
            a = b;
        }
        // v runs to the right of u, so that the frame is left-handed.
        -sum
    }

    /// Where the band's sides lie, with the hair.
    fn sides(&self) -> (f64, f64) {
        (-HAIR, self.width + HAIR)
    }

    /// The parts of some outlines within the band.
    pub(super) fn cut(&self, rings: &[Ring]) -> Vec<Cut> {
        let rings = match self.chains(rings).and_then(joined) {
            Some(parts) => parts,
            None => {
                let ([from, to], _) = self.reach(rings);
                return self.cut_between(rings, from - 1.0, to + 1.0);
            }
        };
        self.told(rings)
    }

    /// The same, from `from` to `to` mm along it.
    pub(super) fn cut_between(&self, rings: &[Ring], from: f64, to: f64) -> Vec<Cut> {
        let right = -left_of(self.way);
        let at = |u: f64, v: f64| self.at(u) + right * v;
        let (lo, hi) = self.sides();
        let frame = Ring::from_points([at(from, hi), at(to, hi), at(to, lo), at(from, lo)]);
        self.told(parts(intersection(rings, &[frame])))
    }

    fn told(&self, parts: Vec<Vec<Ring>>) -> Vec<Cut> {
        let mut cuts: Vec<Cut> = parts
            .into_iter()
            .filter_map(|rings| {
                let (lo, hi) = super::order::bounds(&rings)?;
                let (along, _) = self.reach(&rings);
                Some(Cut { rings, middle: lo.midpoint(hi), along, alone: true })
            })
            .collect();
        let along: Vec<[f64; 2]> = cuts.iter().map(|c| c.along).collect();
        for (k, cut) in cuts.iter_mut().enumerate() {
            cut.alone =
                along.iter().enumerate().all(|(i, a)| i == k || a[1] < cut.along[0] || cut.along[1] < a[0]);
        }
        cuts
    }

    /// The outlines cut at the band's sides: what of them lies within, walked as they are; `None` if an outline
    /// touches a side in a way that does not tell in from out.
    fn chains(&self, rings: &[Ring]) -> Option<Chains> {
        let (low, high) = self.sides();
        let mut out = Chains::default();
        for ring in rings {
            let n = ring.vertices.len();
            let local: Vec<(f64, f64)> = ring.vertices.iter().map(|v| self.local(v.p)).collect();
            let inside = |k: usize| low < local[k].1 && local[k].1 < high;
            if (0..n).all(inside) {
                out.whole.push(ring.clone());
                continue;
            }
            let first = (0..n).find(|k| !inside(*k))?;
            let mut open: Option<Chain> = None;
            for (k, l) in (first..n).chain(0..first).map(|k| (k, if k + 1 == n { 0 } else { k + 1 })) {
                let (a, b) = (local[k], local[l]);
                if (a.1 <= low && b.1 <= low) || (a.1 >= high && b.1 >= high) {
                    continue;
                }
                let (p, q) = (ring.vertices[k].p, ring.vertices[l].p);
                let mut meets: Vec<(f64, bool)> = Vec::new();
                if (a.1 <= low) != (b.1 <= low) {
                    meets.push(((low - a.1) / (b.1 - a.1), false));
                }
                if (a.1 >= high) != (b.1 >= high) {
                    meets.push(((high - a.1) / (b.1 - a.1), true));
                }
                meets.sort_by(|x, y| x.0.total_cmp(&y.0));
                for (t, upper) in meets {
                    let (at, u) = (p.lerp(q, t), a.0 + (b.0 - a.0) * t);
                    match open.take() {
                        Some(mut chain) => {
                            chain.points.push(at);
                            chain.leaves = (upper, u);
                            out.open.push(chain);
                        }
                        None => {
                            open = Some(Chain { points: vec![at], enters: (upper, u), leaves: (upper, u) });
                        }
                    }
                }
                if inside(l) {
                    open.as_mut()?.points.push(q);
                }
            }
            if open.is_some() {
                return None;
            }
        }
        Some(out)
    }
}

/// Mean of a value that runs evenly from `a` to `b`, held between two limits.
fn mean_within(a: f64, b: f64, [low, high]: [f64; 2]) -> f64 {
    let (a, b) = (a.min(b), a.max(b));
    if low <= a && b <= high {
        return f64::midpoint(a, b);
    }
    if b <= low {
        return low;
    }
    if high <= a {
        return high;
    }
    let (from, to) = (a.max(low), b.min(high));
    ((from - a) * low + (to - from) * f64::midpoint(from, to) + (b - to) * high) / (b - a)
}

/// Outlines cut at the two sides of a band.
#[derive(Default)]
struct Chains {
    /// Rings within it.
    whole: Vec<Ring>,
    /// Bits that come in through a side and leave through one.
    open: Vec<Chain>,
}

/// A bit of outline within a band: through which side (true = the far one) and where along it.
struct Chain {
    points: Vec<Point>,
    enters: (bool, f64),
    leaves: (bool, f64),
}

/// The bits joined along the sides to closed parts; `None` where in and out do not alternate.
fn joined(chains: Chains) -> Option<Vec<Vec<Ring>>> {
    let n = chains.open.len();
    let mut next = vec![usize::MAX; n];
    for side in [false, true] {
        let mut ends: Vec<(f64, usize, bool)> = Vec::new();
        for (k, c) in chains.open.iter().enumerate() {
            for (end, enters) in [(c.enters, true), (c.leaves, false)] {
                if end.0 == side {
                    ends.push((end.1, k, enters));
                }
            }
        }
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in ends.chunks(2) {
            let [a, b] = pair else { return None };
            if a.2 == b.2 {
                return None;
            }
            let (leaves, enters) = if a.2 { (b.1, a.1) } else { (a.1, b.1) };
            next[leaves] = enters;
        }
    }
    let mut used = vec![false; n];
    let mut out: Vec<Vec<Ring>> = Vec::new();
    for k in 0..n {
        if used[k] {
            continue;
        }
        let mut points: Vec<Point> = Vec::new();
        let mut at = k;
        while !used[at] {
            used[at] = true;
            points.extend(&chains.open[at].points);
            at = next[at];
            if at == usize::MAX {
                return None;
            }
        }
        points.dedup_by(|a, b| a.distance(*b) <= GRID_MM);
        if points.len() > 2 {
            let ring = Ring::from_points(points);
            let area = ring.area();
            if area < 0.0 {
                return None;
            }
            if area > 0.0 {
                out.push(vec![ring]);
            }
        }
    }
    let (outer, holes): (Vec<Ring>, Vec<Ring>) = chains.whole.into_iter().partition(|r| r.area() > 0.0);
    out.extend(outer.into_iter().map(|r| vec![r]));
    for hole in holes {
        let p = hole.vertices[0].p;
        out.iter_mut().find(|part| contains(&part[..1], p))?.push(hole);
    }
    Some(out)
}

/// Outlines part by part: each outer ring with its holes.
pub(super) fn parts(rings: Vec<Ring>) -> Vec<Vec<Ring>> {
    let mut parts: Vec<Vec<Ring>> = Vec::new();
    for ring in rings {
        if ring.area() > 0.0 {
            parts.push(vec![ring]);
        } else if let Some(part) = parts.last_mut() {
            part.push(ring);
        }
    }
    parts
}

/// Area of the shape of a thread drawn tight round some outlines, mm2.
pub(super) fn hull_area(rings: &[Ring]) -> f64 {
    Ring::from_points(hull(rings.iter().flat_map(|r| r.vertices.iter().map(|v| v.p)).collect())).area()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Vec<Ring> {
        let square = |lo: f64, hi: f64| {
            Ring::from_points([(lo, lo), (hi, lo), (hi, hi), (lo, hi)].map(|(x, y)| Point::new(x, y)))
        };
        vec![square(0.0, 100.0), square(20.0, 80.0).reversed()]
    }

    #[test]
    fn a_band_across_a_frame_cuts_two_parts_and_measures_them() {
        // Along the left side of a stroke the band lies in it; across the middle it meets both sides.
        let side = Band { from: Point::new(0.0, 0.0), way: Vec2::new(0.0, 1.0), width: 20.0 };
        let cut = side.cut(&frame());
        assert_eq!(cut.len(), 1);
        let hair = 100.0 * HAIR;
        let all = [-1e6, 1e6];
        assert!((side.area_of(&frame(), all) - 2000.0).abs() <= 2.0 * hair);
        let across = Band { from: Point::new(0.0, 60.0), way: Vec2::new(1.0, 0.0), width: 10.0 };
        assert_eq!(across.cut(&frame()).len(), 2);
        assert!((across.area_of(&frame(), all) - 400.0).abs() <= 2.0 * hair);
        // One of the two alone, and the half of it.
        assert!((across.area_of(&frame(), [-1.0, 50.0]) - 200.0).abs() <= hair);
        assert!((across.area_of(&frame(), [10.0, 50.0]) - 100.0).abs() <= hair);
        assert!((hull_area(&frame()) - 10_000.0).abs() < 1e-9);
        // The far side of the stroke runs with the line.
        let behind = Band::facing(&frame()).behind(side.from, side.way, 50.0);
        assert!(behind.iter().any(|v| (v - 20.0).abs() < 1e-9), "{behind:?}");
    }

    /// The quick cut against the general one, on bands at all angles over a frame and a comb.
    #[test]
    fn the_quick_cut_is_the_general_one() {
        let comb = Ring::from_points(
            [
                (0.0, 0.0),
                (90.0, 0.0),
                (90.0, 60.0),
                (70.0, 60.0),
                (70.0, 20.0),
                (55.0, 20.0),
                (55.0, 50.0),
                (35.0, 50.0),
                (35.0, 20.0),
                (20.0, 20.0),
                (20.0, 60.0),
                (0.0, 60.0),
            ]
            .map(|(x, y)| Point::new(x, y)),
        );
        let mut seen = 0;
        for shape in [frame(), vec![comb]] {
            for k in 0..40 {
                let way = Vec2::from_angle(f64::from(k) * 0.157);
                let band = Band { from: Point::new(31.0, 27.0), way, width: 5.0 + f64::from(k) };
                let ([from, to], _) = band.reach(&shape);
                let sizes = |cuts: Vec<Cut>| {
                    let mut sizes: Vec<f64> =
                        cuts.iter().map(|c| c.rings.iter().map(Ring::area).sum()).collect();
                    sizes.sort_by(f64::total_cmp);
                    sizes
                };
                let quick = sizes(band.cut(&shape));
                let general = sizes(band.cut_between(&shape, from - 1.0, to + 1.0));
                assert_eq!(quick.len(), general.len(), "{k}");
                for (a, b) in quick.iter().zip(&general) {
                    assert!((a - b).abs() < 0.5, "{k}: {quick:?} {general:?}");
                }
                let all = band.area_of(&shape, [from - 1.0, to + 1.0]);
                assert!((all - quick.iter().sum::<f64>()).abs() < 1e-6, "{k}");
                seen += usize::from(quick.len() > 1);
            }
        }
        assert!(seen > 10, "{seen}");
    }
}
