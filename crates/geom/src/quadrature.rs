//! Lengths and angles added up along a curve, and the place where a given sum is reached.
//!
//! A painter lays a steel tape round a skin and reads "14 in from the leading edge"; these sums are that tape.
//! Each span between two breaks of the curve is added up by Gauss's rule and halved until two halves agree
//! with the whole, so that the sum is exact to rounding; the way back is Newton's method held in a bracket.

use crate::tolerance::NOISE_RELATIVE;
use std::sync::OnceLock;

/// Points of Gauss's rule on a span: exact for polynomials up to degree 23.
const ORDER: usize = 12;

/// Most halvings of one span. A curve that is smooth between its breaks needs fewer than ten; one that is not
/// is added up with what has been reached by then.
const MAX_HALVINGS: u32 = 40;

/// Most steps of Newton's method (half of them may be bisections); four or five are usual.
const MAX_STEPS: usize = 100;

/// The integral of `f` from `a` to `b` (either may be the larger), by one application of Gauss's rule.
///
/// Exact to rounding only if `f` is close to a polynomial there; see `Cumulative` for a checked sum.
pub fn gauss(a: f64, b: f64, f: &impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = ((a + b) / 2.0, (b - a) / 2.0);
    half * rule().iter().map(|&(x, w)| w * f(middle + half * x)).sum::<f64>()
}

/// A running sum of a positive function along a parameter, with its inverse.
#[derive(Clone, Debug)]
pub struct Cumulative {
    /// Parameters, increasing.
    knots: Vec<f64>,
    /// The sum at each; 0 at the origin.
    sums: Vec<f64>,
}

impl Cumulative {
    /// The sum of `f` between the first and the last of `breaks`, counted from `origin`.
    ///
    /// `breaks` increase and hold `origin` and every parameter at which `f` is not smooth. Each span is halved
    /// until halves and whole agree to `NOISE_RELATIVE` of the whole sum.
    pub fn new(breaks: &[f64], origin: f64, f: &impl Fn(f64) -> f64) -> Cumulative {
        let scale: f64 = breaks.windows(2).map(|w| gauss(w[0], w[1], f).abs()).sum();
        let mut sum = Cumulative { knots: breaks.first().copied().into_iter().collect(), sums: vec![0.0] };
        for w in breaks.windows(2) {
            sum.add(w[0], w[1], gauss(w[0], w[1], f), scale * NOISE_RELATIVE, MAX_HALVINGS, f);
        }
        let start = sum.knots.iter().position(|&u| u >= origin).unwrap_or(0);
        let offset = sum.sums[start];
        sum.sums.iter_mut().for_each(|s| *s -= offset);
        sum
    }

    fn add(&mut self, a: f64, b: f64, whole: f64, noise: f64, left: u32, f: &impl Fn(f64) -> f64) {
        let middle = a.midpoint(b);
        let (first, second) = (gauss(a, middle, f), gauss(middle, b, f));
        if left == 0 || (first + second - whole).abs() <= noise {
            let last = self.sums.last().copied().unwrap_or(0.0);
            self.knots.extend([middle, b]);
            self.sums.extend([last + first, last + first + second]);
        } else {
            self.add(a, middle, first, noise, left - 1, f);
            self.add(middle, b, second, noise, left - 1, f);
        }
    }

    /// The least and the greatest sum.
    pub fn range(&self) -> (f64, f64) {
        (self.sums[0], self.sums[self.sums.len() - 1])
    }

    /// The sum at parameter `u`, which lies between the first and the last break.
    pub fn at(&self, u: f64, f: &impl Fn(f64) -> f64) -> f64 {
        let i = span(&self.knots, u);
        // From the nearer knot, so that a knot's own sum comes back unchanged.
        let near = if u - self.knots[i] <= self.knots[i + 1] - u { i } else { i + 1 };
        self.sums[near] + gauss(self.knots[near], u, f)
    }

    /// The parameter at which the sum is `value`; the first or last break if it is never reached.
    pub fn inverse(&self, value: f64, f: &impl Fn(f64) -> f64) -> f64 {
        let (least, most) = self.range();
        if value <= least {
            return self.knots[0];
        }
        if most <= value {
            return self.knots[self.knots.len() - 1];
        }
        let i = span(&self.sums, value);
        let (start, end) = (self.knots[i], self.knots[i + 1]);
        let (mut lo, mut hi) = (start, end);
        let mut u = lo + (hi - lo) * (value - self.sums[i]) / (self.sums[i + 1] - self.sums[i]);
        for _ in 0..MAX_STEPS {
            let ahead = self.sums[i] + gauss(start, u, f) - value;
            if ahead > 0.0 {
                hi = u
            } else {
                lo = u
            }
            let newton = u - ahead / f(u);
            let next = if lo <= newton && newton <= hi { newton } else { lo.midpoint(hi) };
            let step = (next - u).abs();
            u = next;
            if step <= NOISE_RELATIVE * (end - start) {
                break;
            }
        }
        u
    }
}

/// Index of the last entry of `sorted` that is not above `value`, at most the last but one.
fn span(sorted: &[f64], value: f64) -> usize {
    sorted.partition_point(|&k| k <= value).clamp(1, sorted.len() - 1) - 1
}

/// Nodes and weights of Gauss's rule on -1 to 1: roots of the Legendre polynomial by Newton's method from the
/// usual cosine estimate, weights 2 / ((1 - x^2) P'(x)^2).
fn rule() -> &'static [(f64, f64); ORDER] {
    static RULE: OnceLock<[(f64, f64); ORDER]> = OnceLock::new();
    RULE.get_or_init(|| {
        std::array::from_fn(|i| {
            let n = ORDER as f64;
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n + 0.5)).cos();
            for _ in 0..MAX_STEPS {
                let (p, slope) = legendre(x);
                let next = x - p / slope;
                if (next - x).abs() <= f64::EPSILON {
                    break;
                }
                x = next;
            }
            let (_, slope) = legendre(x);
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
    })
}

/// The Legendre polynomial of degree `ORDER` and its slope at `x`, by the three-term recurrence.
fn legendre(x: f64) -> (f64, f64) {
    let (mut before, mut p) = (1.0, x);
    for k in 2..=ORDER {
        let k = k as f64;
        (before, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k);
    }
    (p, ORDER as f64 * (x * p - before) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauss_is_exact_up_to_degree_23_and_not_at_24() {
        // Closed form: the integral of x^k from 0 to 1 is 1 / (k + 1); Gauss's rule with n points is exact up
        // to degree 2 n - 1.
        for k in 0..=23 {
            let got = gauss(0.0, 1.0, &|x: f64| x.powi(k));
            assert!((got - 1.0 / f64::from(k + 1)).abs() < 1e-15, "degree {k}: {got}");
        }
        // At degree 24 the rule must miss, or the test above would say nothing about the order.
        let miss = gauss(-1.0, 1.0, &|x: f64| x.powi(24)) - 2.0 / 25.0;
        assert!(miss.abs() > 1e-8, "{miss}");
    }

    #[test]
    fn sums_and_their_inverse_agree_with_the_logarithm() {
        // Closed form: the integral of 1 / u from 1 is ln u; the narrow end near 0.001 needs halving.
        let f = |u: f64| 1.0 / u;
        let sum = Cumulative::new(&[0.001, 1.0, 5.0], 1.0, &f);
        for u in [0.001, 0.0013, 0.02, 0.5, 1.0, 2.0, 4.999, 5.0] {
            let got = sum.at(u, &f);
            assert!((got - u.ln()).abs() < 1e-12, "at {u} wanted {} got {got}", u.ln());
            assert!((sum.inverse(u.ln(), &f) / u - 1.0).abs() < 1e-12, "back to {u}");
        }
        let origin = sum.at(1.0, &f);
        assert!(origin.abs() <= 0.0, "the origin counts exactly 0, got {origin}");
        assert!((sum.inverse(99.0, &f) - 5.0).abs() <= 0.0 && (sum.inverse(-99.0, &f) - 0.001).abs() <= 0.0);
    }
}
