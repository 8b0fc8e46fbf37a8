//! Masks of stripes against closed forms and by brute force: the tack strip round their ends, stripes masked together.

use super::edge::{Ground, across};
use super::outline::Cuts;
use super::shelf::Measures;
use super::whole::Outlines;
use super::{Kind, Mask, Piece};
use crate::Plan;
use crate::finding::{Finding, Severity};
use crate::job::Attachments;
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

fn planned(stripes: &str) -> Plan {
    let job = format!(
        r##"title = "trial"
units = "in"
[[surface]]
id = "side"
kind = "flat"
side = "left"
corners = [[0, 0], [120, 0], [120, 60], [0, 60]]
{stripes}
[masking]
edge_tapes = [ {{ width = "1/2 in", real = "12.7 mm", strain = 0.05 }}, {{ width = "1/4 in", real = "6 mm", strain = 0.05 }}, {{ width = "1/8 in", strain = 0.05 }} ]
tack_tape = {{ width = "3/4 in", real = "18 mm" }}
[[paint]]
id = "red"
colour = "#9c1f1f"
[[paint]]
id = "gold"
colour = "#b8860b"
"##
    );
    crate::run(&crate::job::read(&job).unwrap_or_else(|p| panic!("{p:#?}")), &Attachments::default()).unwrap()
}

fn stripe(id: &str, paint: &str, more: &str) -> String {
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\npaint = \"{paint}\"\n{more}\n")
}

fn said<'a>(plan: &'a Plan, code: &str) -> Vec<&'a Finding> {
    plan.findings.iter().filter(|f| f.code == code).collect()
}

fn flat(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
}

fn area(rings: &[Ring]) -> f64 {
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

/// The plan's own check sees a length of strip that is not there.
#[test]
fn a_missing_length_of_tack_strip_is_seen() {
    let keys = "along = { straight = [[20, 15], [90, 40]] }\nwidth = 2\nends = [\"round\", \"point\"]";
    let plan = planned(&stripe("s", "red", keys));
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
    };
    let looks: Vec<_> = (0..out.runs.len()).map(|k| across(&g, k)).collect();
    let found = |pieces: &[Piece]| {
        super::check::check(&out.runs, &out.field, &out.paint, &looks, pieces, (&m, true)).unbound.len()
    };
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
fn masks_well(mask: &Mask, painted: &[Ring], gap: f64) {
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

/// Two bars that cross in one paint cannot be masked for one go: each mask lies on the other, and that fails.
#[test]
fn tape_on_what_is_shot_in_the_same_go_fails() {
    let level = stripe("level", "red", "along = { waterline = 30, from = 20, to = 100 }\nwidth = 2");
    let steep = stripe("steep", "red", "through = [[60, 10], [60, 50]]\nwidth = 2");
    let plan = planned(&[level.clone(), steep].concat());
    let told = said(&plan, "tape-on-other");
    assert_eq!(told.len(), 2);
    assert!(told.iter().all(|f| f.severity == Severity::Fail && f.hint.contains("two goes")));
    let other = stripe("steep", "gold", "through = [[60, 10], [60, 50]]\nwidth = 2");
    assert!(said(&planned(&[level, other].concat()), "tape-on-other").is_empty());
}

/// On a skin that curves both ways each stripe has a flat of its own: the second is carried over into the first's.
#[test]
fn stripes_of_one_paint_on_a_body_are_masked_together() {
    let job = r##"title = "trial"
units = "in"
[[surface]]
id = "left"
kind = "body"
side = "left"
stations = [
  { s = 0, half_width = 20, top = 20, bottom = -24, power = 2.2 },
  { s = 60, half_width = 21, top = 24, bottom = -24, power = 2.4 },
  { s = 120, half_width = 18, top = 21, bottom = -20, power = 2.3 },
  { s = 180, half_width = 13, top = 17, bottom = -13, power = 2.1 },
]
[[stripe]]
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
[masking]
edge_tapes = [
  { width = "3/4 in", real = "18 mm", strain = 0.05 },
  { width = "1/4 in", strain = 0.05 },
  { width = "1/8 in", strain = 0.05 },
]
tack_tape = { width = "3/4 in", real = "18 mm" }
[[paint]]
id = "red"
colour = "#9c1f1f"
"##;
    let plan = crate::run(&crate::job::read(job).unwrap(), &Attachments::default()).unwrap();
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
