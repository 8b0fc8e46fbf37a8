//! The pattern files of a stripe: its ends at full size on paper, the whole of it for a cutter.
//!
//! Nobody prints twenty feet of straight edge: the edges between the ends are struck from the station table. An end that
//! is cut square needs no pattern.

use super::pages_stripes::second_words;
use super::patterns::{DATUM, FEATURES, PAINT_EDGE, PIECES, TACK_STRIP, zero_words};
use super::patterns_files::{
    Kind, PatternFile, Source, Wishes, document, dxf_file, fill, flat_rings, mirrored_words, pieces,
    tack_strips,
};
use super::patterns_level::{bounds, feature_items};
use crate::job::StripeEnd;
use crate::stripe::Laid;
use crate::surface::SkinShape;
use geom::boolean::intersection;
use geom::point::left_of;
use geom::{Affine, Point, Region, Ring, Vec2};
use sheet::pdf;
use sheet::tiles::{Tiling, tile};
use sheet::tiles_pages::{Drawing, Label};
use sheet::tiles_panel::Facts;
use sheet::tokens::{TYPE_BODY, TYPE_LABEL};
use sheet::units::both_words;
use sheet::{Item, Layer, Role, Room, Sheet, Text, Words, pen};
use std::f64::consts::FRAC_PI_2;

/// How much of the full width is shown beyond an end's own shape, mm: enough to lay it to the edges struck. chosen.
const SHOWN: f64 = 100.0;
/// An end whose corners lie no farther one behind the other, mm, is square: what a tape measure reads, 1/32 in.
const SQUARE: f64 = 25.4 / 32.0;
/// White round a drawing, mm.
const AIR: f64 = 13.0;

/// All pattern files of a stripe.
pub(super) fn stripe_patterns(source: &Source<'_>, stripe: &Laid, wishes: &Wishes) -> Vec<PatternFile> {
    let mut files = Vec::new();
    let sides: &[bool] = if wishes.mirror { &[false, true] } else { &[false] };
    for mirrored in sides {
        let name = format!("patterns/{}{}", stripe.id, if *mirrored { "-mirrored" } else { "" });
        let mut put = |ending: &str, bytes: Vec<u8>, kind: Kind, rings: Vec<Vec<Ring>>| {
            files.push(PatternFile { path: format!("{name}.{ending}"), bytes, kind, rings });
        };
        let (drawings, shown): (Vec<Drawing>, Vec<Vec<Ring>>) =
            (0..2).filter_map(|k| end(source, stripe, k, *mirrored)).unzip();
        if !drawings.is_empty() {
            let parts: Vec<(Drawing, Tiling)> = drawings
                .into_iter()
                .map(|d| {
                    let tiling =
                        tile(wishes.stock, d.room.unwrap_or(Room { lo: Point::ZERO, hi: Point::ZERO }));
                    (d, tiling)
                })
                .collect();
            let mut document = document(source, if *mirrored { "ends, mirrored" } else { "ends" });
            fill(&mut document, &parts, wishes.stock);
            put("pdf", pdf::write(&document), Kind::Pdf, shown);
        }
        put("dxf", dxf_file(source, *mirrored).into_bytes(), Kind::Dxf, vec![flat_rings(source, *mirrored)]);
        let (svg, rings) = svg_file(source, stripe, *mirrored);
        put("svg", svg.into_bytes(), Kind::Svg, vec![rings.clone()]);
        put("hpgl", sheet::hpgl::write(&rings).into_bytes(), Kind::Hpgl, vec![rings]);
    }
    files
}

/// The middle and a line across at each station, as flat lines.
pub(super) fn datum_lines(source: &Source<'_>, stripe: &Laid) -> Vec<(Vec<Point>, Role)> {
    let mut lines = vec![(stripe.middle.clone(), Role::Centre)];
    for row in &stripe.stations {
        let ends = [row.lower, row.upper].map(|t| source.skin.flat_from_skin([row.s, t]));
        lines.push((ends.to_vec(), Role::Dimension));
    }
    lines
}

/// The whole stripe as it lies in flat, its lower left corner near the sheet's.
fn svg_file(source: &Source<'_>, stripe: &Laid, mirrored: bool) -> (String, Vec<Ring>) {
    let flip = Affine::scale_non_uniform(if mirrored { -1.0 } else { 1.0 }, 1.0);
    let masked = source.masks.iter().flat_map(|m| &m.pieces).flat_map(|p| &p.footprint);
    let all = stripe.painted.glyphs.iter().flat_map(|g| &g.rings).chain(masked);
    let around = all.filter_map(|r| r.mapped(flip).bounds()).reduce(|(a, b), (c, d)| {
        (Point::new(a.x.min(c.x), a.y.min(c.y)), Point::new(b.x.max(d.x), b.y.max(d.y)))
    });
    let (lo, hi) = around.unwrap_or_default();
    let room = Room { lo, hi }.inset(-AIR);
    let map = Affine::translate(-room.lo.to_vec2()) * flip;
    let turned = |r: &Ring| if mirrored { r.mapped(map).reversed() } else { r.mapped(map) };
    let rings: Vec<Ring> = stripe.painted.rings().iter().map(turned).collect();
    let features = source.skin.features.iter().flat_map(|f| {
        near(f, map, Room { lo: room.lo - room.lo.to_vec2(), hi: (room.hi - room.lo).to_point() })
    });
    let datum = datum_lines(source, stripe)
        .into_iter()
        .map(|(line, role)| Item::line(line.into_iter().map(|p| map * p), pen(role)));
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let layers = vec![
        layer(PAINT_EDGE, vec![Item::rings(&rings, pen(Role::CutLine))]),
        layer(TACK_STRIP, tack_strips(&source.masks, map)),
        layer(PIECES, pieces(&source.masks, map)),
        layer(FEATURES, features.collect()),
        layer(DATUM, datum.collect()),
    ];
    let svg = sheet::svg::write_bare(&Sheet {
        width_mm: room.width(),
        height_mm: room.height(),
        layers,
        title: format!("{}: stripe {}{}", source.job, stripe.id, mirrored_words(mirrored)),
        description: format!(
            "Full-size pattern of the stripe {} on {}, {}, one unit a millimetre.",
            stripe.id, source.skin.id, source.surface_words
        ),
    });
    (svg, rings)
}

/// The lines of a feature, mapped, if it shows in a room.
fn near(feature: &crate::surface::FlatFeature, map: Affine, room: Room) -> Vec<Item> {
    let region = mapped(&feature.region, map);
    let shows = bounds(&region).is_some_and(|b| {
        b.lo.x < room.hi.x && room.lo.x < b.hi.x && b.lo.y < room.hi.y && room.lo.y < b.hi.y
    });
    if shows { feature_items(feature, &region) } else { vec![] }
}

fn mapped(region: &Region, map: Affine) -> Region {
    match region {
        Region::Disc { centre, radius } => Region::Disc { centre: map * *centre, radius: *radius },
        Region::Area { rings } => Region::Area { rings: rings.iter().map(|r| r.mapped(map)).collect() },
        Region::Band { path, width } => {
            Region::Band { path: path.iter().map(|p| map * *p).collect(), width: *width }
        }
    }
}

/// How far back the one corner of an end that meets another stripe lies from the other, mm; `None` of one as good as square.
fn leaning(stripe: &Laid, k: usize) -> Option<f64> {
    let [a, b] = corners(stripe, k);
    let n = stripe.middle.len();
    let way = if k == 0 {
        stripe.middle[1] - stripe.middle[0]
    } else {
        stripe.middle[n - 1] - stripe.middle[n - 2]
    };
    let back = (a - b).dot(way.normalize()).abs();
    (back > SQUARE).then(|| a.distance(b))
}

/// Where the left and the right edge of a stripe end, flat.
fn corners(stripe: &Laid, k: usize) -> [Point; 2] {
    [0, 1].map(|side| {
        let flank = &stripe.flanks[side];
        if k == 0 { flank[0] } else { flank[flank.len() - 1] }
    })
}

/// Length of an end that is not square, mm; `None` of one that is.
fn shaped(stripe: &Laid, k: usize) -> Option<f64> {
    match stripe.shape.ends[k] {
        StripeEnd::Square => None,
        StripeEnd::Round => Some(stripe.shape.width(k as f64) / 2.0),
        StripeEnd::Point | StripeEnd::Swallowtail => Some(stripe.shape.long[k]),
        StripeEnd::Mitre | StripeEnd::Butt => leaning(stripe, k),
    }
}

/// True of an end that has a pattern.
pub(super) fn patterned(stripe: &Laid, k: usize) -> bool {
    shaped(stripe, k).is_some()
}

/// The drawing of one end, level, the stripe coming in from one side, and its paint edges; `None` for a square end.
fn end(source: &Source<'_>, stripe: &Laid, k: usize, mirrored: bool) -> Option<(Drawing, Vec<Ring>)> {
    let own = shaped(stripe, k)?;
    let zone = (own + SHOWN).min(stripe.length / 2.0);
    let mut middle = stripe.middle.clone();
    if k == 1 {
        middle.reverse();
    }
    let (at, way) = along(&middle, zone);
    // All on the end's side of a line square across the stripe there.
    let (across, back) = (left_of(way) * stripe.length, -way * stripe.length);
    let half = Ring::from_points([at - across, at + across, at + across + back, at - across + back]);
    let half = if half.area() < 0.0 { half.reversed() } else { half };
    let tip = middle[0];
    let far = |r: &Ring| r.vertices.iter().map(|v| v.p.distance(tip)).fold(f64::INFINITY, f64::min);
    let cut = intersection(&stripe.painted.rings(), &[half]);
    let ring = cut.into_iter().filter(|r| r.area() > 0.0).min_by(|a, b| far(a).total_cmp(&far(b)))?;
    let flip = Affine::scale_non_uniform(if mirrored { -1.0 } else { 1.0 }, 1.0);
    // Level as one faces the skin: turned by less than a quarter.
    let along_x = if way.x < 0.0 { -way } else { way };
    let map = flip * Affine::rotate(-along_x.atan2()) * Affine::translate(-tip.to_vec2());
    let rings = vec![if mirrored { ring.mapped(map).reversed() } else { ring.mapped(map) }];
    let (lo, hi) = rings[0].bounds()?;
    let room = Room { lo, hi }.inset(-AIR);
    let lines = datum_lines(source, stripe).into_iter().flat_map(|(line, role)| {
        let line: Vec<Point> = line.into_iter().map(|p| map * p).collect();
        let clipped: Vec<(Point, Point)> =
            line.windows(2).filter_map(|w| super::tape_map_place::clip((w[0], w[1]), room)).collect();
        clipped.into_iter().map(move |(a, b)| Item::line([a, b], pen(role))).collect::<Vec<_>>()
    });
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let features: Vec<Item> = source.skin.features.iter().flat_map(|f| near(f, map, room)).collect();
    let [s, t] = source.skin.skin_from_flat(at);
    let note = |p: Point, words: &str| Label {
        places: vec![
            Text::centred(p + Vec2::new(0.0, 3.5), words, TYPE_LABEL),
            Text::centred(p + Vec2::new(0.0, 6.0), words, TYPE_BODY),
        ],
        needed: true,
        each: false,
    };
    let drawing = Drawing {
        room: Some(room),
        layers: vec![
            layer(DATUM, lines.collect()),
            layer(FEATURES, features),
            layer(PAINT_EDGE, vec![Item::rings(&rings, pen(Role::CutLine))]),
        ],
        labels: vec![note(map * (at - way * (SHOWN / 2.5)), "the edges go on beyond this side")],
        guides: vec![],
        keep_clear: vec![],
        facts: facts(source, stripe, k, mirrored, [s, t], &rings, map),
    };
    Some((drawing, rings))
}

fn facts(
    source: &Source<'_>,
    stripe: &Laid,
    k: usize,
    mirrored: bool,
    [s, t]: [f64; 2],
    rings: &[Ring],
    map: Affine,
) -> Facts {
    let wing = matches!(source.skin.shape, SkinShape::Wing(_));
    let line = |what: &str, mm: f64| Words::from(format!("{what} ")).and(both_words(mm));
    let tip = stripe.ends_on(source.skin)[k];
    let mut lines = vec![format!("stripe {} on {}, {}", stripe.id, source.skin.id, source.surface_words)];
    let mut figures = vec![line("width", stripe.shape.width(k as f64))];
    if stripe.shape.long[k] > 0.0 {
        figures.push(line("length of the end", stripe.shape.long[k]));
    }
    if !mirrored {
        lines.push(zero_words(source.skin).to_owned());
        let meets = matches!(stripe.shape.ends[k], StripeEnd::Mitre | StripeEnd::Butt);
        figures.push(line(if meets { "middle at its end, station" } else { "tip, station" }, tip[0]));
        let second = second_words(source.skin);
        figures.push(line(&format!("{}, {second}", if meets { "the same" } else { "tip" }), tip[1]));
        if meets {
            for (name, corner) in ["left", "right"].into_iter().zip(corners(stripe, k)) {
                let [s, t] = source.skin.skin_from_flat(corner);
                figures.push(line(&format!("corner {name} of travel, station"), s));
                figures.push(line(&format!("the same, {second}"), t));
            }
        }
        figures.push(line("line across, station", s));
        figures.push(line(&format!("middle there, {second}"), t));
    }
    let up = map * Point::new(0.0, 1.0) - map * Point::ZERO;
    Facts {
        heading: format!("{} of stripe {}", if k == 0 { "start" } else { "end" }, stripe.id),
        job: source.job.to_owned(),
        warning: if mirrored { "MIRRORED: for the back of a film only".to_owned() } else { String::new() },
        lines,
        figures,
        arrow: Some((if up.hypot() > 0.0 { up.atan2() } else { FRAC_PI_2 }, if wing { "leading edge" } else { "up" }.to_owned())),
        legend: vec![
            (Role::CutLine, "paint edge: cut, trace or tape to it".to_owned()),
            (Role::Centre, "middle of the stripe".to_owned()),
            (Role::Dimension, "stations; edges of features".to_owned()),
            (Role::Hidden, "join lines; seams and rivet rows".to_owned()),
        ],
        share: "sheet",
        joining: "Cut one sheet along its join line and lay it over its neighbour: rings on rings. Check a straightedge \
                  along the middle."
            .to_owned(),
        map: rings.to_vec(),
    }
}

/// The point so many mm along a line, and the direction there.
fn along(line: &[Point], far: f64) -> (Point, Vec2) {
    let mut left = far;
    for w in line.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d && d > 0.0 {
            return (w[0].lerp(w[1], left / d), (w[1] - w[0]) / d);
        }
        left -= d;
    }
    let n = line.len();
    (line[n - 1], (line[n - 1] - line[n - 2]).normalize())
}
