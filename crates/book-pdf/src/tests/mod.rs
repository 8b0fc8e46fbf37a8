//! The book as data in, pages out: every page kind, the least and the most a page must hold, words that try to be
//! more than words.

mod order;
mod sample;

use crate::typeset::{SetPage, SetRun, set_pages};
use crate::{BookError, Paper, book, manuscript};
use plan::job::Attachments;
use serde_json::{Value, json};
use std::collections::BTreeMap;

const DEMO: &str = include_str!("../../../../hangar/01-parasol-wing/job.toml");
const SECTION: &[u8] = include_bytes!("../../../../hangar/01-parasol-wing/naca-4412.dat");
/// Least size of words on a page, points: what the book promises.
const LEAST_POINTS: f64 = 7.0;
/// Two boxes of words may touch by this much, mm: rounding of the typesetter, and letters' own side bearings.
const TOUCH: f64 = 0.15;

type Drawings = Vec<(String, Vec<u8>)>;

/// The book's data and drawings of a job, later stages filled in with invented data.
fn sample(job: &str) -> (Value, Drawings) {
    let job = plan::job::read(job).expect("a job of the tests is good");
    let mut files = Attachments::default();
    files.files.insert("naca-4412.dat".to_owned(), SECTION.to_vec());
    let plan = plan::run(&job, &files).expect("a job of the tests can be planned");
    let mut data = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    sample::fill(&mut data);
    (data, plan.book_drawings())
}

fn pages(data: &Value, drawings: &Drawings, paper: Paper) -> Vec<SetPage> {
    let manuscript = manuscript(&data.to_string(), drawings, paper).expect("the data is good");
    set_pages(manuscript).expect("every page can be set")
}

fn words(pages: &[SetPage]) -> String {
    let runs = pages.iter().flat_map(|p| &p.runs).map(|r| r.words.as_str());
    runs.collect::<Vec<_>>().join(" ").replace('\u{200b}', "")
}

/// Every run is large enough, inside the border, and on no other.
fn assert_well_set(pages: &[SetPage]) {
    let margin = sheet::tokens::MARGIN;
    for (k, page) in pages.iter().enumerate() {
        for run in &page.runs {
            assert!(run.points >= LEAST_POINTS - 0.01, "page {}: {} pt: {run:?}", k + 1, run.points);
            let inside = run.lo.0 >= margin
                && run.hi.0 <= page.size.0 - margin
                && run.lo.1 >= margin
                && run.hi.1 <= page.size.1 - margin;
            assert!(inside, "page {} of {:?}: outside the border: {run:?}", k + 1, page.size);
        }
        let printed: Vec<&SetRun> = page.runs.iter().filter(|r| !r.words.trim().is_empty()).collect();
        for (i, a) in printed.iter().enumerate() {
            for b in &printed[i + 1..] {
                let over = |lo: f64, hi: f64, lo_b: f64, hi_b: f64| hi.min(hi_b) - lo.max(lo_b);
                let wide = over(a.lo.0, a.hi.0, b.lo.0, b.hi.0);
                let tall = over(a.lo.1, a.hi.1, b.lo.1, b.hi.1);
                assert!(wide <= TOUCH || tall <= TOUCH, "page {}: one on the other: {a:?} {b:?}", k + 1);
            }
        }
    }
}

#[test]
fn the_demo_has_every_sheet_once_and_well_set() {
    let (data, drawings) = sample(DEMO);
    let pages = pages(&data, &drawings, Paper::A4);
    assert_well_set(&pages);
    let all = words(&pages);
    for sheet in [
        "Go or no go",
        "Wing sheet: right wing, upper face",
        "Cutting card",
        "Tape card: R of N417RW",
        "Pull card: N417RW",
        "Covers and parts",
        "Paper plan",
        "Shopping list",
        "Mixing card",
        "The day",
        "When it goes wrong",
        "Inspection",
        "Rule report",
        "Fit certificate",
        "Maintenance record, draft",
    ] {
        assert!(all.contains(sheet), "{sheet} is missing");
    }
}

#[test]
fn the_wing_sheet_and_the_drawn_day_are_large_and_the_rest_is_not() {
    // ISO 216: A4 is 210 by 297 mm, A3 297 by 420 mm; ANSI/ASME Y14.1: A is 8 1/2 by 11 in, B 11 by 17 in (both
    // from memory).
    let (data, drawings) = sample(DEMO);
    for (paper, small, large) in
        [(Paper::A4, (210.0, 297.0), (420.0, 297.0)), (Paper::Letter, (215.9, 279.4), (431.8, 279.4))]
    {
        let pages = pages(&data, &drawings, paper);
        assert_well_set(&pages);
        for page in &pages {
            let said = words(std::slice::from_ref(page));
            let wing = said.contains("the lines of each letter");
            let day = said.contains("A bracket is a window");
            let wanted = if wing || day { large } else { small };
            let off = (page.size.0 - wanted.0).abs().max((page.size.1 - wanted.1).abs());
            assert!(off < 0.01, "wanted {wanted:?}, got {:?}", page.size);
        }
    }
}

/// A wing with 60 features and marks of twelve characters and of two, the second the other way up.
fn crowded() -> String {
    let mut job = String::from(
        "title = \"Crowded\"\nunits = \"in\"\nrules = \"us-14cfr45\"\n[[surface]]\nid = \"wing\"\nkind = \"wing\"\n\
         half = \"left\"\nside = \"upper\"\nspan = 300\nchord = [72, 40]\nsweep = 12\nsection = \"naca2412\"\n\
         ribs = { every = 12, tape = 2 }\n",
    );
    let kinds = ["ring", "plate", "port", "drain", "vent", "cap"];
    for k in 0..60 {
        let kind = kinds[k % kinds.len()];
        let (s, t) = (6.0 + (k * 37 % 59) as f64 * 4.9, 3.0 + (k * 23 % 31) as f64);
        let removable = if matches!(kind, "plate" | "cap") { "removable = true\n" } else { "" };
        job += &format!(
            "[[surface.feature]]\nid = \"a-feature-with-a-name-of-some-len-{k}\"\nkind = \"{kind}\"\nat = [{s}, {t}]\n\
             diameter = 1.5\n{removable}"
        );
    }
    job += "[[mark]]\nid = \"twelve\"\nsurface = \"wing\"\ntext = \"WMN4B8R6Q0KX\"\nheight = 20\nlegal = false\n\
            place = { at = [150, 22] }\n[[mark]]\nid = \"two\"\nsurface = \"wing\"\ntext = \"N1\"\nheight = 6\n\
            legal = false\nplace = { at = [150, 3.5] }\ntops = \"trailing-edge\"\n";
    job
}

#[test]
fn twelve_characters_and_sixty_features_are_well_set() {
    let (data, drawings) = sample(&crowded());
    for paper in [Paper::A4, Paper::Letter] {
        assert_well_set(&pages(&data, &drawings, paper));
    }
}

#[test]
fn one_character_on_a_bare_panel_is_well_set() {
    let job = "title = \"One\"\nunits = \"mm\"\n[[surface]]\nid = \"fin\"\nkind = \"flat\"\nside = \"left\"\n\
               corners = [[0, 0], [300, 0], [300, 400], [60, 400]]\n[[mark]]\nid = \"m\"\nsurface = \"fin\"\n\
               text = \"A\"\nheight = 120\ntops = \"forward\"\n";
    let (data, drawings) = sample(job);
    assert_well_set(&pages(&data, &drawings, Paper::A4));
}

#[test]
fn sheets_without_data_are_left_out_and_the_contents_follow() {
    let job = plan::job::read(DEMO).expect("the demo is good");
    let mut files = Attachments::default();
    files.files.insert("naca-4412.dat".to_owned(), SECTION.to_vec());
    let plan = plan::run(&job, &files).expect("the demo can be planned");
    let mut data: Value = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    for key in ["masking", "paper", "paint", "day", "materials", "labour", "parts"] {
        data.as_object_mut().expect("a plan is an object").remove(key);
    }
    let set = pages(&data, &plan.book_drawings(), Paper::A4);
    assert_well_set(&set);
    let all = words(&set);
    for absent in ["Cutting card", "Tape card", "Pull card", "Mixing card", "Shopping list", "The day"] {
        assert!(!all.contains(absent), "{absent} has nothing to show");
    }
    for present in ["Go or no go", "Wing sheet", "Fit certificate"] {
        assert!(all.matches(present).count() >= 2, "{present} stands in the contents and on its sheet");
    }
    // Not even marks: still a book.
    assert!(book("{}", &[], Paper::A4).is_ok());
}

#[test]
fn words_of_a_job_stay_words() {
    let (mut data, drawings) = sample(DEMO);
    let hostile = "#import \"x\": * *bold* _it_ $x^2$ <a> @b `c` //d \\ #panic() [e] {f} ~ -- 'q' \u{1f6e9}";
    data["pages"]["title"] = json!(format!("{hostile} \u{202e}turned\u{202c} \u{7} \u{5e2}\u{5d1} \u{416}"));
    data["pages"]["surfaces"][0]["words"] = json!(hostile);
    data["findings"][0]["message"] = json!(hostile);
    data["findings"][0]["about"] = json!(hostile);
    data["marks"][0]["text"] = json!(hostile);
    data["masking"][0]["pieces"][0]["id"] = json!(hostile);
    data["materials"][0]["item"] = json!("x".repeat(300));
    data["cautions"][0]["text"] = json!(format!("{} end", "long ".repeat(200)));
    let set = pages(&data, &drawings, Paper::A4);
    let all = words(&set);
    for piece in ["#import", "*bold*", "_it_", "$x^2$", "#panic()", "{f}", "--"] {
        assert!(all.contains(piece), "{piece} did not come out as it went in");
    }
    assert!(!all.contains('\u{202e}') && !all.contains('\u{7}'));
    // Signs no face has stand by their numbers, and the cover says how many there are; signs they have stay.
    for spelled in ["[U+05E2]", "[U+05D1]", "[U+1F6E9]", "\u{416}", "lack 3 of the signs"] {
        assert!(all.contains(spelled), "{spelled} is not in the book");
    }
    assert!(!all.contains('\u{5e2}') && !all.contains('\u{1f6e9}'));
    assert!(set.iter().flat_map(|p| &p.runs).all(|r| r.points >= LEAST_POINTS - 0.01));
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let (data, drawings) = sample(DEMO);
    let once = book(&data.to_string(), &drawings, Paper::A4).expect("the book can be set");
    let again = book(&data.to_string(), &drawings, Paper::A4).expect("the book can be set");
    assert!(once == again, "two runs differ");
    assert!(once.starts_with(b"%PDF-"));
}

#[test]
fn what_is_not_a_plan_is_refused() {
    for text in ["", "nonsense", "[1]"] {
        assert!(matches!(book(text, &[], Paper::A4), Err(BookError::Data(_))), "{text}");
    }
}

/// Two sides that say the same, a third mark and a stripe.
const SIDES: &str = include_str!("../../../plan/tests/jobs/two-sides.toml");

#[test]
fn every_name_tells_which_of_two_marks_it_is() {
    let job = plan::job::read(SIDES).expect("the job is good");
    let plan = plan::run(&job, &Attachments::default()).expect("the job can be planned");
    let data: Value = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    let set = pages(&data, &plan.book_drawings(), Paper::A4);
    assert_well_set(&set);
    let (left, right) = ("N53 (left side, flat panel)", "N53 (right side, flat panel)");
    let said = |start: &str| -> String {
        let from = set.iter().position(|p| p.runs.iter().any(|r| r.points > 14.0 && r.words == start));
        from.map(|k| words(&set[k..=k])).unwrap_or_else(|| panic!("no sheet {start}"))
    };
    for sheet in ["Tape card: N of ", "Pull card: "] {
        for side in [left, right] {
            assert!(said(&format!("{sheet}{side}")).contains("fold"), "{sheet}{side}");
        }
    }
    let go = said("Go or no go");
    let cutting = said("Cutting card");
    // Words between runs are joined by one blank.
    let day = words(&set).split_whitespace().collect::<Vec<_>>().join(" ");
    for side in [left, right] {
        assert!(cutting.contains(side) && go.contains(side), "{side} is not told apart");
        assert!(day.contains(&format!("wet coat 5 of {side}")), "the day does not say whose 5");
    }
    assert!(day.contains(&format!("mix {left}, {right}, K7, pin")), "the cup's letters do not stand apart");
    assert!(!day.contains("N53N53"));
}

/// Stripes that meet, of two masks of one paint, and of a second shot first.
const JOINED: &str = include_str!("../../../../hangar/54-joined-stripes/job.toml");

#[test]
fn stripes_of_one_mask_are_one_line_of_the_day_and_pulled_in_the_order_of_the_goes() {
    let job = plan::job::read(JOINED).expect("the job is good");
    let plan = plan::run(&job, &Attachments::default()).expect("the job can be planned");
    let data: Value = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    let set = pages(&data, &plan.book_drawings(), Paper::Letter);
    assert_well_set(&set);
    // Words between runs are joined by one blank.
    let all = words(&set).split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",");
    let one = "dive, belt, riser, sash";
    for told in ["edge tape", "wipe", "wet coat", "pull", "swab", "unmask", "inspect"] {
        assert!(all.contains(&format!("{told} {one}")), "{told} does not name the whole mask");
        for alone in ["belt", "riser", "sash"] {
            assert!(!all.contains(&format!("min {told} {alone}")), "{told} {alone} stands alone");
        }
    }
    // The plan file calls it tape; it is about the surface, not about the first stripe.
    assert!(all.contains("min wash left side, flat panel"), "{all}");
    assert!(
        !all.contains("min tape dive, 2 hands")
            && !all.contains("wait dive")
            && !all.contains("clean the gun dive")
    );
    let pull = all.find("For the wall.").expect("there is a pull card");
    let at = |words: &str| {
        all[pull..].find(words).unwrap_or_else(|| panic!("no {words} in {:.900}", &all[pull..]))
    };
    assert!(at("Stripe pin-dive with pin-belt, go 1") < at("Stripe dive with belt, riser and sash, go 2"));
    // The go card names the mask once, with one time it must be over by.
    let latest = &all[all.find("The latest pull").expect("it stands on the go card")..];
    let latest = &latest[..latest.find("Ports").unwrap_or(latest.len())];
    assert_eq!(latest.matches("dive").count(), 2, "{latest}");
    assert!(latest.contains("dive, belt, riser, sash") && latest.contains("pin-dive, pin-belt"), "{latest}");
    let hours = &all[all.find("work planned took").expect("hours are listed")..];
    let place = |w: &str| hours.find(w).unwrap_or_else(|| panic!("no {w}"));
    assert!(
        place("survey") < place("layout")
            && place("layout") < place("masking")
            && place("pulling") < place("cleanup")
    );
}

/// Pieces are named anew in every mask: a card tells into which lengths its own are cut, as the plan has them, and no others.
#[test]
fn each_tape_card_parts_its_own_pieces() {
    let text = include_str!("../../../../hangar/64-body-stripes/job.toml");
    let job = plan::job::read(text).expect("the job is good");
    let plan = plan::run(&job, &Attachments::default()).expect("the job can be planned");
    let data: Value = serde_json::from_str(&plan.book_data()).expect("a plan is JSON");
    let all = words(&pages(&data, &plan.book_drawings(), Paper::Letter));
    let all: Vec<&str> = all.split_whitespace().collect();
    let cut = all.windows(3).filter(|w| w[0] == "in" && w[2].starts_with("lengths"));
    let mut told: Vec<usize> = cut.filter_map(|w| w[1].parse().ok()).collect();
    let mut wanted = Vec::new();
    for stripe in data["pages"]["stripes"].as_array().expect("stripes") {
        let mut pieces: BTreeMap<&str, usize> = BTreeMap::new();
        for length in stripe["parted"].as_array().expect("lengths") {
            *pieces.entry(length["piece"].as_str().expect("a piece")).or_default() += 1;
        }
        wanted.extend(pieces.into_values());
    }
    told.sort_unstable();
    wanted.sort_unstable();
    assert!(4 < wanted.len() && told == wanted, "{told:?} {wanted:?}");
}
