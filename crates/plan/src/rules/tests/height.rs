//! The least height for every kind of craft (14 CFR 45.22(b), 45.29(b), (h)), and what a missing key costs.

use super::*;
use crate::rules::{Ask, check_job, check_mark};
use geom::tolerance::NOISE_MM;

/// Least height, inches, and the cautions about missing keys.
fn least(craft: &Craft, year: Option<i32>) -> (f64, Vec<String>) {
    let us = us();
    let least = us.least_height(Ask { craft, location: None, this_year: year }, SkinSize::default());
    let said = least.findings.into_iter().map(|finding| finding.message).collect();
    (least.height.unwrap().value / INCH, said)
}

fn assert_least(craft: &Craft, inches: f64) {
    let (found, said) = least(craft, YEAR);
    assert!((found - inches).abs() < NOISE_MM, "{craft:?}: wanted {inches} in, got {found} in");
    assert!(said.is_empty(), "{craft:?}: nothing is missing, yet {said:?}");
}

#[test]
fn every_category_has_its_own_least_height() {
    use Category::{Airship, Balloon, FixedWing, Glider, PoweredParachute, Rotorcraft, WeightShift};
    for (category, inches) in [
        (FixedWing, 12.0),
        (Glider, 3.0),
        (Rotorcraft, 12.0),
        (Airship, 3.0),
        (Balloon, 3.0),
        (PoweredParachute, 3.0),
        (WeightShift, 3.0),
    ] {
        assert_least(&craft(category), inches);
        let adiz = Craft { adiz: Some(true), ..craft(category) };
        assert_least(&adiz, 12.0);
        let old = Craft { built: Some(1941), ..craft(category) };
        assert_least(&old, 2.0);
        let old_adiz = Craft { adiz: Some(true), ..old };
        assert_least(&old_adiz, 12.0);
    }
}

#[test]
fn a_slow_special_aircraft_needs_3_in_up_to_180_kt() {
    for (special, eases) in [
        (Special::None, false),
        (Special::Exhibition, true),
        (Special::AmateurBuilt, true),
        (Special::LightSport, true),
        (Special::Limited, false),
        (Special::Restricted, false),
    ] {
        for (speed, slow) in [(120.0, true), (180.0, true), (180.5, false), (240.0, false)] {
            let one =
                Craft { special: Some(special), max_cruise_kt: Some(speed), ..craft(Category::FixedWing) };
            assert_least(&one, if eases && slow { 3.0 } else { 12.0 });
        }
    }
}

#[test]
fn thirty_years_count_from_the_year_given() {
    for (built, inches) in [(1995, 2.0), (1996, 2.0), (1997, 12.0)] {
        assert_least(&Craft { built: Some(built), ..craft(Category::FixedWing) }, inches);
    }
}

#[test]
fn a_large_old_aircraft_gets_no_small_mark() {
    let heavy = Craft { built: Some(1941), mass_kg: Some(11_000.0), ..craft(Category::FixedWing) };
    assert_least(&heavy, 12.0);
}

#[test]
fn a_missing_key_is_taken_at_its_strictest_and_named() {
    let whole = craft(Category::Glider);
    let old = Craft { built: Some(1941), ..craft(Category::FixedWing) };
    let slow = Craft { special: Some(Special::AmateurBuilt), ..craft(Category::FixedWing) };
    for (missing, key, taken) in [
        (Craft { category: None, ..whole.clone() }, "[craft] category", 12.0),
        (Craft { adiz: None, ..whole.clone() }, "[craft] adiz", 12.0),
        (Craft { built: None, ..craft(Category::FixedWing) }, "[craft] built", 12.0),
        (Craft { mass_kg: None, ..old }, "[craft] mass_kg", 12.0),
        (Craft { special: None, ..slow.clone() }, "[craft] special", 12.0),
        (Craft { max_cruise_kt: None, ..slow }, "[craft] max_cruise_kt", 12.0),
    ] {
        let (inches, said) = least(&missing, YEAR);
        assert!((inches - taken).abs() < NOISE_MM, "{key}: wanted {taken} in, got {inches} in");
        assert!(said.iter().any(|said| said.contains(key)), "{key}: {said:?}");
    }
}

#[test]
fn without_a_year_of_reference_nothing_is_old() {
    let old = Craft { built: Some(1941), ..craft(Category::FixedWing) };
    let (inches, said) = least(&old, None);
    assert!((inches - 12.0).abs() < NOISE_MM);
    assert!(said.iter().any(|said| said.contains("[shop] date") && said.contains("2 in")), "{said:?}");
}

#[test]
fn a_key_that_decides_nothing_is_not_asked_for() {
    let sure = Craft { adiz: Some(true), category: Some(Category::FixedWing), ..Craft::default() };
    let (inches, said) = least(&sure, None);
    assert!((inches - 12.0).abs() < NOISE_MM && said.is_empty(), "{inches} in, {said:?}");
}

#[test]
fn a_small_old_mark_on_a_new_aircraft_fails_and_hears_that_repainting_ends_its_right() {
    let us = us();
    let mark = laid(&us, "N28", 2.0 * INCH, 1.0);
    let findings = check_mark(&us, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&findings, "height"), Some(Severity::Fail));
    assert!(message(&findings, "grandfathered-lost").contains("repainting ends it"));
    let hint = &findings.iter().find(|finding| finding.code == "height").unwrap().hint;
    assert!(hint.contains("as large as practicable") && hint.contains("45.29(f)"), "{hint}");
}

#[test]
fn missing_keys_are_named_once_a_job() {
    let us = us();
    let mark = laid(&us, "N28", 12.0 * INCH, 1.0);
    let unknown = Craft { built: None, ..craft(Category::FixedWing) };
    let findings = check_job(&us, &unknown, YEAR, &[mark.clone(), mark], SHOP_MM);
    assert_eq!(findings.iter().filter(|finding| finding.code == "craft-missing").count(), 1);
}

#[test]
fn a_smaller_height_says_on_what_it_rests_and_how_well_that_is_known() {
    let us = us();
    let old = Craft { built: Some(1941), ..craft(Category::FixedWing) };
    let mark = laid(&us, "N28", 2.0 * INCH, 1.0);
    let findings = check_mark(&us, &old, YEAR, &mark, SHOP_MM);
    assert_eq!(worst(&findings, "height"), Some(Severity::Pass));
    let said = message(&findings, "height-eased");
    assert!(said.contains("at least 30 years") && said.contains("5670 kg, from memory"), "{said}");
}
