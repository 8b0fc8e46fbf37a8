//! Lettering a mark from a font file the job names: the files read once, the characters of a text drawn.

use super::font::{self, Font, GlyphTrouble};
use super::letters::Glyph;
use super::thickness::thickness;
use crate::job::{Attachments, Job, Letters, Mark};
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// The fonts the marks of a job name, by path, each read once; and what is wrong with those that are missing
/// here.
pub(super) fn fonts(job: &Job, files: &Attachments) -> (BTreeMap<String, Font>, Vec<Problem>) {
    let (mut fonts, mut problems, mut tried) = (BTreeMap::new(), Vec::new(), BTreeSet::new());
    for mark in &job.marks {
        let Letters::Font(path) = &mark.letters.value else { continue };
        if !tried.insert(path) {
            continue;
        }
        let Some(bytes) = files.files.get(path) else {
            problems.push(
                Problem::at(mark.letters.span.clone(), format!("the font file `{path}` was not found"))
                    .expected("a .ttf or .otf file beside the job file"),
            );
            continue;
        };
        match font::read(path, bytes) {
            Ok(font) => drop(fonts.insert(path.clone(), font)),
            Err(more) => problems.extend(more),
        }
    }
    (fonts, problems)
}

/// Width of an H: what gaps are a share of, where no rule says.
pub(super) fn standard_width(font: &Font) -> Option<f64> {
    font.glyph('H').ok().map(|g| g.width)
}

/// The characters of a mark's text, each once.
///
/// # Errors
/// Proportions asked of a font, the characters it lacks in one problem, and each character that cannot be used.
pub(super) fn glyphs(mark: &Mark, font: &Font) -> Result<Vec<Glyph>, Vec<Problem>> {
    let mut problems = Vec::new();
    let asked = [
        ("width_ratio", mark.width_ratio),
        ("wide_ratio", mark.wide_ratio),
        ("stroke_ratio", mark.stroke_ratio),
    ];
    let asked: Vec<String> = asked.iter().filter(|a| a.1.is_some()).map(|a| format!("`{}`", a.0)).collect();
    if !asked.is_empty() {
        let message = format!("a font brings its own proportions, with {} given beside it", asked.join(", "));
        problems.push(
            Problem::at(mark.letters.span.clone(), message)
                .hint("leave the ratios out, or letter with `square`, `clipped` or `rounded`"),
        );
    }
    let text: BTreeSet<char> = mark.text.value.chars().filter(|c| !c.is_whitespace()).collect();
    let (mut glyphs, mut lacking) = (Vec::new(), Vec::new());
    for ch in text {
        match font.glyph(ch) {
            Ok(glyph) => glyphs.push(glyph),
            Err(GlyphTrouble::Missing(ch)) => lacking.push(format!("`{ch}`")),
            Err(trouble) => problems.push(
                Problem::at(mark.text.span.clone(), trouble.to_string())
                    .hint("take another font, or a block alphabet for this mark"),
            ),
        }
    }
    if !lacking.is_empty() {
        problems.push(
            Problem::at(mark.text.span.clone(), format!("the font has no {}", lacking.join(", ")))
                .hint("take a font that has them, or a block alphabet for this mark"),
        );
    }
    if problems.is_empty() { Ok(glyphs) } else { Err(problems) }
}

/// Stroke of the characters, the middle one of them; 0 if none has a stroke.
pub(super) fn stroke(glyphs: &[Glyph]) -> f64 {
    let mut strokes: Vec<f64> = glyphs.iter().filter_map(|g| thickness(&g.rings)).map(|t| t.median).collect();
    strokes.sort_by(f64::total_cmp);
    strokes.get(strokes.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use crate::finding::Severity;
    use crate::job::{Attachments, read};
    use crate::problem::Problem;
    use crate::run::{Plan, run};

    const PLAIN: &[u8] = include_bytes!("../../../../hangar/fonts/plain.ttf");

    fn plan(text: &str, more: &str) -> Result<Plan, Vec<Problem>> {
        let job = format!(
            "title = \"Test\"\nunits = \"mm\"\n[[surface]]\nid = \"panel\"\nkind = \"flat\"\n\
             corners = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]]\n\
             [[mark]]\nid = \"m\"\nsurface = \"panel\"\ntext = \"{text}\"\nheight = 300\n\
             place = {{ at = [1000, 500] }}\nletters = {{ font = \"plain.ttf\" }}\n{more}"
        );
        let job = read(&job).unwrap();
        let files = [("plain.ttf".to_owned(), PLAIN.to_vec())].into();
        run(&job, &Attachments { files })
    }

    #[test]
    fn a_mark_in_a_font_is_laid_out_with_gaps_between_its_paint() {
        let plan = plan("HO-8", "gap_ratio = 0.25\n").unwrap();
        let mark = &plan.marks[0];
        // From the drawings: paint 400, 460, 280 and 440 wide, three gaps of a quarter of the H, capitals 700.
        let length = (400.0 + 460.0 + 280.0 + 440.0 + 3.0 * 100.0) / 700.0 * 300.0;
        assert!((mark.length - length).abs() < 0.5, "{} {length}", mark.length);
        assert!((mark.stroke - 120.0 / 700.0 * 300.0).abs() < 0.05, "{}", mark.stroke);
        assert!((mark.gap - 100.0 / 700.0 * 300.0).abs() < 1e-3);
        assert!(plan.findings.iter().any(|f| f.code == "stroke-font" && f.severity == Severity::Note));
        assert!(plan.findings.iter().all(|f| f.code != "stroke-true"));
    }

    #[test]
    fn characters_a_font_lacks_are_named_in_one_problem() {
        let problems = plan("HQZO", "").unwrap_err();
        let messages: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
        assert_eq!(messages, ["the font has no `Q`, `Z`"]);
    }

    #[test]
    fn proportions_asked_of_a_font_are_refused() {
        let problems = plan("HO", "width_ratio = 0.6\nstroke_ratio = 0.1\n").unwrap_err();
        assert_eq!(
            problems[0].message,
            "a font brings its own proportions, with `width_ratio`, `stroke_ratio` given beside it"
        );
    }
}
