//! The mount trade: what holds the body to the frame, level, centred, and free to twist.
//!
//! One file a check; the limits as data in `limits/`, one file a set.
#![forbid(unsafe_code)]

use check::{Check, LimitSource};

/// The checks of this trade, in reading order.
#[must_use]
pub fn checks() -> Vec<Box<dyn Check>> {
    Vec::new()
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
