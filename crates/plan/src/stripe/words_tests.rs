//! What is said of stripes that all but fit: the true reason, in words that fit the case.

use super::trial::{self, BODY, SHOP, on_panel};
use crate::Plan;
use crate::finding::{Finding, Severity};
use crate::stripe::way::{BEND, Chords};

const IN: f64 = 25.4;

fn straight(id: &str, paint: &str, from: [f64; 2], to: [f64; 2], width: f64, ends: [&str; 2]) -> String {
    let keys = format!("along = {{ straight = [{from:?}, {to:?}] }}\nwidth = {width}\nends = {ends:?}");
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\npaint = \"{paint}\"\n{keys}\n")
}

fn said<'a>(plan: &'a Plan, code: &str, about: &str) -> Vec<&'a Finding> {
    plan.findings.iter().filter(|f| f.code == code && f.about == about).collect()
}

/// Two ends that lie beside each other and run the other way are near: that is not what ails them. Nor is it with three.
#[test]
fn why_two_ends_are_not_mitred_is_said_truly() {
    let one = straight("one", "red", [20.0, 30.0], [60.0, 30.0], 3.0, ["square", "mitre"]);
    let back = straight("back", "red", [60.0, 33.0], [20.0, 33.0], 2.0, ["mitre", "square"]);
    let plan = on_panel([200, 60], &[one.clone(), back].concat());
    for (id, other) in [("one", "the start of back, 3 in"), ("back", "the end of one, 3 in")] {
        let told = said(&plan, "stripe-end", id);
        assert!(told.len() == 1 && told[0].severity == Severity::Fail, "{told:?}");
        assert!(
            told[0].message.contains(other) && told[0].message.contains("runs back"),
            "{}",
            told[0].message
        );
    }
    let up = straight("up", "red", [60.0, 30.0], [90.0, 45.0], 3.0, ["mitre", "square"]);
    let down = straight("down", "red", [60.0, 30.0], [90.0, 12.0], 3.0, ["mitre", "square"]);
    let plan = on_panel([200, 60], &[one.clone(), up, down].concat());
    let told: Vec<&Finding> = plan.findings.iter().filter(|f| f.code == "stripe-end").collect();
    assert!(told.len() == 1 && told[0].message.contains("is cut to a nearer end"), "{told:?}");
    assert!(told[0].hint.contains("`butt`"), "{}", told[0].hint);
    let far = straight("far", "red", [90.0, 30.0], [120.0, 30.0], 3.0, ["mitre", "square"]);
    let told = on_panel([200, 60], &[one, far].concat());
    assert!(said(&told, "stripe-end", "one")[0].message.contains("no other mitred end lies within 12 in"));
}

/// Two paints never butt; one paint may.
#[test]
fn a_hair_of_base_is_told_by_the_paints_beside_it() {
    let one = straight("one", "red", [10.0, 30.0], [100.0, 30.0], 2.0, ["square", "square"]);
    let next =
        |paint: &str| straight("next", paint, [100.02, 30.0], [190.0, 30.0], 2.0, ["square", "square"]);
    let hint = |paint: &str| {
        let plan = on_panel([200, 60], &[one.clone(), next(paint)].concat());
        let told = said(&plan, "stripe-meets", "next");
        assert!(told.len() == 1 && told[0].message.contains("1/32 in (0.5 mm)"), "{told:?}");
        told[0].hint.clone()
    };
    assert!(hint("gold").contains("two paints never butt"));
    let alike = hint("red");
    assert!(!alike.contains("two paints") && alike.contains("\"butt\""), "{alike}");
    assert!(alike.contains("narrowest edge tape, 1/8 in"), "{alike}");
}

/// Where no flat serves both, over the crown of a body, a butted end has no hair of base to speak of.
#[test]
fn what_meets_and_cannot_be_joined_is_said() {
    let on_left = |s: String| s.replace("\"side\"", "\"left\"");
    let crown = on_left(
        straight("crown", "red", [0.0; 2], [1.0; 2], 3.0, ["square", "square"])
            .replace("straight = [[0.0, 0.0], [1.0, 1.0]]", "edge = \"upper\", off = 1.5"),
    );
    let riser = on_left(straight("riser", "red", [60.0, 10.0], [90.0, 31.0], 2.0, ["square", "butt"]));
    let plan = trial::planned(&[BODY, &crown, &riser, SHOP]);
    let told = said(&plan, "stripe-meets", "riser");
    assert!(told.len() == 1 && told[0].message.contains("for one flat to serve both"), "{told:?}");
    assert!(told[0].hint.contains("two goes") && !told[0].hint.contains("gap"), "{}", told[0].hint);
    // What the hint says helps.
    let shop = format!("{SHOP}[[paint]]\nid = \"red-two\"\ncolour = \"#9c1f1f\"\n");
    let two = trial::planned(&[BODY, &crown, &riser.replace("\"red\"", "\"red-two\""), &shop]);
    assert!(two.findings.iter().all(|f| f.code != "tape-on-other"));
}

/// A batten through points, bent sharply, is one bend: no two of its joins turn by as much as a mitre.
#[test]
fn a_sharp_bend_of_a_batten_is_no_row_of_mitres() {
    let keys = "through = [[20, -10], [80, 10], [120, 0], [80, -10]]\nwidth = 2";
    let hook = format!(
        "[[stripe]]\nid = \"hook\"\nsurface = \"left\"\npaint = \"red\"\n{keys}\nends = [\"square\", \"square\"]\n"
    );
    let plan = trial::planned(&[BODY, &hook, SHOP]);
    assert_eq!(said(&plan, "stripe-not-fair", "hook").len(), 1);
    assert!(said(&plan, "stripe-mitre", "hook").is_empty(), "{:?}", said(&plan, "stripe-mitre", "hook"));
    let middle = Chords::new(plan.stripes[0].middle.iter().copied()).unwrap();
    assert!(middle.mitres().is_empty(), "{BEND}: {:?}", middle.mitres());
    // And the bend is there.
    assert!(said(&plan, "stripe-tape", "hook")[0].message.contains("would lift"));
}

/// By hand: a panel whose right edge leans by 3 in 4 leaves 3 in beside a stripe 4 in wide; an upright one nothing.
#[test]
fn a_wedge_of_base_at_a_slanted_edge_is_told() {
    let stripe = "[[stripe]]\nid = \"one\"\nsurface = \"side\"\npaint = \"red\"\nalong = { waterline = 20 }\nwidth = 4\n";
    let panel = |top: u32| {
        format!(
            "title = \"trial\"\nunits = \"in\"\n[[surface]]\nid = \"side\"\nkind = \"flat\"\nside = \"left\"\n\
             corners = [[0, 0], [200, 0], [{top}, 40], [0, 40]]\n"
        )
    };
    let plan = trial::planned(&[&panel(230), stripe, SHOP]);
    let told = said(&plan, "stripe-wedge", "one");
    assert!(told.len() == 1 && told[0].severity == Severity::Caution, "{told:?}");
    assert!(
        told[0].message.contains("its end is square") && told[0].message.contains("on its left"),
        "{told:?}"
    );
    let open = told[0].measured.unwrap();
    assert!((open - 3.0 * IN).abs() < 1.0, "{open}");
    let plan = trial::planned(&[&panel(170), stripe, SHOP]);
    assert!(said(&plan, "stripe-wedge", "one")[0].message.contains("on its right"));
    let plan = trial::planned(&[&panel(200), stripe, SHOP]);
    assert!(said(&plan, "stripe-wedge", "one").is_empty());
    // Asked to end before the edge it has none there.
    let short = stripe.replace("waterline = 20", "waterline = 20, to = 150");
    assert!(said(&trial::planned(&[&panel(230), &short, SHOP]), "stripe-wedge", "one").is_empty());
}

/// A stripe butts onto another right over the edge of a door: in the joint is no edge, and no tick.
#[test]
fn no_tick_is_asked_inside_a_joint() {
    let door = "[[surface.part]]\nid = \"door\"\ncorners = [[62, 5], [96, 5], [96, 55], [62, 55]]\n";
    let level = straight("level", "red", [10.0, 30.0], [190.0, 30.0], 3.0, ["square", "square"]);
    let riser = |paint: &str| straight("riser", paint, [80.0, 50.0], [96.5, 32.0], 2.0, ["square", "butt"]);
    let ticks = |plan: &Plan, k: usize| -> Vec<[f64; 2]> {
        plan.stripes[k].ticks.iter().map(|t| t.skin.map(|v| (v / IN * 100.0).round() / 100.0)).collect()
    };
    let joined = on_panel([200, 60], &[door, &level, &riser("red")].concat());
    assert_eq!(ticks(&joined, 0), [[62.0, 28.5], [62.0, 31.5], [96.0, 28.5]]);
    let told = said(&joined, "stripe-ticks", "level");
    assert!(told.len() == 1 && !told[0].message.contains("96 in / 31 1/2 in"), "{told:?}");
    // Of the riser one edge crosses the door's above the joint, the other runs out on the door.
    assert_eq!(ticks(&joined, 1).len(), 1);
    let apart = on_panel([200, 60], &[door, &level, &riser("gold")].concat());
    assert_eq!(ticks(&apart, 0).len(), 4, "in two paints both edges stay");
}
