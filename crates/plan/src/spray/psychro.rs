//! Air and water: the dew point, and how far a surface stands above it.
//!
//! Temperatures in C, relative humidity in per cent, pressures in Pa. Below 0 C saturation is over ice, as in the
//! ASHRAE Handbook: what is called dew point is then the frost point, which is the higher of the two and so errs on
//! the safe side.

/// A form of the Magnus law: pressure at 0 C, and the two coefficients of its exponent.
struct Magnus {
    at_zero_pa: f64,
    a: f64,
    b_c: f64,
}

/// Over water: Alduchov and Eskridge 1996 (17.625 and 243.04 C read in a copy; 610.94 Pa from memory). Dew points
/// within 0.35 C from -40 to 60 C.
const WATER: Magnus = Magnus { at_zero_pa: 610.94, a: 17.625, b_c: 243.04 };
/// Over ice: the same paper, from memory; held against an outside library by tests/outside/air.py.
const ICE: Magnus = Magnus { at_zero_pa: 611.21, a: 22.587, b_c: 273.86 };

/// Least humidity reckoned with, per cent: drier air has no dew point worth the name.
const DRIEST: f64 = 0.1;

impl Magnus {
    fn pressure_pa(&self, at_c: f64) -> f64 {
        self.at_zero_pa * (self.a * at_c / (self.b_c + at_c)).exp()
    }

    fn temperature_c(&self, pressure_pa: f64) -> f64 {
        let gamma = (pressure_pa / self.at_zero_pa).ln();
        self.b_c * gamma / (self.a - gamma)
    }
}

/// Dew point, C, of air of `air_c` and `humidity` per cent (0.1 at least, 100 at most are reckoned with); below 0 C
/// the frost point.
///
/// # Example
/// ```
/// assert!((plan::spray::psychro::dew_point_c(20.0, 50.0) - 9.26).abs() < 0.05);
/// ```
pub fn dew_point_c(air_c: f64, humidity: f64) -> f64 {
    let vapour = saturation_pa(air_c) * humidity.clamp(DRIEST, 100.0) / 100.0;
    let dew = WATER.temperature_c(vapour);
    if dew >= 0.0 { dew } else { ICE.temperature_c(vapour) }
}

/// Pressure of saturated vapour, Pa, at `air_c`.
pub fn saturation_pa(air_c: f64) -> f64 {
    if air_c >= 0.0 { WATER.pressure_pa(air_c) } else { ICE.pressure_pa(air_c) }
}

/// Relative humidity, per cent, of air whose dew point is `dew_c`, warmed or cooled to `air_c`.
pub fn humidity_at(dew_c: f64, air_c: f64) -> f64 {
    (100.0 * saturation_pa(dew_c) / saturation_pa(air_c)).min(100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, wanted: f64, within: f64) {
        assert!((got - wanted).abs() <= within, "wanted {wanted} within {within}, got {got}");
    }

    fn c(f: f64) -> f64 {
        (f - 32.0) / 1.8
    }

    fn f(c: f64) -> f64 {
        c * 1.8 + 32.0
    }

    /// Checks 19 to 22: the coefficients worked through (derived), and a worked example (22 C, 78 %).
    #[test]
    fn dew_points_of_worked_examples() {
        for (air, humidity, wanted) in
            [(20.0, 50.0, 9.26), (25.0, 60.0, 16.70), (22.0, 78.0, 17.98), (10.0, 85.0, 7.59)]
        {
            near(dew_point_c(air, humidity), wanted, 0.05);
        }
    }

    /// Checks 23 and 24: a published chart in F, which is coarse: 2.5 F. Check 25: another, 1 F.
    #[test]
    fn dew_points_of_published_charts() {
        for (air, humidity, chart) in [
            (70.0, 65.0, 57.0),
            (60.0, 85.0, 55.0),
            (80.0, 70.0, 68.0),
            (90.0, 50.0, 67.0),
            (50.0, 80.0, 44.0),
        ] {
            near(f(dew_point_c(c(air), humidity)), chart, 2.5);
        }
        near(f(dew_point_c(c(75.0), 35.0)), 45.0, 1.0);
    }

    /// The whole table of that chart (fact sheet C2), not only the rows above.
    #[test]
    fn every_cell_of_the_published_chart() {
        let air = [40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0];
        let rows: [(f64, [f64; 7]); 8] = [
            (90.0, [37.0, 47.0, 57.0, 67.0, 77.0, 87.0, 97.0]),
            (85.0, [36.0, 45.0, 55.0, 65.0, 75.0, 84.0, 95.0]),
            (80.0, [34.0, 44.0, 54.0, 63.0, 73.0, 82.0, 93.0]),
            (70.0, [31.0, 40.0, 50.0, 60.0, 68.0, 78.0, 88.0]),
            (65.0, [29.0, 38.0, 47.0, 57.0, 66.0, 76.0, 85.0]),
            (60.0, [27.0, 36.0, 45.0, 55.0, 64.0, 73.0, 83.0]),
            (50.0, [23.0, 31.0, 40.0, 50.0, 59.0, 67.0, 77.0]),
            (40.0, [18.0, 26.0, 35.0, 43.0, 52.0, 61.0, 69.0]),
        ];
        for (humidity, row) in rows {
            for (air, chart) in air.iter().zip(row) {
                near(f(dew_point_c(c(*air), humidity)), chart, 2.5);
            }
        }
    }

    /// Check 27: ASHRAE Fundamentals 2017 by way of an open library's tests, 0.4 %.
    #[test]
    fn saturated_vapour() {
        for (air, wanted) in [(5.0, 872.6), (25.0, 3169.7), (50.0, 12_351.3)] {
            near(saturation_pa(air), wanted, wanted * 0.004);
        }
    }

    /// Checks 28 and 29, by the psychrometer's own equation (aspirated, WMO-No. 8, coefficient from memory): ASHRAE
    /// example 1 and an open library's test. The equation is only a test's: the tool asks for humidity, not for a wet bulb.
    #[test]
    fn wet_bulbs() {
        let vapour = |dry: f64, wet: f64, p: f64| {
            saturation_pa(wet) - 0.000_653 * (1.0 + 0.000_944 * wet) * (dry - wet) * p
        };
        // 40 C dry, 20 C wet: 14 %, dew point 7 C.
        let e = vapour(40.0, 20.0, 101_325.0);
        let humidity = 100.0 * e / saturation_pa(40.0);
        near(humidity, 14.0, 1.0);
        near(dew_point_c(40.0, humidity), 7.0, 0.5);
        // 7 C, 61 %, 100 kPa: wet bulb 3.93 C, found by halving.
        let (mut lo, mut hi) = (-10.0, 7.0);
        for _ in 0..60 {
            let mid = 0.5 * (lo + hi);
            if vapour(7.0, mid, 100_000.0) < 0.61 * saturation_pa(7.0) { lo = mid } else { hi = mid }
        }
        near(lo, 3.93, 0.1);
    }

    /// Check 30: the quick rule of Lawrence 2005, within 1 C above 50 %.
    #[test]
    fn the_quick_rule_agrees() {
        near(dew_point_c(20.0, 85.0), 20.0 - 15.0 / 5.0, 1.0);
        near(dew_point_c(20.0, 85.0), 17.40, 0.05);
    }

    #[test]
    fn warming_the_same_air_keeps_its_dew_point() {
        for air in [-5.0, 10.0, 30.0] {
            near(dew_point_c(air, humidity_at(-12.0, air)), -12.0, 0.001);
        }
        near(humidity_at(25.0, 20.0), 100.0, 0.0);
    }
}
