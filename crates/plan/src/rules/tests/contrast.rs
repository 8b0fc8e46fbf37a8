//! Contrast of a mark: guidance, and said to be no more than that.

use super::*;
use crate::finding::Basis;
use crate::rules::{MarkShades, Shade, check_contrast};
use proptest::prelude::*;

fn shade(name: &str, reflectance: f64) -> Option<Shade> {
    Some(Shade { name: name.to_owned(), reflectance: Some(reflectance), estimated: false, metallic: false })
}

fn shades(paint: f64, over: f64) -> MarkShades {
    MarkShades {
        id: "reg".to_owned(),
        legal: true,
        paint: shade("blue", paint),
        over: shade("cream", over),
        outline: None,
        shadow: None,
    }
}

#[test]
fn contrast_flips_at_the_figures_of_the_exit_marking_test() {
    // 14 CFR 29.811(f)(2), whichever of the two is the mark.
    for (a, b, expected) in [
        (0.10, 0.45, Severity::Pass),
        (0.10, 0.44, Severity::Caution),
        (0.20, 0.50, Severity::Pass),
        (0.20, 0.49, Severity::Caution),
        (0.80, 0.90, Severity::Caution),
    ] {
        for (paint, over) in [(a, b), (b, a)] {
            let findings = check_contrast(Some(&us()), &shades(paint, over));
            assert_eq!(worst(&findings, "contrast"), Some(expected), "{paint} on {over}");
            assert_eq!(findings.len(), 1);
        }
    }
}

#[test]
fn contrast_is_never_said_to_be_the_law() {
    for (id, _) in builtin() {
        let pack = pack(id);
        for findings in
            [check_contrast(Some(&pack), &shades(0.03, 0.8)), check_contrast(Some(&pack), &shades(0.3, 0.4))]
        {
            let finding = &findings[0];
            assert!(finding.severity <= Severity::Caution, "{id}: guidance never fails a plan");
            assert!(finding.message.contains("by guidance and not by the rule"), "{}", finding.message);
            assert!(finding.message.contains("WCAG ratio"), "{}", finding.message);
            assert!(finding.cite.contains("29.811(f)(2)") && finding.basis == Basis::Quoted);
            let asks = pack.contrast.as_ref().is_some_and(|rule| finding.message.contains(&rule.cite));
            assert_eq!(asks, pack.contrast.is_some(), "{id}: {}", finding.message);
        }
    }
    let alone = check_contrast(None, &shades(0.3, 0.4));
    assert_eq!(worst(&alone, "contrast"), Some(Severity::Caution), "legible or not needs no rule");
}

#[test]
fn letters_with_an_outline_are_held_against_the_outline() {
    let mut mark = shades(0.05, 0.06);
    mark.outline = shade("gold", 0.5);
    let findings = check_contrast(Some(&us()), &mark);
    assert_eq!(worst(&findings, "contrast"), Some(Severity::Pass));
    assert!(message(&findings, "contrast").starts_with("blue stands out from gold"));
    assert_eq!(worst(&findings, "contrast-beside"), Some(Severity::Note));
    assert!(message(&findings, "contrast-beside").starts_with("gold stands out from cream"));
}

#[test]
fn a_shadow_does_not_surround_a_letter() {
    let mut mark = shades(0.05, 0.06);
    mark.shadow = shade("gold", 0.5);
    let findings = check_contrast(Some(&us()), &mark);
    assert_eq!(worst(&findings, "contrast"), Some(Severity::Caution));
    assert_eq!(findings.iter().filter(|f| f.code == "contrast-beside").count(), 2);
}

#[test]
fn a_colour_that_is_missing_is_a_note_where_the_rule_asks_for_contrast() {
    let mut mark = shades(0.05, 0.06);
    mark.paint.as_mut().unwrap().reflectance = None;
    mark.over = None;
    let findings = check_contrast(Some(&us()), &mark);
    assert_eq!(worst(&findings, "contrast-unknown"), Some(Severity::Note));
    let said = message(&findings, "contrast-unknown");
    assert!(said.contains("blue has no colour and `over` is not given"), "{said}");
    assert!(check_contrast(None, &mark).is_empty());
    assert!(check_contrast(Some(&pack("us-documented-46cfr67")), &mark).is_empty());
}

#[test]
fn a_mark_that_is_not_bound_may_be_faint() {
    let mark = MarkShades { legal: false, ..shades(0.3, 0.4) };
    assert_eq!(worst(&check_contrast(Some(&us()), &mark), "contrast"), Some(Severity::Note));
}

#[test]
fn an_estimate_and_a_metallic_say_what_they_are() {
    let mut mark = shades(0.05, 0.6);
    assert!(!message(&check_contrast(None, &mark), "contrast").contains("about"));
    mark.paint.as_mut().unwrap().estimated = true;
    mark.over.as_mut().unwrap().metallic = true;
    let said = message(&check_contrast(None, &mark), "contrast");
    assert!(
        said.contains("blue reflects about 5 % of the light, cream 60 %") && said.contains("metallic"),
        "{said}"
    );
}

#[test]
fn a_failing_pair_says_what_would_do_and_what_other_yardsticks_say() {
    let finding = &check_contrast(None, &shades(0.8, 0.5))[0];
    assert_eq!(finding.severity, Severity::Pass);
    let hint = &check_contrast(None, &shades(0.79, 0.5))[0].hint;
    assert!(hint.contains("80 % or more") && hint.contains("49 % or less"), "{hint}");
    assert!(hint.contains("Michelson 0.22"), "{hint}");
    let light = &check_contrast(None, &shades(0.9, 0.95))[0];
    assert!(light.message.contains("the darker should reflect at most 65 %"), "{}", light.message);
    assert!(!light.hint.contains("or more"), "nothing is lighter than white: {}", light.hint);
    let dark = &check_contrast(None, &shades(0.02, 0.3))[0];
    assert!(!dark.hint.contains("or less"), "no darker colour would do: {}", dark.hint);
}

proptest! {
    #[test]
    fn the_verdict_is_the_same_from_both_sides_and_follows_the_test(a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
        let one = check_contrast(None, &shades(a, b));
        let other = check_contrast(None, &shades(b, a));
        prop_assert_eq!(one[0].severity, other[0].severity);
        // The clause, written out a second time.
        let (dark, light) = (a.min(b), a.max(b));
        let clear = (dark - 0.15).abs().min((light - 0.45).abs()).min((light - dark - 0.3).abs()) > 1e-6;
        let met = if dark <= 0.15 { 0.45 <= light } else { 0.3 <= light - dark };
        prop_assert!(!clear || met == (one[0].severity == Severity::Pass));
    }
}
