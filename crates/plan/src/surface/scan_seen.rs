//! A scan as it is looked at: the place that is seen at a point of its drawing, as when a hand puts a feature there, and
//! what lies on it as lines in space.

use super::scan::ScanSkin;
use super::scan_lying::{Lying, OnScan};
use geom::{Point, Point3};
use skin::Spot;
use std::f64::consts::TAU;

/// Points round a disc in space.
const ROUND: u32 = 32;

impl ScanSkin {
    /// The outermost place of the skin, in the file's axes but mm, that its drawing shows at a point; beside the scan its
    /// corner nearest to there.
    pub fn seen_at(&self, at: Point) -> Point3 {
        let (mesh, [_, out]) = (self.mesh(), self.viewer());
        let on_it = mesh.triangles().iter().filter_map(|t| {
            let corners = t.map(|c| mesh.points()[c as usize]);
            let [a, b, c] = corners.map(|p| self.flat(p));
            let whole = (b - a).cross(c - a);
            let share =
                [(c - b).cross(at - b), (a - c).cross(at - c), (b - a).cross(at - a)].map(|w| w / whole);
            // A face seen edge on has no share that is a number.
            let inside = share.iter().all(|s| *s >= 0.0);
            inside.then(|| corners[0] * share[0] + corners[1] * share[1] + corners[2] * share[2])
        });
        let outermost = on_it.max_by(|a, b| a.dot(out).total_cmp(&b.dot(out)));
        let far = |p: &Point3| self.flat(*p).distance(at);
        let nearest = || mesh.points().iter().copied().min_by(|a, b| far(a).total_cmp(&far(b)));
        outermost.or_else(nearest).unwrap_or(Point3::ZERO)
    }

    /// Its features, then its parts, as lines in space, mm, closed but for paths; each point with the way out there.
    pub fn lying_in_space(&self) -> [Vec<Vec<[Point3; 2]>>; 2] {
        let all = self.lying();
        [
            all.features.iter().map(|(_, lying)| self.in_space(lying)).collect(),
            all.parts.iter().map(|(_, lying, _)| self.in_space(lying)).collect(),
        ]
    }

    fn in_space(&self, lying: &Lying) -> Vec<[Point3; 2]> {
        let out = |p: Point3| self.mesh().cross(Spot::nearest(self.mesh(), p).0.triangle).normalize();
        let with =
            |line: &[OnScan]| line.iter().map(|p| [p.spot + p.beyond, out(p.spot)]).collect::<Vec<_>>();
        match lying {
            Lying::Band { path, .. } => with(path),
            Lying::Area { ring, .. } => {
                let mut ring = with(ring);
                ring.extend(ring.first().copied());
                ring
            }
            Lying::Disc { centre, radius } => {
                let (up, middle) = (out(centre.spot), centre.spot + centre.beyond);
                let [across, along] = up.any_orthonormal_pair().into();
                let round = |k: u32| {
                    let (sin, cos) = (TAU * f64::from(k) / f64::from(ROUND)).sin_cos();
                    let flat = middle + (across * cos + along * sin) * *radius;
                    let spot = Spot::nearest(self.mesh(), flat).0;
                    [spot.point(self.mesh()), up]
                };
                (0..=ROUND).map(round).collect()
            }
        }
    }
}
