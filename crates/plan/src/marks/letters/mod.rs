//! Block letters drawn by their strokes, each stroke as thick as asked, square across.
//!
//! Three alphabets share one drawing of every character. What a turn looks like decides which alphabet it
//! is: `Square` turns sharp, `Clipped` cuts the turn at 45 degrees, `Rounded` sweeps it in two arcs round
//! one centre. A letter is made for the width and stroke asked, from its edges and their true offsets; it is
//! never a scaled outline, so a diagonal is as thick as a stem. Slant is not done here: it is a shear of the
//! finished mark.
//!
//! Nothing is added for looks (no serif, no slashed zero). Characters that could be taken for one another
//! are told apart by their turns: see `bowls`.

mod bowls;
mod diagonals;
mod kit;
mod legs;
mod outline;
mod straight;

#[cfg(test)]
mod measure;
#[cfg(test)]
mod rays;
#[cfg(test)]
mod tests;

use geom::Ring;
use kit::Kit;

/// How the turns of an alphabet are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Alphabet {
    /// Sharp corners, the fewest pieces of tape. B, D, 0 and 5 have cut corners, or they would be 8, O, O, S.
    Square,
    /// Turns cut at 45 degrees, the cut as thick as the stroke.
    Clipped,
    /// Turns swept by two arcs round one centre.
    Rounded,
}

impl Alphabet {
    /// The three alphabets, in the order of their tape: fewest pieces first.
    pub const ALL: [Alphabet; 3] = [Alphabet::Square, Alphabet::Clipped, Alphabet::Rounded];
}

/// What a set of block letters is asked to measure, all of height 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proportions {
    /// Width of an ordinary character.
    pub width: f64,
    /// Width of M, W and the ampersand.
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

/// Thinnest stroke that is drawn, as a share of the height.
/// Chosen: half the thinnest promised (0.10); below it a turn has no room for its shortest edge.
pub const STROKE_LEAST: f64 = 0.05;

/// Thickest stroke that is drawn, as a share of the height.
/// Chosen: three bars and two counters of half a stroke fill the height at 0.25.
pub const STROKE_MOST: f64 = 0.25;

/// Least width of an ordinary character, in strokes, that is drawn.
/// Chosen: two stems and a counter of more than a stroke. Good proportions want 4.
pub const WIDTH_LEAST: f64 = 3.5;

/// Least width of M and W, in strokes, that is drawn: as narrow as an ordinary character, for a rule may ask
/// it, with slits for counters. Chosen: a little under 4, so that rounded ratios pass; good proportions want 5.2.
pub const WIDE_LEAST: f64 = 3.9;

/// Least width of the ampersand, in strokes, that is drawn: below it its crossing does not fit.
pub const AMPERSAND_LEAST: f64 = 4.6;

/// Greatest width of any character, in heights, that is drawn. Chosen: the rules know none over 1.
pub const WIDTH_MOST: f64 = 1.5;

/// The characters `alphabet` holds, each once: letters, figures, then hyphen, ampersand, period and slash.
/// The three alphabets hold the same.
pub fn characters(alphabet: Alphabet) -> &'static str {
    match alphabet {
        Alphabet::Square | Alphabet::Clipped | Alphabet::Rounded => {
            "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-&./"
        }
    }
}

/// The outline of `ch` at height 1, each stroke `p.stroke` thick, as wide as `p` asks.
///
/// The box is exactly 0 to `Glyph::width` by 0 to 1, but for the hyphen (one character wide, one stroke
/// thick, at mid height) and the period (a square of one stroke on the baseline). I and 1 are plain bars one
/// stroke wide; M, W and the ampersand take `p.wide`; the slash takes three quarters of `p.width`.
///
/// Every stroke measures `p.stroke` square across while the stroke is 0.10 to 0.22, the width at least 4
/// strokes and the wide width at least 5.2. Out to the `STROKE_`, `WIDTH_` and `WIDE_` limits the outline is
/// still simple but counters are tight. `None` beyond them, and for a character that is not held.
pub fn glyph(alphabet: Alphabet, ch: char, p: &Proportions) -> Option<Glyph> {
    let strokes = (STROKE_LEAST..=STROKE_MOST).contains(&p.stroke);
    let widths = (WIDTH_LEAST * p.stroke..=WIDTH_MOST).contains(&p.width);
    let wides = (WIDE_LEAST * p.stroke..=WIDTH_MOST).contains(&p.wide);
    let fits = ch != '&' || AMPERSAND_LEAST * p.stroke <= p.wide;
    if !(strokes && widths && wides && fits) {
        return None;
    }
    let kit = Kit::new(alphabet, p);
    let rings = draw(&kit, ch)?;
    Some(Glyph { char: ch, width: width(ch, p), rings })
}

fn width(ch: char, p: &Proportions) -> f64 {
    match ch {
        'M' | 'W' | '&' => p.wide,
        'I' | '1' | '.' => p.stroke,
        '/' => straight::SLASH_WIDTH * p.width,
        _ => p.width,
    }
}

fn draw(kit: &Kit, ch: char) -> Option<Vec<Ring>> {
    Some(match ch {
        'A' => diagonals::a(kit),
        'B' => bowls::b(kit),
        'C' => bowls::c(kit),
        'D' => bowls::d(kit),
        'E' => straight::e(kit),
        'F' => straight::f(kit),
        'G' => bowls::g(kit),
        'H' => straight::h(kit),
        'I' | '1' => straight::bar(kit.t, 0.0, 1.0),
        'J' => bowls::j(kit),
        'K' => legs::k(kit),
        'L' => straight::l(kit),
        'M' => diagonals::m(kit),
        'N' => diagonals::n(kit),
        'O' => bowls::o(kit),
        'P' => bowls::p(kit),
        'Q' => legs::q(kit),
        'R' => legs::r(kit),
        'S' => bowls::s(kit),
        'T' => straight::t(kit),
        'U' => bowls::u(kit),
        'V' => diagonals::v(kit),
        'W' => diagonals::w(kit),
        'X' => diagonals::x(kit),
        'Y' => diagonals::y(kit),
        'Z' => diagonals::z(kit),
        '0' => bowls::zero(kit),
        '2' => bowls::two(kit),
        '3' => bowls::three(kit),
        '4' => diagonals::four(kit),
        '5' => bowls::five(kit),
        '6' => bowls::six(kit),
        '7' => diagonals::seven(kit),
        '8' => bowls::eight(kit),
        '9' => bowls::nine(kit),
        '-' => straight::bar(kit.w, 0.5 - kit.t / 2.0, 0.5 + kit.t / 2.0),
        '.' => straight::bar(kit.t, 0.0, kit.t),
        '&' => legs::ampersand(kit),
        '/' => straight::slash(kit),
        _ => return None,
    })
}
