//! Inside or outside: how often an outline goes round a point.

use crate::point::Point;
use crate::ring::{Edge, Ring};
use std::f64::consts::{FRAC_PI_2, PI};

/// How many times the rings together turn counter-clockwise round `p`: 1 inside an outer ring, 0 outside or
/// in a hole. For a point on an edge either side's answer may come back.
pub fn winding(rings: &[Ring], p: Point) -> i32 {
    rings.iter().flat_map(Ring::edges).map(|e| crossing(&e, p)).sum()
}

/// True if `p` lies in the area the rings enclose (outer counter-clockwise, holes clockwise).
pub fn contains(rings: &[Ring], p: Point) -> bool {
    winding(rings, p) != 0
}

/// Outlines sorted by height into level slabs, so that many points can be asked: each looks at the few edges of its own
/// slab. Answers are those of [`winding`], edge by edge.
///
/// # Example
/// ```
/// use geom::{Point, Ring, winding::Slabs};
/// let disc = Slabs::new(&[Ring::circle(Point::ZERO, 5.0)]);
/// assert!(disc.contains(Point::new(3.0, 3.9)) && !disc.contains(Point::new(3.0, 4.1)));
/// ```
#[derive(Debug)]
pub struct Slabs {
    /// Lower end of the lowest slab and its height, mm.
    lo: f64,
    step: f64,
    /// Where the edges of each slab begin.
    starts: Vec<u32>,
    edges: Vec<Edge>,
}

/// Edges for one slab, and most slabs: fewer edges are asked as quickly without.
const PER_SLAB: usize = 8;
const MOST_SLABS: usize = 512;

impl Slabs {
    /// The edges of some rings.
    pub fn new(rings: &[Ring]) -> Slabs {
        let edges: Vec<(Edge, f64, f64)> = rings
            .iter()
            .flat_map(Ring::edges)
            .map(|e| match e {
                Edge::Line { a, b } => (e, a.y.min(b.y), a.y.max(b.y)),
                Edge::Arc { .. } => {
                    let (lo, hi) = e.bounds();
                    (e, lo.y, hi.y)
                }
            })
            .collect();
        let (lo, hi) =
            edges.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), e| (l.min(e.1), h.max(e.2)));
        let count = if hi > lo { (edges.len() / PER_SLAB).clamp(1, MOST_SLABS) } else { 1 };
        if count == 1 {
            let starts = vec![0, edges.len() as u32];
            return Slabs { lo, step: 0.0, starts, edges: edges.into_iter().map(|e| e.0).collect() };
        }
        let mut out =
            Slabs { lo, step: (hi - lo) / count as f64, starts: vec![0; count + 1], edges: Vec::new() };
        let spans: Vec<(usize, usize)> = edges.iter().map(|e| (out.slab(e.1), out.slab(e.2))).collect();
        for (from, to) in &spans {
            for k in *from..=*to {
                out.starts[k + 1] += 1;
            }
        }
        for k in 0..count {
            out.starts[k + 1] += out.starts[k];
        }
        let mut next: Vec<u32> = out.starts.clone();
        let total = out.starts[count] as usize;
        if let Some(first) = edges.first() {
            out.edges = vec![first.0; total];
        }
        for ((e, ..), (from, to)) in edges.iter().zip(&spans) {
            for at in &mut next[*from..=*to] {
                out.edges[*at as usize] = *e;
                *at += 1;
            }
        }
        out
    }

    fn slab(&self, y: f64) -> usize {
        if self.step > 0.0 { (((y - self.lo) / self.step) as usize).min(self.starts.len() - 2) } else { 0 }
    }

    /// As [`winding`] of the same rings.
    pub fn winding(&self, p: Point) -> i32 {
        let k = self.slab(p.y);
        let edges = &self.edges[self.starts[k] as usize..self.starts[k + 1] as usize];
        edges.iter().map(|e| crossing(e, p)).sum()
    }

    /// As [`contains`] of the same rings.
    pub fn contains(&self, p: Point) -> bool {
        self.winding(p) != 0
    }
}

/// +1 where the edge passes upwards through the ray from `p` towards +x, -1 downwards.
fn crossing(e: &Edge, p: Point) -> i32 {
    match *e {
        Edge::Line { a, b } => {
            // Half-open in y, so that a ray through a corner counts once.
            if (a.y <= p.y) == (b.y <= p.y) {
                return 0;
            }
            let x = a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
            if x <= p.x {
                0
            } else if a.y < b.y {
                1
            } else {
                -1
            }
        }
        Edge::Arc { a, b, centre, radius, turn } => {
            // Most points lie off the box round the arc, where its ends tell: an arc is nowhere farther from its chord
            // than the square of its turn says.
            let off = radius * (turn * turn / 8.0).min(2.0);
            if p.y < a.y.min(b.y) - off || p.y > a.y.max(b.y) + off || p.x > a.x.max(b.x) + off {
                return 0;
            }
            if p.x < a.x.min(b.x) - off {
                return i32::from(b.y > p.y) - i32::from(a.y > p.y);
            }
            // Cut the arc at its top and bottom; each piece rises or falls all the way. The two ends are the
            // very points of the edge, so that neighbouring edges meet without a seam.
            let from = (a - centre).atan2();
            let (lo, hi) = (from.min(from + turn), from.max(from + turn));
            let (y_lo, y_hi) = if turn > 0.0 { (a.y, b.y) } else { (b.y, a.y) };
            let mut cuts = vec![(lo, y_lo)];
            let mut k = ((lo - FRAC_PI_2) / PI).floor() + 1.0;
            while FRAC_PI_2 + k * PI < hi {
                let angle = FRAC_PI_2 + k * PI;
                cuts.push((angle, centre.y + radius * angle.sin()));
                k += 1.0;
            }
            cuts.push((hi, y_hi));
            let mut sum = 0;
            for w in cuts.windows(2) {
                let ((from, y0), (to, y1)) = (w[0], w[1]);
                if (y0 <= p.y) == (y1 <= p.y) {
                    continue;
                }
                let half = (radius * radius - (p.y - centre.y).powi(2)).max(0.0).sqrt();
                let x = centre.x + if from.midpoint(to).cos() > 0.0 { half } else { -half };
                if x > p.x {
                    sum += if (y1 > y0) == (turn > 0.0) { 1 } else { -1 };
                }
            }
            sum
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_disc_holds_the_points_nearer_than_its_radius(x in -9.0..9.0_f64, y in -9.0..9.0_f64) {
            let (c, r) = (Point::new(1.0, -2.0), 5.0);
            let ring = Ring::circle(c, r);
            let p = Point::new(x, y);
            prop_assume!((p.distance(c) - r).abs() > 1e-9);
            prop_assert_eq!(winding(std::slice::from_ref(&ring), p), i32::from(p.distance(c) < r));
            prop_assert_eq!(winding(&[ring.reversed()], p), -i32::from(p.distance(c) < r));
        }

        /// Slabs answer edge for edge what all edges do: an annulus, a curl that winds twice, arcs and chords.
        #[test]
        fn slabs_answer_as_all_edges_do(x in -12.0..12.0_f64, y in -12.0..12.0_f64, chords in 3_usize..300) {
            let curl = Ring::from_points((0..chords).map(|k| {
                let a = k as f64 / chords as f64 * 4.0 * PI;
                Point::new(3.0 + (6.0 + 3.0 * (a / 2.0).cos()) * a.cos(), (6.0 + 3.0 * (a / 2.0).cos()) * a.sin())
            }));
            let rings =
                [Ring::circle(Point::ZERO, 11.0), Ring::circle(Point::new(1.0, 1.0), 4.0).reversed(), curl];
            let slabs = Slabs::new(&rings);
            let p = Point::new(x, y);
            prop_assert_eq!(slabs.winding(p), winding(&rings, p));
            // On the very height of a corner too.
            let level = Point::new(x, rings[2].vertices[chords / 2].p.y);
            prop_assert_eq!(slabs.winding(level), winding(&rings, level));
            prop_assert!(!Slabs::new(&[]).contains(p));
        }

        /// The flattened outline answers the same, away from the sliver between chord and arc.
        #[test]
        fn arcs_and_their_chords_agree(x in -3.0..13.0_f64, y in -3.0..13.0_f64, bulge in -0.9..0.9_f64) {
            let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
            let ring = Ring { vertices: corners.iter().enumerate().map(|(i, &(x, y))| crate::ring::Vertex {
                p: Point::new(x, y), bulge: if i == 1 { bulge } else { 0.0 } }).collect() };
            let chords = Ring::from_points(ring.flattened(1e-5));
            let p = Point::new(x, y);
            let near = ring.edges().map(|e| crate::distance::point_to_edge(p, &e)).fold(f64::INFINITY, f64::min);
            prop_assume!(near > 1e-4);
            prop_assert_eq!(contains(&[ring], p), contains(&[chords], p));
        }
    }
}
