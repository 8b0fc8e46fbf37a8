//! Masks that lie where another paint is shot: two stripes nearer to each other than a mask is wide, a number on a band.
//!
//! Such masks are never on at the same time. The paint that goes first is shot and its mask comes off; when it is dry to tape
//! the mask of the next is laid on it. The day is held to that (`spray::ask`).

use super::colours::{Part, own_paint};
use super::paint_order::PaintOrder;
use super::plan::Mask;
use super::together::{in_paint, pieces_on};
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use std::collections::BTreeSet;

/// Writes into each mask on what it lies, and says of each pair which is masked after the other.
pub(super) fn upon(job: &Job, masks: &mut [Mask], placed: &[Placed], order: &PaintOrder) -> Vec<Finding> {
    // On what each mask lies, and in which paint that is shot.
    let mut met: Vec<(usize, &str, &str)> = Vec::new();
    for (k, mask) in masks.iter_mut().enumerate() {
        let Some(own) = placed.iter().find(|p| p.id == mask.of) else { continue };
        for other in placed.iter().filter(|o| o.surface == mask.surface && !mask.serves(&o.id)) {
            let further = other.further.iter().map(|f| f.paint.as_str());
            // Outline and shadow may be of one paint.
            let paints: BTreeSet<&str> = own_paint(job, other).into_iter().chain(further).collect();
            for paint in paints.into_iter().filter(|p| !p.is_empty() && *p != mask.paint) {
                if !pieces_on(mask, own, other, &in_paint(job, other, paint), |_| true).is_empty() {
                    met.push((k, &other.id, paint));
                }
            }
        }
    }
    for (k, other, _) in &met {
        if !masks[*k].upon.iter().any(|id| id == other) {
            masks[*k].upon.push((*other).to_owned());
        }
    }
    let place = |id: &str| order.ids.iter().position(|p| p == id);
    let mut out: Vec<Finding> = Vec::new();
    for (k, other, paint) in &met {
        let mask = &masks[*k];
        let later = place(&mask.paint) > place(paint);
        // Of two that lie on each other it is said once, of the later.
        let both = |m: &(usize, &str, &str)| {
            masks[m.0].serves(other) && masks[m.0].paint == *paint && mask.serves(m.1) && m.2 == mask.paint
        };
        if !later && met.iter().any(both) {
            continue;
        }
        let of = if mask.part == Part::Letters {
            "its mask".to_owned()
        } else {
            format!("the mask of its {}", mask.part.word())
        };
        let words = if later {
            format!(
                "{of} lies where {other} is painted: it is laid when {paint} is dry to tape and the mask of {other} is off"
            )
        } else {
            format!("{of} lies where {other} is painted: it comes off before the mask of {other} is laid")
        };
        out.push(
            Finding::new(Severity::Note, "mask-after", &mask.of, words)
                .source(Basis::Practice, "common practice, no source")
                .hint("until a mask is laid, paper covers the place where it will be"),
        );
    }
    out
}
