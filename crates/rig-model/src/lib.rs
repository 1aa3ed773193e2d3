//! The rig file: its types, its reader, its schema.
//!
//! | module | holds |
//! |---|---|
//! | [`model`] | the tables, as serde and schemars types; their doc comments are the user's documentation |
//! | [`Document`] | the file as a tree with places, from TOML or JSON; edits; the door to the reader |
//! | `reader` | a serde deserializer that notes problems and carries on |
//! | `check` | what one table alone cannot tell: names, references, places, physical ranges |
//! | [`path`] | `axle[front].rated`: how findings, needs and edits point into the file |
//! | [`walk`] | every value of a rig with its path |
//! | [`view`] | the rig as plain values, for checks written outside |
//! | [`Thing`] | everything with a mass or a place, through one trait |
//! | [`schema`] | the JSON Schema of the file |
//!
//! ```
//! let text = r#"
//! format = "rigproof-rig/1"
//! rig = "Example"
//! [[axle]]
//! name = "front"
//! rated = "5200 kgs"
//! "#;
//! let problems = rig_model::read_rig(text, rig_model::Syntax::Toml).unwrap_err();
//! assert_eq!((problems[0].place.line, problems[0].place.column), (6, 9));
//! assert_eq!(problems[0].subject, "axle \"front\", rated");
//! ```
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod check;
mod document;
mod edit;
mod free;
mod lines;
mod locate;
pub mod model;
pub mod path;
mod problem;
mod reader;
mod schema;
mod syntax;
mod thing;
mod tree;
pub mod view;
pub mod walk;

pub use document::{Document, MAX_BYTES, Syntax, read_rig, read_rig_bytes};
pub use edit::{Edit, EditFault, EditOp};
pub use free::Free;
pub use lines::{Lines, Place};
pub use model::*;
pub use problem::Problem;
pub use schema::schema;
pub use thing::{Amount, Thing, ThingKind};
