//! The words on every full-size sheet: what it is, a square and a bar to hold a ruler to, how the sheets join,
//! and what each kind of line means.
//!
//! The check square frames the words, so that it costs no paper of its own.

use crate::advance::{CAP_HEIGHT, text_width};
use crate::model::{Anchor, Fill, Item, Lean, Outline, Path, Room, Text};
use crate::pens::{Role, pen};
use crate::symbols::direction_arrow;
use crate::tiles::Tiling;
use crate::tokens::{FAIL, INK, SOFT_INK, TYPE_BODY, TYPE_HEADING, TYPE_LABEL};
use crate::units::INCH_MM;
use crate::words::{Weight, Words};
use geom::{Affine, Point, Ring, Vec2};

/// Side of the square a ruler is laid on, mm.
pub const SQUARE: f64 = 100.0;
/// Small print of a full-size sheet, mm: 7.4 points.
const SMALL: f64 = TYPE_LABEL;
/// Figures with fractions, mm: their small figures are 7.4 points tall.
const FIGURES: f64 = 3.75;

/// What a set of sheets says of itself.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    /// What is shown, in a few words.
    pub heading: String,
    /// Title of the job.
    pub job: String,
    /// A warning that must not be missed, such as that the drawing is mirrored; empty if none.
    pub warning: String,
    /// Lines of words without fractions.
    pub lines: Vec<String>,
    /// Lines of figures with fractions.
    pub figures: Vec<Words>,
    /// An arrow that says which way something lies, radians counter-clockwise from level.
    pub arrow: Option<(f64, String)>,
    /// What each kind of line means.
    pub legend: Vec<(Role, String)>,
    /// What one share of the drawing is called: `sheet`, or `piece` of a stick.
    pub share: &'static str,
    /// How to join them.
    pub joining: String,
    /// Outlines drawn small on the map of sheets, in the drawing's millimetres.
    pub map: Vec<Ring>,
}

/// The words of page `page`, from 0; `first` and `all` count the pages of the whole file.
pub fn panel(facts: &Facts, tiling: &Tiling, page: usize, first: usize, all: usize) -> Vec<Item> {
    let room = tiling.panel;
    let square = Room {
        lo: Point::new(room.lo.x + 1.0, room.lo.y + 9.5),
        hi: Point::new(room.lo.x + 1.0 + SQUARE, room.lo.y + 9.5 + SQUARE),
    };
    let mut items = check_square(square);
    items.extend(inch_bar(Point::new(square.lo.x, room.lo.y)));
    items.extend(words(facts, tiling, page, first, all, square));
    let beside = if room.width() > room.height() {
        Room { lo: Point::new(square.hi.x + 5.0, room.lo.y), hi: room.hi }
    } else {
        Room { lo: Point::new(room.lo.x, square.hi.y + 3.0), hi: room.hi }
    };
    items.extend(map_and_legend(facts, tiling, page, beside));
    items
}

/// The square with short strokes every 10 mm along two sides, which show which way a printer has stretched.
fn check_square(square: Room) -> Vec<Item> {
    let stroke = pen(Role::Dimension);
    let mut items = vec![Item::rings([&square.ring()], stroke)];
    for k in 1..10 {
        let (s, long) = (f64::from(k) * 10.0, if k == 5 { 3.0 } else { 1.6 });
        let at = |x: f64, y: f64| square.lo + Vec2::new(x, y);
        items.push(Item::line([at(s, 0.0), at(s, long)], stroke));
        items.push(Item::line([at(0.0, s), at(long, s)], stroke));
    }
    items
}

/// A bar of four inches, its lowest words at `at`.
fn inch_bar(at: Point) -> Vec<Item> {
    let base = at + Vec2::new(0.0, 4.2);
    let mut items = Vec::new();
    for k in 0..4 {
        let x = f64::from(k) * INCH_MM;
        let part = Room { lo: base + Vec2::new(x, 0.0), hi: base + Vec2::new(x + INCH_MM, 2.4) }.ring();
        if k % 2 == 0 {
            items.push(Item::filled([&part], Fill::Plain(INK)));
        }
        items.push(Item::rings([&part], pen(Role::Dimension)));
    }
    for (k, said) in [(0.0, "0"), (1.0, "1"), (2.0, "2"), (3.0, "3"), (4.0, "4 in")] {
        let anchor = if k == 0.0 {
            Anchor::Start
        } else if k < 4.0 {
            Anchor::Middle
        } else {
            Anchor::End
        };
        let place = Point::new(at.x + k * INCH_MM, at.y + 0.8);
        items.push(Item::Text(Text { anchor, ..Text::new(place, said, SMALL) }));
    }
    items
}

/// The words inside the square.
fn words(facts: &Facts, tiling: &Tiling, page: usize, first: usize, all: usize, square: Room) -> Vec<Item> {
    let room = Room { lo: square.lo + Vec2::new(5.0, 5.0), hi: square.hi - Vec2::new(3.0, 3.0) };
    let mut down = Down { room, y: room.hi.y, items: Vec::new() };
    down.block(&facts.heading, TYPE_HEADING, Weight::Bold, INK, 2);
    if !facts.warning.is_empty() {
        down.block(&facts.warning, TYPE_HEADING, Weight::Bold, FAIL, 2);
    }
    down.block(&facts.job, TYPE_BODY, Weight::Regular, INK, 2);

    // From the foot upwards: what must be there whatever else there is to say.
    let names: Vec<&str> = tiling.looks.iter().filter(|l| l.page == page).map(|l| l.name.as_str()).collect();
    let which = match (names.as_slice(), tiling.looks.len()) {
        (_, 1) | ([], _) => String::new(),
        ([one], _) => format!("{} {one}, ", facts.share),
        ([from, .., to], _) => format!("{}s {from} to {to}, ", facts.share),
    };
    let foot = [
        (format!("{which}page {} of {all}", first + page + 1), TYPE_BODY, Weight::Bold),
        ("Print at 100 %, not fitted to the page.".to_owned(), TYPE_BODY, Weight::Bold),
        ("This square: 100 mm each way, 141.4 mm across corners.".to_owned(), SMALL, Weight::Regular),
    ];
    let mut y = room.lo.y + 0.8;
    for (said, size, weight) in foot.into_iter().rev() {
        let text = Text { weight, ..Text::new(Point::new(room.lo.x, y), said, size) };
        down.items.push(Item::Text(text));
        y += 1.45 * size;
    }
    down.room.lo.y = y + 1.0;
    for line in &facts.lines {
        down.block(line, SMALL + 0.3, Weight::Regular, INK, 3);
    }
    let mut told = 0;
    for line in &facts.figures {
        if !down.line(line.clone(), FIGURES, facts.figures.len() - told > 1) {
            break;
        }
        told += 1;
    }
    if told < facts.figures.len() {
        let more = format!("and {} more: see the layout drawing", facts.figures.len() - told);
        let at = Point::new(room.lo.x, down.room.lo.y);
        down.items.push(Item::Text(Text::new(at, more, SMALL)));
    }
    down.items
}

/// Lines set below each other from the top of a room.
struct Down {
    room: Room,
    y: f64,
    items: Vec<Item>,
}

impl Down {
    /// A text in at most `most` lines, as far as there is room.
    fn block(&mut self, text: &str, size: f64, weight: Weight, colour: crate::Colour, most: usize) {
        for line in wrapped(text, self.room.width(), size, weight, most) {
            let below = self.y - 1.4 * size;
            if below < self.room.lo.y {
                return;
            }
            let at = Point::new(self.room.lo.x, self.y - 1.1 * size);
            self.items.push(Item::Text(Text { weight, colour, ..Text::new(at, line, size) }));
            self.y = below;
        }
        self.y -= 0.3 * size;
    }

    /// One line of words; false if there is no room for it (and, where asked, for one more).
    fn line(&mut self, words: Words, size: f64, and_one_more: bool) -> bool {
        let need = if and_one_more { 2.6 } else { 1.35 } * size;
        if self.y - need < self.room.lo.y {
            return false;
        }
        let at = Point::new(self.room.lo.x, self.y - 1.05 * size);
        // A long line is set smaller, but never so small that its figures cannot be read.
        let wide = words.width(size, Weight::Regular);
        let size = (size * self.room.width() / wide).clamp(0.95 * size, size);
        self.items.push(Item::Text(Text::new(at, words, size)));
        self.y -= 1.35 * size;
        true
    }
}

/// How the sheets lie to each other, which way is which, and what the lines mean.
fn map_and_legend(facts: &Facts, tiling: &Tiling, page: usize, room: Room) -> Vec<Item> {
    let lying = room.width() > 1.15 * room.height();
    let arrow_room = if facts.arrow.is_some() { 30.0 } else { 0.0 };
    let (map, legend) = if tiling.looks.len() == 1 {
        (room, room)
    } else if lying {
        let split = room.lo.x + 0.46 * room.width().min(200.0);
        (
            Room { lo: room.lo, hi: Point::new(split - 3.0, room.hi.y) },
            Room { lo: Point::new(split, room.lo.y), hi: room.hi },
        )
    } else {
        let split = room.hi.y - 0.45 * room.height().min(140.0);
        (
            Room { lo: Point::new(room.lo.x, split + 3.0), hi: room.hi },
            Room { lo: room.lo, hi: Point::new(room.hi.x, split) },
        )
    };
    let mut items = Vec::new();
    if tiling.looks.len() > 1 {
        items.extend(sheet_map(facts, tiling, page, map));
    }
    let mut y = legend.hi.y - 1.0;
    for (role, said) in &facts.legend {
        let from = Point::new(legend.lo.x, y - 1.0);
        // Two dots show in a sample of 17 mm of the longest dashes.
        items.push(Item::line([from, from + Vec2::new(17.0, 0.0)], pen(*role)));
        let wide = legend.width() - 19.5;
        for line in wrapped(said, wide, SMALL, Weight::Regular, 3) {
            let at = Point::new(legend.lo.x + 19.5, y - 1.0 - CAP_HEIGHT * SMALL / 2.0);
            items.push(Item::Text(Text::new(at, line, SMALL)));
            y -= 3.5;
        }
        y -= 0.7;
    }
    if tiling.looks.len() > 1 {
        y -= 1.0;
        for line in wrapped(&facts.joining, legend.width(), SMALL, Weight::Regular, 5) {
            items.push(Item::Text(Text::new(Point::new(legend.lo.x, y - CAP_HEIGHT * SMALL), line, SMALL)));
            y -= 3.5;
        }
    }
    if let Some((angle, said)) = &facts.arrow {
        let middle = Point::new(legend.lo.x + arrow_room / 2.0 + 2.0, legend.lo.y + arrow_room / 2.0);
        let along = Vec2::from_angle(*angle);
        let long = 26.0_f64.max(text_width(said, Weight::Regular) * TYPE_BODY + 7.0);
        let middle =
            if along.x.abs() > 0.5 { Point::new(legend.lo.x + long / 2.0, middle.y) } else { middle };
        items.extend(direction_arrow(middle - along * (long / 2.0), *angle, long, TYPE_BODY, said.as_str()));
    }
    items
}

/// The sheets side by side, this page's hatched.
fn sheet_map(facts: &Facts, tiling: &Tiling, page: usize, room: Room) -> Vec<Item> {
    let mut items = Vec::new();
    let title = Point::new(room.lo.x, room.hi.y - 1.0 - CAP_HEIGHT * SMALL);
    let words = format!("how the {}s join", facts.share);
    items.push(Item::Text(Text { colour: SOFT_INK, ..Text::new(title, words, SMALL) }));
    let room = Room { lo: room.lo, hi: Point::new(room.hi.x, room.hi.y - 5.5) };
    let all = tiling.looks.iter().fold(tiling.looks[0].core, |all, l| Room {
        lo: Point::new(all.lo.x.min(l.core.lo.x), all.lo.y.min(l.core.lo.y)),
        hi: Point::new(all.hi.x.max(l.core.hi.x), all.hi.y.max(l.core.hi.y)),
    });
    // A strip would be too low to see: it is shown higher than it is.
    let even = (room.width() / all.width()).min(room.height() / all.height());
    let (sx, sy) = if even * all.height() < 5.0 { (even, 5.0 / all.height()) } else { (even, even) };
    let map = Affine::translate(Vec2::new(room.lo.x, room.hi.y - sy * all.height()))
        * Affine::scale_non_uniform(sx, sy)
        * Affine::translate(-all.lo.to_vec2());
    let thin = pen(Role::Outline);
    for look in &tiling.looks {
        let cell = Room { lo: map * look.core.lo, hi: map * look.core.hi };
        let fill =
            (look.page == page).then_some(Fill::Hatch { colour: SOFT_INK, spacing: 1.2, lean: Lean::Rising });
        items.push(Item::Path(Path {
            outlines: vec![Outline::from(&cell.ring())],
            stroke: Some(thin),
            fill,
        }));
    }
    if (sx - sy).abs() < geom::tolerance::NOISE_UNIT && !facts.map.is_empty() {
        let rings: Vec<Ring> = facts.map.iter().map(|r| r.mapped(map)).collect();
        items.push(Item::rings(&rings, pen(Role::CutLine)));
    }
    for look in &tiling.looks {
        let cell = Room { lo: map * look.core.lo, hi: map * look.core.hi };
        let weight = if look.page == page { Weight::Bold } else { Weight::Regular };
        let name = Text { weight, clears: true, ..Text::centred(cell.centre(), look.name.as_str(), SMALL) };
        if name.width() + 0.8 <= cell.width() && SMALL <= cell.height() {
            items.push(Item::Text(name));
        }
    }
    items
}

/// A text broken at blanks into at most `most` lines no wider than `wide` mm, dots where something is left
/// out; a word too long for a line is cut.
pub fn wrapped(text: &str, wide: f64, size: f64, weight: Weight, most: usize) -> Vec<String> {
    let width = |t: &str| text_width(t, weight) * size;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (lines.last_mut(), longer) {
            (Some(last), Some(longer)) if width(&longer) <= wide => *last = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    let left_out = lines.len() > most;
    lines.truncate(most);
    if left_out && let Some(last) = lines.last_mut() {
        last.push('\u{2026}');
    }
    for line in &mut lines {
        while width(line) > wide && line.chars().count() > 1 {
            let cut: String = line.trim_end_matches('\u{2026}').to_owned();
            let kept = cut.char_indices().next_back().map_or(0, |(at, _)| at);
            *line = format!("{}\u{2026}", cut[..kept].trim_end());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_with_dots_and_a_long_word_too() {
        let lines = wrapped("the upper skin of the left wing", 20.0, 3.0, Weight::Regular, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('\u{2026}'), "{lines:?}");
        for line in wrapped(&"W".repeat(200), 20.0, 3.0, Weight::Regular, 2) {
            assert!(text_width(&line, Weight::Regular) * 3.0 <= 20.0, "{line}");
        }
        assert!(wrapped("", 20.0, 3.0, Weight::Regular, 2).is_empty());
    }
}
