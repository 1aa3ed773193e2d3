//! What a check is, and what it answers.
//!
//! A check asks facts, compares, explains. It computes no physics, decides no verdict, formats no number, reads no
//! file and keeps no state. This crate gives it the words for that.
//!
//! | module      | holds                                                                       |
//! |-------------|-----------------------------------------------------------------------------|
//! | [`card`]    | [`Card`]: all that a check says of itself                                    |
//! | [`context`] | [`Context`]: rig, facts, limits, today; and `with(edits)`                    |
//! | [`draft`]   | [`Draft`]: builds one finding; `compare` and `require` alone decide verdicts |
//! | [`finding`] | [`Finding`], [`Verdict`], [`Measure`]: one answer, as reports carry it        |
//! | [`limits`]  | [`LimitBook`] and [`Held`]: which limits of the chosen sets hold something    |
//! | [`remedy`]  | [`Proposal`] by a check, [`Remedy`] once the runner has proved it             |
//! | [`edits`]   | steps, edits and words that ways out are written with                        |
//! | [`subject`] | the loop over states, and what is said without one                           |
//! | [`working`] | numbers for a pocket calculator                                              |
//! | [`exhibit`] | [`Exhibit`]: the data of one picture                                         |
//! | [`placement`]| where along the frame the body may go                                      |
//! | [`asking`]  | what to find out next                                                       |
//! | [`view`]    | what a check from outside sees of a rig                                       |
//! | [`weighing`]| a day on the weighbridge                                                     |
//! | [`audit`]   | [`Audit`]: everything one run says                                           |
//! | [`baseline`]| what became worse since an earlier audit                                     |
//! | [`registry`]| [`Registry`]: the explicit list of checks                                    |
//! | [`day`]     | [`Day`]: a date                                                              |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod asking;
pub mod audit;
pub mod baseline;
pub mod card;
pub mod context;
pub mod day;
pub mod draft;
pub mod edits;
pub mod exhibit;
pub mod finding;
pub mod limits;
pub mod placement;
pub mod registry;
pub mod remedy;
pub mod subject;
pub mod view;
pub mod weighing;
pub mod working;

pub use audit::Audit;
pub use card::{Card, List, Scope, Words};
pub use context::{Context, Detail};
pub use day::Day;
pub use draft::{Draft, Holds};
pub use exhibit::Exhibit;
pub use finding::{Consequence, Finding, Measure, Verdict};
pub use limits::{Held, LimitBook, LimitSource};
pub use registry::{Check, Registry};
pub use remedy::{Effort, Proposal, Remedy};
