//! The same job typed in other units is the same job, to the noise of the conversion.

use super::NOISE_MM;
use super::full_text::full_with;
use crate::job::{Job, read};
use proptest::prelude::*;

fn job(text: &str) -> Job {
    read(text).unwrap_or_else(|problems| panic!("{problems:#?}\n{text}"))
}

/// The lines in which two jobs differ, numbers by more than noise; places in the file may differ.
fn differences(one: &Job, other: &Job) -> Vec<String> {
    let (one, other) = (format!("{one:#?}"), format!("{other:#?}"));
    assert_eq!(one.lines().count(), other.lines().count());
    let (mut numbers, mut differing) = (0, Vec::new());
    for (a, b) in one.lines().zip(other.lines()) {
        let (a, b) = (a.trim().trim_end_matches(','), b.trim().trim_end_matches(','));
        // A place in the file is a range; the span of a wing is a length.
        if (a.starts_with("span: ") && a.contains("..")) || a.starts_with("units: ") {
            continue;
        }
        let number = |line: &str| line.rsplit(' ').next().unwrap_or(line).parse::<f64>();
        let same = match (number(a), number(b)) {
            (Ok(x), Ok(y)) => {
                numbers += 1;
                (x - y).abs() <= NOISE_MM
            }
            _ => a == b,
        };
        if !same {
            differing.push(format!("{a} is not {b}"));
        }
    }
    assert!(100 < numbers, "only {numbers} numbers were compared");
    differing
}

/// A length as a steel tape reads: inches with a fraction if it is whole in 64ths, else decimals.
fn fraction(inches: f64) -> String {
    let parts = inches.abs() * 64.0;
    let sign = if inches < 0.0 { "-" } else { "" };
    if parts.fract() > 0.0 {
        return format!("\"{inches} in\"");
    }
    let (whole, part) = ((parts / 64.0).floor(), parts % 64.0);
    if part > 0.0 { format!("\"{sign}{whole} {part}/64 in\"") } else { format!("\"{sign}{whole} in\"") }
}

/// The same in feet and inches.
fn feet(inches: f64) -> String {
    let sign = if inches < 0.0 { "-" } else { "" };
    let (whole, rest) = ((inches.abs() / 12.0).floor(), inches.abs() % 12.0);
    format!("'{sign}{whole} ft {rest} in'")
}

fn in_units(text: &str, units: &str) -> String {
    text.replacen("units = \"in\"", &format!("units = \"{units}\""), 1)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// P3: a job in millimetres and the same in inches, feet or text give equal values within 1e-9 mm.
    #[test]
    fn p3_units_do_not_change_a_job(eighths in 4u32..24) {
        let scaled = |inches: f64| inches * f64::from(eighths) / 8.0;
        let inches = job(&full_with(|x| format!("{}", scaled(x))));
        let forms = [
            in_units(&full_with(|x| format!("{}", scaled(x) * 127.0 / 5.0)), "mm"),
            in_units(&full_with(|x| format!("{}", scaled(x) * 127.0 / 50.0)), "cm"),
            in_units(&full_with(|x| format!("{}", scaled(x) * 127.0 / 5000.0)), "m"),
            in_units(&full_with(|x| format!("{}", scaled(x) / 12.0)), "ft"),
            in_units(&full_with(|x| format!("\"{} mm\"", scaled(x) * 127.0 / 5.0)), "m"),
            in_units(&full_with(|x| fraction(scaled(x))), "mm"),
            in_units(&full_with(|x| feet(scaled(x))), "cm"),
        ];
        for form in forms {
            prop_assert_eq!(differences(&inches, &job(&form)), Vec::<String>::new());
        }
    }
}

#[test]
fn a_difference_of_a_thousandth_of_a_millimetre_is_seen_in_every_length() {
    let plain = job(&in_units(&full_with(|x| format!("{}", x * 127.0 / 5.0)), "mm"));
    let lengths = full_with(|_| "<".to_owned()).matches('<').count();
    for moved in 0..lengths {
        let idx = std::cell::Cell::new(0);
        let other = full_with(|x| {
            let more = if idx.replace(idx.get() + 1) == moved { 0.001 } else { 0.0 };
            format!("{}", x * 127.0 / 5.0 + more)
        });
        let differing = differences(&plain, &job(&in_units(&other, "mm")));
        assert_eq!(differing.len(), 1, "length {moved}: {differing:?}");
    }
}
