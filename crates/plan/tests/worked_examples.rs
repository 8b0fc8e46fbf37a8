//! The whole pipeline against worked examples of the rules: lengths of marks, to 0.01 in, by clause.
//!
//! Source: arithmetic from 14 CFR 45.29(c) to (e) as quoted (width 2/3, figure one and stroke 1/6 of the
//! height, M and W up to the full height, gap at least a quarter of the standard width, taken everywhere as a
//! quarter of 2/3 of the height). The marks are invented.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use plan::Plan;
use plan::job::{Attachments, read};

fn planned(text: &str, more: &str) -> Plan {
    let job = format!(
        r#"
title = "worked example"
units = "in"
rules = "us-14cfr45"
[craft]
category = "fixed-wing"
built = 2020
max_cruise_kt = 200
mass_kg = 1000
special = "none"
adiz = false
[shop]
date = 2026-06-06
[[surface]]
id = "panel"
kind = "flat"
side = "left"
corners = [[0, 0], [120, 0], [120, 40], [0, 40]]
[[mark]]
id = "reg"
surface = "panel"
text = "{text}"
location = "fuselage-left"
letters = "square"
height = 12
place = {{ at = [60, 20] }}
{more}
"#
    );
    plan::run(&read(&job).expect("a sound job"), &Attachments::default()).expect("a plan")
}

#[test]
fn lengths_at_12_in_are_those_of_the_rule() {
    let table = [
        ("45.29(c) a figure one is a stroke wide", "N1234A", "", 52.0),
        ("45.29(c) six standard characters", "N2468Q", "", 58.0),
        ("45.29(e) narrow figures keep the standard gap", "N11111", "", 28.0),
        ("45.29(c) M and W at 2/3", "N111MW", "wide_ratio = 0.66666667", 40.0),
        ("45.29(c) M and W at the full height", "N111MW", "", 48.0),
        ("45.29(c) M at 2/3", "N7M", "wide_ratio = 0.66666667", 28.0),
        ("45.29(c) M at the full height", "N7M", "", 32.0),
        ("45.29(c) four standard characters", "N90X", "", 38.0),
        ("45.29(c) two wide letters at the full height", "N888WW", "", 66.0),
    ];
    for (clause, text, more, length_in) in table {
        let plan = planned(text, more);
        let mark = &plan.marks[0];
        let got = mark.length / 25.4;
        assert!((got - length_in).abs() < 0.01, "{clause}: {text} is {got} in long, {length_in} wanted");
        assert!((mark.stroke / 25.4 - 2.0).abs() < 1e-9 && (mark.gap / 25.4 - 2.0).abs() < 1e-9, "{clause}");
        // The outlines themselves are as long: from the first to the last painted point.
        let xs: Vec<f64> = mark.rings().iter().flat_map(|r| r.vertices.iter().map(|v| v.p.x)).collect();
        let (lo, hi) =
            (xs.iter().copied().fold(f64::MAX, f64::min), xs.iter().copied().fold(f64::MIN, f64::max));
        assert!(((hi - lo) / 25.4 - length_in).abs() < 0.01, "{clause}: outlines {}", (hi - lo) / 25.4);
        let failing: Vec<_> =
            plan.findings.iter().filter(|f| f.severity == plan::finding::Severity::Fail).collect();
        assert!(failing.is_empty(), "{clause}: {failing:#?}");
    }
}

#[test]
fn each_exact_figure_flips_at_the_shops_tolerance_and_each_least_figure_at_itself() {
    let fails = |text: &str, more: &str, code: &str| {
        planned(text, more)
            .findings
            .iter()
            .any(|f| f.code == code && f.severity == plan::finding::Severity::Fail)
    };
    // 1/16 in on a width of 8 in is 0.0052 of the height; a hair less passes, a hair more fails.
    assert!(!fails("N90X", "width_ratio = 0.6718", "width"));
    assert!(fails("N90X", "width_ratio = 0.6720", "width"));
    assert!(!fails("N90X", "stroke_ratio = 0.1718", "stroke"));
    assert!(fails("N90X", "stroke_ratio = 0.1720", "stroke"));
    assert!(!fails("N90X", "gap_ratio = 0.25", "gap"));
    assert!(fails("N90X", "gap_ratio = 0.2499", "gap"));
}

/// P2: moving everything on a panel together changes no distance.
#[test]
fn moving_the_whole_job_moves_the_plan_and_nothing_else() {
    let job = |dx: f64, dy: f64| {
        let p = |x: f64, y: f64| format!("[{}, {}]", x + dx, y + dy);
        format!(
            "title = 'moved'\nunits = 'mm'\n[[surface]]\nid = 'panel'\nkind = 'flat'\ncorners = [{}, {}, {}, {}]\n\
             [[surface.feature]]\nid = 'ring'\nkind = 'ring'\nat = {}\ndiameter = 90\n\
             [[surface.feature]]\nid = 'plate'\nkind = 'plate'\ncorners = [{}, {}, {}, {}, {}]\n\
             [[surface.feature]]\nid = 'hinge'\nkind = 'hinge'\npath = [{}, {}]\nwidth = 6\n\
             [[mark]]\nid = 'name'\nsurface = 'panel'\ntext = 'TERN 7'\nletters = 'rounded'\nheight = 250\n\
             place = {{ at = {} }}\n",
            p(0.0, 0.0),
            p(2000.0, 0.0),
            p(2000.0, 600.0),
            p(0.0, 600.0),
            p(333.3, 222.2),
            p(800.0, 90.0),
            p(950.0, 90.0),
            p(950.0, 200.0),
            p(870.0, 120.0),
            p(800.0, 200.0),
            p(100.0, 590.0),
            p(1900.0, 470.0),
            p(911.1, 302.3),
        )
    };
    let clearances = |dx: f64, dy: f64| -> Vec<f64> {
        let plan =
            plan::run(&read(&job(dx, dy)).expect("a sound job"), &Attachments::default()).expect("a plan");
        plan.marks[0].fit.features.iter().map(|f| f.clearance).collect()
    };
    let here = clearances(0.0, 0.0);
    assert_eq!(here.len(), 3);
    for (dx, dy) in [(0.123_4, -0.4), (1000.0 / 3.0, 77.7), (-54_321.987, 12_345.678)] {
        for (a, b) in here.iter().zip(clearances(dx, dy)) {
            assert!((a - b).abs() < 0.002, "moved by {dx}, {dy}: {a} became {b}");
        }
    }
}
