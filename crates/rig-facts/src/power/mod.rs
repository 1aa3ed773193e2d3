//! What the sun brings, batteries keep and loads take.
//!
//! | module     | holds                                                                          |
//! |------------|--------------------------------------------------------------------------------|
//! | `told`     | every stated value of the tables of the trade, as an input with its spread        |
//! | [`system`] | panels and banks, with what is usual where nobody told                            |
//! | [`loads`]  | what is switched on, at the battery, by month and hour                            |
//! | [`sets`]   | distinct sets of what is on board when camped                                     |
//! | [`sky`]    | the climate of the site, years drawn from it, the year of a file                  |
//! | [`planes`] | what a panel gives for each watt, hour by hour                                    |
//! | [`roof`]   | where panels and what else stands on the roof lie                                 |
//! | [`run`]    | a bank through its years                                                         |
//! | [`year`]   | the months of a set: sun, used, left over, gone without                            |
//!
//! Nothing is drawn or run before somebody asks, and then once for all checks. A copy with other panels or batteries
//! meets the same sky.

pub mod loads;
pub mod planes;
pub mod roof;
pub mod run;
pub mod sets;
pub mod sky;
pub mod system;
#[cfg(test)]
mod tests;
pub(crate) mod told;
pub mod year;

use std::any::Any;
use std::sync::{Arc, OnceLock};

use quantity::Estimate;
use rig_model::model::Rig;

pub use loads::{Drawn, Months};
pub use roof::Roof;
pub use run::{Answer, Run, Side, Try};
pub use sets::Set;
pub use sky::{Lit, Site0};
pub use system::{Bank, Panel, System};
pub use weather::month_name;
pub use year::{BankYear, Month, Outcome, Year};

use crate::beside::Beside;
use crate::facts::Facts;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::kept::KeptOfAny;
use crate::told::Told;
use planes::Planes;

/// Seconds of an hour, and J of a Wh.
pub const HOUR_S: f64 = 3600.0;
/// 0 °C in K.
pub const KELVIN: f64 = 273.15;

/// What is drawn once for a site.
#[derive(Debug, Default)]
struct Sky {
    drawn: OnceLock<Result<Lit, Gap>>,
    file: OnceLock<Option<Lit>>,
    planes: Planes,
    kept: KeptOfAny,
}

/// Power of the house.
#[derive(Clone, Debug)]
pub struct Power {
    told: Arc<Told>,
    system: Arc<System>,
    loads: Arc<[Drawn]>,
    sets: Arc<[Set]>,
    months: Months,
    site: Arc<Result<Site0, Gap>>,
    years: u32,
    sky: Arc<Sky>,
    found: Arc<[OnceLock<Result<Year, Gap>>]>,
}

impl Default for Power {
    /// Of a rig that tells nothing.
    fn default() -> Self {
        Self {
            told: Arc::default(),
            system: Arc::default(),
            loads: Arc::default(),
            sets: Arc::default(),
            months: Months::ALL,
            site: Arc::new(Err(Gap::at("site.latitude"))),
            years: crate::beside::YEARS_DRAWN,
            sky: Arc::default(),
            found: Arc::default(),
        }
    }
}

impl Power {
    pub(crate) fn read(rig: &Rig, beside: &Beside, before: Option<&Self>, inputs: &mut Inputs) -> Self {
        let told = told::read(rig, inputs);
        let system = System::read(rig, &told, inputs);
        let loads = loads::read(rig, &told, &system);
        let before_site = before.and_then(|before| before.site.as_ref().as_ref().ok());
        let site = Site0::read(rig, &told, beside.weather.as_ref(), before_site, inputs);
        let same_sky = |before: &&Self| match (before.site.as_ref(), &site) {
            (Ok(before), Ok(now)) => before.is_same_sky(now),
            _ => false,
        };
        let sky = before.filter(same_sky).map(|before| Arc::clone(&before.sky)).unwrap_or_default();
        let sets: Arc<[Set]> = sets::of(rig, &system, &loads).into();
        let months = rig.site.as_ref().map_or(Months::ALL, |site| Months::of(&site.months));
        let found = sets.iter().map(|_| OnceLock::new()).collect();
        Self {
            told: Arc::new(told),
            system: Arc::new(system),
            loads: loads.into(),
            sets,
            months,
            site: Arc::new(site),
            years: beside.years,
            sky,
            found,
        }
    }

    /// A stated value of the tables of the trade, SI, by its path. `panel[NAME].voc_change` is as the file writes it: see
    /// [`Power::voc_change`].
    ///
    /// # Errors
    /// The gap at that path.
    pub fn told(&self, path: &str) -> Result<&Estimate, Gap> {
        self.told.get(path)
    }

    /// Panels of the house, in file order.
    #[must_use]
    pub fn panels(&self) -> &[Panel] {
        &self.system.panels
    }

    /// Banks of the house, the one filled first in front.
    #[must_use]
    pub fn banks(&self) -> &[Bank] {
        &self.system.banks
    }

    /// Loads of the house, and what its converters take for themselves.
    #[must_use]
    pub fn loads(&self) -> &[Drawn] {
        &self.loads
    }

    /// Distinct sets of what is on board when camped; one of everything where no camp state is named.
    #[must_use]
    pub fn sets(&self) -> &[Set] {
        &self.sets
    }

    /// Months of use.
    #[must_use]
    pub fn months(&self) -> Months {
        self.months
    }

    /// How many years are drawn.
    #[must_use]
    pub fn years(&self) -> u32 {
        self.years
    }

    /// The site and its climate.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn site(&self) -> Result<&Site0, Gap> {
        self.site.as_ref().as_ref().map_err(Clone::clone)
    }

    /// What is worth saying of the weather: which was used, how far from the site it is, what of a file was filled or is odd.
    #[must_use]
    pub fn remarks(&self) -> Vec<(String, &'static str)> {
        let Ok(site) = self.site() else { return Vec::new() };
        if self.panels().is_empty() {
            return Vec::new();
        }
        let mut all = Vec::new();
        match &site.file {
            Some(file) => {
                let far = site.file_km.map_or_else(String::new, |km| format!(", {km:.0} km from the site"));
                let name = match file.year.site.name.as_str() {
                    "" => format!("the {} file", file.year.format.name()),
                    name => name.to_owned(),
                };
                all.push((
                    format!("weather: the year of {name}{far}; {} drawn from its months", so_many_years(self.years)),
                    "site.weather",
                ));
                all.extend(file.notes().map(|note| (format!("weather file: {note}"), "site.weather")));
            }
            None => all.push((format!("sun {}; {} drawn from it", site.climate.words(), so_many_years(self.years)), "site")),
        }
        all
    }

    /// Years drawn from the climate.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn drawn(&self) -> Result<&Lit, Gap> {
        let site = self.site()?;
        self.sky.drawn.get_or_init(|| site.drawn(self.years)).as_ref().map_err(Clone::clone)
    }

    /// What costs many hours of light and rests on nothing but this sky and what the key tells: worked out once, for copies with
    /// other loads or batteries too. Plain numbers, no estimates: inputs of a copy may be numbered otherwise.
    pub fn kept<T: Any + Send + Sync>(&self, key: &str, make: impl FnOnce() -> T) -> Arc<T> {
        self.sky.kept.get(key, make)
    }

    /// The year of the weather file, where the rig names one.
    #[must_use]
    pub fn file_year(&self) -> Option<&Lit> {
        let site = self.site().ok()?;
        self.sky.file.get_or_init(|| site.of_file()).as_ref()
    }

    /// What a panel, by its number, gives for each watt of its label in the years drawn, hour by hour: as its controller takes
    /// it, or as a tracking one would.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn per_watt(&self, panel: usize, tracked: bool) -> Result<Arc<planes::PerWatt>, Gap> {
        let panel = self.panels().get(panel).ok_or_else(|| Gap::at("panel"))?;
        let (site, lit) = (self.site()?, self.drawn()?);
        if tracked && panel.switched.is_some() {
            return self.sky.planes.of(&Panel { switched: None, ..panel.clone() }, site, lit, false);
        }
        self.sky.planes.of(panel, site, lit, false)
    }

    /// What a set of things does over its years.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn year(&self, set: usize) -> Result<&Year, Gap> {
        let found = self.found.get(set).ok_or_else(|| Gap::at("load"))?;
        found.get_or_init(|| Year::of(self, set)).as_ref().map_err(Clone::clone)
    }
}

/// "1 year", "10 years".
fn so_many_years(years: u32) -> String {
    if years == 1 { "1 year".to_owned() } else { format!("{years} years") }
}

impl Facts {
    /// What the sun brings, batteries keep and loads take.
    #[must_use]
    pub fn power(&self) -> &Power {
        &self.power
    }
}
