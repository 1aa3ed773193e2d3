//! Why a call gives no answer.

use thiserror::Error;

/// Why a call gives no answer. Fields are named by their path: `masses[0].x_m` is of the first mass.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum KernelError {
    /// A field that the kernel does not have.
    #[error("`{field}` is no field here; the fields are {known}")]
    NotAField {
        /// Path of the field.
        field: String,
        /// The fields there are, in quotes, with commas.
        known: String,
    },
    /// A field that must be given and is not.
    #[error("`{field}` is not there; wanted: {wanted}")]
    NotThere {
        /// Path of the field.
        field: String,
        /// What it would hold.
        wanted: String,
    },
    /// A value of the wrong kind.
    #[error("{place} is {found}; wanted: {wanted}")]
    WrongKind {
        /// Path of the field in quotes, or "the input".
        place: String,
        /// What stands there.
        found: String,
        /// What is wanted there.
        wanted: String,
    },
    /// The formula does not answer these numbers.
    #[error(transparent)]
    Physics(#[from] physics::KernelError),
    /// A file that the input names cannot be used.
    #[error("{sentence}")]
    File {
        /// What is the matter with it.
        sentence: String,
    },
    /// The answer cannot be written down.
    #[error("the answer cannot be written as JSON: {why}")]
    Unwritable {
        /// Why.
        why: String,
    },
}
