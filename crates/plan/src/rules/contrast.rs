//! How well two colours stand apart, by the test that aviation has for exit markings.
//!
//! The rules about marks ask for contrast and give no number, so no verdict here is the law's: it is guidance.
//! A colour on a screen is no measured paint either: its luminance only roughly tells how much light dried
//! paint reflects (gloss, pigments and metallic flakes shift it). A card reader on the paint itself decides.

use geom::tolerance::NOISE_UNIT;

/// Darker reflectance up to which the lighter one has a fixed least. 14 CFR 29.811(f)(2), read.
const DARK: f64 = 0.15;

/// Least lighter reflectance beside a dark one. 14 CFR 29.811(f)(2), read.
const LIGHT: f64 = 0.45;

/// Least difference of reflectances where the darker is not dark. 14 CFR 29.811(f)(2), read; its 30 per cent
/// is taken as points of reflectance, which joins the other half of the test without a step.
const APART: f64 = 0.30;

/// Greatest reflectance of a share: what a perfect white reflects.
const WHITE: f64 = 1.0;

/// Share of light that a colour given as on a screen (sRGB) reflects, roughly: its relative luminance.
///
/// Source: W3C, relative luminance, with the threshold 0.04045 in use since May 2021.
pub fn reflectance([red, green, blue]: [u8; 3]) -> f64 {
    let linear = |byte: u8| {
        let c = f64::from(byte) / 255.0;
        if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Two reflectances side by side; which is the mark and which the ground makes no difference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contrast {
    /// The lesser reflectance, 0 to 1.
    pub darker: f64,
    /// The greater reflectance, 0 to 1.
    pub lighter: f64,
}

impl Contrast {
    /// The contrast of two reflectances, each a share of the light, 0 to 1.
    pub fn between(a: f64, b: f64) -> Contrast {
        Contrast { darker: a.min(b), lighter: a.max(b) }
    }

    /// Least reflectance of the lighter colour beside this darker one.
    pub fn lighter_wanted(self) -> f64 {
        if self.darker <= DARK { LIGHT } else { self.darker + APART }
    }

    /// Whether the test of 14 CFR 29.811(f)(2) is met.
    pub fn met(self) -> bool {
        self.lighter_wanted() <= self.lighter + NOISE_UNIT
    }

    /// Whether no lighter colour could meet the test: the darker one is too light itself.
    pub fn needs_darker(self) -> bool {
        WHITE < self.lighter_wanted()
    }

    /// Greatest reflectance of the darker colour beside this lighter one; below 0 if there is none.
    pub fn darker_wanted(self) -> f64 {
        if self.lighter < LIGHT { -1.0 } else { (self.lighter - APART).max(DARK) }
    }

    /// The ratio made for text on screens, 1 to 21. Source: W3C, contrast ratio.
    pub fn ratio(self) -> f64 {
        (self.lighter + 0.05) / (self.darker + 0.05)
    }

    /// Difference over sum, 0 to 1, the most even to the eye of these yardsticks (Boon and others, Work, 2021,
    /// abstract); 0.4 is wanted for guidance (DIN 32975, as described by others).
    pub fn michelson(self) -> f64 {
        let sum = self.lighter + self.darker;
        if 0.0 < sum { (self.lighter - self.darker) / sum } else { 0.0 }
    }

    /// Difference over the lighter, 0 to 1 (Weber, from memory).
    pub fn weber(self) -> f64 {
        if 0.0 < self.lighter { (self.lighter - self.darker) / self.lighter } else { 0.0 }
    }

    /// Luminance contrast after Bowman and Sapolinski, 0 to 1; 0.3 is wanted (AS 1428.1, read).
    pub fn bowman_sapolinski(self) -> f64 {
        1.25 * (self.lighter - self.darker) / (self.lighter + self.darker + 0.25)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const BLACK: [u8; 3] = [0, 0, 0];
    const WHITE: [u8; 3] = [255, 255, 255];
    const RED: [u8; 3] = [255, 0, 0];
    const BLUE: [u8; 3] = [0, 0, 255];
    const YELLOW: [u8; 3] = [255, 255, 0];

    fn of(a: [u8; 3], b: [u8; 3]) -> Contrast {
        Contrast::between(reflectance(a), reflectance(b))
    }

    #[test]
    fn ratios_are_those_of_the_w3c_formula() {
        // Ratios published with the formula for these pairs, to the digits published.
        for (a, b, ratio) in [
            (BLACK, WHITE, 21.0),
            (RED, WHITE, 3.998),
            (BLUE, WHITE, 8.592),
            ([0x77; 3], WHITE, 4.478),
            ([0x76; 3], WHITE, 4.542),
            (YELLOW, WHITE, 1.074),
            (YELLOW, BLACK, 19.556),
            (RED, BLACK, 5.252),
        ] {
            let found = of(a, b).ratio();
            assert!((found - ratio).abs() < 0.005, "{a:?} on {b:?}: wanted {ratio}, got {found}");
        }
        assert!(of([0x77; 3], WHITE).ratio() < 4.5 && 4.5 < of([0x76; 3], WHITE).ratio());
    }

    #[test]
    fn the_test_of_exit_markings_flips_at_its_figures() {
        // 14 CFR 29.811(f)(2): darker at most 15 %, lighter at least 45 %; else 30 points apart.
        for (darker, lighter, met) in [
            (0.10, 0.45, true),
            (0.10, 0.44, false),
            (0.15, 0.45, true),
            (0.20, 0.50, true),
            (0.20, 0.49, false),
            (0.0, 0.45, true),
            (0.7, 1.0, true),
            (0.71, 1.0, false),
        ] {
            assert_eq!(Contrast::between(lighter, darker).met(), met, "{darker} and {lighter}");
        }
    }

    #[test]
    fn other_yardsticks_agree_with_their_worked_examples() {
        // Reflectances 80 and 50: 23.08 %, 37.5 %, 24.19 %; 60 and 30: 32.61 %. The third formula as published
        // for AS 1428.1, Y from 0 to 100: 125 (Y2 - Y1) / (Y1 + Y2 + 25).
        let light = Contrast::between(0.8, 0.5);
        for (found, wanted) in [
            (light.michelson(), 23.08),
            (light.weber(), 37.5),
            (light.bowman_sapolinski(), 24.19),
            (Contrast::between(0.6, 0.3).bowman_sapolinski(), 32.61),
        ] {
            assert!((100.0 * found - wanted).abs() < 0.01, "wanted {wanted} %, got {} %", 100.0 * found);
        }
        assert!(light.met() && (light.lighter - light.darker - 0.3).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn contrast_is_the_same_from_both_sides(a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
            prop_assert_eq!(Contrast::between(a, b), Contrast::between(b, a));
        }

        #[test]
        fn to_move_the_two_apart_never_breaks_the_test(
            a in 0.0..1.0_f64, b in 0.0..1.0_f64, down in 0.0..1.0_f64, up in 0.0..1.0_f64,
        ) {
            let near = Contrast::between(a, b);
            let far = Contrast::between(near.darker * down, near.lighter + (1.0 - near.lighter) * up);
            prop_assert!(!near.met() || far.met(), "{near:?} {far:?}");
            for yardstick in [Contrast::ratio, Contrast::michelson, Contrast::weber, Contrast::bowman_sapolinski] {
                prop_assert!(yardstick(near) <= yardstick(far) + 1e-12);
            }
        }

        #[test]
        fn what_is_wanted_of_either_colour_is_just_enough(darker in 0.0..0.7_f64, lighter in 0.45..1.0_f64) {
            let wanted = Contrast::between(darker, darker).lighter_wanted();
            prop_assert!(Contrast::between(darker, wanted).met());
            prop_assert!(!Contrast::between(darker, wanted - 1e-6).met());
            let wanted = Contrast::between(lighter, lighter).darker_wanted();
            prop_assert!(Contrast::between(wanted, lighter).met());
            prop_assert!(!Contrast::between(wanted + 1e-6, lighter).met());
        }

        #[test]
        fn lightening_any_part_of_a_colour_reflects_more(rgb: [u8; 3], which in 0..3_usize) {
            let mut lighter = rgb;
            lighter[which] = lighter[which].saturating_add(1);
            prop_assert!(reflectance(rgb) <= reflectance(lighter));
            prop_assert!((0.0..=1.0).contains(&reflectance(rgb)));
        }
    }
}
