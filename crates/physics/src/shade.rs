//! Shade: what stands on the horizon, what stands on the roof, and what a shaded cell costs.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use quantity::real::{asin, cos, sin, sin_cos};

use crate::error::KernelError;
use crate::range::{Range, check_count};
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
