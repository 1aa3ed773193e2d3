//! Stated values in files: text or table in, text or table out, one flat schema.
//!
//! A stated value asks its deserializer for a struct, so that a reader learns its keys, and takes text all the same.
//! The rig reader gives it what is there; a deserializer that insists on a table (serde_json does) refuses the text.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapAccessDeserializer;
use serde::ser::SerializeStruct;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::Dimension;
use crate::dimension::Dim;
use crate::fault::{Fault, Reason};
use crate::quantity::carried;
use crate::stated::{How, Said, Stated};
use crate::stated_text::{Tolerance, one_way, said_from_text, said_to_text, tolerance_from_text};

const FIELDS: &[&str] = &["value", "how", "tolerance", "bounds", "from"];

impl<'de, D: Dim> Deserialize<'de> for Stated<D> {
    fn deserialize<R: Deserializer<'de>>(reader: R) -> Result<Self, R::Error> {
        reader.deserialize_struct("Stated", FIELDS, TextOrTable(PhantomData))
    }
}

struct TextOrTable<D>(PhantomData<D>);

impl<'de, D: Dim> de::Visitor<'de> for TextOrTable<D> {
    type Value = Stated<D>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let d = D::DIMENSION;
        write!(
            f,
            "{} as text, such as \"{}\", or a table with value, how, tolerance, bounds, from",
            d.with_article(),
            d.example()
        )
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
        Stated::from_text(text).map_err(carried)
    }

    fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(Stated::unknown())
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

    fn visit_map<A: de::MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
        let table = Table::<D>::deserialize(MapAccessDeserializer::new(map))?;
        table.said().map(Stated::of).map_err(|reason| carried(Fault::new(reason, "a table", D::DIMENSION)))
    }
}

/// The long form. Its texts are leaves of their own, so that a reader can point at each.
#[derive(Deserialize)]
#[serde(bound = "", deny_unknown_fields, expecting = "a table with value, how, tolerance, bounds, from")]
struct Table<D: Dim> {
    value: Line<D>,
    how: Option<HowWord>,
    tolerance: Option<Width<D>>,
    bounds: Option<bool>,
    from: Option<String>,
}

impl<D: Dim> Table<D> {
    fn said(self) -> Result<Said, Reason> {
        let mut said = self.value.said;
        let in_line = (said.how != How::Unsaid).then(|| (said.how.word(), said.how));
        let beside = self.how.map(|word| (word.how().word(), word.how()));
        said.how = one_way([in_line, beside])?;
        said.from = self.from;
        if let Some(width) = self.tolerance {
            let value = said.value.ok_or(Reason::Tolerance)?;
            if said.tolerance.is_some() || said.bounds.is_some() {
                return Err(Reason::TwoSpreads);
            }
            said.tolerance = width.tolerance.map(|tolerance| tolerance.of(value));
        }
        if self.bounds == Some(true) && said.bounds.is_none() {
            match (said.value, said.tolerance.take()) {
                (Some(value), Some(half)) => said.bounds = Some((value - half, value + half)),
                _ => return Err(Reason::BoundsAlone),
            }
        }
        Ok(said)
    }
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case", expecting = "one of weighed, data-plate, measured, brochure, estimated")]
enum HowWord {
    Weighed,
    DataPlate,
    Measured,
    Brochure,
    Estimated,
}

impl HowWord {
    fn how(self) -> How {
        match self {
            HowWord::Weighed => How::Weighed,
            HowWord::DataPlate => How::DataPlate,
            HowWord::Measured => How::Measured,
            HowWord::Brochure => How::Brochure,
            HowWord::Estimated => How::Estimated,
        }
    }
}

/// A leaf that is text of some dimension.
trait Leaf: Sized {
    const DIMENSION: Dimension;
    fn read(text: &str) -> Result<Self, Fault>;
    fn blank() -> Self;
    fn expecting(f: &mut fmt::Formatter<'_>) -> fmt::Result;
}

/// The value of the long form, any one-line form.
struct Line<D> {
    said: Said,
    dimension: PhantomData<D>,
}

impl<D: Dim> Leaf for Line<D> {
    const DIMENSION: Dimension = D::DIMENSION;

    fn read(text: &str) -> Result<Self, Fault> {
        said_from_text(text, D::DIMENSION).map(|said| Line { said, dimension: PhantomData })
    }

    fn blank() -> Self {
        Line { said: Said::default(), dimension: PhantomData }
    }

    fn expecting(f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} as text, such as \"{}\"", D::DIMENSION.with_article(), D::DIMENSION.example())
    }
}

/// The tolerance of the long form: a half width, or a share of the value. `None` is a blank.
struct Width<D> {
    tolerance: Option<Tolerance>,
    dimension: PhantomData<D>,
}

impl<D: Dim> Leaf for Width<D> {
    const DIMENSION: Dimension = D::DIMENSION;

    fn read(text: &str) -> Result<Self, Fault> {
        tolerance_from_text(text, D::DIMENSION).map(|tolerance| Width { tolerance: Some(tolerance), dimension: PhantomData })
    }

    fn blank() -> Self {
        Width { tolerance: None, dimension: PhantomData }
    }

    fn expecting(f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let d = D::DIMENSION;
        write!(f, "a tolerance as text: {} or a share of the value, such as \"{}\" or \"5 %\"", d.with_article(), d.example())
    }
}

struct LeafText<L>(PhantomData<L>);

impl<L: Leaf> de::Visitor<'_> for LeafText<L> {
    type Value = L;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        L::expecting(f)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<L, E> {
        L::read(text).map_err(carried)
    }

    fn visit_unit<E: de::Error>(self) -> Result<L, E> {
        Ok(L::blank())
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<L, E> {
        Err(carried(Fault::bare_number(&number.to_string(), L::DIMENSION)))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<L, E> {
        Err(carried(Fault::bare_number(&number.to_string(), L::DIMENSION)))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<L, E> {
        Err(carried(Fault::bare_number(&number.to_string(), L::DIMENSION)))
    }
}

impl<'de, D: Dim> Deserialize<'de> for Line<D> {
    fn deserialize<R: Deserializer<'de>>(reader: R) -> Result<Self, R::Error> {
        reader.deserialize_str(LeafText(PhantomData))
    }
}

impl<'de, D: Dim> Deserialize<'de> for Width<D> {
    fn deserialize<R: Deserializer<'de>>(reader: R) -> Result<Self, R::Error> {
        reader.deserialize_str(LeafText(PhantomData))
    }
}

impl<D: Dim> Serialize for Stated<D> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let line = said_to_text(&self.said, D::DIMENSION);
        let Some(from) = self.from() else { return serializer.serialize_str(&line) };
        let mut table = serializer.serialize_struct("Stated", 2)?;
        table.serialize_field("value", &line)?;
        table.serialize_field("from", from)?;
        table.end()
    }
}

impl<D: Dim> JsonSchema for Stated<D> {
    fn schema_name() -> Cow<'static, str> {
        format!("Stated_{}", D::DIMENSION.noun().replace(' ', "_")).into()
    }

    /// One flat schema: `pattern` bites on text only, the rest on tables only, and messages stay exact.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let d = D::DIMENSION;
        let (line, width) = (crate::stated_pattern(d), crate::pattern::tolerance_pattern(d));
        let words: Vec<&str> = How::SAID.iter().map(|how| how.word()).collect();
        let example = d.example();
        json_schema!({
            "type": ["string", "object"],
            "description": format!("{}: \"{example}\", \"about {example}\", \"{example} weighed\", \"{example} +- 5 %\", \"LOW to HIGH\", \"?\" (not known yet), or a table", d.with_article()),
            "pattern": line,
            "properties": {
                "value": { "type": "string", "description": "the value, in any one-line form", "pattern": line },
                "how": { "type": "string", "description": "how it is known", "enum": words },
                "tolerance": { "type": "string", "description": format!("95 % half width: {} or a share of the value", d.with_article()), "pattern": width },
                "bounds": { "type": "boolean", "description": "true: value less and plus tolerance are hard bounds" },
                "from": { "type": "string", "description": "ticket, brochure or scale; values from one source share an error" },
            },
            "required": ["value"],
            "additionalProperties": false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dim;
    use crate::stated_text::width_to_text;

    #[test]
    fn width_is_written_so_that_it_reads_back() {
        for d in Dimension::ALL {
            let text = width_to_text(0.25, d);
            let read = tolerance_from_text(&text, d).unwrap().of(0.5);
            assert!((read - 0.25).abs() < 1e-9, "{d:?}: {text} read as {read}");
        }
    }

    #[test]
    fn schema_names_come_from_the_dimension() {
        assert_eq!(Stated::<dim::SpringRate>::schema_name(), "Stated_spring_rate");
        assert_eq!(crate::Quantity::<dim::Mass>::schema_name(), "Quantity_mass");
    }
}
