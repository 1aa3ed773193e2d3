//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod clearance;
pub mod frame_found;
pub mod frame_notch;
pub mod frame_rail;
pub mod guide_gap;
pub mod level;
pub mod limits_told;
pub mod metal_contact;
pub mod twist;

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
