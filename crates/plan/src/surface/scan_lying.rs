//! What lies on a scan: features and parts given by points of the scan, dropped on its skin and joined the shortest way
//! over it; and how they come to lie on a chart.
//!
//! A disc is round over the skin. What a chart does not hold is cut off there; a point that lies in an opening of the
//! scan is carried straight on from the opening's rim.

use super::scan::ScanSkin;
use super::scan_way::way;
use super::{FlatFeature, FlatPart};
use crate::finding::{Finding, Severity};
use crate::job::{Feature, FeatureShape, Part, ScanPoint, ScanShape, Surface};
use crate::problem::Problem;
use crate::words::length;
use geom::tolerance::{NOISE_MM, NOISE_UNIT};
use geom::{Point, Point3, Region};
use skin::straight::Bearing;
use skin::{Mesh, Spot};
use std::f64::consts::TAU;
use std::sync::Arc;

/// A point farther off a scan than this, mm, is not on it: 1 in.
pub const OFF_SCAN: f64 = 25.4;

/// A point farther off than this, mm, is told: 1/16 in, what a survey errs by if the job does not say otherwise.
const TOLD: f64 = 25.4 / 16.0;

/// Points of a way over the skin are kept at least so far apart, mm: on a chart it hardly bends between them. chosen.
const APART: f64 = 8.0;

/// Points round a disc as it is drawn on the scan's view.
const ROUND: usize = 48;

/// A disc that is seen this straight on is drawn round: its height is less by 3 parts in 100 at most. chosen.
const STRAIGHT_ON: f64 = 0.97;

/// A point of the skin, and what was given lies beyond it, along the skin, where the scan is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct OnScan {
    /// The spot of the skin.
    pub(super) spot: Point3,
    /// From it straight on over an open rim, mm; zero elsewhere.
    pub(super) beyond: Point3,
}

/// Where something lies on a scan.
#[derive(Clone, Debug)]
pub(super) enum Lying {
    /// Round over the skin.
    Disc { centre: OnScan, radius: f64 },
    /// The ring of an area, and which triangles it holds.
    Area { ring: Vec<OnScan>, held: Arc<Vec<bool>> },
    /// A band along a path.
    Band { path: Vec<OnScan>, width: f64 },
}

/// What lies on a scan, in the job's order.
#[derive(Clone, Debug, Default)]
pub(super) struct AllLying {
    /// Features, and what they are.
    pub(super) features: Vec<(FlatFeature, Lying)>,
    /// Parts: outline and hinge line.
    pub(super) parts: Vec<(FlatPart, Lying, Vec<OnScan>)>,
}

/// Drops what a job says lies on a scan.
pub(super) struct Drop<'a> {
    scan: &'a ScanSkin,
    id: &'a str,
    findings: &'a mut Vec<Finding>,
    problems: &'a mut Vec<Problem>,
    /// Of the thing at hand: how far its points lie off the skin at most, and beyond an open rim, mm.
    most: [f64; 2],
}

impl<'a> Drop<'a> {
    /// Everything on a surface, each thing in the scan's own view.
    pub(super) fn all(
        scan: &'a ScanSkin,
        surface: &'a Surface,
        findings: &'a mut Vec<Finding>,
        problems: &'a mut Vec<Problem>,
    ) -> AllLying {
        let mut drop = Drop { scan, id: &surface.id, findings, problems, most: [0.0; 2] };
        let mut all = AllLying::default();
        for feature in &surface.features {
            all.features.extend(drop.feature(feature));
            drop.tell(&format!("feature `{}`", feature.id));
        }
        for part in &surface.parts {
            all.parts.extend(drop.part(part));
            drop.tell(&format!("part `{}`", part.id));
        }
        all
    }

    /// Says how far off its points were given, of the thing at hand.
    fn tell(&mut self, name: &str) {
        let [off, open] = std::mem::take(&mut self.most);
        let mut say = |message: String| {
            self.findings.push(
                Finding::new(Severity::Note, "off-scan", self.id, message)
                    .hint("read it from the scan again if that is more than it was read to"),
            );
        };
        if TOLD < off {
            say(format!(
                "{name} is given up to {} off the scan as smoothed: it is taken at the spots nearest to that",
                length(off)
            ));
        }
        if TOLD < open {
            say(format!(
                "{name} is given up to {} beyond an open rim of the scan: the skin is carried on straight to it",
                length(open)
            ));
        }
    }

    fn feature(&mut self, feature: &Feature) -> Option<(FlatFeature, Lying)> {
        let FeatureShape::Scan(shape) = &feature.shape else { return None };
        let what = Named { name: format!("feature `{}`", feature.id), span: &feature.span };
        let lying = match shape {
            ScanShape::Disc { at, diameter } => {
                let (_, centre) = self.point(*at, &what, diameter / 2.0)?;
                Lying::Disc { centre, radius: diameter / 2.0 }
            }
            ScanShape::Area { corners } => self.area(corners, &what)?,
            ScanShape::Path { path, width } => {
                Lying::Band { path: self.line(path, false, &what)?, width: *width }
            }
        };
        let flat = FlatFeature {
            id: feature.id.clone(),
            kind: feature.kind,
            region: self.scan.seen(&lying),
            clearance: feature.clearance,
            removable: feature.removable,
            cross: feature.cross,
        };
        Some((flat, lying))
    }

    fn part(&mut self, part: &Part) -> Option<(FlatPart, Lying, Vec<OnScan>)> {
        let what = Named { name: format!("part `{}`", part.id), span: &part.span };
        let lying = self.area(&part.scan_corners, &what)?;
        let hinge =
            if part.scan_hinge.is_empty() { Vec::new() } else { self.line(&part.scan_hinge, false, &what)? };
        let Region::Area { rings } = self.scan.seen(&lying) else { return None };
        let flat = FlatPart {
            id: part.id.clone(),
            outline: rings.into_iter().next().unwrap_or_default(),
            hinge: hinge.iter().map(|p| self.scan.flat(p.spot)).collect(),
            control: part.control,
            balanced: part.balanced,
        };
        Some((flat, lying, hinge))
    }

    /// One point dropped on the skin; `hole` is the radius of what may be an opening round it.
    fn point(&mut self, own: ScanPoint, what: &Named<'_>, hole: f64) -> Option<(Spot, OnScan)> {
        let (spot, on, off) = self.scan.dropped(own);
        let open = on.beyond.length();
        if !(off <= OFF_SCAN || off <= OFF_SCAN + hole && hole <= 2.0 * open) {
            let [x, y, z] = own;
            let message = format!(
                "{} of `{}` has a point {} off the scan: [{x}, {y}, {z}]",
                what.name,
                self.id,
                length(off)
            );
            let problem = Problem::at(what.span.clone(), message);
            self.problems.push(
                problem
                    .expected("a point on the scan, in its own axes and unit")
                    .hint("read it from the scan itself, or check the surface's `unit`"),
            );
            return None;
        }
        let most = if NOISE_MM < open { &mut self.most[1] } else { &mut self.most[0] };
        *most = most.max(if NOISE_MM < open { open } else { off });
        Some((spot, on))
    }

    /// Points joined the shortest way over the skin. Every point is dropped before the first fault ends it, so that all are
    /// told.
    fn line(&mut self, points: &[ScanPoint], closed: bool, what: &Named<'_>) -> Option<Vec<OnScan>> {
        let dropped: Vec<_> = points.iter().map(|p| self.point(*p, what, 0.0)).collect();
        let dropped: Vec<(Spot, OnScan)> = dropped.into_iter().collect::<Option<_>>()?;
        let n = dropped.len();
        let mut all = Vec::new();
        for k in 0..if closed { n } else { n.saturating_sub(1) } {
            let ((from, on), (to, _)) = (dropped[k], dropped[(k + 1) % n]);
            let Some((way, _)) = way(self.scan.mesh(), from, to) else {
                let message = format!(
                    "{} of `{}` lies on pieces of the scan that do not hang together",
                    what.name, self.id
                );
                self.problems.push(
                    Problem::at(what.span.clone(), message).expected("points on one piece of the scan"),
                );
                return None;
            };
            all.push(on);
            let end = way.len().saturating_sub(1);
            let mut last = way[0];
            for p in &way[1..end] {
                if APART <= p.distance(last) && APART <= p.distance(way[end]) {
                    all.push(OnScan { spot: *p, beyond: Point3::ZERO });
                    last = *p;
                }
            }
        }
        if !closed {
            all.extend(dropped.last().map(|(_, on)| *on));
        }
        Some(all)
    }

    fn area(&mut self, corners: &[ScanPoint], what: &Named<'_>) -> Option<Lying> {
        let ring = self.line(corners, true, what)?;
        let held = Arc::new(held(self.scan.mesh(), &ring));
        Some(Lying::Area { ring, held })
    }
}

/// What a message is about.
struct Named<'a> {
    name: String,
    span: &'a std::ops::Range<usize>,
}

impl ScanSkin {
    /// The skin's point nearest to a point of the scan's own axes and unit, and how far off it is, mm.
    pub(super) fn dropped(&self, own: ScanPoint) -> (Spot, OnScan, f64) {
        let mesh = self.mesh();
        let given = self.point(own);
        let (spot, off) = Spot::nearest(mesh, given);
        let on = spot.point(mesh);
        let beyond = if on_rim(mesh, spot) {
            let out = mesh.cross(spot.triangle).normalize_or_zero();
            (given - on) - out * (given - on).dot(out)
        } else {
            Point3::ZERO
        };
        (spot, OnScan { spot: on, beyond }, off)
    }

    /// Least straight distance, mm, of points in space to a feature of that id; `None` if there is none such.
    pub fn straight_to(&self, id: &str, points: &[Point3]) -> Option<f64> {
        let named = self.lying().features.iter().filter(|(f, _)| f.id == id);
        let far = |p: Point3, a: Point3, b: Point3| {
            let long = (b - a).length_squared();
            let share = if long > 0.0 { ((p - a).dot(b - a) / long).clamp(0.0, 1.0) } else { 0.0 };
            p.distance(a.lerp(b, share))
        };
        let one = |lying: &Lying| {
            let (line, less): (Vec<Point3>, f64) = match lying {
                Lying::Disc { centre, radius } => (vec![centre.spot + centre.beyond], *radius),
                Lying::Area { ring, .. } => (ring.iter().chain(ring.first()).map(|p| p.spot).collect(), 0.0),
                Lying::Band { path, width } => (path.iter().map(|p| p.spot).collect(), width / 2.0),
            };
            let ends = |k: usize| (line[k], line[(k + 1).min(line.len() - 1)]);
            let nearest = |p: &Point3| {
                (0..line.len()).map(|k| far(*p, ends(k).0, ends(k).1)).fold(f64::INFINITY, f64::min)
            };
            points.iter().map(nearest).fold(f64::INFINITY, f64::min) - less
        };
        named.map(|(_, lying)| one(lying).max(0.0)).reduce(f64::min)
    }

    /// What a tape can be held on: the middles of discs, corners of areas and ends of paths that lie on the skin, each in words;
    /// left and right as one who looks at the scan's own view has them.
    pub fn holds(&self) -> Vec<(String, Spot)> {
        let spot = |p: &OnScan| (p.beyond == Point3::ZERO).then(|| Spot::nearest(self.mesh(), p.spot).0);
        let mut out = Vec::new();
        for (feature, lying) in &self.lying().features {
            let id = &feature.id;
            match lying {
                Lying::Disc { centre, .. } => out.push((format!("the middle of {id}"), spot(centre))),
                Lying::Area { ring, .. } => {
                    let corner = |(k, p): (usize, &OnScan)| (format!("corner {} of {id}", k + 1), spot(p));
                    out.extend(ring.iter().enumerate().map(corner));
                }
                Lying::Band { path, .. } => {
                    let (Some(a), Some(b)) = (path.first(), path.last()) else { continue };
                    let across = self.flat(b.spot) - self.flat(a.spot);
                    let [first, last] =
                        match (across.y.abs() < across.x.abs(), across.x > 0.0, across.y > 0.0) {
                            (true, true, _) => ["left", "right"],
                            (true, false, _) => ["right", "left"],
                            (false, _, true) => ["lower", "upper"],
                            (false, _, false) => ["upper", "lower"],
                        };
                    out.push((format!("the {first} end of {id}"), spot(a)));
                    out.push((format!("the {last} end of {id}"), spot(b)));
                }
            }
        }
        out.into_iter().filter_map(|(name, spot)| Some((name, spot?))).collect()
    }

    /// The points on the skin of a path of that id, in order; `None` if there is none.
    pub fn path_of(&self, id: &str) -> Option<Vec<Point3>> {
        let path =
            self.lying().features.iter().filter(|(f, _)| f.id == id).find_map(|(_, lying)| match lying {
                Lying::Band { path, .. } => Some(path),
                Lying::Disc { .. } | Lying::Area { .. } => None,
            })?;
        (1 < path.len()).then(|| path.iter().map(|p| p.spot).collect())
    }

    /// As it is drawn on the scan's own view.
    fn seen(&self, lying: &Lying) -> Region {
        let line =
            |points: &[OnScan]| points.iter().map(|p| self.flat(p.spot + p.beyond)).collect::<Vec<_>>();
        match lying {
            Lying::Disc { centre, radius } => self.seen_disc(centre, *radius),
            Lying::Area { ring, .. } => {
                Region::Area { rings: vec![super::features::counter_clockwise(line(ring))] }
            }
            Lying::Band { path, width } => Region::Band { path: line(path), width: *width },
        }
    }

    fn seen_disc(&self, centre: &OnScan, radius: f64) -> Region {
        let mesh = self.mesh();
        let round = Region::Disc { centre: self.flat(centre.spot + centre.beyond), radius };
        let (spot, _) = Spot::nearest(mesh, centre.spot);
        let [right, toward] = self.viewer();
        let facing = mesh.cross(spot.triangle).normalize_or_zero().dot(toward).abs();
        let (Some(start), true) = (Bearing::new(mesh, spot, right), facing < STRAIGHT_ON) else {
            return round;
        };
        if NOISE_MM < centre.beyond.length() {
            return round;
        }
        let rim = (0..ROUND).map(|k| {
            let line = start.turned(mesh, TAU * k as f64 / ROUND as f64).ahead(mesh, radius);
            self.flat(line.end.spot.point(mesh))
        });
        let rim: Vec<Point> = rim.collect();
        Region::Area { rings: vec![super::features::counter_clockwise(rim)] }
    }
}

/// True on a side of the skin with nothing across it.
fn on_rim(mesh: &Mesh, spot: Spot) -> bool {
    // Side k runs from corner k to the next; the corner facing it has no share there.
    let side = |k: usize| {
        spot.shares[(k + 2) % 3] <= NOISE_UNIT && mesh.across(3 * spot.triangle + k as u32).is_none()
    };
    let Some(k) = spot.shares.iter().position(|share| 1.0 - NOISE_UNIT <= *share) else {
        return (0..3).any(side);
    };
    // At a corner the open side may be another triangle's.
    let corner = mesh.triangles()[spot.triangle as usize][k];
    let open = |s: u32| mesh.across(s).is_none() && (mesh.from(s) == corner || mesh.to(s) == corner);
    (0..3 * mesh.triangles().len() as u32).any(open)
}

/// Which triangles a ring over the skin holds. Of the pieces it cuts the skin into, the one with most of the scan's open
/// rim is outside, of a closed scan the largest.
fn held(mesh: &Mesh, ring: &[OnScan]) -> Vec<bool> {
    const NONE: usize = usize::MAX;
    let mut piece =
        touched(mesh, &dense(ring)).into_iter().map(|t| if t { 0 } else { NONE }).collect::<Vec<_>>();
    let beside: Vec<u32> = (0..mesh.triangles().len() as u32)
        .filter(|t| piece[*t as usize] == 0)
        .flat_map(|t| 3 * t..3 * t + 3)
        .filter_map(|side| mesh.across(side).map(|other| other / 3))
        .collect();
    let mut outside = (0, (0.0, 0.0));
    let mut count = 0;
    for start in beside {
        if piece[start as usize] != NONE {
            continue;
        }
        count += 1;
        let (mut rim, mut area, mut open) = (0.0, 0.0, vec![start]);
        piece[start as usize] = count;
        while let Some(t) = open.pop() {
            area += mesh.cross(t).length() / 2.0;
            for side in 3 * t..3 * t + 3 {
                match mesh.across(side) {
                    Some(other) if piece[other as usize / 3] == NONE => {
                        piece[other as usize / 3] = count;
                        open.push(other / 3);
                    }
                    Some(_) => {}
                    None => rim += mesh.length(side),
                }
            }
        }
        if outside.1 < (rim, area) {
            outside = (count, (rim, area));
        }
    }
    piece.into_iter().map(|p| p != NONE && p != outside.0).collect()
}

/// The ring's own points and, on long stretches, points between them.
fn dense(ring: &[OnScan]) -> Vec<Point3> {
    let ends = |k: usize| (ring[k].spot, ring[(k + 1) % ring.len()].spot);
    let part = |k: usize| {
        let (a, b) = ends(k);
        let parts = 8;
        (0..parts).map(move |i| a.lerp(b, f64::from(i) / f64::from(parts)))
    };
    (0..ring.len()).flat_map(part).collect()
}

/// Triangles that have a point of a line in the box round them, made wider by half their longest side: a line drawn by
/// points leaves no gap between triangles that would let its two sides run together.
fn touched(mesh: &Mesh, line: &[Point3]) -> Vec<bool> {
    let none = (Point3::splat(f64::INFINITY), Point3::splat(f64::NEG_INFINITY));
    let round = |all: &[Point3]| all.iter().fold(none, |(lo, hi), p| (lo.min(*p), hi.max(*p)));
    let whole = round(line);
    let one = |t: u32| {
        let [a, b, c] = mesh.corners(t);
        let spare = Point3::splat(a.distance(b).max(b.distance(c)).max(c.distance(a)) / 2.0);
        let (lo, hi) = round(&[a, b, c]);
        let (lo, hi) = (lo - spare, hi + spare);
        lo.cmple(whole.1).all()
            && whole.0.cmple(hi).all()
            && line.iter().any(|p| lo.cmple(*p).all() && p.cmple(hi).all())
    };
    (0..mesh.triangles().len() as u32).map(one).collect()
}
