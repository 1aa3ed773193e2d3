//! Values with a source that the kernels of sun, sky and panels use, from `data/sun.toml` and `data/panels.toml`, each
//! file read once and when first asked for.

use std::sync::LazyLock;

use basis::{Constants, LimitSet, Table};

use crate::range::Range;

/// Years in which the tables of the solar position algorithm hold.
pub(crate) const YEARS: Range = Range::of(-2000.0, 6000.0);

/// Structs of constants by name, filled from `data/sun.toml`. A list is numbered there: `spencer-0`, `spencer-1`, ...
macro_rules! constants {
    ($($(#[$about:meta])* $kind:ident from $door:ident, $cell:ident { $($(#[$doc:meta])* $field:ident: $value:ty = $id:literal,)* })*) => {
        $(
            $(#[$about])*
            #[derive(Debug)]
            pub struct $kind {
                $($(#[$doc])* pub $field: $value,)*
            }

            static $cell: LazyLock<$kind> = LazyLock::new(|| $kind { $($field: Named::named($id),)* });

            $(#[$about])*
            #[must_use]
            pub fn $door() -> &'static $kind {
                &$cell
            }
        )*

        #[cfg(test)]
        fn ids() -> Vec<String> {
            [$($(<$value as Named>::ids($id),)*)*].concat()
        }
    };
}

constants! {
    /// The sun and the air.
    SunFacts from sun, SUN {
        /// Terrestrial less universal time, s.
        delta_t: f64 = "delta-t",
        /// Air that bends light where none is stated, degrees Celsius.
        air_temperature: f64 = "air-temperature",
        /// Pressure at the level of the sea, Pa.
        pressure: f64 = "pressure",
        /// Pressure by altitude: factor.
        pressure_unit: f64 = "pressure-unit",
        /// Pressure by altitude: height taken from, m.
        pressure_top: f64 = "pressure-top",
        /// Pressure by altitude: divisor, m.
        pressure_scale: f64 = "pressure-scale",
        /// Pressure by altitude: one over the power.
        pressure_power: f64 = "pressure-power",
        /// Irradiance above the air at one astronomical unit, W/m2.
        constant: f64 = "solar-constant",
        /// Its course over the year.
        spencer: [f64; 5] = "spencer",
        /// Air mass.
        air_mass: [f64; 3] = "air-mass",
    }
    /// Clear and clouded skies.
    SkyFacts from sky, SKY {
        /// Clear sky of Haurwitz.
        haurwitz: [f64; 2] = "haurwitz",
        /// Clear sky of Ineichen and Perez.
        ineichen: [f64; 13] = "ineichen",
        /// Split of Erbs: ends of the middle, slope below, share above.
        erbs: [f64; 4] = "erbs",
        /// Split of Erbs: polynomial of the middle.
        erbs_middle: [f64; 5] = "erbs-middle",
        /// Least cosine of the zenith in the clearness.
        erbs_cosine: f64 = "erbs-cosine",
        /// Zenith beyond which there is no beam, degrees.
        erbs_zenith: f64 = "erbs-zenith",
        /// Least cosine of the zenith in the model of Hay and Davies.
        hay_davies_cosine: f64 = "hay-davies-cosine",
        /// The same in the model of Perez.
        perez_cosine: f64 = "perez-cosine",
        /// Weight of the cube of the zenith in the model of Perez.
        perez_zenith: f64 = "perez-zenith",
        /// Share of light the ground throws back.
        albedo: f64 = "albedo",
    }
    /// Panels.
    PanelFacts from panel, PANEL {
        /// Incidence modifier of ASHRAE.
        ashrae_b: f64 = "ashrae-b",
        /// Refractive index of the glass.
        glass_index: f64 = "glass-index",
        /// Extinction of the glass, 1/m.
        glass_extinction: f64 = "glass-extinction",
        /// Thickness of the glass, m.
        glass_thickness: f64 = "glass-thickness",
        /// Angular loss coefficient of Martin and Ruiz.
        martin_ruiz: f64 = "martin-ruiz",
        /// Share of the angular loss that anti-reflective glass leaves.
        anti_reflective: f64 = "anti-reflective",
        /// Wind at a low roof as a share of that at 10 m.
        wind_at_roof: f64 = "wind-at-roof",
        /// Irradiance of the label, W/m2.
        rated_irradiance: f64 = "rated-irradiance",
        /// Cell temperature of the label, degrees Celsius.
        rated_temperature: f64 = "rated-temperature",
        /// Irradiance at which NOCT is stated, W/m2.
        noct_irradiance: f64 = "noct-irradiance",
        /// Air at which NOCT is stated, degrees Celsius.
        noct_air: f64 = "noct-air",
        /// Heat loss of the NOCT test, W/m2K.
        noct_loss: f64 = "noct-loss",
        /// Heat loss in still air, W/m2K.
        noct_still: f64 = "noct-still",
        /// Heat loss per m/s of wind.
        noct_wind: f64 = "noct-wind",
        /// Transmittance times absorptance.
        absorptance: f64 = "absorptance",
        /// Change of power with cell temperature, 1/K.
        gamma: f64 = "gamma",
        /// Change of open voltage with cell temperature where nothing is known, 1/K.
        beta: f64 = "beta",
        /// Band gap of silicon at 25 degrees Celsius, eV.
        silicon_gap: f64 = "silicon-gap",
        /// Its relative change, 1/K.
        silicon_gap_change: f64 = "silicon-gap-change",
        /// Boltzmann constant, eV/K.
        boltzmann: f64 = "boltzmann",
        /// Voltage of a bypass diode that conducts, V.
        bypass_drop: f64 = "bypass-drop",
        /// Current a panel may give over its short circuit current.
        array_current: f64 = "array-current",
        /// Snow in an hour over which a panel is covered, cm.
        snow_covers: f64 = "snow-covers",
        /// Snow slides when the air is warmer than irradiance over this, W/m2K.
        snow_slides: f64 = "snow-slides",
        /// Share of the slope cleared in an hour of sliding, vertical.
        snow_slide: f64 = "snow-slide",
        /// Share of one cell below which shade on it does not count.
        touched_cell: f64 = "touched-cell",
    }
}

static CONSTANTS: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("sun"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/sun.toml does not load: {why}"))
});

/// A value of the constants, or a numbered list of them.
trait Named {
    fn named(id: &str) -> Self;
    #[cfg(test)]
    fn ids(id: &str) -> Vec<String>;
}

impl Named for f64 {
    fn named(id: &str) -> Self {
        let constant = CONSTANTS.get(id);
        constant.map_or_else(|| unreachable!("crates/physics/data/sun.toml has no {id}"), |c| c.value)
    }
    #[cfg(test)]
    fn ids(id: &str) -> Vec<String> {
        vec![id.to_owned()]
    }
}

impl<const N: usize> Named for [f64; N] {
    fn named(id: &str) -> Self {
        std::array::from_fn(|k| f64::named(&format!("{id}-{k}")))
    }
    #[cfg(test)]
    fn ids(id: &str) -> Vec<String> {
        (0..N).map(|k| format!("{id}-{k}")).collect()
    }
}

/// The constants with what each is and where it comes from, for reports.
#[must_use]
pub fn sun_sources() -> &'static Constants {
    &CONSTANTS
}

static TABLES: LazyLock<LimitSet> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("panels"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/panels.toml does not load: {why}"))
});

/// A table of `data/panels.toml` by its id, such as `panel/mounting`.
#[must_use]
pub fn table(id: &str) -> Option<&'static Table> {
    TABLES.table(id)
}

/// The number in column `want` of the row named `key`.
pub(crate) fn number(id: &str, by: &str, key: &str, want: &str) -> Option<f64> {
    table(id)?.number(by, key, want)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_is_there_and_every_one_is_used() {
        let known = ids();
        let unused: Vec<&str> = sun_sources().iter().map(|c| c.id.as_str()).filter(|id| !known.iter().any(|k| k == id)).collect();
        assert!(unused.is_empty(), "constants nobody uses: {unused:?}");
        assert_eq!((sun().delta_t, sky().albedo, panel().glass_index), (67.0, 0.2, 1.526));
    }

    #[test]
    fn every_table_is_found_by_its_id() {
        assert!(TABLES.tables.iter().all(|known| table(&known.id) == Some(known)));
        assert_eq!(number("panel/cold-voltage", "band", "-6 to -10", "factor"), Some(1.14));
    }
}
