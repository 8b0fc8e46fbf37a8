//! The table in the lower right corner that says what a sheet is, for whom it speaks, and at what scale.
//!
//! Its width comes from its words. A long value is first set a little smaller, then broken into lines, and
//! only when it would take over the sheet is it cut, with three dots to say so.

use crate::advance::CAP_HEIGHT;
use crate::model::{Fill, Item, Room, Text};
use crate::pens::{Role, pen};
use crate::symbols::{Verdict, verdict_mark};
use crate::tokens::{CELL_PAD, GAP, LINE_HEIGHT, PAPER, SOFT_INK, TYPE_BODY, TYPE_HEADING, TYPE_LABEL};
use crate::words::{Run, Weight, Words};
use geom::Point;

/// Least and greatest width of the table, mm. Chosen: not so narrow that it looks like a note, nor wider
/// than half of a portrait A4.
const WIDTH: (f64, f64) = (70.0, 105.0);
/// How far a value may shrink before it is broken into lines.
const SHRINK: f64 = 0.8;
/// Most lines of one value; what is left after them is cut.
const LINES: usize = 5;

/// One line of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is about, in a word or two; set without a colon.
    pub label: String,
    /// What there is to say.
    pub value: Words,
    /// A verdict, whose mark and word stand before the value.
    pub verdict: Option<Verdict>,
}

impl Row {
    /// A row without a verdict.
    pub fn new(label: impl Into<String>, value: impl Into<Words>) -> Row {
        Row { label: label.into(), value: value.into(), verdict: None }
    }

    /// A row that begins with a verdict.
    pub fn judged(label: impl Into<String>, verdict: Verdict, value: impl Into<Words>) -> Row {
        Row { verdict: Some(verdict), ..Row::new(label, value) }
    }
}

/// A table as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// All lines and words.
    pub items: Vec<Item>,
    /// What it covers; keep the drawing clear of it.
    pub room: Room,
}

/// A value broken into lines, and the size they are set in.
struct Set {
    lines: Vec<Words>,
    size: f64,
}

/// The table with its lower right corner at `corner`: `heading` across the top, then the rows in order.
pub fn title_block(corner: Point, heading: impl Into<Words>, rows: &[Row]) -> Table {
    let heading = heading.into();
    let labels = rows
        .iter()
        .map(|r| Words::from(r.label.as_str()).width(TYPE_LABEL, Weight::Regular))
        .fold(0.0, f64::max)
        .min(WIDTH.1 / 3.0);
    let label_cell = labels + 2.0 * CELL_PAD;
    let wanted = rows
        .iter()
        .map(|r| {
            label_cell + verdict_room(r.verdict) + r.value.width(TYPE_BODY, Weight::Regular) + 2.0 * CELL_PAD
        })
        .chain([heading.width(TYPE_HEADING, Weight::Bold) + 2.0 * CELL_PAD])
        .fold(0.0, f64::max);
    let width = wanted.clamp(WIDTH.0, WIDTH.1);
    let left = corner.x - width;

    let head = set(&heading, width - 2.0 * CELL_PAD, TYPE_HEADING, Weight::Bold);
    let bodies: Vec<Set> = rows
        .iter()
        .map(|r| {
            let room = width - label_cell - 2.0 * CELL_PAD - verdict_room(r.verdict);
            set(&r.value, room, TYPE_BODY, Weight::Regular)
        })
        .collect();
    let height = tall(&head) + bodies.iter().map(tall).sum::<f64>();
    let room = Room { lo: Point::new(left, corner.y), hi: Point::new(corner.x, corner.y + height) };

    let thin = pen(Role::Dimension);
    let mut items = vec![Item::filled([&room.ring()], Fill::Plain(PAPER))];
    let mut top = room.hi.y;
    items.extend(lines_of(&head, left + CELL_PAD, top, Weight::Bold));
    top -= tall(&head);
    let split = left + label_cell;
    if !rows.is_empty() {
        items.push(Item::line([Point::new(split, top), Point::new(split, corner.y)], thin));
    }
    for (row, body) in rows.iter().zip(&bodies) {
        items.push(Item::line([Point::new(left, top), Point::new(corner.x, top)], thin));
        let first = top - CELL_PAD - CAP_HEIGHT * body.size;
        let label = broken(&row.label.as_str().into(), labels, TYPE_LABEL, Weight::Regular);
        let label = cut(label, 1, labels, TYPE_LABEL, Weight::Regular).into_iter().next().unwrap_or_default();
        items.push(Item::Text(Text {
            colour: SOFT_INK,
            ..Text::new(Point::new(left + CELL_PAD, first), label, TYPE_LABEL)
        }));
        let mut x = split + CELL_PAD;
        if let Some(verdict) = row.verdict {
            let size = TYPE_BODY;
            items.extend(verdict_mark(
                Point::new(x + size / 2.0, first + CAP_HEIGHT / 2.0 * body.size),
                size,
                verdict,
            ));
            items.push(Item::Text(Text {
                weight: Weight::Bold,
                colour: verdict.colour(),
                ..Text::new(Point::new(x + 1.4 * size, first), verdict.word(), size)
            }));
            x += verdict_room(row.verdict);
        }
        items.extend(lines_of(body, x, top, Weight::Regular));
        top -= tall(body);
    }
    items.push(Item::rings([&room.ring()], pen(Role::Border)));
    Table { items, room }
}

/// Room a verdict's mark and word take before the value, mm.
fn verdict_room(verdict: Option<Verdict>) -> f64 {
    verdict.map_or(0.0, |v| 1.4 * TYPE_BODY + Words::from(v.word()).width(TYPE_BODY, Weight::Bold) + GAP)
}

fn tall(set: &Set) -> f64 {
    let lines = set.lines.len().max(1) as f64;
    2.0 * CELL_PAD + (CAP_HEIGHT + (lines - 1.0) * LINE_HEIGHT) * set.size + 0.1 * set.size
}

fn lines_of(set: &Set, x: f64, top: f64, weight: Weight) -> Vec<Item> {
    let first = top - CELL_PAD - CAP_HEIGHT * set.size;
    let line = |(k, words): (usize, &Words)| {
        let y = first - k as f64 * LINE_HEIGHT * set.size;
        Item::Text(Text { weight, ..Text::new(Point::new(x, y), words.clone(), set.size) })
    };
    set.lines.iter().enumerate().map(line).collect()
}

/// `words` so that no line is wider than `room`: whole, shrunk, or broken, in that order.
fn set(words: &Words, room: f64, size: f64, weight: Weight) -> Set {
    let whole = words.width(size, weight);
    if whole <= room {
        return Set { lines: vec![words.clone()], size };
    }
    let small = size * SHRINK;
    if whole * SHRINK <= room {
        return Set { lines: vec![words.clone()], size: size * room / whole };
    }
    Set { lines: cut(broken(words, room, small, weight), LINES, room, small, weight), size: small }
}

/// No more than `most` of the lines; if any were left out, the last one kept ends in three dots.
fn cut(mut lines: Vec<Words>, most: usize, room: f64, size: f64, weight: Weight) -> Vec<Words> {
    if lines.len() <= most {
        return lines;
    }
    lines.truncate(most);
    if let Some(last) = lines.last_mut() {
        let dots = Words::from("\u{2026}");
        let enough = room - dots.width(size, weight);
        let kept = broken(last, enough, size, weight).into_iter().next().unwrap_or_default();
        *last = kept.and(dots);
    }
    lines
}

/// Breaks at blanks; inside a word only where the word alone is wider than `room`. A fraction stays with
/// the whole number before it and is never broken.
fn broken(words: &Words, room: f64, size: f64, weight: Weight) -> Vec<Words> {
    let mut lines: Vec<Words> = Vec::new();
    let mut line = Words::default();
    for piece in pieces(words) {
        let joined = line.clone().and(piece.clone());
        if trimmed(&joined).width(size, weight) <= room {
            line = joined;
            continue;
        }
        if !trimmed(&line).0.is_empty() {
            lines.push(trimmed(&line));
        }
        line = Words::default();
        for bit in bits(&piece) {
            let joined = line.clone().and(bit.clone());
            if trimmed(&joined).width(size, weight) > room && !line.0.is_empty() {
                lines.push(trimmed(&line));
                line = bit;
            } else {
                line = joined;
            }
        }
    }
    if !trimmed(&line).0.is_empty() || lines.is_empty() {
        lines.push(trimmed(&line));
    }
    lines
}

/// The words cut after each blank; a piece may be made of several runs.
fn pieces(words: &Words) -> Vec<Words> {
    let mut pieces = vec![Words::default()];
    for run in &words.0 {
        match run {
            Run::Plain(text) => {
                for part in text.split_inclusive(char::is_whitespace) {
                    // The thin space before a fraction counts as white, but is no place to break.
                    let ends = part.ends_with(char::is_whitespace) && !part.ends_with(crate::words::THIN);
                    push(&mut pieces, Run::Plain(part.to_owned()), ends);
                }
            }
            Run::Gap => push(&mut pieces, Run::Gap, true),
            Run::Fraction { .. } => push(&mut pieces, run.clone(), false),
        }
    }
    pieces.retain(|p| !p.0.is_empty());
    pieces
}

fn push(pieces: &mut Vec<Words>, run: Run, ends: bool) {
    if let Some(last) = pieces.last_mut() {
        last.0.push(run);
    }
    if ends {
        pieces.push(Words::default());
    }
}

/// A piece cut into single letters and whole fractions.
fn bits(piece: &Words) -> Vec<Words> {
    let letters = |run: &Run| match run {
        Run::Plain(text) => text.chars().map(|c| Words::from(c.to_string())).collect(),
        other => vec![Words(vec![other.clone()])],
    };
    piece.0.iter().flat_map(letters).collect()
}

/// The line with neighbouring plain runs joined and without white at its end.
fn trimmed(line: &Words) -> Words {
    let mut runs: Vec<Run> = Vec::new();
    for run in &line.0 {
        match (runs.last_mut(), run) {
            (Some(Run::Plain(before)), Run::Plain(text)) => before.push_str(text),
            _ => runs.push(run.clone()),
        }
    }
    while runs.last() == Some(&Run::Gap) {
        runs.pop();
    }
    if let Some(Run::Plain(text)) = runs.last_mut() {
        text.truncate(text.trim_end().len());
    }
    runs.retain(|run| *run != Run::Plain(String::new()));
    Words(runs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{both_words, plain};
    use proptest::prelude::*;

    fn texts(table: &Table) -> Vec<&Text> {
        table.items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None }).collect()
    }

    #[test]
    fn a_short_value_keeps_its_size_and_the_corner_is_kept() {
        let table = title_block(Point::new(287.0, 10.0), "Wing sheet", &[Row::new("scale", "1:20")]);
        assert!((table.room.hi.x - 287.0).abs() < 1e-12 && (table.room.lo.y - 10.0).abs() < 1e-12);
        assert!((table.room.width() - WIDTH.0).abs() < 1e-12);
        assert!((texts(&table)[2].size - TYPE_BODY).abs() < 1e-12);
    }

    #[test]
    fn a_long_value_is_broken_at_blanks_and_says_all() {
        let value = "the upper skin of the left wing, between rib 4 and rib 9, aft of the second seam, \
                     as measured on the stand";
        let table = title_block(Point::new(287.0, 10.0), "Wing", &[Row::new("where", value)]);
        let said: Vec<String> = texts(&table)[2..].iter().map(|t| plain(&t.words)).collect();
        assert!(said.len() > 1);
        assert_eq!(said.join(" "), value);
    }

    #[test]
    fn a_fraction_stays_with_its_inches() {
        let mut words = Words::from("cap height and a long way round ");
        for _ in 0..4 {
            words = words.and(both_words(619.125)).and(" and then ");
        }
        let set = set(&words, 50.0, TYPE_BODY, Weight::Regular);
        for line in &set.lines {
            let text = plain(line);
            assert_eq!(text.matches("24").count(), text.matches("24 3/8").count(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn nothing_ever_sticks_out_of_its_cell(
            heading in "\\PC{0,60}", label in "\\PC{0,40}", value in "(\\PC{0,14} ?){0,40}", judged in any::<bool>(),
        ) {
            let mut row = Row::new(label, value);
            row.verdict = judged.then_some(Verdict::Caution);
            let rows = [row, Row::new("scale", "1:20")];
            let table = title_block(Point::new(200.0, 10.0), heading, &rows);
            let room = table.room;
            prop_assert!(room.width() <= WIDTH.1 + 1e-9);
            for text in texts(&table) {
                for c in text.corners() {
                    prop_assert!(room.lo.x <= c.x && c.x <= room.hi.x + 1e-9, "{:?} in {:?}", text, room);
                    prop_assert!(room.lo.y <= c.y && c.y <= room.hi.y, "{:?} in {:?}", text, room);
                }
            }
        }

        #[test]
        fn breaking_loses_no_letter(value in "[a-z0-9 ]{0,150}") {
            let words = Words::from(value.as_str());
            let lines = broken(&words, 30.0, 3.0, Weight::Regular);
            let squeeze = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            let all: String = lines.iter().map(plain).collect();
            prop_assert_eq!(squeeze(&all), squeeze(&value));
        }
    }
}
