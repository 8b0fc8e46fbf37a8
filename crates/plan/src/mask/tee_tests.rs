//! Stripes that end against another with a hair, a wedge or a step of bare base between: the tack strip goes into every
//! corner that a hand could lay it in.

use super::stripe_tests::{area, flat, masks_well, said, stripe};
use super::{Kind, Mask};
use crate::finding::Severity;
use crate::stripe::trial::on_panel;
use geom::boolean::{difference, outset};
use geom::distance::point_to_edge;
use geom::point::left_of;
use geom::winding::contains;
use geom::{Point, Ring};

const IN: f64 = 25.4;
const GAP: f64 = 0.375 * IN;
const TACK: f64 = 18.0;
/// Two strips beside each other, each at its gap and lapped by edge tape, mm: where there is room for both.
const BOTH: f64 = 2.0 * GAP + 2.0 * TACK;

/// Every place a strip's middle or far side should lie at, looked for among all edges one by one: square off an edge, with no
/// other paint nearer and none in the way.
fn strip_all_round(mask: &Mask, paint: &[Ring], case: &str) {
    let paint = flat(paint);
    let near = |q: Point| {
        paint.iter().flat_map(Ring::edges).map(|e| point_to_edge(q, &e)).fold(f64::INFINITY, f64::min)
    };
    for e in paint.iter().flat_map(Ring::edges) {
        let out = -left_of(e.direction(0.5));
        for k in 0..=(e.length() / 4.0) as usize {
            let p = e.at((4.0 * k as f64 + 0.3).min(e.length()) / e.length());
            if (1..=(BOTH as usize)).any(|far| contains(&paint, p + out * far as f64)) {
                continue;
            }
            for off in [GAP + 0.5 * TACK, GAP + 0.9 * TACK] {
                let q = p + out * off;
                let own = near(q) > off - 0.02;
                let held =
                    mask.pieces.iter().filter(|p| p.kind != Kind::Layout).any(|p| contains(&p.footprint, q));
                assert!(!own || held, "{case}: nothing lies at {q:?}, {off} mm off {p:?}");
            }
        }
    }
}

/// What stays open within the gap of the paint is the paint.
fn opens_the_paint_alone(mask: &Mask, paint: &[Ring], case: &str) {
    let taped: Vec<Ring> = mask
        .pieces
        .iter()
        .filter(|p| p.kind != Kind::Layout)
        .flat_map(|p| p.footprint.iter().cloned())
        .collect();
    let round = outset(&flat(paint), 0.95 * GAP, 0.01);
    let open = area(&difference(&round, &taped));
    let own = area(&flat(paint));
    // A hair along the edges, and slits at sharp corners that are told by themselves.
    assert!((open / own - 1.0).abs() < 1e-4, "{case}: {open} mm2 open, {own} mm2 painted");
}

fn square(id: &str, from: [f64; 2], to: [f64; 2]) -> String {
    let keys =
        format!("along = {{ straight = [{from:?}, {to:?}] }}\nwidth = 2\nends = [\"square\", \"square\"]");
    stripe(id, "red", &keys)
}

fn masked_well(stripes: &[String], case: &str) {
    let plan = on_panel([200, 60], &stripes.concat());
    assert_eq!(plan.masking.masks.len(), 1, "{case}");
    let mask = &plan.masking.masks[0];
    let paint = &mask.sprayed[0];
    masks_well(mask, paint, GAP);
    strip_all_round(mask, paint, case);
    opens_the_paint_alone(mask, paint, case);
    let told = said(&plan, "tape-covers");
    assert!(!told.is_empty() && told.iter().all(|f| f.severity == Severity::Pass), "{case}: {told:?}");
}

/// A stripe 15 ft long and one that ends square against it at a slant, its corner in the long one's paint: a triangle of
/// base stays bare beside it.
#[test]
fn a_square_end_at_a_slant_is_masked_into_its_corners() {
    for angle in [20.0_f64, 32.0, 45.0, 60.0, 75.0, 88.0] {
        let (x, y) = (34.0 * angle.to_radians().cos(), 34.0 * angle.to_radians().sin());
        let end = [90.0, 21.2];
        let long = square("long", [10.0, 20.0], [190.0, 20.0]);
        masked_well(&[long, square("slant", [end[0] - x, end[1] + y], end)], &format!("{angle} degrees"));
    }
}

/// The same with an even gap: a hair, a tape and the widest tape of the shelf.
#[test]
fn a_square_end_a_gap_away_is_masked_into_its_corners() {
    for gap in [0.04, 0.125, 0.25, 0.5, 0.75] {
        let long = square("long", [10.0, 30.0], [190.0, 30.0]);
        masked_well(&[long, square("stem", [60.0, 55.0], [60.0, 31.0 + gap])], &format!("{gap} in"));
    }
}

/// A short edge between two corners has no room for the mitre of a strip that meets it there: both are cut square.
#[test]
fn a_corner_beside_a_step_is_closed() {
    for beyond in [0.4, 0.9, 1.2, 1.4, 2.0] {
        let long = square("long", [10.0, 30.0], [190.0, 30.0]);
        let slash = square("slash", [100.0 - beyond, 31.0 + beyond], [112.0, 19.0]);
        masked_well(&[long, slash], &format!("{beyond} in beyond"));
    }
}

/// Two bars that cross at a shallow angle: between their edges one strip runs into each of the two long points. A stair of
/// short lengths, each cut to its width, is nothing a hand would lay.
#[test]
fn a_shallow_crossing_takes_one_pointed_strip_a_side() {
    for angle in [3.0_f64, 5.0] {
        let (x, y) = (80.0 * angle.to_radians().cos(), 80.0 * angle.to_radians().sin());
        let long = square("long", [10.0, 30.0], [190.0, 30.0]);
        let slash = square("slash", [100.0 - x, 30.0 - y], [100.0 + x, 30.0 + y]);
        let case = format!("{angle} degrees");
        let plan = on_panel([200, 60], &[long, slash].concat());
        let mask = &plan.masking.masks[0];
        strip_all_round(mask, &mask.sprayed[0], &case);
        opens_the_paint_alone(mask, &mask.sprayed[0], &case);
        let strips: Vec<f64> =
            mask.pieces.iter().filter(|p| p.kind == Kind::Tack).map(|p| p.cut_length).collect();
        // Of each bar four long edges' strips, one on either side of the other bar, and its two ends.
        assert_eq!(strips.len(), 12, "{case}: {strips:?}");
        assert!(strips.iter().all(|long| *long > 2.0 * IN), "{case}: {strips:?}");
    }
}
