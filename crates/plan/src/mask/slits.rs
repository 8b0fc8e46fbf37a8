//! Narrow places of skin that neither paint, tape nor film covers and no paper is cut for: the tips between tapes at
//! sharp corners and shadows.

use super::paper::open_skin;
use super::plan::MaskPlan;
use super::shelf::SHORT;
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::surface::Skin;
use crate::words::inches;
use geom::{Point, Ring};

/// Least area of such a place, mm2: less is the rounding of strips laid edge to edge. chosen: 1/8 in square.
const LEAST: f64 = 10.0;

/// A caution for each mark beside which such places are left open.
pub fn slits(job: &Job, skins: &[Skin], marks: &[Placed], plan: &MaskPlan) -> Vec<Finding> {
    let mut out = Vec::new();
    if job.masking.is_none() {
        return out;
    }
    for skin in skins.iter().filter(|s| s.unrolls()) {
        let own: Vec<&Placed> = marks.iter().filter(|m| m.surface == skin.id).collect();
        let masks: Vec<_> = plan.masks.iter().filter(|m| m.surface == skin.id).collect();
        if masks.is_empty() {
            continue;
        }
        let (_, narrow) = open_skin(skin, &own, &masks);
        let mut beside: Vec<Vec<Point>> = vec![Vec::new(); own.len()];
        for part in narrow.iter().filter(|p| p.iter().map(Ring::area).sum::<f64>() >= LEAST) {
            let Some((lo, hi)) = part[0].bounds() else { continue };
            let at = lo.midpoint(hi);
            let far = |m: &Placed| {
                let boxes = m.glyphs.iter().map(|g| g.corners[0].midpoint(g.corners[2]).distance(at));
                boxes.fold(f64::INFINITY, f64::min)
            };
            let nearest = (0..own.len()).min_by(|a, b| far(own[*a]).total_cmp(&far(own[*b])));
            if let Some(k) = nearest {
                beside[k].push(at);
            }
        }
        for (mark, places) in own.iter().zip(&beside).filter(|(_, p)| !p.is_empty()) {
            let [s, t] = skin.skin_from_flat(places[0]);
            let count = places.len();
            out.push(
                Finding::new(
                    Severity::Caution,
                    "mask-slit",
                    &mark.id,
                    format!(
                        "{} under {} wide {} open between the pieces, the first near {} and {} on the skin: no piece \
                         closes it",
                        if count == 1 { "1 place".to_owned() } else { format!("{count} places") },
                        inches(SHORT),
                        if count == 1 { "stays" } else { "stay" },
                        inches(s),
                        inches(t),
                    ),
                )
                .source(Basis::Practice, "common practice, no source")
                .hint("look along every tip and sharp corner before the first coat and close it with a scrap of tape, \
                       off the paint"),
            );
        }
    }
    out
}
