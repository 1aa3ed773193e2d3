//! What a year of a battery costs, alone and in lanes.
//!
//! Run: `cargo bench -p physics --bench battery`. An item is an hour of one battery. Quote ratios from one run; the
//! machine may be busy.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench")]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use physics::battery::chemistry::lead_taper;
use physics::battery::lanes::{Hours, run_lanes};
use physics::battery::run::{Store, run};

fn main() {
    divan::main();
}

const HOURS: usize = 8760;

/// Sun of bright and dull days, and a steady load with some spread, Wh.
fn year() -> (Vec<f32>, Vec<f32>) {
    let mut state = 1_u32;
    let mut draw = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (f64::from(state) / 4_294_967_296.0) as f32
    };
    let height = |hour: usize| (1.0 - ((hour % 24) as f32 - 12.0).powi(2) / 36.0).max(0.0);
    let sun = (0..HOURS).map(|hour| 500.0 * height(hour) * draw()).collect();
    let load = (0..HOURS).map(|_| 40.0 + 60.0 * draw()).collect();
    (sun, load)
}

fn stores<const N: usize>() -> [Store; N] {
    std::array::from_fn(|lane| Store::new(1000.0 + 900.0 * lane as f64, 0.1, 0.97, 0.97, 1200.0, 4e-5))
}

fn lanes<const N: usize>(bencher: Bencher, stores: [Store; N], rate: Option<Vec<f32>>) {
    let (sun, load) = year();
    let start = stores.map(|store| store.capacity_wh);
    let hours = Hours { sun_wh: &sun, load_wh: &load, charge_rate_per_h: rate.as_deref() };
    bencher.counter(ItemsCount::new(HOURS * N)).bench_local(|| {
        let mut short_days = [0_u32; N];
        let end = run_lanes(black_box(&stores), &start, &[1.0; N], &[1.0; N], black_box(&hours), |_, day| {
            for (days, short) in short_days.iter_mut().zip(day.short_wh) {
                *days += u32::from(short > 0.0);
            }
        });
        (end, short_days)
    });
}

/// One battery, the hours one after the other.
#[divan::bench]
fn alone(bencher: Bencher) {
    let (sun, load) = year();
    let net: Vec<f64> = sun.iter().zip(&load).map(|(sun, load)| f64::from(*sun) - f64::from(*load)).collect();
    let [store] = stores::<1>();
    let hours = ItemsCount::new(HOURS);
    bencher.counter(hours).bench_local(|| run(black_box(&store), black_box(&net).iter().copied(), 1.0));
}

/// Side by side.
#[divan::bench(consts = [1, 2, 4, 8, 16])]
fn side_by_side<const N: usize>(bencher: Bencher) {
    lanes::<N>(bencher, stores(), None);
}

/// Eight with a limit of their own in each hour.
#[divan::bench]
fn eight_with_a_rate(bencher: Bencher) {
    lanes::<8>(bencher, stores(), Some(vec![0.5; HOURS]));
}

/// Eight whose charge slows down towards full.
#[divan::bench]
fn eight_with_a_taper(bencher: Bencher) {
    let stores = stores::<8>().map(|s| Store { taper: Some(lead_taper(s.capacity_wh, 0.2 * s.capacity_wh)), ..s });
    lanes::<8>(bencher, stores, None);
}
