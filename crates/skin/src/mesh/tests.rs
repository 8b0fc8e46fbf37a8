//! Small skins with known faults.

use super::*;

/// A cube of side 10, each square cut in two, corners repeated for every triangle as an STL has them.
pub(crate) fn cube() -> Soup {
    let corner = |k: u32| Point3::new((k & 1) as f64, (k >> 1 & 1) as f64, (k >> 2) as f64) * 10.0;
    let squares = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let mut soup = Soup::default();
    for [a, b, c, d] in squares {
        for t in [[a, b, c], [a, c, d]] {
            let n = soup.points.len() as u32;
            soup.points.extend(t.map(corner));
            soup.triangles.push([n, n + 1, n + 2]);
        }
    }
    soup
}

#[test]
fn a_cube_of_loose_triangles_is_one_closed_skin() {
    let (mesh, found) = Mesh::joined(&cube(), 0.001).unwrap();
    assert_eq!((mesh.points().len(), mesh.triangles().len(), found.welded), (8, 12, 28));
    assert_eq!((found.components.len(), found.holes.len(), found.turned, found.inside_out), (1, 0, 0, 0));
    assert!(found.components[0].closed);
    assert!((mesh.area() - 600.0).abs() < 1e-9);
    for t in 0..12 {
        let middle = mesh.corners(t).iter().sum::<Point3>() / 3.0 - Point3::splat(5.0);
        assert!(0.0 < mesh.cross(t).dot(middle));
    }
}

#[test]
fn faces_turned_at_random_or_inside_out_are_turned_back() {
    let mut soup = cube();
    for t in [1, 4, 5, 9] {
        soup.triangles[t].swap(0, 1);
    }
    let (mesh, found) = Mesh::joined(&soup, 0.001).unwrap();
    assert_eq!((found.turned, found.inside_out), (4, 0));
    let (right, _) = Mesh::joined(&cube(), 0.001).unwrap();
    for t in 0..12 {
        assert!(0.0 < mesh.cross(t).dot(right.cross(t)));
    }
    let mut soup = cube();
    soup.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    let (mesh, found) = Mesh::joined(&soup, 0.001).unwrap();
    assert_eq!((found.turned, found.inside_out), (0, 1));
    assert!(0.0 < mesh.cross(0).dot(right.cross(0)));
    // Sides still lie across each other.
    for side in 0..36 {
        let other = mesh.across(side).unwrap();
        assert_eq!((mesh.from(side), mesh.to(side)), (mesh.to(other), mesh.from(other)));
        assert_eq!(mesh.across(other), Some(side));
    }
}

#[test]
fn corners_nearer_than_the_weld_are_one_and_others_stay_two() {
    let mut soup = cube();
    soup.points.iter_mut().enumerate().for_each(|(k, p)| p.x += 0.0009 * f64::from(k as u32 % 2));
    let (mesh, found) = Mesh::joined(&soup, 0.002).unwrap();
    assert_eq!((mesh.points().len(), found.holes.len()), (8, 0));
    let (mesh, found) = Mesh::joined(&soup, 0.0001).unwrap();
    assert!(8 < mesh.points().len());
    assert!(!found.holes.is_empty());
}

#[test]
fn open_crowded_empty_and_repeated_are_counted() {
    let mut soup = cube();
    soup.triangles.truncate(10);
    soup.triangles.push(soup.triangles[0]);
    soup.triangles.push([0, 0, 1]);
    let (mesh, found) = Mesh::joined(&soup, 0.001).unwrap();
    assert_eq!((found.empty, found.repeated, found.holes.len(), mesh.triangles().len()), (1, 1, 1, 10));
    assert!((found.holes[0].length_mm - 40.0).abs() < 1e-9);
    assert_eq!(found.holes[0].sides, 4);
    // A fin on an edge: three triangles at one side.
    let mut soup = cube();
    let n = soup.points.len() as u32;
    soup.points.push(Point3::new(-5.0, -5.0, 0.0));
    soup.points.push(Point3::new(f64::NAN, 0.0, 0.0));
    soup.triangles.push([soup.triangles[0][0], soup.triangles[0][1], n]);
    soup.triangles.push([0, 1, n + 1]);
    let (_, found) = Mesh::joined(&soup, 0.001).unwrap();
    assert_eq!((found.crowded_sides, found.empty), (1, 1));
    assert!(Mesh::joined(&Soup::default(), 0.001).is_none());
}

#[test]
fn a_band_with_a_half_twist_is_said_to_have_one_side() {
    let mut soup = Soup::default();
    let n = 24;
    for k in 0..=n {
        let turn = std::f64::consts::TAU * f64::from(k) / f64::from(n);
        for side in [-1.0, 1.0] {
            let r = 10.0 + side * (turn / 2.0).cos();
            soup.points.push(Point3::new(r * turn.cos(), r * turn.sin(), side * (turn / 2.0).sin()));
        }
    }
    for k in 0..n as u32 {
        soup.triangles.push([2 * k, 2 * k + 2, 2 * k + 1]);
        soup.triangles.push([2 * k + 1, 2 * k + 2, 2 * k + 3]);
    }
    let (_, found) = Mesh::joined(&soup, 0.001).unwrap();
    assert_eq!((found.components.len(), found.one_sided), (1, 1));
}

/// A bent sheet of 11 by 11 corners, 100 mm square, with corner `wrong` moved to `to`.
fn sheet_with(wrong: &[(usize, Point3)]) -> Soup {
    let at = |k: usize| {
        let (x, y) = (10.0 * (k / 11) as f64, 10.0 * (k % 11) as f64);
        wrong.iter().find(|w| w.0 == k).map_or(Point3::new(x, y, 0.002 * x * x), |w| w.1)
    };
    let squares = (0..100_u32).map(|n| n / 10 * 11 + n % 10);
    let triangles = squares.flat_map(|k| [[k, k + 11, k + 12], [k, k + 12, k + 1]]);
    Soup { points: (0..121).map(at).collect(), triangles: triangles.collect(), normals: Vec::new() }
}

#[test]
fn a_corner_absurdly_far_off_is_left_out_with_its_triangles_and_told() {
    let right = Mesh::joined(&sheet_with(&[]), 0.001).unwrap();
    assert!(right.1.strays.is_empty());
    let far = Point3::new(2.54e7, 0.0, 0.0);
    let (mesh, found) = Mesh::joined(&sheet_with(&[(60, far)]), 0.001).unwrap();
    let [stray] = found.strays[..] else { panic!("{:?}", found.strays) };
    assert_eq!((stray.at, stray.triangles), (far, 6));
    assert!((stray.far / far.x - 1.0).abs() < 1e-5 && 50.0 < stray.kept && stray.kept < 80.0, "{stray:?}");
    assert_eq!((mesh.points().len(), mesh.triangles().len()), (120, 194));
    // A hole where it was, and no other figure moved.
    assert_eq!((found.holes.len(), found.holes[1].sides), (2, 6));
    let hole: f64 = (0..right.0.triangles().len() as u32)
        .filter(|t| right.0.triangles()[*t as usize].contains(&60))
        .map(|t| right.0.cross(t).length() / 2.0)
        .sum();
    assert!((mesh.area() + hole - right.0.area()).abs() < 1e-9);
}

#[test]
fn a_long_tip_is_no_stray() {
    // A corner four times as far out as the rest: a spinner's tip.
    let tip = Point3::new(50.0, 50.0, 280.0);
    let (mesh, found) = Mesh::joined(&sheet_with(&[(60, tip)]), 0.001).unwrap();
    assert!(found.strays.is_empty() && mesh.triangles().len() == 200);
    // Nor is the far end of a rod, of which half the corners are there.
    let rod = [[0.0, 0.0], [0.0, 1.0], [500.0, 0.0], [500.0, 1.0]].map(|[x, y]| Point3::new(x, y, 0.0));
    let soup = Soup { points: rod.to_vec(), triangles: vec![[0, 2, 3], [0, 3, 1]], normals: Vec::new() };
    assert!(Mesh::joined(&soup, 0.001).unwrap().1.strays.is_empty());
}
