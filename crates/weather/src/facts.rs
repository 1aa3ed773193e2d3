//! Values with a source, from `data/*.toml`, unpacked once.

use std::sync::LazyLock;

use basis::{Constants, LimitSet};

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
    /// h.
    pub(crate) gap_hours: f64,
    pub(crate) split_cosine: f64,
    pub(crate) night_cosine: f64,
    /// W/m².
    pub(crate) night_ghi: f64,
    pub(crate) outside_ratio: f64,
    pub(crate) outside_cosine: f64,
    /// W/m².
    pub(crate) diffuse_over: f64,
    /// kWh/m².
    pub(crate) annual_least: f64,
    /// kWh/m².
    pub(crate) annual_most: f64,
    /// m/s.
    pub(crate) wind_mean_least: f64,
    /// h.
    pub(crate) equal_hours: f64,
    /// Degrees.
    pub(crate) season_latitude: f64,
    /// K.
    pub(crate) season_swing: f64,
    /// h.
    pub(crate) zone_hours: f64,
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
        gap_hours: value("gap-hours"),
        split_cosine: value("split-cosine"),
        night_cosine: value("night-cosine"),
        night_ghi: value("night-ghi"),
        outside_ratio: value("outside-ratio"),
        outside_cosine: value("outside-cosine"),
        diffuse_over: value("diffuse-over"),
        annual_least: value("annual-least"),
        annual_most: value("annual-most"),
        wind_mean_least: value("wind-mean-least"),
        equal_hours: value("equal-hours"),
        season_latitude: value("season-latitude"),
        season_swing: value("season-swing"),
        zone_hours: value("zone-hours"),
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

/// The constants of `data/climate.toml`.
#[derive(Debug)]
pub(crate) struct ClimateFacts {
    pub(crate) sunshine_clear: f64,
    pub(crate) sunshine_slope: f64,
    pub(crate) swing_inland: f64,
    pub(crate) swing_coast: f64,
    pub(crate) swing_unsure: f64,
    pub(crate) both_clear: f64,
    pub(crate) both_slope: f64,
    /// Constant, latitude, its square, season, height.
    pub(crate) latitude: [f64; 5],
    pub(crate) season_day: f64,
    /// km.
    pub(crate) near_km: f64,
    /// km.
    pub(crate) regional_km: f64,
    /// K/km.
    pub(crate) lapse: f64,
    /// kWh/m² a day.
    pub(crate) polar_h0: f64,
    pub(crate) ceiling: f64,
    /// 1/m.
    pub(crate) ceiling_height: f64,
    pub(crate) sunshine_slack: f64,
    pub(crate) clearness_most: f64,
}

static CLIMATE: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("climate"))
        .unwrap_or_else(|why| unreachable!("crates/weather/data/climate.toml does not load: {why}"))
});

static CLIMATE_FACTS: LazyLock<ClimateFacts> = LazyLock::new(|| {
    let value = |id| value(&CLIMATE, "climate", id);
    ClimateFacts {
        sunshine_clear: value("sunshine-clear"),
        sunshine_slope: value("sunshine-slope"),
        swing_inland: value("swing-inland"),
        swing_coast: value("swing-coast"),
        swing_unsure: value("swing-unsure"),
        both_clear: value("both-clear"),
        both_slope: value("both-slope"),
        latitude: ["latitude-0", "latitude-1", "latitude-2", "latitude-3", "latitude-4"].map(value),
        season_day: value("season-day"),
        near_km: value("near-km"),
        regional_km: value("regional-km"),
        lapse: value("lapse"),
        polar_h0: value("polar-h0"),
        ceiling: value("ceiling"),
        ceiling_height: value("ceiling-height"),
        sunshine_slack: value("sunshine-slack"),
        clearness_most: value("clearness-most"),
    }
});

/// What the routes to a climate use.
pub(crate) fn climate() -> &'static ClimateFacts {
    &CLIMATE_FACTS
}

/// The constants of the routes with what each is and where it comes from, for reports.
#[must_use]
pub fn climate_sources() -> &'static Constants {
    &CLIMATE
}

static ROUTES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("routes"))
        .unwrap_or_else(|why| unreachable!("crates/weather/data/routes.toml does not load: {why}"))
});

/// What each route is worth, with where that comes from.
#[must_use]
pub fn routes() -> &'static LimitSet {
    &ROUTES
}

/// Standard deviation of a month and of a year, and half width of the band, of a route, as shares.
pub(crate) fn route(word: &str) -> (f64, f64, f64) {
    let table = ROUTES.tables.first();
    let percent = |column| table.and_then(|table| table.number("route", word, column));
    match (percent("month_percent"), percent("year_percent"), percent("band_percent")) {
        (Some(month), Some(year), Some(band)) => (month / PERCENT, year / PERCENT, band / PERCENT),
        _ => unreachable!("crates/weather/data/routes.toml has no {word}"),
    }
}

const PERCENT: f64 = 100.0;

/// The constants of `data/generator.toml`.
#[derive(Debug)]
pub(crate) struct DrawFacts {
    pub(crate) persistence: f64,
    pub(crate) law_top: f64,
    pub(crate) law_top_slope: f64,
    pub(crate) law_top_curve: f64,
    pub(crate) law_top_centre: f64,
    pub(crate) law_bottom: f64,
    pub(crate) law_bottom_share: f64,
    pub(crate) law_mean_least: f64,
    pub(crate) law_mean_most: f64,
    pub(crate) hour_a: [f64; 2],
    pub(crate) hour_b: [f64; 2],
    /// Degrees.
    pub(crate) hour_phase: f64,
    /// Degrees.
    pub(crate) diffuse_season: f64,
    pub(crate) diffuse_winter: Diffuse,
    pub(crate) diffuse_rest: Diffuse,
    pub(crate) low_sun: f64,
    pub(crate) air_persistence: f64,
    /// K.
    pub(crate) air_spread: f64,
    pub(crate) air_sun_cold: f64,
    pub(crate) air_sun_warm: f64,
    pub(crate) swing_base: f64,
    pub(crate) swing_sun: f64,
    /// h.
    pub(crate) warmest_hour: f64,
}

/// Diffuse share of a day by its clearness.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Diffuse {
    pub(crate) powers: [f64; 5],
    pub(crate) knee: f64,
    pub(crate) end: f64,
}

static DRAW: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("generator"))
        .unwrap_or_else(|why| unreachable!("crates/weather/data/generator.toml does not load: {why}"))
});

static DRAW_FACTS: LazyLock<DrawFacts> = LazyLock::new(|| {
    let value = |id| value(&DRAW, "generator", id);
    let diffuse = |powers: [&'static str; 5], knee: &'static str, end: &'static str| Diffuse {
        powers: powers.map(value),
        knee: value(knee),
        end: value(end),
    };
    DrawFacts {
        persistence: value("persistence"),
        law_top: value("law-top"),
        law_top_slope: value("law-top-slope"),
        law_top_curve: value("law-top-curve"),
        law_top_centre: value("law-top-centre"),
        law_bottom: value("law-bottom"),
        law_bottom_share: value("law-bottom-share"),
        law_mean_least: value("law-mean-least"),
        law_mean_most: value("law-mean-most"),
        hour_a: ["hour-a-0", "hour-a-1"].map(value),
        hour_b: ["hour-b-0", "hour-b-1"].map(value),
        hour_phase: value("hour-phase"),
        diffuse_season: value("diffuse-season"),
        diffuse_winter: diffuse(
            ["diffuse-winter-0", "diffuse-winter-1", "diffuse-winter-2", "diffuse-winter-3", "diffuse-winter-4"],
            "diffuse-winter-knee",
            "diffuse-winter-end",
        ),
        diffuse_rest: diffuse(
            ["diffuse-rest-0", "diffuse-rest-1", "diffuse-rest-2", "diffuse-rest-3", "diffuse-rest-4"],
            "diffuse-rest-knee",
            "diffuse-rest-end",
        ),
        low_sun: value("low-sun"),
        air_persistence: value("air-persistence"),
        air_spread: value("air-spread"),
        air_sun_cold: value("air-sun-cold"),
        air_sun_warm: value("air-sun-warm"),
        swing_base: value("swing-base"),
        swing_sun: value("swing-sun"),
        warmest_hour: value("warmest-hour"),
    }
});

/// What drawn years use.
pub(crate) fn draw() -> &'static DrawFacts {
    &DRAW_FACTS
}

/// The constants of drawn years with what each is and where it comes from, for reports.
#[must_use]
pub fn draw_sources() -> &'static Constants {
    &DRAW
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

#[cfg(test)]
mod tests {
    use super::*;

    /// As many constants as fields: none is left over that nobody uses.
    #[test]
    fn every_constant_is_used() {
        let fields = |debug: String| debug.matches(": ").count();
        let bounds = 5;
        assert_eq!(reader_sources().iter().count(), fields(format!("{:?}", reader())) - bounds - 2);
        assert_eq!(sun_sources().iter().count(), fields(format!("{:?}", sun())));
        assert_eq!(climate_sources().iter().count(), fields(format!("{:?}", climate())) + 4);
        // Two pairs, and twice five powers in a table of their own.
        assert_eq!(draw_sources().iter().count(), fields(format!("{:?}", draw())) + 2 - 2 + 2 * 4);
        for word in ["file", "measured", "sunshine", "swing", "swing-unsure", "both", "near", "latitude"] {
            let (month, year, band) = route(word);
            assert!(0.0 < year && year <= month && month < band && band < 0.5, "{word}");
        }
        assert_eq!(routes().tables.first().map(|table| table.rows.len()), Some(8));
    }
}
