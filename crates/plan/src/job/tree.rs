//! The job file as a tree of plain values, each with its place in the text; the only file that knows TOML.
//!
//! Broken lines are reported, and what can still be made out is read on. Nothing here knows what a key means.

use super::types::DateTime;
use crate::problem::Problem;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// A value and where it stands, as byte offsets that always lie inside the text.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// Where it stands; for a `[table]` its header.
    pub(crate) span: Range<usize>,
    /// The value.
    pub(crate) raw: Raw,
}

/// A value as typed, before anyone asks what it is for.
#[derive(Clone, Debug)]
pub(crate) enum Raw {
    /// Text, without its quotes.
    Text(String),
    /// A number, with or without a point; may be `nan` or infinite.
    Number(f64),
    /// `true` or `false`.
    Flag(bool),
    /// A day: year, month, day.
    Date([u16; 3]),
    /// A day and time of no named zone.
    DateTime(DateTime),
    /// A day and time tied to a zone, or a time of day without quotes, which the job file does not use.
    ForeignTime(&'static str),
    /// A list.
    List(Vec<Node>),
    /// A table, in the order of the file.
    Table(Vec<Entry>),
}

/// A key of a table with its value.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    /// The key.
    pub(crate) key: String,
    /// Where the key stands.
    pub(crate) span: Range<usize>,
    /// Its value.
    pub(crate) node: Node,
}

impl Node {
    /// The entries if it is a table, else none.
    pub(crate) fn entries(&self) -> &[Entry] {
        match &self.raw {
            Raw::Table(entries) => entries,
            _ => &[],
        }
    }

    /// The value of a key if it is a table that has it.
    pub(crate) fn entry(&self, key: &str) -> Option<&Node> {
        self.entries().iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }

    /// The text if it is one.
    pub(crate) fn text(&self) -> Option<&str> {
        match &self.raw {
            Raw::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Its items: those of a list, or itself alone.
    pub(crate) fn items(&self) -> &[Node] {
        match &self.raw {
            Raw::List(items) => items,
            _ => std::slice::from_ref(self),
        }
    }
}

/// What could be made out of a file.
pub(crate) struct Grown {
    /// The whole file as a table. With problems it is what could be saved: keys may be absent from it that a person
    /// meant to write.
    pub(crate) root: Node,
    /// What is wrong with its form.
    pub(crate) problems: Vec<Problem>,
    /// From where on nothing can be believed, as a list or table in braces swallowed what follows it.
    pub(crate) lost_from: Option<usize>,
}

/// Makes out a file.
pub(crate) fn grow(text: &str) -> Grown {
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut problems: Vec<Problem> = errors.iter().map(|error| syntax_problem(text, error)).collect();
    let lost = runaway(text, &errors);
    if let Some((line, what, close)) = &lost {
        problems.retain(|problem| problem.span.start < line.start);
        let problem = Problem::at(line.clone(), format!("{what} is not closed before this line"));
        problems.push(problem.expected(*close).hint("what follows was not looked at"));
    }
    let lost_from = lost.map(|(line, _, _)| line.start);
    let raw = table_of(text, table.get_ref());
    Grown { root: Node { span: 0..0, raw }, problems, lost_from }
}

/// The line before which a list or a table in braces should have been closed, what it is, and what closes it.
///
/// One that is not closed takes the lines after it for its own, and each of them is an error of its own: the first
/// `=` in a list, or the first header in braces, gives it away. What comes behind is an echo.
fn runaway(text: &str, errors: &[toml::de::Error]) -> Option<(Range<usize>, &'static str, &'static str)> {
    let first = |opening: &str, before: fn(char) -> bool| {
        let own = errors.iter().filter(|error| error.message().starts_with(opening));
        let starts = own.filter_map(|error| Some(inside(text, error.span()?).start));
        starts.filter(|start| heads_line(text, *start, before)).min()
    };
    let of_a_key = |c: char| blank(c) || c.is_alphanumeric() || matches!(c, '_' | '-' | '.' | '"' | '\'');
    let in_list = first("unexpected `=` in array", of_a_key).map(|at| (at, "a list", "`]`"));
    let in_braces = first("missing key for inline table element", blank).map(|header| {
        let before = first("missing comma between key-value pairs", blank);
        (before.map_or(header, |before| before.min(header)), "a table in braces", "`}`")
    });
    let (at, what, close) = in_list.into_iter().chain(in_braces).min_by_key(|(at, _, _)| *at)?;
    let start = line_start(text, at);
    let line = text[start..].lines().next().unwrap_or_default();
    let indent = line.len() - line.trim_start().len();
    Some((start + indent..start + line.len(), what, close))
}

fn blank(c: char) -> bool {
    matches!(c, ' ' | '\t')
}

/// True if nothing but such characters stands before the offset on its line.
fn heads_line(text: &str, offset: usize, such: fn(char) -> bool) -> bool {
    let before = text[..offset].trim_end_matches(such);
    before.is_empty() || before.ends_with('\n')
}

/// The start of the line in which an offset lies.
fn line_start(text: &str, offset: usize) -> usize {
    text[..offset].rfind('\n').map_or(0, |newline| newline + 1)
}

fn syntax_problem(text: &str, error: &toml::de::Error) -> Problem {
    let span = error.span().map_or(0..0, |span| inside(text, span));
    let message = error.message().trim_end_matches('.');
    let stands = text.get(span.clone()).unwrap_or_default();
    if message == "duplicate key" {
        return Problem::at(span.clone(), format!("`{}` is written twice in one table", shortened(stands)))
            .hint("keep one of the two; a list of tables takes double brackets, as in [[mark]]");
    }
    let (found, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    if found == "string values must be quoted" || found == "invalid float" || found == "invalid boolean" {
        // The reader of TOML guesses from the first letter what a word without quotes was meant to be.
        let word = stands.split('#').next().unwrap_or_default().trim();
        if word.is_empty() {
            return Problem::at(span, "a value is missing").expected("a number, or text in quotes");
        }
        return Problem::at(span, format!("`{}` is neither a number nor text in quotes", shortened(word)))
            .hint("put text, and a length with its unit, in quotes");
    }
    if matches!((found, expected), ("invalid basic string", "`\"`") | ("invalid literal string", "`'`")) {
        return Problem::at(span, "a text does not end with its quote").expected(expected);
    }
    if let Some(c) = stands.chars().next().filter(|c| c.is_control() && !c.is_whitespace()) {
        let message = format!("a control character, U+{:04X}, stands in the file", u32::from(c));
        return Problem::at(span, message).hint("take it out");
    }
    Problem::at(span, format!("not readable as TOML: {found}")).expected(expected)
}

/// The span, cut to the text and to whole characters.
fn inside(text: &str, span: Range<usize>) -> Range<usize> {
    let floor = |mut offset: usize| {
        offset = offset.min(text.len());
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    };
    let start = floor(span.start);
    start..floor(span.end).max(start)
}

fn table_of(text: &str, table: &DeTable<'_>) -> Raw {
    let mut entries: Vec<Entry> = table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            span: inside(text, key.span()),
            node: Node { span: inside(text, value.span()), raw: raw_of(text, value.get_ref()) },
        })
        .collect();
    entries.sort_by_key(|entry| entry.span.start);
    Raw::Table(entries)
}

/// The recursion is bounded by the TOML reader's own limit on nesting, 80.
fn raw_of(text: &str, value: &DeValue<'_>) -> Raw {
    match value {
        DeValue::String(string) => Raw::Text(string.to_string()),
        DeValue::Integer(integer) => Raw::Number(
            // An integer too long for 128 bits is far beyond any limit of the job file; infinity stands for it.
            i128::from_str_radix(integer.as_str(), integer.radix())
                .map_or(f64::INFINITY, |whole| whole as f64),
        ),
        DeValue::Float(float) => Raw::Number(float.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Raw::Flag(*flag),
        DeValue::Datetime(moment) => match (moment.date, moment.time, moment.offset) {
            (Some(day), Some(time), None) => Raw::DateTime(DateTime {
                date: [day.year, day.month.into(), day.day.into()],
                minute: u16::from(time.hour) * 60 + u16::from(time.minute),
            }),
            (Some(day), None, None) => Raw::Date([day.year, day.month.into(), day.day.into()]),
            (_, _, Some(_)) => Raw::ForeignTime("a time with a zone"),
            _ => Raw::ForeignTime("a time of day without quotes"),
        },
        DeValue::Array(array) => Raw::List(
            array
                .iter()
                .map(|item| Node { span: inside(text, item.span()), raw: raw_of(text, item.get_ref()) })
                .collect(),
        ),
        DeValue::Table(table) => table_of(text, table),
    }
}

/// At most 40 characters of one line, for a message.
pub(crate) fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(40).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_keep_their_place_in_the_text() {
        let text = "a = 1\n[[b]]\nc = \"x\"\n";
        let Grown { root, problems, .. } = grow(text);
        assert!(problems.is_empty());
        assert_eq!(&text[root.entry("a").unwrap().span.clone()], "1");
        let b = &root.entry("b").unwrap().items()[0];
        assert_eq!(&text[b.span.clone()], "[[b]]");
        assert_eq!(&text[b.entry("c").unwrap().span.clone()], "\"x\"");
    }

    #[test]
    fn a_broken_line_does_not_hide_the_next_one() {
        let Grown { root, problems, .. } = grow("a = \nb = 2\n");
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(matches!(root.entry("b").unwrap().raw, Raw::Number(_)));
    }

    #[test]
    fn a_huge_nest_of_lists_or_dotted_keys_is_refused_without_harm() {
        for text in [format!("a = {}", "[".repeat(100_000)), format!("{}a = 1", "a.".repeat(100_000))] {
            assert!(!grow(&text).problems.is_empty());
        }
    }
}
