//! Every refusal: one change to a sound job, and the words it must bring.

use crate::job::{MOST_PROBLEMS, read};
use crate::problem::Problem;

/// A sound job; each case puts other text in the place of some of it.
const SOUND: &str = r##"title = "Sound"
units = "in"
alike = [["one", "two"]]
[craft]
built = 1958
mass_kg = 900
[survey]
error = "1/16 in"
[[ground]]
id = "cream"
colour = "#efe6cf"
shot = 2026-06-04T15:00:00
scuff_after = "48 h"
[[surface]]
id = "wing"
kind = "wing"
half = "right"
side = "upper"
span = 168
chord = [60, 60]
section = "naca2412"
ribs = { every = 12, tape = 2 }
[[surface.part]]
id = "aileron"
corners = [[84, 46], [168, 46], [168, 60], [84, 60]]
[[surface.feature]]
id = "ring"
kind = "ring"
at = [42, 30]
diameter = 4.5
clearance = 0
[[surface.feature]]
id = "seam"
kind = "seam"
path = [[0, 20], [30, 20]]
[[surface]]
id = "side"
kind = "body"
side = "left"
stations = [{ s = 0, half_width = 16, top = 20, bottom = -22 }, { s = 60, points = [[0, 20], [14, 0], [0, -20]] }]
[[surface]]
id = "scan"
kind = "mesh"
file = "scan.stl"
unit = "mm"
[[mark]]
id = "one"
surface = "wing"
text = "ZZ9"
height = 12
within = [[8, 4], [160, 4], [160, 56], [8, 56]]
paint = "blue"
over = "cream"
outline = { width = 0.5, paint = "blue" }
[[mark]]
id = "two"
surface = "scan"
text = "ZZ9"
height = 12
place = { at = [1, 2, 3], toward = [4, 5, 6] }
[[stripe]]
id = "cheat"
surface = "side"
through = [[20, 12], [80, 14], [150, 13]]
width = 2
ends = ["square", "point"]
[masking]
gap = "3/8 in"
edge_tapes = [{ width = "1/8 in", roll = "36 yd", strain = 0.05 }]
[[paint]]
id = "blue"
colour = "#1b2f52"
volume_solids = 0.42
transfer_efficiency = 0.5
coats = [{ kind = "wet", count = 2, film_um = 25, flash = { least = "5 min", most = "10 min" } }]
pull_edge = { state = "wet", from = "0 min", by = "20 min" }
unmask = { from = "6 h", by = "12 h" }
pot_life = { time = "2 h", at = "21 C" }
[gun]
overlap = 0.5
speed = "18 in/s"
[conditions]
air = "72 F"
humidity = 45
forecast = [{ at = "08:00", air = "64 F", surface = "62 F", humidity = 70 }]
[shop]
hands = 1
opens = "08:00"
closes = "18:00"
date = 2026-06-06
"##;

/// A change, the text it puts in, and what one problem must say. The mark `~` before the words: the schema of the
/// file cannot know it (a reference, a unit, two values together, a TOML form).
const CASES: &[(&str, &str, &str)] = &[
    // Numbers that are none.
    ("span = 168", "span = nan", "~`span` of surface `wing` is not a number: the number nan"),
    ("span = 168", "span = inf", "~`span` of surface `wing` is infinite or far too large: the number inf"),
    ("span = 168", "span = -inf", "`span` of surface `wing` is infinite or far too large: the number -inf"),
    ("mass_kg = 900", "mass_kg = nan", "~`mass_kg` of craft is not a number: the number nan"),
    (
        "span = 168",
        "span = \"nan in\"",
        "`span` of surface `wing` is no length: `nan` is not a number (column 1 of `nan in`)",
    ),
    // Sizes.
    ("span = 168", "span = -168", "`span` of surface `wing` is negative: -168 in"),
    ("span = 168", "span = 0", "`span` of surface `wing` is zero"),
    ("span = 168", "span = \"0 in\"", "~`span` of surface `wing` is zero"),
    ("span = 168", "span = \"101 m\"", "~`span` of surface `wing` is too large: 101 m is over 100 m"),
    ("span = 168", "span = 0.01", "~`span` of surface `wing` is too small: 0.01 in is under 1 mm"),
    (
        "span = 168",
        "span = \"1,5 m\"",
        "`span` of surface `wing` is no length: a decimal comma: write a point (column 2 of `1,5 m`)",
    ),
    (
        "span = 168",
        "span = \"24 3 in\"",
        "`span` of surface `wing` is no length: two numbers with no fraction between them (column 1 of `24 3 in`)",
    ),
    (
        "span = 168",
        "span = \"168\"",
        "`span` of surface `wing` is no length: the unit is missing (column 4 of `168`)",
    ),
    ("span = 168", "span = true", "`span` of surface `wing` is true"),
    ("span = 168", "span = [1, 2]", "`span` of surface `wing` is a list"),
    ("chord = [60, 60]", "chord = [60, 60, 60]", "`chord` of surface `wing` has 3 values, not 2"),
    ("chord = [60, 60]", "chord = [60, 0]", "`chord` of surface `wing` is zero"),
    ("clearance = 0", "clearance = -1", "`clearance` of feature `ring` of surface `wing` is negative: -1 in"),
    ("diameter = 4.5", "diameter = 0", "`diameter` of feature `ring` of surface `wing` is zero"),
    (
        "at = [42, 30]",
        "at = [4200, 30]",
        "~`at` of feature `ring` of surface `wing` is too large: 4200 in is over 100 m",
    ),
    ("height = 12\nwithin", "height = 0\nwithin", "`height` of mark `one` is zero"),
    ("height = 12\nwithin", "height = \"biggest\"\nwithin", "`height` of mark `one` cannot be `biggest`"),
    ("width = 2\n", "width = [2]\n", "`width` of stripe `cheat` has 1 entries, at least 2 needed"),
    (
        "roll = \"36 yd\"",
        "roll = \"36 in\"",
        "~`roll` of edge_tapes 1 of masking is too small: 36 in is under 1000 mm",
    ),
    // Texts.
    ("title = \"Sound\"", "title = \"\"", "`title` is empty"),
    ("title = \"Sound\"", "title = \"  \"", "`title` is blank"),
    ("title = \"Sound\"", "title = \"a\\u0007b\"", "~`title` holds a control character, U+0007"),
    (
        "title = \"Sound\"",
        "title = \"a\\u202Eb\"",
        "~`title` holds a character that changes the direction of the text, U+202E",
    ),
    ("title = \"Sound\"", "title = 5", "`title` is the number 5"),
    (
        "text = \"ZZ9\"\nheight = 12\nwithin",
        "text = \"\"\nheight = 12\nwithin",
        "`text` of mark `one` is empty",
    ),
    (
        "text = \"ZZ9\"\nheight = 12\nwithin",
        "text = \"ZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZZ9\"\nheight = 12\nwithin",
        "`text` of mark `one` is 41 characters long, more than 40",
    ),
    // Keys and tables.
    ("span = 168", "spam = 168", "unknown key `spam` in surface `wing`"),
    ("span = 168", "spam = 168", "surface `wing` has no `span`"),
    ("[gun]", "[guns]", "unknown key `guns` in the job"),
    ("half = \"right\"\n", "", "surface `wing` has no `half`"),
    ("title = \"Sound\"\n", "", "the job has no `title`"),
    ("id = \"cream\"\n", "", "ground 1 has no `id`"),
    ("diameter = 4.5\n", "", "feature `ring` of surface `wing` has no `diameter`"),
    ("at = [42, 30]\ndiameter = 4.5\n", "", "feature `ring` of surface `wing` does not say its shape"),
    (
        "diameter = 4.5",
        "diameter = 4.5\ncorners = [[0, 0], [9, 0], [9, 9]]",
        "feature `ring` of surface `wing` has both `at` with `diameter` and `corners`",
    ),
    (
        "path = [[0, 20], [30, 20]]",
        "at = [1, 2]\ndiameter = 3",
        "`at` does not belong to feature `seam` of surface `wing`, which is of kind `seam`",
    ),
    (
        "kind = \"ring\"",
        "kind = \"ring\"\npitch = 1",
        "`pitch` does not belong to feature `ring` of surface `wing`, which is of kind `ring`",
    ),
    (
        "colour = \"#efe6cf\"",
        "colour = \"#efe6cf\"\nreflectance = 0.5",
        "ground `cream` has both `colour` and `reflectance`",
    ),
    ("every = 12", "every = 12, at = [0, 12]", "ribs of surface `wing` has both `every` and `at`"),
    ("every = 12, ", "", "ribs of surface `wing` does not say its shape"),
    (
        "unit = \"mm\"",
        "unit = \"mm\"\nspan = 4",
        "`span` does not belong to surface `scan`, which is of kind `mesh`",
    ),
    ("[masking]", "[[masking]]", "`masking` is written 1 times over, as a list"),
    ("[[stripe]]", "[stripe]", "`stripe` is a single table"),
    ("[gun]", "[gun]\nfan = 8\nfan = 9", "~`fan` is written twice in one table"),
    ("[gun]", "[gun", "~not readable as TOML"),
    // Words, ids, references.
    ("kind = \"ring\"", "kind = \"rang\"", "`kind` of feature `ring` of surface `wing` cannot be `rang`"),
    ("side = \"upper\"", "side = \"left\"", "`side` of surface `wing` cannot be `left`"),
    ("units = \"in\"", "units = \"inch\"", "`units` cannot be `inch`"),
    ("id = \"cheat\"", "id = \"Cheat Line\"", "`id` of stripe `Cheat Line` is `Cheat Line`, which is no id"),
    ("id = \"cheat\"", "id = \"-x\"", "`id` of stripe `-x` is `-x`, which is no id"),
    ("id = \"two\"", "id = \"one\"", "~a second mark is called `one`"),
    ("id = \"seam\"", "id = \"ring\"", "~a second feature is called `ring`"),
    (
        "surface = \"wing\"",
        "surface = \"wong\"",
        "~`surface` of mark `one` names `wong`, but there is no surface of that id",
    ),
    (
        "paint = \"blue\"\nover",
        "paint = \"blu\"\nover",
        "~`paint` of mark `one` names `blu`, but there is no paint of that id",
    ),
    (
        "over = \"cream\"",
        "over = \"black\"",
        "~`over` of mark `one` names `black`, but there is no ground or paint of that id",
    ),
    (
        "width = 0.5, paint = \"blue\"",
        "width = 0.5, paint = \"red\"",
        "~`paint` of mark `one` names `red`, but there is no paint of that id",
    ),
    (
        "[[\"one\", \"two\"]]",
        "[[\"one\", \"three\"]]",
        "~`alike` names `three`, but there is no mark of that id",
    ),
    ("[[\"one\", \"two\"]]", "[[\"one\", \"one\"]]", "~`alike` names the mark `one` twice"),
    ("[[\"one\", \"two\"]]", "[[\"one\"]]", "`alike`, item 1 has 1 entries, at least 2 needed"),
    (
        "surface = \"side\"",
        "surface = \"left\"",
        "~`surface` of stripe `cheat` names `left`, but there is no surface of that id",
    ),
    // Shapes.
    (
        "[168, 46], [168, 60], [84, 60]]",
        "[168, 46]]",
        "`corners` of part `aileron` of surface `wing` has 2 points, at least 3 needed",
    ),
    (
        "[[0, 20], [30, 20]]",
        "[[0, 20]]",
        "`path` of feature `seam` of surface `wing` has 1 points, at least 2 needed",
    ),
    (
        "[[0, 20], [30, 20]]",
        "[[0, 20], [0, 20]]",
        "~`path` of feature `seam` of surface `wing`: points 1 and 2 are the same",
    ),
    (
        "[160, 56], [8, 56]]",
        "[8, 56], [160, 56]]",
        "~`within` of mark `one`: its edges 2-3 and 4-1 cross each other",
    ),
    (
        "[160, 4], [160, 56], [8, 56]]",
        "[160, 4], [80, 4]]",
        "~`within` of mark `one`: its corners lie on one line",
    ),
    ("at = [42, 30]", "at = [42, 30, 1]", "`at` of feature `ring` of surface `wing` has 3 values, not 2"),
    (
        "{ s = 60,",
        "{ s = 0,",
        "~`s` of stations 2 of surface `side` does not lie aft of the station before it",
    ),
    ("bottom = -22", "bottom = 22", "~`top` of stations 1 of surface `side` is not above its `bottom`"),
    (
        "[14, 0], [0, -20]",
        "[14, 30], [0, -20]",
        "~`points` of stations 2 of surface `side` do not run from top to bottom",
    ),
    ("[14, 0]", "[-14, 0]", "~`points` of stations 2 of surface `side` has a negative half width"),
    ("naca2412", "naca241", "~`section` of surface `wing` has 3 digits: naca241"),
    ("naca2412", "naca2400", "~`section` of surface `wing` has no thickness: naca2400"),
    ("scan.stl", "scan.png", "~`file` of surface `scan` is no scan by its name: scan.png"),
    (
        "place = { at = [1, 2, 3], toward = [4, 5, 6] }",
        "",
        "~mark `two` lies on a scan and has no given place",
    ),
    (", toward = [4, 5, 6]", "", "~place of mark `two` does not say where the baseline points"),
    (
        "toward = [4, 5, 6]",
        "toward = [1, 2, 3]",
        "~`toward` of place of mark `two` is the same point as `at`",
    ),
    (
        "at = [1, 2, 3]",
        "at = [1, 2]",
        "~`at` of place of mark `two` has two numbers, but the mark lies on a scan",
    ),
    (
        "height = 12\nwithin",
        "height = 12\nplace = { at = [1, 2, 3] }\nwithin",
        "~`at` of place of mark `one` has three numbers, but the surface is no scan (wing)",
    ),
    (
        "[20, 12]",
        "[20, 12, 3]",
        "~`through` of stripe `cheat` has a point of 3 numbers on a surface of kind `body`",
    ),
    // Ranges.
    ("humidity = 45", "humidity = 120", "`humidity` of conditions is out of range: 120"),
    ("humidity = 45", "humidity = -5", "`humidity` of conditions is negative: -5"),
    ("volume_solids = 0.42", "volume_solids = 0", "`volume_solids` of paint `blue` is zero"),
    ("volume_solids = 0.42", "volume_solids = 1.5", "`volume_solids` of paint `blue` is out of range: 1.5"),
    (
        "transfer_efficiency = 0.5",
        "transfer_efficiency = 50",
        "`transfer_efficiency` of paint `blue` is out of range: 50",
    ),
    ("overlap = 0.5", "overlap = 1", "`overlap` of gun is out of range: 1"),
    ("hands = 1", "hands = 0", "`hands` of shop is zero"),
    ("hands = 1", "hands = 1.5", "`hands` of shop is the number 1.5"),
    ("built = 1958", "built = 1850", "`built` of craft is out of range: 1850"),
    (
        "built = 1958",
        "built = 99999999999999999999999999999999999999999",
        "`built` of craft is infinite or far too large",
    ),
    ("count = 2", "count = 0", "`count` of coats 1 of paint `blue` is zero"),
    ("colour = \"#efe6cf\"", "reflectance = 1.2", "`reflectance` of ground `cream` is out of range: 1.2"),
    // Other amounts.
    ("air = \"72 F\"", "air = 72", "`air` of conditions is a bare number: the number 72"),
    ("air = \"72 F\"", "air = \"72\"", "`air` of conditions: `72` says no unit: add F or C"),
    (
        "air = \"72 F\"",
        "air = \"720 F\"",
        "~`air` of conditions is not between -40 C and 100 C: the text `720 F`",
    ),
    (
        "scuff_after = \"48 h\"",
        "scuff_after = 48",
        "`scuff_after` of ground `cream` is a bare number: the number 48",
    ),
    (
        "scuff_after = \"48 h\"",
        "scuff_after = \"2 weeks\"",
        "`scuff_after` of ground `cream`: unknown unit of time `weeks`: s, min, h or d",
    ),
    (
        "scuff_after = \"48 h\"",
        "scuff_after = \"900 d\"",
        "~`scuff_after` of ground `cream` is longer than a year: the text `900 d`",
    ),
    ("speed = \"18 in/s\"", "speed = \"-18 in/s\"", "`speed` of gun is negative: the text `-18 in/s`"),
    ("speed = \"18 in/s\"", "speed = \"0 in/s\"", "~`speed` of gun is zero: the text `0 in/s`"),
    ("speed = \"18 in/s\"", "speed = 18", "`speed` of gun is a bare number: the number 18"),
    ("\"#1b2f52\"", "\"blue\"", "`colour` of paint `blue`: `blue` is not a colour"),
    ("opens = \"08:00\"", "opens = \"8 am\"", "`opens` of shop: `8 am` is not a time of day"),
    ("opens = \"08:00\"", "opens = \"25:00\"", "`opens` of shop: `25:00` is not on the clock"),
    (
        "shot = 2026-06-04T15:00:00",
        "shot = 2026-06-04T15:00:00Z",
        "`shot` of ground `cream` is tied to a time zone: a time with a zone, 2026-06-04T15:00:00Z",
    ),
    ("shot = 2026-06-04T15:00:00", "shot = 2026-06-04", "`shot` of ground `cream` is the day 2026-06-04"),
    ("date = 2026-06-06", "date = \"june\"", "`date` of shop is the text `june`"),
    (
        "date = 2026-06-06",
        "date = 1200-06-06",
        "`date` of shop is not between 1900 and 2100: the day 1200-06-06",
    ),
    // Windows.
    ("by = \"20 min\"", "by = \"0 min\"", ""),
    (
        "from = \"6 h\"",
        "from = \"16 h\"",
        "~unmask of paint `blue` ends before it starts: `by` is less than `from`",
    ),
    (
        "least = \"5 min\"",
        "least = \"15 min\"",
        "~flash of coats 1 of paint `blue` ends before it starts: `most` is less than `least`",
    ),
    (
        "closes = \"18:00\"",
        "closes = \"08:00\"",
        "~the shop closes before it opens: `closes` is not later than `opens`",
    ),
    (
        "humidity = 70 }]",
        "humidity = 70 }, { at = \"08:00\", air = \"64 F\", surface = \"62 F\", humidity = 70 }]",
        "~`at` of forecast 2 of conditions is in the forecast twice",
    ),
];

fn changed(from: &str, to: &str) -> String {
    let text = SOUND.replacen(from, to, 1);
    assert_ne!(text, SOUND, "`{from}` changes nothing of the sound job");
    text
}

fn problems(text: &str) -> Vec<Problem> {
    read(text).err().unwrap_or_default()
}

#[test]
fn the_sound_job_is_sound() {
    assert_eq!(problems(SOUND), []);
}

#[test]
fn every_refusal_says_what_is_wrong_at_its_place() {
    let mut wrong = Vec::new();
    for (from, to, words) in CASES {
        let text = changed(from, to);
        let found = problems(&text);
        let words = words.trim_start_matches('~');
        assert!(found.iter().all(|problem| text.get(problem.span.clone()).is_some()), "`{to}`: {found:?}");
        let said: Vec<&str> = found.iter().map(|problem| problem.message.as_str()).collect();
        let hit =
            if words.is_empty() { said.is_empty() } else { said.iter().any(|said| said.starts_with(words)) };
        // One slip brings one problem. A key of the wrong kind, or a misspelt one, is also missed under its right
        // name; an id that is gone is also missed by those that speak of it.
        let echoes = ["spam", "[gun\n"].iter().any(|echo| to.contains(echo))
            || ["does not belong", "ground 1 has no", "a second mark"]
                .iter()
                .any(|echo| words.contains(echo));
        if !hit || (said.len() > 1 && !echoes) {
            wrong.push(format!("`{to}`: wanted {words}\n    got {said:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_places_of_problems_are_exact() {
    let text = changed("span = 168", "span = \"168 furlong\"");
    let found = problems(&text);
    assert_eq!(&text[found[0].span.clone()], "furlong");
    let text = changed("hands = 1", "hnds = 1");
    let found = problems(&text);
    assert_eq!(&text[found[0].span.clone()], "hnds");
    assert_eq!(found[0].hint, "did you mean `hands`?");
    let text = changed("surface = \"wing\"", "surface = \"wong\"");
    let found = problems(&text);
    assert_eq!(&text[found[0].span.clone()], "\"wong\"");
    assert_eq!(found[0].hint, "did you mean \"wing\"?");
}

#[test]
fn all_problems_come_at_once_in_the_order_of_the_file() {
    let text = SOUND
        .replace("span = 168", "span = -1")
        .replace("hands = 1", "hands = 0")
        .replace("\"#1b2f52\"", "\"blue\"")
        .replace("height = 12\nwithin", "height = \"1,5 m\"\nwithin");
    let found = problems(&text);
    assert_eq!(found.len(), 4, "{found:#?}");
    assert!(found.windows(2).all(|pair| pair[0].span.start <= pair[1].span.start));
}

#[test]
fn a_broken_line_hides_neither_the_others_nor_brings_echoes() {
    let text = SOUND.replace("span = 168", "span = ").replace("hands = 1", "hands = 0");
    let found = problems(&text);
    assert!(found.iter().any(|problem| problem.message.starts_with("not readable as TOML")), "{found:#?}");
    assert!(found.iter().any(|problem| problem.message == "`hands` of shop is zero"), "{found:#?}");
    assert_eq!(found.len(), 2, "{found:#?}");
}

#[test]
fn too_large_a_file_and_too_many_problems_are_cut_short() {
    let huge = "#".repeat(4 * 1024 * 1024 + 1);
    assert_eq!(problems(&huge)[0].message, "the file is 4194305 bytes long, more than 4194304");
    let many: String = (0..5000).map(|n| format!("key{n}x = 1\n")).collect();
    let found = problems(&many);
    assert_eq!(found.len(), MOST_PROBLEMS);
    // Five thousand unknown keys and the missing title, of which the first 1999 are told.
    assert_eq!(found[MOST_PROBLEMS - 1].message, "and 3002 more problems, which are not shown");
}

/// The cases a schema can know, as files.
pub(super) fn write_bad(dir: &std::path::Path) {
    std::fs::create_dir_all(dir).unwrap();
    for (idx, (from, to, words)) in CASES.iter().enumerate() {
        if !words.is_empty() && !words.starts_with('~') {
            let text = format!("# {words}\n{}", changed(from, to));
            std::fs::write(dir.join(format!("case-{idx:03}.toml")), text).unwrap();
        }
    }
    std::fs::write(dir.join("../good/sound.toml"), SOUND).unwrap();
}
