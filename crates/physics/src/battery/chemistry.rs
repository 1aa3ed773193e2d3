//! What batteries of each chemistry are like: what is usual, what cold does, what a voltage says, when acid freezes.
//!
//! A chemistry is one of the words "flooded", "agm", "gel" (lead-acid), "lifepo4", "nmc" (lithium). Temperatures are
//! those of the cells, in deg C.

use crate::store_facts::{self as facts, Usual};

/// Whether it has acid that can freeze, and makes gas.
#[must_use]
pub fn is_lead(chemistry: &str) -> bool {
    matches!(chemistry, "flooded" | "agm" | "gel")
}

/// A quantity that is usual for a chemistry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Share of the charge that is left in a battery that is to live long.
    Floor,
    /// Share of the ampere-hours put in that come out again.
    Coulombic,
    /// Share of the energy put in that comes out again.
    RoundTrip,
    /// Exponent of time over current.
    Peukert,
    /// Highest charging current, capacities an hour.
    Charge,
    /// Charging current below which acid settles in layers, capacities an hour; flooded batteries only.
    ChargeLeast,
    /// Highest continuous current out, capacities an hour.
    Discharge,
    /// Share of the charge lost in a month.
    SelfDischarge,
    /// Resistance of a 100 Ah unit of the 12 V class, ohm.
    Resistance,
}

/// What is usual for a chemistry, and where that comes from; `None` where no table says.
#[must_use]
pub fn usual(chemistry: &str, what: Quantity) -> Option<Usual> {
    let tables: &[&str] = match what {
        Quantity::Floor => &["battery/floor"],
        Quantity::Coulombic => &["battery/coulombic"],
        Quantity::RoundTrip => &["battery/round-trip"],
        Quantity::Peukert => &["battery/peukert", "battery/peukert-lithium"],
        Quantity::Charge => &["battery/charge-flooded", "battery/charge"],
        Quantity::ChargeLeast => &["battery/charge-least"],
        Quantity::Discharge => &["battery/discharge"],
        Quantity::SelfDischarge => &["battery/self-discharge"],
        Quantity::Resistance => &["battery/resistance"],
    };
    facts::usual(tables, "chemistry", chemistry)
}

/// Nominal voltage of a cell, V.
#[must_use]
pub fn cell_voltage(chemistry: &str) -> Option<f64> {
    facts::table("battery/cell")?.number("chemistry", chemistry, "volt")
}

/// Nominal voltage, V, of a unit of the 12 V class: 12 V of lead, 12.8 V of lithium iron phosphate.
#[must_use]
pub fn unit_voltage(chemistry: &str) -> Option<f64> {
    let cells = facts::table("battery/cells")?.number("chemistry", chemistry, "count")?;
    Some(cells * cell_voltage(chemistry)?)
}

/// Share of the charge lost every hour, from what is lost in a month.
#[must_use]
pub fn self_discharge_per_h(per_month: f64) -> f64 {
    per_month / facts::battery().month_hours
}

/// On the straight lines between points in rising order of x; the first or last beyond them.
fn between(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let (first, last) = (points.first()?, points.last()?);
    if x <= first.0 {
        return Some(first.1);
    }
    let line = points.windows(2).find_map(|pair| match pair {
        [(x0, y0), (x1, y1)] if x <= *x1 => Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0)),
        _ => None,
    });
    Some(line.unwrap_or(last.1))
}

/// The value of the last point that x has reached, 0 before the first.
fn step(points: &[(f64, f64)], x: f64) -> f64 {
    points.iter().take_while(|(from, _)| x >= *from).last().map_or(0.0, |(_, value)| *value)
}

/// Capacity at a cell temperature (deg C), as a share of what the battery has when warm; flat outside -20 to 25 deg C.
#[must_use]
pub fn capacity_share(chemistry: &str, cell_c: f64) -> Option<f64> {
    let table = match chemistry {
        _ if is_lead(chemistry) => "battery/cold-lead",
        "lifepo4" | "nmc" => "battery/cold-lithium",
        _ => return None,
    };
    between(&facts::points(table, "celsius", "share"), cell_c)
}

/// Highest charging current, capacities an hour, of lithium cells at a temperature (deg C), where no sheet says. 0 below
/// freezing: metal that settles there stays, unseen. Lead-acid has no such limit above its freezing point
/// ([`freezing_c`]): infinite.
#[must_use]
pub fn charge_rate(chemistry: &str, cell_c: f64) -> f64 {
    if is_lead(chemistry) {
        return f64::INFINITY;
    }
    step(&facts::points("battery/charge-by-temperature", "celsius", "rate"), cell_c)
}

/// The same of the current out of lithium cells.
#[must_use]
pub fn discharge_rate(chemistry: &str, cell_c: f64) -> f64 {
    if is_lead(chemistry) {
        return f64::INFINITY;
    }
    step(&facts::points("battery/discharge-by-temperature", "celsius", "rate"), cell_c)
}

fn rest(chemistry: &str) -> Option<Vec<(f64, f64)>> {
    match chemistry {
        _ if is_lead(chemistry) => Some(facts::points("battery/rest-lead", "share", "volt")),
        "lifepo4" => Some(facts::points("battery/rest-lithium", "share", "volt")),
        _ => None,
    }
}

/// Voltage, V, of a rested unit of the 12 V class at a charge (share). `None` where no table says.
#[must_use]
pub fn rest_voltage(chemistry: &str, share: f64) -> Option<f64> {
    between(&rest(chemistry)?, share)
}

/// Charge, as a share, that a rested unit of the 12 V class shows by its voltage: lowest and highest that it can be, with
/// a meter that may be out by `meter` of what it reads (0.01 for 1 %). On lithium's flat line they lie far apart, which
/// is all that its voltage says.
#[must_use]
pub fn charge_at_rest(chemistry: &str, volts: f64, meter: f64) -> Option<(f64, f64)> {
    let points = rest(chemistry)?;
    let (first, last) = (*points.first()?, *points.last()?);
    let (from, to) = (volts * (1.0 - meter), volts * (1.0 + meter));
    // All charges that show a voltage: one on a slope, both ends of a flat piece.
    let showing = |v: f64| {
        points.windows(2).flat_map(move |pair| match pair {
            [(s0, v0), (s1, v1)] if *v0 == v && v == *v1 => [Some(*s0), Some(*s1)],
            [(s0, v0), (s1, v1)] if *v0 <= v && v <= *v1 => [Some(s0 + (s1 - s0) * (v - v0) / (v1 - v0)), None],
            _ => [None, None],
        })
    };
    let lowest = if from < first.1 { 0.0 } else { showing(from).flatten().reduce(f64::min).unwrap_or(last.0) };
    let highest = if to >= last.1 { 1.0 } else { showing(to).flatten().reduce(f64::max).unwrap_or(first.0) };
    Some((lowest, highest))
}

/// Freezing point, deg C, of a lead-acid battery at a charge (share): lowest and highest by two sources of its density.
/// A battery that has frozen must never be charged.
#[must_use]
pub fn freezing_c(share: f64) -> Option<(f64, f64)> {
    let freezing = facts::points("battery/freezing", "density", "celsius");
    let at = |source| between(&freezing, between(&facts::points("battery/acid", "share", source), share)?);
    let (one, other) = (at("one")?, at("other")?);
    Some((one.min(other), one.max(other)))
}

/// Energy, Wh, that warms a battery of a mass (kg) by so many K; losses of its box come on top.
#[must_use]
pub fn warming_wh(mass_kg: f64, rise_k: f64) -> f64 {
    /// Seconds of an hour.
    const HOUR: f64 = 3600.0;
    mass_kg * facts::battery().battery_heat * rise_k / HOUR
}

/// What to add to the charging voltage of a lead-acid battery of so many cells, V, when it is not at the temperature
/// that charging voltages are given for.
#[must_use]
pub fn compensation(cells: f64, cell_c: f64) -> f64 {
    let facts = facts::battery();
    cells * facts.compensation * (cell_c - facts.compensation_at)
}

/// How a lead-acid charge slows down, for [`Store::taper`](super::run::Store::taper): full power up to some share of
/// the capacity (Wh), then falling to next to nothing.
#[must_use]
pub fn lead_taper(capacity_wh: f64, bulk_w: f64) -> super::run::Taper {
    let facts = facts::battery();
    super::run::Taper { from: facts.taper_from, bulk_w, end_w: facts.taper_end * capacity_wh }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_chemistry_has_what_every_chemistry_has() {
        use Quantity::{Charge, Coulombic, Discharge, Floor, Peukert, RoundTrip, SelfDischarge};
        for chemistry in ["flooded", "agm", "gel", "lifepo4", "nmc"] {
            for what in [Floor, Coulombic, RoundTrip, Peukert, Charge, Discharge, SelfDischarge] {
                let usual = usual(chemistry, what).expect("is there");
                assert!(usual.low > 0.0 && usual.low <= usual.high, "{chemistry}: {usual:?}");
            }
            assert!(cell_voltage(chemistry).is_some() && capacity_share(chemistry, 20.0).is_some());
        }
        assert_eq!(usual("nickel", Floor), None);
        assert_eq!((unit_voltage("agm"), unit_voltage("lifepo4"), unit_voltage("nmc")), (Some(12.0), Some(12.8), None));
    }

    #[test]
    fn points_are_held_beyond_the_ends() {
        assert_eq!(between(&[(0.0, 1.0), (2.0, 3.0)], -1.0), Some(1.0));
        assert_eq!(between(&[(0.0, 1.0), (2.0, 3.0)], 0.5), Some(1.5));
        assert_eq!(between(&[(0.0, 1.0), (2.0, 3.0)], 9.0), Some(3.0));
        assert_eq!((step(&[(0.0, 1.0), (5.0, 2.0)], -0.1), step(&[(0.0, 1.0), (5.0, 2.0)], 5.0)), (0.0, 2.0));
    }

    #[test]
    fn lithium_voltage_says_little() {
        let (low, high) = charge_at_rest("lifepo4", 13.3, 0.0).expect("is there");
        assert_eq!((low, high), (0.6, 1.0));
        let (low, high) = charge_at_rest("lifepo4", 13.2, 0.01).expect("is there");
        assert!(low < 0.30 && high == 1.0, "{low} to {high}");
        assert_eq!(charge_at_rest("agm", 11.0, 0.01), Some((0.0, 0.0)));
        assert_eq!(charge_at_rest("agm", 12.30, 0.0), Some((0.5, 0.5)));
        assert_eq!(charge_at_rest("agm", 14.0, 0.0), Some((1.0, 1.0)));
    }
}
