//! Closed forms: curvature, straightest lines, lengths.

use super::forms::{Cone, Cylinder, Egg, Torus};
use super::*;
use std::f64::consts::{FRAC_PI_2, PI};

/// Second opinion on a jet: differences.
fn jet_agrees(surface: &impl Surface, uv: Vec2) {
    let h = 1e-4;
    let at = |du: f64, dv: f64| surface.jet(uv + Vec2::new(du, dv)).p;
    let jet = surface.jet(uv);
    let size = jet.p.length();
    let close = |a: Point3, b: Point3, what: &str| assert!((a - b).length() < 1e-6 * size, "{what}: {a} {b}");
    close(jet.u, (at(h, 0.0) - at(-h, 0.0)) / (2.0 * h), "u");
    close(jet.v, (at(0.0, h) - at(0.0, -h)) / (2.0 * h), "v");
    close(jet.uu, (at(h, 0.0) + at(-h, 0.0) - at(0.0, 0.0) * 2.0) / (h * h), "uu");
    close(jet.vv, (at(0.0, h) + at(0.0, -h) - at(0.0, 0.0) * 2.0) / (h * h), "vv");
    close(jet.uv, (at(h, h) + at(-h, -h) - at(h, -h) - at(-h, h)) / (4.0 * h * h), "uv");
    // The way out leads away from the axis.
    assert!(0.0 < jet.normal().dot(Point3::new(0.0, jet.p.y, jet.p.z)));
}

#[test]
fn derivatives_agree_with_differences_and_curvature_with_the_closed_forms() {
    let ball = Egg { half_length: 200.0, radius: 200.0 };
    let egg = Egg { half_length: 3048.0, radius: 609.6 };
    let lip = Torus { ring: 355.6, pipe: 152.4 };
    let (tube, cone) = (Cylinder { radius: 600.0 }, Cone { half_angle: 0.087 });
    for uv in [Vec2::new(0.3, 0.2), Vec2::new(-0.7, 1.9)] {
        jet_agrees(&ball, uv);
        jet_agrees(&egg, uv);
        jet_agrees(&lip, uv);
        jet_agrees(&tube, uv);
        jet_agrees(&cone, uv + Vec2::new(900.0, 0.0));
        assert!((ball.jet(uv).curvature() * 4e4 - 1.0).abs() < 1e-12);
        let wanted = uv.x.cos() / (152.4 * (355.6 + 152.4 * uv.x.cos()));
        assert!((lip.jet(uv).curvature() / wanted - 1.0).abs() < 1e-12);
        let (a, b) = (3048.0_f64, 609.6_f64);
        let wanted = (a / (b * b * uv.x.sin().powi(2) + a * a * uv.x.cos().powi(2))).powi(2);
        assert!((egg.jet(uv).curvature() / wanted - 1.0).abs() < 1e-12);
        assert!(
            tube.jet(uv).curvature().abs() < 1e-15
                && cone.jet(uv + Vec2::new(900.0, 0.0)).curvature().abs() < 1e-15
        );
    }
}

#[test]
fn straightest_lines_on_a_cone_are_straight_when_it_is_unrolled() {
    // facts/geometry.md, E: corner to corner of a 58 x 12 in patch on a cone of 5 degrees, radius 24 in: 59.214697 in.
    let (inch, t) = (25.4, 5.0_f64.to_radians());
    let cone = Cone { half_angle: t };
    let corner = |a: f64, b: f64| Vec2::new((24.0 / t.sin() - a) * inch, b / 24.0);
    let (p, q) = (corner(-29.0, -6.0), corner(29.0, 6.0));
    let straight = cone.unrolled(q) - cone.unrolled(p);
    assert!((straight.hypot() / inch - 59.214697).abs() < 1e-5, "{}", straight.hypot() / inch);
    // The direction in which the unrolled line leaves, on the cone itself.
    let jet = cone.jet(p);
    let (slant, round) = (cone.unrolled(p) / p.x, Vec2::new(-cone.unrolled(p).y, cone.unrolled(p).x) / p.x);
    let along = jet.u.normalize() * straight.dot(slant) + jet.v.normalize() * straight.dot(round);
    let there = Heading::new(&cone, p, along).ahead(&cone, straight.hypot());
    let off = (cone.jet(there.uv).p - cone.jet(q).p).length();
    assert!(off < 1e-7 * straight.hypot(), "{off}");
    // And back again.
    let back = there.ahead(&cone, -straight.hypot());
    assert!((cone.jet(back.uv).p - jet.p).length() < 1e-7 * straight.hypot());
}

#[test]
fn straightest_lines_on_a_ball_are_great_circles() {
    let ball = Egg { half_length: 203.2, radius: 203.2 };
    let start = Heading::new(&ball, Vec2::new(0.1, 0.4), Point3::new(1.0, 2.0, 0.5));
    let jet = ball.jet(start.uv);
    let way = jet.direction(start.way);
    for part in [0.3_f64, 1.0, 2.0] {
        let there = ball.jet(start.ahead(&ball, part * 203.2).uv).p;
        let wanted = jet.p * part.cos() + way * (203.2 * part.sin());
        assert!((there - wanted).length() < 1e-5, "{part}: {}", (there - wanted).length());
    }
    let quarter = start.turned(&ball, FRAC_PI_2);
    assert!(ball.jet(start.uv).direction(quarter.way).dot(way).abs() < 1e-12);
    assert!((ball.jet(start.uv).direction(quarter.way).dot(jet.normal().cross(way)) - 1.0).abs() < 1e-12);
}

#[test]
fn a_straightest_line_on_an_egg_keeps_radius_times_sine() {
    // Clairaut's law for skins of revolution.
    let egg = Egg { half_length: 3048.0, radius: 609.6 };
    let kept = |h: Heading| {
        let jet = egg.jet(h.uv);
        jet.direction(h.way).dot(jet.v.normalize()) * jet.p.y.hypot(jet.p.z)
    };
    let mut h = Heading::new(&egg, Vec2::new(0.2, 0.1), Point3::new(0.8, 0.3, 0.9));
    let first = kept(h);
    for _ in 0..20 {
        h = h.ahead(&egg, 100.0);
        assert!((kept(h) - first).abs() < 1e-5, "{} {first}", kept(h));
    }
}

/// A straight tube about the x axis with one swell: u along, v round. Between it and the swell nothing bends along.
struct Swelled;

impl Swelled {
    const RADIUS: f64 = 400.0;
    const HIGH: f64 = 40.0;
    const AT: f64 = 900.0;
    const WIDE: f64 = 120.0;
}

impl Surface for Swelled {
    fn jet(&self, uv: Vec2) -> Jet {
        let x = (uv.x - Self::AT) / Self::WIDE;
        let bell = Self::HIGH * (-x * x).exp();
        let r = Self::RADIUS + bell;
        let (rise, curl) = (-2.0 * x * bell / Self::WIDE, (4.0 * x * x - 2.0) * bell / Self::WIDE.powi(2));
        let (sin, cos) = uv.y.sin_cos();
        let (ring, turn) = (Point3::new(0.0, -cos, sin), Point3::new(0.0, sin, cos));
        Jet {
            p: Point3::X * uv.x + ring * r,
            u: Point3::X + ring * rise,
            v: turn * r,
            uu: ring * curl,
            uv: turn * rise,
            vv: -ring * r,
        }
    }
}

/// Clairaut's law again, and the length along a meridian as a sum: what lies beyond a long straight stretch is not passed
/// over, however far one goes at once.
#[test]
fn a_swell_beyond_a_straight_stretch_is_not_passed_over() {
    let skin = Swelled;
    jet_agrees(&skin, Vec2::new(860.0, 0.4));
    let kept = |h: Heading| {
        let jet = skin.jet(h.uv);
        jet.direction(h.way).dot(jet.v.normalize()) * jet.p.y.hypot(jet.p.z)
    };
    for far in [850.0, 1300.0, 2400.0] {
        for lean in [0.0, 0.02, 0.2, -0.4] {
            let start = Heading::new(&skin, Vec2::ZERO, Point3::new(1.0, 0.0, lean));
            let end = start.ahead(&skin, far);
            assert!(
                (kept(end) - kept(start)).abs() < 2e-6 * far,
                "{far} {lean}: {} {}",
                kept(end),
                kept(start)
            );
            // In steps that nothing hides from.
            let near = (0..(far * 2.0) as usize).fold(start, |h, _| h.ahead(&skin, 0.5));
            let off = (skin.jet(near.uv).p - skin.jet(end.uv).p).length();
            assert!(off < 2e-6 * far, "{far} {lean}: {off}");
        }
        let n = 200_000;
        let end = Heading::new(&skin, Vec2::ZERO, Point3::X).ahead(&skin, far).uv.x;
        let part = |k: usize| skin.jet(Vec2::new(end * (k as f64 + 0.5) / f64::from(n), 0.0)).u.length();
        let sum = (0..n as usize).map(part).sum::<f64>() * end / f64::from(n);
        assert!((sum - far).abs() < 2e-6 * far, "{sum} {far}");
    }
}

#[test]
fn a_grid_has_the_size_asked_for_and_faces_out() {
    let egg = Egg { half_length: 3048.0, radius: 609.6 };
    let centre = Heading::new(&egg, Vec2::new(0.3, 0.0), Point3::X);
    let grid = grid(&egg, centre, 200.0, 300.0, 20, 30);
    assert_eq!((grid.mesh.points().len(), grid.mesh.triangles().len()), (21 * 31, 1200));
    let area = grid.mesh.area();
    assert!((area / 60_000.0 - 1.0).abs() < 2e-3, "{area}");
    for t in 0..1200 {
        let [a, _, _] = grid.mesh.corners(t);
        assert!(0.0 < grid.mesh.cross(t).dot(Point3::new(0.0, a.y, a.z)));
        let [p, q, r] = grid.mesh.triangles()[t as usize].map(|k| grid.flat[k as usize]);
        assert!(0.0 < (q - p).cross(r - p));
    }
    let middle = grid.mesh.point(10 * 31 + 15);
    assert!((middle - egg.jet(centre.uv).p).length() < 1e-9);
    assert!(PI < area);
}
