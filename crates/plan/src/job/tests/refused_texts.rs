//! Texts, ids and values of the wrong type that are refused, each with its own words and at its own place.

use super::refused::{Case, each_in_its_own_words};

/// What stands in the sound job, what is put in its place, and what is said of it where.
const CASES: &[Case] = &[
    (r#"title = "Panel""#, r#"title = """#, &[("1:9", "`title` is empty")]),
    (r#"title = "Panel""#, r#"title = "  ""#, &[("1:10", "`title` is blank")]),
    (r#"text = "N417RW""#, r#"text = """#, &[("74:8", "`text` of mark `reg` is empty")]),
    (r#"text = "N417RW""#, r#"text = "\t""#, &[("74:8", "`text` of mark `reg` is blank")]),
    (
        r#"text = "N417RW""#,
        r#"text = "N417RW N417RW N417RW N417RW N417RW N417RW""#,
        &[("74:9", "`text` of mark `reg` is 41 characters long, more than 40")],
    ),
    (
        r#"text = "N417RW""#,
        "text = \"N4\u{202e}17RW\"",
        &[("74:11", "`text` of mark `reg` holds a character that changes the direction of the text, U+202E")],
    ),
    (
        r#"text = "N417RW""#,
        "text = \"N4\u{200b}17RW\"",
        &[("74:11", "`text` of mark `reg` holds an invisible character, U+200B")],
    ),
    (
        r#"text = "N417RW""#,
        r#"text = "N4\u000717RW""#,
        &[("74:8", "`text` of mark `reg` holds a control character, U+0007")],
    ),
    (
        r#"text = "N417RW""#,
        "text = \"N4\u{2028}17RW\"",
        &[("74:11", "`text` of mark `reg` holds a line separator, U+2028")],
    ),
    (r#"panel = "left-fin""#, r#"panel = " ""#, &[("27:10", "`panel` of surface `fin` is blank")]),
    (r#"file = "fairing.stl""#, r#"file = """#, &[("68:8", "`file` of surface `fairing` is empty")]),
    (r#"units = "in""#, r#"units = """#, &[("2:9", "`units` is empty")]),
    (r#"units = "in""#, r#"units = "inch""#, &[("2:9", "`units` cannot be `inch`")]),
    (r#"units = "in""#, r#"units = "inn""#, &[("2:9", "`units` cannot be `inn`")]),
    (r#"units = "in""#, "units = 5", &[("2:9", "`units` is the number 5")]),
    (
        r#"category = "fixed-wing""#,
        r#"category = "fixed-wings""#,
        &[("7:12", "`category` of craft cannot be `fixed-wings`")],
    ),
    (r#"id = "wing""#, r#"id = "Wing""#, &[("48:6", "`id` of surface `Wing` is `Wing`, which is no id")]),
    (r#"id = "wing""#, r#"id = "-wing""#, &[("48:6", "`id` of surface `-wing` is `-wing`, which is no id")]),
    (r#"id = "wing""#, r#"id = "w!ng""#, &[("48:6", "`id` of surface `w!ng` is `w!ng`, which is no id")]),
    (r#"id = "wing""#, r#"id = """#, &[("48:6", "`id` of surface 2 is empty")]),
    (r#"id = "wing""#, "id = 7", &[("48:6", "`id` of surface 2 is the number 7")]),
    (
        r#"id = "wing""#,
        r#"id = "a-name-of-more-than-forty-characters-is-no-id""#,
        &[(
            "48:6",
            "`id` of surface `a-name-of-more-than-forty-characters-is-…` is `a-name-of-more-than-forty-characters-is-…`, which is no id",
        )],
    ),
    (r#"title = "Panel""#, "title = 12", &[("1:9", "`title` is the number 12")]),
    ("adiz = false", r#"adiz = "no""#, &[("10:8", "`adiz` of craft is the text `no`")]),
    ("adiz = false", "adiz = 0", &[("10:8", "`adiz` of craft is the number 0")]),
    (
        "control = true",
        "control = 1",
        &[("33:11", "`control` of part `rudder` of surface `fin` is the number 1")],
    ),
    (
        "chord = [60, 60]",
        "chord = [60, 60, 60]",
        &[("53:9", "`chord` of surface `wing` has 3 values, not 2")],
    ),
    ("chord = [60, 60]", "chord = false", &[("53:9", "`chord` of surface `wing` is false")]),
    ("ribs = { every = 12, tape = 2 }", "ribs = 12", &[("26:8", "`ribs` of surface `fin` is the number 12")]),
    (
        r#"alike = [["reg", "name"]]"#,
        r#"alike = ["reg", "name"]"#,
        &[("4:10", "`alike`, item 1 is the text `reg`"), ("4:17", "`alike`, item 2 is the text `name`")],
    ),
    (
        r#"alike = [["reg", "name"]]"#,
        r#"alike = [["reg"]]"#,
        &[("4:10", "`alike` has 1 entry, at least 2 needed")],
    ),
    (
        r#"letters = "square""#,
        r#"letters = "round""#,
        &[("75:11", "`letters` of mark `reg` cannot be `round`")],
    ),
    (r#"letters = "square""#, "letters = 3", &[("75:11", "`letters` of mark `reg` is the number 3")]),
    (r#"letters = "square""#, r#"letters = ["square"]"#, &[("75:11", "`letters` of mark `reg` is a list")]),
    ("place = { at = [12, 8] }", r#"place = "here""#, &[("80:9", "`place` of mark `reg` cannot be `here`")]),
    ("place = { at = [12, 8] }", "place = [12, 8]", &[("80:9", "`place` of mark `reg` is a list")]),
    ("date = 2026-06-06", r#"date = "2026-06-06""#, &[("135:8", "`date` of shop is the text `2026-06-06`")]),
    (
        "date = 2026-06-06",
        "date = 2026-06-06T08:00:00",
        &[("135:8", "`date` of shop is the day and time 2026-06-06T08:00:00")],
    ),
    (
        "date = 2026-06-06",
        "date = 1812-06-06",
        &[("135:8", "`date` of shop is not between 1900 and 2100: the day 1812-06-06")],
    ),
    (
        "shot = 2026-06-04T15:00:00",
        "shot = 2026-06-04",
        &[("18:8", "`shot` of ground `cream` is the day 2026-06-04")],
    ),
    (
        "shot = 2026-06-04T15:00:00",
        "shot = 2026-06-04T15:00:00Z",
        &[(
            "18:8",
            "`shot` of ground `cream` is tied to a time zone: a time with a zone, 2026-06-04T15:00:00Z",
        )],
    ),
    (
        "shot = 2026-06-04T15:00:00",
        "shot = 15:00:00",
        &[("18:8", "`shot` of ground `cream` is a time of day without quotes, 15:00:00")],
    ),
    (r#"opens = "08:00""#, r#"opens = "8:00""#, &[("133:9", "`opens` of shop: `8:00` is not a time of day")]),
    (
        r#"opens = "08:00""#,
        "opens = 08:00:00",
        &[("133:9", "`opens` of shop is a time of day without quotes, 08:00:00")],
    ),
    (
        r#"opens = "08:00""#,
        r#"opens = "24:00""#,
        &[("133:9", "`opens` of shop: `24:00` is not on the clock")],
    ),
    (r#"opens = "08:00""#, "opens = 8", &[("133:9", "`opens` of shop is the number 8")]),
    (
        r##"colour = "#efe6cf""##,
        r#"colour = "cream""#,
        &[("17:10", "`colour` of ground `cream`: `cream` is not a colour")],
    ),
    (
        r##"colour = "#efe6cf""##,
        "colour = 0xefe6cf",
        &[("17:10", "`colour` of ground `cream` is the number 0xefe6cf")],
    ),
];

#[test]
fn texts_ids_and_types_are_refused_in_their_own_words_and_place() {
    each_in_its_own_words(CASES);
}
