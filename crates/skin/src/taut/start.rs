//! Where the string is laid before it is pulled: along a plane cut through the skin, or from corner to corner.

use super::sleeve::{Hand, Sleeve, holding, round};
use crate::around::Near;
use crate::mesh::NONE;
use crate::{Mesh, Spot};
use std::collections::BinaryHeap;

/// A cut through the skin this many times as long as the chord is given up: it goes round the back. chosen: half way
/// round a tube is 1.57 chords.
const LONGEST_CUT: f64 = 1.7;

/// The sleeve along the plane through both spots that stands most upright on the skin; `None` where the cut does not
/// come there.
pub(super) fn along_plane(mesh: &Mesh, from: Spot, to: Spot) -> Option<Sleeve> {
    let (start, end) = (from.point(mesh), to.point(mesh));
    let up = |spot: Spot| mesh.cross(spot.triangle).normalize_or_zero();
    let chord = end - start;
    let square = chord.cross(up(from) + up(to)).try_normalize()?;
    let along = chord.normalize();
    let ends = holding(mesh, to);
    // Corners on the plane itself count to one hand, so that the cut runs through triangles only.
    let left = |corner: u32| 0.0 <= square.dot(mesh.point(corner) - start);
    let cut = |side: u32| left(mesh.from(side)) != left(mesh.to(side));
    let crossing = |side: u32| {
        let (a, b) = (mesh.point(mesh.from(side)), mesh.point(mesh.to(side)));
        let (da, db) = (square.dot(a - start), square.dot(b - start));
        a + (b - a) * (da / (da - db)).clamp(0.0, 1.0)
    };
    // The first side that leads on, from any triangle that holds the start.
    let mut best: Option<(f64, u32)> = None;
    for &t in &holding(mesh, from) {
        for side in (3 * t..3 * t + 3).filter(|s| cut(*s)) {
            let on = along.dot(crossing(side) - start);
            if best.is_none_or(|b| b.0 < on) {
                best = Some((on, side));
            }
        }
    }
    let (_, mut side) = best?;
    let mut sleeve = Sleeve { first: side / 3, sides: Vec::new() };
    let (mut at, mut gone) = (start, 0.0);
    for _ in 0..mesh.triangles().len() {
        if ends.contains(&(side / 3)) {
            return Some(sleeve);
        }
        let next = crossing(side);
        gone += next.distance(at);
        at = next;
        if LONGEST_CUT * chord.length() < gone {
            return None;
        }
        let other = mesh.across(side)?;
        sleeve.sides.push(side);
        let on = Mesh::next(other);
        side = if ends.contains(&(other / 3)) || cut(on) { on } else { Mesh::next(on) };
    }
    None
}

/// A corner reached along sides.
struct Reached {
    /// A side that starts there.
    side: u32,
    /// Length of the way, mm.
    far: f64,
    /// The corner before it, by its number here.
    before: u32,
    done: bool,
}

/// The sleeve along the shortest way over sides from corner to corner, looking at no more than `most` corners; `None`
/// where there is none.
pub(super) fn along_sides(mesh: &Mesh, from: Spot, to: Spot, most: usize) -> Option<Sleeve> {
    let (start, end) = (from.point(mesh), to.point(mesh));
    // Number of each corner among those reached, from 1 on.
    let mut numbers = vec![0_u32; mesh.points().len()];
    let mut reached: Vec<Reached> = Vec::new();
    let mut queue = BinaryHeap::new();
    let mut put =
        |reached: &mut Vec<Reached>, queue: &mut BinaryHeap<Near>, side: u32, far: f64, before: u32| {
            let corner = mesh.from(side);
            let number = &mut numbers[corner as usize];
            if *number == 0 {
                reached.push(Reached { side, far: f64::INFINITY, before: NONE, done: false });
                *number = reached.len() as u32;
            }
            let known = &mut reached[*number as usize - 1];
            if far < known.far {
                (known.far, known.before) = (far, before);
                queue.push(Near(far + mesh.point(corner).distance(end), *number - 1));
            }
        };
    for side in 3 * from.triangle..3 * from.triangle + 3 {
        put(&mut reached, &mut queue, side, start.distance(mesh.point(mesh.from(side))), NONE);
    }
    let ends = mesh.triangles()[to.triangle as usize];
    let mut at = loop {
        let Near(_, k) = queue.pop()?;
        if std::mem::replace(&mut reached[k as usize].done, true) {
            continue;
        }
        let Reached { side, far, .. } = reached[k as usize];
        if ends.contains(&mesh.from(side)) {
            break k;
        }
        if most < reached.len() {
            return None;
        }
        let here = mesh.point(mesh.from(side));
        let mut go = |other: u32| {
            put(&mut reached, &mut queue, other, far + here.distance(mesh.point(mesh.from(other))), k);
        };
        // Round the corner to the left, and to the right if a rim was met.
        let mut s = side;
        let open = loop {
            go(Mesh::next(s));
            let last = Mesh::next(Mesh::next(s));
            match mesh.across(last) {
                Some(next) if next == side => break false,
                Some(next) => s = next,
                None => {
                    go(last);
                    break true;
                }
            }
        };
        s = side;
        while open && let Some(other) = mesh.across(s) {
            s = Mesh::next(other);
            go(Mesh::next(s));
        }
    };
    let mut corners = Vec::new();
    while at != NONE {
        corners.push(mesh.from(reached[at as usize].side));
        at = reached[at as usize].before;
    }
    corners.reverse();
    through(mesh, from, to, &corners)
}

/// A sleeve along a chain of corners, round each on the hand with fewer triangles.
fn through(mesh: &Mesh, from: Spot, to: Spot, corners: &[u32]) -> Option<Sleeve> {
    let mut sleeve = Sleeve { first: from.triangle, sides: Vec::new() };
    let mut t = from.triangle;
    let ends = holding(mesh, to);
    for (k, &corner) in corners.iter().enumerate() {
        let next = corners.get(k + 1);
        let there = |t: u32| match next {
            Some(next) => mesh.triangles()[t as usize].contains(next),
            None => ends.contains(&t),
        };
        let left = round(mesh, t, corner, Hand::Left, there);
        let right = round(mesh, t, corner, Hand::Right, there);
        let sides = match (left, right) {
            (Some(l), Some(r)) => {
                if r.len() < l.len() {
                    r
                } else {
                    l
                }
            }
            (l, r) => l.or(r)?,
        };
        if let Some(other) = sides.last().and_then(|s| mesh.across(*s)) {
            t = other / 3;
        }
        sleeve.sides.extend(sides);
    }
    Some(sleeve)
}

/// The straight way where one triangle holds both spots.
pub(super) fn together(mesh: &Mesh, from: Spot, to: Spot) -> bool {
    let ends = holding(mesh, to);
    holding(mesh, from).iter().any(|t| ends.contains(t))
}
