//! The middle of a stripe laid fairly through points: with the least change of bend along the way, as the eye wants it.
//!
//! The bend (curvature) is a cubic spline of the length along the line, its slope and its own bend nought at both ends.
//! That is the line of least summed squared change of bend where it is nearly straight, and a straight line or a circle
//! wherever the points lie on one. What is solved for is the bend at every point, the length between them and the first
//! direction, by Newton's method held in by halving. Not done: loops on purpose, and more than [`MOST_POINTS`] points.

use geom::quadrature::gauss;
use geom::tolerance::{FAIR_MM, FAIR_SETTLED_MM, FAIR_STEP, NOISE_UNIT};
use geom::{Point, Vec2};

/// Most points that are faired. chosen: a stripe is told by a dozen; the work grows with the cube of their number.
pub const MOST_POINTS: usize = 60;
/// Most steps of Newton's method; five or six are usual.
const MOST_STEPS: usize = 60;
/// Most halvings of one step.
const MOST_HALVINGS: u32 = 12;
/// Spans longer than so many times their chord are a loop, which nobody asked for. chosen: a half circle is 1.57.
const LONGEST_SPAN: f64 = 2.0;

/// A fair line.
#[derive(Clone, Debug)]
pub struct Fair {
    /// Length along the line at each point, mm, from 0.
    knots: Vec<f64>,
    /// The points.
    points: Vec<Point>,
    /// Direction at each, radians.
    ways: Vec<f64>,
    /// Bend at each, 1/mm, left positive.
    bends: Vec<f64>,
    /// Second derivative of the bend at each.
    curls: Vec<f64>,
}

/// What is solved for, with lengths in shares of the whole chord.
struct Guess {
    bends: Vec<f64>,
    spans: Vec<f64>,
    way: f64,
}

impl Fair {
    /// The fair line through at least two points no two of which in a row are one; `None` if none was found.
    pub fn through(points: &[Point]) -> Option<Fair> {
        let n = points.len();
        if !(2..=MOST_POINTS).contains(&n) {
            return None;
        }
        let whole: f64 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
        let own: Vec<Point> = points.iter().map(|p| ((*p - points[0]) / whole).to_point()).collect();
        let guess = if n == 2 {
            let d = own[1] - own[0];
            Guess { bends: vec![0.0; 2], spans: vec![d.hypot()], way: d.atan2() }
        } else {
            solve(&own, whole)?
        };
        let mut fair = laid(&own, &guess);
        fair.knots.iter_mut().for_each(|s| *s *= whole);
        fair.points = points.to_vec();
        fair.bends.iter_mut().for_each(|k| *k /= whole);
        fair.curls.iter_mut().for_each(|m| *m /= whole.powi(3));
        Some(fair)
    }

    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.knots[self.knots.len() - 1]
    }

    /// Length along the line at each of its points, mm.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// Point, direction (radians) and bend (1/mm, left positive) at `s` mm along it; beyond its ends straight on.
    pub fn at(&self, s: f64) -> (Point, f64, f64) {
        let last = self.knots.len() - 1;
        for (end, over) in [(0, s.min(0.0)), (last, (s - self.length()).max(0.0))] {
            if over.abs() > 0.0 {
                return (self.points[end] + Vec2::from_angle(self.ways[end]) * over, self.ways[end], 0.0);
            }
        }
        let i = self.knots.partition_point(|k| *k <= s).clamp(1, last) - 1;
        let span = self.span(i);
        let u = s - self.knots[i];
        (self.points[i] + span.way_to(u), span.way(u), span.bend(u))
    }

    fn span(&self, i: usize) -> Span {
        Span {
            h: self.knots[i + 1] - self.knots[i],
            way: self.ways[i],
            bends: [self.bends[i], self.bends[i + 1]],
            curls: [self.curls[i], self.curls[i + 1]],
        }
    }
}

/// The stretch between two points: its bend is a cubic of the length.
struct Span {
    h: f64,
    way: f64,
    bends: [f64; 2],
    curls: [f64; 2],
}

impl Span {
    fn bend(&self, u: f64) -> f64 {
        let (b, h) = (u / self.h, self.h);
        let a = 1.0 - b;
        self.bends[0] * a
            + self.bends[1] * b
            + h * h / 6.0 * (self.curls[0] * (a * a * a - a) + self.curls[1] * (b * b * b - b))
    }

    /// Direction at `u`: the bend added up.
    fn way(&self, u: f64) -> f64 {
        let (b, h) = (u / self.h, self.h);
        let a = 1.0 - b;
        // The integrals of a, b, a^3 - a and b^3 - b from the start.
        let (ia, ib) = (b - b * b / 2.0, b * b / 2.0);
        let (ca, cb) = ((1.0 - a.powi(4)) / 4.0 - ia, b.powi(4) / 4.0 - ib);
        self.way
            + h * (self.bends[0] * ia + self.bends[1] * ib)
            + h * h * h / 6.0 * (self.curls[0] * ca + self.curls[1] * cb)
    }

    /// From its start to the point at `u`: the direction added up, in two halves.
    fn way_to(&self, u: f64) -> Vec2 {
        let half = u / 2.0;
        let sum = |f: &dyn Fn(f64) -> f64| {
            let of = |v: f64| f(self.way(v));
            gauss(0.0, half, &of) + gauss(half, u, &of)
        };
        Vec2::new(sum(&f64::cos), sum(&f64::sin))
    }
}

/// The line of a guess, each span begun at its own point.
fn laid(points: &[Point], guess: &Guess) -> Fair {
    let mut knots = vec![0.0];
    for h in &guess.spans {
        knots.push(knots[knots.len() - 1] + h);
    }
    let curls = curls(&guess.spans, &guess.bends);
    let mut fair =
        Fair { knots, points: points.to_vec(), ways: vec![guess.way], bends: guess.bends.clone(), curls };
    for i in 0..guess.spans.len() {
        let span = fair.span(i);
        fair.ways.push(span.way(span.h));
    }
    fair
}

/// Second derivative of a cubic spline through `values` at steps `h`, its slope nought at both ends: a system with
/// three diagonals, one pass down and one up.
fn curls(h: &[f64], values: &[f64]) -> Vec<f64> {
    let n = values.len();
    let slope = |i: usize| (values[i + 1] - values[i]) / h[i];
    let (mut above, mut found) = (vec![0.0; n], vec![0.0; n]);
    for i in 0..n {
        let before = if i > 0 { h[i - 1] } else { 0.0 };
        let after = if i + 1 < n { h[i] } else { 0.0 };
        let right = 6.0 * (if i + 1 < n { slope(i) } else { 0.0 } - if i > 0 { slope(i - 1) } else { 0.0 });
        let (up, last) = if i > 0 { (above[i - 1], found[i - 1]) } else { (0.0, 0.0) };
        let pivot = 2.0 * (before + after) - before * up;
        above[i] = after / pivot;
        found[i] = (right - before * last) / pivot;
    }
    for i in (0..n.saturating_sub(1)).rev() {
        found[i] -= above[i] * found[i + 1];
    }
    found
}

/// How far each span of a guess misses its next point, and the bend of the bend at both ends.
fn misses(points: &[Point], guess: &Guess) -> Vec<f64> {
    let fair = laid(points, guess);
    let mut out = Vec::with_capacity(2 * points.len());
    for i in 0..guess.spans.len() {
        let span = fair.span(i);
        let miss = points[i] + span.way_to(span.h) - points[i + 1];
        out.extend([miss.x, miss.y]);
    }
    // In the size of the misses: the square of the end span times the square of the whole.
    let ends = [(0, guess.spans[0]), (points.len() - 1, guess.spans[guess.spans.len() - 1])];
    out.extend(ends.map(|(k, h)| fair.curls[k] * h * h));
    out
}

impl Guess {
    /// The same with each of its numbers moved.
    fn moved(&self, by: &[f64], share: f64) -> Guess {
        let n = self.bends.len();
        let plus = |own: &[f64], from: usize| {
            own.iter().enumerate().map(|(i, v)| v + share * by[from + i]).collect()
        };
        Guess {
            bends: plus(&self.bends, 0),
            spans: plus(&self.spans, n),
            way: self.way + share * by[2 * n - 1],
        }
    }

    fn sound(&self, points: &[Point]) -> bool {
        let chords = points.windows(2).map(|w| w[0].distance(w[1]));
        self.spans.iter().zip(chords).all(|(h, c)| 0.9 * c <= *h && *h <= LONGEST_SPAN * c)
    }
}

/// A line that was hard to find and whose spans are longer than so many times their chord swings far out between two
/// points: of even bend, but not what is wanted. chosen: a third of a circle is 1.21.
const SWING: f64 = 1.2;
/// Steps from the straight line to the points where they bend too much to be found at once.
const BENDINGS: usize = 24;

fn solve(points: &[Point], whole: f64) -> Option<Guess> {
    settled(points, whole, first_guess(points)).or_else(|| bent_by_steps(points, whole))
}

/// The line bent little by little from the straight one, each found from the one before.
fn bent_by_steps(points: &[Point], whole: f64) -> Option<Guess> {
    let n = points.len();
    let mut along = vec![0.0];
    for w in points.windows(2) {
        along.push(along[along.len() - 1] + w[0].distance(w[1]));
    }
    let (start, way) = (points[0], (points[n - 1] - points[0]).normalize());
    if !way.is_finite() {
        return None;
    }
    let straight: Vec<Point> = along.iter().map(|s| start + way * *s).collect();
    let mut guess = Guess {
        bends: vec![0.0; n],
        spans: along.windows(2).map(|w| w[1] - w[0]).collect(),
        way: way.atan2(),
    };
    for k in 1..=BENDINGS {
        let share = k as f64 / BENDINGS as f64;
        let bent: Vec<Point> = straight.iter().zip(points).map(|(a, b)| a.lerp(*b, share)).collect();
        guess = settled(&bent, whole, guess)?;
    }
    let chords = points.windows(2).map(|w| w[0].distance(w[1]));
    guess.spans.iter().zip(chords).all(|(h, c)| *h <= SWING * c).then_some(guess)
}

/// The line of least change of bend near a guess, by Newton's method.
fn settled(points: &[Point], whole: f64, mut guess: Guess) -> Option<Guess> {
    let n = points.len();
    let size = |m: &[f64]| m.iter().map(|v| v * v).sum::<f64>().sqrt();
    let mut now = misses(points, &guess);
    for _ in 0..MOST_STEPS {
        if size(&now) * whole <= FAIR_SETTLED_MM {
            break;
        }
        let mut columns = Vec::with_capacity(2 * n);
        for k in 0..2 * n {
            let mut unit = vec![0.0; 2 * n];
            unit[k] = 1.0;
            let (more, less) = (guess.moved(&unit, FAIR_STEP), guess.moved(&unit, -FAIR_STEP));
            let (more, less) = (misses(points, &more), misses(points, &less));
            columns
                .push(more.iter().zip(&less).map(|(a, b)| (a - b) / (2.0 * FAIR_STEP)).collect::<Vec<f64>>());
        }
        let step = eliminate(&columns, &now)?;
        let mut share = -1.0;
        let mut halved = 0;
        let (next, missed) = loop {
            let next = guess.moved(&step, share);
            if next.sound(points) {
                let missed = misses(points, &next);
                if size(&missed) < size(&now) {
                    break (next, missed);
                }
            }
            share /= 2.0;
            halved += 1;
            if halved > MOST_HALVINGS {
                return (size(&now) * whole <= FAIR_MM).then_some(guess);
            }
        };
        (guess, now) = (next, missed);
    }
    (size(&now) * whole <= FAIR_MM).then_some(guess)
}

/// Bends by the circles through three neighbours, and spans and first direction as on them: exact on a circle.
fn first_guess(points: &[Point]) -> Guess {
    let n = points.len();
    let circle = |i: usize| {
        let (a, b, c) = (points[i - 1], points[i], points[i + 1]);
        let sides = a.distance(b) * b.distance(c) * a.distance(c);
        if sides > 0.0 { 2.0 * (b - a).cross(c - b) / sides } else { 0.0 }
    };
    let bends: Vec<f64> = (0..n).map(|i| circle(i.clamp(1, n - 2))).collect();
    // Half the turn between two points of a circle has the sine (chord bend / 2).
    let half_turn = |i: usize| {
        let bend = f64::midpoint(bends[i], bends[i + 1]);
        (bend * points[i].distance(points[i + 1]) / 2.0).clamp(-1.0, 1.0).asin()
    };
    let span = |i: usize| {
        let (chord, half) = (points[i].distance(points[i + 1]), half_turn(i));
        if half.abs() > NOISE_UNIT { chord * half / half.sin() } else { chord }
    };
    let spans = (0..n - 1).map(span).collect();
    let way = (points[1] - points[0]).atan2() - half_turn(0);
    Guess { bends, spans, way }
}

/// `x` of `A x = b`, `A` by its columns: elimination with the largest pivot of each column. `None` if there is none.
fn eliminate(columns: &[Vec<f64>], b: &[f64]) -> Option<Vec<f64>> {
    let n = b.len();
    let mut rows: Vec<Vec<f64>> =
        (0..n).map(|r| columns.iter().map(|c| c[r]).chain([b[r]]).collect()).collect();
    for k in 0..n {
        let best = (k..n).max_by(|i, j| rows[*i][k].abs().total_cmp(&rows[*j][k].abs()))?;
        rows.swap(k, best);
        if rows[k][k].abs() <= NOISE_UNIT * NOISE_UNIT {
            return None;
        }
        let (upper, lower) = rows.split_at_mut(k + 1);
        let pivot = &upper[k];
        for row in lower {
            let share = row[k] / pivot[k];
            if share.abs() > 0.0 {
                row.iter_mut().zip(pivot).skip(k).for_each(|(v, p)| *v -= share * p);
            }
        }
    }
    let mut x = vec![0.0; n];
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|c| rows[k][c] * x[c]).sum();
        x[k] = (rows[k][n] - known) / rows[k][k];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use geom::spline::Spline;

    fn on_circle(r: f64, angles: &[f64]) -> Vec<Point> {
        angles.iter().map(|a| (Vec2::from_angle(*a) * r).to_point()).collect()
    }

    /// Closed form: the line of no change of bend through three points is their circle.
    #[test]
    fn three_points_are_joined_by_their_circle() {
        for (r, angles) in [(3000.0, [0.2, 0.3, 0.5]), (500.0, [-0.4, 0.5, 1.1]), (80.0, [2.0, 1.2, 0.1])] {
            let fair = Fair::through(&on_circle(r, &angles)).unwrap();
            let turned = angles[2] - angles[0];
            assert!((fair.length() - r * turned.abs()).abs() < 1e-6, "{r}: {}", fair.length());
            for k in 0..=20 {
                let (p, _, bend) = fair.at(fair.length() * f64::from(k) / 20.0);
                assert!((p.to_vec2().hypot() - r).abs() < 1e-6, "{r} at {k}");
                assert!((bend - turned.signum() / r).abs() < 1e-9, "{r} at {k}: {bend}");
            }
        }
    }

    #[test]
    fn points_on_one_line_are_joined_straight() {
        let points = [(0.0, 0.0), (100.0, 50.0), (300.0, 150.0), (310.0, 155.0)].map(Point::from);
        let fair = Fair::through(&points).unwrap();
        assert!((fair.length() - 310.0_f64.hypot(155.0)).abs() < 1e-6);
        assert!((0..=10).all(|k| fair.at(31.0 * f64::from(k)).2.abs() < 1e-9));
    }

    #[test]
    fn it_meets_every_point_and_its_bend_goes_on_smoothly_there() {
        let points = [(0.0, 300.0), (900.0, 310.0), (2000.0, 420.0), (3500.0, 400.0), (5000.0, 430.0)]
            .map(Point::from);
        let fair = Fair::through(&points).unwrap();
        for (s, p) in fair.knots().to_vec().into_iter().zip(points) {
            for by in [-1e-4, 1e-4] {
                let (near, _, _) = fair.at(s + by);
                assert!(near.distance(p) < 2e-4 + 1e-6, "{near:?} {p:?}");
            }
            // Slope of the bend on either side.
            let slope = |a: f64, b: f64| (fair.at(s + b).2 - fair.at(s + a).2) / (b - a);
            if s > 1.0 && s < fair.length() - 1.0 {
                assert!((slope(-0.1, -0.05) - slope(0.05, 0.1)).abs() < 1e-9);
            }
        }
    }

    /// By another road: the summed squared change of bend is less than that of a cubic spline, and no small push of the
    /// inner bends that still meets the points lessens it where the line is nearly straight.
    #[test]
    fn its_bend_changes_less_than_that_of_a_spline_batten() {
        let points =
            [(0.0, 0.0), (500.0, 20.0), (1000.0, 10.0), (1700.0, 60.0), (2000.0, 55.0)].map(Point::from);
        let fair = Fair::through(&points).unwrap();
        let spline = Spline::by_arc_length(&points, 3).unwrap();
        let all = spline.knots()[4];
        let of_spline = |s: f64| {
            let v = s * all;
            let (d, h) = (spline.derivative(v), 1e-3);
            let dd = (spline.derivative(v + h) - spline.derivative(v - h)) / (2.0 * h);
            d.cross(dd) / d.hypot().powi(3)
        };
        let change = |bend: &dyn Fn(f64) -> f64| {
            (1..1999)
                .map(|k| (bend(f64::from(k + 1) / 2000.0) - bend(f64::from(k) / 2000.0)).powi(2))
                .sum::<f64>()
        };
        let (own, batten) = (change(&|s| fair.at(s * fair.length()).2), change(&of_spline));
        assert!(own < 0.8 * batten, "{own:e} {batten:e}");
    }

    #[test]
    fn nonsense_makes_no_line() {
        assert!(Fair::through(&[Point::ZERO]).is_none());
        let wild: Vec<Point> = (0..MOST_POINTS + 1).map(|k| Point::new(k as f64, 0.0)).collect();
        assert!(Fair::through(&wild).is_none());
    }
}
