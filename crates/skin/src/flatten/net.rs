//! A square net under a large patch: what bends slowly is solved on the net, what is rough corner by corner.
//!
//! Each step of flattening asks for a system with one unknown a corner. Factoring it costs more than all else, so on
//! large patches a few sweeps from corner to corner take out what changes from one to the next, and a net four sides
//! wide takes out the rest (with the net's matrix the exact share of the whole). A large net stands on a wider one in
//! the same way; the widest is factored. The same net, laid on the skin, is flattened first and gives the start.

use super::hands::{both, half};
use super::sparse::{Factors, Rows};
use crate::Mesh;
use crate::surface::triangles;
use geom::{Point3, Vec2};
use std::ops::Range;

/// Mean sides of triangles to a mesh of the net. chosen: 3 to 5 differ by little in time.
const WIDE: f64 = 4.0;

/// A patch whose longest side is this many times the mean has no net: it would be too wide to help.
const UNEVEN: f64 = 12.0;

/// Sweeps before and after the net's turn. chosen.
const SWEEPS: usize = 2;

/// Knots from which a wider net under the net is quicker than factors. chosen.
const STACKED: usize = 1500;

/// Turns of the wider net for one of the net: what it solves is then good to a few hundredths, as two sweeps need. chosen.
const TURNS: usize = 2;

/// How a net's own system is solved.
enum Ground {
    Factors(Factors),
    Wider(Rows, Box<Net>),
}

/// The net, and where each corner lies in it.
pub(super) struct Net {
    origin: Vec2,
    wide: f64,
    across: usize,
    up: usize,
    /// Lower left knot of the mesh each corner lies in, and how far in it lies.
    at: Vec<(u32, f64, f64)>,
    /// Number of each knot among those that hold a corner.
    number: Vec<u32>,
    ground: Option<Ground>,
    used: usize,
}

impl Net {
    /// The net under a first flat map; `None` where it would not help.
    pub(super) fn under(mesh: &Mesh, first: &[Vec2]) -> Option<Net> {
        let (mut longest, mut sum) = (0.0, 0.0);
        for t in mesh.triangles() {
            for k in 0..3 {
                let d = first[t[(k + 1) % 3] as usize] - first[t[k] as usize];
                longest = f64::max(longest, d.x.abs().max(d.y.abs()));
                sum += d.hypot2().sqrt();
            }
        }
        let mean = sum / (3 * mesh.triangles().len()) as f64;
        let wide = longest.max(WIDE * mean);
        // Written so that a map with places that are no numbers has no net.
        if !(wide <= UNEVEN * mean) { None } else { Net::over(first, wide) }
    }

    /// A net so wide under places; `None` where it would have as many knots as there are places.
    fn over(first: &[Vec2], wide: f64) -> Option<Net> {
        let (mut low, mut high) = (first[0], first[0]);
        for p in first {
            low = Vec2::new(low.x.min(p.x), low.y.min(p.y));
            high = Vec2::new(high.x.max(p.x), high.y.max(p.y));
        }
        let size = (high - low) / wide;
        if !(size.x * size.y < first.len() as f64) || !size.is_finite() {
            return None;
        }
        let (across, up) = (size.x as usize + 2, size.y as usize + 2);
        let at = first.iter().map(|p| {
            let (x, y) = ((p.x - low.x) / wide, (p.y - low.y) / wide);
            let (i, j) = ((x as usize).min(across - 2), (y as usize).min(up - 2));
            ((j * across + i) as u32, x - i as f64, y - j as f64)
        });
        let at = at.collect();
        Some(Net { origin: low, wide, across, up, at, number: Vec::new(), ground: None, used: 0 })
    }

    /// Knots round a corner with the shares it has of them.
    #[inline]
    fn shares(&self, k: usize) -> [(usize, f64); 4] {
        let (knot, x, y) = self.at[k];
        let knot = knot as usize;
        let over = knot + self.across;
        [(knot, (1.0 - x) * (1.0 - y)), (knot + 1, x * (1.0 - y)), (over, (1.0 - x) * y), (over + 1, x * y)]
    }

    /// Works out the net's share of the patch's matrix and its factors; false if that fails.
    pub(super) fn prepare(&mut self, rows: &Rows) -> bool {
        let knots = self.across * self.up;
        let mut stencil = vec![[0.0; 25]; knots];
        for i in 0..rows.len() {
            let own = self.at[i].0 as usize;
            let (ix, iy) = (own % self.across, own / self.across);
            // Sums over the row, on the four by four knots that its corners can touch.
            let mut near = [0.0; 16];
            for (j, a) in rows.row(i) {
                let other = self.at[j].0 as usize;
                let (dx, dy) = (other % self.across + 1 - ix, other / self.across + 1 - iy);
                let first = 4 * dy + dx;
                let s = self.shares(j);
                near[first] += a * s[0].1;
                near[first + 1] += a * s[1].1;
                near[first + 4] += a * s[2].1;
                near[first + 5] += a * s[3].1;
            }
            for (n, (knot, share)) in self.shares(i).into_iter().enumerate() {
                // The window starts one knot before `own`; each stencil two before its own knot.
                let (kx, ky) = (n % 2, n / 2);
                let to = &mut stencil[knot];
                for y in 0..4 {
                    for x in 0..4 {
                        to[5 * (y + 1 - ky) + x + 1 - kx] += share * near[4 * y + x];
                    }
                }
            }
        }
        self.number = vec![u32::MAX; knots];
        self.used = 0;
        for (number, knot) in self.number.iter_mut().zip(&stencil) {
            if 0.0 < knot[12] {
                *number = self.used as u32;
                self.used += 1;
            }
        }
        let mut net = Rows { start: vec![0], column: Vec::new(), value: Vec::new() };
        for (k, knot) in stencil.iter().enumerate().filter(|(_, knot)| 0.0 < knot[12]) {
            // A knot that hardly touches the patch must not make the matrix singular. The diagonal leads the row.
            net.column.push(self.number[k]);
            net.value.push(knot[12] * (1.0 + geom::tolerance::NOISE_UNIT));
            for (n, value) in knot.iter().enumerate().filter(|(n, _)| *n != 12) {
                let (x, y) = ((k % self.across + n % 5) as isize - 2, (k / self.across + n / 5) as isize - 2);
                let inside = 0 <= x && x < self.across as isize && 0 <= y && y < self.up as isize;
                if !inside || *value == 0.0 {
                    continue;
                }
                let number = self.number[y as usize * self.across + x as usize];
                if number != u32::MAX {
                    net.column.push(number);
                    net.value.push(*value);
                }
            }
            net.start.push(net.column.len() as u32);
        }
        self.ground = self.founded(net);
        self.ground.is_some()
    }

    /// How the net's own system will be solved.
    fn founded(&self, net: Rows) -> Option<Ground> {
        if STACKED <= self.used {
            let used = (0..self.number.len()).filter(|k| self.number[*k] != u32::MAX);
            let places: Vec<Vec2> = used.map(|k| self.knot(k)).collect();
            if let Some(mut wider) = Net::over(&places, WIDE * self.wide)
                && wider.prepare(&net)
            {
                return Some(Ground::Wider(net, Box::new(wider)));
            }
        }
        Factors::new(&net).map(Ground::Factors)
    }

    /// Brings `to` nearer to solving the patch's system for `sides`. `before` is room to work in, kept from call to call.
    pub(super) fn nearer(
        &self,
        rows: &Rows,
        sides: &[[f64; 2]],
        to: &mut [[f64; 2]],
        before: &mut Vec<[f64; 2]>,
    ) {
        let n = rows.len();
        let half = half(n);
        swept(rows, sides, to, before, false);
        if let Some(ground) = &self.ground {
            let (mut net, other) = {
                let to = &*to;
                both(n, || self.left(rows, sides, to, 0..half), || self.left(rows, sides, to, half..n))
            };
            net.iter_mut().zip(other).for_each(|(a, b)| *a = [a[0] + b[0], a[1] + b[1]]);
            match ground {
                Ground::Factors(factors) => factors.solve(&mut net),
                Ground::Wider(rows, wider) => {
                    let wanted = std::mem::replace(&mut net, vec![[0.0; 2]; self.used]);
                    (0..TURNS).for_each(|_| wider.nearer(rows, &wanted, &mut net, before));
                }
            }
            let (lower, upper) = to.split_at_mut(half);
            both(n, || self.lifted(&net, 0, lower), || self.lifted(&net, half, upper));
        }
        swept(rows, sides, to, before, true);
    }

    /// What is left of `sides` at some corners, gathered at the knots.
    fn left(&self, rows: &Rows, sides: &[[f64; 2]], to: &[[f64; 2]], corners: Range<usize>) -> Vec<[f64; 2]> {
        if corners.is_empty() {
            return Vec::new();
        }
        let mut net = vec![[0.0; 2]; self.used];
        for k in corners {
            let [mut x, mut y] = sides[k];
            for (j, a) in rows.row(k) {
                x -= a * to[j][0];
                y -= a * to[j][1];
            }
            for (knot, share) in self.shares(k) {
                if let Some(sum) = net.get_mut(self.number[knot] as usize) {
                    sum[0] += share * x;
                    sum[1] += share * y;
                }
            }
        }
        net
    }

    /// Moves the corners from number `first` on as the knots were.
    fn lifted(&self, net: &[[f64; 2]], first: usize, to: &mut [[f64; 2]]) {
        for (k, place) in to.iter_mut().enumerate() {
            for (knot, share) in self.shares(first + k) {
                if let Some(step) = net.get(self.number[knot] as usize) {
                    place[0] += share * step[0];
                    place[1] += share * step[1];
                }
            }
        }
    }

    /// The net laid on the skin where all four knots of a mesh are under the patch: its triangles, its flat places, and
    /// which knot each of its corners is.
    pub(super) fn laid(&self, mesh: &Mesh, first: &[Vec2]) -> Option<(Mesh, Vec<Vec2>, Vec<u32>)> {
        let mut points = vec![Point3::NAN; self.across * self.up];
        for (t, corners) in mesh.triangles().iter().enumerate() {
            let [p, q, r] = corners.map(|k| (first[k as usize] - self.origin) / self.wide);
            let all = (q - p).cross(r - p);
            if !(0.0 < all) {
                continue;
            }
            let (low_x, high_x) = (p.x.min(q.x).min(r.x).ceil(), p.x.max(q.x).max(r.x).floor());
            let (low_y, high_y) = (p.y.min(q.y).min(r.y).ceil(), p.y.max(q.y).max(r.y).floor());
            let mut y = low_y;
            while y <= high_y {
                let mut x = low_x;
                while x <= high_x {
                    let d = Vec2::new(x, y) - p;
                    let (s, u) = (d.cross(r - p) / all, (q - p).cross(d) / all);
                    if 0.0 <= s && 0.0 <= u && s + u <= 1.0 {
                        let [a, b, c] = mesh.corners(t as u32);
                        points[y as usize * self.across + x as usize] = a + (b - a) * s + (c - a) * u;
                    }
                    x += 1.0;
                }
                y += 1.0;
            }
        }
        // `triangles` numbers by columns; knots here lie by rows, so the roles of across and up change places.
        let all: Vec<[u32; 3]> = triangles(self.up - 1, self.across - 1)
            .into_iter()
            .map(|[a, b, c]| [a, c, b])
            .filter(|t| t.iter().all(|k| points[*k as usize].is_finite()))
            .collect();
        if all.is_empty() {
            return None;
        }
        let whole = Mesh::of_grid(points, all);
        let every: Vec<u32> = (0..whole.triangles().len() as u32).collect();
        let (part, knots) = whole.part(&every);
        let flat = knots.iter().map(|k| self.knot(*k as usize)).collect();
        Some((part, flat, knots))
    }

    fn knot(&self, k: usize) -> Vec2 {
        self.origin + Vec2::new((k % self.across) as f64, (k / self.across) as f64) * self.wide
    }

    /// The patch moved as the net was: places of the net's corners in, places of the patch out.
    pub(super) fn carried(&self, first: &[Vec2], knots: &[u32], places: &[Vec2]) -> Vec<Vec2> {
        let mut moved = vec![None; self.across * self.up];
        for (k, p) in knots.iter().zip(places) {
            moved[*k as usize] = Some(*p - self.knot(*k as usize));
        }
        // Knots beyond the laid net go on as the two before them, ring by ring.
        loop {
            let next: Vec<(usize, Vec2)> = (0..moved.len())
                .filter(|k| moved[*k].is_none())
                .filter_map(|k| Some((k, self.beyond(&moved, k)?)))
                .collect();
            if next.is_empty() {
                break;
            }
            for (k, d) in next {
                moved[k] = Some(d);
            }
        }
        let place = |(k, p): (usize, &Vec2)| {
            let step =
                self.shares(k).into_iter().map(|(knot, share)| moved[knot].unwrap_or(Vec2::ZERO) * share);
            step.fold(*p, |sum, d| sum + d)
        };
        first.iter().enumerate().map(place).collect()
    }

    /// What the moves of its neighbours say about a knot that has none.
    fn beyond(&self, moved: &[Option<Vec2>], k: usize) -> Option<Vec2> {
        let (x, y) = ((k % self.across) as isize, (k / self.across) as isize);
        let at = |x: isize, y: isize| {
            let inside = 0 <= x && x < self.across as isize && 0 <= y && y < self.up as isize;
            if inside { moved[y as usize * self.across + x as usize] } else { None }
        };
        let (mut sum, mut count) = (Vec2::ZERO, 0.0);
        for (dx, dy) in [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)] {
            if let Some(near) = at(x + dx, y + dy) {
                sum += at(x + 2 * dx, y + 2 * dy).map_or(near, |far| near * 2.0 - far);
                count += 1.0;
            }
        }
        (0.0 < count).then(|| sum / count)
    }
}

/// Sweeps from corner to corner, each put where its own row asks. On a large patch two hands sweep a half each and see
/// the other's as it was before.
fn swept(rows: &Rows, sides: &[[f64; 2]], to: &mut [[f64; 2]], before: &mut Vec<[f64; 2]>, back: bool) {
    let n = rows.len();
    let half = half(n);
    before.clear();
    if half < n {
        before.extend_from_slice(to);
    }
    let before = before.as_slice();
    let (lower, upper) = to.split_at_mut(half);
    let sweep = |first: usize, own: &mut [[f64; 2]]| {
        for _ in 0..SWEEPS {
            for k in 0..own.len() {
                let k = if back { own.len() - 1 - k } else { k };
                own[k] = settled(rows, sides, (first, own, before), k);
            }
        }
    };
    both(n, || sweep(0, lower), || sweep(half, upper));
}

/// Where its row asks a corner to be, given the hand's own half (from number `first` on) and all as it was before.
#[inline]
fn settled(
    rows: &Rows,
    sides: &[[f64; 2]],
    (first, own, before): (usize, &[[f64; 2]], &[[f64; 2]]),
    k: usize,
) -> [f64; 2] {
    let [mut x, mut y] = sides[first + k];
    let (lead, end) = (rows.start[first + k] as usize, rows.start[first + k + 1] as usize);
    // The diagonal leads its row.
    for (j, a) in rows.column[lead + 1..end].iter().zip(&rows.value[lead + 1..end]) {
        let j = *j as usize;
        let [p, q] = own.get(j.wrapping_sub(first)).copied().unwrap_or_else(|| before[j]);
        x -= a * p;
        y -= a * q;
    }
    let share = 1.0 / rows.value[lead];
    [x * share, y * share]
}
