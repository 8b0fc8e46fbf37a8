//! The room itself: every movement at which all walls and borders are kept, as outlines to draw.
//!
//! A wall is not kept at the movements p - e, for p in the wall grown by its clearance and e on a paint edge:
//! straight edges and convex pieces give convex shapes with round corners, arcs and discs give sectors of rings.
//! One that must not be painted adds the painted area itself, turned half round. Wall by wall
//! their union is taken out of what the borders leave.

use super::tree::gathered;
use super::{Room, paint_edges};
use crate::bends::bent;
use crate::boolean::{difference, union};
use crate::contact::Piece;
use crate::hull::hull;
use crate::point::{Affine, Point, Vec2, left_of};
use crate::ring::{Edge, Ring, Vertex};
use crate::tolerance::{FLATTEN_MM, NOISE_MM};
use std::f64::consts::PI;

impl Room {
    /// Where the mark may be moved to: outer rings counter-clockwise, each before its holes, clockwise. Drawn
    /// within 0.02 mm: curves are cut within `FLATTEN_MM` and put on the grid of a micrometre, then found again.
    ///
    /// Room without width, such as a slot exactly as wide as the mark, has no area and is not in here, though
    /// [`Room::nearest`] finds it.
    pub fn free(&self) -> Vec<Ring> {
        let Some(whole) = self.whole(0.0) else { return Vec::new() };
        let round = self.rounded();
        // Wall by wall first: what the edges of one take twice over is gone before the walls meet.
        let mut left = self.within_borders(whole.middle, whole.half);
        for (w, wall) in round.walls.iter().enumerate() {
            let mut by_wall = Vec::new();
            if let Some(p) = wall.uncovered {
                let half_round = Affine::new([-1.0, 0.0, 0.0, -1.0, p.x, p.y]);
                by_wall.extend(round.shape.iter().map(|ring| ring.mapped(half_round)));
            }
            for (solid, bulk) in round.solids.iter().zip(&round.bulks) {
                if solid.wall as usize == w && !round.nodes.is_empty() {
                    round.edges_under(0, bulk, whole.middle, whole.half, 0.0, &mut |edge| {
                        sum(&round.edges[edge as usize].edge(), &solid.piece, solid.clearance, &mut by_wall);
                        0.0
                    });
                }
            }
            if !by_wall.is_empty() {
                left = difference(&left, &union(&by_wall, &[]));
            }
        }
        left.iter()
            .map(|ring| bent(&ring.vertices.iter().map(|v| v.p).collect::<Vec<_>>(), 1.5 * FLATTEN_MM))
            .collect()
    }

    /// The same room with the chords of a font's curves joined to arcs, of which there are far fewer.
    fn rounded(&self) -> Room {
        let shape: Vec<Ring> = self
            .shape
            .iter()
            .map(|ring| {
                if ring.vertices.iter().all(|v| v.bulge == 0.0) {
                    bent(&ring.vertices.iter().map(|v| v.p).collect::<Vec<_>>(), 0.6 * FLATTEN_MM)
                } else {
                    ring.clone()
                }
            })
            .collect();
        let edges = paint_edges(&shape);
        Room { shape, nodes: gathered(&edges), edges, ..self.clone() }
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
fn sum(edge: &Edge, piece: &Piece, clearance: f64, taken: &mut Vec<Ring>) {
    let (core, reach): (&[Point], f64) = match piece {
        Piece::Disc { centre, radius } => (&[*centre], radius + clearance),
        Piece::Bar { a, b, half_width } => (&[*a, *b], half_width + clearance),
        Piece::Polygon(polygon) => (polygon.corners(), clearance),
    };
    let less = |e: Point| core.iter().map(move |p| (*p - e).to_point());
    match edge {
        Edge::Line { a, b } => taken.extend(grown(&hull(less(*a).chain(less(*b)).collect()), reach)),
        Edge::Arc { .. } => {
            // Moved along the arc, a piece takes in what it held at the start and what its rim passes over.
            for p in core {
                sector(edge, *p, reach, taken);
            }
            if core.len() > 1 {
                taken.extend(grown(&less(edge.start()).collect::<Vec<_>>(), reach));
                for k in 0..core.len() {
                    let (c, d) = (core[k], core[(k + 1) % core.len()]);
                    let out = -left_of(d - c) * (reach / (d - c).hypot());
                    strips(edge, c + out, d + out, taken);
                }
            }
        }
    }
}

/// The movements that bring an arc onto the straight line from `c` to `d`, cut where the arc runs along the line.
fn strips(arc: &Edge, c: Point, d: Point, taken: &mut Vec<Ring>) {
    let Edge::Arc { a, centre, turn, .. } = *arc else { return };
    let along = d - c;
    let first = left_of(along).atan2() - (a - centre).atan2();
    let mut cuts = vec![0.0, 1.0];
    cuts.extend((-4..=4).map(|k| (first + f64::from(k) * PI) / turn).filter(|f| *f > 0.0 && *f < 1.0));
    cuts.sort_by(f64::total_cmp);
    for w in cuts.windows(2) {
        let (from, to) = (c - arc.at(w[0]), c - arc.at(w[1]));
        let bulge = (turn * (w[1] - w[0]) / 4.0).tan();
        let ring = Ring {
            vertices: [(from, bulge), (to, 0.0), (to + along, -bulge), (from + along, 0.0)]
                .map(|(v, bulge)| Vertex { p: v.to_point(), bulge })
                .to_vec(),
        };
        taken.push(if ring.area() < 0.0 { ring.reversed() } else { ring });
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
            let turn = if n == 2 { PI } else { turn };
            let end = corners[(k + 1) % n];
            [
                Vertex { p: corners[k] + u * reach, bulge: 0.0 },
                Vertex { p: end + u * reach, bulge: (turn / 4.0).tan() },
            ]
        })
        .collect();
    Some(Ring { vertices })
}
