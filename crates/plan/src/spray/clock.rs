//! The shop's own clock: whole minutes counted from midnight before the first spraying, and back to days.
//!
//! The one file that knows the crate behind it. Civil days only: no zones, no summer time, and never the clock of
//! the computer.

use crate::job::DateTime;
use jiff::civil::Date;

/// Minutes of a day.
pub const DAY: i64 = 1440;

/// Minutes counted from one day's midnight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock {
    first: Date,
}

impl Clock {
    /// The clock whose minute 0 is the midnight at which `date` (year, month, day) begins; `None` if there is no
    /// such day.
    pub fn new(date: [u16; 3]) -> Option<Clock> {
        Some(Clock { first: civil(date)? })
    }

    /// The minute of a day and time.
    pub fn minute(&self, at: DateTime) -> Option<i64> {
        let days = self.first.until(civil(at.date)?).ok()?.get_days();
        Some(i64::from(days) * DAY + i64::from(at.minute))
    }

    fn date(&self, minute: i64) -> Date {
        let days = minute.div_euclid(DAY).clamp(-DAY * 10_000, DAY * 10_000);
        // A day out of the calendar's reach stays at its end: no plan runs that far.
        self.first.checked_add(jiff::Span::new().days(days)).unwrap_or(self.first)
    }

    /// `2026-06-06T08:10`.
    pub fn text(&self, minute: i64) -> String {
        let d = self.date(minute);
        format!("{:04}-{:02}-{:02}T{}", d.year(), d.month(), d.day(), time(minute))
    }

    /// `20260606T081000`, as calendars write a time without a zone.
    pub fn calendar(&self, minute: i64) -> String {
        let d = self.date(minute);
        let m = minute.rem_euclid(DAY);
        format!("{:04}{:02}{:02}T{:02}{:02}00", d.year(), d.month(), d.day(), m / 60, m % 60)
    }

    /// `Sat 6 June`.
    pub fn day_words(&self, minute: i64) -> String {
        const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let d = self.date(minute);
        let weekday = DAYS[d.weekday().to_monday_zero_offset() as usize];
        format!("{weekday} {} {}", d.day(), MONTHS[d.month() as usize - 1])
    }

    /// `Sat 6 June 08:10`.
    pub fn words(&self, minute: i64) -> String {
        format!("{} {}", self.day_words(minute), time(minute))
    }
}

/// `08:10`: the time of day alone.
pub fn time(minute: i64) -> String {
    let m = minute.rem_euclid(DAY);
    format!("{:02}:{:02}", m / 60, m % 60)
}

/// `1 h 50 min`, `45 min`, `2 d 4 h`.
pub fn span_words(minutes: i64) -> String {
    let (d, h, m) = (minutes / DAY, minutes % DAY / 60, minutes % 60);
    let parts = [(d, "d"), (h, "h"), (m, "min")];
    let words: Vec<String> = parts.iter().filter(|p| p.0 != 0).map(|(n, u)| format!("{n} {u}")).collect();
    if words.is_empty() { "0 min".to_owned() } else { words.join(" ") }
}

fn civil([year, month, day]: [u16; 3]) -> Option<Date> {
    Date::new(year.try_into().ok()?, month.try_into().ok()?, day.try_into().ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_run_over_months_and_leap_years() {
        let clock = Clock::new([2028, 2, 28]).unwrap();
        assert_eq!(clock.text(DAY + 610), "2028-02-29T10:10");
        assert_eq!(clock.text(2 * DAY), "2028-03-01T00:00");
        assert_eq!(clock.text(-1), "2028-02-27T23:59");
        assert_eq!(clock.minute(DateTime { date: [2028, 3, 1], minute: 5 }), Some(2 * DAY + 5));
        assert_eq!(clock.minute(DateTime { date: [2027, 12, 31], minute: 0 }), Some(-59 * DAY));
        assert!(Clock::new([2027, 2, 29]).is_none());
    }

    #[test]
    fn times_read_as_people_say_them() {
        // 6 June 2026 is a Saturday (ISO 8601 calendars).
        let clock = Clock::new([2026, 6, 6]).unwrap();
        assert_eq!(clock.words(490), "Sat 6 June 08:10");
        assert_eq!(clock.calendar(490), "20260606T081000");
        assert_eq!(
            (span_words(110), span_words(1500), span_words(0)),
            ("1 h 50 min".into(), "1 d 1 h".into(), "0 min".into())
        );
    }
}
