//! Days of the calendar, without zones and clocks.

/// Months of a year.
pub(crate) const MONTHS: usize = 12;
/// Days of a year without 29 February.
pub(crate) const DAYS: usize = 365;
/// Days of a year with 29 February.
pub(crate) const LEAP_DAYS: usize = 366;
/// Seconds of an hour.
pub(crate) const HOUR_S: i64 = 3600;
/// Hours of a day.
pub(crate) const HOURS: usize = 24;
/// Minutes of an hour.
pub(crate) const HOUR_MIN: u32 = 60;
/// Minutes of a day.
pub(crate) const DAY_MIN: u32 = 1440;
/// Seconds of a day.
pub(crate) const DAY_S: i64 = 86_400;

/// Days before each month of a year with 29 February.
const BEFORE: [u16; MONTHS] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];
/// Days of each month of a year with 29 February.
const LENGTH: [u8; MONTHS] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

const NAMES: [&str; MONTHS] =
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

const SHORT: [&str; MONTHS] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// "Jan" for 0.
pub(crate) fn short(month: usize) -> &'static str {
    SHORT.get(month).copied().unwrap_or("?")
}

/// "January" for 0.
#[must_use]
pub fn name(month: usize) -> &'static str {
    NAMES.get(month).copied().unwrap_or("?")
}

/// A day of a year of 366 days, counted from 0; `None` where the calendar has no such day.
pub(crate) fn day_of_366(month: u32, day: u32) -> Option<usize> {
    let at = (month as usize).checked_sub(1)?;
    let length = u32::from(*LENGTH.get(at)?);
    if day == 0 || day > length {
        return None;
    }
    BEFORE.get(at).map(|before| usize::from(*before) + day as usize - 1)
}

/// Month from 0 and day from 1 of a day of a year of 366 days.
pub(crate) fn month_day_of_366(day: usize) -> (usize, u32) {
    let month = BEFORE.iter().rposition(|before| usize::from(*before) <= day).unwrap_or(0);
    let before = BEFORE.get(month).copied().unwrap_or(0);
    (month, (day - usize::from(before)) as u32 + 1)
}

/// 29 February of a year of 366 days, counted from 0.
pub(crate) const LEAP_DAY: usize = 59;

/// Month from 0 and day from 1 of a day of a year of 365 or 366 days.
pub(crate) fn month_day(day: usize, days: usize) -> (usize, u32) {
    month_day_of_366(if days == DAYS && day >= LEAP_DAY { day + 1 } else { day })
}

/// Day that a month from 0 starts on, in a year of 365 or 366 days; for 12 the days of the year.
pub(crate) fn month_start(month: usize, days: usize) -> usize {
    let Some(before) = BEFORE.get(month) else { return days };
    let before = usize::from(*before);
    if days == DAYS && before > LEAP_DAY { before - 1 } else { before }
}

/// Days of a month from 0 in a year without 29 February; none of what is no month.
#[must_use]
pub fn days(month: usize) -> usize {
    month_start(month.saturating_add(1), DAYS) - month_start(month, DAYS)
}

/// Whether a year has a 29 February.
pub(crate) fn is_leap(year: i32) -> bool {
    (year % 4 == 0 && year % 100 != 0) || year % 400 == 0
}

/// Days from 1 January 1970 to a date of the Gregorian calendar; month from 1.
pub(crate) fn days_from_1970(year: i32, month: u32, day: u32) -> i64 {
    // Years that start in March put the leap day last; 400 of them have 146097 days (Gregorian calendar).
    let shifted = i64::from(year) - i64::from(month <= 2);
    let era = shifted.div_euclid(400);
    let of_era = shifted.rem_euclid(400);
    let of_year = (153 * ((i64::from(month) + 9) % 12) + 2) / 5 + i64::from(day) - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_count_both_ways() {
        for day in 0..LEAP_DAYS {
            let (month, of_month) = month_day_of_366(day);
            assert_eq!(day_of_366(month as u32 + 1, of_month), Some(day));
        }
        assert_eq!(day_of_366(2, 30), None);
        assert_eq!(day_of_366(13, 1), None);
        assert_eq!(day_of_366(0, 1), None);
        assert_eq!(month_day(59, DAYS), (2, 1));
        assert_eq!(month_day(59, LEAP_DAYS), (1, 29));
        assert_eq!((month_start(2, DAYS), month_start(2, LEAP_DAYS), month_start(12, DAYS)), (59, 60, 365));
        assert_eq!((month_start(1, DAYS), month_start(11, DAYS)), (31, 334));
        assert_eq!([0, 1, 2, 11, 12, usize::MAX].map(days), [31, 28, 31, 31, 0, 0]);
    }

    #[test]
    fn days_from_1970_knows_the_calendar() {
        assert_eq!(days_from_1970(1970, 1, 1), 0);
        assert_eq!(days_from_1970(2000, 3, 1), 11_017);
        assert_eq!(days_from_1970(2000, 2, 29), 11_016);
        assert_eq!(days_from_1970(1969, 12, 31), -1);
        assert!(is_leap(2000) && is_leap(2024) && !is_leap(1900) && !is_leap(2019));
    }

    #[test]
    fn months_have_names() {
        assert_eq!((name(0), name(11)), ("January", "December"));
        assert_eq!((short(0), short(11)), ("Jan", "Dec"));
    }
}
