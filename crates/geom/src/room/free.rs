//! The room itself: every movement at which all walls and borders are kept, as outlines to draw.
//!
//! A wall is not kept at the movements p - e, for p in the wall grown by its clearance and e on a paint edge:
//! straight edges and convex pieces give convex shapes with round corners, arcs and discs give sectors of rings.
//! One that must not be painted adds the painted area itself, turned half round. Their union is taken out of
//! what the borders leave.

use super::Room;
use crate::bends::bent;
use crate::boolean::difference;
use crate::contact::{PaintEdge, Piece};
use crate::point::{Affine, Point, Vec2, left_of};
use crate::ring::{Edge, Ring, Vertex, chords};
use crate::tolerance::{FLATTEN_MM, NOISE_MM};

impl Room {
    /// Where the mark may be moved to: outer rings counter-clockwise, each before its holes, clockwise. Drawn
    /// within 0.02 mm: curves are cut within `FLATTEN_MM` and put on the grid of a micrometre, then found again.
    ///
    /// Room without width, such as a slot exactly as wide as the mark, has no area and is not in here, though
    /// [`Room::nearest`] finds it.
    pub fn free(&self) -> Vec<Ring> {
        let Some(whole) = self.whole(0.0) else { return Vec::new() };
        let mut taken = Vec::new();
        for (solid, bulk) in self.solids.iter().zip(&self.bulks) {
            if self.nodes.is_empty() {
                break;
            }
            self.edges_under(0, bulk, whole.middle, whole.half, 0.0, |edge| {
                sum(&self.edges[edge as usize], &solid.piece, solid.clearance, &mut taken);
                0.0
            });
        }
        for p in self.walls.iter().filter_map(|w| w.uncovered) {
            let half_round = Affine::new([-1.0, 0.0, 0.0, -1.0, p.x, p.y]);
            taken.extend(self.shape.iter().map(|ring| ring.mapped(half_round)));
        }
        difference(&self.within_borders(whole.middle, whole.half), &taken)
            .iter()
            .map(|ring| bent(&ring.vertices.iter().map(|v| v.p).collect::<Vec<_>>()))
            .collect()
    }

    /// What the borders leave of a box, as one convex outline; none if that has no area.
    fn within_borders(&self, middle: Vec2, half: Vec2) -> Vec<Ring> {
        let mut corners: Vec<Point> = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| (middle + Vec2::new(x * half.x, y * half.y)).to_point())
            .to_vec();
        for b in &self.borders {
            let beyond = |p: Point| b.normal.dot(p.to_vec2()) - b.limit;
            let mut kept = Vec::with_capacity(corners.len() + 1);
            for k in 0..corners.len() {
                let (p, q) = (corners[k], corners[(k + 1) % corners.len()]);
                let (x, y) = (beyond(p), beyond(q));
                if x <= 0.0 {
                    kept.push(p);
                }
                if (x <= 0.0) != (y <= 0.0) {
                    kept.push(p.lerp(q, x / (x - y)));
                }
            }
            corners = kept;
        }
        let ring = Ring::from_points(corners);
        if ring.area() > 0.0 { vec![ring] } else { Vec::new() }
    }
}

/// The movements that bring an edge into a piece grown by `clearance`.
fn sum(edge: &PaintEdge, piece: &Piece, clearance: f64, taken: &mut Vec<Ring>) {
    let (core, reach): (&[Point], f64) = match piece {
        Piece::Disc { centre, radius } => (&[*centre], radius + clearance),
        Piece::Bar { a, b, half_width } => (&[*a, *b], half_width + clearance),
        Piece::Polygon(polygon) => (polygon.corners(), clearance),
    };
    let mut straight = |a: Point, b: Point| {
        let corners: Vec<Point> =
            core.iter().flat_map(|p| [(*p - a).to_point(), (*p - b).to_point()]).collect();
        taken.extend(grown(&hull(corners), reach));
    };
    match edge.edge() {
        Edge::Line { a, b } => straight(a, b),
        arc @ Edge::Arc { radius, turn, .. } => {
            if let [p] = core {
                sector(&arc, *p, reach, taken);
                return;
            }
            let n = chords(radius, turn, FLATTEN_MM / 2.0);
            for k in 0..n {
                straight(arc.at(k as f64 / n as f64), arc.at((k + 1) as f64 / n as f64));
            }
        }
    }
}

/// The movements that bring an arc within `reach` of a point: part of a ring, and a disc round either end.
fn sector(arc: &Edge, p: Point, reach: f64, taken: &mut Vec<Ring>) {
    let Edge::Arc { centre, radius, turn, .. } = *arc else { return };
    if reach <= NOISE_MM {
        return;
    }
    taken.extend([arc.start(), arc.end()].map(|e| Ring::circle((p - e).to_point(), reach)));
    let middle = (p - centre).to_point();
    let quarter = (turn.abs() / 8.0).tan();
    // The way round that turns left, in two halves.
    let shares = if turn > 0.0 { [0.0, 0.5, 1.0] } else { [1.0, 0.5, 0.0] };
    let out = shares.map(|f| (centre - arc.at(f)) / radius);
    let far = radius + reach;
    let mut vertices = vec![
        Vertex { p: middle + out[0] * far, bulge: quarter },
        Vertex { p: middle + out[1] * far, bulge: quarter },
        Vertex { p: middle + out[2] * far, bulge: 0.0 },
    ];
    let near = radius - reach;
    if near > NOISE_MM {
        vertices.extend([
            Vertex { p: middle + out[2] * near, bulge: -quarter },
            Vertex { p: middle + out[1] * near, bulge: -quarter },
            Vertex { p: middle + out[0] * near, bulge: 0.0 },
        ]);
    } else {
        vertices.push(Vertex { p: middle, bulge: 0.0 });
    }
    taken.push(Ring { vertices });
}

/// A convex outline grown by `reach`, its corners round; none if that has no area.
fn grown(corners: &[Point], reach: f64) -> Option<Ring> {
    let n = corners.len();
    if reach <= NOISE_MM {
        return (n >= 3).then(|| Ring::from_points(corners.to_vec()));
    }
    if n == 1 {
        return Some(Ring::circle(corners[0], reach));
    }
    let normal = |k: usize| {
        let along = corners[(k + 1) % n] - corners[k % n];
        -left_of(along) / along.hypot()
    };
    let vertices = (0..n)
        .flat_map(|k| {
            let (u, v) = (normal(k), normal(k + 1));
            let turn = u.cross(v).atan2(u.dot(v));
            // There and back along a line is half a turn, whichever way rounding sends it.
            let turn = if n == 2 { std::f64::consts::PI } else { turn };
            let end = corners[(k + 1) % n];
            [
                Vertex { p: corners[k] + u * reach, bulge: 0.0 },
                Vertex { p: end + u * reach, bulge: (turn / 4.0).tan() },
            ]
        })
        .collect();
    Some(Ring { vertices })
}

/// The convex hull of some points, counter-clockwise, without corners that do not turn.
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
    points.dedup_by(|p, q| p.distance_squared(*q) <= NOISE_MM * NOISE_MM);
    if points.len() < 3 {
        return points;
    }
    let mut chain: Vec<Point> = Vec::with_capacity(points.len() + 1);
    let there = points.iter().copied();
    let back = points.iter().rev().skip(1).copied();
    let mut least = 1;
    for (k, p) in there.chain(back).enumerate() {
        if k == points.len() {
            least = chain.len();
        }
        while chain.len() > least {
            let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
            if (b - a).cross(p - b) > NOISE_MM * NOISE_MM {
                break;
            }
            chain.pop();
        }
        chain.push(p);
    }
    chain.pop();
    chain
}
