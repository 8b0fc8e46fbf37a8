//! Holds a table of the file against its list of keys: what is unknown, missing, or not what it should be.
//!
//! Every problem is collected. What passes comes out as checked values, in millimetres, minutes and Celsius.

use super::checked::{Checked, Got, Typed, Value};
use super::keys::{Choice, Key, Kind, Need, Table, one_of};
use super::tree::{Entry, Node, Raw, shortened};
use super::types::Unit;
use crate::problem::Problem;
use std::collections::BTreeMap;
use std::ops::Range;

/// Longest list that is read. chosen: ten thousand points are more than anyone measures with a steel tape.
pub(crate) const LONGEST_LIST: usize = 10_000;

/// Collects what is wrong while a tree is read.
pub(crate) struct Checker<'t> {
    /// The text of the file.
    pub(crate) text: &'t str,
    /// The unit of bare numbers.
    pub(crate) units: Unit,
    /// What is wrong.
    pub(crate) problems: Vec<Problem>,
    /// What is not there: only to be believed if the whole file could be made out.
    pub(crate) absences: Vec<Problem>,
}

impl Checker<'_> {
    /// The table at `node`, called `label` in messages.
    pub(crate) fn table(&mut self, node: &Node, table: &'static Table, label: &str) -> Checked {
        let entries = node.entries();
        let kind = kind_of(node, table);
        let mut got = BTreeMap::new();
        for entry in entries {
            let Some(key) = table.key(&entry.key, kind) else {
                let problem = self.stranger(entry, table, kind, label);
                self.problems.push(problem);
                continue;
            };
            let name = if std::ptr::eq(table, &super::keys::top::JOB) {
                format!("`{}`", key.name)
            } else {
                format!("`{}` of {label}", key.name)
            };
            let owner = if std::ptr::eq(table, &super::keys::top::JOB) { "" } else { label };
            if let Some(value) = self.value(&entry.node, &key.kind, &name, owner) {
                got.insert(key.name, Got { value, span: entry.node.span.clone() });
            }
        }
        self.missing(node, table, kind, label);
        for choice in table.choices {
            self.choice(node, choice, kind, label);
        }
        for key in table.keys.iter().filter(|key| key.belongs(kind)) {
            if let (Need::Default(typed), None) = (key.need, node.entry(key.name)) {
                got.entry(key.name)
                    .or_insert_with(|| Got { value: self.default(&key.kind, typed), span: 0..0 });
            }
        }
        Checked { table, kind, label: label.to_owned(), span: node.span.clone(), got }
    }

    /// A key that does not belong here.
    fn stranger(&self, entry: &Entry, table: &Table, kind: Option<&str>, label: &str) -> Problem {
        let typed = shortened(&entry.key);
        if let (Some(key), Some(kind)) = (table.key(&entry.key, None), kind) {
            return Problem::at(
                entry.span.clone(),
                format!("`{typed}` does not belong to {label}, which is of kind `{kind}`"),
            )
            .expected(format!("one of its own keys: {}", names(table, Some(kind))))
            .hint(format!("`{typed}` goes with kind {}", one_of(key.only)));
        }
        // A header is looked for no further back than one is long.
        let before = self.text.get(..entry.span.start).unwrap_or_default().chars().rev();
        let line = before.take(100).take_while(|c| *c != '\n');
        let what = if line.filter(|c| !c.is_whitespace()).last() == Some('[') { "table" } else { "key" };
        let problem = Problem::at(entry.span.clone(), format!("unknown {what} `{typed}` in {label}"));
        let known: Vec<&str> =
            table.keys.iter().filter(|key| key.belongs(kind)).map(|key| key.name).collect();
        match nearest(&entry.key, known.iter().copied()) {
            Some(name) => problem.hint(format!("did you mean `{name}`?")),
            None => problem.hint(format!("its keys are {}", names(table, kind))),
        }
    }

    fn missing(&mut self, node: &Node, table: &Table, kind: Option<&str>, label: &str) {
        for key in table.keys {
            // A key of some kinds only is not missed while the kind itself is unknown.
            let asked = key.only.is_empty() || (kind.is_some() && key.belongs(kind));
            let needed = match key.need {
                Need::Required => true,
                Need::Unless(others) => others.iter().all(|other| node.entry(other).is_none()),
                Need::Default(_) | Need::Else(_) => false,
            };
            if needed && asked && node.entry(key.name).is_none() {
                self.absences.push(
                    Problem::at(node.span.clone(), format!("{label} has no `{}`", key.name))
                        .expected(key.kind.words()),
                );
            }
        }
    }

    fn choice(&mut self, node: &Node, choice: &Choice, kind: Option<&str>, label: &str) {
        if !choice.only.is_empty() && !kind.is_some_and(|kind| choice.only.contains(&kind)) {
            return;
        }
        let words =
            |group: &[&str]| group.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(" with ");
        let all = choice.groups.iter().map(|group| words(group)).collect::<Vec<_>>().join(", or ");
        let begun: Vec<&&[&str]> =
            choice.groups.iter().filter(|group| group.iter().any(|key| node.entry(key).is_some())).collect();
        match begun[..] {
            [] if choice.needed => {
                let none = choice.groups.iter().map(|group| words(group)).collect::<Vec<_>>().join(" nor ");
                self.absences.push(Problem::at(node.span.clone(), format!("{label} has neither {none}")));
            }
            [] => {}
            [group] => {
                for key in group.iter().filter(|key| node.entry(key).is_none()) {
                    let message = format!("{label} has no `{key}`");
                    self.absences.push(Problem::at(node.span.clone(), message).expected(words(group)));
                }
            }
            _ => {
                let both = begun.iter().map(|group| words(group)).collect::<Vec<_>>().join(" and ");
                // The later of the two is the one that was too much.
                let first_of = |group: &&&[&str]| {
                    let own = node.entries().iter().find(|entry| group.contains(&entry.key.as_str()));
                    own.map(|entry| entry.span.clone())
                };
                let late = begun.iter().filter_map(first_of).max_by_key(|span| span.start);
                self.problems.push(
                    Problem::at(
                        late.unwrap_or_else(|| node.span.clone()),
                        format!("{label} has both {both}"),
                    )
                    .expected(format!("one only: {all}")),
                );
            }
        }
    }

    /// The value at `node` as `kind`; `None` if a problem was found. `name` is what messages call it, `owner`
    /// the table it belongs to (empty for the job itself).
    pub(crate) fn value(&mut self, node: &Node, kind: &Kind, name: &str, owner: &str) -> Option<Value> {
        match (kind, &node.raw) {
            (Kind::Pair(item), Raw::List(items)) => self.pair(node, items, item, name, owner),
            (Kind::OneOrPair(item), Raw::List(items)) => self.pair(node, items, item, name, owner),
            (Kind::OneOrPair(item), _) => {
                let one = self.value(node, item, name, owner)?;
                let got = Got { value: one, span: node.span.clone() };
                Some(Value::List(vec![got.clone(), got]))
            }
            (Kind::OneOrList(item), Raw::List(items)) => self.list(node, items, item, 2, name, owner),
            (Kind::OneOrList(item), _) => {
                let one = self.value(node, item, name, owner)?;
                Some(Value::List(vec![Got { value: one, span: node.span.clone() }]))
            }
            (Kind::List(item, least), Raw::List(items)) => self.list(node, items, item, *least, name, owner),
            (Kind::Spot, Raw::List(items)) if items.len() == 3 => self.scan_point(node, items, name),
            (Kind::Spot, _) => self.value(node, &super::keys::POINT, name, owner).or_else(|| {
                self.three_too(node);
                None
            }),
            (Kind::ScanPoint, Raw::List(items)) if items.len() == 3 => self.scan_point(node, items, name),
            (Kind::Table(table) | Kind::WordOrTable(_, table) | Kind::TimeAt(table), Raw::Table(_)) => {
                let label =
                    if owner.is_empty() { table.name.to_owned() } else { inner_label(name, table, owner) };
                let before = self.problems.len() + self.absences.len();
                let checked = self.table(node, table, &label);
                let sound = before == self.problems.len() + self.absences.len();
                (sound || owner.is_empty()).then_some(Value::Table(checked))
            }
            (Kind::Table(table), Raw::List(items)) if owner.is_empty() => {
                let message = match items.len() {
                    1 => format!("{name} is a list of tables, but there is one only"),
                    times => format!("{name} is there {times} times, but there is one only"),
                };
                let problem = Problem::at(node.span.clone(), message);
                self.problems.push(problem.expected(format!("one table, {}", table.written)));
                None
            }
            (Kind::Pairs(limits), Raw::Table(_)) => self.pairs(node, limits, name),
            (Kind::Tables(table), raw) => self.tables(node, raw, table, name, owner),
            _ => self.single(node, kind, name),
        }
    }

    fn pair(&mut self, node: &Node, items: &[Node], item: &Kind, name: &str, owner: &str) -> Option<Value> {
        if items.len() != 2 {
            let values = if items.len() == 1 { "value" } else { "values" };
            let message = format!("{name} has {} {values}, not 2", items.len());
            self.problems.push(Problem::at(node.span.clone(), message).expected(Kind::words(item)));
            return None;
        }
        self.list(node, items, item, 2, name, owner)
    }

    /// A list too long to be meant is refused as one thing.
    fn list(
        &mut self,
        node: &Node,
        items: &[Node],
        item: &Kind,
        least: usize,
        name: &str,
        owner: &str,
    ) -> Option<Value> {
        if items.len() > LONGEST_LIST {
            let message = format!("{name} is a list of {}, more than {LONGEST_LIST}", items.len());
            self.problems.push(Problem::at(node.span.clone(), message));
            return None;
        }
        let mut list = Vec::with_capacity(items.len());
        for (idx, node) in items.iter().enumerate() {
            let item_name =
                if items.len() == 1 { name.to_owned() } else { format!("{name}, item {}", idx + 1) };
            let name = if matches!(item, Kind::Length(_)) { name } else { &item_name };
            if let Some(value) = self.value(node, item, name, owner) {
                list.push(Got { value, span: node.span.clone() });
            }
        }
        if items.len() < least {
            let has = items.len();
            let things = match (item, has) {
                (Kind::Pair(_) | Kind::Spot, 1) => "point",
                (Kind::Pair(_) | Kind::Spot, _) => "points",
                (_, 1) => "entry",
                _ => "entries",
            };
            let message = format!("{name} has {has} {things}, at least {least} needed");
            self.problems.push(Problem::at(node.span.clone(), message));
            return None;
        }
        (list.len() == items.len()).then_some(Value::List(list))
    }

    fn tables(
        &mut self,
        node: &Node,
        raw: &Raw,
        table: &'static Table,
        name: &str,
        owner: &str,
    ) -> Option<Value> {
        match raw {
            Raw::Table(_) => {
                let message = format!("{name} is a single table");
                let hint = format!("write double brackets, {}, as there may be several", table.written);
                self.problems.push(Problem::at(node.span.clone(), message).hint(hint));
            }
            Raw::List(_) => {}
            _ => {
                self.wrong_type(node, &Kind::Tables(table), name);
                return None;
            }
        }
        let mut list = Vec::new();
        for (idx, item) in node.items().iter().enumerate() {
            if matches!(item.raw, Raw::Table(_)) {
                let id = item.entry("id").and_then(Node::text).filter(|id| !id.trim().is_empty());
                let mut label = match id {
                    Some(id) => format!("{} `{}`", table.name, shortened(id)),
                    None => format!("{} {}", table.name, idx + 1),
                };
                if !owner.is_empty() {
                    label = format!("{label} of {owner}");
                }
                list.push(Got {
                    value: Value::Table(self.table(item, table, &label)),
                    span: item.span.clone(),
                });
            } else {
                self.wrong_type(item, &Kind::Table(table), name);
            }
        }
        Some(Value::List(list))
    }

    fn scan_point(&mut self, node: &Node, items: &[Node], name: &str) -> Option<Value> {
        let mut list = Vec::with_capacity(3);
        for item in items {
            let typed = match &item.raw {
                // A bare number is in the scan's own unit, which is not known here: only its use can judge its size.
                Raw::Number(number) => {
                    self.finite(item, *number, name).map(|n| Typed { mm: n, bare: Some(n) })
                }
                Raw::Text(text) => self.length_text(item, text, name).map(|mm| Typed { mm, bare: None }),
                _ => {
                    self.wrong_type(node, &Kind::ScanPoint, name);
                    None
                }
            }?;
            list.push(Got { value: Value::Length(typed), span: item.span.clone() });
        }
        Some(Value::List(list))
    }

    /// Adds to a problem about two positions that a scan takes three.
    fn three_too(&mut self, node: &Node) {
        if let Some(problem) = self.problems.last_mut().filter(|problem| problem.span == node.span) {
            problem.hint = "a point on a scan has three numbers".to_owned();
        }
    }

    /// Not what kind of value it should be.
    pub(crate) fn wrong_type(&mut self, node: &Node, kind: &Kind, name: &str) {
        let message = format!("{name} is {}", self.found(node));
        self.problems.push(Problem::at(node.span.clone(), message).expected(kind.words()));
    }

    /// What stands there, for a message.
    pub(crate) fn found(&self, node: &Node) -> String {
        let typed = || shortened(self.text.get(node.span.clone()).unwrap_or_default());
        match &node.raw {
            Raw::Text(text) => format!("the text `{}`", shortened(text)),
            Raw::Number(_) => format!("the number {}", typed()),
            Raw::Flag(flag) => format!("{flag}"),
            Raw::Date(_) => format!("the day {}", typed()),
            Raw::DateTime(_) => format!("the day and time {}", typed()),
            Raw::ForeignTime(what) => format!("{what}, {}", typed()),
            Raw::List(_) => "a list".to_owned(),
            Raw::Table(_) => "a table".to_owned(),
        }
    }

    /// The value of a default; it was typed by us and is checked like any other.
    fn default(&mut self, kind: &Kind, typed: &str) -> Value {
        let raw = match kind {
            Kind::Flag => Raw::Flag(typed == "true"),
            Kind::Number(_) | Kind::Whole(..) => Raw::Number(typed.parse().unwrap_or(f64::NAN)),
            _ => Raw::Text(typed.to_owned()),
        };
        let node = Node { span: 0..0, raw };
        if let Kind::Pair(item) = kind {
            let got = Got { value: self.default(item, typed), span: 0..0 };
            return Value::List(vec![got.clone(), got]);
        }
        // `No distance` passes as a position or a spare distance, whatever it is typed in.
        self.value(&node, kind, "a default", "").unwrap_or(Value::Flag(false))
    }

    /// The span of a part of a text, if the text stands in the file as it is, else that of the whole text.
    pub(crate) fn part_of_text(&self, node: &Node, text: &str, part: Range<usize>) -> Range<usize> {
        let typed = self.text.get(node.span.clone()).unwrap_or_default();
        let plain = typed.len() == text.len() + 2 && typed.get(1..=text.len()) == Some(text);
        if !plain {
            return node.span.clone();
        }
        let start = node.span.start + 1;
        start + part.start..start + part.end
    }
}

/// The known kind of a table whose keys depend on it.
fn kind_of(node: &Node, table: &Table) -> Option<&'static str> {
    let typed = node.entry("kind")?.text()?;
    table.kinds.iter().find(|kind| **kind == typed).copied()
}

/// What a table inside another is called: ribs of surface x, parts 2 of paint y.
fn inner_label(name: &str, table: &Table, owner: &str) -> String {
    let key = name.replace('`', "");
    let key = key.split(" of ").next().unwrap_or(table.name).to_owned();
    let item = name.rsplit_once(", item ").map(|(_, n)| format!(" {n}")).unwrap_or_default();
    format!("{key}{item} of {owner}")
}

fn names(table: &Table, kind: Option<&str>) -> String {
    table
        .keys
        .iter()
        .filter(|key: &&Key| key.belongs(kind))
        .map(|key| key.name)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The known word nearest to a typed one, if it is near enough to be a slip of the fingers.
///
/// chosen: at most two letters wrong, and fewer than half of them; a swap of neighbours counts one.
pub(crate) fn nearest<'w>(typed: &str, known: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    if typed.len() > 60 {
        return None;
    }
    // An id of the file may be spoilt itself; what cannot be read is no help.
    known
        .filter(|word| !word.contains(char::is_control))
        .map(|word| (strsim::damerau_levenshtein(&typed.to_lowercase(), word), word))
        .filter(|(wrong, word)| *wrong <= 2 && wrong * 2 < word.chars().count())
        .min_by_key(|(wrong, _)| *wrong)
        .map(|(_, word)| word)
}
