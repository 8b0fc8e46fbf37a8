//! The law as data: rule packs, what they ask of a mark, and how a mark measures against them.
//!
//! Stands beside the stages and uses none of them. A report made from it is help, not approval: figures
//! carry how well they are known (read, as quoted, from memory), and the newest edition is the user's duty.

pub mod craft;
pub mod figure;
pub mod grammar;

pub(crate) mod document;
pub mod pack;
mod read;
mod read_pack;
mod reading;

mod ask;
mod height;
mod lettering;

pub mod contrast;

mod check;
mod check_contrast;
mod check_job;
mod check_letters;
mod check_place;
mod check_size;
mod check_text;
pub mod codes;
mod facts;
pub mod legible;
mod show;

pub use ask::Ask;
pub use check::check_mark;
pub use check_contrast::{MarkShades, Shade, check_contrast};
pub use check_job::check_job;
pub use facts::{CharacterFacts, MarkFacts, StrokeFacts};
pub use height::{Least, SkinSize};
pub use lettering::{Lettering, WidthRange};
pub use pack::Pack;
pub use show::{listing, show};

/// The packs that come with the program: id and text of the file.
pub fn builtin() -> &'static [(&'static str, &'static str)] {
    &[
        ("us-14cfr45", include_str!("../../../../data/rules/us-14cfr45.toml")),
        ("icao-annex7", include_str!("../../../../data/rules/icao-annex7.toml")),
        ("de-luftvzo", include_str!("../../../../data/rules/de-luftvzo.toml")),
        ("ca-222", include_str!("../../../../data/rules/ca-222.toml")),
        ("ch-748", include_str!("../../../../data/rules/ch-748.toml")),
        ("convention-1919", include_str!("../../../../data/rules/convention-1919.toml")),
        ("us-wing-1930s", include_str!("../../../../data/rules/us-wing-1930s.toml")),
        ("us-boat-33cfr173", include_str!("../../../../data/rules/us-boat-33cfr173.toml")),
        ("us-documented-46cfr67", include_str!("../../../../data/rules/us-documented-46cfr67.toml")),
        ("us-truck-49cfr390", include_str!("../../../../data/rules/us-truck-49cfr390.toml")),
    ]
}

#[cfg(test)]
mod tests;
