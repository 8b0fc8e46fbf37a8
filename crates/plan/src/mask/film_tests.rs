//! Film held against figures by hand, and the promises it makes held on many marks.

use super::film::{CLEAR, LAP, ON_TACK, RIM};
use super::film_rolls::film_rolls;
use super::plan::{Kind, TabKind};
use super::{Film, Mask};
use crate::Plan;
use crate::job::Attachments;
use geom::boolean::{difference, intersection, union};
use geom::distance::point_to_edge;
use geom::tolerance::FLATTEN_MM;
use geom::{Point, Ring};

const CURVED: &[u8] = include_bytes!("../../../../data/fonts/DejaVuSans.ttf");
const FONT: &str = "letters = { font = \"curved.ttf\" }";
const SQUARE: &str = "letters = \"square\"";
const ROUNDED: &str = "letters = \"rounded\"";
const INCH: f64 = 25.4;
const SHORT: f64 = INCH / 16.0;

fn planned(mark: &str, text: &str, height: f64, film: &str) -> Plan {
    let (wide, tall) = (2.0 * height * text.len() as f64 + 20.0, 5.0 * height + 10.0);
    let job = format!(
        r#"title = "trial"
units = "in"
[[surface]]
id = "panel"
kind = "flat"
corners = [[0, 0], [{wide}, 0], [{wide}, {tall}], [0, {tall}]]
[[mark]]
id = "m"
surface = "panel"
text = "{text}"
legal = false
height = {height}
place = {{ at = [{}, {}] }}
{mark}
[masking]
method = "cut-mask"
tack_tape = {{ width = "3/4 in", real = "18 mm" }}
{film}
"#,
        wide / 2.0,
        tall / 2.0
    );
    let mut files = Attachments::default();
    files.files.insert("curved.ttf".to_owned(), CURVED.to_vec());
    crate::run(&crate::job::read(&job).unwrap(), &files).unwrap()
}

fn film(mask: &Mask) -> &Film {
    mask.film.as_ref().unwrap()
}

fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

/// A plain I is a rectangle. By hand: the box is 4 in larger both ways, the film the box less the letter, the four
/// relief cuts run from its corners to the corners of the box, and the strips are four trapezia.
#[test]
fn the_film_of_an_i_is_a_frame_in_four_strips() {
    let plan = planned(SQUARE, "I", 6.0, "film = [{ width = \"12 in\", roll = \"20 yd\" }]");
    let mask = &plan.masking.masks[0];
    let (lo, hi) = plan.marks[0].glyphs[0].rings[0].bounds().unwrap();
    let (w, h) = (hi.x - lo.x, hi.y - lo.y);
    assert_eq!(plan.marks[0].glyphs[0].rings[0].vertices.len(), 4, "an I of this style is a rectangle");
    let panel = &film(mask).panels[0];
    let boxed = (w + 2.0 * RIM) * (h + 2.0 * RIM);
    near(Ring::from_points(panel.outline.iter().copied()).area(), boxed, 0.01);
    near(panel.area, boxed - w * h, 0.01);
    assert_eq!(panel.relief.len(), 4);
    for cut in &panel.relief {
        assert!(!cut.gap);
        near(cut.line[0].distance(cut.line[1]), RIM * 2.0_f64.sqrt() - SHORT, 0.001);
    }
    let strips: Vec<f64> =
        mask.pieces.iter().filter(|p| p.kind == Kind::Film).map(|p| area(&p.footprint)).collect();
    assert_eq!(strips.len(), 4);
    // Laid last first: the order of pulling is top, left, foot, right.
    let want = [(w + RIM) * RIM, (h + RIM) * RIM, (w + RIM) * RIM, (h + RIM) * RIM];
    for (got, want) in strips.iter().rev().zip(want) {
        // A cut takes 0.01 mm on the computer, 2.8 in long.
        near(*got, want, 1.0);
    }
    // Along the roll the box and 1/2 in at both ends; one run of 12 in application tape carries it.
    let [length, across] = panel.size;
    near(length.min(across), w + 2.0 * RIM, 0.001);
    near(panel.taken, length + INCH, 0.001);
    assert_eq!(panel.carry.0, 1);
    // The tack strip: a frame 1/4 in inside the box, each length run on past both corners by what shows beyond it.
    let tack: Vec<_> = mask.pieces.iter().filter(|p| p.kind == Kind::Tack).collect();
    assert_eq!(tack.len(), 4);
    let round = 2.0 * (w + h + 4.0 * (RIM - ON_TACK)) + 8.0 * (18.0 - ON_TACK);
    near(mask.totals.tack, round, 0.01);
    assert_eq!(mask.totals.tabs, 4);
}

/// Holds on every mark: pieces tile the panels less the paint; no cut near paint; the whole rim of the paint is under
/// film; what lies over a piece is pulled before it.
#[test]
fn film_covers_all_but_the_paint_and_comes_off_in_order() {
    let narrow = "film = [{ width = \"15 in\" }]";
    for (mark, text, height, stock) in [
        (SQUARE, "N417RW", 3.0, narrow),
        (SQUARE, "AVE8B", 12.0, narrow),
        (ROUNDED, "O8SQ", 20.0, narrow),
        (FONT, "aegjB8%&", 6.0, narrow),
        (FONT, "AVAWA", 10.0, "film = [{ width = \"24 in\" }, { width = \"15 in\" }]"),
        ("letters = \"clipped\"\nslant_deg = 15", "HERON", 8.0, narrow),
        ("letters = \"square\"\noutline = { width = 0.5, paint = \"x\" }", "AB", 8.0, narrow),
        ("letters = \"square\"\nshadow = { by = [1, -1], paint = \"x\" }", "P8", 8.0, narrow),
    ] {
        let more = if mark.contains("paint") {
            format!(
                "{stock}\n[[paint]]\nid = \"x\"\ncolour = \"#c0a040\"\n[[paint]]\nid = \"y\"\ncolour = \"#102040\""
            )
        } else {
            stock.to_owned()
        };
        let own = if mark.contains("paint") { format!("{mark}\npaint = \"y\"") } else { mark.to_owned() };
        let plan = planned(&own, text, height, &more);
        let fails: Vec<_> = plan
            .findings
            .iter()
            .filter(|f| f.code == "film-covers" && !f.message.contains("leave no"))
            .collect();
        assert!(fails.is_empty(), "{text}: {fails:?}");
        assert_eq!(plan.masking.masks.len(), if mark.contains("paint") { 2 } else { 1 });
        for mask in &plan.masking.masks {
            let panels = &film(mask).panels;
            let boxes: Vec<Ring> =
                panels.iter().map(|p| Ring::from_points(p.outline.iter().copied())).collect();
            let paint: Vec<Ring> = union(
                &mask
                    .sprayed
                    .iter()
                    .flatten()
                    .map(|r| Ring::from_points(r.flattened(FLATTEN_MM)))
                    .collect::<Vec<_>>(),
                &[],
            );
            let pieces: Vec<_> = mask.pieces.iter().filter(|p| p.kind == Kind::Film).collect();
            // Piece by piece against the whole: laps counted as often as panels lie there.
            let laid: f64 = pieces.iter().map(|p| area(&p.footprint)).sum();
            let slits: f64 =
                panels.iter().flat_map(|p| &p.relief).map(|r| r.line[0].distance(r.line[1])).sum();
            let wanted: f64 = panels.iter().map(|p| p.area).sum();
            near(laid, wanted, 0.02 * slits + 0.02 * paint.iter().map(Ring::perimeter).sum::<f64>());
            // The paint less all boxes is nothing: every letter is on a panel.
            assert!(area(&difference(&paint, &boxes)) < 0.01, "{text}");
            // 1/16 in all round the paint is under film or paint.
            let round = geom::boolean::outset(&paint, SHORT, FLATTEN_MM);
            let all: Vec<Ring> =
                pieces.iter().flat_map(|p| p.footprint.iter().cloned()).chain(paint.clone()).collect();
            assert!(area(&difference(&round, &all)) < 0.02 * slits + 1.0, "{text}");
            for p in &pieces {
                assert!(area(&intersection(&p.footprint, &paint)) < 0.5, "{text} {} lies on paint", p.id);
                assert_ne!(p.tab.kind, TabKind::None);
                for below in &p.over {
                    assert!(
                        mask.pieces[*below].pull > p.pull && mask.pieces[*below].lay < p.lay,
                        "{text} {}",
                        p.id
                    );
                }
                if !p.tab.area.is_empty() {
                    let tab = [Ring::from_points(p.tab.area.iter().copied())];
                    assert!(area(&intersection(&tab, &paint)).abs() < 0.01);
                }
            }
            for panel in panels {
                let cuts = panel.relief.iter().map(|r| r.line).chain(panel.weeding.iter().copied());
                for [a, b] in cuts {
                    for k in 0..=50 {
                        let p = a.lerp(b, f64::from(k) / 50.0);
                        let off = paint
                            .iter()
                            .flat_map(Ring::edges)
                            .map(|e| point_to_edge(p, &e))
                            .fold(f64::INFINITY, f64::min);
                        assert!(off >= CLEAR - 0.02, "{text} {}: {off} at {p:?}", panel.id);
                    }
                }
                for cut in panel.relief.iter().filter(|r| !r.gap) {
                    let off = |p: Point| {
                        paint
                            .iter()
                            .flat_map(Ring::edges)
                            .map(|e| point_to_edge(p, &e))
                            .fold(f64::INFINITY, f64::min)
                    };
                    near(off(cut.line[0]), SHORT, 0.03);
                }
            }
        }
    }
}

/// 8 letters 12 in high: the 15 in roll is too narrow for a box of 16 in along the baseline, and runs up the letters
/// in panels of one or two; the 24 in roll takes them along it. Neighbours lap by 1/2 in where the gap has room.
#[test]
fn film_runs_whichever_way_takes_fewer_panels_and_each_laps_the_next() {
    let lap_of = |plan: &Plan| {
        let panels = &film(&plan.masking.masks[0]).panels;
        let boxed = |k: usize| Ring::from_points(panels[k].outline.iter().copied());
        (1..panels.len())
            .map(|k| {
                let shared = intersection(&[boxed(k - 1)], &[boxed(k)]);
                let (lo, hi) = shared[0].bounds().unwrap();
                hi.x - lo.x
            })
            .collect::<Vec<f64>>()
    };
    let wide = planned(SQUARE, "HENEHENE", 12.0, "film = [{ width = \"24 in\" }]");
    let panels = &film(&wide.masking.masks[0]).panels;
    // 8 letters 8 in wide and 7 gaps of 2 in are 78 in, and 4 in of rim: two panels of an arm's reach.
    assert_eq!(panels.len(), 2);
    assert!(panels.iter().all(|p| p.size[0] <= 60.0 * INCH && (p.along.x - 1.0).abs() < 1e-9));
    for lap in lap_of(&wide) {
        near(lap, LAP, 0.001);
    }
    let narrow = planned(SQUARE, "HENEHENE", 12.0, "film = [{ width = \"15 in\" }]");
    let panels = &film(&narrow.masking.masks[0]).panels;
    assert!(panels.iter().all(|p| p.size[1] <= 14.0 * INCH + 0.001 && (p.along.y - 1.0).abs() < 1e-9));
    assert_eq!(panels.len(), 8);
    for lap in lap_of(&narrow) {
        near(lap, LAP, 0.001);
    }
    // Larger than the film both ways: parted across, and said.
    let tall = planned(SQUARE, "W", 30.0, "film = [{ width = \"24 in\" }]");
    assert!(tall.findings.iter().any(|f| f.code == "film-through-paint"));
    let panels = &film(&tall.masking.masks[0]).panels;
    // 34 in of box in rows of at most 23 in that lap by 1/2 in: two of 17-1/4 in.
    assert_eq!(panels.len(), 2);
    for p in panels {
        near(p.size[1], 17.25 * INCH, 0.001);
    }
}

/// By hand: panels of 60.25 and 20.25 in off a roll of 20 yd; 16 in of box under 8 in tape that laps by 1/4 in take
/// three runs.
#[test]
fn rolls_of_film_and_application_tape_add_up() {
    let plan = planned(
        SQUARE,
        "HENEHENE",
        12.0,
        "film = [{ width = \"24 in\", roll = \"20 yd\" }]\napplication_tape = { width = \"8 in\" }",
    );
    let panels = &film(&plan.masking.masks[0]).panels;
    let rolls = film_rolls(&plan.masking);
    assert_eq!(rolls.len(), 2);
    assert_eq!((rolls[0].what, rolls[0].pieces, rolls[0].rolls.rolls), ("mask film", panels.len(), 1));
    near(rolls[0].need, panels.iter().map(|p| p.size[0] + INCH).sum(), 0.001);
    assert_eq!((rolls[1].what, rolls[1].pieces), ("application tape", 3 * panels.len()));
    near(rolls[1].need, 3.0 * rolls[0].need, 0.001);
    assert!(!plan.findings.iter().any(|f| f.code == "film-standing"));
    let bare = planned(SQUARE, "HE", 6.0, "");
    let said = bare.findings.iter().find(|f| f.code == "film-standing").unwrap();
    assert!(said.message.contains("24 in") && said.message.contains("12 in"), "{}", said.message);
}

/// By hand: an I 30 in high is lifted in three parts; both cuts cross its 5 in stroke but for 1/16 in at either end, at
/// a third and at two thirds. Four more run from the box's corners to 1/4 in from the film's edge: on film 12 in wide a
/// box of 9 in leaves 1-1/4 in.
#[test]
fn the_waste_of_a_tall_i_is_lifted_in_three_parts() {
    let plan = planned(SQUARE, "I", 30.0, "film = [{ width = \"12 in\" }]");
    let panel = &film(&plan.masking.masks[0]).panels[0];
    let (lo, hi) = plan.marks[0].glyphs[0].rings[0].bounds().unwrap();
    let across: Vec<_> = panel.weeding.iter().filter(|[a, b]| lo.x < a.x && b.x < hi.x).collect();
    assert_eq!((panel.weeding.len(), across.len()), (6, 2));
    for (k, [a, b]) in across.into_iter().enumerate() {
        near(a.distance(*b), hi.x - lo.x - 2.0 * SHORT, 0.001);
        near(a.y, lo.y + (k + 1) as f64 * 10.0 * INCH, 0.001);
    }
    let beside = (12.0 * INCH - (hi.x - lo.x) - 2.0 * RIM) / 2.0 - INCH / 4.0;
    for [a, b] in panel.weeding.iter().filter(|[a, _]| a.x < lo.x || hi.x < a.x) {
        near(a.distance(*b), beside, 0.001);
    }
}
