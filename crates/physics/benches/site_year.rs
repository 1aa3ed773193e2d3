//! What a year of hours costs: sun, two panels, and a battery.
//!
//! Run: `cargo bench -p physics --bench site_year`. The machine may be busy: run what is to be compared in the same minute, take
//! the fastest of each, and quote the ratio.
#![allow(clippy::expect_used, reason = "a bench")]

use std::f64::consts::{FRAC_PI_6, PI};

use divan::{Bencher, black_box};
use physics::pv_year::{Array, Plane, Weather, dc_per_watt, site_dc};
use physics::sky::haurwitz;
use physics::sun::{Nodes, Site, SunYear};

const HOURS: usize = 8760;
const FIRST: f64 = 1_546_300_800.0;

fn main() {
    divan::main();
}

fn site() -> Site {
    Site { latitude_rad: 0.63, longitude_rad: -1.395, altitude_m: 270.0 }
}

fn first() -> f64 {
    FIRST + 5.5 * 3600.0
}

/// A year without a file: clear and clouded days in turn.
struct Columns([Vec<f64>; 5]);

impl Columns {
    fn new() -> Self {
        let sun = SunYear::new(&site(), first(), 3600.0, HOURS).expect("answers");
        let mut columns = [const { Vec::new() }; 5];
        for (k, at) in sun.directions().enumerate() {
            let clear = ((k / 24 * 7) % 10) as f64 / 10.0;
            let ghi = haurwitz(at.up) * (0.2 + 0.8 * clear);
            let dni = if at.up > 0.05 { ghi * clear * 0.8 / at.up } else { 0.0 };
            let [global, beam, diffuse, air, wind] = &mut columns;
            global.push(ghi);
            beam.push(dni);
            diffuse.push(ghi - dni * at.up.max(0.0));
            air.push(12.0 + 10.0 * clear);
            wind.push(2.0 + clear);
        }
        Self(columns)
    }

    fn weather(&self) -> Weather<'_, f64> {
        let [ghi, dni, dhi, air, wind] = &self.0;
        Weather { ghi, dni, dhi, air, wind }
    }
}

fn arrays() -> [Array<'static>; 2] {
    let array = |tilt: f64| Array { plane: Plane::open(tilt, PI), rated_w: 200.0 };
    [array(0.0), array(FRAC_PI_6)]
}

fn nodes() -> Nodes {
    Nodes::covering(first(), first() + HOURS as f64 * 3600.0)
}

/// Nodes of the sun alone.
#[divan::bench]
fn sun_nodes(bencher: Bencher) {
    bencher.bench(|| black_box(nodes()));
}

/// Directions of the sun alone, nodes given.
#[divan::bench]
fn sun_hours(bencher: Bencher) {
    let nodes = nodes();
    let starts: Vec<f64> = (0..365).map(|k| first() + f64::from(k) * 86_400.0).collect();
    bencher.bench(|| black_box(SunYear::with_nodes(&nodes, &site(), &starts, 3600.0)));
}

/// One panel, sun given.
#[divan::bench(args = [0.0, 1.0])]
fn panel(bencher: Bencher, angular_loss: f64) {
    let columns = Columns::new();
    let sun = SunYear::new(&site(), first(), 3600.0, HOURS).expect("answers");
    let plane = Plane { angular_loss, ..Plane::open(FRAC_PI_6, PI) };
    let mut out = vec![0.0; HOURS];
    bencher.bench_local(|| dc_per_watt(&sun, &columns.weather(), black_box(&plane), &mut out).expect("answers"));
}

/// Sun and two panels in one pass.
#[divan::bench]
fn two_panels(bencher: Bencher) {
    let columns = Columns::new();
    let mut out = vec![0.0; HOURS];
    bencher.bench_local(|| {
        let nodes = nodes();
        site_dc(&nodes, &site(), first(), &columns.weather(), black_box(&arrays()), 0.86, &mut out).expect("answers");
    });
}

/// The same, nodes given.
#[divan::bench]
fn two_panels_shared_nodes(bencher: Bencher) {
    let columns = Columns::new();
    let mut out = vec![0.0; HOURS];
    let nodes = nodes();
    bencher.bench_local(|| {
        site_dc(&nodes, &site(), first(), &columns.weather(), black_box(&arrays()), 0.86, &mut out).expect("answers");
    });
}
