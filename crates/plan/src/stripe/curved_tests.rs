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

/// A body of 200 in from station 0: a waterline asked to run on beyond is told to end with it, one within is not.
#[test]
fn short_of_the_stations_asked_for_is_said_on_a_body() {
    let rings = round(0.0, 20.0) + &round(200.0, 20.0);
    let far = on("left", "far", "along = { waterline = 6, from = -20, to = 400 }\nwidth = 2");
    let within = on("left", "within", "along = { waterline = -6, from = 10, to = 190 }\nwidth = 2");
    let (_, found) =
        planned(&format!("title = \"t\"\nunits = \"in\"\n{}{far}{within}", body("left", &rings)));
    let short = said(&found, "stripe-short", "far");
    let figures: Vec<_> = short.iter().map(|f| [f.measured, f.required].map(Option::unwrap)).collect();
    let [[from, from_asked], [to, to_asked]] = figures[..] else { panic!("{found:#?}") };
    near(from, 0.0, 0.2);
    near(to, 200.0 * IN, 0.2);
    near(from_asked, -20.0 * IN, 1e-9);
    near(to_asked, 400.0 * IN, 1e-9);
    assert!(said(&found, "stripe-short", "within").is_empty());
}

/// A straight line from or to a point off the skin fails and says how far off it lies, on a body as on a panel, also where
/// its end is drawn back onto it; from and to points on the edge it does not.
#[test]
fn a_straight_line_to_a_point_off_the_skin_fails() {
    let tube = body("left", &(round(0.0, 20.0) + &round(100.0, 20.0)));
    let panel = "[[surface]]\nid = \"p\"\nkind = \"flat\"\nside = \"left\"\n\
                 corners = [[0, -30], [100, -30], [100, 30], [0, 30]]\n";
    let at = |surface: &str, ends: &str, more: &str| {
        let keys = format!("along = {{ straight = {ends}{more} }}\nwidth = 2");
        let head = "title = \"t\"\nunits = \"in\"\n";
        let (_, found) = planned(&format!("{head}{tube}{panel}{}", on(surface, "a", &keys)));
        let off: Vec<f64> =
            said(&found, "stripe-off-skin", "a").iter().map(|f| f.measured.unwrap() / IN).collect();
        let fails = found.iter().any(|f| f.severity == Severity::Fail);
        assert_eq!(fails, !off.is_empty(), "{surface} {ends}: {found:#?}");
        off
    };
    for surface in ["left", "p"] {
        assert!(at(surface, "[[0, 2], [100, 2]]", "").is_empty());
        let [fore, aft] = at(surface, "[[-0.5, 2], [101, 2]]", "")[..] else {
            panic!("two ends off {surface}")
        };
        near(fore, 0.5, 1e-9);
        near(aft, 1.0, 1e-9);
    }
    let [fore, aft] = at("left", "[[-10, 2], [110, 2]]", "")[..] else { panic!("two ends off") };
    near(fore, 10.0, 1e-9);
    near(aft, 10.0, 1e-9);
    // The middle of the top is a quarter round up, 31.416 in.
    let [high] = at("left", "[[10, 2], [90, 33]]", "")[..] else { panic!("one end off") };
    near(high, 33.0 - 10.0 * std::f64::consts::PI, 0.01);
    // Cut where it is on the panel, its points may lie anywhere; on a body they say which line it is.
    assert!(at("p", "[[-10, 2], [110, 2]]", ", from = 5, to = 90").is_empty());
    assert_eq!(at("left", "[[-10, 2], [110, 2]]", ", from = 5, to = 90").len(), 2);
}

/// What is said to be far off is: no two stripes that come within a distance of each other in space, looked at point by
/// point, are said not to; and stripes well apart are not brought over to each other.
#[test]
fn what_need_not_be_brought_over_is_far_off() {
    let rings = round(0.0, 17.0) + &round(60.0, 24.0) + &round(170.0, 14.0) + &round(250.0, 6.0);
    let lines = [
        "along = { waterline = 13, from = 10, to = 200 }\nwidth = [4, 1]",
        "along = { straight = [[20, -18], [200, -6]] }\nwidth = 1\nends = [\"point\", \"round\"]",
        "through = [[20, 10], [60, -2], [120, 8], [180, 1]]\nwidth = 3",
        "along = { straight = [[30, 24], [60, 20]] }\nwidth = 2",
        "along = { straight = [[200, -8], [230, -7]] }\nwidth = 2",
    ];
    let stripes: String = (0..lines.len()).map(|k| on("left", &format!("s{k}"), lines[k])).collect();
    let (laid, _) = planned(&format!("title = \"t\"\nunits = \"in\"\n{}{stripes}", body("left", &rings)));
    assert_eq!(laid.len(), lines.len());
    let space = |l: &Laid| {
        let sheet = &l.painted.charts.as_ref().unwrap().sheet;
        let edges = l.edges.iter().flatten().map(|p| sheet.space_from_flat(*p).unwrap());
        edges.collect::<Vec<Point3>>()
    };
    let (mut near, mut far) = (0, 0);
    for (k, a) in laid.iter().enumerate() {
        for b in &laid[..k] {
            let (p, q) = (space(a), space(b));
            let apart = p.iter().flat_map(|p| q.iter().map(|q| p.distance(*q))).fold(f64::INFINITY, f64::min);
            for by in [0.0, 50.0, 200.0] {
                let may = joint::may_meet(&a.painted, &b.painted, by);
                assert!(may || by < apart, "{} {}: {apart} by {by}", a.id, b.id);
                assert!(!may || apart < by + 400.0, "{} {}: {apart} by {by}", a.id, b.id);
                near += usize::from(apart <= by);
                far += usize::from(!may);
            }
        }
    }
    assert!(2 < near && 5 < far, "{near} {far}");
}

/// Long lines on a body that narrows towards its tail: each is laid, and ends at the point it was asked to run to.
#[test]
fn long_lines_on_a_body_are_laid_and_end_where_they_are_asked_to() {
    let lines = [
        ("through = [[20, 8], [100, 8], [180, 8]]", [180.0, 8.0]),
        ("through = [[20, 8], [100, 12], [180, 10]]", [180.0, 10.0]),
        ("through = [[20, 10], [180, 10]]", [180.0, 10.0]),
        ("along = { straight = [[20, -4], [200, 4]] }", [200.0, 4.0]),
        ("along = { straight = [[100, 2], [200, 4]] }", [200.0, 4.0]),
        ("along = { straight = [[20, 8], [100, 12]] }", [100.0, 12.0]),
    ];
    let asked = |k: usize| on("left", &format!("s{k}"), &format!("{}\nwidth = 2", lines[k].0));
    let stripes: String = (0..lines.len()).map(asked).collect();
    let (laid, found) = planned(&format!("title = \"t\"\nunits = \"in\"\n{}{stripes}", body("left", TAILED)));
    assert_eq!(laid.len(), lines.len(), "{found:#?}");
    for (one, (_, end)) in laid.iter().zip(lines) {
        let strip = one.painted.charts.as_ref().unwrap().sheet.strip().unwrap();
        let there = strip.space(*one.middle.last().unwrap()).unwrap();
        let goal = strip.body().unwrap().space(end.map(|x| x * IN)).unwrap();
        assert!(there.distance(goal) < 0.02, "{}: {}", one.id, there.distance(goal));
    }
}

const TAILED: &str = "{ s = 0, half_width = 20, top = 20, bottom = -24, power = 2.2 }, { s = 60, half_width = 21, top = 24, bottom \
                      = -24, power = 2.4 }, { s = 120, half_width = 18, top = 21, bottom = -20, power = 2.3 }, { s = 180, \
                      half_width = 13, top = 17, bottom = -13, power = 2.1 }, { s = 264, half_width = 4, top = 10, bottom = -3, \
                      power = 2.0 }, ";

/// True if a ring of straight edges crosses itself: edge by edge with every other.
fn crosses_itself(ring: &Ring) -> bool {
    let at: Vec<Point> = ring.vertices.iter().map(|v| v.p).collect();
    let n = at.len();
    let hand = |a: Point, b: Point, c: Point| (b - a).cross(c - a);
    (0..n).any(|i| {
        let (a, b) = (at[i], at[(i + 1) % n]);
        (i + 2..n).filter(|j| (j + 1) % n != i).any(|j| {
            let (c, d) = (at[j], at[(j + 1) % n]);
            hand(a, b, c) * hand(a, b, d) < 0.0 && hand(c, d, a) * hand(c, d, b) < 0.0
        })
    })
}

/// Beside a seam that bends the stripe of a body is the one of a flat panel with the same seam, as near as the body is flat
/// along it: no corner doubles back, no smooth bend becomes a corner, and tape bends as there.
#[test]
fn beside_a_seam_that_bends_it_is_as_on_a_panel() {
    let panel = "[[surface]]\nid = \"p\"\nkind = \"flat\"\nside = \"left\"\n\
                 corners = [[0, -30], [264, -30], [264, 40], [0, 40]]\n";
    let nine =
        "[[20,0],[40,2.296],[60,4.243],[80,5.543],[100,6],[120,5.543],[140,4.243],[160,2.296],[180,0]]";
    let seventeen = "[[20,0],[30,1.171],[40,2.296],[50,3.333],[60,4.243],[70,4.989],[80,5.543],[90,5.885],[100,6],[110,5.885],\
                     [120,5.543],[130,4.989],[140,4.243],[150,3.333],[160,2.296],[170,1.171],[180,0]]";
    let corner = "[[20,0],[80,0],[110,10],[180,10]]";
    for (path, offs) in
        [(nine, &[-3.0, 6.0, -8.0][..]), (seventeen, &[3.0, -3.0]), (corner, &[-3.0, 6.0, -6.0, -8.0])]
    {
        let seam = format!("[[surface.feature]]\nid = \"bend\"\nkind = \"seam\"\npath = {path}\n");
        let stripes = |surface: &str| -> String {
            let one = |(k, off): (usize, &f64)| {
                let keys = format!("along = {{ feature = \"bend\", off = {off} }}\nwidth = 2");
                on(surface, &format!("{surface}{k}"), &keys)
            };
            offs.iter().enumerate().map(one).collect()
        };
        let job = |surface: &str, id: &str| {
            format!("title = \"t\"\nunits = \"in\"\n{surface}{seam}{}{TAPE}", stripes(id))
        };
        let (curved, found) = planned(&job(&body("left", TAILED), "left"));
        let (flat, _) = planned(&job(panel, "p"));
        assert_eq!(curved.len(), offs.len(), "{found:#?}");
        for ((a, b), off) in curved.iter().zip(&flat).zip(offs) {
            assert_eq!(a.painted.rings().len(), 1, "{path} {off}");
            assert!(a.painted.rings().iter().all(|r| !crosses_itself(r)), "{path} {off}");
            let told = ["stripe-tight", "stripe-crosses"].iter().flat_map(|code| said(&found, code, &a.id));
            assert_eq!(told.count(), 0, "{path} {off}: {found:#?}");
            assert!(
                (a.tape.strain - b.tape.strain).abs() < 0.008,
                "{path} {off}: {} {}",
                a.tape.strain,
                b.tape.strain
            );
            near(a.length / b.length, 1.0, 0.01);
        }
    }
}

/// A figure that is no strain is not told as one.
#[test]
fn where_no_tape_can_follow_its_bend_is_told_as_a_radius() {
    let crest = on("left", "a", "along = { waterline = 23, from = 20, to = 200 }\nwidth = 6");
    let (laid, found) =
        planned(&format!("title = \"t\"\nunits = \"in\"\n{}{crest}{TAPE}", body("left", TAILED)));
    assert!(0.5 < laid[0].tape.strain, "{}", laid[0].tape.strain);
    let told = &said(&found, "stripe-tape", "a")[0].message;
    assert!(told.contains("cannot follow it, it bends down to a radius of"), "{told}");
    assert!(!told.contains("% strain"), "{told}");
}
