//! Trim stripes: their middle, their edges, where to mark them, and how tape takes their bends.
//!
//! In reading order: the fair line through points (`fair`), points it may miss (`loose`), any middle as a line to walk
//! along (`way`), what a stripe runs along (`reference`), its edges and ends (`edges`), the marks at ribs and parts
//! (`stations`), the tape's bend (`tape`), where stripes meet (`joint`, their ends `meeting`), then the stripe as a whole (`laid`) and
//! what there is to say of it (`say`).
//! On a body or scan the middle is walked over the skin and laid flat as a strip (`curved`), and all else is done there. It
//! lays no tape and knows no paint but by its name.

pub mod way;

pub mod fair;
pub mod loose;

pub mod curved;
pub mod edges;
pub mod reference;
mod scan_batten;
mod scanned;

mod seam;
pub mod stations;
pub mod tape;

/// A point farther off a scan than this, mm, is not on it: 1 in.
const OFF_SCAN: f64 = 25.4;

pub mod joint;
pub mod meeting;

mod laid;
mod say;
mod say_rim;
mod say_scanned;
mod say_short;

#[cfg(test)]
pub(crate) mod trial;

#[cfg(test)]
mod curved_tests;
#[cfg(test)]
mod meeting_tests;
#[cfg(test)]
mod scanned_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod words_tests;

pub use say::EDGE_MM;

pub use laid::{Laid, SIGN, lay_stripes};
