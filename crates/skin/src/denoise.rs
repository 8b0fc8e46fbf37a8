//! A scan smoothed to a stated length, and what that changed.
//!
//! A scanner's noise makes every length on the skin too long by the square of noise over spacing. What is rougher
//! than the length is taken out, what is longer stays: every corner is moved along the way out only, by a step with an
//! equal counter-step after it (after Taubin 1995), so that a ball neither shrinks nor grows.

use crate::Mesh;
use geom::Point3;

/// Most pairs of steps; beyond it the length is far above the scan's spacing and the scan is better saved coarser.
const MOST_PAIRS: usize = 400;

/// Share of the way to the mean of its neighbours that a step goes. chosen.
const STEP: f64 = 0.66;

/// A smoothed scan.
#[derive(Clone, Debug)]
pub struct Smoothed {
    /// The skin after it.
    pub mesh: Mesh,
    /// Greatest move of a corner, mm.
    pub most_mm: f64,
    /// Which corner that was.
    pub most_at: usize,
    /// Root mean square of the moves, mm: about the scanner's noise.
    pub rms_mm: f64,
    /// By what share the area became less: twice the share by which lengths on the scan read too long.
    pub area_less: f64,
    /// Pairs of steps taken.
    pub pairs: usize,
    /// The length it was smoothed to, mm; less than asked for if that took too many steps.
    pub length_mm: f64,
}

/// Takes out what is rougher than `length_mm`: a wave of that length loses half its height. At 0 nothing is.
pub fn smoothed(mesh: &Mesh, length_mm: f64) -> Smoothed {
    if length_mm <= 0.0 {
        let (most_mm, rms_mm, area_less) = (0.0, 0.0, 0.0);
        return Smoothed {
            mesh: mesh.clone(),
            most_mm,
            most_at: 0,
            rms_mm,
            area_less,
            pairs: 0,
            length_mm: 0.0,
        };
    }
    let sides = 3 * mesh.triangles().len() as u32;
    let spacing = (0..sides).map(|s| mesh.length(s).powi(2)).sum::<f64>() / f64::from(sides.max(1));
    // A wave of length L sinks under one mean of neighbours at mean square distance h2 by (pi h)^2 / L^2 of its height.
    let sink = (std::f64::consts::PI.powi(2) * spacing / length_mm.powi(2)).min(1.0);
    // A step and its counter-step leave 1 - (STEP sink)^2 of it, and never more than was there.
    let kept = (1.0 - (STEP * sink).powi(2)).max(geom::tolerance::NOISE_UNIT);
    let wanted = if kept < 1.0 { (0.5_f64.ln() / kept.ln()).ceil().max(1.0) } else { f64::INFINITY };
    let pairs = wanted.min(MOST_PAIRS as f64) as usize;
    let rim = rim(mesh);
    let (start, beside) = neighbours(mesh);
    let mut points = mesh.points().to_vec();
    let ways = mesh.normals();
    for _ in 0..pairs {
        for step in [STEP, -STEP] {
            let mean = |k: usize| {
                let around = &beside[start[k] as usize..start[k + 1] as usize];
                around.iter().map(|n| points[*n as usize]).sum::<Point3>() / around.len() as f64
            };
            let moved = (0..points.len()).map(|k| {
                if rim[k] || start[k] == start[k + 1] {
                    return points[k];
                }
                points[k] + ways[k] * (step * (mean(k) - points[k]).dot(ways[k]))
            });
            points = moved.collect();
        }
    }
    let moves = || points.iter().zip(mesh.points()).map(|(a, b)| a.distance(*b));
    let (most_at, most_mm) =
        moves().enumerate().fold((0, 0.0), |most, here| if most.1 < here.1 { here } else { most });
    let rms_mm = (moves().map(|m| m * m).sum::<f64>() / points.len().max(1) as f64).sqrt();
    let smooth = mesh.moved(points);
    let area_less = 1.0 - smooth.area() / mesh.area();
    let reached = if wanted <= MOST_PAIRS as f64 {
        length_mm
    } else {
        length_mm * (MOST_PAIRS as f64 / wanted).powf(0.25)
    };
    Smoothed { mesh: smooth, most_mm, most_at, rms_mm, area_less, pairs, length_mm: reached }
}

/// Corners on an open rim; they stay, or the rim would creep inwards.
fn rim(mesh: &Mesh) -> Vec<bool> {
    let mut rim = vec![false; mesh.points().len()];
    for side in (0..3 * mesh.triangles().len() as u32).filter(|s| mesh.across(*s).is_none()) {
        rim[mesh.from(side) as usize] = true;
        rim[mesh.to(side) as usize] = true;
    }
    rim
}

/// Corners at the far ends of the sides that start at each corner; whole for all that are on no rim.
fn neighbours(mesh: &Mesh) -> (Vec<u32>, Vec<u32>) {
    let n = mesh.points().len();
    let mut start = vec![0_u32; n + 1];
    mesh.triangles().iter().flatten().for_each(|k| start[*k as usize + 1] += 1);
    for k in 0..n {
        start[k + 1] += start[k];
    }
    let (mut fill, mut beside) = (start.clone(), vec![0_u32; 3 * mesh.triangles().len()]);
    for t in mesh.triangles() {
        for k in 0..3 {
            let at = &mut fill[t[k] as usize];
            beside[*at as usize] = t[(k + 1) % 3];
            *at += 1;
        }
    }
    (start, beside)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::forms::Egg;
    use crate::surface::{Heading, grid};
    use geom::Vec2;

    /// A ball of 8 in at 0.1 in spacing with even noise up and down of `noise` mm.
    fn scanned(noise: f64) -> (Mesh, Mesh) {
        let ball = Egg { half_length: 203.2, radius: 203.2 };
        let all = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 152.4, 152.4, 60, 60);
        let mut seed = 7_u64;
        let mut shaken = all.mesh.points().to_vec();
        for p in &mut shaken {
            // Sum of twelve even draws: near enough to a bell curve of spread 1.
            let mut sum = -6.0;
            for _ in 0..12 {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                sum += (seed >> 11) as f64 / (1_u64 << 53) as f64;
            }
            *p += p.normalize() * (sum * noise);
        }
        (all.mesh.clone(), all.mesh.moved(shaken))
    }

    #[test]
    fn noise_goes_and_the_ball_stays() {
        let (clean, rough) = scanned(0.1016);
        let smooth = smoothed(&rough, 25.4);
        // facts/geometry.md, B1: lengths on the scan read too long by (noise / spacing)^2 = (0.004 / 0.1)^2, so its area by
        // about twice that over two.
        let gain = (0.1016_f64 / 2.54).powi(2);
        assert!((0.6 * gain..3.5 * gain).contains(&smooth.area_less), "{} {gain}", smooth.area_less);
        assert!(
            (smooth.mesh.area() / clean.area() - 1.0).abs() < 0.3 * gain,
            "{}",
            smooth.mesh.area() / clean.area() - 1.0
        );
        assert!((0.08..0.12).contains(&smooth.rms_mm), "{}", smooth.rms_mm);
        let inside = |k: &usize| 8 < k / 61 && k / 61 < 52 && 8 < k % 61 && k % 61 < 52;
        let off: Vec<f64> =
            (0..61 * 61).filter(inside).map(|k| smooth.mesh.point(k as u32).length() - 203.2).collect();
        let mean = off.iter().sum::<f64>() / off.len() as f64;
        assert!(mean.abs() < 0.02, "{mean}");
        let rms = (off.iter().map(|o| o * o).sum::<f64>() / off.len() as f64).sqrt();
        assert!(rms < 0.35 * 0.1016, "{rms}");
        assert!((smooth.length_mm - 25.4).abs() < 1e-9);
    }

    #[test]
    fn a_clean_scan_hardly_moves() {
        let (clean, _) = scanned(0.0);
        let smooth = smoothed(&clean, 25.4);
        assert!(
            smooth.rms_mm < 0.02 && smooth.area_less.abs() < 1e-4,
            "{} {}",
            smooth.rms_mm,
            smooth.area_less
        );
    }
}
