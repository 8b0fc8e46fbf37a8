//! What a tape map says at a piece's ends and tab: the number, the pull, the cut and whether it must meet the line.

use super::tape_map_pieces::{Lie, Shown};
use super::tape_map_place::{Floor, Segment, wide};
use super::tape_map_table::degrees;
use crate::mask::{EndKind, Kind, Piece, TabAt, TabKind, along};
use geom::point::left_of;
use geom::{Point, Ring, Vec2};
use sheet::symbols::arrowhead;
use sheet::tokens::{INK, PAPER, SOFT_INK};
use sheet::{Fill, Item, Lean, Outline, Path, Role, Room, Text, Weight, pen};
use std::f64::consts::FRAC_PI_2;

/// Size of numbers at tabs and of angles, mm.
const NUMBER: f64 = 3.4;
const ANGLE: f64 = 3.0;
/// White round the words of a tag, mm.
const PAD: f64 = 0.9;
/// Most pieces with tabs on a map whose tags are of the usual size.
const ROOMY: usize = 36;
/// Of pieces in a row on a crowded map every so many has its number.
const ROW: usize = 5;
/// Size of numbers where there are more, and of the tack strip's, mm.
const SMALL: f64 = 2.5;
/// Length of the arrow of pulling, mm.
const PULL: f64 = 9.0;
/// Radius of the sign at a cut end, mm.
const SIGN: f64 = 0.95;
/// Half the size of a flag that stands up on its own piece, mm.
const STANDING: f64 = 1.7;

/// What is drawn at tabs and ends, and what is written there.
#[derive(Default)]
pub(super) struct Signs {
    pub(super) tabs: Vec<Item>,
    pub(super) numbers: Vec<Item>,
    pub(super) ends: Vec<Item>,
    /// Tags that found no room.
    pub(super) left_out: Vec<String>,
    /// True if of short pieces in a row only some are numbered.
    pub(super) in_rows: bool,
}

/// A tag still to be placed.
struct Tag {
    at: Point,
    way: Vec2,
    lay: String,
    id: String,
}

/// Tabs, numbers and cut ends of the pieces; `floor` knows the lines already drawn.
pub(super) fn signs(pieces: &[Shown<'_>], lie: &Lie, window: Room, floor: &mut Floor) -> Signs {
    let mut out = Signs::default();
    let mut tags = Vec::new();
    let mut angles = Vec::new();
    let tabbed = pieces.iter().filter(|s| s.piece.kind != Kind::Tack).count();
    let silent = if tabbed > ROOMY { in_rows(pieces) } else { vec![false; pieces.len()] };
    out.in_rows = silent.contains(&true);
    for (s, _) in pieces.iter().zip(&silent).filter(|(_, silent)| !**silent) {
        let (at, way) = handle(s, lie, window, &mut out.tabs, &mut floor.lines);
        tags.push(Tag { at, way, lay: s.piece.lay.to_string(), id: s.piece.id.clone() });
        chevron(s.piece, lie, window, &mut out.tabs);
        if s.piece.kind != Kind::Tack {
            angles.extend(cut_ends(s.piece, lie, window, &mut out.ends, &mut floor.lines));
        }
    }
    // Edge tape first: its numbers have the least choice.
    let numbered: Vec<&Shown<'_>> =
        pieces.iter().zip(&silent).filter(|(_, silent)| !**silent).map(|(s, _)| s).collect();
    let mut order: Vec<usize> = (0..numbered.len()).collect();
    order.sort_by_key(|i| numbered[*i].piece.kind == Kind::Tack);
    for (at, way, words) in angles {
        let size = (wide(&words, ANGLE, Weight::Regular) + 0.6, 3.4);
        match floor.place(at, way, size) {
            Some((room, leader)) => {
                out.ends.extend(leader);
                out.ends.push(Item::filled([&room.ring()], Fill::Plain(PAPER)));
                out.ends.push(Item::Text(Text::centred(room.centre(), words, ANGLE)));
            }
            None => out.left_out.push(words),
        }
    }
    let size = if tabbed > ROOMY { SMALL } else { NUMBER };
    for i in order {
        let tag = &tags[i];
        // The strip has no tab to write a name on: its place in the order is enough.
        let bare = numbered[i].piece.kind == Kind::Tack;
        let tag_size = if bare { SMALL } else { size };
        let number = wide(&tag.lay, tag_size, Weight::Bold) + 2.0 * PAD;
        let name = if bare { 0.0 } else { wide(&tag.id, tag_size, Weight::Bold) + 2.0 * PAD };
        match floor.place(tag.at, tag.way, (number + name, 1.15 * tag_size + 1.1)) {
            Some((room, leader)) => {
                out.numbers.extend(leader);
                if bare {
                    out.numbers.extend(bare_items(room, &tag.lay));
                } else {
                    out.numbers.extend(tag_items(room, number, &tag.lay, &tag.id, tag_size));
                }
            }
            None => out.left_out.push(tag.id.clone()),
        }
    }
    out
}

/// Which pieces go without a number: bridges and bits of strip laid one after the other round a bend, but for the
/// first, the last and every fifth of them.
fn in_rows(pieces: &[Shown<'_>]) -> Vec<bool> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|i| pieces[*i].piece.lay);
    let mut silent = vec![false; pieces.len()];
    let joins = |a: &Piece, b: &Piece| {
        matches!(a.kind, Kind::Bridge | Kind::Tack)
            && a.kind == b.kind
            && (a.glyph, a.ring) == (b.glyph, b.ring)
            && a.lay + 1 == b.lay
    };
    for row in order.chunk_by(|a, b| joins(pieces[*a].piece, pieces[*b].piece)).filter(|r| r.len() >= ROW) {
        for (k, i) in row.iter().enumerate() {
            silent[*i] = k != 0 && k + 1 != row.len() && k % ROW != 0;
        }
    }
    silent
}

/// A tag: the place in the laying order white on black, then the piece's name.
pub(super) fn tag_items(room: Room, number: f64, lay: &str, id: &str, size: f64) -> Vec<Item> {
    let split = room.lo.x + number;
    let first = Room { lo: room.lo, hi: Point::new(split, room.hi.y) };
    let rest = Room { lo: Point::new(split, room.lo.y), hi: room.hi };
    let text = |room: Room, words: &str, colour| {
        Item::Text(Text { weight: Weight::Bold, colour, ..Text::centred(room.centre(), words, size) })
    };
    vec![
        Item::filled([&rest.ring()], Fill::Plain(PAPER)),
        Item::filled([&first.ring()], Fill::Plain(INK)),
        Item::rings([&room.ring()], pen(Role::Outline)),
        text(first, lay, PAPER),
        text(rest, id, INK),
    ]
}

/// The place in the laying order alone, on a scrap of paper.
pub(super) fn bare_items(room: Room, lay: &str) -> Vec<Item> {
    vec![
        Item::filled([&room.ring()], Fill::Plain(PAPER)),
        Item::rings([&room.ring()], pen(Role::Hatch)),
        Item::Text(Text::centred(room.centre(), lay, SMALL)),
    ]
}

/// Draws the tab and the arrow of pulling; comes back with where the number belongs and the way it had better stand.
fn handle(
    s: &Shown<'_>,
    lie: &Lie,
    window: Room,
    items: &mut Vec<Item>,
    lines: &mut Vec<(Segment, f64)>,
) -> (Point, Vec2) {
    let piece = s.piece;
    let length = piece.path_length();
    let (mid, mid_way) = along(&piece.path, length / 2.0);
    let right = lie.way(-left_of(mid_way));
    let body = lie.point(mid) + right * (piece.width * lie.scale / 2.0);
    let area: Vec<Point> = piece.tab.area.iter().map(|p| lie.point(*p)).collect();
    let (tab, way, box_) = match piece.tab.kind {
        TabKind::None => return (seen(piece, lie, window).unwrap_or(body), right),
        TabKind::Fold => {
            let n = piece.path.len();
            let (inward, side) = if piece.tab.at == TabAt::Start {
                let w = (piece.path[1] - piece.path[0]).normalize();
                (w, -left_of(w))
            } else {
                let w = (piece.path[n - 1] - piece.path[n - 2]).normalize();
                (-w, -left_of(w))
            };
            let way = (lie.way(inward) * 0.6 + lie.way(side) * 0.8).normalize();
            (middle(&area).unwrap_or(body), way, area)
        }
        TabKind::Flag if piece.kind == Kind::Plug => {
            let all: Vec<Point> = s.shape.iter().flat_map(|r| r.vertices.iter().map(|v| v.p)).collect();
            let c = middle(&all).unwrap_or(body);
            (c, Vec2::new(0.0, 1.0), square(c))
        }
        TabKind::Flag if area.is_empty() => (body, right, square(body)),
        TabKind::Flag => (middle(&area).unwrap_or(body), right, area),
    };
    if !window.holds(tab) {
        return (seen(piece, lie, window).unwrap_or(body), right);
    }
    items.extend(tab_items(&box_, piece.tab.kind));
    for k in 0..box_.len() {
        lines.push(((box_[k], box_[(k + 1) % box_.len()]), 3.0));
    }
    if piece.kind != Kind::Plug {
        let tip = tab + way * PULL;
        items.push(Item::line([tab, tip - way * 2.0], pen(Role::Outline)));
        items.push(arrowhead(tip, way, INK));
        lines.push(((tab, tip), 6.0));
    }
    (tab, way)
}

/// A tab as drawn: a fold hatched close, a flag crossed out.
pub(super) fn tab_items(corners: &[Point], kind: TabKind) -> Vec<Item> {
    let ring = Ring::from_points(corners.iter().copied());
    let fill = if kind == TabKind::Fold {
        Fill::Hatch { colour: INK, spacing: 1.1, lean: Lean::Falling }
    } else {
        Fill::Plain(PAPER)
    };
    let mut items = vec![Item::filled([&ring], Fill::Plain(PAPER))];
    items.push(Item::Path(Path {
        outlines: vec![Outline::from(&ring)],
        stroke: Some(pen(Role::Outline)),
        fill: Some(fill),
    }));
    if kind == TabKind::Flag && corners.len() == 4 {
        items.push(Item::line([corners[0], corners[2]], pen(Role::Outline)));
        items.push(Item::line([corners[1], corners[3]], pen(Role::Outline)));
    }
    items
}

fn square(c: Point) -> Vec<Point> {
    let at = |x: f64, y: f64| c + Vec2::new(x, y) * STANDING;
    vec![at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)]
}

/// The middle of what is seen of a piece that reaches out of the window.
fn seen(piece: &Piece, lie: &Lie, window: Room) -> Option<Point> {
    let half = piece.width * lie.scale / 2.0;
    let parts: Vec<Point> = piece
        .path
        .windows(2)
        .filter_map(|w| {
            let off = lie.way(-left_of((w[1] - w[0]).normalize())) * half;
            super::tape_map_place::clip((lie.point(w[0]) + off, lie.point(w[1]) + off), window)
        })
        .flat_map(|(a, b)| [a, b])
        .collect();
    let (first, last) = (parts.first()?, parts.last()?);
    Some(if parts.len() == 2 { first.midpoint(*last) } else { parts[parts.len() / 2] })
}

/// A small angle that points from the start to the finish, a third along a piece long enough.
fn chevron(piece: &Piece, lie: &Lie, window: Room, items: &mut Vec<Item>) {
    let length = piece.path_length();
    if !matches!(piece.kind, Kind::Edge | Kind::Bridge) || length * lie.scale < 24.0 {
        return;
    }
    let (p, way) = along(&piece.path, length * 0.3);
    let way = lie.way(way);
    let tip = lie.point(p) - left_of(way) * (piece.width * lie.scale / 2.0);
    if window.holds(tip) {
        items.push(chevron_item(tip, way, (piece.width * lie.scale * 0.28).min(1.4)));
    }
}

/// An angle with its tip at `tip`.
pub(super) fn chevron_item(tip: Point, way: Vec2, half: f64) -> Item {
    let side = left_of(way) * half;
    let back = tip - way * (1.6 * half);
    Item::line([back + side, tip, back - side], pen(Role::Outline))
}

/// The signs at a piece's cut ends; comes back with the angles to be written, where and which way.
fn cut_ends(
    piece: &Piece,
    lie: &Lie,
    window: Room,
    items: &mut Vec<Item>,
    lines: &mut Vec<(Segment, f64)>,
) -> Vec<(Point, Vec2, String)> {
    let n = piece.path.len();
    let first = (piece.path[0], (piece.path[0] - piece.path[1]).normalize(), piece.start, 1.0);
    let last = (piece.path[n - 1], (piece.path[n - 1] - piece.path[n - 2]).normalize(), piece.finish, -1.0);
    let mut out = Vec::new();
    for (p, outward, end, hand) in [first, last] {
        if end.kind != EndKind::PreCut || end.cut <= 0.0 {
            continue;
        }
        let right = lie.way(left_of(outward)) * hand;
        // Within the tape, whatever its angle: nearer the paint line for a sharp cut.
        let deep = (piece.width * lie.scale * 0.3).min(2.2);
        let lean = if end.cut < FRAC_PI_2 { deep / end.cut.tan().max(0.4) } else { 0.0 };
        let back = 1.3 * SIGN + lean;
        // An exact cut begins at the end of the paint line, however far its other side reaches.
        let past = if end.exact { 0.0 } else { end.past };
        let at = lie.point(p) + lie.way(outward) * (past * lie.scale - back) + right * deep;
        if window.holds(at) {
            items.extend(end_sign(at, end.exact));
            lines.push(((at - Vec2::new(SIGN, 0.0), at + Vec2::new(SIGN, 0.0)), 9.0));
            out.push((at, right, degrees(end.cut)));
        }
    }
    out
}

/// A filled dot where the cut meets the line exactly, an open one where it stops short.
pub(super) fn end_sign(at: Point, exact: bool) -> [Item; 1] {
    let fill = if exact { INK } else { PAPER };
    [Item::Circle {
        centre: at,
        radius: SIGN,
        stroke: Some(pen(Role::Outline)),
        fill: Some(Fill::Plain(fill)),
    }]
}

/// What paint looks like on a map.
pub(super) fn paint_hatch() -> Fill {
    Fill::Hatch { colour: SOFT_INK, spacing: 4.0, lean: Lean::Rising }
}

fn middle(points: &[Point]) -> Option<Point> {
    let sum = points.iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2());
    (!points.is_empty()).then(|| (sum / points.len() as f64).to_point())
}
