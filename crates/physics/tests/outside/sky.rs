//! Clear skies, and the split of a global irradiance.

use physics::sky::{ClearSkyIn, DecomposeIn, air_mass, clear_sky, decompose, extraterrestrial};
use physics::sun::{SunPositionIn, sun_position};
use quantity::real::cos;

use crate::power_tables::power_table;

/// Computed elsewhere: pvlib 0.16.1, Spencer, Kasten and Young, Haurwitz, Ineichen and Perez, Erbs; zenith given. The table
/// has six decimals, so small values are held to those.
#[test]
fn ten_skies_with_the_zenith_given() {
    for row in power_table!("clearsky_erbs") {
        let id = row.text("id");
        let near = |got: f64, column: &str| {
            let want = row.number(column);
            // An angle of six decimals moves a low sun's light by a few 1e-6 of it.
            assert!((got - want).abs() <= 2e-6 + 5e-6 * want.abs(), "{id} {column}: got {got}, want {want}");
        };
        let above = extraterrestrial(row.number("doy"));
        near(above, "dni_extra_wm2");
        let relative = air_mass(row.number("apparent_zenith_deg").to_radians()).expect("above the horizon");
        near(relative, "airmass_rel");
        let altitude_m = row.number("alt_m");
        let out = clear_sky(&ClearSkyIn {
            apparent_zenith_deg: row.number("apparent_zenith_deg"),
            altitude_m,
            turbidity: row.number("linke"),
            dni_extra_w_m2: Some(above),
            pressure_pa: None,
        })
        .expect("answers");
        near(relative * physics::sun::pressure_at(altitude_m) / 101_325.0, "airmass_abs");
        near(out.haurwitz_w_m2, "haurwitz_ghi");
        near(out.ghi_w_m2, "ineichen_ghi");
        near(out.dni_w_m2, "ineichen_dni");
        near(out.dhi_w_m2, "ineichen_dhi");
        let split = decompose(&DecomposeIn {
            ghi_w_m2: row.number("ghi_in"),
            zenith_deg: row.number("zenith_deg"),
            dni_extra_w_m2: above,
        })
        .expect("answers");
        near(split.clearness, "erbs_kt");
        near(split.dni_w_m2, "erbs_dni");
        near(split.dhi_w_m2, "erbs_dhi");
    }
}

/// The same with our own sun: within 1e-5 of the irradiance.
#[test]
fn ten_skies_with_the_sun_worked_out() {
    for row in power_table!("clearsky_erbs") {
        let altitude_m = row.number("alt_m");
        let sun = sun_position(&SunPositionIn {
            time: row.text("utc").to_owned(),
            latitude_deg: row.number("lat_deg"),
            longitude_deg: row.number("lon_deg"),
            altitude_m,
            pressure_pa: physics::sun::pressure_at(altitude_m),
            temperature_c: 12.0,
            delta_t_s: 67.0,
        })
        .expect("answers");
        let out = clear_sky(&ClearSkyIn {
            apparent_zenith_deg: sun.apparent_zenith_deg,
            altitude_m,
            turbidity: row.number("linke"),
            dni_extra_w_m2: Some(row.number("dni_extra_wm2")),
            pressure_pa: None,
        })
        .expect("answers");
        assert_close!(out.ghi_w_m2, row.number("ineichen_ghi"), 1e-5, row.text("id"));
        assert_close!(out.haurwitz_w_m2, row.number("haurwitz_ghi"), 1e-5, row.text("id"));
    }
}

/// Computed elsewhere with pvlib: 1413.98 W/m2 on 1 January, 1321.62 on day 172.
#[test]
fn above_the_air() {
    assert_close!(extraterrestrial(1.0), 1413.98, 4e-6, "1 January");
    assert_close!(extraterrestrial(172.0), 1321.62, 4e-6, "day 172");
}

/// Physics: parts add up, night is dark, no share leaves 0 to 1.
#[test]
fn skies_hold_together() {
    for zenith in 0..=180 {
        let ask = ClearSkyIn {
            apparent_zenith_deg: f64::from(zenith),
            altitude_m: 800.0,
            turbidity: 3.0,
            dni_extra_w_m2: None,
            pressure_pa: None,
        };
        let sky = clear_sky(&ask).expect("answers");
        let up = cos(f64::from(zenith).to_radians()).max(0.0);
        assert!((sky.ghi_w_m2 - sky.dni_w_m2 * up - sky.dhi_w_m2).abs() < 1e-9, "{zenith}");
        assert!(zenith < 90 || (sky.ghi_w_m2, sky.haurwitz_w_m2) == (0.0, 0.0), "{zenith}");
        for ghi in [0.0, 1.0, 60.0, 500.0, 1200.0] {
            let split = decompose(&DecomposeIn { ghi_w_m2: ghi, zenith_deg: f64::from(zenith), dni_extra_w_m2: 1366.1 })
                .expect("answers");
            let up = cos(f64::from(zenith).to_radians());
            assert!((split.dhi_w_m2 + split.dni_w_m2 * up - ghi).abs() < 1e-9, "{zenith} {ghi}");
            assert!(split.dni_w_m2 >= 0.0 && split.dhi_w_m2 >= 0.0 && (0.0..=1.0).contains(&split.clearness));
        }
    }
}
