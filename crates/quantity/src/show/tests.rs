use super::*;
use crate::Dimension::*;
use crate::parse;
use System::{Metric, Us};

#[test]
fn every_step_names_a_unit_of_its_dimension_and_begins_at_zero() {
    for d in Dimension::ALL {
        for system in [Metric, Us] {
            let steps = steps(d, system);
            assert_eq!(steps.first().map(|(from, _)| *from), Some(0.0), "{d:?}");
            assert!(steps.windows(2).all(|pair| pair[0].0 < pair[1].0), "{d:?}");
            for (_, name) in steps {
                assert!(d.units().iter().any(|unit| unit.name == *name), "{d:?} {name}");
            }
        }
    }
}

#[test]
fn the_tolerance_decides_the_figures() {
    let mass = |si, tolerance| show(si, Mass, Metric, Some(tolerance));
    assert_eq!(mass(5347.2, 98.0), "5350 kg");
    assert_eq!(mass(5347.2, 100.0), "5350 kg");
    assert_eq!(mass(5347.2, 354.0), "5350 kg");
    assert_eq!(mass(5347.2, 356.0), "5300 kg");
    assert_eq!(mass(5347.2, 20.0), "5347 kg");
    assert_eq!(mass(5347.0, 0.9), "5347.0 kg");
    assert_eq!(mass(3.0, 500.0), "0 kg");
    assert_eq!(mass(-3.0, 500.0), "0 kg");
    assert_eq!(show(0.03141, Ratio, Metric, Some(0.007)), "3.1 %");
    assert_eq!(show(2.4, Length, Metric, Some(0.05)), "2.40 m");
}

#[test]
fn without_tolerance_at_most_four_figures() {
    assert_eq!(show(5200.0, Mass, Metric, None), "5200 kg");
    assert_eq!(show(12345.6, Mass, Metric, None), "12350 kg");
    assert_eq!(show(24.0, Voltage, Metric, None), "24 V");
    assert_eq!(show(0.7434, Voltage, Metric, None), "0.7434 V");
    assert_eq!(show(0.0, Mass, Metric, None), "0 kg");
    assert_eq!(show(-0.0, Mass, Metric, Some(0.0)), "0 kg");
    assert_eq!(show(1.0 / 3.0, Mass, Metric, Some(f64::NAN)), "0.3333 kg");
}

#[test]
fn units_follow_size_and_system() {
    let shown = |si, d| (show(si, d, Metric, None), show(si, d, Us, None));
    let both = |metric: &str, us: &str| (metric.to_string(), us.to_string());
    assert_eq!(shown(0.84, Length), both("0.84 m", "33.07 in"));
    assert_eq!(shown(0.006, Length), both("6 mm", "0.2362 in"));
    assert_eq!(shown(4.1148, Length), both("4.115 m", "13 ft 6 in"));
    assert_eq!(shown(550_000.0, Pressure), both("5.5 bar", "79.77 psi"));
    assert_eq!(shown(0.12, Volume), both("120 L", "31.7 gal"));
    assert_eq!(shown(308.15, Temperature), both("35 °C", "95 °F"));
    assert_eq!(shown(22.352, Speed), both("80.47 km/h", "50 mph"));
    assert_eq!(shown(16e-6, Area), both("16 mm2", "16 mm2"));
    assert_eq!(shown(18_000.0, Force), both("18 kN", "4047 lbf"));
    assert_eq!(shown(1_007_999.0, Charge), both("280 Ah", "280 Ah"));
    assert_eq!(shown(0.5, Angle), both("28.65 deg", "28.65 deg"));
}

#[test]
fn feet_and_inches() {
    let us = |inches: f64, tolerance: Option<f64>| show(inches * 0.0254, Length, Us, tolerance.map(|t| t * 0.0254));
    assert_eq!(us(162.0, None), "13 ft 6 in");
    assert_eq!(us(156.0, None), "13 ft");
    assert_eq!(us(155.97, Some(2.0)), "13 ft");
    assert_eq!(us(-162.3, Some(4.0)), "-13 ft 6 in");
    assert_eq!(us(162.34, Some(0.5)), "13 ft 6.3 in");
    assert_eq!(us(162.34, Some(40.0)), "14 ft");
    assert_eq!(us(1300.0, None), "108.3 ft");
}

#[test]
fn a_range_writes_its_unit_once() {
    assert_eq!(show_range(5252.0, 5448.0, Mass, Metric), "between 5250 and 5450 kg");
    assert_eq!(show_range(0.024, 0.038, Ratio, Metric), "between 2.4 and 3.8 %");
    assert_eq!(show_range(5200.0, 5200.0, Mass, Metric), "5200 kg");
    assert_eq!(show_range(4.0, 4.2, Length, Us), "between 13 ft 1 in and 13 ft 9 in");
    let both = show_with_range(5347.0, 5249.0, 5445.0, Mass, Metric);
    assert_eq!(both, ("5350 kg".to_string(), "between 5250 and 5450".to_string()));
}

#[test]
fn what_is_no_number_is_shown_as_a_question_mark() {
    assert_eq!(show(f64::NAN, Mass, Metric, None), "?");
    assert_eq!(show(f64::INFINITY, Length, Us, Some(1.0)), "?");
    assert_eq!(show_exact(f64::NAN, Mass, Metric), "?");
    assert_eq!(show_range(f64::NAN, 1.0, Mass, Metric), "between ? and 1 kg");
}

#[test]
fn exact_texts_are_short_where_they_can_be() {
    assert_eq!(show_exact(5200.0, Mass, Metric), "5200 kg");
    assert_eq!(show_exact(0.1 + 0.2, Length, Metric), "0.3 m");
    assert_eq!(show_exact(parse("12.3 °C", Temperature).unwrap(), Temperature, Metric), "12.3 °C");
    assert_eq!(show_exact(parse("5200 lb", Mass).unwrap(), Mass, Us), "5200 lb");
    assert_eq!(show_exact(parse("1:8", Slope).unwrap(), Slope, Metric), "12.5 %");
    assert_eq!(show_exact(1e-30, Mass, Metric), "1e-30 kg");
    assert_eq!(show_exact(6.5e-5, Temperature, Metric), "0.000065 K", "written in °C, its figures would drown in 273.15");
}
