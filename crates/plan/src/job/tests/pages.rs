//! The reference page in the guide is the one the lists of keys give.
//!
//! With `UPDATE_DOCS=1` in the environment the page is written instead of compared.

use crate::job::keys::top::JOB;
use crate::job::{reference_page, schema};

#[test]
fn the_reference_page_in_the_guide_is_up_to_date() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/guide/job-file.md");
    let page = reference_page();
    if std::env::var_os("UPDATE_DOCS").is_some_and(|set| set == "1") {
        std::fs::write(path, &page).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default().replace("\r\n", "\n");
    // Compared by line, so that the first line that differs is told and not the whole page.
    for (idx, (kept, made)) in kept.lines().zip(page.lines()).enumerate() {
        assert_eq!(kept, made, "line {} of the page; UPDATE_DOCS=1 writes it anew", idx + 1);
    }
    assert_eq!(kept.lines().count(), page.lines().count(), "UPDATE_DOCS=1 writes the page anew");
}

#[test]
fn every_key_is_on_the_page_and_in_the_schema() {
    let (page, schema) = (reference_page(), schema());
    for table in JOB.all() {
        let own = if std::ptr::eq(table, &JOB) {
            &schema["properties"]
        } else {
            &schema["$defs"][table.name.replace(' ', "-")]["properties"]
        };
        for key in table.keys {
            assert!(page.contains(&format!("| `{}` |", key.name)), "{}", key.name);
            assert!(own.get(key.name).is_some(), "{} of {}", key.name, table.written);
        }
    }
}

#[test]
fn every_row_of_a_list_on_the_page_has_as_many_cells_as_its_head() {
    let mut cells = 0;
    for line in reference_page().lines() {
        let own = line.replace("\\|", "").matches('|').count();
        if own == 0 {
            cells = 0;
        } else if cells == 0 {
            cells = own;
        }
        assert_eq!(own, cells, "{line}");
    }
}
