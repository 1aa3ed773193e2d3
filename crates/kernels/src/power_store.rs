//! Kernels of the power trade: battery, heat, inverter, charging.

use physics::battery::{peukert, run, sag, usable};
use physics::{charging, converter, fridge, heat_balance, hydrogen, inverter, locker, standing};

use crate::Kernel;
use crate::row::kernel;

pub(crate) const KERNELS: &[Kernel] = &[
    kernel!(
        "power",
        "battery-run",
        run::battery_run,
        run::BatteryRunIn => run::BatteryRunOut,
        "a battery through the hours: what goes short and what finds no room",
        r#"{"net_wh": [-120, -60, 150, 420, 310, -90], "capacity_wh": 2560, "floor": 0.1, "charge_efficiency": 0.97, "discharge_efficiency": 0.97, "power_limit_w": 1200, "self_discharge_per_h": 4e-5, "start": 0.2}"#
    ),
    kernel!(
        "power",
        "peukert",
        peukert::peukert,
        peukert::PeukertIn => peukert::PeukertOut,
        "how long a battery carries a steady current, and what it yields",
        r#"{"capacity_ah": 100, "rated_hours": 20, "current_a": 10, "exponent": 1.2}"#
    ),
    kernel!(
        "power",
        "usable-energy",
        usable::usable_energy,
        usable::UsableEnergyIn => usable::UsableEnergyOut,
        "how much of a battery's label can be used",
        r#"{"capacity_ah": 200, "nominal_v": 12.8, "floor": 0.1, "discharge_efficiency": 0.97}"#
    ),
    kernel!(
        "power",
        "sag",
        sag::sag,
        sag::SagIn => sag::SagOut,
        "voltage that sinks under a load of constant power",
        r#"{"open_v": 13.1, "resistance_ohm": 0.012, "dc_w": 1667}"#
    ),
    kernel!(
        "power",
        "hydrogen",
        hydrogen::hydrogen,
        hydrogen::HydrogenIn => hydrogen::HydrogenOut,
        "air that charging lead-acid batteries want",
        r#"{"cells_n": 6, "gas_ma_per_ah": 20, "capacity_ah": 200}"#
    ),
    kernel!(
        "power",
        "inverter",
        inverter::inverter,
        inverter::InverterIn => inverter::InverterOut,
        "what an inverter takes from the battery",
        r#"{"ac_w": 1000, "supply_v": 12.0}"#
    ),
    kernel!(
        "power",
        "dc-dc",
        converter::dc_dc,
        converter::DcDcIn => converter::DcDcOut,
        "what a DC-DC converter or charger takes",
        r#"{"out_a": 30, "out_v": 14.4, "in_v": 13.5, "efficiency": 0.9}"#
    ),
    kernel!(
        "power",
        "refill-hours",
        charging::refill_hours,
        charging::RefillHoursIn => charging::RefillHoursOut,
        "hours on the hook-up or generator until a battery is full",
        r#"{"missing_wh": 2400, "charge_w": 800, "charge_efficiency": 0.85, "absorption_h": 4}"#
    ),
    kernel!(
        "power",
        "daily-energy",
        standing::daily_energy,
        standing::DailyEnergyIn => standing::DailyEnergyOut,
        "energy a day out of the battery",
        r#"{"loads": [{"power_w": 60, "hours": 6, "path_efficiency": 0.9}, {"power_w": 45, "duty": 0.25}], "standing_w": 15}"#
    ),
    kernel!(
        "power",
        "heat-balance",
        heat_balance::heat_balance,
        heat_balance::HeatBalanceIn => heat_balance::HeatBalanceOut,
        "heat of a body, and what an air conditioner draws against it",
        r#"{"length_m": 4.2, "width_m": 2.2, "height_m": 2, "u_w_m2k": 1.2, "window_m2": 1.5, "window_u_w_m2k": 2.8, "window_gain": 0.6, "window_shade": 0.5, "window_sun_w_m2": 300, "absorptance": 0.35, "roof_sun_w_m2": 900, "air_changes_per_h": 1, "people": 2, "appliances_w": 60, "outside_c": 35, "inside_c": 26, "cooling_w": 3500, "cop": 2.6}"#
    ),
    kernel!(
        "power",
        "fridge-duty",
        fridge::fridge_duty,
        fridge::FridgeDutyIn => fridge::FridgeDutyOut,
        "what a compressor refrigerator takes in warm air",
        r#"{"ua_w_k": 0.9, "air_c": 30, "running_w": 45}"#
    ),
    kernel!(
        "power",
        "locker-heat",
        locker::locker_heat,
        locker::LockerHeatIn => locker::LockerHeatOut,
        "how warm it gets in a closed locker",
        r#"{"loss_w": 65, "wall_m2": 1.2, "u_w_m2k": 3, "opening_m2": 0.005, "height_m": 0.4, "room_c": 30}"#
    ),
];
