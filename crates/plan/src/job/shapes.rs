//! What makes a drawn shape no shape: repeated points, corners on one line, an edge that crosses itself.

use super::SkinPair;
use geom::Point3;

/// Points nearer to each other than this, mm, are one point. chosen: a steel tape is read to about 0.5 mm.
const SAME_POINT_MM: f64 = 0.01;

/// An area smaller than this, mm2, is none. chosen: a square of 1 mm, the least size of a thing.
const LEAST_AREA_MM2: f64 = 1.0;

/// Most corners of an area whose edges are held against each other, as that takes the square of them.
const CROSSING_CORNERS: usize = 1000;

/// What is wrong with a path, or nothing.
pub(crate) fn path_fault(points: &[SkinPair]) -> Option<String> {
    let (first, second) = same_points(points)?;
    Some(format!("points {} and {} are the same", first + 1, second + 1))
}

/// What is wrong with an area of these corners, or nothing.
pub(crate) fn area_fault(corners: &[SkinPair]) -> Option<String> {
    if let Some((first, second)) = same_points(corners) {
        let closing = first == 0 && second + 1 == corners.len();
        let advice = if closing { ": the last corner is joined to the first anyway" } else { "" };
        return Some(format!("corners {} and {} are the same{advice}", first + 1, second + 1));
    }
    if let Some((a, b)) = crossing_edges(corners) {
        let edge = |idx: usize| format!("{}-{}", idx + 1, (idx + 1) % corners.len() + 1);
        return Some(format!("its edges {} and {} cross each other", edge(a), edge(b)));
    }
    (twice_area(corners).abs() < 2.0 * LEAST_AREA_MM2).then(|| "its corners lie on one line".to_owned())
}

/// The first two points in the list that are the same, of those that are.
fn same_points(points: &[SkinPair]) -> Option<(usize, usize)> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| points[*a][0].total_cmp(&points[*b][0]).then(a.cmp(b)));
    for (rank, &a) in order.iter().enumerate() {
        for &b in &order[rank + 1..] {
            if points[b][0] - points[a][0] > SAME_POINT_MM {
                break;
            }
            if (points[b][1] - points[a][1]).abs() <= SAME_POINT_MM {
                return Some((a.min(b), a.max(b)));
            }
        }
    }
    None
}

fn twice_area(corners: &[SkinPair]) -> f64 {
    (0..corners.len()).map(|i| turn([0.0, 0.0], corners[i], corners[(i + 1) % corners.len()])).sum()
}

/// Twice the area of a triangle, positive if it turns left.
fn turn(a: SkinPair, b: SkinPair, c: SkinPair) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// What is wrong with a path of points in space, mm, or nothing.
pub(crate) fn scan_path_fault(points: &[[f64; 3]]) -> Option<String> {
    let (first, second) = same_in_space(points)?;
    Some(format!("points {} and {} are the same", first + 1, second + 1))
}

/// What is wrong with an area of these corners in space, mm, or nothing. Edges that cross show only on the skin.
pub(crate) fn scan_area_fault(corners: &[[f64; 3]]) -> Option<String> {
    if let Some((first, second)) = same_in_space(corners) {
        let closing = first == 0 && second + 1 == corners.len();
        let advice = if closing { ": the last corner is joined to the first anyway" } else { "" };
        return Some(format!("corners {} and {} are the same{advice}", first + 1, second + 1));
    }
    let about = |k: usize| Point3::from(corners[k]) - Point3::from(corners[0]);
    let twice: Point3 = (1..corners.len() - 1).map(|k| about(k).cross(about(k + 1))).sum();
    (twice.length() < 2.0 * LEAST_AREA_MM2).then(|| "its corners lie on one line".to_owned())
}

/// The first two points in space that are the same, of those that are.
fn same_in_space(points: &[[f64; 3]]) -> Option<(usize, usize)> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| points[*a][0].total_cmp(&points[*b][0]).then(a.cmp(b)));
    for (rank, &a) in order.iter().enumerate() {
        for &b in &order[rank + 1..] {
            if points[b][0] - points[a][0] > SAME_POINT_MM {
                break;
            }
            if (1..3).all(|i| (points[b][i] - points[a][i]).abs() <= SAME_POINT_MM) {
                return Some((a.min(b), a.max(b)));
            }
        }
    }
    None
}

/// Two edges that properly cross. Edges that only touch are left to the stage that unrolls the skin.
fn crossing_edges(corners: &[SkinPair]) -> Option<(usize, usize)> {
    let count = corners.len();
    if count > CROSSING_CORNERS {
        return None;
    }
    let edge = |idx: usize| (corners[idx], corners[(idx + 1) % count]);
    for a in 0..count {
        for b in a + 2..count {
            let ((p, q), (r, s)) = (edge(a), edge(b));
            let apart = |one: f64, other: f64| (one > 0.0 && other < 0.0) || (one < 0.0 && other > 0.0);
            if apart(turn(p, q, r), turn(p, q, s)) && apart(turn(r, s, p), turn(r, s, q)) {
                return Some((a, b));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_are_named_and_good_shapes_pass() {
        let fault = |corners: &[SkinPair]| area_fault(corners).unwrap_or_default();
        assert_eq!(fault(&[[0.0, 0.0], [10.0, 0.0], [5.0, 8.0]]), "");
        assert_eq!(fault(&[[0.0, 0.0], [10.0, 0.0], [20.0, 0.0]]), "its corners lie on one line");
        assert_eq!(
            fault(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]]),
            "its edges 1-2 and 3-4 cross each other"
        );
        assert_eq!(fault(&[[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [9.0, 0.0]]), "corners 2 and 4 are the same");
        assert!(
            fault(&[[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 0.0]]).contains("joined to the first anyway")
        );
        assert_eq!(
            path_fault(&[[0.0, 0.0], [1.0, 0.0], [1.0, 0.0]]),
            Some("points 2 and 3 are the same".to_owned())
        );
        assert_eq!(path_fault(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]), None);
    }
}
