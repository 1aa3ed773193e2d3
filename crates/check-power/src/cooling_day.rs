//! A hot day: its air and sun, the heat that comes into the body, what an air conditioner takes against it, and what the sun
//! leaves over for it.

use physics::heat_balance::{self, Falls, Material};
use physics::store_facts;
use quantity::{Estimate, Z95};
use rig_facts::power::loads::HOURS;
use rig_facts::power::{BankYear, Drawn, KELVIN};
use rig_facts::{Gap, tables};
use rig_model::model::{Bus, Heat, Load, YesNo};

use crate::house::{House, NO_INPUT};

/// A number of what is taken where nobody told.
#[must_use]
pub fn taken(what: &str) -> f64 {
    tables::usual("living/cooling", "what", what, "number")
}

/// A hot day of the months in which the load is used.
#[derive(Clone, Debug)]
pub struct HotDay {
    /// Air, °C.
    pub air: f64,
    /// Whether the owner told it.
    pub told: bool,
    /// Sun on the level in the hottest hours, W/m2.
    pub sun: f64,
    /// What the sun brings to the bank less all other loads, mean of the hours of use on hot days, W.
    pub over: Estimate,
}

/// Day and hour of each hour of a year.
fn hours_of_year() -> impl Iterator<Item = (usize, usize)> {
    (0..).map(|at: usize| (at / HOURS, at % HOURS))
}

impl HotDay {
    /// Of the years drawn.
    ///
    /// # Errors
    /// The gap of the sky, or no month in which the load is used.
    pub fn of(house: &House<'_>, load: &Drawn, bank: &BankYear) -> Result<Self, Gap> {
        let power = house.cx.facts().power();
        let lit = power.drawn()?;
        let shares = load.shares();
        let months: Vec<usize> = rig_facts::power::run::month_of_days().collect();
        let used = |day: usize, hour: usize| {
            let month = months.get(day).copied().unwrap_or(0);
            let on = shares.get(hour).is_some_and(|share| *share > 0.0);
            on && power.months().has(month) && load.months.has(month)
        };
        let key = format!("hot hours {:?} {:?} {shares:?}", power.months(), load.months);
        let edge = power.kept(&key, || {
            let mut airs = Vec::new();
            for year in &lit.years {
                let hours = year.air_c.iter().zip(hours_of_year());
                airs.extend(hours.filter(|(_, (day, hour))| used(*day, *hour)).map(|(air, _)| *air));
            }
            let rank = (airs.len() as f64 * taken("share of hours that are not as hot")) as usize;
            (rank < airs.len()).then(|| *airs.select_nth_unstable_by(rank, f64::total_cmp).1)
        });
        let edge = edge.ok_or_else(|| Gap::at(format!("{}.months", load.path)))?;
        let (mut sun, mut hot) = (0.0, 0.0_f64);
        let (mut brought, mut taken_w, mut hours) = (0.0, 0.0, 0.0_f64);
        let daily = load.daily.as_ref().map_or(0.0, Estimate::value);
        for (weather, run) in lit.years.iter().zip(&bank.drawn.years) {
            let days = weather.air_c.chunks_exact(HOURS).zip(weather.ghi.chunks_exact(HOURS));
            let days = days.zip(run.sun.chunks_exact(HOURS).zip(run.load.chunks_exact(HOURS)));
            for (day, ((air, light), (given, wanted))) in days.enumerate() {
                if !air.iter().enumerate().any(|(hour, air)| *air >= edge && used(day, hour)) {
                    continue;
                }
                for (hour, share) in shares.iter().enumerate().filter(|(hour, _)| used(day, *hour)) {
                    let at = |column: &[f32]| column.get(hour).copied().map_or(0.0, f64::from);
                    brought += at(given);
                    taken_w += at(wanted) - share * daily;
                    hours += 1.0;
                    if air.get(hour).is_some_and(|air| *air >= edge) {
                        sun += light.get(hour).copied().unwrap_or(0.0);
                        hot += 1.0;
                    }
                }
            }
        }
        let told = power.told("site.hottest").ok().map(|kelvin| kelvin.value() - KELVIN);
        let lumped = &bank.drawn.lumped;
        let over = &lumped.sun.scale(brought / hours.max(1.0)) - &lumped.load.scale(taken_w / hours.max(1.0));
        Ok(Self { air: told.unwrap_or(edge), told: told.is_some(), sun: sun / hot.max(1.0), over })
    }
}

/// What an air conditioner takes on that day, at its own terminals.
#[derive(Clone, Debug)]
pub struct Draws {
    /// Mean power, W.
    pub power: Estimate,
    /// Heat that comes in, W; none where it was not worked out.
    pub heat: Option<f64>,
    /// Whether it keeps the room as cool as wanted.
    pub keeps_up: bool,
}

impl Draws {
    /// By heat where the body and the unit are told, else by its plate.
    ///
    /// # Errors
    /// The gap of its power.
    pub fn of(house: &House<'_>, entry: &Load, path: &str, day: &HotDay) -> Result<Self, Gap> {
        let power = house.cx.facts().power();
        let told = |key: &str| power.told(&format!("{path}.{key}"));
        let plate = plate(entry, path, &told);
        if let Some(room) = Room::of(house, entry, path, day)
            && let Ok(capacity) = told("cooling_capacity")
            && let Some(cop) = entry.cop.map(Estimate::exact).or_else(|| plate.as_ref().ok().map(|plate| capacity / plate))
        {
            let at = |u: f64, capacity: f64, cop: f64| heat_balance::cooled(room.heat(u), capacity, cop, day.air, Falls::usual());
            let electric = Estimate::propagate(&[&room.u, capacity, &cop], |at_values| match at_values {
                [u, capacity, cop] => Ok::<_, Gap>(at(*u, *capacity, *cop).electric_w),
                _ => Ok(0.0),
            })?;
            let usual = at(room.u.value(), capacity.value(), cop.value());
            let heat = room.heat(room.u.value());
            return Ok(Self { power: electric, heat: Some(heat), keeps_up: heat <= usual.capacity_w });
        }
        let duty = if entry.duty.is_some() { told("duty")?.clone() } else { Estimate::exact(1.0) };
        Ok(Self { power: &plate? * &duty, heat: None, keeps_up: true })
    }
}

/// Power while it runs, W.
fn plate<'e>(entry: &Load, path: &str, told: &impl Fn(&str) -> Result<&'e Estimate, Gap>) -> Result<Estimate, Gap> {
    if entry.power.is_none() && entry.current.is_some() {
        let volts = entry.on.and_then(volts).ok_or_else(|| Gap::at(format!("{path}.power")))?;
        return Ok(told("current")?.scale(volts));
    }
    told("power").cloned()
}

/// V; none of mains, whose voltage differs from place to place.
fn volts(bus: Bus) -> Option<f64> {
    let word = bus.word();
    word.strip_suffix(" V")?.parse().ok()
}

/// The body as heat sees it.
struct Room {
    u: Estimate,
    /// Area of walls, roof and floor without windows, m2.
    walls: f64,
    roof: f64,
    /// Degrees that it is warmer outside.
    warmer: f64,
    /// Heat of the sun on the roof for each W/(m2 K) and m2 of it, W.
    roof_gain: f64,
    /// All heat that does not come through the walls, W.
    other: f64,
}

impl Room {
    fn of(house: &House<'_>, entry: &Load, path: &str, day: &HotDay) -> Option<Self> {
        let (rig, power) = (house.cx.rig(), house.cx.facts().power());
        let body = rig.body.as_ref()?;
        let heat = body.heat.as_ref()?;
        let size = |length: &Option<quantity::Stated<quantity::dim::Length>>| length.as_ref()?.value();
        let (length, width, height) = (size(&body.length)?, size(&body.width)?, size(&body.height)?);
        let told = |key: &str| power.told(&format!("body.heat.{key}")).map(Estimate::value).ok();
        let facts = store_facts::heat();
        let inside = entry.inside.as_ref().and_then(|_| power.told(&format!("{path}.inside")).ok());
        let inside = inside.map_or_else(|| taken("inside, °C"), |kelvin| kelvin.value() - KELVIN);
        let warmer = day.air - inside;
        let windows = told("windows").unwrap_or(0.0);
        let kind = heat.window_kind.map_or("single", |kind| kind.word());
        let window_u = heat_balance::usual(Material::Window, kind).map_or(0.0, |usual| usual.middle());
        let (gain, on_it) =
            (taken("share of the sun on a window that comes in"), taken("sun on a window, share of that on the level"));
        let through = windows * gain * (1.0 - told("window_shade").unwrap_or(0.0)) * on_it * day.sun;
        let changes = heat.air_changes.unwrap_or_else(|| taken("air changes an hour"));
        let air = facts.air_heat * changes * length * width * height * warmer;
        let inside_heat = facts.person_heat * f64::from(heat.people.unwrap_or(0)) + told("appliances").unwrap_or(0.0);
        let colour = heat.colour.map_or("black", |colour| colour.word());
        let absorbs = heat_balance::usual(Material::Paint, colour).map_or(1.0, |usual| usual.middle());
        let open = 1.0 - told("roof_shade").unwrap_or(0.0);
        let surface = 2.0 * (length * width + length * height + width * height);
        Some(Self {
            u: transmission(house, heat)?,
            walls: surface - windows,
            roof: length * width,
            warmer,
            roof_gain: absorbs * day.sun * open / facts.roof_film,
            other: window_u * windows * warmer + through + air + inside_heat,
        })
    }

    /// Heat that comes in with that transmission, W.
    fn heat(&self, u: f64) -> f64 {
        u * (self.walls * self.warmer + self.roof * self.roof_gain) + self.other
    }
}

/// Heat transmission as told, else by the build-up of the walls.
fn transmission(house: &House<'_>, heat: &Heat) -> Option<Estimate> {
    let power = house.cx.facts().power();
    if let Ok(u) = power.told("body.heat.u") {
        return Some(u.clone());
    }
    let wall = heat.insulation.as_ref()?;
    let thickness = power.told("body.heat.insulation.thickness").ok()?.value();
    let material = wall.material.as_deref().unwrap_or_default().to_lowercase();
    let usual =
        heat_balance::usual(Material::Insulation, &material).or_else(|| heat_balance::usual(Material::Insulation, "eps"))?;
    // Metal through the walls unless somebody looked.
    let frames = if heat.metal_frames == Some(YesNo::No) { 1.0 } else { store_facts::heat().frames_factor };
    let u = heat_balance::sandwich(thickness, usual.middle(), frames);
    Some(Estimate::input(NO_INPUT, u, u * taken("doubt of a wall by its build-up") / Z95))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trade's worked body of 4.2 x 2.2 x 2.0 m at 35 °C, 26 °C inside, U 1.2: 1183.85 W of heat; at a COP of 2.6 that is
    /// 455.3 W, and 4470 Wh of battery through an inverter of 90 % last 8.8 h.
    #[test]
    fn a_worked_body_in_the_sun() {
        let room = Room {
            u: Estimate::exact(1.2),
            walls: 44.08 - 1.5,
            roof: 4.2 * 2.2,
            warmer: 9.0,
            roof_gain: 0.35 * 900.0 / 20.0,
            other: 2.8 * 1.5 * 9.0 + 0.6 * 0.5 * 1.5 * 300.0 + 0.34 * 18.48 * 9.0 + 2.0 * 130.0 + 60.0,
        };
        let heat = room.heat(1.2);
        assert!((heat - 1183.8488).abs() < 1e-3, "{heat}");
        let takes = heat_balance::cooled(heat, 3500.0, 2.6, 35.0, Falls::usual()).electric_w;
        assert!((takes - 455.3265).abs() < 1e-3, "{takes}");
        assert!((5120.0 * 0.9 * 0.97 * 0.9 / takes - 8.8).abs() < 0.05);
    }

    #[test]
    fn volts_of_a_bus() {
        assert_eq!((volts(Bus::V24), volts(Bus::V12), volts(Bus::Ac)), (Some(24.0), Some(12.0), None));
    }
}
