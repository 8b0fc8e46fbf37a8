//! The tape plan: which piece of tape lies where, how its ends are cut, and in what order all are laid and pulled.
//!
//! Works on the whole mark: what is laid for one letter must lie on no other. In reading order: what is sprayed of
//! each colour (`colours`), its paint edge cut into runs (`outline`), how wide the mask is (`channel`), which tape (`shelf`), the shape of a strip (`strip`)
//! and its ends (`ends`), straight lengths round a bend (`chords`), then the pieces: `lines` and `between` (shared ones), `plug`, `edge` with `bridge`,
//! `tack`, `layout_tape` (`filling` a whole mark); `tab`, `order` with `overlap`, and `check`, which looks at the result by another road; last
//! what covers the rest (`paper`) and what to buy (`rolls`). It sprays nothing and knows no
//! day.

pub mod plan;

pub mod colours;

pub mod outline;

pub mod channel;
pub mod shelf;

mod ends;
mod strip;

mod chords;

mod between;
mod bridge;
mod edge;
mod lines;
mod plug;
mod tack;

mod band;
mod filling;
mod layout_tape;

mod tab;

mod order;
mod overlap;

mod check;

mod say;
mod whole;

pub mod paper;
pub mod rolls;

#[cfg(test)]
mod tests;

pub use paper::{Paper, PaperStrip};
pub use plan::{End, EndKind, Kind, Mask, MaskPlan, Piece, Tab, TabAt, TabKind, Totals};
pub(crate) use tab::along;
pub use whole::mask_marks;
