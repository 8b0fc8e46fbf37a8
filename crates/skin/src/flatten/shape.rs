//! Each triangle as it is on the skin: its shape in its own plane, and the weights that follow from it.

use super::sparse::Rows;
use crate::Mesh;
use geom::Vec2;
use geom::tolerance::NOISE_UNIT;

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
    weights: Vec<[f64; 3]>,
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
        let at_first = |(shape, t): (&Shape, &[u32; 3])| {
            let w = shape.weights();
            (0..3).filter(|k| t[*k] == corner || t[(k + 1) % 3] == corner).map(|k| w[k]).sum::<f64>()
        };
        let first = shapes.iter().zip(mesh.triangles()).map(at_first).sum();
        let weights = shapes.iter().map(|s| s.weights()).collect();
        Shapes { shapes, weights, area, first }
    }

    /// Error, mm2, under which lengths agree to rounding.
    pub(super) fn noise(&self) -> f64 {
        // A strain of a hundredth of NOISE_UNIT everywhere.
        self.area * (NOISE_UNIT / 100.0).powi(2)
    }

    /// The fixed matrix of every step. Moving all corners alike changes nothing, so the first corner gets a weight of
    /// its own that holds it where it is.
    pub(super) fn laplacian(&self, mesh: &Mesh) -> Rows {
        let n = mesh.points().len();
        // Room for each corner: itself and two neighbours a triangle; then what is said twice is joined.
        let mut room = vec![0_u32; n + 1];
        mesh.triangles().iter().flatten().for_each(|k| room[*k as usize + 1] += 2);
        for k in 0..n {
            room[k + 1] += room[k] + 1;
        }
        let mut end: Vec<u32> = room[..n].iter().map(|s| s + 1).collect();
        let mut entries = vec![(0_u32, 0.0_f64); room[n] as usize];
        (0..n).for_each(|k| entries[room[k] as usize].0 = k as u32);
        for (w, t) in self.weights.iter().zip(mesh.triangles()) {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                for (from, to) in [(a, b), (b, a)] {
                    let (first, last) = (room[from as usize] as usize, end[from as usize] as usize);
                    entries[first].1 += w[k];
                    match entries[first + 1..last].iter_mut().find(|(other, _)| *other == to) {
                        Some((_, sum)) => *sum -= w[k],
                        None => {
                            entries[last] = (to, -w[k]);
                            end[from as usize] += 1;
                        }
                    }
                }
            }
        }
        let corner = mesh.triangles()[0][0] as usize;
        entries[room[corner] as usize].1 *= 2.0;
        let mut start = vec![0_u32; n + 1];
        let (mut column, mut value) = (Vec::with_capacity(8 * n), Vec::with_capacity(8 * n));
        for k in 0..n {
            let row = &mut entries[room[k] as usize..end[k] as usize];
            if row.len() == 1 {
                // A corner no triangle uses stays where it is.
                row[0].1 = 1.0;
            }
            row.sort_unstable_by_key(|entry| entry.0);
            column.extend(row.iter().map(|entry| entry.0));
            value.extend(row.iter().map(|entry| entry.1));
            start[k + 1] = column.len() as u32;
        }
        Rows { start, column, value }
    }

    /// What the fixed system is to be solved for, with every triangle turned as it lies now; and the error, mm2, of
    /// the places as they are.
    pub(super) fn wanted(&self, mesh: &Mesh, places: &[Vec2], sides: &mut [[f64; 2]]) -> f64 {
        sides.fill([0.0; 2]);
        let mut error = 0.0;
        for ((shape, w), t) in self.shapes.iter().zip(&self.weights).zip(mesh.triangles()) {
            let u = t.map(|k| places[k as usize]);
            let x = shape.sides();
            let (mut re, mut im, mut square) = (0.0, 0.0, 0.0);
            let mut turned = [Vec2::ZERO; 3];
            for k in 0..3 {
                let d = u[(k + 1) % 3] - u[k];
                re += w[k] * x[k].dot(d);
                im += w[k] * x[k].cross(d);
                square += w[k] * d.hypot2();
            }
            let long = (re * re + im * im).sqrt();
            // Area times the sum of (s - 1)^2: squares of the flat sides, less twice the turn, plus the own shape.
            error += square - 2.0 * long + 2.0 * shape.area();
            let (cos, sin) = if 0.0 < long { (re / long, im / long) } else { (1.0, 0.0) };
            for k in 0..3 {
                let v = x[k] * w[k];
                turned[k] = Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos);
            }
            for k in 0..3 {
                let add = turned[(k + 2) % 3] - turned[k];
                let to = &mut sides[t[k] as usize];
                to[0] += add.x;
                to[1] += add.y;
            }
        }
        self.hold_first(mesh, places, sides);
        error.max(0.0)
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
