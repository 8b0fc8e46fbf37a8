//! Paper on bodies by other roads: places of the bare skin in space, each within half a width of a strip's middle by the
//! straightest way over the skin; laps by such ways; lengths in a strip laid flat along the middle.

use super::*;
use crate::Plan;
use crate::job::Attachments;
use crate::surface::StripSkin;
use crate::surface::strip::Course;
use geom::winding::Slabs;
use geom::{Point3, Vec2};
use skin::surface::way::between;

const SIDES: &str = include_str!("../../../../../hangar/61-body-sides/job.toml");
const BOW: &str = include_str!("../../../../../hangar/63-hull-bow/job.toml");
const STRIPES: &str = include_str!("../../../../../hangar/64-body-stripes/job.toml");

fn planned(text: &str) -> Plan {
    let job = crate::job::read(text).unwrap_or_else(|p| panic!("{p:#?}"));
    crate::run(&job, &Attachments::default()).unwrap_or_else(|p| panic!("{p:#?}"))
}

/// A place in the body's own two numbers, beyond a middle line as far down the other side.
fn place(body: &BodySkin, s: f64, t: f64) -> Vec2 {
    let (from, to) = body.range();
    let (bottom, top) = body.body().girths(body.side(), s.clamp(from, to)).unwrap();
    let over = if t < bottom {
        2.0 * bottom - t
    } else if top < t {
        2.0 * top - t
    } else {
        t
    };
    let inside = over.clamp(bottom + 1e-3, top - 1e-3);
    let place = body.place([s.clamp(from, to), inside]).unwrap();
    if bottom <= t && t <= top { place } else { skin::body::Body::across(place) }
}

/// Least way over the skin from a place to the line along girth `t`, mm, looked for within `near` mm of its station.
fn to_line(body: &BodySkin, from: Vec2, t: f64, near: f64) -> f64 {
    let (first, last) = body.range();
    let stations = (-8..=8).map(|k| from.x + near * f64::from(k) / 8.0).filter(|s| first <= *s && *s <= last);
    let ways = stations.filter_map(|s| {
        let to: Point3 = skin::surface::Surface::jet(body.body(), place(body, s, t)).p;
        between(body.body(), from, to).map(|w| w.1)
    });
    ways.fold(f64::INFINITY, f64::min)
}

/// What is painted and taped on a surface, each mark in its own flat.
struct Taken<'a>(Vec<(&'a Skin, Slabs)>);

impl<'a> Taken<'a> {
    fn new(plan: &Plan, painted: &'a [Placed], id: &str) -> Taken<'a> {
        let one = |mark: &'a Placed| {
            let masks: Vec<&Mask> = plan.masking.masks.iter().filter(|m| m.of == mark.id).collect();
            (&mark.charts.as_ref().unwrap().sheet, Slabs::new(&closed(&[mark], &masks)))
        };
        Taken(painted.iter().filter(|m| m.surface == id).map(one).collect())
    }

    fn at(&self, reading: [f64; 2]) -> bool {
        self.0.iter().any(|(sheet, rings)| rings.winding(sheet.flat_from_skin(reading)) != 0)
    }
}

fn spans(s: &PaperStrip, x: f64) -> bool {
    s.corners[0].x <= x && x <= s.corners[1].x
}

#[test]
fn every_bare_place_lies_under_a_strip() {
    for text in [SIDES, BOW, STRIPES] {
        let plan = planned(text);
        let paper = plan.masking.paper.as_ref().unwrap();
        let mut bare = 0;
        let painted = plan.painted();
        for skin in &plan.skins {
            let taken = Taken::new(&plan, &painted, &skin.id);
            let SkinShape::Body(body) = &skin.shape else { panic!("a body") };
            let (first, last) = body.range();
            for i in 0..=24 {
                let s = first + (last - first) * f64::from(i) / 24.0;
                let (bottom, top) = body.body().girths(body.side(), s).unwrap();
                for k in 0..=16 {
                    let t = bottom + (top - bottom) * f64::from(k) / 16.0;
                    let p = body.flat([s, t]);
                    // Slits up to 1/16 in are closed with a scrap of tape.
                    let beside = [(0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), (0.0, 2.0), (0.0, -2.0)];
                    if beside.iter().any(|d| taken.at(body.reading(p + Vec2::from(*d)))) {
                        continue;
                    }
                    bare += 1;
                    let at = place(body, s, t);
                    let under = paper.strips.iter().filter(|x| x.surface == skin.id && !x.back).any(|x| {
                        let middle = x.corners[0].y + x.width / 2.0;
                        spans(x, p.x)
                            && (t - middle).abs() < x.width
                            && to_line(body, at, middle, 40.0) <= x.width / 2.0 + 0.01
                    });
                    assert!(under, "{} at {s} {t} shows", skin.id);
                }
            }
        }
        assert!(200 < bare, "{bare}");
    }
}

#[test]
fn strips_lap_the_one_below_by_an_inch_or_more_over_the_skin() {
    let mut pairs = 0;
    for text in [SIDES, BOW] {
        let plan = planned(text);
        let paper = plan.masking.paper.as_ref().unwrap();
        let SkinShape::Body(body) = &plan.skins[0].shape else { panic!("a body") };
        let own: Vec<&PaperStrip> =
            paper.strips.iter().filter(|s| s.surface == plan.skins[0].id && !s.back).collect();
        let painted = plan.painted();
        let taken = Taken::new(&plan, &painted, &plan.skins[0].id);
        // Columns before and behind the mark: nothing is taped there, and each strip laps the one below.
        let (first, last) = body.range();
        for share in [0.02, 0.1, 0.18, 0.8, 0.9, 0.98] {
            let s = first + (last - first) * share;
            let x = body.flat([s, 0.0]).x;
            let (bottom, top) = body.body().girths(body.side(), s).unwrap();
            if (0..40).any(|k| taken.at([s, bottom + (top - bottom) * f64::from(k) / 40.0])) {
                continue;
            }
            let mut column: Vec<&PaperStrip> = own.iter().copied().filter(|p| spans(p, x)).collect();
            column.sort_by(|a, b| a.corners[0].y.total_cmp(&b.corners[0].y));
            // Beyond the middle lines all round.
            assert!(column[0].corners[0].y < bottom && top < column[column.len() - 1].corners[2].y);
            for w in column.windows(2) {
                let (low, high) = (w[0].corners[0].y, w[1].corners[0].y);
                if low < bottom || top < high {
                    continue;
                }
                let apart = to_line(body, place(body, s, high), low, 40.0);
                assert!(apart <= w[0].width - LAP + 0.01, "{s}: {low} {high} {apart}");
                pairs += 1;
            }
        }
    }
    assert!(30 <= pairs, "{pairs}");
}

/// The length of a strip beside what its bare skin measures in a strip of skin laid flat along the strip's own middle
/// (`skin::strip`: walked line by line, square off by straightest ways), as stripes are.
#[test]
fn a_strip_is_as_long_as_the_skin_it_covers_laid_flat() {
    let plan = planned(BOW);
    let paper = plan.masking.paper.as_ref().unwrap();
    let SkinShape::Body(body) = &plan.skins[0].shape else { panic!("a body") };
    let (first, last) = body.range();
    // The back, on which nothing is taped, where it is covered from end to end.
    let whole =
        paper.strips.iter().filter(|p| p.back && last - first - 1.0 < p.corners[1].x - p.corners[0].x);
    let mut seen = 0;
    for strip in whole {
        let middle = strip.corners[0].y + strip.width / 2.0;
        let at = |s: f64| Some(place(body, s, middle));
        let course = Course { at: &at, stops: &[first, last], legs: false };
        let laid = StripSkin::on_body(body, course, strip.width).unwrap();
        // The rings at both ends, as far as the strip covers them.
        let reach = |s: f64, sign: f64| {
            let (bottom, top) = body.body().girths(body.side(), s).unwrap();
            let (lo, hi) = (strip.corners[0].y.max(bottom), strip.corners[2].y.min(top));
            let ends = (0..=20).map(|k| {
                let t = lo + (hi - lo) * f64::from(k) / 20.0;
                let p = skin::surface::Surface::jet(body.body(), place(body, s, t)).p;
                sign * laid.along_and_off(laid.at_space(p))[0]
            });
            sign * ends.fold(f64::NEG_INFINITY, f64::max)
        };
        let wanted = reach(last, 1.0) - reach(first, -1.0);
        // Where the edges are folded up the middle bends as well, and its end is taken for straight: a fifth of the folds.
        let may = 1.0 + 0.2 * strip.darts;
        assert!((strip.length - wanted).abs() <= may, "{middle}: {} {wanted} {may}", strip.length);
        // The middle alone is shorter: the ends of the body lean.
        assert!(laid.length() <= strip.length + 0.1);
        seen += 1;
    }
    assert!(3 <= seen, "{seen}");
}

/// Of a body with one side in the job the other is covered whole, once; with both in the job each is covered by itself.
#[test]
fn the_other_side_is_covered_once() {
    let both = planned(SIDES);
    let paper = both.masking.paper.as_ref().unwrap();
    assert!(!paper.back() && paper.strips.iter().any(|s| s.surface == "right-side"));
    let SkinShape::Body(left) = &both.skins[0].shape else { panic!("a body") };
    let whole = Hoops::new(left).unwrap().area(&[flat(&both.skins[0].outline)]);
    let one = planned(BOW);
    let alone = one.masking.paper.as_ref().unwrap();
    assert!(alone.back());
    let SkinShape::Body(bow) = &one.skins[0].shape else { panic!("a body") };
    let side = Hoops::new(bow).unwrap().area(&[flat(&one.skins[0].outline)]);
    // Bare is a side, or two, less what is painted and taped, by the letters' own charts.
    for (plan, paper, sides) in [(&both, paper, 2.0 * whole), (&one, alone, 2.0 * side)] {
        let shut: f64 = plan
            .painted()
            .iter()
            .map(|m| {
                let masks: Vec<&Mask> = plan.masking.masks.iter().filter(|x| x.of == m.id).collect();
                area(&union(&closed(&[m], &masks), &[]))
            })
            .sum();
        assert!((sides - shut - paper.area).abs() < 2e-3 * shut + 2000.0, "{sides} {shut} {}", paper.area);
    }
}

/// Where the skin bends hard, narrower paper of the shelf is laid, and what is folded is told.
#[test]
fn narrower_paper_goes_where_much_would_be_folded() {
    let wide = BOW
        .replace("paper = [{ width = \"12 in\" }, { width = \"18 in\" }]", "paper = [{ width = \"36 in\" }]");
    let shelf = BOW.replace("{ width = \"18 in\" }", "{ width = \"18 in\" }, { width = \"36 in\" }");
    let folded = |text: &str| {
        let plan = planned(text);
        let paper = plan.masking.paper.unwrap();
        let told = plan.findings.iter().any(|f| f.code == "paper-darts");
        let sum: f64 = paper.strips.iter().map(|s| s.darts).sum();
        (sum, told, paper.strips.iter().map(|s| s.width).fold(0.0, f64::max))
    };
    let (much, told, _) = folded(&wide);
    let (little, _, widest) = folded(&shelf);
    assert!(told && 2.0 * little < much, "{little} {much}");
    assert!(widest <= 914.4);
}
