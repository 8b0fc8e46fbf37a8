//! The tape map of a whole mark: its letters numbered, the pieces that run along several, the goes, and how far
//! an arm reaches.

use super::layout_notes::wrap;
use super::tape_map::Card;
use super::tape_map_draw::Shows;
use super::tape_map_legend::legend;
use super::tape_map_pieces::{Lie, Shown, drawn, segments, shown};
use super::tape_map_place::Floor;
use super::tape_map_sheet::STRIP;
use super::tape_map_table::{Row, row, table, wanted_width};
use super::tape_map_tabs::{paint_hatch, signs};
use crate::Plan;
use crate::mask::{Kind, Piece, reach};
use crate::words::{inches, length};
use geom::{Point, Ring};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::symbols::arrowhead;
use sheet::title_block::{Row as TitleRow, title_block};
use sheet::tokens::INK;
use sheet::units::both_words;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, Weight, pen};

/// Room round the mark for numbers and the line of reaches, mm.
const ROUND: f64 = 24.0;
/// The same on a card of the book, mm.
const CARD_ROUND: f64 = 14.0;
/// Height of the drawing, mm.
const DRAWING: f64 = 145.0;
const NOTE: f64 = 3.0;
const LINE: f64 = 4.2;

/// The sheet.
pub(super) fn mark_sheet(plan: &Plan, card: &Card<'_>) -> Sheet {
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let field = Room { lo: Point::new(room.lo.x, room.hi.y - DRAWING), hi: room.hi };
    let unit = Lie::new(card.mark.centre, Point::ZERO, 1.0, card.mark.angle);
    let tabs = card.mask.pieces.iter().filter(|p| !p.tab.area.is_empty());
    let tabs = tabs.map(|p| Ring::from_points(p.tab.area.iter().copied()));
    let taped = card.mask.pieces.iter().flat_map(|p| &p.footprint).cloned().chain(tabs);
    let rings: Vec<Ring> = taped.map(|r| unit.ring(&r)).collect();
    let paint = card.mask.sprayed.iter().flatten().map(|r| unit.ring(r));
    let (lo, hi) = rings.iter().cloned().chain(paint).filter_map(|r| r.bounds()).fold(
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)),
        |(a, b), (lo, hi)| {
            (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
        },
    );
    let (lo, hi) = if lo.x <= hi.x { (lo, hi) } else { (Point::ZERO, Point::ZERO) };
    let extent = Room { lo, hi };
    let scale = fit_scale(
        (extent.width(), extent.height()),
        (field.width() - 2.0 * ROUND, field.height() - 2.0 * ROUND),
    );
    let lie = Lie::new(
        card.mark.centre,
        field.centre() - extent.centre().to_vec2() * scale,
        scale,
        card.mark.angle,
    );
    let on_sheet = |p: Point| field.centre() + (p - extent.centre()) * scale;
    let window = Room { lo: on_sheet(lo), hi: on_sheet(hi) }.inset(-1.0);

    let all = shown(card.mask, &lie, window, |p| p.kind != Kind::Layout);
    let mut floor = Floor::new(
        Room { lo: Point::new(field.lo.x, field.lo.y + 8.0), hi: field.hi }.inset(2.0),
        Vec::new(),
    );
    let own: Vec<Ring> = card.mask.sprayed.iter().flatten().map(|r| lie.ring(r)).collect();
    floor.lines.extend(own.iter().flat_map(segments).map(|l| (l, 2.0)));
    let mut letters = Vec::new();
    for (k, glyph) in card.mark.glyphs.iter().enumerate() {
        let c = lie.point(glyph.corners[2].midpoint(glyph.corners[3]));
        let text = Text {
            weight: Weight::Bold,
            ..Text::centred(Point::new(c.x, window.hi.y + 5.0), format!("{} {}", k + 1, glyph.char), 4.0)
        };
        let b = text.corners();
        floor.keep(Room { lo: b[0], hi: b[2] });
        letters.push(Item::Text(text));
    }
    let heading = Text {
        weight: Weight::Bold,
        ..Text::new(
            Point::new(room.lo.x + 3.0, room.hi.y - 6.5),
            format!("{}, the whole mark", card.text()),
            5.0,
        )
    };
    let b = heading.corners();
    floor.keep(Room { lo: b[0], hi: b[2] });
    letters.push(Item::Text(heading));
    let shared: Vec<Shown<'_>> = shown(card.mask, &lie, window, |p| p.glyph < 0);
    let signs = signs(&shared, &lie, window, &mut floor);

    let title = title(plan, card, scale, Point::new(room.hi.x, room.lo.y));
    let rows: Vec<Row> = shared.iter().map(|s| row(card.mask, s.piece)).collect();
    let below = field.lo.y - 2.0;
    let wide = wanted_width(&rows).min(room.width() * 0.62);
    let table_room = Room {
        lo: Point::new(room.hi.x - wide - 4.0, title.room.hi.y + 4.0),
        hi: Point::new(room.hi.x - 2.0, below),
    };
    let mut list = Vec::new();
    if rows.is_empty() {
        let at = Point::new(table_room.lo.x, below - 5.0);
        list.push(Item::Text(Text::new(at, "no piece runs along several letters", NOTE)));
    } else {
        let (items, held, end) = table(&rows, &rows, table_room);
        list = items;
        if held < rows.len() {
            let words = format!("{} more: see the letters' own maps", rows.len() - held);
            list.push(Item::Text(Text::new(
                Point::new(table_room.lo.x, (end - 4.0).max(title.room.hi.y + 1.0)),
                words,
                NOTE,
            )));
        }
    }
    let mut notes = words(
        plan,
        card,
        Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: Point::new(table_room.lo.x - 4.0, below) },
    );
    let room = Room { lo: room.lo, hi: Point::new(title.room.lo.x - 3.0, room.lo.y + STRIP) };
    notes.extend(legend(room, Shows::Mask));
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("border", frame(size)),
            layer("tape", drawn(&all, window)),
            layer("paint", vec![Item::filled(&own, paint_hatch()), Item::rings(&own, pen(Role::Outline))]),
            layer("letters", letters),
            layer("reaches", reaches(window, reach::stands(card.mark).len().max(1))),
            layer("tabs", signs.tabs),
            layer("ends", signs.ends),
            layer("numbers", signs.numbers),
            layer("table", list),
            layer("notes", notes),
            layer("title block", title.items),
        ],
        title: format!("{}: tape map of {}", card.job_title, card.text()),
        description: format!("The tape of the whole mark, {} pieces.", card.mask.pieces.len()),
    }
}

/// The pieces along several letters, for a card of the book; `None` if there are none.
pub(super) fn mark_card(card: &Card<'_>, size: (f64, f64)) -> Option<Sheet> {
    let unit = Lie::new(card.mark.centre, Point::ZERO, 1.0, card.mark.angle);
    let several = || card.mask.pieces.iter().filter(|p| p.glyph < 0);
    several().next()?;
    let tabs = several().filter(|p| !p.tab.area.is_empty());
    let tabs = tabs.map(|p| Ring::from_points(p.tab.area.iter().copied()));
    let paint = card.mask.sprayed.iter().flatten();
    let rings = several().flat_map(|p| &p.footprint).chain(paint).cloned().chain(tabs);
    let (lo, hi) = rings.filter_map(|r| unit.ring(&r).bounds()).reduce(|(a, b), (lo, hi)| {
        (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
    })?;
    let (tall, wide) = (size.1 - 2.0 * CARD_ROUND, size.0 - 2.0 * CARD_ROUND);
    let scale = (wide / (hi.x - lo.x)).min(tall / (hi.y - lo.y));
    if !scale.is_finite() {
        return None;
    }
    let size = (size.0, (hi.y - lo.y) * scale + 2.0 * CARD_ROUND);
    let middle = Point::new(size.0 / 2.0, size.1 / 2.0);
    let lie = Lie::new(card.mark.centre, middle - lo.midpoint(hi).to_vec2() * scale, scale, card.mark.angle);
    let half = (hi - lo) * (scale / 2.0) + geom::Vec2::new(1.0, 1.0);
    let window = Room { lo: middle - half, hi: middle + half };
    let own: Vec<Ring> = card.mask.sprayed.iter().flatten().map(|r| lie.ring(r)).collect();
    let mut floor =
        Floor::new(Room { lo: Point::ZERO, hi: Point::new(size.0, size.1) }.inset(0.5), Vec::new());
    floor.lines.extend(own.iter().flat_map(segments).map(|l| (l, 2.0)));
    let pieces = shown(card.mask, &lie, window, |p| p.glyph < 0);
    let signs = signs(&pieces, &lie, window, &mut floor);
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Some(Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("tape", drawn(&pieces, window)),
            layer("paint", vec![Item::filled(&own, paint_hatch()), Item::rings(&own, pen(Role::Outline))]),
            layer("tabs", signs.tabs),
            layer("ends", signs.ends),
            layer("numbers", signs.numbers),
        ],
        title: format!("tape of {}", card.text()),
        description: "The pieces that run along several letters.".to_owned(),
    })
}

/// A line below the mark, one arrow an arm's reach.
fn reaches(window: Room, count: usize) -> Vec<Item> {
    let y = window.lo.y - 6.0;
    let each = window.width() / count as f64;
    let mut items = Vec::new();
    for k in 0..count {
        let (a, b) = (window.lo.x + each * k as f64, window.lo.x + each * (k + 1) as f64);
        for x in [a, b] {
            items.push(Item::line([Point::new(x, y - 2.0), Point::new(x, y + 2.0)], pen(Role::Dimension)));
        }
        items.push(Item::line([Point::new(a, y), Point::new(b, y)], pen(Role::Dimension)));
        items.push(arrowhead(Point::new(a, y), geom::Vec2::new(-1.0, 0.0), INK));
        items.push(arrowhead(Point::new(b, y), geom::Vec2::new(1.0, 0.0), INK));
        let at = Point::new((a + b) / 2.0, y - 3.0);
        let text = Text::centred(at, format!("stand {}", k + 1), NOTE);
        let b = text.corners();
        items.push(Item::filled([&Room { lo: b[0], hi: b[2] }.ring()], Fill::Plain(sheet::tokens::PAPER)));
        items.push(Item::Text(text));
    }
    items
}

fn stand(plan: &Plan, card: &Card<'_>) -> &'static str {
    reach::facing(card.mark, &plan.skins)
}

/// The day's goes, where to stand, and what each letter takes.
fn words(plan: &Plan, card: &Card<'_>, room: Room) -> Vec<Item> {
    let mut lines: Vec<(String, bool)> = Vec::new();
    let n = reach::stands(card.mark).len();
    let places = if n == 1 {
        "one place reaches all".to_owned()
    } else {
        format!("{n} places, an arm's reach of 5 ft each")
    };
    lines.push(("Where to stand".to_owned(), true));
    lines.push((format!("{}: {places}", stand(plan, card)), false));
    lines.push(("In this order".to_owned(), true));
    lines.push(("layout tape in each letter, tack strip round all letters, then the pieces along several letters where their number comes, then letter by letter as the maps number them; pulled the other way about".to_owned(), false));
    if let Some(day) = &plan.spray.day {
        let goes: Vec<String> =
            day.goes.iter().enumerate().map(|(k, g)| format!("go {}: {}", k + 1, g.characters)).collect();
        lines.push(("Goes".to_owned(), true));
        lines.push((goes.join("; "), false));
    } else {
        lines.push(("Goes".to_owned(), true));
        lines.push((
            "no day is planned: see what the paint's windows allow before you pull".to_owned(),
            false,
        ));
    }
    lines.push(("Letter by letter".to_owned(), true));
    for (k, glyph) in card.mark.glyphs.iter().enumerate() {
        let own = |p: &&Piece| p.glyph == k as i32;
        let edge = |p: &&Piece| matches!(p.kind, Kind::Edge | Kind::Plug);
        let count = card.mask.pieces.iter().filter(own).count();
        let tape: f64 = card.mask.pieces.iter().filter(own).filter(edge).map(|p| p.cut_length).sum();
        lines.push((format!("{} {}: {count} pieces, edge tape {}", k + 1, glyph.char, inches(tape)), false));
    }
    in_columns(&lines, room)
}

/// Lines in two columns, headings bold; what the room does not hold is left out.
pub(super) fn in_columns(lines: &[(String, bool)], room: Room) -> Vec<Item> {
    let mut items = Vec::new();
    let wide = (room.width() - 4.0) / 2.0 - 4.0;
    let (mut x, mut y) = (room.lo.x + 3.0, room.hi.y - 4.0);
    for (text, head) in lines {
        for line in wrap(text, wide, NOTE) {
            if y < room.lo.y + 3.0 {
                if x > room.lo.x + 4.0 {
                    return items;
                }
                (x, y) = (x + wide + 4.0, room.hi.y - 4.0);
            }
            let weight = if *head { Weight::Bold } else { Weight::Regular };
            items.push(Item::Text(Text { weight, ..Text::new(Point::new(x, y), line, NOTE) }));
            y -= LINE;
        }
    }
    items
}

fn title(plan: &Plan, card: &Card<'_>, scale: f64, corner: Point) -> sheet::title_block::Table {
    let t = &card.mask.totals;
    let mut rows = vec![
        TitleRow::new("job", card.job_title),
        TitleRow::new("mark", card.text()),
        TitleRow::new("length", length(card.mark.length)),
        TitleRow::new("pieces", format!("{}, {} ends cut, {} tabs", t.pieces, t.pre_cuts, t.tabs)),
        TitleRow::new("edge tape", both_words(t.edge)),
    ];
    if t.bridge > 0.0 {
        rows.push(TitleRow::new("bridges", both_words(t.bridge)));
    }
    rows.push(TitleRow::new("tack strip", both_words(t.tack)));
    if t.layout > 0.0 {
        rows.push(TitleRow::new("layout tape", both_words(t.layout)));
    }
    rows.push(TitleRow::new("you stand", stand(plan, card)));
    rows.push(TitleRow::new("scale", scale_text(scale)));
    rows.push(TitleRow::new(
        "next",
        if t.layout > 0.0 { "fill the letters with layout tape" } else { "lay the tack strip" },
    ));
    title_block(corner, "Tape map", &rows)
}
