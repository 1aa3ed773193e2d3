//! The embedded table: monthly means of a few places whose typical years may be handed on.

use std::sync::LazyLock;

use quantity::real;

use crate::date::MONTHS;
use crate::facts;
use crate::text;

/// A place of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownPlace {
    /// Name.
    pub name: String,
    /// `TMY3` or `PVGIS`.
    pub source: String,
    /// North positive.
    pub latitude_deg: f64,
    /// East positive.
    pub longitude_deg: f64,
    /// Above the sea.
    pub altitude_m: f64,
    /// Mean daily energy on the horizontal, kWh/m².
    pub ghi: [f64; 12],
    /// Of that, diffuse.
    pub dhi: [f64; 12],
    /// Energy over that outside the air; 0 in polar night.
    pub kt: [f64; 12],
    /// Mean of the daily mean, °C.
    pub mean_c: [f64; 12],
    /// Mean of the daily lowest, °C.
    pub low_c: [f64; 12],
    /// Mean of the daily highest, °C.
    pub high_c: [f64; 12],
    /// Mean wind 10 m above ground, m/s.
    pub wind_m_s: [f64; 12],
    /// Hours a day of bright sun.
    pub sunshine_h: [f64; 12],
}

const TEXT: &str = include_str!("../data/places.csv");

static PLACES: LazyLock<Vec<KnownPlace>> = LazyLock::new(|| load(TEXT));

/// All places, in the order of the file.
#[must_use]
pub fn places() -> &'static [KnownPlace] {
    &PLACES
}

/// Where the table comes from, in sentences for a report.
#[must_use]
pub fn attribution(source: &str) -> &'static str {
    match source {
        "PVGIS" => "monthly means of a PVGIS typical year, (c) European Union, 2001-2025",
        _ => "monthly means of a US typical meteorological year (TMY3, National Renewable Energy Laboratory, 2008)",
    }
}

/// The nearest place and how far it is, km.
#[must_use]
pub fn nearest(latitude_deg: f64, longitude_deg: f64) -> Option<(&'static KnownPlace, f64)> {
    let mut best: Option<(&KnownPlace, f64)> = None;
    for place in places() {
        let km = distance_km((latitude_deg, longitude_deg), (place.latitude_deg, place.longitude_deg));
        if best.is_none_or(|(_, least)| km < least) {
            best = Some((place, km));
        }
    }
    best
}

/// The nearest place, if its clearness may stand for this one: within 120 km.
#[must_use]
pub fn near(latitude_deg: f64, longitude_deg: f64) -> Option<(&'static KnownPlace, f64)> {
    nearest(latitude_deg, longitude_deg).filter(|(_, km)| *km <= facts::climate().near_km)
}

/// Mean radius of the earth.
const EARTH_KM: f64 = 6371.0;

/// Distance along a great circle (haversine); latitude and longitude in degrees.
#[must_use]
pub fn distance_km(from: (f64, f64), to: (f64, f64)) -> f64 {
    let half_sine = |angle_deg: f64| real::sin(angle_deg.to_radians() / 2.0);
    let (north, east) = (half_sine(to.0 - from.0), half_sine(to.1 - from.1));
    let level = real::cos(from.0.to_radians()) * real::cos(to.0.to_radians());
    2.0 * EARTH_KM * real::asin((north * north + level * east * east).sqrt().min(1.0))
}

fn load(text: &str) -> Vec<KnownPlace> {
    let rows = text.lines().filter(|line| !line.starts_with('#') && !line.is_empty()).skip(1);
    let mut places: Vec<KnownPlace> = Vec::new();
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let [name, latitude, longitude, altitude, source, month, values @ ..] = cells.as_slice() else { continue };
        let number = |cell: &str| text::number(cell.as_bytes()).unwrap_or(0.0);
        if places.last().is_none_or(|last| last.name != *name) {
            places.push(KnownPlace {
                name: (*name).to_owned(),
                source: (*source).to_owned(),
                latitude_deg: number(latitude),
                longitude_deg: number(longitude),
                altitude_m: number(altitude),
                ghi: [0.0; MONTHS],
                dhi: [0.0; MONTHS],
                kt: [0.0; MONTHS],
                mean_c: [0.0; MONTHS],
                low_c: [0.0; MONTHS],
                high_c: [0.0; MONTHS],
                wind_m_s: [0.0; MONTHS],
                sunshine_h: [0.0; MONTHS],
            });
        }
        let Some(place) = places.last_mut() else { continue };
        let at = (number(month) as usize).wrapping_sub(1);
        let columns = [
            &mut place.ghi,
            &mut place.dhi,
            &mut place.kt,
            &mut place.mean_c,
            &mut place.low_c,
            &mut place.high_c,
            &mut place.wind_m_s,
            &mut place.sunshine_h,
        ];
        for (column, cell) in columns.into_iter().zip(values) {
            if let Some(value) = column.get_mut(at) {
                *value = number(cell);
            }
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole() {
        assert_eq!(places().len(), 24);
        assert_eq!(TEXT.lines().filter(|line| !line.starts_with('#')).count(), 1 + 24 * MONTHS);
        for place in places() {
            assert!(["TMY3", "PVGIS"].contains(&place.source.as_str()), "{}", place.name);
            for month in 0..MONTHS {
                assert!(place.high_c[month] > place.mean_c[month] && place.mean_c[month] > place.low_c[month], "{}", place.name);
                assert!(place.wind_m_s[month] > 0.5 && place.dhi[month] <= place.ghi[month], "{}", place.name);
                assert!(place.kt[month] > 0.2 || place.latitude_deg > 66.0, "{}", place.name);
            }
        }
    }

    #[test]
    fn a_near_place_is_offered_and_a_far_one_is_not() {
        // Boulder lies about 50 km from the airport of Denver.
        let (place, km) = near(40.0150, -105.2705).expect("near");
        assert_eq!(place.name, "Denver CO");
        assert!((45.0..65.0).contains(&km), "{km}");
        // Reykjavik.
        assert_eq!(near(64.1, -21.9), None);
        assert!(nearest(64.1, -21.9).is_some_and(|(_, km)| km > 1000.0));
    }

    /// Known, from memory: a degree along a meridian is 111.2 km; a quarter of the way round is 10008 km.
    #[test]
    fn distances_are_those_of_the_globe() {
        assert!((distance_km((10.0, 20.0), (11.0, 20.0)) - 111.19).abs() < 0.01);
        assert!((distance_km((0.0, 0.0), (90.0, 77.0)) - 10_007.5).abs() < 0.1);
        assert!((distance_km((0.0, 179.5), (0.0, -179.5)) - 111.19).abs() < 0.01);
    }
}
