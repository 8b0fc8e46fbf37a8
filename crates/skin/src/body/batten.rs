//! The battens a body is lofted with: one lengthwise through the same share of every ring, held to what the stations
//! say.
//!
//! A batten left free (a natural cubic) swings wide between stations unevenly spaced. Here every span between two
//! stations has a degree of its own, the same for all battens: 3 is the free cubic, more pulls the battens tight
//! between those two stations, towards the straight line from one to the other. Tangent and bend stay continuous
//! whatever the degrees (C2), so the Gaussian curvature that strain comes from has no jump at a station; tubes and
//! cones stay exact, and rings of one shape stay that shape in between, for all battens are pulled alike. (Holding
//! each batten's slope by itself, as monotone cubics do, keeps neither of the two.)
//! Source: Kaklis and Pandelis, Convexity-preserving polynomial splines of non-uniform degree, IMA Journal of
//! Numerical Analysis 10 (1990), 223-234 (from memory); the degrees are chosen here, span by span, as low as does.
//!
//! A batten may stand outside both stations of a span by what fairness warrants: by the bulge that the bends at its
//! two stations agree on, unless the stations beyond bend the other way, and by a small share of how far the skin
//! moves thereabouts. It does not guess at a step: [`super::Body::steps`] says where one more station is wanted.

use geom::Vec2;

/// Degree of a batten left free.
pub(super) const FREE: u16 = 3;

/// Greatest degree: the bend at a station is then a sixtieth of the span long, which no skin is measured to. chosen.
const TIGHTEST: u16 = 180;

/// Share of the skin's movement between neighbouring stations that a batten may swing outside them. chosen: an eighth
/// of an inch beside a step of four inches.
const SWING: f64 = 1.0 / 32.0;

/// Swing that is never held, mm: a thirty-second of an inch, as near as a tape is read.
const READ_MM: f64 = 0.79375;

/// Bulge allowed over that of the parabola the bends agree on. chosen: half as much again, for a fair curve is no parabola.
const SLACK: f64 = 1.5;

/// Places in a span at which it is looked at, closer together at its ends. chosen.
pub(super) const LOOKS: usize = 24;

/// Shares of the values and bends at both ends of a span of length `h` and its degree, `part` of the way along; with
/// first and second derivatives.
pub(super) fn shares(part: f64, h: f64, degree: u16) -> [[f64; 4]; 3] {
    let (a, b) = (1.0 - part, part);
    let n = f64::from(degree);
    // Powers two below the degree first, for all three need them.
    let low = |x: f64| x.powi(i32::from(degree) - 2);
    let (a2, b2) = (low(a), low(b));
    let (whole, rate) = (h * h / (n * (n - 1.0)), h / (n * (n - 1.0)));
    [
        [a, b, (a2 * a * a - a) * whole, (b2 * b * b - b) * whole],
        [-1.0 / h, 1.0 / h, (1.0 - n * a2 * a) * rate, (n * b2 * b - 1.0) * rate],
        [0.0, 0.0, a2, b2],
    ]
}

/// Second derivatives at the stations of the batten through `points`, free at the ends, that make its tangents
/// continuous: three diagonals, the middle one the greatest.
pub(super) fn bends(at: &[f64], degrees: &[u16], points: &[Vec2]) -> Vec<Vec2> {
    let n = points.len();
    let mut bends = vec![Vec2::ZERO; n];
    let mut above = vec![0.0; n];
    let own = |k: usize| (at[k + 1] - at[k]) / f64::from(degrees[k]);
    let beside = |k: usize| own(k) / f64::from(degrees[k] - 1);
    for i in 1..n.saturating_sub(1) {
        let (h0, h1) = (at[i] - at[i - 1], at[i + 1] - at[i]);
        let right = (points[i + 1] - points[i]) / h1 - (points[i] - points[i - 1]) / h0;
        let pivot = own(i - 1) + own(i) - beside(i - 1) * above[i - 1];
        above[i] = beside(i) / pivot;
        bends[i] = (right - bends[i - 1] * beside(i - 1)) / pivot;
    }
    for i in (1..n.saturating_sub(1)).rev() {
        bends[i] = bends[i] - bends[i + 1] * above[i];
    }
    bends
}

/// The degree of each span: as low as keeps every batten within what its stations warrant. `battens` holds each
/// batten's points, station by station.
pub(super) fn degrees(at: &[f64], battens: &[Vec<Vec2>]) -> Vec<u16> {
    let spans = at.len() - 1;
    let moved: Vec<f64> =
        (0..spans).map(|k| battens.iter().map(|b| (b[k + 1] - b[k]).hypot()).fold(0.0, f64::max)).collect();
    let swing = |k: usize| {
        let near = k.saturating_sub(1)..(k + 2).min(spans);
        READ_MM.max(SWING * moved[near].iter().copied().fold(0.0, f64::max))
    };
    let may: Vec<Vec<Vec2>> = battens
        .iter()
        .map(|b| {
            let warranted = bulges(at, b);
            (0..spans).map(|k| warranted[k] + Vec2::new(1.0, 1.0) * swing(k)).collect()
        })
        .collect();
    let mut degrees = vec![FREE; spans];
    // Every round tightens a span by one degree at the least, so that it ends.
    loop {
        let mut tight = vec![false; spans];
        for (batten, may) in battens.iter().zip(&may) {
            let bends = bends(at, &degrees, batten);
            for k in (0..spans).filter(|k| degrees[*k] < TIGHTEST) {
                let (ends, bent) = ([batten[k], batten[k + 1]], [bends[k], bends[k + 1]]);
                tight[k] |= !tight[k] && beyond(at[k + 1] - at[k], degrees[k], ends, bent, may[k]);
            }
        }
        if !tight.contains(&true) {
            return degrees;
        }
        for (degree, _) in degrees.iter_mut().zip(tight).filter(|(_, tight)| *tight) {
            *degree = (*degree + 1 + *degree / 8).min(TIGHTEST);
        }
    }
}

/// Where the looks at a span are, as shares of it.
pub(super) fn look(i: usize) -> f64 {
    0.5 - 0.5 * (std::f64::consts::PI * i as f64 / LOOKS as f64).cos()
}

/// Whether a batten leaves what both ends of a span say, either way of the two, by more than it may.
fn beyond(h: f64, degree: u16, ends: [Vec2; 2], bends: [Vec2; 2], may: Vec2) -> bool {
    let n = f64::from(degree);
    // No farther from the straight line than this.
    let most = Vec2::new(bends[0].x.abs() + bends[1].x.abs(), bends[0].y.abs() + bends[1].y.abs())
        * (h * h / (n * (n - 1.0)));
    if most.x <= may.x && most.y <= may.y {
        return false;
    }
    let [a, b] = ends;
    let low = Vec2::new(a.x.min(b.x), a.y.min(b.y)) - may;
    let high = Vec2::new(a.x.max(b.x), a.y.max(b.y)) + may;
    (1..LOOKS).any(|i| {
        let x = shares(look(i), h, degree)[0];
        let at = a * x[0] + b * x[1] + bends[0] * x[2] + bends[1] * x[3];
        at.x < low.x || high.x < at.x || at.y < low.y || high.y < at.y
    })
}

/// How far a batten may bulge outside both stations of each span: half as much again as the parabola of the lesser of
/// the bends that the stations say at its two ends, if both bend one way; less as the stations beyond bend the other.
fn bulges(at: &[f64], batten: &[Vec2]) -> Vec<Vec2> {
    let n = at.len();
    let slope = |k: usize| (batten[k + 1] - batten[k]) / (at[k + 1] - at[k]);
    // Twice the second divided difference; nothing is known at the ends.
    let bend = |k: usize| {
        if k == 0 || n <= k + 1 {
            Vec2::ZERO
        } else {
            (slope(k) - slope(k - 1)) * (2.0 / (at[k + 1] - at[k - 1]))
        }
    };
    let one = |[before, here, there, after]: [f64; 4], h: f64| {
        if here * there <= 0.0 {
            return 0.0;
        }
        let agreed = here.abs().min(there.abs());
        let against = [before, after].into_iter().map(|b| -b * here.signum()).fold(0.0, f64::max);
        SLACK * (agreed - against).max(0.0) * h * h / 8.0
    };
    let span = |k: usize| {
        let near = [k.checked_sub(1).map_or(Vec2::ZERO, &bend), bend(k), bend(k + 1), bend(k + 2)];
        let h = at[k + 1] - at[k];
        Vec2::new(one(near.map(|b| b.x), h), one(near.map(|b| b.y), h))
    };
    (0..n - 1).map(span).collect()
}
