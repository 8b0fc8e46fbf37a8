//! Words of a job made fit for paper: a sign no face of the book has stands by its number, what shows nothing or
//! would turn a line round is taken out.

use serde_json::Value;
use sheet::signs::{composed, invisible, spelled};
use std::collections::BTreeSet;

/// Longest run without a place to break, in characters. Chosen: half a column of the narrowest table.
const LONGEST_RUN: usize = 24;

/// Signs that `has_sign` denies, met on the way.
pub(crate) type Lacking = BTreeSet<char>;

/// Cleans every text in the data, keys excepted.
pub(crate) fn clean(data: &mut Value, has_sign: &dyn Fn(char) -> bool, lacking: &mut Lacking) {
    match data {
        Value::String(text) => {
            let cleaned = cleaned(&printable(text, has_sign, lacking));
            if cleaned != *text {
                *text = cleaned;
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| clean(item, has_sign, lacking)),
        Value::Object(fields) => fields.values_mut().for_each(|field| clean(field, has_sign, lacking)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// The words with each sign by its number that no face has; the words of a drawing too, whose own marks are all
/// plain ASCII.
pub(crate) fn printable(text: &str, has_sign: &dyn Fn(char) -> bool, lacking: &mut Lacking) -> String {
    let lacks =
        |c: &char| !(c.is_ascii() || c.is_whitespace() || c.is_control() || invisible(*c) || has_sign(*c));
    lacking.extend(composed(text).chars().filter(lacks));
    spelled(text, |c| !lacks(&c)).into_owned()
}

/// White space becomes one kind of blank; control characters and the invisible characters that reorder a line
/// (they could make a figure read backwards) are dropped. A very long run gets places to break.
fn cleaned(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut run = 0;
    for c in text.chars() {
        match c {
            '\t' | '\n' | '\r' | '\u{2028}' | '\u{2029}' => {
                out.push(' ');
                run = 0;
            }
            c if c.is_control() => {}
            c if invisible(c) => {}
            c => {
                run = if c == ' ' || c == '-' { 0 } else { run + 1 };
                if run > LONGEST_RUN {
                    // A place to break that shows nothing.
                    out.push('\u{200b}');
                    run = 1;
                }
                out.push(c);
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_that_turn_a_line_round_are_dropped() {
        assert_eq!(cleaned("wing\u{202e}gniw\u{0007}\ttip"), "winggniw tip");
    }

    #[test]
    fn ordinary_words_stay_as_they_are() {
        for words in ["N417RW", "#import \"x\" *bold* $x^2$ <a> @b", "Ąžuolas Ωmega Жук", "كلمة עברית"]
        {
            assert_eq!(cleaned(words), words);
        }
    }

    #[test]
    fn signs_no_face_has_stand_by_their_numbers_and_are_told() {
        let latin = |c: char| c.is_ascii_lowercase() || c == 'é';
        let mut lacking = Lacking::new();
        let mut data = serde_json::json!({"a": ["é\u{53f3}a\u{200d}b", {"b": "\u{1f6e9}\u{fe0f}"}]});
        clean(&mut data, &latin, &mut lacking);
        assert_eq!(data, serde_json::json!({"a": ["é[U+53F3]ab", {"b": "[U+1F6E9]"}]}));
        assert_eq!(lacking.into_iter().collect::<Vec<_>>(), ['\u{53f3}', '\u{1f6e9}']);
    }

    #[test]
    fn a_run_without_end_gets_places_to_break() {
        let out = cleaned(&"x".repeat(100));
        assert!(out.split('\u{200b}').all(|piece| piece.len() <= LONGEST_RUN), "{out}");
        assert_eq!(out.replace('\u{200b}', ""), "x".repeat(100));
    }
}
