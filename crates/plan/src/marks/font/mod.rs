//! Lettering from a font file: its characters with capitals 1 high, as clean outlines.
//!
//! The height is that of the H as drawn, for a rule speaks of the painted letter; what the file says of its
//! capitals counts only if it has no H. A character's width is the width of its paint, its left edge at x = 0;
//! the white the font leaves beside it is told by `bearings`. Pairs are not kerned: gaps are the rule's affair.

mod contours;
mod effort;
mod face;
mod read;

#[cfg(test)]
mod tests;

use super::letters::Glyph;
use contours::{Contours, Refused};
use face::Face;
use geom::{Affine, Ring};
use std::fmt;

pub use read::read;

/// A font file that can be lettered from.
#[derive(Clone, Debug, PartialEq)]
pub struct Font {
    bytes: Vec<u8>,
    /// Height of the capitals, in the file's units.
    cap: f64,
}

/// Why a character cannot be lettered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GlyphTrouble {
    /// The font has no such character.
    Missing(char),
    /// It has one, without an outline (a space, or a picture of dots).
    Empty(char),
    /// Its drawing breaks off.
    Broken(char),
    /// Its drawing has more parts, corners or crossings than a letter has.
    Intricate(char),
    /// Its drawing leaves the sheet.
    Far(char),
}

impl fmt::Display for GlyphTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GlyphTrouble::Missing(ch) => write!(f, "the font has no `{ch}`"),
            GlyphTrouble::Empty(ch) => write!(f, "`{ch}` has no outline in the font"),
            GlyphTrouble::Broken(ch) => write!(f, "the drawing of `{ch}` breaks off in the font"),
            GlyphTrouble::Intricate(ch) => write!(f, "`{ch}` has more corners or parts than can be painted"),
            GlyphTrouble::Far(ch) => write!(f, "the drawing of `{ch}` reaches far off its place"),
        }
    }
}

impl std::error::Error for GlyphTrouble {}

/// White a font leaves beside a character, in cap heights; negative where paint reaches over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearings {
    /// Before it.
    pub left: f64,
    /// After it.
    pub right: f64,
}

impl Font {
    /// A character with capitals 1 high: baseline y = 0, left edge of the paint x = 0, `width` the width of
    /// the paint. Round letters may reach a little over 0 and 1. Curves are chords within `GLYPH_FLATTEN`.
    ///
    /// # Errors
    /// A character the font does not have, or whose drawing cannot be used.
    pub fn glyph(&self, ch: char) -> Result<Glyph, GlyphTrouble> {
        let (rings, left, right, _) = self.painted(ch)?;
        let rings = rings.iter().map(|r| r.mapped(Affine::translate((-left, 0.0)))).collect();
        Ok(Glyph { char: ch, width: right - left, rings })
    }

    /// The white the font leaves beside a character.
    ///
    /// # Errors
    /// As [`Font::glyph`].
    pub fn bearings(&self, ch: char) -> Result<Bearings, GlyphTrouble> {
        let (_, left, right, advance) = self.painted(ch)?;
        Ok(Bearings { left, right: advance - right })
    }

    /// Height of the capitals, in ems.
    pub fn cap_height_em(&self) -> f64 {
        self.cap / self.face().units_per_em()
    }

    /// Rings where the font puts them, the least and greatest x of the paint, and the advance.
    fn painted(&self, ch: char) -> Result<(Vec<Ring>, f64, f64, f64), GlyphTrouble> {
        let face = self.face();
        let number = face.number_of(ch).ok_or(GlyphTrouble::Missing(ch))?;
        let rings = outline(&face, ch, number, self.cap)?;
        let boxes = rings.iter().filter_map(Ring::bounds);
        let (left, right) =
            boxes.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), (a, b)| (lo.min(a.x), hi.max(b.x)));
        let advance = face.advance(number).map_or(right, |a| a / self.cap);
        Ok((rings, left, right, advance))
    }

    fn face(&self) -> Face<'_> {
        Face::open(&self.bytes).expect("the bytes were opened when the font was read")
    }
}

/// The rings of one drawing, `unit` of the file's units being 1; never none.
fn outline(face: &Face<'_>, ch: char, number: u16, unit: f64) -> Result<Vec<Ring>, GlyphTrouble> {
    let harmless = match (face.table(*b"head"), face.table(*b"loca"), face.table(*b"glyf")) {
        (Some(head), Some(loca), Some(glyf)) => effort::parts_within(head, loca, glyf, number),
        _ => true,
    } && face.table(*b"CFF ").is_none_or(|cff| effort::subroutines_within(cff, number));
    if !harmless {
        return Err(GlyphTrouble::Intricate(ch));
    }
    let mut contours = Contours::new(unit, face.units_per_em());
    let whole = face.draw(number, &mut contours);
    let drawn = contours.drawn();
    let rings = contours.rings().map_err(|why| match why {
        Refused::Intricate => GlyphTrouble::Intricate(ch),
        Refused::Far => GlyphTrouble::Far(ch),
    })?;
    match (whole, rings.is_empty()) {
        (false, _) if drawn => Err(GlyphTrouble::Broken(ch)),
        (_, true) => Err(GlyphTrouble::Empty(ch)),
        _ => Ok(rings),
    }
}
