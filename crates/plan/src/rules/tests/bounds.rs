//! Property P11: each verdict flips exactly at its bound, to the last thousandth of a millimetre.

use super::*;
use crate::rules::check_mark;
use proptest::prelude::*;

/// The rounding of a plan, mm; a step this size to either side of a bound decides.
const STEP_MM: f64 = 0.002;

fn verdict(change: impl FnOnce(&mut MarkFacts), height_mm: f64, code: &str) -> Severity {
    let us = us();
    let mut mark = laid(&us, "N28M1", height_mm, 1.0);
    change(&mut mark);
    let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    worst(&findings, code).unwrap()
}

proptest! {
    #[test]
    fn p11_height_flips_at_the_least_height(below in STEP_MM..200.0, above in 0.0..500.0_f64) {
        let least = 12.0 * INCH;
        prop_assert_eq!(verdict(|_| {}, least - below, "height"), Severity::Fail);
        prop_assert_eq!(verdict(|_| {}, least + above, "height"), Severity::Pass);
    }

    #[test]
    fn p11_width_flips_at_the_shops_tolerance(height in 305.0..800.0_f64, off in 0.0..1.0_f64, wider: bool, which in 0..5_usize) {
        let sign = if wider { 1.0 } else { -1.0 };
        let code = if which < 3 { "width" } else { "width-exception" };
        let inside = verdict(|m| m.characters[which].width_mm += sign * off * SHOP_MM, height, code);
        prop_assert_eq!(inside, Severity::Pass);
        // M at the full height may be narrower, down to the standard width, and is right there.
        let spare = if which == 3 && !wider { height / 3.0 } else { 0.0 };
        let by = sign * (spare + SHOP_MM + STEP_MM + off);
        prop_assert_eq!(verdict(|m| m.characters[which].width_mm += by, height, code), Severity::Fail);
    }

    #[test]
    fn p11_a_wide_m_may_be_anything_between_its_two_widths(height in 305.0..800.0_f64, share in 0.0..1.0_f64) {
        let width = height * (2.0 / 3.0 + share / 3.0);
        prop_assert_eq!(verdict(|m| m.characters[3].width_mm = width, height, "width-exception"), Severity::Pass);
    }

    #[test]
    fn p11_stroke_flips_at_the_shops_tolerance(height in 305.0..800.0_f64, off in 0.0..1.0_f64, thicker: bool, which in 0..5_usize) {
        let sign = if thicker { 1.0 } else { -1.0 };
        let set = |by: f64| move |m: &mut MarkFacts| {
            let stroke = m.characters[which].stroke.as_mut().unwrap();
            stroke.median_mm += by;
        };
        prop_assert_eq!(verdict(set(sign * off * SHOP_MM), height, "stroke"), Severity::Pass);
        prop_assert_eq!(verdict(set(sign * (SHOP_MM + STEP_MM + off)), height, "stroke"), Severity::Fail);
    }

    #[test]
    fn p11_gap_flips_at_the_least_gap_and_no_tolerance_eases_it(height in 305.0..800.0_f64, off in 0.0..40.0_f64, which in 0..4_usize) {
        prop_assert_eq!(verdict(|m| m.gaps_mm[which] += off, height, "gap"), Severity::Pass);
        prop_assert_eq!(verdict(|m| m.gaps_mm[which] -= STEP_MM + off, height, "gap"), Severity::Fail);
    }

    #[test]
    fn p11_slant_flips_at_the_greatest_slant(most in 0.0..40.0_f64, off in 0.0..20.0_f64, left: bool) {
        let mut pack = us();
        pack.slant = Some(crate::rules::figure::Figure {
            value: most,
            unit: crate::rules::figure::FigureUnit::Degree,
            limit: crate::rules::figure::Limit::Max,
            basis: crate::finding::Basis::Read,
            cite: "an invented clause".to_owned(),
        });
        let sign = if left { -1.0 } else { 1.0 };
        let verdict = |slant: f64| {
            let mut mark = laid(&pack, "N28", 12.0 * INCH, 1.0);
            mark.slant_deg = sign * slant;
            worst(&check_mark(&pack, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM), "slant").unwrap()
        };
        prop_assert_eq!(verdict((most - off).max(0.0)), Severity::Pass);
        prop_assert_eq!(verdict(most), Severity::Pass);
        prop_assert_eq!(verdict(most + 0.001 + off), Severity::Fail);
    }
}

#[test]
fn a_height_of_11_and_a_half_is_said_as_a_tape_measure_reads_it() {
    let us = us();
    let mark = laid(&us, "N28M1", 11.5 * INCH, 1.0);
    let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    let said = message(&findings, "height");
    assert!(said.starts_with("height is 11 1/2 in (292.1 mm), at least 12 in (304.8 mm) asked"), "{said}");
    assert!(said.contains("as quoted, not read in the rule"), "{said}");
}

#[test]
fn a_stroke_that_varies_within_a_character_is_a_caution() {
    let us = us();
    let mut mark = laid(&us, "N28", 12.0 * INCH, 1.0);
    mark.characters[1].stroke.as_mut().unwrap().max_mm += 5.0;
    let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&findings, "stroke-varies"), Some(Severity::Caution));
    assert_eq!(worst(&findings, "stroke"), Some(Severity::Pass));
}

#[test]
fn the_message_says_that_the_tolerance_is_the_shops() {
    let us = us();
    let mark = laid(&us, "N28", 12.0 * INCH, 1.0);
    let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    for code in ["width", "stroke"] {
        let said = message(&findings, code);
        assert!(said.contains("the shop's tolerance, not the rule's"), "{said}");
    }
}
