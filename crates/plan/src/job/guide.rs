//! The reference page of the job file, made from the lists of keys, so that it never lags behind the reader.

use super::keys::top::JOB;
use super::keys::{Need, Table};
use std::fmt::Write;

/// The page in Markdown, one table of the file a section.
pub fn page() -> String {
    let mut page = String::from(HEAD);
    for table in JOB.all() {
        section(&mut page, table);
    }
    page
}

const HEAD: &str = "\
# The job file

One text file holds everything that was asked: what is painted on, what is painted, where, and with what. It is
TOML; `maskwright new FILE` writes one to start from, with a comment on every key.

This page is made from the program's own list of keys. Change the list, not the page.

**Lengths.** A bare number is in the file's `units`. Any length may be text with its own unit instead: `\"24 3/8 in\"`,
`\"24-3/8 in\"`, `\"1 ft 6 1/2 in\"`, `\"1' 6-1/2\\\"\"`, `\"1′ 6½″\"`, `\"600 mm\"`, `\"60 cm\"`, `\"1.5 m\"`, `\"36 yd\"`. A decimal
point, never a comma. Only feet and inches go together.

**Other amounts** are text and say their unit: temperatures `\"72 F\"` or `\"21 C\"`, times `\"24 h\"`, `\"45 min\"`, `\"5 d\"`
or `\"1 h 30 min\"`, times of day `\"08:00\"`, travel `\"18 in/s\"`. Days and times are the shop's own clock and stand
without quotes: `2026-06-06`, `2026-06-04T15:00:00`.

**Ids** are 1 to 40 of a-z, 0-9 and -, not opening with -, each once in its table.

**Unknown keys** are refused, with the nearest known one. Every problem of a file is told at once.
";

fn section(page: &mut String, table: &Table) {
    // Writing to a String cannot fail.
    let _ = write!(page, "\n## `{}`\n\n{}\n\n", table.written, table.doc);
    page.push_str("| key | holds | without it | |\n| --- | --- | --- | --- |\n");
    for key in table.keys {
        let only = match key.only {
            [] => String::new(),
            kinds => format!(" ({})", kinds.join(", ")),
        };
        let without = match key.need {
            Need::Required => "**required**".to_owned(),
            Need::Default(typed) => format!("`{typed}`"),
            Need::Else(what) => what.to_owned(),
        };
        let _ = writeln!(page, "| `{}`{only} | {} | {without} | {} |", key.name, key.kind.words(), key.doc);
    }
    for choice in table.choices {
        let groups: Vec<String> = choice
            .groups
            .iter()
            .map(|group| group.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(" with "))
            .collect();
        let how = if choice.needed { "Exactly one of" } else { "At most one of" };
        let which = if choice.only.is_empty() { "" } else { " (where they belong)" };
        let _ = write!(page, "\n{how}{which}: {}.\n", groups.join("; "));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// `UPDATE_DOCS=1 cargo test -p plan` writes the page anew.
    #[test]
    fn the_committed_page_is_what_the_keys_say() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide/job-file.md");
        if std::env::var_os("UPDATE_DOCS").is_some() {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, page()).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(committed == page(), "docs/guide/job-file.md lags behind the keys: run with UPDATE_DOCS=1");
    }

    #[test]
    fn every_key_is_on_the_page() {
        let page = page();
        for table in JOB.all() {
            assert!(page.contains(&format!("## `{}`", table.written)), "{}", table.written);
            for key in table.keys {
                assert!(page.contains(&format!("| `{}`", key.name)), "{}", key.name);
            }
        }
    }
}
