//! Native plugins: a library of somebody else's, in a process of its own, as checks like any other.
//!
//! The library is loaded by a child of the program's own, never by the program: what crashes, hangs or eats memory there
//! is a fault of one check here. The boundary is for faults, not for malice: a native library may do whatever its user may.
//!
//! | module    | holds                                                                         |
//! |-----------|-------------------------------------------------------------------------------|
//! | [`plugin`]| [`Plugin`]: a library that greeted, and its idle processes                      |
//! | [`bounds`]| [`Bounds`]: time, memory and bytes of one question                              |
//! | [`fault`] | [`Fault`]: what a plugin did wrong, in one sentence                             |
//! | [`inside`]| what the child does: loads the library, hands questions in and answers out      |
//! | `process` | the child as its parent sees it                                                |
//! | `frame`   | how documents go through the pipes                                             |
//! | `asked`   | one check of a plugin as a [`check::Check`]                                     |
//! | `card`    | its card                                                                       |
//! | `document`| the rig as a plugin sees it                                                    |
//! | `answer`  | its answers as findings                                                        |
#![deny(missing_docs)]

mod answer;
mod asked;
pub mod bounds;
mod card;
mod document;
pub mod fault;
mod frame;
pub mod inside;
pub mod plugin;
#[cfg(unix)]
mod process;
#[cfg(not(unix))]
#[path = "elsewhere.rs"]
mod process;

pub use bounds::Bounds;
pub use fault::Fault;
pub use plugin::Plugin;
