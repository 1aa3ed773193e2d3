//! The battery: what it takes, keeps and gives.

pub mod chemistry;
pub mod lanes;
pub mod peukert;
pub mod run;
pub mod sag;
pub mod usable;
