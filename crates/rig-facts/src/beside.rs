//! What belongs to a rig and does not stand in its file.

use std::sync::Arc;

use weather::{Hourly, Problem, Year};

use crate::parts::PartsBook;

/// Years that are drawn where nobody says how many.
pub const YEARS_DRAWN: u32 = 10;
/// The most years that are drawn. A choice of this project: more tell hardly more.
pub const YEARS_MOST: u32 = 50;

/// A weather file as the years are run through it.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherFile {
    /// What the file says.
    pub year: Year,
    /// Its hours, gaps filled by rule.
    pub hourly: Hourly,
}

impl WeatherFile {
    /// Reads it.
    ///
    /// # Errors
    /// What of it is no weather year, and gaps that no rule fills.
    pub fn read(bytes: &[u8]) -> Result<Self, Vec<Problem>> {
        let year = weather::read(bytes)?;
        let hourly = year.to_hourly()?;
        Ok(Self { year, hourly })
    }

    /// All that is worth knowing of it, in sentences.
    pub fn notes(&self) -> impl Iterator<Item = String> + '_ {
        self.year.notes.iter().chain(&self.hourly.notes).map(ToString::to_string)
    }
}

/// Files beside the rig's own, read already, and how long to look.
#[derive(Clone, Debug)]
pub struct Beside {
    /// The parts that `like` may name.
    pub parts: Arc<PartsBook>,
    /// The weather file that `[site]` names.
    pub weather: Option<Arc<WeatherFile>>,
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
