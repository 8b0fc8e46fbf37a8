//! Full-size patterns: a character, or a whole mark, as it is laid on the skin.
//!
//! The drawing is the flat skin's own: paint edges, base, cap and centre lines, the sides of the box that
//! ordinates are read to, and every feature in reach. A letter is placed by its ordinates, which stand on the
//! sheet; nobody lays a mark by a train of sheets.

use super::patterns_level::{Level, bounds, feature_edges, feature_items};
use crate::fit::charts::{fine, percent};
use crate::fit::placed::PlacedGlyph;
use crate::surface::{Skin, SkinShape};
use geom::{Point, Region, Ring, Vec2};
use sheet::tiles_pages::{Drawing, Guide, Label, closed};
use sheet::tiles_panel::Facts;
use sheet::tokens::TYPE_LABEL;
use sheet::units::{INCH_MM, both_words};
use sheet::{Fill, Item, Layer, Role, Room, Text, Words, pen};
use std::f64::consts::FRAC_PI_2;

/// Names of the layers, the same in every format.
pub const PAINT_EDGE: &str = "paint-edge";
/// Where tape's border strip goes.
pub const TACK_STRIP: &str = "tack-strip";
/// Tape pieces.
pub const PIECES: &str = "pieces";
/// What shows of an outline in another colour.
pub const OUTLINE: &str = "outline";
/// What shows of a shadow in another colour.
pub const SHADOW: &str = "shadow";
/// What the layout respects.
pub const FEATURES: &str = "features";
/// Base, cap and centre lines.
pub const DATUM: &str = "datum";

/// From one pounce hole to the next at most, mm: a wheel of 15 teeth to the inch (facts of the trade, read).
const POUNCE: f64 = INCH_MM / 15.0;
/// Radius of a pounce dot as printed, mm: seen beside its line. chosen.
const POUNCE_DOT: f64 = 0.45;
/// How far base and cap lines run on beyond the box, mm: long enough to lay to a line struck on the skin.
const RUN_ON: f64 = 10.0;
/// White round that, mm.
const AIR: f64 = 3.0;
/// Stations nearer to each other than this, mm (1/64 in), read the same on the tape.
const READS_ALIKE: f64 = INCH_MM / 64.0;

/// What one pattern shows.
pub(super) struct Subject<'a> {
    /// The characters drawn.
    pub(super) drawn: Vec<&'a PlacedGlyph>,
    /// Every place it stands for: the characters at each, in the order of reading.
    pub(super) places: Vec<Vec<&'a PlacedGlyph>>,
    /// Its name.
    pub(super) heading: String,
}

/// The distinct characters of a mark, each with all its places; a character is one pattern however often it
/// stands.
pub(super) fn characters<'a>(level: &Level<'a>) -> Vec<Subject<'a>> {
    let mut subjects: Vec<(char, Subject<'a>)> = Vec::new();
    for glyph in &level.mark.glyphs {
        match subjects.iter_mut().find(|(c, _)| *c == glyph.char) {
            Some((_, subject)) => subject.places.push(vec![glyph]),
            None => subjects.push((
                glyph.char,
                Subject {
                    drawn: vec![glyph],
                    places: vec![vec![glyph]],
                    heading: format!("{} of {}", glyph.char, level.mark.text),
                },
            )),
        }
    }
    subjects.into_iter().map(|(_, subject)| subject).collect()
}

/// The whole mark as one pattern.
pub(super) fn whole<'a>(level: &Level<'a>) -> Subject<'a> {
    let all: Vec<&PlacedGlyph> = level.mark.glyphs.iter().collect();
    Subject { drawn: all.clone(), places: vec![all], heading: format!("{}, whole", level.mark.text) }
}

/// The drawing of a pattern, and the words its sheets carry.
pub(super) fn drawing(
    level: &Level<'_>,
    subject: &Subject<'_>,
    job: &str,
    surface_words: &str,
    pounce: bool,
) -> Drawing {
    let body = level.room(&subject.drawn);
    let rings = level.rings(&subject.drawn);
    let room = level.with_further(body).inset(-RUN_ON - AIR);
    let (features, labels, mut keep_clear) = features(level, subject, room);
    keep_clear.extend(rings.iter().map(closed));
    let datum = datum(level, subject, body);
    keep_clear
        .extend(datum.upright.iter().map(|x| vec![Point::new(*x, room.lo.y), Point::new(*x, room.hi.y)]));
    keep_clear.extend(datum.level.iter().map(|y| vec![Point::new(room.lo.x, *y), Point::new(room.hi.x, *y)]));
    let mut layers = vec![
        layer(DATUM, datum.items),
        layer(FEATURES, features),
        layer(PAINT_EDGE, vec![Item::rings(&rings, pen(Role::CutLine))]),
    ];
    let further = level.further_in(room);
    if !further.is_empty() {
        layers.push(layer("further colours", further));
    }
    if pounce {
        layers.push(layer("pounce", dots(&rings)));
    }
    let guide = |y: f64, words: &str| Guide {
        from: Point::new(room.lo.x + AIR, y),
        length: room.width() - 2.0 * AIR,
        words: words.to_owned(),
    };
    Drawing {
        room: Some(room),
        layers,
        labels,
        guides: vec![guide(datum.level[0], "baseline"), guide(datum.level[1], "cap line")],
        keep_clear,
        facts: facts(level, subject, job, surface_words, rings),
    }
}

fn layer(name: &str, items: Vec<Item>) -> Layer {
    Layer { name: name.to_owned(), items }
}

/// Base, cap and centre lines and the sides of boxes.
pub(super) struct Datum {
    pub(super) items: Vec<Item>,
    /// Heights of baseline and cap line.
    pub(super) level: [f64; 2],
    /// Where upright lines stand.
    pub(super) upright: Vec<f64>,
}

pub(super) fn datum(level: &Level<'_>, subject: &Subject<'_>, body: Room) -> Datum {
    let (base, caps) = (0.0, level.mark.height);
    let mut items = Vec::new();
    for y in [base, caps] {
        let ends = [Point::new(body.lo.x - RUN_ON, y), Point::new(body.hi.x + RUN_ON, y)];
        items.push(Item::line(ends, pen(Role::Centre)));
    }
    let corner = |g: &PlacedGlyph, k: usize| level.point(g.corners[k]).x;
    let mut upright = Vec::new();
    for g in &subject.drawn {
        for x in [corner(g, 0), corner(g, 1)] {
            let ends = [Point::new(x, base - RUN_ON / 2.0), Point::new(x, caps + RUN_ON / 2.0)];
            items.push(Item::line(ends, pen(Role::Dimension)));
            upright.push(x);
        }
    }
    let middle = match (subject.drawn.first(), subject.drawn.last()) {
        (Some(first), Some(last)) => (corner(first, 0) + corner(last, 1)) / 2.0,
        _ => body.centre().x,
    };
    let ends = [Point::new(middle, base - RUN_ON), Point::new(middle, caps + RUN_ON)];
    items.push(Item::line(ends, pen(Role::Centre)));
    upright.push(middle);
    Datum { items, level: [base, caps], upright }
}

/// The features in reach of any of the places, moved to where the pattern is drawn, and their names.
fn features(
    level: &Level<'_>,
    subject: &Subject<'_>,
    room: Room,
) -> (Vec<Item>, Vec<Label>, Vec<Vec<Point>>) {
    let corner = |g: &PlacedGlyph| level.point(g.corners[if level.mirrored { 1 } else { 0 }]);
    let Some(home) = subject.drawn.first().map(|g| corner(g)) else { return Default::default() };
    let (mut items, mut labels, mut edges) = (Vec::new(), Vec::new(), Vec::new());
    for (k, place) in subject.places.iter().enumerate() {
        let Some(there) = place.first().map(|g| corner(g)) else { continue };
        let by = home - there;
        for feature in &level.skin.features {
            let region = level.region(&feature.region, by);
            let Some(around) = bounds(&region) else { continue };
            let apart = around.hi.x < room.lo.x
                || room.hi.x < around.lo.x
                || around.hi.y < room.lo.y
                || room.hi.y < around.lo.y;
            if apart {
                continue;
            }
            items.extend(feature_items(feature, &region));
            edges.extend(feature_edges(&region));
            let name = if subject.places.len() > 1 {
                format!("{} ({})", feature.id, ordinal(k + 1))
            } else {
                feature.id.clone()
            };
            labels.push(match &region {
                Region::Band { path, width } => {
                    Label { places: beside(&name, path, *width, room), needed: false, each: true }
                }
                _ => Label { places: name_places(&name, around, room), needed: false, each: false },
            });
        }
    }
    (items, labels, edges)
}

/// Places for a feature's name: in its middle, then round it in widening circles.
fn name_places(name: &str, around: Room, room: Room) -> Vec<Text> {
    let shown = Room {
        lo: Point::new(around.lo.x.max(room.lo.x), around.lo.y.max(room.lo.y)),
        hi: Point::new(around.hi.x.min(room.hi.x), around.hi.y.min(room.hi.y)),
    };
    let middle = shown.centre();
    let text = |p: Point| Text::centred(p, name, TYPE_LABEL);
    let half = text(middle).width() / 2.0;
    // Over the centre line's own cross, a little to the side of it.
    let mut places = vec![text(middle), text(middle + Vec2::new(half + 1.5, 2.6))];
    places.push(text(middle + Vec2::new(half + 1.5, -2.6)));
    places.push(text(middle + Vec2::new(-half - 1.5, 2.6)));
    places.push(text(middle + Vec2::new(-half - 1.5, -2.6)));
    for ring in 0..6 {
        let far = Vec2::new(
            (shown.width() / 2.0 + half + 2.0).min(80.0) + 6.0 * f64::from(ring),
            (shown.height() / 2.0 + 3.5).min(80.0) + 5.0 * f64::from(ring),
        );
        for k in 0..16 {
            let way = Vec2::from_angle(f64::from(k) * FRAC_PI_2 / 4.0);
            places.push(text(middle + Vec2::new(way.x * far.x, way.y * far.y)));
        }
    }
    places
}

/// From one place for a line's name to the next along it, mm.
const NAME_STEP: f64 = 15.0;
/// Most places tried for the name of one line.
const MOST_NAMES: usize = 2_000;

/// Places for a line's name: beside it, all along what the pattern shows of it.
fn beside(name: &str, path: &[Point], width: f64, room: Room) -> Vec<Text> {
    let text = |p: Point| Text::centred(p, name, TYPE_LABEL);
    let half = text(Point::ZERO).width() / 2.0;
    let shown = |p: Point| room.lo.x < p.x && p.x < room.hi.x && room.lo.y < p.y && p.y < room.hi.y;
    let mut places = Vec::new();
    for w in path.windows(2).filter(|w| w[0].distance(w[1]) > 0.0) {
        let along = (w[1] - w[0]).normalize();
        let side = geom::point::left_of(along);
        // As far to the side as the words reach that way.
        let far = width / 2.0 + half * side.x.abs() + 2.2 * side.y.abs() + 1.6;
        let steps = (w[0].distance(w[1]) / NAME_STEP).ceil();
        let points = (0..=steps as usize).map(|k| w[0] + along * (NAME_STEP * k as f64));
        places.extend(points.filter(|p| shown(*p)).flat_map(|p| [p + side * far, p - side * far]).map(text));
        if places.len() > MOST_NAMES {
            break;
        }
    }
    places
}

/// First, second and so on, short.
pub(super) fn ordinal(n: usize) -> String {
    let end = match (n % 10, n % 100) {
        (1, k) if k != 11 => "st",
        (2, k) if k != 12 => "nd",
        (3, k) if k != 13 => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}

/// Dots along every edge, one at each corner, no further apart than a pounce wheel's teeth.
fn dots(rings: &[Ring]) -> Vec<Item> {
    let mut items = Vec::new();
    for edge in rings.iter().flat_map(Ring::edges) {
        let steps = (edge.length() / POUNCE).ceil().max(1.0);
        for k in 0..steps as u32 {
            items.push(Item::Circle {
                centre: edge.at(f64::from(k) / steps),
                radius: POUNCE_DOT,
                stroke: None,
                fill: Some(Fill::Plain(sheet::tokens::INK)),
            });
        }
    }
    items
}

/// What the sheets of a pattern say.
fn facts(level: &Level<'_>, subject: &Subject<'_>, job: &str, surface_words: &str, map: Vec<Ring>) -> Facts {
    let wing = matches!(level.skin.shape, SkinShape::Wing(_));
    let flat = if wing {
        "Pattern of the skin unrolled: true on the curved skin. Lay it on, do not stretch it."
    } else if level.skin.chart().is_some() {
        "Pattern of this piece of skin laid flat. Lay its middle on first, smooth it outwards."
    } else {
        "Pattern of a flat panel, as seen facing it."
    };
    let mut lines =
        vec![format!("mark {} on {}, {surface_words}", level.mark.id, level.skin.id), flat.to_owned()];
    lines.extend(strain_words(level, subject));
    let mut figures = vec![Words::from("height ").and(both_words(level.mark.height))];
    if !level.mirrored {
        lines.push(zero_words(level.skin).to_owned());
        for (k, place) in subject.places.iter().enumerate() {
            let which = if subject.places.len() > 1 { format!("{} ", ordinal(k + 1)) } else { String::new() };
            figures.extend(ordinates(level, place, &which));
        }
    }
    let forward = if wing { "leading edge" } else { "up" };
    let cut = if subject.drawn.len() > 1 { "paint edges" } else { "paint edge: cut, trace or tape to it" };
    let legend = [
        (Role::CutLine, cut),
        (Role::Centre, "baseline, cap line, middle; hinge lines"),
        (Role::Dimension, "sides of a character's box; edges of features"),
        (Role::Hidden, "join lines; seams and rivet rows"),
    ];
    let mut legend = legend.map(|(role, words)| (role, words.to_owned())).to_vec();
    if !level.mark.further.is_empty() {
        legend[2].1.push_str("; further colours");
    }
    Facts {
        heading: subject.heading.clone(),
        job: job.to_owned(),
        warning: if level.mirrored {
            "MIRRORED: for the back of a film only".to_owned()
        } else {
            String::new()
        },
        lines,
        figures,
        arrow: Some((level.direction(FRAC_PI_2), forward.to_owned())),
        legend,
        share: "sheet",
        joining: "Cut one sheet along its join line and lay it over its neighbour: rings on rings. Check a \
                  straightedge along the baseline."
            .to_owned(),
        map,
    }
}

/// Where ordinates are read from.
pub(super) fn zero_words(skin: &Skin) -> &'static str {
    match &skin.shape {
        SkinShape::Wing(_) => {
            "Ordinates from zero, the leading edge at the root rib, tape laid along the skin."
        }
        SkinShape::Chart(chart) if chart.is_scan() => {
            "Ordinates from the middle of the mark, along its baseline and up, tape laid along the skin."
        }
        SkinShape::Strip(strip) if strip.scan().is_some() && !strip.reads_along() => {
            "Ordinates: station aft from the datum told on the stripe sheet, and height over it."
        }
        SkinShape::Strip(strip) if strip.scan().is_some() => {
            "Along the middle of the stripe from its start, and to the left of it, tape laid along the skin."
        }
        SkinShape::Chart(_) | SkinShape::Body(_) | SkinShape::Strip(_) => {
            "Ordinates: station from the datum, girth up from the waterline with a tape laid round the skin."
        }
        SkinShape::Flat | SkinShape::Scan(_) => "Ordinates from zero, the datum corner.",
    }
}

/// What laying the skin flat does to the characters drawn, where it does anything.
fn strain_words(level: &Level<'_>, subject: &Subject<'_>) -> Option<String> {
    let charts = level.mark.charts.as_ref()?;
    let drawn = level
        .mark
        .glyphs
        .iter()
        .zip(&charts.letters)
        .filter(|(g, _)| subject.places.iter().flatten().any(|other| std::ptr::eq(*other, *g)));
    let worst = drawn.map(|(_, c)| (c.figures.max_strain, c.figures.stroke_error));
    let (strain, stroke) = worst.reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))?;
    Some(format!(
        "Laid flat it is strained by {} at most; a straight stroke is off by up to {}.",
        percent(strain),
        fine(stroke)
    ))
}

/// Where the box of some characters goes, read with a tape from zero.
fn ordinates(level: &Level<'_>, place: &[&PlacedGlyph], which: &str) -> Vec<Words> {
    let (Some(first), Some(last)) = (place.first(), place.last()) else { return vec![] };
    let corners = [first.corners[0], last.corners[1], last.corners[2], first.corners[3]];
    let read = corners.map(|c| level.skin.skin_from_flat(c));
    let line = |what: &str, mm: f64| Words::from(format!("{which}{what} ")).and(both_words(mm));
    let wing = matches!(level.skin.shape, SkinShape::Wing(_));
    if level.mark.angle.sin().abs() > geom::tolerance::NOISE_UNIT && level.skin.chart().is_none() {
        let (along, up) = if wing { ("out", "back") } else { ("x", "y") };
        return ["foot left", "foot right"]
            .iter()
            .zip(read)
            .flat_map(|(what, [s, t])| {
                [line(&format!("{what} {along}"), s), line(&format!("{what} {up}"), t)]
            })
            .collect();
    }
    // What the pattern is laid by comes first: of a long list the last lines may find no room on the sheet.
    let apart = |a: f64, b: f64| (a - b).abs() > READS_ALIKE;
    let mut lines = vec![];
    if apart(read[0][1], read[1][1]) {
        lines.push(line("baseline at its left", read[0][1]));
        lines.push(line("baseline at its right", read[1][1]));
    } else {
        lines.push(line("baseline", read[0][1]));
    }
    let leans = apart(read[0][0], read[3][0]) || apart(read[1][0], read[2][0]);
    let foot = |side: &str| if leans { format!("foot {side}") } else { side.to_owned() };
    lines.push(line(&foot("left"), read[0][0]));
    lines.push(line(&foot("right"), read[1][0]));
    lines.push(line("cap line", read[3][1]));
    if leans {
        lines.push(line("top left", read[3][0]));
        lines.push(line("top right", read[2][0]));
    }
    lines
}
