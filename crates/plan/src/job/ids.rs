//! Ids: each once in its table, and every one that is spoken of is there.

use super::check::nearest;
use super::checked::{Checked, Got};
use super::lines::Lines;
use super::tree::{Node, shortened};
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// The ids of the tables that others speak of, taken from the file itself so that an id counts as known even if
/// something else in its table is wrong.
pub(crate) struct Ids<'n> {
    surfaces: Known<'n>,
    marks: Known<'n>,
    stripes: Known<'n>,
    /// The features of each surface that has an id.
    features: BTreeMap<&'n str, Known<'n>>,
    paints: Known<'n>,
    grounds_and_paints: Known<'n>,
}

/// The ids of a table.
struct Known<'n> {
    /// In the order of the file, each once.
    in_order: Vec<&'n str>,
    /// The same, to look one up.
    all: BTreeSet<&'n str>,
}

impl<'n> Known<'n> {
    fn of(tree: &'n Node, tables: &[&str]) -> Known<'n> {
        let mut known = Known { in_order: Vec::new(), all: BTreeSet::new() };
        for table in tables {
            let items = tree.entry(table).map_or(&[][..], Node::items);
            for id in items.iter().filter_map(|item| item.entry("id")?.text()) {
                if known.all.insert(id) {
                    known.in_order.push(id);
                }
            }
        }
        known
    }
}

impl<'n> Ids<'n> {
    /// Those of the file.
    pub(crate) fn of(tree: &'n Node) -> Ids<'n> {
        Ids {
            surfaces: Known::of(tree, &["surface"]),
            marks: Known::of(tree, &["mark"]),
            stripes: Known::of(tree, &["stripe"]),
            features: tree
                .entry("surface")
                .map_or(&[][..], Node::items)
                .iter()
                .filter_map(|surface| Some((surface.entry("id")?.text()?, Known::of(surface, &["feature"]))))
                .collect(),
            paints: Known::of(tree, &["paint"]),
            grounds_and_paints: Known::of(tree, &["ground", "paint"]),
        }
    }

    /// The problem of every id spoken of that is not there.
    pub(crate) fn dangling(&self, job: &Checked) -> Vec<Problem> {
        let mut problems = Vec::new();
        for item in job.tables("mark").chain(job.tables("stripe")) {
            let mut ask = |table: &Checked, key: &str, known: &Known<'_>, what: &str| {
                problems.extend(table.get(key).and_then(|got| dangling(got, key, &table.label, known, what)));
            };
            ask(item, "surface", &self.surfaces, "surface");
            ask(item, "paint", &self.paints, "paint");
            ask(item, "over", &self.grounds_and_paints, "ground or paint");
            if item.table.name == "stripe" {
                ask(item, "mirror_of", &self.stripes, "stripe");
                if let Some(along) = item.table("along") {
                    ask(along, "stripe", &self.stripes, "stripe");
                    if let Some(features) = item.text("surface").and_then(|id| self.features.get(id)) {
                        ask(along, "feature", features, "feature");
                    }
                }
            }
            if item.table.name == "mark" {
                for further in ["outline", "shadow"] {
                    if let Some(table) = item.table(further) {
                        ask(table, "paint", &self.paints, "paint");
                    }
                }
            }
        }
        let mut grouped = BTreeMap::new();
        for got in job.list("alike").iter().flat_map(Got::list) {
            problems.extend(dangling(got, "alike", "", &self.marks, "mark"));
            if let Some(id) = got.text()
                && grouped.insert(id, ()).is_some()
            {
                problems.push(Problem::at(got.span.clone(), format!("`alike` names the mark `{id}` twice")));
            }
        }
        problems
    }
}

/// Most ids that a wrong one is compared with for a hint, as every wrong one is held against all of them. chosen:
/// more than any job has.
const MOST_COMPARED: usize = 200;

fn dangling(got: &Got, key: &str, owner: &str, known: &Known<'_>, what: &str) -> Option<Problem> {
    let id = got.text()?;
    if known.all.contains(id) {
        return None;
    }
    let of_owner = if owner.is_empty() { String::new() } else { format!(" of {owner}") };
    let message = format!("`{key}`{of_owner} names `{id}`, but there is no {what} of that id");
    let hint = match &known.in_order[..] {
        [] => format!("there is no {what} in the file yet"),
        known => match nearest(id, known.iter().copied().take(MOST_COMPARED)) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("there is {}", shortened(&known[..known.len().min(MOST_COMPARED)].join(", "))),
        },
    };
    Some(Problem::at(got.span.clone(), message).hint(hint))
}

/// The problem of every id that is used twice: in a table, and for parts and features on one surface.
pub(crate) fn doubled(tree: &Node, text: &str) -> Vec<Problem> {
    let mut problems = Vec::new();
    let lines = Lines::of(text);
    for table in ["ground", "surface", "mark", "stripe", "paint"] {
        let items = tree.entry(table).map_or(&[][..], Node::items);
        doubled_in(items, table, &lines, &mut problems);
        if table == "surface" {
            for (surface, inner) in items.iter().flat_map(|item| [(item, "part"), (item, "feature")]) {
                doubled_in(surface.entry(inner).map_or(&[][..], Node::items), inner, &lines, &mut problems);
            }
        }
    }
    problems
}

fn doubled_in(items: &[Node], table: &str, lines: &Lines, problems: &mut Vec<Problem>) {
    let mut first_at = BTreeMap::new();
    for node in items.iter().filter_map(|item| item.entry("id")) {
        let Some(id) = node.text() else { continue };
        match first_at.get(id) {
            None => {
                first_at.insert(id, node.span.start);
            }
            Some(first) => {
                let line = lines.line(*first);
                problems.push(
                    Problem::at(node.span.clone(), format!("a second {table} is called `{}`", shortened(id)))
                        .hint(format!("the first is on line {line}; give each its own id")),
                );
            }
        }
    }
}
