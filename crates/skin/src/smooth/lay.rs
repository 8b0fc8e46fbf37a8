//! Laying a skin flat as one smooth map: the control points at which lengths err least.
//!
//! The sum to be least is that of the squares of both stretches over the area. It is met by Gauss and Newton's way:
//! each place is turned back to the skin, what is left is stretch, linear in small moves of the control points.

use super::{Knots, PIECES, Place, Smooth, Stretch, frame};
use crate::flatten::sparse::{Factors, Rows};
use geom::{Point3, Vec2};

/// Most rounds; three or four are usual. What has not come to rest by then is what it is: its stretch is stated.
const ROUNDS: usize = 24;

/// Most halvings of a step that makes things worse.
const HALVINGS: usize = 8;

/// Points of Gauss's rule in each cell, along and across: exact for the squares of cubic slopes.
const RULE: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    (-0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];

/// Numbers of one cell: two for each of its control points.
const OWN: usize = 2 * PIECES * PIECES;

/// One place of the sum.
struct Spot {
    /// First control point along and across.
    first: (usize, usize),
    /// Area it stands for, mm2.
    weight: f64,
    /// Products of the skin's first derivatives there.
    products: [f64; 3],
    /// The first map there.
    base: Place,
    /// Along `u` and `v`: values and slopes of the basis.
    basis: [([f64; PIECES], [f64; PIECES]); 2],
}

/// What is to be added to the flat map `first`, as good as is easily had, so that lengths err least on the skin whose
/// first derivatives at `v` and then `u` are `skin(v)(u)`, mm. The corner of least `u` and `v` stays where `first` has it,
/// and the corner of greatest `u` and least `v` at the height it has there.
///
/// `None` if the skin has no area somewhere or the sum has no least place.
pub fn lay<Row: Fn(f64) -> [Point3; 2]>(
    u: Knots,
    v: Knots,
    skin: &impl Fn(f64) -> Row,
    first: &impl Fn(Vec2) -> Place,
) -> Option<Smooth> {
    let spots = spots(&u, &v, skin, first)?;
    let (nu, nv) = (u.count(), v.count());
    let mut map = Smooth { u, v, controls: vec![Vec2::ZERO; nu * nv] };
    let held = [0, 1, 2 * (nu - 1) + 1];
    let mut now = sum(&map, &spots);
    for _ in 0..ROUNDS {
        let step = step(&map, &spots, &held)?;
        let longest = step.iter().map(|d| d.hypot()).fold(0.0, f64::max);
        let mut share = 1.0;
        let moved = |share: f64| Smooth {
            controls: map.controls.iter().zip(&step).map(|(c, d)| *c + *d * share).collect(),
            ..map.clone()
        };
        let mut next = moved(share);
        let mut then = sum(&next, &spots);
        for _ in 0..HALVINGS {
            if then <= now {
                break;
            }
            share /= 2.0;
            next = moved(share);
            then = sum(&next, &spots);
        }
        if !(then <= now) {
            break;
        }
        (map, now) = (next, then);
        if longest <= geom::tolerance::LAID_MM {
            break;
        }
    }
    now.is_finite().then_some(map)
}

fn spots<Row: Fn(f64) -> [Point3; 2]>(
    u: &Knots,
    v: &Knots,
    skin: &impl Fn(f64) -> Row,
    first: &impl Fn(Vec2) -> Place,
) -> Option<Vec<Spot>> {
    let within = |(a, b): (f64, f64)| {
        let (middle, half) = (f64::midpoint(a, b), (b - a) / 2.0);
        RULE.map(|(x, w)| (middle + half * x, w * half))
    };
    let (us, vs): (Vec<_>, Vec<_>) =
        (u.cells().into_iter().flat_map(within).collect(), v.cells().into_iter().flat_map(within).collect());
    let mut spots = Vec::with_capacity(us.len() * vs.len());
    for (y, wy) in vs {
        let row = skin(y);
        let (iv, bv, dv) = v.basis(y);
        for &(x, wx) in &us {
            let [pu, pv] = row(x);
            let products = [pu.dot(pu), pu.dot(pv), pv.dot(pv)];
            let area = pu.cross(pv).length();
            let (iu, bu, du) = u.basis(x);
            if !(0.0 < area) || !area.is_finite() {
                return None;
            }
            spots.push(Spot {
                first: (iu, iv),
                weight: area * wx * wy,
                products,
                base: first(Vec2::new(x, y)),
                basis: [(bu, du), (bv, dv)],
            });
        }
    }
    Some(spots)
}

impl Spot {
    /// Its control points.
    fn controls(&self, nu: usize) -> [usize; PIECES * PIECES] {
        std::array::from_fn(|k| (self.first.1 + k / PIECES) * nu + self.first.0 + k % PIECES)
    }

    /// What each control point gives to the derivatives by u and v.
    fn slopes(&self) -> [[f64; 2]; PIECES * PIECES] {
        let [(bu, du), (bv, dv)] = &self.basis;
        std::array::from_fn(|k| {
            let (i, j) = (k % PIECES, k / PIECES);
            [du[i] * bv[j], bu[i] * dv[j]]
        })
    }

    fn stretch(&self, map: &Smooth) -> Stretch {
        let (mut pu, mut pv) = (self.base.u, self.base.v);
        for (c, [a, b]) in self.controls(map.u.count()).iter().zip(self.slopes()) {
            pu += map.controls[*c] * a;
            pv += map.controls[*c] * b;
        }
        Stretch::of(self.products, &Place { p: Vec2::ZERO, u: pu, v: pv })
    }
}

fn sum(map: &Smooth, spots: &[Spot]) -> f64 {
    spots.iter().map(|s| s.weight * s.stretch(map).square()).sum()
}

/// The move of every control point that takes most of the stretch away.
fn step(map: &Smooth, spots: &[Spot], held: &[usize]) -> Option<Vec<Vec2>> {
    let (nu, n) = (map.u.count(), 2 * map.controls.len());
    // A control point meets those up to three away each way: a band of rows.
    let reach = |k: usize| {
        let (i, j) = (k % nu, k / nu);
        let near = |x: usize, all: usize| x.saturating_sub(PIECES - 1)..(x + PIECES).min(all);
        let (columns, rows) = (near(i, nu), near(j, map.v.count()));
        rows.flat_map(move |r| columns.clone().map(move |c| r * nu + c))
    };
    let mut matrix = Rows { start: vec![0], column: Vec::new(), value: Vec::new() };
    for k in 0..n {
        let columns = reach(k / 2).flat_map(|c| [2 * c as u32, 2 * c as u32 + 1]);
        matrix.column.extend(columns);
        matrix.start.push(matrix.column.len() as u32);
    }
    matrix.value = vec![0.0; matrix.column.len()];
    let mut side = vec![[0.0; 2]; n];
    // Spots of one cell lie scattered by rows; each adds its own.
    for spot in spots {
        let at = spot.controls(nu);
        let stretch = spot.stretch(map);
        let (r1, r2) = frame(stretch.turn);
        let [e, f, g] = spot.products;
        let (a, b) = (e.sqrt(), (g - f * f / e).max(0.0).sqrt());
        let mut rows = [[0.0; OWN]; 3];
        for (k, [du, dv]) in spot.slopes().into_iter().enumerate() {
            let (g1, g2) = (du / a, (dv - du * (f / e)) / b);
            let shear = (r2 * g1 + r1 * g2) / 2.0;
            for (row, v) in rows.iter_mut().zip([r1 * g1, r2 * g2, shear]) {
                (row[2 * k], row[2 * k + 1]) = (v.x, v.y);
            }
        }
        let each = [(1.0, stretch.along), (1.0, stretch.across), (2.0, stretch.shear)];
        for (row, (share, off)) in rows.iter().zip(each) {
            let weight = spot.weight * share;
            for k in 0..OWN {
                side[2 * at[k / 2] + k % 2][0] -= weight * off * row[k];
            }
        }
        for k in 0..OWN {
            let number = 2 * at[k / 2] + k % 2;
            let scaled = [rows[0][k], rows[1][k], 2.0 * rows[2][k]].map(|x| x * spot.weight);
            let (from, to) = (matrix.start[number] as usize, matrix.start[number + 1] as usize);
            let columns = &matrix.column[from..to];
            for j in 0..PIECES {
                // Four neighbours along u lie side by side in the row.
                let lead = 2 * at[PIECES * j] as u32;
                let place = from + columns.partition_point(|c| *c < lead);
                let base = 2 * PIECES * j;
                for (m, value) in matrix.value[place..place + 2 * PIECES].iter_mut().enumerate() {
                    let l = base + m;
                    *value += scaled[0] * rows[0][l] + scaled[1] * rows[1][l] + scaled[2] * rows[2][l];
                }
            }
        }
    }
    for k in 0..n {
        let span = matrix.start[k] as usize..matrix.start[k + 1] as usize;
        let fixed = held.contains(&k);
        for i in span {
            let c = matrix.column[i] as usize;
            if fixed || held.contains(&c) {
                matrix.value[i] = if c == k { 1.0 } else { 0.0 };
            }
        }
        if fixed {
            side[k] = [0.0; 2];
        }
    }
    Factors::new(&matrix)?.solve(&mut side);
    Some(side.chunks(2).map(|c| Vec2::new(c[0][0], c[1][0])).collect())
}
