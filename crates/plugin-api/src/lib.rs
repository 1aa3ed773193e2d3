//! Checks of your own as a native library, for what a script cannot do.
//!
//! A check has a card (all that it says of itself) and answers: for every subject and every state of its scope one
//! finding, never silence. It decides no verdict. It says what it compares with what, and the program compares.
//!
//! ```
//! use plugin_api::{Card, Check, Consequence, Context, Dimension, Finding, Limit, Scope, entry, export_plugin};
//!
//! struct Masts;
//!
//! impl Check for Masts {
//!     fn card(&self) -> Card {
//!         Card::new("masts/mast-weight", "Can one person carry each mast?", Consequence::Injury, Scope::Once)
//!             .words("weighs", "may weigh")
//!             .needs(&["mass.mass"])
//!     }
//!
//!     fn answer(&self, cx: &Context<'_>) -> Vec<Finding> {
//!         let masts = cx.rig().get("mass").entries().filter(|(name, _)| name.contains("mast"));
//!         let all: Vec<Finding> = masts
//!             .map(|(name, mast)| {
//!                 let path = entry("mass", name);
//!                 let draft = cx.about(name).at(&path);
//!                 match mast.need("mass", &path) {
//!                     Ok(mass) => draft
//!                         .compare(&mass, Dimension::Mass, vec![Limit::at_most("what one person lifts", 25.0).common_practice()])
//!                         .done(),
//!                     Err(gap) => draft.missing(gap),
//!                 }
//!             })
//!             .collect();
//!         if all.is_empty() { vec![cx.about("masts").at("mass").not_applicable("the file has no mast")] } else { all }
//!     }
//! }
//!
//! export_plugin!(Masts);
//! # fn main() {}
//! ```
//!
//! | module      | holds                                                                    |
//! |-------------|--------------------------------------------------------------------------|
//! | [`check`]   | [`Check`], and [`Context`]: what a check may look at                      |
//! | [`draft`]   | [`Draft`] and [`Limit`]: build one finding                                |
//! | [`number`]  | [`Number`]: a value that carries its doubt                                |
//! | [`seen`]    | [`Seen`]: the rig and its facts as plain values                           |
//! | [`wire`]    | the documents that go over the boundary                                   |
//! | [`session`] | answers those documents; a panic becomes a fault                          |
//! | [`abi`]     | the three functions of a plugin                                           |
#![deny(missing_docs)]

pub mod abi;
pub mod check;
pub mod draft;
pub mod number;
pub mod seen;
pub mod session;
pub mod wire;

pub use check::{Check, Context};
pub use draft::{Draft, Limit, edit_set};
pub use number::Number;
pub use seen::{Gap, Seen, entry};
pub use wire::{Card, Consequence, Dimension, Effort, Finding, Scope};
