//! The face of everything that is drawn: colours, letter sizes and margins, decided once.
//!
//! Screen, printed book and drawings all take their looks from here, so that paper and screen are visibly
//! one thing. Nothing in this file draws.

/// A colour as three bytes of sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

impl Colour {
    /// A colour from its three bytes.
    pub const fn new(red: u8, green: u8, blue: u8) -> Colour {
        Colour { red, green, blue }
    }

    /// Six hexadecimal digits after a number sign, lower case.
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

/// The ground: warm, and light enough that a printer lays down next to nothing. Chosen by eye.
pub const PAPER: Colour = Colour::new(0xfb, 0xf7, 0xec);
/// Lines and letters: near black, a little warm. Chosen by eye.
pub const INK: Colour = Colour::new(0x1f, 0x1c, 0x18);
/// Words that stand back: labels of a table, remarks. Still readable as small type.
pub const SOFT_INK: Colour = Colour::new(0x65, 0x5d, 0x50);
/// The one accent: what is touched or spoken of just now.
pub const ACCENT: Colour = Colour::new(0x12, 0x5b, 0x74);
/// Beside the tick and the word "pass".
pub const PASS: Colour = Colour::new(0x2b, 0x66, 0x3b);
/// Beside the bar and the word "caution".
pub const CAUTION: Colour = Colour::new(0x85, 0x56, 0x05);
/// Beside the crossed ring and the word "fail".
pub const FAIL: Colour = Colour::new(0x9e, 0x25, 0x1e);

/// Faces in order of preference; the last is whatever sans serif the reader has, and the width table is
/// generous enough for it. The name before it is a wish, not a promise.
pub const FONT_STACK: &str = "DejaVu Sans, sans-serif";

/// Heading of a sheet, mm from line to line without lead (the em). Chosen: read from two steps away.
pub const TYPE_HEADING: f64 = 5.6;
/// Figures of dimensions, mm. Chosen: figures 2.9 mm and fractions 2 mm tall, readable at arm's length
/// (ISO 3098 starts at 1.8 mm; quoted from memory).
pub const TYPE_FIGURE: f64 = 4.0;
/// Values and remarks, mm.
pub const TYPE_BODY: f64 = 3.5;
/// Labels of a table and small print, mm.
pub const TYPE_LABEL: f64 = 2.6;
/// Distance from one baseline to the next, in ems.
pub const LINE_HEIGHT: f64 = 1.25;

/// White between the edge of the paper and the border, mm. Chosen: many desk printers leave up to 6 mm
/// unprinted; this keeps the border whole on all of them.
pub const MARGIN: f64 = 10.0;
/// White between any two things set beside each other, mm.
pub const GAP: f64 = 2.0;
/// White between a line of a table and its words, mm.
pub const CELL_PAD: f64 = 1.6;

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast as the Web Content Accessibility Guidelines 2.1 define them
    /// ("relative luminance", "contrast ratio").
    fn luminance(c: Colour) -> f64 {
        let linear = |byte: u8| {
            let s = f64::from(byte) / 255.0;
            if s <= 0.040_45 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(c.red) + 0.7152 * linear(c.green) + 0.0722 * linear(c.blue)
    }

    #[test]
    fn every_colour_of_words_stands_out_from_the_paper() {
        // Guideline 1.4.3 asks for 4.5 to 1 for small type.
        for c in [INK, SOFT_INK, ACCENT, PASS, CAUTION, FAIL] {
            let ratio = (luminance(PAPER) + 0.05) / (luminance(c) + 0.05);
            assert!(ratio >= 4.5, "{} on paper: wanted 4.5, got {ratio:.2}", c.hex());
        }
    }

    #[test]
    fn hex_is_two_digits_a_part() {
        assert_eq!(Colour::new(1, 0xab, 0x10).hex(), "#01ab10");
    }
}
