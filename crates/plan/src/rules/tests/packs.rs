//! Every pack that comes with the program can be read, names a source in every row, and shows itself.

use super::*;
use crate::rules::{MarkShades, Shade, check_contrast, document, listing, show};
use document::{Node, Value};

#[test]
fn every_pack_can_be_read_and_has_the_id_it_is_found_by() {
    for (id, text) in builtin() {
        let pack = Pack::read(id, text).unwrap_or_else(|problems| panic!("{id}: {problems:#?}"));
        assert_eq!(&pack.id, id);
    }
}

/// Every table below a node.
fn tables<'d>(node: &'d Node, found: &mut Vec<&'d [document::Entry]>) {
    match &node.value {
        Value::Table(entries) => {
            found.push(entries);
            entries.iter().for_each(|entry| tables(&entry.node, found));
        }
        Value::List(nodes) => nodes.iter().for_each(|node| tables(node, found)),
        _ => {}
    }
}

#[test]
fn every_figure_has_value_unit_bound_basis_and_cite() {
    for (id, text) in builtin() {
        let (root, problems) = document::parse(text);
        assert!(problems.is_empty(), "{id}: {problems:?}");
        let mut found = Vec::new();
        tables(&root, &mut found);
        let mut figures = 0;
        for table in found {
            let keys: Vec<&str> = table.iter().map(|entry| entry.key.as_str()).collect();
            let has_number = table.iter().any(|entry| matches!(entry.node.value, Value::Number(_)));
            if keys.contains(&"value") || has_number {
                figures += 1;
                for key in ["value", "unit", "bound", "basis", "cite"] {
                    assert!(keys.contains(&key), "{id}: a row without {key}: {table:?}");
                }
            }
            if keys.contains(&"basis") {
                assert!(keys.contains(&"cite"), "{id}: a row without its clause: {table:?}");
            }
        }
        assert!(0 < figures, "{id} has figures");
    }
}

#[test]
fn a_broken_pack_names_every_problem_and_its_place() {
    let text = "id = \"own\"\ntitle = 3\nauthority = \"shop\"\nedition = \"first\"\nwidht = 2\n\
                stroke = { value = \"1/0\", unit = \"height\", bound = \"exact\", basis = \"read\", cite = \"\" }\n\
                [[form]]\nparts = [\"[A-\"]\nsay = \"one\"\nbasis = \"rumour\"\ncite = \"x\"\n\
                [[set]]\nany_of = [[\"moon\"]]\nsay = \"far\"\nbasis = \"read\"\ncite = \"x\"\n";
    let problems = Pack::read("own.toml", text).unwrap_err();
    let said: Vec<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
    for part in [
        "title is a number",
        "unknown key \"widht\"",
        "value is \"1/0\"",
        "cite is empty",
        "closing",
        "rumour",
        "moon",
    ] {
        assert!(said.iter().any(|said| said.contains(part)), "{part}: {said:#?}");
    }
    let unknown = problems.iter().find(|problem| problem.message.contains("widht")).unwrap();
    assert_eq!(&text[unknown.span.clone()], "widht");
    assert_eq!(unknown.file, "own.toml");
    assert!(unknown.hint.contains("\"width\""), "{}", unknown.hint);
}

#[test]
fn a_file_that_is_not_toml_is_refused_with_its_place() {
    let problems = Pack::read("own.toml", "id = \n[[[").unwrap_err();
    assert!(!problems.is_empty() && problems.iter().all(|problem| problem.file == "own.toml"));
}

#[test]
fn a_pack_shows_every_clause_it_rests_on_in_lines_of_a_hundred() {
    for (id, text) in builtin() {
        let pack = Pack::read(id, text).unwrap();
        let page = show(&pack);
        assert!(page.lines().all(|line| line.chars().count() <= 100), "{page}");
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let flat = words(&page);
        for row in &pack.heights {
            assert!(flat.contains(&words(&row.height.cite)), "{id}: {} is not shown", row.height.cite);
            assert!(flat.contains(&words(&row.say)), "{id}: {} is not shown", row.say);
        }
    }
}

#[test]
fn the_list_has_a_line_a_pack() {
    let list = listing();
    assert_eq!(list.lines().count(), builtin().len());
    for (line, (id, _)) in list.lines().zip(builtin()) {
        assert!(line.starts_with(id), "{line}");
        assert!(line.chars().count() <= 120, "{line}");
    }
}

#[test]
fn practice_is_labelled_wherever_it_shows() {
    let mut pack = us();
    pack.practice = true;
    let mark = laid(&pack, "N28", 11.0 * INCH, 1.0);
    let unknown = Craft::default();
    let mut findings = crate::rules::check_mark(&pack, &unknown, YEAR, &mark, SHOP_MM);
    findings.extend(crate::rules::check_job(&pack, &unknown, YEAR, &[mark], SHOP_MM));
    let shade =
        |reflectance| Some(Shade { name: "a".to_owned(), reflectance, estimated: true, metallic: true });
    for reflectance in [None, Some(0.3)] {
        let (id, legal, over) = ("reg".to_owned(), true, shade(Some(0.4)));
        let (paint, outline) = (shade(reflectance), None);
        let shades = MarkShades { id, legal, paint, over, outline, shadow: shade(Some(0.6)) };
        findings.extend(check_contrast(Some(&pack), &shades));
    }
    assert!(5 < findings.len());
    for finding in findings {
        assert!(finding.message.contains("unverified practice"), "{finding:?}");
    }
    assert!(show(&pack).contains("unverified practice"));
}

#[test]
fn what_was_not_read_is_shown_and_said_once_a_job() {
    for (id, text) in builtin() {
        let pack = Pack::read(id, text).unwrap();
        assert!(!pack.unread.is_empty(), "{id} says what was not read");
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let page = words(&show(&pack));
        let findings = crate::rules::check_job(&pack, &Craft::default(), YEAR, &[], SHOP_MM);
        let said = message(&findings, "not-read");
        for part in &pack.unread {
            assert!(page.contains(&words(part)) && said.contains(part), "{id}: {part}");
        }
    }
}
