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
    pub(crate) clock_shift_least: i32,
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
        clock_shift_least: value("clock-shift-least") as i32,
    }
});

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
