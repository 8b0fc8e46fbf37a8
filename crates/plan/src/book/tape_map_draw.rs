//! One drawing of tape: pieces and paint as they lie, then their numbers, ends and tabs where they find room.

use super::tape_map::Card;
use super::tape_map_pieces::{Lie, Shown, drawn, segments};
use super::tape_map_place::{Floor, clip};
use super::tape_map_tabs::{paint_hatch, signs};
use crate::mask::{Kind, Piece};
use geom::Ring;
use geom::boolean::intersection;
use sheet::{Item, Layer, Role, Room, pen};

/// What of a character's tape a map shows: what fills the letter, or the mask round it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shows {
    Layout,
    Mask,
}

impl Shows {
    /// True if a piece belongs on the map of that character.
    pub(super) fn piece(self, p: &Piece, glyph: usize) -> bool {
        let own = p.glyph == glyph as i32;
        match self {
            Shows::Layout => own && p.kind == Kind::Layout,
            Shows::Mask => (own || p.glyph < 0) && p.kind != Kind::Layout,
        }
    }
}

/// A view of the skin through a hole in the sheet.
#[derive(Clone, Copy)]
pub(super) struct Window {
    /// How the skin lies under it.
    pub(super) lie: Lie,
    /// The hole.
    pub(super) room: Room,
}

/// A drawing in the making.
#[derive(Default)]
pub(super) struct Map {
    pub(super) tape: Vec<Item>,
    pub(super) paint: Vec<Item>,
    pub(super) tabs: Vec<Item>,
    pub(super) ends: Vec<Item>,
    pub(super) numbers: Vec<Item>,
    /// Tags that found no room.
    pub(super) left_out: Vec<String>,
    /// True if of short pieces in a row only some are numbered.
    pub(super) in_rows: bool,
}

impl Map {
    /// Draws the pieces of these indices and the paint of a character; words placed on `floor` later keep off them.
    pub(super) fn lay<'a>(
        &mut self,
        card: &Card<'a>,
        (glyph, shows): (usize, Shows),
        window: Window,
        seen: &[usize],
        floor: &mut Floor,
    ) -> Vec<Shown<'a>> {
        let pieces = shown_again(card, &window.lie, seen);
        for s in &pieces {
            let weight = if s.piece.kind == Kind::Tack { 0.5 } else { 1.0 };
            floor.lines.extend(s.shape.iter().flat_map(segments).map(|l| (l, weight)));
        }
        let (paint, edges) = paint(card, (glyph, shows), window);
        floor.lines.extend(edges.iter().flat_map(segments).map(|l| (l, 2.5)));
        self.tape.extend(drawn(&pieces, window.room));
        self.paint.extend(paint);
        pieces
    }

    /// Numbers, tabs and ends of pieces that are drawn.
    pub(super) fn tell(&mut self, told: &[Shown<'_>], window: Window, floor: &mut Floor) {
        let signs = signs(told, &window.lie, window.room, floor);
        self.tabs.extend(signs.tabs);
        self.ends.extend(signs.ends);
        self.numbers.extend(signs.numbers);
        for id in signs.left_out {
            if !self.left_out.contains(&id) {
                self.left_out.push(id);
            }
        }
        self.in_rows |= signs.in_rows;
    }

    /// What it does not show, in a line after what is shown elsewhere; empty if it shows all.
    pub(super) fn silent(&self, elsewhere: Vec<String>) -> String {
        let mut words = elsewhere;
        if self.in_rows {
            words
                .push("of short pieces in a row every fifth has its number, the others follow on".to_owned());
        }
        if !self.left_out.is_empty() {
            words.push(format!("no room for the numbers of {}: see the table", self.left_out.join(", ")));
        }
        words.join("; ")
    }

    /// Its layers, the lowest first.
    pub(super) fn layers(self) -> Vec<Layer> {
        let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
        vec![
            layer("tape", self.tape),
            layer("paint", self.paint),
            layer("tabs", self.tabs),
            layer("ends", self.ends),
            layer("numbers", self.numbers),
        ]
    }
}

fn shown_again<'a>(card: &Card<'a>, lie: &Lie, indices: &[usize]) -> Vec<Shown<'a>> {
    let of = |idx: &usize| {
        let piece = &card.mask.pieces[*idx];
        Shown { idx: *idx, piece, shape: piece.footprint.iter().map(|r| lie.ring(r)).collect() }
    };
    indices.iter().map(of).collect()
}

/// The letter's paint hatched with its edge in the wide pen, and its edges; of its neighbours the outlines.
fn paint(
    card: &Card<'_>,
    (glyph, shows): (usize, Shows),
    Window { lie, room }: Window,
) -> (Vec<Item>, Vec<Ring>) {
    let own: Vec<Ring> = card.mask.sprayed[glyph].iter().map(|r| lie.ring(r)).collect();
    // The window of a pocket, or of a stretch of a stripe, cuts the paint.
    let whole = own.iter().filter_map(Ring::bounds).all(|(lo, hi)| room.holds(lo) && room.holds(hi));
    let edges = |items: &mut Vec<Item>| {
        if whole {
            items.push(Item::rings(&own, pen(Role::CutLine)));
        } else {
            let parts = own.iter().flat_map(segments).filter_map(|side| clip(side, room));
            items.extend(parts.map(|(a, b)| Item::line([a, b], pen(Role::CutLine))));
        }
    };
    let mut items = Vec::new();
    if shows == Shows::Layout {
        edges(&mut items);
        return (items, own);
    }
    let filled = if whole { own.clone() } else { intersection(&own, &[room.ring()]) };
    items.push(Item::filled(&filled, paint_hatch()));
    // A neighbour is shown where a piece runs along it too; else its edge would be a line without a name.
    let shared = card.mask.pieces.iter().any(|p| p.glyph < 0 && p.kind != Kind::Tack);
    for (_, other) in card.mask.sprayed.iter().enumerate().filter(|(k, _)| shared && *k != glyph) {
        for ring in other {
            for side in segments(&lie.ring(ring)) {
                if let Some((a, b)) = clip(side, room) {
                    items.push(Item::line([a, b], pen(Role::Hatch)));
                }
            }
        }
    }
    edges(&mut items);
    (items, own)
}
