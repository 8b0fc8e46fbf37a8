//! Skins that curve both ways: fuselages, cowls, fairings, hulls and scans of them.
//!
//! Nothing on such a skin unrolls. Each letter gets a patch of its own round its centre, laid flat with the least
//! error of length, and says how large that error is. Millimetres and radians; no aircraft, no paint, no files.
//! Modules in reading order.

#![allow(
    clippy::neg_cmp_op_on_partial_ord,
    reason = "written so that a number that is none counts as out of range"
)]
#![allow(clippy::needless_range_loop, reason = "one number names a corner in several lists at once")]

pub mod mesh;
pub mod read;
pub mod spot;

pub mod around;
pub mod body;
pub mod cut;
pub mod denoise;
pub mod flatten;
pub mod ground;
pub mod smooth;
pub mod straight;
pub mod strip;
pub mod surface;
pub mod taut;
pub mod windows;

pub mod trail;

pub mod beside;

pub use mesh::Mesh;
pub use spot::Spot;
