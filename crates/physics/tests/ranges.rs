//! The manual's tables, the code's ranges and the schema's are one: every input row of a kernel's doc comment is
//! compared with the ranges the kernel refuses by, and those with what its schema says.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::expect_used, clippy::indexing_slicing)]

use physics::range::{Field, Ranged};
use physics::{battery, charging, converter, fridge, heat_balance, hydrogen, inverter, locker, standing};
use physics::{
    bolt_group, bridge, cell, coupling, diode, fastener, frame_twist, free_surface, grade, ground, guide, incidence, lashing,
    ledger, level, lift, lifting, notch, plane, reconcile, roof_pack, roof_shadow, scale, section, shade, sky, snow, stability,
    strings, sun, support, timber, tyre, weld, wheels, wind,
};
use schemars::{JsonSchema, schema_for};

/// Source of a kernel, its function, the fields its table must list.
type Row = (&'static str, &'static str, Vec<Field>);

fn fields<T: Ranged>() -> Vec<Field> {
    T::FIELDS.to_vec()
}

fn both<A: Ranged, B: Ranged>() -> Vec<Field> {
    A::FIELDS.iter().chain(B::FIELDS).copied().collect()
}

fn kernels() -> Vec<Row> {
    macro_rules! source {
        ($file:literal) => {
            include_str!(concat!("../src/", $file))
        };
    }
    vec![
        (source!("ledger.rs"), "centre_of_gravity", fields::<ledger::MassAt>()),
        (source!("ledger.rs"), "axle_loads", both::<ledger::AxleAt, ledger::MassAlong>()),
        (source!("wheels.rs"), "wheel_loads", fields::<wheels::WheelLoadsIn>()),
        (source!("lift.rs"), "cg_height_axle_lift", fields::<lift::CgHeightAxleLiftIn>()),
        (source!("lift.rs"), "cg_height_lift_plan", fields::<lift::CgHeightLiftPlanIn>()),
        (source!("stability.rs"), "static_stability", fields::<stability::StaticStabilityIn>()),
        (source!("stability.rs"), "roll_threshold", fields::<stability::RollThresholdIn>()),
        (source!("stability.rs"), "axle_roll_transfer", both::<stability::AxleRollTransferIn, stability::RollAxle>()),
        (source!("stability.rs"), "cornering_speed", fields::<stability::CorneringSpeedIn>()),
        (source!("tyre.rs"), "load_index", fields::<tyre::LoadIndexIn>()),
        (source!("tyre.rs"), "tyre_capacity", fields::<tyre::TyreCapacityIn>()),
        (source!("tyre.rs"), "tyre_pressure", fields::<tyre::TyrePressureIn>()),
        (source!("grade.rs"), "grade_loads", both::<grade::GradeLoadsIn, grade::AxlePlace>()),
        (source!("bridge.rs"), "bridge_formula", fields::<bridge::BridgeFormulaIn>()),
        (source!("free_surface.rs"), "free_surface", fields::<free_surface::FreeSurfaceIn>()),
        (source!("ground.rs"), "tangent_angle", fields::<ground::TangentAngleIn>()),
        (source!("ground.rs"), "breakover_angle", fields::<ground::BreakoverAngleIn>()),
        (source!("scale.rs"), "scale_tolerance", fields::<scale::ScaleToleranceIn>()),
        (source!("reconcile.rs"), "reconcile", both::<reconcile::ReconcileIn, reconcile::ScaleReading>()),
        (source!("coupling.rs"), "coupling_loads", fields::<coupling::CouplingLoadsIn>()),
        (source!("section.rs"), "section", fields::<section::SectionIn>()),
        (source!("fastener.rs"), "bolt", fields::<fastener::BoltIn>()),
        (source!("fastener.rs"), "torque", fields::<fastener::TorqueIn>()),
        (source!("bolt_group.rs"), "bolt_group", both::<bolt_group::BoltGroupIn, bolt_group::BoltAt>()),
        (source!("bolt_group.rs"), "bracket_bolts", fields::<bolt_group::BracketBoltsIn>()),
        (source!("weld/group.rs"), "weld_group", both::<weld::WeldGroupIn, weld::WeldRun>()),
        (source!("weld.rs"), "weld_strength", fields::<weld::WeldStrengthIn>()),
        (source!("notch.rs"), "notched_rail", fields::<notch::NotchedRailIn>()),
        (source!("frame_twist.rs"), "frame_twist", fields::<frame_twist::FrameTwistIn>()),
        (source!("support.rs"), "mount_reactions", both::<support::MountReactionsIn, support::MountAt>()),
        (source!("guide.rs"), "gap_impact", fields::<guide::GapImpactIn>()),
        (source!("level.rs"), "level", both::<level::LevelIn, level::Corner>()),
        (source!("timber.rs"), "packer", fields::<timber::PackerIn>()),
        (source!("timber.rs"), "screw_withdrawal", fields::<timber::ScrewWithdrawalIn>()),
        (source!("lashing.rs"), "strap_over", fields::<lashing::StrapOverIn>()),
        (source!("lashing.rs"), "strap_direct", fields::<lashing::StrapDirectIn>()),
        (source!("wind.rs"), "uplift", fields::<wind::UpliftIn>()),
        (source!("lifting.rs"), "lift_truck", fields::<lifting::LiftTruckIn>()),
        (source!("sun.rs"), "sun_position", fields::<sun::SunPositionIn>()),
        (source!("sky.rs"), "clear_sky", fields::<sky::ClearSkyIn>()),
        (source!("sky.rs"), "decompose", fields::<sky::DecomposeIn>()),
        (source!("plane.rs"), "plane_irradiance", fields::<plane::PlaneIrradianceIn>()),
        (source!("incidence.rs"), "incidence_modifier", fields::<incidence::IncidenceModifierIn>()),
        (source!("cell.rs"), "cell_temperature", fields::<cell::CellTemperatureIn>()),
        (source!("cell.rs"), "pv_dc", fields::<cell::PvDcIn>()),
        (source!("diode.rs"), "single_diode", fields::<diode::SingleDiodeIn>()),
        (source!("diode.rs"), "partial_shade", fields::<diode::PartialShadeIn>()),
        (source!("strings.rs"), "panel_cold_voltage", fields::<strings::PanelColdVoltageIn>()),
        (source!("shade.rs"), "horizon", both::<shade::HorizonPoint, shade::HorizonIn>()),
        (source!("roof_shadow.rs"), "roof_shadow", fields::<roof_shadow::RoofShadowIn>()),
        (source!("roof_pack.rs"), "pack_roof", fields::<roof_pack::PackRoofIn>()),
        (source!("snow.rs"), "snow", fields::<snow::SnowIn>()),
        (source!("battery/run.rs"), "battery_run", fields::<battery::run::BatteryRunIn>()),
        (source!("battery/peukert.rs"), "peukert", fields::<battery::peukert::PeukertIn>()),
        (source!("battery/sag.rs"), "sag", fields::<battery::sag::SagIn>()),
        (source!("battery/usable.rs"), "usable_energy", fields::<battery::usable::UsableEnergyIn>()),
        (source!("hydrogen.rs"), "hydrogen", fields::<hydrogen::HydrogenIn>()),
        (source!("inverter.rs"), "inverter", fields::<inverter::InverterIn>()),
        (source!("converter.rs"), "dc_dc", fields::<converter::DcDcIn>()),
        (source!("charging.rs"), "refill_hours", fields::<charging::RefillHoursIn>()),
        (source!("heat_balance.rs"), "heat_balance", fields::<heat_balance::HeatBalanceIn>()),
        (source!("fridge.rs"), "fridge_duty", fields::<fridge::FridgeDutyIn>()),
        (source!("locker.rs"), "locker_heat", fields::<locker::LockerHeatIn>()),
        (source!("standing.rs"), "daily_energy", both::<standing::DailyLoad, standing::DailyEnergyIn>()),
    ]
}

/// Rows of the input table above `pub fn name(`: field, unit, range.
fn table(source: &str, name: &str) -> Vec<(String, String, String)> {
    let until = source.find(&format!("pub fn {name}(")).expect("the kernel is in this file");
    let above: Vec<&str> = source[..until].lines().rev().take_while(|line| line.starts_with("///")).collect();
    let cells = |line: &str| {
        let row: Vec<String> = line.trim_start_matches("/// |").split('|').map(|cell| cell.trim().to_owned()).collect();
        (row[0].trim_matches('`').to_owned(), row[1].clone(), row[2].clone())
    };
    above.into_iter().filter(|line| line.starts_with("/// | `")).map(cells).collect()
}

#[test]
fn the_manual_says_the_range_the_code_has() {
    for (source, name, fields) in kernels() {
        let rows = table(source, name);
        for field in &fields {
            let row = rows.iter().find(|(row, _, _)| row == field.name);
            let (_, unit, range) = row.unwrap_or_else(|| panic!("{name}: no row for {}", field.name));
            let plain = if field.unit.is_empty() { "1" } else { field.unit };
            assert_eq!((unit.as_str(), range.as_str()), (plain, field.range.to_string().as_str()), "{name}.{}", field.name);
        }
        for (row, _, _) in &rows {
            assert!(fields.iter().any(|field| field.name == row), "{name}: the row {row} is no field");
        }
    }
}

/// Minimum, exclusive minimum and maximum of a field in a schema, on its entries if it is a list.
fn in_schema<T: JsonSchema>(name: &str) -> (Option<f64>, Option<f64>, Option<f64>) {
    let schema = schema_for!(T);
    let mut at = &schema.as_value()["properties"][name];
    while !at["items"].is_null() {
        at = &at["items"];
    }
    (at["minimum"].as_f64(), at["exclusiveMinimum"].as_f64(), at["maximum"].as_f64())
}

fn holds_in_schema<T: JsonSchema + Ranged>() {
    for field in T::FIELDS {
        let (low, above, high) = in_schema::<T>(field.name);
        let want = if field.range.open { (None, Some(field.range.low)) } else { (Some(field.range.low), None) };
        assert_eq!(((low, above), high), (want, Some(field.range.high)), "{}.{}", T::schema_name(), field.name);
    }
}

#[test]
fn the_schema_says_the_range_the_code_has() {
    holds_in_schema::<ledger::MassAt>();
    holds_in_schema::<ledger::AxleAt>();
    holds_in_schema::<ledger::MassAlong>();
    holds_in_schema::<wheels::WheelLoadsIn>();
    holds_in_schema::<lift::CgHeightAxleLiftIn>();
    holds_in_schema::<lift::CgHeightLiftPlanIn>();
    holds_in_schema::<stability::StaticStabilityIn>();
    holds_in_schema::<stability::RollThresholdIn>();
    holds_in_schema::<stability::RollAxle>();
    holds_in_schema::<stability::AxleRollTransferIn>();
    holds_in_schema::<stability::CorneringSpeedIn>();
    holds_in_schema::<tyre::LoadIndexIn>();
    holds_in_schema::<tyre::TyreCapacityIn>();
    holds_in_schema::<tyre::TyrePressureIn>();
    holds_in_schema::<grade::GradeLoadsIn>();
    holds_in_schema::<grade::AxlePlace>();
    holds_in_schema::<bridge::BridgeFormulaIn>();
    holds_in_schema::<free_surface::FreeSurfaceIn>();
    holds_in_schema::<ground::TangentAngleIn>();
    holds_in_schema::<ground::BreakoverAngleIn>();
    holds_in_schema::<scale::ScaleToleranceIn>();
    holds_in_schema::<reconcile::ReconcileIn>();
    holds_in_schema::<reconcile::ScaleReading>();
    holds_in_schema::<coupling::CouplingLoadsIn>();
    holds_in_schema::<bolt_group::BoltAt>();
    holds_in_schema::<bolt_group::BoltGroupIn>();
    holds_in_schema::<bolt_group::BracketBoltsIn>();
    holds_in_schema::<fastener::BoltIn>();
    holds_in_schema::<fastener::TorqueIn>();
    holds_in_schema::<frame_twist::FrameTwistIn>();
    holds_in_schema::<guide::GapImpactIn>();
    holds_in_schema::<lashing::StrapDirectIn>();
    holds_in_schema::<lashing::StrapOverIn>();
    holds_in_schema::<level::LevelIn>();
    holds_in_schema::<lifting::LiftTruckIn>();
    holds_in_schema::<notch::NotchedRailIn>();
    holds_in_schema::<section::SectionIn>();
    holds_in_schema::<support::MountAt>();
    holds_in_schema::<support::MountReactionsIn>();
    holds_in_schema::<timber::PackerIn>();
    holds_in_schema::<timber::ScrewWithdrawalIn>();
    holds_in_schema::<weld::WeldGroupIn>();
    holds_in_schema::<weld::WeldRun>();
    holds_in_schema::<weld::WeldStrengthIn>();
    holds_in_schema::<wind::UpliftIn>();
    holds_in_schema::<sun::SunPositionIn>();
    holds_in_schema::<sky::ClearSkyIn>();
    holds_in_schema::<sky::DecomposeIn>();
    holds_in_schema::<plane::PlaneIrradianceIn>();
    holds_in_schema::<incidence::IncidenceModifierIn>();
    holds_in_schema::<cell::CellTemperatureIn>();
    holds_in_schema::<cell::PvDcIn>();
    holds_in_schema::<diode::SingleDiodeIn>();
    holds_in_schema::<diode::PartialShadeIn>();
    holds_in_schema::<strings::PanelColdVoltageIn>();
    holds_in_schema::<shade::HorizonPoint>();
    holds_in_schema::<shade::HorizonIn>();
    holds_in_schema::<roof_shadow::RoofShadowIn>();
    holds_in_schema::<roof_pack::PackRoofIn>();
    holds_in_schema::<snow::SnowIn>();
    holds_in_schema::<roof_pack::PanelKind>();
    holds_in_schema::<battery::run::BatteryRunIn>();
    holds_in_schema::<battery::peukert::PeukertIn>();
    holds_in_schema::<battery::sag::SagIn>();
    holds_in_schema::<battery::usable::UsableEnergyIn>();
    holds_in_schema::<hydrogen::HydrogenIn>();
    holds_in_schema::<inverter::InverterIn>();
    holds_in_schema::<converter::DcDcIn>();
    holds_in_schema::<charging::RefillHoursIn>();
    holds_in_schema::<heat_balance::HeatBalanceIn>();
    holds_in_schema::<fridge::FridgeDutyIn>();
    holds_in_schema::<locker::LockerHeatIn>();
    holds_in_schema::<standing::DailyLoad>();
    holds_in_schema::<standing::DailyEnergyIn>();
}

#[test]
fn the_comparison_sees_a_wrong_row() {
    let rows = table("/// | `a_m` | m | 0 to 2 | x |\npub fn k(", "k");
    assert_eq!(rows, [("a_m".to_owned(), "m".to_owned(), "0 to 2".to_owned())]);
}
