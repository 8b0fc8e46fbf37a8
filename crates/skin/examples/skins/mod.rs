//! Skins to measure on: a body, half an egg, a dented and noisy scan.

#![allow(dead_code, reason = "each user takes what it needs")]

use geom::{Point3, Vec2};
use skin::body::{Body, Ring, Station};
use skin::surface::forms::Egg;
use skin::surface::{Grid, Surface, triangles};
use skin::{Mesh, Spot};

const INCH: f64 = 25.4;

/// A fuselage of an invented small aircraft.
pub(crate) fn body() -> Body {
    let ring = |s: f64, half_width: f64, top: f64, bottom: f64, power: f64| Station {
        s,
        ring: Ring::Superellipse { half_width, top, bottom, power },
    };
    let stations = [
        ring(0.0, 406.0, 508.0, -559.0, 2.0),
        ring(1500.0, 430.0, 510.0, -560.0, 2.3),
        ring(3000.0, 250.0, 380.0, -350.0, 2.3),
        ring(4500.0, 120.0, 280.0, -180.0, 2.1),
    ];
    Body::through(&stations, 0.0).expect("stations in order")
}

/// Half of an egg 240 in long and 48 in through, its ends cut, as a grid of about so many triangles.
pub(crate) fn egg_patch(count: usize) -> Grid {
    let egg = Egg { half_length: 120.0 * INCH, radius: 24.0 * INCH };
    let up = (count as f64 / 5.2).sqrt().round() as usize;
    let across = count / 2 / up;
    let mut points = Vec::new();
    let (mut flat, mut places, mut normals) = (Vec::new(), Vec::new(), Vec::new());
    for i in 0..=across {
        for j in 0..=up {
            let x = 0.9 * (2.0 * i as f64 / across as f64 - 1.0);
            let u = x.asin();
            let v = std::f64::consts::PI * (j as f64 / up as f64 - 0.5);
            let jet = egg.jet(Vec2::new(u, v));
            points.push(jet.p);
            places.push(Vec2::new(u, v));
            normals.push(jet.normal());
            flat.push(Vec2::new(egg.half_length * x, egg.radius * v * u.cos().max(0.4)));
        }
    }
    Grid { mesh: Mesh::of_grid(points, triangles(across, up)), flat, places, normals, across, up }
}

/// Even draws from 0 to 1, the same every time.
pub(crate) struct Draws(pub(crate) u64);

impl Draws {
    pub(crate) fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// A quarter of a body of 48 in tapering by 5 degrees, 70 in long, dented by up to 0.15 in, with 0.004 in of noise and
/// corners off their grid by up to a third of a square, its corners and triangles in no order.
pub(crate) fn scan(count: usize) -> Mesh {
    let mut draw = Draws(7);
    let (long, girth) = (70.0 * INCH, 12.0 * std::f64::consts::PI * INCH);
    let up = (count as f64 / 2.0 * girth / long).sqrt().round() as usize;
    let across = count / 2 / up;
    let dents: Vec<[f64; 4]> = (0..40)
        .map(|_| {
            let (x, y) = (draw.even() * long, draw.even() * girth);
            [x, y, (3.0 + 6.0 * draw.even()) * INCH, 0.15 * (2.0 * draw.even() - 1.0) * INCH]
        })
        .collect();
    let n = (across + 1) * (up + 1);
    let mut order: Vec<u32> = (0..n as u32).collect();
    // Scanners number by rows of their own; shuffle within stretches of 64.
    for k in 0..n {
        let far = (k / 64 * 64 + (draw.even() * 64.0) as usize).min(n - 1);
        order.swap(k, far);
    }
    let mut points = vec![Point3::ZERO; n];
    for i in 0..=across {
        for j in 0..=up {
            let inner = 0 < i && i < across && 0 < j && j < up;
            let mut off = || if inner { 0.66 * draw.even() - 0.33 } else { 0.0 };
            let x = long * (i as f64 + off()) / across as f64;
            let y = girth * (j as f64 + off()) / up as f64;
            let mut r = 24.0 * INCH - 5.0_f64.to_radians().tan() * x;
            for [cx, cy, wide, deep] in &dents {
                r += deep * (-((x - cx).powi(2) + (y - cy).powi(2)) / (2.0 * wide * wide)).exp();
            }
            let noise: f64 = (0..12).map(|_| draw.even()).sum::<f64>() - 6.0;
            r += noise * 0.004 * INCH * (long / across as f64 / (0.35 * INCH)).min(1.0);
            let (sin, cos) = (std::f64::consts::FRAC_PI_4 - y / (24.0 * INCH)).sin_cos();
            points[order[i * (up + 1) + j] as usize] = Point3::new(x, r * sin, r * cos);
        }
    }
    let mut all: Vec<[u32; 3]> = triangles(across, up).iter().map(|t| t.map(|k| order[k as usize])).collect();
    for k in (1..all.len()).rev() {
        all.swap(k, k - (draw.even() * 50.0) as usize % (k + 1).min(50));
    }
    Mesh::of_grid(points, all)
}

/// Mean of the corners.
pub(crate) fn middle(mesh: &Mesh) -> Point3 {
    mesh.points().iter().sum::<Point3>() / mesh.points().len() as f64
}

/// The corner whose distance in space from a spot is nearest to `far` mm.
pub(crate) fn corner_at(mesh: &Mesh, from: Spot, far: f64) -> Spot {
    let here = from.point(mesh);
    let off = |side: &u32| (mesh.point(mesh.from(*side)).distance(here) - far).abs();
    let sides = 0..3 * mesh.triangles().len() as u32;
    Spot::at_start_of(sides.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0))
}
