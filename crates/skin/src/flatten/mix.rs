//! Extrapolating steps: the next places from the last few steps rather than from the last alone.
//!
//! Anderson's mixing: of the last steps the combination whose changes cancel best. Long patches bend slowly under plain
//! steps; this takes a third of them.

use super::hands::{both, half};
use geom::Vec2;

/// Steps remembered. chosen.
const DEPTH: usize = 5;

/// The last steps.
#[derive(Default)]
pub(super) struct Mix {
    parts: [Part; 2],
    /// Products of the changes of the moves with each other.
    products: Vec<Vec<f64>>,
}

/// The last steps of some corners.
#[derive(Default)]
struct Part {
    /// Where the last step led, and by how much it moved.
    last: Option<(Vec<Vec2>, Vec<Vec2>)>,
    /// What changed of both from each step to the next.
    changes: Vec<(Vec<Vec2>, Vec<Vec2>)>,
}

impl Mix {
    /// Begins afresh.
    pub(super) fn forget(&mut self) {
        *self = Mix::default();
    }

    /// Replaces `places` by the next ones, given where a plain step from them leads.
    pub(super) fn next(&mut self, places: &mut [Vec2], plain: &[[f64; 2]]) {
        let n = places.len();
        let [lower, upper] = &mut self.parts;
        let (places, plain) = (places.split_at_mut(half(n)), plain.split_at(half(n)));
        let (a, b) = both(n, || lower.step(places.0, plain.0), || upper.step(places.1, plain.1));
        let sum = |a: Vec<f64>, b: Vec<f64>| a.iter().zip(&b).map(|(a, b)| a + b).collect::<Vec<f64>>();
        let (row, with_move) = (sum(a.0, b.0), sum(a.1, b.1));
        if self.products.len() == DEPTH {
            self.products.remove(0);
            for other in &mut self.products {
                other.remove(0);
            }
        }
        // The first step has nothing before it.
        if !row.is_empty() {
            self.products.iter_mut().zip(&row).for_each(|(other, p)| other.push(*p));
            self.products.push(row);
        }
        let shares = shares(&self.products, &with_move);
        both(n, || lower.put(&shares, places.0), || upper.put(&shares, places.1));
    }
}

/// Shares of the earlier changes that make the move least: a small least squares problem, with so much weight on small
/// shares that nearly equal steps cannot blow up.
fn shares(products: &[Vec<f64>], with_move: &[f64]) -> [f64; DEPTH] {
    let m = with_move.len();
    let mut matrix = [[0.0; DEPTH + 1]; DEPTH];
    let trace: f64 = (0..m).map(|i| products[i][i]).sum();
    for i in 0..m {
        matrix[i][..m].copy_from_slice(&products[i]);
        matrix[i][i] += trace * geom::tolerance::NOISE_UNIT / 1000.0;
        matrix[i][DEPTH] = with_move[i];
    }
    solved(matrix, m)
}

impl Part {
    /// Takes a step in; products of the last change of the moves with all of them, and of the move with them.
    fn step(&mut self, places: &[Vec2], plain: &[[f64; 2]]) -> (Vec<f64>, Vec<f64>) {
        // What is forgotten leaves its room to what comes.
        let full = self.changes.len() == DEPTH;
        let (mut led, mut moved) = if full { self.changes.remove(0) } else { (Vec::new(), Vec::new()) };
        led.clear();
        led.extend(plain.iter().map(|to| Vec2::new(to[0], to[1])));
        moved.clear();
        moved.extend(led.iter().zip(places).map(|(to, p)| *to - *p));
        if let Some((led_before, moved_before)) = self.last.take() {
            self.changes.push((changed(led_before, &led), changed(moved_before, &moved)));
        }
        let with = |to: &[Vec2]| self.changes.iter().map(|c| product(&c.1, to)).collect::<Vec<f64>>();
        let products = (self.changes.last().map_or_else(Vec::new, |last| with(&last.1)), with(&moved));
        self.last = Some((led, moved));
        products
    }

    /// Puts the corners where the last step led, less the changes by their shares.
    fn put(&self, shares: &[f64; DEPTH], places: &mut [Vec2]) {
        let Some((led, _)) = &self.last else { return };
        let Some(last) = self.changes.len().checked_sub(1) else {
            places.copy_from_slice(led);
            return;
        };
        // Always five, so that one pass takes all; those there are none of count for nothing.
        let all: [&[Vec2]; DEPTH] = std::array::from_fn(|k| self.changes[k.min(last)].0.as_slice());
        for (k, place) in places.iter_mut().enumerate() {
            let mut to = led[k];
            for (share, change) in shares.iter().zip(all) {
                to -= change[k] * *share;
            }
            *place = to;
        }
    }
}

/// What changed from `before` to `now`.
fn changed(mut before: Vec<Vec2>, now: &[Vec2]) -> Vec<Vec2> {
    before.iter_mut().zip(now).for_each(|(old, new)| *old = *new - *old);
    before
}

fn product(a: &[Vec2], b: &[Vec2]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a.dot(*b)).sum()
}

/// Solves a small positive definite system without pivots; no shares if it is none.
fn solved(mut a: [[f64; DEPTH + 1]; DEPTH], m: usize) -> [f64; DEPTH] {
    let mut x = [0.0; DEPTH];
    for k in 0..m {
        if a[k][k] <= 0.0 || !a[k][k].is_finite() {
            return x;
        }
        for i in k + 1..m {
            let share = a[i][k] / a[k][k];
            for j in (k..m).chain([DEPTH]) {
                a[i][j] -= share * a[k][j];
            }
        }
    }
    for k in (0..m).rev() {
        let rest: f64 = (k + 1..m).map(|j| a[k][j] * x[j]).sum();
        x[k] = (a[k][DEPTH] - rest) / a[k][k];
    }
    x
}
