//! From what was asked of a mark to its design: proportions from the job or the rule pack, a height, and the
//! characters set side by side.

use super::design::{Design, set};
use super::font::Font;
use super::letters::{self, Alphabet, Proportions};
use super::typeface;
use crate::job::{self, Attachments, Height, Job, Letters};
use crate::problem::Problem;
use crate::rules::figure::FigureUnit;
use crate::rules::{Ask, Pack, SkinSize};

/// Width of a standard character over its height where neither job nor pack says. From memory: the common
/// proportion of block letters, and what most packs ask.
const WIDTH: f64 = 2.0 / 3.0;
/// Stroke over height where neither job nor pack says. From memory, as `WIDTH`.
const STROKE: f64 = 1.0 / 6.0;
/// Gap over standard character width where neither job nor pack says. From memory, as `WIDTH`.
const GAP: f64 = 1.0 / 4.0;

/// The designs of all marks, in the job's order. `files` holds the fonts they name. `size_of` tells the skin a
/// surface has at a mark, for heights that are a share of it.
///
/// # Errors
/// Every mark that cannot be drawn: characters an alphabet lacks, proportions it cannot have, and what is not
/// built yet.
pub fn design_marks(
    job: &Job,
    pack: Option<&Pack>,
    files: &Attachments,
    size_of: impl Fn(&job::Mark) -> SkinSize,
) -> Result<Vec<Design>, Vec<Problem>> {
    let (fonts, mut problems) = typeface::fonts(job, files);
    let mut designs = Vec::new();
    for mark in &job.marks {
        let font = match &mark.letters.value {
            Letters::Font(path) => fonts.get(path),
            _ => None,
        };
        match design(job, mark, pack, font, size_of(mark)) {
            Ok(design) => designs.push(design),
            Err(more) => problems.extend(more),
        }
    }
    if problems.is_empty() { Ok(designs) } else { Err(problems) }
}

/// The year of the work, from the day of the first spraying; no clock is read.
pub fn year_of(job: &Job) -> Option<i32> {
    job.shop.as_ref().and_then(|s| s.date).map(|d| i32::from(d[0]))
}

fn design(
    job: &Job,
    mark: &job::Mark,
    pack: Option<&Pack>,
    font: Option<&Font>,
    size: SkinSize,
) -> Result<Design, Vec<Problem>> {
    let mut problems = not_yet(mark);
    let pack = pack.filter(|_| mark.legal);
    let location = mark.location.as_ref().map(|l| l.value.as_str());
    let ask = Ask { craft: &job.craft, location, this_year: year_of(job) };
    let lettering = pack.map(Pack::lettering);
    let from_pack = |f: fn(&crate::rules::Lettering) -> Option<f64>| lettering.as_ref().and_then(f);

    let width = mark.width_ratio.or_else(|| from_pack(|l| l.width_ratio.as_ref().map(|f| f.value)));
    let width = width.or_else(|| font.and_then(typeface::standard_width)).unwrap_or(WIDTH);
    let stroke = mark.stroke_ratio.or_else(|| from_pack(|l| l.stroke_ratio.as_ref().map(|f| f.value)));
    let gap = mark.gap_ratio.or_else(|| from_pack(|l| l.gap_ratio.as_ref().map(|f| f.value)));
    let wide = mark.wide_ratio.or_else(|| from_pack(|l| l.wide_ratio.as_ref().map(|w| w.1.value)));
    let p = Proportions { width, wide: wide.unwrap_or(width.max(1.0)), stroke: stroke.unwrap_or(STROKE) };
    let gap = gap.unwrap_or(GAP) * width;
    let group_gap = lettering
        .as_ref()
        .and_then(|l| l.group_gap_ratio.as_ref())
        .map_or(width, |f| if f.unit == FigureUnit::Width { f.value * width } else { f.value });

    let alphabet = match mark.letters.value {
        Letters::Square | Letters::Font(_) => Alphabet::Square,
        Letters::Clipped => Alphabet::Clipped,
        Letters::Rounded => Alphabet::Rounded,
    };
    let mut typed = Vec::new();
    match (&mark.letters.value, font) {
        (Letters::Font(_), Some(font)) => match typeface::glyphs(mark, font) {
            Ok(glyphs) => typed = glyphs,
            Err(more) => problems.extend(more),
        },
        // A font that could not be read is told once, beside its file.
        (Letters::Font(_), None) => {}
        _ => problems.extend(cannot_draw(mark, alphabet, &p)),
    }
    let height_mm = match mark.height.value {
        Height::Given(h) => h,
        // The largest is found later; until then its least legal height stands, and no rule need give one.
        Height::Largest => {
            pack.and_then(|p| p.least_height(ask, size).height).and_then(|f| f.mm()).unwrap_or(25.4)
        }
        Height::Legal => match pack.and_then(|p| p.least_height(ask, size).height).and_then(|f| f.mm()) {
            Some(mm) => mm,
            None => {
                problems.push(
                    Problem::at(mark.height.span.clone(), "no rule gives this mark a least height")
                        .expected("a height such as 12 in")
                        .hint("name a rule pack that binds it with `rules`, or give the height itself"),
                );
                0.0
            }
        },
    };
    if !problems.is_empty() {
        return Err(problems);
    }
    let (glyphs, length) = set(&mark.text.value, gap, group_gap, |c| match font {
        Some(_) => typed.iter().find(|g| g.char == c).cloned(),
        None => letters::glyph(alphabet, c, &p),
    });
    Ok(Design {
        id: mark.id.clone(),
        surface: mark.surface.clone(),
        text: mark.text.value.clone(),
        glyphs,
        length,
        stroke: if font.is_some() { typeface::stroke(&typed) } else { p.stroke },
        gap,
        group_gap,
        height_mm,
    })
}

/// What the job file may ask and this program cannot do yet.
fn not_yet(mark: &job::Mark) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut say = |span: &std::ops::Range<usize>, what: &str, today: &str| {
        problems.push(Problem::at(span.clone(), format!("{what} cannot be done yet")).hint(today));
    };
    if mark.slant_deg.value != 0.0 {
        say(&mark.slant_deg.span, "slanted lettering", "leave `slant_deg` out, or set it to 0");
    }
    if let Some(outline) = &mark.outline {
        say(&outline.span, "an outline in a second colour", "leave `outline` out; one colour works today");
    }
    if let Some(shadow) = &mark.shadow {
        say(&shadow.span, "a shadow in a second colour", "leave `shadow` out; one colour works today");
    }
    problems
}

/// Characters the alphabet lacks, each named once, and proportions it cannot have.
fn cannot_draw(mark: &job::Mark, alphabet: Alphabet, p: &Proportions) -> Vec<Problem> {
    let held = letters::characters(alphabet);
    let mut lacking = String::new();
    for c in mark.text.value.chars().filter(|c| *c != ' ' && !held.contains(*c)) {
        if !lacking.contains(c) {
            lacking.push(c);
        }
    }
    if !lacking.is_empty() {
        let named: Vec<String> = lacking.chars().map(|c| format!("`{c}`")).collect();
        let hint = if lacking.chars().any(|c| c.is_lowercase() && held.contains(c.to_ascii_uppercase())) {
            "block letters are capitals: write the mark in capitals"
        } else {
            "there are A to Z, 0 to 9, hyphen, ampersand, period and slash; a space parts two groups"
        };
        return vec![
            Problem::at(mark.text.span.clone(), format!("the alphabet has no {}", named.join(", ")))
                .hint(hint),
        ];
    }
    let undrawn: Vec<char> =
        mark.text.value.chars().filter(|c| *c != ' ' && letters::glyph(alphabet, *c, p).is_none()).collect();
    let Some(first) = undrawn.first() else { return vec![] };
    vec![
        Problem::at(
            mark.text.span.clone(),
            format!(
                "`{first}` cannot be drawn with a stroke of {:.3} and a width of {:.3} of the height",
                p.stroke,
                if "MW&".contains(*first) { p.wide } else { p.width }
            ),
        )
        .hint(format!(
            "strokes go from {} to {} of the height; a character needs {} strokes of width, M and W {}, `&` {}",
            letters::STROKE_LEAST,
            letters::STROKE_MOST,
            letters::WIDTH_LEAST,
            letters::WIDE_LEAST,
            letters::AMPERSAND_LEAST
        )),
    ]
}
