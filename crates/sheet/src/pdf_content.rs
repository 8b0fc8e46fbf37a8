//! Items of a sheet as the drawing operators of a PDF page, in millimetres.
//!
//! Whoever uses it scales the page from millimetres to points once; from there on every number is what a ruler
//! reads. Arcs become cubic curves of at most an eighth of a turn, on which the two differ by less than a
//! hundred-thousandth of the radius (the error of the usual cubic grows with the sixth power of the turn).

use crate::advance::{CAP_HEIGHT, FRACTION_AIR, FRACTION_SIZE};
use crate::model::{Anchor, Fill, Item, Lean, Outline, Path, Text};
use crate::pdf_font::Face;
use crate::pens::{NARROW, Stroke};
use crate::tokens::Colour;
use crate::words::{FRACTION_SLASH_CHAR, GAP, Run, Weight};
use geom::tolerance::OUTPUT_MM;
use geom::{Affine, Edge, Point, Ring, Vec2};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_4;
use std::fmt::Write;

/// Behind words that clear what lies under them: bare paper.
const BARE: Colour = Colour::new(0xff, 0xff, 0xff);

/// The two weights and which of their drawings were used, so that a file need hold no more.
pub struct Faces {
    regular: Face,
    bold: Face,
    used: [BTreeMap<u16, char>; 2],
}

impl Default for Faces {
    fn default() -> Faces {
        Faces {
            regular: Face::new(Weight::Regular),
            bold: Face::new(Weight::Bold),
            used: [BTreeMap::new(), BTreeMap::new()],
        }
    }
}

impl Faces {
    /// Regular, then bold, each with the drawings used.
    pub fn used(&self) -> [(&Face, &BTreeMap<u16, char>); 2] {
        [(&self.regular, &self.used[0]), (&self.bold, &self.used[1])]
    }

    fn face(&self, weight: Weight) -> &Face {
        if weight == Weight::Bold { &self.bold } else { &self.regular }
    }
}

/// A piece of a line of words: drawings, size, how far raised, and where it starts.
struct Piece {
    numbers: Vec<u16>,
    size: f64,
    rise: f64,
    x: f64,
}

/// Operators, growing.
pub struct Content<'a> {
    out: String,
    faces: &'a mut Faces,
    /// Things left out because one of their numbers was not finite.
    pub left_out: usize,
}

impl<'a> Content<'a> {
    /// Nothing drawn yet.
    pub fn new(faces: &'a mut Faces) -> Content<'a> {
        Content { out: String::new(), faces, left_out: 0 }
    }

    /// What was drawn.
    pub fn finish(self) -> (String, usize) {
        (self.out, self.left_out)
    }

    /// Operators as they stand.
    pub fn raw(&mut self, operators: &str) {
        self.out.push_str(operators);
        self.out.push('\n');
    }

    /// One thing. A thing with a number that is not finite is left out and counted.
    pub fn item(&mut self, item: &Item) {
        if !finite(item) {
            self.left_out += 1;
            return;
        }
        match item {
            Item::Path(path) => self.path(path),
            // A dot is a stretch of no length with round ends (ISO 32000-1, 8.5.3.2).
            Item::Circle { centre, radius, stroke: None, fill: Some(Fill::Plain(colour)) } => {
                let (x, y) = (number(centre.x), number(centre.y));
                let (ink, wide) = (rgb(*colour), number(2.0 * radius));
                self.raw(&format!("q {ink} RG {wide} w 1 J [] 0 d {x} {y} m {x} {y} l S Q"));
            }
            Item::Circle { centre, radius, stroke, fill } => {
                let ring = Ring::circle(*centre, *radius);
                self.path(&Path { outlines: vec![Outline::from(&ring)], stroke: *stroke, fill: *fill });
            }
            Item::Text(text) => self.text(text),
        }
    }

    fn path(&mut self, path: &Path) {
        let outlines: String = path.outlines.iter().map(outline).collect();
        match path.fill {
            Some(Fill::Plain(colour)) => {
                let paint = if path.stroke.is_some() { "B" } else { "f" };
                self.raw(&format!("q {} rg", rgb(colour)));
                self.pen(path.stroke);
                self.raw(&format!("{outlines}{paint} Q"));
            }
            Some(Fill::Hatch { colour, spacing, lean }) => {
                self.hatch(path, &outlines, colour, spacing, lean);
                self.stroked(&outlines, path.stroke);
            }
            None => self.stroked(&outlines, path.stroke),
        }
    }

    fn stroked(&mut self, outlines: &str, stroke: Option<Stroke>) {
        if stroke.is_some() {
            self.raw("q");
            self.pen(stroke);
            self.raw(&format!("{outlines}S Q"));
        }
    }

    fn pen(&mut self, stroke: Option<Stroke>) {
        let Some(stroke) = stroke else { return };
        let dashes: Vec<String> = stroke.dash.pattern().iter().map(|w| number(w * stroke.width)).collect();
        self.raw(&format!("{} RG {} w [{}] 0 d", rgb(stroke.colour), number(stroke.width), dashes.join(" ")));
    }

    /// Lines at 45 degrees, cut off at the outlines.
    fn hatch(&mut self, path: &Path, outlines: &str, colour: Colour, spacing: f64, lean: Lean) {
        let boxes: Vec<(Point, Point)> =
            path.outlines.iter().filter_map(|o| Ring { vertices: o.vertices.clone() }.bounds()).collect();
        let lo = boxes.iter().fold((f64::MAX, f64::MAX), |b, r| (b.0.min(r.0.x), b.1.min(r.0.y)));
        let hi = boxes.iter().fold((f64::MIN, f64::MIN), |b, r| (b.0.max(r.1.x), b.1.max(r.1.y)));
        let (w, h) = (hi.0 - lo.0, hi.1 - lo.1);
        // Square across, lines stand root two closer than along the level.
        let step = spacing * std::f64::consts::SQRT_2;
        if boxes.is_empty() || !(step > 0.0 && w + h < step * f64::from(MOST_HATCH)) {
            return;
        }
        let mut lines = format!("q {outlines}W n {} RG {} w [] 0 d\n", rgb(colour), number(NARROW / 2.0));
        for k in 0..=((w + h) / step) as u32 {
            let x = lo.0 - h + f64::from(k) * step;
            let (from, to) = match lean {
                Lean::Rising => (lo.1, hi.1),
                Lean::Falling => (hi.1, lo.1),
            };
            // Writing to a String cannot fail.
            let _ = write!(lines, "{} {} m {} {} l ", number(x), number(from), number(x + h), number(to));
        }
        lines.push_str("S Q");
        self.raw(&lines);
    }

    fn text(&mut self, text: &Text) {
        let (pieces, width) = self.pieces(text);
        let along = Vec2::from_angle(text.turn);
        let start = match text.anchor {
            Anchor::Start => text.at,
            Anchor::Middle => text.at - along * (width / 2.0),
            Anchor::End => text.at - along * width,
        };
        if text.clears {
            let air = Vec2::new(0.15 * text.size, 0.0);
            let lo = Point::new(0.0, -crate::advance::DESCENT * text.size) - air;
            let hi = Point::new(width, crate::advance::ASCENT * text.size) + air;
            let turned = Affine::translate(start.to_vec2()) * Affine::rotate(text.turn);
            let strip = crate::model::Room { lo, hi }.ring().mapped(turned);
            self.item(&Item::filled([&strip], Fill::Plain(BARE)));
        }
        let face = if text.weight == Weight::Bold { "B" } else { "R" };
        let (cos, sin) = (along.x, along.y);
        self.raw(&format!("BT {} rg", rgb(text.colour)));
        for piece in pieces {
            let at = start + along * piece.x + geom::point::left_of(along) * piece.rise;
            let hex: String = piece.numbers.iter().map(|n| format!("{n:04x}")).collect();
            self.raw(&format!(
                "/{face} {} Tf {} {} {} {} {} {} Tm <{hex}> Tj",
                number(piece.size),
                share(cos),
                share(sin),
                share(-sin),
                share(cos),
                number(at.x),
                number(at.y)
            ));
        }
        self.raw("ET");
    }

    /// The line cut where the size changes, and its whole width, mm.
    fn pieces(&mut self, text: &Text) -> (Vec<Piece>, f64) {
        let mut pieces = Vec::new();
        let mut x = 0.0;
        let small = text.size * FRACTION_SIZE;
        let air = text.size * FRACTION_AIR;
        let rise = text.size * CAP_HEIGHT * (1.0 - FRACTION_SIZE);
        for run in &text.words.0 {
            match run {
                Run::Plain(letters) => x += self.piece(&mut pieces, text, letters, text.size, 0.0, x),
                Run::Gap => x += self.piece(&mut pieces, text, &GAP.to_string(), text.size, 0.0, x),
                Run::Fraction { above, below } => {
                    x += self.piece(&mut pieces, text, &above.to_string(), small, rise, x) + air;
                    let slash = FRACTION_SLASH_CHAR.to_string();
                    x += self.piece(&mut pieces, text, &slash, text.size, 0.0, x) + air;
                    x += self.piece(&mut pieces, text, &below.to_string(), small, 0.0, x);
                }
            }
        }
        (pieces, x)
    }

    fn piece(
        &mut self,
        pieces: &mut Vec<Piece>,
        text: &Text,
        said: &str,
        size: f64,
        rise: f64,
        x: f64,
    ) -> f64 {
        let face = self.faces.face(text.weight);
        let set = face.set(&face.spelled(said));
        let width = set.iter().map(|(n, _)| face.advance(*n)).sum::<f64>() / 1000.0 * size;
        pieces.push(Piece { numbers: set.iter().map(|(n, _)| *n).collect(), size, rise, x });
        self.faces.used[usize::from(text.weight == Weight::Bold)].extend(set);
        width
    }
}

/// Most lines of one hatch; a sheet is never hatched wider.
const MOST_HATCH: u32 = 20_000;

/// A number rounded to the output step, without needless noughts.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{:.3}", (value / OUTPUT_MM).round() * OUTPUT_MM);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A sine, a cosine, a share: more places than a length needs.
pub(crate) fn share(value: f64) -> String {
    let text = format!("{value:.8}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn rgb(c: Colour) -> String {
    [c.red, c.green, c.blue].map(|v| number(f64::from(v) / 255.0)).join(" ")
}

fn outline(outline: &Outline) -> String {
    let Some(first) = outline.vertices.first() else { return String::new() };
    let mut d = format!("{} {} m ", number(first.p.x), number(first.p.y));
    for edge in outline.edges() {
        match edge {
            Edge::Line { b, .. } => {
                let _ = write!(d, "{} {} l ", number(b.x), number(b.y));
            }
            Edge::Arc { centre, turn, a, b, .. } => {
                let parts = (turn.abs() / FRAC_PI_4).ceil().max(1.0);
                let step = turn / parts;
                // Handles of (4/3) tan(turn / 4) of the radius (Goldapp 1991, from memory).
                let handle = 4.0 / 3.0 * (step / 4.0).tan();
                let mut spoke = a - centre;
                for k in 1..=parts as u32 {
                    let next = geom::point::turned(a - centre, step * f64::from(k));
                    let end = if f64::from(k) < parts { centre + next } else { b };
                    let c1 = centre + spoke + geom::point::left_of(spoke) * handle;
                    let c2 = centre + next - geom::point::left_of(next) * handle;
                    for p in [c1, c2, end] {
                        let _ = write!(d, "{} {} ", number(p.x), number(p.y));
                    }
                    d.push_str("c ");
                    spoke = next;
                }
            }
        }
    }
    if outline.closed {
        d.push_str("h ");
    }
    d
}

fn finite(item: &Item) -> bool {
    match item {
        Item::Path(p) => {
            let vertices = || p.outlines.iter().flat_map(|o| &o.vertices);
            vertices().all(|v| v.p.is_finite() && v.bulge.is_finite())
        }
        Item::Circle { centre, radius, .. } => centre.is_finite() && radius.is_finite(),
        Item::Text(t) => t.at.is_finite() && t.size.is_finite() && t.turn.is_finite(),
    }
}
