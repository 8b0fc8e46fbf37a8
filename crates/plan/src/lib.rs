//! The pipeline: a job file's text in, a checked plan and its findings out. Pure: no files, no clock.
//!
//! Data flows one way. The stages, in reading order, each a module that may use those before it only:
//! `job` (what was asked) -> `surface` (the skin unrolled) -> `marks` (letters at unit height) ->
//! `fit` (where they go) -> `stripe` (trim stripes laid) -> `mask` (tape) -> later `spray` -> `book` (drawings and plan file).
//! Beside the stages stand `problem` (why an input cannot be used), `finding` (what a plan says about
//! itself), `rules` (the law as data) and `words` (lengths as they are read aloud); they use no stage.

pub mod finding;
pub mod problem;
pub mod rules;
pub mod words;

pub mod book;
pub mod fit;
pub mod job;
pub mod marks;
pub mod mask;
pub mod spray;
pub mod stripe;
pub mod surface;

mod run;
mod screen;

pub use book::wanted::{Part, Wanted};
pub use run::{Files, Plan, run};
