//! Paper round a mark on a scan: as far as a stated reach, or to the rim of the scan.
//!
//! A scan is a piece of a craft: no plan knows the rest of it, so paper is planned round each mark and stripe by itself, and
//! what lies beyond is said to be bagged by hand. Round a mark the scan is laid flat once more, as far out as that goes with
//! little error of length, and covered there as a panel is; along a stripe in the strip it lies in. Papers of neighbours lap.

use super::paper::{Paper, Round, Sheet, area, closed, left_open, levels};
use super::plan::Mask;
use crate::fit::placed::Placed;
use crate::job::types::Masking;
use crate::surface::Skin;
use geom::Vec2;

/// How far paper is to go round a mark, mm, the farthest first: 24, 18, 12, 9, 6, 4 and 3 in. What flies of a spray gun
/// farther than 24 in is caught by a bag or a sheet; nearer than 3 in tape alone nearly covers. common practice, no source.
const REACHES: [f64; 7] = [609.6, 457.2, 304.8, 228.6, 152.4, 101.6, 76.2];

/// Greatest error of length, share, at which paper is still cut by lengths laid flat; strips are cut so much longer. chosen:
/// 1 1/4 in in a foot, of which folds take up what is too long.
const ERRS: f64 = 0.1;

/// Places along a stripe at which the bend of the skin is looked at. chosen.
const LOOKS: usize = 16;

/// Covers a scan round its marks.
pub(super) fn cover(skin: &Skin, masking: &Masking, (marks, masks): (&[&Placed], &[&Mask]), out: &mut Paper) {
    for mark in marks {
        let Some(charts) = &mark.charts else { continue };
        let found = wide(skin, &charts.sheet, mark);
        let mut round =
            Round { surface: skin.id.clone(), of: mark.id.clone(), reach: None, strain: f64::INFINITY };
        if let Some((sheet, reach, strain)) = found {
            (round.reach, round.strain) = (Some(reach), strain);
            let own: Vec<&Mask> = masks.iter().copied().filter(|m| m.of == mark.id).collect();
            let (bare, _) = left_open(&sheet.outline, &closed(&[mark], &own));
            out.area += area(&bare);
            let on = Sheet { skin: &sheet, masking, angle: mark.angle, back: false, round: Some(&mark.id) };
            let before = out.strips.len();
            on.cover(&bare, &levels(&[mark], &own, mark.angle), &mut out.strips);
            for strip in &mut out.strips[before..] {
                // What laying flat may have taken off.
                strip.length *= 1.0 + strain;
            }
        }
        out.rounds.push(round);
    }
}

/// The piece of the scan round a mark or along a stripe, how far it reaches, mm, and by how much lengths on it err, share.
fn wide(skin: &Skin, sheet: &Skin, mark: &Placed) -> Option<(Skin, f64, f64)> {
    if let Some(strip) = sheet.strip() {
        // Beside the middle a length y off it is out by K y^2 / 2 of itself (fact sheet on geometry, B1).
        let bends = (0..=LOOKS).map(|k| strip.gauss(strip.length() * k as f64 / LOOKS as f64).abs());
        let strain = bends.fold(0.0, f64::max) * strip.reach().powi(2) / 2.0;
        return Some((sheet.clone(), strip.reach() - mark.height / 2.0, strain));
    }
    let chart = sheet.chart()?;
    // So far the mark's own sheet reaches already.
    let beyond = (chart.size() - Vec2::new(mark.length, mark.height)) / 2.0;
    REACHES.into_iter().find_map(|reach| {
        let wider = chart.wider(reach - beyond.x.min(beyond.y))?;
        let strain = wider.figures.max_strain;
        (strain <= ERRS).then(|| (skin.sheet(wider), reach, strain))
    })
}

#[cfg(test)]
mod tests;
