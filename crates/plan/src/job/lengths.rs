//! Lengths as a painter writes them: feet, inches and fractions, or metric.
//!
//! `24 3/8 in`, `24-3/8 in`, `1 ft 6 1/2 in`, `1' 6-1/2"`, `1′ 6½″`, `600 mm`, `-3 1/2 in`. A decimal point, never a
//! comma; every length says its unit. Whether a length may be negative or zero is asked elsewhere.

use super::types::Unit;
use std::ops::Range;

/// Why a text is not a length, and where in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotALength {
    /// What is wrong; lower case, no full stop.
    pub message: String,
    /// Which part of the text, as byte offsets into it.
    pub at: Range<usize>,
    /// The column of that part, in characters from 1.
    pub column: usize,
}

/// Millimetres of a length written as text with its unit.
///
/// # Errors
/// The first thing that is not part of a length, with its place in the text.
pub fn length_mm(text: &str) -> Result<f64, NotALength> {
    let mut scan = Scan { text, at: 0 };
    scan.skip_space();
    let negative = scan.take_minus();
    let mm = scan.feet_and_inches()?;
    scan.skip_space();
    if scan.at < text.len() {
        let rest = scan.at..text.len();
        let found = &text[rest.clone()];
        return Err(if found.starts_with(['-', '\u{2212}']) {
            scan.wrong(rest, "a minus sign between feet and inches".to_owned())
        } else {
            scan.wrong(rest, format!("`{found}` after the length: only feet and inches go together"))
        });
    }
    Ok(if negative { -mm } else { mm })
}

/// Millimetres of so many of a unit. Inches go by way of 127/5, so that fractions of an inch stay exact.
pub(crate) fn mm_of(value: f64, unit: Unit) -> f64 {
    match unit {
        Unit::In => value * 127.0 / 5.0,
        Unit::Ft => value * 1524.0 / 5.0,
        Unit::Mm => value,
        Unit::Cm => value * 10.0,
        Unit::M => value * 1000.0,
    }
}

/// Units of a length in text, and five times the millimetres of each, which are whole numbers.
/// The international inch is 25.4 mm exactly (agreement of 1959, from memory).
const UNITS: [(&str, f64); 14] = [
    ("in", 127.0),
    ("\"", 127.0),
    ("″", 127.0),
    ("”", 127.0),
    ("ft", 1524.0),
    ("'", 1524.0),
    ("′", 1524.0),
    ("’", 1524.0),
    ("yd", 4572.0),
    ("mm", 5.0),
    ("cm", 50.0),
    ("m", 5000.0),
    ("''", 127.0),
    ("′′", 127.0),
];

/// Fractions that are one character.
const VULGAR: [(char, f64, f64); 15] = [
    ('½', 1.0, 2.0),
    ('¼', 1.0, 4.0),
    ('¾', 3.0, 4.0),
    ('⅛', 1.0, 8.0),
    ('⅜', 3.0, 8.0),
    ('⅝', 5.0, 8.0),
    ('⅞', 7.0, 8.0),
    ('⅓', 1.0, 3.0),
    ('⅔', 2.0, 3.0),
    ('⅕', 1.0, 5.0),
    ('⅖', 2.0, 5.0),
    ('⅗', 3.0, 5.0),
    ('⅘', 4.0, 5.0),
    ('⅙', 1.0, 6.0),
    ('⅚', 5.0, 6.0),
];

/// A number read from a text: value times `over` is exact where it was a fraction.
struct Amount {
    above: f64,
    below: f64,
    whole: bool,
    span: Range<usize>,
}

struct Scan<'t> {
    text: &'t str,
    at: usize,
}

impl Scan<'_> {
    fn feet_and_inches(&mut self) -> Result<f64, NotALength> {
        let first = self.amount()?;
        let (unit, fifths) = self.unit()?;
        let mm = first.above * fifths / (first.below * 5.0);
        if unit != "ft" {
            return Ok(mm);
        }
        // A hyphen that touches both feet and inches only joins them; one with a space before it is a minus sign.
        let joined = self.rest().starts_with('-')
            && self.rest()[1..].starts_with(|c: char| c.is_ascii_digit() || is_vulgar(c));
        if joined {
            self.at += 1;
        } else {
            self.skip_space();
        }
        if !self.rest().starts_with(|c: char| c.is_ascii_digit() || c == '.' || is_vulgar(c)) {
            return Ok(mm);
        }
        let inches = self.amount()?;
        let (unit, fifths) = self.unit()?;
        let whole_span = first.span.start..self.at;
        if unit != "in" {
            return Err(self.wrong(whole_span, "only inches follow feet".to_owned()));
        }
        if !first.whole {
            return Err(self.wrong(first.span, "feet must be a whole number where inches follow".to_owned()));
        }
        if inches.above >= 12.0 * inches.below {
            return Err(self.wrong(inches.span, "inches after feet must be less than 12".to_owned()));
        }
        Ok((first.above * 12.0 * inches.below + inches.above) * fifths / (inches.below * 5.0))
    }

    /// `24`, `24.5`, `3/8`, `24 3/8`, `24-3/8`, `6½`, `½`.
    fn amount(&mut self) -> Result<Amount, NotALength> {
        self.skip_space();
        let start = self.at;
        if let Some((above, below)) = self.vulgar() {
            return Ok(Amount { above, below, whole: false, span: start..self.at });
        }
        let (first, decimal) = self.digits()?;
        let after_first = self.at;
        if self.rest().starts_with('/') {
            let below = self.below(decimal)?;
            return Ok(Amount { above: first, below, whole: false, span: start..self.at });
        }
        let joined = self.rest().starts_with('-');
        if joined {
            self.at += 1;
        } else {
            self.skip_space();
        }
        let fraction_start = self.at;
        if let Some((above, below)) = self.vulgar() {
            if decimal {
                return Err(
                    self.wrong(fraction_start..self.at, "a fraction after a decimal point".to_owned())
                );
            }
            return Ok(Amount { above: first * below + above, below, whole: false, span: start..self.at });
        }
        if self.rest().starts_with(|c: char| c.is_ascii_digit()) {
            let (above, second_decimal) = self.digits()?;
            if !self.rest().starts_with('/') {
                let message = "two numbers with no fraction between them".to_owned();
                return Err(self.wrong(start..self.at, message));
            }
            if decimal {
                return Err(
                    self.wrong(fraction_start..self.at, "a fraction after a decimal point".to_owned())
                );
            }
            let below = self.below(second_decimal)?;
            if above >= below {
                let message = "a fraction after a whole number must be less than 1".to_owned();
                return Err(self.wrong(fraction_start..self.at, message));
            }
            return Ok(Amount { above: first * below + above, below, whole: false, span: start..self.at });
        }
        self.at = after_first;
        Ok(Amount { above: first, below: 1.0, whole: !decimal, span: start..after_first })
    }

    /// The part of a fraction after its stroke.
    fn below(&mut self, above_is_decimal: bool) -> Result<f64, NotALength> {
        let slash = self.at;
        self.at += 1;
        let (below, decimal) = self.digits()?;
        if decimal || above_is_decimal {
            return Err(self.wrong(slash..self.at, "a decimal point in a fraction".to_owned()));
        }
        if below < 1.0 {
            return Err(self.wrong(slash..self.at, "a fraction of zero parts".to_owned()));
        }
        Ok(below)
    }

    /// Digits with at most one decimal point between them, and if there was one.
    fn digits(&mut self) -> Result<(f64, bool), NotALength> {
        let start = self.at;
        let run: usize = self.rest().bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
        let typed = &self.text[start..start + run];
        self.at += run;
        let next = self.rest().chars().next();
        if run == 0 {
            let word_end = start
                + self.rest().chars().take_while(|c| c.is_alphanumeric()).map(char::len_utf8).sum::<usize>();
            let word = &self.text[start..word_end];
            return Err(match (word.to_lowercase().as_str(), next) {
                ("nan", _) => self.wrong(start..word_end, "`nan` is not a number".to_owned()),
                ("inf" | "infinity", _) => self.wrong(start..word_end, "a length has an end".to_owned()),
                (_, None) => self.wrong(start..start, "a number is missing".to_owned()),
                (_, Some('-' | '\u{2212}')) => {
                    self.wrong(start..start + 1, "a minus sign that does not open the length".to_owned())
                }
                (_, Some(',')) => self.wrong(start..start + 1, "a decimal comma: write a point".to_owned()),
                (_, Some(c)) => {
                    let end = if word.is_empty() { start + c.len_utf8() } else { word_end };
                    self.wrong(
                        start..end,
                        format!("`{}` where a number should stand", &self.text[start..end]),
                    )
                }
            });
        }
        if next == Some(',') {
            return Err(self.wrong(self.at..self.at + 1, "a decimal comma: write a point".to_owned()));
        }
        if matches!(next, Some('e' | 'E'))
            && self.rest()[1..].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+')
        {
            let message = "a power of ten: write the number out, as in 1000 mm".to_owned();
            return Err(self.wrong(self.at..self.at + 1, message));
        }
        let decimal = typed.contains('.');
        if typed.matches('.').count() > 1 || typed.ends_with('.') {
            return Err(self.wrong(start..self.at, format!("`{typed}` is not a number")));
        }
        // Fifteen digits are all a double holds; more would be rounded without a word.
        if run > 15 {
            return Err(self.wrong(start..self.at, "more than 15 digits".to_owned()));
        }
        match typed.parse() {
            Ok(value) => Ok((value, decimal)),
            Err(_) => Err(self.wrong(start..self.at, format!("`{typed}` is not a number"))),
        }
    }

    fn vulgar(&mut self) -> Option<(f64, f64)> {
        let next = self.rest().chars().next()?;
        let (sign, above, below) = VULGAR.iter().find(|(sign, _, _)| *sign == next)?;
        self.at += sign.len_utf8();
        Some((*above, *below))
    }

    /// `ft`, `in` or another name, and five times its millimetres.
    fn unit(&mut self) -> Result<(&'static str, f64), NotALength> {
        let after_number = self.at;
        self.skip_space();
        let start = self.at;
        let word: usize = self.rest().chars().take_while(|c| c.is_alphabetic()).map(char::len_utf8).sum();
        let sign: usize =
            self.rest().chars().take_while(|c| "'’′\"″”".contains(*c)).map(char::len_utf8).sum();
        let end = start + if word > 0 { word } else { sign };
        let typed = &self.text[start..end];
        if let Some((name, fifths)) = UNITS.iter().find(|(name, _)| *name == typed) {
            self.at = end;
            let inch = (*fifths - 127.0).abs() < 0.5;
            let foot = (*fifths - 1524.0).abs() < 0.5;
            return Ok((
                if foot {
                    "ft"
                } else if inch {
                    "in"
                } else {
                    name
                },
                *fifths,
            ));
        }
        if typed.is_empty() {
            return Err(match self.rest().chars().next() {
                None => self.wrong(after_number..after_number, "the unit is missing".to_owned()),
                Some(',') => self.wrong(start..start + 1, "a decimal comma: write a point".to_owned()),
                Some('-' | '\u{2212}') => {
                    self.wrong(start..start + 1, "a minus sign in the middle of a length".to_owned())
                }
                Some(c) => {
                    self.wrong(start..start + c.len_utf8(), format!("`{c}` where the unit should stand"))
                }
            });
        }
        Err(self.wrong(start..end, format!("unknown unit `{typed}`")))
    }

    fn take_minus(&mut self) -> bool {
        let Some(sign) = self.rest().chars().next().filter(|c| matches!(c, '-' | '\u{2212}')) else {
            return false;
        };
        self.at += sign.len_utf8();
        true
    }

    fn skip_space(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn wrong(&self, at: Range<usize>, message: String) -> NotALength {
        let column = self.text[..at.start].chars().count() + 1;
        // A minus sign may be several bytes long: the part ends with a whole character.
        let mut end = at.end.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end += 1;
        }
        let at = at.start..end;
        NotALength { message, at, column }
    }
}

fn is_vulgar(c: char) -> bool {
    VULGAR.iter().any(|(sign, _, _)| *sign == c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Noise of a handful of double operations on lengths of some metres, mm.
    const NOISE_MM: f64 = 1e-9;

    /// Expected: exact rationals times 25.4 mm, worked out by hand.
    #[test]
    fn lengths_read_as_a_painter_means_them() {
        let table: [(&str, f64); 26] = [
            ("24 3/8 in", 619.125),
            ("24-3/8 in", 619.125),
            ("3/8 in", 9.525),
            ("1 ft 6 1/2 in", 469.9),
            ("1' 6-1/2\"", 469.9),
            ("1'-6 1/2\"", 469.9),
            ("1′ 6½″", 469.9),
            ("1’ 6½”", 469.9),
            ("1' 6''", 457.2),
            ("½ in", 12.7),
            ("6 ½ in", 165.1),
            ("600 mm", 600.0),
            ("600mm", 600.0),
            ("60 cm", 600.0),
            ("1.5 m", 1500.0),
            (".5 in", 12.7),
            ("12.5 ft", 3810.0),
            ("36 yd", 32918.4),
            ("-5 mm", -5.0),
            ("-3 1/2 in", -88.9),
            ("-1' 6\"", -457.2),
            ("\u{2212}2 in", -50.8),
            (" 9/8 in ", 28.575),
            ("1/3 in", 25.4 / 3.0),
            ("0 in", 0.0),
            ("1\u{a0}ft 0 in", 304.8),
        ];
        for (text, wanted) in table {
            let got = length_mm(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            assert!((got - wanted).abs() <= NOISE_MM, "{text}: wanted {wanted}, got {got}");
        }
    }

    #[test]
    fn every_wrong_length_says_what_is_wrong_and_in_which_column() {
        let table = [
            ("1,5 m", "a decimal comma: write a point", 2),
            ("24 3 in", "two numbers with no fraction between them", 1),
            ("5' -6\"", "a minus sign between feet and inches", 4),
            ("1e3 mm", "a power of ten: write the number out, as in 1000 mm", 2),
            ("nan mm", "`nan` is not a number", 1),
            ("inf m", "a length has an end", 1),
            ("3 furlong", "unknown unit `furlong`", 3),
            ("3 inch", "unknown unit `inch`", 3),
            ("24", "the unit is missing", 3),
            ("", "a number is missing", 1),
            ("-", "a number is missing", 2),
            ("--3 in", "a minus sign that does not open the length", 2),
            ("24 9/8 in", "a fraction after a whole number must be less than 1", 4),
            ("3/0 in", "a fraction of zero parts", 2),
            ("3.5/8 in", "a decimal point in a fraction", 4),
            ("24.5 3/8 in", "a fraction after a decimal point", 6),
            ("24.5½ in", "a fraction after a decimal point", 5),
            ("1.2.3 mm", "`1.2.3` is not a number", 1),
            ("5. in", "`5.` is not a number", 1),
            ("1 ft 14 in", "inches after feet must be less than 12", 6),
            ("1.5 ft 3 in", "feet must be a whole number where inches follow", 1),
            ("1 ft 3 mm", "only inches follow feet", 1),
            ("1 m 20 cm", "`20 cm` after the length: only feet and inches go together", 5),
            ("1 ft 6 1/2 in deep", "`deep` after the length: only feet and inches go together", 15),
            ("wide", "`wide` where a number should stand", 1),
            ("1 200 mm", "two numbers with no fraction between them", 1),
            ("5-in", "a minus sign in the middle of a length", 2),
            ("0\u{2212}", "a minus sign in the middle of a length", 2),
            ("1234567890123456 mm", "more than 15 digits", 1),
        ];
        for (text, message, column) in table {
            let wrong = length_mm(text).expect_err(text);
            assert_eq!((wrong.message.as_str(), wrong.column), (message, column), "{text}");
            assert!(text.get(wrong.at.clone()).is_some(), "{text}: {:?}", wrong.at);
        }
    }

    proptest! {
        #[test]
        fn any_sixty_fourth_reads_the_same_in_every_spelling(whole in 0u32..3000, part in 1u32..64) {
            let wanted = f64::from(whole * 64 + part) * 25.4 / 64.0;
            let (feet, inches) = (whole / 12, whole % 12);
            for text in [
                format!("{whole} {part}/64 in"),
                format!("{whole}-{part}/64\""),
                format!("{feet} ft {inches} {part}/64 in"),
                format!("{feet}'-{inches} {part}/64″"),
            ] {
                let got = length_mm(&text).unwrap();
                prop_assert!((got - wanted).abs() <= 1e-9 * wanted.max(1.0), "{} {} {}", text, got, wanted);
            }
        }

        #[test]
        fn no_text_makes_it_panic(text in "[ 0-9a-z'\"′″½/.,−-]{0,24}|\\PC{0,16}") {
            if let Err(wrong) = length_mm(&text) {
                prop_assert!(text.get(wrong.at).is_some());
            }
        }
    }
}
