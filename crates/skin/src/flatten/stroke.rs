//! Straight lines of the pattern followed across the skin, triangle by triangle.

use super::shape::Shape;
use crate::mesh::NONE;
use crate::{Mesh, Spot};
use geom::Vec2;

/// Directions a stroke is tried in from each middle: letters have strokes at all of these.
const DIRECTIONS: usize = 12;

/// One over the plastic number.
const PLASTIC: f64 = 0.754_877_666_246_693;

/// The golden section.
const GOLDEN: f64 = 0.618_033_988_749_895;

pub(super) fn worst(
    mesh: &Mesh,
    shapes: &[Shape],
    places: &[Vec2],
    length: f64,
    count: usize,
) -> Option<f64> {
    let triangles = mesh.triangles().len();
    // Spread by the golden section, so that no row of a grid is met again and again.
    let middles = count.div_ceil(DIRECTIONS);
    let mut worst = None;
    for n in 0..middles {
        let t = ((n as f64 * GOLDEN).fract() * triangles as f64) as u32;
        let corners = mesh.triangles()[t as usize].map(|k| places[k as usize]);
        // The middle of a triangle first; where there are few, other places of it too.
        let (b, c) = if n < triangles { (1.0 / 3.0, 1.0 / 3.0) } else { elsewhere(n) };
        let middle = corners[0] + (corners[1] - corners[0]) * b + (corners[2] - corners[0]) * c;
        for d in 0..DIRECTIONS {
            let (sin, cos) = (std::f64::consts::PI * d as f64 / DIRECTIONS as f64).sin_cos();
            let half = Vec2::new(cos, sin) * (length / 2.0);
            let ahead = followed(mesh, shapes, places, t, middle, half).filter(|way| way.whole);
            let back = followed(mesh, shapes, places, t, middle, -half).filter(|way| way.whole);
            if let Some((ahead, back)) = ahead.zip(back) {
                let off = (ahead.on_skin + back.on_skin - length).abs();
                worst = Some(f64::max(worst.unwrap_or(0.0), off));
            }
        }
    }
    worst
}

/// Length on the skin of a straight line of the pattern, mm; `None` where it leaves the pattern.
pub(super) fn length(mesh: &Mesh, shapes: &[Shape], places: &[Vec2], [a, b]: [Vec2; 2]) -> Option<f64> {
    let spot = spots(mesh, shapes, places, &[a])[0]?;
    let way = followed(mesh, shapes, places, spot.triangle, a, b - a)?;
    way.whole.then_some(way.on_skin)
}

/// Shares of two corners at the nth of places spread evenly over a triangle.
///
/// Source: M. Roberts, the plastic number's sequence of even spread, 2018 (from memory).
fn elsewhere(n: usize) -> (f64, f64) {
    let (b, c) = ((n as f64 * PLASTIC).fract(), (n as f64 * PLASTIC * PLASTIC).fract());
    if b + c <= 1.0 { (b, c) } else { (1.0 - b, 1.0 - c) }
}

/// How far a straight line of the pattern went.
struct Way {
    /// Triangle it ended in.
    triangle: u32,
    /// Length on the skin, mm.
    on_skin: f64,
    /// It did not leave the pattern.
    whole: bool,
}

/// Follows `step` from a point of a triangle of the pattern.
fn followed(
    mesh: &Mesh,
    shapes: &[Shape],
    places: &[Vec2],
    start: u32,
    from: Vec2,
    step: Vec2,
) -> Option<Way> {
    let (mut t, mut came, mut gone) = (start, NONE, 0.0);
    let mut on_skin = 0.0;
    // A straight line meets a triangle once.
    for _ in 0..mesh.triangles().len() {
        let corners = mesh.triangles()[t as usize].map(|k| places[k as usize]);
        let (mut leave, mut by) = (1.0, NONE);
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            let out = (b - a).cross(step);
            // Outwards is to the right of a side.
            if 3 * t + k as u32 != came && out < 0.0 {
                let at = (b - a).cross(a - from) / out;
                if at < leave {
                    (leave, by) = (at.max(gone), 3 * t + k as u32);
                }
            }
        }
        on_skin += length_in(shapes[t as usize], corners, step) * (leave - gone);
        gone = leave;
        if by == NONE {
            return Some(Way { triangle: t, on_skin, whole: true });
        }
        match mesh.across(by) {
            Some(other) => (t, came) = (other / 3, other),
            None => return Some(Way { triangle: t, on_skin, whole: false }),
        }
    }
    None
}

/// Length on the skin of a step of the pattern within a triangle.
fn length_in(shape: Shape, [p, q, r]: [Vec2; 3], step: Vec2) -> f64 {
    let all = (q - p).cross(r - p);
    let (s, w) = (step.cross(r - p) / all, (q - p).cross(step) / all);
    let [ab, _, ca] = shape.sides();
    (ab * s - ca * w).hypot()
}

/// Spots under points: each found by walking from the last one found, else by looking at every triangle.
pub(super) fn spots(mesh: &Mesh, shapes: &[Shape], places: &[Vec2], points: &[Vec2]) -> Vec<Option<Spot>> {
    let mut near = 0_u32;
    let look = |point: &Vec2| {
        let corners = mesh.triangles()[near as usize].map(|k| places[k as usize]);
        let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
        let walked = followed(mesh, shapes, places, near, middle, *point - middle).map(|way| way.triangle);
        let inside =
            |t: &u32| shares(mesh, places, *t, *point).iter().all(|s| -geom::tolerance::NOISE_UNIT <= *s);
        let found = walked.filter(inside).or_else(|| (0..mesh.triangles().len() as u32).find(inside))?;
        near = found;
        Some(Spot { triangle: found, shares: shares(mesh, places, found, *point) })
    };
    points.iter().map(look).collect()
}

fn shares(mesh: &Mesh, places: &[Vec2], t: u32, point: Vec2) -> [f64; 3] {
    let [p, q, r] = mesh.triangles()[t as usize].map(|k| places[k as usize]);
    let all = (q - p).cross(r - p);
    let (b, c) = ((point - p).cross(r - p) / all, (q - p).cross(point - p) / all);
    [1.0 - b - c, b, c]
}
