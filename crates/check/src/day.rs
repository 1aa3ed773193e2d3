//! A date without a time.

use std::fmt;
use std::str::FromStr;

/// A day of the calendar, as `YYYY-MM-DD`. Comes in as an argument, so that the same input gives the same bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year, 1 to 9999.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

impl Day {
    /// Days since the first of January of that year, 0 to 365.
    #[must_use]
    pub fn of_year(self) -> u16 {
        (1..self.month).map(|month| u16::from(days_in(self.year, month))).sum::<u16>() + u16::from(self.day) - 1
    }
}

fn leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

fn days_in(year: u16, month: u8) -> u8 {
    match month {
        2 if leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Said of a text that is no date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotADay;

impl fmt::Display for NotADay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a date is written year-month-day, such as 2026-11-25")
    }
}

impl std::error::Error for NotADay {}

impl FromStr for Day {
    type Err = NotADay;

    fn from_str(text: &str) -> Result<Self, NotADay> {
        let mut parts = text.split('-');
        let (Some(year), Some(month), Some(day), None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
            return Err(NotADay);
        };
        let shaped = [(year, 4), (month, 2), (day, 2)]
            .iter()
            .all(|(part, len)| part.len() == *len && part.bytes().all(|b| b.is_ascii_digit()));
        if !shaped {
            return Err(NotADay);
        }
        let day = Self {
            year: year.parse().map_err(|_| NotADay)?,
            month: month.parse().map_err(|_| NotADay)?,
            day: day.parse().map_err(|_| NotADay)?,
        };
        let real = day.year > 0 && (1..=12).contains(&day.month) && day.day > 0 && day.day <= days_in(day.year, day.month);
        if real { Ok(day) } else { Err(NotADay) }
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_real_days_are_read() {
        assert!("2028-02-29".parse::<Day>().is_ok());
        for no in ["2027-02-29", "2027-13-01", "2027-00-01", "2027-1-1", "next week", "", "2027-05-01-02", "+027-05-01"] {
            assert_eq!(no.parse::<Day>(), Err(NotADay), "{no}");
        }
    }

    #[test]
    fn a_day_knows_its_place_in_the_year() {
        assert_eq!("2027-01-01".parse::<Day>().map(Day::of_year), Ok(0));
        assert_eq!("2028-12-31".parse::<Day>().map(Day::of_year), Ok(365));
        assert!("2027-05-01".parse::<Day>().ok() < "2027-05-02".parse::<Day>().ok());
    }
}
