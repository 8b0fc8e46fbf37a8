//! A story stick as it is drawn: long lines with their readings, short ones where paint edges meet its edges,
//! and the features in lanes above each other.

use geom::{Point, Vec2};
use sheet::tiles_pages::{Drawing, Guide, Label};
use sheet::tiles_panel::Facts;
use sheet::tokens::{SOFT_INK, TYPE_LABEL};
use sheet::units::plain;
use sheet::{Anchor, Fill, Item, Layer, Lean, Role, Room, Text, Weight, Words, pen};
use std::f64::consts::FRAC_PI_2;

/// Height of the zone of short lines at either edge, mm.
const TICKS: f64 = 10.0;
/// Height of the zone of readings, mm: the longest reading stands upright in it.
const READINGS: f64 = 52.0;
/// Height of one lane of features, mm.
const LANE: f64 = 5.0;
/// Readings with fractions, mm: their small figures are 7.4 points tall.
const FIGURES: f64 = 3.75;

/// A stick before it is drawn; all places in mm along it.
#[derive(Default)]
pub(super) struct Stick {
    pub(super) name: String,
    /// Its two ends.
    pub(super) lo: f64,
    pub(super) hi: f64,
    /// What its lower and upper edge are laid to.
    pub(super) low_edge: String,
    pub(super) high_edge: String,
    /// Where its figures are read from.
    pub(super) about: String,
    pub(super) lines: Vec<Line>,
    /// Short lines with names.
    pub(super) ticks: Vec<(f64, String)>,
    /// Middle, width and name of every letter.
    pub(super) letters: Vec<(f64, f64, char)>,
    /// Paint along the lower and the upper edge.
    pub(super) low: Vec<Span>,
    pub(super) high: Vec<Span>,
    pub(super) features: Vec<Span>,
}

/// A line across the stick.
pub(super) struct Line {
    pub(super) at: f64,
    pub(super) name: String,
    pub(super) reading: Option<Words>,
}

/// A stretch along the stick.
pub(super) struct Span {
    pub(super) lo: f64,
    pub(super) hi: f64,
    pub(super) name: String,
}

/// The drawing of a stick and the room it takes.
pub(super) fn drawing(stick: &Stick, mark: &str, job: &str, surface_words: &str) -> (Drawing, Room) {
    let (lanes, count) = lanes(stick);
    let readings_top = TICKS + READINGS;
    let features_top = readings_top + LANE * count as f64 + if count > 0 { 2.0 } else { 0.0 };
    let height = features_top + TICKS;
    let room = Room { lo: Point::new(stick.lo, 0.0), hi: Point::new(stick.hi, height) };
    let (mut lines, mut paint, mut features) = (Vec::new(), Vec::new(), Vec::new());
    let mut labels = Vec::new();
    let mut keep_clear = Vec::new();
    for line in &stick.lines {
        let ends = vec![Point::new(line.at, 0.0), Point::new(line.at, height)];
        lines.push(Item::line(ends.clone(), pen(Role::CutLine)));
        keep_clear.push(ends);
        labels.push(upright(line.at, line.name.as_str().into(), TYPE_LABEL + 0.4, Weight::Bold, true));
        if let Some(reading) = &line.reading {
            labels.push(upright(line.at, reading.clone(), FIGURES, Weight::Regular, false));
        }
    }
    for (middle, width, c) in &stick.letters {
        let size = (width / 2.0).clamp(5.0, 14.0);
        let at = |x: f64, y: f64| Text {
            weight: Weight::Bold,
            colour: SOFT_INK,
            ..Text::centred(Point::new(x, y), c.to_string(), size)
        };
        let places = [0.0, 0.25, -0.25]
            .into_iter()
            .flat_map(|share| [0.5, 0.3, 0.7].map(|up| at(middle + share * width, TICKS + up * READINGS)))
            .collect();
        labels.push(Label { places, needed: false, each: false });
    }
    for (spans, edge, into) in [(&stick.low, 0.0, 1.0), (&stick.high, height, -1.0)] {
        for (k, span) in spans.iter().enumerate() {
            let y = [edge, edge + into * 4.0];
            let lo = Point::new(span.lo, y[0].min(y[1]));
            let band = Room { lo, hi: Point::new(span.hi, y[0].max(y[1])) };
            let fill = Fill::Hatch { colour: SOFT_INK, spacing: 1.6, lean: Lean::Rising };
            paint.push(Item::filled([&band.ring()], fill));
            let before = spans[..k].iter().filter(|s| s.name == span.name).count();
            let short = span.name.rsplit(' ').next().unwrap_or_default();
            for (x, n) in [(span.lo, 2 * before + 1), (span.hi, 2 * before + 2)] {
                paint.push(Item::line(
                    [Point::new(x, edge), Point::new(x, edge + into * 7.0)],
                    pen(Role::Outline),
                ));
                let down = if into > 0.0 { edge + 5.2 } else { edge - 5.2 - 0.73 * TYPE_LABEL };
                let name = Text::new(Point::new(x + 0.9, down), format!("{short}-{n}"), TYPE_LABEL);
                let left = Text { anchor: Anchor::End, at: Point::new(x - 0.9, down), ..name.clone() };
                let places = if n % 2 == 1 { vec![name, left] } else { vec![left, name] };
                labels.push(Label { places, needed: false, each: false });
            }
        }
    }
    for (x, names) in &stick.ticks {
        paint.push(Item::line([Point::new(*x, 0.0), Point::new(*x, 7.0)], pen(Role::Outline)));
        let name = Text::new(Point::new(x + 0.9, 4.4), names.as_str(), TYPE_LABEL);
        let places = (0..4)
            .flat_map(|k| {
                let up = Vec2::new(0.0, 3.2 * f64::from(k));
                let right = Text { at: name.at + up, ..name.clone() };
                let left = Text { anchor: Anchor::End, at: Point::new(x - 0.9, 4.4) + up, ..name.clone() };
                [right, left]
            })
            .collect();
        labels.push(Label { places, needed: false, each: false });
    }
    for (span, lane) in stick.features.iter().zip(lanes) {
        let y = readings_top + LANE * lane as f64 + 1.2;
        let (lo, hi) = (span.lo.max(stick.lo), span.hi.min(stick.hi));
        features.push(Item::line([Point::new(lo, y), Point::new(hi, y)], pen(Role::Outline)));
        // An end that lies on the stick has a stroke; one beyond it has none.
        for x in [span.lo, span.hi].into_iter().filter(|x| stick.lo < *x && *x < stick.hi) {
            features.push(Item::line([Point::new(x, y - 1.0), Point::new(x, y + 1.8)], pen(Role::Outline)));
        }
        let name = |x: f64| Text::new(Point::new(x, y + 0.9), span.name.as_str(), TYPE_LABEL);
        // Beside a thin feature, not on its strokes.
        let start = if hi - lo < 6.0 { hi + 1.0 } else { lo + 1.2 };
        let steps = (((hi - lo).max(26.0) / 12.0) as u32).min(200);
        let places = (0..=steps).map(|k| name(start + 12.0 * f64::from(k))).collect();
        labels.push(Label { places, needed: true, each: false });
    }
    let guide =
        |y: f64, words: String| Guide { from: Point::new(stick.lo, y), length: stick.hi - stick.lo, words };
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let drawing = Drawing {
        room: Some(room),
        layers: vec![layer("paint", paint), layer("features", features), layer("lines", lines)],
        labels,
        guides: vec![
            guide(TICKS - 0.6, stick.low_edge.clone()),
            guide(TICKS + 3.6, format!("{mark}: {}, piece {{}}", stick.name)),
            guide(features_top + 1.4, stick.high_edge.clone()),
        ],
        keep_clear,
        facts: facts(stick, mark, job, surface_words),
    };
    (drawing, room)
}

/// A reading that stands upright beside its line, its name on the other side.
fn upright(x: f64, words: Words, size: f64, weight: Weight, before: bool) -> Label {
    let text =
        |x: f64, y: f64| Text { turn: FRAC_PI_2, weight, ..Text::new(Point::new(x, y), words.clone(), size) };
    let near = |left: bool| if left { x - 1.2 - 0.24 * size } else { x + 1.2 + 0.8 * size };
    let foot = TICKS + 6.0;
    let sides = [before, !before].map(near);
    let places = sides.into_iter().flat_map(|x| [0.0, 2.0, 4.0].map(|up| text(x, foot + up))).collect();
    Label { places, needed: true, each: false }
}

/// The lane of each feature, none covering another, and the number of lanes.
fn lanes(stick: &Stick) -> (Vec<usize>, usize) {
    let mut order: Vec<usize> = (0..stick.features.len()).collect();
    order.sort_by(|a, b| stick.features[*a].lo.total_cmp(&stick.features[*b].lo));
    let mut ends: Vec<f64> = Vec::new();
    let mut lanes = vec![0; stick.features.len()];
    for k in order {
        let span = &stick.features[k];
        let lo = span.lo.max(stick.lo);
        let name = Text::new(Point::ZERO, span.name.as_str(), TYPE_LABEL).width() + 4.0;
        // Room for the name behind the first seam it may have to give way to.
        let end = span.hi.min(stick.hi).max(lo + name + 14.0) + 2.0;
        let lane = match ends.iter().position(|e| *e <= lo) {
            Some(lane) => lane,
            None => {
                ends.push(0.0);
                ends.len() - 1
            }
        };
        ends[lane] = end;
        lanes[k] = lane;
    }
    (lanes, ends.len())
}

fn facts(stick: &Stick, mark: &str, job: &str, surface_words: &str) -> Facts {
    let legend = [
        (Role::CutLine, "lines of the mark and the skin: transfer them"),
        (Role::Outline, "paint edges (hatched between) and features"),
        (Role::Hidden, "join lines"),
    ];
    let mut lines =
        vec![format!("{surface_words}; full size. Cut the stick out along its edges."), stick.about.clone()];
    let reading = |line: &Line| line.reading.as_ref().map(|r| format!("{} at {}", line.name, plain(r)));
    let ends = [stick.lines.iter().find_map(reading), stick.lines.iter().rev().find_map(reading)];
    if let [Some(first), Some(last)] = ends {
        lines.push(format!(
            "Its first line: {first}. Its last: {last}. Check both with a tape, then transfer."
        ));
    }
    lines.push("Letters and numbers at the edges count the paint edges that meet there.".to_owned());
    Facts {
        heading: format!("{mark}: {}", stick.name),
        job: job.to_owned(),
        lines,
        legend: legend.map(|(role, words)| (role, words.to_owned())).to_vec(),
        share: "piece",
        joining:
            "Cut a piece along its join line and lay it over the next: rings on rings, edges in one line."
                .to_owned(),
        ..Facts::default()
    }
}
