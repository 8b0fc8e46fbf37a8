//! Paint on parts that move or come off: its dry mass, and its moment about the hinge.

use super::area::{M2, painted_inside};
use super::coverage::dry_grams;
use super::shots::Shot;
use crate::finding::{Basis, Finding, Severity};
use crate::job::Job;
use crate::surface::{FlatPart, Skin};
use geom::Point;

/// A part with paint on it. The same part on two faces of one panel is one.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLoad {
    /// Its id.
    pub id: String,
    /// The panel or surface it belongs to.
    pub on: String,
    /// A control surface.
    pub control: bool,
    /// Balanced.
    pub balanced: bool,
    /// Dry mass of the paint, g.
    pub dry_mass_g: f64,
    /// Distance of its centre of mass from the hinge line, mm; 0 without a hinge.
    pub arm_mm: f64,
    /// Mass times arm, g m.
    pub moment_g_m: f64,
}

/// Every part that gets paint of a known density.
pub fn loads(job: &Job, skins: &[Skin], shots: &[Shot]) -> Vec<PartLoad> {
    let mut loads: Vec<PartLoad> = Vec::new();
    for (k, skin) in skins.iter().enumerate() {
        let surface = job.surfaces.iter().find(|s| s.id == skin.id);
        let panel = surface.and_then(|s| s.panel.clone()).unwrap_or_else(|| skin.id.clone());
        for part in &skin.parts {
            for (p, paint) in job.paints.iter().enumerate() {
                let own: Vec<&Shot> = shots.iter().filter(|s| s.skin == k && s.paint == p).collect();
                let (Some(density), Some((area, centre))) =
                    (paint.dry_density, painted_inside(&own, &part.outline))
                else {
                    continue;
                };
                let film: f64 = paint.coats.iter().map(|c| f64::from(c.count) * c.film_um).sum();
                let mass = dry_grams(area / M2, film, density);
                let moment = mass * arm(part, centre) / 1000.0;
                match loads.iter_mut().find(|l| l.id == part.id && l.on == panel) {
                    Some(load) => {
                        load.dry_mass_g += mass;
                        load.moment_g_m += moment;
                    }
                    None => loads.push(PartLoad {
                        id: part.id.clone(),
                        on: panel.clone(),
                        control: part.control,
                        balanced: part.balanced,
                        dry_mass_g: mass,
                        arm_mm: 0.0,
                        moment_g_m: moment,
                    }),
                }
            }
        }
    }
    loads.retain(|l| l.dry_mass_g > 0.0);
    for load in &mut loads {
        load.arm_mm = load.moment_g_m / load.dry_mass_g * 1000.0;
    }
    let ids: Vec<String> = loads.iter().map(|l| l.id.clone()).collect();
    for load in &mut loads {
        if ids.iter().filter(|id| **id == load.id).count() > 1 {
            load.id = format!("{}-{}", load.on, load.id);
        }
    }
    loads
}

/// Distance from the hinge line, positive on the part's own side of it, mm; 0 without a hinge.
fn arm(part: &FlatPart, at: Point) -> f64 {
    let (Some(a), Some(b)) = (part.hinge.first(), part.hinge.last()) else { return 0.0 };
    let along = *b - *a;
    if along.hypot2() <= 0.0 {
        return 0.0;
    }
    let off = |p: Point| along.cross(p - *a) / along.hypot();
    let (lo, hi) = part.outline.bounds().unwrap_or_default();
    off(at) * off(lo.midpoint(hi)).signum()
}

/// What to say about them.
pub fn findings(loads: &[PartLoad]) -> Vec<Finding> {
    loads
        .iter()
        .filter(|l| l.control)
        .map(|l| {
            let balanced = if l.balanced { "balanced " } else { "" };
            let arm = if l.arm_mm.abs() > 0.0 {
                format!(
                    ", {:.0} mm from the hinge: {:.2} g m ({:.3} in lb)",
                    l.arm_mm,
                    l.moment_g_m,
                    l.moment_g_m / IN_LB_G_M
                )
            } else {
                " (no hinge is given, so no moment)".to_owned()
            };
            Finding::new(
                if l.balanced { Severity::Caution } else { Severity::Note },
                "balance",
                &l.id,
                format!("{balanced}control surface {} gains {:.1} g of dry paint{arm}", l.id, l.dry_mass_g),
            )
            .source(
                Basis::Read,
                "AC 43.13-1B para 4-36: weight distribution unchanged; balance only by the maker's instructions",
            )
            .hint("the maker's manual decides whether it is balanced again; have it signed for by who may")
        })
        .collect()
}

/// Gram metres in an inch pound: 453.59237 g times 0.0254 m.
const IN_LB_G_M: f64 = 453.592_37 * 0.025_4;
