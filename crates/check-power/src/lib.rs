//! The power trade: whether sun, batteries and converters carry what is switched on, month by month.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod controller_current;
pub mod controller_match;
pub mod controller_voltage;
mod feeds;
pub mod hot_voltage;
pub mod panel_heat;
pub mod panel_voltage;
mod roof_layout;
pub mod roof_space;
pub mod shade;
pub mod string_fuse;
#[cfg(test)]
mod test_rig;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
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
