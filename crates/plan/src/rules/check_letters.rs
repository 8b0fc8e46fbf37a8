//! Are the characters as wide, as thick and as far apart as the rule asks? Widths and strokes are shares of
//! the height as it was measured, so a mark of another height is held against its own proportions.

use super::check::Check;
use super::codes;
use super::facts::CharacterFacts;
use super::figure::{Figure, FigureUnit, Limit, caveat};
use super::lettering::Lettering;
use super::reading::{at_least, both};
use crate::finding::{Basis, Finding, Severity};
use geom::tolerance::{RULE_NOISE_DEG, RULE_NOISE_MM};

/// Every finding about proportions, slant and style.
pub(super) fn check_letters(check: Check<'_>) -> Vec<Finding> {
    let lettering = check.pack.lettering();
    let mut findings = check_heights(check);
    findings.extend(check_widths(check, &lettering));
    findings.extend(check_strokes(check));
    findings.extend(check_gaps(check, &lettering));
    findings.extend(check_slant(check));
    findings.extend(check_style(check));
    findings
}

/// One thing that is measured of several characters or gaps.
struct Item {
    /// What it is called: `R`, `R and W`.
    name: String,
    found: f64,
    required: f64,
}

/// Items of one rule, told together where they measure alike: all groups that do not pass or, if every item
/// does, the group that is furthest off.
fn told(items: &[Item], off: fn(&Item) -> f64, judge: impl Fn(&[&str], &Item) -> Finding) -> Vec<Finding> {
    let mut groups: Vec<(&Item, Vec<&str>)> = Vec::new();
    for item in items {
        let alike = |(known, _): &&mut (&Item, Vec<&str>)| {
            (known.found - item.found).abs() <= RULE_NOISE_MM
                && (known.required - item.required).abs() <= RULE_NOISE_MM
        };
        match groups.iter_mut().find(alike) {
            Some((worst, names)) => {
                // The worst of a group decides, so that what is alike to the eye never hides a verdict.
                if off(worst) < off(item) {
                    *worst = item;
                }
                if !names.contains(&item.name.as_str()) {
                    names.push(&item.name);
                }
            }
            None => groups.push((item, vec![&item.name])),
        }
    }
    groups.sort_by(|a, b| off(b.0).total_cmp(&off(a.0)));
    let mut findings: Vec<Finding> = groups.iter().map(|(item, names)| judge(names, item)).collect();
    if findings.iter().any(|finding| finding.severity != Severity::Pass) {
        findings.retain(|finding| finding.severity != Severity::Pass);
        return findings;
    }
    findings.truncate(1);
    findings.into_iter().map(|pass| pass.hint("")).collect()
}

/// `N, 8 and B`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn apart(item: &Item) -> f64 {
    (item.found - item.required).abs()
}

fn short(item: &Item) -> f64 {
    item.required - item.found
}

/// The height of each character against that of the mark: round letters of a font reach over it, and some
/// figures do not reach up to it.
fn check_heights(check: Check<'_>) -> Vec<Finding> {
    let Some(rule) = &check.pack.equal_heights else { return Vec::new() };
    let required = check.mark.height_mm;
    let figure = Figure {
        value: required,
        unit: FigureUnit::Mm,
        limit: Limit::Exact,
        basis: rule.basis,
        cite: rule.cite.clone(),
    };
    let tall = |character: &CharacterFacts| {
        let name = character.character.to_string();
        Some(Item { name, found: character.height_mm?, required })
    };
    let items: Vec<Item> = check.mark.characters.iter().filter_map(tall).collect();
    told(&items, apart, |names, item| {
        let what = format!("height of {} is", listed(names));
        let mut finding = check.length(codes::HEIGHTS_DIFFER, &what, item.found, &figure, item.required);
        finding.message += &format!(": {}", rule.say);
        finding.hint("take letters whose round characters and figures are as tall as the others")
    })
}

/// The widths, told rule by rule.
fn check_widths(check: Check<'_>, lettering: &Lettering) -> Vec<Finding> {
    let height = check.mark.height_mm;
    let mut by_rule: Vec<(&Figure, [f64; 2], &'static str, Vec<Item>)> = Vec::new();
    for character in &check.mark.characters {
        let Some((least, most, figure)) = lettering.width_of(character.character) else { continue };
        if figure.limit == Limit::None {
            continue;
        }
        let code = match character.character {
            '-' => codes::HYPHEN_LENGTH,
            _ if lettering.width_ratio.as_ref() == Some(figure) => codes::WIDTH,
            _ => codes::WIDTH_EXCEPTION,
        };
        // Between the two widths of a permitted range everything is right; outside it the nearer end binds.
        let required = character.width_mm.clamp(least * height, most.max(least) * height);
        let item = Item { name: character.character.to_string(), found: character.width_mm, required };
        match by_rule.iter_mut().find(|(rule, _, known, _)| *rule == figure && *known == code) {
            Some((.., items)) => items.push(item),
            None => by_rule.push((figure, [least, most], code, vec![item])),
        }
    }
    let told_by = |(figure, range, code, items): (&Figure, [f64; 2], &'static str, Vec<Item>)| {
        told(&items, apart, |names, item| width(check, code, figure, range, names, item))
    };
    by_rule.into_iter().flat_map(told_by).collect()
}

/// The width of some characters that are alike.
fn width(
    check: Check<'_>,
    code: &'static str,
    figure: &Figure,
    [least, most]: [f64; 2],
    names: &[&str],
    item: &Item,
) -> Finding {
    let names = listed(names);
    let what = if code == codes::HYPHEN_LENGTH {
        "length of the hyphen is".to_owned()
    } else {
        format!("width of {names} is")
    };
    let hint = format!("make {names} {} wide", both(item.required));
    if figure.limit != Limit::May {
        return check.length(code, &what, item.found, figure, item.required).hint(hint);
    }
    let exact = Figure { limit: Limit::Exact, ..figure.clone() };
    let mut finding = check.length(code, &what, item.found, &exact, item.required).hint(hint);
    finding.bound = Limit::May.bound();
    let height = check.mark.height_mm;
    finding.message +=
        &format!("; anything from {} to {} is permitted", both(least * height), both(most * height));
    finding
}

/// The middle thickness of every character against the rule, and how much it varies within one.
fn check_strokes(check: Check<'_>) -> Vec<Finding> {
    let Some(figure) = check.pack.stroke.as_ref().filter(|figure| figure.limit != Limit::None) else {
        return Vec::new();
    };
    let required = figure.mm().unwrap_or(figure.value * check.mark.height_mm);
    let thick = match figure.limit {
        Limit::Min | Limit::ShouldMin => at_least(required),
        _ => both(required),
    };
    let median = |names: &[&str], item: &Item| {
        let what = format!("stroke of {} is", listed(names));
        let hint = format!("make the strokes {thick} thick");
        check.length(codes::STROKE, &what, item.found, figure, item.required).hint(hint)
    };
    let (mut items, mut places) = (Vec::new(), Vec::new());
    for character in &check.mark.characters {
        let Some(stroke) = character.stroke else { continue };
        let name = character.character.to_string();
        let item = Item { name: name.clone(), found: stroke.median_mm, required };
        if median(&[], &item).severity == Severity::Pass {
            let far = |mm: &f64| (mm - required).abs();
            let both_ends = [stroke.max_mm, stroke.min_mm];
            let furthest = both_ends.into_iter().max_by(|a, b| far(a).total_cmp(&far(b)));
            places.push(Item { name, found: furthest.unwrap_or(required), required });
        }
        items.push(item);
    }
    let mut findings = told(&items, apart, median);
    let varied = told(&places, apart, |names, item| {
        let what = format!("stroke of {} is in places", listed(names));
        let mut finding = check.length(codes::STROKE_VARIES, &what, item.found, figure, item.required);
        // The stroke as a whole keeps the rule, so a place that does not is worth a look and no more.
        finding.severity = finding.severity.min(Severity::Caution);
        finding.hint("measure it again away from joints and curves")
    });
    findings.extend(varied.into_iter().filter(|finding| finding.severity != Severity::Pass));
    findings
}

/// The least gap within a group, and every gap between groups.
fn check_gaps(check: Check<'_>, lettering: &Lettering) -> Vec<Finding> {
    let height = check.mark.height_mm;
    let mut findings = Vec::new();
    let (within, between) = neighbours(check);
    let gap = check.pack.gap.as_ref().filter(|figure| figure.limit != Limit::None);
    let standard = lettering.width_ratio.as_ref().map(|width| width.value * height);
    if let Some(figure) = gap {
        let required = match (figure.unit, standard) {
            (FigureUnit::Width, Some(standard)) => Some(figure.value * standard),
            (FigureUnit::Height, _) => Some(figure.value * height),
            _ => figure.mm(),
        };
        if let Some(required) = required {
            let gaps = gaps(&check.mark.gaps_mm, &within, required);
            findings.extend(one_kind(check, codes::GAP, "gap", &gaps, figure));
            let reading = &check.pack.gap_reading;
            if let Some(finding) = findings.last_mut().filter(|_| !reading.is_empty()) {
                finding.message += &format!("; {reading}");
            }
        }
    }
    if let Some(figure) = &lettering.group_gap_ratio {
        let of = if figure.unit == FigureUnit::Width { usual_width(check) } else { height };
        let gaps = gaps(&check.mark.group_gaps_mm, &between, figure.value * of);
        findings.extend(one_kind(check, codes::GROUP_GAP, "group gap", &gaps, figure));
    }
    findings
}

/// The neighbours of each gap within a group and of each between groups, as they are called.
fn neighbours(check: Check<'_>) -> (Vec<String>, Vec<String>) {
    let characters: Vec<char> = check.mark.text.chars().collect();
    let (mut within, mut between) = (Vec::new(), Vec::new());
    let mut before: Option<char> = None;
    for (index, &c) in characters.iter().enumerate().filter(|&(_, c)| *c != ' ') {
        if let Some(before) = before {
            let group = characters[index - 1] == ' ';
            if group { &mut between } else { &mut within }.push(format!("{before} and {c}"));
        }
        before = Some(c);
    }
    (within, between)
}

fn gaps(found: &[f64], names: &[String], required: f64) -> Vec<Item> {
    let item = |(index, &found): (usize, &f64)| Item {
        name: names.get(index).cloned().unwrap_or_else(|| format!("{} and {}", index + 1, index + 2)),
        found,
        required,
    };
    found.iter().enumerate().map(item).collect()
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

/// Gaps of one kind.
fn one_kind(
    check: Check<'_>,
    code: &'static str,
    name: &str,
    gaps: &[Item],
    figure: &Figure,
) -> Vec<Finding> {
    let one_sided = matches!(figure.limit, Limit::Min | Limit::ShouldMin);
    let mut pairs: Vec<&str> = gaps.iter().map(|gap| gap.name.as_str()).collect();
    pairs.sort_unstable();
    pairs.dedup();
    told(gaps, if one_sided { short } else { apart }, |names, item| {
        let what = if 1 < names.len() && names.len() == pairs.len() {
            format!("{} is", format_args!("every {name}"))
        } else {
            format!("{name} between {} is", names.join(", "))
        };
        let hint = if one_sided {
            format!("open it to {}", at_least(item.required))
        } else {
            format!("make it {}", both(item.required))
        };
        check.length(code, &what, item.found, figure, item.required).hint(hint)
    })
}

/// The slant, if the rule limits it; else a note that it does not, where there is one.
fn check_slant(check: Check<'_>) -> Option<Finding> {
    let slant = check.mark.slant_deg.abs();
    let words = super::reading::trimmed(slant, 3);
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
    let stand =
        if slant <= RULE_NOISE_DEG { "stand upright".to_owned() } else { format!("slant {words} degrees") };
    let asked = if figure.value <= RULE_NOISE_DEG { "upright asked".to_owned() } else { figure.words() };
    let message = format!("the characters {stand}, {asked}{}{}", caveat(figure.basis), check.pack.label());
    let severity = if met { Severity::Pass } else { super::check::broken(figure.limit) };
    let hint = if met {
        String::new()
    } else {
        if figure.value <= RULE_NOISE_DEG {
            "draw them upright".to_owned()
        } else {
            format!("slant at most {} degrees", figure.value)
        }
    };
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
