//! Which texts are N-numbers. Checked against the size of the block of 24-bit addresses that the United
//! States has, one a mark: from A00001 to ADF7C7 (hexadecimal) there are 915,399.

use super::*;
use crate::rules::check_mark;
use crate::rules::grammar::State;
use std::collections::BTreeMap;

fn findings_of(text: &str, built: i32) -> Vec<Finding> {
    let us = us();
    let mark = laid(&us, text, 12.0 * INCH, 1.0);
    let craft = Craft { built: Some(built), ..craft(Category::FixedWing) };
    check_mark(&us, &craft, YEAR, &mark, SHOP_MM)
}

/// The forms of the pack that hold for any aircraft.
fn plain_forms(pack: &Pack) -> Vec<&crate::rules::grammar::Pattern> {
    pack.forms.iter().filter(|form| form.when.age.is_none()).map(|form| &form.pattern).collect()
}

#[test]
fn as_many_texts_are_accepted_as_there_are_addresses() {
    const ADDRESSES: u64 = 0xAD_F7C7 - 0xA0_0000;
    let us = us();
    let forms = plain_forms(&us);
    let alphabet: Vec<char> = ('A'..='Z').chain('0'..='9').chain(['-', ' ', 'a', 'ß']).collect();
    // Texts that lead to the same states are counted together: a walk through the forms themselves.
    let start: Vec<State> = forms.iter().map(|form| form.start()).collect();
    let mut texts = BTreeMap::from([(start, 1_u64)]);
    let mut accepted = 0;
    for _ in 0..10 {
        let mut next: BTreeMap<Vec<State>, u64> = BTreeMap::new();
        for (states, count) in &texts {
            for &c in &alphabet {
                let after: Vec<State> =
                    forms.iter().zip(states).map(|(form, &state)| form.step(state, c)).collect();
                if after.iter().any(|state| !state.dead()) {
                    *next.entry(after).or_default() += count;
                }
            }
        }
        let ends = |states: &Vec<State>| forms.iter().zip(states).any(|(form, &state)| form.ends(state));
        accepted += next.iter().filter(|(states, _)| ends(states)).map(|(_, count)| count).sum::<u64>();
        texts = next;
    }
    assert!(texts.is_empty(), "no form has ten characters");
    assert_eq!(accepted, ADDRESSES);
    assert_eq!(accepted, 915_399);
}

#[test]
fn every_number_that_can_be_written_down_is_accepted() {
    let us = us();
    let forms = plain_forms(&us);
    let letters: Vec<String> = ('A'..='Z').filter(|c| *c != 'I' && *c != 'O').map(String::from).collect();
    let pairs = letters.iter().flat_map(|a| letters.iter().map(move |b| format!("{a}{b}")));
    let suffixes: Vec<(usize, Vec<String>)> =
        vec![(99_999, vec![String::new()]), (9_999, letters.clone()), (999, pairs.collect())];
    let mut count = 0;
    for (most, suffixes) in &suffixes {
        for number in 1..=*most {
            for suffix in suffixes {
                let text = format!("N{number}{suffix}");
                let whole =
                    forms.iter().any(|form| form.compare(&text) == crate::rules::grammar::Match::Whole);
                assert!(whole, "{text}");
                count += 1;
            }
        }
    }
    assert_eq!(count, 915_399);
}

#[test]
fn a_wrong_text_says_which_rule_it_breaks_and_what_is_allowed() {
    for (text, code, says) in [
        ("N12I4", "forbidden-character", "character 4 is \"I\""),
        ("N1O", "forbidden-character", "character 3 is \"O\""),
        ("N0123", "grammar", "starts with \"N0\""),
        ("N-123", "hyphen", "no hyphen"),
        ("N 123", "hyphen", "no space"),
        ("N12-3", "hyphen", "character 4 is \"-\""),
        ("N123456", "grammar", "only the end of the mark may stand there"),
        ("N1234AB", "grammar", "character 7 is \"B\""),
        ("N123ABC", "grammar", "character 7 is \"C\""),
        ("N", "grammar", "ends after 1 characters"),
        ("", "grammar", "ends after 0 characters"),
        ("NAB", "grammar", "character 2 is \"A\""),
        ("X123", "grammar", "only N may stand there"),
        ("n123", "grammar", "a small letter"),
        ("N1A2", "grammar", "character 4 is \"2\""),
        ("N12é", "grammar", "character 4 is \"é\""),
    ] {
        let findings = findings_of(text, 2020);
        assert_eq!(worst(&findings, code), Some(Severity::Fail), "{text}: {findings:#?}");
        let said = message(&findings, code);
        assert!(said.contains(says), "{text}: {said}");
    }
}

#[test]
fn marks_kept_for_the_authority_are_a_caution() {
    for (text, reserved) in [("N1", true), ("N99", true), ("N100", false), ("N1A", false)] {
        let expected = reserved.then_some(Severity::Caution);
        assert_eq!(worst(&findings_of(text, 2020), "reserved"), expected, "{text}");
    }
}

#[test]
fn a_category_letter_is_for_aircraft_of_30_years() {
    for text in ["NC482K", "NX12", "NR9000", "NL77AB"] {
        assert_eq!(worst(&findings_of(text, 1936), "grammar"), Some(Severity::Pass), "{text}");
        assert_eq!(worst(&findings_of(text, 2020), "form-condition"), Some(Severity::Fail), "{text}");
        let us = us();
        let mark = laid(&us, text, 12.0 * INCH, 1.0);
        let unknown = Craft { built: None, ..craft(Category::FixedWing) };
        let findings = check_mark(&us, &unknown, YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "form-condition"), Some(Severity::Caution), "{text}");
    }
    assert_eq!(worst(&findings_of("NS12", 1936), "grammar"), Some(Severity::Fail));
}

#[test]
fn distress_signals_fail_and_groups_of_the_q_code_are_a_caution() {
    let annex = pack("icao-annex7");
    for (text, expected) in [
        ("D-SOS", Some(Severity::Fail)),
        ("D-XXX", Some(Severity::Fail)),
        ("D-PAN", Some(Severity::Fail)),
        ("D-TTT", Some(Severity::Fail)),
        ("D-QAB", Some(Severity::Caution)),
        ("D-SOB", None),
        ("D-EQAB", None),
    ] {
        let mark = laid(&annex, text, 500.0, 1.0);
        let findings = check_mark(&annex, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "reserved"), expected, "{text}");
    }
}
