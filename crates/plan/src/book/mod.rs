//! What comes out: the plan file, drawings, and the summary for the terminal.

pub mod calendar;
pub mod day_chart;
pub mod layout;
mod layout_features;
mod layout_measure;
mod layout_notes;
mod layout_numbers;
mod layout_room;
mod layout_skin;
pub mod mixing_card;
pub mod pages;
mod pages_mark;
pub mod pages_picture;
pub mod pages_tape;
pub mod patterns;
pub mod patterns_check;
pub mod patterns_files;
mod patterns_level;
pub mod plan_file;
mod plan_masking;
mod plan_spray;
pub mod spray_files;
mod sticks;
mod sticks_drawing;
pub mod summary;
mod summary_spray;
pub mod wanted;
