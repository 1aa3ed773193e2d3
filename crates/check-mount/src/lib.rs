//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod awning;
pub mod body_support;
pub mod bolt;
pub mod bolt_joint;
pub mod bolt_ways_out;
pub mod clearance;
pub mod fastened;
pub mod frame_found;
pub mod frame_notch;
pub mod frame_rail;
pub mod guide_gap;
pub mod inside;
pub mod level;
pub mod lift;
pub mod limits_told;
pub mod loads;
pub mod member;
mod member_ways_out;
pub mod metal_contact;
pub mod packer;
pub mod places;
pub mod recovery;
pub mod removable;
pub mod restraint;
pub mod roof_item;
pub mod shear_plate;
pub mod sources;
pub mod strap;
#[cfg(test)]
mod test_rig;
pub mod things;
pub mod tipping;
pub mod twist;
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
        Box::new(strap::Strap),
        Box::new(twist::Twist),
        Box::new(frame_notch::FrameNotch),
        Box::new(frame_found::FrameFoundCheck),
        Box::new(guide_gap::GuideGap),
        Box::new(level::Level),
        Box::new(clearance::Clearance),
        Box::new(metal_contact::MetalContact),
        Box::new(inside::Inside),
        Box::new(body_support::BodySupport),
        Box::new(roof_item::RoofItem),
        Box::new(awning::Awning),
        Box::new(lift::Lift),
        Box::new(removable::Removable),
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
