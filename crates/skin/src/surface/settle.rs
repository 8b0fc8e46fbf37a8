//! The straightest way between two places, found as a cord drawn tight is: a chain of chords that shortens until it lies.
//!
//! Aiming alone (see `way`) misses where the skin spreads ways apart: a little turn at the start is then a long way off at
//! the end, and every step overshoots. A chain laid between both places has both ends fixed, and only gets shorter: it
//! comes to rest on a way than which none beside it is shorter. How ways spread along it says by how much to turn when
//! aiming, so that aiming then meets the place. It does not look for a shorter way round the other side of the skin.

use super::way::walked;
use super::{Heading, Surface};
use geom::tolerance::{NOISE_MM, NOISE_UNIT, STRIP_AIM_MM, STRIP_RISE_MM};
use geom::{Point3, Vec2};

/// Chords of the chain, first few, then each cut in two. chosen: then the first heading is off by less than a degree.
const CHORDS: [usize; 4] = [16, 32, 64, 128];
/// Most steps in which a chain comes to rest; ten are usual.
const MOST_STEPS: usize = 100;
/// Most times the place is aimed at; five are usual.
const MOST_AIMS: usize = 60;
/// Halvings of a turn that leads farther off.
const HALVINGS: usize = 12;
/// By how much steps are held back at first, as a share of their own weight, and at most.
const HELD: [f64; 2] = [0.01, 1.0e12];

/// The way than which none beside it is shorter, from the chain straight in both numbers of the skin: its heading at the
/// start and its length, mm; walked, it ends within 0.005 mm of `to`. `None` if it is not found.
pub(super) fn shortest(surface: &impl Surface, from: Vec2, to: Vec2) -> Option<(Heading, f64)> {
    let mut chain = vec![from, to];
    for chords in CHORDS {
        chain = refined(&chain, chords);
        drawn_tight(surface, &mut chain)?;
    }
    aimed(surface, &chain)
}

/// The same chain in this many parts, each as long in its numbers' measure.
fn refined(chain: &[Vec2], parts: usize) -> Vec<Vec2> {
    let last = chain.len() - 1;
    let at = |k: usize| {
        let t = k as f64 * last as f64 / parts as f64;
        let i = (t.floor() as usize).min(last - 1);
        chain[i] + (chain[i + 1] - chain[i]) * (t - i as f64)
    };
    (0..=parts).map(at).collect()
}

/// Sum of the squares of its chords.
fn pull(points: &[Point3]) -> f64 {
    points.windows(2).map(|w| w[0].distance_squared(w[1])).sum()
}

/// A symmetric two by two, or any.
type Square = [[f64; 2]; 2];

/// Moves the inner places until the chain is at rest (Newton's steps, held back by Levenberg's and Marquardt's rule, from
/// memory); `None` if a place is lost.
fn drawn_tight(surface: &impl Surface, chain: &mut [Vec2]) -> Option<()> {
    let n = chain.len() - 1;
    let [mut held, most] = HELD;
    let points = |chain: &[Vec2]| chain.iter().map(|uv| surface.jet(*uv).p).collect::<Vec<_>>();
    let mut now = pull(&points(chain));
    for _ in 0..MOST_STEPS {
        let jets: Vec<_> = chain.iter().map(|uv| surface.jet(*uv)).collect();
        let own: Vec<(Square, Vec2)> = (1..n)
            .map(|i| {
                let jet = &jets[i];
                let r = jet.p * 2.0 - jets[i - 1].p - jets[i + 1].p;
                let of = |a: Point3, b: Point3, ab: Point3| 2.0 * a.dot(b) + r.dot(ab);
                let mixed = of(jet.u, jet.v, jet.uv);
                (
                    [[of(jet.u, jet.u, jet.uu), mixed], [mixed, of(jet.v, jet.v, jet.vv)]],
                    Vec2::new(r.dot(jet.u), r.dot(jet.v)),
                )
            })
            .collect();
        let next = |i: usize| {
            let (a, b) = (&jets[i], &jets[i + 1]);
            [[-a.u.dot(b.u), -a.u.dot(b.v)], [-a.v.dot(b.u), -a.v.dot(b.v)]]
        };
        let moved = loop {
            let weighed = |i: usize| {
                let (jet, (mut square, _)) = (&jets[i], own[i - 1]);
                square[0][0] += held * jet.u.length_squared();
                square[1][1] += held * jet.v.length_squared();
                square
            };
            let steps = solved(n - 1, &|k| weighed(k + 1), &|k| next(k + 1), &|k| -own[k].1);
            let tried: Vec<Vec2> =
                (0..=n).map(|i| if 0 < i && i < n { chain[i] + steps[i - 1] } else { chain[i] }).collect();
            let then = pull(&points(&tried));
            if then <= now {
                held /= 10.0;
                let far = (1..n).map(|i| jets[i].direction(steps[i - 1]).length()).fold(0.0, f64::max);
                chain.copy_from_slice(&tried);
                now = then;
                break far;
            }
            held *= 10.0;
            if most < held {
                // Nothing shortens it any more.
                break 0.0;
            }
        };
        if moved <= STRIP_AIM_MM {
            break;
        }
    }
    now.is_finite().then_some(())
}

/// Solves for a chain of pairs, each tied to the next: `own` on the diagonal, `next` above it, its mirror below.
fn solved(
    n: usize,
    own: &dyn Fn(usize) -> Square,
    next: &dyn Fn(usize) -> Square,
    right: &dyn Fn(usize) -> Vec2,
) -> Vec<Vec2> {
    let times = |m: &Square, x: Vec2| Vec2::new(m[0][0] * x.x + m[0][1] * x.y, m[1][0] * x.x + m[1][1] * x.y);
    let inverse = |m: &Square| {
        let all = m[0][0] * m[1][1] - m[0][1] * m[1][0];
        [[m[1][1] / all, -m[0][1] / all], [-m[1][0] / all, m[0][0] / all]]
    };
    let product = |a: &Square, b: &Square| -> Square {
        std::array::from_fn(|i| std::array::from_fn(|j| a[i][0] * b[0][j] + a[i][1] * b[1][j]))
    };
    let turned = |m: &Square| [[m[0][0], m[1][0]], [m[0][1], m[1][1]]];
    let mut rows: Vec<(Square, Vec2)> = Vec::with_capacity(n);
    for k in 0..n {
        let (mut square, mut side) = (own(k), right(k));
        if k > 0 {
            let tie = next(k - 1);
            let share = product(&turned(&tie), &rows[k - 1].0);
            let less = product(&share, &tie);
            for i in 0..2 {
                for j in 0..2 {
                    square[i][j] -= less[i][j];
                }
            }
            side -= times(&share, rows[k - 1].1);
        }
        rows.push((inverse(&square), side));
    }
    let mut found = vec![Vec2::ZERO; n];
    for k in (0..n).rev() {
        let side = if k + 1 < n { rows[k].1 - times(&next(k), found[k + 1]) } else { rows[k].1 };
        found[k] = times(&rows[k].0, side);
    }
    found
}

/// Aims at the end of a chain at rest, with its first heading and its length.
fn aimed(surface: &impl Surface, chain: &[Vec2]) -> Option<(Heading, f64)> {
    let points: Vec<Point3> = chain.iter().map(|uv| surface.jet(*uv).p).collect();
    let to = points[points.len() - 1];
    let mut length: f64 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
    if length <= NOISE_MM {
        return Some((Heading { uv: chain[0], way: Vec2::ZERO }, 0.0));
    }
    let spread = spread(surface, chain, &points);
    if spread.abs() <= NOISE_UNIT * length {
        return None;
    }
    // The way on at its very start, from the first two chords.
    let way = (points[1] - points[0]) * 4.0 - (points[2] - points[0]);
    let mut heading = Heading::new(surface, chain[0], way);
    let look = |heading: Heading, length: f64| {
        let end = walked(surface, heading, length).1;
        let jet = surface.jet(end.uv);
        let miss = to - jet.p;
        let ahead = jet.direction(end.way);
        (miss.length(), miss.dot(jet.normal().cross(ahead)), miss.dot(ahead))
    };
    let mut miss = look(heading, length);
    for _ in 0..MOST_AIMS {
        if !miss.0.is_finite() || miss.0 <= NOISE_MM {
            break;
        }
        let mut share = 1.0;
        let better = (0..HALVINGS).find_map(|_| {
            let tried = (heading.turned(surface, share * miss.1 / spread), length + share * miss.2);
            let then = look(tried.0, tried.1);
            share /= 2.0;
            (then.0 < miss.0).then_some((tried, then))
        });
        let Some((tried, then)) = better else { break };
        ((heading, length), miss) = (tried, then);
    }
    (miss.0 <= STRIP_RISE_MM).then_some((heading, length))
}

/// How far off the end one comes for a small turn at the start, mm a radian: it bends towards the way where the skin is a
/// ball and away from it where it is a saddle (the equation of Jacobi, from memory).
fn spread(surface: &impl Surface, chain: &[Vec2], points: &[Point3]) -> f64 {
    let (mut off, mut rate) = (0.0, 1.0);
    for (uv, w) in chain.iter().zip(points.windows(2)) {
        let chord = w[0].distance(w[1]);
        rate -= surface.jet(*uv).curvature() * off * chord;
        off += rate * chord;
    }
    off
}
#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::{Body, Ring, Side, Station};
    use crate::surface::triangles;
    use crate::surface::way::{between, straightest};
    use crate::windows::Distances;
    use crate::{Mesh, Spot};

    const IN: f64 = 25.4;

    /// Half width, top, bottom and power by station, inches.
    fn body(rings: &[[f64; 5]]) -> Body {
        let station = |r: &[f64; 5]| {
            let [half_width, top, bottom] = [r[1] * IN, r[2] * IN, r[3] * IN];
            Station { s: r[0] * IN, ring: Ring::Superellipse { half_width, top, bottom, power: r[4] } }
        };
        Body::through(&rings.iter().map(station).collect::<Vec<_>>(), 0.0).unwrap()
    }

    fn boat_tailed() -> Body {
        body(&[
            [0.0, 20.0, 20.0, -24.0, 2.2],
            [60.0, 21.0, 24.0, -24.0, 2.4],
            [120.0, 18.0, 21.0, -20.0, 2.3],
            [180.0, 13.0, 17.0, -13.0, 2.1],
            [264.0, 4.0, 10.0, -3.0, 2.0],
        ])
    }

    /// Ways over its waist spread apart.
    fn waisted() -> Body {
        body(&[
            [0.0, 4.0, 5.0, -4.0, 2.0],
            [30.0, 20.0, 16.0, -20.0, 3.5],
            [60.0, 12.0, 12.0, -12.0, 2.0],
            [90.0, 20.0, 24.0, -20.0, 2.5],
            [150.0, 8.0, 12.0, -10.0, 2.0],
        ])
    }

    /// The exact algorithm over triangles (see `windows`) is another road to the same length.
    #[test]
    fn ways_are_as_long_as_the_exact_ones_over_fine_triangles() {
        let (tailed, waisted) = (boat_tailed(), waisted());
        for (body, from, to) in [
            (&tailed, [20.0, 8.0], [100.0, 8.0]),
            (&tailed, [20.0, 10.0], [180.0, 10.0]),
            (&tailed, [20.0, -4.0], [200.0, 4.0]),
            (&tailed, [100.0, 2.0], [200.0, 4.0]),
            (&tailed, [20.0, 8.0], [100.0, 12.0]),
            (&waisted, [24.0, 5.0], [104.0, -3.0]),
            (&waisted, [39.0, 2.0], [99.0, 0.0]),
            (&waisted, [41.0, 4.0], [82.0, 1.0]),
            (&waisted, [31.0, 7.0], [77.0, -1.0]),
        ] {
            let place = |[s, t]: [f64; 2]| body.place(Side::Left, s * IN, t * IN).unwrap();
            let (a, b) = (place(from), place(to));
            // Both roads: by aiming, which fails over the waist, and as a cord drawn tight.
            let (heading, length) = shortest(body, a, b).unwrap();
            let (_, end) = walked(body, heading, length);
            let goal = body.jet(b).p;
            assert!(body.jet(end.uv).p.distance(goal) <= STRIP_RISE_MM, "{from:?}");
            let aimed = between(body, a, goal);
            assert_eq!(aimed.is_some(), std::ptr::eq(body, &tailed), "{from:?}");
            assert!(aimed.is_none_or(|way| (way.1 - length).abs() < STRIP_RISE_MM), "{from:?}");
            // A grid from the one to the other and well beyond on either hand; its corners are on the skin.
            let (across, up) = (160, 64);
            let row = ((a.y - b.y).abs() + 7.0) / 32.0;
            let at = |k: usize| {
                let share = (k / (up + 1)) as f64 / across as f64;
                Vec2::new(a.x + (b.x - a.x) * share, b.y + row * ((k % (up + 1)) as f64 - 32.0))
            };
            let points = (0..(across + 1) * (up + 1)).map(|k| body.jet(at(k)).p).collect();
            let mesh = Mesh::of_grid(points, triangles(across, up));
            let (spot, off) = Spot::nearest(&mesh, body.jet(a).p);
            assert!(off < 0.1, "{off}");
            let exact = Distances::from(&mesh, spot, f64::INFINITY, &[]).all()[across * (up + 1) + 32];
            assert!((exact / length - 1.0).abs() < 4e-5, "{from:?}: {exact} {length}");
        }
    }

    /// Clairaut's relation (any textbook of the geometry of surfaces): on a body turned about its axis the radius times the
    /// sine of the angle to the meridian stays along a straightest way.
    #[test]
    fn on_a_turned_body_every_way_is_found_and_keeps_its_clairaut_constant() {
        let round = |s: f64, r: f64| [s, r, r, -r, 2.0];
        let body = body(&[
            round(0.0, 6.0),
            round(60.0, 21.0),
            round(120.0, 12.0),
            round(180.0, 20.0),
            round(264.0, 4.0),
        ]);
        let mut missed = 0;
        for k in 0..60 {
            // Evenly spread without a pattern: multiples of irrational numbers.
            let part = |by: f64| (f64::from(k) * by).fract();
            let from = Vec2::new((4.0 + 60.0 * part(0.618_034)) * IN, 52.0 + 40.0 * part(0.414_214));
            let to = Vec2::new(from.x + (70.0 + 125.0 * part(0.732_051)) * IN, 52.0 + 40.0 * part(0.236_068));
            let (heading, length) = straightest(&body, from, to).unwrap();
            let (stands, end) = walked(&body, heading, length);
            let goal = body.jet(to).p;
            assert!(body.jet(end.uv).p.distance(goal) <= STRIP_RISE_MM);
            let aimed = between(&body, from, goal).map(|way| walked(&body, way.0, way.1).1);
            missed += usize::from(aimed.is_none_or(|end| STRIP_RISE_MM < body.jet(end.uv).p.distance(goal)));
            let kept: Vec<f64> = stands
                .iter()
                .chain([&end])
                .map(|stand| {
                    let jet = body.jet(stand.uv);
                    let round = Point3::X.cross(jet.p);
                    jet.direction(stand.way).dot(round)
                })
                .collect();
            let (low, high) = kept.iter().fold((f64::MAX, f64::MIN), |b, c| (b.0.min(*c), b.1.max(*c)));
            // Rings divided into 96 shares are round to a few hundredths of a millimetre only.
            assert!(high - low < 0.05, "{k}: {low} {high}");
        }
        assert!(3 < missed, "{missed}");
    }
}
