//! The words on the layout drawing: what to look at again, and the title block.

use super::layout::View;
use super::plan_file::verdict;
use crate::finding::{Finding, Severity};
use crate::fit::placed::FeatureFit;
use crate::surface::SkinShape;
use crate::words::{inches, length};
use geom::Point;
use sheet::frame::scale_text;
use sheet::symbols::verdict_mark;
use sheet::title_block::{Row, Table, title_block};
use sheet::tokens::TYPE_BODY;
use sheet::units::both_words;
use sheet::{Item, Room, Text, Verdict, Weight, Words};

/// From one line of small print to the next, mm.
pub(super) const LINE: f64 = 4.2;
/// Size of small print, mm: read at arm's length (8.5 points).
pub(super) const NOTE: f64 = 3.0;

/// The column of cautions: fails and cautions in words, then what the chains could not show.
pub(super) fn cautions(view: &View<'_>, more: &[String], room: Room) -> Vec<Item> {
    let mut items =
        vec![heading(Point::new(room.lo.x + 2.0, room.hi.y - 5.0), "Look at this before you tape")];
    let mut y = room.hi.y - 10.5;
    let wide = room.width() - 9.0;
    let worth: Vec<&&Finding> = view.findings.iter().filter(|f| f.severity >= Severity::Caution).collect();
    let lines_of = |text: &str| wrap(text, wide, NOTE);
    let girths = girth_lines(view);
    let mut told = 0;
    let all = worth.len() + more.len() + girths.len();
    // Measures come first: they stand nowhere else, while every finding is also told by `check`.
    let entries = more
        .iter()
        .map(|m| (None, lines_of(m)))
        .chain(worth.iter().map(|f| (Some(verdict_of(f.severity)), lines_of(&named(view, f)))))
        .chain(girths.iter().map(|g| (None, lines_of(g))));
    for (mark, lines) in entries {
        if y - LINE * lines.len() as f64 - LINE < room.lo.y + 2.0 {
            break;
        }
        if let Some(verdict) = mark {
            items.extend(verdict_mark(Point::new(room.lo.x + 3.8, y + 0.9), 3.0, verdict));
        }
        for line in lines {
            items.push(small(Point::new(room.lo.x + 7.0, y), line));
            y -= LINE;
        }
        y -= 1.0;
        told += 1;
    }
    if told < all {
        items.push(small(
            Point::new(room.lo.x + 7.0, y),
            format!("and {} more: maskwright check tells all", all - told),
        ));
    }
    if worth.is_empty() {
        items.push(small(
            Point::new(room.lo.x + 7.0, y),
            "no caution: every check of this surface passed".to_owned(),
        ));
    }
    items
}

/// What a finding says; before it, where there are several, which mark or stripe it is about.
fn named(view: &View<'_>, finding: &Finding) -> String {
    let about = view.marks.iter().map(|m| &m.id).chain(view.stripes.iter().map(|s| &s.id));
    let several = view.marks.len() + view.stripes.len() > 1;
    match about.into_iter().find(|id| **id == finding.about) {
        Some(id) if several => format!("{id}: {}", finding.message),
        _ => finding.message.clone(),
    }
}

/// Girth, chord and their difference: what is measured wrong most often.
fn girth_lines(view: &View<'_>) -> Vec<String> {
    let Some([root, tip]) = &view.skin.girths else { return vec![] };
    [("root", root), ("tip", tip)]
        .iter()
        .map(|(name, g)| {
            format!(
                "girth at the {name} {}, chord {}, {} more",
                length(g.used()),
                length(g.chord),
                inches(g.used() - g.chord)
            )
        })
        .collect()
}

/// Of several marks and stripes on the surface the one that lies worst to a feature.
pub(super) fn worst<'a>(view: &'a View<'_>, id: &str) -> Option<&'a FeatureFit> {
    let painted = view.marks.iter().copied().chain(view.stripes.iter().map(|s| &s.painted));
    Some(crate::fit::placed::worst(painted, id)?.1)
}

/// The title block.
pub(super) fn title(view: &View<'_>, scale: f64, corner: Point) -> Table {
    let found: Vec<Finding> = view.findings.iter().map(|f| (*f).clone()).collect();
    let worst = view.findings.iter().map(|f| f.severity).max().unwrap_or(Severity::Pass);
    let next = view
        .findings
        .iter()
        .find(|f| f.severity >= Severity::Caution && !f.hint.is_empty())
        .map_or_else(|| "mark the two datum lines on the skin".to_owned(), |f| f.hint.clone());
    let mut rows = vec![
        Row::new("job", view.job_title),
        Row::new("surface", format!("{} ({})", view.surface_words, view.skin.id)),
    ];
    for mark in view.marks.iter().take(2) {
        rows.push(Row::new("mark", mark.words()));
        rows.push(Row::new("cap height", both_words(mark.height)));
        rows.push(Row::new(
            "stroke, gap",
            both_words(mark.stroke).and(Words::from(",  ")).and(both_words(mark.gap)),
        ));
    }
    let told = if view.marks.is_empty() { 4 } else { 2 };
    for stripe in view.stripes.iter().take(told) {
        rows.push(Row::new(
            "stripe",
            Words::from(format!("{}, ", stripe.id)).and(both_words(stripe.width)).and(Words::from(" wide")),
        ));
    }
    for (what, count, told) in [("marks", view.marks.len(), 2), ("stripes", view.stripes.len(), told)] {
        if told < count {
            rows.push(Row::new(what, format!("and {} more", count - told)));
        }
    }
    let stand = match &view.skin.shape {
        SkinShape::Wing(_) if view.marks.iter().any(|m| m.angle.cos() < 0.0) => {
            "before the leading edge; tops away from you"
        }
        SkinShape::Wing(_) => "behind the trailing edge; tops away from you",
        SkinShape::Flat => "facing the panel",
        _ => "facing the skin",
    };
    rows.push(Row::new("you stand", stand));
    rows.push(Row::new("scale", scale_text(scale)));
    rows.push(Row::judged("verdict", verdict_of(worst), verdict_words(&found)));
    rows.push(Row::new("next", next));
    title_block(corner, "Layout", &rows)
}

fn verdict_words(found: &[Finding]) -> String {
    let count = |s| found.iter().filter(|f| f.severity == s).count();
    match verdict(found) {
        "fail" => format!("{} to mend", count(Severity::Fail)),
        "caution" => format!("{} to look at", count(Severity::Caution)),
        _ => "every check of this surface".to_owned(),
    }
}

fn verdict_of(severity: Severity) -> Verdict {
    match severity {
        Severity::Fail => Verdict::Fail,
        Severity::Caution => Verdict::Caution,
        Severity::Pass | Severity::Note => Verdict::Pass,
    }
}

pub(super) fn heading(at: Point, words: &str) -> Item {
    Item::Text(Text { weight: Weight::Bold, ..Text::new(at, words, TYPE_BODY) })
}

pub(super) fn small(at: Point, words: String) -> Item {
    Item::Text(Text::new(at, words, NOTE))
}

/// Words cut to a width, with dots where something is left out.
pub(super) fn clipped(text: &str, wide: f64, size: f64) -> String {
    let width = |t: &str| Words::from(t).width(size, Weight::Regular);
    if width(text) <= wide {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        if width(&format!("{kept}{c}\u{2026}")) > wide {
            break;
        }
        kept.push(c);
    }
    format!("{kept}\u{2026}")
}

/// Text broken between words into lines no wider than `wide`; a word too long for a line is cut.
pub(super) fn wrap(text: &str, wide: f64, size: f64) -> Vec<String> {
    let width = |t: &str| Words::from(t).width(size, Weight::Regular);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer) <= wide {
            line = longer;
        } else {
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line = clipped(word, wide, size);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}
