//! Passes of the gun over a letter: how many, how long they take, how much area a minute.
//!
//! Lengths in mm, times in seconds.

use crate::job::Gun;

/// The passes of one coat over one letter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passes {
    /// How many.
    pub count: u32,
    /// Length of each, with half a fan beyond either end.
    pub length: f64,
    /// Seconds of all of them, turning round at each end included.
    pub seconds: f64,
}

/// The passes over a letter `along` mm wide and `across` mm high: the first and the last centred on its edges,
/// the others between at no more than the fan less the overlap.
pub fn passes(along: f64, across: f64, gun: &Gun, turn_s: f64) -> Passes {
    let step = gun.fan * (1.0 - gun.overlap);
    let count = (across / step - geom::tolerance::NOISE_UNIT).ceil().max(0.0) as u32 + 1;
    let length = along + gun.fan;
    Passes { count, length, seconds: f64::from(count) * (length / gun.speed + turn_s) }
}

/// Square millimetres a second once the gun is moving.
pub fn area_rate(gun: &Gun) -> f64 {
    gun.fan * (1.0 - gun.overlap) * gun.speed
}

#[cfg(test)]
mod tests {
    use super::*;

    const GUN: Gun = Gun { fan: 203.2, overlap: 0.5, speed: 457.2 };

    /// Check 53 of the fact sheet: a collision-repair textbook's speed, 8 in fan, half overlap: 30 ft2/min.
    #[test]
    fn a_textbook_gun_covers_thirty_square_feet_a_minute() {
        assert!((area_rate(&GUN) * 60.0 / (304.8 * 304.8) - 30.0).abs() < 1e-9);
    }

    #[test]
    fn a_letter_of_thirty_inches_takes_nine_passes() {
        // 30 in over steps of 4 in: edges at 0 and 30, 8 steps, 9 passes of 20 + 8 in at 18 in/s, 1 s a turn.
        let p = passes(508.0, 762.0, &GUN, 1.0);
        assert_eq!(p.count, 9);
        assert!((p.seconds - 9.0 * (28.0 / 18.0 + 1.0)).abs() < 1e-9);
    }
}
