//! How warmth changes times: pot life, drying and curing take twice as long for each 10 C colder.
//!
//! Read for pot life (UFGS 09 97 para 3.7.1.3) and for the cure of two-pack paints (a trade article); flash depends
//! on it more weakly, so that a scaled flash errs long in the cold and short in the heat. Only times that say their
//! temperature are changed; data sheets come first, and nothing is promised beyond theirs.

use crate::job::TimeAt;

/// Degrees over which a time doubles, C.
const DOUBLING_C: f64 = 10.0;

/// What a time stated for `at_c` becomes at `now_c`.
///
/// # Example
/// ```
/// // 2 h at 21 C is 4 h at 11 C.
/// assert_eq!(plan::spray::warmth::scaled(120.0, 21.0, 11.0), 240.0);
/// ```
pub fn scaled(minutes: f64, at_c: f64, now_c: f64) -> f64 {
    minutes * ((at_c - now_c) / DOUBLING_C).exp2()
}

/// The minutes of a time of the job in a shop of `shop_c`; as they stand if either temperature is not known.
pub fn minutes(time: TimeAt, shop_c: Option<f64>) -> f64 {
    match (time.at_c, shop_c) {
        (Some(at), Some(now)) => scaled(time.minutes, at, now),
        _ => time.minutes,
    }
}

/// Whole minutes of a time that must have passed: rounded up.
pub fn at_least(minutes: f64) -> i64 {
    (minutes - geom::tolerance::NOISE_UNIT).ceil() as i64
}

/// Whole minutes of a time that must not be passed: rounded down.
pub fn at_most(minutes: f64) -> i64 {
    (minutes + geom::tolerance::NOISE_UNIT).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check 17 (UFGS 09 97): pot life 2 h at 21 C. Check 18 (a trade article): cure 6 h at 20 C.
    #[test]
    fn ten_degrees_double_or_halve() {
        for (time, at, now, wanted) in
            [(2.0, 21.0, 31.0, 1.0), (2.0, 21.0, 11.0, 4.0), (6.0, 20.0, 10.0, 12.0), (6.0, 20.0, 30.0, 3.0)]
        {
            assert!((scaled(time, at, now) - wanted).abs() < 1e-12);
        }
    }

    #[test]
    fn a_time_without_a_temperature_stays_as_it_stands() {
        let time = TimeAt { minutes: 90.0, at_c: None };
        assert!((minutes(time, Some(5.0)) - 90.0).abs() < 1e-12);
        let time = TimeAt { minutes: 90.0, at_c: Some(21.0) };
        assert!((minutes(time, None) - 90.0).abs() < 1e-12);
    }

    #[test]
    fn waits_round_up_and_limits_round_down() {
        assert_eq!((at_least(29.2), at_most(29.8)), (30, 29));
        assert_eq!((at_least(30.0), at_most(30.0)), (30, 30));
    }
}
