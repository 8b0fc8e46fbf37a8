//! A closed outline of straight edges and circular arcs, as a painter's tape follows it.
//!
//! A ring does not repeat its first vertex. Outer rings run counter-clockwise, holes clockwise, so that the
//! painted side is always on the left. Arcs stay arcs: a vertex's `bulge` is the tangent of a quarter of the
//! angle its edge turns through (positive = turning left), the same number a DXF polyline carries.

use crate::point::{Affine, Point, Vec2, left_of, turned};
use std::f64::consts::TAU;

/// One corner of a ring and how the edge from it to the next corner bends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// Where it is.
    pub p: Point,
    /// tan(turn / 4) of the edge that starts here; 0 for a straight edge.
    pub bulge: f64,
}

/// A closed outline. See the module's head for orientation.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ring {
    /// The corners in order; the first is not repeated at the end.
    pub vertices: Vec<Vertex>,
}

/// One edge of a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// Straight from `a` to `b`.
    Line {
        /// Start.
        a: Point,
        /// End.
        b: Point,
    },
    /// Along a circle from `a` to `b`.
    Arc {
        /// Start.
        a: Point,
        /// End.
        b: Point,
        /// Centre of the circle.
        centre: Point,
        /// Radius of the circle.
        radius: f64,
        /// Angle turned through, radians, counter-clockwise positive, within -2 pi to 2 pi.
        turn: f64,
    },
}

impl Edge {
    /// Start of the edge.
    pub fn start(&self) -> Point {
        match *self {
            Edge::Line { a, .. } | Edge::Arc { a, .. } => a,
        }
    }

    /// End of the edge.
    pub fn end(&self) -> Point {
        match *self {
            Edge::Line { b, .. } | Edge::Arc { b, .. } => b,
        }
    }

    /// Length along the edge.
    pub fn length(&self) -> f64 {
        match *self {
            Edge::Line { a, b } => a.distance(b),
            Edge::Arc { radius, turn, .. } => radius * turn.abs(),
        }
    }

    /// The point a share `f` (0 to 1) of the way along.
    pub fn at(&self, f: f64) -> Point {
        match *self {
            Edge::Line { a, b } => a.lerp(b, f),
            Edge::Arc { a, centre, turn, .. } => centre + turned(a - centre, turn * f),
        }
    }

    /// Corner of the box round the edge with the least x and y, and the one with the greatest.
    pub fn bounds(&self) -> (Point, Point) {
        let (a, b) = (self.start(), self.end());
        let mut lo = Point::new(a.x.min(b.x), a.y.min(b.y));
        let mut hi = Point::new(a.x.max(b.x), a.y.max(b.y));
        if let Edge::Arc { a, centre, radius, turn, .. } = *self {
            for quarter in 0..4 {
                let angle = TAU * f64::from(quarter) / 4.0;
                if within_turn(a - centre, turn, angle) {
                    let p = centre + Vec2::from_angle(angle) * radius;
                    lo = Point::new(lo.x.min(p.x), lo.y.min(p.y));
                    hi = Point::new(hi.x.max(p.x), hi.y.max(p.y));
                }
            }
        }
        (lo, hi)
    }

    /// The unit direction of travel a share `f` of the way along; zero for an edge without length.
    pub fn direction(&self, f: f64) -> Vec2 {
        let v = match *self {
            Edge::Line { a, b } => b - a,
            Edge::Arc { centre, turn, .. } => left_of(self.at(f) - centre) * turn.signum(),
        };
        if v.hypot2() > 0.0 { v.normalize() } else { Vec2::ZERO }
    }
}

impl Ring {
    /// A ring of straight edges through `points`.
    pub fn from_points(points: impl IntoIterator<Item = Point>) -> Ring {
        Ring { vertices: points.into_iter().map(|p| Vertex { p, bulge: 0.0 }).collect() }
    }

    /// A full circle, counter-clockwise, as two half turns.
    pub fn circle(centre: Point, radius: f64) -> Ring {
        let r = Vec2::new(radius, 0.0);
        Ring { vertices: vec![Vertex { p: centre - r, bulge: 1.0 }, Vertex { p: centre + r, bulge: 1.0 }] }
    }

    /// The edges in order.
    pub fn edges(&self) -> impl Iterator<Item = Edge> + '_ {
        let n = self.vertices.len();
        (0..n).map(move |i| edge(self.vertices[i], self.vertices[(i + 1) % n].p))
    }

    /// Signed area: positive counter-clockwise. Arcs are counted exactly.
    pub fn area(&self) -> f64 {
        self.edges()
            .map(|e| {
                let chord = e.start().to_vec2().cross(e.end().to_vec2()) / 2.0;
                match e {
                    Edge::Line { .. } => chord,
                    Edge::Arc { radius, turn, .. } => chord + radius * radius * (turn - turn.sin()) / 2.0,
                }
            })
            .sum()
    }

    /// Length all the way round.
    pub fn perimeter(&self) -> f64 {
        self.edges().map(|e| e.length()).sum()
    }

    /// The same outline walked the other way.
    pub fn reversed(&self) -> Ring {
        let n = self.vertices.len();
        let vertices = (0..n)
            .map(|i| {
                let from = (n - i) % n;
                Vertex { p: self.vertices[from].p, bulge: -self.vertices[(from + n - 1) % n].bulge }
            })
            .collect();
        Ring { vertices }
    }

    /// The outline moved, turned, or scaled evenly by `map`. Only maps that keep circles round (no shear,
    /// no uneven scale) are meaningful where the ring has arcs; a mirrored map flips the bulges.
    pub fn mapped(&self, map: Affine) -> Ring {
        let flip = if map.determinant() < 0.0 { -1.0 } else { 1.0 };
        Ring {
            vertices: self.vertices.iter().map(|v| Vertex { p: map * v.p, bulge: v.bulge * flip }).collect(),
        }
    }

    /// Corners of a polygon that lies within `tolerance` (mm, distance) of the outline; arcs become chords,
    /// never fewer than one chord for each eighth of a turn. Vertices of the outline are kept.
    pub fn flattened(&self, tolerance: f64) -> Vec<Point> {
        let mut points = Vec::with_capacity(self.vertices.len());
        for e in self.edges() {
            points.push(e.start());
            if let Edge::Arc { radius, turn, .. } = e {
                let steps = chords(radius, turn, tolerance);
                points.extend((1..steps).map(|k| e.at(k as f64 / steps as f64)));
            }
        }
        points
    }

    /// Corner of the box round the ring with the least x and y, and the one with the greatest.
    /// `None` for a ring without vertices. Arcs are counted where they bulge out.
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let box_of = |i: usize| {
            let v = self.vertices[i];
            // Of straight edges the corners tell all.
            if v.bulge == 0.0 {
                (v.p, v.p)
            } else {
                edge(v, self.vertices[(i + 1) % self.vertices.len()].p).bounds()
            }
        };
        (0..self.vertices.len()).map(box_of).reduce(|(lo, hi), (l, h)| {
            (Point::new(lo.x.min(l.x), lo.y.min(l.y)), Point::new(hi.x.max(h.x), hi.y.max(h.y)))
        })
    }
}

/// True if the direction `angle` lies on the arc that starts at the radius `from` and turns by `turn`.
pub(crate) fn within_turn(from: Vec2, turn: f64, angle: f64) -> bool {
    let ahead = if turn >= 0.0 { angle - from.atan2() } else { from.atan2() - angle };
    ahead.rem_euclid(TAU) <= turn.abs()
}

/// Number of chords that keep an arc within `tolerance` of its chords: the rise of a chord over the angle
/// `a` is r (1 - cos(a / 2)). Bounded at 4096 chords a turn.
fn chords(radius: f64, turn: f64, tolerance: f64) -> usize {
    let least = (turn.abs() / (TAU / 8.0)).ceil().max(1.0);
    let share = (1.0 - tolerance / radius).clamp(-1.0, 1.0);
    let step = (2.0 * share.acos()).max(TAU / 4096.0);
    (turn.abs() / step).ceil().max(least) as usize
}

fn edge(from: Vertex, b: Point) -> Edge {
    let a = from.p;
    if from.bulge == 0.0 {
        return Edge::Line { a, b };
    }
    let turn = 4.0 * from.bulge.atan();
    let half = (b - a) / 2.0;
    // The centre lies left of the chord by (chord / 2) / tan(turn / 2).
    let k = from.bulge;
    let centre = a + half + left_of(half) * ((1.0 - k * k) / (2.0 * k));
    Edge::Arc { a, b, centre, radius: half.hypot() * (1.0 + k * k) / (2.0 * k.abs()), turn }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn area_and_length_of_a_circle_are_exact() {
        let c = Ring::circle(Point::new(3.0, -2.0), 5.0);
        assert!((c.area() - PI * 25.0).abs() < 1e-12);
        assert!((c.perimeter() - PI * 10.0).abs() < 1e-12);
        assert!((c.reversed().area() + PI * 25.0).abs() < 1e-12);
        let (lo, hi) = c.bounds().unwrap();
        assert!((lo - Point::new(-2.0, -7.0)).hypot() < 1e-9 && (hi - Point::new(8.0, 3.0)).hypot() < 1e-9);
    }

    #[test]
    fn a_quarter_arc_bends_to_the_left_of_its_chord_travel() {
        // From (1, 0) to (0, 1) round the origin: a quarter turn left.
        let ring = Ring {
            vertices: vec![
                Vertex { p: Point::new(1.0, 0.0), bulge: (PI / 8.0).tan() },
                Vertex { p: Point::new(0.0, 1.0), bulge: 0.0 },
                Vertex { p: Point::new(0.0, 0.0), bulge: 0.0 },
            ],
        };
        let Some(Edge::Arc { centre, radius, turn, .. }) = ring.edges().next() else { panic!("an arc") };
        assert!(
            centre.to_vec2().hypot() < 1e-12
                && (radius - 1.0).abs() < 1e-12
                && (turn - PI / 2.0).abs() < 1e-12
        );
        assert!((ring.area() - PI / 4.0).abs() < 1e-12);
        let middle = ring.edges().next().unwrap().at(0.5);
        assert!((middle.to_vec2().hypot() - 1.0).abs() < 1e-12 && (middle.x - middle.y).abs() < 1e-12);
    }

    #[test]
    fn flattened_stays_within_the_tolerance_asked() {
        for k in 0..5 {
            let tolerance = 0.1_f64.powi(k);
            let r = 300.0;
            let flat = Ring::circle(Point::ZERO, r).flattened(tolerance);
            let n = flat.len();
            for i in 0..n {
                let rise = r - flat[i].midpoint(flat[(i + 1) % n]).to_vec2().hypot();
                assert!(rise <= tolerance * 1.000_001, "tolerance {tolerance:e}, rise {rise:e}");
            }
        }
    }
}
