//! Paint and day: how much to mix, what air and ground allow, when each letter is shot, pulled and unmasked.
//!
//! It reports that a window breaks; it never changes the mask. The paint's data sheet comes before all of it.
//! Files in reading order: the figures and laws, what is shot, the day as a problem and its solution, the day as
//! tasks and the check of them, then what else a shop wants to know.

pub mod figures;

pub mod coverage;
pub mod mix;
pub mod psychro;
pub mod warmth;

pub mod ask;
pub mod day;
pub mod goes;

/// Limits of air and surface, as they come with the program.
pub const LIMITS: &str = include_str!("../../../../data/spray/limits.toml");
/// What a shop adds to bare figures.
pub const ALLOWANCES: &str = include_str!("../../../../data/spray/shop.toml");

pub mod labour {
    //! stub
    /// x
    pub const RATES: &str = include_str!("../../../../data/labour.toml");
}
