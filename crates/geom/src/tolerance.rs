//! Every tolerance by name: what it bounds, its unit, and why it has this value.
//!
//! Two different things live here: noise (rounding that cannot be avoided) and tolerance (an error the
//! painter accepts). They are never mixed.
//!
//! Error budget of a cut line, mm: curve to polyline 0.01, offset 0.01, grid 0.001, unrolling 0.01,
//! output 0.001; the whole chain stays within 0.05.

/// Largest distance, mm, between a curve and the polyline printed in its place.
/// A knife wanders 0.1 mm; this is a tenth of that.
pub const FLATTEN_MM: f64 = 0.01;

/// Step, mm, of the fixed grid on which outlines are united and cut (one micrometre).
pub const GRID_MM: f64 = 0.001;

/// Step, mm, to which every length in a plan is rounded on its way out.
pub const OUTPUT_MM: f64 = 0.001;

/// Noise, mm: two points nearer than this are one point. Coordinates reach 100 m = 1e5 mm, where a
/// rounding step of `f64` is 1.5e-11 mm; a hundred operations later this still has room.
pub const NOISE_MM: f64 = 1e-7;

/// Noise for numbers of about one (angles in radians, ratios, unit-height letters).
pub const NOISE_UNIT: f64 = 1e-9;

/// Error, mm, of a distance that is searched for rather than solved (depth inside a concave feature).
/// Fifty times finer than the 0.05 mm promised in a plan.
pub const DISTANCE_MM: f64 = 0.001;

/// Slack, mm, within which a clearance counts as kept: one rounding step of the plan.
pub const KEPT_MM: f64 = 0.001;

/// Noise, mm, within which a length meets the least or greatest length of a rule: the rounding step of a
/// plan, so that a mark laid out at exactly the limit never fails. Not the shop's tolerance.
pub const RULE_NOISE_MM: f64 = 0.001;

/// Noise, degrees, within which an angle meets the greatest angle of a rule: over a mark 3 m long it
/// moves an end by a twentieth of the rounding step of a plan.
pub const RULE_NOISE_DEG: f64 = 1e-6;
