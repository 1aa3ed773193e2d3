//! Inverters, converters, chargers, alternators, generators, a day's energy.

use physics::charging::{
    RefillHoursIn, generator_power, idle_current, inlet_power, mains_input, refill_hours, road_current, surplus,
};
use physics::converter::{DcDcIn, dc_dc};
use physics::inverter::{InverterIn, dc_current, derated, inverter, losses, square_of_rating, start_va};
use physics::standing::{DailyEnergyIn, DailyLoad, daily_energy};

use crate::F64;
use crate::power_tables::power_table;

/// Computed elsewhere.
#[test]
fn what_an_inverter_takes() {
    for row in power_table!("inverter") {
        let ac_w = row.number("p_ac_w");
        let (proportional, square_per_w) = (row.number("a"), row.number("b"));
        let input = InverterIn { ac_w, idle_w: row.number("p0_w"), proportional, square_per_w, supply_v: Some(12.8) };
        let out = inverter(&input).expect("in range");
        assert_close!(out.dc_w, row.number("p_dc_w"), F64, format!("{ac_w} W"));
        assert!((out.efficiency - row.number("efficiency")).abs() <= 1e-6, "{ac_w} W: {}", out.efficiency);
        assert_close!(out.loss_w + ac_w, out.dc_w, F64, "loss");
        assert_close!(out.current_a.expect("a voltage") * 12.8, out.dc_w, F64, "current");
    }
}

/// Computed elsewhere: 1500 W at an efficiency of 0.90; the square of 2 kW at 2135 W; both losses from two of its powers.
#[test]
fn current_and_losses() {
    assert_close!(dc_current(1500.0, 0.90, 11.5), 145.0, 1e-3, "11.5 V");
    assert_close!(dc_current(1500.0, 0.90, 23.0), 72.5, 1e-3, "23 V");
    let (proportional, square) = losses(15.0, (300.0, 327.9), (2000.0, 2135.0));
    assert_close!(proportional, 0.04, F64, "proportional");
    assert_close!(square, 1e-5, F64, "square");
    assert_close!(square_of_rating(2000.0, 2000.0 / 2135.0, 15.0, 0.04), 1e-5, F64, "of the rating");
    assert_eq!(square_of_rating(2000.0, 0.999, 15.0, 0.04), 0.0);
    assert_eq!((derated(2000.0, 40.0, 40.0, 0.0125), derated(2000.0, 60.0, 40.0, 0.0125)), (2000.0, 1500.0));
    assert_eq!(derated(2000.0, 150.0, 40.0, 0.0125), 0.0);
}

/// Published: 68 A of locked rotor at 120 V in the data table of a roof air conditioner; the soft start takes 65 % off.
#[test]
fn the_first_half_second() {
    assert_close!(start_va(120.0, 68.0, 0.0), 8160.0, F64, "locked rotor");
    assert_close!(start_va(120.0, 68.0, 0.65), 2856.0, F64, "soft start");
}

/// Computed elsewhere.
#[test]
fn what_a_converter_takes() {
    let takes = |out_a, out_v, in_v, efficiency| dc_dc(&DcDcIn { out_a, out_v, in_v, efficiency }).expect("in range");
    let charger = takes(30.0, 14.4, 13.5, 0.90);
    assert_close!(charger.in_a, 35.555_555_555_6, 1e-11, "30 A at 14.4 V");
    assert_close!(charger.loss_w, 48.0, F64, "loss");
    assert_close!(takes(10.0, 12.5, 25.2, 0.88).in_a, 5.636_724_386_724, 1e-12, "24 to 12 V");
}

/// Computed elsewhere: a charger of 60 A at 14.4 V; breakers by NEC 210.20(A) as a forum quotes it.
#[test]
fn on_the_hook_up() {
    let (watt, va) = mains_input(60.0, 14.4, 0.90, 0.95);
    assert_close!(watt, 960.0, F64, "60 A");
    assert_close!(va, 1_010.526_315_789, 1e-11, "60 A");
    assert_eq!((inlet_power(230.0, 16.0, 1.0), inlet_power(120.0, 30.0, 1.0)), (3680.0, 3600.0));
    assert_eq!(inlet_power(120.0, 30.0, 3.0), 2880.0);
    let input = RefillHoursIn { missing_wh: 2400.0, charge_w: 800.0, load_w: 0.0, charge_efficiency: 0.75, absorption_h: 4.0 };
    assert_eq!(refill_hours(&input).expect("in range").hours, Some(8.0));
    assert_eq!(refill_hours(&RefillHoursIn { load_w: 400.0, ..input }).expect("in range").hours, Some(12.0));
    assert_eq!(refill_hours(&RefillHoursIn { load_w: 800.0, ..input }).expect("in range").hours, None);
}

/// Published: output test of a small diesel's alternator, 16 A hot at idle against 48 A at speed.
#[test]
fn an_alternator_at_idle() {
    assert_close!(idle_current(48.0), 16.0, 0.02, "hot, idling");
    assert!(road_current(50.0) < 48.0 && road_current(50.0) >= 40.0);
    assert_eq!((surplus(16.0, 10.0), surplus(16.0, 35.0)), (6.0, 0.0));
}

/// Published: 3 % for each 305 m above 152 m in a textbook, 3 % for each 5 K above 40 deg C in three manuals.
#[test]
fn a_generator_in_thin_and_hot_air() {
    assert_eq!(generator_power(3000.0, 100.0, 30.0), 3000.0);
    assert_close!(generator_power(1.0, 2000.0, 30.0), 0.818_229_508_197, 1e-11, "2000 m");
    assert_close!(generator_power(1.0, 0.0, 45.0), 0.97, F64, "45 deg C");
    assert_eq!(generator_power(1.0, 20_000.0, 30.0), 0.0);
}

/// By hand: 60 W for 6 h through an inverter of 0.9, a pump of 70 W for 0.2 h, 15 W all day.
#[test]
fn a_day() {
    let load = |power_w, hours, path_efficiency| DailyLoad { power_w, hours, duty: 1.0, path_efficiency };
    let input = DailyEnergyIn { loads: vec![load(60.0, 6.0, 0.9), load(70.0, 0.2, 1.0)], standing_w: 15.0 };
    let out = daily_energy(&input).expect("in range");
    assert_close!(out.loads_wh[0], 400.0, F64, "inverter");
    assert_close!(out.daily_wh, 400.0 + 14.0 + 360.0, F64, "all");
    assert_eq!(out.standing_wh, 360.0);
}
