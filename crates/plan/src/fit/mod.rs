//! Where the marks go: full size on the flat skin, and how they lie to every ring, seam and port.

pub mod placed;

pub mod aim;
pub mod alike;
pub mod allowed;
pub mod beside;
pub mod cells;
pub mod charts;
pub mod cleanest;
pub mod contrast;
pub mod crossing;
pub mod easiest;
pub mod face;
pub mod find;
pub mod give;
pub mod given;
pub mod highest;
pub mod inside;
pub mod law;
pub mod look;
pub mod nearby;
pub mod off_sheet;
pub mod place;
pub mod recheck;
pub mod relation;
pub mod search;
pub mod seek;
pub mod sheets;
mod sided;
pub mod stretched;
pub mod tried;
pub mod wanted;
