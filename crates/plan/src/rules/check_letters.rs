//! Are the characters as wide, as thick and as far apart as the rule asks? Widths and strokes are shares of
//! the height as it was measured, so a mark of another height is held against its own proportions.

use super::check::Check;
use super::codes;
use super::facts::CharacterFacts;
use super::figure::{Figure, FigureUnit, Limit, caveat};
use super::lettering::Lettering;
use crate::finding::{Basis, Finding, Severity};
use geom::tolerance::RULE_NOISE_DEG;

/// Every finding about proportions, slant and style.
pub(super) fn check_letters(check: Check<'_>) -> Vec<Finding> {
    let lettering = check.pack.lettering(check.ask());
    let mut findings = check_widths(check, &lettering);
    findings.extend(check_strokes(check));
    findings.extend(check_gaps(check, &lettering));
    findings.extend(check_slant(check));
    findings.extend(check_style(check));
    findings
}

/// One finding a rule if all its characters keep it (the one that is furthest off), else one for each
/// different character that does not.
fn check_widths(check: Check<'_>, lettering: &Lettering) -> Vec<Finding> {
    let mut by_rule: Vec<(Vec<Finding>, Vec<f64>)> = Vec::new();
    let mut rules: Vec<Figure> = Vec::new();
    for character in &check.mark.characters {
        let Some((least, most, figure)) = lettering.width_of(character.character) else { continue };
        if figure.limit == Limit::None {
            continue;
        }
        let index = rules.iter().position(|rule| rule == figure).unwrap_or_else(|| {
            rules.push(figure.clone());
            by_rule.push((Vec::new(), Vec::new()));
            rules.len() - 1
        });
        let (finding, off) = width(check, lettering, character, least, most, figure);
        by_rule[index].0.push(finding);
        by_rule[index].1.push(off);
    }
    by_rule.into_iter().flat_map(|(findings, offs)| worst(findings, &offs)).collect()
}

/// The width of one character, and how far it is off, mm.
fn width(
    check: Check<'_>,
    lettering: &Lettering,
    character: &CharacterFacts,
    least: f64,
    most: f64,
    figure: &Figure,
) -> (Finding, f64) {
    let height = check.mark.height_mm;
    let code = match character.character {
        '-' => codes::HYPHEN_LENGTH,
        _ if lettering.width_ratio.as_ref() == Some(figure) => codes::WIDTH,
        _ => codes::WIDTH_EXCEPTION,
    };
    let found = character.width_mm;
    // Between the two widths of a permitted range everything is right; outside it the nearer end binds.
    let required = found.clamp(least * height, most.max(least) * height);
    let what = format!("width of {} is", character.character);
    if figure.limit != Limit::May {
        let finding = check.length(code, &what, found, figure, required);
        return (finding.hint(make(character.character, required)), (found - required).abs());
    }
    let exact = Figure { limit: Limit::Exact, ..figure.clone() };
    let mut finding = check.length(code, &what, found, &exact, required);
    finding.bound = Limit::May.bound();
    finding.message += &format!(
        "; permitted from {} to {} of the height",
        super::tape::trimmed(least, 3),
        super::tape::trimmed(most, 3)
    );
    (finding.hint(make(character.character, required)), (found - required).abs())
}

fn make(character: char, width: f64) -> String {
    format!("make {character} {} wide", super::tape::both(width))
}

/// The findings that are not passed, one a sentence; if all are, the one that is furthest off.
fn worst(findings: Vec<Finding>, offs: &[f64]) -> Vec<Finding> {
    let mut broken: Vec<Finding> = Vec::new();
    for finding in findings.iter().filter(|finding| finding.severity != Severity::Pass) {
        if !broken.iter().any(|known| known.message == finding.message) {
            broken.push(finding.clone());
        }
    }
    if !broken.is_empty() {
        return broken;
    }
    let far = offs.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1)).map_or(0, |(index, _)| index);
    let pass = findings.into_iter().nth(far);
    pass.map(|pass| vec![pass.hint("")]).unwrap_or_default()
}

/// The middle thickness of every character against the rule, and how much it varies within one.
fn check_strokes(check: Check<'_>) -> Vec<Finding> {
    let Some(figure) = check.pack.stroke.as_ref().filter(|figure| figure.limit != Limit::None) else {
        return Vec::new();
    };
    let required = figure.mm().unwrap_or(figure.value * check.mark.height_mm);
    let (mut findings, mut offs, mut varied) = (Vec::new(), Vec::new(), Vec::new());
    for character in &check.mark.characters {
        let Some(stroke) = character.stroke else { continue };
        let what = format!("stroke of {} is", character.character);
        let hint = format!("make the strokes {} thick", super::tape::both(required));
        let finding = check.length(codes::STROKE, &what, stroke.median_mm, figure, required).hint(hint);
        let passed = finding.severity == Severity::Pass;
        findings.push(finding);
        offs.push((stroke.median_mm - required).abs());
        let furthest = if (stroke.max_mm - required).abs() < (stroke.min_mm - required).abs() {
            stroke.min_mm
        } else {
            stroke.max_mm
        };
        let what = format!("stroke of {} is in places", character.character);
        let mut finding = check.length(codes::STROKE_VARIES, &what, furthest, figure, required);
        if passed && finding.severity == Severity::Fail {
            finding.severity = Severity::Caution;
            varied.push(finding.hint("measure it again away from joints and curves"));
        }
    }
    let mut all = worst(findings, &offs);
    for finding in varied {
        if !all.iter().any(|known| known.message == finding.message) {
            all.push(finding);
        }
    }
    all
}

/// The least gap within a group, and every gap between groups.
fn check_gaps(check: Check<'_>, lettering: &Lettering) -> Vec<Finding> {
    let height = check.mark.height_mm;
    let mut findings = Vec::new();
    let gap = check.pack.gap.as_ref().filter(|figure| figure.limit != Limit::None);
    let standard = lettering.width_ratio.as_ref().map(|width| width.value * height);
    if let Some(figure) = gap {
        let required = match (figure.unit, standard) {
            (FigureUnit::Width, Some(standard)) => Some(figure.value * standard),
            (FigureUnit::Height, _) => Some(figure.value * height),
            _ => figure.mm(),
        };
        if let Some(required) = required {
            findings.extend(one_kind(check, codes::GAP, "gap", &check.mark.gaps_mm, figure, required));
            let reading = &check.pack.gap_reading;
            if let Some(finding) = findings.last_mut().filter(|_| !reading.is_empty()) {
                finding.message += &format!("; {reading}");
            }
        }
    }
    if let Some(figure) = &lettering.group_gap_ratio {
        let of = if figure.unit == FigureUnit::Width { usual_width(check) } else { height };
        let required = figure.value * of;
        let gaps = &check.mark.group_gaps_mm;
        findings.extend(one_kind(check, codes::GROUP_GAP, "gap between groups", gaps, figure, required));
    }
    findings
}

/// The width most characters are painted at, for a rule that measures by it and does not fix it: the middle
/// one of all but I and 1, which are narrow in any lettering.
fn usual_width(check: Check<'_>) -> f64 {
    let wide =
        check.mark.characters.iter().filter(|character| !matches!(character.character, 'I' | '1' | '-'));
    let mut widths: Vec<f64> = wide.map(|character| character.width_mm).collect();
    widths.sort_by(f64::total_cmp);
    widths.get(widths.len() / 2).copied().unwrap_or(check.mark.height_mm)
}

/// Gaps of one kind: those that break the rule, or the one that is nearest to breaking it.
fn one_kind(
    check: Check<'_>,
    code: &'static str,
    name: &str,
    gaps: &[f64],
    figure: &Figure,
    required: f64,
) -> Vec<Finding> {
    let one_sided = matches!(figure.limit, Limit::Min | Limit::ShouldMin);
    let (mut findings, mut offs) = (Vec::new(), Vec::new());
    for (index, &gap) in gaps.iter().enumerate() {
        let what = format!("{name} {} is", index + 1);
        let hint = if one_sided {
            format!("open it by {}", super::tape::both(required - gap))
        } else {
            format!("make it {}", super::tape::both(required))
        };
        findings.push(check.length(code, &what, gap, figure, required).hint(hint));
        offs.push(if one_sided { required - gap } else { (required - gap).abs() });
    }
    worst(findings, &offs)
}

/// The slant, if the rule limits it; else a note that it does not, where there is one.
fn check_slant(check: Check<'_>) -> Option<Finding> {
    let slant = check.mark.slant_deg.abs();
    let words = super::tape::trimmed(slant, 3);
    let Some(figure) = &check.pack.slant else {
        if slant <= RULE_NOISE_DEG {
            return None;
        }
        let message = format!(
            "the characters slant {words} degrees; nothing about slant was found in this rule{}",
            check.pack.label()
        );
        let note = Finding::new(Severity::Note, codes::SLANT, &check.mark.id, message);
        return Some(note.source(Basis::Memory, "no clause: silence of the parts that were read"));
    };
    let met = figure.limit.met(slant, figure.value, RULE_NOISE_DEG, RULE_NOISE_DEG);
    let message = format!(
        "the characters slant {words} degrees, {}{}{}",
        figure.words(),
        caveat(figure.basis),
        check.pack.label()
    );
    let severity = if met { Severity::Pass } else { super::check::broken(figure.limit) };
    let hint = if met { String::new() } else { format!("slant at most {} degrees", figure.value) };
    let finding = Finding::new(severity, codes::SLANT, &check.mark.id, message).hint(hint);
    Some(
        finding
            .figures(slant, figure.limit.bound(), figure.value, "deg")
            .source(figure.basis, figure.cite.clone()),
    )
}

/// Outline, shadow and a second colour.
fn check_style(check: Check<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(provision) = &check.pack.ornament {
        findings.push(if check.mark.outlined {
            let message =
                "the mark has an outline or a shadow, and nothing that was read says whether that counts";
            let caution = check.say(Severity::Caution, codes::ORNAMENT, message, provision);
            caution.hint("ask the authority, or leave the outline out")
        } else {
            check.say(Severity::Pass, codes::ORNAMENT, "no outline and no shadow", provision)
        });
    }
    if let Some(provision) = &check.pack.one_colour {
        let (colours, one) = (check.mark.colours, check.mark.colours <= 1);
        let severity = if one { Severity::Pass } else { Severity::Fail };
        let message = format!("the mark is painted in {} colour{}", colours, if one { "" } else { "s" });
        let hint = if one { "" } else { "paint it in one colour" };
        findings.push(check.say(severity, codes::COLOURS, message, provision).hint(hint));
    }
    findings
}
