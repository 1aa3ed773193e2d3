//! Twelve months of a place: its sun, air and wind, where they come from, and how far they may be off.

use crate::date::{self, MONTHS};
use crate::facts;
use crate::outside;
use crate::places::KnownPlace;
use crate::year::Year;

/// How the sun of a place came to be known.
#[derive(Clone, Debug, PartialEq)]
pub enum Route {
    /// A weather file.
    File,
    /// Radiation on the horizontal, as measured or published.
    Measured,
    /// Hours of bright sunshine.
    Sunshine,
    /// Mean daily highs and lows; `sure` if the kind of place is told.
    Swing {
        /// Whether the kind of place is told.
        sure: bool,
    },
    /// Sunshine and temperatures.
    Both,
    /// A place of the table within 120 km.
    Near {
        /// Its name.
        place: String,
        /// How far, km.
        km: f64,
    },
    /// Latitude and height alone: a scoping figure. No check may rest on it.
    Latitude,
}

impl Route {
    pub(crate) fn word(&self) -> &'static str {
        match self {
            Self::File => "file",
            Self::Measured => "measured",
            Self::Sunshine => "sunshine",
            Self::Swing { sure: true } => "swing",
            Self::Swing { sure: false } => "swing-unsure",
            Self::Both => "both",
            Self::Near { .. } => "near",
            Self::Latitude => "latitude",
        }
    }
}

/// Mean temperatures of twelve months, °C.
#[derive(Clone, Debug, PartialEq)]
pub struct Air {
    /// Of the daily mean.
    pub mean_c: [f64; 12],
    /// Of the daily lowest.
    pub low_c: [f64; 12],
    /// Of the daily highest.
    pub high_c: [f64; 12],
}

impl Air {
    /// From mean highs and lows; the mean lies half way between.
    #[must_use]
    pub fn of_highs_and_lows(high_c: [f64; 12], low_c: [f64; 12]) -> Self {
        let mut mean_c = [0.0; MONTHS];
        for (mean, (high, low)) in mean_c.iter_mut().zip(high_c.iter().zip(&low_c)) {
            *mean = (high + low) / 2.0;
        }
        Self { mean_c, low_c, high_c }
    }

    /// Of a place of the table, cooled or warmed by the height between.
    #[must_use]
    pub fn of_place(place: &KnownPlace, altitude_m: f64) -> Self {
        let colder = (altitude_m - place.altitude_m) * facts::climate().lapse / KILO;
        let shift = |months: [f64; MONTHS]| months.map(|value| value - colder);
        Self { mean_c: shift(place.mean_c), low_c: shift(place.low_c), high_c: shift(place.high_c) }
    }
}

const KILO: f64 = 1000.0;

/// Twelve months of a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Climate {
    /// North positive.
    pub latitude_deg: f64,
    /// East positive.
    pub longitude_deg: f64,
    /// Above the sea.
    pub altitude_m: f64,
    /// How its sun came to be known.
    pub route: Route,
    /// Energy on the horizontal over that outside the air, monthly mean.
    pub kt: [f64; 12],
    /// Mean daily energy on the horizontal, kWh/m².
    pub ghi: [f64; 12],
    /// Standard deviation of the error that all months share, as a share.
    pub year_sd: f64,
    /// Standard deviation of the error of each month on its own, as a share.
    pub month_sd: f64,
    /// Half width of the band that a report prints for a month, as a share.
    pub band: f64,
    /// Temperatures, where known.
    pub air: Option<Air>,
    /// Mean wind 10 m above ground, m/s, where known.
    pub wind_m_s: Option<[f64; 12]>,
}

impl Climate {
    /// From the clearness of each month.
    pub(crate) fn of_kt(site: Place, route: Route, kt: [f64; MONTHS]) -> Self {
        let (month, year, band) = facts::route(route.word());
        let outside = outside::months(site.latitude_deg);
        let polar = facts::climate().polar_h0;
        let (mut clear, mut ghi) = (kt, [0.0; MONTHS]);
        for ((clear, ghi), (energy, _)) in clear.iter_mut().zip(&mut ghi).zip(outside) {
            if energy < polar {
                *clear = 0.0;
            }
            *ghi = *clear * energy;
        }
        let Place { latitude_deg, longitude_deg, altitude_m } = site;
        // What a month's error has beyond that of the year is its own.
        let month_sd = (month * month - year * year).max(0.0).sqrt();
        Self {
            latitude_deg,
            longitude_deg,
            altitude_m,
            route,
            kt: clear,
            ghi,
            year_sd: year,
            month_sd,
            band,
            air: None,
            wind_m_s: None,
        }
    }

    /// Where.
    #[must_use]
    pub fn place(&self) -> Place {
        Place { latitude_deg: self.latitude_deg, longitude_deg: self.longitude_deg, altitude_m: self.altitude_m }
    }

    /// Whether an answer may rest on it.
    #[must_use]
    pub fn is_answer(&self) -> bool {
        self.route != Route::Latitude
    }

    /// Where the sun comes from and how sure it is: "from mean highs and lows, ±20 %".
    #[must_use]
    pub fn words(&self) -> String {
        let from = match &self.route {
            Route::File => "from a weather file".to_owned(),
            Route::Measured => "from measured radiation".to_owned(),
            Route::Sunshine => "from sunshine hours".to_owned(),
            Route::Swing { .. } => "from mean highs and lows".to_owned(),
            Route::Both => "from sunshine hours and mean highs and lows".to_owned(),
            Route::Near { place, km } => format!("as in {place}, {km:.0} km away"),
            Route::Latitude => "from the latitude alone, a rough guess".to_owned(),
        };
        format!("{from}, ±{:.0} %", self.band * PERCENT)
    }

    /// Energy on the horizontal over the year, kWh/m².
    #[must_use]
    pub fn annual_kwh_m2(&self) -> f64 {
        let length = |month| date::month_start(month + 1, date::DAYS) - date::month_start(month, date::DAYS);
        self.ghi.iter().enumerate().map(|(month, ghi)| ghi * length(month) as f64).sum()
    }

    /// The months of a weather file, from which more years can be drawn. `None` where the file lacks radiation or
    /// temperature in more than some rows: fill it first ([`Year::to_hourly`]).
    #[must_use]
    pub fn of_file(year: &Year) -> Option<Self> {
        let site = year.site.place();
        let outside = outside::months(site.latitude_deg);
        let mut kt = [0.0; MONTHS];
        let mut air = Air { mean_c: [0.0; MONTHS], low_c: [0.0; MONTHS], high_c: [0.0; MONTHS] };
        let mut wind = [0.0; MONTHS];
        for month in 0..MONTHS {
            let rows = year.month_rows(month);
            let days = rows.len() / year.rows_of_day().max(1);
            let part = |values: &[f64]| values.get(rows.clone()).unwrap_or_default().to_vec();
            if part(&year.ghi.values).iter().chain(&part(&year.air_c.values)).any(|value| value.is_nan()) {
                return None;
            }
            let daily = year.sum_h(&year.ghi, rows.clone()) / KILO / days.max(1) as f64;
            let energy = outside.get(month).map_or(0.0, |(energy, _)| *energy);
            let temperatures = part(&year.air_c.values);
            let by_day = temperatures.chunks(year.rows_of_day().max(1));
            let (lowest, highest) = by_day.fold((0.0, 0.0), |sum, day| {
                let low = day.iter().copied().fold(f64::INFINITY, f64::min);
                let high = day.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                (sum.0 + low, sum.1 + high)
            });
            let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len().max(1) as f64;
            let places = [
                kt.get_mut(month),
                air.mean_c.get_mut(month),
                air.low_c.get_mut(month),
                air.high_c.get_mut(month),
                wind.get_mut(month),
            ];
            let values = [
                if energy > 0.0 { daily / energy } else { 0.0 },
                mean(&temperatures),
                lowest / days.max(1) as f64,
                highest / days.max(1) as f64,
                mean(&part(&year.wind_m_s.values)),
            ];
            for (place, value) in places.into_iter().zip(values) {
                if let Some(place) = place {
                    *place = value;
                }
            }
        }
        let mut climate = Self::of_kt(site, Route::File, kt);
        climate.air = Some(air);
        climate.wind_m_s = Some(wind).filter(|wind| wind.iter().all(|value| value.is_finite()));
        Some(climate)
    }
}

const PERCENT: f64 = 100.0;

/// Where a climate is wanted for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// North positive, -90 to 90.
    pub latitude_deg: f64,
    /// East positive, -180 to 180.
    pub longitude_deg: f64,
    /// Above the sea.
    pub altitude_m: f64,
}
