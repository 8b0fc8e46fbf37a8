//! Reads the basic things of a rule pack's file: tables, text, lists, figures and provisions.
//!
//! Nothing stops at the first problem: what cannot be read leaves a stand-in, and the pack is refused at the
//! end with every problem found.

use super::document::{Entry, Node, Value};
use super::figure::{BASES, Figure, FigureUnit, LIMITS, Limit, Provision, UNITS};
use crate::finding::Basis;
use crate::problem::Problem;
use std::ops::Range;

/// What was found wrong so far, and how many rows stand on which basis.
#[derive(Debug, Default)]
pub(super) struct Reader {
    /// Every problem.
    pub(super) problems: Vec<Problem>,
    /// Rows read, quoted, from memory, mere practice.
    pub(super) rows: [usize; 4],
}

/// A table whose keys are known to be allowed.
#[derive(Clone, Copy)]
pub(super) struct Table<'d> {
    entries: &'d [Entry],
    span: &'d Range<usize>,
}

impl<'d> Table<'d> {
    /// The value of a key.
    pub(super) fn get(self, key: &str) -> Option<&'d Node> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }
}

impl Reader {
    /// A problem at a node.
    pub(super) fn wrong(&mut self, span: &Range<usize>, message: impl Into<String>, expected: &str) {
        self.problems.push(Problem::at(span.clone(), message).expected(expected));
    }

    /// A table with these keys only; a key that is not allowed is a problem with the nearest one as hint.
    pub(super) fn table<'d>(&mut self, node: &'d Node, allowed: &[&str]) -> Option<Table<'d>> {
        let Value::Table(entries) = &node.value else {
            self.wrong(&node.span, format!("{} is no table", kind(&node.value)), "a table");
            return None;
        };
        for entry in entries.iter().filter(|entry| !allowed.contains(&entry.key.as_str())) {
            let distance = |key: &&&str| strsim::damerau_levenshtein(key, &entry.key);
            let nearest = allowed.iter().min_by_key(distance).map_or("", |key| key);
            let problem = Problem::at(entry.key_span.clone(), format!("unknown key \"{}\"", entry.key));
            self.problems
                .push(problem.expected(allowed.join(", ")).hint(format!("did you mean \"{nearest}\"?")));
        }
        Some(Table { entries, span: &node.span })
    }

    /// The tables of a list; an absent list is an empty one.
    pub(super) fn tables<'d>(&mut self, table: Table<'d>, key: &str, allowed: &[&str]) -> Vec<Table<'d>> {
        let nodes = self.list(table, key);
        nodes.iter().filter_map(|node| self.table(node, allowed)).collect()
    }

    /// A list; an absent one is empty.
    pub(super) fn list<'d>(&mut self, table: Table<'d>, key: &str) -> &'d [Node] {
        match table.get(key) {
            None => &[],
            Some(Node { value: Value::List(nodes), .. }) => nodes,
            Some(node) => {
                self.wrong(&node.span, format!("{key} is {}", kind(&node.value)), "a list");
                &[]
            }
        }
    }

    /// Text that must be there.
    pub(super) fn text(&mut self, table: Table<'_>, key: &str) -> String {
        if table.get(key).is_none() {
            self.wrong(table.span, format!("{key} is missing"), "text");
        }
        self.text_or_empty(table, key)
    }

    /// Text, empty if absent.
    pub(super) fn text_or_empty(&mut self, table: Table<'_>, key: &str) -> String {
        table.get(key).map(|node| self.text_of(node, key)).unwrap_or_default()
    }

    fn text_of(&mut self, node: &Node, key: &str) -> String {
        if let Value::Text(text) = &node.value {
            return text.clone();
        }
        self.wrong(&node.span, format!("{key} is {}", kind(&node.value)), "text in quotes");
        String::new()
    }

    /// A list of text; an absent one is empty.
    pub(super) fn texts(&mut self, table: Table<'_>, key: &str) -> Vec<String> {
        let nodes = self.list(table, key);
        nodes.iter().map(|node| self.text_of(node, key)).collect()
    }

    /// `true` or `false`; `false` if absent.
    pub(super) fn truth(&mut self, table: Table<'_>, key: &str) -> bool {
        match table.get(key) {
            None => false,
            Some(Node { value: Value::Truth(truth), .. }) => *truth,
            Some(node) => {
                self.wrong(&node.span, format!("{key} is {}", kind(&node.value)), "true or false");
                false
            }
        }
    }

    /// One word of a list of words, `None` if absent.
    pub(super) fn word<T: Copy>(&mut self, table: Table<'_>, key: &str, words: &[(&str, T)]) -> Option<T> {
        let node = table.get(key)?;
        let text = self.text_of(node, key);
        self.one_of(node, &text, words)
    }

    /// A list of words of a list of words.
    pub(super) fn words<T: Copy>(&mut self, table: Table<'_>, key: &str, words: &[(&str, T)]) -> Vec<T> {
        let nodes = self.list(table, key);
        let one = |node: &Node| {
            let text = self.text_of(node, key);
            self.one_of(node, &text, words)
        };
        nodes.iter().filter_map(one).collect()
    }

    fn one_of<T: Copy>(&mut self, node: &Node, text: &str, words: &[(&str, T)]) -> Option<T> {
        let found = words.iter().find(|(word, _)| *word == text).map(|&(_, value)| value);
        if found.is_none() && matches!(node.value, Value::Text(_)) {
            let names: Vec<&str> = words.iter().map(|&(word, _)| word).collect();
            self.wrong(&node.span, format!("\"{text}\" is not known here"), &names.join(", "));
        }
        found
    }

    /// A figure that must be there.
    pub(super) fn figure(&mut self, table: Table<'_>, key: &str) -> Figure {
        let figure = self.figure_or_none(table, key);
        figure.unwrap_or_else(|| {
            if table.get(key).is_none() {
                self.wrong(table.span, format!("{key} is missing"), "{ value, unit, bound, basis, cite }");
            }
            Figure {
                value: 0.0,
                unit: FigureUnit::Mm,
                limit: Limit::None,
                basis: Basis::None,
                cite: String::new(),
            }
        })
    }

    /// A figure, `None` if absent.
    pub(super) fn figure_or_none(&mut self, table: Table<'_>, key: &str) -> Option<Figure> {
        let row = self.table(table.get(key)?, &["value", "unit", "bound", "basis", "cite"])?;
        let value = self.number(row, "value");
        let unit = self.needed(row, "unit", UNITS);
        let limit = self.needed(row, "bound", LIMITS);
        let (basis, cite) = self.source(row);
        Some(Figure { value: value?, unit: unit?, limit: limit?, basis, cite })
    }

    /// A demand without a number, from a table that has `say`, `basis` and `cite` among its keys.
    pub(super) fn provision(&mut self, row: Table<'_>) -> Provision {
        let say = self.text(row, "say");
        let (basis, cite) = self.source(row);
        Provision { say, basis, cite }
    }

    /// A demand without a number under a key of its own.
    pub(super) fn provision_or_none(&mut self, table: Table<'_>, key: &str) -> Option<Provision> {
        let row = self.table(table.get(key)?, &["say", "basis", "cite"])?;
        Some(self.provision(row))
    }

    fn source(&mut self, row: Table<'_>) -> (Basis, String) {
        let basis = self.needed(row, "basis", BASES).unwrap_or(Basis::None);
        if let Some(index) = BASES.iter().position(|&(_, known)| known == basis) {
            self.rows[index] += 1;
        }
        let cite = self.text(row, "cite");
        if let Some(node) = row.get("cite").filter(|_| cite.trim().is_empty()) {
            self.wrong(&node.span, "cite is empty", "a clause, a source, or what is missing");
        }
        (basis, cite)
    }

    fn needed<T: Copy>(&mut self, row: Table<'_>, key: &str, words: &[(&str, T)]) -> Option<T> {
        if row.get(key).is_none() {
            let names: Vec<&str> = words.iter().map(|&(word, _)| word).collect();
            self.wrong(row.span, format!("{key} is missing"), &names.join(", "));
        }
        self.word(row, key, words)
    }

    /// A number that is not negative, or a fraction as text (`"2/3"`, which decimals cannot say exactly).
    fn number(&mut self, row: Table<'_>, key: &str) -> Option<f64> {
        let expected = "a number such as 12, or a fraction such as \"2/3\"";
        let Some(node) = row.get(key) else {
            self.wrong(row.span, format!("{key} is missing"), expected);
            return None;
        };
        let number = match &node.value {
            Value::Number(number) => Some(*number),
            Value::Text(text) => fraction(text),
            _ => None,
        };
        let number = number.filter(|number| 0.0 <= *number);
        if number.is_none() {
            let found = match &node.value {
                Value::Text(text) => format!("\"{text}\""),
                Value::Number(number) => number.to_string(),
                other => kind(other).to_owned(),
            };
            self.wrong(&node.span, format!("{key} is {found}"), expected);
        }
        number
    }
}

fn fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (above, below): (u32, u32) = (above.trim().parse().ok()?, below.trim().parse().ok()?);
    (0 < below).then(|| f64::from(above) / f64::from(below))
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Text(_) => "text",
        Value::Number(_) => "a number",
        Value::Truth(_) => "true or false",
        Value::List(_) => "a list",
        Value::Table(_) => "a table",
        Value::Other => "a date or an odd number",
    }
}
