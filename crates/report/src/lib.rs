//! Renderers of an audit: terminal, JSON and other forms for machines, drawings.
//!
//! A renderer computes no physics and never reaches back into the rig: what it shows stands in the audit.
//!
//! | module       | holds                                                                            |
//! |--------------|----------------------------------------------------------------------------------|
//! | [`terminal`] | the report for people: blocks, ladder, closing lines; problems of the rig file    |
//! | [`json`]     | the audit for other programs, and its schema                                      |
//! | [`sarif`]    | the audit for viewers of static analysis                                          |
//! | [`junit`]    | the audit for whatever shows test results                                         |
//! | [`annotations`]| the audit as workflow commands of a hosted build                                |
//! | [`csv`]      | the audit for a spreadsheet                                                       |
//! | [`markdown`] | a summary for a pull request                                                      |
//! | [`baseline`] | reads an earlier audit back                                                       |
//! | [`ask`]      | what to find out next, and the round through the yard                             |
//! | [`changes`]  | what a change tried out alters                                                     |
//! | [`place`]    | where along the frame the body may go                                              |
//! | [`sheet`]    | a sheet to print: the day on the weighbridge                                      |
//! | [`draw`]     | one exhibit as a self-contained SVG                                               |
//! | [`working`]  | the working of one check in one rig, with the numbers put in                      |
//! | [`explain`]  | what a check asks, how it computes, what limits it, how to measure what it needs   |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod annotations;
pub mod ask;
pub mod baseline;
pub mod changes;
pub mod csv;
pub mod draw;
pub mod explain;
pub mod json;
pub mod junit;
mod machine;
pub mod markdown;
mod numbers;
pub mod place;
#[cfg(any(test, feature = "sample"))]
#[doc(hidden)]
pub mod sample;
pub mod sarif;
pub mod sheet;
pub mod terminal;
mod text;
pub mod working;

pub use terminal::Look;
