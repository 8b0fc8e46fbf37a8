//! The skin unrolled: from what was measured to a flat sheet of true lengths, and back.
//!
//! Flat is as seen facing the skin, x to the viewer's right, y up, mm. A wing face has its leading edge up and
//! its origin at the root rib's leading edge; a flat panel's flat is its skin. What curves both ways has no flat
//! of true lengths: a body's is its readings, a scan's its view, and marks lie in charts.

pub mod develop;

pub mod naca;
pub mod ordinates;
pub mod section;

mod cone;
mod cylinder;
mod ruled;
pub mod wing;

pub mod body;
pub mod chart;
mod figures;
pub mod hoops;
mod net;
pub mod scan;
mod scan_axes;
mod scan_chart;
mod scan_lying;
mod scan_seen;
mod scan_way;
mod sheet;
pub mod strip;

mod clip;
mod direction;
mod features;
mod ribs;

pub use body::BodySkin;
pub use chart::Chart;
pub use develop::develop;
pub use figures::Figures;
pub use hoops::Hoops;
pub use scan::ScanSkin;
pub use scan_axes::Stated;
pub use scan_lying::OFF_SCAN;
pub use strip::StripSkin;
pub use wing::{Girth, WingSkin};

use crate::job::{Cross, FeatureKind, Side, SkinPair};
use geom::region::Region;
use geom::{Point, Point3, Ring};

/// One surface, unrolled.
#[derive(Clone, Debug)]
pub struct Skin {
    /// The surface's id.
    pub id: String,
    /// Which side it is on, where said.
    pub side: Option<Side>,
    /// How skin, flat and space belong together.
    pub shape: SkinShape,
    /// The edge of the skin in flat, counter-clockwise, straight edges (a curved rib within 0.01 mm).
    pub outline: Ring,
    /// Girth at root and tip of a wing face; `None` for a flat panel.
    pub girths: Option<[Girth; 2]>,
    /// What the layout must respect, in flat, clipped to the outline, in the job's order. A path that the
    /// outline cuts apart is several features of one id.
    pub features: Vec<FlatFeature>,
    /// Pieces that move or come off, in flat.
    pub parts: Vec<FlatPart>,
    /// Ribs, in flat.
    pub ribs: Vec<FlatRib>,
}

/// How skin, flat and space belong together.
#[derive(Clone, Debug)]
pub enum SkinShape {
    /// Skin and flat are one.
    Flat,
    /// A face of a half wing.
    Wing(Box<WingSkin>),
    /// A side of a body.
    Body(Box<BodySkin>),
    /// A scan.
    Scan(Box<ScanSkin>),
    /// A piece of a body or scan laid flat round one mark.
    Chart(Box<Chart>),
    /// A strip of a body or scan laid flat along one stripe.
    Strip(Box<StripSkin>),
}

impl Skin {
    /// Flat point of a skin point (s, t with t from the leading edge; flat panels: x, y).
    pub fn flat_from_skin(&self, p: SkinPair) -> Point {
        match &self.shape {
            SkinShape::Flat | SkinShape::Scan(_) => Point::new(p[0], p[1]),
            SkinShape::Wing(wing) => wing.flat_from_skin(p),
            SkinShape::Body(body) => body.flat(p),
            SkinShape::Chart(chart) => chart.at_reading(p),
            SkinShape::Strip(strip) => strip.at_reading(p),
        }
    }

    /// Flat point of a point of a feature, a part or `within` as the user measures it: t from the edge that the
    /// job's `t_from` names. `place` and `aim` are always from the leading edge: [`Skin::flat_from_skin`].
    pub fn flat_from_user(&self, p: SkinPair) -> Point {
        match &self.shape {
            SkinShape::Wing(wing) => wing.flat_from_skin(wing.skin_from_user(p)),
            _ => self.flat_from_skin(p),
        }
    }

    /// Skin point of a flat point. Beyond the edges the skin is carried on; see [`wing`].
    pub fn skin_from_flat(&self, p: Point) -> SkinPair {
        match &self.shape {
            SkinShape::Flat | SkinShape::Scan(_) => [p.x, p.y],
            SkinShape::Wing(wing) => wing.skin_from_flat(p),
            SkinShape::Body(body) => body.reading(p),
            SkinShape::Chart(chart) => chart.reading(p),
            SkinShape::Strip(strip) => strip.reading(p),
        }
    }

    /// The first number of a flat point's reading: its station.
    pub fn station(&self, p: Point) -> f64 {
        match &self.shape {
            SkinShape::Strip(strip) => strip.station(p),
            _ => self.skin_from_flat(p)[0],
        }
    }

    /// The kind as the plan file words it.
    pub fn kind_word(&self) -> &'static str {
        match &self.shape {
            SkinShape::Flat => "flat",
            SkinShape::Wing(_) => "wing",
            SkinShape::Body(_) => "body",
            SkinShape::Scan(_) => "mesh",
            SkinShape::Chart(chart) if chart.is_scan() => "mesh",
            SkinShape::Strip(strip) if strip.scan().is_some() => "mesh",
            SkinShape::Chart(_) | SkinShape::Strip(_) => "body",
        }
    }

    /// True if one flat serves all of it: it unrolls, or it is a wing face that does but for a stated error.
    pub fn unrolls(&self) -> bool {
        matches!(self.shape, SkinShape::Flat | SkinShape::Wing(_))
    }

    /// True if it unrolls without stretch.
    pub fn unrolls_exactly(&self) -> bool {
        match &self.shape {
            SkinShape::Flat => true,
            SkinShape::Wing(wing) => wing.is_exact(),
            _ => false,
        }
    }

    /// What laying it flat did under the box of one mark whose baseline runs at `angle`, of these points in flat. `None`
    /// where it unrolls exactly, and where each character has a chart of its own.
    pub fn figures_under(&self, angle: f64, points: impl IntoIterator<Item = Point>) -> Option<Figures> {
        let SkinShape::Wing(wing) = &self.shape else { return None };
        let axes = geom::Affine::rotate(-angle);
        let (mut low, mut high) =
            (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
        for p in points {
            let q = axes * p;
            low = Point::new(low.x.min(q.x), low.y.min(q.y));
            high = Point::new(high.x.max(q.x), high.y.max(q.y));
        }
        if !(low.x < high.x && low.y < high.y) {
            return None;
        }
        let way = geom::Vec2::from_angle(angle);
        let sides = [way * (high.x - low.x), geom::point::left_of(way) * (high.y - low.y)];
        wing.figures(axes.inverse() * low, sides)
    }

    /// Gaussian curvature of a wing at a flat point, 1/mm2. Other skins that unroll have none; those that do not are asked
    /// by their charts and strips.
    pub fn gauss(&self, p: Point) -> f64 {
        if let SkinShape::Wing(wing) = &self.shape { wing.gauss(p) } else { 0.0 }
    }

    /// Stations of the ribs at which a wing kinks, mm.
    pub fn kinks(&self) -> Vec<f64> {
        if let SkinShape::Wing(wing) = &self.shape { wing.breaks() } else { Vec::new() }
    }

    /// The chart, of a piece of skin laid flat round one mark.
    pub fn chart(&self) -> Option<&Chart> {
        if let SkinShape::Chart(chart) = &self.shape { Some(chart) } else { None }
    }

    /// The strip, of a piece of skin laid flat along one stripe.
    pub fn strip(&self) -> Option<&StripSkin> {
        if let SkinShape::Strip(strip) = &self.shape { Some(strip) } else { None }
    }

    /// True if stations and girths are read on it as on a body.
    pub fn is_body(&self) -> bool {
        match &self.shape {
            SkinShape::Body(_) => true,
            SkinShape::Chart(chart) => !chart.is_scan(),
            SkinShape::Strip(strip) => strip.body().is_some(),
            SkinShape::Flat | SkinShape::Wing(_) | SkinShape::Scan(_) => false,
        }
    }

    /// Length along the skin from leading to trailing edge at station `s`, mm; `None` for all but wings.
    pub fn girth_at(&self, s: f64) -> Option<f64> {
        match &self.shape {
            SkinShape::Wing(wing) => Some(wing.girth(s)),
            _ => None,
        }
    }

    /// The point in space of a flat point: x aft, y to starboard, z up, mm (a scan: its own axes); `None` for a flat
    /// panel, and where a flat point is on no one place of the skin.
    pub fn space_from_flat(&self, p: Point) -> Option<Point3> {
        match &self.shape {
            SkinShape::Flat | SkinShape::Scan(_) => None,
            SkinShape::Wing(wing) => Some(wing.space_from_flat(p)),
            SkinShape::Body(body) => body.space(body.reading(p)),
            SkinShape::Chart(chart) => chart.space(p),
            SkinShape::Strip(strip) => strip.space(p),
        }
    }
}

/// A feature in flat.
#[derive(Clone, Debug)]
pub struct FlatFeature {
    /// Its id.
    pub id: String,
    /// What it is.
    pub kind: FeatureKind,
    /// Where it is.
    pub region: Region,
    /// Least distance kept, mm.
    pub clearance: f64,
    /// Comes off and is painted apart.
    pub removable: bool,
    /// May it be crossed.
    pub cross: Cross,
}

/// A part in flat.
#[derive(Clone, Debug)]
pub struct FlatPart {
    /// Its id.
    pub id: String,
    /// Its outline, counter-clockwise.
    pub outline: Ring,
    /// Its hinge line; empty if none.
    pub hinge: Vec<Point>,
    /// A control surface.
    pub control: bool,
    /// Balanced.
    pub balanced: bool,
}

/// A rib in flat.
#[derive(Clone, Debug)]
pub struct FlatRib {
    /// Its station, mm from the root.
    pub station: f64,
    /// Its centre line, leading to trailing edge (a polyline within 0.01 mm).
    pub line: Vec<Point>,
    /// Width of the tape over it, mm; 0 if none.
    pub tape: f64,
}

#[cfg(test)]
mod tests;
