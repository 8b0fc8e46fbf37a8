//! A line of words as it is set: plain letters, proper fractions, and wider spaces between two readings.
//!
//! Words carry no place and no size; `Text` gives them both.

use crate::advance::{FRACTION_AIR, FRACTION_SIZE, FRACTION_SLASH, text_width};

/// How heavy letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// The usual weight.
    Regular,
    /// For headings and for the one figure that must not be missed.
    Bold,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Run {
    /// Letters as they come. Never read as markup, whatever they say.
    Plain(String),
    /// A fraction set with small figures either side of a fraction slash.
    Fraction {
        /// Above the slash.
        above: u32,
        /// Below it.
        below: u32,
    },
    /// A space that keeps its width, between two readings of one length.
    Gap,
}

/// A line of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words(pub Vec<Run>);

/// The space that keeps its width, half an em: ordinary spaces in a row run together when drawn.
pub const GAP: char = '\u{2002}';
/// The thin space between a whole number and its fraction. It is a real character, so that copied or
/// read aloud "24 3/8" never turns into "243/8".
pub const THIN: char = '\u{2009}';
/// The slash made for fractions.
pub const FRACTION_SLASH_CHAR: char = '\u{2044}';

impl Words {
    /// Estimated width, mm, at `size` mm to the em; not less than what will be drawn.
    pub fn width(&self, size: f64, weight: Weight) -> f64 {
        let ems: f64 = self
            .0
            .iter()
            .map(|run| match run {
                Run::Plain(text) => text_width(text, weight),
                Run::Gap => text_width(&GAP.to_string(), weight),
                Run::Fraction { above, below } => {
                    let figures = text_width(&format!("{above}{below}"), weight);
                    figures * FRACTION_SIZE + FRACTION_SLASH + 2.0 * FRACTION_AIR
                }
            })
            .sum();
        ems * size
    }

    /// This line and then `more`.
    pub fn and(mut self, more: impl Into<Words>) -> Words {
        self.0.extend(more.into().0);
        self
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Words {
        Words(vec![Run::Plain(text.to_owned())])
    }
}

impl From<String> for Words {
    fn from(text: String) -> Words {
        Words(vec![Run::Plain(text)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_fraction_is_narrower_than_the_same_figures_in_a_row() {
        let set = Words(vec![Run::Fraction { above: 31, below: 32 }]);
        assert!(set.width(4.0, Weight::Regular) < Words::from("31/32").width(4.0, Weight::Regular));
        assert!(set.width(4.0, Weight::Regular) > 4.0 * 4.0 * 0.6 * FRACTION_SIZE);
    }

    #[test]
    fn width_grows_with_size_and_adds_up() {
        let (a, b) = (Words::from("baseline "), Words::from("14 in"));
        let both = a.clone().and(b.clone());
        let sum = a.width(3.0, Weight::Regular) + b.width(3.0, Weight::Regular);
        assert!((both.width(3.0, Weight::Regular) - sum).abs() < 1e-12);
        assert!((both.width(6.0, Weight::Regular) - 2.0 * sum).abs() < 1e-12);
    }
}
