//! Every stated value of the power tables, as an input with its spread.

use std::sync::LazyLock;

use quantity::Estimate;
use rig_model::Thing;
use rig_model::model::{Drift, Panel, Rig};

use super::Power;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::told::{Part, Spreads, Told, one, some, spreads};

static SPREADS: Spreads = LazyLock::new(|| spreads("power/spread-of"));

/// Reads them in the order of the model. Masses, sizes and places of things are the ledger's; wishes have no spread.
pub(crate) fn read(rig: &Rig, inputs: &mut Inputs) -> Told {
    let heat = rig.body.as_ref().and_then(|body| body.heat.as_ref());
    let parts: [Part<'_>; 15] = [
        (&["site"], one(rig.site.as_ref())),
        (&["panel"], some(&rig.panel)),
        (&["battery"], some(&rig.battery)),
        (&["controller"], some(&rig.controller)),
        (&["charger"], some(&rig.charger)),
        (&["alternator"], one(rig.alternator.as_ref())),
        (&["inverter"], some(&rig.inverter)),
        (&["converter"], some(&rig.converter)),
        (&["portable"], some(&rig.portable)),
        (&["load"], some(&rig.load)),
        (&["body", "heat"], one(heat)),
        (&["inlet"], some(&rig.inlet)),
        (&["generator"], some(&rig.generator)),
        (&["roof"], one(rig.roof.as_ref())),
        (&["locker"], some(&rig.locker)),
    ];
    Told::read(parts, &SPREADS, inputs)
}

impl Power {
    /// Change of a panel's open-circuit voltage with temperature, relative to that at 25 °C, 1/K; below zero.
    ///
    /// # Errors
    /// The gap at `voc_change`, or at `voc` where the change is told in volts.
    pub fn voc_change(&self, panel: &Panel) -> Result<Estimate, Gap> {
        let path = panel.path();
        let drift = self.told(&format!("{path}.voc_change"))?;
        match panel.voc_change {
            Some(Drift::Voltage(_)) => Ok(drift / self.told(&format!("{path}.voc"))?),
            _ => Ok(drift.clone()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::told::proof;
    use rig_model::{Syntax, read_rig};
    use std::sync::Arc;

    use crate::facts::Facts;

    const EVERY_KEY: &str = include_str!("../../../rig-model/tests/rigs/good.toml");

    const TABLES: [&str; 15] = [
        "site",
        "panel",
        "battery",
        "controller",
        "charger",
        "alternator",
        "inverter",
        "converter",
        "portable",
        "load",
        "body.heat",
        "inlet",
        "generator",
        "roof",
        "locker",
    ];

    /// Mass, place and size are the ledger's.
    const ELSEWHERE: [&str; 8] =
        ["panel.mass", "panel.at", "panel.size", "battery.mass", "portable.mass", "portable.at", "generator.mass", "load.mass"];

    #[test]
    fn every_value_of_every_key_is_an_input_or_stands_as_marked() {
        let (_, rig) = read_rig(EVERY_KEY, Syntax::Toml).expect("it reads");
        let mut inputs = Inputs::default();
        let told = read(&rig, &mut inputs);
        let mine = |field: &str| TABLES.iter().any(|table| field.starts_with(&format!("{table}.")));
        let seen = proof::every_value_is_told(&rig, &told, mine, &ELSEWHERE);
        assert!(seen > 140, "{seen}");
        proof::every_row_names_a_table(&SPREADS, 110);
    }

    #[test]
    fn spreads_by_hand() {
        let (_, rig) = read_rig(EVERY_KEY, Syntax::Toml).expect("it reads");
        let facts = Facts::derive(Arc::new(rig.clone()));
        let told = |path: &str| facts.power().told(path).expect(path);
        let half = |path: &str| told(path).sd() * quantity::Z95;
        // 200 Ah by its label, 5 times in 100; measured over 24 h, 5 in 100 of 480 Wh; a meter reads 35 A to 15 in 100.
        assert!((half("battery[house].capacity") - 0.05 * 200.0 * 3600.0).abs() < 1e-6);
        assert!((half("load[fridge].daily") - 0.05 * 480.0 * 3600.0).abs() < 1e-6);
        assert!((half("alternator.idle") - 0.15 * 35.0).abs() < 1e-9);
        // A rating stands as marked.
        assert_eq!(told("controller[\"sun controller\"].max_voltage").sd(), 0.0);
        assert_eq!(facts.power().told("battery[x].capacity"), Err(Gap::at("battery[x].capacity")));
        assert!(facts.inputs().iter().any(|input| input.path == "battery[house].capacity"));
        assert_eq!(facts.inputs().last().map(|input| input.path.as_str()), Some("trailer.mass"));
    }

    #[test]
    fn a_change_in_volts_is_relative_to_the_open_circuit_voltage() {
        let (_, rig) = read_rig(EVERY_KEY, Syntax::Toml).expect("it reads");
        let facts = Facts::derive(Arc::new(rig.clone()));
        let of = |index: usize| facts.power().voc_change(&rig.panel[index]).map(|change| change.value());
        // By hand: -66 mV over 24.3 V is -0.2716 % a kelvin.
        assert!((of(0).unwrap() + 0.002_716).abs() < 1e-6);
        assert_eq!(of(1), Ok(-0.003));
        assert_eq!(of(2), Err(Gap::at("panel[\"spare wheel panel\"].voc_change")));
    }
}
