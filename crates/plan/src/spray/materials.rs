//! What to buy: paint and its parts, tapes, paper, each with how many packs.

use super::figures::Figures;
use super::quantity::PaintNeed;
use crate::job::{Job, Masking};
use crate::mask::MaskPlan;
use crate::mask::film_rolls::film_rolls;
use crate::mask::rolls::{Packed, packed, tape_rolls};
use geom::tolerance::NOISE_MM;
use sheet::units::tape_measure;

/// Something to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// What.
    pub item: String,
    /// How much.
    pub need: f64,
    /// In which unit.
    pub unit: &'static str,
    /// How many packs.
    pub packs: f64,
    /// What a pack is, and where the figure comes from.
    pub note: String,
}

/// Everything to buy.
pub fn materials(job: &Job, needs: &[PaintNeed], plan: &MaskPlan, extra: &Figures) -> Vec<Material> {
    let mut list = Vec::new();
    for need in needs.iter().filter(|n| n.mix_ml > 0.0) {
        let paint = &job.paints[need.paint];
        let parts = super::mix::split(need.mix_ml, &paint.parts);
        if parts.is_empty() {
            list.push(poured(need.id.clone(), need.mix_ml, "pack-paint", extra));
        }
        for (k, part) in parts.iter().enumerate() {
            let pack = if k == 0 { "pack-paint" } else { "pack-part" };
            list.push(poured(format!("{} {}", need.id, part.name), part.ml, pack, extra));
        }
    }
    if let Some(masking) = &job.masking {
        list.extend(tapes(masking, plan));
        list.extend(films(plan));
        list.extend(papers(plan, extra));
    }
    list
}

fn poured(item: String, ml: f64, pack: &str, extra: &Figures) -> Material {
    let pack = extra.get(pack);
    Material {
        item,
        need: ml,
        unit: "ml",
        packs: (ml / pack.value).ceil(),
        note: format!("packs of {:.0} ml; {}", pack.value, pack.cite),
    }
}

fn bound(packed: Packed) -> String {
    if packed.bound == packed.rolls {
        "fewer cannot do".to_owned()
    } else {
        format!("fewer than {} cannot do", packed.bound)
    }
}

/// What comes by the roll: how much, in how many rolls so long, and why not in fewer. `cut` says how it is cut off.
fn by_the_roll(item: String, need: f64, long: f64, cut: &str, packed: Packed) -> Material {
    Material {
        item,
        need: need / 1000.0,
        unit: "m",
        packs: packed.rolls as f64,
        note: format!("rolls of {:.1} m; {cut}; {}", long / 1000.0, bound(packed)),
    }
}

/// Film and application tape by the roll.
fn films(plan: &MaskPlan) -> Vec<Material> {
    film_rolls(plan)
        .into_iter()
        .map(|r| {
            let sort = if r.what == "mask film" { "panels" } else { "runs" };
            let cut = format!("{} {sort}, each with 1/2 in over at both ends", r.pieces);
            let item = format!("{} {}", r.what, tape_measure(r.roll.width));
            by_the_roll(item, r.need, r.roll.length, &cut, r.rolls)
        })
        .collect()
}

/// Tapes by the roll, as the masks cut them up.
fn tapes(masking: &Masking, plan: &MaskPlan) -> Vec<Material> {
    tape_rolls(masking, plan)
        .into_iter()
        .map(|r| {
            let cut = format!("{} pieces, each cut 1 in over and up to the next 1/4 in", r.pieces);
            let item = format!("{} {}", r.what, tape_measure(r.tape.width));
            by_the_roll(item, r.need, r.tape.roll, &cut, r.rolls)
        })
        .collect()
}

/// Paper by the roll.
fn papers(plan: &MaskPlan, extra: &Figures) -> Vec<Material> {
    let Some(paper) = &plan.paper else { return vec![] };
    let pack = extra.get("pack-paper");
    let mut widths: Vec<f64> = paper.strips.iter().map(|s| s.width).collect();
    widths.sort_by(f64::total_cmp);
    widths.dedup_by(|a, b| (*a - *b).abs() <= NOISE_MM);
    widths
        .into_iter()
        .map(|width| {
            let own = paper.strips.iter().filter(|s| (s.width - width).abs() <= NOISE_MM);
            let lengths: Vec<f64> = own.map(|s| s.length).collect();
            Material {
                item: format!("masking paper {}", tape_measure(width)),
                need: lengths.iter().sum::<f64>() / 1000.0,
                unit: "m",
                packs: packed(&lengths, pack.value).rolls as f64,
                note: format!("{} strips; {}", lengths.len(), pack.cite),
            }
        })
        .collect()
}
