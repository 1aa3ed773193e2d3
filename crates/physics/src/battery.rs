//! The battery: what it takes, keeps and gives.

pub mod lanes;
pub mod run;
