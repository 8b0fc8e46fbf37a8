//! How large a mark must be: the least height a pack asks of a craft at a place.
//!
//! What a missing key would decide is taken at its strictest, and said.

use super::ask::{Ask, Holds, key_names};
use super::codes;
use super::figure::{Figure, FigureUnit, caveat};
use super::pack::{Effect, HeightRow, Pack};
use super::reading::both;
use crate::finding::{Finding, Severity};
use geom::tolerance::RULE_NOISE_MM;

/// Size of the skin where the mark goes, mm, for heights that are a share of it; `None` if not measured.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SkinSize {
    /// Chord.
    pub chord_mm: Option<f64>,
    /// Depth of the body.
    pub depth_mm: Option<f64>,
    /// Width of the body or cabin.
    pub across_mm: Option<f64>,
}

/// The height a pack asks.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// The height, mm, with its bound, basis and clause; `None` if the pack asks none here.
    pub height: Option<Figure>,
    /// For what, in words.
    pub say: String,
    /// The row that lowered it, if one did.
    pub eased_by: Option<String>,
    /// Cautions that name each missing key and what it would decide; `about` is empty.
    pub findings: Vec<Finding>,
}

/// A row that applies or may apply, with its height in mm.
struct Candidate<'p> {
    row: &'p HeightRow,
    mm: f64,
    missing: Vec<&'static str>,
}

impl Pack {
    /// The height asked of a mark. A bound `Limit::Min` is a least height, `Limit::Exact` the height itself.
    pub fn least_height(&self, ask: Ask<'_>, size: SkinSize) -> Least {
        let mut findings = Vec::new();
        let candidates = self.candidates(ask, size, &mut findings);
        let of = |effect| candidates.iter().filter(move |candidate| candidate.row.effect == effect);
        let Some(mut best) = of(Effect::Asks).max_by(|a, b| a.mm.total_cmp(&b.mm)) else {
            return Least { height: None, say: String::new(), eased_by: None, findings };
        };
        let floor = of(Effect::Raises).filter(|c| c.missing.is_empty()).map(|c| c.mm).fold(0.0, f64::max);
        if !best.missing.is_empty() {
            let smallest = of(Effect::Asks).min_by(|a, b| a.mm.total_cmp(&b.mm)).unwrap_or(best);
            if smallest.mm.max(floor) + RULE_NOISE_MM < best.mm.max(floor) {
                findings.push(self.strictest(&best.missing, best.mm.max(floor), smallest));
            }
        }
        let mut eased_by = None;
        let sure = of(Effect::Eases).filter(|c| c.missing.is_empty());
        if let Some(eased) = sure.min_by(|a, b| a.mm.total_cmp(&b.mm)).filter(|c| c.mm < best.mm) {
            best = eased;
            eased_by = Some(eased.row.say.clone());
        }
        let now = best.mm.max(floor);
        for maybe in of(Effect::Eases).filter(|c| !c.missing.is_empty()) {
            if maybe.mm.max(floor) + RULE_NOISE_MM < now {
                findings.push(self.strictest(&maybe.missing, now, maybe));
            }
        }
        for raised in of(Effect::Raises) {
            if best.mm + RULE_NOISE_MM < raised.mm {
                if !raised.missing.is_empty() {
                    findings.push(self.strictest(&raised.missing, raised.mm, best));
                }
                (best, eased_by) = (raised, None);
            }
        }
        Least {
            height: Some(best.row.height.with_mm(best.mm)),
            say: best.row.say.clone(),
            eased_by,
            findings,
        }
    }

    /// The clear margin, mm, to leave to the edges of the surface; 0 if the pack asks none of such a mark.
    pub fn margin(&self, ask: Ask<'_>) -> f64 {
        let rows = self.margins.iter().filter(|row| row.when.holds(ask) != Holds::No);
        rows.filter_map(|row| row.figure.mm()).fold(0.0, f64::max)
    }

    fn candidates(&self, ask: Ask<'_>, size: SkinSize, findings: &mut Vec<Finding>) -> Vec<Candidate<'_>> {
        let mut candidates = Vec::new();
        for row in &self.heights {
            let missing = match row.when.holds(ask) {
                Holds::No => continue,
                Holds::Yes => Vec::new(),
                Holds::Unknown(missing) => missing,
            };
            let mm = size.of(&row.height);
            let cap = row.cap.as_ref().and_then(Figure::mm);
            match (mm, cap) {
                (Some(mm), cap) => {
                    candidates.push(Candidate { row, mm: cap.map_or(mm, |cap| cap.min(mm)), missing });
                }
                (None, Some(cap)) => {
                    let message =
                        format!("{} is not measured, so {} is asked", share_of(&row.height), both(cap));
                    let finding =
                        Finding::new(Severity::Caution, codes::HEIGHT_UNKNOWN, "", message + self.label());
                    findings.push(finding.source(row.height.basis, row.height.cite.clone()));
                    candidates.push(Candidate { row, mm: cap, missing });
                }
                (None, None) => {
                    let message = format!(
                        "{} is not measured: the height asked, {}, is not known",
                        share_of(&row.height),
                        row.height.words()
                    );
                    let finding =
                        Finding::new(Severity::Caution, codes::HEIGHT_UNKNOWN, "", message + self.label());
                    findings.push(finding.source(row.height.basis, row.height.cite.clone()));
                }
            }
        }
        candidates
    }

    /// The caution for keys that are missing: `taken` mm is asked, `other` is what they could lead to.
    fn strictest(&self, missing: &[&'static str], taken: f64, other: &Candidate<'_>) -> Finding {
        let (be, keys) = (if missing.len() == 1 { "is" } else { "are" }, key_names(missing));
        let figure = &other.row.height;
        let message = format!(
            "{keys} {be} not given: taken at its strictest, {} high; it could decide for {}: {}{}{}",
            both(taken),
            both(other.mm),
            other.row.say,
            caveat(figure.basis),
            self.label()
        );
        Finding::new(Severity::Caution, codes::CRAFT_MISSING, "", message)
            .source(figure.basis, figure.cite.clone())
            .hint(format!("give {keys} in the job file"))
    }
}

impl SkinSize {
    /// A height of a pack in mm: a length as it stands, a share of a measured size.
    pub(super) fn of(self, height: &Figure) -> Option<f64> {
        match height.unit {
            FigureUnit::Chord => Some(height.value * self.chord_mm?),
            FigureUnit::Depth => Some(height.value * self.depth_mm?),
            FigureUnit::Across => Some(height.value * self.across_mm?),
            _ => height.mm(),
        }
    }
}

/// Of what a height is a share, in words.
fn share_of(height: &Figure) -> &'static str {
    match height.unit {
        FigureUnit::Chord => "the chord at the mark",
        FigureUnit::Depth => "the depth of the body",
        FigureUnit::Across => "the width of the body",
        _ => "the height",
    }
}
