//! Every sample job gives what its name says, twice the same, and a plan's folder is never half-written.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn program(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_maskwright")).args(args).output().expect("the program starts")
}

fn hangar(job: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../hangar").join(job).join("job.toml");
    root.to_str().expect("a path of ours is UTF-8").to_owned()
}

/// A folder of this test's own, empty.
fn folder(name: &str) -> PathBuf {
    let at = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&at);
    at
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("output is UTF-8")
}

/// Job, exit status, words that must stand in the report.
const JOBS: &[(&str, i32, &[&str])] = &[
    (
        "01-parasol-wing",
        0,
        &[
            "verdict caution",
            "rib tape",
            "no mark of this job is at tail-left or tail-right",
            "blue stands out from cream",
        ],
    ),
    ("02-flat-rudder", 0, &["verdict caution", "paint lies on control surface rudder", "EXPERIMENTAL"]),
    (
        "03-tapered-swept-wing",
        0,
        &["tank-plate, which comes off", "rivets-spar is crossed square", "3608.7 mm"],
    ),
    ("04-lower-left-wing", 0, &["verdict caution", "19 11/16 in (500 mm)", "read from the leading edge"]),
    (
        "05-fails-its-rule",
        1,
        &[
            "the letters I and O are never used",
            "height is 11 1/2 in (292.1 mm), at least 12 in (304.8 mm) asked",
            "width of N, 8, O, 2 and B is 6 29/32 in (175.3 mm)",
            "stroke of N, 8, O, 2 and B is 1 5/8 in (40.9 mm)",
            "paint covers placard-fuel",
        ],
    ),
    (
        "09-lower-left-metric",
        0,
        &[
            "single-engined aeroplane up to 2 t",
            "height is 19 11/16 in (500 mm), at least 19 11/16 in (500 mm) asked",
        ],
    ),
    (
        "10-boat-bow",
        0,
        &["every group gap is 2 21/32 in (67.7 mm)", "on the left side of the forward half", "verdict pass"],
    ),
    (
        "11-fin-small",
        0,
        &[
            "share one piece along caps and one along feet",
            "are plugs, cut whole on the board: 4 (character 2), R (character 5)",
            "leave no paint edge bare and lie on no paint",
            "this skin is fabric: press tape down with the thumb",
        ],
    ),
    ("12-flat-twelve", 0, &["leave no paint edge bare and lie on no paint"]),
    (
        "13-rounded-short-shelf",
        1,
        &[
            "no tape on the shelf takes the bend",
            "hint: buy edge tape at most",
            "tape 12.0 mm wide does not reach from the paint edge to the tack strip with 1/8 in to spare",
        ],
    ),
    (
        "14-rounded-full-shelf",
        0,
        &["leave no paint edge bare and lie on no paint", "3.2 mm wide round a radius of 13/16 in (20.3 mm)"],
    ),
    (
        "16-cut-mask",
        0,
        &[
            "2 panels of film 15 in wide, 66 1/2 in (1689.1 mm) off the roll, laid along the baseline",
            "4 islands in counters ride on the application tape",
            "36 pieces of film leave no paint edge bare and lie on no paint",
            "no other cut comes nearer to the paint than 1.6 mm",
            "gelcoat, new or polished, carries wax",
            "1 go (DABCHICK)",
        ],
    ),
    (
        "51-side-stripes",
        0,
        &[
            "tick both sides of its edge at (station / t) 118 in / 25 in, 118 in / 29 in, 156 in / 25 in, 156 in / 29 in",
            "clearance to door-window is 0 in (0 mm) over what is asked",
            "the first tape goes on at 2026-06-05T08:00",
            "2 goes (gold | red)",
        ],
    ),
    (
        "52-wing-stripe",
        0,
        &["its middle runs fairly through 4 points", "paint lies on control surface aileron"],
    ),
    (
        "53-mirrored-cheat",
        0,
        &[
            "it mirrors cheat by station and height, its length within 0.000 mm",
            "one piece of tape 6.35 mm wide serves both edges",
        ],
    ),
    (
        "54-joined-stripes",
        0,
        &[
            "verdict pass",
            "a corner of 158.4 degrees",
            "a tee of 59.0 degrees",
            "a cross of 57.1 degrees",
            "its end and that of vee-aft are cut on one line",
            "dive and belt, riser, sash are of one paint",
            // A task a mask: 3 masks in 2 goes, no longer one a stripe, the last paper off 45 min after 15:40.
            "2 goes (pin-dive, pin-belt | dive, belt, riser, sash, vee-fore, vee-aft), from Sat 6 June 08:00 to Mon 8 June 16:25",
            "every window of the day's 46 tasks was read a second time and is kept",
        ],
    ),
    ("07-roomiest-wing", 0, &["its place is the roomiest there is (proved over"]),
    ("21-six-letters-one-hand", 0, &["2 goes (HER | ONS)", "no fewer goes and no earlier end are possible"]),
    ("22-six-letters-two-hands", 0, &["2 goes (HERON | S)"]),
    (
        "23-gold-metallic",
        0,
        &["the first tape goes on at 2026-06-07T08:00", "bare metallic: it is never scuffed"],
    ),
    ("24-balanced-rudder", 0, &["balanced control surface rudder gains 16.7 g", "6.77 g m"]),
    (
        "08-no-place",
        1,
        &["there is no place for GANNET at this height (proved over", "high there is a place"],
    ),
    (
        "31-font-race-number",
        0,
        &["verdict pass", "strokes of the font measure", "slanted by 12 degrees", "its place is the nearest"],
    ),
    ("32-two-lines-optical", 0, &["verdict pass", "its place is the nearest to the aim"]),
    (
        "33-club-rules",
        0,
        &[
            "the characters slant 10 degrees, at most 10 degrees",
            "optical spacing is left out",
            "the mark stands on 2 lines",
        ],
    ),
    (
        "34-wing-name-shadow",
        0,
        &["is the largest height that fits", "clearance to ring-aileron", "slanted by 15 degrees"],
    ),
    ("35-boat-bow-slanted", 1, &["the characters slant 12 degrees, upright asked", "verdict fail"]),
    (
        "41-ring-to-cross",
        1,
        &[
            "in the way at the aim: ring-cable by 2 in (50.5 mm)",
            "crossing ring-cable square, through the middle half, there is a place",
            "at 8 7/8 in (225.4 mm) high there is a place",
            "without ring-cable there is a place; less clearance there is not enough",
        ],
    ),
    (
        "42-wider-gap",
        1,
        &["with 2 3/8 in (60 mm) between characters instead of 1 31/32 in (50 mm) there is a place"],
    ),
    (
        "43-two-faces",
        0,
        &[
            "34 1/2 in (876.3 mm) is the largest height",
            "that serves reg-upper and reg-lower at one station, 69 1/4 in (1759 mm) (proved over",
        ],
    ),
    ("44-round-the-hatch", 0, &["nearest to the aim, 8 3/8 in (212.9 mm) from it (proved over"]),
    ("45-largest-fin", 0, &["16 in (406.4 mm) is the largest height that fits (proved over"]),
    (
        "61-body-sides",
        0,
        &[
            "that serves name-left and name-right at one station, 149 5/32 in (3788.5 mm)",
            "each character has its own pattern",
            "then measured over the skin itself",
        ],
    ),
    (
        "65-twisted-wing",
        0,
        &[
            "the skin kinks at station 60 in (1524 mm)",
            "the skin under the mark does not quite unroll",
            "that serves name-upper and name-lower at one station",
        ],
    ),
    (
        "64-body-stripes",
        0,
        &[
            "it mirrors red by station and waterline",
            "both edges lie half the width off the middle over the skin",
            "edge tape 18.0 mm wide falls into every bend by itself",
        ],
    ),
    (
        "62-fairing-scan",
        0,
        &[
            "gelcoat, new or polished, carries wax",
            "smoothed to 1 in (25.4 mm)",
            "3840 triangles",
            "each is said with so much less to spare",
            "verdict pass",
        ],
    ),
    (
        "66-cowl-scan-stripes",
        0,
        &[
            "follows the waterline 1 in (25.4 mm) within 0.0",
            "keeps 1 in (25.4 mm) from feature `half-seam` within 0.0",
            "it mirrors red by station and waterline",
            "was brought onto the skin by up to 2.1",
            "5 caution",
        ],
    ),
    ("63-hull-bow", 0, &["its place is the nearest to the aim, 0 in (0 mm) from it", "verdict caution"]),
    ("46-inside-the-stroke", 0, &["nearest to the aim, 5 3/4 in (146 mm) from it (proved over"]),
];

#[test]
fn every_job_gives_what_its_name_says() {
    for (job, status, words) in JOBS {
        let done = program(&["check", &hangar(job)]);
        let said = text(&done.stdout);
        assert_eq!(done.status.code(), Some(*status), "{job}:\n{said}\n{}", text(&done.stderr));
        for word in *words {
            assert!(said.contains(word), "{job} does not say {word:?}:\n{said}");
        }
        assert!(done.stderr.is_empty(), "{job}: {}", text(&done.stderr));
    }
}

/// Whatever the tape of each colour does, the colours come in their order, each with a mask of its own.
#[test]
fn further_colours_are_masked_one_after_the_other() {
    let out = folder("colours");
    program(&["plan", &hangar("15-outline-and-shadow"), "-o", out.to_str().unwrap(), "--only", "layout"]);
    let plan: String = fs::read_to_string(out.join("plan.json")).unwrap();
    assert!(
        plan.contains("gold (outline), then blue (letters), then black (shadow): the lighter colour first")
    );
    let at = |words: &str| plan.find(words).unwrap_or_else(|| panic!("no {words}"));
    assert!(at("\"part\": \"outline\"") < at("\"part\": \"letters\""));
    assert!(at("\"part\": \"letters\"") < at("\"part\": \"shadow\""));
}

/// A cut mask has a file a panel in three formats, none mirrored, a map of its film and none of tape.
#[test]
fn a_mask_of_film_has_its_cut_files_and_its_map() {
    let out = folder("film");
    let done =
        program(&["plan", &hangar("16-cut-mask"), "-o", out.to_str().unwrap(), "--only", "patterns,layout"]);
    let said = text(&done.stdout);
    assert!(
        said.contains("mask: film in 2 panels, 40 pieces with the tack strip; one place to stand"),
        "{said}"
    );
    let list = fs::read_to_string(out.join("manifest.txt")).unwrap();
    for n in 1..=2 {
        for ending in ["svg", "dxf", "hpgl"] {
            assert!(list.contains(&format!("patterns/name-left-film-{n}.{ending}")), "{list}");
        }
    }
    assert!(list.contains("layout/film-name-left.svg"), "{list}");
    assert!(
        !list.contains("mirrored") && !list.contains("layout/tape-") && !list.contains("film-3"),
        "{list}"
    );
    let svg = fs::read_to_string(out.join("patterns/name-left-film-1.svg")).unwrap();
    for layer in ["paint-edge", "weeding", "relief", "register", "box", "hinge"] {
        assert!(svg.contains(&format!("id=\"{layer}\"")), "{layer}");
    }
}

#[test]
fn a_job_that_cannot_be_used_is_refused_with_every_problem_and_nothing_written() {
    let out = folder("degenerate");
    let done = program(&["plan", &hangar("06-degenerate"), "-o", out.to_str().unwrap()]);
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(done.stdout.is_empty() && !out.exists());
    for (line, words) in [
        (2, "`title` is blank"),
        (4, "unknown key `colour`"),
        (8, "which is no id"),
        (10, "cross each other"),
        (17, "is negative: -3 in"),
        (18, "is not a number"),
        (19, "has 2 digits: naca24"),
        (25, "is over 100 m"),
        (30, "a fraction of zero parts"),
        (5, "no rule pack is called `us-14cfr54`"),
        (37, "two numbers with no fraction"),
    ] {
        let place = format!("job.toml:{line}:");
        assert!(
            said.lines().any(|l| l.contains(&place) && l.contains(words)),
            "line {line} {words:?} is missing in\n{said}"
        );
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for (job, ..) in JOBS {
        let (one, two) = (folder(&format!("same-1-{job}")), folder(&format!("same-2-{job}")));
        program(&["plan", &hangar(job), "-o", one.to_str().unwrap()]);
        program(&["plan", &hangar(job), "-o", two.to_str().unwrap()]);
        let list = fs::read_to_string(one.join("manifest.txt")).unwrap();
        assert!(list.contains("plan.json") && list.contains("layout/"), "{list}");
        for path in list.lines().skip(1) {
            assert_eq!(fs::read(one.join(path)).unwrap(), fs::read(two.join(path)).unwrap(), "{job}: {path}");
        }
    }
}

#[test]
fn the_demo_plans_its_own_job_and_that_job_plans_the_same_again() {
    let out = folder("demo");
    let done = program(&["demo", "-o", out.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(text(&done.stdout).lines().count() <= 48);
    let again = folder("demo-again");
    let job = out.join("job.toml");
    let done = program(&["plan", job.to_str().unwrap(), "-o", again.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0));
    assert!(text(&done.stdout).lines().count() <= 40);
    let plan = |at: &Path| fs::read(at.join("plan.json")).unwrap();
    assert_eq!(plan(&out), plan(&again));
}

#[test]
fn a_second_run_replaces_its_own_files_and_touches_no_other() {
    let out = folder("again");
    let dir = out.to_str().unwrap();
    program(&["plan", &hangar("02-flat-rudder"), "-o", dir]);
    let drawing = out.join("layout/rudder-left.svg");
    assert!(drawing.is_file());
    fs::write(out.join("layout/notes.txt"), "mine").unwrap();
    let done = program(&["plan", &hangar("04-lower-left-wing"), "-o", dir]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(!drawing.exists(), "a stale drawing stays behind");
    assert!(out.join("layout/lower-left.svg").is_file());
    assert_eq!(fs::read_to_string(out.join("layout/notes.txt")).unwrap(), "mine");
    let left: Vec<String> = fs::read_dir(&out)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_str().unwrap().to_owned())
        .filter(|n| n.starts_with('.'))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_file_of_somebody_else_is_not_overwritten() {
    let out = folder("theirs");
    fs::create_dir_all(&out).unwrap();
    fs::write(out.join("plan.json"), "their plan").unwrap();
    let done = program(&["plan", &hangar("02-flat-rudder"), "-o", out.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(3));
    assert_eq!(fs::read_to_string(out.join("plan.json")).unwrap(), "their plan");
    assert_eq!(fs::read_dir(&out).unwrap().count(), 1);
}

#[test]
fn a_folder_that_cannot_be_written_gives_status_three() {
    let out = folder("blocked");
    fs::create_dir_all(out.parent().unwrap()).unwrap();
    fs::write(&out, "a file, no folder").unwrap();
    let done = program(&["plan", &hangar("02-flat-rudder"), "-o", out.join("plan").to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(3), "{}", text(&done.stderr));
    fs::remove_file(&out).unwrap();
}

#[test]
fn new_never_overwrites_and_what_it_writes_can_be_planned() {
    let dir = folder("new");
    fs::create_dir_all(&dir).unwrap();
    for kind in ["flat", "wing", "body"] {
        let file = dir.join(format!("{kind}.toml"));
        let path = file.to_str().unwrap();
        assert_eq!(program(&["new", path, "--kind", kind]).status.code(), Some(0));
        assert_eq!(program(&["check", path]).status.code(), Some(0), "{kind}");
        let before = fs::read(&file).unwrap();
        assert_eq!(program(&["new", path, "--kind", kind]).status.code(), Some(3));
        assert_eq!(fs::read(&file).unwrap(), before);
    }
}

#[test]
fn commands_that_print_data_print_it_to_stdout_and_know_their_packs() {
    let all = program(&["rules"]);
    assert!(text(&all.stdout).contains("us-14cfr45"));
    let one = program(&["rules", "us-14cfr45"]);
    assert!(text(&one.stdout).contains("45.29"), "{}", text(&one.stdout));
    assert_eq!(program(&["rules", "us-14cfr99"]).status.code(), Some(2));
    let schema = program(&["schema"]);
    assert!(text(&schema.stdout).contains("draft/2020-12"));
    assert_eq!(program(&["check", "no/such/job.toml"]).status.code(), Some(2));
    assert_eq!(program(&["plam"]).status.code(), Some(2));
    assert_eq!(program(&["--version"]).status.code(), Some(0));
}

#[test]
fn findings_come_as_json_on_request() {
    let done = program(&["check", &hangar("05-fails-its-rule"), "--json"]);
    assert_eq!(done.status.code(), Some(1));
    let said = text(&done.stdout);
    assert!(said.trim_start().starts_with('{') && said.contains("\"verdict\": \"fail\""), "{said}");
}

#[test]
fn only_what_is_wanted_is_written_and_what_an_earlier_run_left_goes() {
    let at = folder("wanted");
    let (job, out) = (hangar("02-flat-rudder"), at.to_str().unwrap().to_owned());
    assert_eq!(program(&["plan", &job, "-o", &out]).status.code(), Some(0));
    for file in ["reg-left.pdf", "reg-left.dxf", "reg-left.svg", "reg-left.hpgl", "reg-left-sticks.pdf"] {
        assert!(at.join("patterns").join(file).is_file(), "{file}");
    }
    let again = program(&["plan", &job, "-o", &out, "--only", "sticks", "--paper", "24 in"]);
    assert_eq!(again.status.code(), Some(0), "{}", text(&again.stderr));
    let mut left: Vec<String> = fs::read_dir(at.join("patterns"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_str().unwrap().to_owned())
        .collect();
    left.sort();
    assert_eq!(left, ["reg-left-sticks.pdf"]);
    assert!(at.join("plan.json").is_file() && !at.join("layout").exists());
}

#[test]
fn a_paper_that_is_none_is_refused() {
    let job = hangar("02-flat-rudder");
    let out = folder("no-paper");
    for paper in ["a5", "24", "100 mm"] {
        let refused = program(&["plan", &job, "-o", out.to_str().unwrap(), "--paper", paper]);
        assert_eq!(refused.status.code(), Some(2), "{paper}");
        assert!(!out.exists() && text(&refused.stderr).contains("roll"), "{}", text(&refused.stderr));
    }
}
