//! Values of the owner's own tables, `[custom.NAME]`, as inputs: a text that reads as a quantity has a spread like any other.

use std::collections::BTreeMap;

use quantity::{Stated, dim};
use rig_model::{Free, path};

use crate::inputs::{Inputs, Kind};

/// Takes every text that reads as a quantity. Whatever it is not, it stays text.
pub(crate) fn read(custom: &BTreeMap<String, Free>, inputs: &mut Inputs) {
    for (key, value) in custom {
        read_one(&format!("custom.{}", path::quote_key(key)), value, inputs);
    }
}

fn read_one(path: &str, value: &Free, inputs: &mut Inputs) {
    match value {
        Free::Text(text) => {
            take(path, text, inputs);
        }
        Free::Table(table) => {
            for (key, value) in table {
                read_one(&format!("{path}.{}", path::quote_key(key)), value, inputs);
            }
        }
        Free::List(list) => {
            let name = |value: &Free| match value {
                Free::Table(table) => match table.get("name") {
                    Some(Free::Text(name)) if !name.is_empty() => Some(name.clone()),
                    _ => None,
                },
                _ => None,
            };
            for (index, value) in list.iter().enumerate() {
                read_one(&format!("{path}{}", path::entry(name(value).as_deref(), index + 1)), value, inputs);
            }
        }
        Free::Number(_) | Free::Bool(_) => {}
    }
}

/// One text as the first kind of quantity that it reads as, among the inputs where it has a spread. The value in SI; none
/// for "?", and for what is no quantity.
fn take(path: &str, text: &str, inputs: &mut Inputs) -> Option<f64> {
    // Every quantity has a figure in it; most texts have none.
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    macro_rules! first_of {
        ($($Dimension:ident: $kind:ident),* $(,)?) => {
            $(if let Ok(stated) = Stated::<dim::$Dimension>::from_text(text) {
                // What has no spread is no input that a better measurement could settle.
                let estimate = inputs.take(|| path.to_owned(), Some(&stated), Kind::$kind);
                return estimate.ok().map(|estimate| estimate.value());
            })*
        };
    }
    // A percentage is a share before it is a slope. A share of a temperature in kelvin would be no doubt a reader means.
    first_of!(
        Mass: Mass,
        Length: Length,
        Volume: Volume,
        Pressure: Pressure,
        Area: Other,
        Force: Other,
        Torque: Other,
        Voltage: Other,
        Current: Other,
        Power: Other,
        Energy: Other,
        Charge: Other,
        Angle: Other,
        Ratio: Other,
        Speed: Other,
        Density: Other,
        SpringRate: Stiffness,
        RollStiffness: Stiffness,
        Temperature: Plate,
        Duration: Other,
        Acceleration: Other,
        HeatTransfer: Other,
        HeatLoss: Other,
        Resistance: Other,
        TemperatureCoefficient: Other,
        VoltageDrift: Other,
    );
    None
}

/// The value in SI of a text under `[custom]`; none for "?", and for what is no quantity.
#[must_use]
pub fn value(text: &str) -> Option<f64> {
    take("", text, &mut Inputs::default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_reads_as_a_quantity_is_an_input_with_its_spread() {
        let table = [("rope", "8 mm measured"), ("pull", "about 4 kN"), ("hook", "forged"), ("reach", "?"), ("share", "12 %")];
        let table = table.map(|(key, text)| (key.to_owned(), Free::from(text)));
        let custom = BTreeMap::from([("crane".to_owned(), Free::Table(table.into()))]);
        let mut inputs = Inputs::default();
        read(&custom, &mut inputs);
        let paths: Vec<&str> = inputs.list().iter().map(|input| input.path.as_str()).collect();
        assert_eq!(paths, ["custom.crane.pull", "custom.crane.rope", "custom.crane.share"]);
        assert!((inputs.list()[0].sd - 0.3 * 4000.0 / quantity::Z95).abs() < 1e-9);
        assert_eq!(value("about 4 kN"), Some(4000.0));
        assert_eq!((value("forged"), value("?"), value("12 %")), (None, None, Some(0.12)));
    }
}
