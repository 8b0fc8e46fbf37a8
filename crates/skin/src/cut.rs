//! A piece of skin cut out round a mark: one letter's patch.

use crate::around::around;
use crate::straight::Bearing;
use crate::{Mesh, Spot};
use geom::Vec2;

mod ended;
mod fan;
mod rounded;

pub use ended::Ended;

/// What is cut out, in the first flat map round the spot (see [`crate::around`]).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// All within this distance, mm.
    Disc(f64),
    /// All within half this width and height, mm, the width along the bearing.
    Rectangle(f64, f64),
}

impl Shape {
    fn holds(self, at: Vec2, spare: f64) -> bool {
        match self {
            Shape::Disc(radius) => at.hypot() <= radius + spare,
            Shape::Rectangle(w, h) => at.x.abs() <= w / 2.0 + spare && at.y.abs() <= h / 2.0 + spare,
        }
    }
}

/// A patch with its first flat map.
#[derive(Clone, Debug)]
pub struct Patch {
    /// Its triangles.
    pub mesh: Mesh,
    /// First flat place of each corner, mm.
    pub flat: Vec<Vec2>,
    /// Where the bearing's spot is in the patch.
    pub centre: Spot,
    /// Triangle of the whole skin for each of the patch.
    pub triangles: Vec<u32>,
    /// The skin ends, or has a hole, within the shape.
    pub short: bool,
}

/// A skin made ready for cutting patches: what every patch needs is worked out once.
#[derive(Debug)]
pub struct Cutter<'a> {
    mesh: &'a Mesh,
    normals: Vec<geom::Point3>,
    firsts: Vec<u32>,
}

impl<'a> Cutter<'a> {
    /// For this skin.
    pub fn new(mesh: &'a Mesh) -> Cutter<'a> {
        Cutter { mesh, normals: mesh.normals(), firsts: mesh.first_sides() }
    }

    /// The patch round a bearing: every triangle that the shape touches, joined side to side with the bearing's own.
    pub fn patch(&self, bearing: Bearing, shape: Shape) -> Patch {
        let mesh = self.mesh;
        let spot = bearing.spot;
        // One ring of triangles more than the shape, so that it lies inside.
        let map =
            around(mesh, &self.normals, &self.firsts, spot, bearing.along, |_, at| shape.holds(at, 0.0));
        let reached = |k: u32| !map.flat[k as usize].x.is_nan();
        let inside = |k: u32| reached(k) && shape.holds(map.flat[k as usize], 0.0);
        let mut kept = vec![spot.triangle];
        let mut met = std::collections::HashSet::from([spot.triangle]);
        let mut short = false;
        let mut next = 0;
        while next < kept.len() {
            let t = kept[next];
            next += 1;
            for side in 3 * t..3 * t + 3 {
                let touched = inside(mesh.from(side)) || inside(mesh.to(side));
                match mesh.across(side) {
                    Some(other) => {
                        let corners = mesh.triangles()[other as usize / 3];
                        if corners.iter().any(|k| inside(*k))
                            && corners.iter().all(|k| reached(*k))
                            && met.insert(other / 3)
                        {
                            kept.push(other / 3);
                        }
                    }
                    None => short |= touched,
                }
            }
        }
        kept.sort_unstable();
        let (patch, corners) = mesh.part(&kept);
        let flat = corners.iter().map(|k| map.flat[*k as usize]).collect();
        let own = kept.iter().position(|t| *t == spot.triangle).unwrap_or(0) as u32;
        Patch { mesh: patch, flat, centre: Spot { triangle: own, ..spot }, triangles: kept, short }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flatten::flatten;
    use crate::straight::along;
    use crate::surface::forms::Egg;
    use crate::surface::{Heading, grid};
    use crate::windows::Distances;
    use geom::Point3;

    #[test]
    fn what_is_cut_from_the_pattern_lands_on_the_skin_within_what_it_says() {
        // A wheel fairing scanned as a ball of 8 in: letters 3 in high along a line at mid-height.
        let inch = 25.4;
        let ball = Egg { half_length: 8.0 * inch, radius: 8.0 * inch };
        let all = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 12.0 * inch, 8.0 * inch, 120, 80);
        let mesh = &all.mesh;
        let cutter = Cutter::new(mesh);
        let middle = Bearing::new(mesh, Spot::middle_of(9_000), Point3::X).unwrap();
        for bearing in along(mesh, middle, &[-3.0 * inch, 0.0, 2.5 * inch]).into_iter().flatten() {
            let patch = cutter.patch(bearing, Shape::Rectangle(2.2 * inch, 3.3 * inch));
            assert!(!patch.short);
            let flat =
                flatten(&patch.mesh, &patch.flat).unwrap().aligned(&patch.mesh, patch.centre, bearing.along);
            assert_eq!(flat.turned_over, 0);
            // Four corners of a 2 x 3 in letter: straight lines between them on the pattern, exact ways on the skin.
            let corners =
                [(-1.0, -1.5), (1.0, -1.5), (1.0, 1.5), (-1.0, 1.5)].map(|(x, y)| Vec2::new(x, y) * inch);
            let spots = flat.spots(&patch.mesh, &corners).into_iter().map(Option::unwrap).collect::<Vec<_>>();
            for k in 0..4 {
                let (p, q) = (spots[k], spots[(k + 1) % 4]);
                let drawn = (corners[(k + 1) % 4] - corners[k]).hypot();
                let (p, q) = (p.point(&patch.mesh), q.point(&patch.mesh));
                let on_skin = 8.0 * inch * (p.normalize().dot(q.normalize())).acos();
                let may = flat.strain.max * drawn + 0.02;
                assert!((drawn - on_skin).abs() <= may, "{drawn} {on_skin} {may}");
            }
        }
    }

    #[test]
    fn a_disc_reaches_as_far_as_asked_and_says_where_the_skin_ends() {
        let ball = Egg { half_length: 200.0, radius: 200.0 };
        let all = grid(&ball, Heading::new(&ball, Vec2::ZERO, Point3::X), 300.0, 300.0, 60, 60);
        let cutter = Cutter::new(&all.mesh);
        let bearing = Bearing::new(&all.mesh, Spot::middle_of(3_660), Point3::X).unwrap();
        let patch = cutter.patch(bearing, Shape::Disc(60.0));
        assert!(!patch.short);
        let rim = Distances::from(&patch.mesh, patch.centre, f64::INFINITY, &[]);
        for side in (0..3 * patch.mesh.triangles().len() as u32).filter(|s| patch.mesh.across(*s).is_none()) {
            let far = rim.all()[patch.mesh.from(side) as usize];
            assert!(59.0 < far && far < 72.0, "{far}");
        }
        assert!(cutter.patch(bearing, Shape::Disc(200.0)).short);
        assert!(cutter.patch(bearing, Shape::Rectangle(320.0, 20.0)).short);
    }
}
