//! Kernels of the mount trade.

use physics::{bolt_group, fastener, frame_twist, guide, lashing, level, lifting, notch, section, support, timber, weld, wind};

use crate::Kernel;
use crate::row::kernel;

pub(crate) const KERNELS: &[Kernel] = &[
    kernel!(
        "mount",
        "bolt",
        fastener::bolt,
        fastener::BoltIn => fastener::BoltOut,
        "what a bolt holds in tension and in shear",
        r#"{"size": "M12", "class": "8.8", "shear_plane": "thread"}"#
    ),
    kernel!(
        "mount",
        "torque",
        fastener::torque,
        fastener::TorqueIn => fastener::TorqueOut,
        "how tight: torque for a preload",
        r#"{"size": "M12", "class": "8.8"}"#
    ),
    kernel!(
        "mount",
        "bolt-group",
        bolt_group::bolt_group,
        bolt_group::BoltGroupIn => bolt_group::BoltGroupOut,
        "shear of each bolt of a group under a force in its plane",
        r#"{"bolts": [{"x_m": -0.05, "y_m": -0.06}, {"x_m": 0.05, "y_m": -0.06}, {"x_m": -0.05, "y_m": 0.06}, {"x_m": 0.05, "y_m": 0.06}], "force_x_n": 0, "force_y_n": -12000, "at_x_m": 0.2, "at_y_m": 0}"#
    ),
    kernel!(
        "mount",
        "bracket-bolts",
        bolt_group::bracket_bolts,
        bolt_group::BracketBoltsIn => bolt_group::BracketBoltsOut,
        "pull in the bolts of a bracket on a wall",
        r#"{"force_n": 12000, "arm_m": 0.09, "heights_m": [0.03, 0.11]}"#
    ),
    kernel!(
        "mount",
        "weld-group",
        weld::weld_group,
        weld::WeldGroupIn => weld::WeldGroupOut,
        "stress in a group of weld runs under a force anywhere",
        r#"{"runs": [{"x1_m": -0.04, "y1_m": -0.06, "x2_m": -0.04, "y2_m": 0.06}, {"x1_m": 0.04, "y1_m": -0.06, "x2_m": 0.04, "y2_m": 0.06}], "throat_m": 0.0035, "force": [0, -12000, 0], "at": [0, 0, 0.09]}"#
    ),
    kernel!(
        "mount",
        "weld-strength",
        weld::weld_strength,
        weld::WeldStrengthIn => weld::WeldStrengthOut,
        "what one run of fillet weld holds",
        r#"{"throat_m": 0.004, "length_m": 0.08, "steel": "S235"}"#
    ),
    kernel!(
        "mount",
        "section",
        section::section,
        section::SectionIn => section::SectionOut,
        "area, centroid, second moments and torsion of a cross section",
        r#"{"shape": "channel", "height_m": 0.25, "width_m": 0.08, "web_m": 0.008, "flange_m": 0.008}"#
    ),
    kernel!(
        "mount",
        "notched-rail",
        notch::notched_rail,
        notch::NotchedRailIn => notch::NotchedRailOut,
        "what a notch leaves of a frame rail",
        r#"{"height_m": 0.25, "width_m": 0.08, "web_m": 0.008, "flange_m": 0.008, "notch_depth_m": 0.04, "notch_side": "top"}"#
    ),
    kernel!(
        "mount",
        "frame-twist",
        frame_twist::frame_twist,
        frame_twist::FrameTwistIn => frame_twist::FrameTwistOut,
        "twist of a frame's rails under a torque",
        r#"{"section_torsion_m4": 6.7243e-8, "length_m": 3.5, "torque_nm": 500}"#
    ),
    kernel!(
        "mount",
        "mount-reactions",
        support::mount_reactions,
        support::MountReactionsIn => support::MountReactionsOut,
        "what each mount of a body carries, and how the body moves where none holds it",
        r#"{"mounts": [{"x_m": 0.4, "y_m": 0, "kx_n_m": 50e6, "ky_n_m": 20e6, "kz_n_m": 100e6}, {"x_m": 3.6, "y_m": -0.4, "kx_n_m": 0, "ky_n_m": 20e6, "kz_n_m": 100e6}, {"x_m": 3.6, "y_m": 0.4, "kx_n_m": 0, "ky_n_m": 0, "kz_n_m": 100e6}], "force": [-19613.3, 0, -24516.6], "at": [1.9, 0.05, 0.95]}"#
    ),
    kernel!(
        "mount",
        "gap-impact",
        guide::gap_impact,
        guide::GapImpactIn => guide::GapImpactOut,
        "how much harder a body hits a guide that has play",
        r#"{"mass_kg": 2500, "acceleration_g": 0.5, "stiffness_n_m": 40e6, "gap_m": 0.003}"#
    ),
    kernel!(
        "mount",
        "level",
        level::level,
        level::LevelIn => level::LevelOut,
        "how a frame lies and is twisted, and the packers that set a body as wanted",
        r#"{"corners": [{"x_m": 0, "y_m": -0.8, "z_m": 0.012}, {"x_m": 0, "y_m": 0.8, "z_m": 0.004}, {"x_m": 3.6, "y_m": -0.8, "z_m": 0}, {"x_m": 3.6, "y_m": 0.8, "z_m": 0.016}], "pitch_deg": 0, "roll_deg": 0}"#
    ),
    kernel!(
        "mount",
        "packer",
        timber::packer,
        timber::PackerIn => timber::PackerOut,
        "pressure on a packer",
        r#"{"load_n": 12450, "length_m": 0.1, "width_m": 0.08, "strength_pa": 2.5e6, "factor": 0.538}"#
    ),
    kernel!(
        "mount",
        "screw-withdrawal",
        timber::screw_withdrawal,
        timber::ScrewWithdrawalIn => timber::ScrewWithdrawalOut,
        "what a screw holds against being pulled out of wood",
        r#"{"rule": "en1995", "diameter_m": 0.006, "thread_m": 0.04, "density_kg_m3": 350}"#
    ),
    kernel!(
        "mount",
        "strap-over",
        lashing::strap_over,
        lashing::StrapOverIn => lashing::StrapOverOut,
        "how many straps over the top hold a load",
        r#"{"mass_kg": 1000, "acceleration_g": 0.8, "friction": 0.4, "angle_deg": 70, "tension_dan": 400, "safety": 1.25}"#
    ),
    kernel!(
        "mount",
        "strap-direct",
        lashing::strap_direct,
        lashing::StrapDirectIn => lashing::StrapDirectOut,
        "pull in straps that go straight from load to floor",
        r#"{"mass_kg": 2500, "acceleration_g": 0.8, "friction": 0.3, "angle_deg": 35, "plan_angle_deg": 30, "straps_n": 2, "capacity_dan": 2000}"#
    ),
    kernel!(
        "mount",
        "uplift",
        wind::uplift,
        wind::UpliftIn => wind::UpliftOut,
        "wind that lifts something flat off a roof",
        r#"{"speed_m_s": 46, "area_m2": 1.7, "coefficient": 2}"#
    ),
    kernel!(
        "mount",
        "lift-truck",
        lifting::lift_truck,
        lifting::LiftTruckIn => lifting::LiftTruckOut,
        "what a lift truck may lift with the load farther out than its plate says",
        r#"{"rated_kg": 2500, "rated_centre_m": 0.5, "load_centre_m": 1.2, "axle_to_face_m": 0.45}"#
    ),
];
