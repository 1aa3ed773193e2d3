//! Values with a source that the weight kernels use, from `data/*.toml`, unpacked once.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use basis::{Constants, LimitSet, Table};

/// The constants of `data/weight.toml`, by name, in SI units.
#[derive(Debug)]
pub struct WeightFacts {
    /// Standard gravity, m/s².
    pub gravity: f64,
    /// Steepest angle of a lifted rig that the axle-lift formula answers for, rad.
    pub lift_angle_most: f64,
    /// Exponent of tyre load over pressure.
    pub tyre_exponent: f64,
    /// Lowest share of the reference pressure that the power law answers for.
    pub tyre_pressure_share_least: f64,
    /// Load of each tyre of a pair, as a share of one alone, where the second load index is unknown.
    pub tyre_dual_factor: f64,
    /// Factor of the bridge formula and step of its result, lb.
    pub bridge_step_lb: f64,
    /// Addend of the bridge formula for each axle.
    pub bridge_per_axle: f64,
    /// Constant addend of the bridge formula.
    pub bridge_base: f64,
    /// Density of fresh water, kg/m³.
    pub water_density: f64,
    /// Probability below which weighbridge and list disagree.
    pub significance: f64,
    /// How many times too small a suspect's stated spread is taken to be.
    pub suspect_spread: f64,
}

static CONSTANTS: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("weight"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/weight.toml does not load: {why}"))
});

static WEIGHT: LazyLock<WeightFacts> = LazyLock::new(|| WeightFacts {
    gravity: value("standard-gravity"),
    lift_angle_most: value("lift-angle-most"),
    tyre_exponent: value("tyre-exponent"),
    tyre_pressure_share_least: value("tyre-pressure-share-least"),
    tyre_dual_factor: value("tyre-dual-factor"),
    bridge_step_lb: value("bridge-step-lb"),
    bridge_per_axle: value("bridge-per-axle"),
    bridge_base: value("bridge-base"),
    water_density: value("water-density"),
    significance: value("significance"),
    suspect_spread: value("suspect-spread"),
});

fn value(id: &str) -> f64 {
    let constant = CONSTANTS.get(id);
    constant.map_or_else(|| unreachable!("crates/physics/data/weight.toml has no {id}"), |c| c.value)
}

/// The constants as the kernels use them.
#[must_use]
pub fn weight() -> &'static WeightFacts {
    &WEIGHT
}

/// The same constants with what each is and where it comes from, for reports.
#[must_use]
pub fn weight_sources() -> &'static Constants {
    &CONSTANTS
}

/// Standard gravity, m/s².
#[must_use]
pub fn gravity() -> f64 {
    WEIGHT.gravity
}

static TYRES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("tyres"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/tyres.toml does not load: {why}"))
});

static SCALES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("scales"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/scales.toml does not load: {why}"))
});

/// A table of the tyre or scale files, by its id: `tyre/load-index`, `tyre/speed-symbol`, `scale/class-iii`.
#[must_use]
pub fn table(id: &str) -> Option<&'static Table> {
    TYRES.tables.iter().chain(SCALES.tables.iter()).find(|table| table.id == id)
}

/// Load index to kg, sorted.
pub(crate) static LOAD_INDEX: LazyLock<BTreeMap<u32, f64>> = LazyLock::new(|| {
    let rows = TYRES.tables.iter().find(|t| t.id == "tyre/load-index");
    rows.into_iter()
        .flat_map(|table| table.pairs("load_index", "capacity_kg"))
        .filter_map(|(index, kg)| Some((index.parse().ok()?, kg)))
        .collect()
});

/// Speed symbol to km/h.
pub(crate) fn speed_of_symbol(symbol: &str) -> Option<f64> {
    let table = TYRES.tables.iter().find(|t| t.id == "tyre/speed-symbol")?;
    table.number("symbol", symbol, "speed_km_h")
}

/// Rows of the class III table: up to so many divisions, error at verification and in service in divisions.
pub(crate) fn class_iii() -> impl Iterator<Item = (f64, f64, f64)> {
    let table = SCALES.tables.iter().find(|t| t.id == "scale/class-iii");
    table.into_iter().flat_map(|t| {
        let column = |name| t.pairs("band", name).map(|(_, number)| number);
        column("up_to_divisions")
            .zip(column("verification_divisions"))
            .zip(column("in_service_divisions"))
            .map(|((up_to, new), used)| (up_to, new, used))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_is_used_and_has_its_si_value() {
        assert_eq!(weight().gravity, 9.806_65);
        assert!((weight().lift_angle_most.to_degrees() - 25.0).abs() < 1e-12);
        assert!((weight().water_density - 998.2).abs() < 1e-9);
        assert_eq!(weight_sources().iter().count(), 11, "a constant nobody uses, or one without its field");
    }

    #[test]
    fn the_tables_are_whole() {
        assert_eq!(LOAD_INDEX.len(), 131);
        assert_eq!(speed_of_symbol("G"), Some(90.0));
        assert_eq!(class_iii().count(), 3);
        assert!(table("tyre/load-index").is_some());
    }
}
