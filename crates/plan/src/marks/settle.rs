//! From what was asked of a mark to its design: proportions from the job or the rule pack, a height, and the
//! characters set side by side.

use super::design::{Design, Further, FurtherShape, SetGlyph, measured};
use super::font::Font;
use super::letters::{self, Alphabet, Proportions};
use super::setting::{Setting, set};
use super::typeface;
use crate::finding::{Basis, Finding, Severity};
use crate::job::{self, Attachments, Height, Job, Letters};
use crate::problem::Problem;
use crate::rules::figure::{Figure, FigureUnit, Limit};
use crate::rules::{Ask, Pack, SkinSize};
use geom::distance::edge_to_edge;
use geom::{Affine, Edge, Vec2};

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
/// Every mark that cannot be drawn: characters an alphabet lacks, proportions it cannot have, pairs that touch.
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
    let mut problems = Vec::new();
    let mut said = Vec::new();
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
    let exact = lettering.as_ref().and_then(|l| l.gap_ratio.as_ref()).filter(|f| is_exact(f));
    if let Some(figure) = exact.filter(|_| mark.optical.value) {
        said.push(gap_is_exact(mark, figure));
    }
    let setting = Setting {
        gap,
        group_gap,
        pairs: mark.pairs.value.clone(),
        optical: mark.optical.value && exact.is_none(),
        line_gap: mark.line_gap_ratio,
        align: mark.line_align,
    };
    let set = set(&mark.text.value, &setting, |c| match font {
        Some(_) => typed.iter().find(|g| g.char == c).cloned(),
        None => letters::glyph(alphabet, c, &p),
    });
    let touching = touching(mark, &set.glyphs);
    if !touching.is_empty() {
        return Err(touching);
    }
    said.extend(unused_pairs(mark, &set.glyphs));
    let thickness = measured(&set.glyphs);
    Ok(Design {
        id: mark.id.clone(),
        surface: mark.surface.clone(),
        text: mark.text.value.clone(),
        glyphs: set.glyphs,
        length: set.length,
        depth: set.depth,
        slant: mark.slant_deg.value.to_radians(),
        stroke: if font.is_some() { typeface::stroke(&thickness) } else { p.stroke },
        thickness,
        gap,
        group_gap,
        further: further(mark),
        height_mm,
        said,
    })
}

/// The further colours a mark asks, in the order they lie under the letters.
fn further(mark: &job::Mark) -> Vec<Further> {
    let outline = mark.outline.iter().map(|at| {
        let (width, paint) = &at.value;
        Further { paint: paint.clone(), shape: FurtherShape::Outline(*width) }
    });
    let shadow = mark.shadow.iter().map(|at| {
        let (by, paint) = &at.value;
        Further { paint: paint.clone(), shape: FurtherShape::Shadow(*by) }
    });
    outline.chain(shadow).collect()
}

/// True for a gap that a rule gives as one figure, whether it demands it or only wants it.
fn is_exact(figure: &Figure) -> bool {
    matches!(figure.limit, Limit::Exact | Limit::Should)
}

fn gap_is_exact(mark: &job::Mark, figure: &Figure) -> Finding {
    let message = "optical spacing is left out: the rule gives the gap between characters as one figure";
    Finding::new(Severity::Caution, "spacing-exact", &mark.id, message)
        .source(figure.basis, figure.cite.clone())
        .hint("set `spacing` to \"plain\", or mark it `legal = false` if the rule does not bind it")
}

/// Pairs of the job that do not stand in the text, as a slip of the fingers would leave them.
fn unused_pairs(mark: &job::Mark, glyphs: &[SetGlyph]) -> Vec<Finding> {
    let stands = |left: char, right: char| {
        glyphs.windows(2).any(|w| {
            (w[0].glyph.char, w[1].glyph.char) == (left, right) && !w[1].after_space && w[0].line == w[1].line
        })
    };
    let unused = mark.pairs.value.iter().filter(|(left, right, _)| !stands(*left, *right));
    unused
        .map(|(left, right, _)| {
            let message = format!("`pairs` names {left}{right}, which do not stand side by side in the text");
            Finding::new(Severity::Caution, "pair-unused", &mark.id, message)
                .source(Basis::Shop, "pairs of the job file")
        })
        .collect()
}

/// A problem for every pair that was moved together until its characters touch.
fn touching(mark: &job::Mark, glyphs: &[SetGlyph]) -> Vec<Problem> {
    let moved = |w: &[SetGlyph]| {
        let own = |p: &&(char, char, f64)| (p.0, p.1) == (w[0].glyph.char, w[1].glyph.char) && p.2 < 0.0;
        mark.pairs.value.iter().any(|p| own(&p))
    };
    let mut problems: Vec<Problem> = Vec::new();
    for w in glyphs.windows(2).filter(|w| moved(w)) {
        let near = Design::gap_between(&w[0], &w[1]).is_some_and(|gap| gap <= 0.0);
        if !near || apart(&w[0], &w[1]) > 0.0 {
            continue;
        }
        let message =
            format!("`pairs` brings {}{} so near that they touch", w[0].glyph.char, w[1].glyph.char);
        if !problems.iter().any(|p| p.message == message) {
            problems
                .push(Problem::at(mark.pairs.span.clone(), message).hint(
                    "take less away: letters that touch are one piece of paint, and no rule allows it",
                ));
        }
    }
    problems
}

/// Least distance of the paint of two characters; 0 if they touch.
fn apart(a: &SetGlyph, b: &SetGlyph) -> f64 {
    let placed = |set: &SetGlyph| -> Vec<Edge> {
        let to = Affine::translate(Vec2::new(set.x, set.y));
        set.glyph.rings.iter().flat_map(|r| r.mapped(to).edges().collect::<Vec<_>>()).collect()
    };
    let of_b = placed(b);
    placed(a).iter().flat_map(|e| of_b.iter().map(|f| edge_to_edge(e, f))).fold(f64::INFINITY, f64::min)
}

/// Characters the alphabet lacks, each named once, and proportions it cannot have.
fn cannot_draw(mark: &job::Mark, alphabet: Alphabet, p: &Proportions) -> Vec<Problem> {
    let held = letters::characters(alphabet);
    let mut lacking = String::new();
    for c in mark.text.value.chars().filter(|c| !c.is_whitespace() && !held.contains(*c)) {
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
    let undrawn: Vec<char> = mark
        .text
        .value
        .chars()
        .filter(|c| !c.is_whitespace() && letters::glyph(alphabet, *c, p).is_none())
        .collect();
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
