//! The table beside a tape map: every piece in the order of laying, with what is cut and where it is taken hold of.

use super::layout_notes::wrap;
use crate::mask::{End, EndKind, Kind, Mask, Piece, TabAt, TabKind};
use geom::Point;
use geom::tolerance::KEPT_MM;
use sheet::tokens::SOFT_INK;
use sheet::units::{mm_words, tape_measure};
use sheet::{Item, Role, Room, Text, Weight, Words, pen};

/// Size of the table's words, mm: set fractions stay readable at arm's length.
const SIZE: f64 = 3.6;
/// From one line of a row to the next, mm.
const LINE: f64 = 4.5;
/// White above and below the words of a row, mm.
const AIR: f64 = 0.8;
/// White either side of a cell's words, mm.
const SIDE: f64 = 1.1;
/// Least room for the list of what a piece lies on, mm.
const LIES_ON: f64 = 22.0;
/// Heads of the columns; the last but one takes what room is left.
const HEADS: [&str; 10] = ["lay", "piece", "tape", "cut to", "", "start", "finish", "tab", "lies on", "pull"];
const ON: usize = 8;

/// A row: the lines of each cell, and the numbers of the pieces it lies on.
pub(super) struct Row {
    cells: Vec<Vec<Words>>,
    on: String,
}

/// Least pieces of tack strip in a row that share a line of the table.
const ALIKE: usize = 3;

/// The rows of some pieces, in the order of laying: one each, but pieces of tack strip of one length that follow each
/// other round a bend share one.
pub(super) fn rows<'a>(mask: &Mask, pieces: impl Iterator<Item = &'a Piece>) -> Vec<Row> {
    let pieces: Vec<&Piece> = pieces.collect();
    let alike = |a: &&Piece, b: &&Piece| {
        a.kind == Kind::Tack
            && b.kind == Kind::Tack
            && a.lay + 1 == b.lay
            && (a.label, a.trimmed, a.ring) == (b.label, b.trimmed, b.ring)
            && (a.width - b.width).abs() <= KEPT_MM
            && (a.cut_length - b.cut_length).abs() <= ALIKE_MM
    };
    let mut out = Vec::new();
    for group in pieces.chunk_by(alike) {
        match group {
            [first, .., last] if group.len() >= ALIKE => out.push(row_of_several(mask, first, last, group)),
            _ => out.extend(group.iter().map(|p| row(mask, p))),
        }
    }
    out
}

/// Lengths, mm, that differ by so much are cut alike: 1/32 in, as a tape measure reads.
const ALIKE_MM: f64 = 25.4 / 32.0;

/// One row for tack strips that are cut alike, as long as the longest of them.
fn row_of_several(mask: &Mask, first: &Piece, last: &Piece, group: &[&Piece]) -> Row {
    let longest = group.iter().fold(first, |a, b| if b.cut_length > a.cut_length { b } else { a });
    let mut row = row(mask, longest);
    let own: Vec<usize> = group.iter().map(|p| p.lay).collect();
    let below = group.iter().flat_map(|p| &p.over).map(|k| mask.pieces[*k].lay);
    let mut below: Vec<usize> = below.filter(|lay| !own.contains(lay)).collect();
    below.sort_unstable();
    below.dedup();
    let dash = |a: usize, b: usize| vec![format!("{a}\u{2013}{b}").into()];
    row.cells[0] = dash(first.lay, last.lay);
    row.cells[1] = vec![format!("{} strips", group.len()).into()];
    row.cells[4] = vec![mm_words(longest.cut_length), "each".into()];
    row.cells[9] = dash(last.pull, first.pull);
    row.on = if below.is_empty() { "each other".to_owned() } else { ranges(&below) };
    row
}

/// The row of a piece.
pub(super) fn row(mask: &Mask, piece: &Piece) -> Row {
    let one = |w: Words| vec![w];
    let end = |e: &End| match piece.kind {
        Kind::Plug => one("cut whole".into()),
        Kind::Layout if e.kind == EndKind::PreCut && e.cut <= 0.0 => one("cut to shape".into()),
        Kind::Tack if e.cut > 0.0 => one(format!("cut {}", degrees(e.cut)).into()),
        _ => end_words(e),
    };
    let mut tape = if piece.label > 0.0 { tape_measure(piece.label).words() } else { "film".into() };
    let mut tape_lines = Vec::new();
    if piece.trimmed {
        tape_lines.push(std::mem::take(&mut tape));
        tape = Words::from("cut to ").and(tape_measure(piece.width).words());
    }
    tape_lines.push(tape);
    let lays: Vec<usize> = piece.over.iter().map(|k| mask.pieces[*k].lay).collect();
    Row {
        cells: vec![
            one(piece.lay.to_string().into()),
            one(piece.id.as_str().into()),
            tape_lines,
            one(tape_measure(piece.cut_length).words()),
            one(mm_words(piece.cut_length)),
            end(&piece.start),
            end(&piece.finish),
            one(tab_words(piece).into()),
            Vec::new(),
            one(piece.pull.to_string().into()),
        ],
        on: ranges(&lays),
    }
}

/// How an end is made, in at most two lines.
fn end_words(e: &End) -> Vec<Words> {
    let past = || tape_measure(e.past).words();
    match e.kind {
        EndKind::RunOn => vec![Words::from("run on ").and(past())],
        EndKind::Lap if e.past > KEPT_MM => vec![Words::from("lap ").and(past())],
        EndKind::Lap => vec!["lapped".into()],
        EndKind::PreCut if e.cut > 0.0 => {
            let how = if e.exact { "exact" } else { "short" };
            if e.past > KEPT_MM && !e.exact {
                vec![Words::from("run on ").and(past()), format!("then cut {}", degrees(e.cut)).into()]
            } else {
                vec![format!("cut {} {how}", degrees(e.cut)).into()]
            }
        }
        EndKind::PreCut => vec!["as it comes".into()],
    }
}

/// An angle to half a degree.
pub(super) fn degrees(angle: f64) -> String {
    let halves = (angle.to_degrees() * 2.0).round() / 2.0;
    format!("{halves}\u{b0}")
}

fn tab_words(piece: &Piece) -> &'static str {
    match (piece.tab.kind, piece.tab.at) {
        (TabKind::Fold, TabAt::Start) => "fold, start",
        (TabKind::Fold, TabAt::Finish) => "fold, finish",
        (TabKind::Fold, _) => "fold",
        (TabKind::Flag, TabAt::Start) => "flag, start",
        (TabKind::Flag, TabAt::Finish) => "flag, finish",
        (TabKind::Flag, _) => "flag, middle",
        (TabKind::None, _) => "none",
    }
}

/// Rising numbers, three and more in a row drawn together.
pub(super) fn ranges(numbers: &[usize]) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut i = 0;
    while i < numbers.len() {
        let mut j = i;
        while j + 1 < numbers.len() && numbers[j + 1] == numbers[j] + 1 {
            j += 1;
        }
        if j >= i + 2 {
            out.push(format!("{}\u{2013}{}", numbers[i], numbers[j]));
        } else {
            out.extend(numbers[i..=j].iter().map(usize::to_string));
        }
        i = j + 1;
    }
    if out.is_empty() { "the skin".to_owned() } else { out.join(", ") }
}

/// The width the table would like, mm.
pub(super) fn wanted_width(rows: &[Row]) -> f64 {
    widths(rows, 0.0).iter().sum()
}

fn widths(rows: &[Row], room: f64) -> Vec<f64> {
    let wide = |w: &Words, weight| w.width(SIZE, weight) + 2.0 * SIDE;
    let mut out: Vec<f64> = (0..HEADS.len())
        .map(|c| {
            let bold = if c < 2 { Weight::Bold } else { Weight::Regular };
            let cells = rows.iter().flat_map(|r| &r.cells[c]).map(|w| wide(w, bold));
            cells.fold(wide(&HEADS[c].into(), Weight::Bold), f64::max)
        })
        .collect();
    out[ON] = out[ON].max(LIES_ON);
    let rest = room - out.iter().sum::<f64>();
    out[ON] += rest.max(0.0);
    out
}

/// As many of the rows as the room holds, from its top; how many, and where they end.
pub(super) fn table(rows: &[Row], all: &[Row], room: Room) -> (Vec<Item>, usize, f64) {
    let widths = widths(all, room.width());
    let mut lefts = vec![room.lo.x];
    for w in &widths {
        lefts.push(lefts[lefts.len() - 1] + w);
    }
    let right = lefts[widths.len()];
    let mut items = Vec::new();
    let mut y = room.hi.y;
    let head = AIR * 2.0 + LINE;
    for (c, name) in HEADS.iter().enumerate() {
        if !name.is_empty() {
            let at = Point::new(lefts[c] + SIDE, y - LINE + 0.2);
            items.push(Item::Text(Text { colour: SOFT_INK, ..Text::new(at, *name, SIZE) }));
        }
    }
    y -= head;
    items.push(Item::line([Point::new(room.lo.x, y), Point::new(right, y)], pen(Role::Border)));
    let mut held = 0;
    for row in rows {
        let on = wrap(&row.on, widths[ON] - 2.0 * SIDE, SIZE);
        let lines = row.cells.iter().map(Vec::len).chain([on.len()]).max().unwrap_or(1) as f64;
        let tall = lines * LINE + AIR;
        if y - tall < room.lo.y {
            break;
        }
        for (c, left) in lefts.iter().enumerate().take(HEADS.len()) {
            let weight = if c < 2 { Weight::Bold } else { Weight::Regular };
            let cell: Vec<Words> =
                if c == ON { on.iter().map(|l| l.as_str().into()).collect() } else { row.cells[c].clone() };
            for (k, words) in cell.into_iter().enumerate() {
                let at = Point::new(left + SIDE, y - (k as f64 + 1.0) * LINE + 0.6);
                items.push(Item::Text(Text { weight, ..Text::new(at, words, SIZE) }));
            }
        }
        y -= tall;
        items.push(Item::line([Point::new(room.lo.x, y), Point::new(right, y)], pen(Role::Hatch)));
        held += 1;
    }
    (items, held, y)
}
