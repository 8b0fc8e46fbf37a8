//! Callipers for the tests: how thick a letter is, seen from along its own outline; and whether it is simple.
//!
//! From points along each edge a ray goes square into the paint to the edge facing it. Where that edge runs
//! back within 15 degrees of parallel, the ray measured something: a stroke if the two are parallel, a
//! junction of strokes if they are not.

use geom::point::left_of;
use geom::{Edge, Point, Ring, Vec2};

/// Points looked from on each edge.
const LOOKS: usize = 41;

/// What one ray found.
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
            let starts = i == j && length < 1e-6;
            if length > 1e-9 && !starts && nearest.is_none_or(|(least, _)| length < least) {
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
            if sine.abs() < 1e-12 {
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

/// The first two stretches of the flattened outlines that touch or cross though they are not neighbours.
pub(super) fn clash(rings: &[Ring], flat: f64) -> Option<String> {
    let mut all: Vec<(usize, usize, usize, Point, Point)> = Vec::new();
    for (r, ring) in rings.iter().enumerate() {
        let points = ring.flattened(flat);
        let n = points.len();
        all.extend((0..n).map(|i| (r, i, n, points[i], points[(i + 1) % n])));
    }
    for (k, &(r, i, n, a, b)) in all.iter().enumerate() {
        for &(q, j, _, c, d) in &all[k + 1..] {
            let neighbours = r == q && ((i + 1) % n == j || (j + 1) % n == i);
            if !neighbours && touch(a, b, c, d) {
                return Some(format!("{a:?}-{b:?} and {c:?}-{d:?}"));
            }
        }
    }
    None
}

fn touch(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    let (c_side, d_side) = (side(a, b, c), side(a, b, d));
    let (a_side, b_side) = (side(c, d, a), side(c, d, b));
    let boxes = a.x.min(b.x) <= c.x.max(d.x)
        && c.x.min(d.x) <= a.x.max(b.x)
        && a.y.min(b.y) <= c.y.max(d.y)
        && c.y.min(d.y) <= a.y.max(b.y);
    boxes && c_side * d_side <= 0.0 && a_side * b_side <= 0.0
}

/// True if `p` is painted: inside an odd number of rings.
pub(super) fn painted(outlines: &[Vec<Point>], p: Point) -> bool {
    let mut inside = false;
    for ring in outlines {
        for i in 0..ring.len() {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
    }
    inside
}
