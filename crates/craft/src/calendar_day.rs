//! A day of the calendar as ISO 8601 writes it; no clock, no time zone.

use std::{fmt, str::FromStr};
use thiserror::Error;

/// A day between the years 1900 and 9999.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CalendarDay {
    year: u16,
    month: u8,
    day: u8,
}

/// A text that names no day.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("“{found}” is no day; expected year, month and day as in 2026-04-30")]
pub struct DayError {
    /// The text.
    pub found: String,
}

/// First year that is taken: whoever means an earlier one has slipped.
const FIRST_YEAR: u16 = 1900;

impl CalendarDay {
    /// The day, if there is one.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let is_in_range = (FIRST_YEAR..=9999).contains(&year)
            && (1..=12).contains(&month)
            && (1..=days_in(year, month)).contains(&day);
        is_in_range.then_some(Self { year, month, day })
    }
}

/// Days of a month of the Gregorian calendar.
fn days_in(year: u16, month: u8) -> u8 {
    let is_leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if is_leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl fmt::Display for CalendarDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl FromStr for CalendarDay {
    type Err = DayError;

    fn from_str(text: &str) -> Result<Self, DayError> {
        let wrong = || DayError {
            found: text.to_owned(),
        };
        let fields: Vec<&str> = text.split('-').collect();
        let [year, month, day] = fields[..] else {
            return Err(wrong());
        };
        let has_digits = |field: &str, count| {
            field.len() == count && field.bytes().all(|byte| byte.is_ascii_digit())
        };
        if !has_digits(year, 4) || !has_digits(month, 2) || !has_digits(day, 2) {
            return Err(wrong());
        }
        let (Ok(year), Ok(month), Ok(day)) = (year.parse(), month.parse(), day.parse()) else {
            return Err(wrong());
        };
        Self::new(year, month, day).ok_or_else(wrong)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_as_they_are_written() {
        for text in ["2026-11-26", "2024-02-29", "2000-02-29", "1900-01-01"] {
            let day = text.parse::<CalendarDay>();
            assert_eq!(
                day.map(|day| day.to_string()).as_deref(),
                Ok(text),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in [
            "",
            "2026",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-02-29",
            "2100-02-29",
            "26-1-1",
            "2026-1-1",
            "2026-11-26T10:00",
            "1899-12-31",
            "+026-11-26",
            "２０２６-11-26",
        ] {
            assert!(text.parse::<CalendarDay>().is_err(), "{text} is read");
        }
    }

    #[test]
    fn earlier_days_come_first() {
        let order = ["2025-12-31", "2026-01-01", "2026-01-02", "2026-02-01"];
        let days: Vec<_> = order
            .iter()
            .filter_map(|text| text.parse::<CalendarDay>().ok())
            .collect();
        assert!(days.len() == 4 && days.is_sorted(), "{days:?}");
    }
}
