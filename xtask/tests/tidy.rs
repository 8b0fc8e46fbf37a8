//! The house rules that a machine can hold: one-way stages, heads, tolerances, one file a foreign crate.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("xtask lies in the workspace").to_owned()
}

/// Files below `dir` with one of the endings, in order.
fn files(dir: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(dir).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if path.is_dir() && name != "target" && name != "node_modules" && !name.starts_with('.') {
            found.extend(files(&path, endings));
        } else if endings.iter().any(|e| name.ends_with(e)) {
            found.push(path);
        }
    }
    found
}

fn rust_files(below: &str) -> Vec<(String, String)> {
    files(&root().join(below), &[".rs"]).into_iter().map(read).collect()
}

fn read(path: PathBuf) -> (String, String) {
    let text = fs::read_to_string(&path).unwrap();
    (path.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/"), text)
}

/// Code before the tests at a file's end, comments left out.
fn code(text: &str) -> String {
    let tests = text.match_indices("#[cfg(test)]\n").find(|(at, mark)| {
        text[at + mark.len()..]
            .lines()
            .next()
            .is_some_and(|line| line.contains("mod ") && line.ends_with('{'))
    });
    let before = tests.map_or(text, |(at, _)| &text[..at]);
    before.lines().map(|l| l.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

fn is_test(path: &str) -> bool {
    path.contains("/tests")
        || path.ends_with("_tests.rs")
        || path.contains("/examples/")
        || path.contains("/benches/")
}

#[test]
fn stages_use_only_stages_before_them() {
    let stages = ["job", "surface", "marks", "fit", "stripe", "mask", "spray", "book"];
    let beside = ["finding", "problem", "rules", "words"];
    let mut wrong = Vec::new();
    for (path, text) in rust_files("crates/plan/src") {
        let stage =
            path.strip_prefix("crates/plan/src/").unwrap().split(['/', '.']).next().unwrap().to_owned();
        let later: Vec<&str> = match stages.iter().position(|s| *s == stage) {
            Some(k) => stages[k + 1..].to_vec(),
            None if beside.contains(&stage.as_str()) => stages.to_vec(),
            None => continue,
        };
        for word in later {
            if code(&text).contains(&format!("crate::{word}")) {
                wrong.push(format!("{path} uses {word}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn pure_crates_touch_no_files_and_read_no_clock() {
    let mut wrong = Vec::new();
    for below in ["crates/geom/src", "crates/skin/src", "crates/sheet/src", "crates/plan/src"] {
        for (path, text) in rust_files(below) {
            if is_test(&path) {
                continue;
            }
            for word in
                ["std::fs", "std::net", "std::process", "std::time", "std::env", "println!", "eprintln!"]
            {
                if code(&text).contains(word) {
                    wrong.push(format!("{path}: {word}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_file_opens_by_saying_what_it_is_for() {
    let mut wrong = Vec::new();
    for below in ["crates", "xtask"] {
        for (path, text) in rust_files(below) {
            if !text.starts_with("//! ") {
                wrong.push(path.clone());
            }
            if text.lines().count() > 800 {
                wrong.push(format!("{path}: over 800 lines"));
            }
            if ["utils", "common", "misc", "manager"].iter().any(|w| path.ends_with(&format!("/{w}.rs"))) {
                wrong.push(path);
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_small_number_stands_outside_the_list_of_tolerances() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files("crates") {
        if path.ends_with("geom/src/tolerance.rs") || is_test(&path) {
            continue;
        }
        for (n, line) in code(&text).lines().enumerate() {
            let small = line.split(|c: char| !(c.is_alphanumeric() || "-._".contains(c))).any(|word| {
                word.starts_with(|c: char| c.is_ascii_digit())
                    && word.split_once("e-").is_some_and(|(_, k)| k.starts_with(|c: char| c.is_ascii_digit()))
            });
            if small {
                wrong.push(format!("{path}:{}: {}", n + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn one_file_knows_each_foreign_crate() {
    // Crate, and the files that may name it.
    let known: &[(&str, &[&str])] = &[
        ("amd::", &["crates/skin/src/flatten/sparse.rs"]),
        ("kurbo::", &["crates/geom/src/point.rs"]),
        ("glam::", &["crates/geom/src/point.rs"]),
        ("jiff::", &["crates/plan/src/spray/clock.rs"]),
        ("i_overlay::", &["crates/geom/src/boolean.rs"]),
        ("annotate_snippets::", &["crates/cli/src/report.rs"]),
        ("typst::", &["crates/book-pdf/src/typeset.rs"]),
        ("typst_layout::", &["crates/book-pdf/src/typeset.rs"]),
        ("typst_pdf::", &["crates/book-pdf/src/typeset.rs"]),
        ("clap::", &["crates/cli/src/args.rs"]),
        ("ttf_parser::", &["crates/plan/src/marks/font/face.rs", "crates/sheet/src/pdf_font.rs"]),
        ("pdf_writer::", &["crates/sheet/src/pdf.rs"]),
        ("unicode_normalization::", &["crates/sheet/src/signs.rs"]),
        ("miniz_oxide::", &["crates/sheet/src/pdf.rs"]),
        ("toml::", &["crates/plan/src/job/tree.rs", "crates/plan/src/rules/document.rs"]),
    ];
    let mut wrong = Vec::new();
    for (path, text) in rust_files("crates") {
        let code = code(&text);
        for (name, may) in known {
            let names = code
                .match_indices(name)
                .any(|(at, _)| !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'));
            if names && !may.contains(&path.as_str()) && !is_test(&path) {
                wrong.push(format!("{path} names {name}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_path_of_one_machine_stands_in_the_project() {
    let mut wrong = Vec::new();
    for path in files(&root(), &[".rs", ".toml", ".md", ".py", ".svg", ".json", ".dat"]) {
        let (path, text) = read(path);
        for folder in ["work", "root", "home", "tmp"] {
            let word = format!("/{folder}/");
            for (at, _) in text.match_indices(&word) {
                let before = text[..at].chars().next_back().unwrap_or(' ');
                if !(before.is_alphanumeric() || ".-_".contains(before)) {
                    wrong.push(format!("{path}: {word}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_pack_has_a_ledger_and_every_decision_a_number() {
    for path in files(&root().join("data/rules"), &[".toml"]) {
        let pack = path.file_stem().unwrap().to_str().unwrap().to_owned();
        assert!(root().join(format!("docs/conformance/{pack}.md")).is_file(), "{pack} has no ledger");
    }
    for path in files(&root().join("docs/decisions"), &[".md"]) {
        let name = path.file_name().unwrap().to_str().unwrap();
        assert!(name.len() > 5 && name[..4].chars().all(|c| c.is_ascii_digit()), "{name}");
    }
}
