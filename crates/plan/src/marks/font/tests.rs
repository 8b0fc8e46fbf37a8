//! Fonts of our own drawing (`hangar/fonts/make.py` has every number), whole and damaged.

use super::*;
use crate::marks::thickness::thickness;
use geom::{Point, Vec2};
use proptest::prelude::*;

const PLAIN: &[u8] = include_bytes!("../../../../../hangar/fonts/plain.ttf");
const CUBIC: &[u8] = include_bytes!("../../../../../hangar/fonts/cubic.otf");
const VARIABLE: &[u8] = include_bytes!("../../../../../hangar/fonts/variable.ttf");
const CHARACTERS: &str = "HIO8AX-=";

/// Height of the capitals and thickness of the strokes in the drawings, units.
const CAP: f64 = 700.0;
const STROKE: f64 = 120.0;

fn all() -> [Font; 3] {
    [PLAIN, CUBIC, VARIABLE].map(|bytes| read("test", bytes).unwrap())
}

fn area(g: &Glyph) -> f64 {
    g.rings.iter().map(Ring::area).sum()
}

fn message(bytes: &[u8]) -> String {
    let problems = read("a.ttf", bytes).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].file, "a.ttf");
    problems[0].message.clone()
}

/// The font with one table's bytes changed; `change` gets the table.
fn with_table(font: &[u8], tag: &[u8; 4], change: impl Fn(&mut [u8])) -> Vec<u8> {
    let mut bytes = font.to_vec();
    let (at, length) = record(font, tag);
    change(&mut bytes[at..at + length]);
    bytes
}

/// Start and length of a table.
fn record(font: &[u8], tag: &[u8; 4]) -> (usize, usize) {
    let word = |at: usize| u32::from_be_bytes(*font[at..].first_chunk().unwrap()) as usize;
    let at = 12 + 16 * (0..).find(|k| font[12 + 16 * k..].starts_with(tag)).unwrap();
    (word(at + 8), word(at + 12))
}

/// The font with a table's name in the list changed, so that it is not found.
fn renamed(font: &[u8], tag: &[u8; 4], to: &[u8; 4]) -> Vec<u8> {
    let mut bytes = font.to_vec();
    let at = 12 + 16 * (0..).find(|k| font[12 + 16 * k..].starts_with(tag)).unwrap();
    bytes[at..at + 4].copy_from_slice(to);
    bytes
}

#[test]
fn an_h_is_one_cap_high_and_as_wide_as_its_paint() {
    for font in all() {
        assert!((font.cap_height_em() - 0.7).abs() < 1e-6);
        let h = font.glyph('H').unwrap();
        let (lo, hi) = h.rings[0].bounds().unwrap();
        assert!(lo.to_vec2().hypot() < 1e-6 && (hi.y - 1.0).abs() < 1e-6);
        assert!((hi.x - 400.0 / CAP).abs() < 1e-6 && (h.width - hi.x).abs() < 1e-9);
        // Two posts and a bar.
        let want = (2.0 * STROKE * CAP + (400.0 - 2.0 * STROKE) * STROKE) / CAP / CAP;
        assert!((area(&h) - want).abs() < 1e-6);
        let white = font.bearings('H').unwrap();
        assert!((white.left - 60.0 / CAP).abs() < 1e-6 && (white.right - 60.0 / CAP).abs() < 1e-6);
    }
}

#[test]
fn a_round_letter_has_the_area_between_its_ovals() {
    // Closed form: pi a b; the drawings' curves miss an ellipse by less than 0.1 per cent of its area.
    let want = std::f64::consts::PI * (230.0 * 360.0 - 110.0 * 240.0) / CAP / CAP;
    for font in all() {
        let o = font.glyph('O').unwrap();
        assert_eq!(o.rings.len(), 2);
        assert!(o.rings[0].area() > 0.0 && o.rings[1].area() < 0.0);
        assert!((area(&o) / want - 1.0).abs() < 0.001, "{}", area(&o) / want);
        assert!((o.width - 460.0 / CAP).abs() < 1e-3);
        let (lo, hi) = o.rings[0].bounds().unwrap();
        assert!((lo.y + 10.0 / CAP).abs() < 1e-3 && (hi.y - 710.0 / CAP).abs() < 1e-3);
    }
}

#[test]
fn overlapping_and_borrowed_parts_are_single_outlines() {
    for font in all() {
        assert_eq!(font.glyph('X').unwrap().rings.len(), 1);
        assert_eq!(font.glyph('8').unwrap().rings.iter().filter(|r| r.area() > 0.0).count(), 1);
        assert_eq!(font.glyph('8').unwrap().rings.len(), 3);
        let equal = font.glyph('=').unwrap();
        assert_eq!(equal.rings.len(), 2);
        assert!((area(&equal) - 2.0 * 280.0 * STROKE / CAP / CAP).abs() < 1e-6);
    }
}

#[test]
fn strokes_of_a_font_measure_what_was_drawn() {
    for font in all() {
        for ch in "HI-=".chars() {
            let t = thickness(&font.glyph(ch).unwrap().rings).unwrap();
            let within = |x: f64| (x * CAP / STROKE - 1.0).abs() < 1e-5;
            assert!(within(t.least) && within(t.most) && within(t.median), "{ch} {t:?}");
        }
        // Between two ovals of the same stroke the paint is thinner along the slopes, never thicker.
        let o = thickness(&font.glyph('O').unwrap().rings).unwrap();
        assert!((o.most * CAP / STROKE - 1.0).abs() < 0.01 && o.least < o.most && 0.85 * o.most < o.least);
    }
}

#[test]
fn outlines_keep_within_the_flattening_of_their_curves() {
    // Every corner of the plain O's outside lies on its quadratics, and the middle of every chord within the
    // tolerance of them: here against 2000 points on each curve, worked out from the numbers of the drawing.
    let font = read("plain", PLAIN).unwrap();
    let ring = font.glyph('O').unwrap().rings.remove(0);
    let curve = drawn_oval(280.0, 350.0, 230.0, 360.0);
    let n = ring.vertices.len();
    assert!((100..1000).contains(&n), "{n} corners");
    let shift = curve.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    for i in 0..n {
        let p = ring.vertices[i].p.midpoint(ring.vertices[(i + 1) % n].p);
        let near = (0..curve.len()).map(|k| {
            let (a, b) = (Point::from(curve[k]), Point::from(curve[(k + 1) % curve.len()]));
            let (a, b) = (a - Vec2::new(shift, 0.0), b - Vec2::new(shift, 0.0));
            let along = b - a;
            let share = ((p - a).dot(along) / along.hypot2()).clamp(0.0, 1.0);
            p.distance(a.lerp(b, share))
        });
        let near = near.fold(f64::INFINITY, f64::min);
        // The chords between the 2000 points rise by less than a hundred millionth.
        assert!(near < geom::tolerance::GLYPH_FLATTEN + 1.1e-7, "{near:e}");
    }
}

fn drawn_oval(x: f64, y: f64, a: f64, b: f64) -> Vec<(f64, f64)> {
    let step = std::f64::consts::TAU / 16.0;
    let at = |k: f64, r: f64| {
        ((x - a * r * (k * step).cos()).round() / CAP, (y + b * r * (k * step).sin()).round() / CAP)
    };
    let mut points = Vec::new();
    for k in 0..16 {
        let k = f64::from(k);
        let (p, q, r) = (at(k, 1.0), at(k + 0.5, 1.0 / (step / 2.0).cos()), at(k + 1.0, 1.0));
        for i in 0..2000 {
            let t = f64::from(i) / 2000.0;
            let mix = |u: f64, v: f64, w: f64| (1.0 - t).powi(2) * u + 2.0 * t * (1.0 - t) * v + t * t * w;
            points.push((mix(p.0, q.0, r.0), mix(p.1, q.1, r.1)));
        }
    }
    points
}

#[test]
fn characters_a_font_lacks_and_characters_without_paint_are_told_apart() {
    for font in all() {
        assert_eq!(font.glyph('Q'), Err(GlyphTrouble::Missing('Q')));
        assert_eq!(font.glyph(' '), Err(GlyphTrouble::Empty(' ')));
        assert_eq!(font.bearings('Q'), Err(GlyphTrouble::Missing('Q')));
    }
    assert_eq!(GlyphTrouble::Missing('Q').to_string(), "the font has no `Q`");
}

#[test]
fn files_that_are_no_fonts_say_what_they_are() {
    let start = |word: &[u8]| [word, &[0; 60]].concat();
    assert_eq!(message(b"MARK ONE"), "this is not a font file");
    assert_eq!(message(b""), "a font file of 0 bytes is empty or cut short");
    assert_eq!(message(&start(b"wOFF")), "this is a WOFF file, a font packed for web pages");
    assert_eq!(message(&start(b"wOF2")), "this is a WOFF2 file, a font packed for web pages");
    assert_eq!(message(&start(b"ttcf")), "this is a collection of several fonts in one file");
    assert_eq!(message(&start(b"%!PS")), "this is a PostScript Type 1 font");
    assert_eq!(message(&vec![0; 33 << 20]), "a font of 33 MB is too large");
}

#[test]
fn a_font_cut_short_says_where() {
    let cut = message(&PLAIN[..PLAIN.len() - 40]);
    assert!(cut.contains("the file at byte 1484"), "{cut}");
    assert_eq!(message(&PLAIN[..20]), "the font ends within its list of tables, at byte 20");
    assert_eq!(message(&PLAIN[..30]), "the font's table `OS/2` ends at byte 392, the file at byte 30");
}

#[test]
fn fonts_without_outlines_are_told_by_what_they_have_instead() {
    assert_eq!(message(&renamed(PLAIN, b"glyf", b"none")), "the font has no outlines");
    let dots = message(&renamed(PLAIN, b"glyf", b"EBDT"));
    assert_eq!(dots, "the font is made of pictures of dots and has no outlines");
    let second = message(&renamed(CUBIC, b"CFF ", b"CFF2"));
    assert!(second.contains("a CFF2 table"), "{second}");
}

#[test]
fn units_that_make_no_sense_are_refused() {
    let units = with_table(PLAIN, b"head", |t| t[18..20].copy_from_slice(&[0, 3]));
    assert_eq!(message(&units), "the font has 3 units in an em");
    let wide = with_table(PLAIN, b"head", |t| t[18..20].copy_from_slice(&[0, 100]));
    assert_eq!(message(&wide), "the font's capitals are 7.000 of an em high");
}

#[test]
fn without_an_h_the_files_own_word_counts_and_without_both_nothing_does() {
    let without_map = renamed(PLAIN, b"cmap", b"none");
    let font = read("test", &without_map).unwrap();
    assert!((font.cap_height_em() - 0.7).abs() < 1e-9);
    assert_eq!(font.glyph('H'), Err(GlyphTrouble::Missing('H')));
    let without_both = renamed(&without_map, b"OS/2", b"none");
    assert!(message(&without_both).starts_with("the font has no H"));
}

#[test]
fn a_wrong_word_about_the_capitals_does_not_change_their_height() {
    // sCapHeight stands at byte 88 of OS/2, version 2 and up (OpenType, from memory).
    let wrong = with_table(PLAIN, b"OS/2", |t| t[88..90].copy_from_slice(&690u16.to_be_bytes()));
    assert_ne!(wrong, PLAIN);
    assert!((read("test", &wrong).unwrap().cap_height_em() - 0.7).abs() < 1e-9);
}

#[test]
fn a_letter_made_of_itself_is_refused() {
    // `=` is the last glyph: its parts are set to be itself.
    let equal = with_table(PLAIN, b"glyf", |t| {
        let hyphen = 8u16.to_be_bytes();
        for k in 0..t.len() - 4 {
            if t[k + 2..k + 4] == hyphen && t[k] == 0 && t[k + 1] & 0x02 != 0 && k > t.len() - 40 {
                t[k + 3] = 9;
            }
        }
    });
    assert_ne!(equal, PLAIN);
    assert_eq!(read("test", &equal).unwrap().glyph('='), Err(GlyphTrouble::Intricate('=')));
}

fn exercise(bytes: &[u8]) {
    let Ok(font) = read("damaged", bytes) else { return };
    for ch in CHARACTERS.chars() {
        if let Ok(g) = font.glyph(ch) {
            assert!(g.width.is_finite() && 0.0 < g.width && !g.rings.is_empty());
            assert!(g.rings.iter().flat_map(|r| &r.vertices).all(|v| v.p.is_finite()));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn damaged_fonts_are_read_or_refused_and_never_hang(
        which in 0..3usize,
        spots in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = [PLAIN, CUBIC, VARIABLE][which].to_vec();
        for (at, byte) in spots {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        exercise(&bytes);
    }

    #[test]
    fn damaged_drawings_are_drawn_or_refused(
        cubic in any::<bool>(),
        spots in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        // Damage to the drawings alone gets past the list of tables more often.
        let (font, tag) = if cubic { (CUBIC, b"CFF ") } else { (PLAIN, b"glyf") };
        let (start, length) = record(font, tag);
        let mut bytes = font.to_vec();
        for (at, byte) in spots {
            bytes[start + at.index(length)] = byte;
        }
        exercise(&bytes);
    }
}
