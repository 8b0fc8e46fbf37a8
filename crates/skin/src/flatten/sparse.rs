//! Factors of a sparse symmetric matrix, made once and used for every step of flattening.
//!
//! The unknowns are put in an order that keeps the factors small; then L D L' is built row by row along the tree of
//! what depends on what.

/// A symmetric matrix by rows: both halves and the diagonal are held. Columns of a row in any order.
pub(crate) struct Rows {
    /// Where each row starts; one more than rows.
    pub(crate) start: Vec<u32>,
    /// Column of each number.
    pub(crate) column: Vec<u32>,
    /// The numbers.
    pub(crate) value: Vec<f64>,
}

impl Rows {
    pub(crate) fn len(&self) -> usize {
        self.start.len() - 1
    }

    #[inline]
    pub(crate) fn row(&self, k: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let span = self.start[k] as usize..self.start[k + 1] as usize;
        self.column[span.clone()].iter().map(|c| *c as usize).zip(self.value[span].iter().copied())
    }
}

/// L, D and the order of the unknowns.
pub(crate) struct Factors {
    /// New number of each unknown -> old number.
    old: Vec<u32>,
    start: Vec<usize>,
    row: Vec<u32>,
    value: Vec<f64>,
    inverse_diagonal: Vec<f64>,
}

impl Factors {
    /// Factors of a positive definite matrix; `None` if it is not.
    pub(crate) fn new(rows: &Rows) -> Option<Factors> {
        let n = rows.len();
        let control = amd::Control::default();
        // The crate marks what it has done by sign.
        let signed = |v: &[u32]| v.iter().map(|k| i32::try_from(*k).ok()).collect::<Option<Vec<i32>>>();
        let (start, mut column) = (signed(&rows.start)?, signed(&rows.column)?);
        // It works on copies twice the size where columns are out of order.
        for k in 0..n {
            column[rows.start[k] as usize..rows.start[k + 1] as usize].sort_unstable();
        }
        let (old, new, _) = amd::order(n as i32, &start, &column, &control).ok()?;
        let unsigned = |v: Vec<i32>| v.into_iter().map(|k| k as u32).collect::<Vec<u32>>();
        let (old, new) = (unsigned(old), unsigned(new));
        let (parent, count) = tree(rows, &old, &new);
        let mut start = vec![0; n + 1];
        for k in 0..n {
            start[k + 1] = start[k] + count[k] as usize;
        }
        let mut factors = Factors {
            old,
            row: vec![0; start[n]],
            value: vec![0.0; start[n]],
            inverse_diagonal: vec![0.0; n],
            start,
        };
        factors.fill(rows, &new, &parent).then_some(factors)
    }

    /// Row by row: what the rows before it leave of it.
    fn fill(&mut self, rows: &Rows, new: &[u32], parent: &[u32]) -> bool {
        let n = new.len();
        let mut work = vec![0.0; n];
        let mut filled: Vec<usize> = self.start[..n].to_vec();
        let (mut met, mut path, mut stack) = (vec![u32::MAX; n], Vec::new(), Vec::<u32>::new());
        for k in 0..n {
            let mut diagonal = 0.0;
            stack.clear();
            met[k] = k as u32;
            for (column, value) in rows.row(self.old[k] as usize) {
                let mut i = new[column];
                if i as usize == k {
                    diagonal = value;
                }
                if k <= i as usize {
                    continue;
                }
                work[i as usize] += value;
                path.clear();
                while met[i as usize] != k as u32 {
                    path.push(i);
                    met[i as usize] = k as u32;
                    i = parent[i as usize];
                }
                // Later pieces of path come before: the stack is read from its end.
                stack.extend(path.iter().rev());
            }
            for &i in stack.iter().rev() {
                let i = i as usize;
                let value = std::mem::take(&mut work[i]);
                let (from, to) = (self.start[i], filled[i]);
                for (r, v) in self.row[from..to].iter().zip(&self.value[from..to]) {
                    work[*r as usize] -= v * value;
                }
                let share = value * self.inverse_diagonal[i];
                diagonal -= share * value;
                self.row[to] = k as u32;
                self.value[to] = share;
                filled[i] += 1;
            }
            if diagonal <= 0.0 || !diagonal.is_finite() {
                return false;
            }
            self.inverse_diagonal[k] = 1.0 / diagonal;
        }
        true
    }

    /// Solves for two right-hand sides at once, in place.
    pub(crate) fn solve(&self, sides: &mut [[f64; 2]]) {
        let n = self.old.len();
        let mut x: Vec<[f64; 2]> = self.old.iter().map(|&k| sides[k as usize]).collect();
        for k in 0..n {
            let [a, b] = x[k];
            let span = self.start[k]..self.start[k + 1];
            for (r, v) in self.row[span.clone()].iter().zip(&self.value[span]) {
                let to = &mut x[*r as usize];
                to[0] -= v * a;
                to[1] -= v * b;
            }
        }
        for k in (0..n).rev() {
            let [mut a, mut b] = x[k].map(|v| v * self.inverse_diagonal[k]);
            let span = self.start[k]..self.start[k + 1];
            for (r, v) in self.row[span.clone()].iter().zip(&self.value[span]) {
                let from = x[*r as usize];
                a -= v * from[0];
                b -= v * from[1];
            }
            x[k] = [a, b];
        }
        for (value, &k) in x.iter().zip(&self.old) {
            sides[k as usize] = *value;
        }
    }
}

/// For each unknown the next it feeds, and how many numbers its column holds.
fn tree(rows: &Rows, old: &[u32], new: &[u32]) -> (Vec<u32>, Vec<u32>) {
    let n = rows.len();
    let (mut parent, mut count, mut met) = (vec![u32::MAX; n], vec![0; n], vec![u32::MAX; n]);
    for k in 0..n {
        met[k] = k as u32;
        for (column, _) in rows.row(old[k] as usize) {
            let mut i = new[column] as usize;
            while i < k && met[i] != k as u32 {
                if parent[i] == u32::MAX {
                    parent[i] = k as u32;
                }
                count[i] += 1;
                met[i] = k as u32;
                i = parent[i] as usize;
            }
        }
    }
    (parent, count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_solved_solves(pairs in prop::collection::vec((0..60_u32, 0..60_u32, 0.1..3.0_f64), 1..300)) {
            let n = 60;
            let mut dense = vec![[0.0; 60]; n];
            for (k, row) in dense.iter_mut().enumerate() {
                row[k] = 0.5;
            }
            for (a, b, w) in pairs.into_iter().map(|(a, b, w)| (a as usize, b as usize, w)).filter(|p| p.0 != p.1) {
                dense[a][a] += w;
                dense[b][b] += w;
                dense[a][b] -= w;
                dense[b][a] -= w;
            }
            let mut rows = Rows { start: vec![0], column: Vec::new(), value: Vec::new() };
            for row in &dense {
                for (c, v) in row.iter().enumerate().filter(|(_, v)| **v != 0.0) {
                    rows.column.push(c as u32);
                    rows.value.push(*v);
                }
                rows.start.push(rows.column.len() as u32);
            }
            let wanted: Vec<[f64; 2]> = (0..n).map(|k| [(k as f64).sin(), 1.0 / (1.0 + k as f64)]).collect();
            let mut sides: Vec<[f64; 2]> = dense
                .iter()
                .map(|row| [0, 1].map(|s| row.iter().zip(&wanted).map(|(a, x)| a * x[s]).sum()))
                .collect();
            Factors::new(&rows).unwrap().solve(&mut sides);
            for (a, b) in sides.iter().zip(&wanted) {
                prop_assert!((a[0] - b[0]).abs() + (a[1] - b[1]).abs() < 1e-10);
            }
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_is_refused() {
        let rows = Rows { start: vec![0, 2, 4], column: vec![0, 1, 0, 1], value: vec![1.0, 2.0, 2.0, 1.0] };
        assert!(Factors::new(&rows).is_none());
    }
}
