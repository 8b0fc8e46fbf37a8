//! The map on a tape card: one character as it is read, with every piece of tape that belongs to it, each with its
//! number of laying. One more map for each mark shows the pieces that run along several characters.

use crate::Plan;
use crate::fit::placed::Placed;
use crate::mask::{Kind, Mask, Piece};
use geom::{Affine, Point, Ring, Vec2};
use sheet::tokens::ACCENT;
use sheet::{Fill, Item, Layer, Lean, Outline, Path, Role, Room, Sheet, Text, Weight, pen};

/// Room for the map on a card, mm: the width of the narrower paper's page, and the upper half of it.
const ROOM: (f64, f64) = (168.0, 108.0);
/// White round it, mm.
const RIM: f64 = 4.0;
/// Size of the numbers, mm (8.5 points). Chosen: read at arm's length.
const NUMBER: f64 = 3.0;
/// Where along a piece its number is tried, best first; the first that lies on no other number is taken.
const TRIED: [f64; 9] = [0.5, 0.38, 0.62, 0.26, 0.74, 0.15, 0.85, 0.05, 0.95];

/// The maps of every mask, named `tape/MARK-CHARACTER` as the book asks for them.
pub fn maps(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps = Vec::new();
    for mask in &plan.masking.masks {
        let Some(mark) = plan.marks.iter().find(|m| m.id == mask.of) else { continue };
        let mut characters: Vec<i32> = mask.pieces.iter().map(|p| p.glyph).collect();
        characters.sort_unstable();
        characters.dedup();
        for character in characters {
            if let Some(sheet) = map(mark, mask, character) {
                maps.push((format!("tape/{}-{character}", mask.of), sheet));
            }
        }
    }
    maps
}

/// One character's map, or with -1 that of the whole mark; `None` if nothing of it has an extent.
fn map(mark: &Placed, mask: &Mask, character: i32) -> Option<Sheet> {
    let pieces: Vec<&Piece> = mask.pieces.iter().filter(|p| p.glyph == character).collect();
    let glyphs: Vec<&Ring> = match usize::try_from(character) {
        Ok(k) => mark.glyphs.get(k)?.rings.iter().collect(),
        Err(_) => mark.glyphs.iter().flat_map(|g| &g.rings).collect(),
    };
    // Turned so that the letters read upright, whatever way they lie on the skin.
    let upright = Affine::rotate(-mark.angle);
    let bounds = |rings: &mut dyn Iterator<Item = &Ring>| {
        rings.filter_map(|r| r.mapped(upright).bounds()).reduce(|(lo, hi), (a, b)| {
            (Point::new(lo.x.min(a.x), lo.y.min(a.y)), Point::new(hi.x.max(b.x), hi.y.max(b.y)))
        })
    };
    let (lo, hi) = bounds(&mut glyphs.iter().copied().chain(pieces.iter().flat_map(|p| &p.footprint)))?;
    let size = hi - lo;
    let scale = [ROOM.0 / size.x, ROOM.1 / size.y].into_iter().fold(f64::INFINITY, f64::min);
    if !scale.is_finite() {
        return None;
    }
    let on = Affine::translate(Vec2::new(RIM, RIM))
        * Affine::scale(scale)
        * Affine::translate(-lo.to_vec2())
        * upright;
    let letter: Vec<Ring> = glyphs.iter().map(|r| r.mapped(on)).collect();
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Some(Sheet {
        width_mm: size.x * scale + 2.0 * RIM,
        height_mm: size.y * scale + 2.0 * RIM,
        layers: vec![
            layer("tape", pieces.iter().map(|p| tape(p, on)).collect()),
            layer("paint", vec![painted(&letter)]),
            layer("starts", pieces.iter().filter(|p| numbered(p)).filter_map(|p| start(p, on)).collect()),
            layer("numbers", numbers(&pieces, on)),
        ],
        title: format!("tape of {}", mark.text),
        description: "Every piece of tape with its number of laying.".to_owned(),
    })
}

/// What is painted, hatched.
fn painted(letter: &[Ring]) -> Item {
    Item::Path(Path {
        outlines: letter.iter().map(Outline::from).collect(),
        stroke: Some(pen(Role::CutLine)),
        fill: Some(Fill::Hatch { colour: ACCENT, spacing: 2.4, lean: Lean::Rising }),
    })
}

/// The skin a piece covers; layout tape and tack strips, laid days before, stand back.
fn tape(piece: &Piece, on: Affine) -> Item {
    let role = if numbered(piece) { Role::Outline } else { Role::Hidden };
    let rings: Vec<Ring> = piece.footprint.iter().map(|r| r.mapped(on)).collect();
    Item::rings(&rings, pen(role))
}

/// Layout tape covers the letter and the tack strip goes round all: their numbers would say nothing on a map.
fn numbered(piece: &Piece) -> bool {
    matches!(piece.kind, Kind::Edge | Kind::Bridge | Kind::Plug)
}

/// A dot where the piece begins.
fn start(piece: &Piece, on: Affine) -> Option<Item> {
    let centre = on * middle(piece, 0.03)?;
    Some(Item::Circle { centre, radius: 0.7, stroke: None, fill: Some(Fill::Plain(ACCENT)) })
}

/// The numbers, each on its piece and on no other number as far as there is room.
fn numbers(pieces: &[&Piece], on: Affine) -> Vec<Item> {
    let mut taken: Vec<Room> = Vec::new();
    let mut items = Vec::new();
    for piece in pieces.iter().filter(|p| numbered(p)) {
        let at = |share: f64| {
            let centre = on * middle(piece, share)?;
            let mut text = Text::centred(centre, piece.lay.to_string(), NUMBER);
            text.weight = Weight::Bold;
            text.clears = true;
            let [lo, _, hi, _] = text.corners();
            Some((text, Room { lo, hi }))
        };
        let free = |room: &Room| {
            taken.iter().all(|t| {
                room.hi.x <= t.lo.x || t.hi.x <= room.lo.x || room.hi.y <= t.lo.y || t.hi.y <= room.lo.y
            })
        };
        let found = TRIED.iter().filter_map(|s| at(*s)).find(|(_, room)| free(room)).or_else(|| at(TRIED[0]));
        if let Some((text, room)) = found {
            taken.push(room);
            items.push(Item::Text(text));
        }
    }
    items
}

/// A point in the middle of the tape, so far along its path.
fn middle(piece: &Piece, share: f64) -> Option<Point> {
    let steps: Vec<f64> = piece.path.windows(2).map(|w| (w[1] - w[0]).hypot()).collect();
    let mut left = steps.iter().sum::<f64>() * share;
    for (pair, step) in piece.path.windows(2).zip(&steps) {
        if left <= *step && *step > 0.0 {
            let along = (pair[1] - pair[0]) / *step;
            let beside = geom::point::left_of(along) * (piece.width / 2.0);
            let on_line = pair[0] + along * left;
            // The tape lies on the side of the path its footprint is on.
            let inside = |p: Point| geom::winding::contains(&piece.footprint, p);
            return Some(if inside(on_line + beside) { on_line + beside } else { on_line - beside });
        }
        left -= step;
    }
    None
}
