//! Words of a job made fit for paper: what cannot be printed, or would turn a line round, is taken out.

use serde_json::Value;

/// Longest run without a place to break, in characters. Chosen: half a column of the narrowest table.
const LONGEST_RUN: usize = 24;

/// Cleans every text in the data, keys excepted.
pub(crate) fn clean(data: &mut Value) {
    match data {
        Value::String(text) => {
            let cleaned = cleaned(text);
            if cleaned != *text {
                *text = cleaned;
            }
        }
        Value::Array(items) => items.iter_mut().for_each(clean),
        Value::Object(fields) => fields.values_mut().for_each(clean),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
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
            '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{202a}'..='\u{202e}' => {}
            '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => {}
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
    fn a_run_without_end_gets_places_to_break() {
        let out = cleaned(&"x".repeat(100));
        assert!(out.split('\u{200b}').all(|piece| piece.len() <= LONGEST_RUN), "{out}");
        assert_eq!(out.replace('\u{200b}', ""), "x".repeat(100));
    }
}
