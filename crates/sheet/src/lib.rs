//! Drawings on paper: lines, letters, dimensions and a title block, placed in millimetres.
//!
//! A sheet is seen from the front, x to the right, y up, its origin at the lower left corner of the paper.
//! This crate knows no aircraft, no paint and no files: a caller hands it shapes already at the size they
//! are to have on paper, and gets back text to save. Modules in reading order.

pub mod tokens;

pub mod advance;
pub mod pens;
pub mod signs;
pub mod units;
pub mod words;

pub mod model;

pub mod balloons;
pub mod dimension;
pub mod frame;
pub mod ordinates;
pub mod scale_bar;
pub mod spread;
pub mod symbols;
pub mod title_block;

pub mod svg;

pub mod dxf;
pub mod hpgl;

pub mod pdf;
pub mod pdf_content;
pub mod pdf_font;

pub mod tiles;
pub mod tiles_pages;
pub mod tiles_panel;

pub use model::{Anchor, Fill, Item, Layer, Lean, Outline, Path, Room, Sheet, Text};
pub use pens::{Dash, Role, Stroke, pen};
pub use symbols::Verdict;
pub use tokens::Colour;
pub use words::{Run, Weight, Words};
