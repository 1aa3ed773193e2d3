//! Values with a source that the mount kernels use, from `data/*.toml`, each file read once and when first asked for.

use std::sync::LazyLock;

use basis::{Constants, LimitSet, Table};

/// A struct of constants by name, filled from `data/mount.toml`.
macro_rules! constants {
    ($(#[$about:meta])* $kind:ident { $($(#[$doc:meta])* $field:ident: $id:literal,)* }) => {
        $(#[$about])*
        #[derive(Debug)]
        pub struct $kind {
            $($(#[$doc])* pub $field: f64,)*
        }

        impl $kind {
            #[cfg(test)]
            const IDS: &'static [&'static str] = &[$($id),*];

            fn load() -> Self {
                Self { $($field: value($id),)* }
            }
        }
    };
}
pub(crate) use constants;

constants! {
    /// Threads, bolts and tightening: constants of `data/mount.toml` in SI units.
    BoltFacts {
        /// Pitches taken from the diameter for the stress area of a metric thread.
        thread_metric: "thread-metric",
        /// The same of a unified thread.
        thread_inch: "thread-inch",
        /// Tension resistance as a share of ultimate strength times stress area.
        tension: "bolt-tension",
        /// The same of a countersunk bolt.
        tension_countersunk: "bolt-tension-countersunk",
        /// Shear factor with the shank in the plane.
        shear_shank: "bolt-shear-shank",
        /// Shear factor with the thread in the plane of classes without one of their own.
        shear_other: "bolt-shear-other",
        /// Partial factor of bolts.
        partial: "bolt-partial",
        /// How much tension resistance counts for beside shear.
        interaction: "bolt-interaction",
        /// Punching shear as a share of ultimate strength.
        punching: "bolt-punching",
        /// End distance in hole diameters at which a bolt bears fully.
        bearing_end: "bearing-end",
        /// What is taken from the pitch term of bearing.
        bearing_pitch_less: "bearing-pitch-less",
        /// Edge factor of bearing.
        bearing_edge: "bearing-edge",
        /// Gauge factor of bearing.
        bearing_gauge: "bearing-gauge",
        /// What is taken from the edge and gauge terms of bearing.
        bearing_less: "bearing-less",
        /// Most that those terms come to.
        bearing_most: "bearing-most",
        /// Least end and edge distance in hole diameters.
        spacing_end: "spacing-end",
        /// Least pitch in hole diameters.
        spacing_pitch: "spacing-pitch",
        /// Least gauge in hole diameters.
        spacing_gauge: "spacing-gauge",
        /// Preload of a slip joint as a share of ultimate strength times stress area.
        preload_share: "preload-share",
        /// Partial factor of that preload.
        preload_partial: "preload-partial",
        /// Share of outer tension that a clamped joint loses in clamping.
        slip_tension: "slip-tension",
        /// Preload of a joint that is taken apart again, as a share of proof stress times stress area.
        preload_reusable: "preload-reusable",
        /// Of the tension and shear line in AISC 360.
        aisc_interaction: "aisc-bolt-interaction",
        /// Resistance factor of bolts and fillet welds in AISC 360.
        aisc_phi: "aisc-phi",
        /// Safety factor of bolts and fillet welds in AISC 360.
        aisc_omega: "aisc-omega",
    }
}

constants! {
    /// Fillet welds: constants of `data/mount.toml` in SI units.
    WeldFacts {
        /// Share of ultimate strength that the stress square to a throat may reach.
        perpendicular: "weld-perpendicular",
        /// Partial factor of welds.
        partial: "weld-partial",
        /// Shortest weld that carries load, m.
        length_least: "weld-length-least",
        /// The same in throats.
        length_throats: "weld-length-throats",
        /// Least throat that carries load, m.
        throat_least: "weld-throat-least",
        /// Strength in AISC 360 as a share of the filler strength.
        aisc: "aisc-weld",
        /// Gain of a weld loaded square to its length in AISC 360.
        aisc_angle: "aisc-weld-angle",
        /// Power of the sine in that gain.
        aisc_power: "aisc-weld-power",
    }
}

constants! {
    /// Wood and screws in it: constants of `data/mount.toml` in SI units.
    TimberFacts {
        /// kc,90 of EN 1995.
        bearing: "timber-bearing",
        /// kmod outdoors, short-term load.
        duration_short: "timber-duration-short",
        /// kmod outdoors, instantaneous load.
        duration_instant: "timber-duration-instant",
        /// kmod under a roof, short-term load.
        duration_dry: "timber-duration-dry",
        /// Partial factor of solid timber.
        partial: "timber-partial",
        /// NDS factor for bearing across the grain of wet wood.
        wet: "timber-wet",
        /// Length that the NDS bearing factor adds, m.
        bearing_add: "timber-bearing-add",
        /// Bearings at least this long gain nothing, m.
        bearing_up_to: "timber-bearing-up-to",
        /// Bearings nearer to the end gain nothing, m.
        bearing_end: "timber-bearing-end",
        /// NDS factor for half the dent.
        half_dent: "timber-half-dent",
        /// Of NDS wood-screw withdrawal, lb for each inch.
        screw_nds: "screw-wood-nds",
        /// NDS load-duration factor of wind.
        screw_wind: "screw-duration-wind",
        /// Of EN 1995 screw withdrawal strength, in mm and kg/m3.
        screw_ec5: "screw-ec5",
        /// Power of the diameter in it.
        screw_ec5_diameter: "screw-ec5-diameter",
        /// Power of the penetration in it.
        screw_ec5_length: "screw-ec5-length",
        /// Power of the density in it.
        screw_ec5_density: "screw-ec5-density",
        /// Diameter from which a screw counts in full, m.
        screw_ec5_full: "screw-ec5-full",
        /// Least diameter it holds for, m.
        screw_ec5_thin: "screw-ec5-thin",
        /// Largest diameter it holds for, m.
        screw_ec5_thick: "screw-ec5-thick",
        /// Least penetration in diameters.
        screw_ec5_penetration: "screw-ec5-penetration",
        /// Low end of shrinkage across the grain, % for each % of moisture.
        shrinkage_low: "shrinkage-low",
        /// High end of it.
        shrinkage_high: "shrinkage-high",
    }
}

constants! {
    /// Straps: constants of `data/mount.toml` in SI units.
    LashingFacts {
        /// Strands of an over-top strap that pull down.
        ends: "lashing-ends",
        /// Safety factor of over-top straps sideways and rearward.
        safety: "lashing-safety",
        /// The same forward.
        safety_forward: "lashing-safety-forward",
        /// Friction of a moving load as a share of static friction.
        dynamic: "lashing-dynamic",
        /// Most pre-tension that counts, as a share of the lashing capacity.
        tension_most: "lashing-tension-most",
        /// Least aggregate working load limit as a share of the weight.
        aggregate_share: "aggregate-share",
        /// Share of its limit that a tiedown from vehicle to load counts with.
        aggregate_direct: "aggregate-direct",
    }
}

constants! {
    /// Wind, frame and lifting: constants of `data/mount.toml` in SI units.
    BodyFacts {
        /// Density of air, kg/m3.
        air_density: "air-density",
        /// Area of the coefficient for small areas, m2.
        wind_area_small: "wind-area-small",
        /// Area of the coefficient for large areas, m2.
        wind_area_large: "wind-area-large",
        /// Shear modulus of steel, Pa.
        shear_modulus: "shear-modulus",
        /// Least angle of a sling leg to the horizontal, rad.
        sling_least: "sling-least",
    }
}

static CONSTANTS: LazyLock<Constants> = LazyLock::new(|| {
    basis::pack::unpack(basis::packed!("mount"))
        .unwrap_or_else(|why| unreachable!("crates/physics/data/mount.toml does not load: {why}"))
});

fn value(id: &str) -> f64 {
    let constant = CONSTANTS.get(id);
    constant.map_or_else(|| unreachable!("crates/physics/data/mount.toml has no {id}"), |c| c.value)
}

/// All constants of the mount kernels, with what each is and where it comes from, for reports.
#[must_use]
pub fn mount_sources() -> &'static Constants {
    &CONSTANTS
}

static BOLT: LazyLock<BoltFacts> = LazyLock::new(BoltFacts::load);

/// Threads, bolts and tightening.
#[must_use]
pub fn bolt() -> &'static BoltFacts {
    &BOLT
}

static WELD: LazyLock<WeldFacts> = LazyLock::new(WeldFacts::load);

/// Fillet welds.
#[must_use]
pub fn weld() -> &'static WeldFacts {
    &WELD
}

static TIMBER: LazyLock<TimberFacts> = LazyLock::new(TimberFacts::load);

/// Wood and screws in it.
#[must_use]
pub fn timber() -> &'static TimberFacts {
    &TIMBER
}

static LASHING: LazyLock<LashingFacts> = LazyLock::new(LashingFacts::load);

/// Straps.
#[must_use]
pub fn lashing() -> &'static LashingFacts {
    &LASHING
}

static BODY: LazyLock<BodyFacts> = LazyLock::new(BodyFacts::load);

/// Wind, frame and lifting.
#[must_use]
pub fn body() -> &'static BodyFacts {
    &BODY
}

/// A file of tables, by the trade word before the slash of their ids.
type File = (&'static str, LazyLock<LimitSet>);

macro_rules! file {
    ($word:literal, $file:literal) => {
        (
            $word,
            LazyLock::new(|| {
                basis::pack::unpack(basis::packed!($file))
                    .unwrap_or_else(|why| unreachable!("crates/physics/data/{}.toml does not load: {why}", $file))
            }),
        )
    };
}

static FILES: [File; 7] = [
    file!("bolt", "bolts"),
    file!("steel", "steels"),
    file!("section", "sections"),
    file!("timber", "timber"),
    file!("lashing", "lashing"),
    file!("metal", "metals"),
    file!("wind", "wind"),
];

/// A table of the mount files by its id, such as `bolt/class-metric`; only its own file is read.
#[must_use]
pub fn table(id: &str) -> Option<&'static Table> {
    let word = basis::before_slash(id)?;
    let (_, set) = FILES.iter().find(|(known, _)| *known == word)?;
    set.table(id)
}

/// The number in column `want` of the row that the word `key` names, from the first of these tables that has it, and
/// that table.
pub(crate) fn number(ids: &[&str], by: &str, key: &str, want: &str) -> Option<(f64, &'static Table)> {
    ids.iter().filter_map(|id| table(id)).find_map(|table| Some((table.number(by, key, want)?, table)))
}

/// All words of column `by` of these tables, in their order, for messages.
pub(crate) fn names(ids: &[&str], by: &str) -> Vec<&'static str> {
    let tables = ids.iter().filter_map(|id| table(id));
    tables.flat_map(|table| table.words(by, by).map(|(word, _)| word)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_is_used_and_has_its_si_value() {
        let lists = [BoltFacts::IDS, WeldFacts::IDS, TimberFacts::IDS, LashingFacts::IDS, BodyFacts::IDS];
        let known: Vec<&str> = lists.concat();
        let unused: Vec<&str> = mount_sources().iter().map(|c| c.id.as_str()).filter(|id| !known.contains(id)).collect();
        assert!(unused.is_empty(), "constants nobody uses: {unused:?}");
        assert_eq!(body().shear_modulus, 81e9);
        assert!((timber().bearing_up_to - 0.1524).abs() < 1e-12);
        assert_eq!(lashing().safety, 1.1);
        assert_eq!((bolt().partial, weld().throat_least), (1.25, 0.003));
    }

    #[test]
    fn all_files_load_and_every_table_is_found_by_its_id() {
        for (word, set) in &FILES {
            assert!(!set.tables.is_empty());
            for known in &set.tables {
                assert_eq!(known.id.split('/').next(), Some(*word));
                assert_eq!(table(&known.id), Some(known));
            }
        }
    }
}
