//! What the signs of a tape map mean, and how to go by it.

use super::layout_notes::wrap;
use super::tape_map_draw::Shows;
use super::tape_map_tabs::{bare_items, chevron_item, end_sign, paint_hatch, tab_items, tag_items};
use crate::mask::TabKind;
use geom::{Point, Vec2};
use sheet::symbols::arrowhead;
use sheet::tokens::INK;
use sheet::{Colour, Fill, Item, Role, Room, Text, Weight, pen};

const SIZE: f64 = 3.0;
/// Sizes of how to go by it, mm: the largest at which all of it fits. 2.5 mm is 7 points.
const SIZES: [f64; 3] = [SIZE, 2.75, 2.5];
/// From line to line, as a part of the size.
const LINE: f64 = 1.2;
/// White under the head of how to go by it, mm.
const HEAD: f64 = 0.8;
/// Height of an entry of the legend, mm.
const ENTRY: f64 = 7.6;
/// Room for a sign, mm.
const SIGN: f64 = 19.0;

/// The signs of a map of layout tape, by their place in the list of all.
const LAYOUT: [usize; 4] = [0, 3, 5, 10];
/// How to go by a map of layout tape.
const GO_LAYOUT: [&str; 6] = [
    "Cut on a board, from the pattern, never on the skin.",
    "Lay by the black numbers, least first.",
    "One side of a strip lies on the wide line or beside the strip before it.",
    "What stands over the wide line is cut off before it is laid.",
    "Inside the letter strips butt or lap as they come.",
    "Take them out when all edge tape lies.",
];
/// How to go by a map of the mask.
const GO_MASK: [&str; 9] = [
    "Cut on a board, never on the skin.",
    "Tack strip first: laps and 1/16 in off do no harm.",
    "A length counts run-on and folded tab.",
    "Write each name on its tab.",
    "Lay by the black numbers, least first.",
    "Inside corner: only the filled dot meets the line.",
    "Outside corner: both tapes run on and cross.",
    "Press the edge down at the paint line.",
    "Pull by the last column, least first.",
];

/// Signs in two columns, then how to go by the map.
pub(super) fn legend(room: Room, shows: Shows) -> Vec<Item> {
    let third = (room.width() - 6.0) / 3.0;
    let mut items = vec![Item::line([Point::new(room.lo.x, room.hi.y), room.hi], pen(Role::Dimension))];
    let words = [
        "place in the laying order; its name",
        "paint goes here; wide line = paint edge",
        "tack strip, with its place in the order",
        "solid = on top, broken = lies below",
        "start to finish: paint on its left",
        "cut to meet the line exactly",
        "cut 1/16 in short: covered by the next",
        "tab: the end folded under itself",
        "tab: flag, a scrap across the back",
        "pull this way, low, back over itself",
        "angle of the cut, from the paint edge",
    ];
    let per = 6;
    let used: Vec<usize> = (0..words.len()).filter(|k| shows == Shows::Mask || LAYOUT.contains(k)).collect();
    for (n, k) in used.iter().enumerate() {
        let text = words[*k];
        let left = room.lo.x + 3.0 + (n / per) as f64 * third;
        let y = room.hi.y - 5.5 - (n % per) as f64 * ENTRY;
        items.extend(sign(*k, Point::new(left + SIGN / 2.0 - 1.0, y)));
        for (n, line) in wrap(text, third - SIGN - 3.0, SIZE).into_iter().take(2).enumerate() {
            let at = Point::new(left + SIGN, y + 0.6 - n as f64 * 3.4);
            items.push(Item::Text(Text::new(at, line, SIZE)));
        }
    }
    let left = room.lo.x + 3.0 + 2.0 * third;
    let mut y = room.hi.y - 5.5;
    items.push(Item::Text(Text {
        weight: Weight::Bold,
        ..Text::new(Point::new(left, y), "How to go by it", 3.3)
    }));
    let go: &[&str] = if shows == Shows::Layout { &GO_LAYOUT } else { &GO_MASK };
    let wrapped = |size: f64| -> Vec<String> { go.iter().flat_map(|t| wrap(t, third - 3.0, size)).collect() };
    let fits = |size: &f64| wrapped(*size).len() as f64 * LINE * size <= y - room.lo.y - 2.0 - HEAD;
    let size = SIZES.into_iter().find(fits).unwrap_or(SIZES[SIZES.len() - 1]);
    y -= HEAD + LINE * size;
    for line in wrapped(size) {
        items.push(Item::Text(Text::new(Point::new(left, y), line, size)));
        y -= LINE * size;
    }
    items
}

fn sign(k: usize, c: Point) -> Vec<Item> {
    let by = |w: f64, h: f64| Room { lo: c - Vec2::new(w, h) / 2.0, hi: c + Vec2::new(w, h) / 2.0 };
    let corners = |r: Room| vec![r.lo, Point::new(r.hi.x, r.lo.y), r.hi, Point::new(r.lo.x, r.hi.y)];
    let across = |w: f64| [c - Vec2::new(w / 2.0, 0.0), c + Vec2::new(w / 2.0, 0.0)];
    match k {
        0 => tag_items(by(15.0, 5.0), 5.0, "7", "name", SIZE),
        1 => {
            let r = by(13.0, 5.0);
            vec![
                Item::filled([&r.ring()], paint_hatch()),
                Item::line([Point::new(r.lo.x, r.hi.y), r.hi], pen(Role::CutLine)),
            ]
        }
        2 => {
            let r = by(13.0, 3.4);
            let band = Fill::Plain(Colour::new(0xe2, 0xdc, 0xcd));
            let mut items =
                vec![Item::filled([&r.ring()], band), Item::rings([&r.ring()], pen(Role::Outline))];
            items.extend(bare_items(by(4.0, 3.9), "2"));
            items
        }
        3 => {
            let up = Vec2::new(0.0, 1.0);
            let line = across(13.0);
            vec![
                Item::line(line.map(|p| p + up), pen(Role::Outline)),
                Item::line(line.map(|p| p - up), pen(Role::Hidden)),
            ]
        }
        4 => {
            let r = by(13.0, 3.4);
            vec![Item::rings([&r.ring()], pen(Role::Outline)), chevron_item(c, Vec2::new(1.0, 0.0), 1.0)]
        }
        5 => end_sign(c, true).into(),
        6 => end_sign(c, false).into(),
        7 => tab_items(&corners(by(5.0, 4.0)), TabKind::Fold),
        8 => tab_items(&corners(by(5.0, 4.0)), TabKind::Flag),
        9 => {
            let [a, b] = across(10.0);
            vec![
                Item::line([a, b - Vec2::new(2.0, 0.0)], pen(Role::Outline)),
                arrowhead(b, Vec2::new(1.0, 0.0), INK),
            ]
        }
        _ => vec![Item::Text(Text::centred(c, "58.5\u{b0}", SIZE))],
    }
}
