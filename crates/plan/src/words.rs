//! Numbers as they are read aloud in the shop: inch fractions as a tape measure shows them, millimetres
//! beside.

use sheet::units::{mm_text, tape_measure};

/// `12 1/2 in (317.5 mm)`: to 1/32 in and 0.1 mm; `under 1/32 in (0.3 mm)` of what a tape reads as nothing and is not.
pub fn length(mm: f64) -> String {
    let (tape, exact) = (tape_measure(mm).to_string(), mm_text(mm));
    if tape == tape_measure(0.0).to_string() && exact != mm_text(0.0) {
        return format!("under 1/32 in ({exact})");
    }
    format!("{tape} ({exact})")
}

/// `12 1/2 in`: to the nearest 1/32 in.
pub fn inches(mm: f64) -> String {
    tape_measure(mm).to_string()
}

/// Where a point of the flat lies: `12 1/2 in (317.5 mm) along and 3 in (76.2 mm) up the flat`.
pub fn on_flat(p: geom::Point) -> String {
    format!("{} along and {} up the flat", length(p.x), length(p.y))
}

/// A share as per cent, two figures.
pub fn percent(share: f64) -> String {
    let p = 100.0 * share;
    if p < 0.0001 {
        "0 per cent".to_owned()
    } else if p < 0.01 {
        format!("{p:.4} per cent")
    } else if p < 0.1 {
        format!("{p:.3} per cent")
    } else {
        format!("{p:.2} per cent")
    }
}

/// True of a share that [`percent`] reads as none at all.
pub fn is_nothing(share: f64) -> bool {
    percent(share) == percent(0.0)
}

/// An error of length finer than a tape reads: `0.04 mm (0.0016 in)`; one that it reads: `2.17 mm (3/32 in)`.
pub fn fine(mm: f64) -> String {
    if mm >= sheet::units::INCH_MM / 32.0 {
        return format!("{mm:.2} mm ({})", tape_measure(mm));
    }
    format!("{:.2} mm ({:.4} in)", mm, mm / 25.4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_tape_reads_as_nothing_is_not_called_nothing() {
        // 1/64 in, half of what the tape shows, is 0.397 mm.
        assert_eq!(length(0.3), "under 1/32 in (0.3 mm)");
        assert_eq!(length(-0.3), "under 1/32 in (-0.3 mm)");
        assert_eq!(length(0.0), "0 in (0 mm)");
        assert_eq!(length(0.5), "1/32 in (0.5 mm)");
    }

    #[test]
    fn an_error_that_a_tape_reads_is_told_as_it_reads_it() {
        assert_eq!(fine(0.04), "0.04 mm (0.0016 in)");
        assert_eq!(fine(2.167), "2.17 mm (3/32 in)");
    }
}
