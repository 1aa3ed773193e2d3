//! The weight trade: masses, axles, tyres, the way a rig tips, and what must fit where.
//!
//! One file a check; the limits as data in `limits/`, one file a set. What the checks share: [`remedy`] (ways out that
//! move, lighten, pump), [`subject`] (the loops over states and axles, and what to say without a subject) and [`working`]
//! (numbers for a pocket calculator).
#![forbid(unsafe_code)]

/// Inputs that move an answer: those named, and all that tells how far the rig reaches, whatever it weighs.
macro_rules! on_extents {
    [$($more:literal),* $(,)?] => {
        check::card::List::Static(&[
            $($more,)*
            "body",
            "mass.at",
            "mass.out_at",
            "mass.size",
            "mass.in",
            "mass.of",
            "mass.like",
            "tank.at",
            "tank.size",
            "tank.in",
            "tank.of",
            "roof_item.at",
            "roof_item.size",
            "roof_item.in",
            "roof_item.of",
            "awning.at",
            "awning.out_at",
            "awning.size",
            "awning.in",
            "awning.of",
            "panel.weight",
            "battery.weight",
            "controller.weight",
            "charger.weight",
            "inverter.weight",
            "converter.weight",
            "portable.weight",
            "load.weight",
            "generator.weight",
            "state.kind",
            "state.absent",
            "state.out",
        ])
    };
}

pub mod axle_load;
pub mod brake_setting;
pub mod braking;
pub mod bridge_formula;
pub mod cornering;
pub mod coupling_load;
pub mod drive_share;
pub mod envelope;
pub mod free_surface;
pub mod grade;
pub mod gross_mass;
pub mod ground_angles;
pub mod licence;
pub mod lower;
pub mod overhang;
pub mod payload_left;
pub mod remedy;
pub mod roll_stability;
pub mod scale_agreement;
pub mod share;
pub mod side_slope;
pub mod sideways;
mod stance_lines;
pub mod steer_share;
pub mod subject;
pub mod two_ends;
pub mod tyre_age;
pub mod tyre_end;
pub mod tyre_load;
pub mod tyre_ways_out;
pub mod wheel_load;
pub mod whole;
pub mod working;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
        Box::new(gross_mass::GrossMass),
        Box::new(payload_left::PayloadLeft),
        Box::new(axle_load::AxleLoad),
        Box::new(wheel_load::WheelLoad),
        Box::new(tyre_load::TyreLoad),
        Box::new(tyre_age::TyreAge),
        Box::new(steer_share::SteerShare),
        Box::new(drive_share::DriveShare),
        Box::new(coupling_load::CouplingLoad),
        Box::new(overhang::Overhang),
        Box::new(bridge_formula::BridgeFormula),
        Box::new(licence::Licence),
        Box::new(roll_stability::RollStability),
        Box::new(side_slope::SideSlope),
        Box::new(cornering::Cornering),
        Box::new(grade::Grade),
        Box::new(braking::Braking),
        Box::new(brake_setting::BrakeSetting),
        Box::new(free_surface::FreeSurface),
        Box::new(ground_angles::GroundAngles),
        Box::new(envelope::Envelope),
        Box::new(scale_agreement::ScaleAgreement),
    ]
}

/// The limit files of this trade.
#[must_use]
pub fn limits() -> Vec<LimitSource> {
    let file = |set, packed| LimitSource { trade: "weight", set, packed };
    vec![
        file("good-practice", basis::packed!("good-practice")),
        file("eu", basis::packed!("eu")),
        file("uk", basis::packed!("uk")),
        file("us-federal", basis::packed!("us-federal")),
    ]
}
