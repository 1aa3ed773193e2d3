//! What holds for every value and every text.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // the lint's leave for tests stops at #[test]

use proptest::prelude::*;
use quantity::{
    Condition, Dimension, Estimate, InputId, Num, Scale, Stated, System, dim, dimension_of, parse, show, show_exact, show_range,
};

fn dimension() -> impl Strategy<Value = Dimension> {
    prop::sample::select(Dimension::ALL.to_vec())
}

fn system() -> impl Strategy<Value = System> {
    prop::sample::select(vec![System::Metric, System::Us])
}

/// A value inside the physical range, over all orders of magnitude.
fn value(d: Dimension) -> impl Strategy<Value = f64> {
    let (low, high) = d.physical_range();
    let size = (-9.0..quantity::real::log10(high)).prop_map(|exponent| quantity::real::pow(10.0, exponent));
    (size, any::<bool>()).prop_map(move |(size, negative)| if negative { -size } else { size }.clamp(low, high))
}

fn dimension_and_value() -> impl Strategy<Value = (Dimension, f64)> {
    dimension().prop_flat_map(|d| (Just(d), value(d)))
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

/// Near enough to text that much of it is read, and much nearly.
fn text() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "1",
        "0",
        "12",
        "3.5",
        ".5",
        "1e3",
        "1/2",
        "-",
        "+",
        "\u{2212}",
        " ",
        " ",
        "\u{202f}",
        "kg",
        "t",
        "ft",
        "in",
        "'",
        "\"",
        "m",
        "mm2",
        "ft3",
        "AWG",
        "2/0",
        "°C",
        "°",
        "%",
        ":",
        "bar",
        "to",
        "about",
        "+-",
        "±",
        "?",
        "weighed",
        "sq ft",
        "short ton",
        ",",
        "e",
        "nan",
        "inf",
        "1e400",
        "N m",
        "/",
        "deg",
    ]);
    prop_oneof![
        prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat()),
        prop::collection::vec(any::<char>(), 0..12).prop_map(|chars| chars.into_iter().collect()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn what_is_shown_exactly_reads_back((d, si) in dimension_and_value(), system in system()) {
        let text = show_exact(si, d, system);
        let read = parse(&text, d).unwrap();
        prop_assert!(near(read, si), "{text} read as {read}, not {si}");
    }

    #[test]
    fn every_spelling_of_every_unit_reads_back((d, si) in dimension_and_value(), pick in any::<prop::sample::Index>()) {
        let spellings: Vec<_> = d.units().iter().flat_map(|unit| unit.all_spellings().map(move |s| (unit, s))).collect();
        let (unit, spelling) = spellings[pick.index(spellings.len())];
        prop_assume!(unit.scale != Scale::Gauge);
        let read = parse(&format!("{} {spelling}", unit.from_si(si)), d).unwrap();
        prop_assert!(near(read, si) || (read - si).abs() < 1e-9 * unit.to_si(1.0).abs(), "{spelling}: {read}, not {si}");
    }

    #[test]
    fn shown_values_read_back_within_what_was_dropped((d, si) in dimension_and_value(), system in system()) {
        let text = show(si, d, system, None);
        prop_assert!(parse(&text, d).is_ok(), "{text}");
    }

    #[test]
    fn showing_never_panics(low: f64, high: f64, tolerance: f64, d in dimension(), system in system()) {
        show(low, d, system, Some(tolerance));
        show_range(low, high, d, system);
        show_exact(low, d, system);
    }

    #[test]
    fn no_text_panics_and_faults_offer_only_what_is_read(text in text(), d in dimension()) {
        dimension_of(&text);
        match parse(&text, d) {
            Ok(si) => prop_assert!(si.is_finite()),
            Err(fault) => {
                prop_assert!(!fault.to_string().is_empty());
                if let Some(write) = fault.write {
                    prop_assert!(parse(&write, d).is_ok(), "{text:?} was offered {write:?}");
                }
            }
        }
    }

    #[test]
    fn no_line_panics_and_what_is_read_reads_back(text in text()) {
        macro_rules! hold {
            ($($D:ident)*) => {$(match Stated::<dim::$D>::from_text(&text) {
                Ok(stated) => {
                    let again = Stated::<dim::$D>::from_text(&stated.to_text()).unwrap();
                    prop_assert_eq!(again.how(), stated.how());
                    match (again.value(), stated.value()) {
                        (Some(a), Some(b)) => prop_assert!((a - b).abs() <= 1e-9 * b.abs(), "{} {}", text, stated.to_text()),
                        (a, b) => prop_assert_eq!(a, b),
                    }
                    prop_assert_eq!(again.bounds().is_some(), stated.bounds().is_some());
                    prop_assert_eq!(again.tolerance().is_some(), stated.tolerance().is_some());
                }
                Err(fault) => if let Some(write) = fault.write {
                    prop_assert!(Stated::<dim::$D>::from_text(&write).is_ok(), "{:?} was offered {:?}", text, write);
                },
            })*};
        }
        hold!(Mass Length Area Temperature Slope Ratio);
    }

    #[test]
    fn a_value_reads_as_a_stated_value((d, si) in dimension_and_value()) {
        if d == Dimension::Mass {
            let text = show_exact(si, d, System::Metric);
            prop_assert_eq!(Stated::<dim::Mass>::from_text(&text).unwrap().value(), Some(parse(&text, d).unwrap()));
        }
    }

    #[test]
    fn numbers_keep_nine_digits(x in prop::num::f64::NORMAL) {
        let text = serde_json::to_string(&Num(x)).unwrap();
        let read: Num = serde_json::from_str(&text).unwrap();
        prop_assert!(read.0.is_nan() || (read.0 - x).abs() <= 0.5e-8 * x.abs(), "{text}");
        prop_assert_eq!(serde_json::to_string(&read).unwrap(), text);
    }
}

/// Estimates over six shared inputs.
fn estimate() -> impl Strategy<Value = Estimate> {
    (-1e3..1e3_f64, prop::collection::vec((0..6_u32, -50.0..50.0_f64), 0..6)).prop_map(|(value, terms)| {
        let inputs: Vec<_> = terms.into_iter().map(|(id, sd)| Estimate::input(InputId(id), 0.0, sd)).collect();
        Estimate::sum(inputs.iter()).offset(value)
    })
}

/// The size that rounding is measured against.
fn scale_of(estimates: &[Estimate]) -> f64 {
    estimates.iter().map(|e| e.value().abs() + e.terms().iter().map(|(_, t)| t.abs()).sum::<f64>()).sum::<f64>() + 1.0
}

fn alike(a: &Estimate, b: &Estimate, scale: f64) -> bool {
    let difference = a - b;
    difference.value().abs() <= 1e-12 * scale && difference.sd() <= 1e-12 * scale
}

proptest! {
    #[test]
    fn sums_keep_covariance(list in prop::collection::vec(estimate(), 1..8), other in estimate()) {
        let sum = Estimate::sum(list.iter());
        let scale = scale_of(&list) * scale_of(std::slice::from_ref(&other));
        let parts: f64 = list.iter().map(|e| e.covariance(&other)).sum();
        prop_assert!((sum.covariance(&other) - parts).abs() <= 1e-12 * scale);
        let all: f64 = list.iter().flat_map(|a| list.iter().map(move |b| a.covariance(b))).sum();
        prop_assert!((sum.variance() - all).abs() <= 1e-12 * scale_of(&list) * scale_of(&list));
        prop_assert_eq!(sum.covariance(&other), other.covariance(&sum));
    }

    #[test]
    fn order_does_not_matter(list in prop::collection::vec(estimate(), 1..8)) {
        let scale = scale_of(&list);
        let forth = Estimate::sum(list.iter());
        let back = Estimate::sum(list.iter().rev());
        let one_by_one = list.iter().fold(Estimate::exact(0.0), |sum, e| sum + e);
        prop_assert!(alike(&forth, &back, scale) && alike(&forth, &one_by_one, scale));
        prop_assert!(forth.terms().windows(2).all(|pair| pair[0].0 < pair[1].0));
    }

    #[test]
    fn less_itself_is_nothing(a in estimate()) {
        let nothing = &a - &a;
        prop_assert_eq!((nothing.value(), nothing.sd()), (0.0, 0.0));
    }

    #[test]
    fn draws_are_linear(a in estimate(), b in estimate(), k in -3.0..3.0_f64, draw in prop::collection::vec(-3.0..3.0_f64, 6)) {
        let mixed = Estimate::weighted_sum(&[(1.0, &a), (k, &b)]);
        let scale = scale_of(&[a.clone(), b.clone()]);
        prop_assert!((mixed.at(&draw) - (a.at(&draw) + k * b.at(&draw))).abs() <= 1e-11 * scale);
    }

    #[test]
    fn propagate_of_a_linear_function_is_the_direct_arithmetic(a in estimate(), b in estimate(), k in -3.0..3.0_f64) {
        let through = Estimate::propagate(&[&a, &b], |x| Ok::<f64, ()>(k * x[0] - x[1] / 2.0 + 7.0)).unwrap();
        let direct = Estimate::weighted_sum(&[(k, &a), (-0.5, &b)]).offset(7.0);
        // The difference of two values of size `scale` over a step that may be small against them.
        let scale = scale_of(&[a.clone(), b.clone()]);
        prop_assert!(alike(&through, &direct, 1e3 * scale), "{through:?} {direct:?}");
    }

    #[test]
    fn shares_add_up_to_one_and_fall(a in estimate()) {
        let shares = a.shares();
        prop_assert!(shares.windows(2).all(|pair| pair[0].1 >= pair[1].1));
        prop_assert!(shares.is_empty() || (shares.iter().map(|s| s.1).sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_reading_never_adds_doubt_and_is_met(a in estimate(), b in estimate(), sd in 0.5..50.0_f64) {
        let difference = &a + &b - Estimate::input(InputId(9), 100.0, sd);
        let condition = Condition::new(vec![difference.clone()]).unwrap();
        let updated = a.given_zero(&condition);
        prop_assert!(updated.sd() <= a.sd() * (1.0 + 1e-9) + 1e-9);
        let left = difference.given_zero(&condition);
        prop_assert!(alike(&left, &Estimate::exact(0.0), 1e3 * scale_of(std::slice::from_ref(&difference))), "{left:?}");
        let scale = scale_of(&[a, b]);
        // Nothing is left to learn from the same reading.
        prop_assert!(updated.covariance(&difference).abs() <= 1e-9 * scale * scale);
    }
}
