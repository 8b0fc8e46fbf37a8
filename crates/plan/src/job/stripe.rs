//! Trim stripes as plain data: what they run through or along, how wide, how they end.

use super::types::{At, ScanPoint, SkinPair};

/// A trim stripe.
#[derive(Clone, Debug, PartialEq)]
pub struct Stripe {
    /// Its id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// Points on the skin, mm (on a scan three numbers each, in the scan's own axes and unit); empty if it runs
    /// along something or mirrors another.
    pub through: Vec<Vec<f64>>,
    /// True if the second number of each point is a height on a body, not girth.
    pub by_waterline: bool,
    /// How far its middle may pass each point, mm; empty = nowhere.
    pub loose: Vec<f64>,
    /// What it runs along, if it does.
    pub along: Option<At<Along>>,
    /// Id of the stripe whose mirror image it is, if it is one.
    pub mirror_of: Option<At<String>>,
    /// Width, mm: one, or along the way; empty = that of the stripe it mirrors.
    pub width: Vec<f64>,
    /// Its two ends.
    pub ends: [StripeEnd; 2],
    /// How long a point or a swallowtail is, at start and end, mm; `None` = see [`StripeEnd`].
    pub end_length: Option<[f64; 2]>,
    /// Id of its paint; empty if not said.
    pub paint: String,
    /// Id of what it is painted over; empty if not said.
    pub over: String,
}

/// What a stripe runs along.
#[derive(Clone, Debug, PartialEq)]
pub struct Along {
    /// The line.
    pub line: AlongLine,
    /// How far its middle lies from the line, mm.
    pub off: f64,
    /// Stations it runs between, mm, where given; on a scan without stated axes lengths along the line.
    pub from: Option<f64>,
    /// See `from`.
    pub to: Option<f64>,
}

/// A line that a stripe runs along.
#[derive(Clone, Debug, PartialEq)]
pub enum AlongLine {
    /// Level, at this height, mm.
    Waterline(f64),
    /// An edge of the surface; its distance counts inwards.
    Edge(SkinEdge),
    /// The path of a feature, by id; its distance counts upwards as one faces the skin.
    Feature(String),
    /// The straightest way on the skin between two points.
    Straight([SkinPair; 2]),
    /// The same on a scan.
    ScanStraight([ScanPoint; 2]),
    /// Another stripe, by id.
    Stripe(String, Apart),
}

/// An edge of a surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum SkinEdge {
    Leading,
    Trailing,
    Upper,
    Lower,
}

/// How far a stripe lies from the one it runs beside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Apart {
    /// Middle to middle, upwards positive, mm.
    Middles(f64),
    /// Bare base between their edges, mm; below it if so said.
    Gap {
        /// Width of the bare base.
        gap: f64,
        /// True if it lies below the other.
        below: bool,
        /// True if an edge tape of that real width lies in it.
        taped: bool,
    },
}

/// End of a stripe. A point is as long as the stripe is wide there, a swallowtail half of that, unless told otherwise. A
/// mitre is cut on one line with that of another stripe, a butt follows the edge of the stripe it runs up to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum StripeEnd {
    Square,
    Round,
    Point,
    Swallowtail,
    Mitre,
    Butt,
}
