//! Plane and space geometry for painters' work: outlines, distances and curves.
//!
//! Millimetres and radians everywhere, `f64` everywhere. This crate knows no aircraft, no paint and no
//! files; it answers questions about shapes. Modules in reading order.

pub mod tolerance;

pub mod point;
pub mod ring;

pub mod bends;
pub mod beside;
pub mod boolean;
pub mod contact;
pub mod convex;
pub mod distance;
pub mod grown;
pub mod hull;
pub mod inset;
pub mod joined;
pub mod maximin;
pub mod measure;
pub mod plainer;
pub mod quadrature;
pub mod region;
pub mod room;
#[cfg(test)]
mod sample;
pub mod shear;
pub mod spline;
pub mod swept;
pub mod winding;

pub use point::{Affine, Point, Point3, Vec2};
pub use region::Region;
pub use ring::{Edge, Ring, Vertex};
