//! How a voltage moves with temperature, as data plates give it: relative, or in volts.

use std::borrow::Cow;

use quantity::{Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer};

use super::{LeafVisitor, read_stated};
use crate::reader::LeafFault;

/// Change of a voltage for each degree.
#[derive(Clone, Debug, PartialEq)]
pub enum Drift {
    /// Relative to the voltage at 25 °C, per kelvin: "-0.27 %/K".
    Share(Stated<dim::TemperatureCoefficient>),
    /// In volts per kelvin, of the whole panel: "-100 mV/K".
    Voltage(Stated<dim::VoltageDrift>),
    /// "?": not known yet.
    Unknown,
}

impl Drift {
    const EXPECTED: &str = "a change per degree, such as \"-0.27 %/K\" or \"-100 mV/K\", or \"?\"";

    /// Reads it as the file writes it.
    ///
    /// # Errors
    /// The sentence for the owner when the text is no such change.
    pub fn read(text: &str) -> Result<Drift, String> {
        if text.trim() == "?" {
            return Ok(Drift::Unknown);
        }
        read_stated::<dim::TemperatureCoefficient>(text).map(Drift::Share).or_else(|share_fault| {
            read_stated::<dim::VoltageDrift>(text)
                .map(Drift::Voltage)
                .map_err(|voltage_fault| if text.contains('V') { voltage_fault } else { share_fault })
        })
    }

    /// The number as it is written, per kelvin: a share or volts.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        match self {
            Drift::Share(share) => share.value(),
            Drift::Voltage(voltage) => voltage.value(),
            Drift::Unknown => None,
        }
    }
}

impl<'de> Deserialize<'de> for Drift {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let read = |text: &str| {
            Drift::read(text).map_err(|sentence| LeafFault { sentence, expected: Some(Drift::EXPECTED.into()), write: None })
        };
        deserializer.deserialize_str(LeafVisitor { expected: Drift::EXPECTED, read, blank: || Drift::Unknown })
    }
}

impl JsonSchema for Drift {
    fn schema_name() -> Cow<'static, str> {
        "Drift".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "Change of a voltage for each degree: relative (\"-0.27 %/K\"), in volts of the whole panel (\"-100 mV/K\"), or \"?\" for not known yet.",
            "examples": ["-0.27 %/K", "-100 mV/K", "?"],
            "minLength": 1,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drift_is_a_share_or_volts() {
        for (text, wanted) in [("-0.27 %/K", -0.0027), ("-0.3 %/°C brochure", -0.003)] {
            let Ok(Drift::Share(share)) = Drift::read(text) else { panic!("{text}") };
            assert!((share.value().unwrap() - wanted).abs() < 1e-15, "{text}");
        }
        let Ok(Drift::Voltage(voltage)) = Drift::read("-100 mV/K +- 10 mV/K") else { panic!("it is in volts") };
        assert_eq!((voltage.value(), voltage.tolerance()), (Some(-0.1), Some(0.01)));
        assert_eq!(Drift::read("?"), Ok(Drift::Unknown));
        assert!(Drift::read("-0.27").is_err());
        assert!(Drift::read("-0.27 %").unwrap_err().contains("change per degree"));
        assert!(Drift::read("37 V").unwrap_err().contains("voltage"));
    }
}
