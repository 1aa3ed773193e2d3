//! The sky over the site: its climate, the years drawn from it, and the year of a weather file.

use std::sync::Arc;

use physics::shade::Profile;
use physics::sun::{Site as SunSite, SunYear};
use quantity::{Dimension, Estimate, How, Z95};
use rig_model::model::{GroundCover, Rig, Setting as SettingWord, Site};
use weather::{Climate, DayDraws, Draws, HourShape, Hours, Known, Place, Setting};

use super::KELVIN;
use super::loads::{HOURS, MONTHS};
use super::run::DAYS;
use crate::beside::WeatherFile;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::tables::usual;
use crate::told::Told;

/// 29 February, counted from 0: years are run without it.
const LEAP_DAY: usize = 59;

/// Hours of a year with the sun of each.
#[derive(Debug)]
pub struct Lit {
    /// Where the sun is.
    pub sun: SunYear,
    /// Weather of each year; all under that sun.
    pub years: Vec<Hours>,
}

/// What is known of the sky before any year is drawn.
#[derive(Clone, Debug)]
pub struct Site0 {
    /// Where.
    pub place: Place,
    /// Its months.
    pub climate: Climate,
    /// What was told of them.
    known: Known,
    /// The year of the file that the rig names.
    pub file: Option<Arc<WeatherFile>>,
    /// How far the file's place is from the site, km, where the rig tells a site.
    pub file_km: Option<f64>,
    /// Horizon, where one is told.
    pub horizon: Option<Arc<Profile>>,
    /// Its points, bearing and height, rad.
    pub skyline: Vec<(f64, f64)>,
    /// How far all its heights may be off together, rad: nothing and its doubt.
    pub skyline_off: Estimate,
    /// Share of light that the ground throws back.
    pub albedo: f64,
    /// Error of the model of panel and sky: 1 and its doubt.
    pub model: Estimate,
    /// Error of the climate that all months share: 1 and its doubt.
    pub year: Estimate,
    /// Error of the climate of each month: 1 and its doubt.
    pub months: [Estimate; MONTHS],
}

fn told(told: &Told, key: &str) -> Result<f64, Gap> {
    told.get(&format!("site.{key}")).map(Estimate::value)
}

impl Site0 {
    /// `before` is that of the rig that this one was edited from.
    pub(crate) fn read(
        rig: &Rig,
        values: &Told,
        file: Option<&Arc<WeatherFile>>,
        before: Option<&Self>,
        inputs: &mut Inputs,
    ) -> Result<Self, Gap> {
        let site = rig.site.as_ref().ok_or_else(|| Gap::at("site.latitude"))?;
        let degrees = |key: &str| told(values, key).map(f64::to_degrees);
        let of_file = file.map(|file| &file.year.site);
        let latitude_deg = degrees("latitude").or_else(|gap| of_file.map(|site| site.latitude_deg).ok_or(gap))?;
        let longitude_deg = degrees("longitude").or_else(|gap| of_file.map(|site| site.longitude_deg).ok_or(gap))?;
        let altitude_m = told(values, "altitude").ok().or_else(|| of_file.map(|site| site.altitude_m)).unwrap_or(0.0);
        let place = Place { latitude_deg, longitude_deg, altitude_m };
        let known = known(site, values);
        let same = |before: &&Self| before.file.is_none() && (before.place, &before.known) == (place, &known);
        let climate = match (file.and_then(|file| Climate::of_file(&file.year)), before.filter(same)) {
            (Some(climate), _) => climate,
            (None, Some(before)) => before.climate.clone(),
            (None, None) => {
                let refused = |refusal: weather::route::Refusal| Gap::because("site.sunshine", refusal.to_string());
                weather::route::climate(place, &known).map_err(refused)?
            }
        };
        if !climate.is_answer() {
            let why = "a latitude alone does not say how much sun there is: hours of sunshine by month, mean highs and lows, or a weather file do";
            return Err(Gap::because("site.sunshine", why));
        }
        if climate.air.is_none() {
            return Err(Gap::because("site.high", "no place nearby is known: mean highs and lows by month are wanted"));
        }
        let model_sd = usual("living/doubt", "what", "model, year", "number") / Z95;
        let path = if file.is_some() { "site.weather" } else { "site.sun" };
        let skyline = skyline(site, values);
        let skyline_off = skyline_off(site, values, inputs);
        let mut doubt = |path: &str, sd: f64| inputs.add(path.to_owned(), 1.0, sd, How::Unsaid, Dimension::Ratio, false);
        let file_km = of_file.zip(degrees("latitude").ok().zip(degrees("longitude").ok()));
        Ok(Self {
            place,
            file: file.cloned(),
            file_km: file_km.map(|(file, told)| weather::places::distance_km((file.latitude_deg, file.longitude_deg), told)),
            horizon: Profile::new(&skyline).ok().map(Arc::new),
            skyline,
            skyline_off,
            albedo: albedo(site.ground),
            model: doubt("site.model", model_sd),
            year: doubt(path, climate.year_sd),
            months: std::array::from_fn(|month| doubt(&format!("{path}[{}]", month + 1), climate.month_sd)),
            climate,
            known,
        })
    }

    /// Hours that the clock of the place is ahead of UTC: the file's, else the nearest whole zone by longitude.
    fn zone_h(&self) -> f64 {
        self.file.as_ref().map_or_else(|| (self.place.longitude_deg * 24.0 / 360.0).round(), |file| file.year.site.local_zone_h)
    }

    fn sun(&self, starts: impl Iterator<Item = f64>) -> Option<SunYear> {
        let site = SunSite {
            latitude_rad: self.place.latitude_deg.to_radians(),
            longitude_rad: self.place.longitude_deg.to_radians(),
            altitude_m: self.place.altitude_m,
        };
        SunYear::of_blocks(&site, &starts.collect::<Vec<_>>(), super::HOUR_S).ok()
    }

    /// Whether the same years would be drawn: the same place, climate and file.
    pub(crate) fn is_same_sky(&self, other: &Self) -> bool {
        let same_file = match (&self.file, &other.file) {
            (None, None) => true,
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            _ => false,
        };
        same_file && self.place == other.place && self.climate == other.climate
    }

    /// The year of the weather file.
    pub(crate) fn of_file(&self) -> Option<Lit> {
        let file = self.file.as_ref()?;
        let mut hours = file.hourly.hours.clone();
        let leap = file.hourly.calendar.days > DAYS;
        let starts = file.hourly.calendar.day_starts().enumerate().filter(|(day, _)| !leap || *day != LEAP_DAY);
        let sun = self.sun(starts.map(|(_, start)| start))?;
        if leap {
            let columns = [&mut hours.ghi, &mut hours.dni, &mut hours.dhi, &mut hours.air_c, &mut hours.wind_m_s];
            for column in columns {
                column.drain(LEAP_DAY * HOURS..(LEAP_DAY + 1) * HOURS);
            }
        }
        Some(Lit { sun, years: vec![hours] })
    }

    /// Years drawn from the climate, the same for every rig.
    pub(crate) fn drawn(&self, years: u32) -> Result<Lit, Gap> {
        let shape = HourShape::new(self.place.latitude_deg, self.place.longitude_deg, self.zone_h());
        let no = || Gap::at("site.latitude");
        let sun = self.sun(shape.calendar().day_starts()).ok_or_else(no)?;
        let air = self.climate.air.as_ref().ok_or_else(|| Gap::at("site.high"))?;
        let calm = usual("living/wind", "what", "where nobody knows", "number");
        let wind = self.climate.wind_m_s.unwrap_or([calm; MONTHS]);
        let draws = Draws::new(&self.climate, air);
        let mut days = DayDraws::default();
        let years = (0..u64::from(years)).map(|block| {
            draws.draw(block, &mut days);
            let mut hours = Hours::zeroed(DAYS);
            shape.fill(&days, &wind, &mut hours);
            hours
        });
        Ok(Lit { sun, years: years.collect() })
    }
}

fn known(site: &Site, values: &Told) -> Known {
    let degrees = |key: &str, given: bool| {
        let month = |at: usize| values.get(&format!("site.{key}[{}]", at + 1)).map(|kelvin| kelvin.value() - KELVIN);
        let all: Vec<f64> = (0..MONTHS).filter_map(|at| month(at).ok()).collect();
        given.then(|| <[f64; MONTHS]>::try_from(all).ok()).flatten()
    };
    let setting = match site.setting {
        Some(SettingWord::Inland) => Setting::Inland,
        Some(SettingWord::Coast) => Setting::Coast,
        Some(SettingWord::Island) => Setting::Island,
        Some(SettingWord::Desert) => Setting::Desert,
        None => Setting::Unsure,
    };
    Known {
        ghi_kwh_m2: site.sun,
        sunshine_h: site.sunshine,
        high_c: degrees("high", site.high.is_some()),
        low_c: degrees("low", site.low.is_some()),
        setting,
    }
}

/// The horizon as it was measured, else as a word of it says: bearing and height, rad. Nothing where neither is told.
fn skyline(site: &Site, values: &Told) -> Vec<(f64, f64)> {
    let point = |at: usize| {
        let get = |key: &str| values.get(&format!("site.skyline[{}].{key}", at + 1)).map(Estimate::value).ok();
        Some((get("bearing")?, get("height")?))
    };
    let points: Vec<(f64, f64)> = (0..site.skyline.len()).filter_map(point).collect();
    if !points.is_empty() {
        return points;
    }
    let height = site.horizon.and_then(|word| by_word(word.word(), "height"));
    height.into_iter().map(|height| (0.0, height.to_radians())).collect()
}

fn by_word(word: &str, want: &str) -> Option<f64> {
    physics::sun_facts::table("panel/horizon")?.number("horizon", word, want)
}

/// What the heights of the horizon have in doubt together: the mean of those measured, else the half width of the word.
fn skyline_off(site: &Site, values: &Told, inputs: &mut Inputs) -> Estimate {
    let heights = (0..site.skyline.len()).filter_map(|at| values.get(&format!("site.skyline[{}].height", at + 1)).ok());
    let heights: Vec<&Estimate> = heights.collect();
    if !heights.is_empty() {
        let mean = Estimate::sum(heights.iter().copied()).scale(1.0 / heights.len() as f64);
        return mean.offset(-mean.value());
    }
    match site.horizon.and_then(|word| by_word(word.word(), "plus_minus")) {
        Some(half) => inputs.add("site.horizon".to_owned(), 0.0, half.to_radians() / Z95, How::Unsaid, Dimension::Angle, false),
        None => Estimate::exact(0.0),
    }
}

fn albedo(ground: Option<GroundCover>) -> f64 {
    let of = |word: &str| physics::sun_facts::table("panel/albedo").and_then(|table| table.number("ground", word, "albedo"));
    of(ground.unwrap_or(GroundCover::Grass).word()).unwrap_or_else(|| physics::sun_facts::sky().albedo)
}
