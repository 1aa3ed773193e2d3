//! What is in a tank.

use std::borrow::Cow;

use quantity::{Dimension, Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer};

use super::{LeafVisitor, read_stated};
use crate::reader::LeafFault;

/// What is in a tank.
#[derive(Clone, Debug, PartialEq)]
pub enum Fill {
    /// A share of the tank's volume, 0 to 1: "50 %", "full", "empty".
    Share(Stated<dim::Ratio>),
    /// A volume: "80 L".
    Volume(Stated<dim::Volume>),
    /// A mass of what is in it: "20 kg".
    Mass(Stated<dim::Mass>),
    /// "?": not known yet; anything from empty to full.
    Unknown,
}

impl Fill {
    const EXPECTED: &str = "a fill, such as \"80 L\", \"50 %\", \"full\", \"empty\" or \"?\"";

    /// Reads a fill as the file writes it.
    ///
    /// # Errors
    /// The sentence for the owner when the text is no fill.
    pub fn read(text: &str) -> Result<Fill, String> {
        let stated = match text.trim() {
            "?" => return Ok(Fill::Unknown),
            "full" => "100 %",
            "empty" => "0 %",
            other => other,
        };
        let share = |text| read_stated::<dim::Ratio>(text).map(Fill::Share);
        if stated.contains('%') {
            return share(stated);
        }
        read_stated::<dim::Volume>(stated).map(Fill::Volume).or_else(|volume_fault| {
            read_stated::<dim::Mass>(stated)
                .map(Fill::Mass)
                .or_else(|mass_fault| share(stated).map_err(|_| if speaks_of_mass(stated) { mass_fault } else { volume_fault }))
        })
    }
}

/// Whether one of the words is a unit of mass: then the message is about that.
fn speaks_of_mass(text: &str) -> bool {
    let numeric = |c: char| c.is_ascii_digit() || ".,+-".contains(c);
    let unit_alone = |word: &str| format!("1 {}", word.trim_start_matches(numeric));
    text.split_whitespace().any(|word| quantity::dimension_of(&unit_alone(word)) == Some(Dimension::Mass))
}

impl<'de> Deserialize<'de> for Fill {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let read = |text: &str| {
            Fill::read(text).map_err(|sentence| LeafFault { sentence, expected: Some(Fill::EXPECTED.into()), write: None })
        };
        deserializer.deserialize_str(LeafVisitor { expected: Fill::EXPECTED, read, blank: || Fill::Unknown })
    }
}

impl JsonSchema for Fill {
    fn schema_name() -> Cow<'static, str> {
        "Fill".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "What is in a tank: a share (\"50 %\", \"full\", \"empty\"), a volume (\"80 L\", \"about 60 L\", \"40 to 60 L\"), a mass (\"20 kg\"), or \"?\" for not known yet.",
            "examples": ["full", "empty", "80 L", "about 50 %", "?"],
            "minLength": 1,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fill_is_a_share_a_volume_or_a_mass() {
        let share = |text: &str| match Fill::read(text) {
            Ok(Fill::Share(share)) => share.value(),
            other => panic!("{text}: {other:?}"),
        };
        assert_eq!(share("full"), Some(1.0));
        assert_eq!(share("empty"), Some(0.0));
        assert_eq!(share(" about 50 % "), Some(0.5));
        assert!(matches!(Fill::read("40 to 60 L"), Ok(Fill::Volume(_))));
        assert!(matches!(Fill::read("20 kg weighed"), Ok(Fill::Mass(_))));
        assert_eq!(Fill::read("?"), Ok(Fill::Unknown));
        assert!(Fill::read("20 kgs").is_err());
        assert!(Fill::read("").is_err());
        assert!(Fill::read("5 bar").unwrap_err().contains("pressure"));
    }
}
