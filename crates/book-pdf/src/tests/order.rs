//! The order of the work as the book tells it: parts painted apart, windows, a job without coats, two sides alike.

use super::{assert_well_set, pages, words};
use crate::Paper;
use plan::job::Attachments;
use serde_json::{Value, json};

/// A stripe over a cowl and a door that come off, above an acrylic window, with layout tape on the shelf.
const SIDE: &str = include_str!("../../../../hangar/51-side-stripes/job.toml");
/// A deckhouse, mirrored, its paint without coats.
const DECKHOUSE: &str = include_str!("../../../../hangar/53-mirrored-cheat/job.toml");

fn data(job: &str) -> Value {
    let job = plan::job::read(job).expect("the job is good");
    let plan = plan::run(&job, &Attachments::default()).expect("the job can be planned");
    serde_json::from_str(&plan.book_data()).expect("a plan is JSON")
}

fn told(data: &Value) -> String {
    let set = pages(data, &vec![], Paper::Letter);
    assert_well_set(&set);
    // Words between runs are joined by one blank.
    words(&set).split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",").replace(" :", ":")
}

/// From one of the words to the next of them, in this order.
fn in_order(all: &str, said: &[&str]) {
    let mut from = 0;
    for words in said {
        let at = all[from..].find(words);
        from +=
            at.unwrap_or_else(|| panic!("no \"{words}\" after what is before it: {:.3000}", &all[from..]));
    }
}

#[test]
fn parts_painted_apart_have_one_order_and_are_looked_at_when_back() {
    let all = told(&data(SIDE));
    let covers = &all[all.find("What comes off is painted").expect("there is a sheet of covers and parts")..];
    in_order(
        covers,
        &[
            "With all parts on",
            "Tick part and skin",
            "Take the part off",
            "Shoot it",
            "put the part back",
            "straightedge",
            "32 in",
        ],
    );
    let masking = &all[all.find("What lies where beside").expect("there is a masking sheet")..];
    in_order(masking, &["Parts painted apart (cowl, door)", "layout tape", "Put the parts back"]);
    assert!(all.contains("Line runs on across the gap of cowl, door"), "the inspection has no row of it");
    assert!(!all.contains("before any tape goes on") && !all.contains("the skin between"));
    // The card at the skin says what a run is cut to: a run over cowl and door lies in five or four lengths.
    let cards = &all[all.find("Laid from the top of each list").expect("there are tape cards")..];
    in_order(cards, &[", in 4 lengths", "In lengths, where parts are painted apart", "cowl 40 in"]);
}

#[test]
fn an_acrylic_window_is_covered_before_solvent_is_opened() {
    let mut data = data(SIDE);
    let covered: Vec<&str> =
        data["paper"]["covered"].as_array().unwrap().iter().map(|c| c["id"].as_str().unwrap()).collect();
    assert_eq!(covered, ["static-port", "door-window"]);
    let all = told(&data);
    for words in [
        "Windows covered, all round: door-window",
        "Windows are soft acrylic",
        "soap and water only, no degreaser",
        "Covered before all else, and uncovered after: 2 in all",
    ] {
        assert!(all.contains(words), "{words}");
    }
    // Without a window nothing is said of one.
    data["pages"]["surfaces"][0]["windows"] = json!([]);
    data["paper"]["covered"].as_array_mut().unwrap().pop();
    let all = told(&data);
    assert!(
        !all.contains("Windows covered")
            && !all.contains("Windows are soft")
            && !all.contains("no degreaser")
    );
}

/// A cut that would be drawn past the border is told, not drawn: an 18 mm tape cut at 172 degrees leans by 128 mm, and with
/// the strip itself is longer than a sheet is wide beside the angle; cut at 150 it leans by 31 mm and is drawn.
#[test]
fn a_cut_longer_than_the_sheet_is_taken_from_the_pattern() {
    let mut data = data(SIDE);
    let mut cut = |deg: f64| {
        let pieces = data["masking"][0]["pieces"].as_array_mut().unwrap();
        let piece = pieces.iter_mut().find(|p| p["kind"] == "edge").unwrap();
        piece["tape_width_mm"] = json!(18.0);
        piece["finish"] = json!({"end": "pre-cut", "cut_deg": deg, "past_mm": 0, "exact": true});
        told(&data)
    };
    assert_eq!(cut(150.0).matches("Too long for this sheet").count(), 0);
    assert_eq!(cut(172.0).matches("Too long for this sheet").count(), 1);
}

#[test]
fn a_job_without_coats_is_not_sent_to_a_day_it_has_not() {
    let mut data = data(DECKHOUSE);
    data["pages"]["craft"] = json!("boat");
    let all = told(&data);
    assert!(all.contains("no day and no mixing card in this book"), "{all}");
    assert!(!all.contains("by the day"));
    // A boat has no flight controls, and no aircraft maker.
    assert!(!all.contains("Control surfaces move freely") && !all.contains("aircraft maker"), "{all}");
}

#[test]
fn two_sides_are_held_against_one_another_where_one_mirrors_the_other() {
    let all = told(&data(DECKHOUSE));
    assert!(all.contains("left against right"), "{all}");
    assert!(all.contains("measured square across") && all.contains("between, up the station"));
    let mut data = data(DECKHOUSE);
    data["pages"]["pairs"] = json!([]);
    assert!(!told(&data).contains("against right"));
}
