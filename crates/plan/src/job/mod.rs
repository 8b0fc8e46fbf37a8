//! What was asked: the job file, read and checked, in millimetres.

pub mod types;

pub use types::*;
