//! Instants: civil time to unix time and back to a day of the year.

use super::spa::DAY;

/// Days from 1970-01-01 to a day of the Gregorian calendar, carried on before its start.
#[must_use]
pub fn days_from_civil(year: i64, month: u32, day: u32) -> i64 {
    // The year starts in March, so that the leap day is its last; 400 years are 146 097 days.
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let of_era = year.rem_euclid(400);
    let of_year = (153 * (i64::from(month) + if month > 2 { -3 } else { 9 }) + 2) / 5 + i64::from(day) - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

/// Year of an instant of unix time, and day of that year from 1.
#[must_use]
pub fn day_of_year(unix_s: f64) -> (i64, u32) {
    let days = (unix_s / DAY).floor() as i64;
    let era = (days + 719_468).div_euclid(146_097);
    let of_era = (days + 719_468).rem_euclid(146_097);
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365 + era * 400;
    // That year starts in March: January and February belong to the next.
    let start = days_from_civil(year + 1, 1, 1);
    let (year, start) = if days >= start { (year + 1, start) } else { (year, days_from_civil(year, 1, 1)) };
    (year, (days - start + 1) as u32)
}

fn digits(text: &str, from: usize, count: usize, low: u32, high: u32) -> Option<u32> {
    let part = text.get(from..from + count)?;
    let number = part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse().ok())??;
    (low..=high).contains(&number).then_some(number)
}

/// Days of a month.
fn days_of(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Unix time of an instant as RFC 3339 writes it: `2003-10-17T12:30:30-07:00`. A leap second is the one after it.
#[must_use]
pub fn unix_of(text: &str) -> Option<f64> {
    let at = |index: usize, wanted: &[u8]| text.as_bytes().get(index).is_some_and(|b| wanted.contains(b));
    let marks = at(4, b"-") && at(7, b"-") && at(10, b"Tt ") && at(13, b":") && at(16, b":");
    let year = digits(text, 0, 4, 0, 9999).filter(|_| marks)?;
    let month = digits(text, 5, 2, 1, 12)?;
    let day = digits(text, 8, 2, 1, days_of(year, month))?;
    let hour = digits(text, 11, 2, 0, 23)?;
    let minute = digits(text, 14, 2, 0, 59)?;
    let second = digits(text, 17, 2, 0, 60)?;
    let rest = text.get(19..)?;
    let (fraction, zone) = match rest.strip_prefix('.') {
        Some(after) => {
            let end = after.find(|c: char| !c.is_ascii_digit())?;
            let fraction = rest.get(..=end).filter(|_| end > 0)?;
            (format!("0{fraction}").parse::<f64>().ok()?, after.get(end..)?)
        }
        None => (0.0, rest),
    };
    let offset = match zone {
        "Z" | "z" => 0.0,
        _ if zone.len() == 6 && matches!(zone.as_bytes(), [b'+' | b'-', _, _, b':', _, _]) => {
            let minutes = digits(zone, 1, 2, 0, 23)? * 60 + digits(zone, 4, 2, 0, 59)?;
            let seconds = f64::from(minutes * 60);
            if zone.starts_with('-') { -seconds } else { seconds }
        }
        _ => return None,
    };
    let days = days_from_civil(i64::from(year), month, day) as f64;
    Some(days * DAY + f64::from(hour * 3600 + minute * 60 + second) + fraction - offset)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instants_are_read_as_they_are_written() {
        assert_eq!(unix_of("1970-01-01T00:00:00Z"), Some(0.0));
        assert_eq!(unix_of("2003-10-17T12:30:30-07:00"), Some(1_066_419_030.0));
        assert_eq!(unix_of("2003-10-17T19:30:30.25+00:00"), Some(1_066_419_030.25));
        assert_eq!(unix_of("2024-02-29T24:00:00Z"), None);
        for wrong in
            ["2023-02-29T00:00:00Z", "2024-01-01", "2024-01-01T00:00:00", "2024-01-01T00:00:00.Z", "é024-01-01T00:00:00Z"]
        {
            assert_eq!(unix_of(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn days_of_the_year_count_from_one() {
        let day = |text| day_of_year(unix_of(text).expect("an instant"));
        assert_eq!(day("2024-01-01T00:00:00Z"), (2024, 1));
        assert_eq!(day("2024-12-31T23:59:59Z"), (2024, 366));
        assert_eq!(day("2023-12-31T23:59:59Z"), (2023, 365));
        assert_eq!(day("2000-03-01T00:00:00Z"), (2000, 61));
        assert_eq!(day("1969-12-31T12:00:00Z"), (1969, 365));
    }
}
