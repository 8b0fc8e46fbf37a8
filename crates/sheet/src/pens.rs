//! The two pens of the drawing board and what each is taken up for.
//!
//! Wide is what the knife or the tape follows; narrow is everything that only explains it. How a line is
//! broken says the rest, so that a drawing loses nothing on a black and white printer.

use crate::tokens::{ACCENT, Colour, INK, SOFT_INK};

/// Wide pen, mm. Of the usual series 0.25, 0.35, 0.5, 0.7, 1.0 (ISO 128, from memory).
pub const WIDE: f64 = 0.70;
/// Narrow pen, mm: half of the wide one, so that the two are never taken for each other.
pub const NARROW: f64 = 0.35;

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Not broken.
    Solid,
    /// Long dash, dot: centre lines and axes.
    LongDashDot,
    /// Short dashes: what lies behind or beneath.
    Short,
}

impl Dash {
    /// Lengths drawn and left out in turn, as multiples of the pen's width; empty for an unbroken line.
    ///
    /// ISO 128 gives 24 for a long dash, 12 for a dash, 3 for a space and at most half for a dot (from
    /// memory). The dot here is one width and the short dash nine: chosen, because a printed half-width dot
    /// vanishes, and because a dash must be seen to be short beside a long one.
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Dash::Solid => &[],
            Dash::LongDashDot => &[24.0, 3.0, 1.0, 3.0],
            Dash::Short => &[9.0, 3.0],
        }
    }
}

/// A line's looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width, mm.
    pub width: f64,
    /// How it is broken.
    pub dash: Dash,
    /// Its colour; it may repeat a meaning, never carry one.
    pub colour: Colour,
    /// True if the line keeps its width on a screen however far the drawing is magnified. For a page in a
    /// browser only: readers that do not know this wish would draw the line nearly four times too wide.
    pub steady: bool,
}

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The edge that is cut or taped: wide.
    CutLine,
    /// The border of the sheet and of its title block: wide.
    Border,
    /// The outline of something shown only for reference: narrow.
    Outline,
    /// Dimension and extension lines: narrow.
    Dimension,
    /// A line from words to what they speak of: narrow.
    Leader,
    /// An axis: narrow, long dash and dot.
    Centre,
    /// What lies beneath: narrow, short dashes.
    Hidden,
    /// Filling lines: narrow, in soft ink.
    Hatch,
    /// What is touched just now: wide, in the accent.
    Touched,
}

/// The pen for a purpose.
pub fn pen(role: Role) -> Stroke {
    let narrow = Stroke { width: NARROW, dash: Dash::Solid, colour: INK, steady: false };
    match role {
        Role::CutLine | Role::Border => Stroke { width: WIDE, ..narrow },
        Role::Outline | Role::Dimension | Role::Leader => narrow,
        Role::Centre => Stroke { dash: Dash::LongDashDot, ..narrow },
        Role::Hidden => Stroke { dash: Dash::Short, ..narrow },
        Role::Hatch => Stroke { colour: SOFT_INK, ..narrow },
        Role::Touched => Stroke { width: WIDE, colour: ACCENT, ..narrow },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roles_that_are_not_the_cut_line_never_look_like_it() {
        for role in [Role::Outline, Role::Dimension, Role::Leader, Role::Centre, Role::Hidden, Role::Hatch] {
            assert!((pen(Role::CutLine).width / pen(role).width - 2.0).abs() < 1e-12, "{role:?}");
        }
    }

    #[test]
    fn the_broken_lines_differ_without_colour() {
        assert_ne!(pen(Role::Centre).dash, pen(Role::Hidden).dash);
        for dash in [Dash::LongDashDot, Dash::Short] {
            // A pattern of odd length would be drawn twice with marks and spaces changing places.
            assert!(dash.pattern().len().is_multiple_of(2) && dash.pattern().iter().all(|&l| l >= 1.0));
        }
    }
}
