//! What was asked: the job file, read and checked, in millimetres.
//!
//! `read` takes the text through these files in turn: `tree` (its form), `check` (each table against `keys`),
//! `across` and `ids` (what needs more than one value), `build` (the job as plain data, `types`).
//! Beside it stand what is made from the same lists of keys: `template`, `schema` and `reference`.

mod feature;
mod read;
mod stripe;
pub mod types;

pub mod keys;

mod across;
mod across_spots;
pub mod amounts;
mod attachments;
mod build;
mod build_shop;
mod build_surface;
mod check;
mod check_single;
mod checked;
mod ids;
pub mod lengths;
mod lines;
mod shapes;
mod tree;

mod reference;
mod schema;
mod template;
mod template_lines;

#[cfg(test)]
mod tests;

pub use attachments::Attachments;
pub use check_single::is_id;
pub use read::{LARGEST_FILE, MOST_PROBLEMS, files_named, names_a_file, read};
pub use reference::reference_page;
pub use schema::schema;
pub use template::{TemplateKind, template, template_bare};
pub use types::*;
