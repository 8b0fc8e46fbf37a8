//! Is the mark tall enough? And the words beside it: neither too small nor too large.

use super::ask::Holds;
use super::check::Check;
use super::codes;
use super::figure::{Limit, caveat};
use super::pack::Word;
use super::reading::{at_least, at_most, both};
use super::show::conditions;
use crate::finding::{Finding, Severity};
use geom::tolerance::RULE_NOISE_MM;

/// Every finding about the height of a mark. Keys that are missing are named by `check_job`, once a job.
pub(super) fn check_height(check: Check<'_>) -> Vec<Finding> {
    let mark = check.mark;
    let least = check.pack.least_height(check.ask(), mark.skin);
    let mut findings: Vec<Finding> = Vec::new();
    let Some(figure) = &least.height else { return findings };
    let mut finding = check.length(codes::HEIGHT, "height is", mark.height_mm, figure, figure.value);
    finding.message += &format!(": {}", least.say);
    if finding.severity == Severity::Pass {
        findings.push(finding);
        findings.extend(least.eased_by.map(|row| eased(check, &row)));
        return findings;
    }
    let high = if figure.limit == Limit::Min { at_least(figure.value) } else { both(figure.value) };
    let hint = match check.pack.fallback.iter().find(|row| row.when.holds(check.ask()) != Holds::No) {
        None => format!("make it {high} high"),
        Some(fallback) => {
            format!("make it {high} high; {} ({})", fallback.provision.say, fallback.provision.cite)
        }
    };
    for fallback in check.pack.fallback.iter().filter(|row| row.when.holds(check.ask()) == Holds::Yes) {
        let enough = fallback.height.as_ref().and_then(|height| mark.skin.of(height));
        if enough.is_some_and(|enough| enough <= mark.height_mm + RULE_NOISE_MM) {
            finding.severity = Severity::Caution;
            finding.message += "; it is enough only where the full height does not fit";
        }
    }
    findings.push(finding.hint(hint));
    for row in check.pack.grandfather.iter().filter(|row| row.when.holds(check.ask()) != Holds::No) {
        if row.height.mm().is_some_and(|mm| mm <= mark.height_mm + RULE_NOISE_MM) {
            let message = format!("{}{}{}", row.say, caveat(row.height.basis), check.pack.label());
            findings.push(
                Finding::new(Severity::Note, codes::GRANDFATHER, &mark.id, message)
                    .source(row.height.basis, row.height.cite.clone())
                    .hint("this job paints the mark again: plan it at full size"),
            );
        }
    }
    findings
}

/// A smaller height that holds under conditions is worth a look, and so is how well those are known.
fn eased(check: Check<'_>, say: &str) -> Finding {
    let row = check.pack.heights.iter().find(|row| row.say == say);
    let conditions = row.map(|row| conditions(&row.when)).unwrap_or_default();
    let message = format!("the smaller height rests on this: {say}{conditions}{}", check.pack.label());
    let finding = Finding::new(Severity::Note, codes::EASED, &check.mark.id, message);
    match row {
        Some(row) => finding.source(row.height.basis, row.height.cite.clone()),
        None => finding,
    }
}

/// Every finding about a word shown beside the mark.
pub(super) fn check_word(check: Check<'_>, word: &Word) -> Vec<Finding> {
    let height = check.mark.height_mm;
    let bounds = [Some(&word.least), word.most.as_ref()];
    let mut findings = Vec::new();
    for figure in bounds.into_iter().flatten() {
        let Some(required) = figure.mm() else { continue };
        let what = format!("height of the word \"{}\" is", word.text);
        let finding = check.length(codes::WORD, &what, height, figure, required);
        let hint = match (finding.severity, figure.limit) {
            (Severity::Pass, _) => String::new(),
            (_, Limit::Max) => format!("make it {} high or less", at_most(required)),
            _ => format!("make it {} high or more", at_least(required)),
        };
        findings.push(finding.hint(hint));
    }
    let place = check.say(Severity::Note, codes::WORD_PLACE, "its place is yours to check", &word.provision);
    findings.push(place);
    findings
}
