//! Plugs: a small counter is filled by one piece, cut whole on the board.

use super::channel::{Across, Field};
use super::outline::Run;
use geom::point::left_of;
use geom::{Point, Ring, Vec2};

/// Steps of the search for the widest place of a counter; each halves its stride.
const STEPS: usize = 24;

/// Width of the widest place of a counter (twice the radius of the greatest disc in it), mm. Searched from the
/// middles of the looks across: not less than the best of those, and within a hair of the true one. `None` once it is found
/// to be `enough` or more.
pub(super) fn widest(
    field: &Field,
    runs: &[Run],
    ring: &[usize],
    across: &[(Vec<Across>, f64)],
    reach: f64,
    enough: f64,
) -> Option<f64> {
    let points: Vec<Point> = ring.iter().flat_map(|k| runs[*k].points.iter().copied()).collect();
    let bits = field.near(&points, 0.0);
    let own = |run: usize| ring.contains(&run);
    let room = |p: Point| {
        bits.iter()
            .filter(|b| own(b.run))
            .map(|b| {
                let along = b.b - b.a;
                let t = ((p - b.a).dot(along) / along.hypot2()).clamp(0.0, 1.0);
                (b.a + along * t).distance(p)
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mut best = (0.0, points[0]);
    for k in ring {
        for look in &across[*k].0 {
            // Nothing met within reach: at least that wide.
            let far = look.any.map_or(reach, |met| met.far);
            let (p, way) = runs[*k].at(look.at);
            let q = p - left_of(way) * (far / 2.0);
            let r = room(q);
            if r > best.0 {
                best = (r, q);
            }
            if 2.0 * r >= enough {
                return None;
            }
        }
    }
    let mut stride = best.0 / 2.0;
    for _ in 0..STEPS {
        let around =
            (0..8).map(|i| best.1 + Vec2::from_angle(f64::from(i) * std::f64::consts::FRAC_PI_4) * stride);
        let next = around.map(|p| (room(p), p)).max_by(|a, b| a.0.total_cmp(&b.0));
        match next {
            Some(found) if found.0 > best.0 => best = found,
            _ => stride /= 2.0,
        }
    }
    Some(2.0 * best.0).filter(|wide| *wide < enough)
}

/// The counter as a shape, counter-clockwise, and the lesser side of its box along and across the mark, mm.
pub(super) fn shape(runs: &[Run], ring: &[usize], along: Vec2) -> (Ring, f64) {
    let mut points: Vec<Point> = Vec::new();
    for k in ring {
        let r = &runs[*k];
        points.extend(&r.points[..r.points.len() - 1]);
    }
    let side = |way: Vec2| {
        let far = |p: &Point| way.dot(p.to_vec2());
        points.iter().map(far).fold(f64::NEG_INFINITY, f64::max)
            - points.iter().map(far).fold(f64::INFINITY, f64::min)
    };
    let width = side(along).min(side(left_of(along)));
    (Ring::from_points(points).reversed(), width)
}
