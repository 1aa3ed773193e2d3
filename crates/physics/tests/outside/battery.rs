//! The battery loop.

use physics::battery::lanes::{Day, Hours, Lanes, run_lanes};
use physics::battery::run::{BatteryRunIn, Store, Taper, battery_run, run, run_at_rate, step, step_at_rate};
use proptest::prelude::*;

use crate::F64;

/// What a run came to: lowest, short, left over, hours short, end.
type Sums = (f64, f64, f64, u32, f64);

/// The loop as it is written with branches in a Python script that made `data/power/year_soc.csv`: another way to say
/// the same, hour by hour, with its own order of operations.
fn with_branches(s: &Store, hours: &[(f64, f64)], start: f64) -> Sums {
    let (cap, floor) = (s.capacity_wh, s.floor * s.capacity_wh);
    let mut e = start * cap;
    let (mut lowest, mut short, mut left_over, mut hours_short) = (e, 0.0, 0.0, 0);
    for &(net, rate) in hours {
        e -= e * s.self_discharge_per_h;
        if net >= 0.0 {
            let most = s.power_limit_w.min(s.charge_limit_w).min(rate * cap);
            let p = net.min(most).min((cap - e) / s.charge_efficiency);
            left_over += net - p;
            e += p * s.charge_efficiency;
        } else {
            let have = ((e - floor) * s.discharge_efficiency).max(0.0);
            let got = (-net).min(s.power_limit_w).min(have);
            short += -net - got;
            e -= got / s.discharge_efficiency;
            hours_short += u32::from(got < -net);
        }
        lowest = lowest.min(e);
    }
    (lowest / cap, short, left_over, hours_short, e / cap)
}

fn store() -> impl Strategy<Value = Store> {
    let sizes = (200.0..20_000.0_f64, 0.0..0.6_f64, 0.6..=1.0_f64, 0.6..=1.0_f64);
    let limits = (50.0..2_000.0_f64, 0.0..1e-3_f64, prop::option::of(20.0..800.0_f64));
    (sizes, limits).prop_map(|((capacity, floor, into, out), (power, lost, charge))| Store {
        charge_limit_w: charge.unwrap_or(f64::INFINITY),
        ..Store::new(capacity, floor, into, out, power, lost)
    })
}

/// Ten days of sun less load.
fn hours() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec((0.0..900.0_f64, 10.0..400.0_f64), 240).prop_map(|all| {
        let sunny = |at: usize| (7..18).contains(&(at % 24));
        all.into_iter().enumerate().map(|(at, (sun, load))| if sunny(at) { sun - load } else { -load }).collect()
    })
}

/// Ten days of sun and load apart, and of the rate that the cells take.
fn days() -> impl Strategy<Value = (Vec<f64>, Vec<f64>, Vec<f32>)> {
    let sun = prop::collection::vec(0.0..900.0_f64, 240);
    let load = prop::collection::vec(0.0..300.0_f64, 240);
    (sun, load, prop::collection::vec(prop::sample::select(vec![0.0_f32, 0.1, 0.5, f32::INFINITY]), 240))
}

fn tapered(mut store: Store) -> Store {
    let bulk_w = 0.2 * store.capacity_wh;
    store.charge_limit_w = store.charge_limit_w.min(bulk_w);
    store.taper = Some(Taper { from: 0.8, bulk_w, end_w: 0.02 * store.capacity_wh });
    store
}

fn near(got: f64, want: f64, scale: f64) -> Result<(), TestCaseError> {
    prop_assert!((got - want).abs() <= 1e-9 * scale, "got {got}, want {want}");
    Ok(())
}

proptest! {
    /// Energy is counted up step by step, by what each step says went in and out.
    #[test]
    fn energy_closes(s in store(), net in hours(), start in 0.0..=1.0_f64, slow in any::<bool>()) {
        let s = if slow { tapered(s) } else { s };
        let (mut charge, mut balance, mut through) = (start * s.capacity_wh, 0.0, s.capacity_wh);
        for &net in &net {
            let after = step(&s, charge, net);
            let (into, out) = (net.max(0.0) - after.left_over_wh, (-net).max(0.0) - after.short_wh);
            let lost = into * (1.0 - s.charge_efficiency) + out * (1.0 / s.discharge_efficiency - 1.0);
            balance += into - out - lost - s.self_discharge_per_h * charge;
            through += into + out;
            charge = after.charge_wh;
            near(start * s.capacity_wh + balance, charge, through)?;
            prop_assert!(after.short_wh >= 0.0 && after.left_over_wh >= 0.0 && into >= -1e-9 * through);
        }
        let totals = run(&s, net.iter().copied(), start);
        let (sun, load): (f64, f64) = (net.iter().map(|n| n.max(0.0)).sum(), net.iter().map(|n| (-n).max(0.0)).sum());
        near(sun - totals.left_over_wh, totals.charged_wh, through)?;
        near(load - totals.short_wh, totals.discharged_wh, through)?;
        near(start * s.capacity_wh + totals.charged_wh, totals.discharged_wh + totals.lost_wh + totals.end * s.capacity_wh, through)?;
        near(totals.end * s.capacity_wh, charge, through)?;
    }

    /// Never over full, and below the floor by nothing but self-discharge.
    #[test]
    fn the_charge_stays_within_bounds(s in store(), net in hours(), start in 0.0..=1.0_f64) {
        let mut charge = start * s.capacity_wh;
        for &net in &net {
            let after = step(&s, charge, net).charge_wh;
            let kept = charge * (1.0 - s.self_discharge_per_h);
            prop_assert!(after <= s.capacity_wh && after >= kept.min(s.floor * s.capacity_wh) * (1.0 - 1e-15));
            charge = after;
        }
        prop_assert!(run(&s, net.iter().copied(), start).lowest >= 0.0);
    }

    #[test]
    fn short_does_not_rise_with_panel_or_capacity((sun, load, _) in days(), s in store(), more in 1.0..3.0_f64) {
        let s = Store { self_discharge_per_h: 0.0, ..s };
        let short = |s: &Store, scale: f64| run(s, sun.iter().zip(&load).map(|(sun, load)| scale * sun - load), 1.0).short_wh;
        let all: f64 = load.iter().sum();
        let base = short(&s, 1.0);
        prop_assert!(short(&s, more) <= base + 1e-12 * all);
        let larger = Store { capacity_wh: s.capacity_wh * more, ..s };
        prop_assert!(short(&larger, 1.0) <= base + 1e-12 * all);
    }

    #[test]
    fn it_is_the_loop_with_branches(s in store(), (sun, load, rate) in days(), start in 0.0..=1.0_f64) {
        let hours: Vec<(f64, f64)> = sun.iter().zip(&load).zip(&rate).map(|((s, l), r)| (s - l, f64::from(*r))).collect();
        let got = run_at_rate(&s, hours.iter().copied(), start);
        let (lowest, short, left_over, hours_short, end) = with_branches(&s, &hours, start);
        let all: f64 = sun.iter().chain(&load).sum::<f64>() + s.capacity_wh;
        near(got.lowest, lowest, 1.0)?;
        near(got.short_wh, short, all)?;
        near(got.left_over_wh, left_over, all)?;
        near(got.end, end, 1.0)?;
        // They compare floats: an hour or two of difference is allowed by the data set, too.
        prop_assert!(got.hours_short.abs_diff(hours_short) <= 2);
    }

    /// To the bit: each lane is the battery alone.
    #[test]
    fn lanes_are_the_battery_alone(
        (sun, load, rate) in days(),
        plain in prop::array::uniform4(store()),
        slow in any::<bool>(),
        cold in any::<bool>(),
        scale in prop::array::uniform4(0.2..2.0_f64),
    ) {
        let stores = if slow { plain.map(tapered) } else { plain };
        let start = stores.map(|s| 0.5 * s.capacity_wh);
        let hours = Hours { sun_wh: &sun, load_wh: &load, charge_rate_per_h: cold.then_some(rate.as_slice()) };
        let mut days: Vec<Day<4>> = Vec::new();
        let end = run_lanes(&stores, &start, &scale, &[1.0; 4], &hours, |number, day| {
            assert_eq!(number, days.len());
            days.push(*day);
        });
        prop_assert_eq!(days.len(), 10);
        for lane in 0..4 {
            let (mut charge, mut at) = (start[lane], 0);
            for day in &days {
                let (mut short, mut left_over, mut count, mut full, mut lowest) = (0.0, 0.0, 0.0, 0.0, f64::INFINITY);
                for _ in 0..24 {
                    let rate = if cold { f64::from(rate[at]) } else { f64::INFINITY };
                    let after = step_at_rate(&stores[lane], charge, scale[lane] * sun[at] - load[at], rate);
                    (charge, at) = (after.charge_wh, at + 1);
                    short += after.short_wh;
                    left_over += after.left_over_wh;
                    count += f64::from(u8::from(after.short_wh > 0.0));
                    full += f64::from(u8::from(charge >= stores[lane].full_from * stores[lane].capacity_wh));
                    lowest = lowest.min(charge);
                }
                prop_assert_eq!((day.short_wh[lane], day.left_over_wh[lane]), (short, left_over));
                prop_assert_eq!((day.hours_short[lane], day.hours_full[lane]), (count, full));
                prop_assert_eq!((day.lowest_wh[lane], day.end_wh[lane]), (lowest, charge));
            }
            prop_assert_eq!(end[lane], charge);
        }
    }
}

#[test]
fn an_hour_by_hand() {
    let s = Store::new(1000.0, 0.1, 0.9, 0.8, 200.0, 0.01);
    let charged = step(&s, 500.0, 300.0);
    assert_close!(charged.charge_wh, 495.0 + 200.0 * 0.9, 1e-12, "the limit of 200 W, before the efficiency");
    assert_eq!((charged.left_over_wh, charged.short_wh), (100.0, 0.0));
    let full = step(&s, 1000.0, 100.0);
    assert_eq!(full.charge_wh, 1000.0);
    assert_close!(full.left_over_wh, 100.0 - 10.0 / 0.9, 1e-12, "room for what was lost");
    let flat = step(&s, 150.0, -300.0);
    assert_close!(flat.charge_wh, 100.0, 1e-12, "the floor");
    assert_close!(flat.short_wh, 300.0 - 48.5 * 0.8, 1e-12, "48.5 Wh were left above it");
    assert_eq!(step(&s, 90.0, -50.0).charge_wh, 90.0 * 0.99);
    assert_eq!(step_at_rate(&s, 500.0, 150.0, 0.0).left_over_wh, 150.0);
    assert_close!(step_at_rate(&s, 500.0, 150.0, 0.1).left_over_wh, 50.0, 1e-12, "a tenth of the capacity in the hour");
}

/// Charge that slows down, against the same in steps of a second.
#[test]
fn a_taper_is_exact_within_the_hour() {
    let taper = Taper { from: 0.8, bulk_w: 200.0, end_w: 20.0 };
    let s = Store { taper: Some(taper), ..Store::new(1000.0, 0.1, 0.9, 0.9, 200.0, 0.0) };
    for start in [800.0, 850.0, 930.0] {
        let mut charge: f64 = start;
        for _ in 0..36_000 {
            let power = 200.0 - (200.0 - 20.0) * (charge / 1000.0 - 0.8) / 0.2;
            charge += power * 0.9 / 36_000.0;
        }
        assert_close!(step(&s, start, 500.0).charge_wh, charge.min(1000.0), 1e-6, format!("from {start} Wh"));
    }
    assert_close!(step(&s, 300.0, 500.0).charge_wh, 300.0 + 180.0, 1e-12, "bulk, far below");
    let flat = Store { taper: Some(Taper { end_w: 200.0, ..taper }), ..s };
    assert_close!(step(&flat, 850.0, 100.0).charge_wh, 850.0 + 90.0, 1e-12, "no fall is a plain limit");
}

#[test]
fn lanes_take_hours_of_their_own() {
    let s = Store::new(1000.0, 0.1, 0.9, 0.8, 200.0, 0.01);
    let mut lanes = Lanes::new(&[s; 2], &[500.0; 2]);
    lanes.hour([100.0, -100.0]);
    lanes.hour_at_rate([100.0, 100.0], [0.0, 0.05]);
    let one = step_at_rate(&s, step(&s, 500.0, 100.0).charge_wh, 100.0, 0.0);
    let two = step_at_rate(&s, step(&s, 500.0, -100.0).charge_wh, 100.0, 0.05);
    assert_eq!(lanes.charge_wh(), [one.charge_wh, two.charge_wh]);
    assert_eq!(lanes.end_day().left_over_wh, [one.left_over_wh, two.left_over_wh]);
    assert_eq!(lanes.end_day().hours_short, [0.0; 2]);
}

#[test]
fn the_kernel_is_the_run() {
    let net_wh = vec![-100.0, -900.0, 400.0, 900.0, -50.0];
    let input = BatteryRunIn {
        net_wh: net_wh.clone(),
        capacity_wh: 1000.0,
        floor: 0.1,
        charge_efficiency: 0.97,
        discharge_efficiency: 0.97,
        power_limit_w: 500.0,
        self_discharge_per_h: 4e-5,
        start: 0.6,
    };
    let out = battery_run(&input).expect("in range");
    let store = Store::new(1000.0, 0.1, 0.97, 0.97, 500.0, 4e-5);
    let hours: Vec<(f64, f64)> = net_wh.iter().map(|net| (*net, f64::INFINITY)).collect();
    let (lowest, short, left_over, hours_short, end) = with_branches(&store, &hours, 0.6);
    assert_close!(out.lowest, lowest, F64, "lowest");
    assert_close!(out.short_wh, short, F64, "short");
    assert_close!(out.surplus_wh, left_over, F64, "left over");
    assert_close!(out.end, end, F64, "end");
    assert_eq!((out.hours_short, hours_short), (1, 1));
    assert!(battery_run(&BatteryRunIn { net_wh: vec![], ..input }).is_err());
}
