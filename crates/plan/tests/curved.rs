//! Marks on bodies and scans, from the job file to their charts: the same on both sides, laid back within the stated
//! error, clearances by another road, and what no plan can be made of said plainly.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::{Point, Point3};
use plan::finding::Severity;
use plan::fit::placed::{FitStatus, Placed};
use plan::job::{Attachments, read};
use plan::{Plan, run};
use skin::{Mesh, Spot};

const SIDES: &str = include_str!("../../../hangar/61-body-sides/job.toml");
const FAIRING: &str = include_str!("../../../hangar/62-fairing-scan/job.toml");
const SCAN: &[u8] = include_bytes!("../../../hangar/62-fairing-scan/fairing.stl");
const BOW: &str = include_str!("../../../hangar/63-hull-bow/job.toml");

fn with(scan: &[u8]) -> Attachments {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), scan.to_vec());
    files
}

fn planned(text: &str) -> Plan {
    run(&read(text).unwrap_or_else(|p| panic!("{p:#?}")), &with(SCAN)).unwrap_or_else(|p| panic!("{p:#?}"))
}

/// Every outline of a mark in space, points no farther apart than 1 mm on their patterns.
fn in_space(mark: &Placed) -> Vec<Point3> {
    let charts = mark.charts.as_ref().unwrap();
    let mut all = Vec::new();
    for (k, glyph) in mark.glyphs.iter().enumerate() {
        for edge in glyph.rings.iter().flat_map(geom::Ring::edges) {
            let n = edge.length().ceil().max(1.0);
            let at = |i: usize| charts.space(k, edge.at(i as f64 / n)).unwrap();
            all.extend((0..n as usize).map(at));
        }
    }
    all
}

#[test]
fn both_sides_of_a_body_get_one_station_and_one_size() {
    let plan = planned(SIDES);
    let [left, right] = &plan.marks[..] else { panic!("two marks") };
    assert_eq!((left.fit.status, right.fit.status), (FitStatus::Placed, FitStatus::Placed));
    assert!((left.height - right.height).abs() < 1e-9 && (left.length - right.length).abs() < 1e-9);
    let reading = |m: &Placed| m.skin(&plan.skins).unwrap().skin_from_flat(m.centre);
    let ([s, t], [s2, t2]) = (reading(left), reading(right));
    assert!((s - s2).abs() < 0.01 && (t - t2).abs() < 0.01, "{s} {t}, {s2} {t2}");
    // One is the other's mirror image as a place, never as a letter: the first character of one stands where the
    // last one of the other does.
    let ends = |m: &Placed, k: usize| m.charts.as_ref().unwrap().letters[k].origin();
    let (a, b) = (ends(left, 0), ends(right, 5));
    assert!((a.x - b.x).abs() < 0.02 && (a.y + b.y).abs() < 0.02 && (a.z - b.z).abs() < 0.02, "{a} {b}");
    assert!(ends(left, 0).x < ends(left, 5).x && ends(right, 5).x < ends(right, 0).x);
    // Paper covers both sides, each with its own strips and the port first, and what is folded is said of each.
    let paper = plan.masking.paper.as_ref().unwrap();
    assert_eq!(plan.findings.iter().filter(|f| f.code == "no-paper").count(), 0);
    assert_eq!(plan.findings.iter().filter(|f| f.code == "paper-darts").count(), 2);
    for skin in &plan.skins {
        assert!(paper.strips.iter().any(|s| s.surface == skin.id && !s.back && 0.0 < s.darts));
    }
    let covered: Vec<&str> = paper.covered.iter().map(|c| c.1.as_str()).collect();
    assert_eq!(covered, ["static-port"]);
    // A ring of 130 in round, shrinking to 22 in on 264 in of length: both sides less the letters with their tape.
    let bare = paper.area / 25.4_f64.powi(2);
    assert!((22_000.0..29_000.0).contains(&bare), "{bare} sq in");
}

#[test]
fn clearance_to_a_port_is_what_points_in_space_say() {
    let plan = planned(SIDES);
    let mark = &plan.marks[0];
    let fit = mark.fit.features.iter().find(|f| f.id == "static-port").unwrap();
    assert!(-0.001 <= fit.clearance && fit.clearance < 3.0, "{}", fit.clearance);
    let port = plan.skins[0].space_from_flat(Point::new(118.0 * 25.4, 8.0 * 25.4)).unwrap();
    let least = in_space(mark).into_iter().map(|p| p.distance(port)).fold(f64::INFINITY, f64::min);
    // A chord of 58 mm on a skin that bends with 400 mm radius is 0.05 mm shorter than the way over it.
    let straight = least - 0.25 * 25.4 - 2.0 * 25.4;
    assert!(
        straight - 0.01 <= fit.clearance && fit.clearance < straight + 0.12,
        "{straight} {}",
        fit.clearance
    );
}

#[test]
fn letters_cut_from_the_pattern_and_laid_back_land_within_the_stated_error() {
    for text in [SIDES, BOW] {
        let plan = planned(text);
        for mark in &plan.marks {
            let charts = mark.charts.as_ref().unwrap();
            for (k, glyph) in mark.glyphs.iter().enumerate() {
                let figures = charts.letters[k].figures;
                assert!(figures.bound <= figures.max_strain);
                assert!(figures.rms_strain <= figures.p99_strain && figures.p99_strain <= figures.max_strain);
                let corners: Vec<Point> = glyph.rings[0].vertices.iter().map(|v| v.p).collect();
                for i in 0..corners.len() {
                    for j in i + 1..corners.len() {
                        // Straight on the pattern, and the straightest way over the skin between the same two points.
                        let drawn = corners[i].distance(corners[j]);
                        let on_skin = charts.between((k, corners[i]), (k, corners[j])).unwrap();
                        let may = figures.max_strain * drawn + 0.01;
                        assert!((drawn - on_skin).abs() <= may, "{} {drawn} {on_skin}", glyph.char);
                    }
                }
            }
            // Neighbours stand a true distance apart at mid-height.
            for (a, b) in charts.letters.windows(2).map(|w| (&w[0], &w[1])).collect::<Vec<_>>() {
                let apart = (b.offset() - a.offset()).hypot();
                let straight = a.origin().distance(b.origin());
                assert!(straight <= apart + 1e-6 && 0.995 * apart < straight, "{apart} {straight}");
            }
        }
    }
}

#[test]
fn letters_on_a_scan_lie_on_its_triangles_at_true_size() {
    let plan = planned(FAIRING);
    let mark = &plan.marks[0];
    let plan::surface::SkinShape::Scan(scan) = &plan.skins[0].shape else { panic!("a scan") };
    let mesh: &Mesh = scan.mesh();
    let points = in_space(mark);
    for p in points.iter().step_by(37) {
        assert!(Spot::nearest(mesh, *p).1 < 1e-6);
    }
    let charts = mark.charts.as_ref().unwrap();
    for (k, glyph) in mark.glyphs.iter().enumerate() {
        let strain = charts.letters[k].figures.max_strain;
        assert!(0.0 < strain && strain < 0.01, "{strain}");
        let [left, _, cap_right, _] = glyph.corners;
        let long: f64 = {
            let n = 200;
            let at = |i: i32| charts.space(k, left.lerp(cap_right, f64::from(i) / f64::from(n))).unwrap();
            (0..n).map(|i| at(i).distance(at(i + 1))).sum()
        };
        let drawn = left.distance(cap_right);
        assert!((long / drawn - 1.0).abs() < strain + 1e-4, "{long} {drawn}");
    }
    // Smoothing to 1 in takes the scanner's 0.15 mm off and says so.
    let said = plan.findings.iter().find(|f| f.code == "scan-smoothed").unwrap();
    assert!(said.message.contains("smoothed to 1 in (25.4 mm)"), "{}", said.message);
    // Seen from outside the letters are not mirrored: a character's x, y and the way out are right-handed.
    let at = |p: Point| charts.space(0, p).unwrap();
    let [a, b, _, d] = mark.glyphs[0].corners;
    let out = (at(b) - at(a)).cross(at(d) - at(a));
    assert!(0.0 < out.y, "the fairing's outer face looks to +y");
}

#[test]
fn points_on_a_scan_are_in_its_own_unit() {
    // The same file said to be in centimetres is a fairing ten times as large; its points stay as they are.
    let near = FAIRING.replace("at = [330, 120, 0]", "at = [329.67, 116.88, 0]");
    let large = near
        .replace("unit = \"mm\"", "unit = \"cm\"\nsmooth = \"10 in\"")
        .replace("height = 3\n", "height = 30\n");
    let stripe = "[[stripe]]\nid = \"red\"\nsurface = \"fairing\"\nwidth = 2\n\
                  through = [[329.67, 116.88, 0], [361.22, 113.35, -0.11]]\n";
    let [small, large] = [near.clone(), large].map(|text| planned(&format!("{text}{stripe}")));
    let (a, b) = (&small.marks[0], &large.marks[0]);
    for (a, b) in a.charts.as_ref().unwrap().letters.iter().zip(&b.charts.as_ref().unwrap().letters) {
        assert!((a.origin() * 10.0).distance(b.origin()) < 0.01, "{:?} {:?}", a.origin(), b.origin());
    }
    let length = |plan: &Plan| plan.stripes[0].length;
    assert!((length(&large) / length(&small) - 10.0).abs() < 0.01, "{} {}", length(&small), length(&large));
}

#[test]
fn a_needle_has_no_pattern() {
    // Four triangles round a tip: all round it is a fifth of a full turn, so that a sheet tears.
    let [a, b, c, d] = [[100, 100], [-100, 100], [-100, -100], [100, -100]];
    let mut solid = String::from("solid needle\n");
    for [p, q] in [[a, b], [b, c], [c, d], [d, a]] {
        solid += &format!(
            "facet normal 0 0 0\nouter loop\nvertex {} {} 0\nvertex {} {} 0\nvertex 0 0 600\nendloop\nendfacet\n",
            p[0], p[1], q[0], q[1]
        );
    }
    solid += "endsolid needle\n";
    // The number alone: what lies on the fairing lies off the needle.
    let (surface, mark) = FAIRING.split_at(FAIRING.find("[[mark]]").unwrap());
    let text = format!("{}{mark}", &surface[..surface.find("[[surface.feature]]").unwrap()]);
    let text = text
        .replace("[330, 120, 0], toward = [200, 120, 0]", "[10, 0, 580], toward = [10, 50, 580]")
        .replace("unit = \"mm\"", "unit = \"mm\"\nsmooth = 0");
    let problems = run(&read(&text).unwrap(), &with(solid.as_bytes())).map(|_| ()).unwrap_err();
    assert!(problems[0].message.contains("cannot be laid flat"), "{}", problems[0].message);
}

#[test]
fn scans_that_cannot_be_used_are_told_with_the_file_and_what_was_found() {
    let refused = |bytes: &[u8]| {
        let problems = run(&read(FAIRING).unwrap(), &with(bytes)).map(|_| ()).unwrap_err();
        format!("{} {}", problems[0].message, problems[0].hint)
    };
    assert!(refused(&SCAN[..SCAN.len() - 7]).contains("fairing.stl"));
    assert!(refused(b"").contains("an empty file"));
    assert!(refused(b"a letter to the painter").contains("fairing.stl"));
    let missing = run(&read(FAIRING).unwrap(), &Attachments::default()).map(|_| ()).unwrap_err();
    assert!(missing[0].message.contains("was not found"));
    let far = FAIRING.replace("at = [330, 120, 0]", "at = [330, 400, 0]");
    let problems = run(&read(&far).unwrap(), &with(SCAN)).map(|_| ()).unwrap_err();
    assert!(problems[0].message.contains("off the scan"), "{}", problems[0].message);
}

/// A ball: what nothing cut from a sheet takes fails, what paper still takes with care is cautioned. Strain goes with the square
/// of the height over the radius: 10 in on 6 in asks 2.8 times what 8 in on 8 in does.
#[test]
fn a_pattern_that_nothing_takes_fails() {
    let on_ball = |radius: f64, height: f64| {
        let station = |k: f64| {
            let s = radius * (k / 8.0 * 1.45).sin();
            let r = (radius * radius - s * s).sqrt();
            format!("{{ s = {:.4}, half_width = {r:.4}, top = {r:.4}, bottom = {:.4} }}", s + radius, -r)
        };
        let all: Vec<String> = (-8..=8).map(|k| station(f64::from(k))).collect();
        let job = format!(
            "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"ball\"\nkind = \"body\"\nside = \"left\"\nstations = [{}]\n\
             [[mark]]\nid = \"n\"\nsurface = \"ball\"\ntext = \"8\"\nlegal = false\nheight = {height}\nplace = {{ at = \
             [{radius}, 0] }}\n",
            all.join(", ")
        );
        let said = planned(&job).findings;
        let high = said.iter().find(|f| f.code == "strain-high").unwrap();
        (high.severity, high.measured.unwrap())
    };
    let ((fails, most), (warns, less)) = (on_ball(6.0, 10.0), on_ball(8.0, 8.0));
    assert_eq!((fails, warns), (Severity::Fail, Severity::Caution));
    assert!((most / less - (10.0_f64 / 6.0).powi(2)).abs() < 0.3, "{most} {less}");
}

/// The size of a scan stands with what was read of it, and a mark longer than all of it asks for the unit.
#[test]
fn a_scan_in_another_unit_shows() {
    let note = |job: &str| {
        let plan = planned(job);
        let scan = plan.findings.iter().find(|f| f.code == "scan").unwrap().message.clone();
        (scan, plan.findings.into_iter().find(|f| f.code == "no-chart"))
    };
    let (true_size, none) = note(FAIRING);
    assert!(
        true_size.contains(" in (") && true_size.matches(" by ").count() == 2 && none.is_none(),
        "{true_size}"
    );
    let small = FAIRING.replace("height = 3\n", "height = 40\n");
    let (_, told) = note(&small);
    assert!(told.is_some_and(|f| f.hint.contains("`unit`")));
}

#[test]
fn on_a_tight_bend_smaller_letters_are_advised() {
    let large = FAIRING.replace("height = 3\n", "height = 6\n");
    let said = planned(&large).findings;
    let high = said.iter().find(|f| f.code == "strain-high").unwrap();
    assert!(high.hint.contains("smaller") && 0.01 < high.measured.unwrap());
    // The letter that needs most, and the height at which it would do.
    assert!(high.message.contains(", that of 2 the most;") || high.message.contains(", that of 4 the most;"));
    let factor = (0.01 / high.measured.unwrap()).sqrt();
    assert!(high.hint.contains(&plan::words::length(152.4 * factor)), "{}", high.hint);
    assert!(planned(FAIRING).findings.iter().all(|f| f.code != "strain-high"));
}

#[test]
fn a_mark_off_the_body_is_refused_and_one_beyond_its_edge_fails() {
    let given = |at: &str| SIDES.replacen("aim = [138, 8.25]", &format!("place = {{ at = {at} }}"), 1);
    let problems = run(&read(&given("[138, 90]")).unwrap(), &with(SCAN)).map(|_| ()).unwrap_err();
    assert!(problems[0].message.contains("does not lie on `left-side`"), "{}", problems[0].message);
    let plan = planned(&given("[250, 8.25]"));
    assert!(plan.findings.iter().any(|f| f.code == "outside" && f.about == "name-left"));
}

/// A straight rule is never longer than the tape over the skin beside it, and neither has a sign; where both start is
/// no leading edge.
#[test]
fn the_tape_over_the_skin_is_no_shorter_than_the_rule_below_the_zero_too() {
    let plan = planned(FAIRING);
    let data: serde_json::Value = serde_json::from_str(&plan.book_data()).unwrap();
    let mark = &data["pages"]["marks"][0];
    assert_eq!(mark["straight_from"], "up or down from the middle of the mark");
    let rows = mark["straight"].as_array().unwrap();
    assert!(rows.len() >= 2);
    for row in rows {
        let [tape, rule, more] = ["skin_mm", "rule_mm", "more_mm"].map(|key| row[key].as_f64().unwrap());
        // The baseline lies half the height below the middle: 76.2 mm of six inches.
        assert!(25.0 < rule && -0.5 < more && more < 0.05 * tape, "{row}");
        assert!((more - (tape - rule)).abs() < 0.002, "{row}");
    }
}
