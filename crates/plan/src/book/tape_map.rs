//! The tape maps of a plan: one sheet a mark, one a character, each piece of tape with its number, its ends and
//! its place in the order. They show the mask; they decide nothing.

use super::tape_map_letter::{Shows, letter_card, letter_sheets};
use super::tape_map_mark::{mark_card, mark_sheet};
use crate::Plan;
use crate::fit::placed::Placed;
use crate::mask::{Kind, Mask};
use sheet::Sheet;

/// What a map speaks of.
pub(super) struct Card<'a> {
    pub(super) job_title: &'a str,
    pub(super) mark: &'a Placed,
    pub(super) mask: &'a Mask,
    /// Id of the paint.
    pub(super) paint: &'a str,
}

/// All tape maps with their names, mark by mark: `tape-reg` for the whole mark, then `tape-reg-1-N` for its first
/// character, `tape-reg-1-N-2` where its table goes on, `tape-reg-1-N-layout` for what fills it. Marks that are not taped have none.
pub fn tape_maps(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps: Vec<(String, Sheet)> = Vec::new();
    for mask in plan.masking.masks.iter().filter(|m| m.tape) {
        let Some(mark) = plan.marks.iter().find(|m| m.id == mask.of) else { continue };
        let card = Card { job_title: &plan.job.title, mark, mask, paint: &mask.paint };
        let stem = format!("tape-{}", mark.id);
        add(&mut maps, stem.clone(), mark_sheet(plan, &card));
        for (k, glyph) in mark.glyphs.iter().enumerate() {
            let name = format!("{stem}-{}-{}", k + 1, safe(glyph.char));
            for (shows, name) in [(Shows::Layout, format!("{name}-layout")), (Shows::Mask, name)] {
                for (n, sheet) in letter_sheets(&card, k, shows).into_iter().enumerate() {
                    let name = if n == 0 { name.clone() } else { format!("{name}-{}", n + 1) };
                    add(&mut maps, name, sheet);
                }
            }
        }
    }
    maps
}

/// Size of a map on a card of the book, mm: the width of the narrower paper, and what the rows of its list leave.
const CARD_WIDTH: f64 = 175.0;
const CARD_ROOM: f64 = 203.0;
const CARD_ROW: f64 = 5.3;
const CARD_ROW_BEFORE: f64 = 4.4;
/// Heads of the two lists of a card, mm.
const CARD_HEADS: f64 = 22.0;
/// Head of a second list of what was laid days before, mm.
const CARD_SECOND: f64 = 12.0;
/// Below this height a map gets a page of its own, mm.
const LEAST_CARD: f64 = 105.0;
/// Columns of the list of what was laid days before.
const COLUMNS: usize = 3;

/// The maps of the book's tape cards, named `tape/MARK-CHARACTER` (-1 for the pieces along several).
pub fn tape_cards(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps = Vec::new();
    for mask in plan.masking.masks.iter().filter(|m| m.tape) {
        let Some(mark) = plan.marks.iter().find(|m| m.id == mask.of) else { continue };
        let card = Card { job_title: &plan.job.title, mark, mask, paint: &mask.paint };
        let glyphs = 0..i32::try_from(mark.glyphs.len()).unwrap_or(0);
        for glyph in glyphs.chain([-1]) {
            let own = |k: Kind| mask.pieces.iter().filter(|p| p.glyph == glyph && p.kind == k).count();
            let lists = [own(Kind::Layout), own(Kind::Tack)];
            let before = lists.iter().map(|n| n.div_ceil(COLUMNS)).sum::<usize>() as f64;
            let day: usize = [Kind::Edge, Kind::Bridge, Kind::Plug].map(own).iter().sum();
            let day = day as f64;
            let second = if lists.contains(&0) { 0.0 } else { CARD_SECOND };
            let left = CARD_ROOM - CARD_HEADS - second - CARD_ROW * day - CARD_ROW_BEFORE * before;
            let size = (CARD_WIDTH, if left < LEAST_CARD { CARD_ROOM } else { left });
            let map = match usize::try_from(glyph) {
                Ok(k) => letter_card(&card, k, size),
                Err(_) => mark_card(&card, size),
            };
            maps.extend(map.map(|sheet| (format!("tape/{}-{glyph}", mask.of), sheet)));
        }
    }
    maps
}

/// The files of the tape maps: path below the plan's folder, and contents.
pub fn tape_map_files(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    tape_maps(plan)
        .into_iter()
        .map(|(name, sheet)| (format!("layout/{name}.svg"), sheet::svg::write(&sheet).into_bytes()))
        .collect()
}

/// Adds a map; a mark may be called what another mark's letter is.
fn add(maps: &mut Vec<(String, Sheet)>, name: String, sheet: Sheet) {
    // File systems that do not tell N from n must keep both.
    let taken = |n: &str| maps.iter().any(|(other, _)| other.eq_ignore_ascii_case(n));
    let free = if taken(&name) {
        (2..).map(|n| format!("{name}-{n}")).find(|n| !taken(n)).unwrap_or(name)
    } else {
        name
    };
    maps.push((free, sheet));
}

/// A character as part of a file name: itself if every file system takes it, else its number.
fn safe(c: char) -> String {
    if c.is_ascii_alphanumeric() { c.to_string() } else { format!("u{:04x}", c as u32) }
}
