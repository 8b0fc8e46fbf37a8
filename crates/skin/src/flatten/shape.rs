//! Each triangle as it is on the skin: its shape in its own plane, and the weights that follow from it.

use super::hands::{both, half};
use super::sparse::Rows;
use crate::Mesh;
use geom::Vec2;
use geom::tolerance::NOISE_UNIT;
use std::ops::Range;

/// One triangle in its own plane: first corner at the origin, second on the x axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    /// x of the second corner, and place of the third.
    pub(super) b: f64,
    pub(super) c: Vec2,
}

impl Shape {
    /// Halves of the cotangents of the angles facing sides 0, 1 and 2.
    fn weights(self) -> [f64; 3] {
        let doubled = 2.0 * self.b * self.c.y;
        let (ab, ac) = (Vec2::new(self.b, 0.0), self.c);
        let bc = ac - ab;
        [ac.dot(bc) / doubled, ab.dot(ac) / doubled, -ab.dot(bc) / doubled]
    }

    pub(super) fn sides(self) -> [Vec2; 3] {
        [Vec2::new(self.b, 0.0), self.c - Vec2::new(self.b, 0.0), -self.c]
    }

    pub(super) fn area(self) -> f64 {
        self.b * self.c.y / 2.0
    }
}

/// All triangles of a patch.
pub(super) struct Shapes {
    pub(super) shapes: Vec<Shape>,
    pub(super) area: f64,
    /// Weight that holds the first corner.
    first: f64,
}

impl Shapes {
    pub(super) fn of(mesh: &Mesh) -> Shapes {
        let shapes: Vec<Shape> = (0..mesh.triangles().len() as u32)
            .map(|t| {
                let [p, q, r] = mesh.corners(t);
                let (u, v) = (q - p, r - p);
                let b = u.length();
                let x = u.dot(v) / b;
                // A needle keeps a height of a thousand-millionth of its length, so that weights stay finite.
                let y = (u.cross(v).length() / b).max(NOISE_UNIT * b.max(v.length()));
                Shape { b, c: Vec2::new(x, y) }
            })
            .collect();
        Shapes::made(mesh, shapes)
    }

    /// The same from the lengths of the sides (side k of triangle t at `3 t + k`), as they run over a curved skin.
    pub(super) fn of_sides(mesh: &Mesh, sides: &[f64]) -> Shapes {
        let shapes = sides
            .chunks_exact(3)
            .map(|s| {
                let (b, facing, back) = (s[0], s[1], s[2]);
                let x = (b * b + back * back - facing * facing) / (2.0 * b);
                let y = (back * back - x * x).max(0.0).sqrt().max(NOISE_UNIT * b.max(back));
                Shape { b, c: Vec2::new(x, y) }
            })
            .collect();
        Shapes::made(mesh, shapes)
    }

    fn made(mesh: &Mesh, shapes: Vec<Shape>) -> Shapes {
        let area = shapes.iter().map(|s| s.area()).sum();
        let corner = mesh.triangles()[0][0];
        let mut first = 0.0;
        for (shape, t) in shapes.iter().zip(mesh.triangles()).filter(|(_, t)| t.contains(&corner)) {
            let w = shape.weights();
            first +=
                (0..3).filter(|k| t[*k] == corner || t[(k + 1) % 3] == corner).map(|k| w[k]).sum::<f64>();
        }
        Shapes { shapes, area, first }
    }

    /// Error, mm2, under which lengths agree to rounding.
    pub(super) fn noise(&self) -> f64 {
        // A strain of a hundredth of NOISE_UNIT everywhere.
        self.area * (NOISE_UNIT / 100.0).powi(2)
    }

    /// The fixed matrix of every step, the diagonal first in each row. Moving all corners alike changes nothing, so the
    /// first corner gets a weight of its own that holds it where it is.
    pub(super) fn laplacian(&self, mesh: &Mesh) -> Rows {
        let n = mesh.points().len();
        let sides = 3 * self.shapes.len() as u32;
        // A side shared by two triangles is named once, by the lower of its two numbers.
        let across = |side: u32| mesh.across(side);
        let named = |side: u32| across(side).is_none_or(|other| side < other);
        let mut start = vec![0_u32; n + 1];
        for side in (0..sides).filter(|s| named(*s)) {
            start[mesh.from(side) as usize + 1] += 1;
            start[mesh.to(side) as usize + 1] += 1;
        }
        for k in 0..n {
            start[k + 1] += start[k] + 1;
        }
        let mut end: Vec<u32> = start[..n].iter().map(|s| s + 1).collect();
        let (mut column, mut value) = (vec![0_u32; start[n] as usize], vec![0.0_f64; start[n] as usize]);
        (0..n).for_each(|k| column[start[k] as usize] = k as u32);
        let weights: Vec<[f64; 3]> = self.shapes.iter().map(|s| s.weights()).collect();
        let weight = |side: u32| weights[side as usize / 3][side as usize % 3];
        for side in (0..sides).filter(|s| named(*s)) {
            let w = weight(side) + across(side).map_or(0.0, weight);
            let (a, b) = (mesh.from(side), mesh.to(side));
            for (from, to) in [(a, b), (b, a)] {
                let at = end[from as usize] as usize;
                (column[at], value[at]) = (to, -w);
                value[start[from as usize] as usize] += w;
                end[from as usize] += 1;
            }
        }
        value[start[mesh.triangles()[0][0] as usize] as usize] *= 2.0;
        for k in (0..n).filter(|k| start[*k] + 1 == start[k + 1]) {
            // A corner no triangle uses stays where it is.
            value[start[k] as usize] = 1.0;
        }
        Rows { start, column, value }
    }

    /// What the fixed system is to be solved for, with every triangle turned as it lies now; and the error, mm2, of
    /// the places as they are. `other` is room to work in, kept from call to call.
    pub(super) fn wanted(
        &self,
        mesh: &Mesh,
        places: &[Vec2],
        sides: &mut [[f64; 2]],
        other: &mut Vec<[f64; 2]>,
    ) -> f64 {
        let (n, all) = (places.len(), self.shapes.len());
        let part = if half(n) < n { all / 2 } else { all };
        sides.fill([0.0; 2]);
        other.clear();
        other.resize(if part < all { n } else { 0 }, [0.0; 2]);
        let (lower, upper) = both(
            n,
            || self.turned(mesh, 0..part, places, sides),
            || self.turned(mesh, part..all, places, other),
        );
        sides.iter_mut().zip(&*other).for_each(|(a, b)| *a = [a[0] + b[0], a[1] + b[1]]);
        self.hold_first(mesh, places, sides);
        (lower + upper) / 2.0
    }

    /// What some of the triangles add to the wanted sides, and twice their error.
    fn turned(&self, mesh: &Mesh, part: Range<usize>, places: &[Vec2], sides: &mut [[f64; 2]]) -> f64 {
        let mut error = 0.0;
        for (shape, t) in self.shapes[part.clone()].iter().zip(&mesh.triangles()[part]) {
            let [p, q, r] = t.map(|k| places[k as usize]);
            let Shape { b, c } = *shape;
            // The map of the triangle: where its own x and y go.
            let doubled = b * c.y;
            let inverse = 1.0 / doubled;
            let along = (q - p) * (c.y * inverse);
            let across = ((r - p) - along * c.x) * (b * inverse);
            let (re, im) = (along.x + across.y, along.y - across.x);
            let long = (re * re + im * im).sqrt();
            let share = 1.0 / long;
            let (cos, sin) = if 0.0 < long { (re * share, im * share) } else { (1.0, 0.0) };
            // Area times the sum of (s - 1)^2 is area times the square of what the map has beyond its turn.
            let off = (along - Vec2::new(cos, sin)).hypot2() + (across - Vec2::new(-sin, cos)).hypot2();
            error += doubled * off;
            // Half the side that faces a corner, square to it and turned as the triangle lies.
            let to_b = Vec2::new(c.y * cos + c.x * sin, c.y * sin - c.x * cos) / 2.0;
            let to_c = Vec2::new(-b * sin, b * cos) / 2.0;
            for (k, add) in [(0, -(to_b + to_c)), (1, to_b), (2, to_c)] {
                let to = &mut sides[t[k] as usize];
                to[0] += add.x;
                to[1] += add.y;
            }
        }
        error
    }

    /// Puts the weight that holds the first corner (see [`Shapes::laplacian`]) times its place to the wanted sides.
    pub(super) fn hold_first(&self, mesh: &Mesh, places: &[Vec2], sides: &mut [[f64; 2]]) {
        let first = mesh.triangles()[0][0] as usize;
        sides[first][0] += self.first * places[first].x;
        sides[first][1] += self.first * places[first].y;
    }

    /// Triangles face down.
    pub(super) fn turned_over(&self, mesh: &Mesh, places: &[Vec2]) -> usize {
        let face_down = |t: &&[u32; 3]| {
            let [a, b, c] = t.map(|k| places[k as usize]);
            // Written so that a place that is no number counts.
            !(0.0 < (b - a).cross(c - a))
        };
        mesh.triangles().iter().filter(face_down).count()
    }
}
