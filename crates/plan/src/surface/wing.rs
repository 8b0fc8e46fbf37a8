//! One face of a half wing, unrolled: skin, flat and space in each other's terms.
//!
//! Without taper, sweep or rise the flat sheet is (s, -t) by definition; swept or rising it is a cylinder, tapered a cone,
//! however it is swept and rises, as its ribs are alike but for their size; all three unroll exactly. With washout, a tip section of its own or a kink it does not quite unroll: see `ruled`. The upper face of a left half and the lower face of a right half have the tip at the left: there x is mirrored.
//!
//! Beyond the trailing edge the skin goes on straight, in front of the leading edge it goes round the nose onto
//! the other face, beyond root and tip its straight lines go on: a mark that hangs off an edge still has
//! coordinates, and they lead back to the same place.

use super::cone::Cone;
use super::cylinder::Cylinder;
use super::figures::Figures;
use super::ruled::{Rib, Ruled};
use super::section::{Face, Section};
use crate::job::{SkinPair, WingShape};
use crate::words::length;
use geom::tolerance::{EQUAL_CHORDS_MM, FLATTEN_MM};
use geom::{Point, Point3, Ring, Vec2};
use skin::flatten::Strain;
use std::sync::Arc;

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
    /// From the root rib to where the skin ends, mm.
    span: f64,
    /// Slopes of the leading edge, aft and up over span.
    slopes: [f64; 2],
    right: bool,
    /// The tip is at the viewer's left.
    mirrored: bool,
    t_from_trailing: bool,
    girths: [Girth; 2],
    /// Girth at the ribs at which it kinks.
    between: Vec<Girth>,
}

/// A rib as the job or its neighbours have it.
struct AskedRib {
    station: f64,
    chord: f64,
    aft: f64,
    up: f64,
    washout_deg: f64,
    girth: Option<f64>,
}

#[derive(Clone, Debug)]
enum Roll {
    /// Neither taper nor sweep nor rise.
    Straight,
    Cylinder(Cylinder),
    Cone(Cone),
    /// Does not quite unroll.
    Ruled(Arc<Ruled>),
}

impl WingSkin {
    /// The skin of `shape` with these sections at root, kinks and tip, one if all are the same. Measures are positive
    /// and finite (the caller says so in words where they are not).
    ///
    /// # Errors
    /// In words, why it cannot be laid flat.
    pub fn new(shape: &WingShape, sections: &[Section]) -> Result<WingSkin, String> {
        let mut faces: Vec<Face> = sections.iter().map(|s| Face::new(s.clone(), shape.upper)).collect();
        let plain = shape.washout_deg.abs() <= 0.0 && shape.breaks.is_empty();
        let wing = if faces.len() > 1 || !plain {
            WingSkin::ruled(shape, &faces)?
        } else {
            WingSkin::exact(shape, faces.swap_remove(0))
        };
        Ok(WingSkin { span: shape.span - shape.tip_bow.value, ..wing })
    }

    /// Its ribs: root, kinks, tip. What a kink does not say lies straight between its neighbours that do.
    fn asked(shape: &WingShape) -> Vec<AskedRib> {
        let last = shape.breaks.len() + 1;
        let station = |k: usize| {
            if k == 0 { 0.0 } else { shape.breaks.get(k - 1).map_or(shape.span, |b| b.s) }
        };
        let between = |ends: [f64; 2], said: &dyn Fn(usize) -> Option<f64>, k: usize| {
            let value = |k: usize| match k {
                0 => Some(ends[0]),
                k if k == last => Some(ends[1]),
                k => said(k - 1),
            };
            let below = (0..=k).rev().find_map(|i| Some((station(i), value(i)?)));
            let above = (k..=last).find_map(|i| Some((station(i), value(i)?)));
            match (below, above) {
                (Some((a, low)), Some((b, high))) if a < b => low + (high - low) * (station(k) - a) / (b - a),
                (Some((_, value)), _) | (None, Some((_, value))) => value,
                (None, None) => 0.0,
            }
        };
        let girth = |k: usize| match &shape.girth {
            Some(girth) if k == 0 => Some(girth.value[0]),
            Some(girth) if k == last => Some(girth.value[1]),
            _ => k.checked_sub(1).and_then(|k| shape.breaks.get(k)?.girth),
        };
        let rib = |k: usize| AskedRib {
            station: station(k),
            chord: between(shape.chord, &|i| shape.breaks[i].chord, k),
            aft: between([0.0, shape.sweep], &|i| shape.breaks[i].sweep, k),
            up: between([0.0, shape.rise], &|i| shape.breaks[i].rise, k),
            washout_deg: between([0.0, shape.washout_deg], &|i| shape.breaks[i].washout_deg, k),
            girth: girth(k),
        };
        (0..=last).map(rib).collect()
    }

    fn ruled(shape: &WingShape, faces: &[Face]) -> Result<WingSkin, String> {
        let asked = WingSkin::asked(shape);
        let (mut ribs, mut girths) = (Vec::new(), Vec::new());
        for (k, rib) in asked.iter().enumerate() {
            let face = faces.get(k).unwrap_or(&faces[0]).clone();
            let girth = Girth {
                station: rib.station,
                chord: rib.chord,
                computed: rib.chord * face.girth(),
                measured: rib.girth,
            };
            ribs.push(Rib {
                station: rib.station,
                edge: Vec2::new(rib.aft, rib.up),
                washout: rib.washout_deg.to_radians(),
                chord: girth.used() / face.girth(),
                face,
            });
            girths.push(girth);
        }
        let chord = ribs[0].chord;
        let ruled = Ruled::new(ribs).ok_or_else(|| {
            format!("folds so sharply over its span of {} that it cannot be laid flat", length(shape.span))
        })?;
        let [root, .., tip] = girths[..] else { unreachable!("a wing has a root and a tip rib") };
        Ok(WingSkin {
            face: faces[0].clone(),
            roll: Roll::Ruled(Arc::new(ruled)),
            chord,
            span: shape.span,
            slopes: [shape.sweep, shape.rise].map(|far| far / shape.span),
            right: shape.right,
            mirrored: shape.right != shape.upper,
            t_from_trailing: shape.t_from_trailing,
            girths: [root, tip],
            between: girths[1..girths.len() - 1].to_vec(),
        })
    }

    fn exact(shape: &WingShape, face: Face) -> WingSkin {
        let girth = face.girth();
        let measured = shape.girth.as_ref().map(|g| g.value);
        let at = |i: usize, station: f64| Girth {
            station,
            chord: shape.chord[i],
            computed: shape.chord[i] * girth,
            measured: measured.map(|g| g[i]),
        };
        let girths = [at(0, 0.0), at(1, shape.span)];
        let slopes = [shape.sweep, shape.rise].map(|far| far / shape.span);
        // A measured girth scales the section about its leading edge, so that the skin stays a cylinder or cone.
        let mut chord = girths.map(|g| g.measured.map_or(g.chord, |m| m / girth));
        let roll = if (chord[0] - chord[1]).abs() > EQUAL_CHORDS_MM {
            Roll::Cone(Cone::new(&face, chord, shape.span, slopes))
        } else {
            chord[0] = chord[0].midpoint(chord[1]);
            if slopes.iter().any(|slope| slope.abs() > 0.0) {
                Roll::Cylinder(Cylinder::new(&face, chord[0], slopes))
            } else {
                Roll::Straight
            }
        };
        WingSkin {
            face,
            roll,
            chord: chord[0],
            span: shape.span,
            slopes,
            right: shape.right,
            mirrored: shape.right != shape.upper,
            t_from_trailing: shape.t_from_trailing,
            girths,
            between: Vec::new(),
        }
    }

    /// True if it unrolls without stretch.
    pub fn is_exact(&self) -> bool {
        !matches!(self.roll, Roll::Ruled(_))
    }

    /// Strain of the whole face laid flat; `None` where it unrolls exactly.
    pub fn strain(&self) -> Option<Strain> {
        if let Roll::Ruled(ruled) = &self.roll { Some(ruled.strain()) } else { None }
    }

    /// What laying it flat did over a box of the flat: its corner and its two sides. `None` where it unrolls exactly.
    pub fn figures(&self, corner: Point, sides: [Vec2; 2]) -> Option<Figures> {
        let Roll::Ruled(ruled) = &self.roll else { return None };
        let mirror = |v: Vec2| self.mirror(v.to_point()).to_vec2();
        Some(ruled.figures(self.mirror(corner), sides.map(mirror)))
    }

    /// The face from root to tip in cells of the flat, each with its greatest strain; none where it unrolls exactly.
    pub fn strained(&self) -> Vec<([Point; 4], f64)> {
        let Roll::Ruled(ruled) = &self.roll else { return Vec::new() };
        let cells = ruled.strained(self.span).into_iter();
        cells.map(|(corners, strain)| (corners.map(|p| self.mirror(p)), strain)).collect()
    }

    /// Greatest strain at a flat point; 0 where it unrolls exactly.
    pub fn strain_at(&self, p: Point) -> f64 {
        if let Roll::Ruled(ruled) = &self.roll { ruled.strain_at(self.mirror(p)) } else { 0.0 }
    }

    /// Gaussian curvature at a flat point, 1/mm2: none where it unrolls exactly. What a kink bends in its one line is not
    /// in it.
    pub fn gauss(&self, p: Point) -> f64 {
        let Roll::Ruled(ruled) = &self.roll else { return 0.0 };
        let (s, share) = self.station(p);
        ruled.gauss(s, share)
    }

    /// Stations of the ribs at which it kinks.
    pub fn breaks(&self) -> Vec<f64> {
        if let Roll::Ruled(ruled) = &self.roll { ruled.breaks().collect() } else { Vec::new() }
    }

    /// Girth at the ribs at which it kinks.
    pub fn girths_between(&self) -> &[Girth] {
        &self.between
    }

    /// Chord at station `s` as the job has it, straight between its ribs, mm.
    pub fn chord_asked(&self, s: f64) -> f64 {
        let [root, tip] = &self.girths;
        let ribs: Vec<&Girth> = [root].into_iter().chain(&self.between).chain([tip]).collect();
        let i = ribs.partition_point(|g| g.station <= s).clamp(1, ribs.len() - 1) - 1;
        let share = (s - ribs[i].station) / (ribs[i + 1].station - ribs[i].station);
        ribs[i].chord + (ribs[i + 1].chord - ribs[i].chord) * share.clamp(0.0, 1.0)
    }

    /// Which way the leading edge runs in flat at a flat point, from rib to rib, x to the right; along x on all but a
    /// skin that kinks.
    pub fn edge_direction(&self, p: Point) -> Vec2 {
        let Roll::Ruled(ruled) = &self.roll else { return Vec2::new(1.0, 0.0) };
        let v = ruled.edge_direction(self.station(p).0);
        if self.mirrored { Vec2::new(v.x, -v.y) } else { v }
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
        self.leading_edge_to(self.span)
    }

    /// Length of the leading edge from the root to station `s`, mm.
    pub fn leading_edge_to(&self, s: f64) -> f64 {
        match &self.roll {
            Roll::Ruled(ruled) => ruled.edge_length(s),
            _ => s * Point3::new(self.slopes[0], 1.0, self.slopes[1]).length(),
        }
    }

    /// Chord at station `s` after a measured girth has been made to fit, mm.
    pub fn chord(&self, s: f64) -> f64 {
        match &self.roll {
            Roll::Straight | Roll::Cylinder(_) => self.chord,
            Roll::Cone(cone) => self.chord * cone.share(s),
            Roll::Ruled(ruled) => ruled.chord(s),
        }
    }

    /// Skin length from the leading to the trailing edge along the rib direction at station `s`, mm.
    pub fn girth(&self, s: f64) -> f64 {
        match &self.roll {
            Roll::Ruled(ruled) => ruled.girth(s),
            _ => self.chord(s) * self.face.girth(),
        }
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
        if let Roll::Ruled(ruled) = &self.roll {
            return self.mirror(ruled.flat(s, ruled.share(s, t)));
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
        if let Roll::Ruled(ruled) = &self.roll {
            return [s, ruled.t(s, u)];
        }
        [s, self.chord(s) * self.face.tau_from_u(u)]
    }

    /// The point in space of a flat point: x aft, y to starboard, z up, from the root rib's leading edge.
    pub fn space_from_flat(&self, p: Point) -> Point3 {
        let (s, u) = self.station(p);
        if let Roll::Ruled(ruled) = &self.roll {
            let q = ruled.space(s, u);
            return Point3::new(q.x, if self.right { q.y } else { -q.y }, q.z);
        }
        let q = self.face.at(u).0.to_vec2() * self.chord(s);
        let [aft, up] = self.slopes.map(|slope| slope * s);
        Point3::new(aft + q.x, if self.right { s } else { -s }, up + q.y)
    }

    /// The span axis laid onto the skin at a flat point, as a direction in flat that has x to the right.
    pub fn span_direction(&self, p: Point) -> Vec2 {
        let (s, u) = self.station(p);
        let v = match &self.roll {
            Roll::Straight => Vec2::new(1.0, 0.0),
            Roll::Cylinder(roll) => roll.span_direction(&self.face, u),
            Roll::Cone(roll) => roll.span_direction(&self.face, u),
            Roll::Ruled(ruled) => ruled.span_direction(s, u),
        };
        // Mirrored, the span points left; the reader reads along it the other way.
        if self.mirrored { Vec2::new(v.x, -v.y) } else { v }
    }

    /// The rib at station `s` in flat, leading to trailing edge, within `FLATTEN_MM`.
    pub fn rib(&self, s: f64) -> Vec<Point> {
        let ends = match self.roll {
            Roll::Straight => vec![0.0, self.face.range().1],
            Roll::Ruled(_) => vec![0.0, 1.0],
            _ => self.face.breaks().into_iter().filter(|u| *u >= 0.0).collect(),
        };
        let mut line = vec![self.flat(s, ends[0])];
        for w in ends.windows(2) {
            draw(&|u| self.flat(s, u), w[0], w[1], MAX_HALVINGS, &mut line);
        }
        thinned(&line)
    }

    /// The leading edge (`share` 0) or the trailing edge (1) of a skin that does not unroll, root to tip.
    fn edge(&self, share: f64) -> Vec<Point> {
        let mut ends = vec![0.0];
        ends.extend(self.breaks().into_iter().filter(|s| *s < self.span));
        ends.push(self.span);
        let mut line = vec![self.flat(0.0, share)];
        for w in ends.windows(2) {
            draw(&|s| self.flat(s, share), w[0], w[1], MAX_HALVINGS, &mut line);
        }
        thinned(&line)
    }

    /// The edge of the skin in flat, counter-clockwise, within `FLATTEN_MM`.
    pub fn outline(&self) -> Ring {
        let (root, tip) = (self.rib(0.0), self.rib(self.span));
        let ring = if let Roll::Ruled(_) = &self.roll {
            // Each side without its last corner, which the next begins with.
            let but_last = |mut side: Vec<Point>| {
                side.pop();
                side
            };
            let back = |mut side: Vec<Point>| {
                side.reverse();
                side
            };
            let sides = [root, self.edge(1.0), back(tip), back(self.edge(0.0))];
            Ring::from_points(sides.into_iter().flat_map(but_last).collect::<Vec<_>>())
        } else {
            Ring::from_points(root.into_iter().chain(tip.into_iter().rev()))
        };
        if ring.area() < 0.0 { ring.reversed() } else { ring }
    }

    /// Flat point at station `s` and the section's parameter `u`; on a skin that does not unroll `u` is the share of the
    /// girth.
    fn flat(&self, s: f64, u: f64) -> Point {
        self.mirror(match &self.roll {
            Roll::Straight => Point::new(s, -self.chord * self.face.tau_from_u(u)),
            Roll::Cylinder(roll) => roll.flat(&self.face, s, u),
            Roll::Cone(roll) => roll.flat(&self.face, s, u),
            Roll::Ruled(ruled) => ruled.flat(s, u),
        })
    }

    /// Station and the section's parameter (or share of the girth) of a flat point.
    fn station(&self, p: Point) -> (f64, f64) {
        let p = self.mirror(p);
        match &self.roll {
            Roll::Straight => (p.x, self.face.u_from_tau(-p.y / self.chord)),
            Roll::Cylinder(roll) => roll.station(&self.face, p),
            Roll::Cone(roll) => roll.station(&self.face, p),
            Roll::Ruled(ruled) => ruled.station(p),
        }
    }

    fn mirror(&self, p: Point) -> Point {
        if self.mirrored { Point::new(-p.x, p.y) } else { p }
    }
}

/// Adds a curve from one parameter to another as a polyline, without its first point.
fn draw(flat: &dyn Fn(f64) -> Point, from: f64, to: f64, left: u32, line: &mut Vec<Point>) {
    let (a, b) = (flat(from), flat(to));
    let straight =
        |share: f64| off_line(flat(from + (to - from) * share), a, b) <= CAREFUL / 2.0 * FLATTEN_MM;
    if left == 0 || [0.25, 0.5, 0.75].into_iter().all(straight) {
        line.push(b);
    } else {
        let middle = from.midpoint(to);
        draw(flat, from, middle, left - 1, line);
        draw(flat, middle, to, left - 1, line);
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
