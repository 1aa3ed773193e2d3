//! What a tyre carries, at which pressure, how fast, and how old it is.
//!
//! Pressures are cold and gauge, as a tyre gauge shows them. Ply rating and load range letters are no load index.

use quantity::real::pow;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Load indices of the table.
const INDEX: Range = Range::of(70.0, 200.0);
/// Pressure of a road tyre, gauge; the high end catches psi and kPa written as bar.
const PRESSURE: Range = Range::over(0.0, 20.0);
/// Exponents seen, from passenger tyres to the straight line.
const EXPONENT: Range = Range::of(0.5, 1.0);

fn usual_exponent() -> f64 {
    facts::weight().tyre_exponent
}

/// Input of [`load_index`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<LoadIndexIn>)]
pub struct LoadIndexIn {
    /// Load index from the sidewall.
    pub load_index: u32,
}

ranged!(LoadIndexIn { load_index [""] INDEX });

/// Output of [`load_index`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadIndexOut {
    /// Load of one tyre at its reference pressure, up to the speed of its symbol.
    pub capacity_kg: f64,
}

/// Load that a load index stands for.
///
/// | input        | unit | range     | note                 |
/// |--------------|------|-----------|----------------------|
/// | `load_index` | 1    | 70 to 200 | whole number         |
///
/// Gives `capacity_kg` (kg), one tyre.
///
/// # Errors
/// `OutOfRange` outside the table.
///
/// # Source
/// `data/tyres.toml`, table `tyre/load-index` with its basis. The power law that the table follows within 1.3 % never
/// replaces it.
///
/// # Checked against
/// `tests/outside/tyre.rs`: rule of ten times the entry 80 lower, the 1.3 % band, sidewall loads of published tables.
pub fn load_index(input: &LoadIndexIn) -> Result<LoadIndexOut, KernelError> {
    Ok(LoadIndexOut { capacity_kg: index_capacity("load_index", input.load_index)? })
}

/// Load of an index, kg; the error names `field`.
///
/// # Errors
/// `OutOfRange` outside the table.
pub fn index_capacity(field: &str, index: u32) -> Result<f64, KernelError> {
    let load = facts::LOAD_INDEX.get(&index).copied();
    load.ok_or_else(|| KernelError::outside(field, f64::from(index), INDEX, "", "the table of load indices"))
}

/// Input of [`tyre_capacity`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<TyreCapacityIn>)]
pub struct TyreCapacityIn {
    /// Load index of a single tyre (the first number, as in 152/148).
    pub load_index: u32,
    /// Pressure it runs at: cold, gauge.
    pub pressure_bar: f64,
    /// Pressure at which the load index holds: gauge, from the maker's table or the sidewall.
    pub reference_pressure_bar: f64,
    /// Whether the tyre runs as one of a pair.
    #[serde(default)]
    pub dual: bool,
    /// Load index of each tyre of a pair (the second number); only used with `dual`.
    #[serde(default)]
    pub load_index_dual: Option<u32>,
    /// Exponent of load over pressure: 0.8 for European truck radials, 0.7 for US ones with their table in hand, 1 to
    /// be careful.
    #[serde(default = "usual_exponent")]
    pub exponent: f64,
}

ranged!(TyreCapacityIn {
    load_index [""] INDEX,
    pressure_bar ["bar"] PRESSURE,
    reference_pressure_bar ["bar"] PRESSURE,
    load_index_dual [""] INDEX,
    exponent [""] EXPONENT,
});

/// Output of [`tyre_capacity`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TyreCapacityOut {
    /// What this tyre carries at its pressure.
    pub capacity_kg: f64,
    /// What the load index that was used stands for in the table (the second one in a pair where it is given), before
    /// pressure and before the factor for an unknown second index.
    pub index_capacity_kg: f64,
}

/// What one tyre carries at the pressure it runs at.
///
/// Up to the speed of its symbol, at walking air temperature. A pressure above the reference brings nothing: the
/// sidewall's load is the most. In a pair the second load index counts; where it is not known the first is multiplied
/// by 0.83, which is below every pair of indices seen (`data/weight.toml`). Never both.
///
/// | input                    | unit | range        | note                                                |
/// |--------------------------|------|--------------|-----------------------------------------------------|
/// | `load_index`             | 1    | 70 to 200    | single                                              |
/// | `pressure_bar`           | bar  | over 0 to 20 | cold, gauge; at least half the reference            |
/// | `reference_pressure_bar` | bar  | over 0 to 20 | gauge                                               |
/// | `load_index_dual`        | 1    | 70 to 200    | optional, each of a pair                            |
/// | `exponent`               | 1    | 0.5 to 1     | default 0.8                                         |
///
/// Gives `capacity_kg` and `index_capacity_kg` (kg), both for one tyre.
///
/// # Errors
/// `OutOfRange` names the field; below half the reference pressure the law says nothing.
///
/// # Source
/// Load index table and exponent: `data/tyres.toml`, `data/weight.toml`, each with its basis.
///
/// # Checked against
/// `tests/outside/tyre.rs`: two published load and inflation tables, single and dual.
pub fn tyre_capacity(input: &TyreCapacityIn) -> Result<TyreCapacityOut, KernelError> {
    input.check()?;
    let (index_capacity_kg, factor) = match (input.dual, input.load_index_dual) {
        (true, Some(second)) => (index_capacity("load_index_dual", second)?, 1.0),
        (true, None) => (index_capacity("load_index", input.load_index)?, facts::weight().tyre_dual_factor),
        (false, _) => (index_capacity("load_index", input.load_index)?, 1.0),
    };
    let share = pressure_share(input.pressure_bar, input.reference_pressure_bar, input.exponent)?;
    Ok(TyreCapacityOut { capacity_kg: finite("capacity_kg", index_capacity_kg * factor * share)?, index_capacity_kg })
}

/// Share of its full load that a tyre carries at a pressure, at most 1. Both pressures gauge, in the same unit.
///
/// # Errors
/// `OutOfRange` below half the reference pressure.
pub fn pressure_share(pressure: f64, reference: f64, exponent: f64) -> Result<f64, KernelError> {
    let least = facts::weight().tyre_pressure_share_least * reference;
    if pressure >= least {
        return Ok(pow(pressure.min(reference) / reference, exponent));
    }
    let range = Range::of(least, f64::INFINITY);
    Err(KernelError::outside(
        "pressure_bar",
        pressure,
        range,
        "bar",
        "below half the reference pressure only the maker's table answers",
    ))
}

/// Input of [`tyre_pressure`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<TyrePressureIn>)]
pub struct TyrePressureIn {
    /// Load on one tyre.
    pub load_kg: f64,
    /// What one tyre carries at its reference pressure, as fitted (single, or in a pair).
    pub full_load_kg: f64,
    /// Pressure at which it does: gauge.
    pub reference_pressure_bar: f64,
    /// Exponent of load over pressure.
    #[serde(default = "usual_exponent")]
    pub exponent: f64,
}

ranged!(TyrePressureIn {
    load_kg ["kg"] usual::MASS,
    full_load_kg ["kg"] usual::SOME_MASS,
    reference_pressure_bar ["bar"] PRESSURE,
    exponent [""] EXPONENT,
});

/// Output of [`tyre_pressure`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TyrePressureOut {
    /// Least pressure that carries the load: cold, gauge.
    pub pressure_bar: f64,
}

/// Least pressure at which a tyre carries a load; the inverse of [`tyre_capacity`].
///
/// Never below half the reference pressure, even where less would carry the load.
///
/// | input                    | unit | range         | note                              |
/// |--------------------------|------|---------------|-----------------------------------|
/// | `load_kg`                | kg   | 0 to 1e9      | on one tyre                       |
/// | `full_load_kg`           | kg   | over 0 to 1e9 | at the reference pressure         |
/// | `reference_pressure_bar` | bar  | over 0 to 20  | gauge                             |
/// | `exponent`               | 1    | 0.5 to 1      | default 0.8                       |
///
/// Gives `pressure_bar` (bar), cold and gauge.
///
/// # Errors
/// `OutOfRange` names the field; a load above the full load is carried at no pressure.
///
/// # Source
/// As [`tyre_capacity`].
///
/// # Checked against
/// `tests/outside/tyre.rs`: gives back the pressure of a computed capacity.
pub fn tyre_pressure(input: &TyrePressureIn) -> Result<TyrePressureOut, KernelError> {
    input.check()?;
    let pressure = pressure_wanted(input.load_kg, input.full_load_kg, input.reference_pressure_bar, input.exponent)?;
    Ok(TyrePressureOut { pressure_bar: finite("pressure_bar", pressure)? })
}

/// Least pressure that carries `load_kg`, in the unit of `reference`, between half of it and all of it.
///
/// # Errors
/// `OutOfRange` when the load is above `full_load_kg`.
pub fn pressure_wanted(load_kg: f64, full_load_kg: f64, reference: f64, exponent: f64) -> Result<f64, KernelError> {
    let carried = Range::of(0.0, full_load_kg);
    if !carried.holds(load_kg) {
        return Err(KernelError::outside(
            "load_kg",
            load_kg,
            carried,
            "kg",
            "no pressure makes the tyre carry more than its full load",
        ));
    }
    let least = facts::weight().tyre_pressure_share_least * reference;
    Ok((reference * pow(load_kg / full_load_kg, 1.0 / exponent)).max(least))
}

/// Speed, km/h, up to which a tyre of that speed symbol carries the load of its index.
///
/// # Errors
/// `NotListed` for a letter outside the table.
pub fn speed_km_h(symbol: &str) -> Result<f64, KernelError> {
    facts::speed_of_symbol(symbol.trim()).ok_or_else(|| KernelError::NotListed {
        field: "speed_symbol".into(),
        value: symbol.to_owned(),
        wanted: "a capital letter of the sidewall, such as G, J, K or L",
    })
}

/// Week in which a tyre was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DateCode {
    /// Year, all four digits.
    pub year: i32,
    /// Week of the year, from 1.
    pub week: i32,
}

impl DateCode {
    /// Reads the last four digits of the sidewall's code: "2319" is week 23 of 2019.
    ///
    /// # Errors
    /// `NotListed` for anything but a week from 01 to 53 and two digits of the year. Three digits mean a tyre from
    /// before 2000, whose decade the code does not tell.
    pub fn read(text: &str) -> Result<Self, KernelError> {
        let wanted = || KernelError::NotListed {
            field: "date_code".into(),
            value: text.to_owned(),
            wanted: "four digits, week and year, such as \"2319\" for week 23 of 2019 (three digits: made before 2000)",
        };
        let digits = text.trim();
        if digits.len() != "wwyy".len() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(wanted());
        }
        let (week, year) = digits.split_at(2);
        let week: i32 = week.parse().map_err(|_| wanted())?;
        let year: i32 = year.parse().map_err(|_| wanted())?;
        if !(1..=WEEKS).contains(&week) {
            return Err(wanted());
        }
        Ok(Self { year: CENTURY + year, week })
    }

    /// Age in years on a day, from the middle of the week it was made in; negative for a code from the future.
    #[must_use]
    pub fn age_years(self, year: i32, day_of_year: i32) -> f64 {
        let made = f64::from(self.year) + (f64::from(self.week) * WEEK_DAYS - WEEK_DAYS / 2.0) / YEAR_DAYS;
        f64::from(year) + f64::from(day_of_year) / YEAR_DAYS - made
    }

    /// The same in seconds.
    #[must_use]
    pub fn age_s(self, year: i32, day_of_year: i32) -> f64 {
        self.age_years(year, day_of_year) * YEAR_DAYS * DAY_S
    }

    /// The code of a tyre made on a day.
    #[must_use]
    pub fn of_day(year: i32, day_of_year: i32) -> String {
        let week = f64::from(day_of_year) / WEEK_DAYS;
        format!("{:02}{:02}", (week.floor() + 1.0).min(f64::from(WEEKS)), year % CENTURY_YEARS)
    }
}

/// The calendar: most weeks in a year, days in a week, mean days in a year, and the century that four digits mean.
const WEEKS: i32 = 53;
const WEEK_DAYS: f64 = 7.0;
const YEAR_DAYS: f64 = 365.25;
const CENTURY: i32 = 2000;
const CENTURY_YEARS: i32 = 100;
/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> TyreCapacityIn {
        TyreCapacityIn {
            load_index: 152,
            pressure_bar: 8.5,
            reference_pressure_bar: 8.5,
            dual: false,
            load_index_dual: None,
            exponent: 0.8,
        }
    }

    fn capacity(input: TyreCapacityIn) -> f64 {
        tyre_capacity(&input).expect("answers").capacity_kg
    }

    #[test]
    fn no_gain_above_the_reference_and_no_answer_below_half() {
        assert_eq!(capacity(TyreCapacityIn { pressure_bar: 10.0, ..sample() }), 3550.0);
        assert!(tyre_capacity(&TyreCapacityIn { pressure_bar: 4.25, ..sample() }).is_ok());
        let why = tyre_capacity(&TyreCapacityIn { pressure_bar: 4.2, ..sample() }).expect_err("too soft").to_string();
        assert!(why.starts_with("`pressure_bar` is 4.2 bar; wanted: at least 4.25 bar"), "{why}");
    }

    #[test]
    fn the_second_index_or_the_factor_but_never_both() {
        assert_eq!(capacity(TyreCapacityIn { dual: true, load_index_dual: Some(148), ..sample() }), 3150.0);
        assert!((capacity(TyreCapacityIn { dual: true, ..sample() }) - 3550.0 * 0.83).abs() < 1e-9);
        assert_eq!(capacity(TyreCapacityIn { load_index_dual: Some(148), ..sample() }), 3550.0, "a single tyre is no pair");
    }

    #[test]
    fn the_factor_is_below_the_lowest_pair_seen() {
        let (single, pair) = (index_capacity("", 156).expect("listed"), index_capacity("", 150).expect("listed"));
        assert!(facts::weight().tyre_dual_factor <= pair / single);
    }

    #[test]
    fn date_codes() {
        assert_eq!(DateCode::read("2319"), Ok(DateCode { year: 2019, week: 23 }));
        for odd in ["", "231", "0019", "5419", "23190", "2a19", "２３19"] {
            assert!(DateCode::read(odd).is_err(), "{odd}");
        }
        let age = DateCode { year: 2019, week: 1 }.age_years(2026, 4);
        assert!((age - 7.0).abs() < 0.01, "{age}");
        assert!(DateCode { year: 2030, week: 1 }.age_years(2026, 4) < 0.0);
        assert_eq!(DateCode::of_day(2026, 4), "0126");
        assert_eq!(DateCode::of_day(2009, 364), "5309");
    }

    #[test]
    fn speed_symbols() {
        assert_eq!(speed_km_h("K"), Ok(110.0));
        assert!(speed_km_h("k").is_err() && speed_km_h("").is_err());
    }
}
