//! Holds a mark against a rule pack: every check, passed or not, with the figure found, the figure asked
//! for, and the clause. A report is help, not approval.

use super::ask::Ask;
use super::check_letters::check_letters;
use super::check_place::check_place;
use super::check_size::{check_height, check_word};
use super::check_text::check_text;
use super::craft::Craft;
use super::facts::MarkFacts;
use super::figure::{Figure, Limit, Provision, caveat};
use super::legible::check_legible;
use super::pack::Pack;
use super::reading::{both, trimmed};
use crate::finding::{Finding, Severity};
use geom::tolerance::RULE_NOISE_MM;

/// A mark on its way through the checks.
#[derive(Clone, Copy)]
pub(super) struct Check<'a> {
    pub(super) pack: &'a Pack,
    pub(super) craft: &'a Craft,
    pub(super) this_year: Option<i32>,
    pub(super) mark: &'a MarkFacts,
    /// The shop's tolerance on exact figures, mm.
    pub(super) tolerance_mm: f64,
}

/// Every finding about one mark; none if the pack does not bind it (`legal` is false).
///
/// Exact figures are compared within `tolerance_mm`, which is the shop's and not the rule's; least and
/// greatest figures within the rounding of a plan.
pub fn check_mark(
    pack: &Pack,
    craft: &Craft,
    this_year: Option<i32>,
    mark: &MarkFacts,
    tolerance_mm: f64,
) -> Vec<Finding> {
    if !mark.legal {
        return Vec::new();
    }
    let check = Check { pack, craft, this_year, mark, tolerance_mm };
    if let Some(word) = pack.word(&mark.text) {
        return check_word(check, word);
    }
    let mut findings = check_text(check);
    findings.extend(check_height(check));
    findings.extend(check_letters(check));
    findings.extend(check_place(check));
    findings.extend(pack.performance.iter().flat_map(|demand| check_legible(check, demand)));
    findings
}

impl<'a> Check<'a> {
    /// What the pack is asked.
    pub(super) fn ask(self) -> Ask<'a> {
        Ask { craft: self.craft, location: self.mark.location.as_deref(), this_year: self.this_year }
    }

    /// A finding without figures: what is so, what the rule says, and its source.
    pub(super) fn say(
        self,
        severity: Severity,
        code: &'static str,
        message: impl Into<String>,
        provision: &Provision,
    ) -> Finding {
        let message =
            format!("{}: {}{}{}", message.into(), provision.say, caveat(provision.basis), self.pack.label());
        Finding::new(severity, code, &self.mark.id, message).source(provision.basis, provision.cite.clone())
    }

    /// A finding that compares two lengths in mm; `what` is the start of the sentence (`height is`).
    pub(super) fn length(
        self,
        code: &'static str,
        what: &str,
        found: f64,
        figure: &Figure,
        required: f64,
    ) -> Finding {
        let met = figure.limit.met(found, required, self.tolerance_mm, RULE_NOISE_MM);
        let asked = match figure.limit {
            Limit::Min => format!("at least {} asked", both(required)),
            Limit::Max => format!("at most {} asked", both(required)),
            Limit::Exact => format!("{} asked", both(required)),
            Limit::Should => format!("{} wanted, not demanded", both(required)),
            Limit::ShouldMin => format!("at least {} wanted, not demanded", both(required)),
            Limit::May | Limit::None => "nothing asked".to_owned(),
        };
        let mut message = format!("{what} {}, {asked}", both(found));
        if figure.mm().is_none() {
            message += &format!(" ({})", figure.amount());
        }
        if matches!(figure.limit, Limit::Exact | Limit::Should) {
            let side = if met { "within" } else { "beyond" };
            message += &format!("; {side} {}, the shop's tolerance, not the rule's", both(self.tolerance_mm));
        }
        if !met && both(found) == both(required) {
            message += &format!("; off by {} mm", trimmed(found - required, 3));
        }
        message += caveat(figure.basis);
        message += self.pack.label();
        let severity = if met { Severity::Pass } else { broken(figure.limit) };
        Finding::new(severity, code, &self.mark.id, message)
            .figures(found, figure.limit.bound(), required, "mm")
            .source(figure.basis, figure.cite.clone())
    }
}

/// How much it matters that a figure is not kept.
pub(super) fn broken(limit: Limit) -> Severity {
    match limit {
        Limit::Min | Limit::Max | Limit::Exact => Severity::Fail,
        Limit::Should | Limit::ShouldMin => Severity::Caution,
        Limit::May | Limit::None => Severity::Note,
    }
}
