//! Words beside the mark (14 CFR 45.23(b)): wanted, there, of the right size, and for this craft.

use super::*;
use crate::rules::{check_job, check_mark};

const CLASSES: [(Special, &str); 5] = [
    (Special::Exhibition, "EXPERIMENTAL"),
    (Special::AmateurBuilt, "EXPERIMENTAL"),
    (Special::LightSport, "LIGHT-SPORT"),
    (Special::Limited, "LIMITED"),
    (Special::Restricted, "RESTRICTED"),
];

fn of(special: Special) -> Craft {
    Craft { special: Some(special), ..craft(Category::FixedWing) }
}

fn reads(text: &str, inches: f64) -> MarkFacts {
    MarkFacts { id: "word".to_owned(), text: text.to_owned(), ..laid(&us(), "N417RW", inches * INCH, 1.0) }
}

fn job(craft: &Craft, marks: &[MarkFacts]) -> Vec<Finding> {
    check_job(&us(), craft, YEAR, marks, SHOP_MM)
}

#[test]
fn a_word_is_at_least_2_and_at_most_6_in_high_to_the_rounding_of_a_plan() {
    let step = 0.002 / INCH;
    for (special, text) in CLASSES {
        for (inches, expected, asked) in [
            (2.0 - step, Severity::Fail, 2.0),
            (2.0, Severity::Pass, 2.0),
            (6.0, Severity::Pass, 6.0),
            (6.0 + step, Severity::Fail, 6.0),
        ] {
            let findings = check_mark(&us(), &of(special), YEAR, &reads(text, inches), SHOP_MM);
            let heights: Vec<&Finding> = findings.iter().filter(|f| f.code == "word").collect();
            assert_eq!(heights.len(), 2, "one finding a bound");
            let bound = heights.iter().find(|f| (f.required.unwrap() - asked * INCH).abs() < 0.001).unwrap();
            assert_eq!(bound.severity, expected, "{text} at {inches} in");
            assert_eq!(bound.cite, "14 CFR 45.23(b)");
            assert_eq!(bound.hint.is_empty(), expected == Severity::Pass);
        }
    }
}

#[test]
fn a_word_that_is_asked_for_is_missed_until_it_is_there() {
    for (special, text) in CLASSES {
        let without = job(&of(special), &[]);
        assert_eq!(worst(&without, "word-missing"), Some(Severity::Caution), "{text}");
        assert!(message(&without, "word-missing").contains(text));
        let with = job(&of(special), &[reads(text, 3.0)]);
        assert_eq!(worst(&with, "word-missing"), None, "{text}");
        assert_eq!(worst(&with, "word-shown"), Some(Severity::Pass), "{text}");
    }
    assert_eq!(worst(&job(&of(Special::None), &[]), "word-missing"), None);
}

#[test]
fn the_spelling_of_a_word_is_not_the_rules() {
    for text in ["LIGHT SPORT", "light-sport", "Light Sport"] {
        assert_eq!(
            worst(&job(&of(Special::LightSport), &[reads(text, 3.0)]), "word-missing"),
            None,
            "{text}"
        );
        let findings = check_mark(&us(), &of(Special::LightSport), YEAR, &reads(text, 1.0), SHOP_MM);
        assert_eq!(worst(&findings, "word"), Some(Severity::Fail), "{text} is held to the size of a word");
        assert_eq!(worst(&findings, "grammar"), None, "{text} is no mark");
    }
}

#[test]
fn a_word_for_another_class_is_a_caution() {
    let findings = job(&of(Special::None), &[reads("EXPERIMENTAL", 3.0)]);
    assert_eq!(worst(&findings, "word-shown"), Some(Severity::Caution));
    let both = job(&of(Special::Limited), &[reads("EXPERIMENTAL", 3.0)]);
    assert_eq!(worst(&both, "word-missing"), Some(Severity::Caution));
    assert_eq!(worst(&job(&of(Special::None), &[reads("PROVISIONAL", 3.0)]), "word-shown"), None);
}

#[test]
fn a_mark_with_its_category_letter_needs_no_word() {
    let old = Craft { built: Some(1941), ..of(Special::Exhibition) };
    let lettered = laid(&us(), "NX417", 12.0 * INCH, 1.0);
    let findings = job(&old, &[lettered]);
    assert_eq!(worst(&findings, "word-missing"), None);
    assert_eq!(worst(&findings, "word-shown"), Some(Severity::Pass));
    let plain = laid(&us(), "N417", 12.0 * INCH, 1.0);
    assert_eq!(worst(&job(&old, &[plain]), "word-missing"), Some(Severity::Caution));
}

#[test]
fn a_class_that_is_not_given_is_named() {
    let unknown = Craft { special: None, ..craft(Category::FixedWing) };
    let plain = laid(&us(), "N417", 12.0 * INCH, 1.0);
    let named = |marks: &[MarkFacts]| {
        job(&unknown, marks)
            .iter()
            .any(|f| f.code == "craft-missing" && f.message.contains("a word must stand"))
    };
    assert!(named(std::slice::from_ref(&plain)));
    assert!(!named(&[plain, reads("LIMITED", 3.0)]));
}

#[test]
fn a_word_that_is_not_bound_is_seen_and_said_to_be_unchecked() {
    let free = MarkFacts { legal: false, ..reads("EXPERIMENTAL", 1.0) };
    let findings = job(&of(Special::AmateurBuilt), &[free]);
    assert!(message(&findings, "word-shown").contains("its height was not checked"));
}
