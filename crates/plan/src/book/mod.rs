//! What comes out: the plan file, drawings, and the summary for the terminal.

pub mod layout;
mod layout_features;
mod layout_measure;
mod layout_notes;
mod layout_numbers;
mod layout_skin;
pub mod plan_file;
pub mod summary;
