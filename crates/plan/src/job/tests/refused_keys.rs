//! Keys and tables that are unknown, missing or too many, each with its own words and at its own place.

use super::refused::{Case, each_in_its_own_words};

/// What stands in the sound job, what is put in its place, and what is said of it where.
const CASES: &[Case] = &[
    (
        r#"title = "Panel""#,
        "title = \"Panel\"\ncolour = \"blue\"",
        &[("2:1", "unknown key `colour` in the job")],
    ),
    ("span = 168", "span = 168\nsweeep = 3", &[("53:1", "unknown key `sweeep` in surface `wing`")]),
    ("span = 168", "span = 168\nzebra = 3", &[("53:1", "unknown key `zebra` in surface `wing`")]),
    (
        "diameter = 4.5",
        "diametre = 4.5\ndiameter = 4.5",
        &[("39:1", "unknown key `diametre` in feature `ring` of surface `fin`")],
    ),
    ("every = 12", "evry = 12, every = 12", &[("26:10", "unknown key `evry` in ribs of surface `fin`")]),
    (
        r#"time = "24 h""#,
        r#"time = "24 h", att = "20 C""#,
        &[("19:32", "unknown key `att` in dry_to_tape of ground `cream`")],
    ),
    (
        r#"kind = "flat""#,
        "kind = \"flat\"\nspan = 168",
        &[("25:1", "`span` does not belong to surface `fin`, which is of kind `flat`")],
    ),
    (
        "path = [[20, 0], [24, 39]]",
        "path = [[20, 0], [24, 39]]\ndiameter = 3",
        &[(
            "46:1",
            "`diameter` does not belong to feature `hinge-line` of surface `fin`, which is of kind `hinge`",
        )],
    ),
    ("[shop]", "[shops]\nx = 1\n\n[shop]", &[("131:2", "unknown table `shops` in the job")]),
    ("[gun]", "[[marks]]\nid = \"x\"\n\n[gun]", &[("121:3", "unknown table `marks` in the job")]),
    ("[gun]", "[zebra]\nid = \"x\"\n\n[gun]", &[("121:2", "unknown table `zebra` in the job")]),
    (
        "[[surface.part]]",
        "[[surface.parts]]\nid = \"x\"\n\n[[surface.part]]",
        &[("29:11", "unknown table `parts` in surface `fin`")],
    ),
    ("[gun]", "[[gun]]", &[("121:1", "`gun` is a list of tables, but there is one only")]),
    ("[[stripe]]", "[stripe]", &[("95:1", "`stripe` is a single table")]),
    ("[craft]\n", "[craft.extra]\na = 1\n\n[craft]\n", &[("6:8", "unknown table `extra` in craft")]),
    ("[shop]", "[[shop]]\n[[shop]]", &[("131:1", "`shop` is there 2 times, but there is one only")]),
    ("title = \"Panel\"\n", "", &[("1:1", "the job has no `title`")]),
    (
        "id = \"fin\"\n",
        "",
        &[
            ("22:1", "surface 1 has no `id`"),
            ("72:11", "`surface` of mark `reg` names `fin`, but there is no surface of that id"),
        ],
    ),
    ("kind = \"flat\"\n", "", &[("22:1", "surface `fin` has no `kind`")]),
    ("corners = [[0, 0], [30, 0], [24, 40], [6, 40]]\n", "", &[("22:1", "surface `fin` has no `corners`")]),
    ("half = \"right\"\n", "", &[("47:1", "surface `wing` has no `half`")]),
    ("side = \"upper\"\n", "", &[("47:1", "surface `wing` has no `side`")]),
    ("span = 168\n", "", &[("47:1", "surface `wing` has no `span`")]),
    ("chord = [60, 60]\n", "", &[("47:1", "surface `wing` has no `chord`")]),
    ("section = \"naca2412\"\n", "", &[("47:1", "surface `wing` has no `section`")]),
    ("side = \"left\"\n", "", &[("56:1", "surface `left-side` has no `side`")]),
    ("file = \"fairing.stl\"\n", "", &[("65:1", "surface `fairing` has no `file`")]),
    ("unit = \"mm\"\n", "", &[("65:1", "surface `fairing` has no `unit`")]),
    ("text = \"N417RW\"\n", "", &[("71:1", "mark `reg` has no `text`")]),
    ("height = 12\n", "", &[("71:1", "mark `reg` has no `height`")]),
    ("id = \"ring\"\n", "", &[("35:1", "feature 1 of surface `fin` has no `id`")]),
    ("kind = \"ring\"\n", "", &[("35:1", "feature `ring` of surface `fin` has no `kind`")]),
    ("id = \"cheat\"\n", "", &[("95:1", "stripe 1 has no `id`")]),
    ("through = [[2, 12], [30, 14.5], [50, 13]]\n", "", &[("95:1", "stripe `cheat` has no `through`")]),
    ("width = [2, 1]\n", "", &[("95:1", "stripe `cheat` has no `width`")]),
    ("surface = \"left-side\"\n", "", &[("95:1", "stripe `cheat` has no `surface`")]),
    (
        "id = \"gold\"\n",
        "",
        &[
            ("85:34", "`paint` of outline of mark `reg` names `gold`, but there is no paint of that id"),
            ("86:34", "`paint` of shadow of mark `reg` names `gold`, but there is no paint of that id"),
            ("118:1", "paint 2 has no `id`"),
        ],
    ),
    (r#"{ time = "24 h", at"#, "{ at", &[("19:15", "dry_to_tape of ground `cream` has no `time`")]),
    ("{ every = 12, tape", "{ tape", &[("26:8", "ribs of surface `fin` has neither `every` nor `at`")]),
    (r#"{ width = "1/2 in", roll"#, "{ roll", &[("104:15", "edge_tapes of masking has no `width`")]),
    (
        r#"{ name = "base", parts = 4 }"#,
        "{ parts = 4 }",
        &[("109:10", "parts of paint `blue` has no `name`")],
    ),
    (", film_um = 8", "", &[("112:10", "coats of paint `blue` has no `film_um`")]),
    (r#"least = "5 min", "#, "", &[("112:58", "flash of coats of paint `blue` has no `least`")]),
    (r#"by = "20 min""#, "", &[("113:13", "pull_edge of paint `blue` has no `by`")]),
    (r#"width = 0.5, paint = "gold""#, "width = 0.5", &[("85:11", "outline of mark `reg` has no `paint`")]),
    (r#"at = "08:00", "#, "", &[("129:13", "forecast 1 of conditions has no `at`")]),
    ("path = [[20, 0], [24, 39]]\n", "", &[("42:1", "feature `hinge-line` of surface `fin` has no `path`")]),
    (
        "at = [10, 10]\ndiameter = 4.5\n",
        "",
        &[("35:1", "feature `ring` of surface `fin` has neither `at` with `diameter` nor `corners`")],
    ),
    ("at = [10, 10]\n", "", &[("35:1", "feature `ring` of surface `fin` has no `at`")]),
    ("diameter = 4.5\n", "", &[("35:1", "feature `ring` of surface `fin` has no `diameter`")]),
    (
        "diameter = 4.5\n",
        "diameter = 4.5\ncorners = [[0, 0], [9, 0], [9, 9]]\n",
        &[("40:1", "feature `ring` of surface `fin` has both `at` with `diameter` and `corners`")],
    ),
    (
        r##"colour = "#efe6cf""##,
        "colour = \"#efe6cf\"\nreflectance = 0.5",
        &[("18:1", "ground `cream` has both `colour` and `reflectance`")],
    ),
    ("every = 12", "every = 12, at = [3]", &[("26:22", "ribs of surface `fin` has both `every` and `at`")]),
    (
        "half_width = 16",
        "half_width = 16, points = [[0, 9], [9, 2], [9, -2], [0, -9]]",
        &[(
            "61:29",
            "stations 1 of surface `left-side` has both `half_width` with `top` with `bottom` and `points`",
        )],
    ),
    ("half_width = 16, ", "", &[("61:3", "stations 1 of surface `left-side` has no `half_width`")]),
    ("top = 20, ", "", &[("61:3", "stations 1 of surface `left-side` has no `top`")]),
    (
        r#"kind = "ring""#,
        r#"kind = "rign""#,
        &[("37:8", "`kind` of feature `ring` of surface `fin` cannot be `rign`")],
    ),
    (
        r#"kind = "hinge""#,
        r#"kind = "zebra""#,
        &[("44:8", "`kind` of feature `hinge-line` of surface `fin` cannot be `zebra`")],
    ),
    (r#"kind = "wing""#, r#"kind = "wnig""#, &[("49:8", "`kind` of surface `wing` cannot be `wnig`")]),
    (r#"kind = "mesh""#, "kind = 3", &[("67:8", "`kind` of surface `fairing` is the number 3")]),
];

#[test]
fn keys_and_tables_are_refused_in_their_own_words_and_place() {
    each_in_its_own_words(CASES);
}
