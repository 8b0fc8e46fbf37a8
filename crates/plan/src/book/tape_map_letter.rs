//! The tape map of one character: what lies where, and beside it every piece in the order of laying.

use super::layout_notes::clipped;
use super::tape_map::Card;
use super::tape_map_legend::legend;
use super::tape_map_pieces::{Lie, Shown, drawn, segments, shown};
use super::tape_map_place::{Floor, clip, wide};
use super::tape_map_pockets::pockets;
use super::tape_map_table::{Row, ranges, rows, table, wanted_width};
use super::tape_map_tabs::{paint_hatch, signs};
use crate::mask::{EndKind, Kind, Mask, Piece};
use geom::boolean::intersection;
use geom::{Point, Ring, Vec2};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::title_block::{Row as TitleRow, Table, title_block};
use sheet::tokens::{PAPER, TYPE_BODY};
use sheet::units::both_words;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, Weight, pen};

/// Height of the strip for the legend, mm.
pub(super) const STRIP: f64 = 58.0;
/// Room round the pieces for numbers, mm.
const ROUND: f64 = 17.0;
/// Room below the drawing for a line about numbers left out, mm.
const BELOW: f64 = 5.0;
/// Least width of the drawing beside the table, mm.
const DRAWING: f64 = 170.0;
/// Size of a pocket's name, mm.
const POCKET: f64 = 3.6;
/// Room round the pieces on a card of the book, mm.
const CARD_ROUND: f64 = 15.0;
/// The same round a pocket, whose numbers find room inside.
const POCKET_ROUND: f64 = 9.0;
/// Most sheets one letter's table goes on to. A letter of a sign painter has some dozens of pieces.
const MOST_SHEETS: usize = 40;

/// What of a character's tape a map shows: what fills the letter, or the mask round it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shows {
    Layout,
    Mask,
}

impl Shows {
    fn piece(self, p: &Piece, glyph: usize) -> bool {
        let own = p.glyph == glyph as i32;
        match self {
            Shows::Layout => own && p.kind == Kind::Layout,
            Shows::Mask => (own || p.glyph < 0) && p.kind != Kind::Layout,
        }
    }
}

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
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let letter = &card.mark.glyphs[glyph];
    let extent = view.extent;
    let rows: Vec<Row> = rows(card.mask, view.told.iter().map(|i| &card.mask.pieces[*i]));
    let wide = wanted_width(&rows).min(room.width() - DRAWING);
    let right = Room { lo: Point::new(room.hi.x - wide - 2.0, room.lo.y), hi: room.hi };
    let field =
        Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: Point::new(right.lo.x - 4.0, room.hi.y) };
    let scale = drawing_scale(
        (extent.width(), extent.height()),
        (field.width() - 2.0 * ROUND, field.height() - 2.0 * ROUND),
    );
    let heading = heading(card, glyph, (shows, view), Point::new(room.lo.x + 3.0, room.hi.y - 6.5));
    let free = Room { lo: Point::new(field.lo.x, field.lo.y + BELOW), hi: field.hi }.inset(1.5);
    let box_ = heading.corners();
    let keep = Some(Room { lo: box_[0], hi: box_[2] });
    let Map { pieces, layers: map, signs: (left_out, in_rows) } =
        map(card, (glyph, shows), view, scale, (field.centre(), free, keep));

    let title = title(card, (glyph, shows, view), &pieces, scale, Point::new(room.hi.x, room.lo.y));
    let table_room = Room {
        lo: Point::new(right.lo.x, title.room.hi.y + 4.0),
        // Clear of the strokes at the middle of the border.
        hi: Point::new(right.hi.x - 5.0, room.hi.y - 5.0),
    };
    let (mut list, held, end) = table(&rows, &rows, table_room);
    let mut rest = &rows[held..];
    if !rest.is_empty() {
        let at = Point::new(table_room.lo.x, (end - 4.2).max(title.room.hi.y + 1.2));
        list.push(Item::Text(Text::new(at, format!("{} more lines on the next sheet", rest.len()), 3.0)));
    }
    let mut notes = legend(Room { lo: room.lo, hi: Point::new(field.hi.x, room.lo.y + STRIP) }, shows);
    notes.push(Item::Text(heading));
    let words = left_out_words(view.elsewhere(card.mask), &left_out, in_rows);
    if !words.is_empty() {
        let words = clipped(&words, field.width() - 8.0, 3.0);
        notes.push(Item::Text(Text::new(Point::new(room.lo.x + 3.0, field.lo.y + 2.0), words, 3.0)));
    }
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let what = if shows == Shows::Layout { ", layout tape" } else { "" };
    let name =
        format!("letter {} of {}: {}{what}{}", glyph + 1, card.mark.glyphs.len(), letter.char, view.which());
    let mut layers = vec![layer("border", frame(size))];
    layers.extend(map);
    layers.extend([layer("table", list), layer("notes", notes), layer("title block", title.items)]);
    let mut sheets = vec![Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("{}: tape map of {}, {name}", card.job_title, card.text()),
        description: format!(
            "Where {} pieces of tape lie {} the letter, and in what order.",
            pieces.len(),
            if shows == Shows::Layout { "in" } else { "round" }
        ),
    }];
    for n in 2..=MOST_SHEETS {
        if rest.is_empty() {
            break;
        }
        let (sheet, held) = more_table(card, &rows, rest, &name, n);
        if held == 0 {
            break;
        }
        sheets.push(sheet);
        rest = &rest[held..];
    }
    sheets
}

/// Scales from enlarged to a little reduced, as millimetres on paper for one of the work: 5, 2 and 1 are preferred by
/// ISO 5455 (from memory), the others chosen between them.
const SCALES: [f64; 9] = [5.0, 4.0, 3.0, 2.0, 1.5, 1.25, 1.0, 0.8, 2.0 / 3.0];

/// The largest round scale at which the content fits, small letters and pockets enlarged.
fn drawing_scale(content: (f64, f64), room: (f64, f64)) -> f64 {
    let fits = |n: &f64| content.0 * n <= room.0 && content.1 * n <= room.1;
    SCALES.into_iter().find(fits).unwrap_or_else(|| fit_scale(content, room))
}

/// The drawing of one character's tape.
struct Map<'a> {
    /// Those that are numbered.
    pieces: Vec<Shown<'a>>,
    layers: Vec<Layer>,
    /// Tags that found no room, and whether pieces in a row go without a number.
    signs: (Vec<String>, bool),
}

/// Draws what a view shows, with signs for what it tells; its middle comes to lie on `at.0`, words stay in `at.1` and
/// off `at.2`.
fn map<'a>(
    card: &Card<'a>,
    (glyph, shows): (usize, Shows),
    view: &View,
    scale: f64,
    at: (Point, Room, Option<Room>),
) -> Map<'a> {
    let (middle, free, keep) = at;
    let extent = view.extent;
    let lie = Lie::new(card.mark.centre, middle - extent.centre().to_vec2() * scale, scale, card.mark.angle);
    let on_sheet = |p: Point| middle + (p - extent.centre()) * scale;
    let window = Room { lo: on_sheet(extent.lo), hi: on_sheet(extent.hi) };
    let pieces = shown_again(card, &lie, &view.seen);
    let mut floor = Floor::new(free, Vec::new());
    if let Some(room) = keep {
        floor.keep(room);
    }
    for s in &pieces {
        let weight = if s.piece.kind == Kind::Tack { 0.5 } else { 1.0 };
        floor.lines.extend(s.shape.iter().flat_map(segments).map(|l| (l, weight)));
    }
    let (paint, edges) = paint(card, (glyph, shows), &lie, window);
    floor.lines.extend(edges.iter().flat_map(segments).map(|l| (l, 2.5)));
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
    let drawn_pieces = drawn(&pieces, window);
    let told: Vec<Shown<'a>> = pieces.into_iter().filter(|s| view.told.contains(&s.idx)).collect();
    let signs = signs(&told, &lie, window, &mut floor);
    names.extend(signs.numbers);
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Map {
        layers: vec![
            layer("tape", drawn_pieces),
            layer("paint", paint),
            layer("tabs", signs.tabs),
            layer("ends", signs.ends),
            layer("numbers", names),
        ],
        signs: (signs.left_out, signs.in_rows),
        pieces: told,
    }
}

/// What a map does not show, in a line; empty if it shows all.
fn left_out_words(elsewhere: Vec<String>, left_out: &[String], in_rows: bool) -> String {
    let mut words = elsewhere;
    if in_rows {
        words.push("of short pieces in a row every fifth has its number, the others follow on".to_owned());
    }
    if !left_out.is_empty() {
        words.push(format!("no room for the numbers of {}: see the table", left_out.join(", ")));
    }
    words.join("; ")
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
    let map = map(card, (glyph, Shows::Mask), view, scale, (middle, free, None));
    let mut layers = map.layers;
    let words = left_out_words(view.elsewhere(card.mask), &map.signs.0, map.signs.1);
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

/// A sheet of nothing but table, in two columns if they fit.
fn more_table(card: &Card<'_>, all: &[Row], rest: &[Row], name: &str, n: usize) -> (Sheet, usize) {
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let columns = if 2.0 * wanted_width(all) + 12.0 <= room.width() { 2.0 } else { 1.0 };
    let wide = (room.width() - 6.0 * (columns + 1.0)) / columns;
    let mut items = vec![Item::Text(Text {
        weight: Weight::Bold,
        ..Text::new(
            Point::new(room.lo.x + 4.0, room.hi.y - 7.0),
            format!("{}, {name}, sheet {n}", card.text()),
            TYPE_BODY,
        )
    })];
    let mut held = 0;
    for c in 0..columns as usize {
        let left = room.lo.x + 6.0 + c as f64 * (wide + 6.0);
        let column =
            Room { lo: Point::new(left, room.lo.y + 8.0), hi: Point::new(left + wide, room.hi.y - 11.0) };
        if held < rest.len() {
            let (more, took, _) = table(&rest[held..], all, column);
            items.extend(more);
            held += took;
        }
    }
    let sheet = Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            Layer { name: "border".to_owned(), items: frame(size) },
            Layer { name: "table".to_owned(), items },
        ],
        title: format!("{}: tape map of {}, {name}, sheet {n}", card.job_title, card.text()),
        description: "More of the table of pieces.".to_owned(),
    };
    (sheet, held)
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

fn shown_again<'a>(card: &Card<'a>, lie: &Lie, indices: &[usize]) -> Vec<Shown<'a>> {
    let of = |idx: &usize| {
        let piece = &card.mask.pieces[*idx];
        Shown { idx: *idx, piece, shape: piece.footprint.iter().map(|r| lie.ring(r)).collect() }
    };
    indices.iter().map(of).collect()
}

/// The letter's paint hatched with its edge in the wide pen, and its edges; of its neighbours the outlines.
fn paint(card: &Card<'_>, (glyph, shows): (usize, Shows), lie: &Lie, window: Room) -> (Vec<Item>, Vec<Ring>) {
    let own: Vec<Ring> = card.mask.sprayed[glyph].iter().map(|r| lie.ring(r)).collect();
    if shows == Shows::Layout {
        return (vec![Item::rings(&own, pen(Role::CutLine))], own);
    }
    // A pocket's window cuts the paint.
    let whole = own.iter().filter_map(Ring::bounds).all(|(lo, hi)| window.holds(lo) && window.holds(hi));
    let filled = if whole { own.clone() } else { intersection(&own, &[window.ring()]) };
    let mut items = vec![Item::filled(&filled, paint_hatch())];
    // A neighbour is shown where a piece runs along it too; else its edge would be a line without a name.
    let shared = card.mask.pieces.iter().any(|p| p.glyph < 0 && p.kind != Kind::Tack);
    for (_, other) in card.mask.sprayed.iter().enumerate().filter(|(k, _)| shared && *k != glyph) {
        for ring in other {
            for side in segments(&lie.ring(ring)) {
                if let Some((a, b)) = clip(side, window) {
                    items.push(Item::line([a, b], pen(Role::Hatch)));
                }
            }
        }
    }
    if whole {
        items.push(Item::rings(&own, pen(Role::CutLine)));
    } else {
        let parts = own.iter().flat_map(segments).filter_map(|side| clip(side, window));
        items.extend(parts.map(|(a, b)| Item::line([a, b], pen(Role::CutLine))));
    }
    (items, own)
}

fn heading(card: &Card<'_>, glyph: usize, (shows, view): (Shows, &View), at: Point) -> Text {
    let what = if shows == Shows::Layout { ", layout tape" } else { "" };
    let letter = card.mark.glyphs[glyph].char;
    let words = format!("{}, letter {}: {letter}{what}{}", card.text(), glyph + 1, view.which());
    Text { weight: Weight::Bold, ..Text::new(at, words, 5.0) }
}

fn title(
    card: &Card<'_>,
    (glyph, shows, view): (usize, Shows, &View),
    pieces: &[Shown<'_>],
    scale: f64,
    corner: Point,
) -> Table {
    let own = |s: &&Shown<'_>| s.piece.glyph == glyph as i32;
    let sum = |kind: Kind| -> f64 {
        pieces.iter().filter(own).filter(|s| s.piece.kind == kind).map(|s| s.piece.cut_length).sum()
    };
    let cuts = pieces
        .iter()
        .filter(own)
        .filter(|s| s.piece.kind != Kind::Tack)
        .flat_map(|s| [s.piece.start, s.piece.finish])
        .filter(|e| e.kind == EndKind::PreCut && e.cut > 0.0)
        .count();
    if shows == Shows::Layout {
        let rows = [
            TitleRow::new("job", card.job_title),
            TitleRow::new("mark", format!("{} ({})", card.mark.text, card.mark.id)),
            TitleRow::new("strips", pieces.len().to_string()),
            TitleRow::new("layout tape", both_words(sum(Kind::Layout))),
            TitleRow::new("scale", scale_text(scale)),
            TitleRow::new("next", "cut on a board from the pattern; out when the edge tape lies"),
        ];
        return title_block(corner, format!("Layout {}{}", glyph + 1, card.mark.glyphs[glyph].char), &rows);
    }
    let shared = pieces.iter().filter(|s| s.piece.glyph < 0).count();
    let mut rows = vec![
        TitleRow::new("job", card.job_title),
        TitleRow::new("mark", format!("{} ({})", card.text(), card.mark.id)),
        TitleRow::new(
            "pieces",
            format!("{} here, {} of them shared with other letters", pieces.len(), shared),
        ),
        TitleRow::new("cuts", format!("{cuts} ends of edge tape cut on the board")),
    ];
    for (name, kind) in [("edge tape", Kind::Edge), ("bridges", Kind::Bridge), ("tack strip", Kind::Tack)] {
        if sum(kind) > 0.0 {
            rows.push(TitleRow::new(name, both_words(sum(kind))));
        }
    }
    if !card.paint.is_empty() {
        rows.push(TitleRow::new("paint", card.paint));
    }
    rows.push(TitleRow::new("scale", scale_text(scale)));
    rows.push(TitleRow::new("next", "cut on a board, never on the skin; lay by the numbers"));
    let name = format!("Tape map {}{}{}", glyph + 1, card.mark.glyphs[glyph].char, view.which());
    title_block(corner, name, &rows)
}
