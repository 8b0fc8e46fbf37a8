//! The ledgers of `docs/conformance/` that name tests: each test is there, and no row is without one or a reason.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("xtask lies in the workspace").to_owned()
}

/// Names of all functions marked as tests below `crates`.
fn tests() -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let mut folders = vec![root().join("crates")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let text = fs::read_to_string(path).unwrap();
                for after in text.split("#[test]").skip(1) {
                    let name = after.split("fn ").nth(1).and_then(|rest| rest.split('(').next());
                    names.insert(name.unwrap_or_default().to_owned());
                }
            }
        }
    }
    names
}

/// Cells of the rows of a ledger's table.
fn rows(ledger: &str) -> Vec<Vec<String>> {
    let text = fs::read_to_string(root().join("docs/conformance").join(ledger)).unwrap();
    let rows = text.lines().filter(|line| line.starts_with("| ")).skip(2);
    rows.map(|row| row.trim_matches('|').split(" | ").map(|cell| cell.trim().to_owned()).collect()).collect()
}

fn quoted(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

fn every_row_has_a_test_that_is_there(ledger: &str) {
    let tests = tests();
    for row in rows(ledger) {
        assert_eq!(row.len(), 4, "{ledger}: {row:?}");
        let named = quoted(&row[3]);
        assert!(!named.is_empty() || row[3].starts_with("no test: "), "{ledger}: {row:?}");
        for name in named {
            assert!(tests.contains(name), "{ledger} names the test `{name}`, which is not there");
        }
    }
}

#[test]
fn every_worked_example_has_its_test() {
    every_row_has_a_test_that_is_there("worked-examples.md");
    assert!(15 < rows("worked-examples.md").len());
}

#[test]
fn each_of_the_28_ways_to_be_wrong_has_its_test_or_a_reason() {
    every_row_has_a_test_that_is_there("failure-modes.md");
    let numbers: Vec<String> = rows("failure-modes.md").into_iter().map(|row| row[0].clone()).collect();
    assert_eq!(numbers, (1..=28).map(|n| n.to_string()).collect::<Vec<_>>());
}
