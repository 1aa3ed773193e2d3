//! What a panel gives, hour by hour: light on its plane, what its glass lets through, how hot it gets, and its power.
//!
//! The sun is that of the middle of the hour. Irradiance in W/m2, angles in rad. Hours are worked in blocks of a day so
//! that loops are vectorised; nothing is kept that can be handed on.

mod horizon;

use std::f64::consts::TAU;
use std::ops::Range;

use crate::cell::{Mounting, faiman};
use crate::error::KernelError;
use crate::incidence::{self, Tabled};
use crate::plane::{Lie, Light, hay_davies};
use crate::range;
use crate::sun::year::{BLOCK, Block, Path, span, strength};
use crate::sun::{Direction, Nodes, Site, SunYear};
use crate::sun_facts as facts;

pub use horizon::{Behind, Horizon};

/// Columns of hourly weather, one entry an instant of the sun. Each as long as the others.
#[derive(Clone, Copy, Debug)]
pub struct Weather<'a, T> {
    /// Global irradiance on the horizontal.
    pub ghi: &'a [T],
    /// Beam, square to the sun.
    pub dni: &'a [T],
    /// Diffuse on the horizontal.
    pub dhi: &'a [T],
    /// Air, degrees Celsius.
    pub air: &'a [T],
    /// Wind, m/s, at the height of the file.
    pub wind: &'a [T],
}

impl<'a, T> Weather<'a, T> {
    /// Number of hours: of the shortest column.
    #[must_use]
    pub fn len(&self) -> usize {
        [self.ghi, self.dni, self.dhi, self.air, self.wind].iter().map(|column| column.len()).min().unwrap_or(0)
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn blocks(&self) -> impl Iterator<Item = Weather<'a, T>> + use<'a, T> {
        let light = self.ghi.chunks(BLOCK).zip(self.dni.chunks(BLOCK)).zip(self.dhi.chunks(BLOCK));
        let air = self.air.chunks(BLOCK).zip(self.wind.chunks(BLOCK));
        light.zip(air).map(|(((ghi, dni), dhi), (air, wind))| Weather { ghi, dni, dhi, air, wind })
    }
}

impl<T: Copy + Into<f64>> Weather<'_, T> {
    /// From the first hour with light to the last.
    fn lit(&self) -> Range<usize> {
        let light = self.ghi.iter().zip(self.dni).zip(self.dhi);
        let dark = |((ghi, dni), dhi): ((&T, &T), &T)| [*ghi, *dni, *dhi].iter().all(|v| (*v).into() == 0.0);
        let first = light.clone().take_while(|hour| dark(*hour)).count();
        let last = self.len() - light.rev().take_while(|hour| dark(*hour)).count();
        first..last.max(first)
    }
}

/// A panel as it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane<'a> {
    /// From the horizontal.
    pub tilt: f64,
    /// Where it faces, clockwise from north.
    pub azimuth: f64,
    /// How it loses heat.
    pub mounting: Mounting,
    /// Change of power with cell temperature, relative, 1/K.
    pub gamma: f64,
    /// Share of plain glass's angular loss that counts: 0 none of it, 1 plain glass, about half for anti-reflective.
    pub angular_loss: f64,
    /// Wind at the panel as a share of that of the weather.
    pub wind_factor: f64,
    /// Share of light that the ground throws back.
    pub albedo: f64,
    /// What stands around.
    pub horizon: Horizon<'a>,
}

impl Plane<'_> {
    /// An open rack under an open sky, glass left out, wind as in the weather.
    #[must_use]
    pub fn open(tilt: f64, azimuth: f64) -> Self {
        Self {
            tilt,
            azimuth,
            mounting: crate::cell::mounting("open").unwrap_or(Mounting { u0: 1.0, u1: 0.0 }),
            gamma: facts::panel().gamma,
            angular_loss: 0.0,
            wind_factor: 1.0,
            albedo: facts::sky().albedo,
            horizon: Horizon::Open,
        }
    }

    /// Refuses what is no plane.
    ///
    /// # Errors
    /// `OutOfRange` with the field's name.
    pub fn check(&self) -> Result<(), KernelError> {
        for (field, value, range) in [
            ("tilt", self.tilt, range::Range::of(0.0, std::f64::consts::PI)),
            ("azimuth", self.azimuth, range::Range::of(-7.0, 7.0)),
            ("u0", self.mounting.u0, range::Range::over(0.0, 200.0)),
            ("u1", self.mounting.u1, range::Range::of(0.0, 100.0)),
            ("gamma", self.gamma, range::Range::of(-0.02, 0.02)),
            ("angular_loss", self.angular_loss, range::Range::of(0.0, 1.0)),
            ("wind_factor", self.wind_factor, range::Range::of(0.0, 2.0)),
            ("albedo", self.albedo, range::Range::of(0.0, 1.0)),
        ] {
            if !range.holds(value) {
                return Err(KernelError::outside(field, value, range, "", ""));
            }
        }
        Ok(())
    }
}

/// The weather of the hours of a block from the first with light to the last.
struct Lit<'a, T> {
    hours: Range<usize>,
    weather: Weather<'a, T>,
}

impl<'a, T: Copy + Into<f64>> Lit<'a, T> {
    fn of(block: &Weather<'a, T>) -> Self {
        let hours = block.lit();
        let part = |column: &'a [T]| column.get(hours.clone()).unwrap_or_default();
        let weather = Weather {
            ghi: part(block.ghi),
            dni: part(block.dni),
            dhi: part(block.dhi),
            air: part(block.air),
            wind: part(block.wind),
        };
        Self { hours, weather }
    }
}

/// A panel with what of it does not change from hour to hour.
pub struct Ready<'a> {
    plane: Plane<'a>,
    square: Direction,
    lie: Lie,
    floor: f64,
    per_watt: (f64, f64),
    glass: Glass,
    behind: Option<Behind<'a>>,
    sky_left: f64,
}

/// Modifiers of glass: the beam's by angle, the means of sky and ground. All 1 where glass is left out.
struct Glass {
    table: Option<Tabled>,
    sky: f64,
    ground: f64,
}

/// What of an hour's light wants a table or a branch: found first, so that the rest is straight arithmetic.
#[derive(Clone, Copy)]
struct Way {
    /// Cosine of the angle of incidence.
    incidence: f64,
    /// Share of the beam of the weather that counts.
    before: f64,
    /// Shares of beam and ring on the panel that are seen.
    beam: f64,
    ring: f64,
    /// Share of the beam that the glass lets through.
    glass: f64,
}

/// The ways of the hours of a block, a column a share.
struct Ways {
    incidence: [f64; BLOCK],
    before: [f64; BLOCK],
    beam: [f64; BLOCK],
    ring: [f64; BLOCK],
    glass: [f64; BLOCK],
}

impl std::fmt::Debug for Ready<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Ready").field(&self.plane).finish()
    }
}

impl<'a> Ready<'a> {
    /// Works out what does not change.
    ///
    /// # Errors
    /// `OutOfRange` with the name of a field of the plane.
    pub fn new(plane: &Plane<'a>) -> Result<Self, KernelError> {
        plane.check()?;
        let square = Direction::square_to(plane.tilt, plane.azimuth);
        let overhead = Direction { east: 0.0, north: 0.0, up: 1.0 };
        let glass = if plane.angular_loss > 0.0 {
            let dome = incidence::dome(plane.tilt);
            let part = |modifier: f64| 1.0 - plane.angular_loss * (1.0 - modifier);
            Glass { table: Some(Tabled::new()), sky: part(dome.sky), ground: part(dome.ground) }
        } else {
            Glass { table: None, sky: 1.0, ground: 1.0 }
        };
        let behind = plane.horizon.profile().map(|profile| Behind::new(profile, plane.tilt, plane.azimuth));
        let f = facts::panel();
        Ok(Self {
            plane: *plane,
            square,
            lie: Lie::of(&square, &overhead),
            floor: facts::sky().hay_davies_cosine,
            per_watt: (1.0 / f.rated_irradiance, f.rated_temperature),
            glass,
            sky_left: behind.as_ref().map_or(1.0, |behind| behind.sky_left),
            behind,
        })
    }

    /// Light on the panel in an hour with the sun in a direction, part by part, after horizon and glass.
    #[inline]
    #[must_use]
    pub fn light(&self, sun: &Direction, above: f64, global: f64, beam: f64, diffuse: f64) -> Light {
        self.light_by(self.way(sun, beam), sun.up, above, [global, beam, diffuse])
    }

    /// What of an hour wants a table or a branch.
    #[inline(always)]
    fn way(&self, sun: &Direction, beam: f64) -> Way {
        let incidence = self.square.dot(sun);
        let modifier = |table: &Tabled| 1.0 - self.plane.angular_loss * (1.0 - table.at(incidence));
        let glass = self.glass.table.as_ref().map_or(1.0, modifier);
        let seen = self.behind.as_ref().map_or(1.0, |behind| behind.seen(beam, sun));
        match self.plane.horizon {
            Horizon::Open | Horizon::Behind(_) => Way { incidence, before: 1.0, beam: seen, ring: seen, glass },
            Horizon::Scaled(_) => Way { incidence, before: seen, beam: 1.0, ring: self.sky_left, glass },
        }
    }

    /// The light of an hour, [global, beam, diffuse] of the weather given.
    #[inline(always)]
    fn light_by(&self, way: Way, up: f64, above: f64, [global, beam, diffuse]: [f64; 3]) -> Light {
        let lie = Lie { incidence: way.incidence, up, ..self.lie };
        let open = hay_davies(&lie, self.floor, global, beam * way.before, diffuse, above, self.plane.albedo);
        let Glass { sky, ground, .. } = self.glass;
        let light = open.left(way.beam, way.ring, self.sky_left).left(way.glass, sky, sky);
        Light { horizon: light.horizon * sky, ground: light.ground * ground, ..light }
    }

    /// Power over rated power in each hour of a block, before losses: nothing without global light. Hours past the shortest
    /// column are left as they are.
    #[inline(always)]
    fn block(&self, [east, north, up]: [&[f64]; 3], above: f64, weather: &Weather<'_, f64>, out: &mut [f32]) {
        let mut ways =
            Ways { incidence: [0.0; BLOCK], before: [0.0; BLOCK], beam: [0.0; BLOCK], ring: [0.0; BLOCK], glass: [0.0; BLOCK] };
        let Ways { incidence, before, beam, ring, glass } = &mut ways;
        let columns = incidence.iter_mut().zip(before).zip(beam.iter_mut().zip(ring)).zip(glass);
        let hours = weather.ghi.iter().zip(weather.dni).zip(east.iter().zip(north).zip(up));
        let lit = columns.zip(hours).filter(|(_, ((ghi, _), _))| **ghi > 0.0);
        for ((((incidence, before), (beam, ring)), glass), ((_, dni), ((&east, &north), &up))) in lit {
            let way = self.way(&Direction { east, north, up }, *dni);
            (*incidence, *before, *beam, *ring, *glass) = (way.incidence, way.before, way.beam, way.ring, way.glass);
        }
        let Ways { incidence, before, beam, ring, glass } = &ways;
        let columns = incidence.iter().zip(before).zip(beam.iter().zip(ring)).zip(glass);
        let light = weather.ghi.iter().zip(weather.dni).zip(weather.dhi).zip(weather.air.iter().zip(weather.wind));
        for (((((&incidence, &before), (&beam, &ring)), &glass), (&up, (((&ghi, &dni), &dhi), (&air, &wind)))), out) in
            columns.zip(up.iter().zip(light)).zip(out)
        {
            let light = self.light_by(Way { incidence, before, beam, ring, glass }, up, above, [ghi, dni, dhi]);
            let power = self.power(light.total(), air, wind).max(0.0);
            *out = if ghi > 0.0 { power as f32 } else { 0.0 };
        }
    }

    /// Power over rated power in every hour of a year, before losses: nothing without global light. Hours past the shortest of
    /// sun, weather and `out` are left as they are.
    pub fn year(&self, sun: &SunYear, weather: &Weather<'_, f64>, out: &mut [f32]) {
        // Rounded alike in registers of any width: nothing is fused.
        pulp::Arch::new().dispatch(Through { ready: self, sun, weather, out });
    }

    /// Power over rated power of the panel in that light (W/m2), air (degrees Celsius) and wind of the weather (m/s).
    #[inline]
    #[must_use]
    pub fn power(&self, light: f64, air: f64, wind: f64) -> f64 {
        let cell = self.cell(light, air, wind);
        let (share, rated_temperature) = self.per_watt;
        light * share * (1.0 + self.plane.gamma * (cell - rated_temperature))
    }

    /// Power over rated power for each W/m2 of light, and how that changes with each: what [`Ready::power`] comes to in that air
    /// and wind, whatever the light.
    #[inline]
    #[must_use]
    pub fn by_light(&self, air: f64, wind: f64) -> (f64, f64) {
        let (share, rated_temperature) = self.per_watt;
        let warming = self.cell(1.0, 0.0, wind);
        (share * (1.0 + self.plane.gamma * (air - rated_temperature)), share * self.plane.gamma * warming)
    }

    /// Temperature of its cells, degrees Celsius.
    #[inline]
    #[must_use]
    pub fn cell(&self, light: f64, air: f64, wind: f64) -> f64 {
        faiman(light, air, self.plane.wind_factor * wind, self.plane.mounting)
    }

    /// Adds `scale` times power over rated power to `out`, hour by hour, in the hours of a block that have light.
    fn add<T: Copy + Into<f64>>(&self, scale: f64, sun: [&[f64]; 3], above: f64, lit: &Lit<'_, T>, out: &mut [f64]) {
        let [east, north, up] = sun.map(|column| column.get(lit.hours.start..).unwrap_or_default());
        let sun = east.iter().zip(north).zip(up);
        let light = lit.weather.ghi.iter().zip(lit.weather.dni).zip(lit.weather.dhi);
        let air = lit.weather.air.iter().zip(lit.weather.wind);
        let out = out.get_mut(lit.hours.start..).unwrap_or_default();
        for (((out, ((&east, &north), &up)), ((&ghi, &dni), &dhi)), (&air, &wind)) in out.iter_mut().zip(sun).zip(light).zip(air)
        {
            let light = self.light(&Direction { east, north, up }, above, ghi.into(), dni.into(), dhi.into());
            *out += scale * self.power(light.total(), air.into(), wind.into());
        }
    }
}

/// A year that is compiled once for each width of register.
struct Through<'a, 'p> {
    ready: &'a Ready<'p>,
    sun: &'a SunYear,
    weather: &'a Weather<'a, f64>,
    out: &'a mut [f32],
}

impl pulp::NullaryFnOnce for Through<'_, '_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let blocks = self.sun.blocks().zip(self.weather.blocks()).zip(self.out.chunks_mut(BLOCK));
        for (((east, north, up, above), weather), out) in blocks {
            self.ready.block([east, north, up], above, &weather, out);
        }
    }
}

/// Power over rated power of a panel in every hour, before losses, into `out`; hours past the shortest of sun, weather and
/// `out` are left as they are. Hours before a day's first light and after its last give nothing; between, a weather value that
/// is not a number makes its hour one.
///
/// # Errors
/// `OutOfRange` with the name of a field of the plane.
///
/// # Source
/// Hay and Davies 1980, Faiman 2008, the linear model of Dobos 2014; each in its own module.
///
/// # Checked against
/// `tests/outside/year.rs`: days hour by hour and a year by formula, by an open library.
pub fn dc_per_watt<T: Copy + Into<f64>>(
    sun: &SunYear,
    weather: &Weather<'_, T>,
    plane: &Plane<'_>,
    out: &mut [f64],
) -> Result<(), KernelError> {
    let ready = Ready::new(plane)?;
    for (((east, north, up, above), weather), out) in sun.blocks().zip(weather.blocks()).zip(out.chunks_mut(BLOCK)) {
        out.fill(0.0);
        ready.add(1.0, [east, north, up], above, &Lit::of(&weather), out);
    }
    Ok(())
}

/// Light on a panel in every hour, part by part, after horizon and glass.
///
/// # Errors
/// `OutOfRange` with the name of a field of the plane.
pub fn light_of<T: Copy + Into<f64>>(
    sun: &SunYear,
    weather: &Weather<'_, T>,
    plane: &Plane<'_>,
) -> Result<Vec<Light>, KernelError> {
    let ready = Ready::new(plane)?;
    let mut lights = Vec::with_capacity(sun.len());
    for ((east, north, up, above), weather) in sun.blocks().zip(weather.blocks()) {
        let sun = east.iter().zip(north).zip(up);
        let hours = weather.ghi.iter().zip(weather.dni).zip(weather.dhi);
        for (((&east, &north), &up), ((&ghi, &dni), &dhi)) in sun.zip(hours) {
            lights.push(ready.light(&Direction { east, north, up }, above, ghi.into(), dni.into(), dhi.into()));
        }
    }
    Ok(lights)
}

/// Panels of one kind that lie alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Array<'a> {
    /// How they lie.
    pub plane: Plane<'a>,
    /// Power on their labels together, W.
    pub rated_w: f64,
}

/// Power of all arrays at one place in every hour, W, into `out`, with the sun worked out on the way and not kept. `kept`
/// is what losses leave, as a share. `nodes` must cover the hours (`first_unix_s` on, an hour apart).
///
/// # Errors
/// `OutOfRange` with the name of a field of the site or a plane.
pub fn site_dc<T: Copy + Into<f64>>(
    nodes: &Nodes,
    site: &Site,
    first_unix_s: f64,
    weather: &Weather<'_, T>,
    arrays: &[Array<'_>],
    kept: f64,
    out: &mut [f64],
) -> Result<(), KernelError> {
    span(site, &[first_unix_s], HOUR)?;
    let ready: Vec<(Ready<'_>, f64)> =
        arrays.iter().map(|array| Ok((Ready::new(&array.plane)?, array.rated_w * kept))).collect::<Result<_, KernelError>>()?;
    let path = Path::new(site, HOUR);
    let mut block = Block { east: [0.0; BLOCK], north: [0.0; BLOCK], up: [0.0; BLOCK] };
    let starts = (0..).map(|k: u32| first_unix_s + f64::from(k) * HOUR * BLOCK as f64);
    for ((start, weather), out) in starts.zip(weather.blocks()).zip(out.chunks_mut(BLOCK)) {
        out.fill(0.0);
        let lit = Lit::of(&weather);
        path.fill(nodes, start, lit.hours.clone(), &mut block);
        let above = strength(site, start, HOUR);
        for (ready, scale) in &ready {
            ready.add(*scale, [&block.east, &block.north, &block.up], above, &lit, out);
        }
    }
    Ok(())
}

/// Seconds of an hour.
const HOUR: f64 = 3600.0;

/// Tilt and azimuth (rad) of a panel that is tilted by `tilt` and faces `bearing` clockwise from the nose, on a rig whose
/// nose points to `heading`.
#[must_use]
pub fn parked(tilt: f64, bearing: f64, heading: f64) -> (f64, f64) {
    (tilt, (bearing + heading).rem_euclid(TAU))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_light_is_the_same_power_whatever_the_light() {
        let plane = Plane { wind_factor: 0.6, ..Plane::open(0.0, 0.0) };
        let ready = Ready::new(&plane).unwrap();
        for (light, air, wind) in [(0.0, 20.0, 1.0), (180.0, -12.5, 0.0), (950.0, 31.0, 7.5)] {
            let (share, change) = ready.by_light(air, wind);
            let (is, wanted) = (light * (share + change * light), ready.power(light, air, wind));
            assert!((is - wanted).abs() < 1e-14, "{is} {wanted}");
        }
    }
}
