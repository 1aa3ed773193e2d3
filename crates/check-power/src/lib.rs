//! The power trade: whether sun, batteries and converters carry what is switched on, month by month.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod autonomy;
pub mod banks;
pub mod battery_charge_rate;
pub mod battery_cold;
pub mod battery_discharge;
pub mod battery_gas;
pub mod centre_tap;
pub mod compartment_heat;
pub mod controller_current;
pub mod controller_match;
pub mod controller_voltage;
pub mod cooling_day;
pub mod cooling_hours;
pub mod energy_balance;
mod feeds;
pub mod full_charge;
pub mod hot_voltage;
pub mod house;
pub mod inlet;
pub mod inverter_continuous;
pub mod inverter_surge;
pub mod mains;
pub mod neutral_bond;
pub mod panel_heat;
pub mod panel_voltage;
mod roof_layout;
pub mod roof_space;
pub mod second_battery;
pub mod shade;
pub mod short_days;
pub mod shut_in;
pub mod standby;
pub mod string_fuse;
#[cfg(test)]
mod test_rig;
pub mod unsaid;
pub mod vehicle_charging;
pub mod ways_out;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
        Box::new(energy_balance::EnergyBalance),
        Box::new(short_days::ShortDays),
        Box::new(autonomy::Autonomy),
        Box::new(standby::Standby),
        Box::new(full_charge::FullCharge),
        Box::new(battery_cold::BatteryCold),
        Box::new(cooling_hours::CoolingHours),
        Box::new(inverter_continuous::InverterContinuous),
        Box::new(inverter_surge::InverterSurge),
        Box::new(battery_discharge::BatteryDischarge),
        Box::new(battery_charge_rate::BatteryChargeRate),
        Box::new(inlet::Inlet),
        Box::new(vehicle_charging::VehicleCharging),
        Box::new(battery_gas::BatteryGas),
        Box::new(compartment_heat::CompartmentHeat),
        Box::new(second_battery::SecondBattery),
        Box::new(centre_tap::CentreTap),
        Box::new(neutral_bond::NeutralBond),
        Box::new(controller_voltage::ControllerVoltage),
        Box::new(panel_voltage::PanelVoltage),
        Box::new(hot_voltage::HotVoltage),
        Box::new(controller_current::ControllerCurrent),
        Box::new(controller_match::ControllerMatch),
        Box::new(panel_heat::PanelHeat),
        Box::new(shade::Shade),
        Box::new(roof_space::RoofSpace),
        Box::new(string_fuse::StringFuse),
    ]
}

/// The limit files of this trade.
#[must_use]
pub fn limits() -> Vec<LimitSource> {
    let file = |set, packed| LimitSource { trade: "power", set, packed };
    vec![
        file("good-practice", basis::packed!("good-practice")),
        file("eu", basis::packed!("eu")),
        file("us-federal", basis::packed!("us-federal")),
    ]
}
