//! Further colours at full size: what shows of an outline or a shadow beside the letters.
//!
//! An outline is the band outside every character, corners sharp (`geom::grown`). A shadow is cast solid: all that
//! the characters pass over on the way to where it ends, not a copy moved behind them, which would leave gaps. A
//! colour lies under those before it: a shadow beside an outline is cast by the outlined letters.

use super::design::{Design, Further, FurtherShape};
use crate::finding::{Basis, Finding, Severity};
use crate::words::length;
use geom::boolean::difference;
use geom::grown::grown;
use geom::swept::swept;
use geom::tolerance::FLATTEN_MM;
use geom::{Ring, Vec2};

/// What shows of each further colour: outer rings counter-clockwise, holes clockwise, straight edges. `letters` are
/// the outlines of the characters, mm, their baseline level.
pub fn shown(colours: &[Further], letters: &[Ring]) -> Vec<Vec<Ring>> {
    let mut above = letters.to_vec();
    let mut all = Vec::new();
    for colour in colours {
        let covered = covered(colour.shape, &above);
        // Cut with the very chords it was made from, or slivers stay along every curve.
        let flat: Vec<Ring> =
            above.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM / 2.0))).collect();
        let mut band = difference(&covered, &flat);
        // Thinner than any paint line: rounding between edges that lie on each other.
        band.retain(|r| r.area().abs() > FLATTEN_MM * r.perimeter());
        all.push(band);
        above = covered;
    }
    all
}

fn covered(shape: FurtherShape, letters: &[Ring]) -> Vec<Ring> {
    match shape {
        FurtherShape::Outline(width) => grown(letters, width),
        FurtherShape::Shadow([x, y]) => swept(letters, Vec2::new(x, y)),
    }
}

/// What a painter should know of the further colours: counters that close, neighbours that run together. `letters`
/// are the outlines of each character, mm.
pub fn told(design: &Design, letters: &[Vec<Ring>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for further in &design.further {
        let (name, size) = match further.shape {
            FurtherShape::Outline(width) => ("outline", width),
            FurtherShape::Shadow([x, y]) => ("shadow", x.hypot(y)),
        };
        let closed: Vec<char> = letters
            .iter()
            .zip(&design.glyphs)
            .filter(|(rings, _)| closes(further.shape, rings))
            .map(|(_, set)| set.glyph.char)
            .collect();
        if !closed.is_empty() {
            let named: Vec<String> = closed.iter().map(char::to_string).collect();
            let message = format!("the {name} of {} fills a counter of {}", length(size), named.join(", "));
            findings.push(
                Finding::new(Severity::Caution, "counter-closed", &design.id, message)
                    .source(Basis::Practice, "common practice, no source")
                    .hint(format!("make the {name} narrower or the letters larger: a counter without ground is hard to read")),
            );
        }
        let alone: usize = letters.iter().map(|rings| outers(&covered(further.shape, rings))).sum();
        let together = outers(&covered(further.shape, &letters.concat()));
        if together < alone {
            let message = format!("the {name}s of neighbouring characters run together");
            findings.push(
                Finding::new(Severity::Note, "further-merge", &design.id, message)
                    .hint(format!("open the gaps or make the {name} narrower if each should stand alone")),
            );
        }
    }
    findings
}

/// True if a hole of the character is covered whole.
fn closes(shape: FurtherShape, rings: &[Ring]) -> bool {
    let covered = covered(shape, rings);
    rings.iter().filter(|r| r.area() < 0.0).any(|hole| {
        let left = difference(&[hole.reversed()], &covered);
        left.iter().all(|r| r.area().abs() <= FLATTEN_MM * r.perimeter())
    })
}

fn outers(rings: &[Ring]) -> usize {
    rings.iter().filter(|r| r.area() > 0.0).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geom::Point;
    use std::f64::consts::PI;

    fn outline(width: f64) -> Further {
        Further { paint: "gold".into(), shape: FurtherShape::Outline(width) }
    }

    fn shadow(x: f64, y: f64) -> Further {
        Further { paint: "gold".into(), shape: FurtherShape::Shadow([x, y]) }
    }

    fn o() -> Vec<Ring> {
        vec![Ring::circle(Point::ZERO, 100.0), Ring::circle(Point::ZERO, 60.0).reversed()]
    }

    fn area(rings: &[Ring]) -> f64 {
        rings.iter().map(Ring::area).sum()
    }

    #[test]
    fn the_outline_of_an_o_is_a_ring_outside_and_one_inside() {
        // Closed form: pi ((R + w)^2 - R^2) + pi (r^2 - (r - w)^2).
        let got = shown(&[outline(8.0)], &o());
        let want = PI * (108.0 * 108.0 - 100.0 * 100.0 + 60.0 * 60.0 - 52.0 * 52.0);
        assert_eq!(got[0].len(), 4, "two outer rings and two holes");
        assert!((area(&got[0]) / want - 1.0).abs() < 2e-3, "{} {want}", area(&got[0]));
    }

    #[test]
    fn the_shadow_of_an_ell_is_what_it_passes_over_and_no_more() {
        // Closed form, as in `geom::swept`: 200 x 10 below, 50 x 20 and 250 x 20 - 100 to the right.
        let ell = Ring::from_points(
            [(0.0, 0.0), (200.0, 0.0), (200.0, 50.0), (50.0, 50.0), (50.0, 300.0), (0.0, 300.0)]
                .map(Point::from),
        );
        let got = shown(&[shadow(20.0, -10.0)], &[ell]);
        assert!((area(&got[0]) - (2000.0 + 1000.0 + 4900.0)).abs() < 1e-6, "{}", area(&got[0]));
    }

    #[test]
    fn the_shadow_of_a_curve_leaves_no_slivers_on_its_lit_side() {
        let got = shown(&[shadow(15.0, -15.0)], &o());
        // One moon outside, one in the counter.
        assert_eq!(got[0].len(), 2, "{:?}", got[0].iter().map(Ring::area).collect::<Vec<_>>());
        // Closed form: a disc swept gains its diameter times the way; a round hole loses all but the lens that
        // stays open at both ends.
        let way = 15.0 * 2.0_f64.sqrt();
        let lens = 2.0 * 60.0_f64.powi(2) * (way / 120.0).acos()
            - way / 2.0 * (120.0_f64.powi(2) - way * way).sqrt();
        let want = 200.0 * way + PI * 3600.0 - lens;
        assert!((area(&got[0]) / want - 1.0).abs() < 1e-3, "{} {want}", area(&got[0]));
    }

    #[test]
    fn a_shadow_beside_an_outline_is_cast_by_the_outlined_letters() {
        let square =
            Ring::from_points([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)].map(Point::from));
        let got = shown(&[outline(10.0), shadow(20.0, 0.0)], &[square]);
        assert!((area(&got[0]) - (120.0 * 120.0 - 10_000.0)).abs() < 1e-6);
        assert!((area(&got[1]) - 120.0 * 20.0).abs() < 1e-6);
    }

    #[test]
    fn a_counter_that_closes_is_seen() {
        assert!(!closes(FurtherShape::Outline(59.0), &o()) && closes(FurtherShape::Outline(60.1), &o()));
        assert!(
            !closes(FurtherShape::Shadow([119.0, 0.0]), &o())
                && closes(FurtherShape::Shadow([121.0, 0.0]), &o())
        );
    }
}
