//! Claims about marks on skins that curve both ways: what is said to be nearest, largest or nowhere, held against places
//! that are given one by one.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::distance::nearest_on_edge;
use geom::measure::point_to_region;
use geom::{Edge, Point, Region, Vec2};
use plan::finding::Severity;
use plan::fit::allowed::allowed;
use plan::fit::given::{Pose, place_given};
use plan::fit::placed::{FitStatus, Placed, Why};
use plan::fit::sheets::at_its_place;
use plan::job::{Attachments, Place, read};
use plan::marks::design::Design;
use plan::marks::settle::design_marks;
use plan::rules::SkinSize;
use plan::surface::{Chart, Skin, SkinShape, develop};
use plan::{Plan, run};

const INCH: f64 = 25.4;
const FAIRING: &str = include_str!("../../../hangar/62-fairing-scan/job.toml");
const SCAN: &[u8] = include_bytes!("../../../hangar/62-fairing-scan/fairing.stl");

/// A pod of 60 in, invented.
const POD: &str = "title = \"pod\"\nunits = \"in\"\n[[surface]]\nid = \"pod\"\nkind = \"body\"\nside = \"left\"\n\
    material = \"metal\"\nstations = [{ s = 0, half_width = 6, top = 6, bottom = -7, power = 2.2 },\n\
    { s = 30, half_width = 8, top = 8, bottom = -8, power = 2.4 },\n\
    { s = 60, half_width = 5, top = 7, bottom = -5, power = 2.0 }]\n";

fn keep_out(id: &str, [s0, t0, s1, t1]: [f64; 4]) -> String {
    format!(
        "[[surface.feature]]\nid = \"{id}\"\nkind = \"keep-out\"\ncorners = [[{s0}, {t0}], [{s1}, {t0}], [{s1}, {t1}], \
         [{s0}, {t1}]]\n"
    )
}

fn mark(text: &str, rest: &str) -> String {
    format!("[[mark]]\nid = \"m\"\nsurface = \"pod\"\ntext = \"{text}\"\n{rest}\n")
}

fn planned(text: &str) -> Plan {
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
    run(&read(text).unwrap_or_else(|p| panic!("{p:#?}")), &files).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn fails(plan: &Plan) -> Vec<&str> {
    let bad = plan.findings.iter().filter(|f| f.severity == Severity::Fail);
    bad.map(|f| f.message.as_str()).collect()
}

fn said<'a>(plan: &'a Plan, code: &str) -> &'a str {
    plan.findings.iter().find(|f| f.code == code).map_or("", |f| f.message.as_str())
}

/// Station and girth of a mark's middle, in.
fn reading(plan: &Plan) -> [f64; 2] {
    let mark = &plan.marks[0];
    mark.skin(&plan.skins).unwrap().skin_from_flat(mark.centre).map(|v| v / INCH)
}

/// A job whose mark is put here and there: true if nothing is wrong with a place.
struct Judge {
    job: plan::job::Job,
    skins: Vec<Skin>,
    design: Design,
}

impl Judge {
    fn of(text: &str) -> Judge {
        let job = read(text).unwrap();
        let skins = job.surfaces.iter().map(|s| develop(s, &Attachments::default()).unwrap().0).collect();
        let designs = design_marks(&job, None, &Attachments::default(), |_| SkinSize::default()).unwrap();
        Judge { job, skins, design: designs[0].clone() }
    }

    fn stands(&mut self, [s, t]: [f64; 2], height: f64) -> bool {
        self.job.marks[0].place.value = Place::At([s * INCH, t * INCH]);
        let mut design = self.design.clone();
        design.height_mm = height * INCH;
        let (mark, own) = (&self.job.marks[0], &self.skins[0]);
        let Ok(sheet) = at_its_place(mark, None, own, &design) else { return false };
        let (centre, angle) = sheet.chart().unwrap().pose();
        let allowed = allowed(mark, &sheet);
        let (_, said) = place_given(&design, &sheet, Pose { centre, angle }, &allowed, 0.0);
        said.iter().all(|f| f.severity != Severity::Fail)
    }
}

#[test]
fn a_place_far_from_the_aim_is_found_whichever_way_it_was_aimed() {
    // Three cap heights round the aim all is kept out; aft of it there is room.
    let wall = keep_out("wide", [0.0, -12.0, 44.0, 12.0]);
    let near = planned(&(POD.to_owned() + &wall + &mark("7", "height = 3\naim = [20, 0]")));
    let far = planned(&(POD.to_owned() + &wall + &mark("7", "height = 3\naim = [52, 0]")));
    for plan in [&near, &far] {
        assert_eq!(plan.marks[0].fit.status, FitStatus::Placed, "{}", said(plan, "no-place"));
        assert!(fails(plan).is_empty(), "{:?}", fails(plan));
        assert!(45.0 < reading(plan)[0], "{:?}", reading(plan));
    }
    assert!(said(&near, "fit-proof").contains("sheets of skin laid flat"), "{}", said(&near, "fit-proof"));
    // It is as near as it can be: half of the letter and a keep-out's clearance behind the wall.
    let clear = near.skins[0].features[0].clearance;
    assert!(
        reading(&near)[0] < 44.0 + (0.5 * near.marks[0].length + clear) / INCH + 0.1,
        "{:?}",
        reading(&near)
    );
    // Where all is kept out there is none, and all of it was looked at.
    let none = planned(
        &(POD.to_owned()
            + &keep_out("all", [0.0, -14.0, 60.0, 14.0])
            + &mark("7", "height = 3\naim = [20, 0]")),
    );
    assert_eq!(none.marks[0].fit.status, FitStatus::None);
    assert!(said(&none, "no-place").contains("all of where it may go"), "{}", said(&none, "no-place"));
}

/// Repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
fn next(seed: &mut u64, lo: f64, hi: f64) -> f64 {
    *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    lo + (hi - lo) * ((*seed >> 11) as f64 / (1_u64 << 53) as f64)
}

#[test]
fn no_place_of_a_grid_is_nearer_than_the_nearest() {
    let mut seed = 7;
    let mut tried = 0;
    for case in 0..3 {
        let aim = [next(&mut seed, 8.0, 50.0), next(&mut seed, -4.0, 4.0)];
        let mut walls: String = (0..4)
            .map(|k| {
                let (s, t) = (next(&mut seed, 2.0, 50.0), next(&mut seed, -11.0, 8.0));
                let (w, h) = (next(&mut seed, 4.0, 16.0), next(&mut seed, 3.0, 9.0));
                keep_out(&format!("k{k}"), [s, t, (s + w).min(59.0), (t + h).min(12.0)])
            })
            .collect();
        // Round the aim itself nothing may be.
        let (w, h) = (next(&mut seed, 5.0, 12.0), next(&mut seed, 4.0, 9.0));
        walls += &keep_out(
            "aim",
            [(aim[0] - w).max(0.0), (aim[1] - h).max(-11.0), (aim[0] + w).min(60.0), (aim[1] + h).min(11.0)],
        );
        let asked = format!("height = 4\naim = [{:.2}, {:.2}]", aim[0], aim[1]);
        let text = POD.to_owned() + &walls + &mark("7", &asked);
        let plan = planned(&text);
        let placed = plan.marks[0].fit.status == FitStatus::Placed;
        let far = |p: [f64; 2]| (p[0] - aim[0]).hypot(p[1] - aim[1]);
        // Readings are lengths but for the slope of the skin, a twentieth here.
        let least = if placed { 0.95 * far(reading(&plan)) - 0.3 } else { f64::INFINITY };
        if placed {
            assert!(fails(&plan).is_empty(), "{case}: {:?}", fails(&plan));
        }
        let mut judge = Judge::of(&text);
        for i in 0..13 {
            for j in 0..6 {
                let p = [2.0 + 4.6 * f64::from(i), -9.0 + 3.6 * f64::from(j)];
                if far(p) < least {
                    tried += 1;
                    assert!(!judge.stands(p, 4.0), "{case}: {p:?} is nearer to {aim:?} than {least} in");
                }
            }
        }
    }
    assert!(20 < tried, "{tried} places are too few to tell");
}

#[test]
fn what_is_offered_stands_where_it_is_put() {
    let wall = keep_out("a", [14.0, -2.0, 22.0, 3.0]) + &keep_out("b", [34.0, -9.0, 40.0, 4.0]);
    let text = POD.to_owned() + &wall + &mark("N12", "height = 3\naim = [20, 1]");
    let plan = planned(&text);
    let mark: &Placed = &plan.marks[0];
    assert_eq!(mark.fit.status, FitStatus::Placed);
    let whys: Vec<Why> = mark.fit.alternatives.iter().map(|a| a.why).collect();
    assert!([Why::Nearest, Why::Roomiest, Why::Largest, Why::Easiest].iter().all(|w| whys.contains(w)));
    let mut judge = Judge::of(&text);
    let nearest = mark.fit.alternatives.iter().find(|a| a.why == Why::Nearest).unwrap();
    let roomiest = mark.fit.alternatives.iter().find(|a| a.why == Why::Roomiest).unwrap();
    assert!(nearest.clearance <= roomiest.clearance, "{nearest:?} {roomiest:?}");
    for other in &mark.fit.alternatives {
        let at = plan.skins[0].skin_from_flat(other.centre).map(|v| v / INCH);
        assert!(judge.stands(at, other.height / INCH), "{other:?} does not stand at {at:?}");
    }
}

#[test]
fn the_largest_height_on_a_scan_is_bounded_by_the_scan() {
    let at = FAIRING.lines().find(|l| l.starts_with("height")).unwrap();
    let with = |height: &str| planned(&FAIRING.replacen(at, &format!("height = {height}"), 1));
    let open = with("\"largest\"");
    let most = open.marks[0].height / INCH;
    assert!(fails(&open).is_empty() && 3.0 < most, "{most} {:?}", fails(&open));
    assert!(said(&open, "fit-largest").contains("is the largest height that fits at its place"));
    assert!(fails(&with(&format!("{most}"))).is_empty());
    let mut files = Attachments::default();
    files.files.insert("fairing.stl".to_owned(), SCAN.to_vec());
    let higher = FAIRING.replacen(at, &format!("height = {}", most + 0.125), 1);
    assert!(run(&read(&higher).unwrap(), &files).map_or(true, |p| !fails(&p).is_empty()));
}

#[test]
fn paint_out_by_less_than_a_cut_line_errs_is_no_failure_and_no_failure_is_of_nothing() {
    let panel = |x: f64| {
        planned(&format!(
            "title = \"panel\"\nunits = \"mm\"\n[[surface]]\nid = \"pod\"\nkind = \"flat\"\nmaterial = \"metal\"\n\
             corners = [[0, 0], [900, 0], [900, 400], [0, 400]]\n{}",
            mark("1", &format!("height = 100\nplace = {{ at = [{x}, 200] }}"))
        ))
    };
    let half = panel(450.0).marks[0]
        .all_rings()
        .iter()
        .filter_map(geom::Ring::bounds)
        .map(|b| b.0.x)
        .fold(450.0, f64::min);
    let edge = 450.0 - half;
    assert!(fails(&panel(edge - 0.03)).is_empty());
    let out = panel(edge - 0.08);
    assert_eq!(fails(&out), ["paint reaches 0.08 mm (0.0031 in) beyond the area it must stay in"]);
}

#[test]
fn a_line_lies_on_a_wide_sheet_where_it_lies_on_a_close_one() {
    let lines = "[[surface.feature]]\nid = \"lap\"\nkind = \"rivets\"\npath = [[1, 2], [59, 2]]\nwidth = 0.5\npitch = 1\n\
        [[surface.feature]]\nid = \"ring\"\nkind = \"seam\"\npath = [[20, -8], [22, 8]]\n";
    let job = read(&format!("{POD}{lines}{}", mark("N1", "height = 3\nplace = { at = [30, 2] }"))).unwrap();
    let own = develop(&job.surfaces[0], &Attachments::default()).unwrap().0;
    let SkinShape::Body(body) = &own.shape else { panic!("{:?}", own.shape) };
    let middle = own.flat_from_skin([30.0 * INCH, 2.0 * INCH]);
    let chart = Chart::on_body(body, middle, 0.0, Vec2::new(40.0 * INCH, 14.0 * INCH)).unwrap();
    let (close, wide) = (own.sheet(chart.clone()), own.sheet(chart.to_look_in()));
    let path = |skin: &Skin, k: usize| match &skin.features[k].region {
        Region::Band { path, .. } => path.clone(),
        other => panic!("{other:?}"),
    };
    for k in 0..2 {
        let (all, few) = (path(&close, k), path(&wide, k));
        // The slanting one bends all along.
        assert!(few.len() * 3 < all.len() * [2, 3][k] + k, "{} of {}", few.len(), all.len());
        assert_eq!((few.first(), few.last()), (all.first(), all.last()));
        let off = |p: &Point| {
            let edges = few.windows(2).map(|e| Edge::Line { a: e[0], b: e[1] });
            edges.map(|e| nearest_on_edge(*p, &e).distance(*p)).fold(f64::INFINITY, f64::min)
        };
        let edge = Region::Area { rings: vec![close.outline.clone()] };
        let on_it: Vec<&Point> = all.iter().filter(|p| point_to_region(**p, &edge) <= 0.0).collect();
        assert!(10 < on_it.len(), "{}", on_it.len());
        let most = on_it.into_iter().map(off).fold(0.0, f64::max);
        assert!(most < 0.1, "line {k}: {most} mm");
    }
}
