//! Whole marks through the stage: layout tape, paper and lengths against outlines by another road.

use super::plan::{EndKind, Kind, TabKind};
use super::rolls::cut_at_the_wing;
use super::tack::{SCRAP, WANDER};
use super::{Mask, paper};
use crate::Plan;
use crate::job::Attachments;
use geom::boolean::{difference, intersection, outset};
use geom::point::left_of;
use geom::tolerance::{FLATTEN_MM, TAPE_TOUCH_MM2};
use geom::winding::contains;
use geom::{Point, Ring};

const CURVED: &[u8] = include_bytes!("../../../../data/fonts/DejaVuSans.ttf");
const INCH: f64 = 25.4;

fn planned(letters: &str, text: &str, height: f64, more: &str) -> Plan {
    let wide = 8.0 * height * text.len() as f64;
    let tall = 3.0 * height;
    let job = format!(
        r#"title = "trial"
units = "in"
[[surface]]
id = "panel"
kind = "flat"
corners = [[0, 0], [{wide}, 0], [{wide}, {tall}], [0, {tall}]]
{more}
[[mark]]
id = "m"
surface = "panel"
text = "{text}"
legal = false
letters = {letters}
height = {height}
gap_ratio = 0.25
place = {{ at = [{}, {}] }}
[masking]
method = "tape"
edge_tapes = [ {{ width = "1/2 in", real = "12.7 mm", roll = "36 yd", strain = 0.05 }}, {{ width = "1/4 in", roll = "36 yd", strain = 0.05 }}, {{ width = "1/8 in", roll = "36 yd", strain = 0.05 }} ]
tack_tape = {{ width = "3/4 in", real = "18 mm", roll = "60 yd" }}
layout_tapes = [ {{ width = "1 in", real = "24 mm", roll = "60 yd" }}, {{ width = "2 in", real = "48 mm", roll = "60 yd" }} ]
paper = [ {{ width = "12 in" }}, {{ width = "18 in" }} ]
"#,
        wide / 2.0,
        tall / 2.0
    );
    let mut files = Attachments::default();
    files.files.insert("curved.ttf".to_owned(), CURVED.to_vec());
    crate::run(&crate::job::read(&job).unwrap(), &files).unwrap()
}

const FONT: &str = "{ font = \"curved.ttf\" }";

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

fn flat(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
}

/// The strips cover every letter, lie on nothing but it, and each within the width and the length of its tape. Held
/// against the letters' own outlines, arcs and all; 0.015 mm is what paths of tape may be off them.
#[test]
fn layout_tape_covers_every_letter_and_leaves_none() {
    for (letters, text, height) in [
        ("\"square\"", "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", 12.0),
        ("\"clipped\"", "BCDGOPQRS023568", 3.0),
        ("\"rounded\"", "BCDGJOPQRSU23569", 12.0),
        (FONT, "BRS8Q", 12.0),
        (FONT, "aeg5", 3.0),
    ] {
        let plan = planned(letters, text, height, "");
        let mask = &plan.masking.masks[0];
        for (k, glyph) in plan.marks[0].glyphs.iter().enumerate() {
            let strips: Vec<_> =
                mask.pieces.iter().filter(|p| p.kind == Kind::Layout && p.glyph == k as i32).collect();
            let shapes: Vec<Ring> = strips.iter().flat_map(|p| p.footprint.iter().cloned()).collect();
            let letter = flat(&glyph.rings);
            let open = area(&difference(&letter, &outset(&shapes, 0.015, 0.002)));
            assert!(open < 0.01, "{letters} {height} in {}: {open} mm2 are open", glyph.char);
            let out = area(&difference(&shapes, &outset(&letter, 0.02, 0.002)));
            assert!(out < 0.01, "{letters} {height} in {}: {out} mm2 lie beside it", glyph.char);
            for p in &strips {
                let (a, b) = (p.path[0], p.path[1]);
                let way = (b - a).normalize();
                for v in p.footprint.iter().flat_map(|r| &r.vertices) {
                    let (u, w) = (way.dot(v.p - a), -left_of(way).dot(v.p - a));
                    assert!(-0.03 <= w && w <= p.width + 0.03, "{}: {w} of {}", p.id, p.width);
                    let long = p.path_length() + p.finish.past;
                    assert!(-p.start.past - 0.03 <= u && u <= long + 0.03, "{}: {u} of {long}", p.id);
                }
                assert!(p.width <= 48.0 && p.tab.kind == TabKind::None && p.lay <= strips_of(mask));
            }
            assert!(!strips.is_empty() && strips.len() <= 40, "{}: {}", glyph.char, strips.len());
        }
    }
}

fn strips_of(mask: &Mask) -> usize {
    mask.pieces.iter().filter(|p| p.kind == Kind::Layout).count()
}

/// Layout tape is laid before all else and out before the first pull.
#[test]
fn layout_tape_comes_first_and_goes_first() {
    let plan = planned("\"square\"", "AR8", 12.0, "");
    let mask = &plan.masking.masks[0];
    let strips = strips_of(mask);
    for p in &mask.pieces {
        assert_eq!(p.kind == Kind::Layout, p.lay <= strips, "{}", p.id);
        assert_eq!(p.kind == Kind::Layout, p.pull <= strips, "{}", p.id);
        for below in &p.over {
            assert!(mask.pieces[*below].lay < p.lay && p.pull < mask.pieces[*below].pull, "{}", p.id);
        }
    }
}

/// By hand: outline, laps, run-ons and folded tabs make up what is cut; the sums are the sums, to 0.1 mm.
#[test]
fn lengths_add_up() {
    for (letters, text, height) in
        [("\"square\"", "N417RW", 3.0), ("\"rounded\"", "O8S", 12.0), (FONT, "R8", 12.0)]
    {
        let plan = planned(letters, text, height, "");
        let mask = &plan.masking.masks[0];
        let mut sums = [0.0; 4];
        for p in &mask.pieces {
            let along: f64 = p.path.windows(2).map(|w| w[0].distance(w[1])).sum();
            let fold = if p.tab.kind == TabKind::Fold { 12.7 } else { 0.0 };
            let told = along + p.start.past + p.finish.past + fold;
            assert!((told - p.cut_length).abs() < 0.1, "{}: {told} {}", p.id, p.cut_length);
            assert!(cut_at_the_wing(p.cut_length) >= p.cut_length + INCH - 1e-6);
            match p.kind {
                Kind::Edge => sums[0] += told,
                Kind::Bridge => sums[1] += told,
                Kind::Tack => sums[2] += told,
                Kind::Layout => sums[3] += told,
                Kind::Plug | Kind::Film => {}
            }
        }
        let t = &mask.totals;
        for (sum, total) in sums.iter().zip([t.edge, t.bridge, t.tack, t.layout]) {
            assert!((sum - total).abs() < 0.1, "{letters}: {sum} {total}");
        }
        // A mark without shared lines: its edge tape lies along the whole outline, short ends and laps apart.
        if height > 4.0 {
            let edges: f64 = mask
                .pieces
                .iter()
                .filter(|p| matches!(p.kind, Kind::Edge | Kind::Plug))
                .map(|p| p.path.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>())
                .sum();
            let short = mask
                .pieces
                .iter()
                .flat_map(|p| [p.start, p.finish])
                .filter(|e| e.kind == EndKind::PreCut && !e.exact)
                .count() as f64;
            let outline: f64 = plan.marks[0].glyphs.iter().flat_map(|g| &g.rings).map(Ring::perimeter).sum();
            assert!(
                edges <= outline + 0.1 && outline - edges <= short * 1.6 + 0.1,
                "{edges} {outline} {short}"
            );
        }
    }
}

/// Every bit of bare skin lies under paper, face and back; by hand for a panel without a letter near its edge.
#[test]
fn paper_covers_what_is_neither_painted_nor_taped() {
    let port = "[[surface.feature]]\nid = \"static\"\nkind = \"port\"\nat = [4, 4]\ndiameter = 1\n\
                [[surface.feature]]\nid = \"hatch\"\nkind = \"plate\"\nat = [4, 20]\ndiameter = 3\n";
    for (letters, text) in [("\"square\"", "N8LE"), (FONT, "S4")] {
        let plan = planned(letters, text, 12.0, port);
        let paper = plan.masking.paper.as_ref().unwrap();
        let marks: Vec<_> = plan.marks.iter().collect();
        let bare = paper::bare(&plan.skins[0], &marks, &plan.masking.masks.iter().collect::<Vec<_>>());
        let side = |back: bool| -> Vec<Ring> {
            paper.strips.iter().filter(|s| s.back == back).map(|s| Ring::from_points(s.corners)).collect()
        };
        assert!(area(&difference(&bare, &side(false))) < 0.01, "{text}: the face shows");
        let outline = [plan.skins[0].outline.clone()];
        assert!(area(&difference(&outline, &side(true))) < 0.01, "{text}: the back shows");
        // Round the edges: the face's paper stands over by the fold on all four sides.
        let (lo, hi) = outline[0].bounds().unwrap();
        let all: Vec<Point> = side(false).iter().flat_map(|r| r.vertices.iter().map(|v| v.p)).collect();
        let least = |of: fn(&Point) -> f64| all.iter().map(of).fold(f64::INFINITY, f64::min);
        assert!((lo.x - least(|p| p.x) - paper::FOLD).abs() < 0.01);
        assert!(least(|p| -p.y) <= -hi.y - paper::FOLD + 0.01);
        let taped: f64 = area(&outline) - area(&bare);
        assert!((paper.area - (2.0 * area(&outline) - taped)).abs() < 1.0);
        for s in &paper.strips {
            assert!([12.0 * INCH, 18.0 * INCH].iter().any(|w| (s.width - w).abs() < 1e-9));
            let sides = [s.corners[0].distance(s.corners[1]), s.corners[1].distance(s.corners[2])];
            let fits = |a: f64, b: f64| (a - s.width).abs() < 1e-6 && (b - s.length).abs() < 1e-6;
            assert!(fits(sides[0], sides[1]) || fits(sides[1], sides[0]), "{s:?}");
        }
        // The port, not the plate.
        assert_eq!(paper.covered.len(), 1);
        assert_eq!(paper.covered[0].1, "static");
    }
}

/// A panel with both faces in the job has no other back.
#[test]
fn the_far_face_of_a_panel_is_covered_once() {
    let one = "panel = \"wing\"\n";
    let two = format!(
        "{one}[[surface]]\nid = \"below\"\nkind = \"flat\"\ncorners = [[0, 0], [96, 0], [96, 36], [0, 36]]\npanel = \"wing\"\n"
    );
    let plan = planned("\"square\"", "I", 12.0, &two);
    let paper = plan.masking.paper.as_ref().unwrap();
    assert!(!paper.back() && paper.strips.iter().any(|s| s.surface == "below"));
    let alone = planned("\"square\"", "I", 12.0, one);
    assert!(alone.masking.paper.as_ref().unwrap().back());
    let both = |p: &Plan| p.masking.paper.as_ref().unwrap().area;
    assert!((both(&plan) - both(&alone)).abs() < 1.0);
}

/// Cut on the slant, the side along the paint edge ends within the letter, and what stands on beyond is told beside it.
#[test]
fn a_slanted_strip_of_layout_tape_ends_where_its_paint_edge_does() {
    let plan = planned("\"square\"", "ARKVWXZ47", 12.0, "");
    let mask = &plan.masking.masks[0];
    let mut slanted = 0;
    for p in mask.pieces.iter().filter(|p| p.kind == Kind::Layout) {
        let letter = outset(&flat(&plan.marks[0].glyphs[p.glyph as usize].rings), 0.02, 0.002);
        let ends = [(p.start, p.path[0]), (p.finish, p.path[p.path.len() - 1])];
        for (end, at) in ends.into_iter().filter(|(e, _)| e.kind == EndKind::PreCut && e.cut > 0.0) {
            assert!(contains(&letter, at), "{} ends at {at:?}, off its letter", p.id);
            if end.past > 0.0 {
                // By hand: the far side of a cut at `cut` reaches on by the width over its tangent.
                let on = -p.width / end.cut.tan();
                assert!((end.past - on).abs() < 0.2, "{}: {} {on}", p.id, end.past);
                slanted += 1;
            }
        }
    }
    assert!(slanted > 4, "{slanted}");
}

/// Closed form: round a ring of radius R lengths within e on either side are at most 2 sqrt((R + e)^2 - (R - e)^2) long;
/// a rounded O is a ring but for its straight sides, so that so many and a joint for each of its bends do.
#[test]
fn the_tack_strip_of_a_round_letter_is_in_few_lengths() {
    let plan = planned("\"rounded\"", "O", 12.0, "");
    let mask = &plan.masking.masks[0];
    let outer: Vec<_> = mask.pieces.iter().filter(|p| p.kind == Kind::Tack && p.ring == 0).collect();
    let around: f64 = outer.iter().map(|p| p.path_length()).sum();
    let (r, e) = (around / std::f64::consts::TAU / 2.0, WANDER / 2.0);
    let c = 2.0 * ((r + e).powi(2) - (r - e).powi(2)).sqrt();
    assert!((outer.len() as f64) < around / c + 8.0, "{} pieces round {around:.0} mm", outer.len());
    // No scrap whose skin all else covers.
    for p in mask.pieces.iter().filter(|p| p.kind == Kind::Tack && p.cut_length < SCRAP) {
        let others: Vec<Ring> = mask
            .pieces
            .iter()
            .filter(|o| o.id != p.id && o.kind != Kind::Layout)
            .flat_map(|o| o.footprint.clone())
            .collect();
        assert!(area(&difference(&p.footprint, &others)) > TAPE_TOUCH_MM2, "{} is of no use", p.id);
    }
}

/// A narrow edge tape round an S has bridges a hand can lay: one along each gentle bend, straight lengths only where
/// a bridge would pucker (more than 10 %), and few of them.
#[test]
fn the_bridges_of_a_rounded_s_are_few() {
    let plan = planned("\"rounded\"", "S", 12.0, "");
    let mask = &plan.masking.masks[0];
    let bridges: Vec<_> = mask.pieces.iter().filter(|p| p.kind == Kind::Bridge).collect();
    assert!(!bridges.is_empty() && bridges.len() <= 30, "{}", bridges.len());
    assert!(bridges.iter().any(|p| p.path_length() > 300.0), "none goes round the bow");
    for p in &bridges {
        assert!(p.path.len() == 2 || p.strain <= 0.10 + 1e-9, "{} strains {}", p.id, p.strain);
        assert!(p.path_length() > 6.0, "{} is {} mm long", p.id, p.path_length());
    }
}

/// Who lies on whom, against the general way: whole shapes cut with each other.
#[test]
fn overlaps_are_those_of_the_whole_shapes() {
    for (letters, text, height) in [(FONT, "R8", 12.0), ("\"rounded\"", "S2", 3.0), ("\"square\"", "KA", 4.0)]
    {
        let plan = planned(letters, text, height, "");
        let pieces = &plan.masking.masks[0].pieces;
        let boxed: Vec<_> = pieces.iter().map(|p| super::order::bounds(&p.footprint).unwrap()).collect();
        let mut found = 0;
        for (i, p) in pieces.iter().enumerate() {
            for j in 0..i {
                let (a, b) = (boxed[i], boxed[j]);
                if a.0.x >= b.1.x || b.0.x >= a.1.x || a.0.y >= b.1.y || b.0.y >= a.1.y {
                    assert!(!p.over.contains(&j));
                    continue;
                }
                let shared = area(&intersection(&p.footprint, &pieces[j].footprint));
                // Either answer will do for a touch.
                if (shared - TAPE_TOUCH_MM2).abs() > 0.02 {
                    assert_eq!(
                        p.over.contains(&j),
                        shared > TAPE_TOUCH_MM2,
                        "{} {}: {shared}",
                        p.id,
                        pieces[j].id
                    );
                }
                found += usize::from(shared > TAPE_TOUCH_MM2);
            }
        }
        assert!(found > 20, "{found}");
    }
}
