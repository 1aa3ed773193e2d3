//! Wind on what sits on a roof: dynamic pressure, uplift, drag, awnings.

use quantity::real::log10;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged};

fn usual_air() -> f64 {
    facts::body().air_density
}

/// Input of [`uplift`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<UpliftIn>)]
pub struct UpliftIn {
    /// Speed of the air over the item: road speed and head wind together.
    pub speed_m_s: f64,
    /// Density of the air.
    #[serde(default = "usual_air")]
    pub air_density_kg_m3: f64,
    /// Area of the item seen from above.
    pub area_m2: f64,
    /// Net pressure coefficient; positive lifts. Tables of building codes write lift as negative.
    pub coefficient: f64,
}

ranged!(UpliftIn {
    speed_m_s ["m/s"] Range::of(0.0, 150.0),
    air_density_kg_m3 ["kg/m3"] Range::over(0.0, 2.0),
    area_m2 ["m2"] Range::of(0.0, 1e4),
    coefficient [""] Range::of(-10.0, 10.0),
});

/// Output of [`uplift`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UpliftOut {
    /// Force on the item, positive up.
    pub force_n: f64,
}

/// Uplift of something flat on a roof.
///
/// | input               | unit  | range       | note                                |
/// |---------------------|-------|-------------|-------------------------------------|
/// | `speed_m_s`         | m/s   | 0 to 150    | road speed and head wind            |
/// | `air_density_kg_m3` | kg/m3 | over 0 to 2 | default 1.225                       |
/// | `area_m2`           | m2    | 0 to 10000  |                                     |
/// | `coefficient`       | 1     | -10 to 10   | positive lifts                      |
///
/// Gives `force_n` (N), positive up; the weight of the item is not taken off.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Dynamic pressure (physics); air of the standard atmosphere, `data/mount.toml`.
///
/// # Checked against
/// `tests/outside/wind.rs`: own figures computed with numpy.
pub fn uplift(input: &UpliftIn) -> Result<UpliftOut, KernelError> {
    input.check()?;
    let force = dynamic_pressure(input.speed_m_s, input.air_density_kg_m3) * input.area_m2 * input.coefficient;
    Ok(UpliftOut { force_n: finite("force_n", force)? })
}

/// Dynamic pressure, Pa, of air of that density (kg/m3) at a speed (m/s).
#[must_use]
pub fn dynamic_pressure(speed: f64, density: f64) -> f64 {
    density * speed * speed / 2.0
}

/// External pressure coefficient of a flat roof with sharp eaves, EN 1991-1-4 table 7.2: zone "corner", "edge" or
/// "middle", area in m2; negative lifts. Up to 1 m2 and from 10 m2 it is constant, between it falls with the logarithm.
#[must_use]
pub fn flat_roof(zone: &str, area: f64) -> Option<f64> {
    let table = facts::table("wind/flat-roof")?;
    let (small, large) = (table.number("zone", zone, "small")?, table.number("zone", zone, "large")?);
    let (from, to) = (facts::body().wind_area_small, facts::body().wind_area_large);
    let share = (log10(area / from) / log10(to / from)).clamp(0.0, 1.0);
    Some(small - (small - large) * share)
}

/// Coefficient of something on a body that drives, and where it comes from: "near the front edge" and "behind a fairing"
/// lift, "drag" pushes rearward.
#[must_use]
pub fn moving_body(what: &str) -> Option<(f64, &'static basis::Basis)> {
    let (coefficient, table) = facts::number(&["wind/moving-body"], "what", what, "coefficient")?;
    Some((coefficient, &table.basis))
}

/// Test pressure, Pa, of an awning of a wind class of EN 13561 ("0" to "3"), and the wind, m/s, up to which it may
/// stand out.
#[must_use]
pub fn awning(class: &str) -> Option<(f64, f64)> {
    let table = facts::table("wind/awning-class")?;
    Some((table.number("class", class, "pressure")?, table.number("class", class, "speed")?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_coefficient_is_flat_outside_one_to_ten_square_metres() {
        assert_eq!((flat_roof("corner", 0.2), flat_roof("corner", 1.0)), (Some(-2.5), Some(-2.5)));
        assert_eq!((flat_roof("edge", 10.0), flat_roof("edge", 40.0)), (Some(-1.2), Some(-1.2)));
        assert_eq!(flat_roof("gable", 2.0), None);
    }
}
