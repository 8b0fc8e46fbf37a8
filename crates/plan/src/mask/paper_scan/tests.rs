//! Paper on a scan by other roads: places of the patch that are neither painted nor taped, each inside a strip; lengths of
//! strips against the shortest ways over the triangles (exact windows).

use super::*;
use crate::Plan;
use crate::job::Attachments;
use crate::surface::SkinShape;
use geom::winding::{Slabs, contains};
use geom::{Point, Ring};
use skin::Spot;
use skin::windows::Distances;

const FAIRING: &str = include_str!("../../../../../hangar/62-fairing-scan/job.toml");
const SCAN: &[u8] = include_bytes!("../../../../../hangar/62-fairing-scan/fairing.stl");

fn planned(text: &str) -> Plan {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
    let job = crate::job::read(text).unwrap_or_else(|p| panic!("{p:#?}"));
    crate::run(&job, &files).unwrap_or_else(|p| panic!("{p:#?}"))
}

#[test]
fn round_a_mark_every_bare_place_lies_under_a_strip() {
    let plan = planned(FAIRING);
    let paper = plan.masking.paper.as_ref().unwrap();
    let mark = &plan.marks[0];
    let [round] = &paper.rounds[..] else { panic!("one mark") };
    let (sheet, reach, strain) = wide(&plan.skins[0], &mark.charts.as_ref().unwrap().sheet, mark).unwrap();
    assert_eq!((round.reach, round.of.as_str()), (Some(reach), "number"));
    assert!(strain <= ERRS && 0.0 < strain);
    let masks: Vec<&Mask> = plan.masking.masks.iter().collect();
    let taken = Slabs::new(&closed(&[mark], &masks));
    let strips: Vec<Ring> = paper.strips.iter().map(|s| Ring::from_points(s.corners)).collect();
    let under = |p: Point| strips.iter().any(|s| contains(std::slice::from_ref(s), p));
    let (lo, hi) = sheet.outline.bounds().unwrap();
    let mut bare = 0;
    for i in 0..80 {
        for k in 0..80 {
            let share = |a: f64, b: f64, n: i32| a + (b - a) * (f64::from(n) + 0.5) / 80.0;
            let p = Point::new(share(lo.x, hi.x, i), share(lo.y, hi.y, k));
            let beside = [(0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), (0.0, 2.0), (0.0, -2.0)];
            let open = |d: &(f64, f64)| taken.winding(p + Vec2::from(*d)) == 0;
            if contains(std::slice::from_ref(&sheet.outline), p) && beside.iter().all(open) {
                bare += 1;
                assert!(under(p), "{p:?} shows");
            }
        }
    }
    assert!(1000 < bare, "{bare}");
    let told = plan.findings.iter().find(|f| f.code == "paper-reach").unwrap();
    assert!(
        told.message.contains("the rest of this surface is in no length, roll or hour"),
        "{}",
        told.message
    );
}

#[test]
fn a_strip_is_cut_no_shorter_than_the_way_over_the_triangles() {
    let plan = planned(FAIRING);
    let paper = plan.masking.paper.as_ref().unwrap();
    let mark = &plan.marks[0];
    let (sheet, _, strain) = wide(&plan.skins[0], &mark.charts.as_ref().unwrap().sheet, mark).unwrap();
    let SkinShape::Scan(scan) = &plan.skins[0].shape else { panic!("a scan") };
    let mesh = scan.mesh();
    let mut seen = 0;
    for strip in &paper.strips {
        let [a, b, c, d] = strip.corners;
        // The middle of the strip, from where it lies on the scan to where it leaves it.
        let (from, to) = if (a.distance(b) - strip.width).abs() < 1e-6 {
            (a.midpoint(b), c.midpoint(d))
        } else {
            (a.midpoint(d), b.midpoint(c))
        };
        let inside: Vec<Point> = (0..=200)
            .map(|k| from.lerp(to, f64::from(k) / 200.0))
            .filter(|p| contains(std::slice::from_ref(&sheet.outline), *p))
            .collect();
        let (Some(first), Some(last)) = (inside.first(), inside.last()) else { continue };
        let long = first.distance(*last);
        if long < 100.0 {
            continue;
        }
        let [p, q] = [*first, *last].map(|p| sheet.space_from_flat(p).unwrap());
        let (start, _) = Spot::nearest(mesh, p);
        let (end, _) = Spot::nearest(mesh, q);
        let distances = Distances::from(mesh, start, f64::INFINITY, &[]);
        // Round the corners of the triangle the way ends in.
        let over = mesh.triangles()[end.triangle as usize]
            .map(|c| distances.all()[c as usize] + mesh.point(c).distance(q))
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        let within = mesh.triangles()[end.triangle as usize]
            .map(|c| distances.all()[c as usize] - mesh.point(c).distance(q))
            .into_iter()
            .fold(f64::NEG_INFINITY, f64::max);
        // The straightest way is the shortest: it is no longer than the strip, and shorter by no more than the error.
        assert!(
            within <= long * (1.0 + strain) && long * (1.0 - strain) - 1.0 <= over,
            "{within} {long} {over}"
        );
        assert!(long * (1.0 + strain) <= strip.length + 0.01);
        seen += 1;
    }
    assert!(2 <= seen, "{seen}");
}

/// A stripe's paper lies beside it as far as its strip of skin is told of.
#[test]
fn beside_a_stripe_paper_goes_as_far_as_its_strip() {
    let stripe = "[[stripe]]\nid = \"red\"\nsurface = \"fairing\"\nwidth = 1\npaint = \"red\"\n\
                  through = [[250, 118, -60], [420, 110, -60]]\n";
    let plan = planned(&FAIRING.replace("[masking]", &format!("{stripe}\n[masking]")));
    let paper = plan.masking.paper.as_ref().unwrap();
    let red = paper.rounds.iter().find(|r| r.of == "red").unwrap();
    assert!((red.reach.unwrap() - 150.0).abs() < 1e-6, "{red:?}");
    assert!(paper.strips.iter().any(|s| s.round.as_deref() == Some("red")));
    assert!(paper.strips.iter().any(|s| s.round.as_deref() == Some("number")));
}
