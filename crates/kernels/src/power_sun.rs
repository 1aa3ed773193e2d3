//! Kernels of the power trade: sun, sky and panels.

use physics::{cell, diode, incidence, plane, roof_pack, roof_shadow, shade, sky, snow, strings, sun};

use crate::Kernel;
use crate::row::kernel;

pub(crate) const KERNELS: &[Kernel] = &[
    kernel!(
        "power",
        "sun-position",
        sun::sun_position,
        sun::SunPositionIn => sun::SunPositionOut,
        "where the sun stands, and how far it is ahead of the clock",
        r#"{"time": "2003-10-17T12:30:30-07:00", "latitude_deg": 39.742476, "longitude_deg": -105.1786, "altitude_m": 1830.14, "pressure_pa": 82000, "temperature_c": 11}"#
    ),
    kernel!(
        "power",
        "clear-sky",
        sky::clear_sky,
        sky::ClearSkyIn => sky::ClearSkyOut,
        "light of a sky without clouds",
        r#"{"apparent_zenith_deg": 40, "altitude_m": 1200, "turbidity": 3}"#
    ),
    kernel!(
        "power",
        "decompose",
        sky::decompose,
        sky::DecomposeIn => sky::DecomposeOut,
        "beam and diffuse of a global irradiance",
        r#"{"ghi_w_m2": 420, "zenith_deg": 60, "dni_extra_w_m2": 1412}"#
    ),
    kernel!(
        "power",
        "plane-irradiance",
        plane::plane_irradiance,
        plane::PlaneIrradianceIn => plane::PlaneIrradianceOut,
        "light on a tilted plane: beam, sky and ground",
        r#"{"model": "hay-davies", "tilt_deg": 30, "azimuth_deg": 180, "zenith_deg": 60, "sun_azimuth_deg": 200, "dni_w_m2": 640, "ghi_w_m2": 420, "dhi_w_m2": 100, "dni_extra_w_m2": 1412}"#
    ),
    kernel!(
        "power",
        "incidence-modifier",
        incidence::incidence_modifier,
        incidence::IncidenceModifierIn => incidence::IncidenceModifierOut,
        "what glass lets through of slanting light",
        r#"{"incidence_deg": 70, "tilt_deg": 0}"#
    ),
    kernel!(
        "power",
        "cell-temperature",
        cell::cell_temperature,
        cell::CellTemperatureIn => cell::CellTemperatureOut,
        "how hot the cells of a panel get",
        r#"{"irradiance_w_m2": 1000, "air_c": 25, "wind_m_s": 1}"#
    ),
    kernel!(
        "power",
        "pv-dc",
        cell::pv_dc,
        cell::PvDcIn => cell::PvDcOut,
        "power of a panel in light at a cell temperature",
        r#"{"irradiance_w_m2": 1000, "cell_c": 56.4, "rated_w": 200, "gamma_per_c": -0.0035}"#
    ),
    kernel!(
        "power",
        "single-diode",
        diode::single_diode,
        diode::SingleDiodeIn => diode::SingleDiodeOut,
        "ends and best point of a panel's curve",
        r#"{"photocurrent_a": 5.75, "saturation_a": 4.501354e-10, "series_ohm": 0.215298, "shunt_ohm": 300, "n_ns_vth_v": 0.971179}"#
    ),
    kernel!(
        "power",
        "partial-shade",
        diode::partial_shade,
        diode::PartialShadeIn => diode::PartialShadeOut,
        "power of a panel with some of its bypassed groups in shade",
        r#"{"photocurrent_a": 5.75, "saturation_a": 4.501354e-10, "series_ohm": 0.215298, "shunt_ohm": 300, "n_ns_vth_v": 0.971179, "light": [1, 1, 0.1], "battery_v": 12.8}"#
    ),
    kernel!(
        "power",
        "panel-cold-voltage",
        strings::panel_cold_voltage,
        strings::PanelColdVoltageIn => strings::PanelColdVoltageOut,
        "open voltage of panels in series in the cold",
        r#"{"voc_v": 49.5, "beta_per_c": -0.0027, "cell_c": -10}"#
    ),
    kernel!(
        "power",
        "horizon",
        shade::horizon,
        shade::HorizonIn => shade::HorizonOut,
        "what a horizon leaves of the sky, and whether it hides the sun",
        r#"{"profile": [{"bearing_deg": 120, "height_deg": 8}, {"bearing_deg": 180, "height_deg": 30}, {"bearing_deg": 240, "height_deg": 8}], "sun_azimuth_deg": 170, "sun_elevation_deg": 22}"#
    ),
    kernel!(
        "power",
        "roof-shadow",
        roof_shadow::roof_shadow,
        roof_shadow::RoofShadowIn => roof_shadow::RoofShadowOut,
        "share of a panel in the shadow of a box on the roof",
        r#"{"panel_m": [0.5, -0.5, 1.7, 0.5], "unit_m": [1.9, -0.35, 2.6, 0.35], "height_m": 0.28, "heading_deg": 0, "sun_elevation_deg": 15, "sun_azimuth_deg": 180}"#
    ),
    kernel!(
        "power",
        "pack-roof",
        roof_pack::pack_roof,
        roof_pack::PackRoofIn => roof_pack::PackRoofOut,
        "panels that fit on a roof around hatches and a walkway",
        r#"{"length_m": 4, "width_m": 2.1, "keep_out_m": [[1.8, 0.7, 2.5, 1.4]], "panels": [{"length_m": 1.7, "width_m": 1.1, "rated_w": 410}, {"length_m": 1.2, "width_m": 0.55, "rated_w": 100}], "gap_m": 0.02}"#
    ),
    kernel!(
        "power",
        "snow",
        snow::snow,
        snow::SnowIn => snow::SnowOut,
        "snow on a panel hour by hour, and the power it costs",
        r#"{"snowfall_cm": [3, 0, 0, 0], "irradiance_w_m2": [0, 100, 300, 400], "air_c": [-4, -3, -1, 0], "tilt_deg": 30, "rows": 3}"#
    ),
];
