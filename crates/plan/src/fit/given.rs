//! A mark laid where the user said: its outlines on the skin, and what that place does to every feature.

use super::charts::Charts;
use super::crossing::crosses_square;
use super::inside::beyond;
use super::nearby::{ALONG_DEG, NEAR_MM, runs_along};
use super::placed::{Certain, FeatureFit, FitReport, Further, Placed, PlacedGlyph, Relation};
use super::relation::{asks, lie};
use super::stretched;
use super::wanted::slack;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::{Cross, FeatureKind};
use crate::marks::design::{Design, FurtherShape, SetGlyph};
use crate::marks::further;
use crate::surface::{FlatFeature, FlatRib, Skin};
use crate::words::{fine, length};
use geom::shear::sheared;
use geom::tolerance::{KEPT_MM, NOISE_MM, OVERHANG_MM, SHEAR_MM};
use geom::{Affine, Edge, Point, Ring, Vec2};

/// Where a mark goes: the centre of its box in flat, and its turn from reading along +x, radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Centre of the mark's box.
    pub centre: Point,
    /// Turn, counter-clockwise.
    pub angle: f64,
}

/// The mark in its place, and what there is to say about it. `allowed` is where it must stay, in flat;
/// `survey_error` is in mm.
pub fn place_given(
    design: &Design,
    skin: &Skin,
    pose: Pose,
    allowed: &Ring,
    survey_error: f64,
) -> (Placed, Vec<Finding>) {
    let glyphs = lay(design, pose);
    let further = lay_further(design, pose);
    let mut placed = Placed {
        id: design.id.clone(),
        surface: design.surface.clone(),
        text: design.text.clone(),
        height: design.height_mm,
        length: design.overall_length() * design.height_mm,
        stroke: design.stroke * design.height_mm,
        gap: design.gap * design.height_mm,
        centre: pose.centre,
        angle: pose.angle,
        glyphs,
        further,
        fit: FitReport::given(pose.centre, allowed.clone()),
        charts: None,
    };
    let findings = judged(&mut placed, skin, allowed, survey_error);
    (placed, findings)
}

/// How what is painted lies to every feature, rib and part of its skin, settled in it; and what there is to say about
/// that. `allowed` is where it must stay, in flat; `survey_error` is in mm.
pub fn judged(placed: &mut Placed, skin: &Skin, allowed: &Ring, survey_error: f64) -> Vec<Finding> {
    let rings = placed.all_rings();
    let id = placed.id.clone();
    placed.fit.features = skin.features.iter().map(|f| lie(&rings, f)).collect();
    let mut findings = Vec::new();
    match Charts::of(skin, &placed.glyphs) {
        None => {
            let under = skin.figures_under(placed.angle, placed.glyphs.iter().flat_map(|g| g.corners));
            findings.extend(under.iter().flat_map(|figures| stretched::told(&id, figures)));
        }
        Some(Err(lost)) => findings.push(
            Finding::new(
                Severity::Fail,
                "no-chart",
                &id,
                format!("{lost} cannot be laid flat here: the skin ends or folds under it"),
            )
            .hint(no_chart_hint(placed, skin)),
        ),
        Some(Ok(charts)) => {
            charts.measured(&placed.glyphs, &mut placed.fit.features);
            findings.extend(charts.told(&id, &placed.glyphs, placed.height));
            placed.charts = Some(Box::new(charts));
        }
    }
    for (fit, feature) in placed.fit.features.iter_mut().zip(&skin.features) {
        findings.extend(judge(fit, feature, &rings, &id));
    }
    settle_clearance(&mut placed.fit, survey_error);
    findings.extend(measure_again(placed, survey_error));
    findings.extend(sticks_out(placed, skin, &rings, allowed));
    findings.extend(ribs_along(placed, &rings, &skin.ribs));
    findings.extend(on_parts(placed, &rings, skin));
    findings
}

/// What helps where a mark cannot be laid flat.
fn no_chart_hint(placed: &Placed, skin: &Skin) -> String {
    let across = skin.chart().and_then(|chart| chart.scan()).map(|scan| scan.across());
    match across.filter(|across| *across < placed.length) {
        Some(across) => format!(
            "all of the scan is {} across and the mark is {} long: is its `unit` right?",
            length(across),
            length(placed.length)
        ),
        None => "move the mark, or make it smaller".to_owned(),
    }
}

/// The characters of a design at a pose, full size. Under a slant arcs become pairs of arcs within `SHEAR_MM` of the
/// ellipses they stand for.
pub fn lay(design: &Design, pose: Pose) -> Vec<PlacedGlyph> {
    let flat_from_mark = pose.flat_from_mark();
    let mut glyphs = full_size(design);
    for glyph in &mut glyphs {
        glyph.corners = glyph.corners.map(|p| flat_from_mark * p);
        glyph.rings = glyph.rings.iter().map(|r| r.mapped(flat_from_mark)).collect();
    }
    glyphs
}

/// The further colours of a design at a pose, full size. They are cut in the mark's own axes, so that they come out
/// the same wherever the mark goes.
pub fn lay_further(design: &Design, pose: Pose) -> Vec<Further> {
    if design.further.is_empty() {
        return vec![];
    }
    let letters: Vec<Ring> = full_size(design).into_iter().flat_map(|g| g.rings).collect();
    let flat_from_mark = pose.flat_from_mark();
    let shown = further::shown(&design.further, &letters);
    let laid = design.further.iter().zip(shown).map(|(colour, rings)| Further {
        paint: colour.paint.clone(),
        shadow: matches!(colour.shape, FurtherShape::Shadow(_)),
        rings: rings.iter().map(|r| r.mapped(flat_from_mark)).collect(),
    });
    laid.collect()
}

/// All outlines of a design at a pose, its further colours' too, full size.
pub fn lay_all(design: &Design, pose: Pose) -> Vec<Ring> {
    let further = lay_further(design, pose).into_iter().flat_map(|f| f.rings);
    lay(design, pose).into_iter().flat_map(|g| g.rings).chain(further).collect()
}

impl Pose {
    /// From the mark's own axes, the centre of its box at the origin, to flat.
    fn flat_from_mark(self) -> Affine {
        Affine::translate(self.centre.to_vec2()) * Affine::rotate(self.angle)
    }
}

/// The characters of a design, mm, about the centre of its box and its baseline level.
pub fn full_size(design: &Design) -> Vec<PlacedGlyph> {
    let (h, lean) = (design.height_mm, design.slant.tan());
    let about_centre = Affine::scale(h) * Affine::translate(-design.centre().to_vec2());
    let place = |set: &SetGlyph| {
        let upright = about_centre * Affine::translate(Vec2::new(set.x, set.y));
        let w = set.glyph.width;
        let corners = [(0.0, 0.0), (w, 0.0), (w, 1.0), (0.0, 1.0)];
        // A line leans about its own half height, so that it stays over the lines above and below.
        let corners = corners.map(|(x, y)| upright * Point::new(x + lean * (y - 0.5), y));
        let rings: Vec<Ring> = if lean == 0.0 {
            set.glyph.rings.iter().map(|r| r.mapped(upright)).collect()
        } else {
            let tall = set.glyph.rings.iter().map(|r| r.mapped(Affine::scale(h)));
            let shift = upright * Point::new(-0.5 * lean, 0.0);
            tall.map(|r| sheared(&r, lean, SHEAR_MM).mapped(Affine::translate(shift.to_vec2()))).collect()
        };
        PlacedGlyph { char: set.glyph.char, width: w * h, corners, rings }
    };
    design.glyphs.iter().map(place).collect()
}

/// What one feature has to say; a crossing that is allowed takes the wall away.
fn judge(fit: &mut FeatureFit, feature: &FlatFeature, rings: &[Ring], mark: &str) -> Option<Finding> {
    let what = named(feature);
    if !fit.wall {
        return match (fit.relation, feature.kind) {
            (Relation::Split, _) => Some(
                Finding::new(
                    Severity::Note,
                    "cover-split",
                    mark,
                    format!("a paint edge crosses {what}, which comes off"),
                )
                .hint("paint the cover with it, off the aircraft, its edges ticked on both"),
            ),
            (_, FeatureKind::Seam | FeatureKind::Lap) => seam_along(feature, rings, mark),
            _ => None,
        };
    }
    if fit.clearance >= -KEPT_MM {
        return None;
    }
    if fit.relation == Relation::Crossed
        && feature.cross == Cross::Square
        && crosses_square(rings, &feature.region)
    {
        fit.wall = false;
        return Some(
            Finding::new(
                Severity::Note,
                "feature-crossed-square",
                mark,
                format!("{what} is crossed square, through its middle half, as it allows"),
            )
            .source(Basis::Practice, "common practice, no source")
            .hint("press the edge tape into the step on both sides; seal it with the base colour first"),
        );
    }
    let distance = fit.clearance + feature.clearance;
    let covers = asks(feature).0 == super::relation::Asks::PaintClear;
    let message = if covers && distance < 0.0 {
        format!("paint covers {what}, {} deep", length(-distance))
    } else if distance < 0.0 {
        format!("a paint edge crosses {what}, {} inside its edge", length(-distance))
    } else {
        format!("a paint edge passes {what} at {}, {} asked", length(distance), length(feature.clearance))
    };
    Some(
        Finding::new(Severity::Fail, "feature", mark, message)
            .figures(distance, Bound::Min, feature.clearance, "mm")
            .source(Basis::Shop, "clearance of the job file")
            .hint("move it, make it smaller, or ask less clearance of this feature"),
    )
}

fn seam_along(feature: &FlatFeature, rings: &[Ring], mark: &str) -> Option<Finding> {
    let geom::Region::Band { path, width } = &feature.region else { return None };
    let line: Vec<Edge> = geom::measure::segments(path).collect();
    let d = runs_along(rings, &line, width / 2.0)?;
    Some(
        Finding::new(
            Severity::Caution,
            "along-seam",
            mark,
            format!("a paint edge runs along {} at {}", named(feature), length(d)),
        )
        .figures(d, Bound::Should, NEAR_MM, "mm")
        .source(Basis::Practice, "common practice, no source")
        .hint("keep edges 3/8 in from a seam, or cross it square: paint creeps along the step"),
    )
}

/// The mark's clearance is the least over its walls; how sure it is follows from the survey's error.
fn settle_clearance(fit: &mut FitReport, survey_error: f64) {
    fit.clearance = fit.features.iter().filter(|f| f.wall).map(|f| f.clearance).reduce(f64::min);
    fit.certain = match fit.clearance {
        Some(c) if c < -survey_error => Certain::No,
        Some(c) if c < survey_error => Certain::ReMeasure,
        _ => Certain::Sure,
    };
}

fn measure_again(placed: &Placed, survey_error: f64) -> Option<Finding> {
    let doubtful: Vec<String> = placed
        .fit
        .features
        .iter()
        .filter(|f| f.wall && -survey_error <= f.clearance && f.clearance < survey_error)
        .map(|f| f.id.clone())
        .collect();
    let least = placed.fit.features.iter().filter(|f| doubtful.contains(&f.id)).map(|f| f.clearance);
    let least = least.reduce(f64::min)?;
    Some(
        Finding::new(
            Severity::Caution,
            "measure-again",
            &placed.id,
            format!(
                "clearance to {} is {} over what is asked, less than the survey's error of {}",
                doubtful.join(", "),
                length(least),
                length(survey_error)
            ),
        )
        .figures(least, Bound::Min, survey_error, "mm")
        .source(Basis::Shop, "survey.error of the job file")
        .hint(format!("measure {} again before taping", doubtful.join(", "))),
    )
}

/// How far paint may seem to reach out, mm, before it does: what a cut line may be off by; where the skin is laid flat
/// piece by piece what a steel tape reads and what the piece errs by.
fn seems_out(skin: &Skin) -> f64 {
    if skin.unrolls() { CUT_LINE_MM } else { OVERHANG_MM + slack(skin) }
}

/// Most, mm, a cut line is off by: the whole chain of errors (see `geom::tolerance`).
const CUT_LINE_MM: f64 = 0.05;

fn sticks_out(placed: &Placed, skin: &Skin, rings: &[Ring], allowed: &Ring) -> Option<Finding> {
    let out = beyond(rings, allowed);
    (out > seems_out(skin)).then(|| {
        // What is less than a tape's marks is told as finely as it counts.
        let far = if out < OVERHANG_MM { fine(out) } else { length(out) };
        Finding::new(
            Severity::Fail,
            "outside",
            &placed.id,
            format!("paint reaches {far} beyond the area it must stay in"),
        )
        .figures(out, Bound::Max, 0.0, "mm")
        .hint("move it, make it smaller, or widen `within`")
    })
}

fn ribs_along(placed: &Placed, rings: &[Ring], ribs: &[FlatRib]) -> Option<Finding> {
    let mut near: Vec<(f64, f64)> = Vec::new();
    for rib in ribs.iter().filter(|r| r.tape > 0.0) {
        // A paint edge down the middle of a wide tape is far from both of its edges.
        let least = offset_sides(rib).iter().filter_map(|side| runs_along(rings, side, 0.0)).reduce(f64::min);
        near.extend(least.map(|d| (rib.station, d)));
    }
    let least = near.iter().map(|n| n.1).reduce(f64::min)?;
    let stations: Vec<String> = near.iter().map(|n| crate::words::inches(n.0)).collect();
    Some(
        Finding::new(
            Severity::Caution,
            "along-rib",
            &placed.id,
            format!(
                "paint edges run along the rib tape at station {} ({})",
                stations.join(", "),
                if least > 0.0 {
                    format!("nearest {}", length(least))
                } else {
                    "some on its edge".to_owned()
                }
            ),
        )
        .figures(least, Bound::Should, NEAR_MM, "mm")
        .source(Basis::Practice, "common practice, no source")
        .hint(format!(
            "keep edges 3/8 in from a rib tape's edge or cross it at more than {ALONG_DEG:.0} degrees; \
             else seal it with the base colour"
        )),
    )
}

/// The two edges of the tape over a rib.
fn offset_sides(rib: &FlatRib) -> [Vec<Edge>; 2] {
    [0.5, -0.5].map(|share| {
        let shifted: Vec<Edge> = geom::measure::segments(&rib.line)
            .map(|e| {
                let aside = geom::point::left_of(e.direction(0.5)) * (share * rib.tape);
                Edge::Line { a: e.start() + aside, b: e.end() + aside }
            })
            .collect();
        shifted
    })
}

fn on_parts(placed: &Placed, rings: &[Ring], skin: &Skin) -> Vec<Finding> {
    let mut findings = Vec::new();
    for part in &skin.parts {
        let area = geom::Region::Area { rings: vec![part.outline.clone()] };
        // As a paint edge enters it, or it lies in paint as a whole.
        let apart = geom::measure::edges_to_region(rings, &area) >= -NOISE_MM;
        if apart && !geom::winding::contains(rings, geom::measure::point_of(&area)) {
            continue;
        }
        let kind = if part.control { "control surface" } else { "part" };
        findings.push(
            Finding::new(Severity::Caution, "on-part", &placed.id, format!("paint lies on {kind} {}", part.id))
                .source(
                    Basis::Read,
                    if part.control {
                        "AC 43.13-1B para 4-36: a change of weight matters more on light control surfaces"
                    } else {
                        ""
                    },
                )
                .hint(if part.control {
                    "ask the aircraft's manual whether it must be balanced after painting; someone licensed decides"
                } else {
                    "paint it apart or with its gap masked, edges ticked on both"
                }),
        );
        if part.hinge.len() >= 2 {
            let gap = geom::Region::Band { path: part.hinge.clone(), width: 1.0 };
            if geom::measure::shape_to_region(rings, &gap) < 0.0 {
                findings.push(
                    Finding::new(
                        Severity::Caution,
                        "on-hinge",
                        &placed.id,
                        format!("paint crosses the hinge line of {}", part.id),
                    )
                    .source(Basis::Practice, "common practice, no source")
                    .hint("a hinge gap must stay free: give it as a feature of kind hinge to make it a wall"),
                );
            }
        }
    }
    findings
}

/// A feature as it is called in a sentence: its kind and id, or its id alone where that says the kind.
pub fn named(feature: &FlatFeature) -> String {
    let kind = kind_word(feature.kind);
    if feature.id.starts_with(kind) { feature.id.clone() } else { format!("{kind} {}", feature.id) }
}

/// The painter's word for a kind of feature.
pub fn kind_word(kind: FeatureKind) -> &'static str {
    use FeatureKind as K;
    match kind {
        K::Ring => "ring",
        K::Plate => "plate",
        K::Cap => "cap",
        K::Step => "step",
        K::Patch => "patch",
        K::Rivets => "rivets",
        K::Port => "port",
        K::Drain => "drain",
        K::Vent => "vent",
        K::Filler => "filler",
        K::Placard => "placard",
        K::DataPlate => "data plate",
        K::Window => "window",
        K::KeepOut => "keep-out",
        K::Hinge => "hinge",
        K::Gap => "gap",
        K::Seam => "seam",
        K::Lap => "lap",
    }
}
