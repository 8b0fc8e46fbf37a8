//! Where the cubic pieces of a smooth map meet along one number, and the four of them that count at a place.
//!
//! Basis functions by the recurrence of Cox and de Boor (C. de Boor, A practical guide to splines, 1978).

use super::PIECES;

/// Degree of the pieces.
const DEGREE: usize = PIECES - 1;

/// Places where pieces meet, each as often as the map loses smoothness there.
#[derive(Clone, Debug, PartialEq)]
pub struct Knots(Vec<f64>);

impl Knots {
    /// Pieces between these places, increasing; at those marked true the map may bend sharply (a kink of the skin).
    /// `None` for fewer than two or places that do not increase.
    pub fn new(places: &[(f64, bool)]) -> Option<Knots> {
        if places.len() < 2 || !places.windows(2).all(|w| w[0].0 < w[1].0) {
            return None;
        }
        let last = places.len() - 1;
        let often = |k: usize, sharp: bool| {
            if k == 0 || k == last {
                PIECES
            } else if sharp {
                DEGREE
            } else {
                1
            }
        };
        let each = places.iter().enumerate().flat_map(|(k, (at, sharp))| vec![*at; often(k, *sharp)]);
        Some(Knots(each.collect()))
    }

    /// How many basis functions there are.
    pub fn count(&self) -> usize {
        self.0.len() - PIECES
    }

    /// The cells between neighbouring knots that differ.
    pub fn cells(&self) -> Vec<(f64, f64)> {
        self.0.windows(2).filter(|w| w[0] < w[1]).map(|w| (w[0], w[1])).collect()
    }

    /// The nearest number that lies on the map.
    pub fn within(&self, x: f64) -> f64 {
        x.clamp(self.0[0], self.0[self.0.len() - 1])
    }

    /// The place each basis function stands for: the mean of the knots inside it.
    #[cfg(test)]
    pub fn stand(&self, k: usize) -> f64 {
        self.0[k + 1..k + PIECES].iter().sum::<f64>() / DEGREE as f64
    }

    /// At a place on the map: the first basis function that counts, the four values and their slopes.
    pub fn basis(&self, x: f64) -> (usize, [f64; PIECES], [f64; PIECES]) {
        let t = &self.0;
        let i = t.partition_point(|k| *k <= x).clamp(PIECES, t.len() - PIECES) - 1;
        let mut b = [0.0; PIECES];
        let mut below = [0.0; PIECES];
        b[0] = 1.0;
        for d in 1..=DEGREE {
            below = b;
            let mut saved = 0.0;
            for r in 0..d {
                let (right, left) = (t[i + r + 1], t[i + 1 + r - d]);
                let share = below[r] / (right - left);
                b[r] = saved + (right - x) * share;
                saved = (x - left) * share;
            }
            b[d] = saved;
        }
        // Slopes from the values of one degree less.
        let mut slope = [0.0; PIECES];
        for r in 0..DEGREE {
            let share = DEGREE as f64 * below[r] / (t[i + r + 1] - t[i + 1 + r - DEGREE]);
            slope[r] -= share;
            slope[r + 1] += share;
        }
        (i - DEGREE, b, slope)
    }
}
