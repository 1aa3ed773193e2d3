//! Numbers of a header that say where a place is.

use crate::read::rows::Problems;
use crate::text;
use crate::year::Problem;

/// The ends of what a number of a header can be, and how problems speak of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub(crate) name: &'static str,
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) expected: &'static str,
}

/// North positive.
pub(crate) const LATITUDE: Place =
    Place { name: "latitude", least: -90.0, most: 90.0, expected: "degrees, -90 to 90, north positive" };
/// East positive.
pub(crate) const LONGITUDE: Place =
    Place { name: "longitude", least: -180.0, most: 180.0, expected: "degrees, -180 to 180, east positive" };
/// Clocks ahead of UTC; +14 is kept in the Line Islands.
pub(crate) const ZONE: Place = Place { name: "time zone", least: -12.0, most: 14.0, expected: "hours ahead of UTC, -12 to 14" };
/// Above the sea; the ends are those of EPW.
pub(crate) const ALTITUDE: Place =
    Place { name: "elevation", least: -1000.0, most: 9999.9, expected: "metres above the sea, -1000 to 9999.9" };

/// Degrees that the sun moves in an hour.
const DEGREES_OF_HOUR: f64 = 15.0;

/// The number, or a problem.
pub(crate) fn number(cell: Option<&[u8]>, line: u32, place: Place, problems: &mut Problems) -> f64 {
    let cell = cell.unwrap_or_default();
    match text::number(text::trim(cell)) {
        Some(value) if value >= place.least && value <= place.most => value,
        _ => {
            let found = if cell.is_empty() { "nothing".to_owned() } else { format!("\"{}\"", text::show(cell)) };
            problems.push(Problem::of_cell(line, place.name, found, place.expected));
            0.0
        }
    }
}

/// What stands where a file has no name for its place.
const NAMELESS: [&str; 2] = ["unknown", "-"];

/// The name of a place; empty where the file has none.
pub(crate) fn name(cell: Option<&[u8]>) -> String {
    let name = String::from_utf8_lossy(cell.unwrap_or_default());
    let is_none = |name: &str| NAMELESS.iter().any(|word| name.trim().eq_ignore_ascii_case(word));
    if is_none(&name) { String::new() } else { name.into_owned() }
}

/// Standard time of a place that tells none: the nearest whole hour by longitude.
pub(crate) fn nearest_zone_h(longitude_deg: f64) -> f64 {
    (longitude_deg / DEGREES_OF_HOUR).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_without_a_name_has_none() {
        let of = |cell: &str| name(Some(cell.as_bytes()));
        assert_eq!([of("Unknown"), of(" - "), of(""), name(None)], [const { String::new() }; 4]);
        assert_eq!(of("Unknown Peak"), "Unknown Peak");
    }
}
