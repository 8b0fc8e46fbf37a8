//! Lengths as a person reads them: inches off a tape measure, with the millimetres beside them.

use geom::tolerance::NOISE_MM;

/// Furthest, mm, a length may lie from a 1/32 in line and still be read as that line.
/// Chosen: half the width of a line on a steel tape.
const READS_AS_MM: f64 = 0.05;

/// A length as a tape measure reads it: `12 in`, `3 5/32 in`; decimal inches if it lies between the
/// 1/32 in lines of the tape.
pub fn tape_measure(mm: f64) -> String {
    let inches = mm / 25.4;
    let parts = (inches.abs() * 32.0).round();
    if (parts / 32.0 * 25.4 - mm.abs()).abs() > READS_AS_MM || (parts < 1.0 && NOISE_MM < mm.abs()) {
        let digits = if inches.abs() < 10.0 { 3 } else { 2 };
        return format!("{} in", trimmed(inches, digits));
    }
    let sign = if mm < 0.0 && 0.0 < parts { "-" } else { "" };
    let (whole, mut above, mut below) = ((parts / 32.0).floor(), parts % 32.0, 32.0);
    while 0.0 < above && above % 2.0 < 0.5 {
        (above, below) = (above / 2.0, below / 2.0);
    }
    match (0.0 < whole, 0.0 < above) {
        (_, false) => format!("{sign}{whole} in"),
        (true, true) => format!("{sign}{whole} {above}/{below} in"),
        (false, true) => format!("{sign}{above}/{below} in"),
    }
}

/// The same with millimetres beside it: `12 in (304.8 mm)`.
pub fn both(mm: f64) -> String {
    format!("{} ({} mm)", tape_measure(mm), trimmed(mm, 3))
}

/// A number with at most `digits` decimals and no trailing zeros.
pub(super) fn trimmed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_on_a_line_of_the_tape_is_read_as_that_line() {
        for (mm, read) in [
            (304.8, "12 in"),
            (292.1, "11 1/2 in"),
            (80.168_75, "3 5/32 in"),
            (1.5875, "1/16 in"),
            (0.0, "0 in"),
            (-25.4, "-1 in"),
        ] {
            assert_eq!(tape_measure(mm), read, "{mm} mm");
        }
    }

    #[test]
    fn a_length_between_the_lines_is_read_in_decimals() {
        assert_eq!(tape_measure(300.4), "11.83 in");
        assert_eq!(tape_measure(10.0), "0.394 in");
        assert_eq!(both(300.4), "11.83 in (300.4 mm)");
    }

    #[test]
    fn the_reading_changes_at_the_width_of_a_line() {
        assert_eq!(tape_measure(304.849), "12 in");
        assert_eq!(tape_measure(305.3), "12.02 in");
    }
}
