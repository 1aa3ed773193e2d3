//! What belongs to a rig and does not stand in its file.

use std::sync::Arc;

use crate::parts::PartsBook;

/// Years that are drawn where nobody says how many.
pub const YEARS_DRAWN: u32 = 10;
/// The most years that are drawn. A choice of this project: more tell hardly more.
pub const YEARS_MOST: u32 = 50;

/// Files beside the rig's own, read already, and how long to look.
#[derive(Clone, Debug)]
pub struct Beside {
    /// The parts that `like` may name.
    pub parts: Arc<PartsBook>,
    /// The weather file that `[site]` names.
    pub weather: Option<Arc<weather::Year>>,
    /// How many years are drawn from a climate.
    pub years: u32,
}

impl Default for Beside {
    fn default() -> Self {
        Self { parts: Arc::default(), weather: None, years: YEARS_DRAWN }
    }
}

impl From<Arc<PartsBook>> for Beside {
    fn from(parts: Arc<PartsBook>) -> Self {
        Self { parts, ..Self::default() }
    }
}
