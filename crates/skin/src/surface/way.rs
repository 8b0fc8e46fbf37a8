//! Places on a skin found by aiming: the straightest way between two, and the way along and then square off.
//!
//! A line straight on is followed from the start; where it misses, its heading and length are put right and it is
//! followed again. Lengths are those of the skin itself, good to a ten-millionth of the way; no triangles, no field.

use super::{Heading, Surface, settle};
use geom::tolerance::{NOISE_MM, STRIP_RISE_MM};
use geom::{Point3, Vec2};
use std::f64::consts::FRAC_PI_2;

/// Most times a way is tried; four are usual.
const MOST_TRIES: usize = 30;

/// Places are kept every so many mm of a long way: what is asked along it is walked from near by, and ends are the same to
/// 0.001 mm however it is cut. chosen.
pub const STRIDE: f64 = 20.0;

/// The straightest way from one place to another near it: its heading at the start and its length, mm. `None` if it
/// is not found: the places lie too far round the skin for one way to be the nearest.
pub fn between(surface: &impl Surface, from: Vec2, to: Point3) -> Option<(Heading, f64)> {
    let here = surface.jet(from).p;
    let chord = to - here;
    let mut length = chord.length();
    if length <= NOISE_MM {
        return Some((Heading { uv: from, way: Vec2::ZERO }, 0.0));
    }
    let mut heading = Heading::new(surface, from, chord);
    for _ in 0..MOST_TRIES {
        if !heading.way.is_finite() || !length.is_finite() {
            return None;
        }
        let end = heading.ahead(surface, length);
        let jet = surface.jet(end.uv);
        let miss = to - jet.p;
        if miss.length() <= NOISE_MM {
            return Some((heading, length));
        }
        let ahead = jet.direction(end.way);
        let left = jet.normal().cross(ahead);
        heading = heading.turned(surface, (miss.dot(left) / length).clamp(-0.5, 0.5));
        length += miss.dot(ahead).clamp(-0.5 * length, length);
    }
    None
}

/// The straightest way from one place to another however far, that stays beside the one straight in the skin's own numbers:
/// its heading at the start and its length, mm. Walked in strides it ends within 0.005 mm of `to`. `None` if it is not
/// found.
pub fn straightest(surface: &impl Surface, from: Vec2, to: Vec2) -> Option<(Heading, f64)> {
    let goal = surface.jet(to).p;
    let meets = |way: &(Heading, f64)| {
        let (_, end) = walked(surface, way.0, way.1);
        (surface.jet(end.uv).p - goal).length() <= STRIP_RISE_MM
    };
    between(surface, from, goal).filter(meets).or_else(|| settle::shortest(surface, from, to))
}

/// Where one stands every stride along a straightest way, its start first; and its end.
pub fn walked(surface: &impl Surface, start: Heading, length: f64) -> (Vec<Heading>, Heading) {
    let mut stands = vec![start];
    while (stands.len() as f64) * STRIDE < length {
        stands.push(stands[stands.len() - 1].ahead(surface, STRIDE));
    }
    let k = stands.len() - 1;
    let end = stands[k].ahead(surface, length - k as f64 * STRIDE);
    (stands, end)
}

/// Where one comes to from `centre` going `along.x` straight on and then `along.y` square off to the left.
pub fn square_off(surface: &impl Surface, centre: Heading, along: Vec2) -> Heading {
    centre.ahead(surface, along.x).turned(surface, FRAC_PI_2).ahead(surface, along.y)
}

/// How far along and then square off a place lies, mm, found from a first guess; `None` if it is not found.
pub fn along_and_off(surface: &impl Surface, centre: Heading, to: Point3, guess: Vec2) -> Option<Vec2> {
    let mut at = guess;
    for _ in 0..MOST_TRIES {
        if !at.is_finite() {
            return None;
        }
        let end = square_off(surface, centre, at);
        let jet = surface.jet(end.uv);
        let miss = to - jet.p;
        if miss.length() <= NOISE_MM {
            return Some(at);
        }
        let up = jet.direction(end.way);
        let right = up.cross(jet.normal());
        at += Vec2::new(miss.dot(right), miss.dot(up));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Spot;
    use crate::surface::forms::{Cylinder, Egg, Torus};
    use crate::surface::grid;
    use crate::windows::Distances;

    #[test]
    fn on_a_ball_and_a_tube_ways_have_their_closed_lengths() {
        let ball = Egg { half_length: 200.0, radius: 200.0 };
        let (a, b) = (Vec2::new(0.1, 0.2), Vec2::new(0.5, -0.4));
        let (p, q) = (ball.jet(a).p, ball.jet(b).p);
        let (heading, length) = between(&ball, a, q).unwrap();
        let arc = 200.0 * (p.dot(q) / 40_000.0).acos();
        assert!((length - arc).abs() < 1e-6, "{length} {arc}");
        let there = heading.ahead(&ball, length);
        assert!((ball.jet(there.uv).p - q).length() < 1e-6);
        let tube = Cylinder { radius: 300.0 };
        let (a, b) = (Vec2::new(10.0, 0.2), Vec2::new(310.0, 1.1));
        let (_, length) = between(&tube, a, tube.jet(b).p).unwrap();
        let wanted = (tube.unrolled(b) - tube.unrolled(a)).hypot();
        assert!((length - wanted).abs() < 1e-6, "{length} {wanted}");
    }

    #[test]
    fn on_a_ring_the_way_is_as_long_as_the_exact_one_over_fine_triangles() {
        let ring = Torus { ring: 508.0, pipe: 152.4 };
        let centre = Heading::new(&ring, Vec2::new(0.3, 0.1), Point3::new(0.3, 0.2, 1.0));
        let grid = grid(&ring, centre, 160.0, 120.0, 160, 120);
        let (from, _) = Spot::nearest(&grid.mesh, ring.jet(centre.uv).p);
        let distances = Distances::from(&grid.mesh, from, f64::INFINITY, &[]);
        for corner in [0, 37 * 121 + 15, 150 * 121 + 100, 160 * 121 + 120] {
            let (_, length) = between(&ring, centre.uv, grid.mesh.points()[corner]).unwrap();
            // Triangles of 1 mm cut the corner by a hundred-thousandth.
            assert!((distances.all()[corner] / length - 1.0).abs() < 2e-5, "{corner}");
        }
    }

    #[test]
    fn along_and_off_is_found_again() {
        let ring = Torus { ring: 508.0, pipe: 152.4 };
        let centre = Heading::new(&ring, Vec2::new(0.3, 0.1), Point3::new(0.3, 0.2, 1.0));
        let wanted = Vec2::new(71.0, -43.0);
        let to = ring.jet(square_off(&ring, centre, wanted).uv).p;
        let found = along_and_off(&ring, centre, to, Vec2::new(60.0, -40.0)).unwrap();
        assert!((found - wanted).hypot() < 1e-6, "{found:?}");
    }

    #[test]
    fn the_sides_of_a_grid_on_a_tube_lie_flat_without_strain() {
        let tube = Cylinder { radius: 300.0 };
        let centre = Heading::new(&tube, Vec2::ZERO, Point3::new(1.0, 0.0, 0.4));
        let grid = grid(&tube, centre, 240.0, 300.0, 16, 20);
        let flat = crate::flatten::flatten_sides(&grid.mesh, &grid.sides(), &grid.flat).unwrap();
        assert!(flat.strain.max < 1e-9, "{:?}", flat.strain);
        let stroke = flat.worst_stroke(&grid.mesh, 200.0, 200).unwrap();
        assert!(stroke < 1e-6, "{stroke}");
        // Chords alone would read short.
        let chords = crate::flatten::flatten(&grid.mesh, &grid.flat).unwrap();
        let long = |f: &crate::flatten::Flat| (f.places[0] - f.places[grid.flat.len() - 1]).hypot();
        assert!(long(&chords) < long(&flat) - 1e-3);
    }
}
