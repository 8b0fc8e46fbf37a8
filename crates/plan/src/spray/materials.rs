//! What to buy: paint and its parts, tapes, paper, each with how many packs.

use super::figures::Figures;
use super::labour::MaskWork;
use super::quantity::PaintNeed;
use crate::job::{Job, Masking, Tape};
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
pub fn materials(job: &Job, needs: &[PaintNeed], work: &[MaskWork], extra: &Figures) -> Vec<Material> {
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
        list.extend(tapes(masking, work, extra));
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

fn tapes(masking: &Masking, work: &[MaskWork], extra: &Figures) -> Vec<Material> {
    let sum = |of: fn(&MaskWork) -> f64| work.iter().map(of).sum::<f64>();
    let widest = |tapes: &[Tape]| tapes.iter().copied().max_by(|a, b| a.width.total_cmp(&b.width));
    let narrowest = |tapes: &[Tape]| tapes.iter().copied().min_by(|a, b| a.width.total_cmp(&b.width));
    let mut list = Vec::new();
    let mut roll = |what: &str, tape: Option<Tape>, mm: f64| {
        let Some(tape) = tape.filter(|_| mm > 0.0) else { return };
        list.push(Material {
            item: format!("{what} {}", tape_measure(tape.width)),
            need: mm / 1000.0,
            unit: "m",
            packs: (mm / tape.roll).ceil(),
            note: format!("rolls of {:.1} m", tape.roll / 1000.0),
        });
    };
    roll("edge tape", widest(&masking.edge_tapes), sum(|w| w.edge_mm + 25.4 * f64::from(w.pieces)));
    roll("bridge tape", narrowest(&masking.edge_tapes), sum(|w| w.bridge_mm));
    roll("tack strip tape", masking.tack_tape, sum(|w| w.tack_mm));
    roll("layout tape", widest(&masking.layout_tapes), sum(|w| w.layout_mm));
    let paper = sum(|w| w.paper_m2) * super::area::M2;
    if let Some(width) = masking.paper.iter().copied().reduce(f64::max)
        && paper > 0.0
    {
        let length = paper / width;
        let pack = extra.get("pack-paper");
        list.push(Material {
            item: format!("masking paper {}", tape_measure(width)),
            need: length / 1000.0,
            unit: "m",
            packs: (length / pack.value).ceil(),
            note: pack.cite.clone(),
        });
    }
    list
}
