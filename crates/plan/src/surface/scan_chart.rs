//! What lies on a scan as it lies on a chart of it: points of the skin found in the patch that was laid flat, points beyond
//! the patch carried straight on from its nearest rim.

use super::chart::Chart;
use super::scan_lying::{AllLying, Lying, OnScan};
use super::{FlatFeature, FlatPart, ScanSkin, StripSkin};
use crate::job::ScanPoint;
use geom::tolerance::{LAID_MM, NOISE_MM};
use geom::{Point, Point3, Region, Ring, Vec2};
use skin::flatten::Flat;
use skin::{Mesh, Spot};

/// A point of the skin nearer to the patch than this, mm, is on it: what corners of a scan are joined within.
const ON_PATCH: f64 = 0.01;

/// How far beyond its size a chart's border is drawn where all of it lies within an area. chosen: farther than any
/// clearance.
const ROUND_IT: f64 = 1000.0;

/// A chart of a scan made ready to carry points into.
pub(super) struct Carrier<'a> {
    chart: &'a Chart,
    patch: &'a Mesh,
    flat: &'a Flat,
    /// Open sides of the patch.
    rim: Vec<u32>,
}

impl<'a> Carrier<'a> {
    pub(super) fn new(chart: &'a Chart) -> Option<Carrier<'a>> {
        let (patch, flat) = chart.patch()?;
        let sides = 0..3 * patch.triangles().len() as u32;
        let rim = sides.filter(|s| patch.across(*s).is_none()).collect();
        Some(Carrier { chart, patch, flat, rim })
    }

    /// A point of the skin in flat, if it lies on the patch.
    pub(super) fn on_patch(&self, p: Point3) -> Option<Point> {
        let (spot, off) = Spot::nearest(self.patch, p);
        (off <= ON_PATCH).then(|| self.chart.flat_of_local(self.place(spot)))
    }

    /// A point in flat, and whether it lies on the patch.
    pub(super) fn point(&self, p: &OnScan) -> (Point, bool) {
        let (spot, off) = Spot::nearest(self.patch, p.spot);
        if off <= ON_PATCH {
            let at = self.place(spot) + self.way(spot.triangle, p.beyond);
            return (self.chart.flat_of_local(at), true);
        }
        (self.chart.flat_of_local(self.beyond(p.spot)), false)
    }

    /// A point of the skin in flat, wherever it lies.
    pub(super) fn any(&self, p: Point3) -> Point {
        self.on_patch(p).unwrap_or_else(|| self.chart.flat_of_local(self.beyond(p)))
    }

    fn place(&self, spot: Spot) -> Vec2 {
        spot.between(self.patch, &self.flat.places)
    }

    /// A direction along a triangle as it lies in flat.
    fn way(&self, triangle: u32, along: Point3) -> Vec2 {
        let [a, b, c] = self.patch.corners(triangle);
        let [p, q, r] = self.patch.triangles()[triangle as usize].map(|k| self.flat.places[k as usize]);
        let (u, v) = (b - a, c - a);
        let (uu, uv, vv) = (u.dot(u), u.dot(v), v.dot(v));
        let (wu, wv) = (along.dot(u), along.dot(v));
        let all = uu * vv - uv * uv;
        if all <= 0.0 {
            return Vec2::ZERO;
        }
        (q - p) * ((vv * wu - uv * wv) / all) + (r - p) * ((uu * wv - uv * wu) / all)
    }

    /// Straight on from the nearest spot of the patch's rim, as far as it is there.
    fn beyond(&self, to: Point3) -> Vec2 {
        let on_side = |side: u32| {
            let (a, b) = (self.patch.point(self.patch.from(side)), self.patch.point(self.patch.to(side)));
            let share = ((to - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
            (side, share, a.lerp(b, share))
        };
        let nearest = self.rim.iter().map(|s| on_side(*s));
        let nearest = nearest.min_by(|a, b| a.2.distance_squared(to).total_cmp(&b.2.distance_squared(to)));
        let Some((side, share, from)) = nearest else { return Vec2::ZERO };
        let mut shares = [0.0; 3];
        (shares[side as usize % 3], shares[(side as usize + 1) % 3]) = (1.0 - share, share);
        let spot = Spot { triangle: side / 3, shares };
        let out = self.patch.cross(spot.triangle).normalize_or_zero();
        let far = to - from;
        let way = self.way(spot.triangle, far - out * far.dot(out));
        let long = way.hypot();
        let way = if long <= NOISE_MM {
            // Straight out from the skin: away from the middle of the triangle.
            self.place(spot) - self.place(Spot::middle_of(spot.triangle))
        } else {
            way
        };
        self.place(spot) + way * (far.length() / way.hypot().max(LAID_MM))
    }

    /// The pieces of a region that lie on the chart.
    fn regions(&self, lying: &Lying) -> Vec<Region> {
        match lying {
            Lying::Disc { centre, radius } => {
                let (centre, on) = self.point(centre);
                let near = on || self.chart.off_size(centre) <= *radius;
                near.then_some(Region::Disc { centre, radius: *radius }).into_iter().collect()
            }
            Lying::Area { ring, held } => {
                self.ring(ring, held).map(|ring| Region::Area { rings: vec![ring] }).into_iter().collect()
            }
            Lying::Band { path, width } => {
                let band = |path: Vec<Point>| Region::Band { path, width: *width };
                self.runs(path).into_iter().map(band).collect()
            }
        }
    }

    /// A ring in flat; `None` where it does not touch the chart and does not go round it.
    fn ring(&self, ring: &[OnScan], held: &[bool]) -> Option<Ring> {
        let all: Vec<(Point, bool)> = ring.iter().map(|p| self.point(p)).collect();
        if all.iter().any(|(_, on)| *on) {
            let points: Vec<Point> = all.into_iter().map(|(p, _)| p).collect();
            return Some(super::features::counter_clockwise(points));
        }
        let middle = self.chart.middle_triangle()?;
        held.get(middle as usize).copied()?.then(|| self.chart.border(ROUND_IT))
    }

    /// Stretches of a path that lie on the patch, each with one point beyond at either end.
    fn runs(&self, path: &[OnScan]) -> Vec<Vec<Point>> {
        let all: Vec<(Point, bool)> = path.iter().map(|p| self.point(p)).collect();
        let mut runs: Vec<Vec<Point>> = Vec::new();
        let mut open = false;
        for (k, (p, on)) in all.iter().enumerate() {
            if *on {
                match runs.last_mut().filter(|_| open) {
                    Some(run) => run.push(*p),
                    None => runs.push(k.checked_sub(1).map(|b| all[b].0).into_iter().chain([*p]).collect()),
                }
            } else if open && let Some(run) = runs.last_mut() {
                run.push(*p);
            }
            open = *on;
        }
        runs.retain(|run| 2 <= run.len());
        runs
    }
}

impl Chart {
    /// A ring of points of its scan, in the scan's own axes and unit, joined straight in flat.
    pub fn ring_of_scan(&self, corners: &[ScanPoint]) -> Ring {
        let (Some(carrier), Some(scan)) = (Carrier::new(self), self.scan()) else { return Ring::default() };
        let points = corners.iter().map(|own| carrier.point(&scan.dropped(*own).1).0);
        super::features::counter_clockwise(points.collect())
    }
}

/// What lies on a scan, on a chart of it.
pub(super) fn lying_on(chart: &Chart) -> (Vec<FlatFeature>, Vec<FlatPart>) {
    let (Some(carrier), Some(scan)) = (Carrier::new(chart), chart.scan()) else { return Default::default() };
    let features = scan.lying().features.iter().flat_map(|(feature, lying)| {
        let one = |region| FlatFeature { region, ..feature.clone() };
        carrier.regions(lying).into_iter().map(one).collect::<Vec<_>>()
    });
    let parts = scan.lying().parts.iter().filter_map(|(part, lying, hinge)| {
        let Lying::Area { ring, held } = lying else { return None };
        let outline = carrier.ring(ring, held)?;
        let hinge = carrier.runs(hinge).into_iter().max_by(|a, b| a.len().cmp(&b.len())).unwrap_or_default();
        Some(FlatPart { outline, hinge, ..part.clone() })
    });
    (features.collect(), parts.collect())
}

impl ScanSkin {
    /// What lies on the scan, along a strip of it: what is farther off than the strip reaches stands on its border.
    pub(super) fn lying_along(&self, strip: &StripSkin) -> (Vec<FlatFeature>, Vec<FlatPart>) {
        let line = |points: &[OnScan]| points.iter().map(|p| strip.at_space(p.spot)).collect::<Vec<_>>();
        let region = |lying: &Lying| match lying {
            Lying::Disc { centre, radius } => {
                Region::Disc { centre: strip.at_space(centre.spot), radius: *radius }
            }
            Lying::Area { ring, .. } => {
                Region::Area { rings: vec![super::features::counter_clockwise(line(ring))] }
            }
            Lying::Band { path, width } => Region::Band { path: line(path), width: *width },
        };
        let AllLying { features, parts } = self.lying();
        let features = features.iter().map(|(f, lying)| FlatFeature { region: region(lying), ..f.clone() });
        let parts = parts.iter().filter_map(|(part, lying, hinge)| {
            let Lying::Area { ring, .. } = lying else { return None };
            let outline = super::features::counter_clockwise(line(ring));
            Some(FlatPart { outline, hinge: line(hinge), ..part.clone() })
        });
        (features.collect(), parts.collect())
    }
}
