//! Every stated value of panels, batteries, chargers, loads and sites, as an input with its spread.

use std::sync::LazyLock;

use rig_model::model::Rig;
use rig_model::walk::Walk;

use crate::inputs::Inputs;
use crate::told::{Part, Spreads, Told, some, spreads};

static SPREADS: LazyLock<Spreads> = LazyLock::new(|| spreads("power/spread-of"));

/// Reads them in the order of the model. Nothing is read, and no table of half widths, where the rig tells none of it.
pub(crate) fn read(rig: &Rig, inputs: &mut Inputs) -> Told {
    let heat = rig.body.as_ref().and_then(|body| body.heat.as_ref());
    let parts: [Part<'_>; 15] = [
        (&["site"], rig.site.as_ref().map(|site| site as &dyn Walk)),
        (&["panel"], some(&rig.panel)),
        (&["controller"], some(&rig.controller)),
        (&["battery"], some(&rig.battery)),
        (&["charger"], some(&rig.charger)),
        (&["alternator"], rig.alternator.as_ref().map(|alternator| alternator as &dyn Walk)),
        (&["inverter"], some(&rig.inverter)),
        (&["converter"], some(&rig.converter)),
        (&["portable"], some(&rig.portable)),
        (&["load"], some(&rig.load)),
        (&["body", "heat"], heat.map(|heat| heat as &dyn Walk)),
        (&["inlet"], some(&rig.inlet)),
        (&["generator"], some(&rig.generator)),
        (&["roof"], rig.roof.as_ref().map(|roof| roof as &dyn Walk)),
        (&["locker"], some(&rig.locker)),
    ];
    if parts.iter().all(|(_, part)| part.is_none()) {
        return Told::default();
    }
    Told::read(&parts, &SPREADS, inputs)
}
