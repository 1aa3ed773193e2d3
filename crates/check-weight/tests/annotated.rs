//! The annotated rigs of this trade.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

#[path = "support/announced.rs"]
mod announced;
mod support;

mod trade {
    pub(crate) use check_weight::{checks, limits};
    pub(crate) const NAME: &str = "weight";
}
