//! The power trade: whether sun, batteries and converters carry what is switched on, month by month.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod autonomy;
pub mod battery_cold;
pub mod cooling_day;
pub mod cooling_hours;
pub mod energy_balance;
pub mod full_charge;
pub mod house;
pub mod limits_told;
pub mod short_days;
pub mod standby;
#[cfg(test)]
mod test_rig;
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
