//! A mark set in type: its characters in their lines at height 1, upright, nothing placed yet.
//!
//! What a rule judges (width, stroke, gap) is kept as it is before the slant; `lay` in the fit leans the outlines.

use super::letters::{Alphabet, Glyph, Proportions, glyph};
use super::setting::{Setting, set};
use super::thickness::{Thickness, thickness};
use crate::finding::Finding;
use geom::Point;
use std::collections::BTreeMap;

/// A mark at unit height: first baseline y = 0, caps y = 1, left edge of its widest line x = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The mark's id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// What it says, as typed.
    pub text: String,
    /// Its characters in reading order; a space has none.
    pub glyphs: Vec<SetGlyph>,
    /// Length of its longest line, upright.
    pub length: f64,
    /// From the caps of its first line to the baseline of its last: 1 for a mark of one line.
    pub depth: f64,
    /// Slant of its characters, radians, leaning right positive. Each line leans about its own half height.
    pub slant: f64,
    /// Thickness asked of every stroke; with a font, what its strokes measure in the middle.
    pub stroke: f64,
    /// What the strokes of each character measure upright; one without strokes is left out.
    pub thickness: BTreeMap<char, Thickness>,
    /// Gap between neighbouring characters of one group, before anything is added for a pair.
    pub gap: f64,
    /// Gap between groups, where there is a space.
    pub group_gap: f64,
    /// Its further colours, in the order they are painted: each lies under what comes before it.
    pub further: Vec<Further>,
    /// Height it will be painted at, mm.
    pub height_mm: f64,
    /// What there is to say about how it was set.
    pub said: Vec<Finding>,
}

/// An upright character and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct SetGlyph {
    /// The character.
    pub glyph: Glyph,
    /// Its left edge.
    pub x: f64,
    /// Its baseline: 0 in the first line, less below.
    pub y: f64,
    /// Its line, 0 for the first.
    pub line: usize,
    /// True if a space stands before it.
    pub after_space: bool,
}

/// A further colour of a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Further {
    /// Id of its paint.
    pub paint: String,
    /// What it is.
    pub shape: FurtherShape,
}

/// Shape of a further colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FurtherShape {
    /// A line of even width, mm, round every character.
    Outline(f64),
    /// The characters swept so far to the right and up, mm, in the mark's own axes.
    Shadow([f64; 2]),
}

/// What the strokes of each different character measure.
pub fn measured(glyphs: &[SetGlyph]) -> BTreeMap<char, Thickness> {
    let mut found = BTreeMap::new();
    for set in glyphs {
        if !found.contains_key(&set.glyph.char) {
            found.extend(thickness(&set.glyph.rings).map(|t| (set.glyph.char, t)));
        }
    }
    found
}

impl Design {
    /// A mark named `mark` on a surface named `panel`, in block letters a quarter of a width apart and a width
    /// between groups, with nothing else to it.
    pub fn plain(text: &str, alphabet: Alphabet, p: &Proportions, height_mm: f64) -> Design {
        let (gap, group_gap) = (p.width / 4.0, p.width);
        let set = set(text, &Setting::plain(gap, group_gap), |c| glyph(alphabet, c, p));
        Design {
            id: "mark".to_owned(),
            surface: "panel".to_owned(),
            text: text.to_owned(),
            thickness: measured(&set.glyphs),
            glyphs: set.glyphs,
            length: set.length,
            depth: set.depth,
            slant: 0.0,
            stroke: p.stroke,
            gap,
            group_gap,
            further: Vec::new(),
            height_mm,
            said: Vec::new(),
        }
    }

    /// Overall length of its characters' boxes, leaning ones with their overhang.
    pub fn overall_length(&self) -> f64 {
        self.length + self.slant.tan().abs()
    }

    /// Centre of the box round its characters.
    pub fn centre(&self) -> Point {
        Point::new(self.length / 2.0, 1.0 - self.depth / 2.0)
    }

    /// Gap between two neighbours; `None` if they stand in different lines.
    pub fn gap_between(left: &SetGlyph, right: &SetGlyph) -> Option<f64> {
        (left.line == right.line).then_some(right.x - left.x - left.glyph.width)
    }

    /// Length of each line, upright.
    pub fn line_lengths(&self) -> Vec<f64> {
        let mut lengths = Vec::new();
        for line in self.glyphs.chunk_by(|a, b| a.line == b.line) {
            if let (Some(first), Some(last)) = (line.first(), line.last()) {
                lengths.push(last.x + last.glyph.width - first.x);
            }
        }
        lengths
    }
}
