//! The first flat map round a spot: how far and which way each corner of the skin lies from it.
//!
//! An exponential map worked out corner by corner, nearest first: each corner is seen from the ones already placed
//! near it, the frame carried along without turning. Good to a few parts in a thousand: the start of flattening
//! and the shape of a cut, never a length that is reported.

use crate::mesh::NONE;
use crate::{Mesh, Spot};
use geom::{Point3, Vec2};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Where corners lie from a spot; `NaN` where the map did not reach.
#[derive(Clone, Debug)]
pub struct Around {
    /// Place of each corner in the plane of the spot, mm.
    pub flat: Vec<Vec2>,
    /// Corners reached, nearest first.
    pub reached: Vec<u32>,
}

/// A length to be taken nearest first, ties by number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Near(pub(crate) f64, pub(crate) u32);

impl Eq for Near {}

impl Ord for Near {
    fn cmp(&self, other: &Near) -> Ordering {
        other.0.total_cmp(&self.0).then(other.1.cmp(&self.1))
    }
}

impl PartialOrd for Near {
    fn partial_cmp(&self, other: &Near) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// A direction of unit length in the tangent plane square to `normal`, the nearest to `along`.
pub(crate) fn tangent(along: Point3, normal: Point3) -> Point3 {
    (along - normal * along.dot(normal)).try_normalize().unwrap_or_else(|| normal.any_orthonormal_vector())
}

/// `x`, square to `from`, carried to the plane square to `to` by the least turn.
pub(crate) fn carried(x: Point3, from: Point3, to: Point3) -> Point3 {
    let both = 1.0 + from.dot(to);
    let turned = if both <= geom::tolerance::NOISE_UNIT { x } else { x - (from + to) * (x.dot(to) / both) };
    tangent(turned, to)
}

/// The map round `centre` with +x towards `along`, as far as `keep` says (it is asked for each corner and its place).
///
/// `normals` are those of [`Mesh::normals`]; `firsts` of [`Mesh::first_sides`].
pub fn around(
    mesh: &Mesh,
    normals: &[Point3],
    firsts: &[u32],
    centre: Spot,
    along: Point3,
    keep: impl Fn(u32, Vec2) -> bool,
) -> Around {
    let n = mesh.points().len();
    let mut map = Around { flat: vec![Vec2::new(f64::NAN, f64::NAN); n], reached: Vec::new() };
    let mut frame = vec![Point3::ZERO; n];
    let mut settled = vec![false; n];
    let mut queue = BinaryHeap::new();
    let here = centre.point(mesh);
    let up = centre
        .between(mesh, normals)
        .try_normalize()
        .unwrap_or_else(|| mesh.cross(centre.triangle).normalize());
    let x = tangent(along, up);
    for k in mesh.triangles()[centre.triangle as usize] {
        let normal = normals[k as usize];
        frame[k as usize] = carried(x, up, normal);
        map.flat[k as usize] = seen(mesh.point(k) - here, (x, up), (frame[k as usize], normal));
        queue.push(Near(map.flat[k as usize].hypot(), k));
    }
    while let Some(Near(_, k)) = queue.pop() {
        if std::mem::replace(&mut settled[k as usize], true) {
            continue;
        }
        map.reached.push(k);
        if !keep(k, map.flat[k as usize]) {
            continue;
        }
        let mut put = |other: u32| {
            if settled[other as usize] {
                return;
            }
            let normal = normals[other as usize];
            let x = carried(frame[k as usize], normals[k as usize], normal);
            let step = seen(
                mesh.point(other) - mesh.point(k),
                (frame[k as usize], normals[k as usize]),
                (x, normal),
            );
            let place = map.flat[k as usize] + step;
            let known = map.flat[other as usize];
            if known.x.is_nan() || place.hypot() < known.hypot() {
                map.flat[other as usize] = place;
                frame[other as usize] = x;
                queue.push(Near(place.hypot(), other));
            }
        };
        if firsts[k as usize] != NONE {
            for side in mesh.around(firsts[k as usize]) {
                put(mesh.to(side));
                // At an open edge no side from here goes to the last corner of the fan.
                if mesh.across(Mesh::next(Mesh::next(side))).is_none() {
                    put(mesh.facing(side));
                }
            }
        }
    }
    map
}

/// A step in space as the mean of how two frames see it, at its own length.
fn seen(step: Point3, (x, up): (Point3, Point3), (to_x, to_up): (Point3, Point3)) -> Vec2 {
    let mean = Vec2::new(step.dot(x) + step.dot(to_x), step.dot(up.cross(x)) + step.dot(to_up.cross(to_x)));
    let long = mean.hypot();
    if long <= 0.0 { mean } else { mean * (step.length() / long) }
}
