//! The measures that put a mark on the skin and prove that it is there: both lines of each character's box from
//! one zero, baseline and caps, check dimensions and diagonals, swing distances from two marked points, and
//! what a straight rule reads where the tape follows the skin.

use super::pages::{spare, stand_words};
use super::plan_file::{mm, relation_word};
use crate::Plan;
use crate::fit::placed::Placed;
use crate::job::{SurfaceShape, Unit};
use crate::surface::{Skin, SkinShape};
use geom::Point;
use geom::tolerance::NOISE_UNIT;
use serde_json::{Value, json};
use sheet::units::INCH_MM;

/// Readings that differ by less than this, mm (1/64 in), are one reading on the tape.
const READS_ALIKE: f64 = INCH_MM / 64.0;

/// Everything the book says of a mark's measures; `None` if it has no characters. `called` is its name among others.
pub(super) fn mark_page(plan: &Plan, mark: &Placed, called: String) -> Option<Value> {
    let surface = plan.job.surfaces.iter().find(|s| s.id == mark.surface)?;
    let skin = mark.skin(&plan.skins)?;
    let (first, last) = (mark.glyphs.first()?, mark.glyphs.last()?);
    let asked = plan.job.marks.iter().find(|m| m.id == mark.id);
    let corners = [first.corners[0], last.corners[1], last.corners[2], first.corners[3]];
    let axis = Axis::of(mark.angle);
    let read = |p: Point| skin.skin_from_flat(p);
    let along = |p: Point| read(p)[axis.along()];
    let across = |p: Point| read(p)[1 - axis.along()];
    let lines: Vec<Value> = mark
        .glyphs
        .iter()
        .map(|g| {
            let [left, right, cap_right, cap_left] = g.corners;
            json!({
                "char": g.char.to_string(),
                "width_mm": mm(g.width),
                "left_mm": mm(along(left)), "right_mm": mm(along(right)),
                "cap_left_mm": mm(along(cap_left)), "cap_right_mm": mm(along(cap_right)),
                "corners_mm": g.corners.map(read).concat().into_iter().map(mm).collect::<Vec<_>>(),
            })
        })
        .collect();
    let slanted = mark.glyphs.iter().any(|g| {
        let apart = |low: Point, high: Point| (along(low) - along(high)).abs() > READS_ALIKE;
        apart(g.corners[0], g.corners[3]) || apart(g.corners[1], g.corners[2])
    });
    // Where its surface is told beside it, its words are enough unless another there says the same.
    let alone = plan.marks.iter().filter(|m| m.surface == mark.surface && m.text == mark.text).count() == 1;
    Some(json!({
        "id": mark.id,
        "text": if alone { &mark.text } else { &called },
        "called": called,
        "surface": mark.surface,
        "surface_words": surface.in_words(),
        "paint": asked.map_or("", |m| m.paint.as_str()),
        "tops": tops_words(skin, mark.angle),
        "stand": stand_words(skin, mark.angle.cos() < 0.0),
        "height_mm": mm(mark.height),
        "length_mm": mm(mark.length),
        "stroke_mm": mm(mark.stroke),
        "gap_mm": mm(mark.gap),
        "level": axis != Axis::Turned,
        "slanted": slanted,
        "lines": lines,
        "along_words": axis.along_words(skin),
        "across_words": axis.across_words(skin),
        "levels": {
            "base_mm": [mm(across(corners[0])), mm(across(corners[1]))],
            "caps_mm": [mm(across(corners[3])), mm(across(corners[2]))],
        },
        "checks": checks(skin, mark, &corners),
        "swings": swings(plan, mark, &corners),
        "straight": straight(skin, mark, &corners),
        "straight_from": from_words(skin),
        "edge": along_edge(skin, mark, &corners),
        "fits": mark.fit.features.iter().map(|f| json!({
            "id": f.id, "relation": relation_word(f.relation), "spare": spare(f),
        })).collect::<Vec<_>>(),
    }))
}

/// Along which of the two measures of the skin a mark reads.
#[derive(Clone, Copy, PartialEq)]
enum Axis {
    /// Along the first: the span, or x.
    First,
    /// Along the second: down the chord, or y.
    Second,
    /// Along neither.
    Turned,
}

impl Axis {
    fn of(angle: f64) -> Axis {
        if angle.sin().abs() < NOISE_UNIT {
            Axis::First
        } else if angle.cos().abs() < NOISE_UNIT {
            Axis::Second
        } else {
            Axis::Turned
        }
    }

    fn along(self) -> usize {
        usize::from(self == Axis::Second)
    }

    fn along_words(self, skin: &Skin) -> &'static str {
        match (&skin.shape, self) {
            (SkinShape::Wing(_), Axis::Second) => "Down the skin from the leading edge, all from one zero.",
            (SkinShape::Wing(_), _) => {
                "Out from the root rib, square to it, read at the baseline, all from one zero."
            }
            (SkinShape::Chart(chart), axis) if chart.is_scan() => match axis {
                Axis::Second => "Up from the middle of the mark, with a tape on the skin.",
                _ => "From the middle of the mark along its baseline, with a tape on the skin.",
            },
            (SkinShape::Chart(_) | SkinShape::Body(_), Axis::Second) => {
                "Up round the skin from the waterline, all from one zero."
            }
            (SkinShape::Chart(_) | SkinShape::Body(_), _) => {
                "Station from the datum, read at the baseline, all from one zero; straight along the body: a tape along the skin \
                 reads more."
            }
            (_, Axis::Second) => "Up from the datum corner, all from one zero.",
            (_, _) => "From the datum corner to the right, all from one zero.",
        }
    }

    fn across_words(self, skin: &Skin) -> &'static str {
        match (&skin.shape, self) {
            (SkinShape::Wing(_), Axis::Second) => "Out from the root rib, square to it.",
            (SkinShape::Wing(_), _) => "Down the skin from the leading edge, along the rib direction.",
            (SkinShape::Chart(chart), axis) if chart.is_scan() => match axis {
                Axis::Second => "From the middle of the mark along its baseline.",
                _ => "Up from the middle of the mark.",
            },
            (SkinShape::Chart(_) | SkinShape::Body(_), Axis::Second) => "Station from the datum.",
            (SkinShape::Chart(_) | SkinShape::Body(_), _) => "Up round the skin from the waterline.",
            (_, Axis::Second) => "From the datum corner to the right.",
            (_, _) => "Up from the datum corner.",
        }
    }
}

/// Where the tops of the letters point.
fn tops_words(skin: &Skin, angle: f64) -> String {
    let (sin, cos) = (angle.sin(), angle.cos());
    match &skin.shape {
        SkinShape::Wing(_) if cos > 0.0 => "tops toward the leading edge".to_owned(),
        SkinShape::Wing(_) => "tops toward the trailing edge".to_owned(),
        SkinShape::Chart(_) => "tops up".to_owned(),
        _ => {
            if sin.abs() < NOISE_UNIT && cos > 0.0 {
                "tops up".to_owned()
            } else if sin.abs() < NOISE_UNIT {
                "tops down".to_owned()
            } else if cos.abs() < NOISE_UNIT {
                format!("tops to your {}", if sin > 0.0 { "left" } else { "right" })
            } else {
                let way = if sin > 0.0 { "left" } else { "right" };
                format!("tops leaning {} degrees to your {way}", sin.atan2(cos).to_degrees().abs().round())
            }
        }
    }
}

/// Dimensions that must come out, each a straight line on the flat skin: over all, heights, both diagonals, and
/// two from an edge the layout was not measured from.
fn checks(skin: &Skin, mark: &Placed, corners: &[Point; 4]) -> Vec<Value> {
    let [base_left, base_right, cap_right, cap_left] = *corners;
    let (first, last) = end_names(mark);
    let row = |words: String, length: f64| json!({"words": words, "length_mm": mm(length)});
    let mut rows = vec![
        row("over all, along the baseline".to_owned(), (base_right - base_left).hypot()),
        row(format!("height at the left of {first}"), (cap_left - base_left).hypot()),
        row(format!("height at the right of {last}"), (cap_right - base_right).hypot()),
        row(format!("diagonal, lower left {first} to upper right {last}"), (cap_right - base_left).hypot()),
        row(format!("diagonal, lower right {last} to upper left {first}"), (cap_left - base_right).hypot()),
    ];
    match &skin.shape {
        SkinShape::Wing(wing) => {
            for (p, name) in
                [(base_left, format!("{first} lower left")), (base_right, format!("{last} lower right"))]
            {
                let [s, t] = skin.skin_from_flat(p);
                rows.push(row(format!("{name} to the trailing edge"), wing.girth(s) - t));
            }
        }
        SkinShape::Body(_) | SkinShape::Scan(_) | SkinShape::Chart(_) | SkinShape::Strip(_) => {}
        SkinShape::Flat => {
            rows.push(row(format!("datum corner to {first} lower left"), (base_left - Point::ZERO).hypot()));
            rows.push(row(format!("datum corner to {last} upper right"), (cap_right - Point::ZERO).hypot()));
        }
    }
    rows
}

/// What the first and the last character are called; told apart if they are the same letter.
fn end_names(mark: &Placed) -> (String, String) {
    let first = mark.glyphs.first().map_or(' ', |g| g.char);
    let last = mark.glyphs.last().map_or(' ', |g| g.char);
    if mark.glyphs.len() > 1 && first == last {
        (format!("first {first}"), format!("last {last}"))
    } else {
        (first.to_string(), last.to_string())
    }
}

/// The two marked points on an edge that swing distances are struck from.
pub(super) struct SwingPoints {
    /// In flat.
    pub(super) at: [Point; 2],
    /// Where each is, in words.
    words: [String; 2],
}

/// Two points on the edge the user measures from, beside the ends of the mark at full inches (or centimetres);
/// on a flat panel its first two corners. `None` if they would fall on one another.
pub(super) fn swing_points(plan: &Plan, mark: &Placed) -> Option<SwingPoints> {
    let (surface, skin) =
        plan.job.surfaces.iter().zip(&plan.skins).find(|(_, skin)| skin.id == mark.surface)?;
    let step = swing_step(plan.job.units);
    let points = match (&skin.shape, &surface.shape.value) {
        (SkinShape::Wing(wing), SurfaceShape::Wing(shape)) => {
            let stations: Vec<f64> =
                mark.glyphs.iter().flat_map(|g| g.corners).map(|p| skin.skin_from_flat(p)[0]).collect();
            let lo = stations.iter().copied().fold(f64::INFINITY, f64::min);
            let hi = stations.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let snap = |s: f64| ((s / step).round() * step).clamp(0.0, wing.span());
            let edge = if shape.t_from_trailing { "trailing" } else { "leading" };
            let point =
                |s: f64| skin.flat_from_skin([s, if shape.t_from_trailing { wing.girth(s) } else { 0.0 }]);
            let name = |s: f64| format!("the {edge} edge at station {}", crate::words::length(s));
            let (lo, hi) = (snap(lo), snap(hi));
            SwingPoints { at: [point(lo), point(hi)], words: [name(lo), name(hi)] }
        }
        (SkinShape::Flat, SurfaceShape::Flat { corners }) if corners.len() >= 2 => SwingPoints {
            at: [corners[0], corners[1]].map(|[x, y]| Point::new(x, y)),
            words: ["the datum corner".to_owned(), "the next corner along the edge".to_owned()],
        },
        _ => return None,
    };
    ((points.at[1] - points.at[0]).hypot() >= step).then_some(points)
}

/// Swing points stand at full inches or centimetres; nothing nearer than this is struck, mm.
fn swing_step(units: Unit) -> f64 {
    match units {
        Unit::In | Unit::Ft => INCH_MM,
        Unit::Mm | Unit::Cm | Unit::M => 10.0,
    }
}

/// The distance of each corner of the whole mark from both points, along the skin (it unrolls without stretch,
/// so the taut tape is the straight line in flat), and the angle at which the arcs cross.
fn swings(plan: &Plan, mark: &Placed, corners: &[Point; 4]) -> Value {
    let Some(SwingPoints { at: [a, b], words: [a_words, b_words] }) = swing_points(plan, mark) else {
        return Value::Null;
    };
    let step = swing_step(plan.job.units);
    let (first, last) = end_names(mark);
    let names = [
        format!("{first} lower left"),
        format!("{last} lower right"),
        format!("{last} upper right"),
        format!("{first} upper left"),
    ];
    let points: Vec<Value> = corners
        .iter()
        .zip(names)
        .filter(|(p, _)| (**p - a).hypot() > step && (**p - b).hypot() > step)
        .map(|(p, words)| {
            let (to_a, to_b) = (a - *p, b - *p);
            let cross = to_a.cross(to_b).abs().atan2(to_a.dot(to_b)).to_degrees();
            json!({
                "words": words, "a_mm": mm(to_a.hypot()), "b_mm": mm(to_b.hypot()), "cross_deg": cross.round(),
            })
        })
        .collect();
    json!({"a_words": a_words, "b_words": b_words, "apart_mm": mm((b - a).hypot()), "points": points})
}

/// Where a straight rule and the tape start, for the lines of a mark.
fn from_words(skin: &Skin) -> &'static str {
    match &skin.shape {
        SkinShape::Wing(_) => "from the leading edge",
        SkinShape::Chart(chart) if chart.is_scan() => "up or down from the middle of the mark",
        SkinShape::Body(_) | SkinShape::Chart(_) | SkinShape::Strip(_) => "up or down from the waterline",
        SkinShape::Scan(_) | SkinShape::Flat => "from the datum corner",
    }
}

/// What a straight rule reads to the lines of the mark from where the tape starts, where the tape follows the skin; both
/// without a sign, whichever way they run.
fn straight(skin: &Skin, mark: &Placed, corners: &[Point; 4]) -> Vec<Value> {
    if skin.space_from_flat(corners[0]).is_none() {
        return vec![];
    }
    let [base_left, base_right, cap_right, cap_left] = *corners;
    let (first, last) = end_names(mark);
    let t = |p: Point| skin.skin_from_flat(p)[1];
    let same = (t(cap_left) - t(cap_right)).abs().max((t(base_left) - t(base_right)).abs()) < READS_ALIKE;
    let rows = if same {
        vec![(cap_left, "caps".to_owned()), (base_left, "baseline".to_owned())]
    } else {
        vec![
            (cap_left, format!("caps at {first}")),
            (base_left, format!("baseline at {first}")),
            (cap_right, format!("caps at {last}")),
            (base_right, format!("baseline at {last}")),
        ]
    };
    rows.into_iter()
        .filter_map(|(p, words)| {
            let [s, t] = skin.skin_from_flat(p);
            let edge = skin.space_from_flat(skin.flat_from_skin([s, 0.0]))?;
            let rule = (skin.space_from_flat(p)? - edge).length();
            Some(json!({"words": words, "skin_mm": mm(t.abs()), "rule_mm": mm(rule), "more_mm": mm(t.abs() - rule)}))
        })
        .collect()
}

/// Stations against a tape laid along the leading edge, where that is swept and the two differ.
fn along_edge(skin: &Skin, mark: &Placed, corners: &[Point; 4]) -> Vec<Value> {
    let SkinShape::Wing(wing) = &skin.shape else { return vec![] };
    let (first, last) = end_names(mark);
    [(corners[0], format!("left of {first}")), (corners[1], format!("right of {last}"))]
        .into_iter()
        .filter_map(|(p, words)| {
            let s = skin.skin_from_flat(p)[0];
            let tape = wing.leading_edge_to(s);
            ((tape - s).abs() > READS_ALIKE)
                .then(|| json!({"words": words, "station_mm": mm(s), "edge_mm": mm(tape)}))
        })
        .collect()
}
