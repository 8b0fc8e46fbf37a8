//! What of a feature lies on the panel: points, paths and areas against the panel's edge.
//!
//! Discs and areas go through the exact booleans of `geom`; paths are cut here, because a hinge line that is cut
//! at the panel's edge must stay a line.

use geom::tolerance::NOISE_MM;
use geom::{Point, Vec2};

/// How far `p` lies outside a closed outline, mm; negative: how deep inside.
pub(super) fn overhang(p: Point, outline: &[Point]) -> f64 {
    let distance = edges(outline).map(|(a, b)| distance(p, a, b)).fold(f64::INFINITY, f64::min);
    if winds_round(p, outline) { -distance } else { distance }
}

/// A path cut at an outline.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    /// The pieces inside, in the path's order.
    pub(super) inside: Vec<Vec<Point>>,
    /// Greatest distance, mm, of the path outside the outline; 0 or less if it never leaves.
    pub(super) overhang: f64,
}

/// The pieces of `path` that lie inside or on a closed outline.
pub(super) fn cut(path: &[Point], outline: &[Point]) -> Cut {
    let mut cut = Cut { inside: Vec::new(), overhang: f64::NEG_INFINITY };
    let mut piece: Vec<Point> = Vec::new();
    for w in path.windows(2) {
        let (a, v) = (w[0], w[1] - w[0]);
        let mut shares: Vec<f64> = edges(outline).flat_map(|(c, d)| meets(a, v, c, d)).collect();
        shares.extend([0.0, 1.0]);
        shares.sort_by(f64::total_cmp);
        for s in shares.windows(2) {
            let (from, to) = (a + v * s[0], a + v * s[1]);
            for p in [from, from.midpoint(to), to] {
                cut.overhang = cut.overhang.max(overhang(p, outline));
            }
            if overhang(from.midpoint(to), outline) <= NOISE_MM {
                if piece.is_empty() {
                    piece.push(from);
                }
                piece.push(to);
            } else if from.distance(to) > NOISE_MM && piece.len() > 1 {
                cut.inside.push(std::mem::take(&mut piece));
            }
        }
    }
    if piece.len() > 1 {
        cut.inside.push(piece);
    }
    for piece in &mut cut.inside {
        piece.dedup_by(|b, a| a.distance(*b) <= NOISE_MM);
        spare_straight(piece);
    }
    cut.inside.retain(|piece| piece.len() > 1);
    cut
}

/// The first two edges of a closed outline that cross or touch though they are not neighbours.
pub(super) fn crossing_edges(outline: &[Point]) -> Option<(usize, usize)> {
    let n = outline.len();
    let edge = |i: usize| (outline[i], outline[(i + 1) % n]);
    for i in 0..n {
        for j in i + 2..n {
            if (j + 1) % n != i {
                let ((a, b), (c, d)) = (edge(i), edge(j));
                if touches(a, b, c, d) {
                    return Some((i, j));
                }
            }
        }
    }
    None
}

/// Shares of the way from `a` along `v` at which the edge from `c` to `d` is met.
fn meets(a: Point, v: Vec2, c: Point, d: Point) -> Vec<f64> {
    let w = d - c;
    let sine = v.cross(w);
    let inside = |f: &f64| 0.0 < *f && *f < 1.0;
    if sine.abs() > 0.0 {
        let (along, across) = ((c - a).cross(w) / sine, (c - a).cross(v) / sine);
        return if (0.0..=1.0).contains(&across) {
            Some(along).into_iter().filter(inside).collect()
        } else {
            Vec::new()
        };
    }
    // Parallel: where the edge's ends stand beside the path, its pieces may change.
    [c, d].into_iter().map(|p| (p - a).dot(v) / v.hypot2()).filter(inside).collect()
}

fn touches(a: Point, b: Point, c: Point, d: Point) -> bool {
    let near = |p, from, to| distance(p, from, to) <= NOISE_MM;
    let sides = |a: Point, b: Point, p: Point, q: Point| {
        let v = b - a;
        v.cross(p - a) * v.cross(q - a) < 0.0
    };
    (sides(a, b, c, d) && sides(c, d, a, b))
        || near(a, c, d)
        || near(b, c, d)
        || near(c, a, b)
        || near(d, a, b)
}

/// Drops the points a straight run can spare (a path is cut at every edge it meets, also where it stays inside).
fn spare_straight(path: &mut Vec<Point>) {
    let mut i = 1;
    while i + 1 < path.len() {
        let (a, p, b) = (path[i - 1], path[i], path[i + 1]);
        if distance(p, a, b) <= NOISE_MM && (p - a).dot(b - p) > 0.0 {
            path.remove(i);
        } else {
            i += 1;
        }
    }
}

fn edges(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]))
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let v = b - a;
    let share = if v.hypot2() > 0.0 { ((p - a).dot(v) / v.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + v * share)
}

/// True if a ray from `p` towards +x meets the outline an odd number of times.
fn winds_round(p: Point, outline: &[Point]) -> bool {
    edges(outline)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
        .count()
        % 2
        == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A U, open at the top: 0 to 30 wide, 20 high, its slot from 10 to 20 down to 10.
    fn u_shape() -> Vec<Point> {
        [(0., 0.), (30., 0.), (30., 20.), (20., 20.), (20., 10.), (10., 10.), (10., 20.), (0., 20.)]
            .map(Point::from)
            .to_vec()
    }

    #[test]
    fn overhang_is_the_distance_outside_and_the_depth_inside() {
        let u = u_shape();
        assert!((overhang(Point::new(15.0, 15.0), &u) - 5.0).abs() < 1e-12);
        assert!((overhang(Point::new(15.0, 4.0), &u) + 4.0).abs() < 1e-12);
        assert!((overhang(Point::new(33.0, 24.0), &u) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn a_path_across_the_slot_comes_back_as_two_pieces() {
        let cut = cut(&[Point::new(-3.0, 15.0), Point::new(40.0, 15.0)], &u_shape());
        let want = [[(0.0, 15.0), (10.0, 15.0)], [(20.0, 15.0), (30.0, 15.0)]].map(|p| p.map(Point::from));
        assert_eq!(cut.inside.len(), 2);
        for (got, want) in cut.inside.iter().zip(want) {
            assert!(got.len() == 2 && got.iter().zip(want).all(|(g, w)| g.distance(w) < 1e-9), "{got:?}");
        }
        assert!((cut.overhang - 10.0).abs() < 1e-9);
    }

    #[test]
    fn a_path_along_an_edge_or_inside_stays_whole() {
        let along = cut(&[Point::new(0.0, 0.0), Point::new(30.0, 0.0), Point::new(30.0, 20.0)], &u_shape());
        assert_eq!(along.inside, vec![[(0., 0.), (30., 0.), (30., 20.)].map(Point::from).to_vec()]);
        assert!(along.overhang < 1e-9);
        let outside = cut(&[Point::new(12.0, 18.0), Point::new(18.0, 12.0)], &u_shape());
        assert!(outside.inside.is_empty() && outside.overhang > 1.9);
    }

    #[test]
    fn a_bow_tie_crosses_itself_and_a_square_does_not() {
        let square = [(0., 0.), (1., 0.), (1., 1.), (0., 1.)].map(Point::from);
        assert_eq!(crossing_edges(&square), None);
        assert_eq!(crossing_edges(&[square[0], square[2], square[1], square[3]]), Some((0, 2)));
        assert_eq!(crossing_edges(&u_shape()), None);
    }
}
