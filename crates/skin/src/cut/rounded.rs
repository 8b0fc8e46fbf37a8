//! The smooth skin that a coarse scan tells of, as a grid over a letter's box.
//!
//! Triangles hold all their bend in their corners, and laying corners flat strains more than laying the same bend flat
//! where it is spread as on the skin. Here each triangle is bent so that it leaves its corners square to the ways out
//! there. For figures alone: patterns are laid on the scan's own triangles.
//!
//! Source: Vlachos, Peters, Boyd and Mitchell, Curved PN triangles, 2001 (from memory).

use crate::Mesh;
use crate::surface::{Grid, triangles};
use geom::{Point3, Vec2};

/// Corners of a grid, at least and at most: as many as the net of a letter on a body has; a patch with more than the
/// most has no need of one. Measured.
const CORNERS: std::ops::RangeInclusive<usize> = 300..=1500;

/// A way out that leans farther from square to a side than this, as a sine, is that of a crease: the side stays straight.
const CREASE: f64 = 0.3;

/// The grid over a box of this size about the origin of a flat map; `None` if the mesh is finer than a grid, or does not
/// fill the box.
pub(super) fn grid(mesh: &Mesh, flat: &[Vec2], normals: &[Point3], size: Vec2) -> Option<Grid> {
    let corners = mesh.points().len();
    if *CORNERS.end() < corners {
        return None;
    }
    let step = (size.x * size.y / corners.max(*CORNERS.start()) as f64).sqrt();
    // Even, so that the middle is a corner.
    let count = |size: f64| 2 * ((size / step / 2.0).ceil() as usize).max(2);
    let (across, up) = (count(size.x), count(size.y));
    let at = |i: usize, n: usize, size: f64| size * (i as f64 / n as f64 - 0.5);
    let first = |x: f64, n: usize, size: f64| ((x / size + 0.5) * n as f64).clamp(0.0, n as f64);
    let all = (across + 1) * (up + 1);
    let mut found: Vec<Option<(Point3, Point3)>> = vec![None; all];
    for t in mesh.triangles() {
        let [p, q, r] = t.map(|k| flat[k as usize]);
        let whole = (q - p).cross(r - p);
        let (low, high) = ([p, q, r].iter()).fold((p, p), |(low, high), p| {
            (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y)))
        });
        let bent = Bent::new(t.map(|k| mesh.point(k)), t.map(|k| normals[k as usize]));
        let columns =
            first(low.x, across, size.x).floor() as usize..=first(high.x, across, size.x).ceil() as usize;
        for i in columns {
            let rows = first(low.y, up, size.y).floor() as usize..=first(high.y, up, size.y).ceil() as usize;
            for j in rows {
                let to = Vec2::new(at(i, across, size.x), at(j, up, size.y)) - p;
                let (b, c) = (to.cross(r - p) / whole, (q - p).cross(to) / whole);
                let shares = [1.0 - b - c, b, c];
                if shares.iter().all(|s| -geom::tolerance::NOISE_UNIT <= *s) {
                    found[i * (up + 1) + j].get_or_insert_with(|| bent.at(shares));
                }
            }
        }
    }
    let found: Vec<(Point3, Point3)> = found.into_iter().collect::<Option<_>>()?;
    let (points, normals) = found.into_iter().unzip();
    let places: Vec<Vec2> =
        (0..all).map(|k| Vec2::new(at(k / (up + 1), across, size.x), at(k % (up + 1), up, size.y))).collect();
    let mesh = Mesh::of_grid(points, triangles(across, up));
    Some(Grid { mesh, flat: places.clone(), places, normals, across, up })
}

/// A triangle bent to the ways out at its corners.
struct Bent {
    corners: [Point3; 3],
    /// Two points on each side, the nearer to its start first.
    sides: [[Point3; 2]; 3],
    middle: Point3,
    normals: [Point3; 3],
    /// The way out at the middle of each side.
    halves: [Point3; 3],
}

impl Bent {
    fn new(corners: [Point3; 3], normals: [Point3; 3]) -> Bent {
        let lean = |way: Point3, n: Point3| {
            let off = way.dot(n);
            if CREASE * way.length() < off.abs() { Point3::ZERO } else { n * off }
        };
        let ends = |k: usize| (k, (k + 1) % 3);
        let sides = [0, 1, 2].map(|k| {
            let (a, b) = ends(k);
            let way = corners[b] - corners[a];
            [
                corners[a] + (way - lean(way, normals[a])) / 3.0,
                corners[b] - (way - lean(way, normals[b])) / 3.0,
            ]
        });
        let halves = [0, 1, 2].map(|k| {
            let (a, b) = ends(k);
            let (way, sum) = (corners[b] - corners[a], normals[a] + normals[b]);
            (sum - way * (2.0 * way.dot(sum) / way.length_squared())).normalize_or_zero()
        });
        let on_sides = sides.iter().flatten().sum::<Point3>() / 6.0;
        let flat = corners.iter().sum::<Point3>() / 3.0;
        Bent { corners, sides, middle: on_sides + (on_sides - flat) / 2.0, normals, halves }
    }

    /// The point, and the way out there.
    fn at(&self, shares: [f64; 3]) -> (Point3, Point3) {
        let (mut point, mut out) = (self.middle * (6.0 * shares[0] * shares[1] * shares[2]), Point3::ZERO);
        for k in 0..3 {
            let (s, t) = (shares[k], shares[(k + 1) % 3]);
            point += self.corners[k] * (s * s * s);
            point += (self.sides[k][0] * s + self.sides[k][1] * t) * (3.0 * s * t);
            out += self.normals[k] * (s * s) + self.halves[k] * (s * t);
        }
        (point, out.normalize_or_zero())
    }
}
