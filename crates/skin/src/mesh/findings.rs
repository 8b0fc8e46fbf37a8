//! What joining a scan found and did, in numbers a person can act on.

use super::{Mesh, NONE, Stray};
use geom::Point3;

/// What was found when loose triangles were joined.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Findings {
    /// Corners that became one with another.
    pub welded: usize,
    /// Triangles without area, or with a corner that is no number, left out.
    pub empty: usize,
    /// Corners absurdly far off all others, left out with their triangles.
    pub strays: Vec<Stray>,
    /// Triangles said twice, left out.
    pub repeated: usize,
    /// Pairs of corners joined by more than two triangles: the skin is left open there.
    pub crowded_sides: usize,
    /// Corners at which two or more separate fans of skin touch.
    pub pinched_corners: usize,
    /// Triangles turned so that neighbours agree.
    pub turned: usize,
    /// Pieces turned as a whole: a closed one was inside out, an open one against the normals of its file.
    pub inside_out: usize,
    /// Pieces on which no two faces can be told apart (a band with a half twist).
    pub one_sided: usize,
    /// Pieces, largest area first.
    pub components: Vec<Component>,
    /// Open rims, longest first.
    pub holes: Vec<Hole>,
}

/// A connected piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// One of its triangles.
    pub triangle: u32,
    /// How many it has.
    pub triangles: usize,
    /// Area, mm2.
    pub area_mm2: f64,
    /// No open rim.
    pub closed: bool,
}

/// An open rim: the outer edge of a patch, or a hole in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Length, mm.
    pub length_mm: f64,
    /// Sides.
    pub sides: usize,
    /// Mean of its corners, mm.
    pub centre: Point3,
}

impl Mesh {
    /// Turns neighbours alike piece by piece and lists the pieces.
    pub(super) fn turn_alike(&mut self, normals: &[Point3], found: &mut Findings) {
        let n = self.triangles.len();
        let (mut met, mut turned) = (vec![false; n], vec![false; n]);
        let mut members: Vec<u32> = Vec::new();
        for start in 0..n as u32 {
            if met[start as usize] {
                continue;
            }
            members.clear();
            members.push(start);
            met[start as usize] = true;
            let (mut next, mut closed, mut torn) = (0, true, Vec::new());
            while next < members.len() {
                let t = members[next];
                next += 1;
                for side in 3 * t..3 * t + 3 {
                    let Some(other) = self.across(side) else {
                        closed = false;
                        continue;
                    };
                    // Two triangles turned alike run along their common side opposite ways.
                    let wanted = turned[t as usize] != (self.from(side) == self.from(other));
                    if !met[other as usize / 3] {
                        met[other as usize / 3] = true;
                        turned[other as usize / 3] = wanted;
                        members.push(other / 3);
                    } else if turned[other as usize / 3] != wanted {
                        torn.push(side);
                    }
                }
            }
            // A band with a half twist is cut where the two ways meet.
            for &side in &torn {
                if let Some(other) = self.across(side) {
                    self.across[other as usize] = NONE;
                    self.across[side as usize] = NONE;
                }
            }
            found.one_sided += usize::from(!torn.is_empty());
            self.settle(&members, normals, closed && torn.is_empty(), &mut turned, found);
        }
        self.turn(&turned);
        found.components.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    }

    /// Decides which way out of a piece is, and lists it.
    fn settle(
        &self,
        members: &[u32],
        normals: &[Point3],
        closed: bool,
        turned: &mut [bool],
        found: &mut Findings,
    ) {
        let sign = |t: u32| if turned[t as usize] { -1.0 } else { 1.0 };
        let against = members.iter().filter(|&&t| turned[t as usize]).count();
        let origin = self.corners(members[0])[0];
        let outward: f64 = if closed {
            let volume = |&t: &u32| {
                let [a, b, c] = self.corners(t).map(|p| p - origin);
                sign(t) * a.dot(b.cross(c))
            };
            members.iter().map(volume).sum()
        } else if normals.is_empty() {
            // Nothing says which way out is: keep what most triangles say.
            if 2 * against <= members.len() { 1.0 } else { -1.0 }
        } else {
            members.iter().map(|&t| sign(t) * self.cross(t).dot(normals[t as usize])).sum()
        };
        if outward < 0.0 {
            members.iter().for_each(|&t| turned[t as usize] = !turned[t as usize]);
        }
        let changed = if outward < 0.0 { members.len() - against } else { against };
        if changed == members.len() {
            found.inside_out += 1;
        } else {
            found.turned += changed;
        }
        let area_mm2 = members.iter().map(|&t| self.cross(t).length() / 2.0).sum();
        found.components.push(Component { triangle: members[0], triangles: members.len(), area_mm2, closed });
    }

    /// Walks the open rims and counts corners where separate fans touch.
    pub(super) fn count_holes(&self, found: &mut Findings) {
        let sides = 3 * self.triangles.len() as u32;
        let mut seen = vec![false; sides as usize];
        for start in 0..sides {
            if self.across(start).is_some() || seen[start as usize] {
                continue;
            }
            let (mut side, mut count, mut length_mm, mut sum) = (start, 0_usize, 0.0, Point3::ZERO);
            while !seen[side as usize] {
                seen[side as usize] = true;
                count += 1;
                length_mm += self.length(side);
                sum += self.point(self.from(side));
                side = self.next_on_rim(side);
            }
            found.holes.push(Hole { length_mm, sides: count, centre: sum / count as f64 });
        }
        found.holes.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm));
        let mut fans = vec![0_usize; self.points.len()];
        self.triangles.iter().flatten().for_each(|&k| fans[k as usize] += 1);
        let first = self.first_sides();
        found.pinched_corners =
            first.iter().zip(&fans).filter(|(side, fan)| self.around(**side).count() != **fan).count();
    }

    /// The open side that goes on where this one ends.
    pub fn next_on_rim(&self, side: u32) -> u32 {
        let mut next = Mesh::next(side);
        while let Some(other) = self.across(next) {
            next = Mesh::next(other);
        }
        next
    }
}
