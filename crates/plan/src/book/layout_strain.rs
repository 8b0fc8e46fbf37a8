//! The second drawing of a body or scan: seen from the side with stations and waterlines, and below it every
//! character's pattern with the strain of laying it flat as tones, each tone and each character with its figure.

use super::layout_notes::{heading, small};
use crate::fit::charts::{fine, percent};
use crate::fit::placed::Placed;
use crate::job::{Job, Unit};
use crate::stripe::Laid;
use crate::surface::{BodySkin, Chart, Skin, SkinShape};
use crate::words::length;
use geom::{Affine, Point, Point3, Ring, Vec2};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::title_block::{Row, title_block};
use sheet::tokens::{Colour, TYPE_BODY, TYPE_LABEL};
use sheet::units::INCH_MM;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, pen};

/// Strain from which each tone is used, the lightest for what lies below the first. chosen: 1 per cent, from which
/// smaller letters are advised, begins the darkest.
const TONES: [(f64, Colour); 5] = [
    (0.0, Colour::new(0xf3, 0xef, 0xe2)),
    (0.00005, Colour::new(0xdd, 0xd7, 0xc6)),
    (0.0002, Colour::new(0xbd, 0xb5, 0xa2)),
    (0.001, Colour::new(0x93, 0x8b, 0x79)),
    (0.01, Colour::new(0x65, 0x5d, 0x50)),
];

/// From one waterline to the next, mm: 10 in, or 250 mm.
const WATERLINES: (f64, f64) = (10.0 * INCH_MM, 250.0);

/// Height of the upper half of the drawing, as a share of its room, and of the strip for words, mm.
const UPPER: f64 = 0.52;
const STRIP: f64 = 62.0;

/// Longest chord, mm, of an edge of a letter seen from the side.
const CHORD_MM: f64 = 25.0;

/// What lies on a surface.
#[derive(Clone, Copy)]
pub(crate) struct On<'a> {
    pub(crate) marks: &'a [&'a Placed],
    pub(crate) stripes: &'a [&'a Laid],
}

impl On<'_> {
    /// True if nothing of it is laid flat piece by piece.
    fn nothing(self) -> bool {
        self.marks.iter().all(|m| m.charts.is_none())
            && self.stripes.iter().all(|s| s.painted.charts.is_none())
    }
}

/// The drawing; `None` for a surface that unrolls, or with nothing on it.
pub(crate) fn strain_sheet(job: &Job, surface_words: &str, skin: &Skin, of: On<'_>) -> Option<Sheet> {
    let marks = of.marks;
    if skin.unrolls() || of.nothing() {
        return None;
    }
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let Drawn { mut layers, scales } = drawn(job, skin, of, room);
    let worst = marks.iter().filter_map(|m| m.charts.as_ref()).map(|c| c.worst());
    let (strain, stroke) =
        worst.fold((0.0_f64, 0.0_f64), |a, b| (a.0.max(b.max_strain), a.1.max(b.stroke_error)));
    let mut rows = vec![
        Row::new("job", job.title.as_str()),
        Row::new("surface", format!("{surface_words} ({})", skin.id)),
    ];
    let stripes: Vec<&str> = of.stripes.iter().map(|s| s.id.as_str()).collect();
    if !stripes.is_empty() {
        rows.push(Row::new("stripes", stripes.join(", ")));
    }
    let name = if marks.is_empty() {
        rows.push(Row::new("scale", scale_text(scales[0])));
        "Side view"
    } else {
        rows.push(Row::new("mark", marks.iter().map(|m| m.words()).collect::<Vec<_>>().join(", ")));
        rows.push(Row::new("most strain", percent(strain)));
        rows.push(Row::new("worst stroke", fine(stroke)));
        let scales = format!("{}, patterns {}", scale_text(scales[0]), scale_text(scales[1]));
        rows.push(Row::new("scales", scales));
        "Side view and strain"
    };
    let table = title_block(Point::new(room.hi.x, room.lo.y), name, &rows);
    layers.insert(0, layer("border", frame(size)));
    layers.push(layer("title block", table.items));
    Some(Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("{}: {surface_words}, side view and strain", job.title),
        description: format!(
            "{surface_words} seen from the side, and the strain of each character's pattern."
        ),
    })
}

/// The same for a page of the book, without frame and title block, as large as `room`, mm: shown at its own size, so that
/// its words stay as large as they are.
pub(crate) fn strain_page(job: &Job, skin: &Skin, of: On<'_>, room: (f64, f64)) -> Option<Sheet> {
    if skin.unrolls() || of.nothing() {
        return None;
    }
    let whole = Room { lo: Point::ZERO, hi: Point::new(room.0, room.1) };
    Some(Sheet {
        width_mm: room.0,
        height_mm: room.1,
        layers: drawn(job, skin, of, whole).layers,
        title: format!("{}: side view and strain", job.title),
        description: "The surface seen from the side, and the strain of each character's pattern.".to_owned(),
    })
}

fn layer(name: &str, items: Vec<Item>) -> Layer {
    Layer { name: name.to_owned(), items }
}

/// What is drawn in a room: the layers, and the scales of side view and patterns.
struct Drawn {
    layers: Vec<Layer>,
    scales: [f64; 2],
}

fn drawn(job: &Job, skin: &Skin, of: On<'_>, room: Room) -> Drawn {
    if of.marks.is_empty() {
        // Stripes alone: how they lie flat is told in figures by their sheets.
        let upper = Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: room.hi }.inset(14.0);
        let (seen, scale) = side_view(job, skin, of, upper);
        return Drawn { layers: vec![layer("side view", seen)], scales: [scale, scale] };
    }
    let marks = of.marks;
    let work = Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: room.hi };
    let split = work.lo.y + work.height() * (1.0 - UPPER);
    let upper = Room { lo: Point::new(work.lo.x, split), hi: work.hi }.inset(14.0);
    let lower = Room { lo: work.lo, hi: Point::new(work.hi.x, split) }.inset(10.0);
    let (seen, scale) = side_view(job, skin, of, upper);
    let (toned, toned_scale) = patterns(marks, lower);
    Drawn {
        layers: vec![layer("side view", seen), layer("strain", toned), layer("notes", legend(room, marks))],
        scales: [scale, toned_scale],
    }
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
        items.extend(stations(body, on));
        items.extend(waterlines(job, body, on, lo, hi));
    }
    items.push(Item::rings([&outline.mapped(on)], pen(Role::Outline)));
    let seen = |ring: &Ring, space: &dyn Fn(Point) -> Option<Point3>| {
        let points = ring.edges().flat_map(|e| {
            let parts = (e.length() / CHORD_MM).ceil().max(1.0);
            (0..parts as usize).map(|i| e.at(i as f64 / parts)).collect::<Vec<_>>()
        });
        let seen = points.filter_map(space).map(|q| match &skin.shape {
            SkinShape::Body(body) => body.side_on(q),
            SkinShape::Scan(scan) => scan.flat(q),
            _ => Point::ZERO,
        });
        Ring::from_points(seen.collect::<Vec<_>>()).mapped(on)
    };
    for stripe in of.stripes {
        let Some(charts) = &stripe.painted.charts else { continue };
        let space = |p: Point| charts.sheet.space_from_flat(p);
        let rings: Vec<Ring> = stripe.painted.rings().iter().map(|r| seen(r, &space)).collect();
        items.push(Item::rings(&rings, pen(Role::CutLine)));
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
        items.push(Item::Text(Text::centred(at, crate::words::inches(*s), TYPE_LABEL)));
    }
    items
}

/// Level lines at full tens of inches (or 250 mm) from the waterline that girth starts from, within the body.
fn waterlines(job: &Job, body: &BodySkin, on: Affine, lo: Point, hi: Point) -> Vec<Item> {
    let metric = matches!(job.units, Unit::Mm | Unit::Cm | Unit::M);
    let step = if metric { WATERLINES.1 } else { WATERLINES.0 };
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
        items.push(Item::line([*a, *b], pen(Role::Hidden)));
        let left = if a.x < b.x { *a } else { *b };
        let words = if n == 0 { "waterline".to_owned() } else { length(z - zero) };
        let mut text = Text::new(left, words, TYPE_LABEL);
        text.at = left - Vec2::new(text.width() + 4.0, 0.9);
        items.push(Item::Text(text));
    }
    items
}

/// Each character's pattern, side by side, its strain as tones; and their scale.
fn patterns(marks: &[&Placed], room: Room) -> (Vec<Item>, f64) {
    let all: Vec<_> = marks
        .iter()
        .filter_map(|m| Some((*m, m.charts.as_ref()?)))
        .flat_map(|(m, charts)| m.glyphs.iter().zip(&charts.letters))
        .collect();
    // What is drawn of each: a scan's patches end in whole triangles.
    let reach = |chart: &Chart| {
        let corners = chart.strains().into_iter().flat_map(|(corners, _)| corners);
        corners.fold(chart.size() / 2.0, |half, c| Vec2::new(half.x.max(c.x.abs()), half.y.max(c.y.abs())))
    };
    let halves: Vec<Vec2> = all.iter().map(|(_, c)| reach(c)).collect();
    let gap = 6.0;
    let tall = halves.iter().map(|h| 2.0 * h.y).fold(0.0, f64::max);
    let long: f64 = halves.iter().map(|h| 2.0 * h.x).sum();
    let white = gap * all.len().saturating_sub(1) as f64;
    let scale = fit_scale((long, tall), ((room.width() - white).max(20.0), (room.height() - 12.0).max(20.0)));
    let mut items =
        vec![heading(Point::new(room.lo.x - 6.0, room.hi.y + 3.0), "Strain of each character's pattern")];
    let mut x = room.lo.x + ((room.width() - long * scale - white) / 2.0).max(0.0);
    for ((glyph, chart), half) in all.into_iter().zip(halves) {
        let half = half * scale;
        let middle = Point::new(x + half.x, room.centre().y);
        let on = Affine::translate(middle.to_vec2()) * Affine::scale(scale);
        for (level, (_, colour)) in TONES.iter().enumerate() {
            let cells: Vec<Ring> = chart
                .strains()
                .into_iter()
                .filter(|(_, strain)| tone(*strain) == level)
                .map(|(corners, _)| Ring::from_points(corners.map(|c| on * c.to_point())))
                .collect();
            if !cells.is_empty() {
                items.push(Item::filled(&cells, Fill::Plain(*colour)));
            }
        }
        let level = on * Affine::translate(-chart.offset()) * chart.axes();
        let rings: Vec<Ring> = glyph.rings.iter().map(|r| r.mapped(level)).collect();
        items.push(Item::rings(&rings, pen(Role::CutLine)));
        let words =
            format!("{}: {}", glyph.char, percent(chart.figures.max_strain).replace(" per cent", " %"));
        let below = middle - Vec2::new(0.0, half.y + 4.0);
        items.push(Item::Text(Text::centred(below, words, TYPE_LABEL)));
        x += 2.0 * half.x + gap;
    }
    (items, scale)
}

/// Which tone a strain has.
fn tone(strain: f64) -> usize {
    TONES.iter().rposition(|(from, _)| *from <= strain).unwrap_or(0)
}

/// What the tones mean, and what the figures do not say by themselves.
fn legend(room: Room, marks: &[&Placed]) -> Vec<Item> {
    let mut at = Point::new(room.lo.x + 4.0, room.lo.y + STRIP - 10.0);
    let mut items = vec![heading(at, "Tones")];
    for (k, (from, colour)) in TONES.iter().enumerate() {
        at.y -= 6.0;
        let chip = Room { lo: at, hi: at + Vec2::new(8.0, 4.0) }.ring();
        items.push(Item::filled([&chip], Fill::Plain(*colour)));
        items.push(Item::rings([&chip], pen(Role::Outline)));
        let words = match TONES.get(k + 1) {
            Some((to, _)) => format!("{} to {}", percent(*from), percent(*to)),
            None => format!("{} and more: smaller letters, or the pattern in pieces", percent(*from)),
        };
        items.push(Item::Text(Text::new(at + Vec2::new(11.0, 0.8), words, TYPE_BODY)));
    }
    let mut y = room.lo.y + STRIP - 10.0;
    let x = room.lo.x + 150.0;
    items.push(heading(Point::new(x, y), "What it means"));
    let gaps = marks.iter().filter_map(|m| Some(m.charts.as_ref()?.gap_error(m.height))).fold(0.0, f64::max);
    for line in [
        "Strain is how much a length on the pattern differs from the skin below it.".to_owned(),
        "The pattern is true in the middle and gives at its rim: lay its middle first.".to_owned(),
        format!("Gaps are true at mid-height; at feet and tops they differ by up to {}.", length(gaps)),
        "Lengths in the side view are not those along the skin.".to_owned(),
    ] {
        y -= 6.0;
        items.push(small(Point::new(x, y), line));
    }
    items
}
