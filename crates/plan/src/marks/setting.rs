//! Setting type: characters side by side, gaps between, lines below each other.

use super::design::SetGlyph;
use super::letters::Glyph;
use super::optical::open_area;
use crate::job::LineAlign;

/// How the characters of a mark are spaced, all of height 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Gap between neighbours of one group.
    pub gap: f64,
    /// Gap where the text has a space.
    pub group_gap: f64,
    /// What is added between two characters that stand side by side in one group; may be negative.
    pub pairs: Vec<(char, char, f64)>,
    /// True if gaps are widened until the open areas between neighbours are equal.
    pub optical: bool,
    /// From the baseline of a line to the caps of the next.
    pub line_gap: f64,
    /// How lines of different length stand over each other.
    pub align: LineAlign,
}

/// A mark's characters in their places.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// In reading order.
    pub glyphs: Vec<SetGlyph>,
    /// Length of the longest line.
    pub length: f64,
    /// From the caps of the first line to the baseline of the last.
    pub depth: f64,
}

impl Setting {
    /// One gap between characters, another between groups, nothing else.
    pub fn plain(gap: f64, group_gap: f64) -> Setting {
        Setting { gap, group_gap, pairs: vec![], optical: false, line_gap: 0.5, align: LineAlign::Centre }
    }
}

/// Sets a text, a line break starting a new line. `glyph_of` must know every character but the space; one it does
/// not know is left out.
pub fn set(text: &str, setting: &Setting, glyph_of: impl Fn(char) -> Option<Glyph>) -> Set {
    let mut lines: Vec<(Vec<SetGlyph>, f64)> =
        text.split('\n').map(|line| set_line(line.trim(), setting, &glyph_of)).collect();
    if setting.optical {
        even_out(&mut lines, setting.gap);
    }
    let length = lines.iter().map(|l| l.1).fold(0.0, f64::max);
    let depth = 1.0 + (lines.len() - 1) as f64 * (1.0 + setting.line_gap);
    let mut glyphs = Vec::new();
    for (line, (mut row, own)) in lines.into_iter().enumerate() {
        let indent = match setting.align {
            LineAlign::Left => 0.0,
            LineAlign::Centre => (length - own) / 2.0,
            LineAlign::Right => length - own,
        };
        for glyph in &mut row {
            (glyph.x, glyph.y, glyph.line) =
                (glyph.x + indent, -(line as f64) * (1.0 + setting.line_gap), line);
        }
        glyphs.extend(row);
    }
    Set { glyphs, length, depth }
}

/// One line and its length.
fn set_line(
    text: &str,
    setting: &Setting,
    glyph_of: &impl Fn(char) -> Option<Glyph>,
) -> (Vec<SetGlyph>, f64) {
    let mut glyphs: Vec<SetGlyph> = Vec::new();
    let mut pen = 0.0;
    let mut after_space = false;
    for c in text.chars() {
        if c == ' ' {
            after_space = true;
            continue;
        }
        let Some(glyph) = glyph_of(c) else { continue };
        if let Some(before) = glyphs.last() {
            pen += if after_space {
                setting.group_gap
            } else {
                let own = |p: &&(char, char, f64)| (p.0, p.1) == (before.glyph.char, c);
                setting.gap + setting.pairs.iter().find(own).map_or(0.0, |p| p.2)
            };
        }
        let width = glyph.width;
        glyphs.push(SetGlyph { glyph, x: pen, y: 0.0, line: 0, after_space });
        pen += width;
        after_space = false;
    }
    (glyphs, pen)
}

/// Widens gaps until every two neighbours of a group have as much open area between them as the two that have most
/// at the plain gap, over all lines. Nothing is ever moved together.
fn even_out(lines: &mut [(Vec<SetGlyph>, f64)], gap: f64) {
    let areas: Vec<Vec<Option<f64>>> = lines
        .iter()
        .map(|(row, _)| {
            let pairs = row.windows(2);
            // White deeper in a character than one gap belongs to the character, not to the space beside it.
            pairs.map(|p| (!p[1].after_space).then(|| open_area(&p[0].glyph, &p[1].glyph, gap))).collect()
        })
        .collect();
    let most = areas.iter().flatten().flatten().fold(0.0, |most: f64, area| most.max(*area));
    for ((row, length), areas) in lines.iter_mut().zip(areas) {
        let mut moved = 0.0;
        for (glyph, area) in row.iter_mut().skip(1).zip(areas) {
            moved += area.map_or(0.0, |area| most - area);
            glyph.x += moved;
        }
        *length += moved;
    }
}

#[cfg(test)]
#[path = "setting_tests.rs"]
mod tests;
