//! What a letter is cut from: its width and stroke, the turns of its alphabet, the heights of its bars.

use super::outline::Turn;
use super::{Alphabet, Proportions};

/// The measures all letters of one alphabet and proportion share.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kit {
    alphabet: Alphabet,
    /// Stroke.
    pub(super) t: f64,
    /// Width of an ordinary character.
    pub(super) w: f64,
    /// Width of M, W and the ampersand.
    pub(super) wide: f64,
    /// Turn of a bowl as tall as the letter.
    pub(super) full: Turn,
    /// Turn of a bowl about half as tall as the letter.
    pub(super) half: Turn,
}

/// Share of the height left by three bars that a cut's leg takes inside a half bowl. Chosen by eye: a cut
/// as long as the straight beside it.
const HALF_CUT: f64 = 0.15;
/// The same inside a full bowl.
const FULL_CUT: f64 = 0.21;
/// The same for the radius of an arc. Chosen by eye: clearly not a half circle, which is left to the zero.
const ARC: f64 = 0.15;

impl Kit {
    pub(super) fn new(alphabet: Alphabet, p: &Proportions) -> Kit {
        let (t, w) = (p.stroke, p.width);
        let sharp = Kit { alphabet, t, w, wide: p.wide, full: Turn::SHARP, half: Turn::SHARP };
        let inside = w - 2.0 * t;
        Kit { full: sharp.turn(inside, FULL_CUT), half: sharp.turn(inside, HALF_CUT), ..sharp }
    }

    /// A turn of this alphabet for a bowl whose counter is `inside` wide; cuts take `share` of the height that
    /// three bars leave.
    fn turn(&self, inside: f64, share: f64) -> Turn {
        match self.alphabet {
            Alphabet::Square => Turn::SHARP,
            Alphabet::Clipped => self.cut(inside, share),
            Alphabet::Rounded => Turn::round((0.2 * inside).min(ARC * self.free()), self.t),
        }
    }

    fn cut(&self, inside: f64, share: f64) -> Turn {
        Turn::cut((0.32 * inside).min(share * self.free()), self.t)
    }

    /// Height left by three bars.
    fn free(&self) -> f64 {
        1.0 - 3.0 * self.t
    }

    /// Turn of a half bowl with a counter `inside` wide.
    pub(super) fn half_within(&self, inside: f64) -> Turn {
        self.turn(inside, HALF_CUT)
    }

    /// Turn of a half bowl that is cut even in the square alphabet.
    pub(super) fn half_always(&self) -> Turn {
        match self.alphabet {
            Alphabet::Square => self.cut(self.w - 2.0 * self.t, HALF_CUT),
            _ => self.half,
        }
    }

    /// Turn of D: cut even in the square alphabet, and larger than that of O.
    pub(super) fn deep(&self) -> Turn {
        let (inside, tall) = (self.w - 2.0 * self.t, 1.0 - 2.0 * self.t);
        match self.alphabet {
            Alphabet::Square | Alphabet::Clipped => Turn::cut((0.55 * inside).min(0.25 * tall), self.t),
            Alphabet::Rounded => Turn::round((0.8 * inside).min(0.4 * tall), self.t),
        }
    }

    /// Turn of the zero, two up for one along; `None` in the rounded alphabet, where it ends in half circles.
    pub(super) fn steep(&self) -> Option<Turn> {
        let inside = self.w - 2.0 * self.t;
        // The inner leg is the outer less 0.382 strokes; both stay under a fifth of the height, so that the
        // sides keep a fifth of it straight.
        let level = (0.36 * inside + 0.382 * self.t).min(0.2);
        match self.alphabet {
            Alphabet::Square | Alphabet::Clipped => Some(Turn::steep(level, self.t)),
            Alphabet::Rounded => None,
        }
    }

    /// Lower and upper edge of a middle bar, `lift` of the height that three bars leave above the middle.
    pub(super) fn middle(&self, lift: f64) -> (f64, f64) {
        let y = 0.5 + lift * self.free();
        (y - self.t / 2.0, y + self.t / 2.0)
    }

    /// How far from cap or base line the turned-in end of an arm reaches, beside half bowls. `None` where arms
    /// end straight: in the square alphabet, and where the opening would be under a third of a stroke.
    pub(super) fn hook(&self) -> Option<f64> {
        let tip = self.half.inner.upright + self.tip();
        let open = 0.45 * self.free() - tip;
        (self.alphabet != Alphabet::Square && open >= self.t / 3.0).then_some(self.t + tip)
    }

    /// The same for C, G and J, whose open side is tall; they have it in every alphabet.
    pub(super) fn tall_hook(&self) -> f64 {
        (self.t + self.full.inner.upright + self.tip()).max(0.31)
    }

    /// Straight end of a turned-in arm: long enough to lay a tape to.
    fn tip(&self) -> f64 {
        (0.15 * self.t).max(0.022)
    }
}
