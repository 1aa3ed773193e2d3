//! Bodies, air conditioners, refrigerators, lockers.

use physics::fridge::{FridgeDutyIn, fridge_duty, scaled};
use physics::heat_balance::{Falls, HeatBalanceIn, Material, cooled, heat_balance, measured_transmission, sandwich, usual};
use physics::locker::{LockerHeatIn, lift, locker_heat, rise};
use proptest::prelude::*;

use crate::F64;
use crate::power_tables::{Row, power_table};

fn input_of(row: &Row) -> HeatBalanceIn {
    HeatBalanceIn {
        length_m: row.number("L_m"),
        width_m: row.number("W_m"),
        height_m: row.number("H_m"),
        u_w_m2k: row.number("U"),
        window_m2: row.number("Awin_m2"),
        window_u_w_m2k: row.number("Uwin"),
        window_gain: row.number("g"),
        window_shade: row.number("shade"),
        window_sun_w_m2: row.number("Gwin"),
        absorptance: row.number("alpha"),
        roof_sun_w_m2: row.number("Groof"),
        roof_film_w_m2k: row.number("ho"),
        air_changes_per_h: row.number("ach"),
        people: row.number("people"),
        appliances_w: row.number("watts"),
        outside_c: row.number("t_out"),
        inside_c: row.number("t_in"),
        cooling_w: Some(row.number("cap35_w")),
        cop: Some(row.number("cop35")),
        capacity_fall_per_k: row.number("kcap"),
        cop_fall_per_k: row.number("kcop"),
    }
}

/// Computed elsewhere; printed with 4 decimals.
#[test]
fn a_body_in_the_sun() {
    for row in power_table!("heat_balance") {
        let out = heat_balance(&input_of(&row)).expect("in range");
        let known = [
            (Some(out.ua_w_k), "UA_wk"),
            (Some(out.conduction_w), "q_conduction"),
            (Some(out.roof_w), "q_roof_sun"),
            (Some(out.window_w), "q_window"),
            (Some(out.air_w), "q_air"),
            (Some(out.inside_w), "q_inside"),
            (Some(out.total_w), "q_total"),
            (out.capacity_w, "cap_w"),
            (out.cop, "cop"),
            (out.duty, "duty"),
            (out.electric_w, "avg_elec_w"),
        ];
        for (got, column) in known {
            let (got, want) = (got.expect("it cools"), row.number(column));
            assert!((got - want).abs() <= 5.1e-5 + 1e-9 * want.abs(), "{column}: got {got}, want {want}");
        }
    }
}

/// Computed elsewhere: 40 mm of 0.030 W/(m K) between films; 1184 W of heat at a performance of 2.6.
#[test]
fn walls_and_coolers() {
    assert_close!(sandwich(0.040, 0.030, 1.0), 0.665_188_470_067, 1e-11, "40 mm");
    assert_close!(sandwich(0.040, 0.030, 1.65), 1.65 * 0.665_188_470_067, 1e-11, "with frames");
    assert_close!(cooled(1183.8488, 3500.0, 2.6, 35.0, Falls::usual()).electric_w, 455.3265, 1e-6, "455 W");
    let none = cooled(-200.0, 3500.0, 2.6, 20.0, Falls::usual());
    assert_eq!((none.duty, none.electric_w), (0.0, 0.0));
    let all = cooled(9000.0, 3500.0, 2.6, 35.0, Falls::usual());
    assert_eq!((all.duty, all.electric_w), (1.0, 3500.0 / 2.6));
    assert_close!(measured_transmission(1500.0, 20.0, -10.0), 50.0, F64, "heater overnight");
    assert!(
        usual(Material::Paint, "olive")
            .is_some_and(|u| u.middle() > 2.0 * usual(Material::Paint, "white").map_or(1.0, |w| w.middle()))
    );
    assert!(usual(Material::Window, "double").is_some() && usual(Material::Insulation, "wool").is_none());
}

#[test]
fn an_air_conditioner_has_both_its_numbers() {
    let rows = power_table!("heat_balance");
    let whole = input_of(&rows[0]);
    let why = heat_balance(&HeatBalanceIn { cop: None, ..whole }).expect_err("no cop").to_string();
    assert_eq!(why, "`cop` is not there; an air conditioner has both");
    assert!(heat_balance(&HeatBalanceIn { cooling_w: None, ..whole }).is_err());
    let without = heat_balance(&HeatBalanceIn { cop: None, cooling_w: None, ..whole }).expect("in range");
    assert_eq!((without.duty, without.electric_w), (None, None));
    assert!(heat_balance(&HeatBalanceIn { window_m2: 60.0, ..whole }).is_err());
}

fn fridge(air_c: f64) -> FridgeDutyIn {
    FridgeDutyIn { ua_w_k: 0.9, air_c, inside_c: 4.0, door_share: 0.15, carnot_share: 0.35, niche_k: 0.0, running_w: Some(45.0) }
}

/// Computed elsewhere.
#[test]
fn a_fridge_through_the_seasons() {
    for (air_c, daily) in [
        (15.0, 98.619_038_773),
        (20.0, 164.540_856_134),
        (25.0, 243.647_036_968),
        (35.0, 441.412_489_053),
        (40.0, 560.071_760_304),
    ] {
        let out = fridge_duty(&fridge(air_c)).expect("in range");
        assert_close!(out.daily_wh, daily, 1e-10, format!("{air_c} deg C"));
        assert_close!(out.duty.expect("a label") * 45.0 * 24.0, daily, 1e-10, "duty");
        let from_25 = scaled(243.647_036_968 / 24.0, 25.0, air_c, 4.0);
        assert_close!(from_25 * 24.0, daily, 1e-9, "scaled from 25 deg C");
    }
    let day = |input: FridgeDutyIn| fridge_duty(&input).expect("in range").daily_wh;
    let plain = day(fridge(25.0));
    assert_close!(day(FridgeDutyIn { niche_k: 10.0, ..fridge(25.0) }) / plain, 1.227_272_727_3, 1e-10, "a niche without air");
    assert_close!(day(FridgeDutyIn { inside_c: -18.0, ..fridge(25.0) }), 814.958_180_399, 1e-10, "a freezer");
    let why = fridge_duty(&fridge(6.0)).expect_err("hardly warmer").to_string();
    assert_eq!(why, "`air_c` is 6 deg C; wanted: at least 7 deg C (the formula is for air that is warmer than the inside)");
}

/// Computed elsewhere by bisection: 65 W in 1.2 m2 of 3 W/(m2 K), shut, and with two openings of 50 cm2, 0.4 m apart.
#[test]
fn an_inverter_in_a_cupboard() {
    let shut = LockerHeatIn { loss_w: 65.0, wall_m2: 1.2, u_w_m2k: 3.0, opening_m2: 0.0, height_m: 0.0, room_c: 25.0 };
    let warm = |input: &LockerHeatIn| locker_heat(input).expect("in range");
    assert_close!(warm(&shut).rise_k, 18.055_555_555_6, 1e-11, "shut");
    let open = LockerHeatIn { opening_m2: 0.005, height_m: 0.4, ..shut };
    assert_close!(warm(&open).rise_k, 12.737_149_684_06, 1e-11, "open");
    assert_close!(warm(&open).air_m3_h, 4.421_125_146_04, 1e-10, "air");
    assert_close!(warm(&LockerHeatIn { room_c: 35.0, ..open }).rise_k, 12.790_966_613_57, 1e-11, "a warm room");
    assert_eq!(warm(&LockerHeatIn { loss_w: 0.0, ..open }).rise_k, 0.0);
    assert!(locker_heat(&LockerHeatIn { wall_m2: 0.0, ..shut }).is_err());
    let all_air = warm(&LockerHeatIn { wall_m2: 0.0, ..open });
    assert_close!(0.34 * all_air.air_m3_h * all_air.rise_k, 65.0, F64, "air alone");
}

proptest! {
    #[test]
    fn heat_leaves_as_it_comes(loss in 0.1..5000.0_f64, walls in 0.0..50.0_f64, opening in 1e-4..0.5_f64, height in 0.05..2.0_f64) {
        let lift = lift(opening, height, 25.0);
        let rise = rise(loss, walls, lift);
        let gone = rise * (walls + 0.34 * lift * rise.sqrt());
        prop_assert!((gone - loss).abs() <= 1e-9 * loss, "{gone} of {loss}");
    }
}
