//! The edges of the mark gathered in boxes within boxes, so that what is far off is told apart by a few
//! subtractions instead of edge by edge.

use crate::contact::{PaintEdge, Piece};
use crate::point::{Point, Vec2};

/// Parts a box is gathered from.
const PARTS: usize = 4;

/// A box round some edges.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    lo: Point,
    hi: Point,
    /// Length of its diagonal, mm.
    pub(super) size: f64,
    /// The first of its parts in the list of nodes; of a single edge, the edge.
    pub(super) first: u32,
    /// How many parts it has; none if it holds a single edge.
    pub(super) parts: u32,
}

/// The box round a piece of a wall, and how much nearer the wall is than its box.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bulk {
    lo: Point,
    hi: Point,
    /// Half width or radius and the clearance asked, mm.
    grown: f64,
    /// The same and the greatest depth there can be inside.
    deepest: f64,
    /// True if its clearance is to be made as great as possible.
    pub(super) counts: bool,
}

impl Bulk {
    pub(super) fn new(piece: &Piece, clearance: f64, counts: bool) -> Bulk {
        let (lo, hi, radius, depth) = match piece {
            Piece::Disc { centre, radius } => (*centre, *centre, *radius, 0.0),
            Piece::Bar { a, b, half_width } => {
                let (lo, hi) = round(&[*a, *b]);
                (lo, hi, *half_width, 0.0)
            }
            Piece::Polygon(polygon) => {
                let (lo, hi) = round(polygon.corners());
                // No point inside is deeper than half the lesser extent.
                (lo, hi, 0.0, (hi.x - lo.x).min(hi.y - lo.y) / 2.0)
            }
        };
        let grown = radius + clearance;
        Bulk { lo, hi, grown, deepest: grown + depth, counts }
    }
}

impl Node {
    /// A net clearance under which no edge in the box is with the mark moved by m + d, |d.x| <= half.x and
    /// |d.y| <= half.y.
    pub(super) fn low(&self, bulk: &Bulk, m: Vec2, half: Vec2) -> f64 {
        let x = (self.lo.x - bulk.hi.x + m.x).max(bulk.lo.x - self.hi.x - m.x) - half.x;
        let y = (self.lo.y - bulk.hi.y + m.y).max(bulk.lo.y - self.hi.y - m.y) - half.y;
        if x <= 0.0 && y <= 0.0 {
            return -bulk.deepest;
        }
        let (x, y) = (x.max(0.0), y.max(0.0));
        (x * x + y * y).sqrt() - bulk.grown
    }

    /// True if every edge in the box is above `most` all over the movements of [`Node::low`].
    pub(super) fn above(&self, bulk: &Bulk, m: Vec2, half: Vec2, most: f64) -> bool {
        let x = (self.lo.x - bulk.hi.x + m.x).max(bulk.lo.x - self.hi.x - m.x) - half.x;
        let y = (self.lo.y - bulk.hi.y + m.y).max(bulk.lo.y - self.hi.y - m.y) - half.y;
        if x <= 0.0 && y <= 0.0 {
            return -bulk.deepest > most;
        }
        // Squares are compared: this is asked most often of all, and a root takes as long as all the rest.
        let (x, y, far) = (x.max(0.0), y.max(0.0), most + bulk.grown);
        far < 0.0 || x * x + y * y > far * far
    }

    /// True if no point of the box is within `reach` of `p`.
    pub(super) fn beyond(&self, p: Point, reach: f64) -> bool {
        let x = (self.lo.x - p.x).max(p.x - self.hi.x).max(0.0);
        let y = (self.lo.y - p.y).max(p.y - self.hi.y).max(0.0);
        x * x + y * y > reach * reach
    }
}

/// The nodes over some edges; the first holds all of them. Empty without edges.
pub(super) fn gathered(edges: &[PaintEdge]) -> Vec<Node> {
    let boxes: Vec<(Point, Point)> = edges.iter().map(|e| e.edge().bounds()).collect();
    let mut order: Vec<u32> = (0..edges.len() as u32).collect();
    let mut nodes = Vec::with_capacity(2 * edges.len());
    if edges.is_empty() {
        return nodes;
    }
    nodes.push(node(&boxes, &order));
    // Nodes whose parts are still to be made, each with its share of the order.
    let mut open = vec![(0, 0, order.len())];
    while let Some((at, from, to)) = open.pop() {
        if to - from == 1 {
            nodes[at].first = order[from];
            continue;
        }
        let mut shares = vec![(from, to)];
        while shares.len() < PARTS {
            let Some(widest) = (0..shares.len())
                .filter(|k| shares[*k].1 - shares[*k].0 > 1)
                .max_by_key(|k| shares[*k].1 - shares[*k].0)
            else {
                break;
            };
            let (from, to) = shares[widest];
            let middle = halve(&boxes, &mut order[from..to]) + from;
            shares[widest] = (from, middle);
            shares.push((middle, to));
        }
        nodes[at].first = nodes.len() as u32;
        nodes[at].parts = shares.len() as u32;
        for (from, to) in shares {
            open.push((nodes.len(), from, to));
            nodes.push(node(&boxes, &order[from..to]));
        }
    }
    nodes
}

/// Sorts edges along the longer side of their box; the first half goes one way, the second the other.
fn halve(boxes: &[(Point, Point)], order: &mut [u32]) -> usize {
    let whole = node(boxes, order);
    let wide = whole.hi.x - whole.lo.x >= whole.hi.y - whole.lo.y;
    let middle = |k: u32| {
        let (lo, hi) = boxes[k as usize];
        if wide { lo.x + hi.x } else { lo.y + hi.y }
    };
    order.sort_by(|a, b| middle(*a).total_cmp(&middle(*b)).then(a.cmp(b)));
    order.len() / 2
}

fn node(boxes: &[(Point, Point)], of: &[u32]) -> Node {
    let corners: Vec<Point> = of.iter().flat_map(|k| <[Point; 2]>::from(boxes[*k as usize])).collect();
    let (lo, hi) = round(&corners);
    Node { lo, hi, size: lo.distance(hi), first: 0, parts: 0 }
}

/// The box round some points.
fn round(points: &[Point]) -> (Point, Point) {
    let far = Point::new(f64::INFINITY, f64::INFINITY);
    points.iter().fold((far, (-far.to_vec2()).to_point()), |(lo, hi), p| {
        (Point::new(lo.x.min(p.x), lo.y.min(p.y)), Point::new(hi.x.max(p.x), hi.y.max(p.y)))
    })
}
