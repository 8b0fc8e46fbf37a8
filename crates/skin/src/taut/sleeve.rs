//! A sleeve of triangles from one spot to another: what a way may move in until it is led round a corner's other hand.

use crate::mesh::NONE;
use crate::{Mesh, Spot};
use geom::tolerance::NOISE_UNIT;

/// On which hand of one who walks down the sleeve a corner lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hand {
    Left,
    Right,
}

/// Triangles in a row, each joined to the next by a side.
#[derive(Clone, Debug)]
pub(super) struct Sleeve {
    /// The triangle it starts in.
    pub(super) first: u32,
    /// Sides gone out by, each named in the triangle that is left.
    pub(super) sides: Vec<u32>,
}

/// The corner of a side on one hand of one who goes out by it.
pub(super) fn hand_corner(mesh: &Mesh, side: u32, hand: Hand) -> u32 {
    match hand {
        Hand::Left => mesh.to(side),
        Hand::Right => mesh.from(side),
    }
}

/// The number of a corner within a triangle; `None` if it is not one of its corners.
pub(super) fn place_in(mesh: &Mesh, triangle: u32, corner: u32) -> Option<u32> {
    mesh.triangles()[triangle as usize].iter().position(|k| *k == corner).map(|k| k as u32)
}

/// The corner a spot is at, if it is at one.
pub(super) fn at_corner(mesh: &Mesh, spot: Spot) -> Option<u32> {
    let k = (0..3).find(|k| 1.0 - NOISE_UNIT <= spot.shares[*k])?;
    Some(mesh.triangles()[spot.triangle as usize][k])
}

/// All triangles that hold a spot: one, two at a side, all round a corner.
pub(super) fn holding(mesh: &Mesh, spot: Spot) -> Vec<u32> {
    let t = spot.triangle;
    if let Some(corner) = at_corner(mesh, spot) {
        return fan(mesh, t, corner);
    }
    let mut all = vec![t];
    for k in 0..3 {
        if spot.shares[(k + 2) % 3] <= NOISE_UNIT
            && let Some(other) = mesh.across(3 * t + k as u32)
        {
            all.push(other / 3);
        }
    }
    all
}

/// The triangles round a corner, counter-clockwise from one of them, or from the rim of the skin.
fn fan(mesh: &Mesh, triangle: u32, corner: u32) -> Vec<u32> {
    let mut all = vec![triangle];
    let mut t = triangle;
    while let Some(other) = step(mesh, t, corner, Hand::Left).and_then(|s| mesh.across(s)) {
        t = other / 3;
        if t == triangle {
            return all;
        }
        all.push(t);
    }
    let mut before = Vec::new();
    t = triangle;
    while let Some(other) = step(mesh, t, corner, Hand::Right).and_then(|s| mesh.across(s)) {
        t = other / 3;
        before.push(t);
    }
    before.reverse();
    before.extend(all);
    before
}

/// The side by which one goes out of a triangle round its corner with the corner on that hand.
fn step(mesh: &Mesh, triangle: u32, corner: u32, hand: Hand) -> Option<u32> {
    let k = place_in(mesh, triangle, corner)?;
    Some(3 * triangle + if hand == Hand::Left { (k + 2) % 3 } else { k })
}

/// Sides gone out by from a triangle round its corner, the corner on that hand, until `there` says so of the triangle;
/// `None` if the rim of the skin comes first, or a full turn is made.
pub(super) fn round(
    mesh: &Mesh,
    from: u32,
    corner: u32,
    hand: Hand,
    there: impl Fn(u32) -> bool,
) -> Option<Vec<u32>> {
    let (mut sides, mut t) = (Vec::new(), from);
    while !there(t) {
        let side = step(mesh, t, corner, hand)?;
        t = mesh.across(side)? / 3;
        sides.push(side);
        if t == from {
            return None;
        }
    }
    Some(sides)
}

/// The angle, rad, at a corner of a triangle.
pub(super) fn angle(mesh: &Mesh, triangle: u32, corner: u32) -> f64 {
    let Some(k) = place_in(mesh, triangle, corner) else { return 0.0 };
    let p = mesh.corners(triangle);
    let at = p[k as usize];
    (p[(k as usize + 1) % 3] - at).angle_between(p[(k as usize + 2) % 3] - at)
}

/// All the skin round a corner, rad; `None` at the rim.
pub(super) fn turn(mesh: &Mesh, triangle: u32, corner: u32) -> Option<f64> {
    let (mut sum, mut t) = (0.0, triangle);
    loop {
        sum += angle(mesh, t, corner);
        t = mesh.across(step(mesh, t, corner, Hand::Left)?)? / 3;
        if t == triangle {
            return Some(sum);
        }
    }
}

impl Sleeve {
    /// The triangle before the side of that number.
    pub(super) fn before(&self, mesh: &Mesh, k: usize) -> u32 {
        match k.checked_sub(1) {
            None => self.first,
            Some(k) => mesh.across(self.sides[k]).map_or(NONE, |s| s / 3),
        }
    }

    /// Drops what goes to and fro, and turns about the very corners it starts and ends at.
    pub(super) fn tidied(&mut self, mesh: &Mesh, from: Spot, to: Spot) {
        let mut kept: Vec<u32> = Vec::with_capacity(self.sides.len());
        for &side in &self.sides {
            if kept.last().is_some_and(|last| mesh.across(*last) == Some(side)) {
                kept.pop();
            } else {
                kept.push(side);
            }
        }
        let touches = |side: u32, corner: u32| mesh.from(side) == corner || mesh.to(side) == corner;
        if let Some(corner) = at_corner(mesh, to) {
            while kept.last().is_some_and(|s| touches(*s, corner)) {
                kept.pop();
            }
        }
        if let Some(corner) = at_corner(mesh, from) {
            let turns = kept.iter().take_while(|s| touches(**s, corner)).count();
            if let Some(other) = kept[..turns].last().and_then(|s| mesh.across(*s)) {
                self.first = other / 3;
                kept.drain(..turns);
            }
        }
        self.sides = kept;
    }
}

/// The same spot, its shares those of another triangle's corners; only for triangles that hold it.
pub(super) fn seen_in(mesh: &Mesh, spot: Spot, triangle: u32) -> [f64; 3] {
    let own = mesh.triangles()[spot.triangle as usize];
    mesh.triangles()[triangle as usize]
        .map(|k| own.iter().position(|o| *o == k).map_or(0.0, |o| spot.shares[o]))
}
