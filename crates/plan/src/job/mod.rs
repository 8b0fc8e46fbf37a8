//! What was asked: the job file, read and checked, in millimetres.
//!
//! `read` takes the text through these files in turn: `tree` (its form), `check` (each table against `keys`),
//! `across` and `ids` (what needs more than one value), `build` (the job as plain data, `types`).

mod read;
pub mod types;

pub mod keys;

mod across;
pub mod amounts;
mod build;
mod build_shop;
mod build_surface;
mod check;
mod check_single;
mod checked;
mod ids;
pub mod lengths;
mod shapes;
mod tree;

pub use check_single::is_id;
pub use read::{LARGEST_FILE, MOST_PROBLEMS, files_named, names_a_file, read};
pub use types::*;
