//! A strip of a body or scan along the middle of a stripe, laid flat.
//!
//! Flat there is true along the middle and square off it: an edge drawn so far beside the flat middle is a geodesic
//! offset of it on the skin. It lies, turned and moved, where the surface's own flat has its middle, so that up and
//! forward are where they are there. What lies far off stands on the border of what is told of.

use super::body::BodySkin;
use super::scan::ScanSkin;
use crate::job::SkinPair;
use geom::tolerance::STRIP_RISE_MM;
use geom::{Point, Point3, Vec2};
use skin::Spot;
use skin::ground::{Ground, stand_on};
use skin::straight::Bearing;
use skin::strip::{Fine, Strip};
use skin::surface::{Heading, Surface};
use std::sync::Arc;

/// Longest join, mm: with a bend of 1 m the readings between two are off by 0.05 mm.
const LONGEST: f64 = 20.0;

/// Shortest join, mm, on a body.
const SHORTEST: f64 = 0.2;

/// The same and the largest distance between line and join, mm, over triangles: finer only follows their sides. chosen.
const SCAN_SHORTEST: f64 = 4.0;
const SCAN_RISE: f64 = 0.02;

/// How far off the middle the skin is told of, mm, beyond half the width of the stripe: tape, paper's edge, clearances.
const BESIDE: f64 = 150.0;

/// Share of the least radius of bend up to which the skin inside the bend is told of. chosen: at the whole of it
/// everything square off meets in one point.
const INSIDE: f64 = 0.7;

/// A strip of skin along a line.
#[derive(Clone, Debug)]
pub struct StripSkin {
    on: On,
    reach: f64,
}

#[derive(Clone, Debug)]
enum On {
    Body(BodySkin, Arc<Strip<Heading>>),
    Scan(ScanSkin, Arc<Strip<Bearing>>),
}

/// A line on a skin by any measure that grows along it.
#[derive(Clone, Copy)]
pub struct Course<'a, P> {
    /// Where it is; `None` where there is no line.
    pub at: &'a dyn Fn(f64) -> Option<P>,
    /// Its start, the places it must not cut short, and its end.
    pub stops: &'a [f64],
    /// True if it is straight on between its stops.
    pub legs: bool,
}

impl<P> Course<'_, P> {
    fn fine(&self, rise: f64, shortest: f64) -> Fine {
        Fine { rise, longest: LONGEST, shortest, legs: self.legs }
    }

    /// Its start and a place a little further on.
    fn first_two(&self) -> Option<[P; 2]> {
        let (a, b) = (*self.stops.first()?, *self.stops.get(1)?);
        Some([(self.at)(a)?, (self.at)(a + (b - a) / 1024.0)?])
    }
}

impl StripSkin {
    /// Along a line of places in the body's own two numbers; `width` is that of the stripe, mm. `None` if it leaves the
    /// body.
    pub fn on_body(body: &BodySkin, course: Course<'_, Vec2>, width: f64) -> Option<StripSkin> {
        let skin = body.body();
        let [start, next] = course.first_two()?;
        let heading = Heading::new(skin, start, skin.jet(next).p - skin.jet(start).p);
        let line = |t: f64| (course.at)(t).map(|uv| skin.jet(uv).p);
        let strip = Strip::along(skin, heading, &line, course.stops, course.fine(STRIP_RISE_MM, SHORTEST))?;
        let middle = strip.length() / 2.0;
        let stand = strip.stand(skin, middle)?;
        let (s, t) = skin.measured(body.side(), stand.uv)?;
        let to = body.flat([s, t]);
        let level = body.bearing(to, 0.0)?;
        let jet = skin.jet(stand.uv);
        let (now, zero) = (jet.direction(stand.way), skin.jet(level.uv).direction(level.way));
        let angle = jet.normal().dot(zero.cross(now)).atan2(zero.dot(now));
        let strip = strip.moved(middle, to.to_vec2(), angle);
        let reach = width / 2.0 + BESIDE;
        Some(StripSkin { on: On::Body(body.clone(), Arc::new(strip)), reach })
    }

    /// Along a line of points in space on or near a scan.
    pub fn on_scan(scan: &ScanSkin, course: Course<'_, Point3>, width: f64) -> Option<StripSkin> {
        let ground = scan.ground();
        let [start, next] = course.first_two()?;
        let stand = stand_on(scan.mesh(), start, next)?;
        let strip =
            Strip::along(&ground, stand, course.at, course.stops, course.fine(SCAN_RISE, SCAN_SHORTEST))?;
        let middle = strip.length() / 2.0;
        let stand = strip.stand(&ground, middle)?;
        let to = scan.flat(stand.spot.point(scan.mesh()));
        let strip = strip.moved(middle, to.to_vec2(), scan.turn(stand.along));
        let reach = width / 2.0 + BESIDE;
        Some(StripSkin { on: On::Scan(scan.clone(), Arc::new(strip)), reach })
    }

    /// A new strip along a line drawn in the flat of this one, by its length there.
    pub fn redrawn(&self, at: &dyn Fn(f64) -> Point, stops: &[f64], width: f64) -> Option<StripSkin> {
        match &self.on {
            On::Body(body, strip) => {
                let place = |t: f64| Some(strip.on_skin(body.body(), at(t).to_vec2())?.uv);
                StripSkin::on_body(body, Course { at: &place, stops, legs: false }, width)
            }
            On::Scan(scan, _) => {
                let place = |t: f64| self.space(at(t));
                StripSkin::on_scan(scan, Course { at: &place, stops, legs: false }, width)
            }
        }
    }

    /// Length of its middle, mm.
    pub fn length(&self) -> f64 {
        match &self.on {
            On::Body(_, strip) => strip.length(),
            On::Scan(_, strip) => strip.length(),
        }
    }

    /// Its middle, flat.
    pub fn middle(&self) -> Vec<Point> {
        let flat = match &self.on {
            On::Body(_, strip) => strip.flat(),
            On::Scan(_, strip) => strip.flat(),
        };
        flat.iter().map(|p| p.to_point()).collect()
    }

    /// Where its middle lies flat at these places by its line's own measure; the nearest point walked to.
    pub fn flat_of_stops(&self, stops: &[f64]) -> Vec<Point> {
        let (params, flat) = match &self.on {
            On::Body(_, strip) => (strip.params(), strip.flat()),
            On::Scan(_, strip) => (strip.params(), strip.flat()),
        };
        let one = |stop: &f64| {
            let k = params.partition_point(|p| p < stop).min(params.len() - 1);
            let before = k.saturating_sub(1);
            let near = if (params[k] - stop).abs() <= (params[before] - stop).abs() { k } else { before };
            flat[near].to_point()
        };
        stops.iter().map(one).collect()
    }

    /// The side of a body it lies on.
    pub fn body(&self) -> Option<&BodySkin> {
        if let On::Body(body, _) = &self.on { Some(body) } else { None }
    }

    /// The scan it lies on.
    pub fn scan(&self) -> Option<&ScanSkin> {
        if let On::Scan(scan, _) = &self.on { Some(scan) } else { None }
    }

    /// How far off its middle and beyond its ends the skin is told of, mm.
    pub fn reach(&self) -> f64 {
        self.reach
    }

    /// How far along the middle and to its left a flat point lies, mm.
    pub fn along_and_off(&self, p: Point) -> [f64; 2] {
        let (s, off) = match &self.on {
            On::Body(_, strip) => strip.along_and_off(p.to_vec2()),
            On::Scan(_, strip) => strip.along_and_off(p.to_vec2()),
        };
        [s, off]
    }

    /// The flat point `s` mm along the middle and `off` mm to its left.
    pub fn flat_at(&self, s: f64, off: f64) -> Point {
        match &self.on {
            On::Body(_, strip) => strip.flat_at(s, off).to_point(),
            On::Scan(_, strip) => strip.flat_at(s, off).to_point(),
        }
    }

    /// Bend of the middle near `s` mm along it, 1/mm, left positive.
    fn bend(&self, s: f64) -> f64 {
        match &self.on {
            On::Body(_, strip) => strip.bend_near(s),
            On::Scan(_, strip) => strip.bend_near(s),
        }
    }

    /// Gaussian curvature `s` mm along the middle, 1/mm2.
    pub fn gauss(&self, s: f64) -> f64 {
        let bend = match &self.on {
            On::Body(body, strip) => strip.stand(body.body(), s).map(|at| body.body().gauss(at)),
            On::Scan(scan, strip) => strip.stand(&scan.ground(), s).map(|at| scan.ground().gauss(at)),
        };
        bend.unwrap_or(0.0)
    }

    /// Place of a flat point in the body's own two numbers; `None` on a scan.
    pub(crate) fn place(&self, p: Point) -> Option<Vec2> {
        let On::Body(body, strip) = &self.on else { return None };
        Some(strip.on_skin(body.body(), p.to_vec2())?.uv)
    }

    /// Point in space of a flat point; `None` beyond a scan.
    pub fn space(&self, p: Point) -> Option<Point3> {
        match &self.on {
            On::Body(body, _) => Some(body.body().jet(self.place(p)?).p),
            On::Scan(scan, strip) => {
                let stand = strip.on_skin(&scan.ground(), p.to_vec2())?;
                Some(stand.spot.point(scan.mesh()))
            }
        }
    }

    /// Flat point of a point in space on the skin; what is farther off than the reach stands on its border.
    pub(crate) fn at_space(&self, to: Point3) -> Point {
        let (s, off) = self.foot(to).unwrap_or_else(|rough| rough);
        self.bounded(s, off)
    }

    /// How far along and to the left of the middle a point of the skin lies, or with what it looks like from the nearest
    /// place of it where it is too far off to tell.
    fn foot(&self, to: Point3) -> Result<(f64, f64), (f64, f64)> {
        match &self.on {
            On::Body(body, strip) => strip.foot(body.body(), to, 2.0 * self.reach),
            On::Scan(scan, strip) => strip.foot(&scan.ground(), to, 2.0 * self.reach),
        }
    }

    /// The flat point so far along and off, or the one next to it that is still told of.
    fn bounded(&self, s: f64, off: f64) -> Point {
        let s = s.clamp(-self.reach, self.length() + self.reach);
        // Inside a bend what lies beyond its middle would come out on the wrong side of it.
        let bend = self.bend(s);
        let inside = INSIDE / bend.abs().max(geom::tolerance::NOISE_UNIT);
        let most = |way: f64| if 0.0 < way * bend { self.reach.min(inside) } else { self.reach };
        self.flat_at(s, off.clamp(-most(-1.0), most(1.0)))
    }

    /// Reading of a flat point: station and girth on a body; on a scan along the middle from its start, and to the left
    /// of it.
    pub(super) fn reading(&self, p: Point) -> SkinPair {
        let On::Body(body, _) = &self.on else { return self.along_and_off(p) };
        let measured = self.place(p).and_then(|place| body.body().measured(body.side(), place));
        measured.map_or_else(|| body.reading(p), |(s, t)| [s, t])
    }

    /// The first number of its reading alone, which is quicker.
    pub fn station(&self, p: Point) -> f64 {
        match self.place(p) {
            Some(place) => place.x,
            None => self.reading(p)[0],
        }
    }

    /// Flat point of a reading; see [`StripSkin::at_space`].
    pub(super) fn at_reading(&self, reading: SkinPair) -> Point {
        match &self.on {
            On::Body(body, _) => {
                let Some(to) = body.space(reading) else { return body.flat(reading) };
                match self.foot(to) {
                    Ok((s, off)) => self.bounded(s, off),
                    // Seen from the middle of the top the middle of the bottom lies straight down, to neither hand: on
                    // which side of the line it is tell the readings.
                    Err((s, _)) => {
                        let s = s.clamp(0.0, self.length());
                        let (here, left) = (self.flat_at(s, 0.0), self.flat_at(s, 1.0));
                        let toward = body.flat(reading) - body.flat(self.reading(here));
                        self.bounded(s, self.reach.copysign(toward.dot(left - here)))
                    }
                }
            }
            On::Scan(..) => self.flat_at(reading[0], reading[1]),
        }
    }

    /// The edge of what of a scan is told of; on a body that is the body's own.
    pub(super) fn ribbon(&self) -> Vec<Point> {
        let (whole, parts) = (self.length(), (self.length() / LONGEST).ceil());
        let along = (0..=parts as usize).map(|k| whole * k as f64 / parts);
        let right: Vec<Point> = along.clone().map(|s| self.flat_at(s, -self.reach)).collect();
        let left: Vec<Point> = along.map(|s| self.flat_at(s, self.reach)).collect();
        right.into_iter().chain(left.into_iter().rev()).collect()
    }

    /// The nearest spot of a scan to a point in space.
    pub fn spot_near(scan: &ScanSkin, p: Point3) -> (Point3, f64) {
        let (spot, far) = Spot::nearest(scan.mesh(), p);
        (spot.point(scan.mesh()), far)
    }
}
