//! Smooth maps against closed forms and against the patches laid flat triangle by triangle.

use super::*;
use crate::surface::forms::{Cone, Cylinder, Egg};
use crate::surface::{Heading, Surface, grid};
use geom::Point3;

fn even(from: f64, to: f64, n: usize) -> Knots {
    let at = |k: usize| from + (to - from) * k as f64 / n as f64;
    Knots::new(&(0..=n).map(|k| (at(k), false)).collect::<Vec<_>>()).unwrap()
}

fn laid<S: Surface, First: Fn(Vec2) -> Place>(
    surface: &S,
    u: &Knots,
    v: &Knots,
    first: First,
) -> impl Fn(Vec2) -> Place + use<S, First> {
    let skin = |v: f64| {
        move |u: f64| {
            let jet = surface.jet(Vec2::new(u, v));
            [jet.u, jet.v]
        }
    };
    let more = lay(u.clone(), v.clone(), &skin, &first).unwrap();
    move |uv| first(uv) + more.at(uv)
}

/// A map whose slopes are the same everywhere.
fn even_slopes(u: Vec2, v: Vec2) -> impl Fn(Vec2) -> Place {
    move |uv| Place { p: u * uv.x + v * uv.y, u, v }
}

/// Greatest stretch and root mean square on a fine net.
fn worst(surface: &impl Surface, map: &impl Fn(Vec2) -> Place, u: (f64, f64), v: (f64, f64)) -> (f64, f64) {
    let (mut most, mut square, mut area) = (0.0_f64, 0.0, 0.0);
    let n = 60;
    for i in 0..=n {
        for j in 0..=n {
            let at = |k: i32, (a, b): (f64, f64)| a + (b - a) * f64::from(k) / f64::from(n);
            let uv = Vec2::new(at(i, u), at(j, v));
            let jet = surface.jet(uv);
            let stretch = Stretch::of([jet.u.dot(jet.u), jet.u.dot(jet.v), jet.v.dot(jet.v)], &map(uv));
            most = most.max(stretch.most());
            let weight = jet.u.cross(jet.v).length();
            square += weight * stretch.square();
            area += weight;
        }
    }
    (most, (square / area).sqrt())
}

#[test]
fn a_tube_lies_flat_without_any_stretch_and_a_cone_to_the_fineness_of_the_net() {
    // Closed form: both unroll.
    let tube = Cylinder { radius: 300.0 };
    let map = laid(
        &tube,
        &even(0.0, 900.0, 4),
        &even(0.0, 2.0, 4),
        even_slopes(Vec2::new(1.0, 0.0), Vec2::new(0.1, 250.0)),
    );
    let (most, _) = worst(&tube, &map, (0.0, 900.0), (0.0, 2.0));
    assert!(most < 1e-9, "{most}");
    let corner = map(Vec2::new(900.0, 2.0)).p - map(Vec2::ZERO).p;
    assert!((corner - Vec2::new(900.0, 600.0)).hypot() < 1e-6, "{corner:?}");

    let cone = Cone { half_angle: 0.3 };
    let begin = even_slopes(Vec2::new(1.0, 0.0), Vec2::new(0.0, 0.3 * 700.0));
    let stretch = [6, 12].map(|n| {
        let map = laid(&cone, &even(500.0, 900.0, n), &even(0.0, 2.0, n), &begin);
        worst(&cone, &map, (500.0, 900.0), (0.0, 2.0)).0
    });
    // Cubic pieces: the slope errs by the third power of the net.
    assert!(stretch[0] < 2e-4 && stretch[1] < stretch[0] / 6.0, "{stretch:?}");
}

#[test]
fn a_piece_of_a_ball_errs_no_more_than_triangles_laid_flat_and_no_less_than_can_be() {
    let ball = Egg { half_length: 500.0, radius: 500.0 };
    let (size, centre) = (200.0, Vec2::new(0.0, 0.7));
    // The same piece twice: by triangles about its centre, and by the ball's own two numbers.
    let heading = Heading::new(&ball, centre, Point3::X);
    let net = grid(&ball, heading, size, size, 40, 40);
    let by_triangles = crate::flatten::flatten_sides(&net.mesh, &net.sides(), &net.flat).unwrap();
    let half = size / 500.0 / 2.0;
    let (u, v) = ((-half, half), (0.7 - half, 0.7 + half));
    let map = laid(
        &ball,
        &even(u.0, u.1, 8),
        &even(v.0, v.1, 8),
        even_slopes(Vec2::new(500.0, 0.0), Vec2::new(0.0, 500.0)),
    );
    let (most, rms) = worst(&ball, &map, u, v);
    // The two pieces differ a little in outline, the nets in fineness: 3 per cent.
    assert!((rms / by_triangles.strain.rms - 1.0).abs() < 0.03, "{rms} {:?}", by_triangles.strain);
    // No map of a cap of geodesic radius R errs by less than K R^2 / 12 (J. Milnor, A problem in cartography, 1969).
    let least = (half * 0.98).powi(2) / 12.0;
    assert!(least < most, "{most} {least}");
}

#[test]
fn a_place_is_found_again_on_the_map_and_beyond_it() {
    let cone = Cone { half_angle: 0.3 };
    let map = laid(
        &cone,
        &even(500.0, 900.0, 6),
        &even(0.0, 2.0, 6),
        even_slopes(Vec2::new(1.0, 0.0), Vec2::new(0.0, 210.0)),
    );
    for u in [480.0, 500.0, 611.0, 899.9, 930.0] {
        for v in [-0.1, 0.0, 0.77, 2.0, 2.2] {
            let uv = Vec2::new(u, v);
            let found = find(&map, map(uv).p, Vec2::new(700.0, 1.0)).unwrap();
            assert!((found - uv).hypot() < 1e-6, "{uv:?} {found:?}");
        }
    }
}

#[test]
fn slopes_of_the_basis_are_those_of_its_values_also_at_a_kink() {
    let knots = Knots::new(&[(0.0, false), (1.0, true), (1.5, false), (4.0, false)]).unwrap();
    assert_eq!(knots.count(), 3 + 3 + 1 + 1);
    for k in 0..200 {
        let x = 4.0 * (f64::from(k) + 0.37) / 200.0;
        let (first, b, d) = knots.basis(x);
        assert!((b.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{x}");
        // A straight line through the places the functions stand for is kept.
        let line: f64 = b.iter().enumerate().map(|(i, b)| b * knots.stand(first + i)).sum();
        let slope: f64 = d.iter().enumerate().map(|(i, d)| d * knots.stand(first + i)).sum();
        assert!((line - x).abs() < 1e-12 && (slope - 1.0).abs() < 1e-12, "{x} {line} {slope}");
        let (_, ahead, _) = knots.basis(x + 1e-7);
        if knots.basis(x + 1e-7).0 == first {
            for i in 0..PIECES {
                assert!(((ahead[i] - b[i]) / 1e-7 - d[i]).abs() < 1e-5, "{x} {i}");
            }
        }
    }
    assert!(Knots::new(&[(0.0, false)]).is_none() && Knots::new(&[(1.0, false), (1.0, false)]).is_none());
}
