//! Slanted, outlined, shadowed and two-line marks, from the job file to their places: closed forms, and what must not change.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::{Point, Ring, Vec2};
use plan::finding::{Finding, Severity};
use plan::fit::place::place_marks;
use plan::fit::placed::Placed;
use plan::job::{Attachments, read};
use plan::marks::settle::design_marks;
use plan::rules::{Pack, SkinSize, builtin};
use plan::surface::develop;

/// A panel of 4 x 2 m with features, and one mark on it; millimetres.
fn job(features: &str, mark: &str) -> String {
    format!(
        "title = 'Test'\nunits = 'mm'\n{}\n[[surface]]\nid = 'panel'\nkind = 'flat'\nside = 'left'\n\
         corners = [[0, 0], [4000, 0], [4000, 2000], [0, 2000]]\n{features}\n\
         [[mark]]\nid = 'm'\nsurface = 'panel'\n{mark}\n[[paint]]\nid = 'gold'\ncolour = '#c9a227'\nsystem = 'enamel'\n",
        if mark.contains("legal = false") { "" } else { "rules = 'de-luftvzo'" }
    )
}

/// A job as far as its marks lie in their places.
struct Laid {
    marks: Vec<Placed>,
    findings: Vec<Finding>,
}

/// The job's marks in their places; tape and paint are not asked for.
fn planned(features: &str, mark: &str) -> Laid {
    let text = job(features, mark);
    let job = read(&text).unwrap_or_else(|p| panic!("{p:#?}\n{text}"));
    let files = Attachments::default();
    let pack = job.rules.as_ref().map(|named| {
        let (id, text) = builtin().iter().find(|(id, _)| *id == named.value).unwrap();
        Pack::read(id, text).unwrap()
    });
    let skins: Vec<_> = job.surfaces.iter().map(|s| develop(s, &files).unwrap().0).collect();
    let designs = design_marks(&job, pack.as_ref(), &files, |_| SkinSize::default());
    let designs = designs.unwrap_or_else(|p| panic!("{p:#?}"));
    let laid = place_marks(&job, pack.as_ref(), &skins, &designs);
    let (marks, findings) = laid.unwrap_or_else(|p| panic!("{p:#?}"));
    Laid { marks, findings }
}

fn mark(more: &str) -> Placed {
    let mark =
        format!("text = 'RO-84'\nlegal = false\nheight = 300\nplace = {{ at = [2000, 1000] }}\n{more}");
    planned("", &mark).marks.remove(0)
}

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

/// Centre of gravity of an area, by its chords.
fn gravity(rings: &[Ring]) -> Point {
    let (mut x, mut y, mut all) = (0.0, 0.0, 0.0);
    for points in rings.iter().map(|r| r.flattened(0.01)) {
        for i in 0..points.len() {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            let cross = a.to_vec2().cross(b.to_vec2());
            (x, y, all) = (x + (a.x + b.x) * cross, y + (a.y + b.y) * cross, all + cross);
        }
    }
    Point::new(x / (3.0 * all), y / (3.0 * all))
}

fn has(plan: &Laid, code: &str, severity: Severity) -> bool {
    plan.findings.iter().any(|f| f.code == code && f.severity == severity)
}

#[test]
fn a_slant_keeps_areas_and_heights_and_lengthens_by_its_tangent() {
    for letters in ["square", "clipped", "rounded"] {
        let set = format!("letters = '{letters}'\n");
        let upright = mark(&set);
        for slant in [-30.0_f64, 8.0, 45.0] {
            let leaning = mark(&format!("{set}slant_deg = {slant}\n"));
            let more = slant.to_radians().tan().abs() * 300.0;
            assert!((leaning.length - upright.length - more).abs() < 1e-9);
            for (a, b) in upright.glyphs.iter().zip(&leaning.glyphs) {
                let slack = 0.01 * a.rings.iter().map(Ring::perimeter).sum::<f64>();
                assert!((area(&a.rings) - area(&b.rings)).abs() < slack, "{letters} {slant} {}", a.char);
                assert!((a.width - b.width).abs() < 1e-12, "the width a rule judges is the upright one");
                // Closed form: the box's corners lean about its half height.
                let lean = b.corners[3] - b.corners[0];
                assert!((lean - Vec2::new(300.0 * slant.to_radians().tan(), 300.0)).hypot() < 1e-9);
                assert!(
                    (a.corners[0].midpoint(a.corners[2]) - b.corners[0].midpoint(b.corners[2])).hypot()
                        < 1e-9
                );
            }
            // Every edge stays an edge or an arc a tape can follow.
            assert!(leaning.rings().iter().map(|r| r.vertices.len()).sum::<usize>() < 1500);
        }
    }
}

#[test]
fn a_rule_judges_the_upright_letters_and_the_slant_itself() {
    let text = |slant: u8| {
        format!(
            "text = 'D-ERNA'\nlocation = 'fuselage-left'\nheight = 300\nplace = {{ at = [2000, 1000] }}\nslant_deg = {slant}\nletters = 'rounded'\n"
        )
    };
    let rule = |plan: &Laid| -> Vec<(String, Severity)> {
        let of_rule = plan.findings.iter().filter(|f| f.cite.contains("LuftVZO") && f.code != "slant");
        of_rule.map(|f| (f.message.clone(), f.severity)).collect()
    };
    let (upright, ten, twenty) = (planned("", &text(0)), planned("", &text(10)), planned("", &text(20)));
    assert_eq!(rule(&upright), rule(&ten));
    assert!(has(&ten, "slant", Severity::Pass) && has(&twenty, "slant", Severity::Fail));
    assert!(has(&ten, "slant-true", Severity::Note) && !has(&upright, "slant-true", Severity::Note));
}

#[test]
fn further_paint_keeps_clear_of_what_the_letters_keep_clear_of() {
    // The stem of the left H ends 26 mm before a ring of 20 mm across: 16 mm of air.
    let ring = |x: f64| {
        format!(
            "[[surface.feature]]\nid = 'r'\nkind = 'ring'\nat = [{x}, 1000]\ndiameter = 20\nclearance = 0\n"
        )
    };
    let text = "text = 'HH'\nlegal = false\nheight = 300\nplace = { at = [2000, 1000] }\n";
    let right = 2000.0 + 300.0 * (2.0 / 3.0 + 1.0 / 12.0);
    for (more, net) in [
        ("", 16.0),
        ("outline = { width = 10, paint = 'gold' }\n", 6.0),
        ("shadow = { by = [12, 0], paint = 'gold' }\n", 4.0),
        ("outline = { width = 10, paint = 'gold' }\nshadow = { by = [3, 0], paint = 'gold' }\n", 3.0),
        ("outline = { width = 30, paint = 'gold' }\n", -10.0),
    ] {
        let plan = planned(&ring(right + 26.0), &format!("{text}{more}"));
        let got = plan.marks[0].fit.clearance.unwrap();
        let crossed = net < 0.0;
        // An edge in the ring's middle half is as deep as the ring allows.
        assert!(crossed || (got - net).abs() < 0.002, "{more}: {got} {net}");
        assert_eq!(crossed, got < 0.0, "{more}: {got}");
        assert_eq!(has(&plan, "feature", Severity::Fail), crossed, "{more}");
        assert!(!plan.findings.iter().any(|f| f.code.ends_with("recheck")), "{more}");
    }
}

#[test]
fn the_largest_height_leaves_room_for_the_outline() {
    let port = "[[surface.feature]]\nid = 'p'\nkind = 'port'\nat = [2000, 1500]\ndiameter = 20\n";
    let text = "text = 'LO'\nlegal = false\nheight = 'largest'\nwithin = [[1700, 800], [2300, 800], [2300, 1600], [1700, 1600]]\n";
    let height = |more: &str| planned(port, &format!("{text}{more}")).marks[0].height;
    let (plain, outlined) = (height(""), height("outline = { width = 20, paint = 'gold' }\n"));
    assert!(outlined < plain && outlined > plain - 100.0, "{plain} {outlined}");
    // Closed form: with nothing but the area's width to hold it, 1.5 heights and both outlines are 600 mm.
    let wide = planned("", &format!("{text}outline = {{ width = 20, paint = 'gold' }}\n")).marks[0].height;
    assert!((wide - (560.0_f64 / 1.5 / 2.0).floor() * 2.0).abs() < 1e-9, "{wide}");
}

#[test]
fn further_paint_turns_and_moves_with_the_mark() {
    let more = "outline = { width = 9, paint = 'gold' }\nshadow = { by = [20, -14], paint = 'gold' }\nslant_deg = 7\nletters = 'rounded'\n";
    let here = mark(more);
    let text =
        format!("text = 'RO-84'\nlegal = false\nheight = 300\nplace = {{ at = [1871.25, 913.5] }}\n{more}");
    let there = planned("", &text).marks.remove(0);
    let turned = planned("", &format!("{}tops = 'forward'\n", text.replace("1871.25, 913.5", "2000, 1000")))
        .marks
        .remove(0);
    assert_eq!(here.further.len(), 2);
    for k in 0..2 {
        let (a, b, c) = (&here.further[k], &there.further[k], &turned.further[k]);
        assert_eq!((a.shadow, a.rings.len()), (k == 1, b.rings.len()));
        let (p, q) = (gravity(&a.rings), gravity(&b.rings));
        assert!((q - p - Vec2::new(-128.75, -86.5)).hypot() < 1e-6);
        assert!((area(&a.rings) - area(&c.rings)).abs() < 1e-3);
        // Turned by a quarter about the centre of the box: forward is left on the left side.
        let (p, q) = (p - Point::new(2000.0, 1000.0), gravity(&c.rings) - Point::new(2000.0, 1000.0));
        let quarter = Vec2::new(-p.y, p.x);
        assert!((q - quarter).hypot() < 1e-6 || (q + quarter).hypot() < 1e-6, "{p:?} {q:?}");
    }
    // The shadow falls where it was sent.
    let falls = gravity(&here.further[1].rings) - gravity(&here.rings());
    assert!(falls.x > 0.0 && falls.y < 0.0, "{falls:?}");
}

#[test]
fn where_a_rule_gives_the_gap_as_one_figure_optical_spacing_is_left_out() {
    let text = "text = 'D-ELLA'\nlocation = 'fuselage-left'\nheight = 300\nplace = { at = [2000, 1000] }\nspacing = 'optical'\n";
    let plan = planned("", text);
    assert!(has(&plan, "spacing-exact", Severity::Caution) && !has(&plan, "gap", Severity::Fail));
    let free = planned("", &format!("{text}legal = false\n"));
    assert!(!has(&free, "spacing-exact", Severity::Caution));
    assert!(free.marks[0].length > plan.marks[0].length + 1.0);
}

#[test]
fn pairs_that_touch_are_refused_at_their_place_and_unused_ones_are_told() {
    let text = job(
        "",
        "text = 'NA'\nlegal = false\nheight = 300\ngap_ratio = 0.1\npairs = { 'NA' = -0.2, 'XY' = 0.1 }\n",
    );
    let problems = plan::run(&read(&text).unwrap(), &Attachments::default()).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].message, "`pairs` brings NA so near that they touch");
    assert_eq!(&text[problems[0].span.clone()], "{ 'NA' = -0.2, 'XY' = 0.1 }");
    // The feet of L and T leave each other room though their boxes overlap.
    let plan = planned(
        "",
        "text = 'LT'\nlegal = false\nheight = 300\ngap_ratio = 0.1\npairs = { 'LT' = -0.2, 'TL' = 0.1 }\nplace = { at = [2000, 1000] }\n",
    );
    assert!(has(&plan, "pair-unused", Severity::Caution));
    assert!((plan.marks[0].length - 300.0 * (4.0 / 3.0 + 0.1 * 2.0 / 3.0 - 0.2)).abs() < 1e-9);
}

#[test]
fn a_mark_in_two_lines_is_one_mark_to_the_rule_and_both_lines_are_told() {
    let text =
        "text = \"D-E\\nRNA\"\nlocation = 'fuselage-left'\nheight = 300\nplace = { at = [2000, 1000] }\n";
    let plan = planned("", text);
    let lines = plan.findings.iter().find(|f| f.code == "lines").unwrap();
    // 3 x 200 with two gaps of 50 each.
    assert!(lines.message.contains("(700 mm) and 27 9/16 in (700 mm) long"), "{}", lines.message);
    assert!(has(&plan, "grammar", Severity::Pass), "{:#?}", plan.findings);
    let mark = &plan.marks[0];
    assert_eq!(mark.glyphs.iter().map(|g| g.char).collect::<String>(), "D-ERNA");
    // Closed form: 2.5 heights from caps to the last baseline, its middle at the place that was given.
    assert!((mark.glyphs[0].corners[3].y - (1000.0 + 375.0)).abs() < 1e-9);
    assert!((mark.glyphs[5].corners[0].y - (1000.0 - 375.0)).abs() < 1e-9);
}

#[test]
fn what_shows_of_further_colours_is_in_the_plan_file_and_only_then() {
    let json = |more: &str| {
        let text =
            format!("text = 'O'\nlegal = false\nheight = 300\nplace = {{ at = [2000, 1000] }}\n{more}");
        let job = read(&job("", &text)).unwrap();
        plan::run(&job, &Attachments::default()).unwrap().plan_json()
    };
    assert!(!json("").contains("\"further\""));
    let text = json("outline = { width = 9, paint = 'gold' }\n");
    let plan: serde_json::Value = serde_json::from_str(&text).unwrap();
    let further = &plan["marks"][0]["further"];
    assert_eq!((&further[0]["paint"], &further[0]["kind"]), (&"gold".into(), &"outline".into()));
    assert_eq!(further[0]["rings_flat_mm"].as_array().unwrap().len(), 4);
}

#[test]
fn outlines_and_shadows_measure_the_same_again_whatever_they_go_round() {
    for (k, text) in ["AVWXYZ\\nMQ&S29", "BDEFGI\\nJLORTU/"].into_iter().enumerate() {
        for (letters, slants) in [("square", &[-20][..]), ("clipped", &[12]), ("rounded", &[-20, 0, 12])] {
            for slant in slants {
                let size = 11 + 5 * k;
                let mark = format!(
                    "text = \"{text}\"\nlegal = false\nheight = 300\nletters = '{letters}'\nslant_deg = {slant}\n\
                     wide_ratio = 1\nplace = {{ at = [2000, 1000] }}\noutline = {{ width = {size}, paint = 'gold' }}\n\
                     shadow = {{ by = [{size}, -9], paint = 'gold' }}\n"
                );
                let again: Vec<_> = planned("", &mark).findings;
                let again: Vec<_> = again.iter().filter(|f| f.code.ends_with("recheck")).collect();
                assert!(again.is_empty(), "{text} {letters} {slant}: {again:#?}");
            }
        }
    }
}

/// By hand, plain geometry: a mark leaning by an angle is longer than upright by its height times the tangent.
/// An H fills its box from baseline to caps on both sides, so its outline shows the whole of it.
#[test]
fn a_slant_lengthens_a_mark_by_its_height_times_the_tangent() {
    let long = |height: f64, slant: f64| {
        let mark = planned(
            "",
            &format!(
                "text = 'HOH'\nlegal = false\nheight = {height}\nslant_deg = {slant}\nplace = {{ at = [2000, 1000] }}\n"
            ),
        )
        .marks
        .remove(0);
        let bounds: Vec<(Point, Point)> = mark.all_rings().iter().filter_map(Ring::bounds).collect();
        let lo = bounds.iter().map(|b| b.0.x).fold(f64::INFINITY, f64::min);
        bounds.iter().map(|b| b.1.x).fold(f64::NEG_INFINITY, f64::max) - lo
    };
    for (height, unit, slant, more) in [
        (304.8, 25.4, 15.0, 3.22),
        (304.8, 25.4, 30.0, 6.93),
        (300.0, 10.0, 15.0, 8.04),
        (300.0, 10.0, 30.0, 17.32),
    ] {
        let got = (long(height, slant) - long(height, 0.0)) / unit;
        assert!((got - more).abs() <= 0.01, "{height} mm at {slant} degrees: {got}, by hand {more}");
    }
}
