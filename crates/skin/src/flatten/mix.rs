//! Extrapolating steps: the next places from the last few steps rather than from the last alone.
//!
//! Anderson's mixing: of the last steps the combination whose changes cancel best. Long patches bend slowly under plain
//! steps; this takes a third of them.

use geom::Vec2;

/// Steps remembered. chosen.
const DEPTH: usize = 5;

/// One number or place a corner.
type Each = Vec<Vec2>;

/// The last steps.
#[derive(Default)]
pub(super) struct Mix {
    /// Where the last step led, and by how much it moved.
    last: Option<(Each, Each)>,
    /// What changed of both from each step to the next.
    changes: Vec<(Each, Each)>,
    /// Products of the changes of the moves with each other.
    products: Vec<Vec<f64>>,
}

impl Mix {
    /// Begins afresh.
    pub(super) fn forget(&mut self) {
        *self = Mix::default();
    }

    /// Replaces `places` by the next ones, given where a plain step from them leads.
    pub(super) fn next(&mut self, places: &mut [Vec2], plain: &[[f64; 2]]) {
        let led: Each = plain.iter().map(|to| Vec2::new(to[0], to[1])).collect();
        let moved: Each = led.iter().zip(places.iter()).map(|(to, p)| *to - *p).collect();
        if let Some((led_before, moved_before)) = self.last.take() {
            if self.changes.len() == DEPTH {
                self.changes.remove(0);
                self.products.remove(0);
                for row in &mut self.products {
                    row.remove(0);
                }
            }
            self.changes.push((changed(led_before, &led), changed(moved_before, &moved)));
            let last = &self.changes[self.changes.len() - 1].1;
            let row: Vec<f64> = self.changes.iter().map(|c| product(&c.1, last)).collect();
            self.products.iter_mut().zip(&row).for_each(|(other, p)| other.push(*p));
            self.products.push(row);
        }
        let mut shares = self.shares(&moved);
        shares.resize(DEPTH, 0.0);
        match self.changes.as_slice() {
            [] => places.copy_from_slice(&led),
            changes => {
                // Always five, so that one pass takes all; those there are none of count for nothing.
                let all: [&[Vec2]; DEPTH] =
                    std::array::from_fn(|k| changes[k.min(changes.len() - 1)].0.as_slice());
                for (k, place) in places.iter_mut().enumerate() {
                    let mut to = led[k];
                    for (share, change) in shares.iter().zip(all) {
                        to -= change[k] * *share;
                    }
                    *place = to;
                }
            }
        }
        self.last = Some((led, moved));
    }

    /// Shares of the earlier changes that make the move least: a small least squares problem, with so much weight on
    /// small shares that nearly equal steps cannot blow up.
    fn shares(&self, moved: &[Vec2]) -> Vec<f64> {
        let m = self.changes.len();
        let mut matrix = [[0.0; DEPTH + 1]; DEPTH];
        let trace: f64 = (0..m).map(|i| self.products[i][i]).sum();
        for i in 0..m {
            matrix[i][..m].copy_from_slice(&self.products[i]);
            matrix[i][i] += trace * geom::tolerance::NOISE_UNIT / 1000.0;
            matrix[i][DEPTH] = product(&self.changes[i].1, moved);
        }
        solved(matrix, m)
    }
}

/// What changed from `before` to `now`.
fn changed(mut before: Each, now: &[Vec2]) -> Each {
    before.iter_mut().zip(now).for_each(|(old, new)| *old = *new - *old);
    before
}

fn product(a: &[Vec2], b: &[Vec2]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a.dot(*b)).sum()
}

/// Solves a small positive definite system without pivots; no shares if it is none.
fn solved(mut a: [[f64; DEPTH + 1]; DEPTH], m: usize) -> Vec<f64> {
    for k in 0..m {
        if a[k][k] <= 0.0 || !a[k][k].is_finite() {
            return Vec::new();
        }
        for i in k + 1..m {
            let share = a[i][k] / a[k][k];
            for j in (k..m).chain([DEPTH]) {
                a[i][j] -= share * a[k][j];
            }
        }
    }
    let mut x = vec![0.0; m];
    for k in (0..m).rev() {
        let rest: f64 = (k + 1..m).map(|j| a[k][j] * x[j]).sum();
        x[k] = (a[k][DEPTH] - rest) / a[k][k];
    }
    x
}
