//! The solar position algorithm: where the sun stands seen from the centre of the earth, and from a place on it.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use quantity::real::{asin, atan2, cos, sin_cos, sin_cos_swift, tan};

use super::terms::{self, Term};
use super::{Air, Site};

/// 1e-8, the unit of the tables of terms.
const TABLE: f64 = 1e-8;
/// Arc seconds in a degree.
const ARC_SECONDS: f64 = 3600.0;
/// Of these 1e-4 arc seconds are a degree.
const NUTATION_UNITS: f64 = 36_000_000.0;
/// Seconds in a day.
pub(super) const DAY: f64 = 86_400.0;
/// Minutes of time in a degree of hour angle.
const MINUTES: f64 = 4.0;

/// The sun seen from the centre of the earth at an instant. Angles in rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geocentric {
    /// Heliocentric longitude of the earth, 0 to a full turn.
    pub earth_longitude: f64,
    /// Heliocentric latitude of the earth.
    pub earth_latitude: f64,
    /// Distance, astronomical units.
    pub distance: f64,
    /// Nutation in longitude.
    pub nutation_longitude: f64,
    /// Nutation in obliquity.
    pub nutation_obliquity: f64,
    /// True obliquity of the ecliptic.
    pub obliquity: f64,
    /// Apparent longitude of the sun.
    pub longitude: f64,
    /// Apparent sidereal time at Greenwich, 0 to a full turn.
    pub sidereal: f64,
    /// Right ascension, 0 to a full turn.
    pub right_ascension: f64,
    /// Declination.
    pub declination: f64,
    /// How far the sun is ahead of the clock.
    pub ahead: f64,
}

/// The sun seen from a place. Angles in rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Topocentric {
    /// Right ascension.
    pub right_ascension: f64,
    /// Declination.
    pub declination: f64,
    /// Hour angle, westward from the meridian, 0 to a full turn.
    pub hour_angle: f64,
    /// Elevation without refraction.
    pub elevation: f64,
    /// What refraction adds to it; none where the sun is wholly below the horizon.
    pub refraction: f64,
    /// Direction from north, clockwise, 0 to a full turn.
    pub azimuth: f64,
}

/// Angle brought to 0 up to a full turn.
fn turned(angle: f64) -> f64 {
    let rest = angle % TAU;
    if rest < 0.0 { rest + TAU } else { rest }
}

/// A polynomial, lowest power first.
pub(crate) fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The same in degrees, as rad: turns are taken off first, for they cost digits.
fn angle(coefficients: &[f64], x: f64) -> f64 {
    (polynomial(coefficients, x) % 360.0).to_radians()
}

/// Most terms of one series.
const TERMS: usize = 64;

/// Sum of a cos(b + c t). Angles, cosines and sum are loops of their own, and four sums run side by side, so that all are
/// vectorised and the order is still fixed.
fn series(terms: &[Term], t: f64) -> f64 {
    let mut parts = [0.0; TERMS];
    for (part, [_, phase, rate]) in parts.iter_mut().zip(terms) {
        *part = phase + rate * t;
    }
    let (parts, _) = parts.split_at_mut(terms.len().min(TERMS));
    for part in parts.iter_mut() {
        *part = sin_cos_swift(*part).1;
    }
    let mut sums = [0.0; 4];
    for (cosines, terms) in parts.chunks(sums.len()).zip(terms.chunks(sums.len())) {
        for (sum, (cosine, [amplitude, ..])) in sums.iter_mut().zip(cosines.iter().zip(terms)) {
            *sum += amplitude * cosine;
        }
    }
    let [a, b, c, d] = sums;
    (a + c) + (b + d)
}

/// Series whose sums are the coefficients of a polynomial in time.
fn powers(tables: &[&[Term]], t: f64) -> f64 {
    tables.iter().rev().fold(0.0, |sum, terms| sum * t + series(terms, t)) * TABLE
}

/// Nutation in longitude and obliquity, rad, at an instant in Julian centuries of terrestrial time.
fn nutation(century: f64) -> (f64, f64) {
    let arguments = terms::ARGUMENTS.map(|p| angle(&p, century));
    let (mut sines, mut cosines) = ([0.0; TERMS], [0.0; TERMS]);
    for (angle, term) in sines.iter_mut().zip(terms::NUTATION) {
        *angle = term.multiples.iter().zip(arguments).fold(0.0, |sum, (y, x)| sum + y * x);
    }
    for (sine, cosine) in sines.iter_mut().zip(&mut cosines) {
        (*sine, *cosine) = sin_cos_swift(*sine);
    }
    let (mut longitude, mut obliquity) = (0.0, 0.0);
    for ((term, sine), cosine) in terms::NUTATION.iter().zip(sines).zip(cosines) {
        let ([a, b], [c, d]) = (term.longitude, term.obliquity);
        longitude += (a + b * century) * sine;
        obliquity += (c + d * century) * cosine;
    }
    ((longitude / NUTATION_UNITS).to_radians(), (obliquity / NUTATION_UNITS).to_radians())
}

/// The Julian day of an instant of unix time.
pub(super) fn julian_day(unix_s: f64) -> f64 {
    unix_s / DAY + terms::UNIX
}

/// Mean sidereal time at Greenwich of a Julian day (UT), rad.
pub(super) fn mean_sidereal(julian_day: f64) -> f64 {
    let days = julian_day - terms::EPOCH;
    let century = days / terms::CENTURY;
    let [start, rate, square, cube] = terms::SIDEREAL;
    ((start + rate * days + century * century * (square + century * cube)) % 360.0).to_radians()
}

/// The sun seen from the centre of the earth, at an instant of unix time; `delta_t` is terrestrial less universal time, s.
#[must_use]
pub fn geocentric(unix_s: f64, delta_t: f64) -> Geocentric {
    let day = julian_day(unix_s);
    let century = (day + delta_t / DAY - terms::EPOCH) / terms::CENTURY;
    let millennium = century / 10.0;
    let earth_longitude = turned(powers(terms::LONGITUDE, millennium));
    let earth_latitude = powers(terms::LATITUDE, millennium);
    let distance = powers(terms::RADIUS, millennium);
    let (nutation_longitude, nutation_obliquity) = nutation(century);
    let mean_obliquity = polynomial(&terms::OBLIQUITY, millennium / 10.0) / ARC_SECONDS;
    let obliquity = mean_obliquity.to_radians() + nutation_obliquity;
    let aberration = (terms::ABERRATION / (ARC_SECONDS * distance)).to_radians();
    let longitude = turned(earth_longitude + PI + nutation_longitude + aberration);
    let (sin_obliquity, cos_obliquity) = sin_cos_swift(obliquity);
    let (sin_longitude, cos_longitude) = sin_cos_swift(longitude);
    let (sin_latitude, cos_latitude) = sin_cos_swift(-earth_latitude);
    let equinox = nutation_longitude * cos_obliquity;
    let right_ascension =
        turned(atan2(sin_longitude * cos_obliquity - sin_latitude / cos_latitude * sin_obliquity, cos_longitude));
    let mean_longitude = angle(&terms::MEAN_LONGITUDE, millennium) - terms::EQUATION_OF_TIME.to_radians();
    let ahead = turned(mean_longitude - right_ascension + equinox + PI) - PI;
    Geocentric {
        earth_longitude,
        earth_latitude,
        distance,
        nutation_longitude,
        nutation_obliquity,
        obliquity,
        longitude,
        sidereal: turned(mean_sidereal(day) + equinox),
        right_ascension,
        declination: asin(sin_latitude * cos_obliquity + cos_latitude * sin_obliquity * sin_longitude),
        ahead,
    }
}

impl Geocentric {
    /// How far the sun is ahead of the clock, minutes.
    #[must_use]
    pub fn equation_of_time_min(&self) -> f64 {
        self.ahead.to_degrees() * MINUTES
    }

    /// The sun seen from a place, through its air.
    #[must_use]
    pub fn seen_from(&self, site: &Site, air: &Air) -> Topocentric {
        let (sin_latitude, cos_latitude) = sin_cos(site.latitude_rad);
        let (x, y) = observer(site);
        let parallax = parallax(self.distance);
        let hour = turned(self.sidereal + site.longitude_rad - self.right_ascension);
        let (sin_hour, cos_hour) = sin_cos(hour);
        let (sin_declination, cos_declination) = sin_cos(self.declination);
        let toward = cos_declination - x * parallax * cos_hour;
        let shift = atan2(-x * parallax * sin_hour, toward);
        let declination = atan2((sin_declination - y * parallax) * cos(shift), toward);
        let hour_angle = hour - shift;
        let (sin_hour, cos_hour) = sin_cos(hour_angle);
        let (sin_declination, cos_declination) = sin_cos(declination);
        let up = sin_latitude * sin_declination + cos_latitude * cos_declination * cos_hour;
        let elevation = asin(up.clamp(-1.0, 1.0));
        let south = cos_hour * sin_latitude - sin_declination / cos_declination * cos_latitude;
        Topocentric {
            right_ascension: self.right_ascension + shift,
            declination,
            hour_angle: turned(hour_angle),
            elevation,
            refraction: refraction(elevation, air),
            azimuth: turned(atan2(sin_hour, south) + PI),
        }
    }
}

impl Topocentric {
    /// Angle from straight up to where the sun is, rad.
    #[must_use]
    pub fn zenith(&self) -> f64 {
        FRAC_PI_2 - self.elevation
    }

    /// Angle from straight up to where the sun is seen, rad.
    #[must_use]
    pub fn apparent_zenith(&self) -> f64 {
        FRAC_PI_2 - self.elevation - self.refraction
    }
}

/// Sine of the horizontal parallax of the sun at a distance in astronomical units.
pub(super) fn parallax(distance: f64) -> f64 {
    // The sine of 4e-5 rad is the angle itself to 1e-14.
    (terms::PARALLAX / (ARC_SECONDS * distance)).to_radians()
}

/// A place's distance from the earth's axis and from the plane of the equator, in equatorial radii.
pub(super) fn observer(site: &Site) -> (f64, f64) {
    let (sin_latitude, cos_latitude) = sin_cos(site.latitude_rad);
    let (sin_u, cos_u) = {
        // The reduced latitude; written without its tangent, which has none at the poles.
        let (s, c) = (terms::FLATTENING * sin_latitude, cos_latitude);
        let length = (s * s + c * c).sqrt();
        (s / length, c / length)
    };
    let height = site.altitude_m / terms::EARTH_RADIUS;
    (cos_u + height * cos_latitude, terms::FLATTENING * sin_u + height * sin_latitude)
}

/// What refraction adds to a true elevation (rad), rad.
#[must_use]
pub fn refraction(elevation: f64, air: &Air) -> f64 {
    let degrees = elevation.to_degrees();
    if degrees < terms::REFRACTION_FROM {
        return 0.0;
    }
    let [minutes, over, beyond] = terms::REFRACTION;
    let bent = minutes / (60.0 * tan((degrees + over / (degrees + beyond)).to_radians()));
    (bent * thickness(air)).to_radians()
}

/// How much more air bends light than that of the refraction formula.
pub(super) fn thickness(air: &Air) -> f64 {
    let [pressure, temperature, zero] = terms::REFRACTION_AIR;
    air.pressure_pa / pressure * (temperature / (zero + air.temperature_c))
}
