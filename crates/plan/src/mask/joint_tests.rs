//! Stripes of one paint that meet, masked as one where each has a flat of its own or the skin is a wing's.

use super::stripe_tests::{area, flat, masks_well, said};
use crate::Plan;
use crate::finding::Severity;
use crate::stripe::trial::{self, BODY, SHOP};

const IN: f64 = 25.4;
const GAP: f64 = 0.375 * IN;

const WING: &str = r#"title = "trial"
units = "in"
[[surface]]
id = "left"
kind = "wing"
half = "left"
side = "upper"
span = 150
chord = [60, 42]
sweep = 6
section = "naca2412"
"#;

fn stripe(id: &str, line: &str, width: f64, ends: [&str; 2]) -> String {
    format!(
        "[[stripe]]\nid = \"{id}\"\nsurface = \"left\"\npaint = \"red\"\nalong = {{ {line} }}\nwidth = {width}\nends = [\"{}\", \"{}\"]\n",
        ends[0], ends[1]
    )
}

fn planned(surface: &str, stripes: &[String]) -> Plan {
    trial::planned(&[surface, &stripes.concat(), SHOP])
}

/// One mask, no fault in it, and what it sprays beside what the stripes are by themselves.
fn as_one(plan: &Plan) -> (f64, Vec<f64>) {
    let told: Vec<_> = plan.findings.iter().filter(|f| f.severity > Severity::Note).collect();
    assert_eq!(plan.masking.masks.len(), 1, "{told:#?}");
    let mask = &plan.masking.masks[0];
    assert_eq!(mask.sprayed[0].len(), 1);
    masks_well(mask, &mask.sprayed[0], 0.5 * GAP);
    for code in ["stripe-end", "tape-on-other", "stripe-over", "stripe-meets", "outside"] {
        assert!(said(plan, code).is_empty(), "{:?}", said(plan, code));
    }
    assert!(said(plan, "tape-covers").iter().all(|f| f.severity < Severity::Fail));
    (area(&flat(&mask.sprayed[0])), plan.stripes.iter().map(|s| area(&flat(&s.painted.rings()))).collect())
}

/// Far longer than the skin is told of round one of them: two that cross, on a body. They share w1 w2 / sin(angle).
#[test]
fn long_stripes_that_cross_on_a_body_are_one() {
    let level = stripe("level", "waterline = 0, from = 20, to = 120", 2.0, ["square"; 2]);
    let steep = stripe("steep", "straight = [[80, -14], [92, 14]]", 1.5, ["square"; 2]);
    let plan = planned(BODY, &[level, steep]);
    let (all, own) = as_one(&plan);
    let message = &said(&plan, "stripe-joined")[0].message;
    let angle: f64 = message.split("a cross of ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let shared = 2.0 * 1.5 * IN * IN / angle.to_radians().sin();
    assert!(((own[0] + own[1] - all) / shared - 1.0).abs() < 0.05, "{message} {own:?} {all} {shared}");
    assert!(message.contains("waterline 0 in") || message.contains("waterline -0 in"), "{message}");
}

/// A trim line with a kink, of two stripes of 60 in and more, mitred on a body; and one that butts onto it. Nothing is
/// shared: the whole is as large as its parts, to what lengths are off far from the first.
#[test]
fn ends_meet_on_a_body() {
    let plan = planned(
        BODY,
        &[
            stripe("aft", "waterline = 1, from = 90, to = 160", 2.0, ["mitre", "square"]),
            stripe("fore", "straight = [[30, -9], [89, 0.5]]", 3.0, ["square", "mitre"]),
            stripe("riser", "straight = [[110, 14], [118, 2.5]]", 1.5, ["square", "butt"]),
        ],
    );
    let (all, own) = as_one(&plan);
    assert!((all / own.iter().sum::<f64>() - 1.0).abs() < 0.002, "{own:?} {all}");
    let told: Vec<&str> = said(&plan, "stripe-joined").iter().map(|f| f.message.as_str()).collect();
    assert!(told.len() == 2 && told[0].contains("a corner of") && told[1].contains("a tee of"), "{told:?}");
}

/// On a wing, which unrolls: a tee at a slant and a cross, exactly as on a flat.
#[test]
fn ends_meet_on_a_wing() {
    let plan = planned(
        WING,
        &[
            stripe("long", "straight = [[10, 22], [140, 30]]", 3.0, ["square"; 2]),
            stripe("rib", "straight = [[40, 8], [52, 22.5]]", 2.0, ["square", "butt"]),
            stripe("slash", "straight = [[90, 12], [104, 42]]", 1.5, ["square"; 2]),
        ],
    );
    let (all, own) = as_one(&plan);
    let message = &said(&plan, "stripe-joined")[1].message;
    let angle: f64 = message.split("a cross of ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let shared = 3.0 * 1.5 * IN * IN / angle.to_radians().sin();
    assert!(
        ((own.iter().sum::<f64>() - all) / shared - 1.0).abs() < 0.002,
        "{message} {own:?} {all} {shared}"
    );
    assert!(message.contains("from the leading edge"), "{message}");
}

/// Where no flat serves both, over the top of a body, tape that would lie on the other is not passed over in silence, nor is
/// anything said of a joint.
#[test]
fn what_cannot_be_brought_together_is_said() {
    // 60 degrees apart on a nose that is as good as a ball: lengths there are off by more than tape is cut to.
    let nose = "title = \"trial\"\nunits = \"in\"\n[[surface]]\nid = \"left\"\nkind = \"body\"\nside = \"left\"\nstations = [\n\
                { s = 0, half_width = 4, top = 4, bottom = -4, power = 2 },\n{ s = 10, half_width = 14, top = 14, bottom = -14, \
                power = 2 },\n{ s = 25, half_width = 19, top = 19, bottom = -19, power = 2 },\n{ s = 50, half_width = 21, top \
                = 21, bottom = -21, power = 2 },\n]\n";
    let level = stripe("level", "waterline = 0, from = 14, to = 45", 2.0, ["square"; 2]);
    let steep = stripe("steep", "straight = [[24, -24], [26, 24]]", 2.0, ["square"; 2]);
    let plan = planned(nose, &[level, steep]);
    let one = plan.masking.masks.len() == 1;
    assert_eq!(one, !said(&plan, "stripe-joined").is_empty());
    assert_eq!(one, said(&plan, "stripe-over").is_empty());
    assert_eq!(one, said(&plan, "tape-on-other").is_empty(), "{:?}", said(&plan, "tape-on-other"));
    assert!(!one);
}
