//! Whatever is done to a job file, reading it gives a job or problems inside the text, never a panic.

use super::{Spelling, every_key};
use crate::job::{files_named, read};
use proptest::prelude::*;

fn reads_or_says_why(text: &str) {
    match read(text) {
        Ok(job) => {
            files_named(&job);
        }
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in problems {
                assert!(text.get(problem.span.clone()).is_some(), "{problem:?} is outside of the text");
                assert!(!problem.message.is_empty());
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn flipped_bytes_do_no_harm(changes in prop::collection::vec((0usize..8000, any::<u8>()), 1..12)) {
        let mut bytes = every_key(Spelling::FeetAndInches).into_bytes();
        for (at, byte) in changes {
            let at = at % bytes.len();
            bytes[at] = byte;
        }
        reads_or_says_why(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn cut_doubled_and_swapped_lines_do_no_harm(changes in prop::collection::vec((0usize..400, 0usize..400, 0u8..3), 1..12)) {
        let text = every_key(Spelling::BareInches);
        let mut lines: Vec<&str> = text.lines().collect();
        for (a, b, what) in changes {
            let (a, b) = (a % lines.len(), b % lines.len());
            match what {
                0 => { lines.remove(a); }
                1 => lines.insert(b, lines[a]),
                _ => lines.swap(a, b),
            }
        }
        reads_or_says_why(&lines.join("\n"));
    }

    #[test]
    fn characters_of_the_grammar_put_anywhere_do_no_harm(changes in prop::collection::vec((0usize..8000, "[\\[\\]{}\"'=,.#0-9a-z\n -]{1,4}|\\PC"), 1..8)) {
        let mut text = every_key(Spelling::Fractions);
        for (at, put) in changes {
            let mut at = at % text.len();
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            text.insert_str(at, &put);
        }
        reads_or_says_why(&text);
    }

    #[test]
    fn a_file_that_ends_early_does_no_harm(end in 0usize..8000) {
        let text = every_key(Spelling::BareMillimetres);
        let mut end = end % text.len();
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        reads_or_says_why(&text[..end]);
    }
}
