//! The horizon: what it hides of the sun, and what it leaves of the sky.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use quantity::real::{asin, cos, sin, sin_cos};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_count, check_list, finite, in_schema, ranged};
use crate::sun::Direction;

/// Height of the horizon by bearing: straight lines between the points of a list, all the way round.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Bearing and height, rad, in rising order of bearing.
    points: Vec<(f64, f64)>,
    /// Sines of the lowest and the highest height.
    heights: (f64, f64),
}

/// Most points of a profile.
const POINTS: usize = 720;
/// Bearings over which the sky is summed up: a fifth of a degree, within 1e-4 of the whole.
const BEARINGS: usize = 1800;

impl Profile {
    /// From bearings (clockwise from north) and heights, both rad, in any order.
    ///
    /// # Errors
    /// `Count` without points or with over 720; `OutOfRange` for a bearing beyond a turn either way or a height that is
    /// not from 0 to straight up.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, KernelError> {
        check_count("profile", points.len(), 1, POINTS)?;
        let (turn, quarter) = (Range::of(-TAU, TAU), Range::of(0.0, FRAC_PI_2));
        for (index, (bearing, height)) in points.iter().enumerate() {
            for (name, value, range) in [("bearing", *bearing, turn), ("height", *height, quarter)] {
                if !range.holds(value) {
                    return Err(KernelError::outside(&format!("profile[{index}].{name}"), value, range, "rad", ""));
                }
            }
        }
        let mut points: Vec<(f64, f64)> = points.iter().map(|(b, h)| (b.rem_euclid(TAU), *h)).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let low = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(|p| p.1).fold(0.0, f64::max);
        Ok(Self { points, heights: (sin(low), sin(high)) })
    }

    /// The same height all round, rad.
    ///
    /// # Errors
    /// As [`Profile::new`].
    pub fn level(height: f64) -> Result<Self, KernelError> {
        Self::new(&[(0.0, height)])
    }

    /// Height of the horizon, rad, at a bearing, rad.
    #[must_use]
    pub fn height(&self, bearing: f64) -> f64 {
        let bearing = bearing.rem_euclid(TAU);
        let after = self.points.partition_point(|p| p.0 <= bearing);
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else { return 0.0 };
        // Round through north where the bearing is before the first point or after the last.
        let (from, shift) = match after.checked_sub(1).and_then(|k| self.points.get(k)) {
            Some(point) => (point, 0.0),
            None => (last, -TAU),
        };
        let (to, lap) = match self.points.get(after) {
            Some(point) => (point, 0.0),
            None => (first, TAU),
        };
        let (start, end) = (from.0 + shift, to.0 + lap);
        if end > start { from.1 + (to.1 - from.1) * (bearing - start) / (end - start) } else { from.1 }
    }

    /// Whether it hides the sun in a direction.
    #[must_use]
    pub fn hides(&self, sun: &Direction) -> bool {
        let (low, high) = self.heights;
        // Most of the day the sun is above all of it.
        sun.up < high && (sun.up < low || asin(sun.up.clamp(-1.0, 1.0)) < self.height(sun.azimuth()))
    }

    /// Share of an evenly bright sky's light that reaches a plane of a tilt and azimuth (rad) over it; 1 for a flat plane
    /// and no horizon, (1 + cos tilt) / 2 for a tilted one.
    #[must_use]
    pub fn sky_view(&self, tilt: f64, azimuth: f64) -> f64 {
        let (sin_tilt, cos_tilt) = sin_cos(tilt);
        if let ([(_, height)], true) = (self.points.as_slice(), sin_tilt == 0.0 && cos_tilt > 0.0) {
            // The same height all round a flat plane, in closed form.
            let left = cos(*height);
            return left * left;
        }
        let sum: f64 = (0..BEARINGS)
            .map(|k| {
                let bearing = (k as f64 + 0.5) / BEARINGS as f64 * TAU;
                let toward = sin_tilt * cos(bearing - azimuth);
                // Behind the plane the sky starts where the plane ends.
                let own = if toward < 0.0 { quantity::real::atan2(-toward, cos_tilt) } else { 0.0 };
                let from = self.height(bearing).max(own);
                let (s, c) = sin_cos(from);
                // Of (cos tilt sin e + toward cos e) cos e over elevations e from there up.
                cos_tilt * c * c / 2.0 + toward * (FRAC_PI_2 - from - s * c) / 2.0
            })
            .sum();
        (sum * TAU / BEARINGS as f64 / PI).max(0.0)
    }
}

/// One point of the horizon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<HorizonPoint>)]
pub struct HorizonPoint {
    /// Bearing, clockwise from true north.
    pub bearing_deg: f64,
    /// Height above the horizontal.
    pub height_deg: f64,
}

ranged!(HorizonPoint {
    bearing_deg ["deg"] Range::of(-360.0, 360.0),
    height_deg ["deg"] Range::of(0.0, 90.0),
});

/// Input of [`horizon`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<HorizonIn>)]
pub struct HorizonIn {
    /// Points of the horizon in any order; straight lines between, all the way round.
    pub profile: Vec<HorizonPoint>,
    /// Tilt of the panel.
    #[serde(default)]
    pub tilt_deg: f64,
    /// Where the panel faces, clockwise from north.
    #[serde(default)]
    pub azimuth_deg: f64,
    /// Where the sun stands, for its height over the horizon.
    pub sun_azimuth_deg: Option<f64>,
    /// Height of the sun, with refraction.
    pub sun_elevation_deg: Option<f64>,
}

ranged!(HorizonIn {
    tilt_deg ["deg"] Range::of(0.0, 180.0),
    azimuth_deg ["deg"] Range::of(-360.0, 360.0),
    sun_azimuth_deg ["deg"] Range::of(-360.0, 360.0),
    sun_elevation_deg ["deg"] Range::of(-90.0, 90.0),
});

/// Output of [`horizon`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HorizonOut {
    /// Share of an evenly bright sky's light that reaches the panel; (1 + cos tilt) / 2 without a horizon.
    pub sky_view: f64,
    /// The same as a share of that without a horizon.
    pub sky_left: f64,
    /// Height of the horizon under the sun.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_deg: Option<f64>,
    /// Whether the sun is hidden.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hidden: Option<bool>,
}

/// What a horizon leaves of the sky, and whether it hides the sun.
///
/// | input               | unit | range       | note                                       |
/// |---------------------|------|-------------|--------------------------------------------|
/// | `bearing_deg`       | deg  | -360 to 360 | of a point, clockwise from north           |
/// | `height_deg`        | deg  | 0 to 90     | of a point                                 |
/// | `tilt_deg`          | deg  | 0 to 180    | of the panel; default 0                    |
/// | `azimuth_deg`       | deg  | -360 to 360 | where it faces; default 0                  |
/// | `sun_azimuth_deg`   | deg  | -360 to 360 | for `height_deg`                           |
/// | `sun_elevation_deg` | deg  | -90 to 90   | for `hidden`                               |
///
/// The points are the list `profile`, 1 to 720. Gives `sky_view`, `sky_left`, and `height_deg` and `hidden` where the sun
/// is told.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` without points.
///
/// # Source
/// Geometry: over elevations in closed form, over bearings summed.
///
/// # Checked against
/// `tests/outside/shade.rs`: sums of an open library; cos2 h for a level horizon (exact).
pub fn horizon(input: &HorizonIn) -> Result<HorizonOut, KernelError> {
    check_list("profile", &input.profile, 1, POINTS)?;
    input.check()?;
    let points: Vec<(f64, f64)> = input.profile.iter().map(|p| (p.bearing_deg.to_radians(), p.height_deg.to_radians())).collect();
    let profile = Profile::new(&points)?;
    let tilt = input.tilt_deg.to_radians();
    let (view, open) = (profile.sky_view(tilt, input.azimuth_deg.to_radians()), (1.0 + cos(tilt)) / 2.0);
    let height = input.sun_azimuth_deg.map(|bearing| profile.height(bearing.to_radians()).to_degrees());
    Ok(HorizonOut {
        sky_view: finite("sky_view", view)?,
        sky_left: finite("sky_left", if open > 0.0 { view / open } else { 0.0 })?,
        height_deg: height,
        hidden: height.zip(input.sun_elevation_deg).map(|(horizon, sun)| sun < horizon),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_horizon_goes_all_the_way_round() {
        let profile = Profile::new(&[(300_f64.to_radians(), 0.1), (60_f64.to_radians(), 0.3)]).expect("holds");
        for (bearing, height) in [(60.0, 0.3), (300.0, 0.1), (0.0, 0.2), (360.0, 0.2), (180.0, 0.2), (330.0, 0.15), (-30.0, 0.15)]
        {
            assert!((profile.height(f64::to_radians(bearing)) - height).abs() < 1e-12, "{bearing}");
        }
        assert_eq!(Profile::level(0.2).expect("holds").height(1.0), 0.2);
        assert!(Profile::new(&[]).is_err() && Profile::level(-0.1).is_err() && Profile::level(f64::NAN).is_err());
    }
}
