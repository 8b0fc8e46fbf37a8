//! Ids, shapes and windows that are refused, each with its own words and at its own place.

use super::refused::{Case, each_in_its_own_words};

/// What stands in the sound job, what is put in its place, and what is said of it where.
const CASES: &[Case] = &[
    (
        r#"id = "name""#,
        r#"id = "reg""#,
        &[
            ("4:18", "`alike` names `name`, but there is no mark of that id"),
            ("89:6", "a second mark is called `reg`"),
        ],
    ),
    (
        r#"id = "gold""#,
        r#"id = "blue""#,
        &[
            ("85:34", "`paint` of outline of mark `reg` names `gold`, but there is no paint of that id"),
            ("86:34", "`paint` of shadow of mark `reg` names `gold`, but there is no paint of that id"),
            ("119:6", "a second paint is called `blue`"),
        ],
    ),
    (r#"id = "wing""#, r#"id = "fin""#, &[("48:6", "a second surface is called `fin`")]),
    (r#"id = "hinge-line""#, r#"id = "ring""#, &[("43:6", "a second feature is called `ring`")]),
    (
        r#"surface = "left-side""#,
        r#"surface = "left-sid""#,
        &[("97:11", "`surface` of stripe `cheat` names `left-sid`, but there is no surface of that id")],
    ),
    (
        r#"surface = "fin""#,
        r#"surface = "nowhere""#,
        &[("73:11", "`surface` of mark `reg` names `nowhere`, but there is no surface of that id")],
    ),
    (
        r#"paint = "blue""#,
        r#"paint = "bleu""#,
        &[("83:9", "`paint` of mark `reg` names `bleu`, but there is no paint of that id")],
    ),
    (
        r#"over = "cream""#,
        r#"over = "custard""#,
        &[("84:8", "`over` of mark `reg` names `custard`, but there is no ground or paint of that id")],
    ),
    (
        "paint = \"gold\" }\nshadow",
        "paint = \"silver\" }\nshadow",
        &[("85:34", "`paint` of outline of mark `reg` names `silver`, but there is no paint of that id")],
    ),
    (
        r#"by = [1, -1], paint = "gold""#,
        r#"by = [1, -1], paint = "silver""#,
        &[("86:34", "`paint` of shadow of mark `reg` names `silver`, but there is no paint of that id")],
    ),
    (
        r#"["reg", "name"]"#,
        r#"["reg", "other"]"#,
        &[("4:18", "`alike` names `other`, but there is no mark of that id")],
    ),
    (r#"["reg", "name"]"#, r#"["reg", "reg"]"#, &[("4:18", "`alike` names the mark `reg` twice")]),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30, 0], [24, 40], [0, 0]]",
        &[(
            "25:11",
            "`corners` of surface `fin`: corners 1 and 4 are the same: the last corner is joined to the first anyway",
        )],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30, 0], [30, 0], [6, 40]]",
        &[("25:11", "`corners` of surface `fin`: corners 2 and 3 are the same")],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30, 40], [30, 0], [0, 40]]",
        &[("25:11", "`corners` of surface `fin`: its edges 1-2 and 3-4 cross each other")],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30, 0], [15, 0]]",
        &[("25:11", "`corners` of surface `fin`: its corners lie on one line")],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = [[0, 0], [30, 0]]",
        &[("25:11", "`corners` of surface `fin` has 2 points, at least 3 needed")],
    ),
    (
        "corners = [[0, 0], [30, 0], [24, 40], [6, 40]]",
        "corners = []",
        &[("25:11", "`corners` of surface `fin` has 0 points, at least 3 needed")],
    ),
    (
        "corners = [[20, 0], [30, 0], [24, 40]]",
        "corners = [[20, 0], [30, 0], [25, 0]]",
        &[("31:11", "`corners` of part `rudder` of surface `fin`: its corners lie on one line")],
    ),
    (
        "hinge = [[20, 0], [24, 40]]",
        "hinge = [[20, 0], [20, 0]]",
        &[("32:9", "`hinge` of part `rudder` of surface `fin`: points 1 and 2 are the same")],
    ),
    (
        "hinge = [[20, 0], [24, 40]]",
        "hinge = [[20, 0]]",
        &[("32:9", "`hinge` of part `rudder` of surface `fin` has 1 point, at least 2 needed")],
    ),
    (
        "path = [[20, 0], [24, 39]]",
        "path = [[20, 0], [20, 0]]",
        &[("45:8", "`path` of feature `hinge-line` of surface `fin`: points 1 and 2 are the same")],
    ),
    (
        "path = [[20, 0], [24, 39]]",
        "path = [[20, 0]]",
        &[("45:8", "`path` of feature `hinge-line` of surface `fin` has 1 point, at least 2 needed")],
    ),
    (
        "within = [[2, 2], [28, 2], [24, 38]]",
        "within = [[2, 2], [28, 2], [24, 2]]",
        &[("82:10", "`within` of mark `reg`: its corners lie on one line")],
    ),
    ("by = [1, -1]", "by = [0, 0]", &[("86:17", "`by` of shadow of mark `reg` does not move it")]),
    (
        "ribs = { every = 12,",
        "ribs = { at = [3, 12, 3],",
        &[("26:15", "`at` of ribs of surface `fin`: ribs 1 and 3 are the same")],
    ),
    (
        r#"section = "naca2412""#,
        r#"section = "naca24""#,
        &[("54:11", "`section` of surface `wing` has 2 digits: naca24")],
    ),
    (
        r#"section = "naca2412""#,
        r#"section = "naca2400""#,
        &[("54:11", "`section` of surface `wing` has no thickness: naca2400")],
    ),
    (
        r#"section = "naca2412""#,
        "section = \"naca2412\"\nbreaks = [{ s = 96 }, { s = 90 }]",
        &[("55:29", "`s` of breaks 2 of surface `wing` does not lie outboard of the rib before it")],
    ),
    (
        r#"section = "naca2412""#,
        "section = \"naca2412\"\nbreaks = [{ s = 170 }]",
        &[("55:17", "`s` of breaks of surface `wing` does not lie inboard of the tip")],
    ),
    (
        r#"section = "naca2412""#,
        "section = [\"naca2412\", \"naca0009\"]\nbreaks = [{ s = 96 }]",
        &[("55:11", "breaks of surface `wing` has no `section`, and those of root and tip differ")],
    ),
    (
        r#"section = "naca2412""#,
        "section = \"naca2412\"\ntip_bow = 168",
        &[("55:11", "`tip_bow` of surface `wing` takes the whole span")],
    ),
    (
        r#"file = "fairing.stl""#,
        r#"file = "fairing.step""#,
        &[("68:8", "`file` of surface `fairing` is `fairing.step`, which is no scan by its name")],
    ),
    (
        "{ s = 60,",
        "{ s = 0,",
        &[("62:9", "`s` of stations 2 of surface `left-side` does not lie aft of the station before it")],
    ),
    (
        "top = 20,",
        "top = -30,",
        &[("61:35", "`top` of stations 1 of surface `left-side` is not above its `bottom`")],
    ),
    (
        "[14, 12], [12, -9], [0, -22]]",
        "[14, 12], [12, -30], [0, -22]]",
        &[("62:22", "`points` of stations 2 of surface `left-side` do not run from top to bottom")],
    ),
    (
        "[14, 12]",
        "[-14, 12]",
        &[("62:22", "`points` of stations 2 of surface `left-side` has a negative half width")],
    ),
    (
        "[14, 12], [12, -9]",
        "[0, 12], [0, -9]",
        &[("62:22", "`points` of stations 2 of surface `left-side` has no width")],
    ),
    (
        "[14, 12], [12, -9], ",
        "[14, 12], ",
        &[("62:22", "`points` of stations 2 of surface `left-side` has 3 points, at least 4 needed")],
    ),
    (
        "points = [[0, 20], [14, 12], [12, -9], [0, -22]]",
        "points = [[0, 20], [14, 12], [14, 12], [0, -22]]",
        &[("62:22", "`points` of stations 2 of surface `left-side`: points 2 and 3 are the same")],
    ),
    (
        "place = { at = [10, 20, 30], toward = [12, 20, 31] }\n",
        "",
        &[("90:11", "mark `name` lies on a scan and has no given place")],
    ),
    (
        "at = [10, 20, 30]",
        "at = [10, 20]",
        &[("93:16", "`at` of place of mark `name` has two numbers, but the mark lies on a scan")],
    ),
    (
        ", toward = [12, 20, 31]",
        "",
        &[("93:9", "place of mark `name` does not say where the baseline points")],
    ),
    (
        "toward = [12, 20, 31]",
        "toward = [10, 20, 30]",
        &[("93:39", "`toward` of place of mark `name` is the same point as `at`")],
    ),
    (
        "at = [12, 8]",
        "at = [12, 8, 3]",
        &[("80:16", "`at` of place of mark `reg` has three numbers, but the surface is no scan (flat)")],
    ),
    (
        "at = [12, 8]",
        "at = [12, 8], toward = [1, 2, 3]",
        &[("80:34", "`toward` of place of mark `reg` is for a mark on a scan only")],
    ),
    (
        "place = { at = [10, 20, 30]",
        "aim = [1, 2]\nplace = { at = [10, 20, 30]",
        &[("93:7", "`aim` of mark `name` has 2 values, not 3")],
    ),
    (
        "place = { at = [10, 20, 30]",
        "within = [[0, 0], [9, 0], [9, 9]]\nplace = { at = [10, 20, 30]",
        &[("93:11", "`within` of mark `name`, item 1 has 2 values, not 3")],
    ),
    (
        "place = { at = [10, 20, 30], toward = [12, 20, 31] }",
        "aim = [10, 20, 30]",
        &[("93:7", "mark `name` does not say where the baseline points")],
    ),
    (
        "place = { at = [10, 20, 30], toward = [12, 20, 31] }",
        "aim = [10, 20, 30]\ntoward = [10, 20, 30]",
        &[("94:10", "`toward` of mark `name` is the same point as `aim`")],
    ),
    (
        "place = { at = [10, 20, 30]",
        "within = [[0, 0, 0], [9, 9, 9], [3, 3, 3]]\nplace = { at = [10, 20, 30]",
        &[("93:10", "`within` of mark `name`: its corners lie on one line")],
    ),
    (
        "aim = [12, 9]",
        "aim = [12, 9]\ntoward = [1, 2, 3]",
        &[("82:10", "`toward` of mark `reg` is for a mark on a scan only")],
    ),
    ("aim = [12, 9]", "aim = [12, 9, 1]", &[("81:7", "`aim` of mark `reg` has 3 values, not 2")]),
    (
        "path = [[20, 0], [24, 39]]",
        "path = [[20, 0], [24, 39, 1]]",
        &[("45:18", "`path` of feature `hinge-line` of surface `fin`, item 2 has 3 values, not 2")],
    ),
    (
        "file = \"fairing.stl\"\nunit = \"mm\"\n",
        "file = \"fairing.stl\"\nunit = \"mm\"\n[[surface.feature]]\nid = \"hole\"\nkind = \"port\"\nat = [3, 4]\ndiameter = 9\n",
        &[("73:6", "`at` of feature `hole` of surface `fairing` has 2 values, not 3")],
    ),
    (
        "file = \"fairing.stl\"\nunit = \"mm\"\n",
        "file = \"fairing.stl\"\nunit = \"cm\"\n[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[3, 4, 5], [3, 4, 5.0005]]\n",
        &[("73:8", "`path` of feature `seam` of surface `fairing`: points 1 and 2 are the same")],
    ),
    (
        "file = \"fairing.stl\"\nunit = \"mm\"\n",
        "file = \"fairing.stl\"\nunit = \"mm\"\n[[surface.part]]\nid = \"lid\"\ncorners = [[3, 4, 5], [9, 4, 5], [6, 4, 5]]\nhinge = [[3, 4], [9, 4]]\n",
        &[
            ("72:11", "`corners` of part `lid` of surface `fairing`: its corners lie on one line"),
            ("73:10", "`hinge` of part `lid` of surface `fairing`, item 1 has 2 values, not 3"),
        ],
    ),
    (
        "[30, 14.5], [50, 13]",
        "[30, 14.5, 1], [50, 13]",
        &[("98:21", "`through` of stripe `cheat` has a point of 3 numbers on a surface of kind `body`")],
    ),
    ("[30, 14.5]", "[2, 12]", &[("98:11", "`through` of stripe `cheat` has the same point twice running")]),
    (
        "width = [2, 1]",
        "width = [2]",
        &[("99:9", "`width` of stripe `cheat` has 1 entry, at least 2 needed")],
    ),
    (
        r#"from = "0 min", by"#,
        r#"from = "30 min", by"#,
        &[("113:52", "pull_edge of paint `blue` ends before it starts: `by` is less than `from`")],
    ),
    (
        r#"from = "6 h""#,
        r#"from = "13 h""#,
        &[("114:32", "unmask of paint `blue` ends before it starts: `by` is less than `from`")],
    ),
    (
        r#"most = "10 min""#,
        r#"most = "4 min""#,
        &[("112:84", "flash of coats of paint `blue` ends before it starts: `most` is less than `least`")],
    ),
    (
        r#"by = "20 min""#,
        "by = 20",
        &[("113:51", "`by` of pull_edge of paint `blue` is a bare number: the number 20")],
    ),
    (
        r#"closes = "18:00""#,
        r#"closes = "07:00""#,
        &[("134:10", "the shop closes before it opens: `closes` is not later than `opens`")],
    ),
    (
        r#"at = "12:00""#,
        r#"at = "08:00""#,
        &[("129:85", "`at` of forecast 2 of conditions is in the forecast twice")],
    ),
];

#[test]
fn ids_shapes_and_windows_are_refused_in_their_own_words_and_place() {
    each_in_its_own_words(CASES);
}
