//! The face printed sheets are lettered in, carried inside the program: which drawing stands for which
//! character, how wide it is, and a font file that holds no more than the drawings used.
//!
//! Regular and bold of one face, cut down beforehand to Latin, Greek and Cyrillic (data/fonts says how). Words
//! are spelled first: a sign the face lacks stands by its number. What cannot be seen is shown as a replacement
//! mark: nothing is silently left out, and no invisible character can turn a line round.

use crate::signs;
use crate::words::Weight;
use std::borrow::Cow;
use std::collections::BTreeMap;
use ttf_parser::{Face as Parsed, GlyphId, Tag};

/// Shown for what cannot be shown.
pub const REPLACEMENT: char = '\u{fffd}';

const REGULAR: &[u8] = include_bytes!("../../../data/fonts/DejaVuSans.ttf");
const BOLD: &[u8] = include_bytes!("../../../data/fonts/DejaVuSans-Bold.ttf");

/// One weight of the face.
pub struct Face {
    parsed: Parsed<'static>,
    weight: Weight,
}

/// What a reader of a page must know about a face, in thousandths of an em.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metrics {
    /// Box round every drawing: left, bottom, right, top.
    pub bounds: [f64; 4],
    /// Height of the line above its baseline.
    pub ascent: f64,
    /// Depth of the line below it, negative.
    pub descent: f64,
    /// Height of capitals.
    pub cap_height: f64,
}

impl Face {
    /// The face in one weight.
    ///
    /// # Panics
    /// If the font file inside the program is damaged: our own mistake.
    pub fn new(weight: Weight) -> Face {
        let bytes = if weight == Weight::Bold { BOLD } else { REGULAR };
        Face { parsed: Parsed::parse(bytes, 0).expect("the font inside the program is whole"), weight }
    }

    /// Its name in a file.
    pub fn name(&self) -> &'static str {
        if self.weight == Weight::Bold { "DejaVuSans-Bold" } else { "DejaVuSans" }
    }

    /// What is shown for a text, character by character, with the number of each one's drawing.
    ///
    /// White space becomes a plain space; control characters, invisible ones that join or reorder, and
    /// characters the face lacks become [`REPLACEMENT`]. Always from left to right, in the order given.
    pub fn set(&self, text: &str) -> Vec<(u16, char)> {
        text.chars()
            .map(|c| {
                let c = shown(c);
                match self.parsed.glyph_index(c) {
                    Some(id) => (id.0, c),
                    None => (self.parsed.glyph_index(REPLACEMENT).map_or(0, |id| id.0), REPLACEMENT),
                }
            })
            .collect()
    }

    /// True if the face has a drawing for a character.
    pub fn has_sign(&self, c: char) -> bool {
        self.parsed.glyph_index(c).is_some()
    }

    /// Words as the face can show them: a sign it lacks by its number, `[U+53F3]`. Invisible characters are left
    /// to [`Face::set`].
    pub fn spelled<'t>(&self, words: &'t str) -> Cow<'t, str> {
        signs::spelled(words, |c| signs::invisible(c) || self.has_sign(c))
    }

    /// Width of a drawing, thousandths of an em.
    pub fn advance(&self, number: u16) -> f64 {
        let units = self.parsed.glyph_hor_advance(GlyphId(number)).map_or(0.0, f64::from);
        self.thousandths(units)
    }

    /// Width of a text, ems.
    pub fn width(&self, text: &str) -> f64 {
        self.set(&self.spelled(text)).iter().map(|(number, _)| self.advance(*number)).sum::<f64>() / 1000.0
    }

    /// Its measures.
    pub fn metrics(&self) -> Metrics {
        let b = self.parsed.global_bounding_box();
        let k = |v: i16| self.thousandths(f64::from(v));
        Metrics {
            bounds: [k(b.x_min), k(b.y_min), k(b.x_max), k(b.y_max)],
            ascent: k(self.parsed.ascender()),
            descent: k(self.parsed.descender()),
            cap_height: self.parsed.capital_height().map_or(crate::advance::CAP_HEIGHT * 1000.0, k),
        }
    }

    /// A font file with the drawings in `used` (number -> character) and those they are made of; all others
    /// are empty, so that no number changes.
    pub fn subset(&self, used: &BTreeMap<u16, char>) -> Vec<u8> {
        let table = |tag: &[u8; 4]| self.parsed.raw_face().table(Tag::from_bytes(tag)).unwrap_or_default();
        let (head, glyf, loca) = (table(b"head"), table(b"glyf"), table(b"loca"));
        let long = be16(head, 50) == 1;
        let at = |number: u16| {
            let i = usize::from(number);
            if long { be32(loca, 4 * i) as usize } else { 2 * usize::from(be16(loca, 2 * i)) }
        };
        let drawing = |number: u16| glyf.get(at(number)..at(number + 1)).unwrap_or_default();
        let mut kept: BTreeMap<u16, &[u8]> = BTreeMap::new();
        let mut wanted: Vec<u16> = used.keys().copied().chain([0]).collect();
        while let Some(number) = wanted.pop() {
            if kept.insert(number, drawing(number)).is_none() {
                wanted.extend(parts(drawing(number)));
            }
        }
        let last = kept.last_key_value().map_or(0, |(number, _)| *number);

        let (mut new_glyf, mut new_loca, mut new_hmtx) = (Vec::new(), Vec::new(), Vec::new());
        for number in 0..=last {
            new_loca.extend((new_glyf.len() as u32).to_be_bytes());
            new_glyf.extend_from_slice(kept.get(&number).copied().unwrap_or_default());
            new_glyf.resize(new_glyf.len().next_multiple_of(4), 0);
            let advance = self.parsed.glyph_hor_advance(GlyphId(number)).unwrap_or(0);
            let bearing = self.parsed.glyph_hor_side_bearing(GlyphId(number)).unwrap_or(0);
            new_hmtx.extend(advance.to_be_bytes());
            new_hmtx.extend(bearing.to_be_bytes());
        }
        new_loca.extend((new_glyf.len() as u32).to_be_bytes());
        let count = (last + 1).to_be_bytes();
        let mut new_head = head.to_vec();
        patch(&mut new_head, 8, &[0; 4]);
        patch(&mut new_head, 50, &1_u16.to_be_bytes());
        let mut new_hhea = table(b"hhea").to_vec();
        patch(&mut new_hhea, 34, &count);
        let mut new_maxp = table(b"maxp").to_vec();
        patch(&mut new_maxp, 4, &count);
        font_file(&[
            (b"glyf", new_glyf),
            (b"head", new_head),
            (b"hhea", new_hhea),
            (b"hmtx", new_hmtx),
            (b"loca", new_loca),
            (b"maxp", new_maxp),
        ])
    }

    fn thousandths(&self, units: f64) -> f64 {
        units * 1000.0 / f64::from(self.parsed.units_per_em())
    }
}

/// What is shown for a character.
fn shown(c: char) -> char {
    match c {
        '\t' | '\n' | '\r' => ' ',
        c if c.is_control() => REPLACEMENT,
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' => REPLACEMENT,
        '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffc}' => REPLACEMENT,
        c => c,
    }
}

/// Numbers of the drawings a composite drawing is made of (OpenType specification, `glyf`, composite glyph
/// description; from memory).
fn parts(drawing: &[u8]) -> Vec<u16> {
    const WORDS: u16 = 1;
    const SCALE: u16 = 8;
    const MORE: u16 = 32;
    const TWO_SCALES: u16 = 64;
    const MATRIX: u16 = 128;
    let mut found = Vec::new();
    if drawing.len() < 10 || be16(drawing, 0) < 0x8000 {
        return found;
    }
    let mut at = 10;
    while at + 4 <= drawing.len() {
        let flags = be16(drawing, at);
        found.push(be16(drawing, at + 2));
        at += 4 + if flags & WORDS != 0 { 4 } else { 2 };
        at += match flags & (SCALE | TWO_SCALES | MATRIX) {
            SCALE => 2,
            TWO_SCALES => 4,
            MATRIX => 8,
            _ => 0,
        };
        if flags & MORE == 0 {
            break;
        }
    }
    found
}

/// Tables put together as a font file (OpenType specification, table directory; from memory).
fn font_file(tables: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let count = tables.len() as u16;
    let power = count.ilog2() as u16;
    let mut out = vec![0, 1, 0, 0];
    for word in [count, 16 << power, power, 16 * (count - (1 << power))] {
        out.extend(word.to_be_bytes());
    }
    let mut offset = 12 + 16 * tables.len();
    for (tag, bytes) in tables {
        out.extend_from_slice(*tag);
        out.extend(checksum(bytes).to_be_bytes());
        out.extend((offset as u32).to_be_bytes());
        out.extend((bytes.len() as u32).to_be_bytes());
        offset += bytes.len().next_multiple_of(4);
    }
    for (_, bytes) in tables {
        out.extend_from_slice(bytes);
        out.resize(out.len().next_multiple_of(4), 0);
    }
    // The whole file's sum goes into `head`, counted while that place is nought.
    let whole = 0xb1b0_afba_u32.wrapping_sub(checksum(&out));
    let head = tables.iter().position(|(tag, _)| *tag == b"head").map(|k| be32(&out, 12 + 16 * k + 8));
    if let Some(head) = head {
        patch(&mut out, head as usize + 8, &whole.to_be_bytes());
    }
    out
}

fn checksum(bytes: &[u8]) -> u32 {
    let word = |chunk: &[u8]| (0..4).fold(0_u32, |w, k| w << 8 | u32::from(*chunk.get(k).unwrap_or(&0)));
    bytes.chunks(4).fold(0_u32, |sum, chunk| sum.wrapping_add(word(chunk)))
}

fn patch(bytes: &mut [u8], at: usize, new: &[u8]) {
    if let Some(place) = bytes.get_mut(at..at + new.len()) {
        place.copy_from_slice(new);
    }
}

fn be16(bytes: &[u8], at: usize) -> u16 {
    bytes.get(at..at + 2).map_or(0, |b| u16::from_be_bytes([b[0], b[1]]))
}

fn be32(bytes: &[u8], at: usize) -> u32 {
    bytes.get(at..at + 4).map_or(0, |b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_seen_is_shown_as_a_mark_and_never_left_out() {
        let face = Face::new(Weight::Regular);
        let said = |text: &str| face.set(text).into_iter().map(|(_, c)| c).collect::<String>();
        assert_eq!(said("Ring 3\u{202e}\u{0}x"), "Ring 3\u{fffd}\u{fffd}x");
        assert_eq!(said("a\tb\nc"), "a b c");
        assert_eq!(said("\u{4e00}\u{5d0}"), "\u{fffd}\u{fffd}");
        assert_eq!(said("Č Ж Ω ½ “”"), "Č Ж Ω ½ “”");
    }

    #[test]
    fn a_sign_the_face_lacks_is_spelled_by_its_number() {
        let face = Face::new(Weight::Bold);
        let said = |text: &str| face.set(&face.spelled(text)).into_iter().map(|(_, c)| c).collect::<String>();
        assert_eq!(said("\u{53f3} N1"), "[U+53F3] N1");
        assert_eq!(said("\u{5d0}\u{202e}Ж"), "[U+05D0]\u{fffd}Ж");
    }

    #[test]
    fn no_width_is_over_the_estimate_sheets_are_laid_out_by() {
        for weight in [Weight::Regular, Weight::Bold] {
            let face = Face::new(weight);
            for c in (' '..='~').chain("ÄÖÜßéřŽФЯΩ⁄½−…\u{2009}\u{2002}\u{fffd}".chars()) {
                let (real, planned) = (face.width(&c.to_string()), crate::advance::advance(c, weight));
                let share = if c.is_ascii() { 1.0 } else { 1.1 };
                assert!(real <= planned * share + 1e-9, "{c:?} {weight:?}: {real} over {planned}");
            }
        }
    }

    #[test]
    fn a_subset_holds_what_a_composed_letter_is_made_of() {
        let face = Face::new(Weight::Regular);
        let used: BTreeMap<u16, char> = face.set("ÅN7").into_iter().collect();
        let small = face.subset(&used);
        assert!(small.len() < 12_000, "{} bytes", small.len());
        let again = Parsed::parse(&small, 0).unwrap();
        for number in used.keys() {
            let id = GlyphId(*number);
            assert_eq!(again.glyph_bounding_box(id), face.parsed.glyph_bounding_box(id));
            assert_eq!(again.glyph_hor_advance(id), face.parsed.glyph_hor_advance(id));
        }
    }
}
