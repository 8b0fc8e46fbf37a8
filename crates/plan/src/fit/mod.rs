//! Where the marks go: full size on the flat skin, and how they lie to every ring, seam and port.

pub mod placed;

pub mod aim;
pub mod alike;
pub mod allowed;
pub mod charts;
pub mod cleanest;
pub mod contrast;
pub mod crossing;
pub mod easiest;
pub mod face;
pub mod find;
pub mod give;
pub mod given;
pub mod inside;
pub mod law;
pub mod nearby;
pub mod off_sheet;
pub mod place;
pub mod recheck;
pub mod relation;
pub mod search;
pub mod sheets;
pub mod stretched;
pub mod tried;
pub mod wanted;
