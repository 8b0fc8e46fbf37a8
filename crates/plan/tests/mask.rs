//! Tape plans small enough to reckon by hand: how many pieces, how long, which ends, in what order; and the masks of
//! a mark's further colours.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::Ring;
use plan::Plan;
use plan::job::{Attachments, read};
use plan::mask::colours::Part;
use plan::mask::{EndKind, Kind, Mask, Piece, TabAt, TabKind};

const IN: f64 = 25.4;
/// 1/16 in: short ends, laps of colours.
const SHORT: f64 = IN / 16.0;

/// A mark on a flat panel, taped with 1/2 in tape (12.7 mm) at a gap of 3/8 in; `more` is added to the mark.
fn plan(text: &str, letters: &str, height: f64, more: &str) -> Plan {
    let job = format!(
        r##"
title = "by hand"
units = "in"
[[surface]]
id = "panel"
kind = "flat"
corners = [[0, 0], [80, 0], [80, 40], [0, 40]]
[[mark]]
id = "m"
surface = "panel"
text = "{text}"
legal = false
letters = "{letters}"
height = {height}
place = {{ at = [40, 20] }}
paint = "blue"
{more}
[masking]
edge_tapes = [ {{ width = "1/2 in", real = "12.7 mm" }}, {{ width = "1/8 in" }} ]
tack_tape = {{ width = "1 in", real = "24 mm" }}
[[paint]]
id = "blue"
colour = "#1b2f52"
[[paint]]
id = "gold"
colour = "#d9a93a"
[[paint]]
id = "black"
colour = "#000000"
"##
    );
    plan::run(&read(&job).unwrap(), &Attachments::default()).unwrap()
}

fn wet(mask: &Mask) -> Vec<&Piece> {
    mask.pieces.iter().filter(|p| matches!(p.kind, Kind::Edge | Kind::Bridge | Kind::Plug)).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.01
}

/// True if pulling in this order never lifts a piece from under another; `over[k]`: what piece k lies on.
fn comes_apart(over: &[Vec<usize>], pull: &[usize]) -> bool {
    let place = |k: usize| pull.iter().position(|p| *p == k);
    over.iter().enumerate().all(|(k, below)| below.iter().all(|b| place(k) < place(*b)))
}

fn orders(of: Vec<usize>) -> Vec<Vec<usize>> {
    if of.len() < 2 {
        return vec![of];
    }
    let mut all = Vec::new();
    for k in 0..of.len() {
        let mut rest = of.clone();
        let first = rest.remove(k);
        all.extend(orders(rest).into_iter().map(|mut o| {
            o.insert(0, first);
            o
        }));
    }
    all
}

/// facts/trade-practice.md check 58 (derived from its G7): a frame of four strips laid one after the other comes
/// apart the other way about, 4-3-2-1; a pinwheel, each strip over one neighbour and under the other, never does.
#[test]
fn a_frame_of_four_strips_comes_apart_four_three_two_one_and_a_pinwheel_never() {
    let plan = plan("I", "square", 12.0, "");
    let mask = &plan.masking.masks[0];
    let strips = wet(mask);
    assert_eq!(strips.len(), 4, "an I is a rectangle");
    // By hand: 2 in and 12 in of edge, run on by the reach (3/8 + 1/8 in, and a tape width) at both ends, a folded
    // tab of 1/2 in.
    let mut lengths: Vec<f64> = strips.iter().map(|p| p.cut_length / IN).collect();
    lengths.sort_by(f64::total_cmp);
    for (got, want) in lengths.iter().zip([3.5, 3.5, 13.5, 13.5]) {
        assert!(near(*got, want), "{lengths:?}");
    }
    for p in &strips {
        for end in [p.start, p.finish] {
            assert!(end.kind == EndKind::RunOn && near(end.past, 0.5 * IN) && !end.exact, "{p:?}");
        }
        assert!(p.tab.kind == TabKind::Fold && p.tab.at != TabAt::Middle, "{}", p.id);
    }
    // Laid last is pulled first.
    let first = strips.iter().map(|p| p.lay).min().unwrap();
    let laid: Vec<usize> = strips.iter().map(|p| p.lay - first).collect();
    let pulled: Vec<usize> = strips.iter().map(|p| p.pull).collect();
    assert_eq!((laid, pulled), (vec![0, 1, 2, 3], vec![4, 3, 2, 1]));
    let index = |k: usize| mask.pieces.iter().position(|p| p.id == strips[k].id).unwrap();
    let own: Vec<usize> = (0..4).map(index).collect();
    let over: Vec<Vec<usize>> = strips
        .iter()
        .map(|p| p.over.iter().filter_map(|o| own.iter().position(|k| k == o)).collect())
        .collect();
    assert_eq!(over, [vec![], vec![0], vec![1], vec![0, 2]], "round the ring, the last over both neighbours");
    assert!(comes_apart(&over, &[3, 2, 1, 0]));
    let pinwheel = [vec![1], vec![2], vec![3], vec![0]];
    assert!(orders(vec![0, 1, 2, 3]).iter().all(|pull| !comes_apart(&pinwheel, pull)));
}

/// An L by hand: sides of 8, 2, 6, 10, 2 and 12 in, one inside corner.
#[test]
fn an_ell_has_six_pieces_one_exact_end_and_one_short_one() {
    let plan = plan("L", "square", 12.0, "");
    let strips = wet(&plan.masking.masks[0]);
    assert_eq!(strips.len(), 6);
    let cut: Vec<_> =
        strips.iter().flat_map(|p| [p.start, p.finish]).filter(|e| e.kind == EndKind::PreCut).collect();
    assert_eq!(cut.len(), 2, "both at the inside corner");
    assert!(cut.iter().all(|e| near(e.cut.to_degrees(), 90.0) && near(e.past, 0.0)));
    assert_eq!(cut.iter().filter(|e| e.exact).count(), 1);
    // 8 + 2 + 6 + 10 + 2 + 12 = 40 in of edge, less the short end; ten run-ons of 1/2 in, six folds of 1/2 in.
    let all: f64 = strips.iter().map(|p| p.cut_length).sum();
    assert!(near(all, (40.0 + 5.0 + 3.0) * IN - SHORT), "{}", all / IN);
    let short: f64 = strips.iter().map(|p| p.path_length()).sum();
    assert!(near(short, 40.0 * IN - SHORT));
}

/// An O by hand: 8 x 12 in outside, 4 x 8 in inside; the counter is an island, all its ends are cut.
#[test]
fn the_counter_of_an_o_is_four_short_ends_under_four_exact_ones_and_is_pulled_first() {
    let plan = plan("O", "square", 12.0, "");
    let mask = &plan.masking.masks[0];
    let (inner, outer): (Vec<&Piece>, Vec<&Piece>) = wet(mask).into_iter().partition(|p| p.ring == 1);
    assert_eq!((inner.len(), outer.len()), (4, 4));
    let ends =
        |exact: bool| inner.iter().flat_map(|p| [p.start, p.finish]).filter(|e| e.exact == exact).count();
    assert_eq!((ends(true), ends(false)), (4, 4));
    for p in &inner {
        assert!(
            [p.start, p.finish].iter().all(|e| e.kind == EndKind::PreCut && near(e.cut.to_degrees(), 90.0))
        );
        assert!(p.tab.kind == TabKind::Flag && p.tab.at == TabAt::Middle, "no fold may lie on the line");
        assert!(p.pull <= 4, "counters first");
    }
    let sum = |pieces: &[&Piece]| pieces.iter().map(|p| p.cut_length).sum::<f64>();
    assert!(near(sum(&inner), 24.0 * IN - 4.0 * SHORT), "{}", sum(&inner) / IN);
    assert!(near(sum(&outer), (40.0 + 4.0 + 2.0) * IN), "{}", sum(&outer) / IN);
    assert!(near(mask.totals.edge, sum(&inner) + sum(&outer)));
    assert_eq!(mask.totals.tabs, 8);
}

/// facts/trade-practice.md check 57 (G1, G2): where the paint is convex nothing is cut, inside a corner of 270 degrees
/// of paint the cut is square.
#[test]
fn square_letters_are_cut_square_inside_corners_and_nowhere_else() {
    for text in ["E", "F", "H", "T", "L", "U"] {
        let plan = plan(text, "square", 12.0, "");
        let mask = &plan.masking.masks[0];
        let rings = &mask.sprayed[0];
        let turns = |ring: &Ring| {
            let p = ring.flattened(0.01);
            let n = p.len();
            (0..n).filter(|i| (p[(i + 1) % n] - p[*i]).cross(p[(i + 2) % n] - p[(i + 1) % n]) < 0.0).count()
        };
        let reflex: usize = rings.iter().map(turns).sum();
        let cut: Vec<_> = wet(mask)
            .into_iter()
            .flat_map(|p| [p.start, p.finish])
            .filter(|e| e.kind == EndKind::PreCut && e.past <= 0.0)
            .collect();
        assert_eq!(cut.len(), 2 * reflex, "{text}: two ends at each inside corner");
        assert!(cut.iter().all(|e| near(e.cut.to_degrees(), 90.0)), "{text}");
        assert_eq!(cut.iter().filter(|e| e.exact).count(), reflex, "{text}: one of the two is exact");
    }
}

/// facts/trade-practice.md check 59 (consoletape.com, read): tape labelled 1 in is 24 mm wide, 0.945 in; the strip is
/// planned with that.
#[test]
fn an_inch_of_crepe_tape_is_planned_as_it_measures() {
    let plan = plan("I", "square", 12.0, "");
    let strip: Vec<&Piece> = plan.masking.masks[0].pieces.iter().filter(|p| p.kind == Kind::Tack).collect();
    assert_eq!(strip.len(), 4);
    for p in strip {
        assert!(near(p.width, 24.0) && near(p.label, IN));
        assert!((p.width / IN - 0.945).abs() < 0.001);
        // Mitred, so as wide as it measures all along: the area is that of a trapezium.
        let area: f64 = p.footprint.iter().map(Ring::area).sum();
        assert!(near(area, p.path_length() * 24.0 + 24.0 * 24.0), "{area}");
    }
}

fn area(mask: &Mask) -> f64 {
    mask.sprayed.iter().flatten().map(Ring::area).sum()
}

/// By hand: an I of 2 x 12 in in blue with a gold outline of 1/2 in. Gold is lighter and goes first: a frame of
/// 3 x 13 in outside whose inside reaches 1/16 in under the blue.
#[test]
fn the_lighter_outline_goes_first_and_reaches_under_the_letter() {
    let plan = plan("I", "square", 12.0, r#"outline = { width = 0.5, paint = "gold" }"#);
    let [gold, blue] = &plan.masking.masks[..] else { panic!("one mask a colour") };
    assert_eq!((gold.paint.as_str(), gold.part), ("gold", Part::Outline));
    assert_eq!((blue.paint.as_str(), blue.part), ("blue", Part::Letters));
    let under = 1.0 / 16.0;
    let want = (3.0 * 13.0 - (2.0 - 2.0 * under) * (12.0 - 2.0 * under)) * IN * IN;
    assert!((area(gold) - want).abs() < 0.5, "{} {want}", area(gold));
    assert!((area(blue) - 24.0 * IN * IN).abs() < 1e-6, "the last colour is its own shape");
    // Eight edges: four outside run on, four inside are cut.
    assert_eq!((wet(gold).len(), wet(blue).len()), (8, 4));
    assert!(wet(gold).iter().all(|p| p.id.contains("-o")));
    // What is sprayed first is bought and shot first.
    let shot: Vec<&str> = plan.spray.paints.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(shot, ["gold", "blue"]);
    let painted: f64 = plan.spray.paints[0].area_painted_m2;
    assert!((painted - want / 1e6).abs() < 1e-6, "the lap is paint too: {painted}");
    let said: Vec<&str> = plan.findings.iter().map(|f| f.message.as_str()).collect();
    assert!(
        said.iter().any(|m| m.starts_with("gold (outline), then blue (letters): the lighter colour first"))
    );
    assert!(said.iter().any(|m| m.contains("does not say when that is dry to tape")));
}

/// By hand: half the size. 7/8 in of blue between two laps is narrower than a ring of tape: gold goes right through.
#[test]
fn under_a_narrow_letter_the_first_colour_goes_right_through() {
    let plan = plan("I", "square", 6.0, r#"outline = { width = 0.5, paint = "gold" }"#);
    let [gold, _] = &plan.masking.masks[..] else { panic!("one mask a colour") };
    let want = 2.0 * 7.0 * IN * IN;
    assert!((area(gold) - want).abs() < 0.5, "{} {want}", area(gold));
    assert_eq!(wet(gold).len(), 4);
    assert!(plan.findings.iter().any(|f| f.code == "colour-through"));
}

/// By hand: the outline is darker than the letter, so the letter goes first and reaches under it all round.
#[test]
fn a_lighter_letter_goes_first_and_reaches_under_its_outline() {
    let plan = plan("I", "square", 12.0, r#"outline = { width = 0.5, paint = "black" }"#);
    let [blue, black] = &plan.masking.masks[..] else { panic!("one mask a colour") };
    assert_eq!((blue.part, black.part), (Part::Letters, Part::Outline));
    let under = 2.0 / 16.0;
    assert!((area(blue) - (2.0 + under) * (12.0 + under) * IN * IN).abs() < 0.5, "{}", area(blue));
    assert!((area(black) - (39.0 - 24.0) * IN * IN).abs() < 0.5, "{}", area(black));
}

/// A shadow begins where the letter's edge stays in sight: the edge of the lap leaves it without a step, so that one
/// tape follows both, and reaches its full depth.
#[test]
fn a_lap_begins_without_a_step() {
    let plan = plan("I", "square", 12.0, r#"shadow = { by = [1, -1], paint = "black" }"#);
    let [blue, black] = &plan.masking.masks[..] else { panic!("one mask a colour") };
    assert_eq!(wet(blue).len(), 4, "still a frame of four");
    assert!((area(black) - (12.0 + 2.0 + 1.0) * IN * IN + IN * IN).abs() < 0.5, "{}", area(black) / IN / IN);
    // At its full depth but for the first 3 in of the 12 in edge; the 2 in edge is too short for more than a straight
    // line to its far corner.
    let gained = area(blue) - 24.0 * IN * IN;
    let full = SHORT * (12.0 + 2.0) * IN + SHORT * SHORT;
    let lost = SHORT * (3.0 + 2.0) / 2.0 * IN;
    assert!((gained - (full - lost)).abs() < 2.0 * SHORT * SHORT, "{gained} {full} {lost}");
    for ring in blue.sprayed.iter().flatten() {
        assert!(ring.edges().all(|e| e.length() > 2.0 * SHORT));
    }
}

/// What is painted in a further colour is not papered over; cut by hand: an I with a band of 3 in round it.
#[test]
fn paper_stays_off_an_outline_too() {
    let plan = plan("I", "square", 12.0, "outline = { width = 3, paint = \"gold\" }");
    let marks: Vec<_> = plan.marks.iter().collect();
    let bare =
        plan::mask::paper::bare(&plan.skins[0], &marks, &plan.masking.masks.iter().collect::<Vec<_>>());
    let band: Vec<Ring> = plan.marks[0].further.iter().flat_map(|f| f.rings.clone()).collect();
    let flat = |r: &Ring| Ring::from_points(r.flattened(0.01));
    let band: Vec<Ring> = band.iter().map(flat).collect();
    let area = |rings: &[Ring]| rings.iter().map(Ring::area).sum::<f64>();
    assert!(area(&band) > 12.0 * 6.0 * IN * IN);
    assert!(area(&geom::boolean::intersection(&bare, &band)) < 0.01);
}
