//! Holds all marks of a job together against a rule pack: both sides alike, no place left empty, no second
//! mark that differs, the words beside it, and the keys of the job file that are missing.

use super::ask::{Ask, Holds};
use super::check::{Check, broken};
use super::codes;
use super::craft::Craft;
use super::facts::MarkFacts;
use super::figure::{Limit, Provision, caveat};
use super::pack::{Pack, Set, Word};
use super::reading::both;
use crate::finding::{Basis, Bound, Finding, Severity};
use geom::tolerance::RULE_NOISE_MM;

/// Every finding about the marks as a whole.
///
/// Marks that the pack does not bind count only as a second mark. Left and right are paired by their
/// locations (`fuselage-left` with `fuselage-right`); marks without a location are not paired.
pub fn check_job(
    pack: &Pack,
    craft: &Craft,
    this_year: Option<i32>,
    marks: &[MarkFacts],
    tolerance_mm: f64,
) -> Vec<Finding> {
    let bound: Vec<&MarkFacts> =
        marks.iter().filter(|mark| mark.legal && pack.word(&mark.text).is_none()).collect();
    let ask = Ask { craft, location: None, this_year };
    let mut findings = missing_keys(pack, ask, &bound);
    findings.extend(wanted(pack, ask, &bound));
    findings.extend(alike(pack, craft, this_year, &bound, tolerance_mm));
    findings.extend(second_mark(pack, &bound, marks));
    findings.extend(words(pack, craft, &bound, marks));
    findings.extend(remarks(pack));
    findings
}

/// The keys that are missing, each thing they would decide once.
fn missing_keys(pack: &Pack, ask: Ask<'_>, marks: &[&MarkFacts]) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for mark in marks {
        let ask = Ask { location: mark.location.as_deref(), ..ask };
        for finding in pack.least_height(ask, mark.skin).findings {
            if !findings.iter().any(|known| known.message == finding.message) {
                findings.push(finding);
            }
        }
    }
    findings
}

/// A finding about the whole job.
fn job(pack: &Pack, severity: Severity, code: &'static str, message: &str, provision: &Provision) -> Finding {
    let message = format!("{message}: {}{}{}", provision.say, caveat(provision.basis), pack.label());
    Finding::new(severity, code, "", message).source(provision.basis, provision.cite.clone())
}

/// Places that must carry a mark and do not.
fn wanted(pack: &Pack, ask: Ask<'_>, marks: &[&MarkFacts]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for set in &pack.sets {
        match set.when.holds(ask) {
            Holds::No => {}
            Holds::Yes => findings.push(filled(pack, set, marks, "")),
            Holds::Unknown(keys) => {
                let if_so = format!("{} not given; if this rule applies, ", super::ask::key_names(&keys));
                findings.push(filled(pack, set, marks, &if_so));
            }
        }
    }
    findings
}

fn filled(pack: &Pack, set: &Set, marks: &[&MarkFacts], if_so: &str) -> Finding {
    let carries = |place: &&String| marks.iter().any(|mark| mark.location.as_ref() == Some(*place));
    let missing = |places: &Vec<String>| -> Vec<String> {
        places.iter().filter(|place| !carries(place)).cloned().collect()
    };
    let fewest = set.any_of.iter().map(missing).min_by_key(Vec::len).unwrap_or_default();
    if fewest.is_empty() {
        return job(
            pack,
            Severity::Pass,
            codes::SET,
            "every place that is asked carries a mark",
            &set.provision,
        );
    }
    let message = format!("{if_so}no mark of this job is at {}", fewest.join(" or "));
    let caution = job(pack, Severity::Caution, codes::SET, &message, &set.provision);
    caution.hint("add the mark, give the location of one that is there, or note that it is already painted")
}

/// Left and right alike in height, width, thickness and spacing.
fn alike(
    pack: &Pack,
    craft: &Craft,
    this_year: Option<i32>,
    marks: &[&MarkFacts],
    tolerance_mm: f64,
) -> Vec<Finding> {
    let Some(provision) = &pack.alike else { return Vec::new() };
    let mut findings = Vec::new();
    for left in marks {
        let Some(place) = left.location.as_deref().and_then(|place| place.strip_suffix("-left")) else {
            continue;
        };
        let other = format!("{place}-right");
        for right in marks.iter().filter(|mark| mark.location.as_deref() == Some(other.as_str())) {
            let check = Check { pack, craft, this_year, mark: left, tolerance_mm };
            findings.push(pair(check, right, provision));
        }
    }
    findings
}

/// The greatest difference between two marks, or the fact that their texts differ.
fn pair(check: Check<'_>, right: &MarkFacts, provision: &Provision) -> Finding {
    let left = check.mark;
    if left.text != right.text || left.characters.len() != right.characters.len() {
        let message = format!("\"{}\" and \"{}\" are not the same mark", left.text, right.text);
        return check
            .say(Severity::Fail, codes::ALIKE, message, provision)
            .hint("paint the same mark on both sides");
    }
    let mut pairs = vec![("height".to_owned(), left.height_mm, right.height_mm)];
    for (index, (a, b)) in left.characters.iter().zip(&right.characters).enumerate() {
        let name = format!("{} (character {})", a.character, index + 1);
        pairs.push((format!("width of {name}"), a.width_mm, b.width_mm));
        if let (Some(a), Some(b)) = (a.stroke, b.stroke) {
            pairs.push((format!("stroke of {name}"), a.median_mm, b.median_mm));
        }
    }
    for (index, (&a, &b)) in left.gaps_mm.iter().zip(&right.gaps_mm).enumerate() {
        pairs.push((format!("gap {}", index + 1), a, b));
    }
    let worst = pairs.into_iter().max_by(|a, b| (a.1 - a.2).abs().total_cmp(&(b.1 - b.2).abs()));
    let (what, a, b) = worst.unwrap_or_default();
    let met = Limit::Exact.met(a, b, check.tolerance_mm, RULE_NOISE_MM);
    let message = format!(
        "\"{}\" and \"{}\": {what} is {} on the left and {} on the right; the shop's tolerance is {}, not the rule's",
        left.id,
        right.id,
        both(a),
        both(b),
        both(check.tolerance_mm)
    );
    let severity = if met { Severity::Pass } else { broken(Limit::Exact) };
    let hint = if met { "" } else { "tie the two in `alike` and lay both out with one height and one gap" };
    let finding = check.say(severity, codes::ALIKE, message, provision);
    finding.figures(a, Bound::Exact, b, "mm").hint(hint)
}

/// Two different marks of the pack's forms on one craft, whether or not the pack binds the second.
fn second_mark(pack: &Pack, bound: &[&MarkFacts], marks: &[MarkFacts]) -> Vec<Finding> {
    let (Some(provision), Some(first)) = (&pack.second_mark, bound.first()) else { return Vec::new() };
    let is_mark = |text: &str| pack.forms.iter().any(|form| form.matches(text));
    let differing = marks.iter().filter(|mark| mark.text != first.text && is_mark(&mark.text));
    let mut findings: Vec<Finding> = differing
        .map(|mark| {
            let message = format!("\"{}\" is shown beside \"{}\"", mark.text, first.text);
            let mut finding = job(pack, Severity::Fail, codes::SECOND_MARK, &message, provision);
            finding.about.clone_from(&mark.id);
            finding.hint("paint the same mark everywhere")
        })
        .collect();
    if findings.is_empty() && is_mark(&first.text) {
        findings.push(job(pack, Severity::Pass, codes::SECOND_MARK, "all marks are the same", provision));
    }
    findings
}

/// Words beside the mark: those the special class of the craft asks for, and those that are not for it.
fn words(pack: &Pack, craft: &Craft, bound: &[&MarkFacts], marks: &[MarkFacts]) -> Vec<Finding> {
    let shown = |word: &Word| marks.iter().find(|mark| pack.word(&mark.text) == Some(word));
    // A mark with the letter of its category says what the word would say.
    let lettered = bound.iter().find_map(|mark| {
        let form = pack.forms.iter().find(|form| form.category_letter && form.matches(&mark.text))?;
        Some((mark, form))
    });
    let mut findings = Vec::new();
    for word in &pack.words {
        let asked = craft.special.map(|special| word.specials.contains(&special));
        match (asked, shown(word)) {
            (Some(true), Some(mark)) => {
                let unseen = if mark.legal { "" } else { "; its height was not checked (`legal = false`)" };
                let message = format!("mark {} reads \"{}\"{unseen}", mark.id, word.text);
                findings.push(job(pack, Severity::Pass, codes::WORD_SHOWN, &message, &word.provision));
            }
            (Some(true), None) if lettered.is_none() => {
                let message = format!("no mark of this job reads \"{}\"", word.text);
                findings.push(
                    job(pack, Severity::Caution, codes::WORD_MISSING, &message, &word.provision)
                        .hint("add it as a mark, or note that it is already painted"),
                );
            }
            (Some(true), None) => {
                if let Some((mark, form)) = lettered {
                    let message = format!("\"{}\" needs no word beside it", mark.text);
                    findings.push(job(pack, Severity::Pass, codes::WORD_SHOWN, &message, &form.provision));
                }
            }
            (Some(false), Some(mark)) if !word.specials.is_empty() => {
                let message =
                    format!("mark {} reads \"{}\", which is for craft of another class", mark.id, word.text);
                findings.push(
                    job(pack, Severity::Caution, codes::WORD_SHOWN, &message, &word.provision)
                        .hint("compare [craft] special with the airworthiness certificate"),
                );
            }
            _ => {}
        }
    }
    let sample = pack.words.iter().find(|word| !word.specials.is_empty());
    if let (None, Some(word), false) = (craft.special, sample, bound.is_empty())
        && lettered.is_none()
        && !pack.words.iter().any(|word| shown(word).is_some())
    {
        let message = "[craft] special is not given: it decides whether a word must stand beside the mark";
        findings.push(
            job(pack, Severity::Caution, codes::CRAFT_MISSING, message, &word.provision)
                .hint("give [craft] special in the job file, \"none\" if it has no special class"),
        );
    }
    findings
}

/// What no figure of the mark can show.
fn remarks(pack: &Pack) -> Vec<Finding> {
    let mut findings = Vec::new();
    for row in &pack.performance {
        let message =
            format!("{}: {}{}{}", row.say, row.figure.amount(), caveat(row.figure.basis), pack.label());
        findings.push(
            Finding::new(Severity::Note, codes::PERFORMANCE, "", message)
                .source(row.figure.basis, row.figure.cite.clone())
                .hint("step back that far and read it"),
        );
    }
    if !pack.unread.is_empty() {
        let message = format!(
            "not read; what rests on them is second hand or not checked: {}{}",
            pack.unread.join("; "),
            pack.label()
        );
        findings.push(
            Finding::new(Severity::Note, codes::UNREAD, "", message)
                .source(Basis::None, format!("{}: {}", pack.id, pack.edition))
                .hint("read these parts in the rule itself, or ask the authority"),
        );
    }
    for notice in &pack.notices {
        let message = format!("{}{}{}", notice.say, caveat(notice.basis), pack.label());
        findings.push(
            Finding::new(Severity::Note, codes::NOTICE, "", message)
                .source(notice.basis, notice.cite.clone()),
        );
    }
    findings
}
