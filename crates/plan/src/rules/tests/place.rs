//! Where a mark is and which way up (14 CFR 45.25, 45.27), both sides alike (45.29(g)), and the job whole.

use super::*;
use crate::rules::pack::Face;
use crate::rules::{check_job, check_mark};

fn at(place: &str, change: impl FnOnce(&mut MarkFacts)) -> MarkFacts {
    let mut mark = laid(&us(), "N417RW", 12.0 * INCH, 1.0);
    mark.id = place.to_owned();
    mark.location = Some(place.to_owned());
    change(&mut mark);
    mark
}

fn check(craft: &Craft, mark: &MarkFacts) -> Vec<Finding> {
    check_mark(&us(), craft, YEAR, mark, SHOP_MM)
}

#[test]
fn a_place_must_agree_with_its_surface() {
    let plane = craft(Category::FixedWing);
    assert_eq!(worst(&check(&plane, &at("fuselage-left", |_| {})), "location"), Some(Severity::Pass));
    let wrong_side = at("fuselage-right", |_| {});
    assert_eq!(worst(&check(&plane, &wrong_side), "location"), Some(Severity::Fail));
    let on_wing = at("fuselage-left", |m| m.surface = SurfaceKind::Wing);
    assert_eq!(worst(&check(&plane, &on_wing), "location"), Some(Severity::Fail));
    let boom = at("boom-left", |_| {});
    assert_eq!(worst(&check(&plane, &boom), "location"), Some(Severity::Fail));
    assert_eq!(worst(&check(&craft(Category::Rotorcraft), &boom), "location"), Some(Severity::Pass));
    let unknown = at("fuselage-lef", |_| {});
    let findings = check(&plane, &unknown);
    assert_eq!(worst(&findings, "location-unknown"), Some(Severity::Caution));
    let hint = &findings.iter().find(|finding| finding.code == "location-unknown").unwrap().hint;
    assert!(hint.contains("did you mean \"fuselage-left\""), "{hint}");
}

#[test]
fn a_wing_mark_is_decoration_today() {
    let wing = at("wing-upper-right", |m| {
        (m.surface, m.half, m.face, m.side) = (SurfaceKind::Wing, Some(Hand::Right), Some(Face::Upper), None);
        (m.tops, m.baseline_deg) = (Some(Tops::LeadingEdge), None);
    });
    let findings = check(&craft(Category::FixedWing), &wing);
    assert_eq!(worst(&findings, "wing-mark"), Some(Severity::Note));
    assert!(findings.iter().all(|finding| finding.severity <= Severity::Note), "{findings:#?}");
    let lower = MarkFacts { face: Some(Face::Lower), ..wing.clone() };
    assert_eq!(worst(&check(&craft(Category::FixedWing), &lower), "location"), Some(Severity::Fail));
    let nameless = MarkFacts { location: None, ..wing };
    assert_eq!(worst(&check(&craft(Category::FixedWing), &nameless), "wing-mark"), Some(Severity::Note));
}

#[test]
fn a_vertical_tail_mark_is_for_aircraft_that_may_show_3_in() {
    let upright = at("tail-left", |m| m.tops = Some(Tops::Forward));
    let plane = craft(Category::FixedWing);
    assert_eq!(worst(&check(&plane, &upright), "orientation"), Some(Severity::Fail));
    let slow = Craft { special: Some(Special::AmateurBuilt), ..plane.clone() };
    assert_eq!(worst(&check(&slow, &upright), "orientation"), Some(Severity::Pass));
    let fuselage = at("fuselage-left", |m| m.tops = Some(Tops::Forward));
    assert_eq!(worst(&check(&slow, &fuselage), "orientation"), Some(Severity::Fail));
}

#[test]
fn a_baseline_is_level_within_the_shops_tolerance_over_the_mark() {
    let plane = craft(Category::FixedWing);
    let length = at("fuselage-left", |_| {}).length_mm();
    let angle = (SHOP_MM / length).asin().to_degrees();
    for (share, expected) in [(0.0, Severity::Pass), (0.999, Severity::Pass), (1.001, Severity::Caution)] {
        let mark = at("fuselage-left", |m| m.baseline_deg = Some(-angle * share));
        assert_eq!(worst(&check(&plane, &mark), "orientation"), Some(expected), "{share}");
    }
    let over = at("fuselage-left", |m| m.baseline_deg = Some(180.0));
    assert_eq!(worst(&check(&plane, &over), "tops"), Some(Severity::Fail));
}

#[test]
fn tops_on_an_airships_stabiliser_point_to_its_leading_edge() {
    let airship = craft(Category::Airship);
    for (tops, expected) in [
        (Some(Tops::LeadingEdge), Severity::Pass),
        (Some(Tops::TrailingEdge), Severity::Fail),
        (None, Severity::Caution),
    ] {
        let mark = at("stabiliser-upper-right", |m| {
            (m.surface, m.half, m.face, m.side) =
                (SurfaceKind::Wing, Some(Hand::Right), Some(Face::Upper), None);
            (m.tops, m.baseline_deg) = (tops, None);
        });
        assert_eq!(worst(&check(&airship, &mark), "tops"), Some(expected), "{tops:?}");
    }
}

#[test]
fn slant_and_outline_are_said_and_not_decided() {
    let plane = craft(Category::FixedWing);
    let slanted = at("fuselage-left", |m| m.slant_deg = 15.0);
    assert_eq!(worst(&check(&plane, &slanted), "slant"), Some(Severity::Note));
    let outlined = at("fuselage-left", |m| m.outlined = true);
    assert_eq!(worst(&check(&plane, &outlined), "ornament"), Some(Severity::Caution));
}

#[test]
fn a_mark_that_is_not_bound_is_not_checked() {
    let free = at("nowhere", |m| (m.legal, m.height_mm) = (false, 1.0));
    assert!(check(&craft(Category::FixedWing), &free).is_empty());
}

fn both_sides(change: impl FnOnce(&mut MarkFacts)) -> Vec<Finding> {
    let left = at("fuselage-left", |_| {});
    let right = at("fuselage-right", |m| {
        m.side = Some(Hand::Right);
        change(m);
    });
    check_job(&us(), &craft(Category::FixedWing), YEAR, &[left, right], SHOP_MM)
}

#[test]
fn both_sides_are_alike_in_height_width_thickness_and_spacing() {
    assert_eq!(worst(&both_sides(|_| {}), "sides-alike"), Some(Severity::Pass));
    for (name, sign, expected) in [("within", 0.99, Severity::Pass), ("beyond", 1.01, Severity::Fail)] {
        let by = sign * SHOP_MM;
        assert_eq!(worst(&both_sides(|m| m.height_mm += by), "sides-alike"), Some(expected), "{name}");
        assert_eq!(
            worst(&both_sides(|m| m.characters[2].width_mm -= by), "sides-alike"),
            Some(expected),
            "{name}"
        );
        assert_eq!(worst(&both_sides(|m| m.gaps_mm[3] += by), "sides-alike"), Some(expected), "{name}");
        let thicker = both_sides(|m| m.characters[0].stroke.as_mut().unwrap().median_mm += by);
        assert_eq!(worst(&thicker, "sides-alike"), Some(expected), "{name}");
    }
    assert_eq!(worst(&both_sides(|m| m.text = "N417RX".to_owned()), "sides-alike"), Some(Severity::Fail));
}

#[test]
fn a_side_without_a_mark_is_a_caution_that_names_it() {
    assert_eq!(worst(&both_sides(|_| {}), "marks-wanted"), Some(Severity::Pass));
    let one = at("fuselage-left", |_| {});
    let findings = check_job(&us(), &craft(Category::FixedWing), YEAR, &[one], SHOP_MM);
    assert_eq!(worst(&findings, "marks-wanted"), Some(Severity::Caution));
    assert!(message(&findings, "marks-wanted").contains("fuselage-right"));
}

#[test]
fn a_second_mark_must_be_the_same_whether_bound_or_not() {
    assert_eq!(worst(&both_sides(|_| {}), "second-mark"), Some(Severity::Pass));
    for (text, expected) in
        [("NC417R", Severity::Fail), ("N417RX", Severity::Fail), ("NANCY", Severity::Pass)]
    {
        let other = at("nose", |m| (m.legal, m.text) = (false, text.to_owned()));
        let marks = [at("fuselage-left", |_| {}), other];
        let findings = check_job(&us(), &craft(Category::FixedWing), YEAR, &marks, SHOP_MM);
        assert_eq!(worst(&findings, "second-mark"), Some(expected), "{text}");
    }
}

#[test]
fn a_wing_mark_off_centre_is_a_caution_that_says_how_far_to_move_it() {
    let annex = pack("icao-annex7");
    for (lead, trail, expected) in [
        (300.0, 300.0, Severity::Pass),
        (300.0, 300.0 + 2.0 * SHOP_MM, Severity::Pass),
        (300.0, 300.01 + 2.0 * SHOP_MM, Severity::Caution),
        (400.0, 300.0, Severity::Caution),
    ] {
        let mut mark = laid(&annex, "D-EXYZ", 500.0, 1.0);
        mark.location = Some("wing-lower-left".to_owned());
        (mark.surface, mark.half, mark.face) = (SurfaceKind::Wing, Some(Hand::Left), Some(Face::Lower));
        (mark.to_leading_edge_mm, mark.to_trailing_edge_mm) = (Some(lead), Some(trail));
        let findings = check_mark(&annex, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "centred"), Some(expected), "{lead} and {trail}");
        if lead > trail {
            let hint = &findings.iter().find(|f| f.code == "centred").unwrap().hint;
            assert!(hint.contains("50 mm") && hint.contains("forward"), "{hint}");
        }
    }
}

#[test]
fn a_mark_in_two_colours_fails_where_one_is_asked() {
    let swiss = pack("ch-748");
    for (colours, expected) in [(1, Severity::Pass), (2, Severity::Fail)] {
        let mark = MarkFacts { colours, ..laid(&swiss, "HB-ABC", 300.0, 1.0) };
        let findings = check_mark(&swiss, &craft(Category::FixedWing), YEAR, &mark, SHOP_MM);
        assert_eq!(worst(&findings, "colours"), Some(expected));
    }
}

#[test]
fn characters_of_other_heights_in_one_mark_fail_beyond_the_shops_tolerance() {
    let plane = craft(Category::FixedWing);
    for (off, expected) in
        [(0.0, Severity::Pass), (0.99, Severity::Pass), (-1.01, Severity::Fail), (1.01, Severity::Fail)]
    {
        let mark = at("fuselage-left", |m| *m.characters[2].height_mm.as_mut().unwrap() += off * SHOP_MM);
        assert_eq!(worst(&check(&plane, &mark), "heights-alike"), Some(expected), "{off}");
    }
    let unmeasured = at("fuselage-left", |m| m.characters.iter_mut().for_each(|c| c.height_mm = None));
    assert_eq!(worst(&check(&plane, &unmeasured), "heights-alike"), None);
}
