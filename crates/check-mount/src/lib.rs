//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

pub mod awning;
pub mod body_support;
pub mod fastened;
pub mod inside;
pub mod lift;
pub mod removable;
pub mod roof_item;
pub mod strap;
pub mod things;

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    vec![
        Box::new(inside::Inside),
        Box::new(roof_item::RoofItem),
        Box::new(awning::Awning),
        Box::new(lift::Lift),
        Box::new(removable::Removable),
        Box::new(body_support::BodySupport),
        Box::new(strap::Strap),
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
