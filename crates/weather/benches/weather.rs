//! What weather costs: a year read, its hours, a climate, years drawn.
//!
//! Run: `cargo bench -p weather`. `RIGPROOF_WEATHER_FILES` names a folder of whole files; without it the year that the
//! tests carry is read, whose lines are shorter. Quote ratios from one run; the machine may be busy.
#![allow(clippy::expect_used, reason = "a bench")]

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/common/site_year.rs"]
mod site_year;

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use weather::climate::Air;
use weather::places::places;
use weather::{Climate, DayDraws, Draws, HourShape, Hours, Known, Place, read, route};

fn main() {
    divan::main();
}

/// A file of the folder, or the stand-in.
fn bytes(name: &str, stand_in: fn() -> String) -> Vec<u8> {
    let folder = std::env::var_os("RIGPROOF_WEATHER_FILES").map(std::path::PathBuf::from);
    folder.map_or_else(|| stand_in().into_bytes(), |folder| std::fs::read(folder.join(name)).expect("the file is there"))
}

fn reading(bencher: Bencher, bytes: &[u8]) {
    bencher.counter(BytesCount::of_slice(bytes)).bench(|| read(black_box(bytes)).expect("it reads"));
}

/// TMY3 as issued, 1.7 MB: at copy speed and 12 ns a number it would take 0.8 ms.
#[divan::bench]
fn read_tmy3(bencher: Bencher) {
    reading(bencher, &bytes("greensboro-nc_tmy3.csv", common::tmy3));
}

#[divan::bench]
fn read_epw(bencher: Bencher) {
    reading(bencher, &bytes("denver-co_tmy3.epw", common::epw));
}

#[divan::bench]
fn read_nsrdb(bencher: Bencher) {
    reading(bencher, &bytes("dinosaur-co_nsrdb-psm3-2017-30min.csv", common::nsrdb));
}

#[divan::bench]
fn read_pvgis_csv(bencher: Bencher) {
    reading(bencher, &bytes("piedmont-it_pvgis-tmy.csv", common::pvgis_csv));
}

#[divan::bench]
fn read_pvgis_json(bencher: Bencher) {
    reading(bencher, &bytes("piedmont-it_pvgis-tmy.json", common::pvgis_json));
}

#[divan::bench]
fn to_hourly(bencher: Bencher) {
    let year = read(common::tmy3().as_bytes()).expect("it reads");
    assert!(year.to_hourly().is_ok());
    bencher.bench(|| black_box(&year).to_hourly());
}

fn denver() -> Climate {
    let known = places().find(|place| place.name == "Denver CO").expect("in the table");
    let place = Place { latitude_deg: known.latitude_deg, longitude_deg: known.longitude_deg, altitude_m: known.altitude_m };
    route::climate(place, &Known::default()).expect("it can be")
}

#[divan::bench]
fn climate_of_a_place() -> Climate {
    denver()
}

fn air(climate: &Climate) -> Air {
    climate.air.clone().expect("of the table")
}

#[divan::bench]
fn shape_of_hours() -> HourShape {
    HourShape::new(black_box(39.83), -104.65, -7.0)
}

/// Ten years of hours into one buffer, with the error of the climate drawn too.
#[divan::bench]
fn ten_years(bencher: Bencher) {
    let climate = denver();
    let draws = Draws::new(&climate, &air(&climate));
    let shape = HourShape::new(climate.latitude_deg, climate.longitude_deg, -7.0);
    let wind = climate.wind_m_s.expect("of the table");
    let (mut days, mut hours) = (DayDraws::default(), Hours::zeroed(365));
    bencher.bench_local(|| {
        for block in 0..10 {
            draws.draw_with_error(black_box(block), &mut days);
            shape.fill(&days, &wind, &mut hours);
        }
        hours.ghi.first().copied()
    });
}

/// One site-year: sun, two panels and a battery, nodes of the sun included. A baseline in Python takes 2.9 ms for the same
/// work (daily nodes, one compiled loop); the limit of this machine's kind is 0.10 ms.
#[divan::bench]
fn one_site_year(bencher: Bencher) {
    let (site, hours, calendar) = site_year::greensboro();
    let mut power = vec![0.0; hours.ghi.len()];
    bencher.bench_local(|| {
        let nodes = site_year::nodes(&calendar);
        site_year::site_year(black_box(&site), &hours, &calendar, &nodes, &mut power)
    });
}

/// The same with nodes of the sun given: the second site of the same year.
#[divan::bench]
fn one_site_year_nodes_given(bencher: Bencher) {
    let (site, hours, calendar) = site_year::greensboro();
    let nodes = site_year::nodes(&calendar);
    let mut power = vec![0.0; hours.ghi.len()];
    bencher.bench_local(|| site_year::site_year(black_box(&site), &hours, &calendar, &nodes, &mut power));
}

/// A thousand site-years on so many threads.
#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn thousand_site_years(bencher: Bencher, threads: usize) {
    const ALL: usize = 1000;
    let (site, hours, calendar) = site_year::greensboro();
    let nodes = site_year::nodes(&calendar);
    bencher.bench(|| {
        std::thread::scope(|scope| {
            for _ in 0..threads {
                scope.spawn(|| {
                    let mut power = vec![0.0; hours.ghi.len()];
                    for _ in 0..ALL / threads {
                        black_box(site_year::site_year(black_box(&site), &hours, &calendar, &nodes, &mut power));
                    }
                });
            }
        });
    });
}
