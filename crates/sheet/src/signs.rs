//! Words as they are printed by a face that lacks some of their signs: each missing one by its number.
//!
//! A file that carries its own faces can show no more than they hold. A sign they lack must not vanish from a
//! name, so it is written as the Unicode standard writes a code point, in brackets: `[U+53F3]`.

use std::borrow::Cow;
use std::fmt::Write;
use unicode_normalization::{UnicodeNormalization, is_nfc};

/// The words with a letter and the accents that follow it as one sign where there is one (Unicode Standard Annex 15,
/// form NFC): faces carry `\u{e9}`, and put a loose accent beside its letter.
pub fn composed(words: &str) -> Cow<'_, str> {
    if is_nfc(words) { Cow::Borrowed(words) } else { Cow::Owned(words.nfc().collect()) }
}

/// The number of a sign as printed in its place: four to six hexadecimal digits (The Unicode Standard, appendix
/// A, notational conventions; from memory).
pub fn number(sign: char) -> String {
    format!("[U+{:04X}]", u32::from(sign))
}

/// The words, composed, with every sign by its number that `has_sign` denies. White space and control characters
/// stay: they are no signs.
pub fn spelled(words: &str, has_sign: impl Fn(char) -> bool) -> Cow<'_, str> {
    let stays = |c: char| c.is_whitespace() || c.is_control() || has_sign(c);
    let words = composed(words);
    if words.chars().all(stays) {
        return words;
    }
    let mut out = String::with_capacity(words.len() + 8);
    for c in words.chars() {
        if stays(c) {
            out.push(c);
        } else {
            let _ = write!(out, "{}", number(c));
        }
    }
    Cow::Owned(out)
}

/// True for a character that shows nothing by itself: it joins its neighbours, picks among their shapes, says
/// where a word may break or turns the line round.
pub fn invisible(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_sign_stands_by_its_number() {
        let ascii = |c: char| c.is_ascii();
        assert_eq!(spelled("Wing 7", ascii), "Wing 7");
        assert_eq!(spelled("\u{53f3}\u{7ffc}", ascii), "[U+53F3][U+7FFC]");
        // Five digits and less than four.
        assert_eq!(spelled("a\u{1f6e9} \u{e9}\tb", ascii), "a[U+1F6E9] [U+00E9]\tb");
    }

    #[test]
    fn a_letter_and_its_accent_are_one_sign() {
        // Unicode Standard Annex 15: e and acute, a base with two marks, and a mark that composes with none (from memory).
        assert_eq!(composed("Me\u{301}sange"), "M\u{e9}sange");
        assert_eq!(composed("s\u{323}\u{307}"), "\u{1e69}");
        assert_eq!(composed("q\u{307}"), "q\u{307}");
        let latin = |c: char| c.is_ascii() || c == '\u{e9}';
        assert_eq!(spelled("Me\u{301}sange", latin), "M\u{e9}sange");
    }

    #[test]
    fn what_shows_nothing_is_told_from_what_does() {
        assert!("\u{200d}\u{fe0f}\u{202e}\u{2066}\u{ad}".chars().all(invisible));
        assert!(!"a\u{301}\u{5d0}\u{53f3}\u{2044}\u{2009}\u{fffd}".chars().any(invisible));
    }
}
