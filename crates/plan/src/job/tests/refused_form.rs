//! Files that are not TOML, each told in its own words and at its own place, and without echoes.

use super::refused::{Case, each_in_its_own_words};

/// What stands in the sound job, what is put in its place, and what is said of it where.
const CASES: &[Case] = &[
    (
        r#"title = "Panel""#,
        "title = \"Panel\"\ntitle = \"Other\"",
        &[("2:1", "`title` is written twice in one table")],
    ),
    ("span = 168", "span = 168\nspan = 169", &[("53:1", "`span` is written twice in one table")]),
    (
        "[gun]",
        "[shop]\nhands = 2\n\n[gun]",
        &[
            ("134:2", "`shop` is written twice in one table"),
            ("135:1", "`hands` is written twice in one table"),
        ],
    ),
    (r#"title = "Panel""#, "title = ", &[("1:9", "a value is missing")]),
    (r#"title = "Panel""#, r#"title = "Panel"#, &[("1:15", "a text does not end with its quote")]),
    ("span = 168", "span = 168 in", &[("52:8", "`168 in` is neither a number nor text in quotes")]),
    ("chord = [60, 60]", "chord = [60, 60", &[("54:1", "a list is not closed before this line")]),
    ("[gun]", "[gun", &[("121:5", "not readable as TOML: unclosed table")]),
    (
        "[[paint]]\nid = \"gold\"",
        "[[paint]\nid = \"gold\"",
        &[("118:9", "not readable as TOML: unclosed array table")],
    ),
    ("date = 2026-06-06", "date = 2026-02-30", &[("135:8", "not readable as TOML: invalid date")]),
    (
        r#"text = "N417RW""#,
        r#"text = "N4\q17RW""#,
        &[("74:12", "not readable as TOML: missing escaped value")],
    ),
    (
        r#"text = "N417RW""#,
        "text = \"N4\u{7}17RW\"",
        &[("74:11", "a control character, U+0007, stands in the file")],
    ),
    ("span = 168", "span 168", &[("52:6", "not readable as TOML: key with no value")]),
    ("span = 168", "= 168", &[("52:1", "not readable as TOML: unquoted keys cannot be empty")]),
    (
        "ribs = { every = 12, tape = 2 }",
        "ribs = { every = 12, tape = 2",
        &[("27:1", "a table in braces is not closed before this line")],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30 0], [24, 40], [6, 40]]",
        &[("25:21", "`30 0` is neither a number nor text in quotes")],
    ),
    ("date = 2026-06-06", "date = [1,", &[("135:11", "not readable as TOML: unclosed array")]),
    (r#"text = "N417RW""#, "text = N417RW", &[("74:8", "`N417RW` is neither a number nor text in quotes")]),
    (
        r#"text = "N417RW""#,
        "text = infinity",
        &[("74:8", "`infinity` is neither a number nor text in quotes")],
    ),
    (
        r#"text = "N417RW""#,
        r#"text = "N417RW" x"#,
        &[("74:17", "not readable as TOML: unexpected key or value")],
    ),
    (
        r#"[["reg", "name"]]"#,
        "[a = 1]",
        &[
            ("4:10", "`a` is neither a number nor text in quotes"),
            ("4:12", "not readable as TOML: unexpected `=` in array"),
            ("4:14", "not readable as TOML: missing comma between array elements"),
        ],
    ),
];

#[test]
fn a_broken_form_is_refused_in_its_own_words_and_place() {
    each_in_its_own_words(CASES);
}
