//! Values with a source that the battery, heat and charging kernels use, from `data/*.toml`, each file read once and
//! when first asked for.

use std::sync::LazyLock;

use basis::{Basis, Constants, LimitSet, Table};

use crate::mount_facts::constants;

constants! {
    /// Batteries and their gas: constants of `data/store.toml`.
    BatteryFacts {
        /// Hours of a month.
        month_hours: "month-hours",
        /// Most that a slow discharge yields, in rated capacities; the power law grows without end.
        peukert_cap: "peukert-cap",
        /// Share of the rated capacity left when a battery counts as worn out; what to size for.
        end_of_life: "end-of-life",
        /// Charge, as a share, up to which lead-acid takes its full current.
        taper_from: "taper-from",
        /// What a full lead-acid battery still takes, in capacities an hour.
        taper_end: "taper-end",
        /// Charge, as a share, from which a battery counts as full.
        full_share: "full-share",
        /// What the last fifth of a lead-acid charge takes whatever the charger, h; 3 to 6.
        absorption_hours: "absorption-hours",
        /// Heat that warms a battery, J/(kg K).
        battery_heat: "battery-heat",
        /// Change of the charging voltage of a lead-acid cell with its temperature, V/K.
        compensation: "compensation",
        /// Temperature that charging voltages are given for, deg C.
        compensation_at: "compensation-at",
        /// Air for each ampere of gassing current and cell, m3/h: 24 of dilution x 0.42e-3 m3/Ah of hydrogen x 5 of safety.
        gas_air: "gas-air",
        /// Each of two openings for an air flow, cm2 for each m3/h.
        gas_opening: "gas-opening",
        /// Distance to sparks and flames, mm, times the cube root of the gassing current in mA.
        gas_clearance: "gas-clearance",
        /// Free volume around the batteries, h of the air flow.
        gas_volume: "gas-volume",
    }
}

constants! {
    /// Inverters, converters, chargers, alternators and generators: constants of `data/store.toml`.
    SupplyFacts {
        /// What an inverter of 1 to 2 kW takes with nothing on, W.
        inverter_idle: "inverter-idle",
        /// Loss of an inverter as a share of what it gives.
        inverter_proportional: "inverter-proportional",
        /// Loss of an inverter with the square of what it gives, 1/W; of one of 2 kW.
        inverter_square: "inverter-square",
        /// Air temperature up to which an inverter gives its rating, deg C.
        inverter_derate_from: "inverter-derate-from",
        /// What it loses of the rating for each K above; 1 to 1.5 %.
        inverter_derate: "inverter-derate",
        /// Efficiency of a DC-DC charger; 0.85 to 0.93.
        dc_dc_efficiency: "dc-dc-efficiency",
        /// Efficiency of a step-down converter; 0.85 to 0.92.
        converter_efficiency: "converter-efficiency",
        /// Efficiency of a mains charger.
        charger_efficiency: "charger-efficiency",
        /// Power factor of a mains charger.
        charger_power_factor: "charger-power-factor",
        /// Share of a breaker that may be drawn for hours.
        breaker_continuous: "breaker-continuous",
        /// Hours from which a load counts as continuous.
        breaker_hours: "breaker-hours",
        /// Share of its rating that a hot alternator gives with the engine idling.
        alternator_idle_share: "alternator-idle-share",
        /// What a hot engine bay takes of an alternator's rating; 15 to 25 %.
        alternator_heat_loss: "alternator-heat-loss",
        /// Power that an engine without a blower loses for each step of altitude.
        generator_derate: "generator-derate",
        /// That step, m.
        generator_step: "generator-step",
        /// Altitude from which it loses power, m.
        generator_from: "generator-from",
        /// Power a generator loses for each K of air above its limit.
        generator_heat: "generator-heat",
        /// That limit, deg C.
        generator_heat_from: "generator-heat-from",
    }
}

constants! {
    /// Walls, air, coolers, fridges and lockers: constants of `data/store.toml`.
    HeatFacts {
        /// 0 deg C in K.
        kelvin: "kelvin",
        /// Heat that air carries, Wh/(m3 K).
        air_heat: "air-heat",
        /// Heat of a person at rest, W: 75 felt, 55 in moisture.
        person_heat: "person-heat",
        /// Heat transfer from a roof in the sun to the air, W/(m2 K).
        roof_film: "roof-film",
        /// Resistance of the air film outside, m2 K/W.
        film_outside: "film-outside",
        /// Resistance of the air film inside, m2 K/W.
        film_inside: "film-inside",
        /// What metal frames through the insulation multiply its heat transmission with; 1.3 to 2.
        frames_factor: "frames-factor",
        /// Sun that is left on a roof under panels with an air gap.
        roof_shade: "roof-shade",
        /// Outside temperature that an air conditioner is rated at, deg C.
        cooling_at: "cooling-at",
        /// Capacity it loses for each K above.
        cooling_capacity_fall: "cooling-capacity-fall",
        /// Share of its coefficient of performance that it loses for each K above.
        cooling_cop_fall: "cooling-cop-fall",
        /// How much colder than the inside a fridge evaporates, K.
        fridge_evaporator: "fridge-evaporator",
        /// How much warmer than the air it condenses, K.
        fridge_condenser: "fridge-condenser",
        /// How much warmer still in a niche without air, K.
        fridge_niche: "fridge-niche",
        /// Its performance as a share of the ideal; 0.30 to 0.40.
        fridge_carnot: "fridge-carnot",
        /// Heat through the door being opened and goods put in, as a share.
        fridge_door: "fridge-door",
        /// Inside of a fridge, deg C.
        fridge_inside: "fridge-inside",
        /// Inside of a freezer, deg C.
        freezer_inside: "freezer-inside",
        /// How much warmer than the inside the air must be for the formula, K.
        fridge_least: "fridge-least",
        /// Share of the ideal flow that passes an opening with sharp edges.
        opening_discharge: "opening-discharge",
    }
}

static CONSTANTS: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("store"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/store.toml does not load: {why}"))
});

fn value(id: &str) -> f64 {
    let constant = CONSTANTS.get(id);
    constant.map_or_else(|| unreachable!("crates/physics/data/store.toml has no {id}"), |c| c.value)
}

/// All these constants, with what each is and where it comes from, for reports.
#[must_use]
pub fn store_sources() -> &'static Constants {
    &CONSTANTS
}

static BATTERY: LazyLock<BatteryFacts> = LazyLock::new(BatteryFacts::load);

/// Batteries and their gas.
#[must_use]
pub fn battery() -> &'static BatteryFacts {
    &BATTERY
}

static SUPPLY: LazyLock<SupplyFacts> = LazyLock::new(SupplyFacts::load);

/// Inverters, converters, chargers, alternators and generators.
#[must_use]
pub fn supply() -> &'static SupplyFacts {
    &SUPPLY
}

static HEAT: LazyLock<HeatFacts> = LazyLock::new(HeatFacts::load);

/// Walls, air, coolers, fridges and lockers.
#[must_use]
pub fn heat() -> &'static HeatFacts {
    &HEAT
}

static BATTERIES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("batteries"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/batteries.toml does not load: {why}"))
});

static BODIES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("heat"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/heat.toml does not load: {why}"))
});

/// A table of the battery and heat files by its id, such as `battery/floor`; only its own file is read.
#[must_use]
pub fn table(id: &str) -> Option<&'static Table> {
    if id.starts_with("heat/") { BODIES.table(id) } else { BATTERIES.table(id) }
}

/// A value that people give as a range, and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// Low end.
    pub low: f64,
    /// High end; the low end where people agree.
    pub high: f64,
    /// Where it comes from.
    pub basis: &'static Basis,
}

impl Usual {
    /// The middle of the range.
    #[must_use]
    pub fn middle(&self) -> f64 {
        (self.low + self.high) / 2.0
    }
}

/// The range in the row that the word `key` names, from the first of these tables that has it.
pub(crate) fn usual(ids: &[&str], by: &str, key: &str) -> Option<Usual> {
    ids.iter().filter_map(|id| table(id)).find_map(|table| {
        let (low, high) = (table.number(by, key, "low")?, table.number(by, key, "high")?);
        Some(Usual { low, high, basis: &table.basis })
    })
}

/// Two columns of a table as points, in its order.
pub(crate) fn points(id: &str, x: &str, y: &str) -> Vec<(f64, f64)> {
    let Some(table) = table(id) else { return Vec::new() };
    let Some(by) = table.columns.first() else { return Vec::new() };
    table.pairs(by, x).zip(table.pairs(by, y)).map(|((_, x), (_, y))| (x, y)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_is_used() {
        let known: Vec<&str> = [BatteryFacts::IDS, SupplyFacts::IDS, HeatFacts::IDS].concat();
        let unused: Vec<&str> = store_sources().iter().map(|c| c.id.as_str()).filter(|id| !known.contains(id)).collect();
        assert!(unused.is_empty(), "constants nobody uses: {unused:?}");
        assert_eq!((battery().gas_air, supply().breaker_continuous, heat().kelvin), (0.05, 0.8, 273.15));
    }

    #[test]
    fn all_files_load_and_every_table_is_found_by_its_id() {
        for set in [&BATTERIES, &BODIES] {
            assert!(!set.tables.is_empty());
            for known in &set.tables {
                assert_eq!(table(&known.id), Some(known));
            }
        }
        assert!(usual(&["battery/floor"], "chemistry", "agm").is_some_and(|u| u.middle() == 0.5));
        assert_eq!(points("battery/freezing", "density", "celsius").len(), 5);
    }
}
