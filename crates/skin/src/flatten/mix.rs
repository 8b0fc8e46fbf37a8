//! Extrapolating steps: the next places from the last few steps rather than from the last alone.
//!
//! Anderson's mixing: of the last steps the combination whose changes cancel best. Long patches bend slowly under plain
//! steps; this takes a third of them.

use geom::Vec2;

/// Steps remembered. chosen.
const DEPTH: usize = 5;

/// The last steps: where they led, and by how much they moved.
pub(super) struct Mix {
    led: Vec<Vec<[f64; 2]>>,
    moved: Vec<Vec<[f64; 2]>>,
    size: usize,
}

impl Mix {
    pub(super) fn new(size: usize) -> Mix {
        Mix { led: Vec::new(), moved: Vec::new(), size }
    }

    /// Begins afresh.
    pub(super) fn forget(&mut self) {
        self.led.clear();
        self.moved.clear();
    }

    /// Replaces `places` by the next ones, given where a plain step from them leads.
    pub(super) fn next(&mut self, places: &mut [Vec2], plain: &[[f64; 2]]) {
        let moved: Vec<[f64; 2]> =
            plain.iter().zip(places.iter()).map(|(to, p)| [to[0] - p.x, to[1] - p.y]).collect();
        if self.led.len() > DEPTH {
            self.led.remove(0);
            self.moved.remove(0);
        }
        self.led.push(plain.to_vec());
        self.moved.push(moved);
        let shares = self.shares();
        let last = self.led.len() - 1;
        for (k, place) in places.iter_mut().enumerate().take(self.size) {
            let mut to = self.led[last][k];
            for (share, pair) in shares.iter().zip(self.led.windows(2)) {
                to[0] -= share * (pair[1][k][0] - pair[0][k][0]);
                to[1] -= share * (pair[1][k][1] - pair[0][k][1]);
            }
            *place = Vec2::new(to[0], to[1]);
        }
    }

    /// Shares of the earlier differences that make the change least: a small least squares problem, with so much
    /// weight on small shares that nearly equal steps cannot blow up.
    fn shares(&self) -> Vec<f64> {
        let m = self.moved.len() - 1;
        if m == 0 {
            return Vec::new();
        }
        let difference = |i: usize, k: usize, s: usize| self.moved[i + 1][k][s] - self.moved[i][k][s];
        let mut matrix = [[0.0; DEPTH + 1]; DEPTH];
        for k in 0..self.size {
            for s in 0..2 {
                let last = self.moved[m][k][s];
                let mut row = [0.0; DEPTH];
                (0..m).for_each(|i| row[i] = difference(i, k, s));
                for i in 0..m {
                    for j in 0..=i {
                        matrix[i][j] += row[i] * row[j];
                    }
                    matrix[i][DEPTH] += row[i] * last;
                }
            }
        }
        let trace: f64 = (0..m).map(|i| matrix[i][i]).sum();
        for i in 0..m {
            for j in 0..i {
                matrix[j][i] = matrix[i][j];
            }
            matrix[i][i] += trace * geom::tolerance::NOISE_UNIT / 1000.0;
        }
        solved(matrix, m)
    }
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
