//! The marks as designs at unit height: letterforms, widths, gaps, and the heights the rule allows.
//!
//! Mark space: baseline at y = 0, cap height at y = 1, x to the right from the first character's left edge.

pub mod design;
pub mod font;
pub mod letters;
pub mod settle;
pub mod thickness;
mod typeface;
