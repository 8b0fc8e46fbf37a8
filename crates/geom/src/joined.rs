//! Shapes joined into one outline whose arcs stay arcs, and which still tells of each edge which shape it comes from.
//!
//! Every outline is cut where others cross or touch it; what lies inside another shape, or against it, goes, and what
//! is left is walked round. The result is held against the area of the same union on the grid (`boolean`).

use crate::boolean::union;
use crate::distance::{crossings, nearest_on_edge, point_to_edge};
use crate::point::{Point, turned};
use crate::ring::{Edge, Ring, Vertex};
use crate::tolerance::{FLATTEN_MM, GRID_MM};
use crate::winding::contains;

/// Shapes as one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joined {
    /// Outlines: outer counter-clockwise, holes clockwise.
    pub rings: Vec<Ring>,
    /// Of each ring, which shape the edge that starts at each of its corners comes from.
    pub of: Vec<Vec<usize>>,
}

/// Cosine from which two edges that lie against each other run along each other.
const ALONG: f64 = 0.99;
/// Seams within which the end of one stretch is the start of the next.
const NEXT: f64 = 4.0;

/// A stretch of an outline between two places where another shape is met.
struct Stretch {
    shape: usize,
    vertices: Vec<Vertex>,
    end: Point,
}

/// A corner on the way round.
#[derive(Clone, Copy)]
struct Corner {
    at: Vertex,
    /// The shape of the edge that starts here.
    shape: usize,
    /// True where a stretch begins.
    met: bool,
}

/// The union of shapes. Edges that lie against each other within `seam` mm close. `None` where it could not be walked
/// round so that its area is that of the union on the grid, within a seam all round.
///
/// # Example
/// ```
/// use geom::{Point, Ring, joined::joined};
/// let bar = |x: f64, y: f64| Ring::from_points([(-x, -y), (x, -y), (x, y), (-x, y)].map(Point::from));
/// let cross = joined(&[vec![bar(10.0, 1.0)], vec![bar(1.0, 10.0)]], 0.003).expect("two bars cross");
/// assert!((cross.rings[0].area() - (40.0 + 40.0 - 4.0)).abs() < 1e-9);
/// assert_eq!(cross.rings[0].vertices.len(), 12);
/// ```
pub fn joined(shapes: &[Vec<Ring>], seam: f64) -> Option<Joined> {
    let mut out = Joined::default();
    let mut kept: Vec<Stretch> = Vec::new();
    for (a, shape) in shapes.iter().enumerate() {
        for ring in shape {
            stretches(shapes, a, ring, seam, &mut kept);
        }
    }
    let mut used = vec![false; kept.len()];
    for first in 0..kept.len() {
        if used[first] {
            continue;
        }
        let mut corners: Vec<Corner> = Vec::new();
        let (start, mut k) = (kept[first].vertices[0].p, first);
        loop {
            used[k] = true;
            let stretch = &kept[k];
            let own = stretch.vertices.iter().enumerate();
            corners.extend(own.map(|(i, at)| Corner { at: *at, shape: stretch.shape, met: i == 0 }));
            let far = |p: Point| p.distance(stretch.end);
            let next = (0..kept.len())
                .filter(|i| !used[*i])
                .min_by(|i, j| far(kept[*i].vertices[0].p).total_cmp(&far(kept[*j].vertices[0].p)));
            let on = next.filter(|i| far(kept[*i].vertices[0].p) < far(start));
            match on {
                Some(next) if far(kept[next].vertices[0].p) <= NEXT * seam => k = next,
                _ if far(start) <= NEXT * seam => break,
                _ => return None,
            }
        }
        let corners = straight_on(without_crumbs(corners, seam));
        if corners.len() > 1 {
            out.rings.push(Ring { vertices: corners.iter().map(|c| c.at).collect() });
            out.of.push(corners.iter().map(|c| c.shape).collect());
        }
    }
    // A hair of base between two edges that all but touch is closed.
    let hair = |ring: &Ring| ring.area() < 0.0 && -ring.area() <= 2.0 * seam * ring.perimeter();
    let both = out.rings.into_iter().zip(out.of);
    let (rings, of) = both.filter(|(ring, _)| !hair(ring)).unzip();
    let out = Joined { rings, of };
    let all: Vec<Ring> = shapes.iter().flatten().cloned().collect();
    let on_grid: f64 = union(&all, &[]).iter().map(Ring::area).sum();
    let area: f64 = out.rings.iter().map(Ring::area).sum();
    let round: f64 = all.iter().map(Ring::perimeter).sum();
    ((area - on_grid).abs() <= (2.0 * seam + FLATTEN_MM) * round).then_some(out)
}

/// The stretches of a ring of shape `a` that are edges of the whole.
fn stretches(shapes: &[Vec<Ring>], a: usize, ring: &Ring, seam: f64, kept: &mut Vec<Stretch>) {
    let edges: Vec<Edge> = ring.edges().collect();
    let others: Vec<(usize, Vec<Edge>)> = (0..shapes.len())
        .filter(|b| *b != a)
        .map(|b| (b, shapes[b].iter().flat_map(Ring::edges).collect()))
        .collect();
    let mut splits: Vec<(usize, f64)> = Vec::new();
    for (i, e) in edges.iter().enumerate() {
        let (lo, hi) = e.bounds();
        for g in others.iter().flat_map(|(_, o)| o) {
            let (l, h) = g.bounds();
            if l.x > hi.x + seam || h.x < lo.x - seam || l.y > hi.y + seam || h.y < lo.y - seam {
                continue;
            }
            splits.extend(crossings(e, g).into_iter().map(|p| (i, share(e, p))));
            if point_to_edge(g.start(), e) <= seam {
                splits.push((i, share(e, nearest_on_edge(g.start(), e))));
            }
            if point_to_edge(e.start(), g) <= seam {
                splits.push((i, 0.0));
            }
        }
    }
    let n = edges.len();
    // One place, whether it is called the end of an edge or the start of the next.
    for s in &mut splits {
        if (1.0 - s.1) * edges[s.0].length() <= GRID_MM {
            *s = ((s.0 + 1) % n, 0.0);
        } else if s.1 * edges[s.0].length() <= GRID_MM {
            s.1 = 0.0;
        }
    }
    splits.sort_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)));
    splits.dedup_by(|x, y| x.0 == y.0 && (x.1 - y.1).abs() * edges[x.0].length() <= GRID_MM);
    let whole = splits.is_empty();
    if whole {
        splits.push((0, 0.0));
    }
    for (k, (i, f)) in splits.iter().copied().enumerate() {
        let (j, g) = splits[(k + 1) % splits.len()];
        // From edge i at f round to edge j at g.
        let round = if (j, g) > (i, f) { j - i } else { j + n - i };
        let mut vertices = Vec::new();
        let (mut middle, mut longest) = (None, 0.0);
        for step in 0..=round {
            let e = &edges[(i + step) % n];
            let from = if step == 0 { f } else { 0.0 };
            let to = if step == round { g } else { 1.0 };
            if (to - from) * e.length() <= GRID_MM / 2.0 {
                continue;
            }
            let bulge = if let Edge::Arc { turn, .. } = e { (turn * (to - from) / 4.0).tan() } else { 0.0 };
            vertices.push(Vertex { p: e.at(from), bulge });
            if (to - from) * e.length() > longest {
                longest = (to - from) * e.length();
                let half = f64::midpoint(from, to);
                middle = Some((e.at(half), e.direction(half)));
            }
        }
        let Some((p, way)) = middle else { continue };
        let hidden = others.iter().any(|(b, own)| {
            let near = own.iter().min_by(|x, y| point_to_edge(p, x).total_cmp(&point_to_edge(p, y)));
            if let Some(near) = near.filter(|e| point_to_edge(p, e) <= seam) {
                let along = near.direction(share(near, nearest_on_edge(p, near))).dot(way);
                if along.abs() > ALONG {
                    // Against each other both go; the same way along one line the first stays.
                    return along < 0.0 || *b < a;
                }
            }
            contains(&shapes[*b], p)
        });
        if !hidden {
            kept.push(Stretch { shape: a, end: edges[j].at(g), vertices });
        }
    }
}

/// How far along an edge a point on it lies, as a share.
fn share(edge: &Edge, p: Point) -> f64 {
    let share = match *edge {
        Edge::Line { a, b } => (p - a).dot(b - a) / (b - a).hypot2().max(GRID_MM * GRID_MM),
        Edge::Arc { a, centre, turn, .. } => {
            let half = turned(a - centre, turn / 2.0);
            let off = half.cross(p - centre).atan2(half.dot(p - centre));
            0.5 + off / turn
        }
    };
    share.clamp(0.0, 1.0)
}

/// Without straight edges too short to say where they point, which stand where stretches meet.
fn without_crumbs(corners: Vec<Corner>, seam: f64) -> Vec<Corner> {
    let n = corners.len();
    let crumb = |i: usize| {
        let (a, b) = (corners[i].at, corners[(i + 1) % n].at);
        a.bulge == 0.0 && a.p.distance(b.p) <= seam
    };
    let mut out = Vec::with_capacity(n);
    let mut met = false;
    for (i, corner) in corners.iter().enumerate() {
        met |= corner.met;
        if !crumb(i) {
            out.push(Corner { met, ..*corner });
            met = false;
        }
    }
    out
}

/// Without corners that are none, where a straight edge goes straight on past the place at which a stretch begins.
fn straight_on(corners: Vec<Corner>) -> Vec<Corner> {
    let n = corners.len();
    let none = |i: usize| {
        let (before, at, after) = (corners[(i + n - 1) % n].at, corners[i], corners[(i + 1) % n].at);
        let along = after.p - before.p;
        at.met
            && before.bulge == 0.0
            && at.at.bulge == 0.0
            && (at.at.p - before.p).dot(after.p - at.at.p) > 0.0
            && (at.at.p - before.p).cross(along).abs() <= GRID_MM / 2.0 * along.hypot()
    };
    // A whole ring that met nothing begins where it always did.
    if corners.iter().filter(|c| c.met).count() < 2 {
        return corners;
    }
    (0..n).filter(|i| !none(*i)).map(|i| corners[i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::Vec2;
    use proptest::prelude::*;

    const SEAM: f64 = 0.003;

    fn bar(middle: Point, angle: f64, long: f64, wide: f64) -> Ring {
        let (u, v) = (
            Vec2::from_angle(angle) * (long / 2.0),
            turned(Vec2::from_angle(angle) * (wide / 2.0), std::f64::consts::FRAC_PI_2),
        );
        Ring::from_points([middle - u - v, middle + u - v, middle + u + v, middle - u + v])
    }

    fn area(rings: &[Ring]) -> f64 {
        rings.iter().map(Ring::area).sum()
    }

    proptest! {
        /// Closed form: two bars that cross at an angle share a rhomboid of w1 w2 / sin(angle).
        #[test]
        fn a_cross_is_two_bars_less_what_they_share(
            angle in 0.35_f64..2.8, turn in 0.0_f64..6.2, w1 in 5.0_f64..120.0, w2 in 5.0_f64..120.0,
        ) {
            let at = Point::new(300.0, -40.0);
            let shapes = [vec![bar(at, turn, 2000.0, w1)], vec![bar(at, turn + angle, 2000.0, w2)]];
            let cross = joined(&shapes, SEAM).unwrap();
            let wanted = 2000.0 * (w1 + w2) - w1 * w2 / angle.sin();
            prop_assert!((area(&cross.rings) / wanted - 1.0).abs() < 1e-9);
            prop_assert_eq!((cross.rings.len(), cross.rings[0].vertices.len()), (1, 12));
            prop_assert_eq!(cross.of[0].iter().filter(|o| **o == 0).count(), 6);
        }

        /// Against the union on the grid: three bars anywhere, and each edge lies on the shape it is said to be of:
        /// within a seam, and exactly where no corner is so near another bar that a crumb goes.
        #[test]
        fn bars_anywhere_are_joined_as_on_the_grid(
            at in proptest::collection::vec((-200.0..200.0_f64, -200.0..200.0_f64, 0.0..6.2_f64, 20.0..500.0_f64, 5.0..90.0_f64), 3),
        ) {
            let shapes: Vec<Vec<Ring>> =
                at.iter().map(|(x, y, turn, long, wide)| vec![bar(Point::new(*x, *y), *turn, *long, *wide)]).collect();
            let one = joined(&shapes, SEAM).unwrap();
            let all: Vec<Ring> = shapes.iter().flatten().cloned().collect();
            prop_assert!((area(&one.rings) - area(&union(&all, &[]))).abs() < 0.002 * 3000.0);
            let most = if all.iter().any(|r| near_another(r, &all)) { SEAM } else { 1e-9 };
            prop_assert!(farthest_from_its_own(&one, &shapes) < most);
        }
    }

    /// Whether a corner of a bar lies within a few seams of the edge of another one.
    fn near_another(bar: &Ring, all: &[Ring]) -> bool {
        let others = || all.iter().filter(|o| *o != bar).flat_map(Ring::edges);
        bar.vertices.iter().any(|v| others().any(|e| point_to_edge(v.p, &e) <= NEXT * SEAM))
    }

    /// How far the middle of an edge lies at most from the shape it is said to be of, mm.
    fn farthest_from_its_own(one: &Joined, shapes: &[Vec<Ring>]) -> f64 {
        let edges = one.rings.iter().zip(&one.of).flat_map(|(ring, of)| ring.edges().zip(of));
        let off = |(e, k): (Edge, &usize)| {
            shapes[*k]
                .iter()
                .flat_map(Ring::edges)
                .map(|o| point_to_edge(e.at(0.5), &o))
                .fold(f64::INFINITY, f64::min)
        };
        edges.map(off).fold(0.0, f64::max)
    }

    /// The corner of a bar stands past the edge of another by less than a seam: the crumb goes, and the edge that runs
    /// on to its place leaves its shape by no more than the crumb is long.
    #[test]
    fn a_corner_that_looks_out_by_less_than_a_seam_is_left_off() {
        let shapes: Vec<Vec<Ring>> = [
            (0.0, 0.0, 0.0, 20.0, 5.0),
            (
                -27.230_473_168_808_217,
                -7.042_244_219_811_595,
                3.106_868_805_401_930_5,
                263.402_048_097_267_1,
                82.553_770_242_885_92,
            ),
            (
                -169.951_270_132_294_92,
                -27.534_613_701_080_964,
                1.318_462_468_298_785,
                235.078_723_613_798_16,
                26.803_482_484_699_934,
            ),
        ]
        .map(|(x, y, turn, long, wide)| vec![bar(Point::new(x, y), turn, long, wide)])
        .to_vec();
        let one = joined(&shapes, SEAM).unwrap();
        let off = farthest_from_its_own(&one, &shapes);
        assert!((1e-5..SEAM).contains(&off), "{off}");
    }

    /// A stripe with round ends crosses a bar: its ends stay two half circles. Closed forms.
    #[test]
    fn arcs_stay_arcs() {
        let round = |y: f64, bulge: f64, x: f64| Vertex { p: Point::new(x, y), bulge };
        let stadium = Ring {
            vertices: vec![
                round(-10.0, 0.0, -100.0),
                round(-10.0, 1.0, 100.0),
                round(10.0, 0.0, 100.0),
                round(10.0, 1.0, -100.0),
            ],
        };
        let own = stadium.area();
        let one = joined(&[vec![stadium.clone()], vec![bar(Point::ZERO, 1.3, 300.0, 16.0)]], SEAM).unwrap();
        assert!((area(&one.rings) - (own + 300.0 * 16.0 - 20.0 * 16.0 / 1.3_f64.sin())).abs() < 1e-6);
        assert_eq!(one.rings[0].vertices.iter().filter(|v| v.bulge != 0.0).count(), 2);
        // A bar that ends inside the round end cuts the half circle in two arcs.
        let bar = bar(Point::new(205.0, 0.0), 0.0, 200.0, 4.0);
        let one = joined(&[vec![stadium], vec![bar]], SEAM).unwrap();
        let arcs: Vec<f64> = one.rings[0]
            .edges()
            .filter_map(|e| if let Edge::Arc { turn, .. } = e { Some(turn) } else { None })
            .collect();
        let lost = 2.0 * (2.0_f64 / 10.0).asin();
        assert_eq!(arcs.len(), 3);
        assert!((arcs.iter().sum::<f64>() - (std::f64::consts::TAU - lost)).abs() < 1e-9);
    }

    /// Two bars mitred on one line, one that ends against another, one that lies half over its like: no edge stays in
    /// the joint.
    #[test]
    fn edges_against_each_other_close() {
        let points = |p: &[(f64, f64)]| Ring::from_points(p.iter().map(|p| Point::from(*p)));
        let level = points(&[(0.0, 0.0), (90.0, 0.0), (100.0, 10.0), (0.0, 10.0)]);
        let steep = points(&[(90.0, 0.0), (90.0, -80.0), (100.0, -80.0), (100.0, 10.0)]);
        let one = joined(&[vec![level.clone()], vec![steep]], SEAM).unwrap();
        assert_eq!((one.rings.len(), one.rings[0].vertices.len()), (1, 6));
        assert!((area(&one.rings) - (950.0 + 850.0)).abs() < 1e-9);
        let butt = points(&[(40.0, 10.0), (50.0, 10.0), (70.0, 60.0), (60.0, 60.0)]);
        let tee = joined(&[vec![level.clone()], vec![butt]], SEAM).unwrap();
        assert!((area(&tee.rings) - (950.0 + 500.0)).abs() < 1e-9 && tee.rings.len() == 1);
        let along = points(&[(-50.0, 0.0), (30.0, 0.0), (30.0, 10.0), (-50.0, 10.0)]);
        let long = joined(&[vec![level.clone()], vec![along]], SEAM).unwrap();
        assert_eq!(long.rings[0].vertices.len(), 4);
        assert!((area(&long.rings) - (950.0 + 500.0)).abs() < 1e-9 && long.rings.len() == 1);
        // The same twice is one; what lies inside is gone; what touches nothing stays as it is.
        assert!(
            (area(&joined(&[vec![level.clone()], vec![level.clone()]], SEAM).unwrap().rings) - 950.0).abs()
                < 1e-9
        );
        let inside = points(&[(10.0, 2.0), (30.0, 2.0), (30.0, 8.0)]);
        assert_eq!(
            joined(&[vec![level.clone()], vec![inside]], SEAM).unwrap().rings,
            std::slice::from_ref(&level)
        );
        let apart = points(&[(10.0, 20.0), (30.0, 20.0), (30.0, 28.0)]);
        assert_eq!(joined(&[vec![level.clone()], vec![apart.clone()]], SEAM).unwrap().rings, [level, apart]);
    }

    /// Four bars round a square of base: its edge is a hole.
    #[test]
    fn base_shut_in_is_a_hole() {
        let at = [
            (0.0, 50.0, 0.0),
            (0.0, -50.0, 0.0),
            (50.0, 0.0, std::f64::consts::FRAC_PI_2),
            (-50.0, 0.0, std::f64::consts::FRAC_PI_2),
        ];
        let shapes = at.map(|(x, y, turn)| vec![bar(Point::new(x, y), turn, 200.0, 20.0)]);
        let one = joined(&shapes, SEAM).unwrap();
        assert!((area(&one.rings) - (4.0 * 4000.0 - 4.0 * 400.0)).abs() < 1e-6);
        assert_eq!(one.rings.iter().filter(|r| r.area() < 0.0).count(), 1);
        assert!((one.rings.iter().map(Ring::area).fold(0.0, f64::min) + 80.0 * 80.0).abs() < 1e-6);
    }
}
