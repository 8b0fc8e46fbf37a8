//! The way from spot to spot that a string pulled taut over the skin takes.
//!
//! The string is laid along a plane cut through the skin or along sides, in a sleeve of triangles. Laid flat, the sleeve
//! shows the shortest way within it; where that bends round a corner with less than half a turn of skin on its far hand,
//! the sleeve is led round that hand and pulled again, until no corner is left to be passed shorter. What remains is
//! straight across every side and can be made no shorter by moving it a little: a geodesic, exact on the triangles to
//! rounding. Another way, round a bump's other hand, may be shorter still: [`shortest`] makes sure that none is.

use crate::{Mesh, Spot};
use geom::Point3;

mod funnel;
mod proof;
mod sleeve;
mod start;

use funnel::Laid;
use sleeve::{Hand, Sleeve};

/// Most corners looked at for a second start, along sides, beside the one along a plane. chosen: a millisecond.
const SECOND_LOOK: usize = 3000;

/// A way over the skin.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Its points, from spot to spot: where it crosses sides, and corners it bends at.
    pub points: Vec<Point3>,
    /// Its length, mm.
    pub length: f64,
}

/// A way that no small move makes shorter (a geodesic); `None` between pieces of skin that do not hang together.
///
/// Its length is exact for this way. On a skin with bumps there may be a shorter one on another hand of a bump: see
/// [`shortest`]. On a noisy, dented scan of 200,000 triangles ways of 12 in are the shortest to 5e-6 in, of ways of 24 and
/// 36 in one of ten and one of four are longer by more than 1e-4 in, the worst by 3e-3 in (measured, 20 of each).
pub fn taut(mesh: &Mesh, from: Spot, to: Spot) -> Option<Way> {
    if start::together(mesh, from, to) {
        let points = vec![from.point(mesh), to.point(mesh)];
        let length = points[0].distance(points[1]);
        return Some(Way { points, length });
    }
    let cut = start::along_plane(mesh, from, to).map(|s| pulled(mesh, s, from, to));
    let most = if cut.is_some() { SECOND_LOOK } else { usize::MAX };
    let sides = start::along_sides(mesh, from, to, most).map(|s| pulled(mesh, s, from, to));
    let (sleeve, laid) = match (cut, sides) {
        (Some(a), Some(b)) if b.1.length < a.1.length => b,
        (a, b) => a.or(b)?,
    };
    let points = laid.points(mesh, &sleeve, from, to);
    Some(Way { points, length: laid.length })
}

/// The shortest way of all, and whether that is certain: exact windows are followed through all skin that a shorter way
/// than the taut one could touch, unless that is more than `most` triangles. `None` as for [`taut`].
pub fn shortest(mesh: &Mesh, from: Spot, to: Spot, most: usize) -> Option<(Way, bool)> {
    let way = taut(mesh, from, to)?;
    Some(proof::proven(mesh, from, to, way, most))
}

/// Pulls the way in a sleeve taut, leading the sleeve round corners until none is left to be passed shorter.
fn pulled(mesh: &Mesh, mut sleeve: Sleeve, from: Spot, to: Spot) -> (Sleeve, Laid) {
    sleeve.tidied(mesh, from, to);
    let mut laid = Laid::of(mesh, &sleeve, from, to);
    loop {
        let mut next = Sleeve { first: sleeve.first, sides: Vec::with_capacity(sleeve.sides.len()) };
        let mut kept = 0;
        for wrong in laid.wrong(mesh, &sleeve) {
            let (before, after) = (sleeve.before(mesh, wrong.span.0), sleeve.before(mesh, wrong.span.1 + 1));
            let hand = if wrong.hand == Hand::Left { Hand::Right } else { Hand::Left };
            if let Some(sides) = sleeve::round(mesh, before, wrong.corner, hand, |t| t == after) {
                next.sides.extend_from_slice(&sleeve.sides[kept..wrong.span.0]);
                next.sides.extend(sides);
                kept = wrong.span.1 + 1;
            }
        }
        if kept == 0 {
            return (sleeve, laid);
        }
        next.sides.extend_from_slice(&sleeve.sides[kept..]);
        next.tidied(mesh, from, to);
        let shorter = Laid::of(mesh, &next, from, to);
        // Angles of half a turn to rounding may be passed on either hand: no end to that.
        if !(shorter.length < laid.length) {
            return (sleeve, laid);
        }
        (sleeve, laid) = (next, shorter);
    }
}

#[cfg(test)]
mod tests;
