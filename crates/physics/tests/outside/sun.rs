//! Where the sun is.

use physics::sun::clock::unix_of;
use physics::sun::spa::geocentric;
use physics::sun::{Air, Direction, Site, SunPositionIn, SunYear, pressure_at, solar_less_standard_min, sun_position};
use quantity::real::{acos, sin};

use crate::power_tables::power_table;

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() <= within, "{what}: got {got}, want {want}, within {within}");
}

fn site(latitude: f64, longitude: f64, altitude_m: f64) -> Site {
    Site { latitude_rad: latitude.to_radians(), longitude_rad: longitude.to_radians(), altitude_m }
}

/// Published: the example of Reda and Andreas, NREL/TP-560-34302, appendix A.5, as four public repositories hold it in
/// their test data; every inner figure to its last printed digit.
#[test]
fn the_published_example() {
    let unix = unix_of("2003-10-17T12:30:30-07:00").expect("an instant");
    near(unix / 86_400.0 + 2_440_587.5, 2_452_930.312_847, 5e-7, "Julian day");
    let sun = geocentric(unix, 67.0);
    let degrees = [
        (sun.earth_longitude, 24.018_261_691_7, 5e-11, "L"),
        (sun.earth_latitude, -0.000_101_121_9, 5e-11, "B"),
        (sun.nutation_longitude, -0.003_998_404, 5e-10, "nutation in longitude"),
        (sun.nutation_obliquity, 0.001_666_568, 5e-10, "nutation in obliquity"),
        (sun.obliquity, 23.440_465, 5e-7, "obliquity"),
        (sun.longitude, 204.008_551_928_1, 5e-11, "apparent longitude"),
        (sun.sidereal, 318.511_910, 5e-7, "sidereal time"),
        (sun.right_ascension, 202.227_408, 5e-7, "right ascension"),
        (sun.declination, -9.314_34, 5e-6, "declination"),
    ];
    for (got, want, within, what) in degrees {
        near(got.to_degrees(), want, within, what);
    }
    near(sun.distance, 0.996_542_297_4, 5e-11, "R");
    let place = site(39.742_476, -105.178_6, 1830.14);
    let seen = sun.seen_from(&place, &Air { pressure_pa: 82_000.0, temperature_c: 11.0 });
    let degrees = [
        (seen.right_ascension, 202.227_04, 5e-6, "topocentric right ascension"),
        (seen.declination, -9.316_179, 5e-7, "topocentric declination"),
        // 11.10629 in one repository, 11.10627 in another.
        (seen.hour_angle, 11.106_28, 3e-5, "topocentric hour angle"),
        (seen.elevation, 39.872_046, 5e-7, "elevation"),
        (seen.refraction, 0.016_332, 5e-7, "refraction"),
        (seen.apparent_zenith(), 50.111_622, 5e-7, "zenith"),
        (seen.azimuth, 194.340_241, 5e-7, "azimuth"),
    ];
    for (got, want, within, what) in degrees {
        near(got.to_degrees(), want, within, what);
    }
    // A surface tilted 30 degrees, turned 10 degrees from south to east.
    let surface = Direction::square_to(30_f64.to_radians(), 170_f64.to_radians());
    let (z, a) = (seen.apparent_zenith(), seen.azimuth);
    let toward = Direction::toward(z, a);
    near(acos(surface.dot(&toward)).to_degrees(), 25.187, 5e-7, "incidence");
}

/// Computed elsewhere: 45 instants by pvlib 0.16.1, the same algorithm: polar, southern, date line, overhead, low sun.
#[test]
fn instants_all_over_the_earth() {
    let mut checked = 0;
    for row in power_table!("spa") {
        let out = sun_position(&SunPositionIn {
            time: row.text("utc").to_owned(),
            latitude_deg: row.number("lat_deg"),
            longitude_deg: row.number("lon_deg"),
            altitude_m: row.number("alt_m"),
            pressure_pa: row.number("pressure_pa"),
            temperature_c: row.number("temp_c"),
            delta_t_s: row.number("delta_t_s"),
        })
        .expect("answers");
        let at = format!("{} {}", row.text("place"), row.text("utc"));
        // Both are written with six digits.
        near(out.zenith_deg, row.number("zenith_deg"), 2e-6, &at);
        near(out.apparent_zenith_deg, row.number("apparent_zenith_deg"), 2e-6, &at);
        let across = sin(out.zenith_deg.to_radians());
        let apart = (out.azimuth_deg - row.number("azimuth_deg") + 180.0).rem_euclid(360.0) - 180.0;
        near(apart * across, 0.0, 2e-6, &at);
        near(out.equation_of_time_min, row.number("eot_min"), 2e-6, &at);
        checked += 1;
    }
    assert_eq!(checked, 45);
}

/// The quick form of a year against the algorithm itself: both are ours, so this shows how far the interpolation is out
/// and nothing about the algorithm. Years 1975 to 2049, poles, date line, height.
#[test]
fn a_year_of_hours_follows_the_algorithm() {
    let places = [
        (46.5, 9.8, 500.0),
        (-47.2, -71.8, 450.0),
        (78.22, 15.65, 10.0),
        (-89.99, 0.0, 2835.0),
        (0.0, 179.9, 0.0),
        (23.44, -100.0, 1500.0),
        (60.17, 24.94, 4000.0),
    ];
    let mut worst = 0.0_f64;
    for ((latitude, longitude, altitude), start) in
        places.into_iter().zip(["1975", "2000", "2019", "2024", "2025", "2049", "2019"])
    {
        let place = site(latitude, longitude, altitude);
        let first = unix_of(&format!("{start}-01-01T00:30:00Z")).expect("an instant") - longitude / 15.0 * 3600.0;
        let year = SunYear::new(&place, first, 3600.0, 8760).expect("answers");
        let air = Air { pressure_pa: pressure_at(altitude), temperature_c: 12.0 };
        for (k, got) in year.directions().enumerate().filter(|(k, _)| k % 7 == 0) {
            let seen = geocentric(first + k as f64 * 3600.0, 67.0).seen_from(&place, &air);
            let (z, a) = (seen.apparent_zenith(), seen.azimuth);
            let want = Direction::toward(z, a);
            let apart =
                [got.east - want.east, got.north - want.north, got.up - want.up].iter().map(|d| d * d).sum::<f64>().sqrt();
            // Refraction starts at one elevation; on either side of it both forms are right.
            if (seen.elevation.to_degrees() + 0.833_37).abs() > 1e-3 {
                worst = worst.max(apart.to_degrees());
            }
        }
        assert_eq!(year.len(), 8760);
    }
    assert!(worst < 1e-4, "off by {worst} degrees");
    assert!(worst > 1e-7, "{worst}: the comparison sees nothing");
}

/// Published: Duffie and Beckman, Solar Engineering of Thermal Processes, example 1.5.1: Madison, 3 February, 10:30
/// standard time is 10:19 solar time.
#[test]
fn the_sun_and_the_clock() {
    let minutes = solar_less_standard_min(-89.4_f64.to_radians(), -90_f64.to_radians(), -13.5);
    near(minutes, -11.1, 1e-9, "solar less standard time");
}

#[test]
fn what_is_no_instant_and_what_is_no_year_is_said() {
    let ask = |time: &str| {
        let at = SunPositionIn {
            time: time.to_owned(),
            latitude_deg: 0.0,
            longitude_deg: 0.0,
            altitude_m: 0.0,
            pressure_pa: 101_325.0,
            temperature_c: 12.0,
            delta_t_s: 67.0,
        };
        sun_position(&at).map_err(|why| why.to_string())
    };
    assert!(ask("6000-12-31T12:00:00Z").is_ok());
    assert!(ask("6001-01-02T12:00:00Z").is_err_and(|why| why.contains("-2000 to 6000")));
    assert!(ask("yesterday").is_err_and(|why| why.contains("`time` is \"yesterday\"")));
    let place = site(46.5, 9.8, 500.0);
    for (first, step) in [(0.0, 30.0), (0.0, 7200.0), (f64::NAN, 3600.0), (1e15, 3600.0)] {
        assert!(SunYear::new(&place, first, step, 24).is_err(), "{first} {step}");
    }
}
