//! Telling what is wrong with an input: file, line, column, the line itself, what was expected, a hint.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use plan::problem::{Problem, line_and_column};

/// Most problems shown in full; the rest are counted.
const SHOWN: usize = 50;

/// One text with every problem. `source_of` gives the text of a file (empty name = the job file itself).
pub(crate) fn problems(
    job_name: &str,
    source_of: &dyn Fn(&str) -> Option<String>,
    problems: &[Problem],
    styled: bool,
) -> String {
    let renderer = if styled { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for p in problems.iter().take(SHOWN) {
        let name = if p.file.is_empty() { job_name } else { &p.file };
        let source = source_of(&p.file).unwrap_or_default();
        let span = clamp(&source, p);
        let (line, column) = line_and_column(&source, span.start);
        let title = format!("{name}:{line}:{column}: {}", p.message);
        let mut group = Group::with_title(Level::ERROR.primary_title(&title));
        if !source.is_empty() {
            group = group.element(
                Snippet::source(&source)
                    .path(name)
                    .annotation(AnnotationKind::Primary.span(span).label(label(p))),
            );
        }
        if !p.hint.is_empty() {
            group = group.element(Level::HELP.with_name("hint").message(&p.hint));
        }
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    let count = problems.len();
    if count > SHOWN {
        out.push_str(&format!("and {} more\n", count - SHOWN));
    }
    out.push_str(&format!(
        "{job_name}: {count} problem{}, nothing written\n",
        if count == 1 { "" } else { "s" }
    ));
    out
}

fn label(p: &Problem) -> String {
    if p.expected.is_empty() { "here".to_owned() } else { format!("expected {}", p.expected) }
}

/// The span moved onto character boundaries inside the text.
fn clamp(source: &str, p: &Problem) -> std::ops::Range<usize> {
    let down = |mut i: usize| {
        i = i.min(source.len());
        while !source.is_char_boundary(i) {
            i -= 1;
        }
        i
    };
    let start = down(p.span.start);
    start..down(p.span.end).max(start)
}
