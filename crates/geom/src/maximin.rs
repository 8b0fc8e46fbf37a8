//! The highest point under a few tilted planes, and the nearest point inside a few straight borders, over a
//! box: the two questions that a search for a place asks of every box.
//!
//! Both grow one plane or border at a time. One that the answer so far already satisfies changes nothing; one
//! that it breaks must hold with equality at the new answer, which turns the question into one along a line.

use crate::point::{Vec2, left_of};
use crate::tolerance::{NOISE_MM, PARALLEL_SINE};

/// z <= value + gradient . d
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Height over d = 0.
    pub value: f64,
    /// Slope.
    pub gradient: Vec2,
}

impl Plane {
    /// Height over `d`.
    pub fn at(&self, d: Vec2) -> f64 {
        self.value + self.gradient.dot(d)
    }
}

/// normal . d <= limit
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Border {
    /// Which way is out.
    pub normal: Vec2,
    /// How far.
    pub limit: f64,
}

impl Border {
    /// The four borders of the box |d.x| <= half.x, |d.y| <= half.y.
    pub fn of_box(half: Vec2) -> [Border; 4] {
        [(1.0, 0.0, half.x), (-1.0, 0.0, half.x), (0.0, 1.0, half.y), (0.0, -1.0, half.y)]
            .map(|(x, y, limit)| Border { normal: Vec2::new(x, y), limit })
    }

    /// True if `d` lies on the near side, to rounding noise.
    pub fn allows(&self, d: Vec2) -> bool {
        self.normal.dot(d) <= self.limit + NOISE_MM
    }
}

/// The highest point under the planes taken in so far, over the part of a box inside some borders.
#[derive(Debug)]
pub struct Ceiling<'a> {
    half: Vec2,
    borders: &'a [Border],
    planes: Vec<Plane>,
    cuts: Vec<Border>,
    height: f64,
    at: Vec2,
}

impl<'a> Ceiling<'a> {
    /// A ceiling without planes, infinitely high; `None` if no point of the box is inside all borders.
    pub fn over(half: Vec2, borders: &'a [Border]) -> Option<Ceiling<'a>> {
        let at = nearest_inside(Vec2::ZERO, half, borders)?;
        Some(Ceiling { half, borders, planes: Vec::new(), cuts: Vec::new(), height: f64::INFINITY, at })
    }

    /// Takes in a plane; true if the highest point moved.
    pub fn lower(&mut self, plane: Plane) -> bool {
        if plane.at(self.at) >= self.height - NOISE_MM {
            self.planes.push(plane);
            return false;
        }
        // The new highest point lies on this plane, where no other is below it.
        self.cuts.clear();
        self.cuts.extend_from_slice(self.borders);
        self.cuts.extend(
            self.planes
                .iter()
                .map(|p| Border { normal: plane.gradient - p.gradient, limit: p.value - plane.value }),
        );
        self.planes.push(plane);
        // There always is one; where rounding hides it the old height stands, which is never too low.
        let Some(at) = farthest(plane.gradient, self.half, &self.cuts) else { return false };
        self.at = at;
        self.height = self.height.min(plane.at(at));
        true
    }

    /// Height of the highest point; infinite without planes. Never too low.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Where it is. The planes may be lower there by rounding noise.
    pub fn at(&self) -> Vec2 {
        self.at
    }
}

/// The point nearest to an aim inside the borders taken in so far and a box.
#[derive(Debug)]
pub struct Approach {
    aim: Vec2,
    half: Vec2,
    cuts: Vec<Border>,
    at: Vec2,
}

impl Approach {
    /// Nothing but the box yet.
    pub fn to(aim: Vec2, half: Vec2) -> Approach {
        let at = Vec2::new(aim.x.clamp(-half.x, half.x), aim.y.clamp(-half.y, half.y));
        Approach { aim, half, cuts: Vec::new(), at }
    }

    /// Takes in a border; `false` if nothing is left inside.
    pub fn narrow(&mut self, border: Border) -> bool {
        self.cuts.push(border);
        if border.allows(self.at) {
            return true;
        }
        let last = self.cuts.len() - 1;
        let Some(line) = Line::on(border) else { return false };
        let Some((lo, hi)) = line.inside(self.half, &self.cuts[..last]) else { return false };
        self.at = line.point((self.aim - line.foot).dot(line.way).clamp(lo, hi));
        true
    }

    /// The nearest point.
    pub fn at(&self) -> Vec2 {
        self.at
    }
}

/// The point nearest to `aim` inside the box and all borders; `None` if there is none.
pub fn nearest_inside(aim: Vec2, half: Vec2, borders: &[Border]) -> Option<Vec2> {
    let mut approach = Approach::to(aim, half);
    borders.iter().all(|b| approach.narrow(*b)).then_some(approach.at)
}

/// The point inside the box and all cuts that lies farthest along `way`; `None` if there is none.
pub fn farthest(way: Vec2, half: Vec2, cuts: &[Border]) -> Option<Vec2> {
    let end = |slope: f64, reach: f64| if slope == 0.0 { 0.0 } else { reach.copysign(slope) };
    let mut at = Vec2::new(end(way.x, half.x), end(way.y, half.y));
    for (i, cut) in cuts.iter().enumerate() {
        if cut.allows(at) {
            continue;
        }
        let line = Line::on(*cut)?;
        let (lo, hi) = line.inside(half, &cuts[..i])?;
        let along = way.dot(line.way);
        at = line.point(if along > 0.0 {
            hi
        } else if along < 0.0 {
            lo
        } else {
            0.0_f64.clamp(lo, hi)
        });
    }
    Some(at)
}

/// The straight line along a border.
struct Line {
    foot: Vec2,
    way: Vec2,
}

impl Line {
    /// `None` for a border without direction.
    fn on(border: Border) -> Option<Line> {
        let steep = border.normal.hypot();
        (steep > PARALLEL_SINE).then(|| {
            let normal = border.normal / steep;
            Line { foot: normal * (border.limit / steep), way: left_of(normal) }
        })
    }

    fn point(&self, s: f64) -> Vec2 {
        self.foot + self.way * s
    }

    /// The stretch of the line inside the box and all cuts.
    fn inside(&self, half: Vec2, cuts: &[Border]) -> Option<(f64, f64)> {
        let (mut lo, mut hi) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut take = |along: f64, room: f64| {
            if along > PARALLEL_SINE {
                hi = hi.min(room / along);
            } else if along < -PARALLEL_SINE {
                lo = lo.max(room / along);
            } else {
                return room >= -NOISE_MM;
            }
            true
        };
        let boxed = take(self.way.x, half.x - self.foot.x)
            && take(-self.way.x, half.x + self.foot.x)
            && take(self.way.y, half.y - self.foot.y)
            && take(-self.way.y, half.y + self.foot.y);
        if !boxed || !cuts.iter().all(|c| take(c.normal.dot(self.way), c.limit - c.normal.dot(self.foot))) {
            return None;
        }
        if lo > hi {
            // Two limits that meet in a point may miss each other by rounding.
            if lo > hi + NOISE_MM {
                return None;
            }
            lo = f64::midpoint(lo, hi);
            hi = lo;
        }
        Some((lo, hi))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Against a fine grid of the area.
        #[test]
        fn nothing_inside_is_higher_and_nothing_nearer(
            planes in proptest::collection::vec((-5.0..5.0_f64, -1.0..1.0_f64, -1.0..1.0_f64), 1..9),
            cuts in proptest::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64, 0.1..2.0_f64), 0..3),
            half in (0.5..4.0_f64, 0.5..4.0_f64), aim in (-6.0..6.0_f64, -6.0..6.0_f64),
        ) {
            let planes: Vec<Plane> =
                planes.iter().map(|p| Plane { value: p.0, gradient: Vec2::new(p.1, p.2) }).collect();
            let half = Vec2::new(half.0, half.1);
            let aim = Vec2::new(aim.0, aim.1);
            let mut borders = Border::of_box(half).to_vec();
            borders.extend(cuts.iter().map(|c| Border { normal: Vec2::new(c.0, c.1), limit: c.2 }));
            let under = |d: Vec2| planes.iter().map(|p| p.at(d)).fold(f64::INFINITY, f64::min);
            let mut ceiling = Ceiling::over(half, &borders[4..]).unwrap();
            for p in &planes {
                ceiling.lower(*p);
            }
            let (z, d) = (ceiling.height(), ceiling.at());
            let near = nearest_inside(aim, half, &borders[4..]).unwrap();
            prop_assert!(borders.iter().all(|b| b.normal.dot(d) <= b.limit + 1e-6));
            prop_assert!(borders.iter().all(|b| b.normal.dot(near) <= b.limit + 1e-6));
            prop_assert!((under(d) - z).abs() < 1e-5);
            let n = 60;
            for i in 0..=n {
                for j in 0..=n {
                    let d = Vec2::new(half.x * (f64::from(2 * i) / f64::from(n) - 1.0),
                        half.y * (f64::from(2 * j) / f64::from(n) - 1.0));
                    if borders.iter().all(|b| b.normal.dot(d) <= b.limit) {
                        prop_assert!(under(d) <= z + 1e-6, "grid {} at {d:?}, answer {z}", under(d));
                        prop_assert!((near - aim).hypot() <= (d - aim).hypot() + 1e-6);
                    }
                }
            }
        }
    }
}
