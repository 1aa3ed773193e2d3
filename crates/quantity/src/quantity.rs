//! A value in SI whose dimension is in its type.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::dimension::Dim;
use crate::fault::Fault;
use crate::show::{System, show_exact};

/// A value in SI whose dimension is in its type: `Quantity<dim::Mass>` holds kilograms.
///
/// In a file it is text with a unit ("1200 kg"). A reader that feeds `visit_unit` gets a blank, NaN, so that it can
/// carry on after an error.
pub struct Quantity<D> {
    si: f64,
    dimension: PhantomData<fn() -> D>,
}

impl<D> Quantity<D> {
    /// The value, in SI.
    pub fn si(self) -> f64 {
        self.si
    }

    /// From a value in SI.
    pub fn from_si(si: f64) -> Quantity<D> {
        Quantity { si, dimension: PhantomData }
    }
}

impl<D> Clone for Quantity<D> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<D> Copy for Quantity<D> {}

impl<D> PartialEq for Quantity<D> {
    fn eq(&self, other: &Self) -> bool {
        self.si == other.si
    }
}

impl<D> PartialOrd for Quantity<D> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        self.si.partial_cmp(&other.si)
    }
}

impl<D: Dim> fmt::Debug for Quantity<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.si, D::DIMENSION.si_unit())
    }
}

impl<D: Dim> Serialize for Quantity<D> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&show_exact(self.si, D::DIMENSION, System::Metric))
    }
}

impl<'de, D: Dim> Deserialize<'de> for Quantity<D> {
    fn deserialize<R: Deserializer<'de>>(reader: R) -> Result<Self, R::Error> {
        reader.deserialize_str(Text(PhantomData))
    }
}

struct Text<D>(PhantomData<D>);

impl<D: Dim> de::Visitor<'_> for Text<D> {
    type Value = Quantity<D>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} as text, such as \"{}\"", D::DIMENSION.with_article(), D::DIMENSION.example())
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
        crate::parse(text, D::DIMENSION).map(Quantity::from_si).map_err(carried)
    }

    fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(Quantity::from_si(f64::NAN))
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Self::Value, E> {
        Err(carried(Fault::bare_number(&number.to_string(), D::DIMENSION)))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Self::Value, E> {
        Err(carried(Fault::bare_number(&number.to_string(), D::DIMENSION)))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Self::Value, E> {
        Err(carried(Fault::bare_number(&number.to_string(), D::DIMENSION)))
    }
}

/// A fault as a serde error: the `{:#}` form, which `Fault::parts` takes apart.
pub(crate) fn carried<E: de::Error>(fault: Fault) -> E {
    E::custom(format_args!("{fault:#}"))
}

impl<D: Dim> JsonSchema for Quantity<D> {
    fn schema_name() -> Cow<'static, str> {
        format!("Quantity_{}", D::DIMENSION.noun().replace(' ', "_")).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let d = D::DIMENSION;
        json_schema!({
            "type": "string",
            "description": format!("{} as text, such as \"{}\" or \"{}\"", d.with_article(), d.example(), d.second_example()),
            "pattern": crate::pattern(d),
        })
    }
}
