//! The sun outside the air, a day at a time: what clearness is measured against.

use std::f64::consts::PI;

use quantity::real;

use crate::date::{self, DAYS, HOURS, MONTHS};
use crate::facts;

/// W in a kW.
const KILO: f64 = 1000.0;

/// One day outside the air at one latitude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Declination of the sun, rad.
    pub declination: f64,
    /// Hour angle of sunset, rad: 0 in polar night, pi in polar day.
    pub sunset: f64,
    /// Hours between sunrise and sunset.
    pub length_h: f64,
    /// Energy on the horizontal, kWh/m².
    pub energy_kwh_m2: f64,
}

/// The day `day` of the year (1 for 1 January) at a latitude in degrees, north positive.
///
/// # Source
/// H0 = (24/pi) Gsc (1 + 0.033 cos(2 pi n/365)) (cos l cos d sin ws + ws sin l sin d), d = 23.45 sin(2 pi (284 + n)/365):
/// Duffie & Beckman eq. 1.10.3, from memory. Constants: `data/sun.toml`.
///
/// # Checked against
/// `tests/outside.rs`: a table worked out elsewhere, and the example 8 of FAO-56.
#[must_use]
pub fn day(latitude_deg: f64, day: f64) -> Day {
    let facts = facts::sun();
    let year = 2.0 * PI / DAYS as f64;
    let declination = facts.declination_most.to_radians() * real::sin(year * (facts.declination_day + day));
    let (sin_l, cos_l) = real::sin_cos(latitude_deg.to_radians());
    let (sin_d, cos_d) = real::sin_cos(declination);
    let sunset = sunset(sin_l * sin_d, cos_l * cos_d);
    let normal = normal_kw_m2(day);
    let hours = HOURS as f64 / PI;
    let energy = hours * normal * (cos_l * cos_d * real::sin(sunset) + sunset * sin_l * sin_d);
    Day { declination, sunset, length_h: hours * sunset, energy_kwh_m2: energy.max(0.0) }
}

/// Power of the sun outside the air on a surface that faces it, kW/m², on a day of the year.
#[must_use]
pub fn normal_kw_m2(day: f64) -> f64 {
    let facts = facts::sun();
    facts.solar_constant / KILO * (1.0 + facts.distance_swing * real::cos(2.0 * PI / DAYS as f64 * day))
}

/// Hour angle of sunset where cos z = level + swing cos(hour angle).
pub(crate) fn sunset(level: f64, swing: f64) -> f64 {
    // At a pole the swing is nothing but rounding: up all day or not at all.
    if level.abs() >= swing.abs() {
        return if level > 0.0 { PI } else { 0.0 };
    }
    real::acos(-level / swing)
}

/// Mean over the days of each month: energy on the horizontal, kWh/m² a day, and hours between sunrise and sunset.
#[must_use]
pub fn months(latitude_deg: f64) -> [(f64, f64); 12] {
    std::array::from_fn(|month| {
        let days = date::month_start(month, DAYS)..date::month_start(month + 1, DAYS);
        let count = days.len().max(1) as f64;
        let sum = days.fold((0.0, 0.0), |sum, at| {
            let day = day(latitude_deg, (at + 1) as f64);
            (sum.0 + day.energy_kwh_m2, sum.1 + day.length_h)
        });
        (sum.0 / count, sum.1 / count)
    })
}

/// Days of the year (1 for 1 January) whose sun is nearest to the mean of their month.
///
/// Source: Klein, Solar Energy 19, 1977, from memory.
pub const MEAN_DAYS: [f64; MONTHS] = [17.0, 47.0, 75.0, 105.0, 135.0, 162.0, 198.0, 228.0, 258.0, 288.0, 318.0, 344.0];
