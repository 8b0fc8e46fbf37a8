//! Paint edges a hair from each other: no tape lies across the paint on the other side, and the plan's own check sees it if
//! it does.

use super::stripe_tests::{area, asked, flat, planned, said, stripe};
use super::{Kind, Mask, Piece};
use crate::Plan;
use crate::finding::Severity;
use geom::boolean::intersection;
use geom::{Ring, Vec2};

/// What a piece shares with shapes, mm2.
fn shared(piece: &Piece, with: &[Ring]) -> f64 {
    area(&intersection(&piece.footprint, with))
}

/// Tape off the paint by cutting whole shapes, and the plan saying so.
fn keeps_off(plan: &Plan, mask: &Mask, paint: &[Ring], case: &str) {
    let paint = flat(paint);
    for p in mask.pieces.iter().filter(|p| p.kind != Kind::Layout) {
        let on = shared(p, &paint);
        assert!(on < 0.05 + 0.02 * p.path_length(), "{case}: {} lies on {on} mm2 of paint", p.id);
    }
    let told = said(plan, "tape-covers");
    assert!(!told.is_empty() && told.iter().all(|f| f.severity == Severity::Pass), "{case}: {told:?}");
}

/// Two stripes of one paint end to end, and side by side, with less bare between them than a strip laid by hand
/// wanders (1/16 in), as much, and twice that.
#[test]
fn no_tape_lies_across_a_stripe_a_hair_away() {
    let square = "ends = [\"square\", \"square\"]";
    for gap in [0.02, 0.03, 0.05, 0.0625, 0.125] {
        let line = |a: (f64, f64), b: (f64, f64), width: f64| {
            let ((x, y), (u, v)) = (a, b);
            format!("along = {{ straight = [[{x}, {y}], [{u}, {v}]] }}\nwidth = {width}\n{square}")
        };
        let pairs = [
            (
                "end to end",
                line((10.0, 30.0), (50.0, 30.0), 2.0),
                line((50.0 + gap, 30.0), (90.0, 30.0), 2.0),
            ),
            (
                "beside",
                line((10.0, 30.0), (90.0, 30.0), 2.0),
                line((10.0, 32.0 + gap), (90.0, 32.0 + gap), 2.0),
            ),
            (
                "a wide one",
                line((10.0, 30.0), (90.0, 30.0), 1.0),
                line((10.0, 32.0 + gap), (90.0, 32.0 + gap), 3.0),
            ),
        ];
        for (case, a, b) in &pairs {
            let plan = planned(&(stripe("a", "red", a) + &stripe("b", "red", b)));
            let case = format!("{case}, {gap} in");
            assert_eq!(plan.masking.masks.len(), 1, "{case}");
            let rings: Vec<Ring> = plan.stripes.iter().flat_map(|s| s.painted.rings()).collect();
            keeps_off(&plan, &plan.masking.masks[0], &rings, &case);
        }
    }
}

/// Letters as near: two of straight edges with less than 1/16 in between them.
#[test]
fn no_tape_lies_across_a_letter_a_hair_away() {
    for ratio in [0.003, 0.006] {
        let plan = planned(&format!(
            "[[mark]]\nid = \"n\"\nsurface = \"side\"\ntext = \"HH\"\nheight = 10\nlegal = false\ngap_ratio = {ratio}\n\
             place = {{ at = [60, 30] }}\npaint = \"red\"\n"
        ));
        let mask = &plan.masking.masks[0];
        keeps_off(&plan, mask, &plan.marks[0].rings(), &format!("gap ratio {ratio}"));
        assert!(mask.pieces.iter().any(|p| p.kind == Kind::Tack));
    }
}

/// The plan's own check sees any piece moved onto paint, be it in the midst of it, where no paint edge is near, or across it.
#[test]
fn a_piece_across_paint_is_seen() {
    let keys = "along = { straight = [[20, 15], [90, 15]] }\nwidth = 8\nends = [\"square\", \"square\"]";
    let plan = planned(&stripe("s", "red", keys));
    let rings = plan.stripes[0].painted.rings();
    let found = |pieces: &[Piece]| asked(&plan, pieces).on_paint;
    let pieces = &plan.masking.masks[0].pieces;
    assert!(found(pieces).is_empty());
    let (lo, hi) = rings[0].bounds().unwrap();
    let middle = lo.midpoint(hi);
    let mut moved = 0;
    for (k, p) in pieces.iter().enumerate() {
        // Its middle to the middle of the stripe, and to half-way along its lower edge.
        let from = super::together::half_way(&p.path);
        for to in [middle, geom::Point::new(middle.x, lo.y)] {
            let by: Vec2 = to - from;
            let mut all = pieces.clone();
            for v in all[k].footprint.iter_mut().flat_map(|r| &mut r.vertices) {
                v.p += by;
            }
            // A long edge moved along itself stays off the paint: told by cutting the shapes.
            if shared(&all[k], &flat(&rings)) > 1.0 + 0.02 * p.path_length() {
                assert!(found(&all).contains(&k), "{} is not seen at {to:?}", p.id);
                moved += 1;
            }
        }
    }
    assert!(moved > pieces.len(), "{moved} of {} moved", pieces.len());
}
