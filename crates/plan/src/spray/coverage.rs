//! The coverage law: how much paint an area takes, how thick it is wet, what it weighs dry.
//!
//! One litre of solids laid on without loss covers 1000 m2 one micrometre thick; the rest is shares. Areas in m2,
//! films in micrometres, volumes in litres, masses in grams.

/// Square metres times micrometres in a litre: exact, as 1 L = 1000 cm3. US practice says the same as 1604.17
/// ft2 mil a gallon (231 in3).
pub const M2_UM_PER_LITRE: f64 = 1000.0;

/// Litres of mixture for `area_m2` at `dry_um` of dry film, if `solids` of it stay (0 to 1) and `landing` of what
/// is sprayed lands (0 to 1; neither may be 0).
///
/// # Example
/// ```
/// // 1.86 m2 at 50 um, half solids, half landing: 0.372 L.
/// assert!((plan::spray::coverage::litres(1.86, 50.0, 0.5, 0.5) - 0.372).abs() < 0.001);
/// ```
pub fn litres(area_m2: f64, dry_um: f64, solids: f64, landing: f64) -> f64 {
    area_m2 * dry_um / (M2_UM_PER_LITRE * solids * landing)
}

/// Square metres that one litre of mixture covers at `dry_um`.
pub fn m2_per_litre(dry_um: f64, solids: f64, landing: f64) -> f64 {
    M2_UM_PER_LITRE * solids * landing / dry_um
}

/// Wet film for a dry film, both in the same unit; `thinner` is the volume of thinner added to one volume of the
/// mixture whose solids are given.
pub fn wet_film(dry: f64, solids: f64, thinner: f64) -> f64 {
    dry * (1.0 + thinner) / solids
}

/// Grams of dry film on `area_m2`: film times density (kg/L). Only what lies on the paint's own area stays.
pub fn dry_grams(area_m2: f64, dry_um: f64, density: f64) -> f64 {
    area_m2 * dry_um * density
}

#[cfg(test)]
mod tests {
    use super::*;

    // Handbook units, for checks that were published in them.
    const FT2: f64 = 0.092_903_04;
    const MIL: f64 = 25.4;
    const GALLON: f64 = 3.785_411_784;
    const FLUID_OUNCE: f64 = GALLON / 128.0;
    const POUND: f64 = 453.592_37;

    fn near(got: f64, wanted: f64, within: f64) {
        assert!((got - wanted).abs() <= within, "wanted {wanted} within {within}, got {got}");
    }

    /// Checks 1 and 2 of the fact sheet: the US constant is the metric one (231 in3 a gallon; derived).
    #[test]
    fn the_us_constant_is_the_metric_one() {
        let us = 231.0 / (0.001 * 144.0);
        near(us, 1604.167, 0.01);
        near(us * FT2 * MIL / GALLON, M2_UM_PER_LITRE, 0.01);
    }

    /// Check 3: paintcenter.org, October 2003 (says 167 ft2).
    #[test]
    fn a_gallon_at_half_solids_and_little_landing_covers_what_the_archive_says() {
        near(m2_per_litre(1.5 * MIL, 0.52, 0.30) * GALLON / FT2, 166.8, 0.5);
    }

    /// Checks 4 and 5: a worked example in a coatings paper (scribd 343849341), with 1604 in place of 1604.17.
    #[test]
    fn sixty_five_per_cent_solids_at_five_mil() {
        near(m2_per_litre(5.0 * MIL, 0.65, 1.0) * GALLON / FT2, 208.52, 0.05);
        near(m2_per_litre(125.0, 0.65, 1.0), 5.20, 0.01);
    }

    /// Checks 6, 7 and 9: wet film, from paintcenter.org (October 2003), a coatings seller's page, and derived.
    #[test]
    fn wet_film_is_dry_over_solids_and_grows_with_thinner() {
        near(wet_film(1.5, 0.42, 0.0), 3.571, 0.01);
        near(wet_film(100.0, 0.62, 0.0), 161.3, 0.5);
        near(wet_film(2.0, 0.50, 0.10), 4.40, 0.01);
        near(wet_film(2.0, 0.50, 0.20), 4.80, 0.01);
    }

    /// Check 8: geionline.com. A wet film is a dry one of nothing but solids.
    #[test]
    fn ten_mil_wet() {
        near(m2_per_litre(10.0 * MIL, 1.0, 1.0) * GALLON / FT2, 160.417, 0.01);
    }

    /// Checks 10 and 11 (derived).
    #[test]
    fn twenty_square_feet_at_two_mil() {
        let need = litres(20.0 * FT2, 2.0 * MIL, 0.5, 0.5);
        near(need / GALLON, 0.0998, 0.0998 * 0.005);
        near(need, 0.3776, 0.3776 * 0.005);
        near(need * 1000.0 / (FLUID_OUNCE * 1000.0), 12.77, 12.77 * 0.005);
        near(litres(1.86, 50.0, 0.5, 0.5), 0.372, 0.001);
    }

    /// Checks 15 and 16: derived, and a published table by way of a builders' forum.
    #[test]
    fn the_weight_of_a_dry_film() {
        near(dry_grams(20.0 * FT2, 2.0 * MIL, 1.4), 132.1, 132.1 * 0.005);
        near(dry_grams(20.0 * FT2, 2.0 * MIL, 1.4) / POUND, 0.2913, 0.2913 * 0.005);
        near(dry_grams(FT2, 2.0 * MIL, 1.40) / POUND, 0.0146, 0.0002);
    }

    proptest::proptest! {
        /// P9: more film, fewer solids or less landing never need less paint.
        #[test]
        fn p9_worse_figures_never_need_less(
            a in 0.01..50.0_f64, d in 1.0..300.0_f64, s in 0.05..1.0_f64, t in 0.05..1.0_f64, k in 1.0..3.0_f64
        ) {
            let base = litres(a, d, s, t);
            proptest::prop_assert!(litres(a, d * k, s, t) >= base);
            proptest::prop_assert!(litres(a, d, s / k, t) >= base);
            proptest::prop_assert!(litres(a, d, s, t / k) >= base);
        }
    }
}
