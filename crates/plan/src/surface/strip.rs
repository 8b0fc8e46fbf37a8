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
use std::f64::consts::FRAC_PI_2;
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

/// Halvings by which the rim of a scan is found: from 300 mm down to noise.
const BACK: usize = 30;
/// Steps in which a rim beyond an end is looked for, along and across, mm. chosen: a hole smaller than that is no rim.
const ACROSS: f64 = 10.0;
/// Most steps of aiming at a station and a height.
const AIMED: usize = 12;
/// Share of an area by which two steps over the skin change station and height at least: on a skin seen so much from the
/// edge the two tell no place. chosen.
const FLAT: f64 = 0.02;

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

    /// The same strip, told of as far as this off its middle and beyond its ends, mm: places stay true, lengths off the middle
    /// less and less.
    pub(crate) fn told_to(&self, reach: f64) -> StripSkin {
        StripSkin { on: self.on.clone(), reach: self.reach.max(reach) }
    }

    /// Points of its middle in space, one a join, and how far from the nearest of them any of these flat points may lie on the
    /// skin, mm: no less than the way there, and ways over the skin are no shorter than straight through space.
    pub(crate) fn in_space(&self, points: impl Iterator<Item = Point>) -> (&[Point3], f64) {
        let (middle, aside) = match &self.on {
            On::Body(_, strip) => (strip.points(), strip.longest_aside()),
            On::Scan(_, strip) => (strip.points(), strip.longest_aside()),
        };
        let way = |p: Point| {
            let [s, off] = self.along_and_off(p);
            let past = (-s).max(s - self.length()).max(0.0);
            aside * off.abs() + past + LONGEST
        };
        (middle, points.map(way).fold(LONGEST, f64::max))
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

    /// How far it is straight on from a flat point to the rim of a scan, mm, along the middle or, not `onward`, back; `most` if
    /// that is nearer, `None` on a body or beyond the scan.
    pub(crate) fn to_rim(&self, p: Point, onward: bool, most: f64) -> Option<f64> {
        let On::Scan(scan, strip) = &self.on else { return None };
        let ground = scan.ground();
        let left = strip.on_skin(&ground, p.to_vec2())?;
        let way = ground.turned(left, if onward { -FRAC_PI_2 } else { FRAC_PI_2 });
        Some(way.ahead(scan.mesh(), most).length.min(most))
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

    /// True if its readings are lengths along its middle and to the left of it: on a scan without stated axes.
    pub fn reads_along(&self) -> bool {
        self.scan().is_some_and(|scan| scan.axes().is_none())
    }

    /// Reading of a flat point: station and girth on a body; on a scan station and height if its axes are stated, else
    /// along the middle from its start, and to the left of it.
    pub(super) fn reading(&self, p: Point) -> SkinPair {
        let On::Body(body, _) = &self.on else {
            return self.stated(p).unwrap_or_else(|| self.along_and_off(p));
        };
        let measured = self.place(p).and_then(|place| body.body().measured(body.side(), place));
        measured.map_or_else(|| body.reading(p), |(s, t)| [s, t])
    }

    /// Station and height of a flat point of a scan whose axes are stated; beyond its rim those of the place where it was
    /// left, and on as the strip lies there.
    fn stated(&self, p: Point) -> Option<SkinPair> {
        let axes = self.scan()?.axes()?;
        let read = |p: Point3| axes.read(p);
        if let Some(on) = self.space(p) {
            let at = read(on);
            return Some([at.x, at.z]);
        }
        let [s, off] = self.along_and_off(p);
        let foot = self.flat_at(s.clamp(0.0, self.length()), 0.0);
        let (mut inside, mut out) = (0.0, 1.0);
        for _ in 0..BACK {
            let middle = f64::midpoint(inside, out);
            if self.space(foot.lerp(p, middle)).is_some() { inside = middle } else { out = middle }
        }
        let less = inside - (inside / 2.0).min(1.0 / off.hypot(foot.distance(p)).max(1.0));
        let (a, b) = (self.space(foot.lerp(p, less))?, self.space(foot.lerp(p, inside))?);
        let at = read(if less < inside { a + (b - a) * ((1.0 - less) / (inside - less)) } else { b });
        Some([at.x, at.z])
    }

    /// Flat point of a station and a height: from the place of the middle that is nearest to both, put right step by step.
    fn at_stated(&self, reading: SkinPair) -> Option<Point> {
        let axes = self.scan()?.axes()?;
        let to = Vec2::new(reading[0], reading[1]);
        let read = |p: Point| {
            let [station, height] = self.reading(p);
            Vec2::new(station, height)
        };
        let parts = (self.length() / LONGEST).ceil().max(1.0);
        let places = (0..=parts as usize).map(|k| self.length() * k as f64 / parts);
        let far = |s: &f64| {
            let at = self.space(self.flat_at(*s, 0.0)).map(|p| axes.read(p));
            at.map_or(f64::INFINITY, |p| (Vec2::new(p.x, p.z) - to).hypot2())
        };
        let s = places.map(|s| (far(&s), s)).min_by(|a, b| a.0.total_cmp(&b.0))?.1;
        let mut best = self.flat_at(s, 0.0);
        let mut left = to - read(best);
        for _ in 0..AIMED {
            if left.hypot() <= geom::tolerance::GRID_MM {
                break;
            }
            let (x, y) = (
                read(best + Vec2::new(1.0, 0.0)) - read(best),
                read(best + Vec2::new(0.0, 1.0)) - read(best),
            );
            let all = x.cross(y);
            if all.abs() <= FLAT {
                break;
            }
            let by = Vec2::new(left.cross(y), x.cross(left)) / all;
            let next = best + by * (self.reach / by.hypot().max(self.reach));
            let now = to - read(next);
            if left.hypot() <= now.hypot() {
                break;
            }
            (best, left) = (next, now);
        }
        Some(best)
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
                        // Beyond its ends too: an end that meets another stripe is run on.
                        let s = s.clamp(-self.reach, self.length() + self.reach);
                        let (here, left) = (self.flat_at(s, 0.0), self.flat_at(s, 1.0));
                        let toward = body.flat(reading) - body.flat(self.reading(here));
                        self.bounded(s, self.reach.copysign(toward.dot(left - here)))
                    }
                }
            }
            On::Scan(..) => self.at_stated(reading).unwrap_or_else(|| self.flat_at(reading[0], reading[1])),
        }
    }

    /// The edge of what of a scan is told of; on a body that is the body's own. Beyond its ends it runs on, to the reach or to
    /// the rim; `past` is how far beyond its start and its end the stripe itself is run on, mm.
    pub(super) fn ribbon(&self, past: [f64; 2]) -> Vec<Point> {
        let (whole, parts) = (self.length(), (self.length() / LONGEST).ceil());
        let along = (0..=parts as usize).map(|k| whole * k as f64 / parts);
        let right = along.clone().map(|s| self.flat_at(s, -self.reach));
        let left = along.rev().map(|s| self.flat_at(s, self.reach));
        let parts = (2.0 * self.reach / ACROSS).ceil();
        let across = (0..=parts as usize).map(|k| self.reach * (2.0 * k as f64 / parts - 1.0));
        let end = across.clone().map(|off| self.flat_at(whole + self.on_beyond(whole, off, past[1]), off));
        let start = across.rev().map(|off| self.flat_at(-self.on_beyond(0.0, off, past[0]), off));
        right.chain(end).chain(left).chain(start).collect()
    }

    /// How far beyond an end, `off` mm to the left, the scan goes on, mm; no farther than the reach beyond `past`.
    fn on_beyond(&self, end: f64, off: f64, past: f64) -> f64 {
        let (way, most) = (if end > 0.0 { 1.0 } else { -1.0 }, self.reach + past.max(0.0));
        let on = |far: f64| self.space(self.flat_at(end + way * far, off)).is_some();
        if !on(0.0) {
            return 0.0;
        }
        let parts = (most / ACROSS).ceil();
        let places = (1..=parts as usize).map(|k| most * k as f64 / parts);
        let Some(mut out) = places.into_iter().find(|far| !on(*far)) else { return most };
        let mut inside = (out - most / parts).max(0.0);
        for _ in 0..BACK {
            let middle = f64::midpoint(inside, out);
            if on(middle) { inside = middle } else { out = middle }
        }
        inside
    }

    /// The nearest spot of a scan to a point in space.
    pub fn spot_near(scan: &ScanSkin, p: Point3) -> (Point3, f64) {
        let (spot, far) = Spot::nearest(scan.mesh(), p);
        (spot.point(scan.mesh()), far)
    }
}
