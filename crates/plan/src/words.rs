//! Numbers as they are read aloud in the shop: inch fractions as a tape measure shows them, millimetres
//! beside.

use sheet::units::{mm_text, tape_measure};

/// `12 1/2 in (317.5 mm)`: to 1/32 in and 0.1 mm.
pub fn length(mm: f64) -> String {
    format!("{} ({})", tape_measure(mm), mm_text(mm))
}

/// `12 1/2 in`: to the nearest 1/32 in.
pub fn inches(mm: f64) -> String {
    tape_measure(mm).to_string()
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

/// An error of length finer than a tape reads: `0.04 mm (0.0016 in)`.
pub fn fine(mm: f64) -> String {
    format!("{:.2} mm ({:.4} in)", mm, mm / 25.4)
}
