//! Lengths and sizes worked out by hand from the clauses (14 CFR 45.29(b) to (e)): at a height of 12 in the
//! standard width is 8, a 1 is 2, M and W 8 to 12, stroke 2 and gap 2 in. Lengths are sums of those.

use super::*;
use crate::rules::check_mark;

/// Half of the last digit of the hand-worked lengths, inches.
const HAND_IN: f64 = 0.01;

fn length_in(text: &str, height_in: f64, wide: f64) -> f64 {
    let lettering = us().lettering();
    lettering.length(text, height_in, wide).unwrap()
}

#[test]
fn lengths_at_12_in_are_the_hand_worked_sums_of_45_29_c_and_e() {
    let narrow = 2.0 / 3.0;
    for (text, wide, expected) in [
        ("N1234A", narrow, 52.0),
        ("N2468Q", narrow, 58.0),
        ("N11111", narrow, 28.0),
        ("N111MW", narrow, 40.0),
        ("N111MW", 1.0, 48.0),
        ("N7M", narrow, 28.0),
        ("N7M", 1.0, 32.0),
        ("N90X", narrow, 38.0),
        ("N888WW", 1.0, 66.0),
        ("N888WW", narrow, 58.0),
    ] {
        let found = length_in(text, 12.0, wide);
        assert!(
            (found - expected).abs() < HAND_IN,
            "{text} wide {wide}: wanted {expected} in, got {found} in"
        );
        let mark = laid(&us(), text, 12.0 * INCH, wide);
        let measured = mark.length_mm() / INCH;
        assert!(
            (measured - expected).abs() < HAND_IN,
            "{text} laid out: wanted {expected} in, got {measured} in"
        );
    }
}

#[test]
fn length_is_proportional_to_height() {
    for (height, expected) in [(2.0, 8.67), (3.0, 13.0), (12.0, 52.0), (20.0, 86.67)] {
        let found = length_in("N1234A", height, 1.0);
        assert!((found - expected).abs() < HAND_IN, "{height} in high: wanted {expected}, got {found}");
    }
    for (free, height) in [(40.0, 9.23), (48.0, 11.08), (60.0, 13.85)] {
        let found = free / length_in("N1234A", 1.0, 1.0);
        assert!((found - height).abs() < HAND_IN, "{free} in free: wanted {height} in high, got {found}");
    }
}

#[test]
fn figures_at_12_in_are_those_of_45_29() {
    let lettering = us().lettering();
    let inches = |ratio: f64| ratio * 12.0;
    let standard = lettering.width_ratio.as_ref().unwrap().value;
    assert!((inches(standard) - 8.0).abs() < HAND_IN);
    assert!((inches(lettering.stroke_ratio.as_ref().unwrap().value) - 2.0).abs() < HAND_IN);
    assert!((inches(lettering.gap_ratio.as_ref().unwrap().value * standard) - 2.0).abs() < HAND_IN);
    let (least, most) = lettering.wide_ratio.as_ref().unwrap();
    assert!((inches(least.value) - 8.0).abs() < HAND_IN && (inches(most.value) - 12.0).abs() < HAND_IN);
    assert!((inches(lettering.width_of('1').unwrap().0) - 2.0).abs() < HAND_IN);
}

#[test]
fn every_hand_worked_mark_passes_and_says_so_with_figures() {
    for (text, wide) in
        [("N1234A", 1.0), ("N2468Q", 1.0), ("N11111", 1.0), ("N111MW", 1.0), ("N111MW", 0.8), ("N90X", 1.0)]
    {
        let us = us();
        let mark = laid(&us, text, 12.0 * INCH, wide);
        let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
        assert!(findings.iter().all(|f| f.severity <= Severity::Note), "{text}: {findings:#?}");
        for code in ["grammar", "height", "width", "stroke", "gap"] {
            assert_eq!(worst(&findings, code), Some(Severity::Pass), "{text}: {code}");
        }
        let gap = findings.iter().find(|finding| finding.code == "gap").unwrap();
        assert!((gap.required.unwrap() - 50.8).abs() < 0.001 && !gap.cite.is_empty());
    }
}

proptest::proptest! {
    /// L/H = (2/3) n + (1/6) k1 + w kM + (1/6) (characters - 1): n standard characters, k1 ones, kM of M and W.
    #[test]
    fn any_length_is_the_sum_of_45_29_c_and_e(text in "N[1-9MWAX]{1,5}", wide in 0.6667..1.0_f64) {
        let count = |of: &str| text.chars().filter(|c| of.contains(*c)).count() as f64;
        let all = text.chars().count() as f64;
        let standard = all - count("1MW");
        let wanted = standard * 2.0 / 3.0 + count("1") / 6.0 + wide * count("MW") + (all - 1.0) / 6.0;
        let found = length_in(&text, 1.0, wide);
        proptest::prop_assert!((found - wanted).abs() < 1e-9, "{text}: wanted {wanted}, got {found}");
    }
}
