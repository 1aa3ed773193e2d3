//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod bolt;
pub mod bolt_joint;
pub mod bolt_ways_out;
pub mod loads;
pub mod member;
mod member_ways_out;
pub mod packer;
pub mod places;
pub mod recovery;
pub mod restraint;
pub mod shear_plate;
pub mod tipping;
pub mod weld;
pub mod weld_joint;
mod weld_ways_out;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
        Box::new(restraint::Restraint),
        Box::new(bolt::Bolt),
        Box::new(weld::Weld),
        Box::new(member::Member),
        Box::new(packer::Packer),
        Box::new(recovery::Recovery),
    ]
}

/// The limit files of this trade.
#[must_use]
pub fn limits() -> Vec<LimitSource> {
    let file = |set, packed| LimitSource { trade: "mount", set, packed };
    vec![
        file("good-practice", basis::packed!("good-practice")),
        file("eu", basis::packed!("eu")),
        file("us-federal", basis::packed!("us-federal")),
        file("off-road", basis::packed!("off-road")),
    ]
}
