//! Making sure that no other way is shorter.
//!
//! A way no longer than a known one touches only triangles from which both spots are, straight through space, no more
//! than its length away altogether. Those triangles are cut out, the far spot made a corner, and exact windows followed
//! through them; what lies too far off for the rest of the way is dropped.

use super::Way;
use super::sleeve::at_corner;
use crate::windows::Distances;
use crate::{Mesh, Spot};
use geom::Point3;
use geom::tolerance::{NOISE_RELATIVE, NOISE_UNIT};

/// The better of a taut way and the best that windows find; false if there was too much skin to look at.
pub(super) fn proven(mesh: &Mesh, from: Spot, to: Spot, way: Way, most: usize) -> (Way, bool) {
    let (start, end) = (from.point(mesh), to.point(mesh));
    let length = way.length * (1.0 + NOISE_UNIT);
    if way.length <= start.distance(end) * (1.0 + NOISE_RELATIVE) {
        return (way, true);
    }
    let Some(near) = within(mesh, from, (start, end), length, most) else { return (way, false) };
    let (part, source, goal) = cut_out(mesh, &near, from, to);
    let found = Distances::toward(&part, source, goal, length);
    let least = found.all()[goal as usize];
    // Equal to rounding: the taut way is as good.
    if least < way.length * (1.0 - NOISE_UNIT) {
        let points = found.way(goal);
        return (Way { points, length: least }, true);
    }
    (way, true)
}

/// All triangles, hanging together with the first, that a way of that length may touch; `None` if more than `most`.
fn within(
    mesh: &Mesh,
    from: Spot,
    (start, end): (Point3, Point3),
    length: f64,
    most: usize,
) -> Option<Vec<u32>> {
    // Per triangle: no point of it is nearer than its middle less the reach of its corners.
    let touched = |t: u32| {
        let corners = mesh.corners(t);
        let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
        let reach = corners.iter().fold(0.0, |r: f64, c| r.max(c.distance(middle)));
        middle.distance(start) + middle.distance(end) - 2.0 * reach <= length
    };
    let mut met = vec![false; mesh.triangles().len()];
    met[from.triangle as usize] = true;
    let mut all = vec![from.triangle];
    let mut k = 0;
    while k < all.len() {
        for side in 3 * all[k]..3 * all[k] + 3 {
            if let Some(t) = mesh.across(side).map(|s| s / 3)
                && !std::mem::replace(&mut met[t as usize], true)
                && touched(t)
            {
                all.push(t);
            }
        }
        if most < all.len() {
            return None;
        }
        k += 1;
    }
    Some(all)
}

/// Those triangles alone with the far spot as a corner; the near spot and that corner there.
pub(super) fn cut_out(mesh: &Mesh, near: &[u32], from: Spot, to: Spot) -> (Mesh, Spot, u32) {
    // In the order of the mesh, so that neighbours in space are neighbours in memory.
    let mut near = near.to_vec();
    near.sort_unstable();
    let (part, old) = mesh.part(&near);
    let place = |t: u32| near.partition_point(|k| *k < t) as u32;
    if let Some(corner) = at_corner(mesh, to) {
        let goal = old.iter().position(|k| *k == corner).unwrap_or(0) as u32;
        return (part, Spot { triangle: place(from.triangle), shares: from.shares }, goal);
    }
    let mut points = part.points().to_vec();
    let goal = points.len() as u32;
    points.push(to.point(mesh));
    let mut triangles = part.triangles().to_vec();
    let t = place(to.triangle);
    let on_side = (0..3_u32).find(|k| to.shares[(*k as usize + 2) % 3] <= NOISE_UNIT);
    let mut parted = |t: u32, on_side: Option<u32>| {
        let corners = triangles[t as usize];
        let mut last = Some(t);
        for k in (0..3).filter(|k| Some(*k as u32) != on_side) {
            let piece = [corners[k], corners[(k + 1) % 3], goal];
            match last.take() {
                Some(t) => triangles[t as usize] = piece,
                None => triangles.push(piece),
            }
        }
    };
    parted(t, on_side);
    if let Some(other) = on_side.and_then(|k| part.across(3 * t + k)) {
        parted(other / 3, Some(other % 3));
    }
    let parted = Mesh::of_grid(points, triangles);
    // The near spot's own triangle may have been parted as well.
    let own = place(from.triangle);
    let source = if parted.triangles()[own as usize] == part.triangles()[own as usize] {
        Spot { triangle: own, shares: from.shares }
    } else {
        Spot::nearest(&parted, from.point(mesh)).0
    };
    (parted, source, goal)
}
