//! The lines and curves of one character, gathered as they are read, and made into clean rings.
//!
//! Curves become chords within `GLYPH_FLATTEN`. Parts that lie over one another are united, holes run
//! clockwise whatever the file says, crumbs are swept off. A drawing no honest font has (too many corners, too
//! many crossings, points far off the sheet) is refused before it costs time or room.

use geom::tolerance::{GLYPH_CRUMB, GLYPH_FLATTEN, NOISE_UNIT};
use geom::{Affine, Point, Ring, Vec2, boolean};

/// Most corners of a character, curves cut into chords. chosen: a round letter has under a thousand.
const CORNERS_MOST: usize = 20_000;
/// Most chords of one curve. chosen: a quarter of a circle of twenty cap heights takes a thousand.
const CHORDS_MOST: f64 = 1_000.0;
/// Most places where the lines of a character cross or touch. chosen: overlapping strokes make a few dozen.
const CROSSINGS_MOST: usize = 2_000;
/// Farthest a point may lie from the start of its character, in ems. chosen: letters stay within three.
const REACH_EM: f64 = 32.0;
/// Size, mm, at which parts are united: a cap height of 10 m makes the grid a ten-millionth of it.
const WORK_MM: f64 = 10_000.0;

/// Why a drawing was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    /// More corners or crossings than a letter has.
    Intricate,
    /// A point beyond `REACH_EM`, or one that is no number.
    Far,
}

/// The contours of a character as they are read.
pub(super) struct Contours {
    unit: f64,
    reach: f64,
    done: Vec<Vec<Point>>,
    open: Vec<Point>,
    corners: usize,
    refused: Option<Refused>,
}

impl Contours {
    /// Nothing drawn yet. `unit` is the length, in the file's units, that becomes 1; `units_per_em` is the
    /// file's own.
    pub(super) fn new(unit: f64, units_per_em: f64) -> Contours {
        let reach = REACH_EM * units_per_em / unit;
        Contours { unit, reach, done: Vec::new(), open: Vec::new(), corners: 0, refused: None }
    }

    /// Begins a contour.
    pub(super) fn start(&mut self, p: Point) {
        self.close();
        self.push(self.scaled(p));
    }

    /// Straight on to `p`.
    pub(super) fn line(&mut self, p: Point) {
        self.push(self.scaled(p));
    }

    /// Along a quadratic curve with one handle.
    ///
    /// The error of a chord is at most h^2/8 of the greatest second derivative, which is 2 (a - 2b + c) all
    /// along; n chords have h = 1/n (linear interpolation, from memory).
    pub(super) fn quadratic(&mut self, b: Point, c: Point) {
        let (b, c) = (self.scaled(b), self.scaled(c));
        let Some(a) = self.open.last().copied() else { return self.push(c) };
        let bend = ((a - b) + (c - b)).hypot();
        let n = chords((bend / (4.0 * GLYPH_FLATTEN)).sqrt());
        for k in 1..=n {
            let t = f64::from(k) / f64::from(n);
            self.push(if k == n { c } else { a.lerp(b, t).lerp(b.lerp(c, t), t) });
        }
    }

    /// Along a cubic curve with two handles; the chords as for the quadratic, with the second derivative at
    /// most 6 times the greater bend.
    pub(super) fn cubic(&mut self, b: Point, c: Point, d: Point) {
        let (b, c, d) = (self.scaled(b), self.scaled(c), self.scaled(d));
        let Some(a) = self.open.last().copied() else { return self.push(d) };
        let bend = ((a - b) + (c - b)).hypot().max(((b - c) + (d - c)).hypot());
        let n = chords((0.75 * bend / GLYPH_FLATTEN).sqrt());
        for k in 1..=n {
            let t = f64::from(k) / f64::from(n);
            let (ab, bc, cd) = (a.lerp(b, t), b.lerp(c, t), c.lerp(d, t));
            self.push(if k == n { d } else { ab.lerp(bc, t).lerp(bc.lerp(cd, t), t) });
        }
    }

    /// Ends the contour.
    pub(super) fn close(&mut self) {
        let mut points = std::mem::take(&mut self.open);
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        if points.len() > 2 {
            self.done.push(points);
        }
    }

    /// True if anything was drawn.
    pub(super) fn drawn(&self) -> bool {
        self.corners > 0
    }

    /// The rings of what was drawn, in units of `unit`: outer rings counter-clockwise, each before its holes,
    /// holes clockwise. Empty if nothing but crumbs was drawn.
    ///
    /// # Errors
    /// A drawing no honest font has.
    pub(super) fn rings(mut self) -> Result<Vec<Ring>, Refused> {
        self.close();
        if let Some(why) = self.refused {
            return Err(why);
        }
        if tangled(&self.done) {
            return Err(Refused::Intricate);
        }
        let grown = Affine::scale(WORK_MM);
        let drawn: Vec<Ring> =
            self.done.iter().map(|c| Ring::from_points(c.iter().map(|p| grown * *p))).collect();
        let back = Affine::scale(1.0 / WORK_MM);
        let united = boolean::union(&drawn, &[]).into_iter().map(|r| r.mapped(back));
        // A ring's area over half its length is its mean thickness.
        Ok(united.filter(|r| 2.0 * r.area().abs() > GLYPH_CRUMB * r.perimeter()).collect())
    }

    fn scaled(&self, p: Point) -> Point {
        Point::new(p.x / self.unit, p.y / self.unit)
    }

    fn push(&mut self, p: Point) {
        if self.refused.is_some() || self.open.last() == Some(&p) {
            return;
        }
        let near = p.x.abs() <= self.reach && p.y.abs() <= self.reach;
        if !near {
            self.refused = Some(Refused::Far);
        } else if self.corners == CORNERS_MOST {
            self.refused = Some(Refused::Intricate);
        } else {
            self.corners += 1;
            self.open.push(p);
        }
    }
}

fn chords(n: f64) -> u32 {
    // A bend that is no number asks for one chord; its points are refused one by one.
    n.ceil().clamp(1.0, CHORDS_MOST) as u32
}

/// True if the lines cross or touch in more than `CROSSINGS_MOST` places, besides meeting at corners.
fn tangled(contours: &[Vec<Point>]) -> bool {
    struct Side {
        a: Point,
        b: Point,
        low: f64,
        high: f64,
    }
    let mut sides: Vec<Side> = Vec::new();
    for c in contours {
        for (i, a) in c.iter().enumerate() {
            let b = c[(i + 1) % c.len()];
            sides.push(Side { a: *a, b, low: a.x.min(b.x), high: a.x.max(b.x) });
        }
    }
    sides.sort_by(|s, t| s.low.total_cmp(&t.low));
    let mut found = 0;
    for (i, s) in sides.iter().enumerate() {
        for t in sides[i + 1..].iter().take_while(|t| t.low <= s.high) {
            if s.a.y.max(s.b.y) < t.a.y.min(t.b.y) || t.a.y.max(t.b.y) < s.a.y.min(s.b.y) {
                continue;
            }
            let meet = s.a == t.a || s.a == t.b || s.b == t.a || s.b == t.b;
            if !meet && parted(s.a, s.b, t.a, t.b) && parted(t.a, t.b, s.a, s.b) {
                found += 1;
                if found > CROSSINGS_MOST {
                    return true;
                }
            }
        }
    }
    false
}

/// True unless `p` and `q` lie on one side of the line through `a` and `b`.
fn parted(a: Point, b: Point, p: Point, q: Point) -> bool {
    let along: Vec2 = b - a;
    let (u, v) = (along.cross(p - a), along.cross(q - a));
    !(u > NOISE_UNIT && v > NOISE_UNIT || u < -NOISE_UNIT && v < -NOISE_UNIT)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit() -> Contours {
        Contours::new(1.0, 1.0)
    }

    fn square(c: &mut Contours, x: f64, y: f64, side: f64, backwards: bool) {
        let mut corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        if backwards {
            corners.reverse();
        }
        c.start(Point::new(x + side * corners[0].0, y + side * corners[0].1));
        for (u, v) in &corners[1..] {
            c.line(Point::new(x + side * u, y + side * v));
        }
        c.close();
    }

    #[test]
    fn a_parabola_keeps_the_area_of_its_closed_form() {
        // Archimedes: the segment under the curve (0, 0), (1, 2), (2, 0) is 4/3 of its triangle of area 1.
        let mut c = unit();
        c.start(Point::ZERO);
        c.quadratic(Point::new(1.0, 2.0), Point::new(2.0, 0.0));
        let rings = c.rings().unwrap();
        let missing = 4.0 / 3.0 - rings[0].area();
        assert!((0.0..2.0 * 3.0 * GLYPH_FLATTEN).contains(&missing), "{missing}");
    }

    #[test]
    fn a_cubic_with_the_handles_of_a_parabola_is_that_parabola() {
        // Degree elevation: handles at two thirds of the way to the quadratic's handle (from memory).
        let mut c = unit();
        c.start(Point::ZERO);
        c.cubic(Point::new(2.0 / 3.0, 4.0 / 3.0), Point::new(4.0 / 3.0, 4.0 / 3.0), Point::new(2.0, 0.0));
        let ring = c.rings().unwrap().remove(0);
        for p in ring.vertices.iter().map(|v| v.p) {
            assert!((p.y - p.x * (2.0 - p.x)).abs() < 1e-6, "{p:?}");
        }
    }

    #[test]
    fn parts_that_overlap_are_one_and_wrong_way_rings_are_set_right() {
        // Closed form: 1 + 1 - 1/4.
        let mut c = unit();
        square(&mut c, 0.0, 0.0, 1.0, true);
        square(&mut c, 0.5, 0.5, 1.0, true);
        let rings = c.rings().unwrap();
        assert_eq!(rings.len(), 1);
        assert!((rings[0].area() - 1.75).abs() < 1e-6);

        let mut c = unit();
        square(&mut c, 0.0, 0.0, 1.0, true);
        square(&mut c, 0.25, 0.25, 0.5, false);
        let rings = c.rings().unwrap();
        assert!((rings[0].area() - 1.0).abs() < 1e-6 && (rings[1].area() + 0.25).abs() < 1e-6);
    }

    #[test]
    fn crumbs_are_swept_off() {
        let mut c = unit();
        square(&mut c, 0.0, 0.0, 1.0, false);
        square(&mut c, 2.0, 0.0, GLYPH_CRUMB, false);
        assert_eq!(c.rings().unwrap().len(), 1);
    }

    #[test]
    fn a_hatch_of_crossing_lines_is_refused_before_it_is_united() {
        let mut c = unit();
        for k in 0..100 {
            let x = 0.01 * f64::from(k);
            c.start(Point::new(x, 0.0));
            [(x + 0.001, 0.0), (x + 0.001, 1.0), (x, 1.0)].into_iter().for_each(|p| c.line(p.into()));
            c.start(Point::new(0.0, x));
            [(0.0, x + 0.001), (1.0, x + 0.001), (1.0, x)].into_iter().for_each(|p| c.line(p.into()));
        }
        assert_eq!(c.rings(), Err(Refused::Intricate));
    }

    #[test]
    fn points_off_the_sheet_or_without_end_are_refused() {
        let mut c = unit();
        square(&mut c, 0.0, 0.0, 33.0, false);
        assert_eq!(c.rings(), Err(Refused::Far));
        let mut c = unit();
        c.start(Point::new(f64::NAN, 0.0));
        assert_eq!(c.rings(), Err(Refused::Far));
        let mut c = unit();
        c.start(Point::ZERO);
        (0..30_000).for_each(|k| c.line(Point::new(f64::from(k % 7), f64::from(k % 2))));
        assert_eq!(c.rings(), Err(Refused::Intricate));
    }
}
