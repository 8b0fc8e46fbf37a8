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

/// The fairing's file with the corner farthest from the number moved to `to`, in mm; and where it was.
fn with_corner_at(to: [f32; 3]) -> Vec<u8> {
    let corner =
        |at: usize| [0, 4, 8].map(|k| f32::from_le_bytes(SCAN[at + k..at + k + 4].try_into().unwrap()));
    let count = (SCAN.len() - 84) / 50;
    let corners: Vec<usize> = (0..3 * count).map(|k| 84 + 50 * (k / 3) + 12 + 12 * (k % 3)).collect();
    let far = |at: &usize| {
        let [x, y, z] = corner(*at).map(f64::from);
        Point3::new(x, y, z).distance(Point3::new(330.0, 120.0, 0.0))
    };
    let farthest = *corners.iter().max_by(|a, b| far(a).total_cmp(&far(b))).unwrap();
    let mut scan = SCAN.to_vec();
    let bits = |at: &usize| corner(*at).map(f32::to_bits);
    for at in corners.iter().filter(|at| bits(at) == bits(&farthest)) {
        for (k, value) in to.iter().enumerate() {
            scan[at + 4 * k..at + 4 * k + 4].copy_from_slice(&value.to_le_bytes());
        }
    }
    scan
}

fn planned_on(text: &str, scan: Vec<u8>) -> Plan {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), scan);
    run(&read(text).unwrap_or_else(|p| panic!("{p:#?}")), &files).unwrap_or_else(|p| panic!("{p:#?}"))
}

/// A corner of the file 100 m and 1,000,000 in away is named with how far it lies, and no figure of the scan or of the mark
/// is another for it; one that sticks out a little is named too.
#[test]
fn a_stray_corner_is_named_and_moves_no_figure() {
    let right = planned(&bare(""));
    for far in [1e5_f32, 2.54e7] {
        let plan = planned_on(&bare(""), with_corner_at([far, 0.0, 0.0]));
        let said = plan.findings.iter().find(|f| f.code == "scan-stray").unwrap();
        assert!(said.severity == Severity::Caution, "{said:?}");
        assert!(said.message.contains(&format!("({far}.000, 0.000, 0.000)")), "{}", said.message);
        // From the middle corner of the fairing, some 300 mm along it.
        assert!((said.measured.unwrap() - f64::from(far)).abs() < 600.0, "{said:?}");
        let smoothed = |plan: &Plan| {
            let said = plan.findings.iter().find(|f| f.code == "scan-smoothed").unwrap();
            said.message.split("corners moved ").nth(1).unwrap().split(' ').next().unwrap().to_owned()
        };
        assert!(smoothed(&plan).parse::<f64>().unwrap() < 2.0, "{}", smoothed(&plan));
        let figures = |plan: &Plan| {
            let letters = &plan.marks[0].charts.as_ref().unwrap().letters;
            letters.iter().map(|l| (l.figures.max_strain, l.figures.stroke_error)).collect::<Vec<_>>()
        };
        for (a, b) in figures(&plan).iter().zip(figures(&right)) {
            assert!((a.0 - b.0).abs() < 1e-3 * b.0 && (a.1 - b.1).abs() < 1e-3, "{a:?} {b:?}");
        }
    }
    assert!(right.findings.iter().all(|f| f.code != "scan-stray" && f.code != "scan-sticks-out"));
}

/// A spot where `toward` runs out from the skin or into it says no heading; a sixth of a right angle off that it does.
#[test]
fn a_heading_straight_out_from_the_skin_is_refused() {
    let toward = |off: f64| {
        let out = Point3::new(off.to_radians().sin(), off.to_radians().cos(), 0.0) * 200.0;
        let to = Point3::new(330.0, 117.0, 0.0) + out;
        let place = format!("place = {{ at = [330, 117, 0], toward = [{}, {}, {}] }}", to.x, to.y, to.z);
        let job = read(&bare("").replace(PLACE, &place)).unwrap();
        let mut files = Attachments::default();
        files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
        run(&job, &files).map(|_| ()).map_err(|problems| problems[0].message.clone())
    };
    for off in [0.0, 1.0] {
        assert!(toward(off).unwrap_err().contains("straight out from the skin"));
    }
    toward(-30.0).unwrap();
    toward(30.0).unwrap();
}

/// A tube drawn in a few long facets, not scanned: a letter lies on it as on any skin, whatever it is smoothed to.
#[test]
fn a_letter_on_a_skin_drawn_in_long_facets_is_placed() {
    let at = |k: i32, x: f64| {
        let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 64.0).sin_cos();
        format!("vertex {x} {} {}\n", 200.0 * sin, 200.0 * cos)
    };
    let facet = |c: [String; 3]| format!("facet normal 0 0 0\nouter loop\n{}endloop\nendfacet\n", c.concat());
    let strip = |k: i32| {
        let [a, b, c, d] = [at(k, 0.0), at(k, 5000.0), at(k + 1, 0.0), at(k + 1, 5000.0)];
        facet([a.clone(), d.clone(), b]) + &facet([a, c, d])
    };
    let solid = format!("solid tube\n{}endsolid tube\n", (0..64).map(strip).collect::<String>());
    let place = "place = { at = [2500, 0, 200], toward = [2600, 0, 200] }";
    for smooth in ["0", "1"] {
        let text = bare("")
            .replace(PLACE, place)
            .replace("unit = \"mm\"", &format!("unit = \"mm\"\nsmooth = {smooth}"));
        let plan = planned_on(&text, solid.clone().into_bytes());
        for letter in &plan.marks[0].charts.as_ref().unwrap().letters {
            assert!(
                letter.figures.max_strain < 1e-3 && letter.figures.stroke_error < 0.01,
                "{:?}",
                letter.figures
            );
        }
    }
}
