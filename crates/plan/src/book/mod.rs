//! What comes out: the plan file, drawings, and the summary for the terminal.

pub mod plan_file;
pub mod summary;
