//! Stripes on bodies and scans: against what unrolls in closed form, against the straightest way over the skin, and
//! against the other side.

use super::*;
use crate::finding::{Finding, Severity};
use crate::job::{Attachments, read};
use crate::surface::StripSkin;
use geom::{Point, Point3, Ring};
use skin::surface::Surface;
use skin::surface::way::between;

const IN: f64 = 25.4;
const SCAN: &[u8] = include_bytes!("../../../../hangar/62-fairing-scan/fairing.stl");
const TAPE: &str =
    "[masking]\nedge_tapes = [{ width = \"1/4 in\", real = \"6.35 mm\", roll = \"36 yd\", strain = 0.05 }]\n";

fn planned(text: &str) -> (Vec<Laid>, Vec<Finding>) {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
    let job = read(text).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let plan = crate::run(&job, &files).unwrap_or_else(|problems| panic!("{problems:#?}"));
    (plan.stripes, plan.findings)
}

fn body(side: &str, rings: &str) -> String {
    format!("[[surface]]\nid = \"{side}\"\nkind = \"body\"\nside = \"{side}\"\nstations = [{rings}]\n")
}

fn round(s: f64, r: f64) -> String {
    format!("{{ s = {s}, half_width = {r}, top = {r}, bottom = -{r}, power = 2.0 }}, ")
}

fn on(surface: &str, id: &str, more: &str) -> String {
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"{surface}\"\n{more}\n")
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} {b}");
}

fn said<'a>(found: &'a [Finding], code: &str, about: &str) -> Vec<&'a Finding> {
    found.iter().filter(|f| f.code == code && f.about == about).collect()
}

/// Closed form: a tube unrolls, so that a stripe through the same points of a flat panel has the same edges; and the
/// strip's own flat has the same length and area.
#[test]
fn on_a_tube_it_is_the_stripe_of_the_panel_it_unrolls_to() {
    let keys = "through = [[10, -6], [60, 3], [110, 5], [170, -2]]\nwidth = [3, 4, 2]\nends = [\"point\", \"square\"]";
    let tube =
        format!("title = \"t\"\nunits = \"in\"\n{}", body("left", &(round(0.0, 20.0) + &round(200.0, 20.0))));
    let (curved, found) = planned(&format!("{tube}{}", on("left", "red", keys)));
    let panel = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"p\"\nkind = \"flat\"\nside = \"left\"\n\
                 corners = [[0, -30], [200, -30], [200, 30], [0, 30]]\n";
    let (flat, _) = planned(&format!("{panel}{}", on("p", "red", keys)));
    let (a, b) = (&curved[0], &flat[0]);
    near(a.length, b.length, 0.02);
    let area = |l: &Laid| l.painted.rings().iter().map(Ring::area).sum::<f64>();
    near(area(a) / area(b), 1.0, 1e-5);
    assert_eq!(a.stations.len(), b.stations.len());
    for (p, q) in a.stations.iter().zip(&b.stations) {
        near(p.s, q.s, 0.05);
        near(p.lower, q.lower, 0.05);
        near(p.upper, q.upper, 0.05);
    }
    assert!(said(&found, "stripe-not-settled", "red").is_empty());
    let strip = said(&found, "stripe-strip", "red");
    assert!(strip[0].measured.unwrap() < 1e-6, "{:?}", strip[0]);
}

/// Closed form: on a cone a ring at one station is an arc of the slant's radius when unrolled; tape beside it bends by
/// 1 / (slant - half), and its edges lie half the width off along the slant.
#[test]
fn round_a_cone_it_bends_by_the_distance_from_the_tip() {
    let cone = body("left", &(round(100.0, 20.0) + &round(300.0, 60.0)));
    let seam = "[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[200, -30], [200, 30]]\n";
    let keys = "along = { feature = \"seam\" }\nwidth = 4";
    let (stripes, found) =
        planned(&format!("title = \"c\"\nunits = \"in\"\n{cone}{seam}{}{TAPE}", on("left", "ring", keys)));
    let ring = &stripes[0];
    near(ring.length, 60.0 * IN, 0.05);
    // Station 200: radius 40 in, slant 40 / sin(atan(0.2)).
    let tilt = 0.2_f64.atan();
    let slant = 40.0 * IN / tilt.sin();
    near(ring.tape.strain, 6.35 / (slant - 2.0 * IN), 2e-6);
    let sheet = &ring.painted.charts.as_ref().unwrap().sheet;
    for (edge, way) in ring.edges.iter().zip([1.0, -1.0]) {
        for p in edge.iter().skip(1).step_by(9) {
            // Walked up the left side, left of it is towards the nose.
            let s = sheet.skin_from_flat(*p)[0];
            near(s, (200.0 - way * 2.0 * tilt.cos()) * IN, 0.02);
        }
    }
    assert!(said(&found, "stripe-line", "ring").is_empty());
}

/// By another road: from every place of both edges the straightest way to the middle is half the width long, within
/// what is stated, and no other place of the middle is nearer.
#[test]
fn both_edges_lie_half_the_width_off_over_the_skin() {
    let sides = include_str!("../../../../hangar/64-body-stripes/job.toml");
    let (stripes, found) = planned(sides);
    assert!(!found.iter().any(|f| f.severity == Severity::Fail && f.about.starts_with("red")), "{found:#?}");
    let red = stripes.iter().find(|s| s.id == "red").unwrap();
    let sheet = &red.painted.charts.as_ref().unwrap().sheet;
    let strip = sheet.strip().unwrap();
    let skin = strip.body().unwrap().body();
    let place = |p: Point| strip.place(p).unwrap();
    for edge in &red.edges {
        for p in edge.iter().skip(3).step_by(edge.len() / 7) {
            let [s, off] = strip.along_and_off(*p);
            if s < 400.0 || red.length - 400.0 < s {
                continue;
            }
            near(off.abs(), 2.0 * IN, 0.01);
            let to = skin.jet(place(*p)).p;
            let far = |s: f64| between(skin, place(strip.flat_at(s, 0.0)), to).unwrap().1;
            let least = (-40..=40).map(|k| far(s + f64::from(k))).fold(f64::INFINITY, f64::min);
            near(least, 2.0 * IN, EDGE_MM);
        }
    }
    // The gap is as wide over the skin.
    let gold = stripes.iter().find(|s| s.id == "gold").unwrap();
    let other = gold.painted.charts.as_ref().unwrap().sheet.strip().unwrap();
    for k in 1..8 {
        let p = other.space(other.flat_at(gold.length * f64::from(k) / 10.0, 0.0)).unwrap();
        let [_, off] = strip.along_and_off(strip.at_space(p));
        near(off, 3.0 * IN, EDGE_MM);
    }
    // On the other side at the same stations and heights.
    let mirrored = stripes.iter().find(|s| s.id == "red-right").unwrap();
    assert_eq!(red.stations.len(), mirrored.stations.len());
    for (a, b) in red.stations.iter().zip(&mirrored.stations) {
        near(a.s, b.s, 0.05);
        near(a.lower, b.lower, 0.05);
        near(a.upper, b.upper, 0.05);
    }
    assert_eq!(said(&found, "stripe-mirror", "red-right").len(), 1);
}

/// A waterline is level, an edge of the body its middle, a straight line the straightest; each cut where it says.
#[test]
fn lines_of_a_body_lie_where_they_say() {
    let rings = round(0.0, 20.0) + &round(80.0, 24.0) + &round(200.0, 14.0);
    let head = format!("title = \"b\"\nunits = \"in\"\n{}", body("right", &rings));
    let (stripes, found) = planned(&format!(
        "{head}{}{}{}",
        on("right", "level", "along = { waterline = 6, off = 3, from = 10, to = 150 }\nwidth = 2"),
        on("right", "back", "along = { edge = \"upper\", off = 5 }\nwidth = 2"),
        on("right", "short", "along = { straight = [[20, -9], [170, 4]] }\nwidth = 2")
    ));
    assert_eq!(stripes.len(), 3, "{found:#?}");
    let space = |l: &Laid, s: f64, off: f64| {
        let strip = l.painted.charts.as_ref().unwrap().sheet.strip().unwrap();
        strip.space(strip.flat_at(s, off)).unwrap()
    };
    // Three inches above the level line over the skin: back down square off it the height is 6 in.
    for share in [0.1, 0.4, 0.8] {
        let level = &stripes[0];
        let strip = level.painted.charts.as_ref().unwrap().sheet.strip().unwrap();
        // On the right side one walks aft from right to left, and up is on the right of travel.
        near(space(level, share * level.length, 3.0 * IN).z, 6.0 * IN, 0.1);
        let s = strip.station(strip.flat_at(share * level.length, 0.0)) / IN;
        assert!(10.0 < s && s < 150.0, "{s}");
    }
    let ends = stripes[0].ends_on(&stripes[0].painted.charts.as_ref().unwrap().sheet);
    near(ends[0][0], 10.0 * IN, 0.01);
    near(ends[1][0], 150.0 * IN, 0.01);
    // Back five inches up to the middle of the top.
    let back = &stripes[1];
    near(space(back, back.length / 2.0, -5.0 * IN).y, 0.0, 0.02);
    let short = stripes[2].painted.charts.as_ref().unwrap().sheet.strip().unwrap();
    assert!(short.middle().windows(3).all(|w| (w[1] - w[0]).cross(w[2] - w[1]).abs() < 1e-6));
    // Beside a straightest line edges bend by K times half the width: tape hardly notices.
    assert!(stripes[2].tape.strain < 0.001);
}

#[test]
fn on_a_scan_it_runs_through_its_points() {
    let job = "title = \"f\"\nunits = \"in\"\n[[surface]]\nid = \"fairing\"\nkind = \"mesh\"\nfile = \"fairing.stl\"\n\
               unit = \"mm\"\n";
    let points = [[150.0, 118.0, 60.0], [300.0, 121.0, 75.0], [450.0, 112.0, 40.0]];
    let through = points.map(|p| format!("[{}, {}, {}]", p[0], p[1], p[2])).join(", ");
    let keys = format!("through = [{through}]\nwidth = 1");
    let beside = on("fairing", "pin", "along = { stripe = \"red\", gap = 0.25 }\nwidth = 0.5");
    let (stripes, found) = planned(&format!("{job}{}{beside}{TAPE}", on("fairing", "red", &keys)));
    assert_eq!(stripes.len(), 2, "{found:#?}");
    let red = stripes[0].painted.charts.as_ref().unwrap().sheet.strip().unwrap();
    let scan = red.scan().unwrap();
    for p in points {
        let (on_it, far) = StripSkin::spot_near(scan, Point3::from_array(p));
        assert!(far < 25.0, "{far}");
        let least = stripes[0]
            .middle
            .iter()
            .filter_map(|q| red.space(*q))
            .map(|q| q.distance(on_it))
            .fold(f64::INFINITY, f64::min);
        // The points of the middle are dense, not endlessly so.
        assert!(least < 6.0, "{least}");
    }
    let pin = stripes[1].painted.charts.as_ref().unwrap().sheet.strip().unwrap();
    let p = pin.space(pin.flat_at(pin.length() / 2.0, 0.0)).unwrap();
    // Half an inch and a quarter and a quarter.
    near(red.along_and_off(red.at_space(p))[1].abs(), IN, 0.05);
    assert!(stripes[0].stations.len() > 3);
    assert!(said(&found, "stripe-line", "red").is_empty());
}

#[test]
fn what_a_body_or_scan_has_no_line_for_is_said() {
    let rings = round(0.0, 20.0) + &round(80.0, 24.0);
    let head = format!("title = \"b\"\nunits = \"in\"\n{}", body("left", &rings));
    let (stripes, found) = planned(&format!(
        "{head}{}{}",
        on("left", "high", "along = { waterline = 40 }\nwidth = 2"),
        on("left", "low", "through = [[10, -30], [70, 2]]\nheights = \"waterline\"\nwidth = 2")
    ));
    assert!(stripes.is_empty());
    assert!(said(&found, "stripe-line", "high")[0].message.contains("does not meet the body"), "{found:#?}");
    assert!(
        said(&found, "stripe-line", "low")[0].message.contains("does not reach the waterline"),
        "{found:#?}"
    );
    let refused = |more: &str| {
        let scan = "title = \"f\"\nunits = \"in\"\n[[surface]]\nid = \"left\"\nkind = \"mesh\"\nfile = \"f.stl\"\nunit = \"mm\"\n";
        let problems = read(&format!("{scan}{}", on("left", "x", more))).unwrap_err();
        problems.iter().map(|p| p.message.clone()).collect::<Vec<_>>().join("; ")
    };
    for (more, word) in [
        ("along = { waterline = 4 }\nwidth = 1", "on a scan, which has no stations"),
        ("along = { edge = \"upper\" }\nwidth = 1", "on a scan, which has no stations"),
        ("along = { straight = [[1, 2], [3, 4]] }\nwidth = 1", "on a scan, which has no stations"),
        (
            "through = [[1, 2, 3], [4, 5, 6]]\nheights = \"waterline\"\nwidth = 1",
            "is for a stripe on a body only",
        ),
        ("through = [[1, 2], [4, 5]]\nwidth = 1", "a point of 2 numbers"),
    ] {
        let told = refused(more);
        assert!(told.contains(word), "{told}");
    }
}

/// A stripe a little below the middle of the top lies within the side, whichever side it is: the middle of the bottom,
/// straight below it, is not taken for an edge above it.
#[test]
fn beside_the_middle_of_the_top_it_lies_on_its_side() {
    let rings = "{ s = 0, half_width = 20, top = 20, bottom = -24, power = 2.2 }, { s = 132, half_width = 18, top = 21, bottom \
                 = -20, power = 2.3 }, { s = 264, half_width = 6, top = 10, bottom = -5, power = 2.0 }, ";
    for side in ["left", "right"] {
        for (edge, off) in [("upper", 3.0), ("upper", 6.0), ("lower", 3.0)] {
            let keys =
                format!("along = {{ edge = \"{edge}\", off = {off}, from = 1, to = 250 }}\nwidth = 0.5");
            let head = "title = \"t\"\nunits = \"in\"\n";
            let (stripes, found) = planned(&format!("{head}{}{}", body(side, rings), on(side, "a", &keys)));
            assert!(found.iter().all(|f| f.severity != Severity::Fail), "{side} {edge} {off}: {found:#?}");
            let sheet = &stripes[0].painted.charts.as_ref().unwrap().sheet;
            for p in &stripes[0].middle {
                let far = sheet.space_from_flat(*p).unwrap().y.abs() / IN;
                assert!((far - off).abs() < 0.35 * off, "{side} {edge}: {far}");
            }
        }
    }
}
