//! A letter on a scan, however coarse, against the same letter on a body of the same shape.

use super::scanned::{scan, sheet};
use super::*;
use crate::surface::chart::Chart;
use crate::surface::figures::Figures;
use geom::Vec2;
use std::fmt::Write;

/// The ball of 8 in of facts/geometry.md, B2.
const RADIUS: f64 = 203.2;

/// A letter 3 in high.
const LETTER: Vec2 = Vec2::new(50.8, 76.2);

/// A piece of the ball seen from the left, with so many triangles to the letter's height; its rows lean by `lean`.
fn ball(rows: f64, lean: f64) -> String {
    let step = LETTER.y / rows / RADIUS;
    let half = (0.42 / step).ceil() as i32;
    let n = 2 * half + 1;
    let (sin, cos) = lean.sin_cos();
    let mut text = String::new();
    for i in -half..=half {
        for j in -half..=half {
            // A third of a row off, so that no corner is the letter's middle.
            let (i, j) = (f64::from(i) + 0.3, f64::from(j) - 0.2);
            let (u, a) = ((i * cos - j * sin) * step, (i * sin + j * cos) * step);
            let _ = writeln!(
                text,
                "v {} {} {}",
                RADIUS * u.sin(),
                -RADIUS * u.cos() * a.cos(),
                RADIUS * u.cos() * a.sin()
            );
        }
    }
    for i in 0..n - 1 {
        for j in 0..n - 1 {
            let at = |i: i32, j: i32| i * n + j + 1;
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            let _ = writeln!(text, "f {a} {b} {c}\nf {a} {c} {d}");
        }
    }
    text
}

fn on_body() -> Figures {
    let stations: Vec<Station> = (-12..=12)
        .map(|k| {
            let s = RADIUS * (f64::from(k) / 12.0 * 1.35).sin();
            let half = (RADIUS * RADIUS - s * s).sqrt();
            let outline =
                StationOutline::Superellipse { half_width: half, top: half, bottom: -half, power: 2.0 };
            Station { s, outline }
        })
        .collect();
    let body = BodySkin::new(Some(Side::Left), 0.0, &stations).unwrap();
    Chart::on_body(&body, body.flat([0.0, 0.0]), 0.0, LETTER).unwrap().figures
}

#[test]
fn a_letter_on_a_coarse_scan_strains_as_on_the_body_scanned() {
    let body = on_body();
    for rows in [24.0, 12.0, 6.0, 4.0, 3.0] {
        for lean in [0.0, 0.5] {
            let (surface, files) = scan(ball(rows, lean), Vec::new(), Vec::new());
            let (skin, _) = develop(&surface, &files).unwrap();
            let figures = sheet(&skin, [0.0, -RADIUS, 0.0], LETTER).chart().unwrap().figures;
            let near = |a: f64, b: f64, share: f64| {
                assert!((a / b - 1.0).abs() < share, "{rows} {lean}: {figures:?} {body:?}")
            };
            near(figures.max_strain, body.max_strain, 0.02);
            near(figures.p99_strain, body.p99_strain, 0.02);
            near(figures.rms_strain, body.rms_strain, 0.02);
            near(figures.bound, body.bound, 0.01);
            // Of a scan the worst of its triangles and its smooth skin is stated, and strokes on triangles meet the rim's
            // worst more often.
            let stroke = figures.stroke_error / body.stroke_error;
            assert!(0.97 < stroke && stroke < 1.4, "{rows} {lean}: {stroke}");
            // facts/geometry.md, B1: no map strains less than K r^2 / 12 over the disc inside.
            let radius = 1.1 * LETTER.x / 2.0;
            assert!((radius / RADIUS).powi(2) / 12.0 < figures.max_strain);
        }
    }
}
