//! The day as a calendar file, with alarms: for a phone that lies outside the spray area.
//!
//! RFC 5545. Times are floating: the clock of whoever looks, which is the shop's. Nothing in it comes from the
//! computer's clock, so that the same plan gives the same bytes.

use crate::fit::placed::Placed;
use crate::spray::Day;
use crate::spray::tasks::{Step, Task};

/// Longest line, bytes, before it is folded (RFC 5545, 3.1).
const FOLD: usize = 75;
/// Minutes before a task at which its alarm sounds; before a window closes, if there is time left then.
const NOTICE: i64 = 5;
const CLOSING: i64 = 30;

/// The calendar file of a day; `names` says what each mark is called.
pub fn calendar(title: &str, day: &Day, marks: &[Placed], names: &[String]) -> String {
    let mut out = String::new();
    let mut line = |text: String| fold(&text, &mut out);
    line("BEGIN:VCALENDAR".into());
    line("VERSION:2.0".into());
    line("PRODID:-//Maskwright//Day//EN".into());
    line("CALSCALE:GREGORIAN".into());
    line("METHOD:PUBLISH".into());
    line(format!("X-WR-CALNAME:{}", escaped(title)));
    let stamp = day.clock.calendar(0);
    for task in &day.tasks {
        let mark = task.mark.map(|m| (marks[m].text.as_str(), names[m].as_str()));
        let name = summary(task, mark);
        line("BEGIN:VEVENT".into());
        line(format!("UID:{}-{}-{:016x}@maskwright.invalid", task.id, &stamp[..8], title_number(title)));
        line(format!("DTSTAMP:{stamp}Z"));
        line(format!("DTSTART:{}", day.clock.calendar(task.start)));
        line(format!("DTEND:{}", day.clock.calendar(task.end())));
        line(format!("SUMMARY:{}", escaped(&name)));
        line(format!("DESCRIPTION:{}", escaped(&description(task, day))));
        if task.hands == 0 {
            line("TRANSP:TRANSPARENT".into());
        }
        for before in alarms(task) {
            let (sign, minutes) = if before >= 0 { ("-", before) } else { ("", -before) };
            line("BEGIN:VALARM".into());
            line("ACTION:DISPLAY".into());
            line(format!("TRIGGER:{sign}PT{minutes}M"));
            let closes = if before < 0 { " (the window closes soon)" } else { "" };
            line(format!("DESCRIPTION:{}", escaped(&format!("{name}{closes}"))));
            line("END:VALARM".into());
        }
        line("END:VEVENT".into());
    }
    line("END:VCALENDAR".into());
    out
}

/// Minutes before the start at which an alarm sounds; negative after it.
fn alarms(task: &Task) -> Vec<i64> {
    let mut list = match task.step {
        // One follows on the other without a break.
        Step::Swab | Step::Wait => vec![],
        Step::Coat(_) | Step::Pull => vec![0],
        _ => vec![NOTICE],
    };
    if let (Step::Unmask, Some(by)) = (task.step, task.not_after)
        && by - CLOSING > task.start
    {
        list.push(task.start - (by - CLOSING));
    }
    list
}

/// `mark` is what the mark says and what it is called.
fn summary(task: &Task, mark: Option<(&str, &str)>) -> String {
    let what = match task.step {
        Step::Mask => "tape",
        Step::Edge if task.why.starts_with("film") => "film",
        Step::Edge => "edge tape",
        Step::Scuff => "scuff",
        Step::Cover => "cover",
        Step::Wipe => "wipe and look",
        Step::Mix => "mix",
        Step::Coat(_) => match task.word {
            "wet-coat" => "wet coat",
            "tack-up" => "tack coat",
            _ => "fog coat",
        },
        Step::Wait => "wait",
        Step::Pull => "pull",
        Step::Swab => "swab",
        Step::CleanGun => "clean the gun",
        Step::Unmask => "unmask",
        Step::Inspect => "inspect",
        Step::Polish => "polish",
    };
    let of = match mark {
        _ if matches!(task.step, Step::Wait | Step::CleanGun) => String::new(),
        Some((says, called)) if task.part.is_empty() || task.part == says => format!(" {called}"),
        // A cup for several marks names each of them.
        Some(_) if task.part.contains(',') => format!(" {}", task.part),
        Some((_, called)) => format!(" {} of {called}", task.part),
        None => String::new(),
    };
    let go = if task.go > 0 { format!(" (go {})", task.go) } else { String::new() };
    format!("{what}{of}{go}")
}

fn description(task: &Task, day: &Day) -> String {
    let mut text = task.why.clone();
    if let Some(from) = task.not_before {
        text += &format!("\nnot before {}", day.clock.words(from));
    }
    if let Some(by) = task.not_after {
        text += &format!("\ndone by {}", day.clock.words(by));
    }
    if task.hands > 1 {
        text += &format!("\n{} pairs of hands", task.hands);
    }
    text
}

/// A number of the job's title, the same wherever it is made: FNV-1a, 64 bits.
fn title_number(title: &str) -> u64 {
    title.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

/// Text of a value (RFC 5545, 3.3.11).
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(c);
            }
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// A line, folded between characters so that no part is over 75 bytes; ended by carriage return and line feed.
fn fold(line: &str, out: &mut String) {
    let mut used = 0;
    for c in line.chars() {
        if used + c.len_utf8() > FOLD {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(c);
        used += c.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_folded_and_reads_the_same() {
        let long = format!("SUMMARY:{}", "wei\u{df}er Lack, ".repeat(20));
        let mut out = String::new();
        fold(&long, &mut out);
        assert!(out.split("\r\n").all(|l| l.len() <= 75));
        assert_eq!(out.replace("\r\n ", "").trim_end(), long.trim_end());
    }

    #[test]
    fn signs_of_the_format_are_escaped() {
        assert_eq!(escaped("a, b; c\\ d\ne"), "a\\, b\\; c\\\\ d\\ne");
    }
}
