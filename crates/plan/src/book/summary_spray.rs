//! Paint and day in a few lines of the summary.

use crate::spray::SprayPlan;
use crate::spray::clock::time;
use crate::spray::tasks::Step;

/// What to mix and when each go is shot; nothing if the job asks for neither.
pub(super) fn spray_lines(plan: &SprayPlan) -> Vec<String> {
    let mut lines = Vec::new();
    for need in plan.paints.iter().filter(|n| n.mix_ml > 0.0) {
        lines.push(format!(
            "{}: mix {:.0} ml in {} cup{} ({:.2} m2 sprayed), {:.0} g dry",
            need.id,
            need.mix_ml,
            need.cups.len(),
            if need.cups.len() == 1 { "" } else { "s" },
            need.area_sprayed_m2,
            need.dry_mass_g
        ));
    }
    let Some(day) = &plan.day else { return lines };
    if let Some(first) = day.tasks.iter().find(|t| t.step == Step::Mask) {
        lines.push(format!("  taping from {}", day.clock.words(first.start)));
    }
    // Jobs of many goes are for the chart.
    for (g, go) in day.goes.iter().enumerate().take(4) {
        let at = |step: fn(Step) -> bool| day.tasks.iter().filter(move |t| t.go == g + 1 && step(t.step));
        let mix = at(|s| s == Step::Mix).map(|t| t.start).min();
        let pull = at(|s| s == Step::Pull).map(|t| t.start).min();
        let off = at(|s| s == Step::Unmask).map(|t| t.start).min();
        if let (Some(mix), Some(pull)) = (mix, pull) {
            let off = off.map(|t| format!(", paper off {}", time(t))).unwrap_or_default();
            lines.push(format!(
                "  go {}, {}: mix {}, pull from {}{off}",
                g + 1,
                go.characters,
                day.clock.words(mix),
                time(pull)
            ));
        }
    }
    if day.goes.len() > 4 {
        lines.push(format!("  and {} more goes: see layout/day.svg", day.goes.len() - 4));
    }
    lines
}
