//! Masks of stripes against closed forms and by brute force: the tack strip round their ends, stripes masked together.

use super::check::{Found, check};
use super::edge::{Ground, across};
use super::outline::Cuts;
use super::shelf::Measures;
use super::whole::Outlines;
use super::{Kind, Mask, Piece};
use crate::Plan;
use crate::finding::{Finding, Severity};
use crate::stripe::trial::{self, on_panel};
use crate::stripe::way::BEND;
use geom::boolean::intersection;
use geom::distance::nearest_on_segment;
use geom::tolerance::FLATTEN_MM;
use geom::winding::contains;
use geom::{Point, Ring, Vec2};
use proptest::prelude::*;

const IN: f64 = 25.4;
const TACK: f64 = 18.0;
const GAP: f64 = 0.375 * IN;

pub(super) fn planned(stripes: &str) -> Plan {
    on_panel([120, 60], stripes)
}

pub(super) fn stripe(id: &str, paint: &str, more: &str) -> String {
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\npaint = \"{paint}\"\n{more}\n")
}

pub(super) fn said<'a>(plan: &'a Plan, code: &str) -> Vec<&'a Finding> {
    plan.findings.iter().filter(|f| f.code == code).collect()
}

pub(super) fn flat(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
}

pub(super) fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

/// Places `off` mm outside a stadium: all within that of a line from `a` to `b`, plus `half`. A closed form.
fn round_it(a: Point, b: Point, half: f64, off: f64) -> Vec<Point> {
    let (long, way, r) = (a.distance(b), (b - a).normalize(), half + off);
    let across = geom::point::left_of(way) * r;
    let sides = (0..=400).flat_map(|k| {
        let p = a + way * (long * f64::from(k) / 400.0);
        [p + across, p - across]
    });
    let turn = way.atan2();
    let ends = (0..=180).flat_map(|k| {
        let u = Vec2::from_angle(turn - std::f64::consts::FRAC_PI_2 + f64::from(k).to_radians()) * r;
        [b + u, a - u]
    });
    sides.chain(ends).collect()
}

/// A place on the very seam of two mitred pieces is in neither: a hair to one side will do.
fn covered(pieces: &[Piece], kinds: &[Kind], p: Point) -> bool {
    let hair = [(0.0, 0.0), (0.02, 0.01), (-0.02, 0.01)].map(|(x, y)| p + Vec2::new(x, y));
    pieces.iter().filter(|q| kinds.contains(&q.kind)).any(|q| hair.iter().any(|p| contains(&q.footprint, *p)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A stripe with round ends is a stadium: the strip closes round it at the gap, lies nowhere else, and all between it and
    /// the paint is covered.
    #[test]
    fn the_tack_strip_closes_round_a_stadium(
        x in 20.0..30.0_f64, y in 15.0..45.0_f64, far in 60.0..100.0_f64, up in 15.0..45.0_f64, width in 0.8..6.0_f64,
    ) {
        let keys = format!(
            "along = {{ straight = [[{x}, {y}], [{far}, {up}]] }}\nwidth = {width}\nends = [\"round\", \"round\"]"
        );
        let plan = planned(&stripe("s", "red", &keys));
        let pieces = &plan.masking.masks[0].pieces;
        let half = width * IN / 2.0;
        let middle = &plan.stripes[0].middle;
        let (a, b) = (middle[0], middle[middle.len() - 1]);
        let inward = (b - a).normalize() * half;
        let (a, b) = (a + inward, b - inward);
        for share in [0.1, 0.5, 0.9] {
            for p in round_it(a, b, half, GAP + share * TACK) {
                prop_assert!(covered(pieces, &[Kind::Tack], p), "{share}: {p:?} has no strip");
            }
            for p in round_it(a, b, half, share * GAP) {
                prop_assert!(covered(pieces, &[Kind::Edge, Kind::Bridge], p), "{share}: {p:?} is open");
            }
        }
        for p in pieces.iter().filter(|p| p.kind == Kind::Tack) {
            for v in p.footprint.iter().flat_map(|r| &r.vertices) {
                let off = nearest_on_segment(v.p, a, b).distance(v.p) - half;
                prop_assert!(off < 1.3 * (GAP + TACK) + half * 0.3, "{} runs {off} mm off", p.id);
            }
        }
        let told = said(&plan, "tape-covers");
        prop_assert!(told.iter().all(|f| f.severity == Severity::Pass), "{told:?}");
    }
}

/// What the plan's own check finds of the first stripe's mask with these pieces.
pub(super) fn asked(plan: &Plan, pieces: &[Piece]) -> Found {
    let masking = plan.job.masking.as_ref().unwrap();
    let m = Measures::new(masking);
    let mark = &plan.stripes[0].painted;
    let rings = mark.rings();
    let out = Outlines::new(&[(0, &rings)], mark.height, Cuts { corner: BEND, at_arcs: true });
    let g = Ground {
        runs: &out.runs,
        field: &out.field,
        paint: &out.paint,
        shelf: &masking.edge_tapes,
        bridging: &masking.edge_tapes,
        m,
        step: 1.5,
        stripe: true,
        gaps: &[],
    };
    let looks: Vec<_> = (0..out.runs.len()).map(|k| across(&g, k)).collect();
    check(&out.runs, &out.field, &out.paint, &looks, pieces, (&m, true))
}

/// The plan's own check sees a length of strip that is not there.
#[test]
fn a_missing_length_of_tack_strip_is_seen() {
    let keys = "along = { straight = [[20, 15], [90, 40]] }\nwidth = 2\nends = [\"round\", \"point\"]";
    let plan = planned(&stripe("s", "red", keys));
    let found = |pieces: &[Piece]| asked(&plan, pieces).unbound.len();
    let pieces = &plan.masking.masks[0].pieces;
    assert_eq!(found(pieces), 0);
    for (k, p) in pieces.iter().enumerate().filter(|(_, p)| p.kind == Kind::Tack && p.path_length() > 20.0) {
        let mut left = pieces.clone();
        left.remove(k);
        assert!(found(&left) > 0, "{} is not missed", p.id);
    }
}

/// The tighter a round end the worse the news, never the other way about; and film is cut to any bend.
#[test]
fn tighter_ends_never_fare_better() {
    let worst = |width: f64| {
        let keys = format!(
            "along = {{ waterline = 20, from = 30, to = 60 }}\nwidth = {width}\nends = [\"square\", \"round\"]"
        );
        let plan = planned(&stripe("s", "red", &keys));
        let bends = plan.findings.iter().filter(|f| f.code == "tape-bend" || f.code == "tape-film");
        bends.map(|f| f.severity).max().unwrap_or(Severity::Pass)
    };
    let all: Vec<Severity> = [0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 12.0].map(worst).into();
    assert!(all.windows(2).all(|w| w[0] >= w[1]), "{all:?}");
    assert!(all.iter().all(|s| *s < Severity::Fail), "{all:?}");
}

/// No piece lies on any paint, and all within the gap of it is covered: asked square off the edge, every 5 mm.
pub(super) fn masks_well(mask: &Mask, painted: &[Ring], gap: f64) {
    for p in mask.pieces.iter().filter(|p| p.kind != Kind::Layout) {
        let on = area(&intersection(&p.footprint, &flat(painted)));
        assert!(on < 0.5 + 0.02 * p.path_length(), "{} lies on {on} mm2 of paint", p.id);
    }
    for ring in flat(painted) {
        for e in ring.edges() {
            for k in 0..=(e.length() / 5.0) as usize {
                let f = (5.0 * k as f64 + 0.05) / e.length();
                if 1.0 <= f {
                    continue;
                }
                for off in [0.03, 0.5 * gap, 0.95 * gap] {
                    let p = e.at(f) - geom::point::left_of(e.direction(f)) * off;
                    let open = !contains(&flat(painted), p)
                        && !covered(&mask.pieces, &[Kind::Edge, Kind::Bridge, Kind::Tack], p);
                    assert!(!open, "{p:?} is open, {off} mm off {}", mask.of);
                }
            }
        }
    }
}

/// By hand: with a gap as wide as 1/4 in tape really is (6 mm) one piece of it serves both edges; else one cut to the
/// gap; where two tapes meet in the gap, two; and where there is room for two strips each stripe has its own mask.
#[test]
fn stripes_of_one_paint_share_the_tape_between_them() {
    for (gap, line, pieces) in [
        ("gap_tape = \"1/4 in\"", "straight = [[20, 20], [80, 26]]", Some((6.0, false))),
        ("gap = \"7/16 in\"", "straight = [[20, 20], [80, 26]]", Some((7.0 / 16.0 * IN, true))),
        ("gap = \"3/4 in\"", "straight = [[20, 20], [80, 26]]", None),
        ("gap_tape = \"1/4 in\"", "waterline = 30, from = 20, to = 90", Some((6.0, false))),
    ] {
        let one = stripe("one", "red", &format!("along = {{ {line} }}\nwidth = 1.5"));
        let keys = format!("along = {{ stripe = \"one\", {gap}, side = \"below\" }}\nwidth = 1");
        let plan = planned(&[one.clone(), stripe("two", "red", &keys)].concat());
        let masks = &plan.masking.masks;
        assert_eq!(masks.len(), 1, "{gap}");
        assert_eq!((masks[0].of.as_str(), &masks[0].with), ("one", &vec!["two".to_owned()]));
        let painted: Vec<Ring> = plan.stripes.iter().flat_map(|s| s.painted.rings()).collect();
        masks_well(&masks[0], &painted, GAP);
        assert!(said(&plan, "tape-on-other").is_empty() && said(&plan, "stripe-one-tape").len() == 1);
        assert!(
            said(&plan, "tape-covers").iter().all(|f| f.severity == Severity::Pass),
            "{:?}",
            said(&plan, "tape-covers")
        );
        let edge = |p: &&Piece| p.kind == Kind::Edge && p.path_length() > 40.0 * IN;
        let long: Vec<&Piece> = masks[0].pieces.iter().filter(edge).collect();
        match pieces {
            Some((width, cut)) => {
                assert_eq!(long.len(), 3, "{gap}");
                let between = long.iter().min_by(|a, b| a.width.total_cmp(&b.width)).unwrap();
                assert!(
                    (between.width - width).abs() < 0.01 && between.trimmed == cut,
                    "{gap}: {}",
                    between.width
                );
            }
            None => assert_eq!(long.len(), 4, "{gap}"),
        }
        // In another paint nothing is shared.
        let apart = planned(&[one.clone(), stripe("two", "gold", &keys)].concat());
        assert_eq!(apart.masking.masks.len(), 2);
        assert!(apart.masking.masks.iter().all(|m| m.with.is_empty()));
    }
    let one = stripe("one", "red", "along = { waterline = 30 }\nwidth = 1");
    let keys = "along = { stripe = \"one\", gap = \"1 3/4 in\" }\nwidth = 1";
    assert_eq!(planned(&[one, stripe("two", "red", keys)].concat()).masking.masks.len(), 2);
}

/// A faired line with a thinner, shorter one under it, which ends in a point.
#[test]
fn a_shorter_stripe_beside_a_faired_one_is_masked_with_it() {
    let one = stripe("one", "red", "through = [[10, 20], [40, 24], [70, 22], [110, 30]]\nwidth = 3");
    for gap in ["gap_tape = \"1/4 in\"", "gap = \"1/2 in\""] {
        let keys = format!(
            "along = {{ stripe = \"one\", {gap}, side = \"below\", from = 25, to = 95 }}\nwidth = 1\nends = [\"point\", \"square\"]"
        );
        let plan = planned(&[one.clone(), stripe("two", "red", &keys)].concat());
        assert_eq!(plan.masking.masks.len(), 1);
        let painted: Vec<Ring> = plan.stripes.iter().flat_map(|s| s.painted.rings()).collect();
        masks_well(&plan.masking.masks[0], &painted, GAP);
        let told = said(&plan, "stripe-one-tape");
        assert!(
            told[0].severity == Severity::Note && told[0].message.contains("serves both edges"),
            "{told:?}"
        );
        assert!(
            said(&plan, "tape-covers").iter().all(|f| f.severity < Severity::Fail),
            "{:?}",
            said(&plan, "tape-covers")
        );
    }
}

/// A stripe and letters of one paint that cross it cannot be masked for one go: each mask lies on the other, and that fails.
#[test]
fn tape_on_what_is_shot_in_the_same_go_fails() {
    let level = stripe("level", "red", "along = { waterline = 30, from = 20, to = 100 }\nwidth = 2");
    let letters = |paint: &str| {
        format!(
            "[[mark]]\nid = \"name\"\nsurface = \"side\"\ntext = \"HE\"\nlegal = false\nheight = 12\npaint = \"{paint}\"\nplace = {{ at = [60, 30] }}\n"
        )
    };
    let plan = planned(&[level.clone(), letters("red")].concat());
    let told = said(&plan, "tape-on-other");
    assert_eq!(told.len(), 2, "{:?}", plan.findings);
    assert!(told.iter().all(|f| f.severity == Severity::Fail && f.hint.contains("two goes")));
    assert!(said(&planned(&[level, letters("gold")].concat()), "tape-on-other").is_empty());
}

/// Two bars that cross in one paint are one outline with four inside corners: no tape on either, and their paint counts
/// once. In two paints each has its own mask.
#[test]
fn bars_of_one_paint_that_cross_are_masked_as_one() {
    let level = stripe("level", "red", "along = { waterline = 30, from = 20, to = 100 }\nwidth = 2");
    let steep = |paint: &str| stripe("steep", paint, "through = [[60, 10], [60, 50]]\nwidth = 2");
    let plan = planned(&[level.clone(), steep("red")].concat());
    assert!(said(&plan, "tape-on-other").is_empty() && said(&plan, "stripe-over").is_empty());
    let note = said(&plan, "stripe-joined");
    assert!(note.len() == 1 && note[0].severity == Severity::Note, "{note:?}");
    for words in ["a cross of 90.0 degrees", "station 60 in", "waterline 30 in"] {
        assert!(note[0].message.contains(words), "{}", note[0].message);
    }
    let mask = &plan.masking.masks[0];
    assert_eq!((plan.masking.masks.len(), &mask.with), (1, &vec!["steep".to_owned()]));
    assert_eq!(mask.sprayed[0][0].vertices.len(), 12);
    masks_well(mask, &mask.sprayed[0], GAP);
    assert!(said(&plan, "tape-covers").iter().all(|f| f.severity == Severity::Pass));
    // Closed form: 80 by 2 and 40 by 2, less the square of 2 they share.
    assert!((area(&mask.sprayed[0]) / (IN * IN) - (160.0 + 80.0 - 4.0)).abs() < 1e-6);
    // Each stripe has the pieces along its own edges: the level one two on either side and its ends.
    let edges =
        |id: &str| mask.pieces_of(id).filter(|p| p.kind == Kind::Edge && p.id.starts_with(id)).count();
    assert_eq!((edges("level"), edges("steep")), (6, 6));
    let apart = planned(&[level, steep("gold")].concat());
    assert_eq!(apart.masking.masks.len(), 2);
    assert!(said(&apart, "stripe-over").len() == 1 && said(&apart, "stripe-joined").is_empty());
}

/// A stripe wholly within another of its paint has no edge of its own, wherever it stands in the job.
#[test]
fn a_stripe_within_another_adds_no_tape_and_no_paint() {
    let belt = stripe("belt", "red", "along = { waterline = 30, from = 20, to = 100 }\nwidth = 3");
    let stub = stripe("stub", "red", "through = [[60, 31], [60, 29]]\nwidth = 2");
    for (job, first) in [([belt.clone(), stub.clone()], "belt"), ([stub.clone(), belt.clone()], "stub")] {
        let plan = planned(&job.concat());
        let mask = &plan.masking.masks[0];
        assert_eq!(
            (plan.masking.masks.len(), mask.of.as_str(), &mask.with),
            (1, "belt", &vec!["stub".to_owned()])
        );
        assert!((area(&mask.sprayed[0]) / (IN * IN) - 240.0).abs() < 1e-6, "{first} first");
        masks_well(mask, &mask.sprayed[0], GAP);
        assert!(said(&plan, "tape-covers").iter().all(|f| f.severity == Severity::Pass));
        let told = said(&plan, "stripe-within");
        assert!(
            told.len() == 1 && told[0].about == "stub" && told[0].severity == Severity::Caution,
            "{told:?}"
        );
        assert_eq!(mask.pieces_of("stub").count(), 0);
    }
    // The same stripe twice is one, and told.
    let again = planned(&[belt.clone(), belt.replace("\"belt\"", "\"again\"")].concat());
    assert_eq!((again.masking.masks.len(), said(&again, "stripe-within").len()), (1, 1));
    assert!((area(&again.masking.masks[0].sprayed[0]) / (IN * IN) - 240.0).abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Two stripes that cross anyhow: no tape lies on the paint of either, all their common edge is covered, and what is
    /// sprayed is both less the rhomboid they share, w1 w2 / sin(angle).
    #[test]
    fn stripes_that_cross_anyhow_are_masked_as_one(
        turn in -20.0..20.0_f64, angle in 18.0..162.0_f64, w1 in 0.75..5.0_f64, w2 in 0.75..5.0_f64, round in 0_usize..3,
    ) {
        let half = |turn: f64, long: f64| {
            let (x, y) = (long * turn.to_radians().cos(), long * turn.to_radians().sin());
            format!("along = {{ straight = [[{}, {}], [{}, {}]] }}", 60.0 - x, 30.0 - y, 60.0 + x, 30.0 + y)
        };
        let ends = [["square", "square"], ["round", "point"], ["swallowtail", "round"]][round];
        let keys = |turn: f64, w: f64| {
            format!("{}\nwidth = {w}\nends = [\"{}\", \"{}\"]", half(turn, 26.0), ends[0], ends[1])
        };
        let plan = planned(&[stripe("one", "red", &keys(turn, w1)), stripe("two", "red", &keys(turn + angle, w2))].concat());
        prop_assert_eq!(plan.masking.masks.len(), 1);
        let mask = &plan.masking.masks[0];
        let own: f64 = plan.stripes.iter().map(|s| area(&s.painted.rings())).sum();
        let shared = w1 * w2 / angle.to_radians().sin() * IN * IN;
        prop_assert!((area(&mask.sprayed[0]) / (own - shared) - 1.0).abs() < 1e-5);
        masks_well(mask, &mask.sprayed[0], GAP);
        let told = said(&plan, "tape-covers");
        prop_assert!(told.iter().all(|f| f.severity < Severity::Fail), "{told:?}");
        prop_assert!(said(&plan, "tape-on-other").is_empty() && said(&plan, "stripe-joined").len() == 1);
        let words = format!("a cross of {:.1} degrees", angle.min(180.0 - angle));
        let message = &said(&plan, "stripe-joined")[0].message;
        prop_assert!(message.contains(&words), "{}: {}", words, message);
    }
}

/// On a skin that curves both ways each stripe has a flat of its own: the second is carried over into the first's.
#[test]
fn stripes_of_one_paint_on_a_body_are_masked_together() {
    let stripes = r#"[[stripe]]
id = "one"
surface = "left"
through = [[10, -6], [90, -5.5], [170, -3]]
heights = "waterline"
width = 4
ends = ["square", "point"]
end_length = 14
paint = "red"
[[stripe]]
id = "two"
surface = "left"
along = { stripe = "one", gap = "1/2 in" }
width = 1
ends = ["square", "point"]
end_length = 14
paint = "red"
"#;
    let plan = trial::planned(&[trial::BODY, stripes, trial::SHOP]);
    let mask = &plan.masking.masks[0];
    assert_eq!((plan.masking.masks.len(), &mask.with), (1, &vec!["two".to_owned()]));
    // What is sprayed of the second is as large as it is in its own flat, to the bend of the skin.
    let own = |k: usize| area(&flat(&plan.stripes[k].painted.rings()));
    let all = area(&flat(&mask.sprayed[0]));
    assert!((all / (own(0) + own(1)) - 1.0).abs() < 0.002, "{all}");
    let told = said(&plan, "tape-covers");
    assert!(
        told.iter().all(|f| f.severity < Severity::Fail) && said(&plan, "tape-on-other").is_empty(),
        "{told:?}"
    );
    assert!(said(&plan, "stripe-one-tape")[0].message.contains("one piece cut to that width"));
    masks_well(mask, &mask.sprayed[0], 0.5 * GAP);
}
