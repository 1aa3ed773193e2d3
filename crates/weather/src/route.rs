//! Routes from what a person knows of a place to the sun it gets. Each carries its error, so that a verdict near a limit
//! says what better input would settle it.

use std::f64::consts::PI;
use std::fmt;

use quantity::real;

use crate::climate::{Air, Climate, Place, Route};
use crate::date::{self, DAYS, MONTHS};
use crate::facts;
use crate::outside::{self, MEAN_DAYS};
use crate::places;

/// What lies around a place, for the formula from highs and lows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Setting {
    /// Away from the sea.
    Inland,
    /// At the sea.
    Coast,
    /// On an island.
    Island,
    /// In a desert.
    Desert,
    /// Nobody said.
    #[default]
    Unsure,
}

/// What a person knows of a place. A list holds the months from January.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Known {
    /// Mean daily energy on the horizontal, kWh/m² ("peak sun hours", if those are for the horizontal).
    pub ghi_kwh_m2: Option<[f64; 12]>,
    /// Hours of bright sunshine a day.
    pub sunshine_h: Option<[f64; 12]>,
    /// Mean daily highest temperature, °C.
    pub high_c: Option<[f64; 12]>,
    /// Mean daily lowest temperature, °C.
    pub low_c: Option<[f64; 12]>,
    /// What lies around.
    pub setting: Setting,
}

/// Why a route cannot be gone: a month whose numbers cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// Month from 0.
    pub month: usize,
    /// What was told, with its unit.
    pub found: String,
    /// What was expected.
    pub expected: String,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: found {}; expected {}", date::name(self.month), self.found, self.expected)
    }
}

/// The climate of a place by the best route that what is known allows, in this order: measured radiation, sunshine hours
/// with highs and lows, sunshine hours, highs and lows, a known place within 120 km, and the latitude alone, which is
/// no answer ([`Climate::is_answer`]). Temperatures and wind: as told, else from a known place within 450 km, else none.
///
/// # Errors
/// The first month of the numbers used that cannot be.
///
/// # Source
/// `data/climate.toml`, `data/routes.toml`.
///
/// # Checked against
/// `tests/outside.rs`: the table of places, route by route, within the errors that the routes claim.
pub fn climate(place: Place, known: &Known) -> Result<Climate, Refusal> {
    let temperatures = known.high_c.zip(known.low_c);
    if let Some((high_c, low_c)) = temperatures {
        check(&high_c, |month, high| {
            let low = low_c.get(month).copied().unwrap_or(high);
            (high.is_nan() || low.is_nan() || high <= low)
                .then(|| (format!("a mean high of {high} °C and a mean low of {low} °C"), "a high above the low".to_owned()))
        })?;
    }
    let mut climate = match (known.ghi_kwh_m2, known.sunshine_h, temperatures) {
        (Some(ghi), ..) => measured(place, &ghi)?,
        (None, Some(hours), Some((high, low))) => both(place, &hours, &high, &low)?,
        (None, Some(hours), None) => sunshine(place, &hours)?,
        (None, None, Some((high, low))) => swing(place, &high, &low, known.setting),
        (None, None, None) => table(place),
    };
    let region = places::nearest(place.latitude_deg, place.longitude_deg).filter(|(_, km)| *km <= facts::climate().regional_km);
    climate.air = match temperatures {
        Some((high_c, low_c)) => Some(Air::of_highs_and_lows(high_c, low_c)),
        None => region.map(|(known, _)| Air::of_place(known, place.altitude_m)),
    };
    climate.wind_m_s = region.map(|(known, _)| known.wind_m_s);
    Ok(climate)
}

/// The first month that `wrong` finds fault with.
fn check(months: &[f64; MONTHS], wrong: impl Fn(usize, f64) -> Option<(String, String)>) -> Result<(), Refusal> {
    for (month, value) in months.iter().enumerate() {
        if let Some((found, expected)) = wrong(month, *value) {
            return Err(Refusal { month, found, expected });
        }
    }
    Ok(())
}

fn measured(place: Place, ghi: &[f64; MONTHS]) -> Result<Climate, Refusal> {
    let outside = outside::months(place.latitude_deg);
    let most = facts::climate().clearness_most;
    check(ghi, |month, ghi| {
        let energy = outside.get(month).map_or(0.0, |(energy, _)| *energy);
        let wrong = !(ghi >= 0.0 && (ghi <= most * energy || energy < facts::climate().polar_h0));
        let expected = format!("0 to {:.1}, on the horizontal: {energy:.1} fall there outside the air", most * energy);
        wrong.then(|| (format!("{ghi} kWh/m2 a day"), expected))
    })?;
    let mut kt = [0.0; MONTHS];
    for ((kt, ghi), (energy, _)) in kt.iter_mut().zip(ghi).zip(outside) {
        *kt = if energy > 0.0 { ghi / energy } else { 0.0 };
    }
    Ok(Climate::of_kt(place, Route::Measured, kt))
}

/// Share of the possible sunshine, month by month.
fn shares(place: Place, hours: &[f64; MONTHS]) -> Result<[f64; MONTHS], Refusal> {
    let outside = outside::months(place.latitude_deg);
    let slack = facts::climate().sunshine_slack;
    check(hours, |month, hours| {
        let length = outside.get(month).map_or(0.0, |(_, length)| *length);
        let wrong = !(hours >= 0.0 && hours <= slack * length);
        let expected = format!("hours a day, not of the month, and at most the {length:.1} between sunrise and sunset");
        wrong.then(|| (format!("{hours} hours of sunshine"), expected))
    })?;
    let mut shares = [0.0; MONTHS];
    for ((share, hours), (_, length)) in shares.iter_mut().zip(hours).zip(outside) {
        *share = if length > 0.0 { (hours / length).min(1.0) } else { 0.0 };
    }
    Ok(shares)
}

fn sunshine(place: Place, hours: &[f64; MONTHS]) -> Result<Climate, Refusal> {
    let facts = facts::climate();
    let kt = shares(place, hours)?.map(|share| facts.sunshine_clear + facts.sunshine_slope * share);
    Ok(Climate::of_kt(place, Route::Sunshine, kt))
}

/// No month is clearer than its clearest day.
fn capped(place: Place, kt: f64) -> f64 {
    kt.min(ceiling(place.altitude_m))
}

/// Clearness of the clearest day at a height, m.
#[must_use]
pub fn ceiling(altitude_m: f64) -> f64 {
    facts::climate().ceiling + facts::climate().ceiling_height * altitude_m.max(0.0)
}

fn swings(high: &[f64; MONTHS], low: &[f64; MONTHS]) -> [f64; MONTHS] {
    let mut swings = *high;
    for (swing, low) in swings.iter_mut().zip(low) {
        *swing = (*swing - low).max(0.0).sqrt();
    }
    swings
}

fn swing(place: Place, high: &[f64; MONTHS], low: &[f64; MONTHS], setting: Setting) -> Climate {
    let facts = facts::climate();
    let k = match setting {
        Setting::Inland => facts.swing_inland,
        Setting::Coast | Setting::Island | Setting::Desert => facts.swing_coast,
        Setting::Unsure => facts.swing_unsure,
    };
    let kt = swings(high, low).map(|root| capped(place, k * root));
    Climate::of_kt(place, Route::Swing { sure: setting != Setting::Unsure }, kt)
}

fn both(place: Place, hours: &[f64; MONTHS], high: &[f64; MONTHS], low: &[f64; MONTHS]) -> Result<Climate, Refusal> {
    let facts = facts::climate();
    let mut kt = shares(place, hours)?;
    for (kt, root) in kt.iter_mut().zip(swings(high, low)) {
        let by_sunshine = facts.both_clear + facts.both_slope * *kt;
        *kt = (by_sunshine + capped(place, facts.swing_unsure * root)) / 2.0;
    }
    Ok(Climate::of_kt(place, Route::Both, kt))
}

/// A near place of the table, or the latitude alone.
fn table(place: Place) -> Climate {
    match places::near(place.latitude_deg, place.longitude_deg) {
        Some((known, km)) => Climate::of_kt(place, Route::Near { place: known.name.clone(), km }, known.kt),
        None => by_latitude(place),
    }
}

fn by_latitude(place: Place) -> Climate {
    let facts = facts::climate();
    let [base, linear, square, seasonal, height] = facts.latitude;
    let x = place.latitude_deg.abs() / RIGHT_ANGLE;
    let side = if place.latitude_deg < 0.0 { -1.0 } else { 1.0 };
    let kt = MEAN_DAYS.map(|day| {
        let season = side * real::sin(2.0 * PI * (day - facts.season_day) / DAYS as f64);
        let kt = base + linear * x + square * x * x + seasonal * x * season + height * place.altitude_m / KILO;
        capped(place, kt).max(0.0)
    });
    Climate::of_kt(place, Route::Latitude, kt)
}

const RIGHT_ANGLE: f64 = 90.0;
const KILO: f64 = 1000.0;
