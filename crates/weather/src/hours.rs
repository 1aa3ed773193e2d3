//! The hours of a day, given its sum: how global and diffuse light lie over them.

use std::f64::consts::PI;

use quantity::real;

use crate::date::HOURS;
use crate::facts;

/// The shape of one day's light over its hours; its parts that do not change with the hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    a: f64,
    b: f64,
    cos_sunset: f64,
    /// (pi/24) / (sin ws - ws cos ws); 0 in polar night.
    scale: f64,
}

impl Shape {
    /// Of a day whose sun sets at this hour angle, rad: 0 in polar night, pi in polar day.
    #[must_use]
    pub fn new(sunset: f64) -> Self {
        let facts = facts::draw();
        let ([a0, a1], [b0, b1]) = (facts.hour_a, facts.hour_b);
        let phase = real::sin(sunset - facts.hour_phase.to_radians());
        let (sin_sunset, cos_sunset) = real::sin_cos(sunset);
        let whole = sin_sunset - sunset * cos_sunset;
        let scale = if whole > 0.0 { PI / HOURS as f64 / whole } else { 0.0 };
        Self { a: a0 + a1 * phase, b: b0 + b1 * phase, cos_sunset, scale }
    }

    /// Share of the day's global energy that an hour gets, with the sun's hour angle at its middle told by its cosine.
    ///
    /// 0 outside the day's light; over the hours of a day the shares sum to 1 within 1 %.
    ///
    /// # Source
    /// Collares-Pereira & Rabl 1979, from memory: (pi/24) (a + b cos w) (cos w - cos ws) / (sin ws - ws cos ws).
    /// Constants: `data/generator.toml`.
    ///
    /// # Checked against
    /// `tests/outside.rs`: values worked out elsewhere.
    #[inline]
    #[must_use]
    pub fn global(&self, cos_hour: f64) -> f64 {
        (self.a + self.b * cos_hour) * self.diffuse(cos_hour)
    }

    /// The same of the day's diffuse energy.
    ///
    /// # Source
    /// Liu & Jordan 1960, from memory: (pi/24) (cos w - cos ws) / (sin ws - ws cos ws).
    ///
    /// # Checked against
    /// `tests/outside.rs`: values worked out elsewhere.
    #[inline]
    #[must_use]
    pub fn diffuse(&self, cos_hour: f64) -> f64 {
        // Cut off here, not in the product: at midnight both of its factors can be negative.
        let above = cos_hour - self.cos_sunset;
        if above > 0.0 { self.scale * above } else { 0.0 }
    }
}

/// Share of a day's energy that is diffuse, by its clearness and the hour angle of sunset (rad).
///
/// # Source
/// Erbs, Klein & Duffie 1982, from memory. Constants: `data/generator.toml`.
///
/// # Checked against
/// `tests/outside.rs`: a day worked out elsewhere.
#[must_use]
pub fn diffuse_of_day(clearness: f64, sunset: f64) -> f64 {
    let facts = facts::draw();
    let of_season = if sunset < facts.diffuse_season.to_radians() { facts.diffuse_winter } else { facts.diffuse_rest };
    if clearness >= of_season.knee {
        return of_season.end;
    }
    of_season.powers.iter().rev().fold(0.0, |sum, power| sum * clearness + power)
}
