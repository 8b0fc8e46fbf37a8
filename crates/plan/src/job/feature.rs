//! What lies on a surface of the job: features that the layout must respect, and parts that move or come off.

use super::types::{ScanPoint, SkinPair};
use std::ops::Range;

/// A piece that moves or comes off.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its id.
    pub id: String,
    /// Its outline on the skin; empty on a scan.
    pub corners: Vec<SkinPair>,
    /// Its hinge line; empty if none, and on a scan.
    pub hinge: Vec<SkinPair>,
    /// On a scan its outline.
    pub scan_corners: Vec<ScanPoint>,
    /// On a scan its hinge line; empty if none.
    pub scan_hinge: Vec<ScanPoint>,
    /// Where its table stands in the file.
    pub span: Range<usize>,
    /// A control surface.
    pub control: bool,
    /// Balanced.
    pub balanced: bool,
}

/// What the layout must respect.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// Its id.
    pub id: String,
    /// What it is.
    pub kind: FeatureKind,
    /// Where and how large.
    pub shape: FeatureShape,
    /// The rivets of a row; both absent for any other kind.
    pub rivets: Rivets,
    /// Least distance kept, mm.
    pub clearance: f64,
    /// Comes off and is painted apart.
    pub removable: bool,
    /// May it be crossed.
    pub cross: Cross,
    /// Where its table stands in the file.
    pub span: Range<usize>,
}

/// The rivets of a row, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rivets {
    /// From one to the next.
    pub pitch: Option<f64>,
    /// Diameter of a head.
    pub head: Option<f64>,
}

/// Kind of feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum FeatureKind {
    Ring,
    Plate,
    Cap,
    Step,
    Patch,
    Rivets,
    Port,
    Drain,
    Vent,
    Filler,
    Placard,
    DataPlate,
    Window,
    KeepOut,
    Hinge,
    Gap,
    Seam,
    Lap,
}

impl FeatureKind {
    /// Openings that must be covered and counted.
    pub const OPENINGS: [FeatureKind; 4] =
        [FeatureKind::Port, FeatureKind::Drain, FeatureKind::Vent, FeatureKind::Filler];
}

/// Shape of a feature on the skin, mm.
#[derive(Clone, Debug, PartialEq)]
pub enum FeatureShape {
    /// A disc.
    Disc {
        /// Its centre.
        at: SkinPair,
        /// Its diameter.
        diameter: f64,
    },
    /// An area.
    Area {
        /// Its corners.
        corners: Vec<SkinPair>,
    },
    /// A band along a path.
    Path {
        /// Its points.
        path: Vec<SkinPair>,
        /// Its full width.
        width: f64,
    },
    /// On a scan.
    Scan(ScanShape),
}

/// Shape of a feature of a scan: its points in the scan's own axes and unit, its sizes mm.
#[derive(Clone, Debug, PartialEq)]
pub enum ScanShape {
    /// A disc.
    Disc {
        /// Its centre.
        at: ScanPoint,
        /// Its diameter over the skin.
        diameter: f64,
    },
    /// An area.
    Area {
        /// Its corners.
        corners: Vec<ScanPoint>,
    },
    /// A band along a path.
    Path {
        /// Its points.
        path: Vec<ScanPoint>,
        /// Its full width.
        width: f64,
    },
}

/// May a feature be crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Cross {
    Never,
    Square,
    Any,
}
