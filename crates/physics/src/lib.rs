//! Pure physics kernels: numbers in, numbers out. No files, no rig, no printing.
//!
//! A kernel takes one input struct, refuses what lies outside its range by name, and gives one output struct. Beside
//! it stand plain `f64` functions without that door; they are for callers that carry uncertainty and evaluate the
//! same formula many times. Fields carry their unit in their name; angles are degrees in fields and radians in plain
//! functions.
//!
//! Axes: x rearward from the front axle, y to the right, z up from the ground. A load "in kg" is a force divided by
//! standard gravity: what a scale shows.
//!
//! | module           | answers                                                                      |
//! |------------------|------------------------------------------------------------------------------|
//! | [`ledger`]       | centre of gravity; axle loads of two, equalised, or many sprung axles         |
//! | [`wheels`]       | left and right wheel of an axle                                               |
//! | [`lift`]         | height of the centre of gravity from one lifted axle, and how high to lift    |
//! | [`stability`]    | static stability, roll threshold, load transfer, speed in a bend              |
//! | [`tyre`]         | load index, load at a pressure, pressure for a load, speed symbol, date code  |
//! | [`grade`]        | axle loads on a slope and under brakes                                        |
//! | [`bridge`]       | bridge formula                                                                |
//! | [`free_surface`] | what part-filled tanks do to the height                                       |
//! | [`ground`]       | approach, departure and breakover angles                                      |
//! | [`scale`]        | how far a scale may be out                                                    |
//! | [`reconcile`]    | weighbridge readings folded into a list of masses, and who is suspect         |
//! | [`coupling`]     | what a trailer's nose does to the axles                                       |
//! | [`linear`]       | small symmetric systems of equations                                          |
//! | [`chance`]       | how often chance alone gives a chi-square this large                          |
//! | [`range`]        | the ranges of inputs, written once for code, schema and manual                |
//! | [`facts`]        | values with a source that the kernels use                                     |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod beam;
pub mod bridge;
pub mod chance;
pub mod coupling;
mod error;
pub mod facts;
pub mod fastener;
pub mod free_surface;
pub mod grade;
pub mod ground;
pub mod ledger;
pub mod lift;
pub mod linear;
pub mod mount_facts;
pub mod profile;
pub mod range;
pub mod reconcile;
pub mod scale;
pub mod section;
pub mod stability;
pub mod support;
pub mod thread;
pub mod tyre;
pub mod weld;
pub mod wheels;
mod written;

pub use error::KernelError;
