//! A rule pack's text as a tree in which every value knows its place in the file.
//!
//! The one file here that knows the TOML crate.

use crate::problem::Problem;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// A value and its place.
#[derive(Debug)]
pub(crate) struct Node {
    /// Byte offsets in the file.
    pub(crate) span: Range<usize>,
    /// The value.
    pub(crate) value: Value,
}

/// What stands at a place.
#[derive(Debug)]
pub(crate) enum Value {
    /// Text.
    Text(String),
    /// A whole or decimal number.
    Number(f64),
    /// `true` or `false`.
    Truth(bool),
    /// A list.
    List(Vec<Node>),
    /// A table, keys in the order of the alphabet.
    Table(Vec<Entry>),
    /// Anything else (a date).
    Other,
}

/// A key and its value.
#[derive(Debug)]
pub(crate) struct Entry {
    /// The key.
    pub(crate) key: String,
    /// Where the key stands.
    pub(crate) key_span: Range<usize>,
    /// Its value.
    pub(crate) node: Node,
}

/// The tree of a text, and every place where the text is not TOML.
pub(crate) fn parse(text: &str) -> (Node, Vec<Problem>) {
    let (table, errors) = DeTable::parse_recoverable(text);
    let problems =
        errors.iter().map(|error| Problem::at(error.span().unwrap_or(0..0), error.message())).collect();
    (Node { span: 0..0, value: Value::Table(entries(table.get_ref())) }, problems)
}

fn entries(table: &DeTable<'_>) -> Vec<Entry> {
    let entry = |(key, value): (&toml::Spanned<_>, &toml::Spanned<DeValue<'_>>)| Entry {
        key: std::borrow::Cow::<str>::clone(key.get_ref()).into_owned(),
        key_span: key.span(),
        node: node(value),
    };
    table.iter().map(entry).collect()
}

fn node(value: &toml::Spanned<DeValue<'_>>) -> Node {
    let read = match value.get_ref() {
        DeValue::String(text) => Value::Text(text.clone().into_owned()),
        DeValue::Integer(number) if number.radix() == 10 => number_or_other(number.as_str()),
        DeValue::Float(number) => number_or_other(number.as_str()),
        DeValue::Boolean(truth) => Value::Truth(*truth),
        DeValue::Array(list) => Value::List(list.iter().map(node).collect()),
        DeValue::Table(table) => Value::Table(entries(table)),
        DeValue::Integer(_) | DeValue::Datetime(_) => Value::Other,
    };
    Node { span: value.span(), value: read }
}

/// A finite number; `nan` and `inf`, which TOML allows, are no figures of a rule.
fn number_or_other(text: &str) -> Value {
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Value::Number(number),
        _ => Value::Other,
    }
}
