//! What comes out: the plan file, drawings, and the summary for the terminal.

pub mod layout;
mod layout_measure;
mod layout_notes;
mod layout_skin;
pub mod plan_file;
mod plan_masking;
pub mod summary;
