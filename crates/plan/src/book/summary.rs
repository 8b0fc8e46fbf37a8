//! The plan in words for the terminal: a short summary after planning, every finding on `check`.

use super::plan_file::{severity_word, verdict};
use crate::Plan;
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::{Certain, Placed};
use crate::mask::reach::stands;
use crate::words::{inches, length};
use std::fmt::Write;

/// Most lines a summary takes.
const LINES: usize = 40;

/// What was planned, in at most 40 lines. `folder` is where the files went.
pub fn summary(plan: &Plan, folder: &str) -> String {
    let mut head: Vec<String> = vec![plan.job.title.clone()];
    let most_marks = 6;
    for mark in plan.marks.iter().take(most_marks) {
        head.extend(mark_lines(mark, plan));
    }
    if plan.marks.len() > most_marks {
        head.push(format!("  and {} more marks", plan.marks.len() - most_marks));
    }
    for stripe in plan.stripes.iter().take(most_marks) {
        head.push(format!(
            "stripe {} on {}: {} wide, {} long",
            stripe.id,
            stripe.surface,
            inches(stripe.width),
            length(stripe.length)
        ));
    }
    if plan.stripes.len() > most_marks {
        head.push(format!("  and {} more stripes", plan.stripes.len() - most_marks));
    }
    head.extend(super::summary_spray::spray_lines(&plan.spray));
    let mut tail = vec![format!("verdict {}: {}", verdict(&plan.findings), counts(&plan.findings))];
    tail.push(format!(
        "written to {folder}: plan.json, book.pdf, {}layout/ and patterns/",
        if plan.spray.day.is_some() { "day.ics, " } else { "" }
    ));
    tail.push(
        "A rule report is help, not approval; the newest edition and who must sign are your duty.".to_owned(),
    );

    let room = LINES.saturating_sub(head.len() + tail.len());
    let mut middle: Vec<String> = Vec::new();
    let mut told = 0;
    let worst: Vec<&Finding> =
        worst_first(&plan.findings).filter(|f| f.severity >= Severity::Caution).collect();
    for f in &worst {
        let lines = finding_lines(f);
        if middle.len() + lines.len() >= room {
            break;
        }
        middle.extend(lines);
        told += 1;
    }
    if told < worst.len() {
        middle.push(format!("  and {} more: maskwright check tells all", worst.len() - told));
    }
    head.into_iter().chain(middle).chain(tail).fold(String::new(), |mut text, line| {
        text.push_str(&line);
        text.push('\n');
        text
    })
}

/// Every finding in words, the worst first.
pub fn report(plan: &Plan) -> String {
    let mut text = format!("{}\n", plan.job.title);
    for f in worst_first(&plan.findings) {
        for line in finding_lines(f) {
            text.push_str(&line);
            text.push('\n');
        }
        if let Some(source) = source_words(f) {
            // Writing to a String cannot fail.
            let _ = writeln!(text, "            {source}");
        }
    }
    let _ = writeln!(text, "verdict {}: {}", verdict(&plan.findings), counts(&plan.findings));
    text.push_str("A rule report is help, not approval.\n");
    text
}

fn worst_first(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    [Severity::Fail, Severity::Caution, Severity::Note, Severity::Pass]
        .into_iter()
        .flat_map(move |s| findings.iter().filter(move |f| f.severity == s))
}

fn counts(findings: &[Finding]) -> String {
    let of = |s| findings.iter().filter(|f| f.severity == s).count();
    format!(
        "{} fail, {} caution, {} note, {} passed",
        of(Severity::Fail),
        of(Severity::Caution),
        of(Severity::Note),
        of(Severity::Pass)
    )
}

fn mark_lines(mark: &Placed, plan: &Plan) -> Vec<String> {
    let mut lines = vec![format!(
        "{} {} on {}: {} high, {} long, stroke {}, gap {}",
        mark.id,
        mark.words(),
        mark.surface,
        inches(mark.height),
        length(mark.length),
        inches(mark.stroke),
        inches(mark.gap)
    )];
    if let Some(skin) = mark.skin(&plan.skins) {
        let [s, t] = skin.skin_from_flat(mark.centre);
        let clear = match (mark.fit.clearance, mark.fit.certain) {
            (None, _) => "no feature in the way".to_owned(),
            (Some(c), Certain::Sure) => format!("{} to spare, sure", length(c)),
            (Some(c), Certain::ReMeasure) => format!("{} to spare: measure again", length(c)),
            (Some(c), Certain::No) => format!("{} short", length(-c)),
        };
        match skin.chart().filter(|c| c.is_scan()).map(|c| c.origin()) {
            Some(p) => {
                let on_scan = format!("x {:.1}, y {:.1}, z {:.1} mm of the scan", p.x, p.y, p.z);
                lines.push(format!("  centre at {on_scan}"));
            }
            None => lines.push(format!("  centre at {} and {}; {clear}", length(s), length(t))),
        }
    }
    lines.extend(mask_line(mark, plan));
    lines
}

/// How much the mark's masks take, and from how many places they are laid; nothing where it is not masked.
fn mask_line(mark: &Placed, plan: &Plan) -> Option<String> {
    let masks: Vec<_> = plan.masking.masks.iter().filter(|m| m.serves(&mark.id)).collect();
    masks.first()?;
    let panels: usize = masks.iter().filter_map(|m| m.film.as_ref()).map(|f| f.panels.len()).sum();
    let pieces: usize = masks.iter().map(|m| m.pieces.len()).sum();
    let with = match panels {
        0 => format!("{pieces} pieces of tape"),
        1 => format!("film in 1 panel, {pieces} pieces with its tack strip"),
        n => format!("film in {n} panels, {pieces} pieces with the tack strip"),
    };
    let stands = match stands(mark).len() {
        0 | 1 => "one place to stand".to_owned(),
        n => format!("{n} places to stand, an arm's reach each"),
    };
    Some(format!("  mask: {with}; {stands}"))
}

fn finding_lines(f: &Finding) -> Vec<String> {
    let about = if f.about.is_empty() { String::new() } else { format!("{}: ", f.about) };
    let mut lines = vec![format!("  {:8}{about}{}", severity_word(f.severity), f.message)];
    if !f.hint.is_empty() && f.severity >= Severity::Caution {
        lines.push(format!("            hint: {}", f.hint));
    }
    lines
}

fn source_words(f: &Finding) -> Option<String> {
    // How well a figure of a rule is known stands in the message; here only where the message has no room.
    let basis = match f.basis {
        Basis::Read => "; read in the source",
        Basis::Shop => "; the shop's own setting",
        Basis::Quoted | Basis::Memory | Basis::Practice | Basis::None => "",
    };
    (!f.cite.is_empty()).then(|| format!("[{}{basis}]", f.cite))
}
