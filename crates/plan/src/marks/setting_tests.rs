//! Lines, pairs and even gaps: closed forms, and what must hold for any text.

use super::*;
use crate::marks::letters::{Alphabet, Proportions, glyph};
use proptest::prelude::*;

const P: Proportions = Proportions { width: 0.6, wide: 0.9, stroke: 0.15 };

fn typed(text: &str, setting: &Setting) -> Set {
    set(text, setting, |c| glyph(Alphabet::Clipped, c, &P))
}

fn near(got: f64, want: f64) {
    assert!((got - want).abs() < 1e-12, "{got} {want}");
}

/// Gaps of a set text from left to right, lines and groups left out.
fn gaps(set: &Set) -> Vec<f64> {
    let pairs = set.glyphs.windows(2).filter(|w| w[0].line == w[1].line && !w[1].after_space);
    pairs.map(|w| w[1].x - w[0].x - w[0].glyph.width).collect()
}

#[test]
fn a_plain_line_is_its_widths_and_gaps() {
    // Closed form: 0.6 + 0.15 + 0.9 wide, 0.2 between H and I, 0.5 before M.
    let got = typed("HI M", &Setting::plain(0.2, 0.5));
    near(got.length, 0.6 + 0.2 + 0.15 + 0.5 + 0.9);
    near(got.depth, 1.0);
    assert_eq!(got.glyphs.iter().map(|g| (g.x * 1000.0).round()).collect::<Vec<_>>(), [0.0, 800.0, 1450.0]);
}

#[test]
fn lines_stand_below_each_other_as_they_are_asked_to() {
    // Closed form: lines 1.4 and 0.6 long, 1.3 from baseline to baseline.
    for (align, indent) in [(LineAlign::Left, 0.0), (LineAlign::Centre, 0.4), (LineAlign::Right, 0.8)] {
        let setting = Setting { line_gap: 0.3, align, ..Setting::plain(0.2, 0.5) };
        let got = typed("HE\n L \nEH", &setting);
        near(got.length, 1.4);
        near(got.depth, 3.6);
        let ell = &got.glyphs[2];
        assert_eq!((ell.glyph.char, ell.line), ('L', 1));
        near(ell.x, indent);
        near(ell.y, -1.3);
        near(got.glyphs[3].x, 0.0);
        near(got.glyphs[3].y, -2.6);
    }
}

#[test]
fn a_pair_moves_by_what_it_was_given_and_only_that_pair() {
    let setting = Setting { pairs: vec![('N', 'A', -0.02), ('H', 'N', 0.5)], ..Setting::plain(0.2, 0.5) };
    let got = gaps(&typed("NANH NA", &setting));
    for (got, want) in got.iter().zip([0.18, 0.2, 0.2, 0.18]) {
        near(*got, want);
    }
    // Across a space or a line break it is no pair.
    assert!(gaps(&typed("H N\nH", &setting)).is_empty());
    near(typed("H N", &setting).length, 0.6 + 0.5 + 0.6);
}

#[test]
fn an_ell_before_an_aitch_takes_no_more_and_two_aitches_take_what_the_ell_leaves_open() {
    // Closed form: the L is open a gap deep over 1 - t of its height; H beside H is not open at all.
    let gap = 0.2;
    let setting = Setting { optical: true, ..Setting::plain(gap, 0.5) };
    let got = gaps(&typed("LHH", &setting));
    near(got[0], gap);
    let rows = 64.0_f64;
    let open = gap * (1.0 - P.stroke);
    assert!((got[1] - gap - open).abs() < gap / rows, "{} {open}", got[1]);
}

fn text() -> impl Strategy<Value = String> {
    proptest::string::string_regex("[A-Z0-9]{1,4}[ \n]?[A-Z0-9&/.-]{1,5}").expect("a pattern of ours")
}

proptest! {
    #[test]
    fn even_gaps_are_never_less_than_plain_ones_and_leave_equal_areas(
        text in text(), gap in 0.1..0.4_f64, align in 0..3_usize
    ) {
        let align = [LineAlign::Left, LineAlign::Centre, LineAlign::Right][align];
        let plain = Setting { align, ..Setting::plain(gap, 0.6) };
        let even = typed(&text, &Setting { optical: true, ..plain.clone() });
        prop_assert!(gaps(&even).iter().all(|g| *g >= gap - 1e-12), "{:?}", gaps(&even));
        let pairs = even.glyphs.windows(2).filter(|w| w[0].line == w[1].line && !w[1].after_space);
        let areas: Vec<f64> =
            pairs.map(|w| w[1].x - w[0].x - w[0].glyph.width + open_area(&w[0].glyph, &w[1].glyph, gap)).collect();
        prop_assert!(areas.iter().all(|a| (a - areas[0]).abs() < 1e-12), "{:?}", areas);
        let groups = |set: &Set| -> Vec<f64> {
            let pairs = set.glyphs.windows(2).filter(|w| w[1].after_space);
            pairs.map(|w| w[1].x - w[0].x - w[0].glyph.width).collect()
        };
        prop_assert!(groups(&even).iter().all(|g| (g - 0.6).abs() < 1e-12));
        // Whatever the lines, the longest is as long as the mark and none hangs over its ends.
        for glyph in &even.glyphs {
            prop_assert!(glyph.x >= -1e-12 && glyph.x + glyph.glyph.width <= even.length + 1e-12);
        }
    }
}
