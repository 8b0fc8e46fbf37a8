//! Ids: each once in its table, and every one that is spoken of is there.

use super::check::nearest;
use super::checked::{Checked, Got};
use super::lines::Lines;
use super::tree::{Node, shortened};
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

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
    /// Every mark and stripe as it stands in the file, by where it begins.
    items: BTreeMap<usize, &'n Node>,
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
            items: ["mark", "stripe"]
                .iter()
                .flat_map(|table| tree.entry(table).map_or(&[][..], Node::items))
                .map(|item| (item.span.start, item))
                .collect(),
        }
    }

    /// The problem of every id spoken of that is not there.
    pub(crate) fn dangling(&self, job: &Checked) -> Vec<Problem> {
        let mut problems = Vec::new();
        for item in job.tables("mark").chain(job.tables("stripe")) {
            let stripe = item.table.name == "stripe";
            let mut ask = |named: Option<(&str, &Range<usize>)>, key: &str, owner: &str, known, what| {
                let own = item.text("id").filter(|_| what == "stripe");
                problems.extend(named.and_then(|named| dangling(named, key, owner, known, what, own)));
            };
            let own = |key: &str| item.get(key).and_then(|got| Some((got.text()?, &got.span)));
            ask(own("surface"), "surface", &item.label, &self.surfaces, "surface");
            ask(own("paint"), "paint", &item.label, &self.paints, "paint");
            ask(own("over"), "over", &item.label, &self.grounds_and_paints, "ground or paint");
            // What a table within it names is asked of the file itself: with another fault it is not among what was checked.
            let within = |inner: &str, key: &str| {
                let node = self.items.get(&item.span.start)?;
                let named = node.entry(inner)?.entry(key)?;
                Some((named.text()?, &named.span))
            };
            let inner = |name: &str| format!("{name} of {}", item.label);
            if stripe {
                ask(own("mirror_of"), "mirror_of", &item.label, &self.stripes, "stripe");
                ask(within("along", "stripe"), "stripe", &inner("along"), &self.stripes, "stripe");
                if let Some(features) = item.text("surface").and_then(|id| self.features.get(id)) {
                    ask(within("along", "feature"), "feature", &inner("along"), features, "feature");
                }
            } else {
                for further in ["outline", "shadow"] {
                    ask(within(further, "paint"), "paint", &inner(further), &self.paints, "paint");
                }
            }
        }
        let mut grouped = BTreeMap::new();
        for got in job.list("alike").iter().flat_map(Got::list) {
            let named = got.text().map(|id| (id, &got.span));
            problems.extend(named.and_then(|named| dangling(named, "alike", "", &self.marks, "mark", None)));
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

/// `own` is never offered: nothing runs along itself.
fn dangling(
    (id, span): (&str, &Range<usize>),
    key: &str,
    owner: &str,
    known: &Known<'_>,
    what: &str,
    own: Option<&str>,
) -> Option<Problem> {
    if known.all.contains(id) {
        return None;
    }
    let of_owner = if owner.is_empty() { String::new() } else { format!(" of {owner}") };
    let message = format!("`{key}`{of_owner} names `{id}`, but there is no {what} of that id");
    let others: Vec<&str> = known.in_order.iter().copied().filter(|id| Some(*id) != own).collect();
    let hint = match &others[..] {
        [] if own.is_some() => format!("there is no other {what} in the file yet"),
        [] => format!("there is no {what} in the file yet"),
        known => match nearest(id, known.iter().copied().take(MOST_COMPARED)) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("there is {}", shortened(&known[..known.len().min(MOST_COMPARED)].join(", "))),
        },
    };
    Some(Problem::at(span.clone(), message).hint(hint))
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
