//! Where the sun stands, in short form: for the clock check of a file and the hours of drawn years. The simulation has the
//! long form in `physics`.

use std::f64::consts::PI;
use std::ops::Range;

use quantity::real;

use crate::date::{self, DAY_S};
use crate::facts;
use crate::year::Year;

/// The sun at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sun {
    /// Declination, rad.
    pub(crate) declination: f64,
    /// Equation of time as an angle, rad: how far the sun is ahead of a clock.
    pub(crate) ahead: f64,
}

/// Days from 1970 to noon of 1 January 2000.
const EPOCH_DAYS: f64 = 10_957.5;

/// The sun's declination and equation of time, so many days (UTC, with fraction) after 1 January 1970.
///
/// # Source
/// `data/sun.toml`: the almanac's low-precision formulas.
///
/// # Checked against
/// Unit test: the long form of `physics`, itself held against its publisher's example, within 0.015 degrees from 1950 to
/// 2050.
pub(crate) fn sun(unix_days: f64) -> Sun {
    let facts = facts::sun();
    let n = unix_days - EPOCH_DAYS;
    let longitude = (facts.mean_longitude + facts.mean_longitude_day * n).to_radians();
    let anomaly = (facts.mean_anomaly + facts.mean_anomaly_day * n).to_radians();
    let (sin, cos) = real::sin_cos(anomaly);
    let centre = facts.centre_1 * sin + facts.centre_2 * 2.0 * sin * cos;
    let (sin_ecliptic, cos_ecliptic) = real::sin_cos(longitude + centre.to_radians());
    let (sin_tilt, cos_tilt) = real::sin_cos((facts.obliquity + facts.obliquity_day * n).to_radians());
    let declination = real::asin(sin_tilt * sin_ecliptic);
    let ascension = real::atan2(cos_tilt * sin_ecliptic, cos_ecliptic);
    Sun { declination, ahead: turn(longitude - ascension) }
}

/// An angle as that between -pi and pi.
fn turn(angle: f64) -> f64 {
    angle - 2.0 * PI * (angle / (2.0 * PI)).round()
}

/// One day of a weather year, for its rows.
#[derive(Clone, Copy, Debug)]
struct Day {
    /// sin(latitude) sin(declination), cos(latitude) cos(declination): at the day's start, and their change over it.
    level: (f64, f64),
    swing: (f64, f64),
    /// Cosine and sine of the hour angle at the start of the first row.
    start: (f64, f64),
}

/// A row of a weather year under the sun: `cos z = level + swing cos(hour angle)`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub(crate) row: usize,
    pub(crate) level: f64,
    pub(crate) swing: f64,
    /// Cosine and sine of the hour angle at the start of the row.
    pub(crate) cos_hour: f64,
    pub(crate) sin_hour: f64,
}

impl Place {
    /// Cosine of the zenith angle so much of a turn after the start of the row; `shift` is its cosine and sine.
    #[inline]
    pub(crate) fn cos_zenith(&self, shift: (f64, f64)) -> f64 {
        self.level + self.swing * (self.cos_hour * shift.0 - self.sin_hour * shift.1)
    }
}

/// Cosine and sine of the angle that the sun turns in so many seconds.
pub(crate) fn turned(seconds: f64) -> (f64, f64) {
    let (sin, cos) = real::sin_cos(seconds / DAY_S as f64 * 2.0 * PI);
    (cos, sin)
}

/// The sun over a weather year, each month in the year it was taken from.
#[derive(Debug)]
pub(crate) struct Track {
    days: Vec<Day>,
    /// Cosine and sine of the sun's turn from midnight to each row of a day.
    turns: Vec<(f64, f64)>,
}

impl Track {
    pub(crate) fn of(year: &Year) -> Self {
        let (sin_latitude, cos_latitude) = real::sin_cos(year.site.latitude_deg.to_radians());
        let zone_days = year.site.zone_h * date::HOUR_S as f64 / DAY_S as f64;
        // Midnight of the rows' clock, as an angle of the sun: half a turn before noon.
        let midnight = year.site.longitude_deg.to_radians() - zone_days * 2.0 * PI - PI;
        let factors = |sun: Sun| {
            let (sin, cos) = real::sin_cos(sun.declination);
            (sin_latitude * sin, cos_latitude * cos)
        };
        let mut days = Vec::with_capacity(year.days);
        for (month, source) in year.source_years.iter().enumerate() {
            let first = date::month_start(month, year.days);
            let start = date::days_from_1970(*source, month as u32 + 1, 1) as f64 - zone_days;
            let mut now = sun(start);
            for day in first..date::month_start(month + 1, year.days) {
                let next = sun(start + (day - first + 1) as f64);
                let (from, to) = (factors(now), factors(next));
                let (sin, cos) = real::sin_cos(midnight + (now.ahead + next.ahead) / 2.0);
                days.push(Day { level: (from.0, to.0 - from.0), swing: (from.1, to.1 - from.1), start: (cos, sin) });
                now = next;
            }
        }
        let turns = (0..year.rows_of_day()).map(|row| turned(row as f64 * f64::from(year.step_s))).collect();
        Self { days, turns }
    }

    /// The rows of these days, in order.
    pub(crate) fn places(&self, days: Range<usize>) -> impl Iterator<Item = Place> {
        let of_day = self.turns.len();
        let share = 1.0 / of_day.max(1) as f64;
        let first = days.start;
        self.days.get(days).unwrap_or_default().iter().enumerate().flat_map(move |(at, day)| {
            self.turns.iter().enumerate().map(move |(row, turn)| {
                let part = row as f64 * share;
                Place {
                    row: (first + at) * of_day + row,
                    level: day.level.0 + day.level.1 * part,
                    swing: day.swing.0 + day.swing.1 * part,
                    cos_hour: day.start.0 * turn.0 - day.start.1 * turn.1,
                    sin_hour: day.start.1 * turn.0 + day.start.0 * turn.1,
                }
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::sun::spa;

    /// Two ways: the long form. The almanac promises 0.01 degrees for each of two coordinates; the time by which the
    /// earth's turning lags (67 s here, 29 s in 1950) moves the sun by less than 0.001.
    #[test]
    fn the_short_form_agrees_with_the_long_one() {
        for step in 0..1000 {
            let unix_days = -7305.0 + 36.63 * f64::from(step);
            let (short, long) = (sun(unix_days), spa::geocentric(unix_days * DAY_S as f64, 67.0));
            let off = short.declination.to_degrees() - long.declination.to_degrees();
            assert!(off.abs() < 0.015, "day {unix_days}: {off}");
            // A minute of time is a quarter of a degree.
            let off = turn(short.ahead - (long.equation_of_time_min() / 4.0).to_radians()).to_degrees();
            assert!(off.abs() < 0.015, "day {unix_days}: {off}");
        }
    }

    /// Two ways: elevation of the sun over a file's rows, by the track and by the long form, refraction left out.
    #[test]
    fn a_track_follows_the_sun_through_the_day() {
        let mut year = crate::year::tests::blank(24);
        year.site.latitude_deg = 60.0;
        year.site.longitude_deg = 25.0;
        year.site.zone_h = 2.0;
        year.source_years = [2011, 2004, 1999, 1983, 2011, 2004, 1999, 1983, 2011, 2004, 1999, 1983];
        let track = Track::of(&year);
        let site = physics::sun::Site { latitude_rad: 60_f64.to_radians(), longitude_rad: 25_f64.to_radians(), altitude_m: 0.0 };
        let air = physics::sun::Air { pressure_pa: 0.0, temperature_c: 12.0 };
        let half = turned(1800.0);
        for (day, row) in [(0, 3), (40, 12), (79, 7), (150, 15), (171, 23), (265, 17), (364, 11)] {
            let (month, of_month) = date::month_day(day, year.days);
            let midnight = date::days_from_1970(year.source_years[month], month as u32 + 1, of_month) * DAY_S;
            let instant = (midnight - 2 * 3600 + row as i64 * 3600 + 1800) as f64;
            let long = spa::geocentric(instant, 67.0).seen_from(&site, &air);
            let place = track.places(day..day + 1).nth(row).expect("a row");
            let short = real::asin(place.cos_zenith(half)).to_degrees();
            assert!((short - long.elevation.to_degrees()).abs() < 0.05, "day {day}: {short} {}", long.elevation.to_degrees());
            assert_eq!(place.row, day * 24 + row);
        }
    }
}
