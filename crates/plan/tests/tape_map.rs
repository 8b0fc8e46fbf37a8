//! The tape maps of the sample jobs: every piece numbered once, every cut written, no words over each other.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use plan::Plan;
use plan::job::{Attachments, read};
use plan::mask::{EndKind, Kind};
use sheet::frame::inside;
use sheet::{Item, Sheet, Text};
use std::collections::BTreeMap;

fn plans() -> Vec<(&'static str, Plan)> {
    let mut files = Attachments::default();
    let section = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");
    files.files.insert("naca-4412.dat".to_owned(), section.to_vec());
    [
        ("01", include_str!("../../../hangar/01-parasol-wing/job.toml")),
        ("11", include_str!("../../../hangar/11-fin-small/job.toml")),
        ("12", include_str!("../../../hangar/12-flat-twelve/job.toml")),
        ("13", include_str!("../../../hangar/13-rounded-short-shelf/job.toml")),
        ("14", include_str!("../../../hangar/14-rounded-full-shelf/job.toml")),
    ]
    .into_iter()
    .map(|(name, job)| (name, plan::run(&read(job).unwrap(), &files).unwrap()))
    .collect()
}

fn texts(sheet: &Sheet) -> Vec<(&str, &Text)> {
    fn of(item: &Item) -> Option<&Text> {
        if let Item::Text(text) = item { Some(text) } else { None }
    }
    sheet.layers.iter().flat_map(|l| l.items.iter().filter_map(of).map(|t| (l.name.as_str(), t))).collect()
}

fn words(text: &Text) -> String {
    sheet::units::plain(&text.words)
}

/// Level boxes share more than a touch: nothing on these sheets is turned.
fn overlap(a: &Text, b: &Text) -> bool {
    let (p, q) = (a.corners(), b.corners());
    let slack = 0.01;
    p[0].x < q[2].x - slack && q[0].x < p[2].x - slack && p[0].y < q[2].y - slack && q[0].y < p[2].y - slack
}

/// Stripes with a taper and a point, round ends and a swallowtail, and mirrored ones along a fair line.
fn stripes() -> Vec<(&'static str, Plan)> {
    [
        ("51", include_str!("../../../hangar/51-side-stripes/job.toml")),
        ("52", include_str!("../../../hangar/52-wing-stripe/job.toml")),
        ("53", include_str!("../../../hangar/53-mirrored-cheat/job.toml")),
    ]
    .into_iter()
    .map(|(name, job)| (name, plan::run(&read(job).unwrap(), &Attachments::default()).unwrap()))
    .collect()
}

#[test]
fn no_two_words_overlap_and_none_leaves_the_frame() {
    for (job, plan) in plans().into_iter().chain(stripes()) {
        let maps = plan.tape_maps();
        assert!(maps.len() > plan.masking.masks.len() || plan.marks.is_empty(), "{job}");
        for (name, sheet) in maps {
            let room = inside((sheet.width_mm, sheet.height_mm));
            let texts = texts(&sheet);
            for (k, (_, a)) in texts.iter().enumerate() {
                for c in a.corners() {
                    let within = room.lo.x <= c.x && c.x <= room.hi.x && room.lo.y <= c.y && c.y <= room.hi.y;
                    assert!(within, "{job} {name}: {:?} leaves the frame at {c:?}", words(a));
                }
                for (_, b) in &texts[k + 1..] {
                    assert!(!overlap(a, b), "{job} {name}: {:?} over {:?}", words(a), words(b));
                }
            }
        }
    }
}

/// On a stripe's map every piece is numbered where it begins or ends, is a row of the table, and every end of it lies
/// in one of the windows: what the breaks leave out has no end of any piece in it.
#[test]
fn a_stripe_shows_both_ends_of_every_piece() {
    for (job, plan) in stripes() {
        let maps = plan.tape_maps();
        for mask in &plan.masking.masks {
            let (_, sheet) = maps.iter().find(|(n, _)| *n == format!("tape-{}", mask.of)).unwrap();
            let said = |layer: &str| -> Vec<String> {
                texts(sheet).into_iter().filter(|(l, _)| *l == layer).map(|(_, t)| words(t)).collect()
            };
            let (numbers, table) = (said("numbers"), said("table"));
            for piece in mask.pieces.iter().filter(|p| p.kind != Kind::Layout) {
                let lay = piece.lay.to_string();
                let in_table = table.windows(2).any(|w| w[0] == lay || holds(&w[0], &w[1], piece.lay));
                assert!(numbers.contains(&lay) && in_table, "{job} {}: {} of {lay}", mask.of, piece.id);
            }
            // Tabs are drawn where they lie: one each, a ring of four corners.
            let tabs = mask.pieces.iter().filter(|p| !p.tab.area.is_empty()).count();
            let drawn = sheet.layers.iter().find(|l| l.name == "tabs").unwrap();
            let hatched = |i: &&Item| matches!(i, Item::Path(p) if p.stroke.is_some() && p.fill.is_some());
            assert!(drawn.items.iter().filter(hatched).count() >= tabs, "{job} {}", mask.of);
        }
    }
}

fn letters(plan: &Plan, of: &str) -> BTreeMap<usize, Vec<Sheet>> {
    let mut out: BTreeMap<usize, Vec<Sheet>> = BTreeMap::new();
    for (name, sheet) in plan.tape_maps() {
        let Some(rest) = name.strip_prefix(&format!("tape-{of}-")) else { continue };
        let number = rest.split('-').next().unwrap().parse().unwrap();
        out.entry(number).or_default().push(sheet);
    }
    out
}

fn said(sheets: &[Sheet], layer: &str) -> Vec<String> {
    sheets.iter().flat_map(texts).filter(|(l, _)| *l == layer).map(|(_, t)| words(t)).collect()
}

#[test]
fn every_number_stands_once_at_its_tab_and_once_in_the_table() {
    for (job, plan) in plans() {
        for mask in &plan.masking.masks {
            for (number, sheets) in letters(&plan, &mask.of) {
                let (map, table) = (said(&sheets, "numbers"), said(&sheets, "table"));
                let in_rows = said(&sheets, "notes").iter().any(|w| w.contains("every fifth"));
                let mut without = 0;
                for p in mask.pieces.iter().filter(|p| p.glyph == number as i32 - 1) {
                    // A tack strip has no tab; its place in the order stands on it.
                    let name = if p.kind == Kind::Tack { p.lay.to_string() } else { p.id.clone() };
                    let count = map.iter().filter(|w| **w == name).count();
                    // Bridges and bits of strip in a row may follow on from a numbered one, four at most.
                    let follows = in_rows && count == 0 && matches!(p.kind, Kind::Bridge | Kind::Tack);
                    without = if follows { without + 1 } else { 0 };
                    assert!(without <= 4, "{job} {} letter {number}: too long a row at {name}", mask.of);
                    assert!(
                        follows || count == 1,
                        "{job} {} letter {number}: {name} {count} times on the map",
                        mask.of
                    );
                    // Strips cut alike that follow each other share a line: first and last place, and how many.
                    let shared =
                        table.windows(2).filter(|w| p.kind == Kind::Tack && holds(&w[0], &w[1], p.lay));
                    let count = table.iter().filter(|w| **w == p.id).count() + shared.count();
                    assert_eq!(count, 1, "{job} {} letter {number}: {} in the table", mask.of, p.id);
                }
            }
        }
    }
}

/// Counters and bays too small for their signs have a drawing of their own; the letter's says which pieces are there.
#[test]
fn crowded_pockets_have_their_own_drawing_and_the_letter_sends_there() {
    for (job, plan) in plans() {
        let maps = plan.tape_maps();
        for (name, sheet) in maps.iter().filter(|(n, _)| n.contains("-pocket-") && !n.ends_with("-2")) {
            let (stem, pocket) = name.split_once("-pocket-").unwrap();
            let (_, letter) = maps.iter().find(|(n, _)| n == stem).unwrap();
            let notes = said(std::slice::from_ref(letter), "notes").join(" ");
            assert!(notes.contains(&format!("pocket {pocket} has its own drawing")), "{job} {name}: {notes}");
            let there = said(std::slice::from_ref(letter), "numbers");
            assert!(there.contains(&format!("pocket {pocket}")), "{job} {name}");
            let (told, again) = (said(std::slice::from_ref(sheet), "numbers"), there);
            assert!(told.len() >= 8, "{job} {name}: {told:?}");
            for number in told.iter().filter(|w| w.parse::<usize>().is_ok()) {
                assert!(!again.contains(number), "{job} {name}: {number} on both");
            }
        }
        let rounded = maps.iter().any(|(n, _)| n.contains("-2-8-pocket-"));
        assert_eq!(rounded, job == "13" || job == "14", "{job}: counters of the 8");
    }
}

/// No rule of how to go by a map is cut off where the drawing is narrow.
#[test]
fn every_map_tells_all_of_how_to_go_by_it() {
    for (job, plan) in plans() {
        for mask in &plan.masking.masks {
            for (number, sheets) in letters(&plan, &mask.of) {
                for sheet in sheets {
                    let notes = said(std::slice::from_ref(&sheet), "notes").join(" ");
                    let last =
                        ["Pull by the last column, least first.", "Take them out when all edge tape lies."];
                    let more = notes.is_empty();
                    assert!(more || last.iter().any(|l| notes.contains(l)), "{job} letter {number}: {notes}");
                }
            }
        }
    }
}

/// Half degrees as they are read.
fn degrees(angle: f64) -> String {
    format!("{}\u{b0}", (angle.to_degrees() * 2.0).round() / 2.0)
}

#[test]
fn the_angle_of_every_cut_end_is_written_on_the_map_and_in_the_table() {
    for (job, plan) in plans() {
        for mask in &plan.masking.masks {
            for (number, sheets) in letters(&plan, &mask.of) {
                let own = mask.pieces.iter().filter(|p| p.glyph == number as i32 - 1);
                let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
                let table = said(&sheets, "table");
                for p in own {
                    let cut = |e: &&plan::mask::End| e.kind == EndKind::PreCut && e.cut > 0.0;
                    for e in [p.start, p.finish].iter().filter(cut) {
                        let angle = degrees(e.cut);
                        assert!(table.iter().any(|w| w.contains(&angle)), "{job} {}: {angle}", p.id);
                        if p.kind != Kind::Tack {
                            *wanted.entry(angle).or_default() += 1;
                        }
                    }
                }
                let map = said(&sheets, "ends");
                for (angle, count) in wanted {
                    let there = map.iter().filter(|w| **w == angle).count();
                    assert!(count <= there, "{job} {} letter {number}: {angle} {there} of {count}", mask.of);
                }
            }
        }
    }
}

#[test]
fn the_whole_mark_shows_what_runs_along_several_letters() {
    for (job, plan) in plans() {
        for mask in &plan.masking.masks {
            let name = format!("tape-{}", mask.of);
            let (_, sheet) = plan.tape_maps().into_iter().find(|(n, _)| *n == name).unwrap();
            let map = said(&[sheet], "numbers");
            let shared: Vec<&str> =
                mask.pieces.iter().filter(|p| p.glyph < 0).map(|p| p.id.as_str()).collect();
            for id in &shared {
                assert_eq!(map.iter().filter(|w| w == id).count(), 1, "{job}: {id}");
            }
            assert!(job != "11" || shared.contains(&"cap-1"), "the job no longer shares a line");
        }
    }
}

/// If a line of the table that begins with these two words, such as `12–16` and `5 strips`, holds this place.
fn holds(places: &str, how_many: &str, lay: usize) -> bool {
    let Some((first, last)) = places.split_once('\u{2013}') else { return false };
    let (Ok(first), Ok(last)) = (first.parse::<usize>(), last.parse::<usize>()) else { return false };
    how_many == format!("{} strips", last + 1 - first) && (first..=last).contains(&lay)
}

#[test]
fn a_stripe_without_an_edge_of_its_own_has_no_map() {
    let job = include_str!("../../../hangar/51-side-stripes/job.toml");
    let red = job.split("[[stripe]]").nth(1).unwrap();
    let id = red.lines().find_map(|l| l.trim().strip_prefix("id = ")).unwrap();
    // The same once more, said first.
    let twice =
        job.replacen("[[stripe]]", &format!("[[stripe]]{}[[stripe]]", red.replacen(id, "\"again\"", 1)), 1);
    let plan = plan::run(&read(&twice).unwrap(), &Attachments::default()).unwrap();
    let names: Vec<String> = plan.tape_maps().into_iter().map(|m| m.0).collect();
    assert!(!names.is_empty() && names.iter().all(|n| !n.contains(id.trim_matches('"'))), "{names:?}");
}

/// A level line that runs out at the keel turns in a hook no tape follows: that fails, and scraps without any face leave the
/// map of the rest as it is.
#[test]
fn scraps_without_a_face_do_not_stop_the_map() {
    let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"left\"\nkind = \"body\"\nside = \"left\"\nstations = [{ s = 0, \
               half_width = 20, top = 20, bottom = -24, power = 2.2 }, { s = 60, half_width = 21, top = 24, bottom = -24, power \
               = 2.4 }, { s = 120, half_width = 18, top = 21, bottom = -20, power = 2.3 }, { s = 180, half_width = 13, top = 17, \
               bottom = -13, power = 2.1 }, { s = 264, half_width = 4, top = 10, bottom = -3, power = 2.0 }]\n[[stripe]]\nid = \
               \"a\"\nsurface = \"left\"\nalong = { waterline = -8 }\nwidth = 2\n[masking]\nedge_tapes = [{ width = \"3/4 in\", \
               real = \"18 mm\", roll = \"36 yd\", strain = 0.05 }, { width = \"1/4 in\", roll = \"36 yd\", strain = 0.05 }, { \
               width = \"1/8 in\", roll = \"36 yd\", strain = 0.05 }]\ntack_tape = { width = \"3/4 in\", real = \"18 mm\", roll = \
               \"60 yd\" }\n";
    let plan = plan::run(&read(job).unwrap(), &Attachments::default()).unwrap();
    assert!(plan.findings.iter().any(|f| f.code == "stripe-tight"));
    assert!(!plan.tape_maps().is_empty());
}
