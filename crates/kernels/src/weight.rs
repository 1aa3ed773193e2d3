//! Kernels of the weight trade.

use physics::{bridge, coupling, free_surface, grade, ground, ledger, lift, reconcile, scale, stability, tyre, wheels};

use crate::Kernel;
use crate::row::kernel;

pub(crate) const KERNELS: &[Kernel] = &[
    kernel!(
        "weight",
        "centre-of-gravity",
        ledger::centre_of_gravity,
        ledger::CentreOfGravityIn => ledger::CentreOfGravityOut,
        "mass and centre of gravity of a list of masses at places",
        r#"{"masses": [{"mass_kg": 7200, "x_m": 1.92, "y_m": 0, "z_m": 0.95}, {"mass_kg": 1480, "x_m": 2.9, "y_m": 0.02, "z_m": 2.05}]}"#
    ),
    kernel!(
        "weight",
        "axle-loads",
        ledger::axle_loads,
        ledger::AxleLoadsIn => ledger::AxleLoadsOut,
        "what each axle carries: two, an equalised group, or three and more on springs",
        r#"{"axles": [{"x_m": 0}, {"x_m": 4.2}], "masses": [{"mass_kg": 7200, "x_m": 1.92}, {"mass_kg": 1480, "x_m": 2.9}]}"#
    ),
    kernel!(
        "weight",
        "wheel-loads",
        wheels::wheel_loads,
        wheels::WheelLoadsIn => wheels::WheelLoadsOut,
        "left and right wheel of an axle whose load sits off the middle",
        r#"{"axle_load_kg": 5200, "track_m": 1.94, "offset_y_m": 0.06}"#
    ),
    kernel!(
        "weight",
        "cg-height-axle-lift",
        lift::cg_height_axle_lift,
        lift::CgHeightAxleLiftIn => lift::CgHeightAxleLiftOut,
        "height of the centre of gravity from one lifted axle",
        r#"{"mass_kg": 9800, "wheelbase_m": 4.2, "axle_load_level_kg": 4600, "axle_load_lifted_kg": 4898, "lift_m": 0.7, "wheel_radius_m": 0.52}"#
    ),
    kernel!(
        "weight",
        "cg-height-lift-plan",
        lift::cg_height_lift_plan,
        lift::CgHeightLiftPlanIn => lift::CgHeightLiftPlanOut,
        "how high to lift an axle for a wanted sharpness of that height",
        r#"{"mass_kg": 9800, "wheelbase_m": 4.2, "reading_sd_kg": 20, "wanted_sd_m": 0.06}"#
    ),
    kernel!(
        "weight",
        "static-stability",
        stability::static_stability,
        stability::StaticStabilityIn => stability::StaticStabilityOut,
        "static stability factor and tilt angle of a rigid rig",
        r#"{"track_m": 1.94, "cg_height_m": 1.45, "offset_y_m": 0.05}"#
    ),
    kernel!(
        "weight",
        "roll-threshold",
        stability::roll_threshold,
        stability::RollThresholdIn => stability::RollThresholdOut,
        "sideways acceleration at which a rig on springs lifts its inner wheels",
        r#"{"track_m": 1.94, "cg_height_m": 1.45, "roll_centre_height_m": 0.6, "roll_stiffness_nm_per_rad": 1000000, "mass_kg": 9800}"#
    ),
    kernel!(
        "weight",
        "axle-roll-transfer",
        stability::axle_roll_transfer,
        stability::AxleRollTransferIn => stability::AxleRollTransferOut,
        "what each axle moves from its inner to its outer wheel in a bend",
        r#"{"lateral_g": 0.3, "cg_height_m": 1.45, "axles": [{"load_kg": 4670, "track_m": 1.94, "roll_centre_height_m": 0.6, "roll_stiffness_nm_per_rad": 350000}, {"load_kg": 5130, "track_m": 1.94, "roll_centre_height_m": 0.6, "roll_stiffness_nm_per_rad": 650000}]}"#
    ),
    kernel!(
        "weight",
        "cornering-speed",
        stability::cornering_speed,
        stability::CorneringSpeedIn => stability::CorneringSpeedOut,
        "speed in a bend that reaches a roll threshold, and that slides",
        r#"{"threshold_g": 0.35, "radius_m": 30}"#
    ),
    kernel!(
        "weight",
        "tyre-capacity",
        tyre::tyre_capacity,
        tyre::TyreCapacityIn => tyre::TyreCapacityOut,
        "what one tyre carries at its pressure, alone or in a pair",
        r#"{"load_index": 152, "pressure_bar": 5.5, "reference_pressure_bar": 8.5}"#
    ),
    kernel!(
        "weight",
        "tyre-pressure",
        tyre::tyre_pressure,
        tyre::TyrePressureIn => tyre::TyrePressureOut,
        "least pressure at which one tyre carries a load",
        r#"{"load_kg": 2600, "full_load_kg": 3550, "reference_pressure_bar": 8.5}"#
    ),
    kernel!(
        "weight",
        "load-index",
        tyre::load_index,
        tyre::LoadIndexIn => tyre::LoadIndexOut,
        "load that a tyre's load index stands for",
        r#"{"load_index": 152}"#
    ),
    kernel!(
        "weight",
        "grade-loads",
        grade::grade_loads,
        grade::GradeLoadsIn => grade::GradeLoadsOut,
        "loads of two axles on a slope and under brakes",
        r#"{"axles": [{"x_m": 0}, {"x_m": 4.2}], "mass_kg": 9800, "cg_x_m": 2.2, "cg_height_m": 1.45, "grade_percent": 30}"#
    ),
    kernel!(
        "weight",
        "bridge-formula",
        bridge::bridge_formula,
        bridge::BridgeFormulaIn => bridge::BridgeFormulaOut,
        "most a group of axles may weigh by the United States bridge formula",
        r#"{"axles_n": 3, "length_ft": 9}"#
    ),
    kernel!(
        "weight",
        "free-surface",
        free_surface::free_surface,
        free_surface::FreeSurfaceIn => free_surface::FreeSurfaceOut,
        "apparent rise of the centre of gravity from a part-filled tank",
        r#"{"length_m": 1.2, "breadth_m": 1.6, "mass_kg": 9800, "height_m": 0.4, "depth_m": 0.2, "roll_deg": 10}"#
    ),
    kernel!(
        "weight",
        "tangent-angle",
        ground::tangent_angle,
        ground::TangentAngleIn => ground::GroundAngleOut,
        "approach or departure angle for one low point",
        r#"{"distance_m": 1.2, "height_m": 0.45, "wheel_radius_m": 0.52}"#
    ),
    kernel!(
        "weight",
        "breakover-angle",
        ground::breakover_angle,
        ground::BreakoverAngleIn => ground::GroundAngleOut,
        "sharpest crest that a low point between the axles clears",
        r#"{"wheelbase_m": 4.2, "height_m": 0.45, "wheel_radius_m": 0.52}"#
    ),
    kernel!(
        "weight",
        "scale-tolerance",
        scale::scale_tolerance,
        scale::ScaleToleranceIn => scale::ScaleToleranceOut,
        "error that a verified weighbridge may have at a reading",
        r#"{"reading_kg": 9800, "division_kg": 20}"#
    ),
    kernel!(
        "weight",
        "coupling-loads",
        coupling::coupling_loads,
        coupling::CouplingLoadsIn => coupling::CouplingLoadsOut,
        "what a trailer's nose does to the axles, and the D value",
        r#"{"nose_load_kg": 250, "coupling_x_m": 5.7, "wheelbase_m": 4.2, "truck_mass_kg": 9800, "trailer_mass_kg": 3500}"#
    ),
    kernel!(
        "weight",
        "reconcile",
        reconcile::reconcile,
        reconcile::ReconcileIn => reconcile::ReconcileOut,
        "weighbridge readings folded into a list of masses, and the suspects when they disagree",
        r#"{"prior_kg": [7000, 2000], "covariance_kg2": [[2500, 0], [0, 40000]], "readings": [{"weights": [1, 1], "value_kg": 9300, "sd_kg": 20}]}"#
    ),
];
