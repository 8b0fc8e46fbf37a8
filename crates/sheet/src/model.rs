//! What a sheet is made of: layers of outlines, circles and lines of words.
//!
//! Everything more (dimensions, balloons, title blocks) is made out of these by the other modules, so that a
//! writer of a file format has three things to draw and no more.

use crate::advance::{ASCENT, CAP_HEIGHT, DESCENT};
use crate::pens::Stroke;
use crate::tokens::{Colour, INK};
use crate::words::{Weight, Words};
use geom::point::left_of;
use geom::{Edge, Point, Ring, Vec2, Vertex};
use std::f64::consts::PI;

/// A drawing on one piece of paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Width of the paper, mm.
    pub width_mm: f64,
    /// Height of the paper, mm.
    pub height_mm: f64,
    /// Drawn in this order, the last on top.
    pub layers: Vec<Layer>,
    /// What the drawing is, in a few words, for those who hear it rather than see it.
    pub title: String,
    /// What is to be seen on it.
    pub description: String,
}

/// Things drawn together under one name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layer {
    /// Its name: small words, as in "cut lines".
    pub name: String,
    /// Drawn in this order.
    pub items: Vec<Item>,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// Outlines, stroked or filled or both.
    Path(Path),
    /// A circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
        /// Its line, if it has one.
        stroke: Option<Stroke>,
        /// What it is filled with, if anything.
        fill: Option<Fill>,
    },
    /// A line of words.
    Text(Text),
}

/// Outlines drawn as one thing. Where several are filled together, rings counter-clockwise are filled and
/// rings clockwise are holes in them (the winding number decides, not the nesting).
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// The outlines.
    pub outlines: Vec<Outline>,
    /// Their line, if they have one.
    pub stroke: Option<Stroke>,
    /// What they are filled with, if anything.
    pub fill: Option<Fill>,
}

/// A run of straight and round edges, closed or open.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Corners in order; each bulge bends the edge to the next corner. The last bulge of an open outline
    /// bends nothing.
    pub vertices: Vec<Vertex>,
    /// True if the last corner is joined to the first.
    pub closed: bool,
}

/// What lies inside an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// One colour all over.
    Plain(Colour),
    /// Lines at 45 degrees, in the narrow pen.
    Hatch {
        /// Colour of the lines.
        colour: Colour,
        /// From one line to the next, square across, mm.
        spacing: f64,
        /// Which way they lean.
        lean: Lean,
    },
}

/// Which way hatch lines lean, so that two hatched things side by side stay apart without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lean {
    /// Rising to the right.
    Rising,
    /// Falling to the right.
    Falling,
}

/// Where a line of words is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its first letter.
    Start,
    /// At its middle.
    Middle,
    /// At its last letter.
    End,
}

/// A line of words with its place and looks.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// On the baseline, where `anchor` says.
    pub at: Point,
    /// What it says.
    pub words: Words,
    /// Size, mm to the em; capitals and figures are about 0.73 of it tall.
    pub size: f64,
    /// Which part of the line `at` holds.
    pub anchor: Anchor,
    /// Direction of reading, radians counter-clockwise from level.
    pub turn: f64,
    /// How heavy.
    pub weight: Weight,
    /// In which colour.
    pub colour: Colour,
    /// True if a strip of paper behind the words hides the lines drawn before them.
    pub clears: bool,
}

impl Text {
    /// A level line in regular ink that starts at `at`.
    pub fn new(at: Point, words: impl Into<Words>, size: f64) -> Text {
        Text {
            at,
            words: words.into(),
            size,
            anchor: Anchor::Start,
            turn: 0.0,
            weight: Weight::Regular,
            colour: INK,
            clears: false,
        }
    }

    /// A level line whose capitals are centred on `at`.
    pub fn centred(at: Point, words: impl Into<Words>, size: f64) -> Text {
        let baseline = at - Vec2::new(0.0, CAP_HEIGHT / 2.0 * size);
        Text { anchor: Anchor::Middle, ..Text::new(baseline, words, size) }
    }

    /// Estimated width, mm.
    pub fn width(&self) -> f64 {
        self.words.width(self.size, self.weight)
    }

    /// The corners of the box round it, counter-clockwise from below the first letter. Estimated wide.
    pub fn corners(&self) -> [Point; 4] {
        let along = Vec2::from_angle(self.turn);
        let up = left_of(along) * self.size;
        let width = self.width();
        let start = match self.anchor {
            Anchor::Start => self.at,
            Anchor::Middle => self.at - along * (width / 2.0),
            Anchor::End => self.at - along * width,
        };
        let end = start + along * width;
        [start - up * DESCENT, end - up * DESCENT, end + up * ASCENT, start + up * ASCENT]
    }
}

impl Outline {
    /// Straight from point to point, open.
    pub fn polyline(points: impl IntoIterator<Item = Point>) -> Outline {
        Outline { vertices: Ring::from_points(points).vertices, closed: false }
    }

    /// Open, through `edges` in order, each beginning where the one before ends.
    pub fn from_edges(edges: &[Edge]) -> Outline {
        let mut vertices = Vec::with_capacity(edges.len() + 1);
        for edge in edges {
            match *edge {
                Edge::Line { a, .. } => vertices.push(Vertex { p: a, bulge: 0.0 }),
                Edge::Arc { a, turn, .. } => {
                    // A whole turn has no bulge that is a number; halves of it have.
                    let parts = if turn.abs() > PI { 2.0 } else { 1.0 };
                    let bulge = (turn / parts / 4.0).tan();
                    vertices.push(Vertex { p: a, bulge });
                    if parts > 1.0 {
                        vertices.push(Vertex { p: edge.at(0.5), bulge });
                    }
                }
            }
        }
        if let Some(last) = edges.last() {
            vertices.push(Vertex { p: last.end(), bulge: 0.0 });
        }
        Outline { vertices, closed: false }
    }

    /// The edges in order.
    pub fn edges(&self) -> Vec<Edge> {
        let ring = Ring { vertices: self.vertices.clone() };
        let count = if self.closed { self.vertices.len() } else { self.vertices.len().saturating_sub(1) };
        ring.edges().take(count).collect()
    }
}

impl From<&Ring> for Outline {
    fn from(ring: &Ring) -> Outline {
        Outline { vertices: ring.vertices.clone(), closed: true }
    }
}

impl Item {
    /// Rings drawn with `stroke` and nothing inside.
    pub fn rings<'a>(rings: impl IntoIterator<Item = &'a Ring>, stroke: Stroke) -> Item {
        let outlines = rings.into_iter().map(Outline::from).collect();
        Item::Path(Path { outlines, stroke: Some(stroke), fill: None })
    }

    /// Rings filled and not stroked.
    pub fn filled<'a>(rings: impl IntoIterator<Item = &'a Ring>, fill: Fill) -> Item {
        let outlines = rings.into_iter().map(Outline::from).collect();
        Item::Path(Path { outlines, stroke: None, fill: Some(fill) })
    }

    /// A polyline drawn with `stroke`.
    pub fn line(points: impl IntoIterator<Item = Point>, stroke: Stroke) -> Item {
        Item::Path(Path { outlines: vec![Outline::polyline(points)], stroke: Some(stroke), fill: None })
    }

    /// A circle drawn with `stroke` and nothing inside.
    pub fn circle(centre: Point, radius: f64, stroke: Stroke) -> Item {
        Item::Circle { centre, radius, stroke: Some(stroke), fill: None }
    }
}

/// An upright rectangle on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Lower left corner.
    pub lo: Point,
    /// Upper right corner.
    pub hi: Point,
}

impl Room {
    /// Width, mm.
    pub fn width(self) -> f64 {
        self.hi.x - self.lo.x
    }

    /// Height, mm.
    pub fn height(self) -> f64 {
        self.hi.y - self.lo.y
    }

    /// The middle.
    pub fn centre(self) -> Point {
        self.lo.midpoint(self.hi)
    }

    /// True if a point lies in it or on its outline.
    pub fn holds(self, p: Point) -> bool {
        self.lo.x <= p.x && p.x <= self.hi.x && self.lo.y <= p.y && p.y <= self.hi.y
    }

    /// The rectangle drawn in by `by` mm on every side.
    pub fn inset(self, by: f64) -> Room {
        Room { lo: self.lo + Vec2::new(by, by), hi: self.hi - Vec2::new(by, by) }
    }

    /// Its outline, counter-clockwise.
    pub fn ring(self) -> Ring {
        let (lo, hi) = (self.lo, self.hi);
        Ring::from_points([lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)])
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, TAU};

    /// True if two boxes, given by their corners, share more than a touch: no side of either parts them.
    pub(crate) fn boxes_overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
        let parted = |p: &[Point; 4], q: &[Point; 4]| {
            (0..4).any(|i| {
                let out = -left_of(p[(i + 1) % 4] - p[i]).normalize();
                q.iter().all(|c| (*c - p[i]).dot(out) >= -1e-6)
            })
        };
        !parted(a, b) && !parted(b, a)
    }

    #[test]
    fn a_whole_turn_becomes_two_halves_of_the_same_circle() {
        let a = Point::new(5.0, 0.0);
        let whole = Edge::Arc { a, b: a, centre: Point::ZERO, radius: 5.0, turn: TAU };
        let edges = Outline::from_edges(&[whole]).edges();
        let length: f64 = edges.iter().map(Edge::length).sum();
        assert!(edges.len() == 2 && (length - TAU * 5.0).abs() < 1e-9, "{edges:?}");
    }

    #[test]
    fn a_turned_line_of_words_has_a_turned_box() {
        let level = Text::new(Point::ZERO, "tab", 4.0);
        let upright = Text { turn: FRAC_PI_2, ..level.clone() };
        for (p, q) in level.corners().iter().zip(upright.corners()) {
            assert!((q - Point::new(-p.y, p.x)).hypot() < 1e-12);
        }
    }

    #[test]
    fn an_anchor_moves_the_box_by_its_width() {
        let start = Text::new(Point::new(7.0, 3.0), "rib 4", 4.0);
        let end = Text { anchor: Anchor::End, ..start.clone() };
        let moved = start.corners()[0].x - end.corners()[0].x;
        assert!((moved - start.width()).abs() < 1e-12);
        assert!(!boxes_overlap(&start.corners(), &end.corners()));
        let middle = Text { anchor: Anchor::Middle, ..start.clone() };
        assert!(boxes_overlap(&start.corners(), &middle.corners()));
    }
}
