//! Panels as diodes: curves, shade, strings.

use physics::diode::{Diode, Groups, Module, PartialShadeIn, SingleDiodeIn, partial_shade, single_diode};
use physics::strings::{PanelColdVoltageIn, array_current, back_current, cold_factor, held_at, open_voltage, panel_cold_voltage};
use quantity::real::exp;

use crate::power_tables::power_table;

/// The invented modules of the tables.
pub(crate) fn module(name: &str) -> Module {
    let [alpha, thermal, photocurrent, saturation, shunt, series, adjust] = match name {
        "A36 100 W (invented)" => [0.002_875, 0.971_179, 5.75, 4.501_354e-10, 300.0, 0.215_298, 8.0],
        "B72 200 W half-cut 36-cell (invented)" => [0.005_65, 0.971_179, 11.3, 6.495_296e-10, 250.0, 0.070_483, 8.0],
        "C54 410 W (invented)" => [0.006_95, 1.456_769, 13.9, 9.846_1e-11, 400.0, 0.136_812, 5.0],
        other => panic!("no module {other}"),
    };
    Module { rated: Diode { photocurrent, saturation, series, shunt, thermal }, alpha, adjust: adjust / 100.0 }
}

/// Computed elsewhere: pvlib 0.16.1 (Lambert W), seven decimals; the table asks for 1e-5.
#[test]
fn curves_of_three_modules() {
    for row in power_table!("single_diode") {
        let at = format!("{} {} {}", row.text("module"), row.text("g_wm2"), row.text("t_cell_c"));
        let near = |got: f64, column: &str, rel: f64| {
            let want = row.number(column);
            assert!((got - want).abs() <= rel * want.abs() + 6e-8, "{at} {column}: got {got}, want {want}");
        };
        let diode = module(row.text("module")).at(row.number("g_wm2"), row.number("t_cell_c"));
        near(diode.photocurrent, "il_a", 1e-8);
        // The library takes another last digit of the Boltzmann constant; the gap of silicon is over 40 k T.
        near(diode.saturation * 1e9, "i0_na", 2e-6);
        near(diode.shunt, "rsh_ohm", 1e-8);
        near(diode.thermal, "nNsVth_v", 1e-6);
        let out = single_diode(&SingleDiodeIn {
            photocurrent_a: diode.photocurrent,
            saturation_a: diode.saturation,
            series_ohm: diode.series,
            shunt_ohm: diode.shunt,
            n_ns_vth_v: diode.thermal,
        })
        .expect("answers");
        near(out.isc_a, "isc_a", 1e-8);
        near(out.voc_v, "voc_v", 2e-7);
        near(out.pmp_w, "pmp_w", 1e-6);
        // Near its top power is flat, so the library's own search leaves current and voltage to 1e-6 or so.
        near(out.imp_a, "imp_a", 1e-5);
        near(out.vmp_v, "vmp_v", 1e-5);
        for volts in ["12.0", "12.8", "13.6", "14.4"] {
            near(diode.current_at(volts.parse().expect("a number")), &format!("i_at_{volts}v"), 1e-6);
        }
    }
}

/// Physics: the points given lie on the curve, and no other point has more power.
#[test]
fn points_lie_on_the_curve() {
    for light in [1.0, 30.0, 400.0, 1100.0] {
        for cell in [-30.0, 20.0, 85.0] {
            let diode = module("C54 410 W (invented)").at(light, cell);
            let most = diode.most();
            let open = diode.open();
            for k in 0..=60 {
                let volts = open * f64::from(k) / 60.0;
                let amperes = diode.current_at(volts);
                let across = volts + amperes * diode.series;
                let model = diode.photocurrent - diode.saturation * (exp(across / diode.thermal) - 1.0) - across / diode.shunt;
                assert!((model - amperes).abs() < 1e-9 * diode.photocurrent.max(1.0), "{light} {cell} {volts}");
                assert!(volts * amperes <= most.watts() * (1.0 + 1e-12), "{light} {cell} {volts}");
                assert!((diode.voltage_at(amperes) - volts).abs() < 1e-7, "{light} {cell} {volts}");
            }
            assert!(diode.current_at(open * 1.2) < 0.0);
        }
    }
    assert_eq!(module("C54 410 W (invented)").at(0.0, 20.0).most().watts(), 0.0);
}

/// Computed elsewhere: pvlib's curves, scanned and refined; the table asks for 0.2 %.
#[test]
fn groups_in_uneven_light() {
    for row in power_table!("partial_shade") {
        let module = module(row.text("module"));
        let lights: Vec<f64> = row.text("group_light").split(';').map(|f| 1000.0 * f.parse::<f64>().expect("a number")).collect();
        let most = Groups::of(&module, row.number("t_cell_c"), &lights).most();
        let at = row.text("group_light");
        assert_close!(most.watts(), row.number("p_mp_w"), 1e-5, at);
        assert_close!(most.amperes, row.number("i_mp_a"), 1e-3, at);
        assert_close!(most.volts, row.number("v_mp_v"), 1e-3, at);
        let full = module.at(1000.0, row.number("t_cell_c"));
        assert_close!(full.most().watts(), row.number("p_unshaded_w"), 1e-6, at);
        let asked = partial_shade(&PartialShadeIn {
            photocurrent_a: full.photocurrent,
            saturation_a: full.saturation,
            series_ohm: full.series,
            shunt_ohm: full.shunt,
            n_ns_vth_v: full.thermal,
            light: lights.iter().map(|light| light / 1000.0).collect(),
            battery_v: None,
        })
        .expect("answers");
        assert_close!(asked.share, row.number("ratio"), 2e-5, at);
    }
}

/// Computed elsewhere: one group of a 36-cell panel at a tenth of the light, 50 degrees, held at 12.8 V.
#[test]
fn a_shaded_panel_without_tracking() {
    let module = module("A36 100 W (invented)");
    let shaded = Groups::of(&module, 50.0, &[1000.0, 1000.0, 100.0]);
    assert_close!(shaded.most().watts(), 56.1, 1e-3, "tracked");
    assert_close!(12.8 * shaded.current_at(12.8), 13.9, 4e-3, "held");
    assert_close!(held_at(&module.at(1000.0, 50.0), 12.8), 73.7, 1e-3, "held, unshaded");
    let cool = Groups::of(&module, 25.0, &[1000.0, 1000.0, 100.0]);
    assert_close!(12.8 * cool.current_at(12.8), 59.0, 1e-2, "held at 25 degrees");
    assert_eq!(shaded.current_at(40.0), 0.0);
    assert_eq!(Groups::of(&module, 50.0, &[0.0, 0.0, 0.0]).most().watts(), 0.0);
}

/// Computed elsewhere: a 36-cell panel with and without tracking.
#[test]
fn tracked_against_held() {
    let module = module("A36 100 W (invented)");
    for (cell, held, tracked) in [(-10.0, 71.8, 116.3), (25.0, 73.0, 100.0), (65.0, 73.6, 80.9)] {
        let diode = module.at(1000.0, cell);
        assert_close!(held_at(&diode, 12.8), held, 1e-3, format!("{cell} held"));
        assert_close!(diode.most().watts(), tracked, 1e-3, format!("{cell} tracked"));
    }
    let hot = module.at(1000.0, 75.0);
    assert_close!(hot.most().volts, 14.18, 1e-3, "75 degrees");
    assert_close!(hot.current_at(14.4), 5.28, 2e-3, "14.4 V at 75 degrees");
    assert_close!(hot.current_at(12.8), 5.69, 2e-3, "12.8 V at 75 degrees");
}

fn cold(voc_v: f64, beta_per_c: f64, cell_c: f64, in_series: f64) -> f64 {
    panel_cold_voltage(&PanelColdVoltageIn { voc_v, beta_per_c, cell_c, in_series }).expect("answers").voc_v
}

/// Published: a worked example of NEC 690.7 in a public study text: 49.5 V, -0.27 %/K, -10 degrees: 54.18 V by the
/// coefficient, 56.43 V by the table; 11 and 10 modules on 600 V.
#[test]
fn a_published_string() {
    assert_close!(cold(49.5, -0.0027, -10.0, 1.0), 54.18, 1e-4, "coefficient");
    assert_close!(49.5 * cold_factor(-10.0).expect("a row"), 56.43, 1e-9, "table");
    assert_eq!((600.0 / cold(49.5, -0.0027, -10.0, 1.0)) as u32, 11);
    assert_eq!((600.0 / (49.5 * cold_factor(-10.0).expect("a row"))) as u32, 10);
}

/// Published: NEC table 690.7(A) as one public transcription has it. Between whole degrees the colder row holds.
#[test]
fn the_cold_table() {
    let rows = [(24.0, 1.02), (20.0, 1.02), (19.5, 1.04), (0.0, 1.10), (-0.5, 1.12), (-5.0, 1.12), (-5.1, 1.14)];
    for (coldest, factor) in rows.into_iter().chain([(-25.0, 1.20), (-40.0, 1.25)]) {
        assert_eq!(cold_factor(coldest), Some(factor), "{coldest}");
    }
    assert_eq!((cold_factor(24.5), cold_factor(-40.5), cold_factor(f64::NAN)), (None, None, None));
}

/// Computed elsewhere: a 54-cell panel in the cold by the diode model and by its coefficient.
#[test]
fn two_and_three_in_series() {
    let module = module("C54 410 W (invented)");
    assert_close!(module.at(1000.0, 25.0).open(), 37.39, 1e-3, "on the label");
    let frozen = module.at(1000.0, -25.0).open();
    assert_close!(frozen, 43.267, 1e-4, "diode model");
    assert_close!(cold(37.39, -0.003_14, -25.0, 2.0), 86.5, 1e-3, "two");
    assert_close!(cold(37.39, -0.003_14, -25.0, 3.0), 129.8, 1e-3, "three");
    assert_close!(2.0 * 37.39 * cold_factor(-25.0).expect("a row"), 89.7, 1e-3, "two by the table");
    assert_close!(open_voltage(37.39, -0.003_14, -25.0), frozen, 5e-4, "coefficient against diode");
}

/// Published: a public page on string fuses: 5 A, three strings, fuse 15 A: 12.5 A, none wanted. Computed elsewhere:
/// 14 A, 25 A: 35 A, each its own.
#[test]
fn fuses_of_parallel_strings() {
    assert_close!(back_current(3.0, 5.0), 12.5, 1e-12, "5 A");
    assert_close!(back_current(3.0, 14.0), 35.0, 1e-12, "14 A");
    assert_eq!(back_current(1.0, 14.0), 0.0);
    assert_close!(array_current(10.0), 12.5, 1e-12, "a factor of 1.25");
}
