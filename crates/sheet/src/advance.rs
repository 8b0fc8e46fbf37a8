//! How much room letters take, before anyone knows which face the reader's machine will use.
//!
//! A sheet is laid out without a font file at hand, so widths are estimated from a small table by class of
//! character. It errs on the wide side: words may come out narrower than planned, never wider, as long as
//! the face is no wider than the broad screen sans faces. It does not know kerning or ligatures.

use crate::words::Weight;

/// Height of figures and capitals, in ems. Usual sans faces: 0.70 to 0.73; the taller, to centre by.
pub const CAP_HEIGHT: f64 = 0.73;
/// Highest ink above the baseline, in ems: ascenders, a bracket, a capital with an accent is a little more.
pub const ASCENT: f64 = 0.78;
/// Deepest ink below the baseline, in ems.
pub const DESCENT: f64 = 0.24;
/// Size of the figures of a set fraction, as a share of the size of the words round it. Chosen: as small as
/// a shop drawing bears, so that 3/8 is not read as 3 and 8.
pub const FRACTION_SIZE: f64 = 0.70;
/// Width of the fraction slash, in ems. The glyph is made to reach over both neighbours.
pub const FRACTION_SLASH: f64 = 0.17;
/// White either side of the fraction slash, in ems, or the tops of some figures run into it. Chosen by eye.
pub const FRACTION_AIR: f64 = 0.07;
/// A bold letter is at most this much wider than a regular one of its class: thin letters, and all others.
/// Measured over the printable ASCII of a broad sans face by tests/outside/sheet.py.
const BOLD: (f64, f64) = (1.25, 1.16);

/// Width of one character, in ems, at least as wide as the reader's face will set it.
///
/// Characters beyond the table (other scripts, signs) count as a full em, pictures as one and a half.
pub fn advance(c: char, weight: Weight) -> f64 {
    let regular = match c {
        'i' | 'j' | 'l' | '\'' => 0.28,
        'I' | 'J' => 0.30,
        ' ' | '\u{a0}' | '.' | ',' | '|' | ':' | ';' => 0.34,
        '\u{2009}' => 0.21,
        '\u{2002}' => 0.50,
        '-' | 'f' | '/' | '\\' | '\u{b7}' => 0.37,
        '(' | ')' | '[' | ']' | '!' | 't' | 'r' => 0.42,
        '"' => 0.46,
        '*' | '_' | '`' | '\u{b0}' | '?' | 's' | 'z' => 0.54,
        'F' | 'L' | 'c' | 'k' | 'v' | 'x' | 'y' => 0.60,
        'a'..='z' if !matches!(c, 'm' | 'w') => 0.64,
        '0'..='9' | '$' | '{' | '}' | '\u{2013}' => 0.64,
        'E' | 'P' | 'S' | 'T' | 'Y' => 0.64,
        'A' | 'B' | 'C' | 'K' | 'R' | 'V' | 'X' | 'Z' => 0.70,
        '&' | 'D' | 'H' | 'N' | 'U' | 'G' | 'O' | 'Q' => 0.79,
        'w' | '#' | '+' | '<' | '=' | '>' | '^' | '~' | '\u{2212}' | '\u{d7}' => 0.84,
        'M' => 0.87,
        '%' => 0.96,
        'm' => 0.98,
        'W' | '\u{2026}' | '\u{2014}' => 1.00,
        '@' => 1.01,
        '\u{c0}'..='\u{c5}' | '\u{c7}'..='\u{d6}' | '\u{d8}'..='\u{dd}' => 0.79,
        '\u{df}'..='\u{e5}' | '\u{e7}'..='\u{f6}' | '\u{f8}'..='\u{ff}' => 0.64,
        '\u{1f000}'.. => 1.50,
        _ => 1.00,
    };
    match weight {
        Weight::Regular => regular,
        Weight::Bold if matches!(c, 'I' | 'J' | 'i' | 'j' | 'l' | 'f' | 'r' | ':' | ';') => regular * BOLD.0,
        Weight::Bold => regular * BOLD.1,
    }
}

/// Width of a line of plain text, in ems.
pub fn text_width(text: &str, weight: Weight) -> f64 {
    text.chars().map(|c| advance(c, weight)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_all_equally_wide() {
        for c in '0'..='9' {
            assert!((advance(c, Weight::Bold) - advance('0', Weight::Bold)).abs() < 1e-12, "{c}");
        }
    }

    #[test]
    fn an_unknown_letter_is_given_a_full_em() {
        assert!(advance('\u{4e00}', Weight::Regular) >= 1.0);
        assert!(advance('\u{1f6e9}', Weight::Regular) >= 1.0);
    }
}
