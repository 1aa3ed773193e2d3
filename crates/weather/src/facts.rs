//! Values with a source, from `data/*.toml`, unpacked once.

use std::sync::LazyLock;

use basis::Constants;

/// What a value of a column can be at all.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bounds {
    pub(crate) least: f64,
    pub(crate) most: f64,
}

/// The constants of `data/reader.toml`.
#[derive(Debug)]
pub(crate) struct ReaderFacts {
    /// W/m².
    pub(crate) radiation: Bounds,
    /// °C.
    pub(crate) air: Bounds,
    /// m/s.
    pub(crate) wind: Bounds,
    /// Pa.
    pub(crate) pressure: Bounds,
    /// cm.
    pub(crate) snow: Bounds,
    /// Beam that says where the sun stands, W/m².
    pub(crate) clock_dni_least: f64,
    /// Rows of a month that fix its clock.
    pub(crate) clock_rows_least: usize,
    /// Minutes to both sides of the rule.
    pub(crate) clock_search: i32,
    /// Minutes between shifts.
    pub(crate) clock_step: i32,
    /// How many times better a shift must close.
    pub(crate) clock_rms_ratio: f64,
    /// Smallest shift that is used, minutes.
    pub(crate) clock_shift_least: f64,
    /// Worst agreement of a file that is in order, W/m².
    pub(crate) clock_rms_most: f64,
}

static READER: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("reader"))
        .unwrap_or_else(|why| unreachable!("crates/weather/data/reader.toml does not load: {why}"))
});

static READER_FACTS: LazyLock<ReaderFacts> = LazyLock::new(|| {
    let value = |id| value(&READER, "reader", id);
    ReaderFacts {
        radiation: Bounds { least: value("radiation-least"), most: value("radiation-most") },
        air: Bounds { least: value("air-least"), most: value("air-most") },
        wind: Bounds { least: 0.0, most: value("wind-most") },
        pressure: Bounds { least: value("pressure-least"), most: value("pressure-most") },
        snow: Bounds { least: 0.0, most: value("snow-most") },
        clock_dni_least: value("clock-dni-least"),
        clock_rows_least: value("clock-rows-least") as usize,
        clock_search: value("clock-search") as i32,
        clock_step: value("clock-step") as i32,
        clock_rms_ratio: value("clock-rms-ratio"),
        clock_shift_least: value("clock-shift-least"),
        clock_rms_most: value("clock-rms-most"),
    }
});

/// The constants of `data/sun.toml`; angles in degrees.
#[derive(Debug)]
pub(crate) struct SunFacts {
    pub(crate) mean_longitude: f64,
    pub(crate) mean_longitude_day: f64,
    pub(crate) mean_anomaly: f64,
    pub(crate) mean_anomaly_day: f64,
    pub(crate) centre_1: f64,
    pub(crate) centre_2: f64,
    pub(crate) obliquity: f64,
    pub(crate) obliquity_day: f64,
    /// W/m².
    pub(crate) solar_constant: f64,
    pub(crate) distance_swing: f64,
    pub(crate) declination_most: f64,
    pub(crate) declination_day: f64,
}

static SUN: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("sun"))
        .unwrap_or_else(|why| unreachable!("crates/weather/data/sun.toml does not load: {why}"))
});

static SUN_FACTS: LazyLock<SunFacts> = LazyLock::new(|| {
    let value = |id| value(&SUN, "sun", id);
    SunFacts {
        mean_longitude: value("mean-longitude"),
        mean_longitude_day: value("mean-longitude-day"),
        mean_anomaly: value("mean-anomaly"),
        mean_anomaly_day: value("mean-anomaly-day"),
        centre_1: value("centre-1"),
        centre_2: value("centre-2"),
        obliquity: value("obliquity"),
        obliquity_day: value("obliquity-day"),
        solar_constant: value("solar-constant"),
        distance_swing: value("distance-swing"),
        declination_most: value("declination-most"),
        declination_day: value("declination-day"),
    }
});

/// Where the sun stands.
pub(crate) fn sun() -> &'static SunFacts {
    &SUN_FACTS
}

/// The constants of the sun with what each is and where it comes from, for reports.
#[must_use]
pub fn sun_sources() -> &'static Constants {
    &SUN
}

fn value(constants: &Constants, file: &str, id: &str) -> f64 {
    constants.get(id).map_or_else(|| unreachable!("crates/weather/data/{file}.toml has no {id}"), |c| c.value)
}

/// What the readers use.
pub(crate) fn reader() -> &'static ReaderFacts {
    &READER_FACTS
}

/// The constants of the readers with what each is and where it comes from, for reports.
#[must_use]
pub fn reader_sources() -> &'static Constants {
    &READER
}
