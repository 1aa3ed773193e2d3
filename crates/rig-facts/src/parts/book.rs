//! The parts a rig may name: the owner's own first, then those that come with the program.

use crate::parts::{Part, Parts};

/// Where `like = "NAME"` is looked up. The shipped parts are read when the first name is looked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartsBook {
    own: Option<Parts>,
}

impl PartsBook {
    /// The shipped parts alone.
    #[must_use]
    pub fn shipped() -> Self {
        Self::default()
    }

    /// The shipped parts and an owner's own, which win by name.
    ///
    /// # Errors
    /// As [`Parts::with_own`].
    pub fn with_own(text: &str) -> Result<Self, basis::LoadError> {
        Ok(Self { own: Some(Parts::shipped().with_own(text)?) })
    }

    /// All parts.
    #[must_use]
    pub fn parts(&self) -> &Parts {
        self.own.as_ref().unwrap_or_else(|| Parts::shipped())
    }

    /// The part of that name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Part> {
        self.parts().find(name)
    }
}
