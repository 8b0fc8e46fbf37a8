//! A drawing put onto its sheets: what each sheet shows, where it joins its neighbours, and its names set where
//! they cover no line and no other name.
//!
//! Lines are held once as a form; each sheet looks at its part. Names are not part of the form: each is set
//! whole on the one sheet whose share holds all of it, so that no seam cuts a word.

use crate::model::{Anchor, Item, Layer, Room, Text};
use crate::pdf::{Document, Form, Page, Window};
use crate::pdf_font::Face;
use crate::pens::{Role, pen};
use crate::symbols::register_mark;
use crate::tiles::{Look, OVERLAP, Tiling};
use crate::tiles_panel::{Facts, panel};
use crate::tokens::TYPE_LABEL;
use crate::words::Weight;
use geom::{Point, Ring, Vec2};
use std::f64::consts::FRAC_PI_2;

/// A drawing at full size, before it is shared out.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    /// What must be seen, mm.
    pub room: Option<Room>,
    /// Its lines.
    pub layers: Vec<Layer>,
    /// Names of places, each set once.
    pub labels: Vec<Label>,
    /// Names of level lines, set on every sheet that shows enough of the line.
    pub guides: Vec<Guide>,
    /// Lines no name may cover.
    pub keep_clear: Vec<Vec<Point>>,
    /// What its sheets say of themselves.
    pub facts: Facts,
}

/// A name and the places it may stand, the best first.
#[derive(Clone, Debug)]
pub struct Label {
    /// The words as they would stand at each place.
    pub places: Vec<Text>,
    /// Set at its first place even over lines: it says what must not be missing.
    pub needed: bool,
    /// Set on every sheet where it finds a place: a line's name, which one sheet would leave to be guessed at on
    /// the next.
    pub each: bool,
}

/// A level line with a name.
#[derive(Clone, Debug)]
pub struct Guide {
    /// Its left end.
    pub from: Point,
    /// Its length, mm.
    pub length: f64,
    /// What it is called; `{}` in it becomes the name of the sheet or piece.
    pub words: String,
}

/// Size of a register mark, mm.
const REGISTER: f64 = 8.0;
/// Air a name keeps to lines and other names, mm.
const AIR: f64 = 0.6;

/// Adds a drawing's sheets to a document. `all` is the number of pages the document will have in the end.
/// Returns how many names found no place.
pub fn add(document: &mut Document, drawing: &Drawing, tiling: &Tiling, all: usize) -> usize {
    let form = document.forms.len();
    document.forms.push(Form { room: reach(tiling), layers: drawing.layers.clone() });
    let first = document.pages.len();
    let facts = printed(&drawing.facts);
    for k in 0..tiling.pages {
        let items = panel(&facts, tiling, k, first, all);
        document.pages.push(Page { width: tiling.page.0, height: tiling.page.1, windows: vec![], items });
    }
    let clear = Clear::new(&drawing.keep_clear);
    let mut waiting: Vec<bool> = vec![true; drawing.labels.len()];
    for look in &tiling.looks {
        let page = &mut document.pages[first + look.page];
        page.windows.push(Window { form, room: look.window, zero: look.zero });
        let mut taken: Vec<Room> = Vec::new();
        page.items.extend(joins(look, &clear, &mut taken));
        for (label, waits) in drawing.labels.iter().zip(&mut waiting) {
            let place = label.places.iter().find(|text| {
                let room = box_of(text);
                inside(room, look.core) && !taken.iter().any(|t| overlap(*t, room)) && clear.free(room)
            });
            let place = place.or_else(|| {
                label.places.iter().filter(|_| label.needed).find(|text| {
                    let room = box_of(text);
                    inside(room, look.core) && !taken.iter().any(|t| overlap(*t, room))
                })
            });
            if let (true, Some(text)) = (*waits || label.each, place) {
                taken.push(box_of(text));
                page.items.push(on_page(text, look));
                *waits = false;
            }
        }
        for guide in &drawing.guides {
            page.items.extend(named(guide, look, &clear, &mut taken));
        }
    }
    waiting.into_iter().filter(|w| *w).count()
}

/// The facts in signs the embedded face has, before lines are broken by their width.
fn printed(facts: &Facts) -> Facts {
    let face = Face::new(Weight::Regular);
    let spelled = |words: &String| face.spelled(words).into_owned();
    Facts {
        heading: spelled(&facts.heading),
        job: spelled(&facts.job),
        lines: facts.lines.iter().map(spelled).collect(),
        ..facts.clone()
    }
}

fn on_page(text: &Text, look: &Look) -> Item {
    Item::Text(Text { at: text.at + look.zero.to_vec2(), ..text.clone() })
}

/// All that the looks show of the drawing.
fn reach(tiling: &Tiling) -> Room {
    tiling
        .looks
        .iter()
        .map(Look::view)
        .reduce(|a, b| Room {
            lo: Point::new(a.lo.x.min(b.lo.x), a.lo.y.min(b.lo.y)),
            hi: Point::new(a.hi.x.max(b.hi.x), a.hi.y.max(b.hi.y)),
        })
        .unwrap_or(Room { lo: Point::ZERO, hi: Point::ZERO })
}

/// The edge of what is shown, the join lines with their register marks, and which sheet joins where.
fn joins(look: &Look, clear: &Clear, taken: &mut Vec<Room>) -> Vec<Item> {
    let mut items = vec![Item::rings([&look.window.ring()], pen(Role::Dimension))];
    let w = look.window;
    let zero = look.zero.to_vec2();
    let core = look.core;
    for (side, neighbour) in look.joins.iter().enumerate() {
        let Some(neighbour) = neighbour else { continue };
        let upright = side < 2;
        let low = side == 0 || side == 2;
        // The join line, along the whole window so that it can be cut by a straightedge.
        let (from, to, tab) = if upright {
            let x = if low { w.lo.x + OVERLAP / 2.0 } else { w.hi.x - OVERLAP / 2.0 };
            let tab = if low { w.lo.x - 1.4 } else { w.hi.x + 1.4 + 0.73 * TYPE_LABEL };
            (Point::new(x, w.lo.y), Point::new(x, w.hi.y), Point::new(tab, w.centre().y))
        } else {
            let y = if low { w.lo.y + OVERLAP / 2.0 } else { w.hi.y - OVERLAP / 2.0 };
            let tab = if low { w.lo.y - 1.4 - 0.73 * TYPE_LABEL } else { w.hi.y + 1.4 };
            (Point::new(w.lo.x, y), Point::new(w.hi.x, y), Point::new(w.centre().x, tab))
        };
        items.push(Item::line([from, to], pen(Role::Hidden)));
        let said = match side {
            0 | 1 => format!("joins {neighbour} on this side"),
            2 => format!("joins {neighbour} below"),
            _ => format!("joins {neighbour} above"),
        };
        let turn = if upright { FRAC_PI_2 } else { 0.0 };
        items.push(Item::Text(Text { turn, anchor: Anchor::Middle, ..Text::new(tab, said, TYPE_LABEL) }));
        // Both sheets choose the same places: they depend on the drawing only.
        let (length, start) = if upright {
            (core.height(), Point::new(if low { core.lo.x } else { core.hi.x }, core.lo.y))
        } else {
            (core.width(), Point::new(core.lo.x, if low { core.lo.y } else { core.hi.y }))
        };
        let along = if upright { Vec2::new(0.0, 1.0) } else { Vec2::new(1.0, 0.0) };
        for shares in [[0.25, 0.18, 0.32, 0.12, 0.39], [0.75, 0.82, 0.68, 0.88, 0.61]] {
            let at = |share: f64| start + along * (share * length);
            let around = |p: Point| {
                let half = Vec2::new(REGISTER / 2.0, REGISTER / 2.0);
                Room { lo: p - half, hi: p + half }
            };
            let place = shares.into_iter().map(at).find(|p| clear.free(around(*p))).unwrap_or(at(shares[0]));
            items.extend(register_mark(place + zero, REGISTER));
            taken.push(around(place));
        }
    }
    items
}

/// A line's name over the part of it a sheet shows.
fn named(guide: &Guide, look: &Look, clear: &Clear, taken: &mut Vec<Room>) -> Option<Item> {
    let core = look.core;
    let (lo, hi) = (guide.from.x.max(core.lo.x), (guide.from.x + guide.length).min(core.hi.x));
    let text = |x: f64, over: bool| {
        let lift = if over { 1.2 } else { -1.2 - 0.73 * TYPE_LABEL };
        let words = guide.words.replace("{}", &look.name);
        Text::new(Point::new(x, guide.from.y + lift), words, TYPE_LABEL)
    };
    let width = text(0.0, true).width();
    if hi - lo < width + 8.0 || !(core.lo.y < guide.from.y && guide.from.y < core.hi.y) {
        return None;
    }
    let steps = (((hi - lo - width - 4.0) / 4.0).floor() as usize).min(MOST_PLACES);
    let found = (0..=steps)
        .flat_map(|k| [true, false].map(|over| text(lo + 2.0 + 4.0 * k as f64, over)))
        .find(|t| {
            let room = box_of(t);
            inside(room, core) && !taken.iter().any(|other| overlap(*other, room)) && clear.free(room)
        })?;
    taken.push(box_of(&found));
    Some(on_page(&found, look))
}

/// Most places tried for the name of a line on one sheet.
const MOST_PLACES: usize = 400;

/// The upright box round a text, with air.
fn box_of(text: &Text) -> Room {
    let corners = text.corners();
    let fold =
        |f: fn(f64, f64) -> f64, of: fn(&Point) -> f64| corners.iter().map(of).reduce(f).unwrap_or(0.0);
    Room {
        lo: Point::new(fold(f64::min, |p| p.x) - AIR, fold(f64::min, |p| p.y) - AIR),
        hi: Point::new(fold(f64::max, |p| p.x) + AIR, fold(f64::max, |p| p.y) + AIR),
    }
}

fn inside(room: Room, within: Room) -> bool {
    within.lo.x <= room.lo.x
        && room.hi.x <= within.hi.x
        && within.lo.y <= room.lo.y
        && room.hi.y <= within.hi.y
}

fn overlap(a: Room, b: Room) -> bool {
    a.lo.x < b.hi.x && b.lo.x < a.hi.x && a.lo.y < b.hi.y && b.lo.y < a.hi.y
}

/// Lines no name may cover.
struct Clear {
    stretches: Vec<(Point, Point)>,
}

impl Clear {
    fn new(lines: &[Vec<Point>]) -> Clear {
        Clear { stretches: lines.iter().flat_map(|l| l.windows(2).map(|w| (w[0], w[1]))).collect() }
    }

    /// True if no line enters the room.
    fn free(&self, room: Room) -> bool {
        !self.stretches.iter().any(|(a, b)| enters(*a, *b, room))
    }
}

/// True if the stretch from `a` to `b` meets the room: cut it down at each side in turn.
fn enters(a: Point, b: Point, room: Room) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, way, lo, hi) in
        [(a.x, b.x - a.x, room.lo.x, room.hi.x), (a.y, b.y - a.y, room.lo.y, room.hi.y)]
    {
        if way == 0.0 {
            if start < lo || hi < start {
                return false;
            }
            continue;
        }
        let (s, t) = ((lo - start) / way, (hi - start) / way);
        from = from.max(s.min(t));
        to = to.min(s.max(t));
    }
    from <= to
}

/// A ring as a line that no name may cover.
pub fn closed(ring: &Ring) -> Vec<Point> {
    let mut points = ring.flattened(0.5);
    points.extend(points.first().copied());
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Paper;
    use crate::tiles::{Stock, tile};
    use crate::words::Words;

    #[test]
    fn a_stretch_that_only_passes_the_corner_does_not_enter() {
        let room = Room { lo: Point::ZERO, hi: Point::new(10.0, 5.0) };
        assert!(enters(Point::new(-5.0, 2.0), Point::new(15.0, 3.0), room));
        assert!(!enters(Point::new(-5.0, 2.0), Point::new(2.0, 9.0), room));
        assert!(enters(Point::new(3.0, 2.0), Point::new(4.0, 3.0), room));
    }

    #[test]
    fn every_name_is_set_once_and_register_marks_of_neighbours_meet() {
        let room = Room { lo: Point::ZERO, hi: Point::new(500.0, 400.0) };
        let at = |x: f64, y: f64| Text::centred(Point::new(x, y), "ring-3", 3.0);
        let places = (0..40).map(|k| at(100.0 + 8.0 * f64::from(k), 200.0)).collect();
        let drawing = Drawing {
            room: Some(room),
            labels: vec![Label { places, needed: false, each: false }],
            ..Drawing::default()
        };
        let tiling = tile(Stock::Sheets(Paper::A4), room);
        let mut document = Document::default();
        assert_eq!(add(&mut document, &drawing, &tiling, tiling.pages), 0);
        let said = |page: &Page| {
            page.items
                .iter()
                .filter(|i| matches!(i, Item::Text(t) if t.words == Words::from("ring-3")))
                .count()
        };
        assert_eq!(document.pages.iter().map(said).sum::<usize>(), 1);
        // Circles belong to register marks only: in the drawing's own terms each stands on two sheets.
        let mut marks: Vec<(i64, i64)> = tiling
            .looks
            .iter()
            .flat_map(|look| {
                document.pages[look.page].items.iter().filter_map(|i| match i {
                    Item::Circle { centre, .. } => {
                        let p = *centre - look.zero.to_vec2();
                        Some(((p.x * 1e3).round() as i64, (p.y * 1e3).round() as i64))
                    }
                    _ => None,
                })
            })
            .collect();
        marks.sort_unstable();
        assert!(!marks.is_empty() && marks.len().is_multiple_of(2));
        assert!(marks.chunks(2).all(|pair| pair[0] == pair[1]), "{marks:?}");
    }
}
