//! The annotated rigs of this trade; how they are written stands in `check-weight/tests/support/announced.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

#[path = "../../check-weight/tests/support/announced.rs"]
mod announced;
#[path = "../../check-weight/tests/support/mod.rs"]
mod support;

mod trade {
    pub(crate) use check_mount::{checks, limits};
    pub(crate) const NAME: &str = "mount";
}
