//! What the power tables tell.
//!
//! | module   | holds                                                                      |
//! |----------|----------------------------------------------------------------------------|
//! | `told`   | every stated value of the tables of the trade, as an input with its spread |

mod told;

use std::sync::Arc;

use quantity::Estimate;
use rig_model::model::Rig;

use crate::facts::Facts;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::told::Told;

/// What the power tables tell.
#[derive(Clone, Debug, Default)]
pub struct Power {
    told: Arc<Told>,
}

impl Power {
    pub(crate) fn read(rig: &Rig, inputs: &mut Inputs) -> Self {
        Self { told: Arc::new(told::read(rig, inputs)) }
    }

    /// A stated value of the tables of the trade, SI, by its path. `panel[NAME].voc_change` is as the file writes it: see
    /// [`Power::voc_change`].
    ///
    /// # Errors
    /// The gap at that path.
    pub fn told(&self, path: &str) -> Result<&Estimate, Gap> {
        self.told.get(path)
    }
}

impl Facts {
    /// What the power tables tell.
    #[must_use]
    pub fn power(&self) -> &Power {
        &self.power
    }
}
