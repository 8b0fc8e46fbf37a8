//! A body's skin: lofted through its stations, read by station and girth from the waterline.
//!
//! Flat is the table of its readings, not a sheet of true lengths: x is the station (on the right side its
//! negative, so that the side is seen as it is faced), y the girth. True lengths are those of a chart: see `chart`.

use super::features::BELIEVED_MM;
use crate::finding::{Bound, Finding, Severity};
use crate::job::{self, Side, SkinPair, StationOutline};
use crate::words::length;
use geom::{Point, Point3, Ring, Vec2};
use skin::body::{Body, BodyError, Line, Ring as Hoop, Station, Step, Swing};
use skin::surface::{Heading, Surface};
use std::sync::Arc;

/// Readings of each edge of the side on its drawing: lengths are never taken from it. chosen.
const EDGE_READINGS: usize = 120;

/// How far the loft may stand outside both stations of a span before it is worth a word, mm: a quarter of an inch.
/// chosen: as for girths, it is what a second reading by hand is sure to.
const OUTSIDE_MM: f64 = 6.35;

/// A step along or round, mm, to tell which way the readings grow.
const TELL_MM: f64 = 1.0;

/// One side of a body.
#[derive(Clone, Debug)]
pub struct BodySkin {
    body: Arc<Body>,
    side: skin::body::Side,
}

impl BodySkin {
    /// The side of a body through these stations.
    ///
    /// # Errors
    /// In words, what is wrong with the stations.
    pub(super) fn new(
        side: Option<Side>,
        waterline: f64,
        stations: &[job::Station],
    ) -> Result<BodySkin, String> {
        let hoop = |station: &job::Station| Station {
            s: station.s,
            ring: match &station.outline {
                StationOutline::Superellipse { half_width, top, bottom, power } => {
                    Hoop::Superellipse { half_width: *half_width, top: *top, bottom: *bottom, power: *power }
                }
                StationOutline::Points(points) => {
                    Hoop::Points(points.iter().map(|p| Point::new(p[0], p[1])).collect())
                }
            },
        };
        if stations.iter().any(|s| s.s.abs() > BELIEVED_MM) {
            return Err("has a station more than 100 m away".to_owned());
        }
        let body = Body::through(&stations.iter().map(hoop).collect::<Vec<_>>(), waterline)
            .map_err(|why: BodyError| format!("makes no body: {why}"))?;
        let side = if side == Some(Side::Right) { skin::body::Side::Right } else { skin::body::Side::Left };
        let skin = BodySkin { body: Arc::new(body), side };
        for s in skin.readings() {
            if skin.body.girths(side, s).is_none() {
                return Err(format!("has no point at the height of its waterline at station {}", length(s)));
            }
        }
        Ok(skin)
    }

    /// What the loft has to say about the stations of the body `id`: steps between them, and where it stands outside
    /// what they say.
    pub(super) fn told(&self, id: &str) -> Vec<Finding> {
        let between =
            |(from, to): (f64, f64)| format!("between stations {} and {}", length(from), length(to));
        let step = |step: Step| {
            let at = between(step.between);
            let message = format!(
                "{at} the skin moves {}, beside spans where it hardly moves: the loft takes the whole step \
                 there and is pulled tight beside it",
                length(step.moved)
            );
            Finding::new(Severity::Caution, "loft-step", id, message).hint(format!(
                "measure one more station {at}, and one close on either side; if there is no step, read the two \
                 again; keep marks off it until then"
            ))
        };
        let swing = |swing: Swing| {
            let (line, what) = match swing.line {
                Line::Top => ("top", "height"),
                Line::Bottom => ("bottom", "height"),
                Line::Side => ("side", "half width"),
            };
            let at = between(swing.between);
            let message = format!(
                "{at} the {line} of the loft stands up to {} outside what both say: at {} its {what} is {}",
                length(swing.outside),
                length(swing.at),
                length(swing.value)
            );
            Finding::new(Severity::Note, "loft-swing", id, message)
                .figures(swing.outside, Bound::Max, OUTSIDE_MM, "mm")
                .hint(format!("measure one more station {at} if a mark lies there"))
        };
        let steps = self.body.steps().into_iter().map(step);
        steps.chain(self.body.swings(OUTSIDE_MM).into_iter().map(swing)).collect()
    }

    /// The lofted body.
    pub fn body(&self) -> &Body {
        &self.body
    }

    /// Which side of it.
    pub fn side(&self) -> skin::body::Side {
        self.side
    }

    /// Which way stations grow along flat x: 1 on the left, -1 on the right.
    pub fn way(&self) -> f64 {
        if self.side == skin::body::Side::Left { 1.0 } else { -1.0 }
    }

    /// First and last station, mm.
    pub fn range(&self) -> (f64, f64) {
        self.body.range()
    }

    /// Flat point of a reading.
    pub fn flat(&self, [s, t]: SkinPair) -> Point {
        Point::new(self.way() * s, t)
    }

    /// Reading of a flat point.
    pub fn reading(&self, p: Point) -> SkinPair {
        [self.way() * p.x, p.y]
    }

    /// Place on the body of a reading, in the body's own two numbers; beyond the middle of the top or the bottom the
    /// middle itself.
    pub(crate) fn place(&self, [s, t]: SkinPair) -> Option<Vec2> {
        if let Some(place) = self.body.place(self.side, s, t) {
            return Some(place);
        }
        let (bottom, top) = self.body.girths(self.side, s)?;
        let (low, high) = Body::shares(self.side);
        let down_first = self.side == skin::body::Side::Right;
        if top <= t {
            Some(Vec2::new(s, if down_first { low } else { high }))
        } else if t <= bottom {
            Some(Vec2::new(s, if down_first { high } else { low }))
        } else {
            None
        }
    }

    /// Point in space of a reading.
    pub fn space(&self, reading: SkinPair) -> Option<Point3> {
        self.place(reading).map(|place| self.body.jet(place).p)
    }

    /// The bearing at a flat point of a line that leaves it at `angle` on the flat drawing's axes: 0 is where girth
    /// stays and x grows.
    pub(super) fn bearing(&self, at: Point, angle: f64) -> Option<Heading> {
        let place = self.place(self.reading(at))?;
        let beside = |d: f64| self.space(self.reading(at + Vec2::new(d, 0.0)));
        let along = beside(TELL_MM)? - beside(-TELL_MM)?;
        Some(Heading::new(&*self.body, place, along).turned(&*self.body, angle))
    }

    /// Stations at which the edges of the side are read.
    fn readings(&self) -> impl Iterator<Item = f64> + use<> {
        let (from, to) = self.range();
        (0..=EDGE_READINGS).map(move |k| from + (to - from) * k as f64 / EDGE_READINGS as f64)
    }

    /// The edge of the side in flat, counter-clockwise: its end stations, the middle of the top and of the bottom.
    pub(super) fn outline(&self) -> Ring {
        let ends: Vec<(f64, (f64, f64))> =
            self.readings().filter_map(|s| Some((s, self.body.girths(self.side, s)?))).collect();
        let below = ends.iter().map(|(s, (bottom, _))| self.flat([*s, *bottom]));
        let above = ends.iter().rev().map(|(s, (_, top))| self.flat([*s, *top]));
        super::features::counter_clockwise(below.chain(above).collect())
    }

    /// As seen from the side: x as in flat, y the height.
    pub fn side_on(&self, p: Point3) -> Point {
        Point::new(self.way() * p.x, p.z)
    }

    /// Bottom and top as seen from the side, at stations from first to last.
    pub fn profile(&self) -> Vec<[Point; 2]> {
        let (low, high) = Body::shares(self.side);
        let at = |s: f64, v: f64| self.side_on(self.body.jet(Vec2::new(s, v)).p);
        let one = |s: f64| {
            let [a, b] = [at(s, low), at(s, high)];
            if a.y < b.y { [a, b] } else { [b, a] }
        };
        self.readings().map(one).collect()
    }

    /// Least distance, mm, of a reading from the edges of the side, along the body and round it.
    pub fn to_edge(&self, [s, t]: SkinPair) -> f64 {
        let (from, to) = self.range();
        let round =
            self.body.girths(self.side, s.clamp(from, to)).map(|(bottom, top)| (t - bottom).min(top - t));
        (s - from).min(to - s).min(round.unwrap_or(0.0))
    }
}
