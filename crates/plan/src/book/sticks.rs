//! Story sticks: full-size strips of paper that carry a mark's measures to the skin without a figure being read.
//!
//! One lies along the baseline (its other edge along the cap line), one runs across: round the chord of a wing,
//! up a panel. Each shows the sides of every letter, where its paint edges meet, and the features in reach. Where
//! a wing tapers so that the two ends of the mark read differently, there is a chord stick for each end.

use super::patterns::{ordinal, zero_words};
use super::patterns_level::{Level, bounds};
use super::sticks_drawing::{Line, Span, Stick, drawing};
use crate::fit::placed::PlacedGlyph;
use crate::surface::{Skin, SkinShape};
use geom::tolerance::{FLATTEN_MM, NOISE_UNIT};
use geom::{Edge, Point, Region, Ring, Vec2};
use sheet::Weight;
use sheet::pdf_font::Face;
use sheet::tiles_pages::Drawing;
use sheet::units::INCH_MM;
use sheet::{Room, units::both_words};

/// How far a stick runs on beyond the mark, mm: to hold it by.
const RUN_ON: f64 = 25.0;
/// Features this near to the mark, mm, are shown.
const REACH: f64 = 50.0;
/// A zero this near to the mark, mm, is on the stick too.
const NEAR_ZERO: f64 = 400.0;
/// Just inside a letter's foot or top, mm: there its edges are counted.
const INSIDE: f64 = 0.05;
/// Shortest level edge that is shown on the stick across, mm.
const EDGE_SHOWN: f64 = 5.0;
/// Edges nearer to each other than this, mm, are one line on a stick.
const SAME: f64 = 0.1;
/// Halvings of the search for a line round the chord: a metre to less than a millionth of a millimetre.
const HALVINGS: u32 = 60;

/// The sticks of a mark with the room each takes, mm.
pub(super) fn sticks(level: &Level<'_>, job: &str, surface_words: &str) -> Vec<(Drawing, Room)> {
    let mut sticks = vec![baseline_stick(level)];
    match (&level.skin.shape, is_level(level), level.mark.glyphs.first(), level.mark.glyphs.last()) {
        (SkinShape::Wing(_), true, Some(first), Some(last)) => {
            let read = |p: Point| level.skin.skin_from_flat(p);
            let (left, right) = (read(first.corners[0]), read(last.corners[1]));
            let both = [first.corners[3], last.corners[2]].map(|c| read(c)[1]);
            let apart = |a: f64, b: f64| (a - b).abs() > INCH_MM / 64.0;
            let alike = !apart(left[1], right[1])
                && !apart(both[0], both[1])
                && !apart(
                    level.skin.girth_at(left[0]).unwrap_or(0.0),
                    level.skin.girth_at(right[0]).unwrap_or(0.0),
                );
            let end = if alike { "" } else { ", at the left of the mark" };
            sticks.push(chord_stick(level, left[0], end));
            if !alike {
                sticks.push(chord_stick(level, right[0], ", at the right of the mark"));
            }
        }
        _ => sticks.push(across_stick(level)),
    }
    sticks.into_iter().map(|stick| drawing(&stick, &level.mark.id, job, surface_words)).collect()
}

/// True if the mark reads along the datum line, either way up.
fn is_level(level: &Level<'_>) -> bool {
    // On a body or scan figures are those of the mark itself: its readings do not grow evenly.
    level.mark.angle.sin().abs() < NOISE_UNIT && level.skin.chart().is_none()
}

/// `N`, or `2nd N` where there are several.
fn name_of(level: &Level<'_>, k: usize) -> String {
    let glyphs = &level.mark.glyphs;
    let c = glyphs[k].char;
    let sign = Face::new(Weight::Bold).spelled(&c.to_string()).into_owned();
    let all = glyphs.iter().filter(|g| g.char == c).count();
    let before = glyphs[..k].iter().filter(|g| g.char == c).count();
    if all > 1 { format!("{} {sign}", ordinal(before + 1)) } else { sign }
}

fn baseline_stick(level: &Level<'_>) -> Stick {
    let from_zero = is_level(level);
    let mark = level.mark;
    let mut stick = Stick {
        name: "baseline stick".to_owned(),
        low_edge: "this edge along the baseline".to_owned(),
        high_edge: "this edge along the cap line".to_owned(),
        ..Stick::default()
    };
    for (k, g) in mark.glyphs.iter().enumerate() {
        let name = name_of(level, k);
        let sides = [0, 1].map(|c| level.point(g.corners[c]).x);
        for ((corner, x), side) in [0, 1].into_iter().zip(sides).zip(["left", "right"]) {
            let reading = if from_zero { level.skin.skin_from_flat(g.corners[corner])[0] } else { x };
            stick.lines.push(Line {
                at: x,
                name: format!("{name} {side}"),
                reading: Some(both_words(reading)),
            });
        }
        stick.letters.push((f64::midpoint(sides[0], sides[1]), sides[1] - sides[0], g.char));
        for (y, spans) in [(INSIDE, &mut stick.low), (mark.height - INSIDE, &mut stick.high)] {
            spans.extend(painted(level, g, y).into_iter().map(|(lo, hi)| Span {
                lo,
                hi,
                name: name.clone(),
            }));
        }
    }
    let ends = stick.lines.iter().fold((0.0_f64, mark.length), |e, l| (e.0.min(l.at), e.1.max(l.at)));
    (stick.lo, stick.hi) = (ends.0 - RUN_ON, ends.1 + RUN_ON);
    stick.features = reached(level, (stick.lo, stick.hi), |room| (room.lo.x, room.hi.x));
    stick.about = if from_zero {
        zero_words(level.skin).to_owned()
    } else {
        "Figures from the left side of the mark, along its baseline.".to_owned()
    };
    stick
}

/// Where paint begins and ends along a level line through a letter, from left to right.
fn painted(level: &Level<'_>, glyph: &PlacedGlyph, y: f64) -> Vec<(f64, f64)> {
    // Each crossing with the way its outline runs there: paint is where the sum is not nought, as for the pen.
    let mut met: Vec<(f64, i32)> = Vec::new();
    for ring in &glyph.rings {
        let points = level.ring(ring).flattened(FLATTEN_MM);
        for i in 0..points.len() {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            if (a.y > y) != (b.y > y) {
                let x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
                met.push((x, if b.y > a.y { 1 } else { -1 }));
            }
        }
    }
    met.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut winding, mut start, mut spans) = (0, 0.0, Vec::new());
    for (x, way) in met {
        if winding == 0 {
            start = x;
        }
        winding += way;
        if winding == 0 && x - start > SAME {
            spans.push((start, x));
        }
    }
    spans
}

/// The features in reach, each as a stretch of the stick.
fn reached(level: &Level<'_>, ends: (f64, f64), span: impl Fn(Room) -> (f64, f64)) -> Vec<Span> {
    let glyphs: Vec<&PlacedGlyph> = level.mark.glyphs.iter().collect();
    let around = level.room(&glyphs).inset(-REACH);
    let near = |r: &Region| {
        let room = bounds(&level.region(r, Vec2::ZERO))?;
        let meets = room.lo.x < around.hi.x
            && around.lo.x < room.hi.x
            && room.lo.y < around.hi.y
            && around.lo.y < room.hi.y;
        meets.then_some(room)
    };
    let features = level.skin.features.iter().filter_map(|f| {
        let (lo, hi) = span(near(&f.region)?);
        (hi > ends.0 && lo < ends.1).then(|| Span { lo, hi, name: f.id.clone() })
    });
    features.collect()
}

/// Heights of the level edges of the letters, with the letters they belong to; feet and tops left out.
fn level_edges(level: &Level<'_>) -> Vec<(f64, String)> {
    let mut found: Vec<(f64, String)> = Vec::new();
    for g in &level.mark.glyphs {
        for edge in g.rings.iter().map(|r| level.ring(r)).flat_map(|r: Ring| r.edges().collect::<Vec<_>>()) {
            let Edge::Line { a, b } = edge else { continue };
            let flat = (a.y - b.y).abs() < SAME && (a.x - b.x).abs() > EDGE_SHOWN;
            let inner = SAME < a.y && a.y < level.mark.height - SAME;
            if !(flat && inner) {
                continue;
            }
            match found.iter_mut().find(|(y, _)| (*y - a.y).abs() < SAME) {
                Some((_, names)) if names.contains(g.char) => {}
                Some((_, names)) => names.push(g.char),
                None => found.push((a.y, g.char.to_string())),
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// Round the chord of a wing at station `s`: from the leading to the trailing edge.
fn chord_stick(level: &Level<'_>, s: f64, end: &str) -> Stick {
    let skin = level.skin;
    let girth = skin.girth_at(s).unwrap_or(0.0);
    let mut stick = Stick {
        name: format!("chord stick{end}"),
        low_edge: "along the skin, at the rib direction".to_owned(),
        high_edge: "leading edge at the left end".to_owned(),
        lo: -RUN_ON,
        hi: girth + RUN_ON,
        about: format!("Round the chord at station {}, from the leading edge.", crate::words::length(s)),
        ..Stick::default()
    };
    let t_of = |y: f64| chord_place(level, skin, s, girth, y);
    let mut line = |at: f64, name: &str| {
        stick.lines.push(Line { at, name: name.to_owned(), reading: Some(both_words(at)) });
    };
    line(0.0, "leading edge");
    line(t_of(level.mark.height), "cap line");
    line(t_of(0.0), "baseline");
    line(girth, "trailing edge");
    stick.ticks = level_edges(level).into_iter().map(|(y, names)| (t_of(y), names)).collect();
    stick.lines.sort_by(|a, b| a.at.total_cmp(&b.at));
    let t = |p: Point| skin.skin_from_flat(p)[1];
    let glyphs: Vec<&PlacedGlyph> = level.mark.glyphs.iter().collect();
    let around = level.room(&glyphs).inset(-REACH);
    for f in &skin.features {
        let Some(room) = bounds(&level.region(&f.region, Vec2::ZERO)) else { continue };
        if room.hi.x < around.lo.x || around.hi.x < room.lo.x {
            continue;
        }
        let (lo, hi) = match &f.region {
            Region::Disc { centre, radius } => (t(*centre) - radius, t(*centre) + radius),
            Region::Area { rings } => ends(rings.iter().flat_map(|r| r.flattened(FLATTEN_MM)).map(t)),
            Region::Band { path, width } => {
                let (lo, hi) = ends(path.iter().map(|p| t(*p)));
                (lo - width / 2.0, hi + width / 2.0)
            }
        };
        if hi > stick.lo && lo < stick.hi {
            stick.features.push(Span { lo, hi, name: f.id.clone() });
        }
    }
    stick
}

/// Where round the chord at station `s` a level line of the mark runs, mm from the leading edge.
fn chord_place(level: &Level<'_>, skin: &Skin, s: f64, girth: f64, y: f64) -> f64 {
    let height = |t: f64| level.point(skin.flat_from_skin([s, t])).y - y;
    // The mark may lie with its tops to either edge, and hang over one: search half a chord beyond both.
    let (mut lo, mut hi) = (-0.5 * girth, 1.5 * girth);
    let rising = height(hi) > height(lo);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(lo, hi);
        if (height(middle) > 0.0) == rising {
            hi = middle;
        } else {
            lo = middle;
        }
    }
    f64::midpoint(lo, hi)
}

/// Up a flat panel, or across a mark that is turned.
fn across_stick(level: &Level<'_>) -> Stick {
    let from_zero = is_level(level);
    let first = level.mark.glyphs.first();
    let zero = first.map_or(0.0, |g| level.skin.skin_from_flat(g.corners[0])[1]);
    // Upside down, heights on the panel run against those of the mark.
    let sign = if level.mark.angle.cos() < 0.0 { -1.0 } else { 1.0 };
    let place = |y: f64| if from_zero { zero + sign * y } else { y };
    let (a, b) = (place(0.0), place(level.mark.height));
    let (mut lo, hi) = (a.min(b) - RUN_ON, a.max(b) + RUN_ON);
    let mut stick = Stick {
        name: "height stick".to_owned(),
        low_edge: "upright, square to the baseline".to_owned(),
        high_edge: if sign > 0.0 { "tops at the right end" } else { "tops at the left end" }.to_owned(),
        about: if from_zero {
            zero_words(level.skin).to_owned()
        } else {
            "Figures from the baseline, square to it.".to_owned()
        },
        ..Stick::default()
    };
    if from_zero && 0.0 < lo && lo < NEAR_ZERO {
        lo = -RUN_ON;
        stick.lines.push(Line { at: 0.0, name: "zero".to_owned(), reading: None });
    }
    (stick.lo, stick.hi) = (lo, hi);
    for (y, name) in [(0.0, "baseline"), (level.mark.height, "cap line")] {
        stick.lines.push(Line { at: place(y), name: name.to_owned(), reading: Some(both_words(place(y))) });
    }
    stick.lines.sort_by(|a, b| a.at.total_cmp(&b.at));
    stick.ticks = level_edges(level).into_iter().map(|(y, names)| (place(y), names)).collect();
    stick.features = reached(level, (lo, hi), |room| {
        let (p, q) = (place(room.lo.y), place(room.hi.y));
        (p.min(q), p.max(q))
    });
    stick
}

fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(v), hi.max(v)))
}
