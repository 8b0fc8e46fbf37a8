//! The measures on the layout drawing: both sides of every character's box along one datum line, baseline and
//! caps along the other, each chain read from one zero.

use super::layout::View;
use super::layout_skin::{OnSheet, aside};
use crate::fit::placed::{Placed, PlacedGlyph};
use crate::surface::SkinShape;
use crate::words::length;
use geom::{Point, Vec2};
use sheet::ordinates::{Lay, Ordinates, Stop};
use sheet::tokens::TYPE_LABEL;
use sheet::units::{INCH_MM, both_words, mm_words, tape_measure};
use sheet::{Item, Room, Text};

/// From the skin to a chain's rail, mm on paper.
const RAIL: f64 = 9.0;
/// Readings nearer to each other than this, mm on the skin, are one.
const SAME: f64 = 0.05;
/// Share of the cap height up to which neighbours stand on one line.
const LINE: f64 = 0.1;
/// Leaning less than this, degrees, a mark keeps its chains. chosen: beyond it the lines run into each other.
const LEVEL_DEG: f64 = 10.0;
/// Stations nearer to each other than this, mm on the skin (1/64 in), read the same on the tape.
const READS_ALIKE: f64 = INCH_MM / 64.0;

/// The two chains of every mark that stands level with the datum lines.
pub(super) fn chains(view: &View<'_>, on: &OnSheet, skin_room: Room) -> Vec<Item> {
    // On the view of a scan no length can be read.
    if matches!(view.skin.shape, SkinShape::Scan(_)) {
        return Vec::new();
    }
    let level: Vec<&Placed> = view.marks.iter().copied().filter(|m| is_level(m)).collect();
    let skin = view.skin;
    let mut items = Vec::new();
    let zero = on.point(Point::ZERO);

    // Along the span (flat panels: x): the left and right line of every box, read at the baseline.
    let outboard = skin.flat_from_skin([1.0, 0.0]).x >= skin.flat_from_skin([0.0, 0.0]).x;
    let along = if outboard { 1.0 } else { -1.0 };
    let mut stops = vec![Stop { at: 0.0, from: 0.0, lines: vec![both_words(0.0)] }];
    // Of several lines the one next to the chain: readings of another would run through its letters.
    let glyphs = level.iter().flat_map(|mark| shown_line(mark, on));
    for corner in glyphs.flat_map(|g| [g.corners[0], g.corners[1]]) {
        let at = on.point(corner);
        // `from` counts to the left of the axis; the chain lies below the skin whichever way it runs.
        let stop = Stop {
            at: (at.x - zero.x) * along,
            from: (at.y - skin_room.lo.y) * along,
            lines: vec![both_words(skin.skin_from_flat(corner)[0])],
        };
        if !stops.iter().any(|s: &Stop| (s.at - stop.at).abs() < SAME * on.scale) {
            stops.push(stop);
        }
    }
    stops.sort_by(|a, b| a.at.total_cmp(&b.at));
    if stops.len() > 1 {
        let axis = Point::new(zero.x, skin_room.lo.y);
        let room = if outboard {
            (skin_room.lo.x - zero.x - 12.0, skin_room.hi.x - zero.x + 12.0)
        } else {
            (zero.x - skin_room.hi.x - 12.0, zero.x - skin_room.lo.x + 12.0)
        };
        let chain = Ordinates {
            room,
            size: TYPE_LABEL + 0.4,
            ..Ordinates::new(axis, Vec2::new(along, 0.0), -RAIL * along, Lay::Across, stops)
        };
        items.extend(chain.draw().items);
        items.extend(names(view, on, skin_room.lo.y - RAIL + 2.6));
    }

    // Across it: baseline and caps of the first character of each line, and the far edge of a wing.
    let wing = matches!(skin.shape, SkinShape::Wing(_));
    let down = if wing { -1.0 } else { 1.0 };
    let mut stops = vec![Stop { at: 0.0, from: 0.0, lines: vec![both_words(0.0)] }];
    let side = skin_room.lo.x;
    for corner in level.iter().flat_map(|m| lines(m)).flat_map(|l| [l[0].corners[0], l[0].corners[3]]) {
        let at = on.point(corner);
        let t = skin.skin_from_flat(corner)[1];
        stops.push(Stop {
            at: (at.y - zero.y) * down,
            from: (at.x - side) * -down,
            lines: vec![tape_measure(t).words(), mm_words(t)],
        });
    }
    if wing && let Some(girth) = skin.girth_at(0.0) {
        let at = on.point(skin.flat_from_skin([0.0, girth]));
        stops.push(Stop {
            at: (at.y - zero.y) * down,
            from: 0.0,
            lines: vec![tape_measure(girth).words(), mm_words(girth)],
        });
    }
    stops.sort_by(|a, b| a.at.total_cmp(&b.at));
    if stops.len() > 1 {
        let chain = Ordinates {
            size: TYPE_LABEL + 0.4,
            ..Ordinates::new(Point::new(side, zero.y), Vec2::new(0.0, down), RAIL * down, Lay::Across, stops)
        };
        items.extend(chain.draw().items);
    }
    items
}

/// Where zero is, in words, and what the other small signs on the skin stand for; for the sheet's upper left corner.
pub(super) fn zero_words(view: &View<'_>, on: &OnSheet, corner: Point) -> Vec<Item> {
    let zero = match &view.skin.shape {
        SkinShape::Wing(_) => {
            "ring: zero, the leading edge at the root rib. Lay the tape along the skin, not across it"
        }
        SkinShape::Body(_) | SkinShape::Chart(_) | SkinShape::Strip(_) => {
            "ring: zero, station 0 at the waterline. Up is girth, with a tape laid round the skin; lengths between \
             are not to scale"
        }
        SkinShape::Scan(scan) if scan.axes().is_some() => {
            "ring: zero, station 0 at height 0 of the scan's axes. Seen from straight out; not lengths over its skin"
        }
        SkinShape::Scan(_) => "the scan seen from straight out; not lengths over its skin",
        SkinShape::Flat => "ring: zero, the datum corner",
    };
    let mut words = Vec::new();
    if view.stripes.iter().any(|s| !s.ticks.is_empty()) {
        words.push("Dark diamond: tick the part and the skin beside it");
    }
    if view.marks.iter().any(|m| aside(m, on)) {
        words.push("Cross: where the middle of the mark was wanted; small ring: where it is");
    }
    // On a line of their own, or over them if where the marks may be is told: the middle of the edge has the sheet's own
    // sign.
    let mut lines = vec![zero.to_owned()];
    match (words.is_empty(), &view.rooms) {
        (true, _) => {}
        (false, None) => lines.push(words.join(". ")),
        (false, Some(_)) => lines[0] = format!("{zero}. {}", words.join(". ")),
    }
    let at = |k: usize| corner + Vec2::new(3.0, -4.0 - 4.5 * k as f64);
    lines.into_iter().enumerate().map(|(k, words)| Item::Text(Text::new(at(k), words, TYPE_LABEL))).collect()
}

/// What chains cannot show: boxes of turned marks corner by corner, baselines that do not stay level.
pub(super) fn corner_lines(view: &View<'_>, on: &OnSheet) -> Vec<String> {
    let mut found = Vec::new();
    let skin = view.skin;
    let read = |p: Point| {
        let [s, t] = skin.skin_from_flat(p);
        format!("{} / {}", length(s), length(t))
    };
    for mark in &view.marks {
        if let (SkinShape::Scan(_), Some(charts)) = (&skin.shape, &mark.charts) {
            found.push(format!(
                "{}: from its middle, along its baseline and up, with a tape on the skin",
                mark.words()
            ));
            for (glyph, chart) in mark.glyphs.iter().zip(&charts.letters) {
                let (off, half) = (chart.offset(), chart.size() / 2.0);
                found.push(format!(
                    "{}: left {}, right {}, foot {}, top {}",
                    glyph.char,
                    length(off.x - half.x),
                    length(off.x + half.x),
                    length(off.y - half.y),
                    length(off.y + half.y)
                ));
            }
        } else if !is_level(mark) {
            for g in &mark.glyphs {
                found.push(format!(
                    "{}: baseline {} to {}, caps {} to {}",
                    g.char,
                    read(g.corners[0]),
                    read(g.corners[1]),
                    read(g.corners[3]),
                    read(g.corners[2])
                ));
            }
        } else {
            found.extend(other_lines(mark, on, &|p| skin.skin_from_flat(p)[0]));
            found.extend(cap_stations(mark, &|p| skin.skin_from_flat(p)[0]));
            let t = |p: Point| skin.skin_from_flat(p)[1];
            for row in lines(mark) {
                let (first, last) = (&row[0], &row[row.len() - 1]);
                if (t(first.corners[0]) - t(last.corners[1])).abs() > 10.0 * SAME {
                    found.push(format!(
                        "{}: at the last character the baseline is at {}, the caps at {}",
                        row.iter().map(|g| g.char).collect::<String>(),
                        length(t(last.corners[1])),
                        length(t(last.corners[2]))
                    ));
                }
            }
        }
    }
    found
}

/// The line of a mark whose stations the drawing shows: of several the lowest on paper.
fn shown_line<'a>(mark: &'a Placed, on: &OnSheet) -> &'a [PlacedGlyph] {
    let height = |line: &&[PlacedGlyph]| on.point(line[0].corners[0]).y;
    lines(mark).into_iter().min_by(|a, b| height(a).total_cmp(&height(b))).unwrap_or_default()
}

/// The stations of the lines that the drawing has no room for.
fn other_lines(mark: &Placed, on: &OnSheet, station: &dyn Fn(Point) -> f64) -> Vec<String> {
    let said = |line: &[PlacedGlyph]| line.iter().map(|g| g.char).collect::<String>();
    let shown = shown_line(mark, on);
    let mut found = Vec::new();
    for line in lines(mark).into_iter().filter(|line| !std::ptr::eq(*line, shown)) {
        found.push(format!(
            "{}: the stations under the drawing are those of {}; here they are, at the baseline,",
            said(line),
            said(shown)
        ));
        found.extend(line.iter().map(|g| {
            let [left, right] = [g.corners[0], g.corners[1]].map(|p| length(station(p)));
            format!("{}: left {left}, right {right}", g.char)
        }));
    }
    found
}

/// The stations of the caps, where they are not those of the baseline: on a tapered or swept skin stations run
/// at a slant to the letters, and one carried from the baseline up to the caps would make them lean.
fn cap_stations(mark: &Placed, station: &dyn Fn(Point) -> f64) -> Vec<String> {
    let apart = |low: Point, high: Point| (station(low) - station(high)).abs() > READS_ALIKE;
    let slanted =
        mark.glyphs.iter().any(|g| apart(g.corners[0], g.corners[3]) || apart(g.corners[1], g.corners[2]));
    if !slanted {
        return Vec::new();
    }
    let mut lines = vec![format!(
        "{}: the stations under the drawing hold at the baseline; at the caps they are",
        mark.words()
    )];
    lines.extend(mark.glyphs.iter().map(|g| {
        let [left, right] = [g.corners[3], g.corners[2]].map(|p| length(station(p)));
        format!("{}: left {left}, right {right}", g.char)
    }));
    lines
}

/// The lines of a mark: a character that does not stand on the baseline of the one before starts another.
fn lines(mark: &Placed) -> Vec<&[PlacedGlyph]> {
    let same = |a: &PlacedGlyph, b: &PlacedGlyph| {
        let along = b.corners[1] - b.corners[0];
        // On a body a baseline straight on the skin bends a little in its readings; lines are a height apart.
        (b.corners[0] - a.corners[0]).cross(along).abs() <= LINE * mark.height * along.hypot()
    };
    mark.glyphs.chunk_by(same).collect()
}

/// True if the mark reads along the datum line, either way up, or so nearly that a chain still tells its boxes
/// apart: a baseline along the span of a swept wing leans a few degrees.
fn is_level(mark: &Placed) -> bool {
    mark.angle.sin().abs() < LEVEL_DEG.to_radians().sin()
}

/// Which character each stretch of the chain belongs to, between its two lines.
fn names(view: &View<'_>, on: &OnSheet, y: f64) -> Vec<Item> {
    let mut taken: Vec<(f64, f64)> = Vec::new();
    let mut items = Vec::new();
    for glyph in view.marks.iter().filter(|m| is_level(m)).flat_map(|m| shown_line(m, on)) {
        let [a, b] = [glyph.corners[0], glyph.corners[1]].map(|p| on.point(p).x);
        let text =
            Text::centred(Point::new(f64::midpoint(a, b), y), glyph.char.to_string(), TYPE_LABEL + 0.4);
        let (lo, hi) = (text.corners()[0].x, text.corners()[1].x);
        // Of marks over each other only the first is named; the readings of both stand below.
        if lo > a.min(b) && hi < a.max(b) && taken.iter().all(|t| hi < t.0 || t.1 < lo) {
            taken.push((lo, hi));
            items.push(Item::Text(Text { clears: true, ..text }));
        }
    }
    items
}
