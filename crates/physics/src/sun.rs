//! Where the sun is: the solar position algorithm for an instant, and a quick form for the hours of a year.
//!
//! Azimuth is counted clockwise from true north, longitude positive to the east, time is universal. At the poles azimuth
//! still means from the meridian of the stated longitude; near the zenith compare directions, not azimuths.

pub mod clock;
pub mod days;
pub mod spa;
mod terms;
pub mod year;

use std::f64::consts::PI;

use quantity::real::{asin, atan2, pow, sin_cos};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun_facts::{self as facts};

pub use days::Nodes;
pub use year::SunYear;

/// A place on the earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Latitude, north positive, rad.
    pub latitude_rad: f64,
    /// Longitude, east positive, rad.
    pub longitude_rad: f64,
    /// Height above the sea, m.
    pub altitude_m: f64,
}

/// Air that bends the light of a low sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Pressure at the place itself, Pa.
    pub pressure_pa: f64,
    /// Temperature, degrees Celsius.
    pub temperature_c: f64,
}

impl Air {
    /// Usual air at an altitude (m).
    #[must_use]
    pub fn at(altitude_m: f64) -> Self {
        Self { pressure_pa: pressure_at(altitude_m), temperature_c: facts::sun().air_temperature }
    }
}

/// Pressure, Pa, of usual air at an altitude (m, up to 11 000).
#[must_use]
pub fn pressure_at(altitude_m: f64) -> f64 {
    let f = facts::sun();
    f.pressure_unit * pow((f.pressure_top - altitude_m) / f.pressure_scale, 1.0 / f.pressure_power)
}

fn sea_level() -> f64 {
    facts::sun().pressure
}
fn air_temperature() -> f64 {
    facts::sun().air_temperature
}
fn delta_t() -> f64 {
    facts::sun().delta_t
}

/// Input of [`sun_position`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SunPositionIn>)]
pub struct SunPositionIn {
    /// The instant as RFC 3339 writes it, with its zone: "2003-10-17T12:30:30-07:00".
    pub time: String,
    /// Latitude, north positive.
    pub latitude_deg: f64,
    /// Longitude, east positive.
    pub longitude_deg: f64,
    /// Height above the sea.
    #[serde(default)]
    pub altitude_m: f64,
    /// Pressure at the place; it is not taken from the altitude.
    #[serde(default = "sea_level")]
    pub pressure_pa: f64,
    /// Temperature of the air.
    #[serde(default = "air_temperature")]
    pub temperature_c: f64,
    /// Terrestrial less universal time.
    #[serde(default = "delta_t")]
    pub delta_t_s: f64,
}

ranged!(SunPositionIn {
    latitude_deg ["deg"] Range::of(-90.0, 90.0),
    longitude_deg ["deg"] Range::of(-180.0, 180.0),
    altitude_m ["m"] Range::of(-500.0, 11_000.0),
    pressure_pa ["Pa"] Range::of(0.0, 200_000.0),
    temperature_c ["degC"] Range::of(-100.0, 100.0),
    delta_t_s ["s"] Range::of(-8000.0, 200_000.0),
});

/// Output of [`sun_position`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SunPositionOut {
    /// Angle from straight up to where the sun is.
    pub zenith_deg: f64,
    /// Angle from straight up to where the sun is seen; refraction counts while the true elevation is at least -0.8333 degrees.
    pub apparent_zenith_deg: f64,
    /// Direction from true north, clockwise.
    pub azimuth_deg: f64,
    /// How far the sun is ahead of the clock.
    pub equation_of_time_min: f64,
}

/// Where the sun stands.
///
/// | input           | unit | range          | note                                        |
/// |-----------------|------|----------------|---------------------------------------------|
/// | `latitude_deg`  | deg  | -90 to 90      | north positive                              |
/// | `longitude_deg` | deg  | -180 to 180    | east positive                               |
/// | `altitude_m`    | m    | -500 to 11000  | default 0                                   |
/// | `pressure_pa`   | Pa   | 0 to 200000    | default 101325, whatever the altitude       |
/// | `temperature_c` | degC | -100 to 100    | default 12                                  |
/// | `delta_t_s`     | s    | -8000 to 200000 | terrestrial less universal time, default 67 |
///
/// and `time`, an instant as RFC 3339 writes it, years 0 to 6000. Gives `zenith_deg` (true), `apparent_zenith_deg` (with
/// refraction), `azimuth_deg` (clockwise from true north) and `equation_of_time_min`. Within 0.0003 degrees by its source.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `NotListed` a `time` that is no instant.
///
/// # Source
/// Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, revised 2008; [`spa`].
///
/// # Checked against
/// `tests/outside/sun.rs`: the published example to its last digit, and 45 instants by an open library.
pub fn sun_position(input: &SunPositionIn) -> Result<SunPositionOut, KernelError> {
    input.check()?;
    let unix_s = clock::unix_of(&input.time).ok_or_else(|| KernelError::NotListed {
        field: "time".into(),
        value: input.time.clone(),
        wanted: "an instant with its zone, such as 2003-10-17T12:30:30-07:00",
    })?;
    let (year, _) = clock::day_of_year(unix_s);
    let years = facts::YEARS;
    if !years.holds(year as f64) {
        return Err(KernelError::outside("time", year as f64, years, "", "beyond these years the terms do not hold"));
    }
    let site = Site {
        latitude_rad: input.latitude_deg.to_radians(),
        longitude_rad: input.longitude_deg.to_radians(),
        altitude_m: input.altitude_m,
    };
    let air = Air { pressure_pa: input.pressure_pa, temperature_c: input.temperature_c };
    let sun = spa::geocentric(unix_s, input.delta_t_s);
    let seen = sun.seen_from(&site, &air);
    Ok(SunPositionOut {
        zenith_deg: finite("zenith_deg", seen.zenith().to_degrees())?,
        apparent_zenith_deg: finite("apparent_zenith_deg", seen.apparent_zenith().to_degrees())?,
        azimuth_deg: finite("azimuth_deg", seen.azimuth.to_degrees())?,
        equation_of_time_min: finite("equation_of_time_min", sun.equation_of_time_min())?,
    })
}

/// A direction in the frame of a place: unit vector east, north, up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Toward east.
    pub east: f64,
    /// Toward north.
    pub north: f64,
    /// Upward.
    pub up: f64,
}

impl Direction {
    /// Angle from straight up, rad.
    #[must_use]
    pub fn zenith(&self) -> f64 {
        std::f64::consts::FRAC_PI_2 - asin(self.up.clamp(-1.0, 1.0))
    }

    /// Angle from north, clockwise, -pi to pi.
    #[must_use]
    pub fn azimuth(&self) -> f64 {
        atan2(self.east, self.north)
    }

    /// Cosine of the angle to another direction.
    #[must_use]
    pub fn dot(&self, other: &Self) -> f64 {
        self.east * other.east + self.north * other.north + self.up * other.up
    }

    /// From its angle from straight up and its angle from north, clockwise (rad).
    #[must_use]
    pub fn toward(zenith: f64, azimuth: f64) -> Self {
        let ((sz, cz), (sa, ca)) = (sin_cos(zenith), sin_cos(azimuth));
        Self { east: sz * sa, north: sz * ca, up: cz }
    }

    /// The direction square to a plane, by its tilt and by the way it faces, clockwise from north (rad).
    #[must_use]
    pub fn square_to(tilt: f64, azimuth: f64) -> Self {
        Self::toward(tilt, azimuth)
    }
}

/// Solar time less standard time, minutes: 4 minutes a degree east of the zone's meridian (both rad, east positive), and
/// the equation of time.
#[must_use]
pub fn solar_less_standard_min(longitude: f64, meridian: f64, equation_of_time_min: f64) -> f64 {
    // Half a turn is 12 hours.
    (longitude - meridian) / PI * 720.0 + equation_of_time_min
}
