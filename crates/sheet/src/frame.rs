//! The paper, the border on it, and the scale a drawing is given so that it fits.

use crate::model::{Item, Room};
use crate::pens::{Role, pen};
use crate::tokens::MARGIN;
use geom::tolerance::NOISE_UNIT;
use geom::{Point, Vec2};

/// Papers a shop is likely to have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    A4,
    /// 297 by 420 mm (ISO 216).
    A3,
    /// 8 1/2 by 11 in (ANSI/ASME Y14.1 size A, from memory).
    Letter,
    /// 11 by 17 in (ANSI/ASME Y14.1 size B, from memory).
    Tabloid,
}

/// Which way up a paper lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The short side at the foot.
    Portrait,
    /// The long side at the foot.
    Landscape,
}

impl Paper {
    /// Width and height, mm, lying that way up.
    pub fn size(self, way: Way) -> (f64, f64) {
        let (short, long) = match self {
            Paper::A4 => (210.0, 297.0),
            Paper::A3 => (297.0, 420.0),
            Paper::Letter => (215.9, 279.4),
            Paper::Tabloid => (279.4, 431.8),
        };
        match way {
            Way::Portrait => (short, long),
            Way::Landscape => (long, short),
        }
    }
}

/// The room inside the border of a paper of this size.
pub fn inside(size: (f64, f64)) -> Room {
    Room { lo: Point::ZERO, hi: Point::new(size.0, size.1) }.inset(MARGIN)
}

/// The border, with a short stroke inward at the middle of each side for folding and laying out.
pub fn frame(size: (f64, f64)) -> Vec<Item> {
    let room = inside(size);
    let stroke = pen(Role::Border);
    let mid = room.centre();
    let inward = 4.0;
    let mut items = vec![Item::rings([&room.ring()], stroke)];
    for (from, way) in [
        (Point::new(mid.x, room.lo.y), Vec2::new(0.0, inward)),
        (Point::new(mid.x, room.hi.y), Vec2::new(0.0, -inward)),
        (Point::new(room.lo.x, mid.y), Vec2::new(inward, 0.0)),
        (Point::new(room.hi.x, mid.y), Vec2::new(-inward, 0.0)),
    ] {
        items.push(Item::line([from, from + way], pen(Role::Dimension)));
    }
    items
}

/// How many millimetres of the work go on one of paper, one decade of them.
///
/// 1, 2, 5, 10, 20, 50 and 100 are preferred by ISO 5455 (from memory). The ones between are chosen: steps of
/// two and more would leave half a sheet empty.
const STEPS: [f64; 11] = [1.0, 2.0, 2.5, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0];
/// The same beyond 1:50, ten times over for each further decade.
const FAR_STEPS: [f64; 6] = [75.0, 100.0, 150.0, 200.0, 250.0, 500.0];
/// Decades after the first that are tried; beyond 1:5 000 000 nothing on an aircraft is drawn.
const DECADES: i32 = 5;

/// Round scales from full size down, as millimetres on paper for one of the work.
pub fn round_scales() -> impl Iterator<Item = f64> {
    let far = (0..DECADES).flat_map(|k| FAR_STEPS.map(|n| n * 10.0_f64.powi(k)));
    STEPS.into_iter().chain(far).map(|n| 1.0 / n)
}

/// The largest round scale at which `content` (width, height, mm of the work) fits into `room` (mm of
/// paper), as millimetres on paper for one on the work: 1 for full size, 0.05 for 1:20. Never larger than
/// full size. If nothing fits, or a size is not a number, the smallest scale there is.
pub fn fit_scale(content: (f64, f64), room: (f64, f64)) -> f64 {
    let mut smallest = 1.0;
    for scale in round_scales() {
        let slack = 1.0 + NOISE_UNIT;
        if content.0 * scale <= room.0 * slack && content.1 * scale <= room.1 * slack {
            return scale;
        }
        smallest = scale;
    }
    smallest
}

/// A scale in words: `1:20`, `1:2.5`, `1:1`, and enlarged `2:1`.
pub fn scale_text(scale: f64) -> String {
    if !(scale.is_finite() && scale > 0.0) {
        return "?".to_owned();
    }
    let n = format!("{:.2}", scale.max(1.0 / scale));
    let n = n.trim_end_matches('0').trim_end_matches('.');
    if scale > 1.0 { format!("{n}:1") } else { format!("1:{n}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::INCH_MM;
    use proptest::prelude::*;

    #[test]
    fn papers_measure_what_their_standards_say() {
        // ISO 216: A0 is one square metre with sides as 1 to the root of 2, each further size half of the
        // one before, rounded down to whole millimetres.
        let a = |n: i32| 1000.0 * 2.0_f64.powf(0.25 - f64::from(n) / 2.0);
        for (paper, n) in [(Paper::A3, 3), (Paper::A4, 4)] {
            let (short, long) = paper.size(Way::Portrait);
            assert!((short - a(n + 1)).abs() < 1.0 && (long - a(n)).abs() < 1.0, "{paper:?}");
        }
        assert!((Paper::Letter.size(Way::Landscape).0 - 11.0 * INCH_MM).abs() < 1e-9);
        assert!((Paper::Letter.size(Way::Landscape).1 - 8.5 * INCH_MM).abs() < 1e-9);
        assert!((Paper::Tabloid.size(Way::Portrait).1 - 17.0 * INCH_MM).abs() < 1e-9);
    }

    #[test]
    fn scales_are_the_round_ones() {
        for (content, wanted) in [
            ((100.0, 80.0), "1:1"),
            ((250.0, 80.0), "1:1"),
            ((251.0, 80.0), "1:2"),
            ((600.0, 10.0), "1:2.5"),
            ((250.0, 1600.0), "1:10"),
            ((3_000.0, 1_600.0), "1:15"),
            ((10_900.0, 1_600.0), "1:50"),
            ((17_000.0, 1_600.0), "1:75"),
            ((1e6, 1.0), "1:5000"),
        ] {
            assert_eq!(scale_text(fit_scale(content, (250.0, 160.0))), wanted, "{content:?}");
        }
    }

    proptest! {
        #[test]
        fn what_is_scaled_fits_and_wastes_little(w in 1.0..50_000.0_f64, h in 1.0..20_000.0_f64) {
            let room = (277.0, 190.0);
            let scale = fit_scale((w, h), room);
            prop_assert!(w * scale <= room.0 + 1e-6 && h * scale <= room.1 + 1e-6);
            // No two neighbouring scales are further apart than twice.
            prop_assert!(scale > 0.999 || w * scale > room.0 / 2.001 || h * scale > room.1 / 2.001);
        }
    }
}
