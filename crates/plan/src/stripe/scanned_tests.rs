//! Stripes along something on a scan, against closed forms of the ball, the tube and the ring.

use super::tape::{edge_bend, strain};
use super::*;
use crate::finding::{Finding, Severity};
use crate::job::{Attachments, read};
use crate::surface::StripSkin;
use geom::Point3;
use std::f64::consts::{PI, TAU};
use std::fmt::Write;

const TAPE: &str =
    "[masking]\nedge_tapes = [{ width = \"1/4 in\", real = \"6.35 mm\", roll = \"36 yd\", strain = 0.5 }]\n";

/// A sheet of `across` by `up` squares as a text file; `at` is asked for shares from 0 to 1.
fn sheet(across: u32, up: u32, at: impl Fn(f64, f64) -> [f64; 3]) -> Vec<u8> {
    let mut text = String::new();
    for i in 0..=across {
        for k in 0..=up {
            let [x, y, z] = at(f64::from(i) / f64::from(across), f64::from(k) / f64::from(up));
            writeln!(text, "v {x} {y} {z}").unwrap();
        }
    }
    for i in 0..across {
        for k in 0..up {
            let a = i * (up + 1) + k + 1;
            let (b, c, d) = (a + up + 1, a + up + 2, a + 1);
            writeln!(text, "f {a} {b} {c}\nf {a} {c} {d}").unwrap();
        }
    }
    text.into_bytes()
}

/// A ball; x aft, z up, seen from outside counter-clockwise.
fn ball(radius: f64, fine: u32) -> Vec<u8> {
    sheet(2 * fine, fine, |a, b| {
        let (lon, lat) = (TAU * a, PI * (b - 0.5));
        [radius * lat.cos() * lon.cos(), radius * lat.cos() * lon.sin(), radius * lat.sin()]
    })
}

/// A tube along x, `long` by so much of a turn, from straight down; its right side (y is to starboard) wider by `more`.
fn tube(radius: f64, long: f64, [from, to]: [f64; 2], fine: u32, more: f64) -> Vec<u8> {
    sheet(fine, fine, move |a, b| {
        let turn = to + (from - to) * b;
        let y = radius * turn.sin();
        [long * a, if 0.0 < y { y + more } else { y }, -radius * turn.cos()]
    })
}

fn scan(id: &str, more: &str) -> String {
    format!(
        "[[surface]]\nid = \"{id}\"\nkind = \"mesh\"\nfile = \"a.obj\"\nunit = \"mm\"\nsmooth = 0\naxes = {{ up = [0, 0, 1], aft = [1, 0, 0] }}\n{more}\n"
    )
}

fn on(surface: &str, id: &str, more: &str) -> String {
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"{surface}\"\n{more}\n")
}

fn planned(file: Vec<u8>, tables: &str) -> (Vec<Laid>, Vec<Finding>) {
    let mut files = Attachments::default();
    files.files.insert("a.obj".to_owned(), file);
    let job = read(&format!("title = \"s\"\nunits = \"mm\"\n{tables}{TAPE}"))
        .unwrap_or_else(|problems| panic!("{problems:#?}"));
    let plan = crate::run(&job, &files).unwrap_or_else(|problems| panic!("{problems:#?}"));
    (plan.stripes, plan.findings)
}

fn strip(laid: &Laid) -> &StripSkin {
    laid.painted.charts.as_ref().unwrap().sheet.strip().unwrap()
}

fn space(laid: &Laid, line: &[geom::Point]) -> Vec<Point3> {
    line.iter().map(|p| strip(laid).space(*p).unwrap()).collect()
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} {b}");
}

fn said<'a>(found: &'a [Finding], code: &str, about: &str) -> &'a Finding {
    found
        .iter()
        .find(|f| f.code == code && f.about == about)
        .unwrap_or_else(|| panic!("{code} {about}: {found:#?}"))
}

/// A ball of radius R at a height h: a circle of r = sqrt(R2 - h2), geodesic curvature h / (R r); its edges half the width
/// off are circles at the heights R sin(asin(h / R) +- half / R) (closed forms). Finer triangles come nearer.
#[test]
fn a_waterline_of_a_ball_is_its_circle() {
    let (radius, height, half) = (400.0_f64, 150.0_f64, 12.0_f64);
    let r = (radius * radius - height * height).sqrt();
    let mut worst = Vec::new();
    for fine in [24, 72] {
        let keys = "along = { waterline = 150 }\nwidth = 24";
        let tables = scan("s", "side = \"right\"") + &on("s", "wl", keys);
        let (stripes, found) = planned(ball(radius, fine), &tables);
        let one = &stripes[0];
        let middle = space(one, &one.middle);
        assert!(middle.iter().all(|p| -0.1 < p.y));
        let off =
            middle.iter().map(|p| (p.z - height).abs().max((p.x.hypot(p.y) - r).abs())).fold(0.0, f64::max);
        let angle = |way: f64| radius * ((height / radius).asin() + way * half / radius).sin();
        let rows: Vec<_> = one.stations.iter().filter(|r| r.what == stations::What::Edges).collect();
        assert!(rows.len() > 5);
        let inner = &rows[2..rows.len() - 2];
        let edge = inner.iter().map(|r| (r.lower - angle(-1.0)).abs().max((r.upper - angle(1.0)).abs()));
        let edge = edge.fold(0.0, f64::max);
        // Square ends on the plane of symmetry: half the circle, but for what the ends lean.
        let long = (one.length / (PI * r) - 1.0).abs();
        let (k, gauss) = (height / (radius * r), 1.0 / (radius * radius));
        let wanted = strain(edge_bend(k, gauss, half), gauss, 6.35);
        worst.push([off, edge, long, (one.tape.strain / wanted - 1.0).abs()]);
        assert_eq!(said(&found, "stripe-along", "wl").severity, Severity::Note);
        // It is walked aft.
        assert!(middle[0].x < 0.0 && one.stations[0].s < 0.0);
    }
    let [coarse, fine] = worst[..] else { panic!() };
    assert!(fine[0] < 0.2 && fine[0] < coarse[0] / 5.0, "{worst:?}");
    assert!(fine[1] < 0.15 && fine[1] < coarse[1] / 4.0, "{worst:?}");
    assert!(fine[2] < 2e-3, "{worst:?}");
    // The tightest of all places: sides of 17 mm tell up to a fifth more than the ball, most at an end.
    assert!(fine[3] < 0.2, "{worst:?}");
}

/// A ring of radius A and pipe a lying flat: at the pipe's angle t its waterline bends by sin t / (A + a cos t) (closed form).
#[test]
fn a_waterline_of_a_ring_bends_as_its_parallel() {
    let (around, pipe, t) = (600.0_f64, 150.0_f64, PI - 0.6);
    let file = sheet(220, 60, |a, b| {
        let (lon, lat) = (TAU * a, TAU * b);
        let r = around + pipe * lat.cos();
        [r * lon.cos(), r * lon.sin(), pipe * lat.sin()]
    });
    let keys = format!("along = {{ waterline = {}, from = -450, to = 450 }}\nwidth = 10", pipe * t.sin());
    let (stripes, found) = planned(file, &(scan("s", "side = \"left\"") + &on("s", "wl", &keys)));
    let one = &stripes[0];
    // Between two stations the inner parallel is longer than the outer, and the other is told.
    let r = around + pipe * t.cos();
    assert!(space(one, &one.middle).iter().all(|p| (p.x.hypot(p.y) - r).abs() < 0.5 && p.y < 0.0));
    assert!(said(&found, "stripe-pieces", "wl").message.contains("2 pieces"));
    let gauss = t.cos() / (pipe * r);
    let wanted = strain(edge_bend(t.sin() / r, gauss, 5.0), gauss, 6.35);
    near(one.tape.strain / wanted, 1.0, 0.25);
    let ends = one.ends_on(&one.painted.charts.as_ref().unwrap().sheet);
    near(ends[0][0], -450.0, 0.05);
    near(ends[1][0], 450.0, 0.05);
}

/// A tube unrolls: beside a seam along it lies a ruling, the shortest way is straight, and beside it a straight line.
#[test]
fn on_a_tube_seams_and_ways_unroll_straight() {
    let radius = 200.0;
    let file = tube(radius, 900.0, [0.0, PI], 90, 0.0);
    let seam = "[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[60, 200, 0], [860, 200, 0]]\n";
    let (stripes, found) = planned(
        file,
        &(scan("s", "side = \"right\"")
            + seam
            + &on(
                "s",
                "above",
                "along = { feature = \"seam\", off = 50, from = 100, to = 800 }\nwidth = 12",
            )
            + &on("s", "below", "along = { feature = \"seam\", off = -30 }\nwidth = 12")
            + &on("s", "way", "along = { straight = [[50, 141.4, -141.4], [850, 173.2, 100]] }\nwidth = 12")
            + &on("s", "edge", "along = { edge = \"lower\", off = 40, from = 100, to = 800 }\nwidth = 12")),
    );
    assert_eq!(stripes.len(), 4, "{found:#?}");
    // Along x, and round from straight down.
    let unrolled = |p: &Point3| geom::Vec2::new(p.x, radius * p.y.atan2(-p.z));
    let level = radius * PI / 2.0;
    for (k, wanted) in [(0, level + 50.0), (1, level - 30.0), (3, 40.0)] {
        for p in space(&stripes[k], &stripes[k].middle).iter().map(unrolled) {
            near(p.y, wanted, 0.05);
        }
        // No bend but that of single facets.
        assert!(stripes[k].tape.strain < 0.002, "{k} {}", stripes[k].tape.strain);
    }
    let ends =
        |k: usize| stripes[k].ends_on(&stripes[k].painted.charts.as_ref().unwrap().sheet).map(|e| e[0]);
    near(ends(0)[0], 100.0, 0.01);
    near(ends(0)[1], 800.0, 0.01);
    near(stripes[0].length, 700.0, 0.02);
    let way: Vec<_> = space(&stripes[2], &stripes[2].middle).iter().map(unrolled).collect();
    let along = (way[way.len() - 1] - way[0]).normalize();
    assert!(way.iter().all(|p| along.cross(*p - way[0]).abs() < 0.03));
    near(stripes[2].length / (way[way.len() - 1] - way[0]).hypot(), 1.0, 1e-4);
}

/// The stripe of one side on the other: where both sides are one shape it is its image to the triangles, where the other
/// is 3 mm wider it is brought out by as much (straight out at the height of the middle of a tube), and both are said.
#[test]
fn a_mirror_image_says_how_far_it_was_moved() {
    for (more, moved) in [(0.0, 0.0), (3.0, 3.0)] {
        // From the bottom up the right side and down the left: the tube is open at its ends only.
        let file = tube(200.0, 900.0, [0.0, TAU], 96, more);
        let tables = scan("s", "side = \"left\"")
            + &on(
                "s",
                "left",
                "along = { waterline = 0, from = 100, to = 800 }\nwidth = [10, 20]\nends = [\"point\", \"square\"]",
            )
            + &on("s", "right", "mirror_of = \"left\"");
        let (stripes, found) = planned(file, &tables);
        assert_eq!(stripes.len(), 2, "{found:#?}");
        let told = said(&found, "stripe-mirror-moved", "right");
        near(told.measured.unwrap(), moved, 0.15);
        assert_eq!(told.severity, if moved > 1.0 { Severity::Caution } else { Severity::Note });
        let image = said(&found, "stripe-mirror", "right");
        assert!(
            image.measured.unwrap() < 0.1 && image.message.contains("station and waterline"),
            "{image:#?}"
        );
        let middle = space(&stripes[1], &stripes[1].middle);
        assert!(middle.iter().all(|p| (p.y - 200.0 - more).abs() < 0.15 && p.z.abs() < 0.05));
        near(stripes[1].length, stripes[0].length, 0.05);
        // Both start fore and taper alike.
        near(middle[0].x, 100.0, 0.05);
    }
}

/// From rim to rim a waterline keeps both corners of its ends on the scan, on the other side and beside it too.
#[test]
fn a_stripe_ends_inside_the_rim() {
    // A cone's rims lean against a stripe that climbs it.
    let file = sheet(80, 80, |a, b| {
        let (turn, r) = (TAU * (1.0 - b), 150.0 + 60.0 * a);
        [600.0 * a, r * turn.sin(), -r * turn.cos()]
    });
    let tables = scan("s", "side = \"left\"")
        + &on("s", "left", "along = { waterline = 60 }\nwidth = 20")
        + &on("s", "above", "along = { stripe = \"left\", gap = 5 }\nwidth = 8")
        + &on("s", "right", "mirror_of = \"left\"");
    let (stripes, found) = planned(file, &tables);
    assert_eq!(stripes.len(), 3, "{found:#?}");
    assert!(found.iter().all(|f| f.code != "stripe-over-rim" && f.code != "stripe-line"), "{found:#?}");
    for one in &stripes {
        for p in one.edges.iter().flatten() {
            let x = strip(one).space(*p).unwrap().x;
            assert!((0.0..=600.0).contains(&x), "{x}");
        }
        let ends = [one.middle[0], one.middle[one.middle.len() - 1]].map(|p| strip(one).space(p).unwrap().x);
        assert!(ends[0] < 12.0 && 588.0 < ends[1], "{} {ends:?}", one.id);
    }
}

/// A straight way over a tube of radius 200 between two places by station and girth from straight down.
fn unrolled_way(id: &str, [a, b]: [[f64; 2]; 2], more: &str) -> String {
    let at = |[x, girth]: [f64; 2]| {
        let turn = girth / 200.0;
        format!("[{x}, {}, {}]", 200.0 * turn.sin(), -200.0 * turn.cos())
    };
    on("s", id, &format!("along = {{ straight = [{}, {}] }}\n{more}", at(a), at(b)))
}

fn unrolled(p: &Point3) -> [f64; 2] {
    [p.x, 200.0 * p.y.atan2(-p.z)]
}

/// What fails, but for the one tape of these jobs, which is no matter here.
fn misplaced(found: &[Finding]) -> Vec<&Finding> {
    found.iter().filter(|f| f.severity == Severity::Fail && !f.code.starts_with("tape")).collect()
}

/// Two ways at right angles over a tube, which unrolls: the outer corner of their mitre lies half the width times the
/// square root of 2 beyond where they cross, the inner as far back (closed form). It is on the scan while the scan goes
/// on so far.
#[test]
fn a_mitre_on_a_scan_stays_on_it_as_far_as_it_goes() {
    let level = 100.0 * PI;
    for (tip, over) in [(800.0, false), (880.0, false), (890.0, true)] {
        let shape = |ends: &str| format!("width = 20\nends = [{ends}]");
        let tables = scan("s", "side = \"right\"")
            + &unrolled_way(
                "a",
                [[tip - 150.0, level - 150.0], [tip, level]],
                &shape("\"square\", \"mitre\""),
            )
            + &unrolled_way(
                "b",
                [[tip, level], [tip - 150.0, level + 150.0]],
                &shape("\"mitre\", \"square\""),
            );
        let (stripes, found) = planned(tube(200.0, 900.0, [0.0, PI], 96, 0.0), &tables);
        let fails = misplaced(&found);
        if over {
            // 4.1 mm of its tip would stand over the rim.
            for id in ["a", "b"] {
                let left = said(&found, "stripe-end", id);
                assert!(left.severity == Severity::Fail && left.message.contains("rim"), "{left:#?}");
            }
            continue;
        }
        assert!(fails.is_empty(), "{tip}: {fails:#?}");
        said(&found, "stripe-mitre", "a");
        // Left of the way up is inside of the turn.
        let corners: Vec<Point3> =
            stripes[0].edges.iter().map(|e| strip(&stripes[0]).space(e[e.len() - 1]).unwrap()).collect();
        let mut along: Vec<f64> = corners.iter().map(|p| unrolled(p)[0]).collect();
        along.sort_by(f64::total_cmp);
        for (got, wanted) in along.iter().zip([-1.0, 1.0].map(|way| tip + way * 10.0 * 2.0_f64.sqrt())) {
            near(*got, wanted, 0.1);
        }
        assert!(corners.iter().all(|p| (unrolled(p)[1] - level).abs() < 0.1), "{corners:?}");
    }
}

/// Through points of the same tube aslant to its rim: 3 mm before it one corner of a square end 20 mm wide stands
/// 10 / sqrt 2 - 3 mm over it (closed form), 10 mm before it none.
#[test]
fn an_end_aslant_over_the_rim_fails() {
    let level = 100.0 * PI;
    for (x, over) in [(897.0, true), (890.0, false)] {
        let through = |[x, girth]: [f64; 2]| {
            let turn = girth / 200.0;
            format!("[{x}, {}, {}]", 200.0 * turn.sin(), -200.0 * turn.cos())
        };
        let [a, b] = [[x - 200.0, level - 100.0], [x, level + 100.0]].map(through);
        let tables =
            scan("s", "side = \"right\"") + &on("s", "a", &format!("through = [{a}, {b}]\nwidth = 20"));
        let (_, found) = planned(tube(200.0, 900.0, [0.0, PI], 96, 0.0), &tables);
        let told = misplaced(&found);
        assert_eq!(told.iter().any(|f| f.code == "stripe-over-rim"), over, "{told:#?}");
        assert!(over || told.is_empty(), "{told:#?}");
    }
}

/// A way that stops short of a waterline, and is asked to butt: both its edges run on to the edge of that one.
#[test]
fn a_butt_on_a_scan_runs_on_to_the_other() {
    let level = 100.0 * PI;
    let tables = scan("s", "side = \"right\"")
        + &on("s", "wl", "along = { waterline = 0, from = 100, to = 800 }\nwidth = 20")
        + &unrolled_way(
            "b",
            [[300.0, level - 190.0], [460.0, level - 30.0]],
            "width = 12\nends = [\"square\", \"butt\"]",
        );
    let (stripes, found) = planned(tube(200.0, 900.0, [0.0, PI], 96, 0.0), &tables);
    assert!(misplaced(&found).is_empty(), "{found:#?}");
    said(&found, "stripe-butt", "b");
    for edge in &stripes[1].edges {
        let at = unrolled(&strip(&stripes[1]).space(edge[edge.len() - 1]).unwrap());
        near(at[1], level - 10.0, 0.1);
    }
}

/// A tube ends where it ends: a stripe asked to go on beyond is told to be so much shorter, and one within is not. Along a
/// level rim it goes the whole length.
#[test]
fn a_stripe_short_of_its_stations_is_said() {
    let tables = scan("s", "side = \"right\"")
        + &on("s", "far", "along = { waterline = 40, from = -100, to = 1200 }\nwidth = 20")
        + &on("s", "near", "along = { waterline = -40, from = 100, to = 800 }\nwidth = 20")
        + &on("s", "rim", "along = { edge = \"upper\", off = 60 }\nwidth = 20");
    let (stripes, found) = planned(tube(200.0, 900.0, [0.0, PI], 60, 0.0), &tables);
    let short: Vec<&Finding> = found.iter().filter(|f| f.code == "stripe-short").collect();
    assert!(short.len() == 2 && short.iter().all(|f| f.about == "far"), "{short:#?}");
    for (f, [got, asked]) in short.iter().zip([[0.0, -100.0], [900.0, 1200.0]]) {
        assert_eq!(f.severity, Severity::Caution);
        near(f.measured.unwrap(), got, 0.3);
        near(f.required.unwrap(), asked, 1e-9);
    }
    near(stripes[2].length, 900.0, 1.0);
}

/// Heights on the table and its inverse: the place of a station and a height is where both are read.
#[test]
fn a_station_and_a_height_name_one_place() {
    let tables = scan("s", "side = \"right\"")
        + &on("s", "wl", "along = { waterline = 120, from = -200, to = 250 }\nwidth = 20");
    let (stripes, _) = planned(ball(400.0, 48), &tables);
    let sheet = &stripes[0].painted.charts.as_ref().unwrap().sheet;
    for row in stripes[0].stations.iter().filter(|r| r.what == stations::What::Edges) {
        for t in [row.lower, row.upper] {
            let back = sheet.skin_from_flat(sheet.flat_from_skin([row.s, t]));
            near(back[0], row.s, 0.01);
            near(back[1], t, 0.01);
        }
    }
}

#[test]
fn what_a_scan_cannot_be_striped_along_is_said() {
    let file = || tube(200.0, 900.0, [0.0, PI], 40, 0.0);
    let fails = |surface: &str, keys: &str| {
        let (stripes, found) = planned(file(), &(scan("s", surface) + &on("s", "x", keys)));
        assert!(stripes.is_empty());
        said(&found, "stripe-line", "x").message.clone()
    };
    for (keys, word) in [
        ("along = { waterline = 500 }\nwidth = 10", "does not meet the scan"),
        ("along = { waterline = 0, from = 950, to = 990 }\nwidth = 10", "does not meet the scan"),
        ("along = { edge = \"upper\", off = 3 }\nwidth = 10", "less than half its width"),
        ("along = { straight = [[0, 0, 0], [100, 200, 0]] }\nwidth = 10", "off the scan"),
    ] {
        let told = fails("", keys);
        assert!(told.contains(word), "{told}");
    }
    let (_, found) =
        planned(ball(100.0, 20), &(scan("s", "") + &on("s", "x", "along = { waterline = 10 }\nwidth = 10")));
    assert!(said(&found, "stripe-line", "x").message.contains("all round the scan"), "{found:#?}");
    // A waterline over the rim of the bottom half: its edge hangs over.
    let (_, found) = planned(
        tube(200.0, 900.0, [0.0, PI / 2.0], 40, 0.0),
        &(scan("s", "") + &on("s", "x", "along = { waterline = -3 }\nwidth = 10")),
    );
    assert_eq!(said(&found, "stripe-over-rim", "x").severity, Severity::Fail);
    let refused = |text: &str| {
        let problems = read(&format!("title = \"s\"\nunits = \"mm\"\n{text}")).unwrap_err();
        problems
            .iter()
            .map(|p| format!("{} {} {}", p.message, p.expected, p.hint))
            .collect::<Vec<_>>()
            .join("; ")
    };
    let bare = |more: &str| {
        format!("[[surface]]\nid = \"s\"\nkind = \"mesh\"\nfile = \"a.obj\"\nunit = \"mm\"\n{more}\n")
    };
    let along = |keys: &str| on("s", "x", &format!("along = {{ {keys} }}\nwidth = 10"));
    for (text, word) in [
        (bare("") + &along("waterline = 4"), "until its axes are stated"),
        (bare("") + &along("edge = \"upper\", off = 9"), "until its axes are stated"),
        (bare("") + &along("straight = [[1, 2, 3], [1, 2, 3]]"), "has the same point twice"),
        (bare("") + &along("straight = [[1, 2], [3, 4]]"), "three numbers each"),
        (bare("axes = { up = [0, 0, 1] }"), "has no `aft`"),
        (bare("axes = { datum = [0, 0, 1], aft = [1, 0, 0] }"), "has no `up`"),
        (bare("axes = { up = [0, 0, 0], aft = [1, 0, 0] }"), "points nowhere"),
        (bare("axes = { up = [0, 0, 1], aft = [0, 1, 5] }"), "11.3 degrees apart, not 90"),
        // Within what was once let pass: half a degree, and 45.
        (bare("axes = { up = [0, 0, 1], aft = [1, 0, 0.00873] }"), "89.5 degrees apart, not 90"),
        (bare("axes = { up = [0, 0, 1], aft = [1, 0, 1] }"), "45.0 degrees apart, not 90"),
        (scan("s", "") + &along("edge = \"leading-edge\", off = 9"), "on a surface of kind `mesh`"),
        (
            bare("")
                + &on("s", "a", "through = [[1, 2, 3], [4, 5, 6]]\nwidth = 1")
                + &on("s", "b", "mirror_of = \"a\""),
            "no other side until its axes are stated",
        ),
    ] {
        let told = refused(&text);
        assert!(told.contains(word), "{text}: {told}");
    }
}

/// Two stripes of one paint near each other on a scan get one mask, as on a body, and nothing of it lies on either: however
/// coarse its triangles. Where the scan bends so much that lengths would be off, it is said why they do not.
#[test]
fn stripes_of_one_paint_near_each_other_on_a_scan_are_masked_together() {
    let planned = |radius: f64, far: f64, gap: f64, fine: u32| {
        let along = format!("waterline = 70, from = -{far}, to = {far}");
        let red = "width = 20\npaint = \"red\"";
        let one = on("s", "one", &format!("along = {{ {along} }}\n{red}"));
        let two = on("s", "two", &format!("along = {{ stripe = \"one\", gap = {gap} }}\n{red}"));
        let (shop, head) = (trial::SHOP, "title = \"s\"\nunits = \"mm\"\n");
        let text = format!("{head}{}{one}{two}{shop}", scan("s", "side = \"left\""));
        let mut files = Attachments::default();
        files.files.insert("a.obj".to_owned(), ball(radius, fine));
        crate::run(&read(&text).unwrap(), &files).unwrap()
    };
    for (gap, fine) in [(2.0, 40), (6.35, 40), (25.4, 60)] {
        let plan = planned(1000.0, 300.0, gap, fine);
        let fails: Vec<_> = plan.findings.iter().filter(|f| f.severity == Severity::Fail).collect();
        assert!(fails.is_empty(), "{gap} {fine}: {fails:#?}");
        let mask = &plan.masking.masks[0];
        assert!(plan.masking.masks.len() == 1 && mask.serves("one") && mask.serves("two"), "{gap} {fine}");
        assert!(said(&plan.findings, "stripe-one-tape", "one").message.contains("masked together"));
    }
    let plan = planned(203.2, 90.0, 6.35, 40);
    let told = &said(&plan.findings, "tape-on-other", "one").message;
    assert!(told.contains("no mask in one: the skin curves so much"), "{told}");
}

/// A tube open at both ends, 300 in radius and 800 long: it has no edge along it, a waterline is met only where the tube is, and
/// read in metres it is no craft.
#[test]
fn why_a_stripe_on_a_scan_cannot_be_laid_is_said_truly() {
    let pipe = |more: &str, keys: &str, unit: &str| {
        let surface = scan("s", more).replace("unit = \"mm\"", &format!("unit = \"{unit}\""));
        planned(tube(300.0, 800.0, [0.0, TAU], 48, 0.0), &(surface + &on("s", "one", keys))).1
    };
    let left = "side = \"left\"";
    let found = pipe(left, "along = { edge = \"upper\", off = 60 }\nwidth = 50", "mm");
    let told = &said(&found, "stripe-line", "one").message;
    assert!(told.contains("no edge along it") && told.contains("31 1/2 in (800 mm)"), "{told}");
    let found = pipe(left, "along = { waterline = 50, from = 1000, to = 1200 }\nwidth = 50", "mm");
    let told = &said(&found, "stripe-line", "one").message;
    assert!(told.contains("does from station 0 in (0 mm) to 31 1/2 in (800 mm)"), "{told}");
    assert!(told.contains("from 39 3/8 in (1000 mm) to 47 1/4 in (1200 mm)"), "{told}");
    let found = pipe(left, "along = { waterline = 900 }\nwidth = 50", "mm");
    assert!(said(&found, "stripe-line", "one").message.ends_with("its waterline does not meet the scan"));
    assert!(found.iter().all(|f| f.code != "scan-size"));
    let found = pipe(left, "along = { edge = \"upper\", off = 60 }\nwidth = 50", "m");
    // Across its box: the root of 800 squared and twice 600 squared.
    assert!(
        said(&found, "scan-size", "s").message.contains("1166 m"),
        "{}",
        said(&found, "scan-size", "s").message
    );
}

/// A tube whose aft rim leans aft by 3 in 5 up: at the waterline 0 a square end 2 h wide leaves, on its upper side, 0.6 times the
/// rise between its two corners, which lie h over the skin either way: 2 R sin(h / R).
#[test]
fn a_wedge_of_base_at_a_slanted_rim_is_told() {
    let (radius, half) = (300.0_f64, 25.0_f64);
    let leaning = sheet(96, 48, |a, b| {
        let turn = PI * (1.0 - b);
        let z = -radius * turn.cos();
        [(800.0 + 0.6 * z) * a, radius * turn.sin(), z]
    });
    let keys = "along = { waterline = 0 }\nwidth = 50\nends = [\"square\", \"square\"]";
    let (_, found) = planned(leaning, &(scan("s", "side = \"right\"") + &on("s", "one", keys)));
    let told = said(&found, "stripe-wedge", "one");
    near(told.measured.unwrap(), 0.6 * 2.0 * radius * (half / radius).sin(), 1.0);
    assert!(
        told.message.contains("its end is square") && told.severity == Severity::Caution,
        "{}",
        told.message
    );
}
