//! Ids: each once in its table, and every one that is spoken of is there.

use super::check::nearest;
use super::checked::{Checked, Got};
use super::tree::Lines;
use super::tree::{Node, shortened};
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// The ids of the tables that others speak of, taken from the file itself so that an id counts as known even if
/// something else in its table is wrong.
pub(crate) struct Ids<'n> {
    surfaces: BTreeSet<&'n str>,
    marks: BTreeSet<&'n str>,
    paints: BTreeSet<&'n str>,
    grounds_and_paints: BTreeSet<&'n str>,
}

impl<'n> Ids<'n> {
    /// Those of the file.
    pub(crate) fn of(tree: &'n Node) -> Ids<'n> {
        let ids = |table: &str| -> BTreeSet<&'n str> {
            let items = tree.entry(table).map_or(&[][..], Node::items);
            items.iter().filter_map(|item| item.entry("id")?.text()).collect()
        };
        let paints = ids("paint");
        let grounds_and_paints = &ids("ground") | &paints;
        Ids { surfaces: ids("surface"), marks: ids("mark"), paints, grounds_and_paints }
    }

    /// The problem of every id spoken of that is not there.
    pub(crate) fn dangling(&self, job: &Checked) -> Vec<Problem> {
        let mut problems = Vec::new();
        for item in job.tables("mark").chain(job.tables("stripe")) {
            let mut ask = |table: &Checked, key: &str, known: &BTreeSet<&str>, what: &str| {
                problems.extend(table.get(key).and_then(|got| dangling(got, key, &item.label, known, what)));
            };
            ask(item, "surface", &self.surfaces, "surface");
            ask(item, "paint", &self.paints, "paint");
            ask(item, "over", &self.grounds_and_paints, "ground or paint");
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

/// Most ids among which the nearest one is looked for, so that a huge file costs no more than its length.
const MOST_SEARCHED: usize = 500;

fn dangling(got: &Got, key: &str, owner: &str, known: &BTreeSet<&str>, what: &str) -> Option<Problem> {
    let id = got.text()?;
    if known.contains(&id) {
        return None;
    }
    let of_owner = if owner.is_empty() { String::new() } else { format!(" of {owner}") };
    let message = format!("`{key}`{of_owner} names `{id}`, but there is no {what} of that id");
    let near = || nearest(id, known.iter().copied());
    let hint = if known.is_empty() {
        format!("there is no {what} in the file yet")
    } else if known.len() > MOST_SEARCHED {
        format!("there are {} others", known.len())
    } else if let Some(near) = near() {
        format!("did you mean \"{near}\"?")
    } else {
        format!("there is {}", shortened(&known.iter().copied().collect::<Vec<_>>().join(", ")))
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
