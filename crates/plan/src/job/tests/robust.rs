//! No text, however spoiled, breaks the reader, and every problem it finds has its place inside the text.

use super::full_text::full;
use crate::job::{MOST_PROBLEMS, read};
use crate::problem::line_and_column;
use proptest::prelude::*;

/// One way of spoiling a text; places are shares of its length, so that they fit any text.
#[derive(Clone, Debug)]
enum Spoil {
    /// Another byte in place of one.
    Byte(f64, u8),
    /// Bytes cut out.
    Cut(f64, usize),
    /// A line taken out.
    Line(f64),
    /// A piece put in again elsewhere, several times.
    Repeat(f64, usize, f64, usize),
    /// The end torn off.
    Tear(f64),
    /// Something put in that files of other programs hold.
    Put(f64, &'static str),
}

const STRANGE: &[&str] = &[
    "nan",
    "-inf",
    "1e400",
    "99999999999999999999999999999999999999999",
    "\u{202e}",
    "\u{0}",
    "é½″",
    "[[",
    "]]",
    "{",
    "}",
    "\"\"\"",
    "'''",
    "\r",
    "\u{feff}",
    "= =",
    "[[mark]]\n",
    "[mark]\n",
    "[surface.feature]\n",
    "a.b.c = 1\n",
    "2026-02-30",
    "0x7fffffffffffffff",
    "-0.0",
    "\\u0000",
];

fn spoil() -> impl Strategy<Value = Spoil> {
    let place = 0.0..1.0f64;
    prop_oneof![
        (place.clone(), any::<u8>()).prop_map(|(at, byte)| Spoil::Byte(at, byte)),
        (place.clone(), 1usize..200).prop_map(|(at, count)| Spoil::Cut(at, count)),
        place.clone().prop_map(Spoil::Line),
        (place.clone(), 1usize..400, place.clone(), 1usize..4)
            .prop_map(|(from, count, to, times)| Spoil::Repeat(from, count, to, times)),
        place.clone().prop_map(Spoil::Tear),
        (place, prop::sample::select(STRANGE)).prop_map(|(at, what)| Spoil::Put(at, what)),
    ]
}

fn spoiled(bytes: &mut Vec<u8>, spoil: &Spoil) {
    let at = |share: f64, len: usize| ((share * len as f64) as usize).min(len.saturating_sub(1));
    let len = bytes.len();
    if len == 0 {
        return;
    }
    match spoil {
        Spoil::Byte(share, byte) => bytes[at(*share, len)] = *byte,
        Spoil::Cut(share, count) => {
            let start = at(*share, len);
            bytes.drain(start..(start + count).min(len));
        }
        Spoil::Line(share) => {
            let middle = at(*share, len);
            let start = bytes[..middle].iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
            let end = bytes[middle..].iter().position(|b| *b == b'\n').map_or(len, |i| middle + i + 1);
            bytes.drain(start..end);
        }
        Spoil::Repeat(from, count, to, times) => {
            let start = at(*from, len);
            let piece = bytes[start..(start + count).min(len)].repeat(*times);
            let to = at(*to, len);
            bytes.splice(to..to, piece);
        }
        Spoil::Tear(share) => bytes.truncate(at(*share, len)),
        Spoil::Put(share, what) => {
            let to = at(*share, len);
            bytes.splice(to..to, what.bytes());
        }
    }
}

/// Reads a text; what is found must have its place in it.
fn holds_up(text: &str) {
    let Err(problems) = read(text) else { return };
    assert!(!problems.is_empty() && problems.len() <= MOST_PROBLEMS);
    for problem in problems {
        assert!(text.get(problem.span.clone()).is_some(), "{problem:?} does not lie inside\n{text}");
        assert!(!problem.message.is_empty() && !problem.message.ends_with('.'), "{problem:?}");
        let said = [&problem.message, &problem.expected, &problem.hint];
        assert!(said.iter().all(|words| !words.contains(|c: char| c.is_control())), "{problem:?}");
        let (line, column) = line_and_column(text, problem.span.start);
        assert!(1 <= line && line <= text.matches('\n').count() + 1 && 1 <= column);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn a_spoiled_job_never_breaks_the_reader(spoils in prop::collection::vec(spoil(), 1..12)) {
        let mut bytes = full().into_bytes();
        for spoil in &spoils {
            spoiled(&mut bytes, spoil);
        }
        holds_up(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn any_text_at_all_never_breaks_the_reader(text in "\\PC{0,200}|([a-z_]{1,8} ?= ?[0-9\"'\\[\\]{},.]{0,12}\n){0,20}") {
        holds_up(&text);
    }
}

/// Where a file is torn off matters most near its brackets and quotes: every length of the full job is tried.
#[test]
fn a_job_torn_off_anywhere_never_breaks_the_reader() {
    let text = full();
    for end in (0..text.len()).step_by(7).filter(|end| text.is_char_boundary(*end)) {
        holds_up(&text[..end]);
    }
}

#[test]
fn a_file_with_thousands_of_problems_tells_the_first_and_counts_the_rest() {
    let text = format!("title = 'T'\n{}", "[[mark]]\nwidht = 1\n".repeat(1500));
    let problems = read(&text).unwrap_err();
    assert_eq!(problems.len(), MOST_PROBLEMS);
    let last = &problems.last().unwrap().message;
    // Each mark lacks id, surface, text and height and has an unknown key.
    assert_eq!(last, &format!("and {} more problems, which are not shown", 5 * 1500 - (MOST_PROBLEMS - 1)));
}

/// What is done for each problem must not go through the whole file again: these were minutes once.
#[test]
fn long_files_in_which_everything_is_wrong_are_read_through() {
    let repeated = |what: &str| what.repeat(40_000);
    let numbered = |count: usize, line: fn(usize) -> String| (0..count).map(line).collect::<String>();
    let paints = numbered(2000, |i| format!("[[paint]]\nid = 'p{i}'\n"));
    for text in [
        repeated("x\n"),
        repeated("x = y z\n"),
        format!("craft = {{ {} }}", repeated("b = 1 ")),
        format!("alike = [ {} ]", repeated("1 2 ")),
        format!("{paints}{paints}"),
        format!("{paints}{}", numbered(2000, |i| format!("[[mark]]\nid = 'm{i}'\npaint = 'q{i}'\n"))),
    ] {
        holds_up(&text);
    }
}

#[test]
fn a_file_that_is_far_too_long_is_refused_at_once() {
    let text = " ".repeat(crate::job::LARGEST_FILE + 1);
    let problems = read(&text).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert!(problems[0].message.contains("bytes long"), "{problems:?}");
}
