//! The second drawing of a surface that does not unroll: a body or scan seen from the side with stations and waterlines (of
//! a wing its one flat, see `layout_strain_wing`), and below it every character's pattern with the strain of laying it flat
//! as tones, each tone and each character with its figure.

use super::layout_curved::in_steps;
use super::layout_notes::{heading, small};
use super::layout_strain_wing;
use crate::fit::charts::{ADVISE, fine, percent};
use crate::fit::placed::Placed;
use crate::job::{Job, Unit};
use crate::stripe::Laid;
use crate::surface::{BodySkin, ScanSkin, Skin, SkinShape};
use crate::words::length;
use geom::boolean::union;
use geom::{Affine, Point, Point3, Ring, Vec2};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::title_block::{Row, title_block};
use sheet::tokens::{Colour, TYPE_BODY, TYPE_LABEL};
use sheet::units::INCH_MM;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, pen};
use std::collections::BTreeMap;

/// Strain from which each tone is used, the lightest for what lies below the first. chosen: 1 per cent, from which
/// smaller letters are advised, begins the darkest.
pub(super) const TONES: [(f64, Colour); 5] = [
    (0.0, Colour::new(0xf3, 0xef, 0xe2)),
    (0.00005, Colour::new(0xdd, 0xd7, 0xc6)),
    (0.0002, Colour::new(0xbd, 0xb5, 0xa2)),
    (0.001, Colour::new(0x93, 0x8b, 0x79)),
    (0.01, Colour::new(0x65, 0x5d, 0x50)),
];

/// From one waterline to the next, mm: 10 in, or 250 mm.
const WATERLINES: (f64, f64) = (10.0 * INCH_MM, 250.0);

/// Out of square to the view, degrees, axes of a scan still give level and upright lines. chosen: seen by nobody.
const SQUARE_DEG: f64 = 0.1;

/// Height of the upper half of the drawing, as a share of its room, and of the strip for words, mm.
const UPPER: f64 = 0.52;
pub(super) const STRIP: f64 = 62.0;

/// What lies on a surface.
#[derive(Clone, Copy)]
pub(crate) struct On<'a> {
    pub(crate) marks: &'a [&'a Placed],
    pub(crate) stripes: &'a [&'a Laid],
}

impl On<'_> {
    /// True if laying it flat strains nothing: it is on a skin that unrolls, or there is nothing.
    fn nothing(self, skin: &Skin) -> bool {
        if skin.unrolls() {
            return skin.unrolls_exactly() || self.marks.is_empty() && self.stripes.is_empty();
        }
        self.marks.iter().all(|m| m.charts.is_none())
            && self.stripes.iter().all(|s| s.painted.charts.is_none())
    }

    /// Most strain of its marks, and the worst error of a straight stroke, mm.
    fn worst(self, skin: &Skin) -> (f64, f64) {
        let of = |m: &&Placed| match &m.charts {
            Some(charts) => Some(charts.worst()),
            None => skin.figures_under(m.angle, m.glyphs.iter().flat_map(|g| g.corners)),
        };
        let worst = self.marks.iter().filter_map(of);
        worst.fold((0.0, 0.0), |a: (f64, f64), b| (a.0.max(b.max_strain), a.1.max(b.stroke_error)))
    }
}

/// The drawing; `None` for a surface that unrolls, or with nothing on it.
pub(crate) fn strain_sheet(job: &Job, surface_words: &str, skin: &Skin, of: On<'_>) -> Option<Sheet> {
    let marks = of.marks;
    if of.nothing(skin) {
        return None;
    }
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let Drawn { mut layers, scales } = drawn(job, skin, of, room);
    let (strain, stroke) = of.worst(skin);
    let mut rows = vec![
        Row::new("job", job.title.as_str()),
        Row::new("surface", format!("{surface_words} ({})", skin.id)),
    ];
    let stripes: Vec<&str> = of.stripes.iter().map(|s| s.id.as_str()).collect();
    if !stripes.is_empty() {
        rows.push(Row::new("stripes", stripes.join(", ")));
    }
    let [view, name, said] = words(skin);
    let name = if marks.is_empty() {
        rows.push(Row::new("scale", scale_text(scales[0])));
        view
    } else {
        rows.push(Row::new("mark", marks.iter().map(|m| m.words()).collect::<Vec<_>>().join(", ")));
        rows.push(Row::new("most strain", percent(strain)));
        rows.push(Row::new("worst stroke", fine(stroke)));
        let scales = format!("{}, patterns {}", scale_text(scales[0]), scale_text(scales[1]));
        rows.push(Row::new("scales", scales));
        name
    };
    let table = title_block(Point::new(room.hi.x, room.lo.y), name, &rows);
    layers.insert(0, layer("border", frame(size)));
    layers.push(layer("title block", table.items));
    Some(Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("{}: {surface_words}, {}", job.title, name.to_lowercase()),
        description: format!("{surface_words}: {said}."),
    })
}

/// The same for a page of the book, without frame and title block, as large as `room`, mm: shown at its own size, so that
/// its words stay as large as they are.
pub(crate) fn strain_page(job: &Job, skin: &Skin, of: On<'_>, room: (f64, f64)) -> Option<Sheet> {
    if of.nothing(skin) {
        return None;
    }
    let whole = Room { lo: Point::ZERO, hi: Point::new(room.0, room.1) };
    let [_, name, said] = words(skin);
    Some(Sheet {
        width_mm: room.0,
        height_mm: room.1,
        layers: drawn(job, skin, of, whole).layers,
        title: format!("{}: {}", job.title, name.to_lowercase()),
        description: format!("The surface: {said}."),
    })
}

/// What the drawing is called without and with characters, and what is on it.
pub(super) fn words(skin: &Skin) -> [&'static str; 3] {
    match skin.shape {
        SkinShape::Wing(_) => [
            "Strain of the flat",
            "Strain of the flat",
            "laid flat in one piece, and the strain of that under each character",
        ],
        _ => [
            "Side view",
            "Side view and strain",
            "seen from the side, and the strain of each character's pattern",
        ],
    }
}

pub(super) fn layer(name: &str, items: Vec<Item>) -> Layer {
    Layer { name: name.to_owned(), items }
}

/// What is drawn in a room: the layers, and the scales of side view and patterns.
pub(super) struct Drawn {
    pub(super) layers: Vec<Layer>,
    pub(super) scales: [f64; 2],
}

fn drawn(job: &Job, skin: &Skin, of: On<'_>, room: Room) -> Drawn {
    if let SkinShape::Wing(wing) = &skin.shape {
        return layout_strain_wing::drawn(skin, wing, of, room);
    }
    if of.marks.is_empty() {
        // Stripes alone: how they lie flat is told in figures by their sheets.
        let upper = Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: room.hi }.inset(14.0);
        let (seen, scale) = side_view(job, skin, of, upper);
        return Drawn { layers: vec![layer("side view", seen)], scales: [scale, scale] };
    }
    let marks = of.marks;
    let [upper, lower] = halves(room);
    let (seen, scale) = side_view(job, skin, of, upper);
    let (toned, toned_scale) = patterns(marks, lower);
    Drawn {
        layers: vec![layer("side view", seen), layer("strain", toned), layer("notes", legend(room, marks))],
        scales: [scale, toned_scale],
    }
}

/// Room for the whole surface, and for the characters below it.
pub(super) fn halves(room: Room) -> [Room; 2] {
    let work = Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: room.hi };
    let split = work.lo.y + work.height() * (1.0 - UPPER);
    [
        Room { lo: Point::new(work.lo.x, split), hi: work.hi }.inset(14.0),
        Room { lo: work.lo, hi: Point::new(work.hi.x, split) }.inset(10.0),
    ]
}

/// The surface as it is seen, with the marks where they lie; and its scale.
fn side_view(job: &Job, skin: &Skin, of: On<'_>, room: Room) -> (Vec<Item>, f64) {
    let outline = match &skin.shape {
        SkinShape::Body(body) => {
            let profile = body.profile();
            let below = profile.iter().map(|p| p[0]);
            let above = profile.iter().rev().map(|p| p[1]);
            Ring::from_points(below.chain(above).collect::<Vec<_>>())
        }
        _ => skin.outline.clone(),
    };
    let (lo, hi) = outline.bounds().unwrap_or_default();
    let scale = fit_scale((hi.x - lo.x, hi.y - lo.y), (room.width(), room.height()));
    let on = Affine::translate(room.centre().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-lo.midpoint(hi).to_vec2());
    let mut items = vec![heading(
        Point::new(room.lo.x - 10.0, room.hi.y + 7.0),
        if matches!(skin.shape, SkinShape::Body(_)) {
            "Seen from the side"
        } else {
            "Seen from straight out"
        },
    )];
    if let SkinShape::Body(body) = &skin.shape {
        items.extend(waterlines(job, body, on, lo, hi));
        items.extend(stations(body, on));
    }
    if let SkinShape::Scan(scan) = &skin.shape {
        items.extend(stated_axes(job, scan, on, lo, hi));
    }
    items.push(Item::rings([&outline.mapped(on)], pen(Role::Outline)));
    let seen = |ring: &Ring, space: &dyn Fn(Point) -> Option<Point3>| {
        let seen = in_steps(ring).into_iter().filter_map(space).map(|q| match &skin.shape {
            SkinShape::Body(body) => body.side_on(q),
            SkinShape::Scan(scan) => scan.flat(q),
            _ => Point::ZERO,
        });
        Ring::from_points(seen.collect::<Vec<_>>()).mapped(on)
    };
    // Stripes of one paint that meet are one outline.
    let mut paints: BTreeMap<String, Vec<Ring>> = BTreeMap::new();
    for stripe in of.stripes {
        let Some(charts) = &stripe.painted.charts else { continue };
        let space = |p: Point| charts.sheet.space_from_flat(p);
        let (paint, _) = job.painted_with(&stripe.id).unwrap_or_default();
        let all = paints.entry(paint.to_string()).or_default();
        all.extend(stripe.painted.rings().iter().map(|r| seen(r, &space)));
    }
    for rings in paints.values() {
        items.push(Item::rings(&union(rings, &[]), pen(Role::CutLine)));
    }
    for mark in of.marks {
        let Some(charts) = &mark.charts else { continue };
        for (k, glyph) in mark.glyphs.iter().enumerate() {
            let space = |p: Point| charts.space(k, p);
            let rings: Vec<Ring> = glyph.rings.iter().map(|r| seen(r, &space)).collect();
            items.push(Item::rings(&rings, pen(Role::CutLine)));
        }
    }
    (items, scale)
}

/// The stations the body was measured at, upright through it, each with its reading above.
fn stations(body: &BodySkin, on: Affine) -> Vec<Item> {
    let profile = body.profile();
    let mut items = Vec::new();
    for s in body.body().stations() {
        let x = body.way() * s;
        let near = profile.iter().min_by(|a, b| (a[0].x - x).abs().total_cmp(&(b[0].x - x).abs()));
        let Some([low, high]) = near else { continue };
        let (low, high) = (on * Point::new(x, low.y), on * Point::new(x, high.y));
        items.push(Item::line([low - Vec2::new(0.0, 2.0), high + Vec2::new(0.0, 3.0)], pen(Role::Centre)));
        let at = high + Vec2::new(0.0, 5.0);
        let mut text = Text::centred(at, crate::words::inches(*s), TYPE_LABEL);
        text.clears = true;
        items.push(Item::Text(text));
    }
    items
}

/// Stations and waterlines of a scan whose axes are stated, as its view from straight out shows them: both by the same
/// steps; none where the view is not square to them.
fn stated_axes(job: &Job, scan: &ScanSkin, on: Affine, lo: Point, hi: Point) -> Vec<Item> {
    let Some(axes) = scan.axes() else { return Vec::new() };
    let at = |s: f64, z: f64| scan.flat(axes.place(Point3::new(s, 0.0, z)));
    let zero = at(0.0, 0.0);
    let [aft, up] = [at(1.0, 0.0) - zero, at(0.0, 1.0) - zero];
    let square = |along: f64| SQUARE_DEG.to_radians().cos() <= along.abs();
    if !square(aft.x) || !square(up.y) {
        return Vec::new();
    }
    let step = grid_step(job);
    let full = |a: f64, b: f64| ((a.min(b) / step).ceil() as i32)..=((a.max(b) / step).floor() as i32);
    let mut items = Vec::new();
    for n in full(lo.y - zero.y, hi.y - zero.y) {
        let z = f64::from(n) * step;
        let y = (on * Point::new(0.0, zero.y + z)).y;
        let [a, b] = [lo, hi].map(|p| Point::new((on * p).x, y));
        items.push(Item::line([a, b], pen(Role::Hidden)));
        items.push(level_words(a, z, n == 0));
    }
    for n in full((lo.x - zero.x) * aft.x, (hi.x - zero.x) * aft.x) {
        let s = f64::from(n) * step;
        let x = (on * Point::new(zero.x + s * aft.x, 0.0)).x;
        let [low, high] = [lo, hi].map(|p| Point::new(x, (on * p).y));
        items.push(Item::line([low - Vec2::new(0.0, 2.0), high + Vec2::new(0.0, 3.0)], pen(Role::Centre)));
        let words = crate::words::inches(s);
        items.push(Item::Text(Text::centred(high + Vec2::new(0.0, 5.0), words, TYPE_LABEL)));
    }
    items
}

/// From one level line to the next, mm.
fn grid_step(job: &Job) -> f64 {
    let metric = matches!(job.units, Unit::Mm | Unit::Cm | Unit::M);
    if metric { WATERLINES.1 } else { WATERLINES.0 }
}

/// What a level line is called, left of its left end.
fn level_words(left: Point, height: f64, zero: bool) -> Item {
    let words = if zero { "waterline".to_owned() } else { length(height) };
    let mut text = Text::new(left, words, TYPE_LABEL);
    text.at = left - Vec2::new(text.width() + 4.0, 0.9);
    Item::Text(text)
}

/// Level lines at full tens of inches (or 250 mm) from the waterline that girth starts from, within the body.
fn waterlines(job: &Job, body: &BodySkin, on: Affine, lo: Point, hi: Point) -> Vec<Item> {
    let step = grid_step(job);
    let zero = body.body().waterline();
    let profile = body.profile();
    let mut items = Vec::new();
    let (first, last) = (((lo.y - zero) / step).ceil() as i32, ((hi.y - zero) / step).floor() as i32);
    for n in first..=last {
        let z = zero + f64::from(n) * step;
        let inside: Vec<Point> = profile
            .iter()
            .filter(|p| p[0].y <= z && z <= p[1].y)
            .map(|p| on * Point::new(p[0].x, z))
            .collect();
        let (Some(a), Some(b)) = (inside.first(), inside.last()) else { continue };
        // From beyond the whole outline, so that no figure stands on it.
        let left = Point::new((on * lo).x.min((on * hi).x), a.y);
        items.push(Item::line([left, if a.x < b.x { *b } else { *a }], pen(Role::Hidden)));
        items.push(level_words(left, z - zero, n == 0));
    }
    items
}

/// A character with the strain under it, about its own middle, mm.
pub(super) struct Toned {
    /// Half of what is drawn of it.
    pub(super) half: Vec2,
    /// Pieces, each with its greatest strain.
    pub(super) cells: Vec<(Ring, f64)>,
    /// Its outlines.
    pub(super) rings: Vec<Ring>,
    pub(super) char: char,
    /// Greatest strain.
    pub(super) most: f64,
}

/// Each character's pattern, side by side, its strain as tones; and their scale.
fn patterns(marks: &[&Placed], room: Room) -> (Vec<Item>, f64) {
    let all = marks
        .iter()
        .filter_map(|m| Some((*m, m.charts.as_ref()?)))
        .flat_map(|(m, charts)| m.glyphs.iter().zip(&charts.letters));
    let toned = all.map(|(glyph, chart)| {
        let cells = chart.strains();
        let corners = cells.iter().flat_map(|(corners, _)| corners);
        let wider = |half: Vec2, c: &Vec2| Vec2::new(half.x.max(c.x.abs()), half.y.max(c.y.abs()));
        let half = corners.fold(chart.size() / 2.0, wider);
        let level = Affine::translate(-chart.offset()) * chart.axes();
        let piece =
            |(corners, strain): ([Vec2; 3], f64)| (Ring::from_points(corners.map(Vec2::to_point)), strain);
        Toned {
            half,
            cells: cells.into_iter().map(piece).collect(),
            rings: glyph.rings.iter().map(|r| r.mapped(level)).collect(),
            char: glyph.char,
            most: chart.figures.max_strain,
        }
    });
    side_by_side("Strain of each character's pattern", &toned.collect::<Vec<_>>(), &TONES, room)
}

/// Characters side by side, the strain under each as tones and its greatest in figures; and their scale.
pub(super) fn side_by_side(
    words: &str,
    all: &[Toned],
    tones: &[(f64, Colour)],
    room: Room,
) -> (Vec<Item>, f64) {
    let gap = 6.0;
    let tall = all.iter().map(|t| 2.0 * t.half.y).fold(0.0, f64::max);
    let long: f64 = all.iter().map(|t| 2.0 * t.half.x).sum();
    let white = gap * all.len().saturating_sub(1) as f64;
    let scale = fit_scale((long, tall), ((room.width() - white).max(20.0), (room.height() - 12.0).max(20.0)));
    let mut items = vec![heading(Point::new(room.lo.x - 6.0, room.hi.y + 3.0), words)];
    let mut x = room.lo.x + ((room.width() - long * scale - white) / 2.0).max(0.0);
    for toned in all {
        let half = toned.half * scale;
        let middle = Point::new(x + half.x, room.centre().y);
        let on = Affine::translate(middle.to_vec2()) * Affine::scale(scale);
        items.extend(cells_in_tones(toned.cells.iter().map(|(ring, s)| (ring.mapped(on), *s)), tones));
        let rings: Vec<Ring> = toned.rings.iter().map(|r| r.mapped(on)).collect();
        items.push(Item::rings(&rings, pen(Role::CutLine)));
        let words = format!("{}: {}", toned.char, percent(toned.most).replace(" per cent", " %"));
        let below = middle - Vec2::new(0.0, half.y + 4.0);
        items.push(Item::Text(Text::centred(below, words, TYPE_LABEL)));
        x += 2.0 * half.x + gap;
    }
    (items, scale)
}

/// Pieces on paper filled with the tones of their strain.
pub(super) fn cells_in_tones(cells: impl Iterator<Item = (Ring, f64)>, tones: &[(f64, Colour)]) -> Vec<Item> {
    let mut of: Vec<Vec<Ring>> = vec![Vec::new(); tones.len()];
    for (ring, strain) in cells {
        of[tones.iter().rposition(|(from, _)| *from <= strain).unwrap_or(0)].push(ring);
    }
    let filled = of.iter().zip(tones).filter(|(rings, _)| !rings.is_empty());
    filled.map(|(rings, (_, colour))| Item::filled(rings, Fill::Plain(*colour))).collect()
}

/// What the tones mean, and what the figures do not say by themselves.
fn legend(room: Room, marks: &[&Placed]) -> Vec<Item> {
    let gaps = marks.iter().filter_map(|m| Some(m.charts.as_ref()?.gap_error(m.height))).fold(0.0, f64::max);
    let words = [
        "Strain is how much a length on the pattern differs from the skin below it.".to_owned(),
        "The pattern is true in the middle and gives at its rim: lay its middle first.".to_owned(),
        format!("Gaps are true at mid-height; at feet and tops they differ by up to {}.", length(gaps)),
        "Lengths in the side view are not those along the skin.".to_owned(),
    ];
    tones_and_words(room, &TONES, &words)
}

/// The tones with their figures, and lines beside them.
pub(super) fn tones_and_words(room: Room, tones: &[(f64, Colour)], words: &[String]) -> Vec<Item> {
    let mut at = Point::new(room.lo.x + 4.0, room.lo.y + STRIP - 10.0);
    let mut items = vec![heading(at, "Tones")];
    for (k, (from, colour)) in tones.iter().enumerate() {
        at.y -= 6.0;
        let chip = Room { lo: at, hi: at + Vec2::new(8.0, 4.0) }.ring();
        items.push(Item::filled([&chip], Fill::Plain(*colour)));
        items.push(Item::rings([&chip], pen(Role::Outline)));
        let words = match tones.get(k + 1) {
            Some((to, _)) => format!("{} to {}", percent(*from), percent(*to)),
            None if *from < ADVISE => format!("{} and more", percent(*from)),
            None => format!("{} and more: smaller letters, or the pattern in pieces", percent(*from)),
        };
        items.push(Item::Text(Text::new(at + Vec2::new(11.0, 0.8), words, TYPE_BODY)));
    }
    let mut y = room.lo.y + STRIP - 10.0;
    let x = room.lo.x + 150.0;
    items.push(heading(Point::new(x, y), "What it means"));
    for line in words {
        y -= 6.0;
        items.push(small(Point::new(x, y), line.clone()));
    }
    items
}
