//! From how far characters can be read: the angles their height and strokes fill at the eye.
//!
//! A rule that asks for legibility from a distance gives no size. The sizes here are guidance from research on
//! reading; light, contrast and the reader decide. Step back and read it.

use super::check::Check;
use super::codes;
use super::figure::{Figure, FigureUnit, Limit};
use super::pack::Performance;
use super::reading::at_least;
use crate::finding::{Basis, Finding, Severity};

/// Angle, radians, of a character's height at which more than nine readers in ten read it.
/// Human Factors 21(6), 1979, abstract read.
pub const HEIGHT_ANGLE: f64 = 0.003;

/// The same for practically all readers (same source), told as what to aim for.
pub const HEIGHT_ANGLE_ALL: f64 = 0.007;

/// Angle, radians, of a stroke that a reader of normal sight (20/20) just makes out: one minute of arc.
/// Principle of Howett, NBS Technical Note 1180, 1983, abstract read; the figure follows.
pub const STROKE_ANGLE: f64 = std::f64::consts::PI / (180.0 * 60.0);

/// Least length, mm, that fills `angle` from `distance`, mm. The angle is taken as length over distance, which
/// for such angles is off by less than two hundred-thousandths.
pub fn least_length(distance: f64, angle: f64) -> f64 {
    distance * angle
}

/// Findings about a demand to be legible from a distance: height and thinnest stroke of a mark.
pub(super) fn check_legible(check: Check<'_>, demand: &Performance) -> Vec<Finding> {
    let Some(distance) = demand.figure.mm() else { return Vec::new() };
    let mark = check.mark;
    let guide = |value: f64, cite: &str| Figure {
        value,
        unit: FigureUnit::Mm,
        limit: Limit::ShouldMin,
        basis: Basis::Quoted,
        cite: format!("guidance, not the rule ({}): {cite}", demand.figure.cite),
    };
    let from = demand.figure.amount();
    let judged = |what: &str, found: f64, angle: f64, cite: &str, hint: String| {
        let least = least_length(distance, angle);
        let figure = guide(least, cite);
        let mut finding = check.length(codes::LEGIBLE, what, found, &figure, least);
        finding.message +=
            &format!("; for {} {from}, by research on reading and not by the rule", demand.say);
        if finding.severity != Severity::Pass {
            finding.hint = hint;
        }
        finding
    };
    let all = at_least(least_length(distance, HEIGHT_ANGLE_ALL));
    let least = at_least(least_length(distance, HEIGHT_ANGLE));
    let mut findings = vec![judged(
        "height is",
        mark.height_mm,
        HEIGHT_ANGLE,
        "0.003 of the distance, read by more than nine in ten (Human Factors 21(6), 1979, abstract)",
        format!("make it {least} high or more; practically everybody reads {all}"),
    )];
    let thinnest = mark.characters.iter().filter_map(|character| character.stroke).map(|s| s.median_mm);
    if let Some(stroke) = thinnest.min_by(f64::total_cmp) {
        let least = at_least(least_length(distance, STROKE_ANGLE));
        findings.push(judged(
            "the thinnest stroke is",
            stroke,
            STROKE_ANGLE,
            "one minute of arc, for normal sight (NBS Technical Note 1180, 1983, abstract; figure derived)",
            format!("make the strokes {least} thick or more"),
        ));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = 25.4;
    const FOOT: f64 = 304.8;

    #[test]
    fn distances_are_those_of_the_published_yardsticks() {
        // AC 45-2E 7.3.2 as quoted: a 12 in mark from 500 ft, that is 41.67 ft an inch, 0.0020 rad, 6.88'.
        let faa: f64 = 12.0 * INCH / (500.0 * FOOT);
        assert!((500.0 / 12.0 - 41.67_f64).abs() < 0.01 && (faa - 0.0020).abs() < 1e-9);
        assert!((faa / STROKE_ANGLE - 6.88).abs() < 0.01);
        // A 12 in mark: at 0.003 rad 333 ft (Human Factors 21(6), 1979).
        assert!((12.0 * INCH / HEIGHT_ANGLE / FOOT - 333.0).abs() < 1.0);
        // A stroke of 2 in at one minute of arc: 573 ft (principle of Howett).
        assert!((2.0 * INCH / STROKE_ANGLE / FOOT - 573.0).abs() < 1.0);
        // Human Factors in ft an inch: 27.8 at 0.003 rad, 11.9 at 0.007 rad.
        assert!((INCH / HEIGHT_ANGLE / FOOT - 27.8).abs() < 0.05);
        assert!((INCH / HEIGHT_ANGLE_ALL / FOOT - 11.9).abs() < 0.05);
    }

    #[test]
    fn an_angle_taken_as_a_ratio_is_off_by_as_little_as_said() {
        let angle = HEIGHT_ANGLE_ALL;
        let true_length = 2.0 * (angle / 2.0).tan();
        assert!((true_length / angle - 1.0).abs() < 2e-5);
    }
}
