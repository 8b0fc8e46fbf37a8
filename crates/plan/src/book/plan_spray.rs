//! The plan file's part about paint and day: `paint`, `parts`, `conditions`, `day`, `materials`, `labour`, `cautions`.

use super::plan_file::{mm, severity_word, six_digits};
use crate::finding::Severity;
use crate::fit::placed::Placed;
use crate::spray::SprayPlan;
use crate::spray::clock::{Clock, time};
use crate::spray::quantity::PaintNeed;
use crate::spray::tasks::Task;
use serde::{Serialize, Serializer};

/// Each table of it, its keys in the order of the contract.
#[derive(Debug, Default)]
pub(super) struct SprayOut {
    pub(super) paint: Vec<PaintOut>,
    pub(super) parts: Vec<LoadOut>,
    pub(super) conditions: Option<ConditionsOut>,
    pub(super) day: Vec<TaskOut>,
    pub(super) materials: Vec<MaterialOut>,
    pub(super) labour: Option<LabourOut>,
    pub(super) cautions: Vec<CautionOut>,
}

#[derive(Debug, Serialize)]
pub(super) struct PaintOut {
    id: String,
    area_painted_m2: f64,
    area_sprayed_m2: f64,
    dry_film_um: f64,
    volume_ml: f64,
    parts: Vec<PartOut>,
    mix_ml: f64,
    batches: Vec<BatchOut>,
    dry_mass_g: f64,
}

#[derive(Debug, Serialize)]
struct PartOut {
    name: String,
    ml: f64,
}

#[derive(Debug, Serialize)]
struct BatchOut {
    marks: Vec<String>,
    coats: Vec<String>,
    ml: f64,
    mixed_at: String,
    use_by: String,
}

#[derive(Debug, Serialize)]
pub(super) struct LoadOut {
    id: String,
    control: bool,
    dry_mass_g: f64,
    arm_mm: f64,
    moment_g_m: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct ConditionsOut {
    dew_point_c: f64,
    margin_c: f64,
    verdict: &'static str,
}

#[derive(Debug, Serialize)]
pub(super) struct TaskOut {
    id: String,
    task: &'static str,
    about: String,
    part: String,
    go: usize,
    start: String,
    minutes: i64,
    hands: i64,
    not_before: String,
    not_after: String,
    why: String,
}

#[derive(Debug, Serialize)]
pub(super) struct MaterialOut {
    item: String,
    need: f64,
    unit: &'static str,
    packs: f64,
    note: String,
}

#[derive(Debug, Serialize)]
pub(super) struct LabourOut {
    minutes_by_phase: Phases,
    basis: String,
}

/// Phases in the order of the work.
#[derive(Debug)]
struct Phases(Vec<(&'static str, f64)>);

impl Serialize for Phases {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_map(self.0.iter().map(|(phase, minutes)| (phase, minutes.round() as i64)))
    }
}

#[derive(Debug, Serialize)]
pub(super) struct CautionOut {
    id: &'static str,
    text: &'static str,
}

/// The tables of a spray plan.
pub(super) fn spray_out(plan: &SprayPlan, marks: &[Placed]) -> SprayOut {
    SprayOut {
        paint: plan.paints.iter().map(paint).collect(),
        parts: plan
            .parts
            .iter()
            .map(|p| LoadOut {
                id: p.id.clone(),
                control: p.control,
                dry_mass_g: six_digits(p.dry_mass_g),
                arm_mm: mm(p.arm_mm),
                moment_g_m: six_digits(p.moment_g_m),
            })
            .collect(),
        conditions: plan.air.map(|air| ConditionsOut {
            dew_point_c: six_digits(air.dew_point_c),
            margin_c: six_digits(air.margin_c),
            verdict: match air.verdict {
                // A note does not change a verdict.
                Severity::Note => severity_word(Severity::Pass),
                other => severity_word(other),
            },
        }),
        day: plan
            .day
            .as_ref()
            .map_or_else(Vec::new, |d| d.tasks.iter().map(|t| task(t, &d.clock, marks)).collect()),
        materials: plan
            .materials
            .iter()
            .map(|m| MaterialOut {
                item: m.item.clone(),
                need: six_digits(m.need),
                unit: m.unit,
                packs: m.packs,
                note: m.note.clone(),
            })
            .collect(),
        labour: plan
            .labour
            .as_ref()
            .map(|l| LabourOut { minutes_by_phase: Phases(l.phases.clone()), basis: l.basis.clone() }),
        cautions: plan.cautions.iter().map(|c| CautionOut { id: c.id, text: c.text }).collect(),
    }
}

fn paint(need: &PaintNeed) -> PaintOut {
    let at = |t: Option<i64>| t.map(time).unwrap_or_default();
    PaintOut {
        id: need.id.clone(),
        area_painted_m2: six_digits(need.area_painted_m2),
        area_sprayed_m2: six_digits(need.area_sprayed_m2),
        dry_film_um: six_digits(need.dry_film_um),
        volume_ml: six_digits(need.volume_ml),
        parts: need.parts.iter().map(|p| PartOut { name: p.name.clone(), ml: six_digits(p.ml) }).collect(),
        mix_ml: six_digits(need.mix_ml),
        batches: need
            .cups
            .iter()
            .map(|c| BatchOut {
                marks: c.marks.clone(),
                coats: c.coats.clone(),
                ml: six_digits(c.ml),
                mixed_at: at(c.mixed_at),
                use_by: at(c.use_by),
            })
            .collect(),
        dry_mass_g: six_digits(need.dry_mass_g),
    }
}

fn task(t: &Task, clock: &Clock, marks: &[Placed]) -> TaskOut {
    let at = |t: Option<i64>| t.map(|t| clock.text(t)).unwrap_or_default();
    TaskOut {
        id: t.id.clone(),
        task: t.word,
        about: t.mark.map(|m| marks[m].id.clone()).unwrap_or_default(),
        part: t.part.clone(),
        go: t.go,
        start: clock.text(t.start),
        minutes: t.minutes,
        hands: t.hands,
        not_before: at(t.not_before),
        not_after: at(t.not_after),
        why: t.why.clone(),
    }
}
