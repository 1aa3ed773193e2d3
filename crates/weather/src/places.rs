//! The embedded table: monthly means of a few places whose typical years may be handed on.

use std::sync::{LazyLock, OnceLock};

use quantity::real;

use crate::facts;
use crate::text;

/// A place of the table.
#[derive(Clone, Debug, Default, PartialEq)]
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

/// The rows of a place; its months are read when somebody asks for them.
struct Rows {
    latitude_deg: f64,
    longitude_deg: f64,
    rows: Vec<&'static str>,
    place: OnceLock<KnownPlace>,
}

impl Rows {
    fn place(&self) -> &KnownPlace {
        self.place.get_or_init(|| read(&self.rows))
    }
}

static PLACES: LazyLock<Vec<Rows>> = LazyLock::new(|| by_place(TEXT));

/// All places, in the order of the file.
pub fn places() -> impl ExactSizeIterator<Item = &'static KnownPlace> {
    PLACES.iter().map(Rows::place)
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
    let here = (latitude_deg, longitude_deg);
    let away = PLACES.iter().map(|rows| (rows, distance_km(here, (rows.latitude_deg, rows.longitude_deg))));
    away.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(rows, km)| (rows.place(), km))
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

/// The rows of each place: they stand together.
fn by_place(text: &'static str) -> Vec<Rows> {
    let lines = text.lines().filter(|line| !line.starts_with('#') && !line.is_empty()).skip(1);
    let mut all: Vec<(&str, Rows)> = Vec::new();
    for row in lines {
        let mut cells = row.splitn(4, ',');
        let name = cells.next().unwrap_or_default();
        match all.last_mut() {
            Some((last, rows)) if *last == name => rows.rows.push(row),
            _ => {
                let mut degrees = || cells.next().map_or(0.0, number);
                let (latitude_deg, longitude_deg) = (degrees(), degrees());
                all.push((name, Rows { latitude_deg, longitude_deg, rows: vec![row], place: OnceLock::new() }));
            }
        }
    }
    all.into_iter().map(|(_, rows)| rows).collect()
}

fn number(cell: &str) -> f64 {
    text::number(cell.as_bytes()).unwrap_or(0.0)
}

/// A place of its rows, one a month.
fn read(rows: &[&str]) -> KnownPlace {
    let mut place = KnownPlace::default();
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let [name, latitude, longitude, altitude, source, month, values @ ..] = cells.as_slice() else { continue };
        (place.name, place.source) = ((*name).to_owned(), (*source).to_owned());
        (place.latitude_deg, place.longitude_deg) = (number(latitude), number(longitude));
        place.altitude_m = number(altitude);
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
    place
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::date::MONTHS;

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
