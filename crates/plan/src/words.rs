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
