//! Lengths as a painter reads them off a steel tape: inches to 1/32, and millimetres.
//!
//! Inside, everything is millimetres; this is the last step before paper or terminal. No feet: a layout is
//! measured with one tape from one zero, and inches alone cannot be misread as feet.

use crate::words::{GAP, Run, THIN, Words};
use geom::tolerance::NOISE_UNIT;
use std::fmt;

/// Millimetres in one inch, exactly (international yard and pound agreement, 1959).
pub const INCH_MM: f64 = 25.4;
/// Parts of an inch on a fine steel tape.
const PARTS: i64 = 32;

/// A reading on an inch tape. Its `Display` is the form for terminals: `24 3/8 in`, `0 in`, `-3 1/32 in`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TapeReading {
    /// Thirty-seconds of an inch from zero; `None` if the length was not a number.
    pub thirty_seconds: Option<i64>,
}

/// The mark on an inch tape nearest to `mm` millimetres.
///
/// Rounded to 1/32 in; exactly halfway goes away from zero, so that a reading and its mirror image differ
/// only in sign. Off by 1/64 in (0.4 mm) at most.
pub fn tape_measure(mm: f64) -> TapeReading {
    if !mm.is_finite() {
        return TapeReading { thirty_seconds: None };
    }
    let parts = mm.abs() * PARTS as f64 / INCH_MM;
    // Noise must not decide a tie: 1/64 in is not a whole binary fraction of a millimetre.
    let parts = (parts + 0.5 + NOISE_UNIT).floor() as i64;
    TapeReading { thirty_seconds: Some(if mm < 0.0 { -parts } else { parts }) }
}

impl TapeReading {
    /// Sign, whole inches, and the fraction in lowest terms (0 above if there is none).
    fn split(self) -> Option<(bool, i64, u32, u32)> {
        let parts = self.thirty_seconds?;
        let (whole, rest) = (parts.abs() / PARTS, (parts.abs() % PARTS) as u32);
        // 32 has no odd divisor, so only twos can be taken out.
        let twos = rest.trailing_zeros().min(PARTS.trailing_zeros());
        Some((parts < 0, whole, rest >> twos, PARTS as u32 >> twos))
    }

    /// The reading as it is set on paper, with a proper fraction and a true minus.
    pub fn words(self) -> Words {
        let Some((negative, whole, above, below)) = self.split() else {
            return Words::from("? in");
        };
        let mut front = String::from(if negative { "\u{2212}" } else { "" });
        if whole > 0 || above == 0 {
            front += &whole.to_string();
            if above > 0 {
                front.push(THIN);
            }
        }
        let mut runs = vec![Run::Plain(front)];
        if above > 0 {
            runs.push(Run::Fraction { above, below });
        }
        runs.push(Run::Plain(" in".to_owned()));
        runs.retain(|run| *run != Run::Plain(String::new()));
        Words(runs)
    }
}

impl fmt::Display for TapeReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some((negative, whole, above, below)) = self.split() else {
            return f.write_str("? in");
        };
        f.write_str(if negative { "-" } else { "" })?;
        match (whole, above) {
            (whole, 0) => write!(f, "{whole} in"),
            (0, above) => write!(f, "{above}/{below} in"),
            (whole, above) => write!(f, "{whole} {above}/{below} in"),
        }
    }
}

/// Millimetres to one decimal, `619.1 mm`; a whole number has none, `600 mm`.
///
/// A nought after the point is left out on purpose: a point lost under a smear of paint would turn 600.0
/// into 6000, and nobody lays a tape to a tenth.
pub fn mm_text(mm: f64) -> String {
    if !mm.is_finite() {
        return "? mm".to_owned();
    }
    let tenths = (mm.abs() * 10.0 + 0.5 + NOISE_UNIT).floor();
    let sign = if mm < 0.0 && tenths > 0.0 { "-" } else { "" };
    let text = format!("{:.1}", tenths / 10.0);
    format!("{sign}{} mm", text.strip_suffix(".0").unwrap_or(&text))
}

/// Both readings on one line for a terminal: `24 3/8 in  619.1 mm`.
pub fn both_text(mm: f64) -> String {
    format!("{}  {}", tape_measure(mm), mm_text(mm))
}

/// Both readings on one line as set on paper.
pub fn both_words(mm: f64) -> Words {
    tape_measure(mm).words().and(Words(vec![Run::Gap])).and(mm_words(mm))
}

/// Millimetres as set on paper, with a true minus.
pub fn mm_words(mm: f64) -> Words {
    Words::from(mm_text(mm).replace('-', "\u{2212}"))
}

/// Words as plain text, for a terminal or a description: fractions with an ordinary slash.
pub fn plain(words: &Words) -> String {
    let mut text = String::new();
    for run in &words.0 {
        match run {
            Run::Plain(letters) => text += letters,
            Run::Fraction { above, below } => text += &format!("{above}/{below}"),
            Run::Gap => text.push(GAP),
        }
    }
    text.replace(THIN, " ").replace(GAP, "  ").replace('\u{2212}', "-")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn readings_agree_with_the_tape() {
        // An inch is 25.4 mm and a foot 304.8 mm by definition (1959 agreement); 1/64 in = 0.396875 mm.
        for (mm, wanted) in [
            (0.0, "0 in"),
            (-0.0, "0 in"),
            (0.396_875, "1/32 in"),
            (-0.396_875, "-1/32 in"),
            (0.396_8, "0 in"),
            (-0.396_8, "0 in"),
            (25.4, "1 in"),
            (304.8, "12 in"),
            (619.125, "24 3/8 in"),
            (-76.993_75, "-3 1/32 in"),
            (304.8 - 0.793_75, "11 31/32 in"),
            (304.8 - 0.396_875, "12 in"),
            (304.8 - 0.396_9, "11 31/32 in"),
            (12.7, "1/2 in"),
            (f64::NAN, "? in"),
        ] {
            assert_eq!(tape_measure(mm).to_string(), wanted, "{mm} mm");
        }
    }

    #[test]
    fn every_tie_over_ten_feet_goes_away_from_zero() {
        for odd in (1..7680).step_by(2) {
            let mm = f64::from(odd) * INCH_MM / 64.0;
            assert_eq!(tape_measure(mm).thirty_seconds, Some(i64::from(odd + 1) / 2), "{odd}/64 in");
            assert_eq!(tape_measure(-mm).thirty_seconds, Some(-i64::from(odd + 1) / 2), "-{odd}/64 in");
        }
    }

    #[test]
    fn millimetres_keep_one_decimal_at_most() {
        for (mm, wanted) in [
            (0.0, "0 mm"),
            (-0.04, "0 mm"),
            (0.05, "0.1 mm"),
            (619.125, "619.1 mm"),
            (600.04, "600 mm"),
            (-12.35, "-12.4 mm"),
            (f64::INFINITY, "? mm"),
        ] {
            assert_eq!(mm_text(mm), wanted, "{mm}");
        }
        assert_eq!(both_text(619.125), "24 3/8 in  619.1 mm");
    }

    proptest! {
        #[test]
        fn set_and_plain_forms_say_the_same(mm in -5000.0..5000.0_f64) {
            prop_assert_eq!(plain(&tape_measure(mm).words()), tape_measure(mm).to_string());
            prop_assert_eq!(plain(&both_words(mm)), both_text(mm));
        }

        #[test]
        fn a_reading_is_never_off_by_more_than_half_a_part(mm in -5000.0..5000.0_f64) {
            let parts = tape_measure(mm).thirty_seconds.unwrap();
            prop_assert!((parts as f64 * INCH_MM / 32.0 - mm).abs() <= INCH_MM / 64.0 + 1e-9);
        }
    }
}
