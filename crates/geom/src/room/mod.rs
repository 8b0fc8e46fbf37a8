//! Where a shape can go among walls: the nearest place to an aim, the place with the greatest clearance, or
//! the proof that there is none.
//!
//! The shape is only moved, never turned. Boxes of movements are cut in two until each is settled; over a
//! box every contact of a paint edge and a wall lies under a tilted plane (`contact::lid`), and the highest
//! point under those planes (`maximin`) tells at once how clear any place in the box can be and where to look.
//! No grid decides an answer: what comes back was proved to `SETTLED_MM`, or says that it was not.

mod boxes;
mod free;
mod look;
mod nearest;
mod polish;
mod roomiest;
mod shortlist;
mod touches;
mod tree;
mod worth;

use crate::contact::{Convex, PaintEdge, Piece, clearance};
use crate::convex::pieces;
use crate::maximin::Border;
use crate::measure::segments;
use crate::point::{Point, Vec2};
use crate::region::Region;
use crate::ring::Ring;
use crate::tolerance::{FLOOR_MM, NOISE_MM};
use boxes::{Contact, Short};
pub use touches::Touch;
use tree::{Bulk, Node, gathered};

/// Most boxes one search opens; a panel with 300 features needs a few thousand. A search that reaches it
/// gives its best place with `proved` false.
pub const MOST_BOXES: usize = 400_000;

/// Something the shape must keep clear of.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// The wall itself.
    pub region: Region,
    /// Least distance kept, mm.
    pub clearance: f64,
    /// True if the painted area itself must stay off it; false if it may lie wholly inside the paint or in a
    /// counter.
    pub uncovered: bool,
    /// True if its clearance is to be made as great as possible; false if it only has to be kept.
    pub counts: bool,
}

/// A shape, the walls round it, and the borders of the movements that are allowed.
#[derive(Clone, Debug)]
pub struct Room {
    shape: Vec<Ring>,
    /// The box round each ring of the shape, in the same order.
    around: Vec<Option<(Point, Point)>>,
    edges: Vec<PaintEdge>,
    nodes: Vec<Node>,
    walls: Vec<Inner>,
    solids: Vec<Solid>,
    /// The box round each solid, in the same order.
    bulks: Vec<Bulk>,
    /// Straight borders of the movement: normal . t <= limit.
    borders: Vec<Border>,
}

/// A movement that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The movement.
    pub t: Vec2,
    /// Least net clearance over the walls that count, mm; infinite if none counts.
    pub clearance: f64,
    /// What was proved: no place is nearer to the aim than this (nearest), or no place has more clearance
    /// than this (roomiest), mm.
    pub bound: f64,
    /// True if the proof is complete.
    pub proved: bool,
    /// Boxes opened.
    pub boxes: usize,
}

/// What a search came to that ended before it found a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoPlace {
    /// True if it is proved that there is none; false if the search was given up at `MOST_BOXES`.
    pub proved: bool,
    /// Boxes opened.
    pub boxes: usize,
}

/// A convex piece of a wall.
#[derive(Clone, Debug)]
struct Solid {
    piece: Piece,
    clearance: f64,
    wall: u32,
}

/// What is left to ask of a wall as a whole.
#[derive(Clone, Debug)]
struct Inner {
    /// A point well inside, if the wall must not be covered.
    uncovered: Option<Point>,
    /// The wall itself, if it is cut into pieces: an edge along a cut between two of them is inside.
    cut: Option<Region>,
}

impl Room {
    /// A room. `borders` must close a bounded area of movements.
    pub fn new(shape: Vec<Ring>, walls: &[Wall], borders: Vec<Border>) -> Room {
        let edges = paint_edges(&shape);
        let mut solids: Vec<Solid> = Vec::new();
        let mut bulks = Vec::new();
        let mut inner = Vec::with_capacity(walls.len());
        for (w, wall) in walls.iter().enumerate() {
            let pieces = convex_pieces(&wall.region);
            let cut = pieces.len() > 1 && matches!(wall.region, Region::Area { .. });
            inner.push(Inner {
                uncovered: if wall.uncovered { pieces.first().map(middle_of) } else { None },
                cut: cut.then(|| wall.region.clone()),
            });
            for piece in pieces {
                bulks.push(Bulk::new(&piece, wall.clearance, wall.counts));
                solids.push(Solid { piece, clearance: wall.clearance, wall: w as u32 });
            }
        }
        let around = shape.iter().map(Ring::bounds).collect();
        let nodes = gathered(&edges);
        Room { shape, around, edges, nodes, walls: inner, solids, bulks, borders }
    }

    /// Net clearance at movement t: the least over the walls that count (infinite without), and whether every
    /// wall and border is kept to `FLOOR_MM`.
    pub fn clearance_at(&self, t: Vec2) -> (f64, bool) {
        let inside = self.borders.iter().all(|b| b.normal.dot(t) <= b.limit + FLOOR_MM + NOISE_MM);
        let (counted, kept) = self.worth(t, &self.everything());
        (counted, inside && kept && counted >= -FLOOR_MM)
    }

    /// Signed distance of a contact less the clearance asked, and its slope.
    fn net(&self, edge: u32, solid: u32, t: Vec2) -> (f64, Vec2) {
        let solid = &self.solids[solid as usize];
        let (d, slope) = clearance(&self.edges[edge as usize], &solid.piece, t);
        (d - solid.clearance, slope)
    }

    /// Every contact and every wall that must not be covered.
    fn everything(&self) -> Short {
        let solids = if self.nodes.is_empty() { 0 } else { self.solids.len() as u32 };
        let contacts = (0..solids)
            .map(|solid| Contact::unmeasured(0, solid, self.bulks[solid as usize].counts))
            .collect();
        let uncovered =
            (0..self.walls.len() as u32).filter(|w| self.walls[*w as usize].uncovered.is_some()).collect();
        Short { middle: Vec2::ZERO, cuts: 0, contacts, uncovered }
    }
}

fn paint_edges(shape: &[Ring]) -> Vec<PaintEdge> {
    let edges = shape.iter().flat_map(Ring::edges);
    edges.filter(|e| e.length() > NOISE_MM).map(|e| PaintEdge::new(&e)).collect()
}

fn convex_pieces(region: &Region) -> Vec<Piece> {
    match region {
        Region::Disc { centre, radius } => vec![Piece::Disc { centre: *centre, radius: *radius }],
        Region::Band { path, width } => {
            segments(path).map(|e| Piece::Bar { a: e.start(), b: e.end(), half_width: width / 2.0 }).collect()
        }
        Region::Area { rings } => {
            pieces(rings).into_iter().map(|corners| Piece::Polygon(Convex::new(corners))).collect()
        }
    }
}

/// A point well inside a piece.
fn middle_of(piece: &Piece) -> Point {
    match piece {
        Piece::Disc { centre, .. } => *centre,
        Piece::Bar { a, b, .. } => a.midpoint(*b),
        Piece::Polygon(polygon) => {
            let corners = polygon.corners();
            let sum = corners.iter().fold(Vec2::ZERO, |sum, c| sum + c.to_vec2());
            (sum / corners.len() as f64).to_point()
        }
    }
}

#[cfg(test)]
mod hand_tests;
#[cfg(test)]
mod tests;
