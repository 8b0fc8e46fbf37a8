//! The font file's own drawing of a character, handed on line by line and curve by curve.
//!
//! The only file that knows the crate behind it. It reads outlines as straight lines, quadratic and cubic
//! curves; a variable font is read as it stands, every axis at its default. Nothing is judged here.

use super::contours::Contours;
use geom::Point;
use ttf_parser::{Face as Parsed, GlyphId, OutlineBuilder, Tag};

/// A font file whose tables were found.
pub(super) struct Face<'a> {
    parsed: Parsed<'a>,
}

impl<'a> Face<'a> {
    /// The first face of a font file; `None` if its tables make no sense.
    pub(super) fn open(bytes: &'a [u8]) -> Option<Face<'a>> {
        Parsed::parse(bytes, 0).ok().map(|parsed| Face { parsed })
    }

    /// True if the file draws its characters as outlines this program reads.
    pub(super) fn has_outlines(&self) -> bool {
        self.parsed.tables().glyf.is_some() || self.parsed.tables().cff.is_some()
    }

    /// Units in the side of the square its characters are drawn in.
    pub(super) fn units_per_em(&self) -> f64 {
        f64::from(self.parsed.units_per_em())
    }

    /// Height of its capitals in units, where the file says it.
    pub(super) fn cap_height(&self) -> Option<f64> {
        self.parsed.capital_height().map(f64::from).filter(|h| *h > 0.0)
    }

    /// Number of the drawing that stands for a character; `None` if the font has none for it.
    pub(super) fn number_of(&self, ch: char) -> Option<u16> {
        self.parsed.glyph_index(ch).map(|id| id.0).filter(|number| *number != 0)
    }

    /// How far the next character stands from this one's start, in units.
    pub(super) fn advance(&self, number: u16) -> Option<f64> {
        self.parsed.glyph_hor_advance(GlyphId(number)).map(f64::from)
    }

    /// Draws a character into `contours`. One that cannot be read to its end leaves what was drawn before,
    /// and gives `false`.
    pub(super) fn draw(&self, number: u16, contours: &mut Contours) -> bool {
        self.parsed.outline_glyph(GlyphId(number), &mut Pen(contours)).is_some()
    }

    /// The bytes of one table.
    pub(super) fn table(&self, tag: [u8; 4]) -> Option<&'a [u8]> {
        self.parsed.raw_face().table(Tag::from_bytes(&tag))
    }
}

struct Pen<'a>(&'a mut Contours);

fn point(x: f32, y: f32) -> Point {
    Point::new(f64::from(x), f64::from(y))
}

impl OutlineBuilder for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.start(point(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line(point(x, y));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quadratic(point(x1, y1), point(x, y));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.cubic(point(x1, y1), point(x2, y2), point(x, y));
    }
    fn close(&mut self) {
        self.0.close();
    }
}
