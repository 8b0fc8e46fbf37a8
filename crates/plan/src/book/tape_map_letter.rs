//! The tape map of one character: what lies where, and beside it every piece in the order of laying.

use super::layout_notes::clipped;
use super::tape_map::Card;
use super::tape_map_draw::{Map, Shows, Window};
use super::tape_map_pieces::{Lie, shown};
use super::tape_map_place::{Floor, wide};
use super::tape_map_pockets::pockets;
use super::tape_map_sheet::{BELOW, Field, Told, drawing_scale, own_rows, sheets, tape_of};
use super::tape_map_table::ranges;
use crate::mask::{EndKind, Kind, Mask};
use geom::{Point, Ring, Vec2};
use sheet::frame::scale_text;
use sheet::title_block::{Row as TitleRow, Table, title_block};
use sheet::tokens::PAPER;
use sheet::units::both_words;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, Weight, pen};

/// Room round the pieces for numbers, mm.
const ROUND: f64 = 17.0;
/// Size of a pocket's name, mm.
const POCKET: f64 = 3.6;
/// Room round the pieces on a card of the book, mm.
const CARD_ROUND: f64 = 15.0;
/// The same round a pocket, whose numbers find room inside.
const POCKET_ROUND: f64 = 9.0;

/// What one drawing of a character shows: all of it, or one of its pockets.
struct View {
    /// mm, level.
    extent: Room,
    /// Indices of the pieces seen, rising.
    seen: Vec<usize>,
    /// Those of them that are numbered and listed here.
    told: Vec<usize>,
    /// The pocket it shows.
    pocket: Option<char>,
    /// Pockets that have a drawing of their own: name, middle, their pieces.
    apart: Vec<(char, Point, Vec<usize>)>,
}

impl View {
    /// `, pocket a`, or nothing.
    fn which(&self) -> String {
        self.pocket.map_or_else(String::new, |name| format!(", pocket {name}"))
    }

    /// Which pieces are told elsewhere, in words.
    fn elsewhere(&self, mask: &Mask) -> Vec<String> {
        let lays = |pieces: &[usize]| {
            let mut lays: Vec<usize> = pieces.iter().map(|i| mask.pieces[*i].lay).collect();
            lays.sort_unstable();
            ranges(&lays)
        };
        self.apart
            .iter()
            .map(|(name, _, pieces)| format!("pocket {name} has its own drawing: {}", lays(pieces)))
            .collect()
    }
}

/// The drawings of one character: all of it first, then each pocket too crowded to be told there. None if there is
/// nothing to show.
fn views(card: &Card<'_>, glyph: usize, shows: Shows) -> Vec<View> {
    let unit = Lie::new(card.mark.centre, Point::ZERO, 1.0, card.mark.angle);
    let Some(extent) = extent(card, glyph, &unit, shows) else { return Vec::new() };
    let seen = |room: Room| -> Vec<usize> {
        shown(card.mask, &unit, room, |p| shows.piece(p, glyph)).iter().map(|s| s.idx).collect()
    };
    let all = seen(extent);
    if all.is_empty() && shows == Shows::Layout {
        return Vec::new();
    }
    let pockets = if shows == Shows::Mask {
        let own: Vec<usize> =
            all.iter().copied().filter(|i| card.mask.pieces[*i].glyph == glyph as i32).collect();
        pockets(card.mask, &own, &card.mask.sprayed[glyph], extent, &unit)
    } else {
        Vec::new()
    };
    let told = all.iter().copied().filter(|i| !pockets.iter().any(|p| p.pieces.contains(i))).collect();
    let apart = pockets.iter().map(|p| (p.name, p.window.centre(), p.pieces.clone())).collect();
    let mut views = vec![View { extent, seen: all, told, pocket: None, apart }];
    views.extend(pockets.into_iter().map(|p| View {
        extent: p.window,
        seen: seen(p.window),
        told: p.pieces,
        pocket: Some(p.name),
        apart: Vec::new(),
    }));
    views
}

/// The sheets of one character with what their names end in: the map, each crowded pocket, and more of a table if it
/// does not fit.
pub(super) fn letter_sheets(card: &Card<'_>, glyph: usize, shows: Shows) -> Vec<(String, Sheet)> {
    let mut out = Vec::new();
    for view in views(card, glyph, shows) {
        let stem = view.pocket.map_or_else(String::new, |name| format!("-pocket-{name}"));
        for (n, sheet) in view_sheets(card, (glyph, shows), &view).into_iter().enumerate() {
            out.push((if n == 0 { stem.clone() } else { format!("{stem}-{}", n + 1) }, sheet));
        }
    }
    out
}

/// The sheets of one drawing: itself, and more of its table if it does not fit.
fn view_sheets(card: &Card<'_>, (glyph, shows): (usize, Shows), view: &View) -> Vec<Sheet> {
    let letter = card.mark.glyphs[glyph].char;
    let what = if shows == Shows::Layout { ", layout tape" } else { "" };
    let told = Told {
        shows,
        heading: format!("{}, letter {}: {letter}{what}{}", card.text(), glyph + 1, view.which()),
        name: format!("letter {} of {}: {letter}{what}{}", glyph + 1, card.mark.glyphs.len(), view.which()),
        pieces: view.told.clone(),
        elsewhere: view.elsewhere(card.mask),
        description: format!(
            "Where {} pieces of tape lie {} the letter, and in what order.",
            view.told.len(),
            if shows == Shows::Layout { "in" } else { "round" }
        ),
    };
    let draw = |field: Field| {
        let (extent, room) = (view.extent, field.all.inset(ROUND));
        let scale =
            drawing_scale(|n| extent.width() * n <= room.width() && extent.height() * n <= room.height());
        let mut floor = Floor::new(field.words, Vec::new());
        floor.keep(field.taken);
        (map(card, (glyph, shows), view, scale, field.all.centre(), floor), scale)
    };
    sheets(card, &told, draw, |scale, corner| title(card, (glyph, shows, view), scale, corner))
}

/// Draws what a view shows, with signs for what it tells; its middle comes to lie on `middle`.
fn map(
    card: &Card<'_>,
    (glyph, shows): (usize, Shows),
    view: &View,
    scale: f64,
    middle: Point,
    mut floor: Floor,
) -> Map {
    let extent = view.extent;
    let lie = Lie::new(card.mark.centre, middle - extent.centre().to_vec2() * scale, scale, card.mark.angle);
    let on_sheet = |p: Point| middle + (p - extent.centre()) * scale;
    let window = Window { lie, room: Room { lo: on_sheet(extent.lo), hi: on_sheet(extent.hi) } };
    let mut map = Map::default();
    let pieces = map.lay(card, (glyph, shows), window, &view.seen, &mut floor);
    let mut names = Vec::new();
    for (name, middle, _) in &view.apart {
        let words = format!("pocket {name}");
        let size = (wide(&words, POCKET, Weight::Bold) + 3.0, 1.2 * POCKET + 1.6);
        if let Some((room, leader)) = floor.place(on_sheet(*middle), Vec2::new(0.0, 1.0), size) {
            names.extend(leader);
            names.push(Item::filled([&room.ring()], Fill::Plain(PAPER)));
            names.push(Item::rings([&room.ring()], pen(Role::Outline)));
            let text = Text { weight: Weight::Bold, ..Text::centred(room.centre(), words, POCKET) };
            names.push(Item::Text(text));
        }
    }
    map.numbers = names;
    let told: Vec<_> = pieces.into_iter().filter(|s| view.told.contains(&s.idx)).collect();
    map.tell(&told, window, &mut floor);
    map
}

/// Sizes of the maps on a card of the book, mm.
pub(super) struct CardSizes {
    /// Of a map with its list below.
    pub(super) listed: (f64, f64),
    /// Of a map that has its page.
    pub(super) alone: (f64, f64),
    /// Of a pocket.
    pub(super) pocket: (f64, f64),
}

/// The map alone, for a card of the book, as large as its room allows; after it the letter's crowded pockets. With
/// pockets the list stands under them.
pub(super) fn letter_cards(card: &Card<'_>, glyph: usize, sizes: &CardSizes) -> Vec<Sheet> {
    let views = views(card, glyph, Shows::Mask);
    let first = if views.len() > 1 { sizes.alone } else { sizes.listed };
    let size = |view: &View| if view.pocket.is_some() { sizes.pocket } else { first };
    views.iter().filter_map(|view| view_card(card, glyph, view, size(view))).collect()
}

fn view_card(card: &Card<'_>, glyph: usize, view: &View, size: (f64, f64)) -> Option<Sheet> {
    let sheet = Room { lo: Point::ZERO, hi: Point::new(size.0, size.1) };
    let drawing = sheet.inset(if view.pocket.is_some() { POCKET_ROUND } else { CARD_ROUND });
    let scale = (drawing.width() / view.extent.width()).min(drawing.height() / view.extent.height());
    if !scale.is_finite() {
        return None;
    }
    // Words may go wherever there is white: the sheet is cut to what is used.
    let middle = Point::new(size.0 / 2.0, (size.1 + BELOW) / 2.0);
    let free = Room { lo: Point::new(0.5, BELOW), hi: Point::new(size.0 - 0.5, size.1 - 0.5) };
    let map = map(card, (glyph, Shows::Mask), view, scale, middle, Floor::new(free, Vec::new()));
    let words = map.silent(view.elsewhere(card.mask));
    let mut layers = map.layers();
    if !words.is_empty() {
        let words = Text::new(Point::new(1.0, 1.2), clipped(&words, size.0 - 2.0, 3.0), 3.0);
        layers.push(Layer { name: "notes".to_owned(), items: vec![Item::Text(words)] });
    }
    Some(Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("tape of {}{}", card.mark.glyphs[glyph].char, view.which()),
        description: "Every piece of tape with its place in the laying order.".to_owned(),
    })
}

/// What the letter's own pieces, tabs and paint cover, with a little round it; mm, level.
fn extent(card: &Card<'_>, glyph: usize, unit: &Lie, shows: Shows) -> Option<Room> {
    let own = card.mask.pieces.iter().filter(|p| p.glyph == glyph as i32 && shows.piece(p, glyph));
    let rings = own.flat_map(|p| {
        let tab = (!p.tab.area.is_empty()).then(|| Ring::from_points(p.tab.area.iter().copied()));
        p.footprint.iter().cloned().chain(tab)
    });
    let all = rings.chain(card.mask.sprayed[glyph].iter().cloned());
    let mut bounds: Option<(Point, Point)> = None;
    for (lo, hi) in all.filter_map(|r| unit.ring(&r).bounds()) {
        bounds = Some(bounds.map_or((lo, hi), |(a, b)| {
            (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
        }));
    }
    // Where caps and feet run along the whole mark, some of it must be seen.
    bounds.map(|(lo, hi)| Room { lo, hi }.inset(-0.06 * card.mark.height))
}

fn title(card: &Card<'_>, (glyph, shows, view): (usize, Shows, &View), scale: f64, corner: Point) -> Table {
    let letter = card.mark.glyphs[glyph].char;
    let pieces = &view.told;
    let own: Vec<usize> =
        pieces.iter().copied().filter(|i| card.mask.pieces[*i].glyph == glyph as i32).collect();
    if shows == Shows::Layout {
        let rows = [
            TitleRow::new("job", card.job_title),
            TitleRow::new("mark", format!("{} ({})", card.mark.text, card.mark.id)),
            TitleRow::new("strips", pieces.len().to_string()),
            TitleRow::new("layout tape", both_words(tape_of(card, &own, Kind::Layout))),
            TitleRow::new("scale", scale_text(scale)),
            TitleRow::new("next", "cut on a board from the pattern; out when the edge tape lies"),
        ];
        return title_block(corner, format!("Layout {}{letter}", glyph + 1), &rows);
    }
    let cuts = own
        .iter()
        .map(|i| &card.mask.pieces[*i])
        .filter(|p| p.kind != Kind::Tack)
        .flat_map(|p| [p.start, p.finish])
        .filter(|e| e.kind == EndKind::PreCut && e.cut > 0.0)
        .count();
    let mut rows = vec![
        TitleRow::new("job", card.job_title),
        TitleRow::new("mark", format!("{} ({})", card.text(), card.mark.id)),
        TitleRow::new(
            "pieces",
            format!("{} here, {} of them shared with other letters", pieces.len(), pieces.len() - own.len()),
        ),
        TitleRow::new("cuts", format!("{cuts} ends of edge tape cut on the board")),
    ];
    rows.extend(own_rows(card, &own, scale));
    title_block(corner, format!("Tape map {}{letter}{}", glyph + 1, view.which()), &rows)
}
