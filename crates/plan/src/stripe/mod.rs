//! Trim stripes: their middle, their edges, where to mark them, and how tape takes their bends.
//!
//! In reading order: the fair line through points (`fair`), points it may miss (`loose`), any middle as a line to walk
//! along (`way`), what a stripe runs along (`reference`), its edges and ends (`edges`), the marks at ribs and parts
//! (`stations`), the tape's bend (`tape`), then the stripe as a whole (`laid`) and what there is to say of it (`say`).
//! On skins that unroll. It lays no tape and knows no paint but by its name.

pub mod way;

pub mod fair;
pub mod loose;

pub mod edges;
pub mod reference;

pub mod stations;
pub mod tape;

mod laid;
mod say;

#[cfg(test)]
mod tests;

pub use laid::{Laid, SIGN, lay_stripes};
