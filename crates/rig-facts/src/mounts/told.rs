//! Every stated value that tells how the body is held, as an input with its spread.

use std::sync::LazyLock;

use rig_model::model::Rig;
use rig_model::walk::Walk;

use crate::inputs::Inputs;
use crate::told::{Part, Spreads, Told, one, some, spreads};

static SPREADS: Spreads = LazyLock::new(|| spreads("held/spread-of"));

/// Reads them in the order of the model. Masses, sizes and places of things are the ledger's.
pub(crate) fn read(rig: &Rig, inputs: &mut Inputs) -> Told {
    let frame = rig.chassis.as_ref().and_then(|chassis| chassis.frame.as_ref());
    let joists = rig.body.as_ref().map(|body| &body.joist);
    let parts: [Part<'_>; 13] = [
        (&["chassis", "frame"], one(frame)),
        (&["body", "joist"], joists.filter(|list| !list.is_empty()).map(|list| list as &dyn Walk)),
        (&["mount"], some(&rig.mount)),
        (&["cross_member"], some(&rig.cross_member)),
        (&["levelling"], one(rig.levelling.as_ref())),
        (&["strap"], some(&rig.strap)),
        (&["lifting"], one(rig.lifting.as_ref())),
        (&["roof_item"], some(&rig.roof_item)),
        (&["awning"], some(&rig.awning)),
        (&["clearance"], some(&rig.clearance)),
        (&["fixing"], some(&rig.fixing)),
        (&["recovery"], some(&rig.recovery)),
        (&["contact"], some(&rig.contact)),
    ];
    Told::read(parts, &SPREADS, inputs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gap::Gap;
    use crate::told::proof;
    use quantity::Estimate;
    use rig_model::{Syntax, read_rig};

    const EVERY_KEY: &str = include_str!("../../../rig-model/tests/rigs/good.toml");

    /// What no row is for: the ledger reads it, or mounts do as places.
    const ELSEWHERE: [&str; 13] = [
        "chassis.frame.top",
        "chassis.frame.rear_end",
        "mount.at",
        "roof_item.mass",
        "roof_item.at",
        "roof_item.size",
        "awning.mass",
        "awning.at",
        "awning.size",
        "awning.out_at",
        "levelling.pitch",
        "levelling.roll",
        "contact",
    ];

    #[test]
    fn every_value_of_every_key_is_an_input_or_stands_as_marked() {
        let (_, rig) = read_rig(EVERY_KEY, Syntax::Toml).expect("it reads");
        let mut inputs = Inputs::default();
        let told = read(&rig, &mut inputs);
        let mine = |field: &str| {
            let held = ["mount", "cross_member", "levelling", "strap", "lifting", "roof_item", "awning", "clearance", "fixing"];
            held.iter().chain(&["recovery"]).any(|key| field.starts_with(&format!("{key}.")))
                || field.starts_with("chassis.frame.")
                || field.starts_with("body.joist.")
        };
        let seen = proof::every_value_is_told(&rig, &told, mine, &ELSEWHERE);
        assert!(seen > 90, "{seen}");
        // By hand: a card in the corner reads a leg to 1 mm, 95 times in 100.
        let leg = told.get("mount[\"front left\"].welds.leg").expect("it is told");
        assert!((leg.sd() - 0.001 / quantity::Z95).abs() < 1e-12);
        assert_eq!(told.get("strap[\"rear cross straps\"].capacity").map(Estimate::sd), Ok(0.0));
        assert_eq!(told.get("mount[x].bolts.arm"), Err(Gap::at("mount[x].bolts.arm")));
    }

    #[test]
    fn every_row_names_a_table() {
        proof::every_row_names_a_table(&SPREADS, 90);
    }
}
