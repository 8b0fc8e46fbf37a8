//! The pieces of tape as a tape map shows them: each over the ones below it, their hidden edges broken.

use super::tape_map_place::{Segment, clip};
use crate::mask::{Kind, Mask, Piece};
use geom::winding::contains;
use geom::{Affine, Point, Ring, Vec2};
use sheet::tokens::PAPER;
use sheet::{Colour, Fill, Item, Outline, Path, Role, Room, pen};

/// How closely round edges are followed on paper, mm.
const FOLLOW: f64 = 0.03;
/// The tack strip's band: light, so that words and lines on it are read.
const TACK: Colour = Colour::new(0xe2, 0xdc, 0xcd);
/// Bridges, a little off the paper, so that they are told from the edge tape they lie on.
const BRIDGE: Colour = Colour::new(0xf1, 0xea, 0xda);

/// Flat to sheet, turned so that the mark reads level.
#[derive(Clone, Copy)]
pub(super) struct Lie {
    pub(super) map: Affine,
    /// Millimetres on paper for one on the skin.
    pub(super) scale: f64,
    angle: f64,
}

impl Lie {
    /// `flat` comes to lie on `sheet`; a mark at `angle` reads level.
    pub(super) fn new(flat: Point, sheet: Point, scale: f64, angle: f64) -> Lie {
        let map = Affine::translate(sheet.to_vec2())
            * Affine::scale(scale)
            * Affine::rotate(-angle)
            * Affine::translate(-flat.to_vec2());
        Lie { map, scale, angle }
    }

    pub(super) fn point(&self, p: Point) -> Point {
        self.map * p
    }

    /// A direction, unit length stays so.
    pub(super) fn way(&self, v: Vec2) -> Vec2 {
        let (s, c) = (-self.angle).sin_cos();
        Vec2::new(c * v.x - s * v.y, s * v.x + c * v.y)
    }

    pub(super) fn ring(&self, r: &Ring) -> Ring {
        Ring::from_points(r.mapped(self.map).flattened(FOLLOW))
    }
}

/// A piece on a map.
pub(super) struct Shown<'a> {
    /// Its index in the mask.
    pub(super) idx: usize,
    pub(super) piece: &'a Piece,
    /// The skin it covers, on the sheet.
    pub(super) shape: Vec<Ring>,
}

/// The pieces on the sheet that are seen in `window`, in the order of laying.
pub(super) fn shown<'a>(
    mask: &'a Mask,
    lie: &Lie,
    window: Room,
    wanted: impl Fn(&Piece) -> bool,
) -> Vec<Shown<'a>> {
    let seen = |shape: &[Ring]| {
        shape.iter().flat_map(segments).any(|s| clip(s, window).is_some()) || contains(shape, window.centre())
    };
    mask.pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| wanted(p))
        .map(|(idx, piece)| Shown {
            idx,
            piece,
            shape: piece.footprint.iter().map(|r| lie.ring(r)).collect(),
        })
        .filter(|s| seen(&s.shape))
        .collect()
}

/// Fill and edges of all pieces, each over the ones before it, cut off at the window.
pub(super) fn drawn(pieces: &[Shown<'_>], window: Room) -> Vec<Item> {
    let mut items = Vec::new();
    for s in pieces {
        let colour = match s.piece.kind {
            Kind::Tack => TACK,
            Kind::Bridge => BRIDGE,
            _ => PAPER,
        };
        let inside =
            s.shape.iter().filter_map(Ring::bounds).all(|(lo, hi)| window.holds(lo) && window.holds(hi));
        let fill =
            if inside { s.shape.clone() } else { geom::boolean::intersection(&s.shape, &[window.ring()]) };
        items.push(Item::filled(&fill, Fill::Plain(colour)));
    }
    let (mut seen, mut hidden) = (Vec::new(), Vec::new());
    for s in pieces {
        let above: Vec<&Shown<'_>> = pieces.iter().filter(|o| o.piece.over.contains(&s.idx)).collect();
        for ring in &s.shape {
            for (line, under) in parts(ring, &above, window) {
                let list = if under { &mut hidden } else { &mut seen };
                // What lies below is worth a line only where tape lies on tape; the strip is seen as a band.
                if !(under && s.piece.kind == Kind::Tack) {
                    list.push(Outline::polyline(line));
                }
            }
        }
    }
    let lines = |outlines, role| Item::Path(Path { outlines, stroke: Some(pen(role)), fill: None });
    items.push(lines(hidden, Role::Hidden));
    items.push(lines(seen, Role::Outline));
    items
}

/// The sides of a straight-edged ring.
pub(super) fn segments(ring: &Ring) -> impl Iterator<Item = Segment> + '_ {
    let n = ring.vertices.len();
    (0..n).map(move |i| (ring.vertices[i].p, ring.vertices[(i + 1) % n].p))
}

/// The ring cut where it goes under a piece above and where it leaves the window; true = under.
fn parts(ring: &Ring, above: &[&Shown<'_>], window: Room) -> Vec<(Vec<Point>, bool)> {
    let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
    for side in segments(ring) {
        let Some((a, b)) = clip(side, window) else { continue };
        let mut cuts = vec![0.0, 1.0];
        for (c, d) in above.iter().flat_map(|s| s.shape.iter().flat_map(segments)) {
            let (u, v) = (b - a, d - c);
            let across = u.cross(v);
            if across.abs() > 0.0 {
                let (s, t) = ((c - a).cross(v) / across, (c - a).cross(u) / across);
                if 0.0 < s && s < 1.0 && (0.0..=1.0).contains(&t) {
                    cuts.push(s);
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        for w in cuts.windows(2) {
            let (p, q) = (a.lerp(b, w[0]), a.lerp(b, w[1]));
            let under = above.iter().any(|s| contains(&s.shape, p.midpoint(q)));
            match out.last_mut() {
                Some((line, was)) if *was == under && line.last().is_some_and(|l| l.distance(p) < FOLLOW) => {
                    line.push(q);
                }
                _ => out.push((vec![p, q], under)),
            }
        }
    }
    out
}
