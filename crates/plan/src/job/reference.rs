//! The reference page of the job file: every table and key, in a painter's words, made from `keys`.

use super::keys::top::JOB;
use super::keys::{Choice, Key, Need, Table};

/// The page as Markdown: what holds everywhere, then one section with one list a table.
///
/// # Example: every table has a section
/// ```
/// assert!(plan::job::reference_page().contains("\n## `[[mark]]`\n"));
/// ```
pub fn reference_page() -> String {
    let mut page = String::from(HEAD);
    for table in JOB.all() {
        section(&mut page, table);
    }
    page
}

/// What holds for every table.
const HEAD: &str = "\
# The job file

A job file is TOML text. Its tables and keys follow, in the order one writes them. `maskwright new FILE` writes a
file to start from, and `maskwright schema` prints a JSON Schema for editors that can use one.

- **Lengths.** A bare number is in the file's `units`. As text a length says its own unit: `\"24 3/8 in\"`,
  `\"24-3/8 in\"`, `\"1 ft 6 1/2 in\"`, `\"1' 6-1/2\\\"\"`, `\"600 mm\"`. Units are in, ft, yd, mm, cm and m. Decimals
  take a point, never a comma.
- **Positions** are two lengths on the skin. On a wing: along the span from the root rib and square to it, then along
  the skin from the leading edge (or as `t_from` says). On a flat panel: to the right and up from the datum corner. On a body: the station,
  then along the skin up from the waterline. On a scan: three
  numbers in the scan's own axes and unit, each taken at the spot of the skin nearest to it.
- **Ids** are 1 to 40 of a-z, 0-9 and -, not opening with -, each once in its table.
- **Times** and temperatures say their unit. Days and times of day are the shop's own clock.
- **Unknown keys** are errors, so that a slip of the fingers is not overlooked.

This page is made from the lists the program reads by: do not edit it by hand.
";

fn section(page: &mut String, table: &Table) {
    let heading = if std::ptr::eq(table, &JOB) { table.written.to_owned() } else { code(table.written) };
    page.push_str(&format!("\n## {heading}\n\n{}\n\n", escaped(table.doc)));
    let kinds = !table.kinds.is_empty();
    page.push_str(if kinds {
        "| key | kinds | holds | if absent | what it is |\n| --- | --- | --- | --- | --- |\n"
    } else {
        "| key | holds | if absent | what it is |\n| --- | --- | --- | --- |\n"
    });
    for key in table.keys {
        let of = if kinds { format!(" {} |", of_kinds(table, key)) } else { String::new() };
        page.push_str(&format!(
            "| `{}` |{of} {} | {} | {} |\n",
            key.name,
            escaped(&key.kind.words()),
            if_absent(table, key),
            escaped(key.doc)
        ));
    }
    for choice in table.choices {
        page.push_str(&format!("\n{}\n", choice_words(choice)));
    }
}

/// The kinds a key belongs to; all but a few are told by the few.
fn of_kinds(table: &Table, key: &Key) -> String {
    let list = |kinds: &[&str]| kinds.join(", ");
    let others: Vec<&str> = table.kinds.iter().copied().filter(|kind| !key.only.contains(kind)).collect();
    match key.only {
        [] => "all".to_owned(),
        only if only.len() <= others.len() || table.kinds.len() <= 4 => list(only),
        _ => format!("all but {}", list(&others)),
    }
}

fn if_absent(table: &Table, key: &Key) -> String {
    match (key.need, key.default_typed()) {
        (Need::Required, _) => "**required**".to_owned(),
        (Need::Unless(others), _) => {
            let others: Vec<String> = others.iter().map(|key| code(key)).collect();
            format!("**required**, unless there is {}", others.join(" or "))
        }
        (_, Some(typed)) => code(&typed),
        (Need::Else(words), _) => escaped(words),
        (Need::Default(_), None) => unreachable!("`{}` of {} has a default", key.name, table.written),
    }
}

fn choice_words(choice: &Choice) -> String {
    let groups: Vec<String> = choice
        .groups
        .iter()
        .map(|group| group.iter().map(|key| code(key)).collect::<Vec<_>>().join(" with "))
        .collect();
    let how = if choice.needed { "Exactly one" } else { "At most one" };
    format!("{how} of: {}.", groups.join("; "))
}

/// Literal text that a Markdown table keeps as it is.
fn code(text: &str) -> String {
    format!("`{}`", text.replace('|', "\\|"))
}

/// Plain text for a cell of a table: nothing in it is taken as markup.
fn escaped(text: &str) -> String {
    text.replace('|', "\\|").replace('<', "&lt;")
}
