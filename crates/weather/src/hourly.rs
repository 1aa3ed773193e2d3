//! The hours of one year, as the simulation takes them: from a file or drawn.

use physics::KernelError;
use physics::pv_year::Weather;
use physics::sun::{self, SunYear};

use crate::climate::Place;
use crate::date::{self, DAY_S, HOUR_S, HOURS};
use crate::year::Note;

/// A weather year as the simulation takes it ([`Year::to_hourly`](crate::Year::to_hourly)).
#[derive(Clone, Debug, PartialEq)]
pub struct Hourly {
    /// The columns.
    pub hours: Hours,
    /// Where they lie in time.
    pub calendar: Calendar,
    /// What was filled, and how.
    pub notes: Vec<Note>,
}

/// Hourly columns of one year, from local midnight of 1 January. Complete: nothing is missing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hours {
    /// Global horizontal irradiance, W/m², mean of the hour.
    pub ghi: Vec<f64>,
    /// Direct normal irradiance, W/m².
    pub dni: Vec<f64>,
    /// Diffuse horizontal irradiance, W/m².
    pub dhi: Vec<f64>,
    /// Air temperature, °C.
    pub air_c: Vec<f64>,
    /// Wind speed 10 m above ground, m/s.
    pub wind_m_s: Vec<f64>,
}

impl Hours {
    /// Room for a year of so many days, all 0.
    #[must_use]
    pub fn zeroed(days: usize) -> Self {
        let column = || vec![0.0; days * HOURS];
        Self { ghi: column(), dni: column(), dhi: column(), air_c: column(), wind_m_s: column() }
    }

    /// The same as the panels' kernels take them.
    #[must_use]
    pub fn columns(&self) -> Weather<'_, f64> {
        Weather { ghi: &self.ghi, dni: &self.dni, dhi: &self.dhi, air: &self.air_c, wind: &self.wind_m_s }
    }
}

/// Where the hours of a year lie in time, and where the sun's place of each is to be taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// Days: 365 or 366.
    pub days: usize,
    /// Hours that the clock of the hours is ahead of UTC.
    pub zone_h: f64,
    /// Start of the first hour, s since 1970-01-01 UTC.
    pub first_unix_s: i64,
    /// From the start of an hour to the instant for which the sun's place belongs to it, s, by day.
    pub sun_offset_s: Vec<f64>,
}

impl Calendar {
    /// The sun's instant of the first hour of each day, s since 1970-01-01 UTC; those of its other hours follow hourly.
    pub fn day_starts(&self) -> impl Iterator<Item = f64> {
        let first = self.first_unix_s as f64;
        self.sun_offset_s.iter().enumerate().map(move |(day, offset_s)| first + (day as i64 * DAY_S) as f64 + offset_s)
    }

    /// The sun of each hour.
    ///
    /// # Errors
    /// As [`SunYear::of_blocks`]: a latitude that is none, a year beyond those of the algorithm.
    pub fn sun(&self, place: Place) -> Result<SunYear, KernelError> {
        let site = sun::Site {
            latitude_rad: place.latitude_deg.to_radians(),
            longitude_rad: place.longitude_deg.to_radians(),
            altitude_m: place.altitude_m,
        };
        let starts: Vec<f64> = self.day_starts().collect();
        SunYear::of_blocks(&site, &starts, HOUR_S as f64)
    }

    /// The hours of a month from 0.
    #[must_use]
    pub fn month_hours(&self, month: usize) -> std::ops::Range<usize> {
        let start = |month| date::month_start(month, self.days) * HOURS;
        start(month)..start(month + 1)
    }
}
