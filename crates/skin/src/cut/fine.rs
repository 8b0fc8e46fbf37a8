//! A patch that ends where it was asked to end and whose triangles are small beside it, however coarse the scan.
//!
//! What laying a letter flat strains grows with the square of the patch, so a patch that ends in whole coarse
//! triangles, wider than the letter's box, says too much, and more the coarser the scan. Here coarse triangles are
//! parted in four, each new corner set on the smooth skin that the ways out at its neighbours tell of; then the rim is
//! cut along the shape's own edges. Corners of the scan stay where they are: what they miss of the true skin no
//! parting brings back.
//! Source of the new corner's place: Vlachos, Peters, Boyd and Mitchell, Curved PN triangles, 2001, the middle of its
//! cubic side (from memory).

use super::{Cutter, Shape};
use crate::straight::Bearing;
use crate::{Mesh, Spot};
use geom::{Point3, Vec2};
use std::collections::BTreeMap;

/// Most partings: each halves the sides, so a triangle becomes 256. chosen.
const MOST_PARTINGS: usize = 4;

/// Share of the sides by which a corner beside the shape's edge counts as on it, so that no needles are cut. chosen.
const ON_EDGE: f64 = 0.1;

/// A fine patch with its first flat map.
#[derive(Clone, Debug)]
pub struct Fine {
    /// Its triangles.
    pub mesh: Mesh,
    /// The same on the scan's own triangles: for places in space.
    pub on_scan: Mesh,
    /// First flat place of each corner, mm.
    pub flat: Vec<Vec2>,
    /// Where the bearing's spot is in the patch.
    pub centre: Spot,
    /// Triangles of the scan it lies on, rising; some beside it too.
    pub triangles: Vec<u32>,
    /// The skin ends, or has a hole, within the shape.
    pub short: bool,
}

/// A patch as it is parted.
struct Parts {
    points: Vec<Point3>,
    /// The same corners on the scan's own triangles.
    chords: Vec<Point3>,
    normals: Vec<Point3>,
    flat: Vec<Vec2>,
    mesh: Mesh,
    centre: Spot,
}

impl Cutter<'_> {
    /// The patch within a rectangle of this width and height (along the bearing, square off it), its sides in the mean no
    /// longer than `side` mm if four partings bring them there.
    pub fn fine(&self, bearing: Bearing, size: Vec2, side: f64) -> Fine {
        let t = bearing.spot.triangle;
        let own = (3 * t..3 * t + 3).map(|s| self.mesh.length(s)).fold(0.0, f64::max);
        // Whole triangles round the shape, so that it ends in none of them.
        let mut wide = self.patch(bearing, Shape::Rectangle(size.x + 2.0 * own, size.y + 2.0 * own));
        let rim = |s: &u32| wide.mesh.across(*s).is_none();
        let short = (0..3 * wide.mesh.triangles().len() as u32).filter(rim).any(|s| {
            let [a, b] = [wide.mesh.from(s), wide.mesh.to(s)].map(|k| wide.flat[k as usize]);
            meets(size, a, b)
        });
        let triangles = std::mem::take(&mut wide.triangles);
        let mut parts = Parts {
            points: wide.mesh.points().to_vec(),
            chords: wide.mesh.points().to_vec(),
            normals: wide.corners.iter().map(|k| self.normals[*k as usize]).collect(),
            flat: wide.flat,
            mesh: wide.mesh,
            centre: wide.centre,
        };
        parts.keep(size);
        for _ in 0..MOST_PARTINGS {
            if parts.side() <= side {
                break;
            }
            parts.part();
            parts.keep(size);
        }
        parts.clip(size);
        let on_scan = parts.mesh.moved(parts.chords);
        Fine { mesh: parts.mesh, on_scan, flat: parts.flat, centre: parts.centre, triangles, short }
    }
}

impl Parts {
    /// Length of its sides, mm, in the mean square: a few needles of a scan do not make the rest finer.
    fn side(&self) -> f64 {
        let sides = 3 * self.mesh.triangles().len() as u32;
        ((0..sides).map(|s| self.mesh.length(s).powi(2)).sum::<f64>() / f64::from(sides)).sqrt()
    }

    /// Leaves away what lies beside the shape, or hangs on by nothing.
    fn keep(&mut self, size: Vec2) {
        let half = size / 2.0;
        let beside = |t: u32| {
            let at = self.mesh.triangles()[t as usize].map(|k| self.flat[k as usize]);
            at.iter().all(|p| half.x < p.x)
                || at.iter().all(|p| p.x < -half.x)
                || at.iter().all(|p| half.y < p.y)
                || at.iter().all(|p| p.y < -half.y)
        };
        let mut met = vec![false; self.mesh.triangles().len()];
        met[self.centre.triangle as usize] = true;
        let mut kept = vec![self.centre.triangle];
        let mut next = 0;
        while next < kept.len() {
            let t = kept[next];
            next += 1;
            for other in (3 * t..3 * t + 3).filter_map(|s| self.mesh.across(s)).map(|s| s / 3) {
                if !met[other as usize] && !beside(other) {
                    met[other as usize] = true;
                    kept.push(other);
                }
            }
        }
        kept.sort_unstable();
        let (mesh, corners) = self.mesh.part(&kept);
        self.points = mesh.points().to_vec();
        self.chords = corners.iter().map(|k| self.chords[*k as usize]).collect();
        self.normals = corners.iter().map(|k| self.normals[*k as usize]).collect();
        self.flat = corners.iter().map(|k| self.flat[*k as usize]).collect();
        self.centre.triangle = kept.partition_point(|t| *t < self.centre.triangle) as u32;
        self.mesh = mesh;
    }

    /// Cuts along the four edges of the shape.
    fn clip(&mut self, size: Vec2) {
        let spot = self.centre.between(&self.mesh, &self.flat);
        let (half, near) = (size / 2.0, ON_EDGE * self.side());
        let mut triangles = self.mesh.triangles().to_vec();
        for edge in 0..4 {
            let far = |p: Vec2| match edge {
                0 => half.x - p.x,
                1 => half.x + p.x,
                2 => half.y - p.y,
                _ => half.y + p.y,
            };
            let mut depths: Vec<f64> =
                self.flat.iter().map(|p| Some(far(*p)).filter(|d| near < d.abs()).unwrap_or(0.0)).collect();
            let mut cuts = BTreeMap::new();
            let mut kept = Vec::with_capacity(triangles.len());
            for t in triangles {
                if t.iter().all(|k| depths[*k as usize] <= 0.0) {
                    continue;
                }
                let mut ring = Vec::with_capacity(4);
                for k in 0..3 {
                    let (a, b) = (t[k], t[(k + 1) % 3]);
                    let (d, e) = (depths[a as usize], depths[b as usize]);
                    if 0.0 <= d {
                        ring.push(a);
                    }
                    if d * e < 0.0 {
                        let cut = *cuts.entry((a.min(b), a.max(b))).or_insert_with(|| {
                            let part = d / (d - e);
                            let (a, b) = (a as usize, b as usize);
                            self.points.push(self.points[a].lerp(self.points[b], part));
                            self.chords.push(self.chords[a].lerp(self.chords[b], part));
                            self.flat.push(self.flat[a].lerp(self.flat[b], part));
                            depths.push(0.0);
                            self.points.len() as u32 - 1
                        });
                        ring.push(cut);
                    }
                }
                kept.extend((1..ring.len() - 1).map(|k| [ring[0], ring[k], ring[k + 1]]));
            }
            triangles = kept;
        }
        let all = Mesh::of_grid(std::mem::take(&mut self.points), triangles);
        let inside = |t: &u32| all.triangles()[*t as usize].map(|k| self.flat[k as usize]);
        let shares = |[p, q, r]: [Vec2; 3]| {
            let whole = (q - p).cross(r - p);
            let (b, c) = ((spot - p).cross(r - p) / whole, (q - p).cross(spot - p) / whole);
            [1.0 - b - c, b, c]
        };
        let least = |t: &u32| shares(inside(t)).into_iter().fold(f64::INFINITY, f64::min);
        let own = (0..all.triangles().len() as u32).max_by(|a, b| least(a).total_cmp(&least(b))).unwrap_or(0);
        self.centre = Spot { triangle: own, shares: shares(inside(&own)) };
        // No corner is set after this.
        self.normals = vec![Point3::ZERO; all.points().len()];
        (self.points, self.mesh) = (all.points().to_vec(), all);
        self.keep(size + Vec2::new(1.0, 1.0) * (4.0 * near));
    }

    /// Every triangle in four.
    fn part(&mut self) {
        let sides = 3 * self.mesh.triangles().len() as u32;
        let mut middle = vec![0_u32; sides as usize];
        for side in 0..sides {
            let other = self.mesh.across(side);
            // Both triangles of a side share its middle.
            if let Some(other) = other.filter(|o| *o < side) {
                middle[side as usize] = middle[other as usize];
                continue;
            }
            middle[side as usize] = self.points.len() as u32;
            let [a, b] = [self.mesh.from(side), self.mesh.to(side)].map(|k| k as usize);
            let (p, q, n, m) = (self.points[a], self.points[b], self.normals[a], self.normals[b]);
            self.points.push((p + q) / 2.0 - (n * (q - p).dot(n) + m * (p - q).dot(m)) / 8.0);
            self.chords.push((self.chords[a] + self.chords[b]) / 2.0);
            self.normals.push((n + m).try_normalize().unwrap_or(n));
            self.flat.push((self.flat[a] + self.flat[b]) / 2.0);
        }
        let mut triangles = Vec::with_capacity(4 * self.mesh.triangles().len());
        for (t, &[a, b, c]) in self.mesh.triangles().iter().enumerate() {
            let [ab, bc, ca] = [0, 1, 2].map(|k| middle[3 * t + k]);
            triangles.extend([[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]);
        }
        self.mesh = Mesh::of_grid(self.points.clone(), triangles);
        // The spot among the four: nearest a corner, or in the middle one.
        let Spot { triangle, shares } = self.centre;
        let corner = (0..3).find(|k| 0.5 <= shares[*k]);
        self.centre = match corner {
            Some(k) => {
                let mut within = shares.map(|s| 2.0 * s);
                within[k] = 2.0 * shares[k] - 1.0;
                Spot { triangle: 4 * triangle + k as u32, shares: within }
            }
            // ab lacks c, bc lacks a, ca lacks b.
            None => Spot {
                triangle: 4 * triangle + 3,
                shares: [1.0 - 2.0 * shares[2], 1.0 - 2.0 * shares[0], 1.0 - 2.0 * shares[1]],
            },
        };
    }
}

/// Whether a line from `a` to `b` comes into the rectangle about the origin.
fn meets(size: Vec2, a: Vec2, b: Vec2) -> bool {
    let (half, step) = (size / 2.0, b - a);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (at, way, most) in [(a.x, step.x, half.x), (a.y, step.y, half.y)] {
        if way == 0.0 {
            if most < at.abs() {
                return false;
            }
            continue;
        }
        let (in_at, out_at) = ((-most - at) / way, (most - at) / way);
        from = from.max(in_at.min(out_at));
        to = to.min(in_at.max(out_at));
    }
    from <= to
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flatten::flatten;
    use crate::surface::forms::Egg;
    use crate::surface::{Heading, grid};

    const INCH: f64 = 25.4;

    /// Strain of a 3-in letter's patch (2 by 3 in and a tenth) on an egg scanned at this spacing.
    fn letter(spacing: f64) -> (crate::flatten::Strain, f64) {
        let egg = Egg { half_length: 13.0 * INCH, radius: 5.0 * INCH };
        let (w, h) = (8.0 * INCH, 8.0 * INCH);
        let count = |size: f64| (size / spacing).round() as usize;
        let all = grid(&egg, Heading::new(&egg, Vec2::ZERO, Point3::X), w, h, count(w), count(h));
        let spot = Spot::nearest(&all.mesh, egg_middle(&egg)).0;
        let bearing = Bearing::new(&all.mesh, spot, Point3::X).unwrap();
        let size = Vec2::new(2.2, 3.3) * INCH;
        let fine = Cutter::new(&all.mesh).fine(bearing, size, size.x.min(size.y) / 12.0);
        assert!(!fine.short);
        for p in fine.on_scan.points().iter().step_by(7) {
            assert!(Spot::nearest(&all.mesh, *p).1 < 1e-6, "off the scan's own triangles");
        }
        let flat = flatten(&fine.mesh, &fine.flat).unwrap();
        assert_eq!(flat.turned_over, 0);
        (flat.strain, fine.mesh.area())
    }

    fn egg_middle(egg: &Egg) -> Point3 {
        use crate::surface::Surface;
        egg.jet(Vec2::ZERO).p
    }

    #[test]
    fn strain_of_a_letter_hardly_depends_on_how_coarse_the_scan_is() {
        // The finest, a hundred thousand triangles to the square foot, is the measure; the coarsest has three across
        // the letter. Whole triangles with a ring round them gave 3.3 times the strain there.
        let (finest, area) = letter(1.2);
        assert!((area / (2.2 * 3.3 * INCH * INCH) - 1.0).abs() < 0.01, "{area}");
        for spacing in [3.0, 7.0, 14.0, 20.0] {
            let (strain, area_of) = letter(spacing);
            let near =
                |a: f64, b: f64, share: f64| assert!((a / b - 1.0).abs() < share, "{spacing}: {a} {b}");
            near(strain.rms, finest.rms, 0.06);
            near(strain.p99, finest.p99, 0.15);
            near(strain.max, finest.max, 0.2);
            near(area_of, area, 0.01);
            // facts/geometry.md, B1: no map strains less than K r^2 / 12 over the disc inside.
            let egg_bend = (1.0 / (13.0 * INCH)).powi(2);
            assert!(egg_bend * (1.1 * INCH).powi(2) / 12.0 < strain.max);
        }
    }
}
