//! Values written as one piece of text: a coordinate, a fill, an occupant, a day, a way to face.

mod calendar;
mod drift;
mod facing;
mod fill;
mod occupant;
mod place;
pub(crate) mod short;

use std::fmt;

use quantity::Stated;
use serde::de::value::StrDeserializer;
use serde::de::{Deserialize, Error, Visitor};

use crate::reader::LeafFault;

pub use calendar::{Day, Until};
pub use drift::Drift;
pub use facing::{Facing, FacingWord};
pub use fill::Fill;
pub use occupant::Occupant;
pub use place::{Coord, Word};
pub use short::{Many, OneLine, Short};

/// A stated value from its one-string form; the fault as the sentence for the owner.
pub(crate) fn read_stated<D: quantity::Dim>(text: &str) -> Result<Stated<D>, String> {
    Stated::<D>::deserialize(StrDeserializer::<serde::de::value::Error>::new(text))
        .map_err(|fault| quantity::Fault::parts(&fault.to_string()).sentence.to_owned())
}

/// The visitor of every value that is one piece of text: `read` for the text, `blank` for the second reading after a
/// fault was noted.
struct LeafVisitor<T, R: Fn(&str) -> Result<T, LeafFault>, B: Fn() -> T> {
    expected: &'static str,
    read: R,
    blank: B,
}

impl<T, R: Fn(&str) -> Result<T, LeafFault>, B: Fn() -> T> Visitor<'_> for LeafVisitor<T, R, B> {
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.expected)
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        (self.read)(text).map_err(E::custom)
    }
    fn visit_unit<E: Error>(self) -> Result<T, E> {
        Ok((self.blank)())
    }
}
