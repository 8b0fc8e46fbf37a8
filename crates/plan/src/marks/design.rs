//! A mark set in type: its characters side by side at height 1, gaps between, nothing placed yet.

use super::letters::Glyph;

/// A mark at unit height: baseline y = 0, caps y = 1, first character's left edge x = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The mark's id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// What it says, as typed.
    pub text: String,
    /// Its characters from left to right; a space has none.
    pub glyphs: Vec<SetGlyph>,
    /// Overall length.
    pub length: f64,
    /// Thickness asked of every stroke; with a font, what its strokes measure in the middle.
    pub stroke: f64,
    /// Gap between neighbouring characters of one group.
    pub gap: f64,
    /// Gap between groups, where there is a space.
    pub group_gap: f64,
    /// Height it will be painted at, mm.
    pub height_mm: f64,
}

/// A character and where its left edge stands.
#[derive(Clone, Debug, PartialEq)]
pub struct SetGlyph {
    /// The character.
    pub glyph: Glyph,
    /// Its left edge.
    pub x: f64,
    /// True if a space stands before it.
    pub after_space: bool,
}

/// Sets characters side by side: `gap` between neighbours, `group_gap` where the text has a space. `glyph_of`
/// must know every character but the space; one it does not know is left out. Returns the characters and the
/// overall length.
pub fn set(
    text: &str,
    gap: f64,
    group_gap: f64,
    glyph_of: impl Fn(char) -> Option<Glyph>,
) -> (Vec<SetGlyph>, f64) {
    let mut glyphs: Vec<SetGlyph> = Vec::new();
    let mut pen = 0.0;
    let mut after_space = false;
    for c in text.trim().chars() {
        if c == ' ' {
            after_space = true;
            continue;
        }
        let Some(glyph) = glyph_of(c) else { continue };
        if !glyphs.is_empty() {
            pen += if after_space { group_gap } else { gap };
        }
        let width = glyph.width;
        glyphs.push(SetGlyph { glyph, x: pen, after_space });
        pen += width;
        after_space = false;
    }
    (glyphs, pen)
}
