//! For the tests: whether outlines are simple, and where they are painted.

use geom::{Point, Ring};

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
