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

/// The whole file as a table, and what is wrong with its form. With problems the tree is what could be saved:
/// keys may be absent from it that a person meant to write.
pub(crate) fn grow(text: &str) -> (Node, Vec<Problem>) {
    let (table, errors) = DeTable::parse_recoverable(text);
    let problems = errors.iter().map(|error| syntax_problem(text, error)).collect();
    let raw = table_of(text, table.get_ref());
    (Node { span: 0..0, raw }, problems)
}

fn syntax_problem(text: &str, error: &toml::de::Error) -> Problem {
    let span = error.span().map_or(0..0, |span| inside(text, span));
    let message = error.message().trim_end_matches('.');
    if message == "duplicate key" {
        let key = text.get(span.clone()).unwrap_or_default();
        return Problem::at(span, format!("`{}` is written twice in one table", shortened(key)))
            .hint("keep one of the two; a list of tables takes double brackets, as in [[mark]]");
    }
    let expected = message.split_once(", expected ").map_or("", |(_, expected)| expected);
    let found = message.split_once(", expected ").map_or(message, |(found, _)| found);
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

/// Where the lines of a text start, found once: problems can be many and a file long.
pub(crate) struct Lines(Vec<usize>);

impl Lines {
    /// Those of a text.
    pub(crate) fn of(text: &str) -> Lines {
        Lines(text.match_indices('\n').map(|(at, _)| at + 1).collect())
    }

    /// The number of the line, from 1, at a byte offset.
    pub(crate) fn line(&self, offset: usize) -> usize {
        self.0.partition_point(|start| *start <= offset) + 1
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
        let (root, problems) = grow(text);
        assert!(problems.is_empty());
        assert_eq!(&text[root.entry("a").unwrap().span.clone()], "1");
        let b = &root.entry("b").unwrap().items()[0];
        assert_eq!(&text[b.span.clone()], "[[b]]");
        assert_eq!(&text[b.entry("c").unwrap().span.clone()], "\"x\"");
    }

    #[test]
    fn a_broken_line_does_not_hide_the_next_one() {
        let (root, problems) = grow("a = \nb = 2\n");
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(matches!(root.entry("b").unwrap().raw, Raw::Number(_)));
    }

    #[test]
    fn a_huge_nest_of_lists_or_dotted_keys_is_refused_without_harm() {
        for text in [format!("a = {}", "[".repeat(100_000)), format!("{}a = 1", "a.".repeat(100_000))] {
            assert!(!grow(&text).1.is_empty());
        }
    }
}
