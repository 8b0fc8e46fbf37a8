//! A placed mark held against the rule: what is measured of it, as the rule pack asks for it.

use super::placed::Placed;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::{self, Side, SurfaceShape};
use crate::marks::design::{Design, SetGlyph, measured};
use crate::marks::letters::Glyph;
use crate::rules::pack::{Face, Hand, SurfaceKind, Tops};
use crate::rules::{CharacterFacts, MarkFacts, Pack, SkinSize, StrokeFacts};
use crate::surface::{Skin, SkinShape};
use crate::words::length;
use geom::measure::edges_to_region;
use geom::shear::sheared;
use geom::tolerance::GLYPH_FLATTEN;
use geom::{Point, Region, Ring};

/// Share by which a stroke may miss its thickness before it is told (the promise of the alphabets).
const THICKNESS: f64 = 0.002;

/// What a rule asks to know of a placed mark.
pub fn facts(
    mark: &job::Mark,
    surface: &job::Surface,
    skin: &Skin,
    design: &Design,
    placed: &Placed,
) -> MarkFacts {
    let h = design.height_mm;
    let characters = design
        .glyphs
        .iter()
        .map(|set| CharacterFacts {
            character: set.glyph.char,
            width_mm: set.glyph.width * h,
            height_mm: tall(set).map(|tall| tall * h),
            stroke: design.thickness.get(&set.glyph.char).map(|t| StrokeFacts {
                min_mm: t.least * h,
                max_mm: t.most * h,
                median_mm: t.median * h,
            }),
        })
        .collect();
    let (mut gaps_mm, mut group_gaps_mm) = (Vec::new(), Vec::new());
    for pair in design.glyphs.windows(2) {
        let Some(gap) = Design::gap_between(&pair[0], &pair[1]).map(|gap| gap * h) else { continue };
        if pair[1].after_space { group_gaps_mm.push(gap) } else { gaps_mm.push(gap) }
    }
    let (half, face) = match &surface.shape.value {
        SurfaceShape::Wing(w) => (
            Some(if w.right { Hand::Right } else { Hand::Left }),
            Some(if w.upper { Face::Upper } else { Face::Lower }),
        ),
        _ => (None, None),
    };
    let wing = half.is_some();
    let edges = wing.then(|| to_edges(skin, placed));
    MarkFacts {
        id: mark.id.clone(),
        // A line break stands for nothing: the mark reads on.
        text: mark.text.value.replace('\n', ""),
        legal: mark.legal,
        location: mark.location.as_ref().map(|l| l.value.clone()),
        surface: if wing { SurfaceKind::Wing } else { SurfaceKind::Flat },
        half,
        face,
        side: match surface.side {
            Some(Side::Left) => Some(Hand::Left),
            Some(Side::Right) => Some(Hand::Right),
            _ => None,
        },
        height_mm: h,
        characters,
        gaps_mm,
        group_gaps_mm,
        lines_mm: design.line_lengths().into_iter().map(|length| length * h).collect(),
        slant_deg: mark.slant_deg.value,
        tops: Some(tops(mark, wing)),
        baseline_deg: (!wing).then(|| placed.angle.to_degrees()),
        to_leading_edge_mm: edges.map(|e| e.0),
        to_trailing_edge_mm: edges.map(|e| e.1),
        margin_mm: Some(margin(skin, placed)),
        skin: skin_size(skin, placed.centre),
        outlined: mark.outline.is_some() || mark.shadow.is_some(),
        colours: 1,
    }
}

/// Size of the skin at a place, as far as its shape tells it.
pub fn skin_size(skin: &Skin, at: Point) -> SkinSize {
    let chord = match &skin.shape {
        SkinShape::Wing(wing) => Some(wing.chord_asked(skin.skin_from_flat(at)[0])),
        _ => None,
    };
    SkinSize { chord_mm: chord, depth_mm: None, across_mm: None }
}

/// Strokes that are not as thick as asked: outside the range an alphabet promises. Nobody asks a thickness of
/// a font: of its strokes it is told what they measure.
pub fn strokes(mark: &job::Mark, design: &Design) -> Vec<Finding> {
    if matches!(mark.letters.value, job::Letters::Font(_)) {
        return font_strokes(design).into_iter().collect();
    }
    let asked = design.stroke;
    design
        .glyphs
        .iter()
        .filter_map(|set| {
            let t = design.thickness.get(&set.glyph.char)?;
            let off = |x: f64| (x / asked - 1.0).abs() > THICKNESS;
            (off(t.least) || off(t.most)).then(|| {
                let h = design.height_mm;
                Finding::new(
                    Severity::Caution,
                    "stroke-true",
                    &design.id,
                    format!(
                        "strokes of {} measure {} to {}, {} was asked",
                        set.glyph.char,
                        length(t.least * h),
                        length(t.most * h),
                        length(asked * h)
                    ),
                )
                .figures(t.least * h, Bound::Exact, asked * h, "mm")
                .hint("give the characters at least 4 strokes of width, M and W 5.2")
            })
        })
        .collect()
}

/// What a slant does to the letters: nothing to what a rule judges, but the painter measures the leaning ones.
pub fn slanted(design: &Design) -> Option<Finding> {
    if design.slant == 0.0 {
        return None;
    }
    let (h, lean) = (design.height_mm, design.slant.tan());
    let leaning = |set: &SetGlyph| SetGlyph {
        glyph: Glyph {
            rings: set.glyph.rings.iter().map(|r| sheared(r, lean, GLYPH_FLATTEN)).collect(),
            ..set.glyph.clone()
        },
        ..set.clone()
    };
    let leaning: Vec<SetGlyph> = design.glyphs.iter().map(leaning).collect();
    let (least, most) = measured(&leaning)
        .values()
        .map(|t| (t.least * h, t.most * h))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let message = format!(
        "slanted by {} degrees: strokes measure {} to {} square across ({} upright), the mark is {} long ({} \
         upright); the rule is asked about the upright letters and the slant",
        (design.slant.to_degrees().abs() * 1000.0).round() / 1000.0,
        length(least),
        length(most),
        length(design.stroke * h),
        length(design.overall_length() * h),
        length(design.length * h),
    );
    Some(Finding::new(Severity::Note, "slant-true", &design.id, message))
}

/// A mark that a rule binds and that is broken over lines.
pub fn broken_up(mark: &job::Mark, design: &Design, pack: Option<&Pack>) -> Option<Finding> {
    let lines = design.line_lengths();
    let bound = pack.filter(|pack| mark.legal && pack.word(&mark.text.value).is_none())?;
    if lines.len() < 2 {
        return None;
    }
    let lengths: Vec<String> = lines.iter().map(|l| length(l * design.height_mm)).collect();
    let message = format!(
        "the mark stands on {} lines, {} long; nothing that was read in this rule says that a mark may be broken{}",
        lines.len(),
        lengths.join(" and "),
        bound.label()
    );
    Some(
        Finding::new(Severity::Caution, "lines", &design.id, message)
            .source(Basis::Memory, "no clause: silence of the parts that were read")
            .hint("ask the authority, or set it on one line"),
    )
}

fn font_strokes(design: &Design) -> Option<Finding> {
    let h = design.height_mm;
    let (least, most) = design
        .thickness
        .values()
        .map(|t| (t.least * h, t.most * h))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let message = format!(
        "strokes of the font measure {} to {}, most of them near {}",
        length(least),
        length(most),
        length(design.stroke * h)
    );
    Some(Finding::new(Severity::Note, "stroke-font", &design.id, message))
}

/// A character's own height at height 1; `None` for a hyphen, which has none to speak of.
fn tall(set: &SetGlyph) -> Option<f64> {
    if set.glyph.char == '-' {
        return None;
    }
    let bounds = set.glyph.rings.iter().filter_map(Ring::bounds);
    let (foot, top) = bounds.map(|(lo, hi)| (lo.y, hi.y)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    Some(top - foot)
}

fn tops(mark: &job::Mark, wing: bool) -> Tops {
    match mark.tops.as_ref().map(|t| t.value) {
        Some(tops) => tops,
        None if wing => Tops::LeadingEdge,
        None => Tops::Up,
    }
}

/// Least distances along the skin from the mark's box to the leading and to the trailing edge.
fn to_edges(skin: &Skin, placed: &Placed) -> (f64, f64) {
    let corners = placed.glyphs.iter().flat_map(|g| g.corners);
    corners.fold((f64::INFINITY, f64::INFINITY), |(lead, trail), p| {
        let [s, t] = skin.skin_from_flat(p);
        let girth = skin.girth_at(s).unwrap_or(f64::INFINITY);
        (lead.min(t), trail.min(girth - t))
    })
}

/// Least distance from the paint to the edge of the skin; 0 where it hangs over.
fn margin(skin: &Skin, placed: &Placed) -> f64 {
    if let Some(body) = skin.chart().and_then(|c| c.body()) {
        // A chart ends where it was cut; a body ends at its end stations and at the middle of its top and bottom.
        let corners = placed.glyphs.iter().flat_map(|g| g.corners);
        return corners.map(|p| body.to_edge(skin.skin_from_flat(p))).fold(f64::INFINITY, f64::min).max(0.0);
    }
    let mut border: Vec<Point> = skin.outline.flattened(geom::tolerance::FLATTEN_MM);
    border.extend(border.first().copied());
    edges_to_region(&placed.all_rings(), &Region::Band { path: border, width: 0.0 }).max(0.0)
}
