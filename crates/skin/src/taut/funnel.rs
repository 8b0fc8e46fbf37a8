//! The shortest way within a sleeve, found by laying its triangles flat one after the other.

use super::sleeve::{Hand, Sleeve, angle, hand_corner, seen_in, turn};
use crate::{Mesh, Spot};
use geom::tolerance::NOISE_UNIT;
use geom::{Point3, Vec2};
use std::f64::consts::PI;

/// A corner the way bends at.
#[derive(Clone, Copy, Debug)]
struct Bend {
    /// A side of the sleeve that ends there.
    side: usize,
    hand: Hand,
    corner: u32,
    place: Vec2,
    /// First and last side of the sleeve about which the way turns round it.
    span: (usize, usize),
}

/// A sleeve laid flat with the shortest way in it.
#[derive(Debug)]
pub(super) struct Laid {
    start: Vec2,
    end: Vec2,
    /// Ends of each side: left and right.
    ends: Vec<[Vec2; 2]>,
    bends: Vec<Bend>,
    /// Length of the way, mm.
    pub(super) length: f64,
}

/// A corner of the way that is passed on the wrong hand: sides to go without, and the corner.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wrong {
    pub(super) span: (usize, usize),
    pub(super) hand: Hand,
    pub(super) corner: u32,
}

/// A triangle laid flat: first corner at the origin, second on the x axis.
fn flat_triangle(mesh: &Mesh, t: u32) -> [Vec2; 3] {
    let [a, b, c] = mesh.corners(t);
    [Vec2::ZERO, Vec2::new((b - a).length(), 0.0), beside(a, b, c)]
}

/// Where `c` lies along and beside the line from `a` to `b`.
fn beside(a: Point3, b: Point3, c: Point3) -> Vec2 {
    let (u, v) = (b - a, c - a);
    let long = u.length();
    Vec2::new(u.dot(v) / long, u.cross(v).length() / long)
}

impl Laid {
    /// The sleeve from spot to spot laid flat, and the way.
    pub(super) fn of(mesh: &Mesh, sleeve: &Sleeve, from: Spot, to: Spot) -> Laid {
        let mut triangle = sleeve.first;
        let mut flat = flat_triangle(mesh, triangle);
        let within = |shares: [f64; 3], flat: [Vec2; 3]| {
            flat[0] * shares[0] + flat[1] * shares[1] + flat[2] * shares[2]
        };
        let start = within(seen_in(mesh, from, triangle), flat);
        let mut ends = Vec::with_capacity(sleeve.sides.len());
        for &side in &sleeve.sides {
            let k = side as usize % 3;
            let (left, right) = (flat[(k + 1) % 3], flat[k]);
            ends.push([left, right]);
            // A sleeve has a triangle across each of its sides.
            let Some(other) = mesh.across(side) else { break };
            let tip = beside(
                mesh.point(mesh.from(other)),
                mesh.point(mesh.to(other)),
                mesh.point(mesh.facing(other)),
            );
            let along = (right - left).normalize();
            let o = other as usize % 3;
            flat[o] = left;
            flat[(o + 1) % 3] = right;
            flat[(o + 2) % 3] = left + along * tip.x + Vec2::new(-along.y, along.x) * tip.y;
            triangle = other / 3;
        }
        let end = within(seen_in(mesh, to, triangle), flat);
        let mut laid = Laid { start, end, ends, bends: Vec::new(), length: 0.0 };
        laid.pull(mesh, sleeve);
        laid
    }

    /// Pulls the way taut: what can be seen from the last bend narrows side by side until its two rims cross.
    fn pull(&mut self, mesh: &Mesh, sleeve: &Sleeve) {
        let n = self.ends.len();
        let mut apex = self.start;
        // Left and right rim: the side each comes from, and where.
        let mut rims = [(0, self.start); 2];
        let mut k = 0;
        while k <= n {
            let new = self.ends.get(k).copied().unwrap_or([self.end; 2]);
            let mut bent = None;
            for (h, hand) in [(0, Hand::Left), (1, Hand::Right)] {
                // Counter-clockwise counts as inwards on the right, clockwise on the left.
                let inwards = if h == 0 { -1.0 } else { 1.0 };
                let (old, other) = (rims[h].1, rims[1 - h].1);
                let to = new[h] - apex;
                if old != apex && inwards * (old - apex).cross(to) < 0.0 {
                    continue;
                }
                if old == apex || other == apex || inwards * (other - apex).cross(to) <= 0.0 {
                    rims[h] = (k, new[h]);
                } else {
                    bent = Some(if hand == Hand::Left { Hand::Right } else { Hand::Left });
                    break;
                }
            }
            let Some(hand) = bent else {
                k += 1;
                continue;
            };
            let (side, place) = rims[usize::from(hand == Hand::Right)];
            let corner = hand_corner(mesh, sleeve.sides[side], hand);
            self.length += (place - apex).hypot();
            self.bends.push(Bend { side, hand, corner, place, span: (side, side) });
            apex = place;
            rims = [(side, place); 2];
            k = side + 1;
        }
        self.length += (self.end - apex).hypot();
        for at in 0..self.bends.len() {
            let bend = self.bends[at];
            let on = |k: &usize| hand_corner(mesh, sleeve.sides[*k], bend.hand) == bend.corner;
            let first = (0..bend.side).rev().take_while(on).last().unwrap_or(bend.side);
            let last = (bend.side + 1..n).take_while(on).last().unwrap_or(bend.side);
            self.bends[at].span = (first, last);
        }
    }

    /// The corners that would be passed shorter on the other hand, none sharing a side of the sleeve with another.
    pub(super) fn wrong(&self, mesh: &Mesh, sleeve: &Sleeve) -> Vec<Wrong> {
        let mut found: Vec<Wrong> = Vec::new();
        for (at, bend) in self.bends.iter().enumerate() {
            let (first, last) = bend.span;
            if found.last().is_some_and(|w| first <= w.span.1 + 1) {
                continue;
            }
            let before = sleeve.before(mesh, first);
            let Some(all) = turn(mesh, before, bend.corner) else { continue };
            let came = at.checked_sub(1).map_or(self.start, |k| self.bends[k].place) - bend.place;
            let goes = self.bends.get(at + 1).map_or(self.end, |b| b.place) - bend.place;
            let far = |k: usize| self.ends[k][usize::from(bend.hand == Hand::Left)] - bend.place;
            let between = |a: Vec2, b: Vec2| a.cross(b).abs().atan2(a.dot(b));
            let within: f64 =
                (first + 1..=last).map(|k| angle(mesh, sleeve.before(mesh, k), bend.corner)).sum();
            let inside = between(came, far(first)) + within + between(far(last), goes);
            if all - inside < PI - NOISE_UNIT {
                found.push(Wrong { span: (first, last), hand: bend.hand, corner: bend.corner });
            }
        }
        found
    }

    /// Points of the way in space: where it crosses sides and bends.
    pub(super) fn points(&self, mesh: &Mesh, sleeve: &Sleeve, from: Spot, to: Spot) -> Vec<Point3> {
        let mut points = vec![from.point(mesh)];
        let mut put = |p: Point3| {
            if points.last() != Some(&p) {
                points.push(p);
            }
        };
        let (mut at, mut next) = (self.start, 0);
        for (k, [left, right]) in self.ends.iter().enumerate() {
            while self.bends.get(next).is_some_and(|b| b.span.0 <= k) {
                at = self.bends[next].place;
                put(mesh.point(self.bends[next].corner));
                next += 1;
            }
            let bent = next.checked_sub(1).map(|b| self.bends[b]).filter(|b| k <= b.span.1);
            if bent.is_some() {
                continue;
            }
            let to = self.bends.get(next).map_or(self.end, |b| b.place);
            let (across, way) = (*left - *right, to - at);
            let turn = way.cross(across);
            // A way along the side crosses it anywhere: its own end is as good.
            let share = if turn == 0.0 { 0.0 } else { ((*right - at).cross(way) / turn).clamp(0.0, 1.0) };
            let (a, b) = (mesh.point(mesh.from(sleeve.sides[k])), mesh.point(mesh.to(sleeve.sides[k])));
            put(a + (b - a) * share);
        }
        put(to.point(mesh));
        points
    }
}
