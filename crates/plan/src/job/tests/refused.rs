//! A sound job, and what spoils it: one thing at a time, told in its own words and at its own place.

use crate::job::{read, tree::grow};
use std::collections::BTreeSet;

/// What stands in the sound job, what is put in its place, and what is said of it: line and column, message.
pub(super) type Case = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

/// A sound job with a bit of everything. The cases count its lines: add to its end only.
pub(super) const GOOD: &str = r##"title = "Panel"
units = "in"
rules = "us-14cfr45"
alike = [["reg", "name"]]

[craft]
category = "fixed-wing"
built = 1990
max_cruise_kt = 95
adiz = false

[survey]
error = "1/16 in"

[[ground]]
id = "cream"
colour = "#efe6cf"
shot = 2026-06-04T15:00:00
dry_to_tape = { time = "24 h", at = "21 C" }
scuff_after = "48 h"

[[surface]]
id = "fin"
kind = "flat"
corners = [[0, 0], [30, 0], [24, 40], [6, 40]]
ribs = { every = 12, tape = 2 }
panel = "left-fin"

[[surface.part]]
id = "rudder"
corners = [[20, 0], [30, 0], [24, 40]]
hinge = [[20, 0], [24, 40]]
control = true

[[surface.feature]]
id = "ring"
kind = "ring"
at = [10, 10]
diameter = 4.5
clearance = 0.5

[[surface.feature]]
id = "hinge-line"
kind = "hinge"
path = [[20, 0], [24, 39]]

[[surface]]
id = "wing"
kind = "wing"
half = "right"
side = "upper"
span = 168
chord = [60, 60]
section = "naca2412"

[[surface]]
id = "left-side"
kind = "body"
side = "left"
stations = [
  { s = 0, half_width = 16, top = 20, bottom = -22, power = 2.5 },
  { s = 60, points = [[0, 20], [14, 12], [12, -9], [0, -22]] },
]

[[surface]]
id = "fairing"
kind = "mesh"
file = "fairing.stl"
unit = "mm"

[[mark]]
id = "reg"
surface = "fin"
text = "N417RW"
letters = "square"
height = 12
stroke_ratio = 0.1667
gap_ratio = 0.25
slant_deg = 0
place = { at = [12, 8] }
aim = [12, 9]
within = [[2, 2], [28, 2], [24, 38]]
paint = "blue"
over = "cream"
outline = { width = 0.5, paint = "gold" }
shadow = { by = [1, -1], paint = "gold" }

[[mark]]
id = "name"
surface = "fairing"
text = "Heron"
height = 2
place = { at = [10, 20, 30], toward = [12, 20, 31] }

[[stripe]]
id = "cheat"
surface = "left-side"
through = [[2, 12], [30, 14.5], [50, 13]]
width = [2, 1]
ends = ["square", "point"]

[masking]
gap = "3/8 in"
edge_tapes = [{ width = "1/2 in", roll = "36 yd", strain = 0.05 }]

[[paint]]
id = "blue"
reflectance = 0.05
parts = [{ name = "base", parts = 4 }]
volume_solids = 0.42
dry_density = 1.4
coats = [{ kind = "fog", count = 3, film_um = 8, flash = { least = "5 min", most = "10 min" } }]
pull_edge = { state = "wet", from = "0 min", by = "20 min" }
unmask = { from = "6 h", by = "12 h" }
polish_after = "5 d"
transfer_efficiency = 0.5

[[paint]]
id = "gold"

[gun]
fan = "8 in"
overlap = 0.5
speed = "18 in/s"

[conditions]
air = "72 F"
humidity = 45
forecast = [{ at = "08:00", air = "64 F", surface = "62 F", humidity = 70 }, { at = "12:00", air = "70 F", surface = "70 F", humidity = 50 }]

[shop]
hands = 1
opens = "08:00"
closes = "18:00"
date = 2026-06-06
"##;

/// Line and column of a place, counted here in another way than the program does.
fn place(text: &str, offset: usize) -> String {
    let (mut line, mut column) = (1, 1);
    for (_, c) in text.char_indices().take_while(|(at, _)| *at < offset) {
        (line, column) = if c == '\n' { (line + 1, 1) } else { (line, column + 1) };
    }
    format!("{line}:{column}")
}

/// The sound job with one thing spoiled.
pub(super) fn spoiled(was: &str, becomes: &str) -> String {
    assert!(GOOD.contains(was), "{was:?} is not in the sound job");
    GOOD.replacen(was, becomes, 1)
}

/// Holds every case against what the reader says; no two may be told in the same words.
pub(super) fn each_in_its_own_words(cases: &[Case]) {
    let mut told = BTreeSet::new();
    for (was, becomes, wanted) in cases {
        let text = spoiled(was, becomes);
        let Err(problems) = read(&text) else { panic!("{becomes:?} for {was:?} is not refused") };
        let got: Vec<(String, &str)> = problems
            .iter()
            .map(|problem| (place(&text, problem.span.start), problem.message.as_str()))
            .collect();
        let got: Vec<(&str, &str)> = got.iter().map(|(place, message)| (place.as_str(), *message)).collect();
        assert_eq!(got, *wanted, "{becomes:?} for {was:?}");
        assert!(told.insert(*wanted), "{becomes:?} for {was:?} is told in the words of another case");
    }
}

#[test]
fn the_sound_job_is_sound() {
    read(GOOD).unwrap_or_else(|problems| panic!("{problems:#?}"));
    assert!(grow(GOOD).problems.is_empty());
}

/// What a slip of the fingers was meant to be.
#[test]
fn the_nearest_known_word_is_the_hint() {
    let cases = [
        ("span = 168", "spna = 168", "did you mean `span`?"),
        ("diameter = 4.5", "diametre = 4.5", "did you mean `diameter`?"),
        ("polish_after", "polishafter", "did you mean `polish_after`?"),
        ("[shop]", "[shpo]", "did you mean `shop`?"),
        ("[[surface.part]]", "[[surface.parts]]", "did you mean `part`?"),
        ("kind = \"mesh\"", "kind = \"mehs\"", "did you mean \"mesh\"?"),
        ("letters = \"square\"", "letters = \"Square\"", "did you mean \"square\"?"),
        ("paint = \"blue\"", "paint = \"bleu\"", "did you mean \"blue\"?"),
        ("over = \"cream\"", "over = \"creme\"", "did you mean \"cream\"?"),
        ("surface = \"left-side\"", "surface = \"leftside\"", "did you mean \"left-side\"?"),
        ("[\"reg\", \"name\"]", "[\"reg\", \"nmae\"]", "did you mean \"name\"?"),
        ("id = \"wing\"", "id = \"Wing\"", "write \"wing\""),
    ];
    for (was, becomes, hint) in cases {
        let problems = read(&spoiled(was, becomes)).unwrap_err();
        assert!(problems.iter().any(|problem| problem.hint == hint), "{becomes}: {problems:#?}");
    }
    // An id that is spoilt itself is no help, however near.
    let problems = read(&spoiled("id = \"name\"", "id = \"na\\u0000me\"")).unwrap_err();
    assert!(problems.iter().any(|p| p.message.contains("`name`")), "{problems:#?}");
    assert!(problems.iter().all(|p| !p.hint.contains('\0')), "{problems:#?}");
    // What is near to nothing is not guessed at.
    for far in ["zebra = 1", "x = 1"] {
        let problems = read(&spoiled("span = 168", &format!("span = 168\n{far}"))).unwrap_err();
        assert!(!problems[0].hint.contains("did you mean"), "{problems:#?}");
    }
}

#[test]
fn everything_that_is_wrong_is_told_at_once_in_the_order_of_the_file() {
    let mut text = GOOD.to_owned();
    let spoils = [
        ("units = \"in\"", "units = "),
        ("built = 1990", "built = 1990\nbuilt = 1991"),
        ("at = [10, 10]", "at = [10, nan]"),
        ("span = 168", "span = -168"),
        ("over = \"cream\"", "over = cream"),
        ("text = \"Heron\"", "text = \"\""),
        ("hands = 1", "hands = 0"),
    ];
    for (was, becomes) in spoils {
        text = text.replacen(was, becomes, 1);
    }
    let problems = read(&text).unwrap_err();
    let messages: Vec<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(
        messages,
        [
            "a value is missing",
            "`built` is written twice in one table",
            "`at` of feature `ring` of surface `fin` is not a number: the number nan",
            "`span` of surface `wing` is negative: -168 in",
            "`cream` is neither a number nor text in quotes",
            "`text` of mark `name` is empty",
            "`hands` of shop is zero",
        ]
    );
    assert!(problems.is_sorted_by_key(|problem| problem.span.start));
}

/// With a broken line a key may stand in what could not be made out, so nothing is said of absent keys and ids.
#[test]
fn what_is_missing_is_not_told_while_a_line_is_broken() {
    let text = spoiled("text = \"N417RW\"\n", "").replacen("id = \"gold\"", "id = gold", 1);
    let problems = read(&text).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].message, "`gold` is neither a number nor text in quotes");
}
