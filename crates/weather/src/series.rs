//! Years drawn from twelve months: days by their law, hours by the shape of a day.
//!
//! A year of mean days never leaves a battery short; real ones have dark spells. So years are drawn: the clearness of each
//! day from the law of its month, tied to the day before; air temperature beside it; then hours. All from a seed of place,
//! route and block: the same bytes on every run, the same years for every rig.
//!
//! Clouds within a day are smoothed. That is right for energy and for hours gone without, not for the peak current of a
//! controller nor for a battery of less than half a day's load.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use quantity::real;

use crate::almanac;
use crate::climate::{Air, Climate};
use crate::date::{self, DAYS, HOURS, MONTHS};
use crate::facts;
use crate::hourly::{Calendar, Hours};
use crate::hours::{Shape, diffuse_of_day};
use crate::law::Law;
use crate::outside;
use crate::random::{Stream, seed};
use crate::route::ceiling;
use crate::year::STAND_IN;

/// The days of one drawn year.
#[derive(Clone, Debug, PartialEq)]
pub struct DayDraws {
    /// Clearness: energy on the horizontal over that outside the air.
    pub clearness: Vec<f64>,
    /// Mean temperature, °C.
    pub air_mean_c: Vec<f64>,
    /// Half of the swing from lowest to highest, K.
    pub air_half_swing_k: Vec<f64>,
}

impl Default for DayDraws {
    fn default() -> Self {
        let column = || vec![0.0; DAYS];
        Self { clearness: column(), air_mean_c: column(), air_half_swing_k: column() }
    }
}

/// Draws the days of years for one climate.
#[derive(Clone, Debug)]
pub struct Draws {
    climate: Climate,
    laws: [Law; MONTHS],
    /// Mean temperature and half swing of each day by the calendar.
    air: Vec<(f64, f64)>,
}

impl Draws {
    /// For a climate and its temperatures.
    #[must_use]
    pub fn new(climate: &Climate, air: &Air) -> Self {
        let mut swing = air.high_c;
        for (high, low) in swing.iter_mut().zip(&air.low_c) {
            *high = (*high - low).max(0.0) / 2.0;
        }
        let by_day = |day| (between_months(&air.mean_c, day), between_months(&swing, day));
        Self { climate: climate.clone(), laws: climate.kt.map(Law::of_mean), air: (0..DAYS).map(by_day).collect() }
    }

    /// The days of year `block`, with the climate taken as it is.
    pub fn draw(&self, block: u64, days: &mut DayDraws) {
        let mut stream = self.stream(block);
        self.days(&self.climate.kt, &self.laws, &mut stream, days);
    }

    /// The days of year `block`, with the climate's own error drawn too: one factor that all months share and one for each
    /// month, both lognormal with mean 1.
    pub fn draw_with_error(&self, block: u64, days: &mut DayDraws) {
        let mut stream = self.stream(block);
        // Of its own, so that the days of a block are the same with and without the error.
        let mut errors = Stream::new(stream.clone().bits());
        let year = factor(self.climate.year_sd, &mut errors);
        let most = ceiling(self.climate.altitude_m);
        let kt = self.climate.kt.map(|kt| (kt * year * factor(self.climate.month_sd, &mut errors)).min(most));
        self.days(&kt, &kt.map(Law::of_mean), &mut stream, days);
    }

    fn stream(&self, block: u64) -> Stream {
        Stream::new(seed(self.climate.latitude_deg, self.climate.longitude_deg, self.climate.route.word(), block))
    }

    fn days(&self, kt: &[f64; MONTHS], laws: &[Law; MONTHS], stream: &mut Stream, days: &mut DayDraws) {
        let facts = facts::draw();
        let (keep, fresh) = kept(facts.persistence);
        let (air_keep, air_fresh) = kept(facts.air_persistence);
        let columns = days.clearness.iter_mut().zip(&mut days.air_mean_c).zip(&mut days.air_half_swing_k);
        let mut columns = columns.zip(&self.air);
        let (mut z, mut air_z, mut first) = (0.0, 0.0, true);
        for (month, (law, kt)) in laws.iter().zip(kt).enumerate() {
            let together = if is_cold(month, self.climate.latitude_deg) { facts.air_sun_cold } else { facts.air_sun_warm };
            let apart = (1.0 - together * together).sqrt();
            // A month outside the range of the law keeps its mean all the same.
            let scale = kt / law.mean;
            for _ in date::month_start(month, DAYS)..date::month_start(month + 1, DAYS) {
                let Some((((clearness, mean), half), usual)) = columns.next() else { return };
                let (e, other) = (stream.normal(), stream.normal());
                let air_e = together * e + apart * other;
                (z, air_z) = if first { (e, air_e) } else { (keep * z + fresh * e, air_keep * air_z + air_fresh * air_e) };
                first = false;
                *clearness = law.quantile(below(z)) * scale;
                *mean = usual.0 + facts.air_spread * air_z;
                let of_mean = if *kt > 0.0 { *clearness / kt } else { 1.0 };
                *half = usual.1 * (facts.swing_base + facts.swing_sun * of_mean);
            }
        }
    }
}

/// What a step of a first-order series keeps of the day before and takes afresh, its spread staying 1.
fn kept(persistence: f64) -> (f64, f64) {
    (persistence, (1.0 - persistence * persistence).sqrt())
}

/// Share of a normal distribution below `z`.
#[inline]
#[must_use]
pub fn below(z: f64) -> f64 {
    real::erfc(-z * FRAC_1_SQRT_2) / 2.0
}

/// A lognormal factor with mean 1.
fn factor(sd: f64, stream: &mut Stream) -> f64 {
    let variance = real::ln(1.0 + sd * sd);
    real::exp(variance.sqrt() * stream.normal() - variance / 2.0)
}

/// October to March in the north, April to September in the south.
fn is_cold(month: usize, latitude_deg: f64) -> bool {
    const COLD_NORTH: [usize; 6] = [9, 10, 11, 0, 1, 2];
    COLD_NORTH.contains(&month) == (latitude_deg >= 0.0)
}

/// A monthly mean on a day from 0: straight lines between the middles of months.
fn between_months(months: &[f64; MONTHS], day: usize) -> f64 {
    let middle = |month: usize| {
        let (start, end) = (date::month_start(month, DAYS), date::month_start(month + 1, DAYS));
        (start + end) as f64 / 2.0
    };
    let at = day as f64 + 1.0 / 2.0;
    let (month, _) = date::month_day(day, DAYS);
    let other = if at < middle(month) { (month + MONTHS - 1) % MONTHS } else { (month + 1) % MONTHS };
    let apart = (middle(month) - middle(other)).abs();
    // December and January lie a year less than that apart.
    let apart = apart.min(DAYS as f64 - apart);
    let share = (at - middle(month)).abs() / apart;
    let value = |month: usize| months.get(month).copied().unwrap_or(0.0);
    value(month) * (1.0 - share) + value(other) * share
}

/// What turns days into hours at one place, worked out once.
#[derive(Clone, Debug)]
pub struct HourShape {
    days: Vec<DayShape>,
    /// Shares of the day's global and diffuse energy; each day sums to 1, or to 0 in polar night.
    global: Vec<f64>,
    diffuse: Vec<f64>,
    /// Mean cosine of the zenith angle over the hour, and its inverse; both 0 where beam is not told apart.
    cosine: Vec<f64>,
    inverse: Vec<f64>,
    /// Temperature over the day: -1 at its lowest, 1 at its highest.
    warmth: Vec<f64>,
    calendar: Calendar,
}

#[derive(Clone, Copy, Debug)]
struct DayShape {
    /// Energy outside the air on the horizontal, Wh/m².
    outside: f64,
    /// Power outside the air facing the sun, W/m²: beam is never stronger.
    normal: f64,
    /// Hour angle of sunset, rad.
    sunset: f64,
    month: usize,
}

const KILO: f64 = 1000.0;

impl HourShape {
    /// For a place; latitude and longitude in degrees, `zone_h` hours of its standard time ahead of UTC.
    #[must_use]
    pub fn new(latitude_deg: f64, longitude_deg: f64, zone_h: f64) -> Self {
        let hours = || Vec::with_capacity(DAYS * HOURS);
        let midnight = date::days_from_1970(STAND_IN.0, 1, 1);
        let half_hour_s = date::HOUR_S as f64 / 2.0;
        let calendar = Calendar {
            days: DAYS,
            zone_h,
            first_unix_s: midnight * date::DAY_S - (zone_h * date::HOUR_S as f64) as i64,
            sun_offset_s: vec![half_hour_s; DAYS],
        };
        let mut shape = Self {
            days: Vec::with_capacity(DAYS),
            global: hours(),
            diffuse: hours(),
            cosine: hours(),
            inverse: hours(),
            warmth: hours(),
            calendar,
        };
        let turns: Vec<(f64, f64)> = (0..HOURS).map(|hour| almanac::turned(hour as f64 * date::HOUR_S as f64)).collect();
        let site = SiteShape { latitude_deg, longitude_deg, zone_h, turns };
        for day in 0..DAYS {
            shape.day(day, midnight, &site);
        }
        shape
    }

    /// Where the hours lie in time.
    #[must_use]
    pub fn calendar(&self) -> &Calendar {
        &self.calendar
    }

    fn day(&mut self, day: usize, midnight: i64, site: &SiteShape) {
        let low_sun = facts::draw().low_sun;
        let noon_days = (midnight + day as i64) as f64 + 1.0 / 2.0 - site.zone_h / HOURS as f64;
        let sun = almanac::sun(noon_days);
        let (sin_l, cos_l) = real::sin_cos(site.latitude_deg.to_radians());
        let (sin_d, cos_d) = real::sin_cos(sun.declination);
        let (level, swing) = (sin_l * sin_d, cos_l * cos_d);
        let sunset = outside::sunset(level, swing);
        let number = (day + 1) as f64;
        let outside = outside::day(site.latitude_deg, number).energy_kwh_m2 * KILO;
        let normal = outside::normal_kw_m2(number) * KILO;
        let (month, _) = date::month_day(day, DAYS);
        self.days.push(DayShape { outside, normal, sunset, month });

        let hour = 2.0 * PI / HOURS as f64;
        // Hour angle of the sun in the middle of the first clock hour.
        let first = hour / 2.0 - PI + site.longitude_deg.to_radians() - site.zone_h * hour + sun.ahead;
        let (sin_first, cos_first) = real::sin_cos(first);
        let shape = Shape::new(sunset);
        let start = self.global.len();
        // Mean of a cosine over an hour: sin(7.5 degrees) / 7.5 degrees of its middle.
        let over_hour = real::sin(hour / 2.0) / (hour / 2.0);
        for (cos_turn, sin_turn) in &site.turns {
            let cos_hour = cos_first * cos_turn - sin_first * sin_turn;
            self.global.push(shape.global(cos_hour));
            self.diffuse.push(shape.diffuse(cos_hour));
            let told = level + swing * cos_hour > low_sun;
            let mean = level + swing * cos_hour * over_hour;
            self.cosine.push(if told { mean } else { 0.0 });
            self.inverse.push(if told && mean > 0.0 { 1.0 / mean } else { 0.0 });
        }
        one(self.global.get_mut(start..));
        one(self.diffuse.get_mut(start..));
        let sunrise_h = (HOURS as f64 / 2.0) - sunset / hour;
        let first_h = (HOURS as f64 / 2.0 + first / hour).rem_euclid(HOURS as f64);
        self.warmth.extend((0..HOURS).map(|at| warmth(of_day(first_h + at as f64), sunrise_h)));
    }

    /// Fills the hours of a year from its days. `wind_m_s` is the mean of each month.
    ///
    /// Global energy is kept: what beam cannot be told apart at the horizon or would exceed the sun outside the air is
    /// counted as diffuse, so that GHI = DHI + DNI cos z with the mean cosine of the hour.
    pub fn fill(&self, days: &DayDraws, wind_m_s: &[f64; 12], hours: &mut Hours) {
        let out = hours.ghi.chunks_exact_mut(HOURS).zip(hours.dni.chunks_exact_mut(HOURS));
        let out = out.zip(hours.dhi.chunks_exact_mut(HOURS));
        let shares = self.global.chunks_exact(HOURS).zip(self.diffuse.chunks_exact(HOURS));
        let cosines = self.cosine.chunks_exact(HOURS).zip(self.inverse.chunks_exact(HOURS));
        let of_day = self.days.iter().zip(&days.clearness);
        for ((((shape, clearness), ((ghi, dni), dhi)), shares), cosines) in of_day.zip(out).zip(shares).zip(cosines) {
            let global = clearness * shape.outside;
            let diffuse = global * diffuse_of_day(*clearness, shape.sunset);
            let inputs = shares.0.iter().zip(shares.1).zip(cosines.0.iter().zip(cosines.1));
            let outputs = ghi.iter_mut().zip(dni).zip(dhi);
            for (((ghi, dni), dhi), ((share, diffuse_share), (cosine, inverse))) in outputs.zip(inputs) {
                *ghi = global * share;
                let scattered = min(diffuse * diffuse_share, *ghi);
                *dni = min((*ghi - scattered) * inverse, shape.normal);
                *dhi = *ghi - *dni * cosine;
            }
        }
        self.fill_air(days, &mut hours.air_c);
        for (shape, wind) in self.days.iter().zip(hours.wind_m_s.chunks_exact_mut(HOURS)) {
            wind.fill(wind_m_s.get(shape.month).copied().unwrap_or(0.0));
        }
    }

    /// Daily means run in straight lines from noon to noon, so that nothing jumps at midnight.
    fn fill_air(&self, days: &DayDraws, air_c: &mut [f64]) {
        let means = &days.air_mean_c;
        let mean = |at: usize| means.get(at).copied();
        let rows = air_c.chunks_exact_mut(HOURS).zip(self.warmth.chunks_exact(HOURS)).zip(&days.air_half_swing_k);
        for (day, ((air, warmth), half)) in rows.enumerate() {
            let Some(now) = mean(day) else { return };
            let before = now - day.checked_sub(1).and_then(mean).unwrap_or(now);
            let after = mean(day + 1).unwrap_or(now) - now;
            for (hour, (air, warmth)) in air.iter_mut().zip(warmth).enumerate() {
                let of_day = (hour as f64 + 1.0 / 2.0) / HOURS as f64 - 1.0 / 2.0;
                let slope = if of_day < 0.0 { before } else { after };
                *air = now + slope * of_day + half * warmth;
            }
        }
    }
}

/// What all days of a place share.
struct SiteShape {
    latitude_deg: f64,
    longitude_deg: f64,
    zone_h: f64,
    turns: Vec<(f64, f64)>,
}

/// The smaller; unlike `f64::min` without a rule for NaN, so that it is one instruction.
#[inline]
fn min(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// Makes shares sum to 1. Where the hours miss what little light a day has, noon gets it.
fn one(shares: Option<&mut [f64]>) {
    let Some(shares) = shares else { return };
    let sum: f64 = shares.iter().sum();
    if sum > 0.0 {
        shares.iter_mut().for_each(|share| *share /= sum);
    } else if let Some(noon) = shares.get_mut(HOURS / 2) {
        *noon = 1.0;
    }
}

/// An hour of the day before, of the day or of the day after, as the hour of the day.
fn of_day(hour: f64) -> f64 {
    let day = HOURS as f64;
    if hour < 0.0 {
        hour + day
    } else if hour >= day {
        hour - day
    } else {
        hour
    }
}

/// Temperature over the day, -1 to 1: lowest at sunrise, highest at 15 o'clock solar time.
fn warmth(solar_h: f64, sunrise_h: f64) -> f64 {
    let warmest = facts::draw().warmest_hour;
    let day = HOURS as f64;
    let after_sunrise = of_day(solar_h - sunrise_h);
    let rising = warmest - sunrise_h;
    if after_sunrise < rising {
        -real::cos(PI * after_sunrise / rising)
    } else {
        real::cos(PI * (after_sunrise - rising) / (day - rising))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four standard errors of 40 000 draws.
    #[test]
    fn a_factor_has_mean_1_and_its_spread() {
        let mut stream = Stream::new(1);
        let factors: Vec<f64> = (0..40_000).map(|_| factor(0.3, &mut stream)).collect();
        let mean = factors.iter().sum::<f64>() / 40_000.0;
        let variance = factors.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / 40_000.0;
        assert!((mean - 1.0).abs() < 4.0 * 0.3 / 200.0, "{mean}");
        assert!((variance.sqrt() - 0.3).abs() < 0.01, "{}", variance.sqrt());
        assert_eq!(factor(0.0, &mut stream), 1.0);
    }

    /// By hand: the middle of January is day 15.5, that of February 45.0, that of December 349.5.
    #[test]
    fn months_run_into_one_another() {
        let mut months = [0.0; MONTHS];
        (months[0], months[1], months[11]) = (10.0, 20.0, 0.0);
        assert!((between_months(&months, 15) - 10.0).abs() < 1e-12);
        assert!((between_months(&months, 30) - (10.0 + 10.0 * 15.0 / 29.5)).abs() < 1e-12);
        assert!((between_months(&months, 0) - 10.0 * (1.0 - 15.0 / 31.0)).abs() < 1e-12);
        assert!((between_months(&months, 364) - 10.0 * 15.0 / 31.0).abs() < 1e-12);
    }

    /// Lowest at sunrise, highest at 15 o'clock, half way between in the middle of either.
    #[test]
    fn a_day_warms_until_the_afternoon() {
        assert!((warmth(6.0, 6.0) + 1.0).abs() < 1e-12);
        assert!((warmth(15.0, 6.0) - 1.0).abs() < 1e-12);
        assert!(warmth(10.5, 6.0).abs() < 1e-12 && warmth(22.5, 6.0).abs() < 1e-12);
        assert!(warmth(3.0, 6.0) < -0.5);
    }
}
