//! Ends that meet another stripe, against closed forms: mitres of two widths, blunt tips, butts aslant, and what cannot be.

use super::Laid;
use super::trial::on_panel;
use crate::Plan;
use crate::finding::{Finding, Severity};
use geom::boolean::{intersection, union};
use geom::tolerance::GRID_MM;
use geom::{Point, Ring, Vec2};
use proptest::prelude::*;
use std::f64::consts::SQRT_2;

const IN: f64 = 25.4;

fn planned(stripes: &str) -> Plan {
    on_panel([160, 100], stripes)
}

/// A straight stripe from here to there, inches.
fn straight(id: &str, paint: &str, from: (f64, f64), to: (f64, f64), width: f64, ends: [&str; 2]) -> String {
    format!(
        "[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\npaint = \"{paint}\"\nalong = {{ straight = [[{}, {}], [{}, {}]] }}\nwidth = {width}\nends = [\"{}\", \"{}\"]\n",
        from.0, from.1, to.0, to.1, ends[0], ends[1]
    )
}

fn off((x, y): (f64, f64), angle: f64, far: f64) -> (f64, f64) {
    (x + far * angle.to_radians().cos(), y + far * angle.to_radians().sin())
}

fn said<'a>(plan: &'a Plan, code: &str) -> Vec<&'a Finding> {
    plan.findings.iter().filter(|f| f.code == code).collect()
}

fn rings(stripe: &Laid) -> Vec<Ring> {
    stripe.painted.rings()
}

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum::<f64>() / (IN * IN)
}

const M: (f64, f64) = (80.0, 50.0);

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The line of a mitre runs through where the middles cross and is as long on either side of it, so that each stripe
    /// is as large as it is wide times long, whatever the widths; its corners lie half of either width off both middles.
    #[test]
    fn a_mitre_of_two_widths_is_where_both_edges_cross(
        first in 0.0..360.0_f64, turn in 12.0..118.0_f64, left in proptest::bool::ANY,
        w1 in 1.0..5.0_f64, ratio in 0.75..1.3_f64, past in -1.5..1.5_f64, flip in proptest::bool::ANY,
    ) {
        let w2 = w1 * ratio;
        let (from, turn) = (off(M, first + 180.0, 30.0), if left { turn } else { -turn });
        // Laid short of the corner or past it by as much as may be: the mitre is the same.
        let one = straight("one", "red", from, off(from, first, 30.0 + past), w1, ["square", "mitre"]);
        let (near, far) = (off(M, first + turn, -past), off(M, first + turn, 30.0));
        let two = if flip {
            straight("two", "red", far, near, w2, ["square", "mitre"])
        } else {
            straight("two", "red", near, far, w2, ["mitre", "square"])
        };
        let plan = planned(&[one, two].concat());
        prop_assert!(said(&plan, "stripe-end").is_empty(), "{:?}", said(&plan, "stripe-end"));
        let [a, b] = [&plan.stripes[0], &plan.stripes[1]];
        prop_assert!((area(&rings(a)) - 30.0 * w1).abs() < 1e-3, "{} {}", area(&rings(a)), 30.0 * w1);
        prop_assert!((area(&rings(b)) - 30.0 * w2).abs() < 1e-3, "{} {}", area(&rings(b)), 30.0 * w2);
        prop_assert!((a.length - 30.0 * IN).abs() < 1e-6 && (b.length - 30.0 * IN).abs() < 1e-6);
        let m = Point::new(M.0 * IN, M.1 * IN);
        let ways = [first, first + turn].map(|t| Vec2::from_angle(t.to_radians()));
        for flank in &a.flanks {
            let corner = flank[flank.len() - 1] - m;
            prop_assert!((ways[0].cross(corner).abs() - w1 * IN / 2.0).abs() < 1e-6);
            prop_assert!((ways[1].cross(corner).abs() - w2 * IN / 2.0).abs() < 1e-6);
        }
        // Nothing is in both, and one mask has them as one.
        prop_assert!(area(&intersection(&rings(a), &rings(b))) < 1e-4);
        let mask = &plan.masking.masks[0];
        prop_assert_eq!((plan.masking.masks.len(), mask.sprayed[0].len()), (1, 1));
        prop_assert!((area(&mask.sprayed[0]) - 30.0 * (w1 + w2)).abs() < 1e-3);
        prop_assert_eq!(mask.sprayed[0][0].vertices.len(), 6);
        prop_assert!(said(&plan, "tape-covers").iter().all(|f| f.severity < Severity::Fail));
        let words = format!("a corner of {:.1} degrees", 180.0 - turn.abs());
        prop_assert!(said(&plan, "stripe-joined")[0].message.contains(&words), "{:?}", said(&plan, "stripe-joined"));
    }

    /// A stripe that butts onto another at a slant, drawn short of it or past it: both its edges end on the other's, it is
    /// as large as it is wide times long to there, and no notch is left.
    #[test]
    fn a_butt_runs_up_to_the_other_edge(
        base in -20.0..20.0_f64, slant in 25.0..155.0_f64, w in 0.75..4.0_f64, other in 1.0..6.0_f64, past in -1.8..1.8_f64,
        gold in proptest::bool::ANY,
    ) {
        let line = straight("line", if gold { "gold" } else { "red" }, off(M, base + 180.0, 60.0), off(M, base, 60.0), other, ["square"; 2]);
        let way = base + slant;
        let steep = straight("steep", "red", off(M, way, 40.0), off(M, way, past), w, ["square", "butt"]);
        let plan = planned(&[line, steep].concat());
        prop_assert!(said(&plan, "stripe-end").is_empty(), "{:?}", said(&plan, "stripe-end"));
        let [line, steep] = [&plan.stripes[0], &plan.stripes[1]];
        let long = 40.0 - other / 2.0 / slant.to_radians().sin();
        prop_assert!((area(&rings(steep)) - long * w).abs() < 1e-3, "{} {}", area(&rings(steep)), long * w);
        prop_assert!((steep.length / IN - long).abs() < 1e-6);
        let (m, along) = (Point::new(M.0 * IN, M.1 * IN), Vec2::from_angle(base.to_radians()));
        for flank in &steep.flanks {
            let off = along.cross(flank[flank.len() - 1] - m);
            prop_assert!((off - other * IN / 2.0).abs() < 1e-6, "{off}");
        }
        // Along the edge they share the corners of both are rounded to the grid, each by half its diagonal at most, so that a
        // sliver may be in both.
        let sliver = w / slant.to_radians().sin() * GRID_MM * SQRT_2 / IN;
        prop_assert!(area(&intersection(&rings(line), &rings(steep))) < sliver);
        prop_assert!((area(&union(&rings(line), &rings(steep))) - 120.0 * other - long * w).abs() < 0.01);
        if gold {
            prop_assert_eq!(plan.masking.masks.len(), 2);
            return Ok(());
        }
        let mask = &plan.masking.masks[0];
        prop_assert_eq!((plan.masking.masks.len(), mask.sprayed[0].len(), mask.sprayed[0][0].vertices.len()), (1, 1, 8));
        prop_assert!(said(&plan, "tape-covers").iter().all(|f| f.severity < Severity::Fail));
        let words = format!("a tee of {:.1} degrees", slant.min(180.0 - slant));
        prop_assert!(said(&plan, "stripe-joined")[0].message.contains(&words), "{:?}", said(&plan, "stripe-joined"));
    }
}

/// Past a turn of 120 degrees the tip is cut square to the line of the mitre, as far out as the wider is wide. Closed form:
/// the line from the inner corner through the crossing, on to there; of two equal widths each stripe is what a mitre gives
/// less half the tip cut off, a triangle of height h and half angle beta: h^2 tan(beta) / 2.
#[test]
fn a_sharp_corner_is_blunt() {
    let (w, turn) = (2.0_f64, 150.0_f64);
    let one = straight("one", "red", off(M, 180.0, 30.0), M, w, ["square", "mitre"]);
    let two = straight("two", "red", M, off(M, turn, 30.0), w, ["mitre", "square"]);
    let plan = planned(&[one, two].concat());
    let told = said(&plan, "stripe-blunt");
    assert!(
        told.len() == 1 && told[0].severity == Severity::Caution && told[0].message.contains("150.0 degrees")
    );
    let [a, b] = [&plan.stripes[0], &plan.stripes[1]];
    let half = (180.0 - turn).to_radians() / 2.0;
    let high = w / 2.0 / half.sin() - w;
    let wanted = 30.0 * w - high * high * half.tan() / 2.0;
    for stripe in [a, b] {
        assert!((area(&rings(stripe)) - wanted).abs() < 1e-3, "{} {wanted}", area(&rings(stripe)));
    }
    assert!(area(&intersection(&rings(a), &rings(b))) < 1e-4);
    let mask = &plan.masking.masks[0];
    assert_eq!(
        (plan.masking.masks.len(), mask.sprayed[0].len(), mask.sprayed[0][0].vertices.len()),
        (1, 1, 7)
    );
    assert!((area(&mask.sprayed[0]) - 2.0 * wanted).abs() < 1e-3);
}

/// Two in line meet square; a group of two colours turns together, each colour mitred with its own.
#[test]
fn ends_find_the_one_they_meet() {
    let one = straight("one", "red", (20.0, 50.0), (60.0, 50.0), 2.0, ["square", "mitre"]);
    let two = straight("two", "red", (61.0, 50.0), (100.0, 50.0), 2.0, ["mitre", "square"]);
    let plan = planned(&[one, two].concat());
    assert!(
        (plan.stripes[0].length / IN - 40.5).abs() < 1e-6
            && (plan.stripes[1].length / IN - 39.5).abs() < 1e-6
    );
    assert_eq!(plan.masking.masks[0].sprayed[0][0].vertices.len(), 4);
    let beside = |id: &str, of: &str| {
        format!(
            "[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\npaint = \"gold\"\nalong = {{ stripe = \"{of}\", gap = \"1/2 in\", side = \"below\" }}\nwidth = 1\nends = [\"mitre\", \"mitre\"]\n"
        )
    };
    let way = off(M, 40.0, 50.0);
    let plan = planned(
        &[
            straight("red-a", "red", off(M, 180.0, 50.0), M, 3.0, ["square", "mitre"]),
            straight("red-b", "red", M, way, 3.0, ["mitre", "square"]),
            beside("pin-a", "red-a").replace("[\"mitre\", \"mitre\"]", "[\"square\", \"mitre\"]"),
            beside("pin-b", "red-b").replace("[\"mitre\", \"mitre\"]", "[\"mitre\", \"square\"]"),
        ]
        .concat(),
    );
    assert!(said(&plan, "stripe-end").is_empty(), "{:?}", said(&plan, "stripe-end"));
    assert_eq!(said(&plan, "stripe-joined").len(), 2);
    assert_eq!(plan.masking.masks.len(), 2);
    // The gap is kept round the corner: nowhere less, and the two paints never meet.
    let all = |paint: &str| -> Vec<Ring> {
        let own = plan.masking.masks.iter().filter(|m| m.paint == paint);
        own.flat_map(|m| m.sprayed[0].clone()).collect()
    };
    let apart = geom::measure::edges_to_region(&all("gold"), &geom::Region::Area { rings: all("red") });
    assert!((apart - IN / 2.0).abs() < 1e-3, "{apart}");
}

/// An end that meets nothing within reach is told, and left square.
#[test]
fn an_end_with_nothing_in_reach_is_left_square() {
    let one = straight("one", "red", (20.0, 50.0), (60.0, 50.0), 2.0, ["butt", "mitre"]);
    let two = straight("two", "red", (60.0, 59.0), (60.0, 90.0), 2.0, ["mitre", "square"]);
    let plan = planned(&[one.clone(), two].concat());
    let told = said(&plan, "stripe-end");
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told.iter().all(|f| f.severity == Severity::Fail && f.message.contains("8 in")), "{told:?}");
    assert!((plan.stripes[0].length / IN - 40.0).abs() < 1e-6);
    let near = straight("two", "red", (60.0, 57.0), (60.0, 90.0), 2.0, ["mitre", "square"]);
    assert_eq!(said(&planned(&[one, near].concat()), "stripe-end").len(), 1);
}
