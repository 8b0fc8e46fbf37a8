//! Paint and day: how much to mix, what air and ground allow, when each letter is shot, pulled and unmasked.
//!
//! It reports that a window breaks; it never changes the mask. The paint's data sheet comes before all of it.
//! Files in reading order: the figures and laws, what is shot and how much it takes, the day as a problem and its
//! solution, the day as tasks and the check of them, then what else a shop wants to know.

pub mod figures;

pub mod coverage;
pub mod mix;
pub mod psychro;
pub mod warmth;

pub mod air;
pub mod area;
pub mod called;
pub mod ground;
pub mod handling;
pub mod labour;
pub mod passes;
pub mod quantity;
pub mod shots;

pub mod ask;
pub mod clock;
pub mod day;
pub mod day_ask;
pub mod day_help;
pub mod goes;
pub mod taping;

pub mod day_check;
pub mod tasks;

pub mod cautions;
pub mod materials;
pub mod parts;
mod plan_day;
mod plan_spray;
mod said;

pub use plan_day::Day;
pub use plan_spray::{SprayPlan, plan_spray};

/// Limits of air and surface, as they come with the program.
pub const LIMITS: &str = include_str!("../../../../data/spray/limits.toml");
/// What a shop adds to bare figures.
pub const ALLOWANCES: &str = include_str!("../../../../data/spray/shop.toml");

#[cfg(test)]
mod tests;
