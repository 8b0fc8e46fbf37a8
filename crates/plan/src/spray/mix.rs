//! Mixing: parts by volume as lines on a cup, and how much to mix so that every part ends on a line.
//!
//! Volumes in ml.

/// A part of a mixture.
#[derive(Clone, Debug, PartialEq)]
pub struct PartOf {
    /// What it is called.
    pub name: String,
    /// How much of it.
    pub ml: f64,
}

/// `total` ml split by parts, in their order. Nothing if there are no parts.
pub fn split(total: f64, parts: &[(String, f64)]) -> Vec<PartOf> {
    let whole: f64 = parts.iter().map(|p| p.1).sum();
    parts.iter().map(|(name, share)| PartOf { name: name.clone(), ml: total * share / whole }).collect()
}

/// The lines on the cup: how full it is after each part has been poured in.
pub fn lines(parts: &[PartOf]) -> Vec<f64> {
    let mut full = 0.0;
    parts
        .iter()
        .map(|p| {
            full += p.ml;
            full
        })
        .collect()
}

/// The least volume of at least `ml` at which every part is a whole number of cup lines of `line` ml. If the parts
/// have no small common measure (twenty times the smallest is looked at), the least whole number of lines.
pub fn on_lines(ml: f64, parts: &[(String, f64)], line: f64) -> f64 {
    let step = step_of(parts, line);
    let noise = geom::tolerance::NOISE_UNIT;
    ((ml / step - noise).ceil().max(1.0)) * step
}

/// The volume of the mixture that puts every part on a line.
fn step_of(parts: &[(String, f64)], line: f64) -> f64 {
    let noise = geom::tolerance::NOISE_UNIT;
    let whole = |x: f64| (x - x.round()).abs() <= noise;
    let least = parts.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    if parts.is_empty() {
        return line;
    }
    for k in 1..=20 {
        let unit = least / f64::from(k);
        if parts.iter().all(|p| whole(p.1 / unit)) {
            let sum: f64 = parts.iter().map(|p| (p.1 / unit).round()).sum();
            return sum * line;
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(shares: &[f64]) -> Vec<(String, f64)> {
        shares.iter().enumerate().map(|(k, s)| (format!("part {k}"), *s)).collect()
    }

    fn ml(total: f64, shares: &[f64]) -> Vec<f64> {
        split(total, &parts(shares)).into_iter().map(|p| p.ml).collect()
    }

    /// Checks 12 and 14: ratios of data sheets; 13: plain arithmetic. Exact.
    #[test]
    fn ratios_of_data_sheets() {
        assert_eq!(ml(32.0, &[2.0, 1.0, 1.0]), [16.0, 8.0, 8.0]);
        assert_eq!(ml(1000.0, &[3.0, 1.0, 1.0]), [600.0, 200.0, 200.0]);
        assert_eq!(ml(500.0, &[4.0, 1.0]), [400.0, 100.0]);
        assert_eq!(ml(700.0, &[5.0, 1.0, 1.0]), [500.0, 100.0, 100.0]);
    }

    #[test]
    fn lines_on_the_cup_add_up() {
        assert_eq!(lines(&split(360.0, &parts(&[4.0, 1.0, 1.0]))), [240.0, 300.0, 360.0]);
    }

    #[test]
    fn what_is_mixed_ends_on_a_line_for_every_part() {
        assert!((on_lines(310.0, &parts(&[4.0, 1.0, 1.0]), 5.0) - 330.0).abs() < 1e-9);
        assert!((on_lines(330.0, &parts(&[4.0, 1.0, 1.0]), 5.0) - 330.0).abs() < 1e-9);
        assert!((on_lines(101.0, &parts(&[1.0, 1.0, 0.5]), 5.0) - 125.0).abs() < 1e-9);
        assert!((on_lines(101.0, &parts(&[3.0, 2.0]), 5.0) - 125.0).abs() < 1e-9);
        // No small common measure: whole lines of the mixture.
        assert!((on_lines(101.0, &parts(&[1.0, 0.37]), 5.0) - 105.0).abs() < 1e-9);
        assert!((on_lines(3.0, &[], 5.0) - 5.0).abs() < 1e-9);
    }

    proptest::proptest! {
        /// P9: the parts of a paint add up to it.
        #[test]
        fn p9_parts_add_up(total in 1.0..5000.0_f64, shares in proptest::collection::vec(0.1..12.0_f64, 1..5)) {
            let sum: f64 = ml(total, &shares).iter().sum();
            proptest::prop_assert!((sum - total).abs() < 1e-9 * total);
        }
    }
}
