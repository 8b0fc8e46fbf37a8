//! What comes out: the plan file, drawings, and the summary for the terminal.

mod calendar;
mod day_chart;
pub mod layout;
mod layout_measure;
mod layout_notes;
mod layout_skin;
mod mixing_card;
pub mod plan_file;
mod plan_spray;
pub mod spray_files;
pub mod summary;
