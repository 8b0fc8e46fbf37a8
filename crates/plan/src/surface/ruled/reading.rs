//! What a steel tape reads round a rib between two ribs that differ.
//!
//! The straight lines mix the two ribs share by share, so that the tape runs in a direction between theirs and reads a
//! hair less than the mix of their girths: by the angle between the two, added up from the leading edge.

use super::Rib;

/// Steps of the table from leading to trailing edge, closer at the nose.
const STEPS: usize = 128;

/// Ribs of the table between the two, their ends left out: there nothing is missing.
const MIXES: usize = 7;

/// Most steps back from a reading to a share; two or three are usual.
const ROUNDS: usize = 24;

/// What is missing from the mixed girth, as shares of it.
#[derive(Clone, Debug)]
pub(super) struct Reading {
    girths: [f64; 2],
    /// At each step and mix: the sum from the leading edge, and what is missing there.
    table: Vec<[[f64; 2]; MIXES]>,
}

impl Reading {
    /// Between two ribs.
    pub(super) fn between(a: &Rib, b: &Rib) -> Reading {
        let girths = [a.girth(), b.girth()];
        // One less the cosine between the two ribs' directions, finely even where it is tiny.
        let apart = |share: f64| {
            let [v, w] = [a, b].map(|rib| rib.at(share).1);
            (v / v.hypot() - w / w.hypot()).hypot2() / 2.0
        };
        let mut sum = [0.0; MIXES];
        let mut table = Vec::with_capacity(STEPS + 1);
        let row = |sum: [f64; MIXES], at: f64| {
            let off = apart(at);
            std::array::from_fn(|k| [sum[k], missing(girths, mix(k + 1), off)])
        };
        table.push(row(sum, 0.0));
        for step in 0..STEPS {
            let (from, to) = (place(step), place(step + 1));
            // The same few angles serve every mix.
            let at =
                [-1.0, 0.0, 1.0].map(|x: f64| f64::midpoint(from, to) + x * SIMPLE.0 * (to - from) / 2.0);
            let off = at.map(apart);
            for (k, sum) in sum.iter_mut().enumerate() {
                let f = off.map(|off| missing(girths, mix(k + 1), off));
                *sum += (to - from) / 2.0 * (SIMPLE.1 * (f[0] + f[2]) + SIMPLE.2 * f[1]);
            }
            table.push(row(sum, to));
        }
        Reading { girths, table }
    }

    fn girth(&self, along: f64) -> f64 {
        self.girths[0] + (self.girths[1] - self.girths[0]) * along
    }

    /// Sum and slope of what is missing at a share of the way to the second rib and a share of the girth.
    fn short(&self, along: f64, share: f64) -> (f64, f64) {
        let weights = weights(along.clamp(0.0, 1.0));
        let mixed = |row: &[[f64; 2]; MIXES], which: usize| -> f64 {
            weights.iter().zip(row).map(|(w, pair)| w * pair[which]).sum()
        };
        let on = share.clamp(0.0, 1.0);
        let k = ((on.sqrt() * STEPS as f64) as usize).min(STEPS - 1);
        let (from, to) = (place(k), place(k + 1));
        let (h, x) = (to - from, (on - from) / (to - from));
        let [(y0, d0), (y1, d1)] =
            [&self.table[k], &self.table[k + 1]].map(|row| (mixed(row, 0), mixed(row, 1) * h));
        // The cubic with these ends and slopes.
        let (a, b) = (2.0 * (y0 - y1) + d0 + d1, 3.0 * (y1 - y0) - 2.0 * d0 - d1);
        let value = ((a * x + b) * x + d0) * x + y0;
        let slope = ((3.0 * a * x + 2.0 * b) * x + d0) / h;
        // Beyond the edges the tape runs straight on.
        (value + slope * (share - on), slope)
    }

    /// The reading, mm.
    pub(super) fn t(&self, along: f64, share: f64) -> f64 {
        self.girth(along) * (share + self.short(along, share).0)
    }

    /// The share of the girth at a reading.
    pub(super) fn share(&self, along: f64, t: f64) -> f64 {
        let wanted = t / self.girth(along);
        let mut share = wanted;
        for _ in 0..ROUNDS {
            let (short, slope) = self.short(along, share);
            let step = (wanted - share - short) / (1.0 + slope);
            share += step;
            if step.abs() <= geom::tolerance::NOISE_RELATIVE {
                break;
            }
        }
        share
    }
}

/// Gauss's rule with three points: the outer one, its weight, that of the middle.
const SIMPLE: (f64, f64, f64) = (0.774_596_669_241_483_4, 5.0 / 9.0, 8.0 / 9.0);

/// Share of the girth at a step.
fn place(step: usize) -> f64 {
    (step as f64 / STEPS as f64).powi(2)
}

/// Share of the way to the second rib of a mix, both ends counted: closer at the ends, where polynomials swing.
fn mix(k: usize) -> f64 {
    (1.0 - (std::f64::consts::PI * k as f64 / (MIXES + 1) as f64).cos()) / 2.0
}

/// Weights of the mixes at a share of the way, Lagrange's; the ends weigh nothing as nothing is missing there.
fn weights(along: f64) -> [f64; MIXES] {
    std::array::from_fn(|k| {
        let others = (0..=MIXES + 1).filter(|m| *m != k + 1);
        others.map(|m| (along - mix(m)) / (mix(k + 1) - mix(m))).product()
    })
}

/// What is missing from the mixed girth where the directions of the two ribs are `apart`.
fn missing([a, b]: [f64; 2], mix: f64, apart: f64) -> f64 {
    let girth = a + (b - a) * mix;
    let x = 2.0 * mix * (1.0 - mix) * a * b * apart / (girth * girth);
    // sqrt(1 - x) - 1 without losing its last digits.
    -x / (1.0 + (1.0 - x).max(0.0).sqrt())
}
