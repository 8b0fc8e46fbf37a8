//! The marks as designs at unit height: letterforms, widths, gaps, and the heights the rule allows.
//!
//! Mark space: first baseline at y = 0, cap height at y = 1, further lines below; x to the right from the left edge of
//! the widest line, before any slant.

pub mod design;
pub mod font;
pub mod further;
pub mod letters;
mod optical;
pub mod setting;
pub mod settle;
pub mod thickness;
mod typeface;
