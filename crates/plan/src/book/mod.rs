//! What comes out: the plan file, drawings, and the summary for the terminal.

pub mod calendar;
pub mod day_chart;
pub mod layout;
mod layout_measure;
mod layout_notes;
mod layout_skin;
pub mod mixing_card;
pub mod plan_file;
mod plan_spray;
pub mod spray_files;
pub mod summary;
mod summary_spray;
