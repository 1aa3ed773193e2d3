//! The one table of kernels that programs, scripts and plugins may call by name.
//!
//! A kernel takes one JSON object and gives one. Its schemas come from the same structs that the Rust function takes,
//! so the three ways in (Rust, command line, script) cannot drift apart. Lists count from 0, as in JSON.
//!
//! ```
//! use kernels::{NoFiles, find};
//! use serde_json::json;
//!
//! let kernel = find("wheel-loads").expect("it is in the table");
//! let input = json!({ "axle_load_kg": 5200, "track_m": 2.0, "offset_y_m": 0.05 });
//! let output = kernel.call(input, &NoFiles).expect("in range");
//! assert_eq!(output, json!({ "left_kg": 2470.0, "right_kg": 2730.0 }));
//!
//! let wrong = json!({ "axle_load_kg": 5200, "track_m": 0, "offset_y_m": 0.05 });
//! let why = kernel.call(wrong, &NoFiles).expect_err("no track").to_string();
//! assert_eq!(why, "`track_m` is 0 m; wanted: over 0 to 1e6 m");
//! ```
#![forbid(unsafe_code)]

mod error;
mod mount;
mod power_store;
mod power_sun;
mod power_year;
mod row;
mod shape;
mod weight;

use std::sync::LazyLock;

use schemars::Schema;
use serde_json::Value;

pub use error::KernelError;

/// What a kernel may read: files that its input names, handed in by whoever may open them.
pub trait Files {
    /// Bytes of the file at that path.
    ///
    /// # Errors
    /// Why they cannot be had, as a sentence.
    fn read(&self, path: &str) -> Result<Vec<u8>, String>;
}

/// No files at all.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, path: &str) -> Result<Vec<u8>, String> {
        Err(format!("\"{path}\" cannot be read here: no files are open to this call"))
    }
}

/// A function of one JSON object, and of the files it may read.
pub type Call = fn(Value, &dyn Files) -> Result<Value, KernelError>;

/// A named physics function.
#[derive(Clone, Copy, Debug)]
pub struct Kernel {
    /// Its name: the noun for what comes out.
    pub name: &'static str,
    /// The trade it belongs to.
    pub trade: &'static str,
    /// One line on what it answers.
    pub summary: &'static str,
    /// An input that it answers, as JSON text.
    pub example: &'static str,
    /// JSON Schema of its input.
    pub input_schema: fn() -> Schema,
    /// JSON Schema of its output.
    pub output_schema: fn() -> Schema,
    /// The function itself; [`Kernel::call`] reads better.
    pub call: Call,
}

impl Kernel {
    /// Answers one JSON object.
    ///
    /// # Errors
    /// A field that is unknown, missing, of the wrong kind or outside its range, by name; a relation between fields in
    /// which the formula does not hold.
    pub fn call(&self, input: Value, files: &dyn Files) -> Result<Value, KernelError> {
        (self.call)(input, files)
    }
}

static ALL: LazyLock<Vec<Kernel>> =
    LazyLock::new(|| [weight::KERNELS, mount::KERNELS, power_sun::KERNELS, power_year::KERNELS, power_store::KERNELS].concat());

/// All kernels, by trade, in the order of their manual.
#[must_use]
pub fn all() -> &'static [Kernel] {
    &ALL
}

/// The kernel of that name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Kernel> {
    all().iter().find(|kernel| kernel.name == name)
}
