//! A skin as triangles: corners joined, faces turned one way, what is wrong with it counted.
//!
//! A scan comes as loose triangles. [`Mesh::joined`] makes one skin of them and says what it had to do; it never
//! invents skin where there is none.

use crate::mesh::joining::{matched, welded};
use geom::Point3;

mod findings;
mod joining;
mod stray;

pub use findings::{Component, Findings, Hole};
pub use stray::Stray;

/// No triangle across this side.
pub const NONE: u32 = u32::MAX;

/// Loose triangles, as a file holds them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Soup {
    /// Corners, in the file's unit until [`Soup::scaled`].
    pub points: Vec<Point3>,
    /// Three corners each, counter-clockwise seen from outside if the file keeps to that.
    pub triangles: Vec<[u32; 3]>,
    /// The way out of each triangle as the file states it; empty if it states none.
    pub normals: Vec<Point3>,
}

impl Soup {
    /// The same with every length multiplied by `mm_per_unit`.
    pub fn scaled(mut self, mm_per_unit: f64) -> Soup {
        self.points.iter_mut().for_each(|p| *p *= mm_per_unit);
        self
    }
}

/// A joined skin. Lengths in mm.
///
/// A side is named by `3 * triangle + k`: it runs from corner `k` to corner `k + 1` of that triangle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    points: Vec<Point3>,
    triangles: Vec<[u32; 3]>,
    across: Vec<u32>,
}

impl Mesh {
    /// One skin of loose triangles: corners nearer than `weld_mm` become one, empty and repeated triangles go, and so do
    /// those that reach to a corner absurdly far off; neighbours are turned the same way, a closed skin that is inside out is turned. `None` if nothing is left.
    ///
    /// Sides shared by more than two triangles are left open and counted.
    pub fn joined(soup: &Soup, weld_mm: f64) -> Option<(Mesh, Findings)> {
        let mut found = Findings::default();
        let (mut mesh, mut normals) = welded(soup, weld_mm, &mut found);
        if mesh.triangles.is_empty() {
            return None;
        }
        let (strays, kept) = stray::left_out(&mut mesh);
        found.strays = strays;
        let mut own = kept.into_iter();
        normals.retain(|_| own.next().unwrap_or(true));
        let (across, crowded) = matched(&mesh.triangles, mesh.points.len());
        mesh.across = across;
        found.crowded_sides = crowded;
        mesh.turn_alike(&normals, &mut found);
        mesh.count_holes(&mut found);
        Some((mesh, found))
    }

    /// A skin of triangles that are already joined and turned one way, such as a grid of our own.
    pub fn of_grid(points: Vec<Point3>, triangles: Vec<[u32; 3]>) -> Mesh {
        let (across, _) = matched(&triangles, points.len());
        Mesh { points, triangles, across }
    }

    /// Corners, mm.
    pub fn points(&self) -> &[Point3] {
        &self.points
    }

    /// Corners of each triangle, counter-clockwise seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// The same side seen from the triangle across it; `None` at an edge of the skin.
    pub fn across(&self, side: u32) -> Option<u32> {
        let other = self.across[side as usize];
        (other != NONE).then_some(other)
    }

    /// The corner a side starts from.
    pub fn from(&self, side: u32) -> u32 {
        self.triangles[side as usize / 3][side as usize % 3]
    }

    /// The corner a side ends at.
    pub fn to(&self, side: u32) -> u32 {
        self.triangles[side as usize / 3][(side as usize + 1) % 3]
    }

    /// The corner of the side's triangle that is not on it.
    pub fn facing(&self, side: u32) -> u32 {
        self.triangles[side as usize / 3][(side as usize + 2) % 3]
    }

    /// Length of a side, mm.
    pub fn length(&self, side: u32) -> f64 {
        self.points[self.from(side) as usize].distance(self.points[self.to(side) as usize])
    }

    /// A corner's place, mm.
    pub fn point(&self, corner: u32) -> Point3 {
        self.points[corner as usize]
    }

    /// Corners of a triangle in space.
    pub fn corners(&self, triangle: u32) -> [Point3; 3] {
        self.triangles[triangle as usize].map(|k| self.points[k as usize])
    }

    /// Twice the area times the way out.
    pub fn cross(&self, triangle: u32) -> Point3 {
        let [a, b, c] = self.corners(triangle);
        (b - a).cross(c - a)
    }

    /// Area of all triangles, mm2.
    pub fn area(&self) -> f64 {
        (0..self.triangles.len() as u32).map(|t| self.cross(t).length() / 2.0).sum()
    }

    /// One side that starts at each corner; at an edge of the skin the one from which [`Mesh::around`] meets all.
    pub fn first_sides(&self) -> Vec<u32> {
        let mut first = vec![NONE; self.points.len()];
        for side in 0..3 * self.triangles.len() as u32 {
            let corner = self.from(side) as usize;
            if first[corner] == NONE || self.across[side as usize] == NONE {
                first[corner] = side;
            }
        }
        first
    }

    /// Sides that start at one corner, counter-clockwise from `first`, ending at an edge of the skin.
    pub fn around(&self, first: u32) -> impl Iterator<Item = u32> + '_ {
        let mut next = (first != NONE).then_some(first);
        std::iter::from_fn(move || {
            let side = next?;
            let t = side / 3;
            let back = 3 * t + (side + 2) % 3;
            next = self.across(back).filter(|&s| s != first);
            Some(side)
        })
    }

    /// Side that closes a triangle after this one.
    pub fn next(side: u32) -> u32 {
        side / 3 * 3 + (side + 1) % 3
    }

    /// Area-weighted way out at every corner; zero length where triangles cancel.
    pub fn normals(&self) -> Vec<Point3> {
        let mut sums = vec![Point3::ZERO; self.points.len()];
        for (t, corners) in self.triangles.iter().enumerate() {
            let n = self.cross(t as u32);
            corners.iter().for_each(|&k| sums[k as usize] += n);
        }
        sums.iter_mut().for_each(|n| *n = n.normalize_or_zero());
        sums
    }

    /// The mesh of some of its triangles, in the order given, and for each of its corners the corner it was.
    pub fn part(&self, triangles: &[u32]) -> (Mesh, Vec<u32>) {
        let mut new = vec![NONE; self.points.len()];
        let mut old = Vec::new();
        let mut kept = Vec::with_capacity(triangles.len());
        for &t in triangles {
            kept.push(self.triangles[t as usize].map(|k| {
                if new[k as usize] == NONE {
                    new[k as usize] = old.len() as u32;
                    old.push(k);
                }
                new[k as usize]
            }));
        }
        let points = old.iter().map(|&k| self.points[k as usize]).collect();
        (Mesh::of_grid(points, kept), old)
    }

    /// The same triangles with the corners elsewhere.
    ///
    /// # Panics
    /// If the number of corners differs.
    pub fn moved(&self, points: Vec<Point3>) -> Mesh {
        assert_eq!(points.len(), self.points.len(), "one place a corner");
        Mesh { points, triangles: self.triangles.clone(), across: self.across.clone() }
    }

    /// Turns triangle by triangle: corners swapped, sides renamed in the neighbours.
    fn turn(&mut self, turned: &[bool]) {
        let renamed = |side: u32| {
            if turned[side as usize / 3] { side / 3 * 3 + [0, 2, 1][side as usize % 3] } else { side }
        };
        let mut across = vec![NONE; self.across.len()];
        for side in 0..self.across.len() as u32 {
            let other = self.across[side as usize];
            if other != NONE {
                across[renamed(side) as usize] = renamed(other);
            }
        }
        self.across = across;
        for (triangle, _) in self.triangles.iter_mut().zip(turned).filter(|(_, turned)| **turned) {
            // Sides 0 1 2 run a-b, b-c, c-a; with a and b swapped b-a, a-c, c-b are what were 0, 2, 1.
            triangle.swap(0, 1);
        }
    }
}

#[cfg(test)]
mod tests;
