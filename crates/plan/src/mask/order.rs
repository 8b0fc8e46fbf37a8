//! The order of pulling, and from it the order of laying and who lies on whom.
//!
//! Pulled are: counters first, then round each outline from the side away from the painter, character by character
//! as they read, and what runs along the whole mark last. Laid is the other way about, so no piece is ever pulled
//! from under another, whatever overlaps.

use super::lines::Lay;
use super::outline::Run;
use super::plan::{Kind, Piece};
use geom::beside::near_box;
use geom::boolean::intersection;
use geom::tolerance::{TAPE_DENT_SINE, TAPE_TOUCH_MM2};
use geom::{Point, Ring};

/// The runs of one ring.
#[derive(Debug)]
pub(super) struct RingRuns {
    pub(super) glyph: i32,
    pub(super) hole: bool,
    pub(super) runs: Vec<usize>,
}

/// What is taped in one go: a run, a shared line, a plug, a strip between letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lot {
    Run(usize),
    Line(usize),
    Plug(usize),
    Between(usize),
}

/// The order of pulling. `lot_of`: what a run belongs to.
pub(super) fn pull_order(rings: &[RingRuns], runs: &[Run], lay: &Lay, lot_of: &[Lot]) -> Vec<Lot> {
    let mut order: Vec<Lot> = Vec::new();
    let mut last: Vec<Lot> = Vec::new();
    let mut glyphs: Vec<i32> = rings.iter().map(|r| r.glyph).collect();
    glyphs.dedup();
    for glyph in glyphs {
        for hole in [true, false] {
            for ring in rings.iter().filter(|r| r.glyph == glyph && r.hole == hole) {
                let middle = |k: usize| lay.up(runs[k].at(runs[k].length / 2.0).0);
                let n = ring.runs.len();
                let top = (0..n)
                    .max_by(|a, b| middle(ring.runs[*a]).total_cmp(&middle(ring.runs[*b])).then(b.cmp(a)))
                    .unwrap_or(0);
                for i in 0..n {
                    let lot = lot_of[ring.runs[(top + i) % n]];
                    let list = if matches!(lot, Lot::Line(_)) { &mut last } else { &mut order };
                    if !list.contains(&lot) {
                        list.push(lot);
                    }
                }
            }
        }
    }
    order.extend(last);
    order
}

/// Fills in `lay`, `pull` and `over`. `pieces` come in the order of pulling, those taken out before spraying
/// (layout tape) first and those that stay longest (tack strip) last.
pub(super) fn lay_and_pull(pieces: &mut [Piece]) {
    for (i, p) in pieces.iter_mut().enumerate() {
        p.pull = i + 1;
    }
    // Layout tape goes on first of all, though it is also the first to come out: nothing lies on it.
    pieces.reverse();
    pieces.sort_by_key(|p| p.kind != Kind::Layout);
    for (i, p) in pieces.iter_mut().enumerate() {
        p.lay = i + 1;
    }
    let overlaps = overlaps(pieces);
    for (i, piece) in pieces.iter_mut().enumerate() {
        piece.over = overlaps[i].clone();
    }
}

/// For each piece, in the order of laying, the earlier ones it lies on.
fn overlaps(pieces: &[Piece]) -> Vec<Vec<usize>> {
    let boxes: Vec<Option<(Point, Point)>> = pieces.iter().map(|p| bounds(&p.footprint)).collect();
    let mut by_x: Vec<usize> = (0..pieces.len()).filter(|i| boxes[*i].is_some()).collect();
    let left = |i: &usize| boxes[*i].map_or(0.0, |b| b.0.x);
    by_x.sort_by(|a, b| left(a).total_cmp(&left(b)));
    let mut out = vec![Vec::new(); pieces.len()];
    for (n, i) in by_x.iter().enumerate() {
        let Some(a) = boxes[*i] else { continue };
        for j in &by_x[n + 1..] {
            let Some(b) = boxes[*j] else { continue };
            if b.0.x >= a.1.x {
                break;
            }
            if b.0.y >= a.1.y || a.0.y >= b.1.y {
                continue;
            }
            if touch((&pieces[*i].footprint, a), (&pieces[*j].footprint, b)) {
                out[*i.max(j)].push(*i.min(j));
            }
        }
    }
    for list in &mut out {
        list.sort_unstable();
    }
    out
}

/// A shape and the box round it.
type Boxed<'a> = (&'a [Ring], (Point, Point));

/// True if two shapes share more than a touch.
fn touch((a, x): Boxed<'_>, (b, y): Boxed<'_>) -> bool {
    if let ([a], [b]) = (a, b)
        && let (Some(p), Some(q)) = (convex(a), convex(b))
    {
        return shared_by_convex(&p, &q) > TAPE_TOUCH_MM2;
    }
    // What they share lies in the box they share: the rest of a long strip need not be cut.
    let lo = Point::new(x.0.x.max(y.0.x) - 1.0, x.0.y.max(y.0.y) - 1.0);
    let hi = Point::new(x.1.x.min(y.1.x) + 1.0, x.1.y.min(y.1.y) + 1.0);
    let near = |shape: &[Ring]| shape.iter().filter_map(|r| near_box(r, lo, hi)).collect::<Vec<_>>();
    // Beyond the box shortened outlines may meet where the shapes do not.
    let shared = intersection(&near(a), &near(b));
    let shared = intersection(&shared, &[frame(lo, hi)]);
    shared.iter().map(Ring::area).sum::<f64>() > TAPE_TOUCH_MM2
}

fn frame(lo: Point, hi: Point) -> Ring {
    Ring::from_points([lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)])
}

/// The corners of a straight-sided ring without dents.
fn convex(ring: &Ring) -> Option<Vec<Point>> {
    let p: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let n = p.len();
    let bends = |i: usize| {
        let (u, v) = (p[(i + 1) % n] - p[i], p[(i + 2) % n] - p[(i + 1) % n]);
        u.cross(v) >= -TAPE_DENT_SINE * u.hypot() * v.hypot()
    };
    (n <= 12 && (0..n).all(bends)).then_some(p)
}

/// Area two convex polygons (counter-clockwise) share: one is cut by each side of the other.
fn shared_by_convex(a: &[Point], b: &[Point]) -> f64 {
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

/// Box round some rings.
pub(super) fn bounds(rings: &[Ring]) -> Option<(Point, Point)> {
    rings.iter().filter_map(Ring::bounds).reduce(|a, b| {
        (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
    })
}
