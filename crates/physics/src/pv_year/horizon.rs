//! What stands around a panel, and what it leaves of the light.

use crate::shade::Profile;
use crate::sun::Direction;

/// What the horizon does to the light that is not beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Horizon<'a> {
    /// None in the way.
    Open,
    /// The bright ring goes with the sun and is whole while that is seen; the rest of the sky is what is left of it.
    Behind(&'a Profile),
    /// With the sun hidden all diffuse light comes evenly, and the whole sky is scaled: milder in winter. The way the
    /// outside check tables were made.
    Scaled(&'a Profile),
}

impl<'a> Horizon<'a> {
    pub(super) fn profile(self) -> Option<&'a Profile> {
        match self {
            Self::Open => None,
            Self::Behind(profile) | Self::Scaled(profile) => Some(profile),
        }
    }
}

/// What a horizon leaves of the light on a plane.
#[derive(Clone, Copy, Debug)]
pub struct Behind<'a> {
    profile: &'a Profile,
    /// Of the sky that the plane faces.
    pub(super) sky_left: f64,
}

impl<'a> Behind<'a> {
    /// A horizon before a plane of that tilt and azimuth, rad.
    #[must_use]
    pub fn new(profile: &'a Profile, tilt: f64, azimuth: f64) -> Self {
        let open = (1.0 + Direction::square_to(tilt, azimuth).up) / 2.0;
        Self { profile, sky_left: if open > 0.0 { profile.sky_view(tilt, azimuth) / open } else { 0.0 } }
    }

    /// What is left, W/m2, of light that an open sky gives with the sun in a direction: [`Horizon::Behind`]. Direct light is
    /// beam and ring.
    #[inline]
    #[must_use]
    pub fn leaves(&self, direct: f64, sky: f64, sun: &Direction) -> (f64, f64) {
        (direct * self.seen(direct, sun), sky * self.sky_left)
    }

    /// Share of the beam that is seen: all of it or none.
    #[inline]
    pub(super) fn seen(&self, beam: f64, sun: &Direction) -> f64 {
        if beam > 0.0 && self.profile.hides(sun) { 0.0 } else { 1.0 }
    }
}
