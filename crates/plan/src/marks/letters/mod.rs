//! Block letters drawn by their strokes, each stroke as thick as asked, square across.

use geom::Ring;

/// What a set of block letters is asked to measure, all of height 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proportions {
    /// Width of an ordinary character.
    pub width: f64,
    /// Width of M and W.
    pub wide: f64,
    /// Thickness of every stroke.
    pub stroke: f64,
}

/// One character at height 1: baseline y = 0, cap height y = 1, left edge x = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// The character.
    pub char: char,
    /// Its width.
    pub width: f64,
    /// Outer rings counter-clockwise, holes clockwise; an outer ring comes before its holes.
    pub rings: Vec<Ring>,
}
