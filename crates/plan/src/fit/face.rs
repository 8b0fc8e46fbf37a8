//! What is moved and what stands still: the mark, and the walls and borders round it, ready to be searched.
//!
//! Several faces that share one movement (the two sides of a wing, a few edges with walls of their own) become
//! one question: each is set so far from the next that nothing of one can touch anything of another.

use super::given::{Pose, lay_all};
use super::relation::{Asks, asks};
use super::search::Task;
use crate::surface::FlatFeature;
use geom::maximin::Border;
use geom::point::left_of;
use geom::room::{Room, Wall};
use geom::tolerance::{NOISE_MM, PARALLEL_SINE};
use geom::{Affine, Point, Region, Ring, Vec2};

/// From one face to the next, mm. chosen: ten times the largest skin that is believed.
const APART_MM: f64 = 1_000_000.0;

/// Paint and what limits how it may be moved.
#[derive(Clone, Debug, Default)]
pub struct Face {
    /// Outlines that move.
    pub shape: Vec<Ring>,
    /// What they keep clear of.
    pub walls: Vec<Wall>,
    /// Borders of the movement.
    pub borders: Vec<Border>,
}

impl Face {
    /// The mark laid at the aim, the features that are walls, and the edge of where it may go.
    pub fn of(task: Task) -> Face {
        let shape = lay_all(task.design, Pose { centre: task.aim, angle: task.angle });
        Face::of_shape(shape, task.features, task.allowed)
    }

    /// The same of outlines that lie already.
    pub fn of_shape(shape: Vec<Ring>, features: &[FlatFeature], allowed: &Ring) -> Face {
        let (hull, pockets) = hull_and_pockets(allowed);
        let borders = borders(&hull, &shape);
        let mut walls: Vec<Wall> = features.iter().filter_map(wall).collect();
        // A pocket is no place for paint, but keeping it has no clearance to be made greater.
        walls.extend(pockets.into_iter().map(|ring| Wall {
            region: Region::Area { rings: vec![ring] },
            clearance: 0.0,
            uncovered: true,
            counts: false,
        }));
        Face { shape, walls, borders }
    }

    /// Some edges alone with walls of their own.
    pub fn of_edges(edges: &[geom::Edge], walls: Vec<Wall>) -> Face {
        Face { shape: edges.iter().map(there_and_back).collect(), walls, borders: Vec::new() }
    }

    /// The same seen through a map that keeps lengths (it may mirror).
    #[must_use]
    pub fn mapped(self, map: Affine) -> Face {
        let origin = map * Point::ZERO;
        let border = |b: Border| {
            let normal = map * b.normal.to_point() - origin;
            Border { normal, ..b }
        };
        Face {
            shape: self.shape.iter().map(|r| turned_out(r, map)).collect(),
            walls: self
                .walls
                .into_iter()
                .map(|w| Wall { region: region_mapped(&w.region, map), ..w })
                .collect(),
            borders: self.borders.into_iter().map(border).collect(),
        }
    }
}

/// The room in which all faces move together.
pub fn room(faces: Vec<Face>) -> Room {
    let mut all = Face::default();
    for (k, face) in faces.into_iter().enumerate() {
        let aside = Affine::translate(Vec2::new(APART_MM * k as f64, 0.0));
        all.shape.extend(face.shape.iter().map(|r| r.mapped(aside)));
        all.walls
            .extend(face.walls.into_iter().map(|w| Wall { region: region_mapped(&w.region, aside), ..w }));
        all.borders.extend(face.borders);
    }
    Room::new(all.shape, &all.walls, all.borders)
}

/// The wall a feature is for a mark's place; `None` if it is none.
pub fn wall(feature: &FlatFeature) -> Option<Wall> {
    let (asked, wall) = asks(feature);
    wall.then(|| Wall {
        region: feature.region.clone(),
        clearance: feature.clearance,
        uncovered: asked == Asks::PaintClear,
        counts: true,
    })
}

/// An edge as an outline without an area.
fn there_and_back(edge: &geom::Edge) -> Ring {
    let bulge = match *edge {
        geom::Edge::Line { .. } => 0.0,
        geom::Edge::Arc { turn, .. } => (turn / 4.0).tan(),
    };
    let ends = [(edge.start(), bulge), (edge.end(), -bulge)];
    Ring { vertices: ends.map(|(p, bulge)| geom::Vertex { p, bulge }).to_vec() }
}

/// A mapped outline that still runs counter-clockwise where it did.
fn turned_out(ring: &Ring, map: Affine) -> Ring {
    let mapped = ring.mapped(map);
    if map.determinant() < 0.0 { mapped.reversed() } else { mapped }
}

/// A region through a map that keeps lengths.
fn region_mapped(region: &Region, map: Affine) -> Region {
    match region {
        Region::Disc { centre, radius } => Region::Disc { centre: map * *centre, radius: *radius },
        Region::Area { rings } => Region::Area { rings: rings.iter().map(|r| turned_out(r, map)).collect() },
        Region::Band { path, width } => {
            Region::Band { path: path.iter().map(|p| map * *p).collect(), width: *width }
        }
    }
}

/// How far the whole mark may go before it leaves the hull: each side of the hull against the mark's own reach
/// that way.
fn borders(hull: &[Point], shape: &[Ring]) -> Vec<Border> {
    let n = hull.len();
    (0..n)
        .map(|k| {
            let along = hull[(k + 1) % n] - hull[k];
            let normal = -left_of(along) / along.hypot();
            let turned = Affine::rotate(-normal.atan2());
            let reach = shape
                .iter()
                .filter_map(|r| r.mapped(turned).bounds())
                .fold(f64::NEG_INFINITY, |most, (_, hi)| most.max(hi.x));
            Border { normal, limit: normal.dot(hull[k].to_vec2()) - reach }
        })
        .collect()
}

/// The convex hull of an outline, counter-clockwise, and what of it the outline leaves out.
pub(super) fn hull_and_pockets(outline: &Ring) -> (Vec<Point>, Vec<Ring>) {
    let outline = if outline.area() < 0.0 { outline.reversed() } else { outline.clone() };
    let mut points: Vec<Point> = Vec::new();
    for v in &outline.vertices {
        if points.last().is_none_or(|p| p.distance(v.p) > NOISE_MM) {
            points.push(v.p);
        }
    }
    while points.len() > 1 && points[0].distance(points[points.len() - 1]) <= NOISE_MM {
        points.pop();
    }
    let n = points.len();
    let Some(first) = (0..n).min_by(|&a, &b| {
        let (p, q) = (points[a], points[b]);
        p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y))
    }) else {
        return (Vec::new(), Vec::new());
    };
    // Wrap round the outline from its leftmost corner: the next corner of the hull has all others to its left.
    let mut at = vec![first];
    while at.len() <= n {
        let from = at[at.len() - 1];
        let next = (1..n).map(|k| (from + k) % n).reduce(|best, k| {
            let (u, v) = (points[best] - points[from], points[k] - points[from]);
            let turn = u.cross(v);
            let level = turn.abs() <= PARALLEL_SINE * u.hypot() * v.hypot();
            // Of corners on one line the farthest, so that the line is one side.
            if (level && v.hypot2() > u.hypot2()) || (!level && turn < 0.0) { k } else { best }
        });
        match next {
            Some(k) if k != first => at.push(k),
            _ => break,
        }
    }
    let corners = at.len();
    let pockets = (0..corners)
        .filter_map(|i| {
            let (from, to) = (at[i], at[(i + 1) % corners]);
            let chain: Vec<Point> = (0..=(to + n - from) % n).map(|k| points[(from + k) % n]).collect();
            let pocket = Ring::from_points(chain.into_iter().rev());
            // Corners along one side of the hull leave nothing out.
            (pocket.area() > NOISE_MM * pocket.perimeter()).then_some(pocket)
        })
        .collect();
    (at.into_iter().map(|k| points[k]).collect(), pockets)
}
