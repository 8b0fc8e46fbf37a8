//! Stripes that are refused: what they run along, beside or opposite of, each with its own words at its own place.

use crate::job::read;
use crate::problem::line_and_column;

/// A panel on either side, a wing, a body and a scan.
const SURFACES: &str = r#"title = "t"
units = "in"
[[surface]]
id = "left"
kind = "flat"
side = "left"
corners = [[0, 0], [90, 0], [90, 40], [0, 40]]
[[surface.feature]]
id = "seam"
kind = "seam"
path = [[0, 9], [90, 9]]
[[surface.feature]]
id = "port"
kind = "port"
at = [40, 20]
diameter = 1
[[surface]]
id = "right"
kind = "flat"
side = "right"
corners = [[0, 0], [90, 0], [90, 40], [0, 40]]
[[surface]]
id = "wing"
kind = "wing"
half = "right"
side = "upper"
span = 100
chord = [40, 40]
section = "naca2412"
[[surface]]
id = "body"
kind = "body"
side = "left"
stations = [{ s = 0, half_width = 16, top = 20, bottom = -22 }, { s = 60, half_width = 16, top = 20, bottom = -22 }]
[[surface]]
id = "scan"
kind = "mesh"
file = "x.stl"
unit = "mm"
[[stripe]]
id = "first"
surface = "left"
along = { waterline = 12 }
width = 1
[[stripe]]
id = "copy"
surface = "right"
mirror_of = "first"
"#;

/// The surface of one more stripe, its further lines, and what is said of them at which column of which of its lines
/// (from 1, its `surface` the third).
const CASES: &[(&str, &str, &str, (usize, usize))] = &[
    ("right", "mirror_of = \"one\"", "`mirror_of` of stripe `one` names itself", (4, 13)),
    ("left", "mirror_of = \"copy\"", "names stripe `copy`, which is a mirror image itself", (4, 13)),
    ("left", "mirror_of = \"first\"", "names stripe `first`, which is on the same surface", (4, 13)),
    ("wing", "mirror_of = \"first\"", "on a surface of kind `flat`, its own is of kind `wing`", (4, 13)),
    ("right", "mirror_of = \"frist\"", "names `frist`, but there is no stripe of that id", (4, 13)),
    (
        "left",
        "along = { waterline = 3 }\nwidth = 1\nends = [\"mitre\", \"square\"]",
        "`ends` of stripe `one` has \"mitre\", but it meets nothing there",
        (6, 8),
    ),
    (
        "wing",
        "along = { edge = \"leading-edge\", off = 4 }\nwidth = 1\nends = [\"round\", \"butt\"]",
        "`ends` of stripe `one` has \"butt\", but it meets nothing there",
        (6, 8),
    ),
    ("left", "along = { waterline = 3, gap = 1 }\nwidth = 1", "is for a stripe beside another only", (4, 32)),
    ("left", "along = { waterline = 3, from = 9, to = 8 }\nwidth = 1", "`to` is not beyond `from`", (4, 41)),
    ("wing", "along = { waterline = 3 }\nwidth = 1", "is on a wing, which has none", (4, 23)),
    ("wing", "along = { edge = \"upper\" }\nwidth = 1", "is \"upper\" on a surface of kind `wing`", (4, 18)),
    ("left", "along = { edge = \"leading-edge\" }\nwidth = 1", "on a surface of kind `flat`", (4, 18)),
    (
        "left",
        "along = { feature = \"port\" }\nwidth = 1",
        "names feature `port` of surface `left`, which has no path",
        (4, 21),
    ),
    (
        "left",
        "along = { feature = \"sean\" }\nwidth = 1",
        "names `sean`, but there is no feature of that id",
        (4, 21),
    ),
    ("right", "along = { stripe = \"first\", gap = 1 }\nwidth = 1", "which is on surface `left`", (4, 20)),
    ("left", "along = { stripe = \"one\", gap = 1 }\nwidth = 1", "runs along itself", (4, 20)),
    (
        "left",
        "along = { stripe = \"first\", gap_tape = \"1/4 in\" }\nwidth = 1",
        "is no edge tape of the job",
        (4, 40),
    ),
    ("left", "along = { straight = [[3, 4], [3, 4]] }\nwidth = 1", "has the same point twice", (4, 22)),
    ("left", "through = [[3, 4], [3, 4]]\nwidth = 1", "has the same point twice running", (4, 11)),
    (
        "left",
        "through = [[3, 4], [9, 4]]\nloose = [0, 0, 1]\nwidth = 1",
        "is for 3 points, `through` has 2",
        (5, 9),
    ),
    (
        "left",
        "through = [[3, 4], [9, 4]]\nheights = \"waterline\"\nwidth = 1",
        "is for a stripe on a body only",
        (5, 11),
    ),
    ("body", "along = { edge = \"trailing-edge\" }\nwidth = 1", "on a surface of kind `body`", (4, 18)),
    (
        "body",
        "through = [[3, 4, 5], [9, 4, 5]]\nwidth = 1",
        "a point of 3 numbers on a surface of kind `body`",
        (4, 12),
    ),
    (
        "scan",
        "through = [[3, 4], [9, 4]]\nwidth = 1",
        "a point of 2 numbers on a surface of kind `mesh`",
        (4, 12),
    ),
    ("scan", "along = { waterline = 3 }\nwidth = 1", "is on a scan, which has no stations", (4, 23)),
    (
        "scan",
        "along = { straight = [[3, 4], [9, 4]] }\nwidth = 1",
        "is on a scan, which has no stations",
        (4, 22),
    ),
];

#[test]
fn each_stripe_that_cannot_be_is_refused_in_its_own_words() {
    let head = SURFACES.lines().count();
    for (surface, lines, words, (line, column)) in CASES {
        let text = format!("{SURFACES}[[stripe]]\nid = \"one\"\nsurface = \"{surface}\"\n{lines}\n");
        let problems = read(&text).expect_err(lines);
        let said: Vec<String> = problems
            .iter()
            .map(|p| {
                let (at, col) = line_and_column(&text, p.span.start);
                format!("{}:{col} {}", at - head, p.message)
            })
            .collect();
        let wanted = format!("{line}:{column} ");
        assert!(
            said.len() == 1 && said[0].starts_with(&wanted) && said[0].contains(words),
            "{surface}, {lines}: {said:#?}, wanted {wanted}{words}"
        );
    }
}

/// A stripe that is not there is told beside another fault of the same line, and a stripe is not offered to itself.
#[test]
fn a_stripe_that_is_not_there_is_told_beside_other_faults() {
    let alone = SURFACES.split("[[stripe]]").next().unwrap_or_default();
    for (lines, wanted, hint) in [
        (
            "along = { stripe = \"z\", gap = -1 }\nwidth = 1",
            &["names `z`, but there is no stripe of that id", "is negative"][..],
            "there is no other stripe in the file yet",
        ),
        (
            "mirror_of = \"two\"",
            &["names `two`, but there is no stripe"][..],
            "there is no other stripe in the file yet",
        ),
    ] {
        let text = format!("{alone}[[stripe]]\nid = \"one\"\nsurface = \"left\"\n{lines}\n");
        let problems = read(&text).expect_err(lines);
        for words in wanted {
            assert!(problems.iter().any(|p| p.message.contains(words)), "{words}: {problems:#?}");
        }
        let told = problems.iter().find(|p| p.message.contains("no stripe")).expect("told");
        assert_eq!(told.hint, hint);
    }
}

#[test]
fn every_kind_of_surface_takes_its_stripes() {
    for (surface, lines) in [
        ("body", "along = { waterline = 3 }\nwidth = 1"),
        ("body", "along = { edge = \"upper\", off = 4 }\nwidth = 1"),
        ("body", "through = [[3, 4], [9, 4]]\nheights = \"waterline\"\nwidth = 1"),
        ("scan", "through = [[3, 4, 5], [9, 4, 5]]\nwidth = 1"),
        ("wing", "along = { edge = \"leading-edge\", off = 4 }\nwidth = 1"),
    ] {
        let text = format!("{SURFACES}[[stripe]]\nid = \"one\"\nsurface = \"{surface}\"\n{lines}\n");
        assert!(read(&text).is_ok(), "{surface}, {lines}");
    }
}
