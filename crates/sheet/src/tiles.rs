//! A drawing larger than the paper, cut into sheets that join up again at full size.
//!
//! Neighbouring sheets show the same strip twice; in the middle of it runs the join line, and on that line lie
//! register marks at the same places of both. Of the ways a paper can be used (upright or lying, the words at
//! the foot or at the side) the one with the fewest sheets is taken. A roll's sheet is as long as it need be.

use crate::frame::{Paper, Way};
use crate::model::Room;
use crate::units::{mm_text, tape_measure};
use geom::tolerance::NOISE_MM;
use geom::{Point, Vec2};

/// White left at every edge of a sheet, mm. Chosen: desk printers leave up to 6 mm unprinted.
pub const EDGE: f64 = 8.0;
/// Between that and what is shown of the drawing, mm: there stands which sheet joins where.
pub const BAND: f64 = 5.0;
/// Width of what two neighbours both show, mm. Chosen: room for a register mark and for glue.
pub const OVERLAP: f64 = 20.0;
/// Room for words, map and check square at the foot (height) or at the side (width) of a sheet, mm.
pub const FOOT: f64 = 112.0;
/// See [`FOOT`].
pub const SIDE: f64 = 106.0;
/// Narrowest roll the words and the check square fit on, mm.
pub const LEAST_ROLL: f64 = 210.0;
/// Widest roll that is believed, mm.
pub const MOST_ROLL: f64 = 5000.0;

/// The paper printed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stock {
    /// Sheets of one size.
    Sheets(Paper),
    /// A roll of this width, mm, cut off where the drawing ends.
    Roll(f64),
}

impl Stock {
    /// A roll, if words and check square fit on it.
    pub fn roll(width: f64) -> Option<Stock> {
        (LEAST_ROLL - NOISE_MM..=MOST_ROLL).contains(&width).then_some(Stock::Roll(width))
    }

    /// What it is called.
    pub fn words(self) -> String {
        match self {
            Stock::Sheets(Paper::A4) => "A4".to_owned(),
            Stock::Sheets(Paper::A3) => "A3".to_owned(),
            Stock::Sheets(Paper::Letter) => "Letter".to_owned(),
            Stock::Sheets(Paper::Tabloid) => "Tabloid".to_owned(),
            Stock::Roll(width) => format!("roll {} ({})", tape_measure(width), mm_text(width)),
        }
    }

    /// Sizes a page can have: width and height, mm; infinite where it is cut to length.
    fn pages(self) -> Vec<(f64, f64)> {
        match self {
            Stock::Sheets(paper) => vec![paper.size(Way::Portrait), paper.size(Way::Landscape)],
            Stock::Roll(width) => vec![(f64::INFINITY, width), (width, f64::INFINITY)],
        }
    }
}

/// One look at the drawing, on one page.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Number of the page, from 0.
    pub page: usize,
    /// Its name: row and column, `B3`.
    pub name: String,
    /// Where on the page it lies.
    pub window: Room,
    /// Where on the page the drawing's zero lies.
    pub zero: Point,
    /// Its share of the drawing, join line to join line.
    pub core: Room,
    /// Names of the neighbours: left, right, below, above.
    pub joins: [Option<String>; 4],
}

impl Look {
    /// What of the drawing it shows.
    pub fn view(&self) -> Room {
        let zero = self.zero.to_vec2();
        Room { lo: self.window.lo - zero, hi: self.window.hi - zero }
    }
}

/// How a drawing is shared out over pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Tiling {
    /// Width and height of every page, mm.
    pub page: (f64, f64),
    /// Room for words on each.
    pub panel: Room,
    /// The looks, page by page.
    pub looks: Vec<Look>,
    /// Number of pages.
    pub pages: usize,
}

/// A page's size, and where drawing and words go on it.
struct Layout {
    page: (f64, f64),
    window: Room,
    panel: Room,
}

/// The layouts a stock offers for a drawing (or what of it goes side by side) of this size.
fn layouts(stock: Stock, width: f64, height: f64) -> Vec<Layout> {
    let inset = EDGE + BAND;
    let mut found = Vec::new();
    for (w, h) in stock.pages() {
        for foot in [true, false] {
            let (below, beside) = if foot { (FOOT, 0.0) } else { (0.0, SIDE) };
            // A page cut to length is long enough for its words, too: legend and arrow stand above the check square.
            let w = if w.is_finite() { w } else { (width + 2.0 * inset + beside).max(LEAST_ROLL) };
            let h = if h.is_finite() { h } else { (height + 2.0 * inset + below).max(LEAST_ROLL) };
            let lo = Point::new(inset, inset + below);
            let window = Room { lo, hi: Point::new(w - inset - beside, h - inset) };
            let panel = if foot {
                Room { lo: Point::new(EDGE, EDGE), hi: Point::new(w - EDGE, EDGE + FOOT) }
            } else {
                Room { lo: Point::new(w - EDGE - SIDE, EDGE), hi: Point::new(w - EDGE, h - EDGE) }
            };
            found.push(Layout { page: (w, h), window, panel });
        }
    }
    found
}

/// How many windows of `length`, each sharing `OVERLAP` with the next, cover `need`.
fn count(need: f64, length: f64) -> usize {
    if need <= length + NOISE_MM {
        return 1;
    }
    if length <= OVERLAP + 1.0 {
        return usize::MAX;
    }
    ((need - OVERLAP - NOISE_MM) / (length - OVERLAP)).ceil() as usize
}

/// The tiling of `drawing` (what must be seen of it, mm) with the fewest sheets.
///
/// # Panics
/// If a stock offered no page at all: our own mistake.
pub fn tile(stock: Stock, drawing: Room) -> Tiling {
    let size = (drawing.width(), drawing.height());
    let mut best: Option<(usize, f64, Layout, usize, usize)> = None;
    for layout in layouts(stock, size.0, size.1) {
        let columns = count(size.0, layout.window.width());
        let rows = count(size.1, layout.window.height());
        let sheets = columns.saturating_mul(rows);
        let area = layout.page.0 * layout.page.1 * sheets as f64;
        if best.as_ref().is_none_or(|b| sheets < b.0 || (sheets == b.0 && area < b.1 - NOISE_MM)) {
            best = Some((sheets, area, layout, columns, rows));
        }
    }
    let (_, _, layout, columns, rows) = best.expect("every stock has a layout");
    let window = layout.window;
    let spread = |n: usize, length: f64| length + (n as f64 - 1.0) * (length - OVERLAP);
    let covered = Vec2::new(spread(columns, window.width()), spread(rows, window.height()));
    let start = drawing.centre() - covered / 2.0;
    let name = |column: usize, row: usize| format!("{}{}", letters(rows - 1 - row), column + 1);
    let mut looks = Vec::new();
    for row in (0..rows).rev() {
        for column in 0..columns {
            let step = Vec2::new(
                column as f64 * (window.width() - OVERLAP),
                row as f64 * (window.height() - OVERLAP),
            );
            let lo = start + step;
            let joins = [
                (column > 0).then(|| name(column - 1, row)),
                (column + 1 < columns).then(|| name(column + 1, row)),
                (row > 0).then(|| name(column, row - 1)),
                (row + 1 < rows).then(|| name(column, row + 1)),
            ];
            let view = Room { lo, hi: lo + Vec2::new(window.width(), window.height()) };
            looks.push(Look {
                page: looks.len(),
                name: name(column, row),
                window,
                zero: Point::ZERO + (window.lo - lo),
                core: core(view, &joins),
                joins,
            });
        }
    }
    Tiling { page: layout.page, panel: layout.panel, pages: looks.len(), looks }
}

/// White between two strips on one page, mm.
const BETWEEN: f64 = 4.0;

/// A long low drawing cut into pieces end to end, as many below each other on a page as fit.
pub fn strips(stock: Stock, drawing: Room) -> Tiling {
    let (length, height) = (drawing.width(), drawing.height());
    let mut best: Option<((usize, usize), f64, Layout, usize)> = None;
    for layout in layouts(stock, length, height) {
        let pieces = count(length, layout.window.width());
        let fit = ((layout.window.height() + BETWEEN + NOISE_MM) / (height + BETWEEN)).floor() as usize;
        if fit == 0 || pieces == usize::MAX {
            continue;
        }
        let key = (pieces.div_ceil(fit), pieces);
        let area = layout.page.0 * layout.page.1 * key.0 as f64;
        if best.as_ref().is_none_or(|b| key < b.0 || (key == b.0 && area < b.1 - NOISE_MM)) {
            best = Some((key, area, layout, fit));
        }
    }
    // A stick too high for its paper is tiled like any other drawing.
    let Some(((pages, pieces), _, layout, fit)) = best else { return tile(stock, drawing) };
    let window = layout.window;
    let looks = (0..pieces)
        .map(|k| {
            let long = if pieces == 1 { length } else { window.width() };
            let lo = drawing.lo + Vec2::new(k as f64 * (window.width() - OVERLAP), 0.0);
            let long = long.min(drawing.hi.x - lo.x);
            let top = window.hi.y - (k % fit) as f64 * (height + BETWEEN);
            let corner = Point::new(window.lo.x, top - height);
            let room = Room { lo: corner, hi: corner + Vec2::new(long, height) };
            let joins =
                [(k > 0).then(|| k.to_string()), (k + 1 < pieces).then(|| (k + 2).to_string()), None, None];
            let view = Room { lo, hi: lo + Vec2::new(long, height) };
            Look {
                page: k / fit,
                name: (k + 1).to_string(),
                window: room,
                zero: Point::ZERO + (corner - lo),
                core: core(view, &joins),
                joins,
            }
        })
        .collect();
    Tiling { page: layout.page, panel: layout.panel, looks, pages }
}

/// From join line to join line.
fn core(view: Room, joins: &[Option<String>; 4]) -> Room {
    let half = |join: &Option<String>| if join.is_some() { OVERLAP / 2.0 } else { 0.0 };
    Room {
        lo: view.lo + Vec2::new(half(&joins[0]), half(&joins[2])),
        hi: view.hi - Vec2::new(half(&joins[1]), half(&joins[3])),
    }
}

/// Rows are lettered from the top: A to Z, AA, AB and so on.
fn letters(mut row: usize) -> String {
    let mut name = String::new();
    loop {
        name.insert(0, char::from(b'A' + (row % 26) as u8));
        if row < 26 {
            return name;
        }
        row = row / 26 - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn room(w: f64, h: f64) -> Room {
        Room { lo: Point::new(-3.0, 2.0), hi: Point::new(w - 3.0, h + 2.0) }
    }

    #[test]
    fn rows_are_lettered_past_z() {
        let names: Vec<String> = [0, 25, 26, 27, 701, 702].map(letters).to_vec();
        assert_eq!(names, ["A", "Z", "AA", "AB", "ZZ", "AAA"]);
    }

    #[test]
    fn a_roll_wider_than_the_letter_takes_one_sheet() {
        let tiling = tile(Stock::Roll(610.0), room(540.0, 790.0));
        assert_eq!(tiling.pages, 1);
        assert!((tiling.page.0 - 610.0).abs() < 1e-9 || (tiling.page.1 - 610.0).abs() < 1e-9);
        assert!(tiling.looks[0].joins.iter().all(Option::is_none));
    }

    #[test]
    fn too_narrow_a_roll_is_none() {
        assert_eq!(Stock::roll(150.0), None);
        assert!(Stock::roll(215.9).is_some());
    }

    proptest! {
        #[test]
        fn cores_cover_the_drawing_once(w in 20.0..4000.0_f64, h in 20.0..1500.0_f64, k in 0..6_usize) {
            let stock = [
                Stock::Sheets(Paper::A4), Stock::Sheets(Paper::A3), Stock::Sheets(Paper::Letter),
                Stock::Sheets(Paper::Tabloid), Stock::Roll(300.0), Stock::Roll(914.4),
            ][k];
            let drawing = room(w, h);
            let tiling = tile(stock, drawing);
            let area: f64 = tiling.looks.iter().map(|l| l.core.width() * l.core.height()).sum();
            let lo = tiling.looks.iter().fold((f64::MAX, f64::MAX), |b, l| (b.0.min(l.core.lo.x), b.1.min(l.core.lo.y)));
            let hi = tiling.looks.iter().fold((f64::MIN, f64::MIN), |b, l| (b.0.max(l.core.hi.x), b.1.max(l.core.hi.y)));
            prop_assert!(lo.0 <= drawing.lo.x + 1e-6 && drawing.hi.x <= hi.0 + 1e-6);
            prop_assert!(lo.1 <= drawing.lo.y + 1e-6 && drawing.hi.y <= hi.1 + 1e-6);
            // The words have their room: a check square and as much again beside it or above.
            let (wide, tall) = (tiling.panel.width(), tiling.panel.height());
            prop_assert!(wide.max(tall) >= LEAST_ROLL - 2.0 * EDGE - 1e-9, "{wide} by {tall}");
            prop_assert!((area - (hi.0 - lo.0) * (hi.1 - lo.1)).abs() < 1e-3);
            for look in &tiling.looks {
                let page = Room { lo: Point::ZERO, hi: Point::new(tiling.page.0, tiling.page.1) }.inset(EDGE);
                prop_assert!(page.lo.x <= look.window.lo.x && look.window.hi.x <= page.hi.x + 1e-9);
                let beside = look.window.hi.x <= tiling.panel.lo.x || look.window.lo.y >= tiling.panel.hi.y;
                prop_assert!(beside, "{look:?} {:?}", tiling.panel);
            }
        }

        #[test]
        fn strips_follow_one_another_to_the_end(w in 100.0..9000.0_f64, h in 50.0..90.0_f64) {
            let drawing = room(w, h);
            for stock in [Stock::Sheets(Paper::A4), Stock::Sheets(Paper::Letter), Stock::Roll(610.0)] {
                let tiling = strips(stock, drawing);
                let mut reached = drawing.lo.x;
                for look in &tiling.looks {
                    prop_assert!((look.core.lo.x - reached).abs() < 1e-6);
                    reached = look.core.hi.x;
                }
                prop_assert!((reached - drawing.hi.x).abs() < 1e-6);
            }
        }
    }
}
