//! Renderers of an audit: terminal, JSON, drawings.
//!
//! A renderer computes no physics and never reaches back into the rig: what it shows stands in the audit.
//!
//! | module       | holds                                                                            |
//! |--------------|----------------------------------------------------------------------------------|
//! | [`terminal`] | the report for people: blocks, ladder, closing lines; problems of the rig file    |
//! | [`json`]     | the audit for other programs, and its schema                                      |
//! | [`ask`]      | what to find out next, and the round through the yard                             |
//! | [`changes`]  | what a change tried out alters                                                     |
//! | [`place`]    | where along the frame the body may go                                              |
//! | [`sheet`]    | a sheet to print: the day on the weighbridge                                      |
//! | [`draw`]     | one exhibit as a self-contained SVG                                               |
//! | [`working`]  | the working of one check in one rig, with the numbers put in                      |
//! | [`explain`]  | what a check asks, how it computes, what limits it, how to measure what it needs   |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod ask;
pub mod changes;
pub mod draw;
pub mod explain;
pub mod json;
mod numbers;
pub mod place;
#[cfg(test)]
mod sample;
pub mod sheet;
pub mod terminal;
mod text;
pub mod working;

pub use terminal::Look;
