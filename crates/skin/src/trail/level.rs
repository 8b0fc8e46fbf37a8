//! Lines that a skin has of its own: level cuts and open rims.

use super::Trail;
use crate::Mesh;
use geom::Point3;

/// Where a skin is cut by a plane: all points whose share along the unit vector `up` is `height` mm. Each piece has what
/// is higher on its left, seen from outside; a closed one ends where it starts. In the order of the mesh.
pub fn level(mesh: &Mesh, up: Point3, height: f64) -> Vec<Trail> {
    let over: Vec<f64> = mesh.points().iter().map(|p| p.dot(up) - height).collect();
    // Corners on the plane itself count as above, so that the cut runs through triangles only.
    let above = |corner: u32| 0.0 <= over[corner as usize];
    // Walked with what is higher on the left, one leaves a triangle by the side that climbs.
    let climbs = |side: &u32| !above(mesh.from(*side)) && above(mesh.to(*side));
    let falls = |side: &u32| above(mesh.from(*side)) && !above(mesh.to(*side));
    let crossing = |side: u32| {
        let (a, b) = (mesh.from(side), mesh.to(side));
        let (da, db) = (over[a as usize], over[b as usize]);
        mesh.point(a).lerp(mesh.point(b), (da / (da - db)).clamp(0.0, 1.0))
    };
    let sides = |t: u32| 3 * t..3 * t + 3;
    let mut met = vec![false; mesh.triangles().len()];
    let mut trails = Vec::new();
    for start in 0..mesh.triangles().len() as u32 {
        if met[start as usize] || sides(start).find(climbs).is_none() {
            continue;
        }
        // Back to an open rim, or once round.
        let mut first = start;
        while let Some(before) = sides(first).find(falls).and_then(|s| mesh.across(s)) {
            first = before / 3;
            if first == start {
                break;
            }
        }
        let (mut points, mut triangles, mut t) = (Vec::new(), Vec::new(), first);
        points.extend(sides(t).find(falls).map(crossing));
        while let Some(out) = sides(t).find(climbs)
            && !std::mem::replace(&mut met[t as usize], true)
        {
            points.push(crossing(out));
            triangles.push(t);
            match mesh.across(out) {
                Some(next) => t = next / 3,
                None => break,
            }
        }
        trails.extend(Trail::new(points, &triangles));
    }
    trails
}

/// The open rims of a skin, the skin on their left seen from outside; each ends where it starts. Longest first.
pub fn rims(mesh: &Mesh) -> Vec<Trail> {
    let sides = 3 * mesh.triangles().len() as u32;
    let mut met = vec![false; sides as usize];
    let mut trails = Vec::new();
    for start in 0..sides {
        if mesh.across(start).is_some() || met[start as usize] {
            continue;
        }
        let (mut points, mut triangles, mut side) = (vec![mesh.point(mesh.from(start))], Vec::new(), start);
        while !std::mem::replace(&mut met[side as usize], true) {
            points.push(mesh.point(mesh.to(side)));
            triangles.push(side / 3);
            side = mesh.next_on_rim(side);
        }
        trails.extend(Trail::new(points, &triangles));
    }
    trails.sort_by(|a, b| b.length().total_cmp(&a.length()));
    trails
}
