//! Temperatures, times, times of day, travel speeds and colours as a painter writes them.
//!
//! Each says its unit; a bare number is never guessed at. Lengths have a file of their own.

use super::lengths;

/// Degrees Celsius of `72 F` or `21 C`.
///
/// # Errors
/// What is wrong, for a message.
pub fn temperature_c(text: &str) -> Result<f64, String> {
    let (number, unit) = split(text)?;
    match unit {
        // Zero Celsius is 32 F and a Fahrenheit degree five ninths of a Celsius one, by definition (from memory).
        "F" | "°F" => Ok((number - 32.0) * 5.0 / 9.0),
        "C" | "°C" => Ok(number),
        "" => Err(format!("`{text}` says no unit: add F or C")),
        other => Err(format!("unknown unit of temperature `{other}`: F or C")),
    }
}

/// Minutes of `24 h`, `45 min`, `5 d`, `30 s` or `1 h 30 min`.
///
/// # Errors
/// What is wrong, for a message.
pub fn minutes(text: &str) -> Result<f64, String> {
    let mut words = text.split_whitespace().peekable();
    if words.peek().is_none() {
        return Err("a time is missing".to_owned());
    }
    let (mut total, mut last) = (0.0, f64::INFINITY);
    while let Some(word) = words.next() {
        let (number, mut unit) = split(word)?;
        if unit.is_empty() {
            unit = words.next().ok_or_else(|| format!("`{text}` says no unit: add min, h or d"))?;
        }
        let each = match unit {
            "s" => 1.0 / 60.0,
            "min" => 1.0,
            "h" => 60.0,
            "d" => 1440.0,
            other => return Err(format!("unknown unit of time `{other}`: s, min, h or d")),
        };
        if number < 0.0 {
            return Err(format!("`{text}` is less than no time"));
        }
        if each >= last {
            return Err(format!("`{text}` does not go from the longer unit to the shorter"));
        }
        last = each;
        total += number * each;
    }
    Ok(total)
}

/// Minutes after midnight of `08:00`.
///
/// # Errors
/// What is wrong, for a message.
pub fn clock_minutes(text: &str) -> Result<u16, String> {
    let bytes = text.as_bytes();
    let digits = |at: usize| bytes.get(at).filter(|b| b.is_ascii_digit()).map(|b| u16::from(b - b'0'));
    let (Some(a), Some(b), Some(b':'), Some(c), Some(d), 5) =
        (digits(0), digits(1), bytes.get(2), digits(3), digits(4), bytes.len())
    else {
        return Err(format!("`{text}` is not a time of day"));
    };
    let (hour, minute) = (a * 10 + b, c * 10 + d);
    if hour > 23 || minute > 59 {
        return Err(format!("`{text}` is not on the clock"));
    }
    Ok(hour * 60 + minute)
}

/// Millimetres a second of `18 in/s`, `450 mm/s` or `90 ft/min`.
///
/// # Errors
/// What is wrong, for a message.
pub fn speed_mm_s(text: &str) -> Result<f64, String> {
    let Some((length, time)) =
        text.rsplit_once('/').filter(|(_, time)| !time.trim().starts_with(|c: char| c.is_ascii_digit()))
    else {
        return Err(format!("`{text}` says no unit of travel: add in/s or mm/s"));
    };
    let mm = lengths::length_mm(length).map_err(|wrong| wrong.message)?;
    match time.trim() {
        "s" => Ok(mm),
        "min" => Ok(mm / 60.0),
        other => Err(format!("unknown unit of travel, a length per `{other}`: per s or per min")),
    }
}

/// Red, green and blue of `#rrggbb`.
///
/// # Errors
/// What is wrong, for a message.
pub fn colour(text: &str) -> Result<[u8; 3], String> {
    let digits = text.strip_prefix('#').filter(|d| d.len() == 6 && d.bytes().all(|b| b.is_ascii_hexdigit()));
    let value = digits.and_then(|d| u32::from_str_radix(d, 16).ok());
    match value {
        Some(value) => Ok([(value >> 16) as u8, (value >> 8) as u8, value as u8]),
        None => Err(format!("`{text}` is not a colour")),
    }
}

/// A decimal number and the word behind it.
fn split(text: &str) -> Result<(f64, &str), String> {
    let text = text.trim();
    let end = text.bytes().take_while(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-')).count();
    let (typed, unit) = (&text[..end], text[end..].trim_start());
    if unit.starts_with(',') {
        return Err(format!("a decimal comma in `{text}`: write a point"));
    }
    match typed.parse::<f64>() {
        Ok(value) if typed.len() <= 15 => Ok((value, unit)),
        _ => Err(format!("`{text}` does not open with a number")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, wanted: f64, text: &str) {
        assert!((got - wanted).abs() <= 1e-9, "{text}: wanted {wanted}, got {got}");
    }

    /// Fixed points: water freezes at 32 F and boils at 212 F, and the scales meet at -40 (from memory).
    #[test]
    fn temperatures_read_in_both_scales() {
        for (text, wanted) in [
            ("32 F", 0.0),
            ("212 F", 100.0),
            ("-40 F", -40.0),
            ("-40 C", -40.0),
            ("21 C", 21.0),
            ("70.7°F", 21.5),
        ] {
            near(temperature_c(text).unwrap(), wanted, text);
        }
        for (text, wanted) in [
            ("72", "`72` says no unit: add F or C"),
            ("72 K", "unknown unit of temperature `K`: F or C"),
            ("warm", "`warm` does not open with a number"),
            ("20,5 C", "a decimal comma in `20,5 C`: write a point"),
        ] {
            assert_eq!(temperature_c(text).unwrap_err(), wanted);
        }
    }

    #[test]
    fn times_add_up() {
        for (text, wanted) in [
            ("24 h", 1440.0),
            ("45 min", 45.0),
            ("5 d", 7200.0),
            ("1 h 30 min", 90.0),
            ("1h30min", f64::NAN),
            ("1h 30min", 90.0),
            ("0 min", 0.0),
            ("1.5 h", 90.0),
            ("90 s", 1.5),
        ] {
            match minutes(text) {
                Ok(got) => near(got, wanted, text),
                Err(_) => assert!(wanted.is_nan(), "{text}"),
            }
        }
        for (text, wanted) in [
            ("45", "`45` says no unit: add min, h or d"),
            ("2 weeks", "unknown unit of time `weeks`: s, min, h or d"),
            ("-5 min", "`-5 min` is less than no time"),
            ("30 min 1 h", "`30 min 1 h` does not go from the longer unit to the shorter"),
            ("", "a time is missing"),
            ("soon", "`soon` does not open with a number"),
        ] {
            assert_eq!(minutes(text).unwrap_err(), wanted);
        }
    }

    #[test]
    fn times_of_day_speeds_and_colours_read() {
        assert_eq!(clock_minutes("08:05"), Ok(485));
        assert_eq!(clock_minutes("23:59"), Ok(1439));
        assert_eq!(clock_minutes("24:00").unwrap_err(), "`24:00` is not on the clock");
        assert_eq!(clock_minutes("8:00").unwrap_err(), "`8:00` is not a time of day");
        near(speed_mm_s("18 in/s").unwrap(), 457.2, "18 in/s");
        near(speed_mm_s("90 ft/min").unwrap(), 457.2, "90 ft/min");
        near(speed_mm_s("1/2 m/s").unwrap(), 500.0, "1/2 m/s");
        assert_eq!(speed_mm_s("18 in").unwrap_err(), "`18 in` says no unit of travel: add in/s or mm/s");
        assert_eq!(
            speed_mm_s("18 in/h").unwrap_err(),
            "unknown unit of travel, a length per `h`: per s or per min"
        );
        assert_eq!(colour("#1b2F52"), Ok([0x1b, 0x2f, 0x52]));
        for wrong in ["1b2f52", "#1b2f5", "#1b2f5g", "#1b2f522", "blue", "#é2f5a"] {
            assert_eq!(colour(wrong).unwrap_err(), format!("`{wrong}` is not a colour"));
        }
    }
}
