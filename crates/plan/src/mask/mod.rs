//! The tape plan: which piece of tape lies where, how its ends are cut, and in what order all are laid and pulled.
//!
//! Works on the whole mark: what is laid for one letter must lie on no other, nor on a stripe of the same paint
//! (`together`, with `facing` edges). In reading order: what is sprayed of
//! each colour (`colours`), its paint edge cut into runs (`outline`), how wide the mask is (`channel`), which tape (`shelf`), the shape of a strip (`strip`)
//! and its ends (`ends`), straight lengths round a bend (`chords`), whether a strip is clear of paint as it is
//! drawn (`clear`), then the pieces: `lines` and `between` (shared ones),
//! `plug`, `edge` with `bridge`, `tack`, `layout_tape` (`filling` a whole mark); a mask of `film` in place of all these;
//! `tab`, `order` with `overlap`, where to stand (`reach`), and `check`, which looks at the result by another road; last
//! what covers the rest (`paper`; on a fuselage `paper_body`, on a scan `paper_scan`) and what to buy (`rolls`), and what stays open (`slits`). It sprays nothing and knows no
//! day.

pub mod plan;

pub mod colours;
pub mod paint_order;

pub mod outline;

pub mod channel;
pub mod shelf;

mod ends;
mod strip;

mod chords;
mod clear;

mod between;
mod bridge;
mod edge;
mod facing;
mod gap_tape;
mod lines;
mod plug;
mod tack;

mod band;
mod filling;
mod layout_tape;

pub mod film;
mod film_cells;
mod film_check;
mod film_cuts;
mod film_panels;
mod film_pieces;
pub mod film_rolls;
mod film_say;

mod tab;

mod order;
mod overlap;
pub mod reach;

mod check;

mod say;
mod together;
mod upon;
mod wedge;
mod whole;

pub mod paper;
mod paper_body;
mod paper_scan;
pub mod rolls;
pub mod slits;

#[cfg(test)]
mod film_tests;
#[cfg(test)]
mod hair_tests;
#[cfg(test)]
mod joint_tests;
#[cfg(test)]
mod stripe_tests;
#[cfg(test)]
mod tee_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod upon_tests;

pub use film::{Film, FilmPanel};
pub use film_cuts::Relief;
pub use paper::{Paper, PaperStrip, Round};
pub use plan::{End, EndKind, Kind, Mask, MaskPlan, Piece, Tab, TabAt, TabKind, Totals};
pub(crate) use tab::along;
pub use whole::mask_marks;
