//! An input that is absent and stops a fact.

/// The path of the input that stopped a fact, and why it was wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Path of the absent input in the rig file.
    pub path: String,
    /// Why it is wanted, as a sentence; may be empty where the path says it.
    pub why: String,
}

impl Gap {
    /// A gap at a path whose meaning is plain.
    #[must_use]
    pub fn at(path: impl Into<String>) -> Self {
        Self { path: path.into(), why: String::new() }
    }

    /// A gap with the reason it is wanted.
    #[must_use]
    pub fn because(path: impl Into<String>, why: impl Into<String>) -> Self {
        Self { path: path.into(), why: why.into() }
    }
}
