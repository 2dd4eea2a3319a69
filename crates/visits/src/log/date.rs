//! A day of a visit.

use serde::{Deserialize, Serialize};

/// A day, year-month-day; orders as time does.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Date(String);

/// Not a day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "date: found \"{found}\", allowed is a day from 2000 on as year-month-day, such as 2026-05-31"
)]
pub struct DateError {
    found: String,
}

impl Date {
    /// The day of a text like 2026-05-31.
    pub fn new(text: &str) -> Result<Date, DateError> {
        let text = text.trim();
        let bad = || DateError {
            found: text.chars().filter(|c| !c.is_control()).take(40).collect(),
        };
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts[..] else {
            return Err(bad());
        };
        let number = |text: &str, length: usize| {
            let sound = text.len() == length && text.chars().all(|c| c.is_ascii_digit());
            sound.then(|| text.parse::<u32>().ok()).flatten()
        };
        let (Some(y), Some(m), Some(d)) = (number(year, 4), number(month, 2), number(day, 2))
        else {
            return Err(bad());
        };
        if y < 2000 || !(1..=12).contains(&m) || !(1..=days_of(y, m)).contains(&d) {
            return Err(bad());
        }
        Ok(Date(text.to_owned()))
    }

    /// The day so many days after 1970-01-01, by the Gregorian calendar; none before 2000.
    pub fn after_1970(mut days: u64) -> Option<Date> {
        let year_days = |y: u32| (1..=12).map(|m| u64::from(days_of(y, m))).sum::<u64>();
        let mut year = 1970;
        while days >= year_days(year) {
            days -= year_days(year);
            year += 1;
        }
        let mut month = 1;
        while days >= u64::from(days_of(year, month)) {
            days -= u64::from(days_of(year, month));
            month += 1;
        }
        Date::new(&format!("{year:04}-{month:02}-{:02}", days + 1)).ok()
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn days_of(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Date {
    type Error = DateError;

    fn try_from(text: String) -> Result<Date, DateError> {
        Date::new(&text)
    }
}

impl From<Date> for String {
    fn from(date: Date) -> String {
        date.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_checked_against_the_calendar() {
        for day in ["2026-05-31", "2024-02-29", "2000-02-29"] {
            Date::new(day).unwrap();
        }
        for no_day in [
            "2026-02-29",
            "2100-02-29",
            "2026-13-01",
            "2026-00-10",
            "31.05.2026",
            "2026-5-31",
            "1999-01-01",
            "2026-05-31x",
        ] {
            assert!(Date::new(no_day).is_err(), "{no_day}");
        }
        assert!(Date::new("2026-09-30").unwrap() < Date::new("2026-10-01").unwrap());
    }

    #[test]
    fn days_are_counted_from_1970() {
        // By hand: 30 years with 7 leap days to 2000, then 31 + 28 days to 1 March of a leap year less one.
        for (days, text) in [
            (30 * 365 + 7, "2000-01-01"),
            (30 * 365 + 7 + 31 + 28, "2000-02-29"),
            (30 * 365 + 7 + 366, "2001-01-01"),
        ] {
            assert_eq!(Date::after_1970(days), Some(Date::new(text).unwrap()));
        }
        assert_eq!(Date::after_1970(0), None);
    }
}
