//! The reader held against whole job files: what reads, what is refused and where, what must never break.

mod full;
mod full_text;
mod lengths;
mod pages;
mod refused;
mod refused_across;
mod refused_form;
mod refused_hangar;
mod refused_keys;
mod refused_numbers;
mod refused_stripes;
mod refused_texts;
mod robust;
mod template;
mod units;

/// Noise of a conversion of a length of some metres, mm.
const NOISE_MM: f64 = 1e-9;

fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() <= NOISE_MM, "wanted {wanted}, got {got}");
}
