//! The page.
pub mod edit;
pub mod folder;
