//! A battery through whole years: one that is built here by formula, one published.
//!
//! The year by formula: the recipe of `tests/data/power/README.md` with the almanac's short formula for the sun (Michalsky 1988,
//! within 0.01 degrees) and nothing of this crate. So the battery is tried against another program's years, and neither
//! the sun nor the panels of this crate can hide a fault of it.

use std::f64::consts::TAU;

use physics::battery::lanes::{Hours, run_lanes};
use physics::battery::run::{Store, run_at_rate};
use quantity::real::{asin, atan2, cos, exp, pow, sin, tan};

use crate::power_tables::{Row, power_table};

/// Load of each hour of the day, W, as `year_soc.csv` has it.
const LOAD: [f64; 24] = [
    45.0, 45.0, 45.0, 45.0, 45.0, 45.0, 80.0, 110.0, 60.0, 60.0, 60.0, 60.0, 90.0, 60.0, 60.0, 60.0, 60.0, 90.0, 140.0, 150.0,
    140.0, 110.0, 70.0, 45.0,
];

/// The place of `formula_46N`.
const LATITUDE: f64 = 46.5;
const LONGITUDE: f64 = 9.8;
const ALTITUDE: f64 = 500.0;

/// Elevation, true and as the air bends it, and azimuth from north, degrees, of the hour's middle.
fn sun(hour: usize) -> (f64, f64, f64) {
    // Days from noon of 1 January 2000, UTC: 2019 begins at 6939.5; the hours are of the zone one hour east.
    let universal = hour as f64 + 0.5 - 1.0;
    let n = 6939.5 + universal / 24.0;
    let anomaly = (357.528 + 0.985_600_3 * n).to_radians();
    let longitude = (280.460 + 0.985_647_4 * n + 1.915 * sin(anomaly) + 0.020 * sin(2.0 * anomaly)).to_radians();
    let obliquity = (23.439 - 4e-7 * n).to_radians();
    let ascension = atan2(cos(obliquity) * sin(longitude), cos(longitude));
    let declination = asin(sin(obliquity) * sin(longitude));
    let sidereal = (6.697_375 + 0.065_709_824_2 * n + universal.rem_euclid(24.0)) * 15.0 + LONGITUDE;
    let (angle, latitude) = (sidereal.to_radians() - ascension, LATITUDE.to_radians());
    let up = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(angle);
    let elevation = asin(up).to_degrees();
    let pressure = pow((44_331.514 - ALTITUDE) / 11_880.516, 1.0 / 0.190_263_2);
    let bent = if elevation > -0.8333 {
        pressure / 1010.0 * 283.0 / 285.0 * 1.02 / (60.0 * tan((elevation + 10.3 / (elevation + 5.11)).to_radians()))
    } else {
        0.0
    };
    let east = -cos(declination) * sin(angle);
    let north = cos(latitude) * sin(declination) - sin(latitude) * cos(declination) * cos(angle);
    (elevation, elevation + bent, atan2(east, north).to_degrees())
}

/// How cloudy each day is: a share of the clear sky.
fn clouds() -> Vec<f64> {
    let mut state: u32 = 20_261_125;
    let mut draw = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state) / 4_294_967_296.0
    };
    let drawn: Vec<f64> = (0..366).map(|_| draw()).collect();
    drawn.windows(2).map(|pair| 0.15 + 0.85 * (0.6 * pair[1] + 0.4 * pair[0])).collect()
}

/// A panel: degrees from the horizontal, facing south, and the two numbers of its mounting.
struct Panel {
    tilt: f64,
    u0: f64,
    u1: f64,
}

/// Air, deg C, and energy of 1 kW of panel, Wh, of each hour.
fn year(panel: &Panel) -> Vec<(f64, f64)> {
    let clouds = clouds();
    (0..8760).map(|at| hour(panel, at, clouds[at / 24])).collect()
}

fn hour(panel: &Panel, at: usize, cloud: f64) -> (f64, f64) {
    let (day, clock) = ((at / 24) as f64, (at % 24) as f64);
    let air = 9.0 - 10.5 * cos(TAU * (day - 15.0) / 365.0) - 4.5 * cos(TAU * (clock - 3.0) / 24.0);
    let wind = 2.5 + 1.5 * sin(TAU * (clock - 9.0) / 24.0);
    let (elevation, apparent, azimuth) = sun(at);
    let (up, true_up) = (sin(apparent.to_radians()), sin(elevation.to_radians()));
    if up <= 0.0 {
        return (air, 0.0);
    }
    let global = cloud * 1098.0 * up * exp(-0.059 / up);
    let b = TAU * day / 365.0;
    let above = 1366.1 * (1.00011 + 0.034_221 * cos(b) + 0.001_28 * sin(b) + 0.000_719 * cos(2.0 * b) + 0.000_077 * sin(2.0 * b));
    let k = (global / (above * true_up.max(0.065))).min(1.0);
    let share = if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.8 {
        0.9511 - 0.1604 * k + 4.388 * k * k - 16.638 * k * k * k + 12.336 * k * k * k * k
    } else {
        0.165
    };
    let (mut beam, mut diffuse) = ((1.0 - share) * global / true_up, share * global);
    if elevation < 3.0 || beam < 0.0 {
        (beam, diffuse) = (0.0, global);
    }
    let tilt = panel.tilt.to_radians();
    let facing = up * cos(tilt) + cos(apparent.to_radians()) * sin(tilt) * cos((azimuth - 180.0).to_radians());
    let facing = facing.max(0.0);
    let around = beam / above;
    let sky = diffuse * (around * facing / up.max(0.01745) + (1.0 - around) * (1.0 + cos(tilt)) / 2.0);
    let light = beam * facing + sky.max(0.0) + global * 0.2 * (1.0 - cos(tilt)) / 2.0;
    let cell = air + light / (panel.u0 + panel.u1 * wind);
    (air, light * (1.0 - 0.0035 * (cell - 25.0)) * 0.86)
}

/// The panels of the table by their label; the row with trees wants a horizon, which is not built here.
fn panel(label: &str) -> Option<Panel> {
    match label {
        "flat" => Some(Panel { tilt: 0.0, u0: 25.0, u1: 6.84 }),
        "flat.roof" => Some(Panel { tilt: 0.0, u0: 15.0, u1: 0.0 }),
        "tilt30_equator" => Some(Panel { tilt: 30.0, u0: 25.0, u1: 6.84 }),
        _ => None,
    }
}

fn store(row: &Row) -> Store {
    let capacity = row.number("capacity_wh");
    let plain = Store::new(capacity, row.number("floor"), 0.97, 0.97, 1200.0, 4e-5);
    let charge_limit_w = if row.text("extra") == "slowcharge" { 0.2 * capacity } else { f64::INFINITY };
    Store { charge_limit_w, ..plain }
}

/// The published year of the table: energy of 1 kW of panel flat on a hot roof, Wh, of each hour. Its air is not there.
fn greensboro() -> Vec<(f64, f64)> {
    let text = include_str!("../data/power/greensboro_dc.txt");
    let days = text.lines().filter(|line| !line.starts_with('#'));
    days.flat_map(|day| day.split(' ').map(|wh| (f64::NAN, wh.parse().expect("a number")))).collect()
}

/// Sun, load (Wh) and highest rate of charge of each hour of a row.
fn hours_of(row: &Row, year: &[(f64, f64)]) -> Vec<(f64, f64, f32)> {
    let (panel_w, times) = (row.number("panel_w"), row.number("load_mult"));
    let cold = row.text("extra") == "cold";
    let rate = |air: f64| if cold && air < 0.0 { 0.0 } else { f32::INFINITY };
    year.iter().enumerate().map(|(at, (air, wh))| (wh * panel_w / 1000.0, LOAD[at % 24] * times, rate(*air))).collect()
}

/// The table's own tolerances: short 0.5 % or 0.05 kWh, left over 0.3 %, hours within 2. Both years are built apart from
/// each other, with another sun: a day that just reaches and one that just does not may change places, too.
fn holds(row: &Row, year: &[(f64, f64)]) {
    let what = format!("{} of {} W, {} Wh, {}", row.text("pv"), row.text("panel_w"), row.text("capacity_wh"), row.text("extra"));
    let (store, hours) = (store(row), hours_of(row, year));
    let net = || hours.iter().map(|(sun, load, rate)| (sun - load, f64::from(*rate)));
    let first = run_at_rate(&store, net(), 1.0);
    let second = run_at_rate(&store, net(), first.end);
    for (got, column) in [(first.short_wh, "unserved_kwh"), (second.short_wh, "second_unserved_kwh")] {
        let (got, want) = (got / 1000.0, row.number(column));
        assert!((got - want).abs() <= (0.005 * want).max(0.05), "{what}: {column} is {got}, want {want}");
    }
    for (got, column) in [(first.hours_short, "hours_short"), (second.hours_short, "second_hours_short")] {
        assert!((f64::from(got) - row.number(column)).abs() <= 2.0, "{what}: {column} is {got}, want {}", row.text(column));
    }
    let (left_over, want) = (first.left_over_wh / 1000.0, row.number("spilled_kwh"));
    assert!((left_over - want).abs() <= (0.003 * want).max(0.05), "{what}: left over {left_over}, want {want}");
    for (got, column) in [(first.lowest, "min_soc"), (first.end, "end_soc")] {
        assert!((got - row.number(column)).abs() <= 1e-4, "{what}: {column} is {got}, want {}", row.text(column));
    }
    let sun: Vec<f64> = hours.iter().map(|hour| hour.0).collect();
    let load: Vec<f64> = hours.iter().map(|hour| hour.1).collect();
    let rate: Vec<f32> = hours.iter().map(|hour| hour.2).collect();
    let series = Hours { sun_wh: &sun, load_wh: &load, charge_rate_per_h: Some(&rate) };
    let mut charge = [store.capacity_wh];
    for column in ["days_short", "second_days_short"] {
        let mut days = 0.0;
        charge = run_lanes(&[store], &charge, &[1.0], &[1.0], &series, |_, day| {
            days += if day.short_wh[0] > 0.0 { 1.0 } else { 0.0 };
        });
        assert!((days - row.number(column)).abs() <= 2.0, "{what}: {column} is {days}, want {}", row.text(column));
    }
    assert!((charge[0] - second.end * store.capacity_wh).abs() < 1e-9, "{what}: lanes end where the run does");
}

/// Computed elsewhere, with pvlib 0.16.1 and a battery loop in Python.
#[test]
fn years_of_a_battery() {
    let mut held = 0;
    for row in power_table!("year_soc").iter().filter(|row| row.text("site") == "formula_46N") {
        let Some(panel) = panel(row.text("pv")) else { continue };
        holds(row, &year(&panel));
        held += 1;
    }
    assert_eq!(held, 10);
}

/// Computed elsewhere: the same over a typical year of NREL. Rows that need the air are left to the year by formula.
#[test]
fn years_of_a_battery_in_greensboro() {
    let year = greensboro();
    assert_eq!(year.len(), 8760);
    let mut held = 0;
    for row in power_table!("year_soc").iter().filter(|row| row.text("site") == "greensboro_tmy3") {
        if row.text("pv") == "flat.roof" && row.text("extra") != "cold" {
            holds(row, &year);
            held += 1;
        }
    }
    assert_eq!(held, 6);
}

/// Computed elsewhere: the smallest battery that goes short for no more than so many hours, found by bisection to 1 Wh.
/// 0.5 % or 10 Wh are the table's own.
#[test]
fn the_smallest_battery() {
    let by_formula = year(&panel("flat.roof").expect("is there"));
    let greensboro = greensboro();
    for row in power_table!("year_frontier") {
        let year = if row.text("site") == "formula_46N" { &by_formula } else { &greensboro };
        let (panel_w, allowed) = (row.number("panel_w"), row.number("hours_allowed"));
        let short = |capacity: f64| {
            let store = Store::new(capacity, 0.1, 0.97, 0.97, 1200.0, 4e-5);
            let net = year.iter().enumerate().map(|(at, (_, wh))| (wh * panel_w / 1000.0 - LOAD[at % 24], f64::INFINITY));
            f64::from(run_at_rate(&store, net, 1.0).hours_short)
        };
        let what = format!("{}, {panel_w} W, {allowed} h", row.text("site"));
        let want = row.number("capacity_wh");
        if want.is_nan() {
            assert!(short(200e3) > allowed, "{what}: none below 200 kWh");
            continue;
        }
        let (mut low, mut high) = (100.0, 200e3);
        while high - low > 1.0 {
            let middle = (low + high) / 2.0;
            if short(middle) <= allowed { high = middle } else { low = middle }
        }
        assert!((high - want).abs() <= (0.005 * want).max(10.0), "{what}: {high} Wh, want {want}");
    }
}
