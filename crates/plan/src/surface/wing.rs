//! One face of a half wing, unrolled: skin, flat and space in each other's terms.
//!
//! Without taper or sweep the flat sheet is (s, -t) by definition; swept it is a cylinder, tapered a cone. The
//! upper face of a left half and the lower face of a right half have the tip at the left: there x is mirrored.
//!
//! Beyond the trailing edge the skin goes on straight, in front of the leading edge it goes round the nose onto
//! the other face, beyond root and tip its straight lines go on: a mark that hangs off an edge still has
//! coordinates, and they lead back to the same place.

use super::cone::Cone;
use super::cylinder::Cylinder;
use super::section::{Face, Section};
use crate::job::{SkinPair, WingShape};
use geom::tolerance::{EQUAL_CHORDS_MM, FLATTEN_MM};
use geom::{Point, Point3, Ring, Vec2};

/// Most halvings of a rib's curve when it is drawn as a polyline: 2^12 chords, of which a nose needs dozens.
const MAX_HALVINGS: u32 = 12;

/// Share of the tolerance that the polyline of a rib uses up at the places where it is compared.
const CAREFUL: f64 = 0.8;

/// The girth of a face at one rib.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Girth {
    /// Station of the rib, mm.
    pub station: f64,
    /// Chord as the job has it, mm.
    pub chord: f64,
    /// Girth by the section and that chord, mm.
    pub computed: f64,
    /// Girth as measured, mm; used instead where it is given.
    pub measured: Option<f64>,
}

impl Girth {
    /// The girth that is used, mm.
    pub fn used(&self) -> f64 {
        self.measured.unwrap_or(self.computed)
    }
}

/// One face of a half wing.
#[derive(Clone, Debug)]
pub struct WingSkin {
    face: Face,
    roll: Roll,
    /// Chord at the root after the measured girth has been made to fit, mm.
    chord: f64,
    span: f64,
    slope: f64,
    right: bool,
    /// The tip is at the viewer's left.
    mirrored: bool,
    t_from_trailing: bool,
    girths: [Girth; 2],
}

#[derive(Clone, Debug)]
enum Roll {
    /// Neither taper nor sweep.
    Straight,
    Cylinder(Cylinder),
    Cone(Cone),
}

impl WingSkin {
    /// The skin of `shape` with `section` from root to tip. Measures are positive and finite (the caller says so
    /// in words where they are not).
    pub fn new(shape: &WingShape, section: Section) -> WingSkin {
        let face = Face::new(section, shape.upper);
        let girth = face.girth();
        let measured = shape.girth.as_ref().map(|g| g.value);
        let at = |i: usize, station: f64| Girth {
            station,
            chord: shape.chord[i],
            computed: shape.chord[i] * girth,
            measured: measured.map(|g| g[i]),
        };
        let girths = [at(0, 0.0), at(1, shape.span)];
        let slope = shape.sweep / shape.span;
        // A measured girth scales the section about its leading edge, so that the skin stays a cylinder or cone.
        let mut chord = girths.map(|g| g.measured.map_or(g.chord, |m| m / girth));
        let roll = if (chord[0] - chord[1]).abs() > EQUAL_CHORDS_MM {
            Roll::Cone(Cone::new(&face, chord, shape.span, slope))
        } else {
            chord[0] = chord[0].midpoint(chord[1]);
            if slope.abs() > 0.0 {
                Roll::Cylinder(Cylinder::new(&face, chord[0], slope))
            } else {
                Roll::Straight
            }
        };
        WingSkin {
            face,
            roll,
            chord: chord[0],
            span: shape.span,
            slope,
            right: shape.right,
            mirrored: shape.right != shape.upper,
            t_from_trailing: shape.t_from_trailing,
            girths,
        }
    }

    /// Girth at root and tip.
    pub fn girths(&self) -> [Girth; 2] {
        self.girths
    }

    /// Root to tip, mm.
    pub fn span(&self) -> f64 {
        self.span
    }

    /// Length of the leading edge, mm: what a tape along it reads.
    pub fn leading_edge(&self) -> f64 {
        self.span * self.slope.hypot(1.0)
    }

    /// Chord at station `s` after a measured girth has been made to fit, mm.
    pub fn chord(&self, s: f64) -> f64 {
        match &self.roll {
            Roll::Straight | Roll::Cylinder(_) => self.chord,
            Roll::Cone(cone) => self.chord * cone.share(s),
        }
    }

    /// Skin length from the leading to the trailing edge along the rib direction at station `s`, mm.
    pub fn girth(&self, s: f64) -> f64 {
        self.chord(s) * self.face.girth()
    }

    /// The skin point, t from the leading edge, of a point as the user measures it.
    pub fn skin_from_user(&self, p: SkinPair) -> SkinPair {
        if self.t_from_trailing { [p[0], self.girth(p[0]) - p[1]] } else { p }
    }

    /// Flat point of a skin point. Stations at or beyond the apex of a tapered panel have none: what comes back
    /// there lies on the far side of the apex and does not lead back.
    pub fn flat_from_skin(&self, p: SkinPair) -> Point {
        let [s, t] = p;
        if let Roll::Straight = self.roll {
            return self.mirror(Point::new(s, -t));
        }
        self.flat(s, self.face.u_from_tau(t / self.chord(s)))
    }

    /// Skin point of a flat point.
    pub fn skin_from_flat(&self, p: Point) -> SkinPair {
        if let Roll::Straight = self.roll {
            let p = self.mirror(p);
            return [p.x, -p.y];
        }
        let (s, u) = self.station(p);
        [s, self.chord(s) * self.face.tau_from_u(u)]
    }

    /// The point in space of a flat point: x aft, y to starboard, z up, from the root rib's leading edge.
    pub fn space_from_flat(&self, p: Point) -> Point3 {
        let (s, u) = self.station(p);
        let q = self.face.at(u).0.to_vec2() * self.chord(s);
        Point3::new(self.slope * s + q.x, if self.right { s } else { -s }, q.y)
    }

    /// The span axis laid onto the skin at a flat point, as a direction in flat that has x to the right.
    pub fn span_direction(&self, p: Point) -> Vec2 {
        let u = self.station(p).1;
        let v = match &self.roll {
            Roll::Straight => Vec2::new(1.0, 0.0),
            Roll::Cylinder(roll) => roll.span_direction(&self.face, u),
            Roll::Cone(roll) => roll.span_direction(&self.face, u),
        };
        // Mirrored, the span points left; the reader reads along it the other way.
        if self.mirrored { Vec2::new(v.x, -v.y) } else { v }
    }

    /// The rib at station `s` in flat, leading to trailing edge, within `FLATTEN_MM`.
    pub fn rib(&self, s: f64) -> Vec<Point> {
        let ends = match self.roll {
            Roll::Straight => vec![0.0, self.face.range().1],
            _ => self.face.breaks().into_iter().filter(|u| *u >= 0.0).collect(),
        };
        let mut line = vec![self.flat(s, ends[0])];
        for w in ends.windows(2) {
            self.draw(s, w[0], w[1], MAX_HALVINGS, &mut line);
        }
        thinned(&line)
    }

    fn draw(&self, s: f64, from: f64, to: f64, left: u32, line: &mut Vec<Point>) {
        let (a, b) = (self.flat(s, from), self.flat(s, to));
        let straight = |share: f64| {
            let p = self.flat(s, from + (to - from) * share);
            off_line(p, a, b) <= CAREFUL / 2.0 * FLATTEN_MM
        };
        if left == 0 || [0.25, 0.5, 0.75].into_iter().all(straight) {
            line.push(b);
        } else {
            let middle = from.midpoint(to);
            self.draw(s, from, middle, left - 1, line);
            self.draw(s, middle, to, left - 1, line);
        }
    }

    /// The edge of the skin in flat, counter-clockwise, within `FLATTEN_MM`.
    pub fn outline(&self) -> Ring {
        let tip = self.rib(self.span);
        let ring = Ring::from_points(self.rib(0.0).into_iter().chain(tip.into_iter().rev()));
        if ring.area() < 0.0 { ring.reversed() } else { ring }
    }

    /// Flat point at station `s` and the section's parameter `u`.
    fn flat(&self, s: f64, u: f64) -> Point {
        self.mirror(match &self.roll {
            Roll::Straight => Point::new(s, -self.chord * self.face.tau_from_u(u)),
            Roll::Cylinder(roll) => roll.flat(&self.face, s, u),
            Roll::Cone(roll) => roll.flat(&self.face, s, u),
        })
    }

    /// Station and the section's parameter of a flat point.
    fn station(&self, p: Point) -> (f64, f64) {
        let p = self.mirror(p);
        match &self.roll {
            Roll::Straight => (p.x, self.face.u_from_tau(-p.y / self.chord)),
            Roll::Cylinder(roll) => roll.station(&self.face, p),
            Roll::Cone(roll) => roll.station(&self.face, p),
        }
    }

    fn mirror(&self, p: Point) -> Point {
        if self.mirrored { Point::new(-p.x, p.y) } else { p }
    }
}

/// Distance of `p` from the line through `a` and `b`, or from `a` if they are one point.
fn off_line(p: Point, a: Point, b: Point) -> f64 {
    let v = b - a;
    if v.hypot2() > 0.0 { v.cross(p - a).abs() / v.hypot() } else { p.distance(a) }
}

/// The polyline without the points it can spare: a section's own breaks are many, and a rib on a cone bends
/// little. Points are left out greedily while all of those left out stay within the rest of the tolerance.
fn thinned(line: &[Point]) -> Vec<Point> {
    let mut kept = vec![line[0]];
    let mut from = 0;
    while from + 1 < line.len() {
        let fits = |&to: &usize| {
            line[from + 1..to]
                .iter()
                .all(|&p| off_line(p, line[from], line[to]) <= CAREFUL / 2.0 * FLATTEN_MM)
        };
        let to = (from + 1..line.len()).take_while(fits).last().unwrap_or(from + 1);
        kept.push(line[to]);
        from = to;
    }
    kept
}
