//! What was asked: the job file, read and checked, in millimetres.

pub mod attachments;
pub mod types;

pub use attachments::Attachments;
pub use types::*;
