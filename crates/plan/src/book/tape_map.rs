//! The tape maps of a plan: one sheet a mark, one a character, each piece of tape with its number, its ends and
//! its place in the order. They show the mask; they decide nothing.

use super::tape_map_letter::letter_sheets;
use super::tape_map_mark::mark_sheet;
use crate::Plan;
use crate::fit::placed::Placed;
use crate::mask::Mask;
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
/// character, `tape-reg-1-N-2` where its table goes on. Marks that are not taped have none.
pub fn tape_maps(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps: Vec<(String, Sheet)> = Vec::new();
    for mask in plan.masking.masks.iter().filter(|m| m.tape) {
        let Some(mark) = plan.marks.iter().find(|m| m.id == mask.of) else { continue };
        let card = Card { job_title: &plan.job.title, mark, mask, paint: &mask.paint };
        let stem = format!("tape-{}", mark.id);
        add(&mut maps, stem.clone(), mark_sheet(plan, &card));
        for (k, glyph) in mark.glyphs.iter().enumerate() {
            let name = format!("{stem}-{}-{}", k + 1, safe(glyph.char));
            for (n, sheet) in letter_sheets(&card, k).into_iter().enumerate() {
                let name = if n == 0 { name.clone() } else { format!("{name}-{}", n + 1) };
                add(&mut maps, name, sheet);
            }
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
