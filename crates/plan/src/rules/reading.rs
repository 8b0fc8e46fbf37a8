//! Numbers of a rule as a painter reads them. A length that is compared is read to the nearest line of the
//! tape; one that is to be made is read on the safe side of its bound.

use crate::words::length;
use geom::tolerance::RULE_NOISE_MM;
use sheet::units::{INCH_MM, TapeReading, mm_text};

/// Lines an inch of a steel tape, as in `sheet::units`.
const LINES: f64 = 32.0;

/// A length to the nearest line of the tape, millimetres beside it: `12 in (304.8 mm)`.
pub(super) fn both(mm: f64) -> String {
    length(mm)
}

/// The next reading that is no less: what to make where a rule asks at least `mm`.
pub(super) fn at_least(mm: f64) -> String {
    reading(mm, f64::ceil, -RULE_NOISE_MM)
}

/// The next reading that is no more: what to make where a rule asks at most `mm`.
pub(super) fn at_most(mm: f64) -> String {
    reading(mm, f64::floor, RULE_NOISE_MM)
}

/// Both scales rounded one way; `noise` keeps a length on a line there.
fn reading(mm: f64, round: fn(f64) -> f64, noise: f64) -> String {
    let lines = round((mm + noise) / INCH_MM * LINES);
    let tenths = round((mm + noise) * 10.0);
    format!("{} ({})", TapeReading { thirty_seconds: Some(lines as i64) }, mm_text(tenths / 10.0))
}

/// A number with at most `digits` decimals and no trailing zeros.
pub(super) fn trimmed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_to_be_made_is_read_on_the_safe_side() {
        // A quarter of two thirds of 11 1/2 in is 1.9167 in: between 1 29/32 and 1 15/16 in.
        let gap = 11.5 * INCH_MM / 6.0;
        assert_eq!(both(gap), "1 29/32 in (48.7 mm)");
        assert_eq!(at_least(gap), "1 15/16 in (48.7 mm)");
        assert_eq!(at_most(gap), "1 29/32 in (48.6 mm)");
        for on_a_line in [304.8, 76.2, 50.8] {
            assert_eq!(at_least(on_a_line), both(on_a_line));
            assert_eq!(at_most(on_a_line), both(on_a_line));
        }
    }

    proptest! {
        #[test]
        fn a_comparison_reads_the_way_it_is(a in 0.0..3000.0_f64, b in 0.0..3000.0_f64) {
            let lines = |mm: f64| sheet::units::tape_measure(mm).thirty_seconds;
            prop_assert_eq!(a <= b, lines(a) < lines(b) || (lines(a) == lines(b) && a <= b));
        }
    }
}
