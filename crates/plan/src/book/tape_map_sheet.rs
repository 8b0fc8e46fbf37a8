//! The sheet of a tape map: the drawing, the table of its pieces beside it, what the signs mean, the title block; and
//! further sheets where the table goes on.

use super::layout_notes::clipped;
use super::tape_map::Card;
use super::tape_map_draw::{Map, Shows};
use super::tape_map_legend::legend;
use super::tape_map_table::{Row, rows, table, wanted_width};
use crate::mask::Kind;
use geom::Point;
use sheet::frame::{Paper, Way, frame, inside, round_scales, scale_text};
use sheet::title_block::{Row as TitleRow, Table};
use sheet::tokens::TYPE_BODY;
use sheet::units::both_words;
use sheet::{Item, Layer, Room, Sheet, Text, Weight};

/// Height of the strip for the legend, mm.
pub(super) const STRIP: f64 = 58.0;
/// Room below the drawing for a line about numbers left out, mm.
pub(super) const BELOW: f64 = 5.0;
/// Least width of the drawing beside the table, mm.
const DRAWING: f64 = 170.0;
/// Most sheets one table goes on to. A letter of a sign painter has some dozens of pieces.
const MOST_SHEETS: usize = 40;

/// What a sheet tells beside its drawing.
pub(super) struct Told {
    pub(super) shows: Shows,
    /// Over the drawing.
    pub(super) heading: String,
    /// What it shows of the mark, for its name.
    pub(super) name: String,
    /// Indices of the pieces in the table.
    pub(super) pieces: Vec<usize>,
    /// Which pieces are told elsewhere, in words.
    pub(super) elsewhere: Vec<String>,
    /// What it is, in a sentence.
    pub(super) description: String,
}

/// Where a drawing may go.
#[derive(Clone, Copy)]
pub(super) struct Field {
    /// For the drawing with its words.
    pub(super) all: Room,
    /// For words.
    pub(super) words: Room,
    /// Where words stand already.
    pub(super) taken: Room,
}

/// The sheets: the drawing with its table, and more of the table if it does not fit. `draw` makes the drawing and says
/// its scale; `title` gets that and the corner of the title block.
pub(super) fn sheets(
    card: &Card<'_>,
    told: &Told,
    draw: impl FnOnce(Field) -> (Map, f64),
    title: impl FnOnce(f64, Point) -> Table,
) -> Vec<Sheet> {
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let rows: Vec<Row> = rows(card.mask, told.pieces.iter().map(|i| &card.mask.pieces[*i]));
    let wide = wanted_width(&rows).min(room.width() - DRAWING);
    let right = Room { lo: Point::new(room.hi.x - wide - 2.0, room.lo.y), hi: room.hi };
    let field =
        Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: Point::new(right.lo.x - 4.0, room.hi.y) };
    let heading = Text {
        weight: Weight::Bold,
        ..Text::new(Point::new(room.lo.x + 3.0, room.hi.y - 6.5), told.heading.clone(), 5.0)
    };
    let words = Room { lo: Point::new(field.lo.x, field.lo.y + BELOW), hi: field.hi }.inset(1.5);
    let box_ = heading.corners();
    let taken = Room { lo: box_[0], hi: box_[2] };
    let (map, scale) = draw(Field { all: field, words, taken });

    let title = title(scale, Point::new(room.hi.x, room.lo.y));
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
    let mut notes = legend(Room { lo: room.lo, hi: Point::new(field.hi.x, room.lo.y + STRIP) }, told.shows);
    notes.push(Item::Text(heading));
    let words = map.silent(told.elsewhere.clone());
    if !words.is_empty() {
        let words = clipped(&words, field.width() - 8.0, 3.0);
        notes.push(Item::Text(Text::new(Point::new(room.lo.x + 3.0, field.lo.y + 2.0), words, 3.0)));
    }
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let mut layers = vec![layer("border", frame(size))];
    layers.extend(map.layers());
    layers.extend([layer("table", list), layer("notes", notes), layer("title block", title.items)]);
    let mut sheets = vec![Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("{}: tape map of {}, {}", card.job_title, card.text(), told.name),
        description: told.description.clone(),
    }];
    for n in 2..=MOST_SHEETS {
        if rest.is_empty() {
            break;
        }
        let (sheet, held) = more_table(card, &rows, rest, &told.name, n);
        if held == 0 {
            break;
        }
        sheets.push(sheet);
        rest = &rest[held..];
    }
    sheets
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

/// Scales from enlarged to a little reduced, as millimetres on paper for one of the work: 5, 2 and 1 are preferred by
/// ISO 5455 (from memory), the others chosen between them.
const SCALES: [f64; 9] = [5.0, 4.0, 3.0, 2.0, 1.5, 1.25, 1.0, 0.8, 2.0 / 3.0];

/// The largest round scale at which a drawing fits, what is small enlarged; the smallest there is if none does.
pub(super) fn drawing_scale(fits: impl Fn(f64) -> bool) -> f64 {
    let mut smallest = 1.0;
    for scale in SCALES.into_iter().chain(round_scales()) {
        if fits(scale) {
            return scale;
        }
        smallest = scale;
    }
    smallest
}

/// Sum of the lengths of tape of a kind among some pieces, mm.
pub(super) fn tape_of(card: &Card<'_>, pieces: &[usize], kind: Kind) -> f64 {
    pieces.iter().map(|i| &card.mask.pieces[*i]).filter(|p| p.kind == kind).map(|p| p.cut_length).sum()
}

/// The rows of a title block that tell the tape of some pieces, the paint, the scale and what comes next.
pub(super) fn own_rows(card: &Card<'_>, pieces: &[usize], scale: f64) -> Vec<TitleRow> {
    let mut rows = Vec::new();
    for (name, kind) in [("edge tape", Kind::Edge), ("bridges", Kind::Bridge), ("tack strip", Kind::Tack)] {
        let long = tape_of(card, pieces, kind);
        if long > 0.0 {
            rows.push(TitleRow::new(name, both_words(long)));
        }
    }
    if !card.paint.is_empty() {
        rows.push(TitleRow::new("paint", card.paint));
    }
    rows.push(TitleRow::new("scale", scale_text(scale)));
    rows.push(TitleRow::new("next", "cut on a board, never on the skin; lay by the numbers"));
    rows
}
