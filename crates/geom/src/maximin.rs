//! The highest point under a few tilted planes, over a small convex area: the question that a search for the
//! roomiest place asks of every box.
//!
//! Maximise z where z <= value + gradient . d for every plane, and d lies on the near side of every border.
//! Solved exactly: planes are added one at a time, the one that cuts deepest first, until none cuts.

use crate::point::Vec2;
use crate::tolerance::{NOISE_MM, PARALLEL_SINE};

/// z <= value + gradient . d
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Height over d = 0.
    pub value: f64,
    /// Slope.
    pub gradient: Vec2,
}

impl Plane {
    /// Height over `d`.
    pub fn at(&self, d: Vec2) -> f64 {
        self.value + self.gradient.dot(d)
    }
}

/// normal . d <= limit
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Border {
    /// Which way is out.
    pub normal: Vec2,
    /// How far.
    pub limit: f64,
}

impl Border {
    /// The four borders of the box |d.x| <= half.x, |d.y| <= half.y.
    pub fn of_box(half: Vec2) -> [Border; 4] {
        [(1.0, 0.0, half.x), (-1.0, 0.0, half.x), (0.0, 1.0, half.y), (0.0, -1.0, half.y)]
            .map(|(x, y, limit)| Border { normal: Vec2::new(x, y), limit })
    }

    fn allows(&self, d: Vec2) -> bool {
        self.normal.dot(d) <= self.limit + NOISE_MM
    }
}

/// The greatest z under all planes inside the borders, and where; `None` if no d is inside all borders.
/// Without planes z is infinite. When two places are as high, either may come back. z is never too low; d
/// may be a place where the planes are lower than z by rounding noise only.
pub fn highest_under(planes: &[Plane], borders: &[Border]) -> Option<(f64, Vec2)> {
    let mut active: Vec<Plane> = Vec::with_capacity(8);
    active.extend(planes.iter().min_by(|a, b| a.value.total_cmp(&b.value)));
    let mut best = solve(&active, borders)?;
    // Each round adds a plane that cuts the answer; there are only so many.
    for _ in 0..planes.len() {
        let Some(cut) = planes.iter().min_by(|a, b| a.at(best.1).total_cmp(&b.at(best.1))) else { break };
        if cut.at(best.1) >= best.0 - NOISE_MM {
            break;
        }
        // Planes the answer does not touch may be dropped: the answer only goes down from here.
        let (z, d) = best;
        active.retain(|p| p.at(d) <= z + NOISE_MM);
        active.push(*cut);
        let next = solve(&active, borders)?;
        if next.0 > best.0 {
            break;
        }
        best = next;
    }
    Some(best)
}

/// The same for a handful of planes, by trying every corner the answer can lie at: three planes, two planes
/// over a border, one plane where two borders meet.
fn solve(planes: &[Plane], borders: &[Border]) -> Option<(f64, Vec2)> {
    let mut best: Option<(f64, Vec2)> = None;
    let mut take = |d: Option<Vec2>| {
        let Some(d) = d else { return };
        if borders.iter().all(|b| b.allows(d)) {
            let z = planes.iter().map(|p| p.at(d)).fold(f64::INFINITY, f64::min);
            if best.is_none_or(|b| z > b.0) {
                best = Some((z, d));
            }
        }
    };
    for (i, a) in borders.iter().enumerate() {
        for b in &borders[i + 1..] {
            take(meet(*a, *b));
        }
    }
    for (i, p) in planes.iter().enumerate() {
        for (j, q) in planes.iter().enumerate().skip(i + 1) {
            let level = ridge(p, q);
            borders.iter().for_each(|b| take(meet(level, *b)));
            for r in &planes[j + 1..] {
                take(meet(level, ridge(p, r)));
            }
        }
    }
    best
}

/// The straight line over which two planes are as high.
fn ridge(p: &Plane, q: &Plane) -> Border {
    Border { normal: p.gradient - q.gradient, limit: q.value - p.value }
}

/// Where two straight lines meet; `None` if they are parallel.
fn meet(a: Border, b: Border) -> Option<Vec2> {
    let det = a.normal.cross(b.normal);
    (det.abs() > PARALLEL_SINE).then(|| {
        Vec2::new(
            (a.limit * b.normal.y - a.normal.y * b.limit) / det,
            (a.normal.x * b.limit - a.limit * b.normal.x) / det,
        )
    })
}

/// The place nearest to `aim` inside all borders; `None` if there is none. All in the same frame.
pub fn nearest_inside(aim: Vec2, borders: &[Border]) -> Option<Vec2> {
    if borders.iter().all(|b| b.allows(aim)) {
        return Some(aim);
    }
    let mut best: Option<(f64, Vec2)> = None;
    let mut take = |d: Vec2| {
        let far = (d - aim).hypot2();
        if best.is_none_or(|b| far < b.0) && borders.iter().all(|b| b.allows(d)) {
            best = Some((far, d));
        }
    };
    for (i, a) in borders.iter().enumerate() {
        let steep = a.normal.hypot2();
        if steep > 0.0 {
            take(aim + a.normal * ((a.limit - a.normal.dot(aim)) / steep));
        }
        borders[i + 1..].iter().filter_map(|b| meet(*a, *b)).for_each(&mut take);
    }
    best.map(|b| b.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Against a fine grid of the area.
        #[test]
        fn nothing_inside_is_higher_and_nothing_nearer(
            planes in proptest::collection::vec((-5.0..5.0_f64, -1.0..1.0_f64, -1.0..1.0_f64), 1..9),
            cuts in proptest::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64, 0.1..2.0_f64), 0..3),
            half in (0.5..4.0_f64, 0.5..4.0_f64), aim in (-6.0..6.0_f64, -6.0..6.0_f64),
        ) {
            let planes: Vec<Plane> =
                planes.iter().map(|p| Plane { value: p.0, gradient: Vec2::new(p.1, p.2) }).collect();
            let half = Vec2::new(half.0, half.1);
            let aim = Vec2::new(aim.0, aim.1);
            let mut borders = Border::of_box(half).to_vec();
            borders.extend(cuts.iter().map(|c| Border { normal: Vec2::new(c.0, c.1), limit: c.2 }));
            let under = |d: Vec2| planes.iter().map(|p| p.at(d)).fold(f64::INFINITY, f64::min);
            let (z, d) = highest_under(&planes, &borders).unwrap();
            let near = nearest_inside(aim, &borders).unwrap();
            prop_assert!((under(d) - z).abs() < 1e-5);
            let n = 60;
            for i in 0..=n {
                for j in 0..=n {
                    let d = Vec2::new(half.x * (f64::from(2 * i) / f64::from(n) - 1.0),
                        half.y * (f64::from(2 * j) / f64::from(n) - 1.0));
                    if borders.iter().all(|b| b.normal.dot(d) <= b.limit) {
                        prop_assert!(under(d) <= z + 1e-6, "grid {} at {d:?}, answer {z}", under(d));
                        prop_assert!((near - aim).hypot() <= (d - aim).hypot() + 1e-6);
                    }
                }
            }
        }
    }
}
