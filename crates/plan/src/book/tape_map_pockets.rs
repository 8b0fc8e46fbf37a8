//! Pockets of a letter: counters and bays where tape lies so thick that its numbers need a drawing of their own.

use super::tape_map_pieces::Lie;
use crate::mask::{Mask, Piece, along};
use geom::boolean::difference;
use geom::hull::hull;
use geom::point::left_of;
use geom::winding::contains;
use geom::{Point, Ring};
use sheet::Room;

/// Paper, mm2, that one piece's number, name and signs ask for. chosen by eye.
const PIECE: f64 = 140.0;
/// Fewest pieces worth a drawing of their own. chosen.
const FEWEST: usize = 8;
/// Width and height, mm, of the drawing by which it is told whether a pocket is too small for its signs: what a letter
/// has on a sheet or on a card of the book.
const DRAWING: (f64, f64) = (150.0, 165.0);
/// What is shown round the pieces of a pocket, and how far out of the pocket they may end, as a part of its longer side.
const ROUND: f64 = 0.12;
/// Names of the pockets of one letter, in the order of their size; more are not looked for.
const NAMES: [char; 6] = ['a', 'b', 'c', 'd', 'e', 'f'];

/// A pocket and the pieces of the letter that are taken hold of in it.
pub(super) struct Pocket {
    pub(super) name: char,
    /// What its drawing shows, mm, level.
    pub(super) window: Room,
    /// Indices in the mask, rising.
    pub(super) pieces: Vec<usize>,
}

/// The pockets of a letter whose paint is `paint` that are too small, where all of `extent` is drawn on a sheet, for the
/// signs of what lies in them; largest first. Each of the `own` pieces (indices) lies in one of them at most.
pub(super) fn pockets(mask: &Mask, own: &[usize], paint: &[Ring], extent: Room, unit: &Lie) -> Vec<Pocket> {
    let paint: Vec<Ring> = paint.iter().map(|r| unit.ring(r)).collect();
    let outside = hull(paint.iter().flat_map(|r| r.vertices.iter().map(|v| v.p)).collect());
    let mut bays: Vec<Ring> = difference(&[Ring::from_points(outside)], &paint);
    bays.retain(|r| r.area() > 0.0);
    bays.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let scale = (DRAWING.0 / extent.width()).min(DRAWING.1 / extent.height());
    let mut out = Vec::new();
    for bay in bays {
        let Some((lo, hi)) = bay.bounds() else { continue };
        let round = ROUND * (hi.x - lo.x).max(hi.y - lo.y);
        let around = Room { lo, hi }.inset(-round);
        let held = |i: &usize| {
            let piece = &mask.pieces[*i];
            let ends = [piece.path.first(), piece.path.last()];
            contains(std::slice::from_ref(&bay), unit.point(hold(piece)))
                && ends.into_iter().flatten().all(|p| around.holds(unit.point(*p)))
        };
        let pieces: Vec<usize> = own.iter().copied().filter(held).collect();
        let crowded = pieces.len() as f64 * PIECE > bay.area() * scale * scale;
        if pieces.len() < FEWEST || !crowded {
            continue;
        }
        // A long piece is told by its tab and ends; what it covers far off is seen on the letter's own drawing.
        let own = || pieces.iter().map(|i| &mask.pieces[*i]);
        let tabs = own().flat_map(|p| p.tab.area.iter().map(|p| unit.point(*p)));
        let corners =
            own().flat_map(|p| p.footprint.iter().flat_map(|r| r.vertices.iter().map(|v| unit.point(v.p))));
        let ends =
            own().flat_map(|p| [p.path.first(), p.path.last()].into_iter().flatten().map(|p| unit.point(*p)));
        let points = tabs.chain(ends).chain(corners.filter(|p| around.holds(*p)));
        let seen = points.fold(Room { lo: around.hi, hi: around.lo }, |r, p| Room {
            lo: Point::new(r.lo.x.min(p.x), r.lo.y.min(p.y)),
            hi: Point::new(r.hi.x.max(p.x), r.hi.y.max(p.y)),
        });
        let window = seen.inset(-round / 2.0);
        if let Some(name) = NAMES.get(out.len()) {
            out.push(Pocket { name: *name, window, pieces });
        }
    }
    out
}

/// Where a piece is taken hold of: its tab, or the middle of the tape.
fn hold(piece: &Piece) -> Point {
    let n = piece.tab.area.len();
    if n > 0 {
        let sum = piece.tab.area.iter().fold(geom::Vec2::ZERO, |s, p| s + p.to_vec2());
        return (sum / n as f64).to_point();
    }
    let (middle, way) = along(&piece.path, piece.path_length() / 2.0);
    middle - left_of(way) * (piece.width / 2.0)
}
