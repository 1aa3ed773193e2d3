//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

/// Inputs that move an answer: those named, and all that the bending of the frame rests on.
macro_rules! on_rail_moment {
    [$($more:literal),* $(,)?] => {
        check::card::List::Static(&[
            $($more,)*
            "axle.bare_load",
            "axle.x",
            "axle.group",
            "axle.spring_rate",
            "axle.fixed_load",
            "mount.at",
            "mount.in",
            "mount.kind",
            "mount.holds",
            "mount.stiffness",
            "mount.spring.rate",
            "body",
            "mass",
            "tank",
            "seat",
            "person",
            "state",
            "roof_item",
            "awning",
            "coupling",
            "trailer",
        ])
    };
}

pub mod clearance;
pub mod frame_found;
pub mod frame_notch;
pub mod frame_rail;
pub mod guide_gap;
pub mod level;
pub mod limits_told;
pub mod metal_contact;
#[cfg(test)]
mod test_rig;
pub mod twist;
pub mod awning;
pub mod fastened;
pub mod inside;
pub mod lift;
pub mod removable;
pub mod roof_item;
pub mod things;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
        Box::new(frame_notch::FrameNotch),
        Box::new(frame_found::FrameFoundCheck),
        Box::new(twist::Twist),
        Box::new(guide_gap::GuideGap),
        Box::new(level::Level),
        Box::new(clearance::Clearance),
        Box::new(metal_contact::MetalContact),
        Box::new(inside::Inside),
        Box::new(roof_item::RoofItem),
        Box::new(awning::Awning),
        Box::new(lift::Lift),
        Box::new(removable::Removable),
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
