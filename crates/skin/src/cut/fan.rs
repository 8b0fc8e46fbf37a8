//! What the triangles round a corner of a skin tell of it.

use super::Cutter;
use geom::Point3;

impl Cutter<'_> {
    /// Sides that start at a corner, each the first of its triangle.
    fn fan(&self, corner: u32) -> impl Iterator<Item = u32> + '_ {
        self.mesh.around(self.firsts[corner as usize])
    }

    /// The two sides of a triangle from the start of one of its sides.
    fn sides(&self, side: u32) -> [Point3; 2] {
        let here = self.mesh.point(self.mesh.from(side));
        [self.mesh.to(side), self.mesh.facing(side)].map(|k| self.mesh.point(k) - here)
    }

    /// Longest side at a corner, mm.
    pub(super) fn longest(&self, corner: u32) -> f64 {
        self.fan(corner).flat_map(|side| self.sides(side)).map(Point3::length).fold(0.0, f64::max)
    }

    /// The way out at a corner, right on a ball.
    ///
    /// Source: N. Max, Weights for computing vertex normals from facet normals, 1999 (from memory).
    pub(super) fn way_out(&self, corner: u32) -> Point3 {
        let one = |side: u32| {
            let [u, v] = self.sides(side);
            u.cross(v) / (u.length_squared() * v.length_squared())
        };
        self.fan(corner).map(one).sum::<Point3>().normalize_or_zero()
    }
}
