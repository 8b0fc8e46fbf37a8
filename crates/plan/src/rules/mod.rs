//! The law as data: rule packs, what they ask of a mark, and how a mark measures against them.
//!
//! Stands beside the stages and uses none of them.

pub mod craft;
