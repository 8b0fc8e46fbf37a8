//! The order of pulling, and from it the order of laying and who lies on whom.
//!
//! Pulled are: counters first, then round each outline from the side away from the painter, character by character
//! as they read, and what runs along the whole mark last. Laid is the other way about, so no piece is ever pulled
//! from under another, whatever overlaps.

use super::lines::Lay;
use super::outline::Run;
use super::overlap::overlaps;
use super::plan::{Kind, Piece};
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

/// Puts the pieces in the order of laying and fills in `lay` and `pull`. They come in the order of pulling, those taken out
/// before spraying (layout tape) first and those that stay longest (tack strip) last.
pub(super) fn put_in_order(pieces: &mut [Piece]) {
    for (i, p) in pieces.iter_mut().enumerate() {
        p.pull = i + 1;
    }
    // Layout tape goes on first of all, though it is also the first to come out: nothing lies on it.
    pieces.reverse();
    pieces.sort_by_key(|p| p.kind != Kind::Layout);
    for (i, p) in pieces.iter_mut().enumerate() {
        p.lay = i + 1;
    }
}

/// As [`put_in_order`], and fills in `over`.
pub(super) fn lay_and_pull(pieces: &mut [Piece]) {
    put_in_order(pieces);
    let overlaps = overlaps(pieces);
    for (piece, over) in pieces.iter_mut().zip(overlaps) {
        piece.over = over;
    }
}

/// Box round some rings.
pub(super) fn bounds(rings: &[Ring]) -> Option<(Point, Point)> {
    rings.iter().filter_map(Ring::bounds).reduce(|a, b| {
        (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
    })
}
