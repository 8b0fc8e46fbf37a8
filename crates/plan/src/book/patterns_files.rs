//! The pattern files of one mark: PDF by character (and whole where asked), DXF, SVG and cutter file always
//! whole. Pure: what comes out is bytes by name.

use super::patterns::{
    DATUM, FEATURES, OUTLINE, PAINT_EDGE, PIECES, SHADOW, Subject, TACK_STRIP, characters, datum, drawing,
    whole,
};
use super::patterns_level::{Level, feature_items};
use super::patterns_stripe::{datum_lines, stripe_patterns};
use super::sticks;
use crate::fit::placed::{Placed, PlacedGlyph};
use crate::mask::colours::Part;
use crate::mask::{Kind as PieceKind, Mask};
use crate::stripe::Laid;
use crate::surface::{Skin, SkinShape};
use geom::tolerance::OUTPUT_MM;
use geom::{Affine, Point, Ring, Vec2};
use sheet::hpgl::Tool;
use sheet::pdf::{self, Document};
use sheet::tiles::{Stock, Tiling, tile};
use sheet::tiles_pages::{Drawing, add};
use sheet::tokens::TYPE_BODY;
use sheet::{Item, Layer, Role, Room, Sheet, Text, pen};

/// Most sheets one drawing is shared out over. chosen: four hundred are a stack nobody joins; the sheets then
/// say so instead, and a roll is the way.
const MOST_SHEETS: usize = 400;

/// How patterns are wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wishes {
    /// The paper.
    pub stock: Stock,
    /// Dots to prick along the paint edges.
    pub pounce: bool,
    /// The whole mark in the PDF too, beside its characters.
    pub whole: bool,
    /// A mirrored set beside the ordinary one.
    pub mirror: bool,
}

/// One file of a mark's, with what a check must find in it.
pub struct PatternFile {
    /// Path below the plan's folder.
    pub path: String,
    /// Contents.
    pub bytes: Vec<u8>,
    /// What it holds.
    pub kind: Kind,
    /// The paint edges it must hold, in the order written, one set a drawing or a cutter's pen; none in a file of
    /// sticks.
    pub rings: Vec<Vec<Ring>>,
}

/// Format of a pattern file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the formats' own")]
pub enum Kind {
    Pdf,
    Dxf,
    Svg,
    Hpgl,
    /// HP-GL of a film: its first tool cuts the paint edges.
    Cut,
    Sticks,
}

/// What the files of a mark are made from.
pub struct Source<'a> {
    /// Title of the job.
    pub job: &'a str,
    /// The mark.
    pub mark: &'a Placed,
    /// Its surface.
    pub skin: &'a Skin,
    /// The surface in words.
    pub surface_words: &'a str,
    /// The stripe it stands for, if it is one.
    pub stripe: Option<&'a Laid>,
    /// Its masks, one for each paint.
    pub masks: Vec<&'a Mask>,
}

impl<'a> Source<'a> {
    /// The masks of the letters themselves.
    fn letters(&self) -> Vec<&'a Mask> {
        self.masks.iter().filter(|m| m.part == Part::Letters).copied().collect()
    }
}

/// All pattern files of a mark; none for a mark without characters.
pub fn patterns(source: &Source<'_>, wishes: &Wishes) -> Vec<PatternFile> {
    if let Some(stripe) = source.stripe {
        return stripe_patterns(source, stripe, wishes);
    }
    let mut files = Vec::new();
    let sides: &[bool] = if wishes.mirror { &[false, true] } else { &[false] };
    for mirrored in sides {
        let Some(level) = Level::new(source.mark, source.skin, *mirrored) else { continue };
        let name = format!("patterns/{}{}", source.mark.id, if *mirrored { "-mirrored" } else { "" });
        let all: Vec<&PlacedGlyph> = source.mark.glyphs.iter().collect();
        let rings = level.rings(&all);
        let mut put = |ending: &str, bytes: Vec<u8>, kind: Kind, rings: Vec<Vec<Ring>>| {
            files.push(PatternFile { path: format!("{name}.{ending}"), bytes, kind, rings });
        };
        let (bytes, shown) = pdf_file(source, &level, wishes);
        put("pdf", bytes, Kind::Pdf, shown);
        put("dxf", dxf_file(source, *mirrored).into_bytes(), Kind::Dxf, vec![flat_rings(source, *mirrored)]);
        put("svg", svg_file(source, &level).into_bytes(), Kind::Svg, vec![rings.clone()]);
        let colours: Vec<Vec<Ring>> =
            std::iter::once(rings).chain(further_rings(source.mark, level.map())).collect();
        let tools: Vec<Tool<'_>> = colours.iter().map(|rings| Tool { rings, lines: &[] }).collect();
        put("hpgl", sheet::hpgl::write_tools(&tools).into_bytes(), Kind::Hpgl, colours);
    }
    files
}

/// The story sticks of a mark; none for a mark without characters.
pub fn stick_file(source: &Source<'_>, stock: Stock) -> Option<PatternFile> {
    let level = Level::new(source.mark, source.skin, false)?;
    let drawings = sticks::sticks(&level, source.job, source.surface_words);
    let mut document = document(source, "story sticks");
    let parts: Vec<(Drawing, Tiling)> =
        drawings.into_iter().map(|(d, room)| (d, sheet::tiles::strips(stock, room))).collect();
    fill(&mut document, &parts, stock);
    Some(PatternFile {
        path: format!("patterns/{}-sticks.pdf", source.mark.id),
        bytes: pdf::write(&document),
        kind: Kind::Sticks,
        rings: vec![],
    })
}

pub(super) fn document(source: &Source<'_>, what: &str) -> Document {
    Document {
        title: format!("{}: {} ({what})", source.job, source.mark.text),
        subject: format!("{what} of {} on {}, full size: print at 100 %", source.mark.id, source.skin.id),
        ..Document::default()
    }
}

/// The sheets of all parts, one after the other.
pub(super) fn fill(document: &mut Document, parts: &[(Drawing, Tiling)], stock: Stock) {
    let pages = |tiling: &Tiling| if tiling.pages > MOST_SHEETS { 1 } else { tiling.pages };
    let all: usize = parts.iter().map(|(_, tiling)| pages(tiling)).sum();
    for (drawing, tiling) in parts {
        if tiling.pages > MOST_SHEETS {
            too_many(document, drawing, tiling, all, stock);
            continue;
        }
        let missing = add(document, drawing, tiling, all);
        if missing > 0 {
            // Told once, on the drawing's first sheet, in the white above its words.
            let words =
                format!("{missing} names of features found no room: their numbers stand in the layout");
            let first = document.pages.len() - tiling.pages;
            let at = Point::new(tiling.panel.lo.x, sheet::tiles::EDGE - 4.0);
            if let Some(page) = document.pages.get_mut(first) {
                page.items.push(Item::Text(Text::new(at, words, sheet::tokens::TYPE_LABEL)));
            }
        }
    }
}

/// One sheet in place of a stack nobody would join.
fn too_many(document: &mut Document, drawing: &Drawing, tiling: &Tiling, all: usize, stock: Stock) {
    let one = tile(stock, Room { lo: Point::ZERO, hi: Point::new(40.0, 40.0) });
    let mut facts = drawing.facts.clone();
    facts.warning = format!("{} sheets of {}: too many to join", tiling.pages, stock.words());
    facts.lines.push("Print it on a roll: --paper \"36 in\", or lay it out by its ordinates.".to_owned());
    add(document, &Drawing { facts, ..Drawing::default() }, &one, all);
}

/// The PDF, and the paint edges of each drawing in it.
fn pdf_file(source: &Source<'_>, level: &Level<'_>, wishes: &Wishes) -> (Vec<u8>, Vec<Vec<Ring>>) {
    let mut subjects: Vec<Subject<'_>> = characters(level);
    if wishes.whole && source.mark.glyphs.len() > 1 {
        subjects.insert(0, whole(level));
    }
    let parts: Vec<(Drawing, Tiling)> = subjects
        .iter()
        .map(|subject| {
            let drawing = drawing(level, subject, source.job, source.surface_words, wishes.pounce);
            let tiling = tile(wishes.stock, drawing.room.unwrap_or(level.room(&subject.drawn)));
            (drawing, tiling)
        })
        .collect();
    let what = if level.mirrored { "patterns, mirrored" } else { "patterns" };
    let mut document = document(source, what);
    fill(&mut document, &parts, wishes.stock);
    let shown = subjects
        .iter()
        .zip(&parts)
        .map(|(s, (_, tiling))| if tiling.pages > MOST_SHEETS { vec![] } else { level.rings(&s.drawn) })
        .collect();
    (pdf::write(&document), shown)
}

/// The paint edges in flat, as the plan file has them; mirrored about x = 0 where asked.
pub(super) fn flat_rings(source: &Source<'_>, mirrored: bool) -> Vec<Ring> {
    let flip = Affine::scale_non_uniform(-1.0, 1.0);
    let turn = |r: Ring| if mirrored { r.mapped(flip).reversed() } else { r };
    source.mark.rings().into_iter().map(turn).collect()
}

/// The whole mark in the flat coordinates of the plan file.
pub(super) fn dxf_file(source: &Source<'_>, mirrored: bool) -> String {
    let (mark, skin) = (source.mark, source.skin);
    let flip = Affine::scale_non_uniform(if mirrored { -1.0 } else { 1.0 }, 1.0);
    let features = skin.features.iter().flat_map(|f| {
        let region = flipped(&f.region, flip);
        let name = bounds_middle(&region).map(|p| Item::Text(Text::centred(p, f.id.as_str(), TYPE_BODY)));
        feature_items(f, &region).into_iter().chain(name)
    });
    let mut datum = Vec::new();
    if let Some(stripe) = source.stripe {
        let lines = datum_lines(source, stripe).into_iter();
        datum.extend(lines.map(|(line, role)| Item::line(line.into_iter().map(|p| flip * p), pen(role))));
    } else if let (Some(first), Some(last)) = (mark.glyphs.first(), mark.glyphs.last()) {
        let middle = |a: Point, b: Point| a.midpoint(b);
        let lines = [
            [first.corners[0], last.corners[1]],
            [first.corners[3], last.corners[2]],
            [middle(first.corners[0], last.corners[1]), middle(first.corners[3], last.corners[2])],
        ];
        datum.extend(lines.map(|l| Item::line(l.map(|p| flip * p), pen(Role::Centre))));
        for g in &mark.glyphs {
            for side in [[g.corners[0], g.corners[3]], [g.corners[1], g.corners[2]]] {
                datum.push(Item::line(side.map(|p| flip * p), pen(Role::Dimension)));
            }
        }
        let below =
            flip * (first.corners[0] - Vec2::from_angle(mark.angle + std::f64::consts::FRAC_PI_2) * 12.0);
        let words = format!("{}; mark {}: {}{}", source.job, mark.id, mark.text, mirrored_words(mirrored));
        let turn = if mirrored { 0.0 } else { mark.angle };
        datum.push(Item::Text(Text { turn, ..Text::new(below, words, 2.0 * TYPE_BODY) }));
    }
    // Zero, so that the drawing can be laid over another of the same surface.
    for way in [Vec2::new(15.0, 0.0), Vec2::new(0.0, 15.0)] {
        datum.push(Item::line([Point::ZERO - way, Point::ZERO + way], pen(Role::Centre)));
    }
    let zero = match &skin.shape {
        SkinShape::Wing(_) => "zero: leading edge at the root rib; the skin unrolled, millimetres",
        SkinShape::Body(_) | SkinShape::Scan(_) | SkinShape::Chart(_) => {
            "the skin laid flat letter by letter; millimetres"
        }
        SkinShape::Strip(_) => "the skin laid flat along the middle of the stripe; millimetres",
        SkinShape::Flat => "zero: the datum corner; millimetres",
    };
    datum.push(Item::Text(Text::new(Point::new(4.0, 4.0), zero, TYPE_BODY)));
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let mut layers = vec![
        layer(PAINT_EDGE, vec![Item::rings(&flat_rings(source, mirrored), pen(Role::CutLine))]),
        layer(TACK_STRIP, tack_strips(&source.letters(), flip)),
        layer(PIECES, pieces(&source.letters(), flip)),
        layer(FEATURES, features.collect()),
        layer(DATUM, datum),
    ];
    layers.extend(further(mark, flip));
    layers.extend(further_tape(source, flip));
    sheet::dxf::write(&layers)
}

/// The strip's edges that face the paint: closed where they run all round, which repeats the first point, else
/// lines that end where the strip does.
pub(super) fn tack_strips(masks: &[&Mask], map: Affine) -> Vec<Item> {
    let edges = masks.iter().flat_map(|m| &m.tack_rings).filter(|edge| edge.len() > 1);
    edges
        .map(|edge| match edge.split_last() {
            Some((last, all)) if all.len() > 2 && all[0].distance(*last) < OUTPUT_MM => {
                Item::rings([&turned(&Ring::from_points(all.iter().copied()), map)], pen(Role::Outline))
            }
            _ => Item::line(edge.iter().map(|p| map * *p), pen(Role::Outline)),
        })
        .collect()
}

/// The skin each piece of edge tape, bridge and plug covers.
pub(super) fn pieces(masks: &[&Mask], map: Affine) -> Vec<Item> {
    let laid = |k: PieceKind| matches!(k, PieceKind::Edge | PieceKind::Bridge | PieceKind::Plug);
    let all = masks.iter().flat_map(|m| &m.pieces).filter(|p| laid(p.kind));
    let rings: Vec<Ring> = all.flat_map(|p| &p.footprint).map(|r| turned(r, map)).collect();
    if rings.is_empty() { vec![] } else { vec![Item::rings(&rings, pen(Role::Outline))] }
}

/// The tape of each further colour: `outline-tack-strip`, `outline-pieces`, and as much for a shadow.
fn further_tape(source: &Source<'_>, map: Affine) -> Vec<Layer> {
    let masks = source.masks.iter().filter(|m| m.part != Part::Letters);
    let layers = masks.flat_map(|mask| {
        let layer = |name: &str, items| Layer { name: format!("{}-{name}", mask.part.word()), items };
        [layer(TACK_STRIP, tack_strips(&[mask], map)), layer(PIECES, pieces(&[mask], map))]
    });
    layers.filter(|l| !l.items.is_empty()).collect()
}

/// What shows of each further colour that shows at all, in the order of the job.
fn further_rings(mark: &Placed, map: Affine) -> impl Iterator<Item = Vec<Ring>> {
    let shown = mark.further.iter().filter(|f| !f.rings.is_empty());
    shown.map(move |f| f.rings.iter().map(|r| turned(r, map)).collect())
}

/// What shows of each further colour, a layer each: `outline`, `shadow`; closed.
fn further(mark: &Placed, map: Affine) -> Vec<Layer> {
    let layers = mark.further.iter().filter(|f| !f.rings.is_empty()).map(|f| {
        let rings: Vec<Ring> = f.rings.iter().map(|r| turned(r, map)).collect();
        let name = if f.shadow { SHADOW } else { OUTLINE };
        Layer { name: name.to_owned(), items: vec![Item::rings(&rings, pen(Role::Outline))] }
    });
    layers.collect()
}

/// A ring mapped, still counter-clockwise if it was.
fn turned(ring: &Ring, map: Affine) -> Ring {
    let mapped = ring.mapped(map);
    if map.determinant() < 0.0 { mapped.reversed() } else { mapped }
}

pub(super) fn mirrored_words(mirrored: bool) -> &'static str {
    if mirrored { "; MIRRORED, for the back of a film only" } else { "" }
}

fn flipped(region: &geom::Region, flip: Affine) -> geom::Region {
    use geom::Region;
    match region {
        Region::Disc { centre, radius } => Region::Disc { centre: flip * *centre, radius: *radius },
        Region::Area { rings } => Region::Area { rings: rings.iter().map(|r| r.mapped(flip)).collect() },
        Region::Band { path, width } => {
            Region::Band { path: path.iter().map(|p| flip * *p).collect(), width: *width }
        }
    }
}

fn bounds_middle(region: &geom::Region) -> Option<Point> {
    super::patterns_level::bounds(region).map(Room::centre)
}

/// The whole mark, level, its lower left corner near the sheet's.
fn svg_file(source: &Source<'_>, level: &Level<'_>) -> String {
    let subject = whole(level);
    let body = level.room(&subject.drawn);
    let masked = source.masks.iter().flat_map(|m| &m.pieces).flat_map(|p| &p.footprint);
    let further_rings = source.mark.further.iter().flat_map(|f| &f.rings);
    // Whatever tape and further colours reach beyond the letters is on the sheet too.
    let mut room = body.inset(-15.0);
    for (lo, hi) in masked.chain(further_rings).filter_map(|r| level.ring(r).bounds()) {
        room.lo = Point::new(room.lo.x.min(lo.x - 5.0), room.lo.y.min(lo.y - 5.0));
        room.hi = Point::new(room.hi.x.max(hi.x + 5.0), room.hi.y.max(hi.y + 5.0));
    }
    let by = -room.lo.to_vec2();
    let shift = Affine::translate(by);
    let datum = datum(level, &subject, body);
    let near = |region: &geom::Region| {
        super::patterns_level::bounds(region).is_some_and(|b| {
            b.lo.x < room.hi.x && room.lo.x < b.hi.x && b.lo.y < room.hi.y && room.lo.y < b.hi.y
        })
    };
    let features = level.skin.features.iter().flat_map(|f| {
        let region = level.region(&f.region, Vec2::ZERO);
        if near(&region) { feature_items(f, &level.region(&f.region, by)) } else { vec![] }
    });
    let rings: Vec<Ring> = level.rings(&subject.drawn).iter().map(|r| r.mapped(shift)).collect();
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let mut layers = vec![
        layer(PAINT_EDGE, vec![Item::rings(&rings, pen(Role::CutLine))]),
        layer(TACK_STRIP, tack_strips(&source.letters(), shift * level.map())),
        layer(PIECES, pieces(&source.letters(), shift * level.map())),
        layer(FEATURES, features.collect()),
        layer(DATUM, datum.items.into_iter().map(|i| moved(i, by)).collect()),
    ];
    layers.extend(further(source.mark, shift * level.map()));
    layers.extend(further_tape(source, shift * level.map()));
    sheet::svg::write_bare(&Sheet {
        width_mm: room.width(),
        height_mm: room.height(),
        layers,
        title: format!("{}: {}{}", source.job, source.mark.text, mirrored_words(level.mirrored)),
        description: format!(
            "Full-size pattern of the mark {} on {}, {}, one unit a millimetre.",
            source.mark.id, source.skin.id, source.surface_words
        ),
    })
}

/// An item moved by `by`.
pub(super) fn moved(item: Item, by: Vec2) -> Item {
    match item {
        Item::Path(mut path) => {
            for v in path.outlines.iter_mut().flat_map(|o| &mut o.vertices) {
                v.p += by;
            }
            Item::Path(path)
        }
        Item::Circle { centre, radius, stroke, fill } => {
            Item::Circle { centre: centre + by, radius, stroke, fill }
        }
        Item::Text(text) => Item::Text(Text { at: text.at + by, ..text }),
    }
}
