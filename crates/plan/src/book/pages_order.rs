//! In which order a mark is set out on the skin: what the wing sheet's tables are for, step by step, for somebody
//! who has nothing but the printed book. Common practice, no source; the figures stand in the tables.

use crate::Plan;
use crate::fit::placed::Placed;
use crate::surface::{Skin, SkinShape};
use sheet::units::tape_measure;

/// The steps, each a sentence or two.
pub(super) fn setting_out(plan: &Plan, skin: &Skin, marks: &[&Placed]) -> Vec<String> {
    if marks.is_empty() {
        return vec![];
    }
    let zero = match &skin.shape {
        SkinShape::Scan(scan) => return steps(plan, marks, super::swings::found(plan, scan, marks)),
        SkinShape::Body(_) | SkinShape::Chart(_) | SkinShape::Strip(_) => {
            "Mark station 0 and strike the waterline. Every station and every girth is read from these two."
        }
        SkinShape::Wing(_) => {
            "Mark zero. Read every figure from it with one steel tape on the skin, never from the letter before."
        }
        SkinShape::Flat => {
            "Mark zero. Read every figure from it with one steel tape, never from the letter before."
        }
    };
    steps(plan, marks, vec![zero.to_owned()])
}

fn steps(plan: &Plan, marks: &[&Placed], mut first: Vec<String>) -> Vec<String> {
    let within = tape_measure(plan.job.survey_error);
    let patterns = match marks {
        [mark] => format!("patterns/{0}.pdf and patterns/{0}-sticks.pdf", mark.id),
        _ => "the patterns and story sticks of these marks (folder patterns)".to_owned(),
    };
    first.extend([
        "Mark baseline and caps at the first and at the last letter; strike a line through each pair.".to_owned(),
        "Mark both sides of every letter on both lines; join the pairs.".to_owned(),
        format!("Take the checks and write them down. Out by more than {within}: look for it now, nothing is laid yet."),
        format!("Print {patterns} at 100 %; hold a rule to the square on each sheet; lay them to the lines."),
        "Hold a finger on every feature in the list: is it where the picture shows it? Then lay tape by the tape cards."
            .to_owned(),
    ]);
    first
}
