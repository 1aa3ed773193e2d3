//! What a panel gives for each watt of its label, hour by hour, under the years of a sky; kept, since a larger battery or
//! another load does not change it.

use std::sync::Arc;

use physics::cell::Mounting;
use physics::pv_year::{Horizon, Plane, Ready, Weather};
use physics::shade::Profile;
use physics::sun::Direction;

use super::loads::HOURS;
use super::sky::{Lit, Site0};
use super::system::Panel;
use crate::gap::Gap;
use crate::kept::Kept;
use crate::tables::usual;

/// Power over rated power, an entry an hour, a list a year.
pub type PerWatt = Vec<Vec<f32>>;

/// All that the hours of a panel depend on beside the sky.
#[derive(Clone, Debug, PartialEq)]
struct Key {
    tilt: f64,
    azimuth: f64,
    airing: (f64, f64),
    power_change: f64,
    reflects: f64,
    /// Volts times amperes for light over rated watts, of a controller that only switches.
    switched: Option<f64>,
    /// What stands around, and what the ground throws back.
    around: (Option<Arc<Profile>>, f64),
    /// Which years: those drawn, or the file's.
    file: bool,
}

/// What was worked out under one sky.
#[derive(Debug, Default)]
pub struct Planes(Kept<Key, Result<Arc<PerWatt>, Gap>>);

/// The plane of a panel under a sky.
///
/// # Errors
/// The gap of the way it faces.
pub fn plane<'a>(panel: &Panel, site: &Site0, horizon: Horizon<'a>) -> Result<Plane<'a>, Gap> {
    Ok(Plane {
        tilt: panel.tilt,
        azimuth: panel.azimuth.clone()?,
        mounting: Mounting { u0: panel.airing.u0, u1: panel.airing.u1 },
        gamma: panel.power_change,
        angular_loss: panel.reflects,
        wind_factor: physics::sun_facts::panel().wind_at_roof,
        albedo: site.albedo,
        horizon,
    })
}

/// The horizon of a site as planes take it.
#[must_use]
pub fn horizon(profile: Option<&Arc<Profile>>) -> Horizon<'_> {
    profile.map_or(Horizon::Open, |profile| Horizon::Behind(profile))
}

impl Planes {
    pub(crate) fn of(&self, panel: &Panel, site: &Site0, lit: &Lit, file: bool) -> Result<Arc<PerWatt>, Gap> {
        let watts = panel.watts.as_ref().map_err(Clone::clone)?.value();
        let plane = plane(panel, site, horizon(site.horizon.as_ref()))?;
        let switched = panel.switched.map(|switched| switched.volts * switched.amps_for_light / watts);
        let key = Key {
            tilt: plane.tilt,
            azimuth: plane.azimuth,
            airing: (panel.airing.u0, panel.airing.u1),
            power_change: plane.gamma,
            reflects: plane.angular_loss,
            switched,
            around: (site.horizon.clone(), site.albedo),
            file,
        };
        self.0.get(key, || {
            let ready = Ready::new(&plane).map_err(|_| Gap::at(format!("{}.tilt", panel.path)))?;
            Ok(Arc::new(lit.years.iter().map(|year| hours(&ready, lit, year, switched)).collect::<Vec<_>>()))
        })
    }
}

fn hours(ready: &Ready<'_>, lit: &Lit, year: &weather::Hours, switched: Option<f64>) -> Vec<f32> {
    let mut out = vec![0.0; year.ghi.len()];
    let Some(watts_for_light) = switched else {
        let weather = Weather { ghi: &year.ghi, dni: &year.dni, dhi: &year.dhi, air: &year.air_c, wind: &year.wind_m_s };
        ready.year(&lit.sun, &weather, &mut out);
        return out;
    };
    let current_change = usual("living/panel", "what", "current change", "number");
    let rated = physics::sun_facts::panel().rated_temperature;
    for_each_light(lit, year, |hour, sun, above, [ghi, dni, dhi], air, wind| {
        let light = ready.light(sun, above, ghi, dni, dhi).total();
        let tracked = ready.power(light, air, wind).max(0.0);
        // The battery's voltage times the panel's current, and no more than the panel has.
        let warm = 1.0 + current_change * (ready.cell(light, air, wind) - rated);
        let power = tracked.min(watts_for_light * light * warm);
        if let Some(out) = out.get_mut(hour) {
            *out = power as f32;
        }
    });
    out
}

/// An hour with light on a plane under an open sky, by what a horizon or a box would do to it. W/m2, degrees Celsius, m/s.
#[derive(Clone, Copy, Debug)]
pub struct LitHour {
    /// Number in its year.
    pub hour: usize,
    /// Beam and the ring around the sun: gone where that is hidden.
    pub direct: f64,
    /// From the rest of the sky: less where it is covered.
    pub sky: f64,
    /// From the ground: as it is.
    pub ground: f64,
    /// Air.
    pub air: f64,
    /// Wind of the weather.
    pub wind: f64,
}

/// The hours with light on a plane of the first `years` of a sky, a list a year. How it is mounted does not matter.
#[must_use]
pub fn lit_hours(ready: &Ready<'_>, lit: &Lit, years: usize) -> Vec<Vec<LitHour>> {
    let of = |year| {
        let mut hours = Vec::new();
        for_each_light(lit, year, |hour, sun, above, [ghi, dni, dhi], air, wind| {
            let light = ready.light(sun, above, ghi, dni, dhi);
            let direct = light.beam + light.circumsolar;
            hours.push(LitHour { hour, direct, sky: light.isotropic + light.horizon, ground: light.ground, air, wind });
        });
        hours
    };
    lit.years.iter().take(years).map(of).collect()
}

/// Goes through the hours of a year that have light: number of the hour, sun, irradiance above the air, [global, beam,
/// diffuse], air and wind.
#[inline]
pub fn for_each_light(lit: &Lit, year: &weather::Hours, mut see: impl FnMut(usize, &Direction, f64, [f64; 3], f64, f64)) {
    let light = year.ghi.chunks(HOURS).zip(year.dni.chunks(HOURS)).zip(year.dhi.chunks(HOURS));
    let days = light.zip(year.air_c.chunks(HOURS).zip(year.wind_m_s.chunks(HOURS))).zip(lit.sun.blocks());
    for (day, ((((ghi, dni), dhi), (air, wind)), (east, north, up, above))) in days.enumerate() {
        let sun = east.iter().zip(north).zip(up);
        let hours = ghi.iter().zip(dni).zip(dhi).zip(air.iter().zip(wind)).zip(sun);
        for (hour, ((((ghi, dni), dhi), (air, wind)), ((east, north), up))) in hours.enumerate() {
            if *ghi > 0.0 {
                let sun = Direction { east: *east, north: *north, up: *up };
                see(day * HOURS + hour, &sun, above, [*ghi, *dni, *dhi], *air, *wind);
            }
        }
    }
}
