//! The sun over the hours of a year at one place: a direction an hour, in straight arithmetic.

use std::f64::consts::TAU;

use quantity::real::{sin_cos, sin_cos_swift};

use super::days::Nodes;
use super::spa::{DAY, julian_day, mean_sidereal, observer, parallax, thickness};
use super::terms;
use super::{Air, Direction, Site, clock};
use crate::error::KernelError;
use crate::range::Range;
use crate::sky::extraterrestrial;
use crate::sun_facts as facts;

/// Instants that are worked out together: a day of hours.
pub const BLOCK: usize = 24;

/// Seconds between instants: within a block the sun's path is taken as a parabola, good for a day and no longer.
pub const STEP: Range = Range::of(60.0, 3600.0);

/// Directions of one block, as three columns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Toward east.
    pub east: [f64; BLOCK],
    /// Toward north.
    pub north: [f64; BLOCK],
    /// Upward.
    pub up: [f64; BLOCK],
}

impl Block {
    /// Some of the instants of the three columns.
    fn part(&mut self, hours: &std::ops::Range<usize>) -> Option<(&mut [f64], &mut [f64], &mut [f64])> {
        let east = self.east.get_mut(hours.clone())?;
        Some((east, self.north.get_mut(hours.clone())?, self.up.get_mut(hours.clone())?))
    }
}

/// What of a place the directions need, and how far the earth turns within a block.
#[derive(Clone, Debug)]
pub struct Path {
    latitude: (f64, f64),
    longitude: f64,
    observer: (f64, f64),
    thickness: f64,
    refracts_from: f64,
    step_s: f64,
    /// Of each instant its share of the block, and sine and cosine of the earth's turn from the block's start.
    turn: [(f64, f64, f64); BLOCK],
}

impl Path {
    /// For a place whose instants are `step_s` apart, in usual air of its altitude.
    #[must_use]
    pub fn new(site: &Site, step_s: f64) -> Self {
        let [_, rate, ..] = terms::SIDEREAL;
        let step = (rate * step_s / DAY).to_radians();
        Self {
            latitude: sin_cos(site.latitude_rad),
            longitude: site.longitude_rad,
            observer: observer(site),
            thickness: thickness(&Air::at(site.altitude_m)),
            refracts_from: quantity::real::sin(terms::REFRACTION_FROM.to_radians()),
            step_s,
            turn: std::array::from_fn(|k| {
                let (sine, cosine) = sin_cos((k as f64 * step) % TAU);
                (k as f64 / BLOCK as f64, sine, cosine)
            }),
        }
    }

    /// Directions, with refraction, at the instants of the block that starts at `start_s` of unix time.
    #[must_use]
    pub fn block(&self, nodes: &Nodes, start_s: f64) -> Block {
        let mut block = Block { east: [0.0; BLOCK], north: [0.0; BLOCK], up: [0.0; BLOCK] };
        self.fill(nodes, start_s, 0..BLOCK, &mut block);
        block
    }

    /// The same of those instants alone that `hours` counts; the others stay as they are.
    pub(crate) fn fill(&self, nodes: &Nodes, start_s: f64, hours: std::ops::Range<usize>, block: &mut Block) {
        let span = self.step_s * BLOCK as f64;
        let ends = [nodes.sun(start_s), nodes.sun(start_s + span / 2.0), nodes.sun(start_s + span)];
        let [_, middle, _] = ends;
        // Parabola through start, middle and end, in shares of the block.
        let path = |axis: usize| {
            let [a, m, e] = ends.map(|sun| sun.at.get(axis).copied().unwrap_or_default());
            (a, 4.0 * m - 3.0 * a - e, 2.0 * (a + e) - 4.0 * m)
        };
        let (px, py, pz) = (path(0), path(1), path(2));
        let near = parallax(middle.distance);
        let (across, along) = (self.observer.0 * near, self.observer.1 * near);
        let (ts, tc) = sin_cos_swift(mean_sidereal(julian_day(start_s)) + middle.equinox + self.longitude);
        let (ls, lc) = self.latitude;
        let Some((east, north, up)) = block.part(&hours) else { return };
        let turns = self.turn.get(hours).unwrap_or_default();
        for (((east, north), up), (f, ks, kc)) in east.iter_mut().zip(north.iter_mut()).zip(up.iter_mut()).zip(turns) {
            let at = |p: (f64, f64, f64)| p.0 + f * (p.1 + f * p.2);
            let (x, y, z) = (at(px), at(py), at(pz));
            // Turned with the earth: toward the meridian, and west of it.
            let (s, c) = (ts * kc + tc * ks, tc * kc - ts * ks);
            let (meridian, west, axis) = (x * c + y * s - across, x * s - y * c, z - along);
            *up = ls * axis + lc * meridian;
            *north = lc * axis - ls * meridian;
            *east = -west;
        }
        self.refract(east, north, up);
    }

    /// Brings the vectors to length 1 and lifts them by refraction.
    fn refract(&self, east: &mut [f64], north: &mut [f64], up: &mut [f64]) {
        let ([p0, p1, p2], [q0, q1, q2, q3]) = terms::REFRACTION_RATIO;
        for ((east, north), up) in east.iter_mut().zip(north).zip(up) {
            let flat_square = *east * *east + *north * *north;
            // One over the length, which is 1 within 1e-4: the next term of the root's series is 1e-12.
            let excess = flat_square + *up * *up - 1.0;
            let scale = 1.0 - excess / 2.0 * (1.0 - 0.75 * excess);
            let u = *up * scale;
            let flat = (flat_square.max(f64::MIN_POSITIVE)).sqrt() * scale;
            let bent = flat * self.thickness * (p0 + u * (p1 + u * p2)) / (q0 + u * (q1 + u * (q2 + u * q3)));
            let bent = if u >= self.refracts_from { bent } else { 0.0 };
            // Sine and cosine of an angle below 0.02 rad.
            let square = bent * bent;
            let (sine, cosine) = (bent * (1.0 - square / 6.0), 1.0 - square / 2.0);
            *up = u * cosine + flat * sine;
            let level = scale * (cosine - u * sine / flat);
            *east *= level;
            *north *= level;
        }
    }
}

/// The directions of the sun at equally spaced instants of a year at one place, and the sun's strength above the air.
///
/// Directions are those of the solar position algorithm within 1e-4 degrees, refraction included (usual air of the
/// altitude, 12 degrees Celsius); `tests/outside/sun.rs` holds that over years, places and hours.
#[derive(Clone, Debug, PartialEq)]
pub struct SunYear {
    east: Vec<f64>,
    north: Vec<f64>,
    up: Vec<f64>,
    extraterrestrial: Vec<f64>,
}

impl SunYear {
    /// The sun at `count` instants from `first_unix_s` on, `step_s` apart.
    ///
    /// # Errors
    /// `OutOfRange` for a step beyond [`STEP`], a year beyond those of the algorithm, a latitude that is none.
    pub fn new(site: &Site, first_unix_s: f64, step_s: f64, count: usize) -> Result<Self, KernelError> {
        let span = step_s * BLOCK as f64;
        let starts: Vec<f64> = (0..count.div_ceil(BLOCK)).map(|k| first_unix_s + k as f64 * span).collect();
        let mut year = Self::of_blocks(site, &starts, step_s)?;
        for column in [&mut year.east, &mut year.north, &mut year.up] {
            column.truncate(count);
        }
        Ok(year)
    }

    /// The sun at blocks of 24 instants `step_s` apart, each block from its own start (unix time, rising): for weather
    /// whose clock is shifted by a month's own amount.
    ///
    /// # Errors
    /// As [`SunYear::new`].
    pub fn of_blocks(site: &Site, starts: &[f64], step_s: f64) -> Result<Self, KernelError> {
        let (first, last) = span(site, starts, step_s)?;
        Ok(Self::with_nodes(&Nodes::covering(first, last), site, starts, step_s))
    }

    /// The same with nodes that cover the blocks, for many places or panels of one year.
    #[must_use]
    pub fn with_nodes(nodes: &Nodes, site: &Site, starts: &[f64], step_s: f64) -> Self {
        let count = starts.len() * BLOCK;
        let column = || Vec::with_capacity(count);
        let (mut east, mut north, mut up) = (column(), column(), column());
        let path = Path::new(site, step_s);
        for &start in starts {
            let block = path.block(nodes, start);
            east.extend_from_slice(&block.east);
            north.extend_from_slice(&block.north);
            up.extend_from_slice(&block.up);
        }
        let extraterrestrial = starts.iter().map(|&start| strength(site, start, step_s)).collect();
        Self { east, north, up, extraterrestrial }
    }

    /// Number of instants.
    #[must_use]
    pub fn len(&self) -> usize {
        self.up.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.up.is_empty()
    }

    /// Direction at an instant by its number from 0; `None` past the end.
    #[must_use]
    pub fn direction(&self, index: usize) -> Option<Direction> {
        Some(Direction { east: *self.east.get(index)?, north: *self.north.get(index)?, up: *self.up.get(index)? })
    }

    /// All directions in order.
    pub fn directions(&self) -> impl Iterator<Item = Direction> + '_ {
        let columns = self.east.iter().zip(&self.north).zip(&self.up);
        columns.map(|((&east, &north), &up)| Direction { east, north, up })
    }

    /// Blocks of up to 24 instants: east, north, up, and the irradiance on a surface square to the sun above the air, W/m2.
    pub fn blocks(&self) -> impl Iterator<Item = (&[f64], &[f64], &[f64], f64)> {
        let columns = self.east.chunks(BLOCK).zip(self.north.chunks(BLOCK)).zip(self.up.chunks(BLOCK));
        columns.zip(&self.extraterrestrial).map(|(((east, north), up), &above)| (east, north, up, above))
    }

    /// Irradiance above the air, W/m2, on a surface square to the sun, of the day of an instant; `None` past the end.
    #[must_use]
    pub fn extraterrestrial(&self, index: usize) -> Option<f64> {
        self.extraterrestrial.get(index / BLOCK).copied()
    }
}

/// Irradiance above the air of the day on which the middle of a block lies, by the sun's clock at the place.
pub(crate) fn strength(site: &Site, start_s: f64, step_s: f64) -> f64 {
    let middle = start_s + step_s * BLOCK as f64 / 2.0 + site.longitude_rad / TAU * DAY;
    extraterrestrial(f64::from(clock::day_of_year(middle).1))
}

/// First and last instant of blocks, if all is in range.
pub(crate) fn span(site: &Site, starts: &[f64], step_s: f64) -> Result<(f64, f64), KernelError> {
    if !STEP.holds(step_s) {
        return Err(KernelError::outside("step_s", step_s, STEP, "s", ""));
    }
    let quarter = Range::of(-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2);
    for (field, value, range) in [
        ("latitude_rad", site.latitude_rad, quarter),
        ("longitude_rad", site.longitude_rad, Range::of(-TAU, TAU)),
        ("altitude_m", site.altitude_m, Range::of(-500.0, 11_000.0)),
    ] {
        if !range.holds(value) {
            return Err(KernelError::outside(field, value, range, "", ""));
        }
    }
    let first = starts.iter().copied().fold(f64::INFINITY, f64::min);
    let last = starts.iter().copied().fold(f64::NEG_INFINITY, f64::max) + step_s * BLOCK as f64;
    for at in [first, last] {
        let year = if at.is_finite() { clock::day_of_year(at).0 as f64 } else { at };
        if !facts::YEARS.holds(year) {
            return Err(KernelError::outside("first_unix_s", year, facts::YEARS, "", "the year it is in"));
        }
    }
    Ok((first, last))
}
