//! Is the text a mark the rule allows? If not: which part of the rule it breaks, and what may stand there.

use super::ask::{Holds, key_names};
use super::check::Check;
use super::codes;
use super::figure::Provision;
use super::grammar::Match;
use super::pack::{Form, Never};
use crate::finding::{Finding, Severity};

/// Every finding about the text of a mark.
pub(super) fn check_text(check: Check<'_>) -> Vec<Finding> {
    let text = check.mark.text.as_str();
    let mut findings: Vec<Finding> =
        check.pack.never.iter().filter_map(|never| broken(check, never, text)).collect();
    let whole: Vec<&Form> = check.pack.forms.iter().filter(|form| form.matches(text)).collect();
    if !whole.is_empty() {
        findings.extend(allowed(check, &whole));
    } else if findings.is_empty() && !check.pack.forms.is_empty() {
        findings.push(no_form(check, text));
    }
    for form in check.pack.reserved.iter().filter(|form| form.matches(text)) {
        findings.push(
            check
                .say(Severity::Caution, codes::RESERVED, format!("\"{text}\" is reserved"), &form.provision)
                .hint("compare with the certificate of registration"),
        );
    }
    findings
}

/// A prohibition that the text breaks.
fn broken(check: Check<'_>, never: &Never, text: &str) -> Option<Finding> {
    let provision = &never.provision;
    if let Some((index, c)) = text.chars().enumerate().find(|&(_, c)| never.characters.contains(c)) {
        let message = format!("\"{text}\": character {} is \"{c}\", which is never used", index + 1);
        let finding = check.say(Severity::Fail, codes::FORBIDDEN_CHARACTER, message, provision);
        return Some(finding.hint("compare with the certificate: it may be a 1 or a 0"));
    }
    if let Some(start) = never.starts.iter().find(|start| text.starts_with(start.as_str())) {
        let message = format!("\"{text}\" starts with \"{start}\"");
        let code = if never.gap { codes::HYPHEN } else { codes::GRAMMAR };
        return Some(check.say(Severity::Fail, code, message, provision));
    }
    let group = text.split(['-', ' ']).find(|group| never.groups.iter().any(|never| never == group))?;
    let message = format!("\"{text}\" contains the group \"{group}\"");
    Some(check.say(Severity::Fail, codes::RESERVED, message, provision))
}

/// The text is of these forms: good if one of them is for this craft.
fn allowed(check: Check<'_>, whole: &[&Form]) -> Vec<Finding> {
    let text = &check.mark.text;
    let pass =
        |form: &Form| check.say(Severity::Pass, codes::GRAMMAR, format!("\"{text}\""), &form.provision);
    if let Some(form) = whole.iter().find(|form| form.when.holds(check.ask()) == Holds::Yes) {
        return vec![pass(form)];
    }
    let maybe = whole.iter().find_map(|form| match form.when.holds(check.ask()) {
        Holds::Unknown(missing) => Some((form, missing)),
        Holds::Yes | Holds::No => None,
    });
    if let Some((form, missing)) = maybe {
        let keys = key_names(&missing);
        let message = format!("\"{text}\" is of a form for some craft only, and {keys} is not given");
        let caution = check.say(Severity::Caution, codes::FORM_CONDITION, message, &form.provision);
        return vec![pass(form), caution.hint(format!("give {keys} in the job file"))];
    }
    let message = format!("\"{text}\" is of a form that is not for this craft");
    vec![check.say(Severity::Fail, codes::FORM_CONDITION, message, &whole[0].provision).hint(forms(check))]
}

/// The text is of no form: where it leaves the form it follows furthest, and what could stand there.
fn no_form(check: Check<'_>, text: &str) -> Finding {
    let compared = check.pack.forms.iter().map(|form| (form, form.pattern.compare(text)));
    let mut furthest = 0;
    let (mut wanted, mut ends): (Vec<String>, bool) = (Vec::new(), false);
    let mut provision: Option<&Provision> = None;
    for (form, matched) in compared {
        let Match::Until { index, expected, may_end } = matched else { continue };
        if provision.is_none() || furthest < index {
            (furthest, wanted, ends, provision) = (index, Vec::new(), false, Some(&form.provision));
        }
        if index == furthest {
            ends |= may_end;
            let new: Vec<String> = expected.into_iter().filter(|word| !wanted.contains(word)).collect();
            wanted.extend(new);
        }
    }
    let found = text.chars().nth(furthest);
    if ends {
        wanted.push("the end of the mark".to_owned());
    }
    let may = match wanted.len() {
        1 => format!("only {} may stand there", wanted[0]),
        _ => format!("one of these may stand there: {}", wanted.join(", ")),
    };
    let message = match found {
        Some(c) if c.is_lowercase() => {
            format!("\"{text}\": character {} is \"{c}\", a small letter; {may}", furthest + 1)
        }
        Some(c) => format!("\"{text}\": character {} is \"{c}\"; {may}", furthest + 1),
        None => format!("\"{text}\" ends after {furthest} characters; {may}"),
    };
    let about_gap = |word: &str| word == "a hyphen" || word == "a space";
    let gap = matches!(found, Some('-' | ' ')) || wanted.iter().any(|word| about_gap(word));
    let code = if gap { codes::HYPHEN } else { codes::GRAMMAR };
    let finding = Finding::new(Severity::Fail, code, &check.mark.id, message + check.pack.label());
    match provision {
        Some(provision) => finding.source(provision.basis, provision.cite.clone()).hint(forms(check)),
        None => finding,
    }
}

/// The forms that are allowed, as a hint.
fn forms(check: Check<'_>) -> String {
    let say: Vec<&str> = check.pack.forms.iter().map(|form| form.provision.say.as_str()).collect();
    format!("allowed: {}", say.join("; or "))
}
