//! Rays through a letter, for tests: how far it is through the paint, square from an edge, to the edge facing it.
//!
//! The callipers of `thickness` lay discs between the edges; these rays see the same strokes another way.

use geom::point::left_of;
use geom::tolerance::{NOISE_MM, NOISE_UNIT, PARALLEL_SINE};
use geom::{Edge, Point, Ring, Vec2};

/// Points looked from on each edge.
const LOOKS: usize = 41;

/// What one ray found; only rays to an edge that runs back within 15 degrees of parallel count.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chord {
    /// Length.
    pub(super) length: f64,
    /// Angle by which the facing edge misses being parallel, radians.
    pub(super) off: f64,
}

/// The chords seen from one edge.
pub(super) struct Seen {
    /// The edge.
    pub(super) edge: Edge,
    /// What its rays found.
    pub(super) chords: Vec<Chord>,
}

/// Looks into the paint from every edge.
pub(super) fn look(rings: &[Ring]) -> Vec<Seen> {
    let edges: Vec<Edge> = rings.iter().flat_map(Ring::edges).collect();
    (0..edges.len())
        .map(|i| {
            let shares = (0..LOOKS).map(|k| (k as f64 + 0.5) / LOOKS as f64);
            Seen { edge: edges[i], chords: shares.filter_map(|f| chord(&edges, i, f)).collect() }
        })
        .collect()
}

fn chord(edges: &[Edge], i: usize, f: f64) -> Option<Chord> {
    let (from, travel) = (edges[i].at(f), edges[i].direction(f));
    let ray = left_of(travel);
    let mut nearest: Option<(f64, Vec2)> = None;
    for (j, edge) in edges.iter().enumerate() {
        for (length, there) in hits(edge, from, ray) {
            // An arc may face itself, but not where the ray starts.
            let starts = i == j && length < NOISE_MM;
            if length > NOISE_UNIT && !starts && nearest.is_none_or(|(least, _)| length < least) {
                nearest = Some((length, there));
            }
        }
    }
    let (length, there) = nearest?;
    let off = travel.cross(-there).atan2(travel.dot(-there)).abs();
    (off <= 15f64.to_radians()).then_some(Chord { length, off })
}

/// Where a ray meets an edge: distance, and the edge's direction there.
fn hits(edge: &Edge, from: Point, ray: Vec2) -> Vec<(f64, Vec2)> {
    match *edge {
        Edge::Line { a, b } => {
            let v = b - a;
            let sine = ray.cross(v);
            if sine.abs() < PARALLEL_SINE {
                return Vec::new();
            }
            let (length, share) = ((a - from).cross(v) / sine, (a - from).cross(ray) / sine);
            if (0.0..=1.0).contains(&share) { vec![(length, v.normalize())] } else { Vec::new() }
        }
        Edge::Arc { a, centre, radius, turn, .. } => {
            let to = from - centre;
            let b = to.dot(ray);
            let inside = b * b - to.hypot2() + radius * radius;
            if inside < 0.0 {
                return Vec::new();
            }
            [-b - inside.sqrt(), -b + inside.sqrt()]
                .into_iter()
                .filter_map(|length| {
                    let p = from + ray * length;
                    let turned = (a - centre).cross(p - centre).atan2((a - centre).dot(p - centre));
                    let ahead = (turned * turn.signum()).rem_euclid(std::f64::consts::TAU);
                    (ahead <= turn.abs()).then(|| (length, left_of(p - centre).normalize() * turn.signum()))
                })
                .collect()
        }
    }
}
