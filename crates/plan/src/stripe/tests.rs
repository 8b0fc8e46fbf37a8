//! Stripes held against closed forms, against distances found by brute force, and against what a painter measures.

use super::*;
use crate::finding::{Finding, Severity};
use crate::job::{Attachments, read};
use geom::{Point, Ring, Vec2};
use proptest::prelude::*;

const IN: f64 = 25.4;

/// A flat panel 264 in by 44 in with these further lines; stripes, and what is said.
fn laid(more: &str) -> (Vec<Laid>, Vec<Finding>) {
    let head = "title = \"a side\"\nunits = \"in\"\n[[surface]]\nid = \"side\"\nkind = \"flat\"\nside = \"left\"\n\
                corners = [[0, 0], [264, 0], [264, 44], [0, 44]]\n";
    planned(&format!("{head}{more}"))
}

fn planned(text: &str) -> (Vec<Laid>, Vec<Finding>) {
    let job = read(text).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let plan = crate::run(&job, &Attachments::default()).unwrap_or_else(|problems| panic!("{problems:#?}"));
    (plan.stripes, plan.findings)
}

fn stripe(id: &str, more: &str) -> String {
    format!("[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\n{more}\n")
}

fn area(stripe: &Laid) -> f64 {
    stripe.painted.rings().iter().map(Ring::area).sum()
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} {b}");
}

/// The lines of a finding of that code about that stripe.
fn said<'a>(found: &'a [Finding], code: &str, about: &str) -> Vec<&'a Finding> {
    found.iter().filter(|f| f.code == code && f.about == about).collect()
}

/// By hand: 2 in wide, 3 in up over 100 in: at either rim a corner would stand over by 2 / 2 times the sine of the slope; drawn
/// back, both corners lie on the panel, one of them on its edge.
#[test]
fn a_line_that_slants_a_little_to_the_rim_is_drawn_back() {
    for rise in [0.5, 3.0, 20.0] {
        let line = format!("along = {{ straight = [[0, 10], [264, {}]] }}\nwidth = 2", 10.0 + rise);
        let (stripes, found) = laid(&stripe("bar", &line));
        assert!(said(&found, "outside", "bar").is_empty(), "{rise}: {found:#?}");
        let xs: Vec<f64> = stripes[0].painted.rings()[0].vertices.iter().map(|v| v.p.x).collect();
        let (lo, hi) = xs.iter().fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(*x), h.max(*x)));
        near(lo, 0.0, 0.001);
        near(hi, 264.0 * IN, 0.001);
        near(stripes[0].length, (264.0_f64.hypot(rise) - 2.0 * rise / 264.0) * IN, 0.01);
    }
}

/// Closed forms of plane areas: a bar less what its ends lose, in in2.
#[test]
fn the_area_of_a_straight_stripe_is_that_of_its_bar_less_its_ends() {
    let pi = std::f64::consts::PI;
    for (ends, long, want) in [
        (["square", "square"], "", 400.0),
        (["point", "square"], "end_length = [14, 0]", 400.0 - 4.0 * 14.0 / 2.0),
        (["square", "swallowtail"], "", 400.0 - 4.0 * 2.0 / 2.0),
        (["square", "point"], "", 400.0 - 4.0 * 4.0 / 2.0),
        (["round", "round"], "", 96.0 * 4.0 + pi * 4.0),
    ] {
        let keys = format!(
            "along = {{ straight = [[20, 10], [100, 70]] }}\nwidth = 4\nends = [\"{}\", \"{}\"]\n{long}",
            ends[0], ends[1]
        );
        // The panel is wide enough for nothing but its length; the finding that it sticks out is not the matter here.
        let (stripes, _) = laid(&stripe("red", &keys));
        near(area(&stripes[0]) / (IN * IN), want, 1e-6);
        near(stripes[0].length / IN, 100.0, 1e-9);
    }
}

/// Closed form: a trapezium; and a width through three figures never leaves what lies between them.
#[test]
fn a_tapered_stripe_has_the_area_of_its_trapezium() {
    let keys = "along = { waterline = 20, from = 10, to = 110 }\nwidth = [4, 1]";
    let (stripes, _) = laid(&stripe("red", keys));
    near(area(&stripes[0]) / (IN * IN), 100.0 * 2.5, 1e-6);
    let shape = edges::Shape::new(&[3.0, 3.0, 1.0, 2.0], [crate::job::StripeEnd::Square; 2], None);
    for k in 0..=300 {
        let share = f64::from(k) / 300.0;
        let [lo, hi] = [[3.0, 3.0], [1.0, 3.0], [1.0, 2.0]][((share * 3.0) as usize).min(2)];
        let width = shape.width(share);
        assert!(lo - 1e-12 <= width && width <= hi + 1e-12, "{share}: {width}");
    }
    near(shape.width(2.0 / 3.0), 1.0, 1e-12);
}

/// By hand: 4 in wide to station 250, then straight to a point at 264.
#[test]
fn stations_of_a_point_are_those_of_its_triangle() {
    let keys = "along = { waterline = 27 }\nwidth = 4\nends = [\"square\", \"point\"]\nend_length = 14";
    let (stripes, _) = laid(&stripe("red", keys));
    let rows = &stripes[0].stations;
    // Every foot from 0 to 252, where the taper begins, and the tip.
    assert_eq!(rows.len(), 24);
    for row in rows {
        let s = row.s / IN;
        let half = if s <= 250.0 { 2.0 } else { 2.0 * (264.0 - s) / 14.0 };
        near(row.lower / IN, 27.0 - half, 1e-4);
        near(row.upper / IN, 27.0 + half, 1e-4);
    }
    near(rows[21].s / IN, 250.0, 1e-9);
    near(rows[22].s / IN, 252.0, 1e-9);
    assert_eq!((rows[23].what, rows[0].what), (stations::What::Tip, stations::What::Edges));
}

/// Closed forms: circles about one centre, and the sector between them.
#[test]
fn the_edges_of_a_round_stripe_are_circles_half_its_width_to_either_side() {
    let r = 400.0 * IN;
    let centre = Vec2::new(130.0 * IN, -380.0 * IN);
    let at = |deg: f64| (centre + Vec2::from_angle(deg.to_radians()) * r) / IN;
    let list: Vec<String> =
        [102.0, 95.0, 80.0].map(at).iter().map(|p| format!("[{}, {}]", p.x, p.y)).collect();
    let keys = format!("through = [{}]\nwidth = 3", list.join(", "));
    let (stripes, _) = laid(&stripe("arc", &keys));
    let half = 1.5 * IN;
    let turned = 22.0_f64.to_radians();
    for (edge, radius) in stripes[0].edges.iter().zip([r + half, r - half]) {
        for w in edge.windows(2) {
            near((w[0].to_vec2() - centre).hypot(), radius, 1e-5);
            // The chord's middle stands inside by its rise.
            let middle = (w[0].midpoint(w[1]).to_vec2() - centre).hypot();
            assert!(radius - middle <= edges::RISE * 1.01, "{}", radius - middle);
        }
    }
    let sector = turned / 2.0 * ((r + half).powi(2) - (r - half).powi(2));
    near(area(&stripes[0]) / sector, 1.0, 1e-5);
    near(stripes[0].tape.strain, 0.0, 1e-12);
}

#[test]
fn bare_base_between_two_stripes_is_as_wide_as_asked() {
    let red = stripe("red", "through = [[0, 20], [90, 24], [200, 22], [264, 30]]\nwidth = 4");
    let gold = stripe("gold", "along = { stripe = \"red\", gap = \"1/2 in\" }\nwidth = 1");
    let blue = stripe("blue", "along = { stripe = \"red\", gap = 1, side = \"below\" }\nwidth = [1, 2]");
    let mid = stripe("mid", "along = { stripe = \"red\", off = -6 }\nwidth = 1");
    // Whatever the order in the file.
    let (stripes, _) = laid(&[blue, gold, mid, red].concat());
    let of = |id: &str| stripes.iter().find(|s| s.id == id).unwrap();
    let apart = |a: &[Point], b: &[Point]| -> Vec<f64> {
        let to = |p: &Point| {
            b.windows(2)
                .map(|w| geom::distance::nearest_on_segment(*p, w[0], w[1]).distance(*p))
                .fold(f64::INFINITY, f64::min)
        };
        // Not the last inch at either end, where the nearest point is an end.
        let inside = a.iter().filter(|p| 2.0 * IN < p.x && p.x < 262.0 * IN);
        inside.map(to).collect()
    };
    // Left of travel is up here.
    for d in apart(&of("gold").edges[1], &of("red").edges[0]) {
        near(d, 0.5 * IN, 0.01);
    }
    for d in apart(&of("mid").middle, &of("red").middle) {
        near(d, 6.0 * IN, 0.01);
    }
    // A tapered one is led by half its width at each share of the edge it follows, which is longer or shorter than
    // its own middle.
    for d in apart(&of("blue").edges[0], &of("red").edges[1]) {
        near(d, IN, 0.05);
    }
}

#[test]
fn a_gap_as_wide_as_a_tape_has_its_real_width() {
    let masking = "[masking]\nmethod = \"tape\"\nedge_tapes = [{ width = \"1/4 in\", real = \"6 mm\" }]\n";
    let red = stripe("red", "along = { waterline = 20 }\nwidth = 4");
    let gold =
        stripe("gold", "along = { stripe = \"red\", gap_tape = \"1/4 in\", side = \"below\" }\nwidth = 1");
    let (stripes, _) = laid(&[red, gold, masking.to_owned()].concat());
    near(stripes[0].stations[3].lower - stripes[1].stations[3].upper, 6.0, 1e-4);
}

/// By hand: the other panel's nose is at its right, so station 30 of 264 lies at x = 234 there.
#[test]
fn a_mirror_image_has_the_same_stations_counted_from_the_nose() {
    let other = "[[surface]]\nid = \"other\"\nkind = \"flat\"\nside = \"right\"\n\
                 corners = [[0, 0], [264, 0], [264, 44], [0, 44]]\n";
    let red = stripe(
        "red",
        "through = [[30, 20], [90, 24], [200, 22]]\nwidth = [4, 2]\nends = [\"round\", \"point\"]",
    );
    let image = "[[stripe]]\nid = \"image\"\nsurface = \"other\"\nmirror_of = \"red\"\n";
    let (stripes, found) = laid(&[other, &red, image].concat());
    near(stripes[1].middle[0].x / IN, 234.0, 1e-9);
    near(stripes[0].length, stripes[1].length, 0.01);
    near(area(&stripes[0]), area(&stripes[1]), 1.0);
    for row in &stripes[0].stations {
        let there = 264.0 * IN - row.s;
        let twin = stripes[1].stations.iter().find(|r| (r.s - there).abs() < 0.01);
        // Stations at even feet from one end are even feet from the other: 264 = 22 * 12.
        let twin = twin.unwrap_or_else(|| panic!("no station {there}"));
        near(row.lower, twin.lower, 0.01);
        near(row.upper, twin.upper, 0.01);
    }
    assert_eq!(said(&found, "stripe-mirror", "image")[0].severity, Severity::Note);
    let longer = other.replace("264", "265");
    let (_, found) = laid(&[&longer, red.as_str(), image].concat());
    let told = said(&found, "stripe-mirror", "image")[0];
    assert_eq!(told.severity, Severity::Caution);
    near(told.measured.unwrap(), IN, 1e-9);
}

#[test]
fn parts_are_ticked_where_an_edge_crosses_theirs() {
    let door = "[[surface.part]]\nid = \"door\"\ncorners = [[118, 4], [156, 4], [156, 42], [118, 42]]\n";
    let red = stripe("red", "along = { waterline = 27 }\nwidth = 4");
    let (stripes, found) = laid(&[door, &red].concat());
    let at: Vec<[f64; 2]> =
        stripes[0].ticks.iter().map(|t| t.skin.map(|v| (v / IN * 1e6).round() / 1e6)).collect();
    assert_eq!(at, [[118.0, 25.0], [118.0, 29.0], [156.0, 25.0], [156.0, 29.0]]);
    assert!(said(&found, "stripe-ticks", "red")[0].message.contains("118 in / 25 in"));
}

#[test]
fn what_lies_in_the_way_is_told() {
    let window = |below: f64| {
        format!(
            "[[surface.feature]]\nid = \"pane\"\nkind = \"window\"\nclearance = 1\n\
                 corners = [[125, 12], [150, 12], [150, {below}], [125, {below}]]\n"
        )
    };
    let red = stripe("red", "along = { waterline = 27 }\nwidth = 4");
    // Lower edge at 25: exactly 1 in over a window that ends at 24, too near to one that ends at 24.5.
    let (stripes, found) = laid(&[window(24.0), red.clone()].concat());
    near(stripes[0].painted.fit.clearance.unwrap(), 0.0, 1e-6);
    assert!(said(&found, "feature", "red").is_empty());
    let (_, found) = laid(&[window(24.5), red.clone()].concat());
    near(said(&found, "feature", "red")[0].measured.unwrap(), 0.5 * IN, 1e-6);
    let beyond = stripe("out", "through = [[200, 40], [264, 43]]\nwidth = 4");
    let (_, found) = laid(&[red.as_str(), beyond.as_str()].concat());
    assert_eq!(said(&found, "outside", "out")[0].severity, Severity::Fail);
    let across = stripe("across", "through = [[40, 2], [40, 42]]\nwidth = 2");
    let (_, found) = laid(&[red, across].concat());
    // Two crossed bars share 2 in by 4 in, 51.6 cm2.
    assert!(said(&found, "stripe-over", "across")[0].message.contains("51.6 cm2"), "{found:#?}");
    // In two paints the one shot last would be on top, whichever that is.
    let bars = |over: &str| {
        let red = stripe("red", "along = { waterline = 27 }\nwidth = 4\npaint = \"red\"");
        let gold = format!("through = [[40, 2], [40, 42]]\nwidth = 2\npaint = \"gold\"\n{over}");
        let paints =
            "[[paint]]\nid = \"red\"\ncolour = \"#a3262a\"\n[[paint]]\nid = \"gold\"\ncolour = \"#b8860b\"\n";
        laid(&[red, stripe("across", &gold), paints.to_owned()].concat()).1
    };
    assert_eq!(said(&bars(""), "stripe-over", "across")[0].severity, Severity::Fail);
    assert!(said(&bars("over = \"red\""), "stripe-over", "across").is_empty());
}

/// By hand: heads of 1/2 in in a row 1/2 in below an edge leave 1/4 in.
#[test]
fn a_row_of_rivets_is_as_wide_as_their_heads() {
    let rivets =
        "[[surface.feature]]\nid = \"row\"\nkind = \"rivets\"\npath = [[0, 24.5], [264, 24.5]]\nhead = 0.5\n";
    let (stripes, _) = laid(&[rivets, &stripe("red", "along = { waterline = 27 }\nwidth = 4")].concat());
    near(stripes[0].painted.fit.clearance.unwrap(), 0.0, 1e-6);
}

#[test]
fn a_bend_tighter_than_half_the_width_fails_and_nothing_falls_over() {
    let tight = stripe("tight", "through = [[20, 10], [24, 14], [28, 10], [24, 6]]\nwidth = 12");
    let (stripes, found) = laid(&tight);
    assert_eq!(said(&found, "stripe-tight", "tight")[0].severity, Severity::Fail);
    assert!(area(&stripes[0]) > 0.0);
    let off_it = stripe("seam", "along = { waterline = 90 }\nwidth = 1");
    let (stripes, found) = laid(&off_it);
    assert!(stripes.is_empty());
    assert_eq!(said(&found, "stripe-line", "seam")[0].severity, Severity::Fail);
}

/// Closed form: on a wing without taper the skin is a cylinder, so a stripe at a distance from the leading edge keeps it.
#[test]
fn a_stripe_behind_the_leading_edge_of_a_wing_keeps_its_distance_at_every_rib() {
    let text = "title = \"a wing\"\nunits = \"in\"\n[[surface]]\nid = \"wing\"\nkind = \"wing\"\nhalf = \"left\"\n\
                side = \"upper\"\nspan = 150\nchord = [60, 60]\nsection = \"naca2412\"\nribs = { every = 15 }\n\
                [[stripe]]\nid = \"pin\"\nsurface = \"wing\"\nwidth = 1\n\
                along = { edge = \"leading-edge\", off = 4, from = 10, to = 140 }\n";
    let (stripes, _) = planned(text);
    let rows = &stripes[0].stations;
    assert_eq!(rows.len(), 11);
    for row in rows {
        near(row.lower / IN, 3.5, 1e-5);
        near(row.upper / IN, 4.5, 1e-5);
    }
    near(rows[0].s / IN, 10.0, 1e-6);
    near(rows[10].s / IN, 140.0, 1e-6);
}

/// The edges of a flat panel, each with its own inwards; a seam with upwards.
#[test]
fn tape_over_a_kink_is_told_and_on_a_twisted_wing_takes_its_bend_in() {
    let wing = |more: &str| {
        format!(
            "title = \"w\"\nunits = \"in\"\n[[surface]]\nid = \"w\"\nkind = \"wing\"\nhalf = \"right\"\nside = \"upper\"\n\
             span = 180\nchord = [60, 40]\nsection = \"naca2412\"\n{more}\n[[stripe]]\nid = \"red\"\nsurface = \"w\"\n\
             along = {{ straight = [[20, 20], [150, 20]] }}\nwidth = 4\n[masking]\n\
             edge_tapes = [{{ width = \"3/4 in\", real = \"18 mm\", roll = \"36 yd\", strain = 0.05 }}]\n"
        )
    };
    let (plain, _) = planned(&wing(""));
    let (twisted, none) = planned(&wing("washout_deg = 5"));
    assert!(plain[0].tape.strain < 1e-9, "{}", plain[0].tape.strain);
    // The far edge of a straight stripe on a skin of curvature K bends by K times half its width.
    let bend = twisted[0].tape.strain;
    assert!(1e-9 < bend && bend < 1e-4, "{bend}");
    assert!(said(&none, "stripe-kink", "red").is_empty());
    let (_, kinked) = planned(&wing("rise = 9\nbreaks = [{ s = 60, rise = 1 }]"));
    let told = said(&kinked, "stripe-kink", "red");
    assert!(told.len() == 1 && told[0].message.contains("station 60 in"), "{told:?}");
}

#[test]
fn a_stripe_follows_an_edge_or_a_seam_at_its_distance() {
    let seam = "[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[250, 12], [10, 10]]\n";
    for (along, want) in [
        ("edge = \"upper\", off = 5", 39.0),
        ("edge = \"lower\", off = 5", 5.0),
        ("feature = \"seam\", off = 6", 11.0 + 6.0 / (1.0_f64 / 120.0).atan().cos()),
    ] {
        let red = stripe("red", &format!("along = {{ {along} }}\nwidth = 2"));
        let (stripes, _) = laid(&[seam, &red].concat());
        let skin = stripes[0].stations.iter().find(|r| (r.s - 132.0 * IN).abs() < 0.01).unwrap();
        near(
            f64::midpoint(skin.lower, skin.upper) / IN,
            want + if along.contains("seam") { 2.0 / 120.0 } else { 0.0 },
            2e-4,
        );
        assert!(stripes[0].middle[0].x < 20.0 * IN);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// By another road: the distance from each point of an edge to the middle, the middle cut far finer than the edges.
    #[test]
    fn every_edge_lies_half_the_width_from_the_middle(
        y in prop::array::uniform4(15.0..30.0_f64), width in 1.0..4.0_f64
    ) {
        let list: Vec<String> = y.iter().enumerate().map(|(k, y)| format!("[{}, {y}]", 20 + 70 * k)).collect();
        let (stripes, _) = laid(&stripe("red", &format!("through = [{}]\nwidth = {width}", list.join(", "))));
        let one = &stripes[0];
        let points: Vec<Point> = y.iter().enumerate().map(|(k, y)| Point::new((20 + 70 * k) as f64 * IN, y * IN)).collect();
        let fair = fair::Fair::through(&points).unwrap();
        let fine: Vec<Point> = (0..=20_000).map(|k| fair.at(fair.length() * f64::from(k) / 20_000.0).0).collect();
        for p in one.edges.iter().flatten() {
            let far = fine.windows(2).map(|w| geom::distance::nearest_on_segment(*p, w[0], w[1]).distance(*p)).fold(f64::INFINITY, f64::min);
            prop_assert!((far - width * IN / 2.0).abs() < 0.01, "{far} {width}");
        }
    }

    /// P2 for stripes: the points moved, the stripe moves with them and does nothing else.
    #[test]
    fn p2_moving_the_points_moves_the_stripe(x in 0.0..20.0_f64, up in -4.0..4.0_f64) {
        let at = |x: f64, up: f64| {
            let list: Vec<String> = [[20.0, 20.0], [80.0, 24.0], [160.0, 18.0], [240.0, 25.0]]
                .iter().map(|p| format!("[{}, {}]", p[0] + x, p[1] + up)).collect();
            let keys = format!("through = [{}]\nwidth = [1, 3]\nends = [\"point\", \"round\"]", list.join(", "));
            laid(&stripe("red", &keys)).0.remove(0)
        };
        let (a, b) = (at(0.0, 0.0), at(x, up));
        let by = Vec2::new(x * IN, up * IN);
        for (edge, moved) in a.edges.iter().zip(&b.edges) {
            prop_assert_eq!(edge.len(), moved.len());
            for (p, q) in edge.iter().zip(moved) {
                prop_assert!((*p + by).distance(*q) < 0.002);
            }
        }
        prop_assert!((area(&a) - area(&b)).abs() < 0.01);
    }
}

/// By hand: half of 4 in along (0.8, 0.6) puts the corners of the start 1.2 in back and 1.6 in up, and forward and down.
#[test]
fn a_leaning_end_is_told_by_its_corner_and_by_both_edges() {
    use stations::What;
    let (stripes, _) = laid(&stripe("red", "along = { straight = [[20, 10], [60, 40]] }\nwidth = 4"));
    let rows = &stripes[0].stations;
    let told = |k: usize| (rows[k].s / IN, rows[k].lower / IN, rows[k].upper / IN, rows[k].what);
    let (s, low, high, what) = told(0);
    near(s, 18.8, 1e-6);
    near(low, 11.6, 1e-6);
    near(high, 11.6, 1e-6);
    assert_eq!(what, What::Corner);
    let (s, low, high, what) = told(1);
    near(s, 21.2, 1e-6);
    near(low, 8.4, 1e-4);
    near(high, 11.6 + 2.4 * 0.75, 1e-4);
    assert_eq!(what, What::Edges);
    assert!(rows.iter().filter(|r| r.what == What::Edges).all(|r| r.upper - r.lower > 4.9 * IN));
    assert!(stripes[0].heights.is_empty());
}

/// By hand: a steep stripe is marked every 3 in of height, 4 in over the cosine of its lean wide there.
#[test]
fn a_steep_stripe_is_told_by_height() {
    let (stripes, _) = laid(&stripe("red", "along = { straight = [[20, 4], [30, 40]] }\nwidth = 4"));
    let rows: Vec<_> = stripes[0].heights.iter().filter(|r| r.what == stations::What::Edges).collect();
    assert!(rows.len() >= 12, "{rows:?}");
    let wide = 4.0 * 36.0_f64.hypot(10.0) / 36.0;
    for row in &rows[1..rows.len() - 1] {
        near((row.upper - row.lower) / IN, wide, 1e-4);
        near(f64::midpoint(row.lower, row.upper) / IN, 20.0 + (row.s / IN - 4.0) * 10.0 / 36.0, 1e-4);
    }
}

/// Brute force: along both tapers the bare base between two pointed stripes is as wide as elsewhere.
#[test]
fn a_gap_stays_the_same_to_the_tips() {
    let red = stripe(
        "red",
        "along = { waterline = 20 }\nwidth = 4\nends = [\"square\", \"point\"]\nend_length = 14",
    );
    let gold = stripe(
        "gold",
        "along = { stripe = \"red\", gap = \"1/2 in\" }\nwidth = 1\nends = [\"square\", \"point\"]\nend_length = 14",
    );
    let (stripes, _) = laid(&format!("{red}{gold}"));
    let [upper, lower] = [&stripes[0].edges[0], &stripes[1].edges[1]];
    let gap = |p: Point| {
        upper
            .windows(2)
            .map(|w| geom::distance::nearest_on_segment(p, w[0], w[1]).distance(p))
            .fold(f64::MAX, f64::min)
    };
    for w in lower.windows(2) {
        for k in 0..=20 {
            let p = w[0].lerp(w[1], f64::from(k) / 20.0);
            // At the corner itself the mitre is farther by the cosine of half the turn.
            let wide = gap(p) / IN;
            assert!((0.4996..0.504).contains(&wide), "{wide}");
        }
    }
}

/// A line along a slanting seam ends where both corners of its square end still lie on the panel.
#[test]
fn a_slanting_stripe_does_not_stand_over_the_panels_edge() {
    let seam = "[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[0, 5], [132, 30], [264, 5]]\n";
    let (stripes, found) =
        laid(&format!("{seam}{}", stripe("red", "along = { feature = \"seam\", off = 4 }\nwidth = 1")));
    assert!(found.iter().all(|f| f.severity != Severity::Fail), "{found:#?}");
    let x: Vec<f64> =
        stripes[0].painted.rings().iter().flat_map(|r| r.vertices.iter().map(|v| v.p.x)).collect();
    let (lo, hi) = x.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)));
    near(lo, 0.0, 0.02);
    near(hi, 264.0 * IN, 0.02);
}

/// Sweeps that bend hard at one end are laid fairly, not as a plain batten; a line that would swing far out is not.
#[test]
fn a_tail_sweep_is_laid_fairly() {
    for (points, fair) in [
        ("[[0, 0], [150, 2], [180, 10], [195, 25]]", true),
        ("[[0, 0], [60, 0], [120, 0], [160, 6], [185, 30]]", true),
        ("[[0, 20], [100, 20], [104, 25], [200, 25]]", false),
    ] {
        let (_, found) = laid(&stripe("red", &format!("through = {points}\nwidth = 2")));
        let batten = found.iter().any(|f| f.code == "stripe-not-fair");
        assert_eq!(batten, !fair, "{points}");
    }
}

/// A point beside a stripe that goes on is even on both sides of its middle: no corner in the middle itself.
#[test]
fn a_point_beside_what_goes_on_is_even() {
    let red = stripe("red", "along = { waterline = 20 }\nwidth = 4");
    let pin = stripe(
        "pin",
        "along = { stripe = \"red\", gap = \"1/2 in\", from = 50, to = 200 }\nwidth = 1\nends = [\"point\", \"square\"]",
    );
    let (stripes, found) = laid(&format!("{red}{pin}"));
    assert!(said(&found, "stripe-mitre", "pin").is_empty());
    for p in &stripes[1].middle {
        near(p.y / IN, 23.0, 1e-6);
    }
}

/// The panel ends at 264 in: beyond it nothing is striped, and that is said; up to it, nothing is.
#[test]
fn short_of_the_stations_asked_for_is_said() {
    let keys = |to: f64| format!("along = {{ waterline = 20, from = 12, to = {to} }}\nwidth = 2");
    let (stripes, found) = laid(&stripe("red", &keys(300.0)));
    let [short] = said(&found, "stripe-short", "red")[..] else { panic!("{found:#?}") };
    near(short.measured.unwrap(), 264.0 * IN, 1e-6);
    near(short.required.unwrap(), 300.0 * IN, 1e-6);
    assert_eq!(short.severity, Severity::Caution);
    near(stripes[0].length, 252.0 * IN, 1e-6);
    for to in [264.0, 264.03, 200.0] {
        assert!(said(&laid(&stripe("red", &keys(to))).1, "stripe-short", "red").is_empty());
    }
    // Beside a slanting one its end stands square off that one's: no shortfall.
    let slant = stripe("red", "along = { straight = [[10, 10], [200, 40]] }\nwidth = 2");
    let pin =
        stripe("pin", "along = { stripe = \"red\", gap = 0.25, side = \"below\", from = 60 }\nwidth = 0.5");
    let (stripes, found) = laid(&format!("{slant}{pin}"));
    assert!(stripes.len() == 2 && said(&found, "stripe-short", "pin").is_empty(), "{found:#?}");
}
