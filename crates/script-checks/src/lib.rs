//! Users' own checks, written in Rhai: a `.rhai` file is a check like any other, and can do nothing but answer.
//!
//! | module       | holds                                                                                   |
//! |--------------|-----------------------------------------------------------------------------------------|
//! | [`script`]   | [`Script`]: one file, compiled; a [`check::Check`]                                        |
//! | [`cases`]    | the cases kept beside a script: a rig in, answers out                                     |
//! | [`page`]     | the functions a script may call, as a page and as definitions for editors                 |
//! | `sandbox`    | the engine: nothing but arithmetic, within bounds                                        |
//! | `bounds`     | those bounds                                                                             |
//! | `watch`      | clock and memory of one call                                                             |
//! | `card`       | what `card()` gives, as a [`check::Card`]                                                 |
//! | `answer`     | what `answer(cx, state)` gives, as findings                                              |
//! | `words`      | the functions: need, compare, require, missing, not_applicable, and what goes with them  |
//! | `doubt`      | arithmetic of numbers in doubt                                                           |
//! | `physics_fns`| every kernel as a function                                                              |
//! | `values`     | plain values to and from the engine's                                                   |
//! | `faults`     | what went wrong, as `file:line:column` and a sentence                                     |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod answer;
mod bounds;
mod card;
pub mod cases;
mod doubt;
mod faults;
pub mod page;
mod physics_fns;
mod sandbox;
pub mod script;
mod values;
mod watch;
mod words;

pub use script::{Script, ScriptFault};
pub use watch::measure_memory_with;
