//! Features and parts on scans: what a mark does to them, by another road, and where a mark goes to keep clear of them.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::{Edge, Point3};
use plan::finding::Severity;
use plan::fit::placed::{FitStatus, Placed, Relation};
use plan::job::{Attachments, read};
use plan::{Plan, run};

const FAIRING: &str = include_str!("../../../hangar/62-fairing-scan/job.toml");
const SCAN: &[u8] = include_bytes!("../../../hangar/62-fairing-scan/fairing.stl");
const PLACE: &str = "place = { at = [330, 120, 0], toward = [200, 120, 0] }";

/// The fairing with nothing on it but what is given.
fn bare(with: &str) -> String {
    let mut text = String::new();
    let mut feature = false;
    for line in FAIRING.lines() {
        if line.starts_with('[') {
            feature = line == "[[surface.feature]]" || line == "[[surface.part]]";
        }
        if !feature {
            text += line;
            text.push('\n');
        }
    }
    let mark = text.find("[[mark]]").unwrap();
    text.insert_str(mark, with);
    text
}

fn planned(text: &str) -> Plan {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
    run(&read(text).unwrap_or_else(|p| panic!("{p:#?}")), &files).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn hole(at: Point3, diameter: f64) -> String {
    format!(
        "[[surface.feature]]\nid = \"hole\"\nkind = \"plate\"\nat = [{}, {}, {}]\ndiameter = \"{diameter} mm\"\nclearance = \"6.35 mm\"\n",
        at.x, at.y, at.z
    )
}

/// Every outline of a mark in space, points half a millimetre apart on their patterns.
fn in_space(mark: &Placed) -> Vec<Point3> {
    let charts = mark.charts.as_ref().unwrap();
    let mut all = Vec::new();
    for (k, glyph) in mark.glyphs.iter().enumerate() {
        for edge in glyph.rings.iter().flat_map(geom::Ring::edges) {
            let n = (2.0 * edge.length()).ceil().max(1.0);
            all.extend((0..n as usize).map(|i| charts.space(k, edge.at(i as f64 / n)).unwrap()));
        }
    }
    all
}

/// The middle of the longest edge of a character, and a point so far to the left of it: outside the paint if negative.
fn beside_longest(mark: &Placed, glyph: usize, off: f64) -> Point3 {
    let edges: Vec<Edge> = mark.glyphs[glyph].rings[0].edges().collect();
    let longest = edges.iter().max_by(|a, b| a.length().total_cmp(&b.length())).unwrap();
    let left = geom::point::left_of(longest.direction(0.5));
    let charts = mark.charts.as_ref().unwrap();
    let at = longest.at(0.5) + left * off;
    // Beyond the letter's own patch the sheet round the mark tells.
    charts.space(glyph, at).or_else(|| charts.sheet.space_from_flat(at)).unwrap()
}

#[test]
fn a_hole_under_a_letter_is_a_clash_as_deep_as_it_lies() {
    let first = planned(&bare(""));
    // Its middle 2 mm inside the edge of a stroke 12.7 mm wide: 4 mm of it are under paint, 8 under the other side.
    let at = beside_longest(&first.marks[0], 0, 2.0);
    let plan = planned(&bare(&hole(at, 12.0)));
    let fit = &plan.marks[0].fit.features[0];
    assert_eq!(fit.relation, Relation::Crossed);
    // The edge lies 2 mm from the middle of a disc of 6: 4 mm within it.
    assert!((fit.clearance - (-4.0 - 6.35)).abs() < 0.05, "{}", fit.clearance);
    let said = plan.findings.iter().find(|f| f.code == "feature").unwrap();
    assert_eq!(said.severity, Severity::Fail);
    assert!(said.message.starts_with("a paint edge crosses plate hole, 5/32 in"), "{}", said.message);
    assert!((said.measured.unwrap() + 4.0).abs() < 0.05);
    // What would do is told, with a place the job file takes.
    let easy = plan.findings.iter().find(|f| f.code == "fit-easiest").unwrap();
    let again = planned(&bare(&hole(at, 12.0)).replace(PLACE, &easy.hint));
    assert!(again.findings.iter().all(|f| f.code != "feature"), "{}", easy.hint);
}

#[test]
fn clearance_to_a_hole_is_what_points_in_space_say() {
    let first = planned(&bare(""));
    for off in [-9.0, -30.0] {
        let at = beside_longest(&first.marks[0], 1, off);
        let plan = planned(&bare(&hole(at, 8.0)));
        let fit = &plan.marks[0].fit.features[0];
        let straight = in_space(&plan.marks[0]).iter().map(|p| p.distance(at)).fold(f64::INFINITY, f64::min);
        // On a skin that bends with 100 mm radius at the least a chord of 30 mm is 0.12 mm shorter than the way over it.
        let far = fit.clearance + 6.35 + 4.0;
        assert!(straight - 0.001 <= far && far < straight + 0.12, "{straight} {far}");
        if -10.0 < off {
            assert!((far + off).abs() < 0.3, "{far} {off}");
        }
    }
}

#[test]
fn a_searched_number_goes_to_the_nearest_place_clear_of_what_lies_at_its_aim() {
    let aim = "aim = [330, 120, 0]\ntoward = [200, 120, 0]\n\
               within = [[170, 84, 90], [520, 75, 80], [520, 75, -80], [170, 84, -90]]";
    let seam = "[[surface.feature]]\nid = \"seam\"\nkind = \"gap\"\npath = [[120, 88, 60], [600, 60, 60]]\n";
    let text = bare(&format!("{}{seam}", hole(Point3::new(329.7, 116.9, 0.0), 20.0))).replace(PLACE, aim);
    let plan = planned(&text);
    let mark = &plan.marks[0];
    assert_eq!(mark.fit.status, FitStatus::Placed);
    assert!(plan.findings.iter().all(|f| f.severity < Severity::Fail), "{:#?}", plan.findings);
    let certificate = mark.fit.certificate.unwrap();
    assert!(certificate.proved);
    let (hole, rest): (Vec<_>, Vec<_>) = mark.fit.features.iter().partition(|f| f.id == "hole");
    // Every clearance was asked with what the sheet errs by on top, which on so tight a bend is some millimetres.
    assert!(0.0 <= hole[0].clearance && hole[0].clearance < 15.0, "{}", hole[0].clearance);
    assert!(plan.findings.iter().any(|f| f.code == "searched-flat"));
    assert!(rest.iter().all(|f| 0.0 <= f.clearance));
    let straight = in_space(mark)
        .iter()
        .map(|p| p.distance(Point3::new(329.7, 116.9, 0.0)))
        .fold(f64::INFINITY, f64::min);
    assert!(16.35 - 0.05 <= straight, "{straight}");
    // The aim of the last sheet is the spot that was given.
    let sheet = mark.skin(&plan.skins).unwrap();
    let aim = sheet.space_from_flat(mark.fit.aim).unwrap();
    assert!(aim.distance(Point3::new(329.7, 116.9, 0.0)) < 0.5, "{aim}");
    let moved = mark.centre.distance(mark.fit.aim);
    assert!((moved - certificate.answer.unwrap()).abs() < 0.5, "{moved} {certificate:?}");
    // At the aim the hole lies under it.
    let tried = plan.tried("number", [mark.fit.aim.x, mark.fit.aim.y], None).unwrap();
    assert!(tried["clearance_mm"].as_f64().unwrap() < 0.0, "{tried}");
}

#[test]
fn a_number_on_a_part_is_told_and_a_part_far_off_is_not() {
    let part = |id: &str, x: f64, y: f64| {
        let (from, to) = (x, x + 130.0);
        format!(
            "[[surface.part]]\nid = \"{id}\"\n\
             corners = [[{from}, {y}, 40], [{to}, {y}, 40], [{to}, {y}, -40], [{from}, {y}, -40]]\n"
        )
    };
    let plan = planned(&bare(&format!("{}{}", part("cowl", 260.0, 110.0), part("tail", 620.0, 55.0))));
    let told: Vec<&str> =
        plan.findings.iter().filter(|f| f.code == "on-part").map(|f| f.message.as_str()).collect();
    assert_eq!(told, ["paint lies on part cowl"]);
}

#[test]
fn a_stripe_on_a_scan_knows_what_lies_under_it() {
    let seam =
        "[[surface.feature]]\nid = \"seam\"\nkind = \"gap\"\npath = [[300, 116, 30], [300, 116, -80]]\n";
    let stripe = "[[stripe]]\nid = \"red\"\nsurface = \"fairing\"\nwidth = 1\n\
                  through = [[200, 100, -45], [330, 114, -50], [460, 105, -45]]\n";
    let plan = planned(&format!(
        "{}{stripe}",
        bare(&format!("{seam}{}", hole(Point3::new(380.0, 112.0, -50.0), 10.0)))
    ));
    let stripe = &plan.stripes[0];
    let about: Vec<&Relation> = stripe.painted.fit.features.iter().map(|f| &f.relation).collect();
    assert_eq!(about.len(), 2);
    assert!(about.iter().all(|r| **r != Relation::Clear), "{about:?}");
    let strip = stripe.painted.skin(&plan.skins).unwrap();
    let plan::surface::SkinShape::Strip(_) = &strip.shape else { panic!("a strip") };
}
