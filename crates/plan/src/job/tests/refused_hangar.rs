//! The degenerate job of the hangar: every line with a remark is refused on that line.

use crate::job::read;
use crate::problem::line_and_column;
use std::collections::BTreeSet;

const TEXT: &str = include_str!("../../../../../hangar/06-degenerate/job.toml");

/// The remark of a line: what follows its `#`, unless the line is nothing but a remark or the `#` opens a colour.
fn remark(line: &str) -> Option<&str> {
    let (typed, remark) = line.split_once("# ")?;
    (!typed.trim().is_empty()).then_some(remark.trim())
}

#[test]
fn every_line_with_a_remark_is_refused_on_its_own_line_and_no_other() {
    let problems = read(TEXT).unwrap_err();
    let refused: BTreeSet<usize> =
        problems.iter().map(|problem| line_and_column(TEXT, problem.span.start).0).collect();
    let remarked: BTreeSet<usize> = (1..)
        .zip(TEXT.lines())
        .filter(|(_, line)| remark(line).is_some())
        .map(|(number, _)| number)
        .collect();
    assert_eq!(refused, remarked, "{problems:#?}");
    assert_eq!(problems.len(), remarked.len(), "one problem a line: {problems:#?}");
    let words: BTreeSet<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(words.len(), problems.len(), "each in its own words");
}

#[test]
fn the_rule_pack_that_is_not_there_is_refused_where_it_is_named() {
    let text = "title = 'Panel'\nrules = 'us-14cfr54'\n[[surface]]\nid = 'fin'\nkind = 'flat'\n\
                corners = [[0, 0], [30, 0], [24, 40]]\n";
    let problems = read(text).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(line_and_column(text, problems[0].span.start), (2, 9));
    assert_eq!(problems[0].message, "no rule pack is called `us-14cfr54`");
}
