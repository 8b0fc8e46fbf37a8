//! The layout tape of a whole mark, letter by letter, while the rest of the tape is planned.
//!
//! Letters are filled one without the other, so several hands share them out; which hand fills which letter, and how
//! many hands there are, does not show in the result.

use super::layout_tape::layout_strips;
use super::plan::Piece;
use super::whole::Outlines;
use crate::fit::placed::Placed;
use crate::job::types::Tape;
use crate::stripe::SIGN;
use geom::{Ring, Vec2};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Most other hands called to fill letters. chosen: past a few what cannot be shared out takes longer.
const MOST_HANDS: usize = 3;

/// The letters of a mark and the strips of those that are done.
pub(super) struct Filling<'a> {
    mark: &'a Placed,
    shelf: &'a [Tape],
    glyphs: Vec<(i32, &'a [Ring])>,
    /// The letters, those of most corners first: what takes longest is begun first, so that no hand waits long for the last.
    turns: Vec<usize>,
    next: AtomicUsize,
    done: Vec<OnceLock<Vec<Piece>>>,
}

impl<'a> Filling<'a> {
    pub(super) fn new(out: &'a Outlines, mark: &'a Placed, shelf: &'a [Tape]) -> Filling<'a> {
        let mut glyphs: Vec<i32> = out.rings.iter().map(|r| r.glyph).collect();
        glyphs.dedup();
        let glyphs: Vec<(i32, &[Ring])> =
            glyphs.into_iter().zip(&out.paint).map(|(g, (letter, _))| (g, letter.as_slice())).collect();
        let done = glyphs.iter().map(|_| OnceLock::new()).collect();
        let corners = |k: &usize| glyphs[*k].1.iter().map(|r| r.vertices.len()).sum::<usize>();
        let mut turns: Vec<usize> = (0..glyphs.len()).collect();
        turns.sort_by_key(|k| std::cmp::Reverse(corners(k)));
        Filling { mark, shelf, glyphs, turns, next: AtomicUsize::new(0), done }
    }

    /// How many other hands are worth calling.
    pub(super) fn hands(&self) -> usize {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        if self.shelf.is_empty() { 0 } else { self.glyphs.len().min(cores - 1).min(MOST_HANDS) }
    }

    /// Fills characters until none is left. Which hand fills which does not show in the result.
    pub(super) fn work(&self) {
        let along = Vec2::from_angle(self.mark.angle);
        loop {
            let turn = self.next.fetch_add(1, Ordering::Relaxed);
            let Some(k) = self.turns.get(turn) else { break };
            let ((_, letter), done) = (self.glyphs[*k], &self.done[*k]);
            done.get_or_init(|| layout_strips(letter, along, self.shelf));
        }
    }

    /// The strips, in the order of laying, with their names: `layout-2A-1` is the first of the second character, `layout-1`
    /// that of a stripe.
    pub(super) fn pieces(self) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for ((glyph, _), strips) in self.glyphs.into_iter().zip(self.done) {
            let char =
                usize::try_from(glyph).ok().and_then(|g| self.mark.glyphs.get(g)).map_or('?', |g| g.char);
            for (k, mut piece) in strips.into_inner().unwrap_or_default().into_iter().enumerate() {
                piece.glyph = glyph;
                piece.id = if char == SIGN {
                    format!("layout-{}", k + 1)
                } else {
                    format!("layout-{}{char}-{}", glyph + 1, k + 1)
                };
                pieces.push(piece);
            }
        }
        pieces
    }
}
