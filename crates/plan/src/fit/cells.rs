//! Where a mark's middle may be on the side of a body, cut into pieces that are each looked at on a sheet of their
//! own, the nearest to where it is wanted first.

use crate::job::SkinPair;
use geom::Vec2;

/// Even steps in which a cell is looked over along the body and round it.
const STEPS: usize = 4;

/// A piece of where a mark's middle may be: least and greatest station and girth, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Least station and girth.
    pub lo: SkinPair,
    /// Greatest station and girth.
    pub hi: SkinPair,
}

impl Cell {
    /// Length along the body and girth, mm.
    pub fn size(&self) -> Vec2 {
        Vec2::new(self.hi[0] - self.lo[0], self.hi[1] - self.lo[1])
    }

    /// How far a reading is from the nearest of the cell as the readings say, mm; 0 inside.
    pub fn far(&self, from: SkinPair) -> f64 {
        let off = |k: usize| (self.lo[k] - from[k]).max(from[k] - self.hi[k]).max(0.0);
        off(0).hypot(off(1))
    }

    /// Its corners, its middle, and points between them in even steps, and how far from the nearest of them any point of
    /// it can be, mm.
    pub fn points(&self) -> (Vec<SkinPair>, f64) {
        let size = self.size();
        let at = |k: usize, n: usize| self.lo[k] + [size.x, size.y][k] * (n as f64 / STEPS as f64);
        let all = (0..=STEPS).flat_map(|i| (0..=STEPS).map(move |j| (i, j)));
        (all.map(|(i, j)| [at(0, i), at(1, j)]).collect(), size.hypot() / (2.0 * STEPS as f64))
    }

    /// Its four quarters.
    pub fn quarters(&self) -> [Cell; 4] {
        let m = [0, 1].map(|k| f64::midpoint(self.lo[k], self.hi[k]));
        let part = |lo: SkinPair, hi: SkinPair| Cell { lo, hi };
        [
            part(self.lo, m),
            part([m[0], self.lo[1]], [self.hi[0], m[1]]),
            part([self.lo[0], m[1]], [m[0], self.hi[1]]),
            part(m, self.hi),
        ]
    }
}

/// The cells of `size` that cover an area, the middle of one of them at `aim`; the nearest to the aim first, of equally
/// near ones the one with the smaller station, then the smaller girth. At most `most`, and whether those are all.
pub fn cells(area: Cell, aim: SkinPair, size: Vec2, most: usize) -> (Vec<Cell>, bool) {
    let size = [size.x, size.y];
    let first = |k: usize| ((area.lo[k] - aim[k]) / size[k] + 0.5).floor();
    let last = |k: usize| ((area.hi[k] - aim[k]) / size[k] - 0.5).ceil();
    let count = |k: usize| (last(k) - first(k) + 1.0).max(1.0) as usize;
    let mut all = Vec::new();
    for i in 0..count(0) {
        for j in 0..count(1) {
            let middle = |k: usize, n: usize| aim[k] + (first(k) + n as f64) * size[k];
            let (s, t) = (middle(0, i), middle(1, j));
            let lo = [(s - size[0] / 2.0).max(area.lo[0]), (t - size[1] / 2.0).max(area.lo[1])];
            let hi = [(s + size[0] / 2.0).min(area.hi[0]), (t + size[1] / 2.0).min(area.hi[1])];
            if lo[0] <= hi[0] && lo[1] <= hi[1] {
                all.push(Cell { lo, hi });
            }
        }
    }
    all.sort_by(|a, b| a.far(aim).total_cmp(&b.far(aim)));
    let whole = all.len() <= most;
    all.truncate(most);
    (all, whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_cover_an_area_once_and_the_first_holds_the_aim() {
        let area = Cell { lo: [0.0, -300.0], hi: [5000.0, 700.0] };
        let aim = [4100.0, 20.0];
        let (all, whole) = cells(area, aim, Vec2::new(640.0, 210.0), 1000);
        assert!(whole && all[0].far(aim) == 0.0);
        let sum: f64 = all.iter().map(|c| c.size().x * c.size().y).sum();
        assert!((sum - 5000.0 * 1000.0).abs() < 1e-3, "{sum}");
        for k in 1..400 {
            let p = [
                5000.0 * (f64::from(k) * 0.618_034).fract(),
                -300.0 + 1000.0 * (f64::from(k) * 0.414_214).fract(),
            ];
            assert_eq!(all.iter().filter(|c| c.far(p) == 0.0).count(), 1, "{p:?}");
        }
        assert!(all.windows(2).all(|w| w[0].far(aim) <= w[1].far(aim)));
        assert_eq!(cells(area, aim, Vec2::new(640.0, 210.0), 3).0.len(), 3);
    }

    #[test]
    fn an_aim_off_the_area_still_has_all_of_it_looked_at() {
        let area = Cell { lo: [0.0, 0.0], hi: [1000.0, 100.0] };
        let (all, _) = cells(area, [9000.0, 5000.0], Vec2::new(300.0, 300.0), 1000);
        let sum: f64 = all.iter().map(|c| c.size().x * c.size().y).sum();
        assert!((sum - 1e5).abs() < 1e-6, "{sum}");
    }
}
