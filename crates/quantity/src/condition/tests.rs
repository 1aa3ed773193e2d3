use super::*;
use crate::InputId;

fn input(id: u32, value: f64, sd: f64) -> Estimate {
    Estimate::input(InputId(id), value, sd)
}

/// Two routes of arithmetic on the same numbers: what is left is rounding, which the tolerance exceeds a thousandfold.
fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-11 * b.abs().max(1.0), "{a} is not {b}");
}

/// One reading of two masses, by hand; computed again with a matrix library (numpy).
#[test]
fn one_reading_of_two_masses() {
    let (a, b) = (input(0, 7000.0, 50.0), input(1, 2000.0, 200.0));
    let condition = Condition::new(vec![&a + &b - input(2, 9300.0, 20.0)]).unwrap();
    near(condition.chi_square(), 2.097902097902098);
    near(condition.innovations()[0], -300.0);
    near(condition.whitened()[0], -1.448413648756);
    let (a, b) = (a.given_zero(&condition), b.given_zero(&condition));
    near(a.value(), 7017.482517482517);
    near(b.value(), 2279.72027972028);
    near(a.variance(), 2354.312354312354);
    near(b.variance(), 2703.962703962708);
    near(a.covariance(&b), -2331.002331002331);
}

/// A rig on two axle scales (invented; 4.2 m wheelbase); answers computed with a matrix library (numpy), twice.
#[test]
fn a_whole_reconciliation() {
    let wheelbase = 4.2;
    let masses: Vec<(f64, Estimate)> =
        [(1.92, 7200.0, 40.0), (2.90, 1480.0, 111.0), (3.60, 400.0, 8.0), (2.20, 160.0, 3.2), (3.10, 450.0, 67.5)]
            .into_iter()
            .zip(0..)
            .map(|((x, mass, sd), id)| (x, input(id, mass, sd)))
            .collect();
    let front: Vec<_> = masses.iter().map(|(x, m)| (1.0 - x / wheelbase, m)).collect();
    let rear: Vec<_> = masses.iter().map(|(x, m)| (x / wheelbase, m)).collect();
    let condition = Condition::new(vec![
        Estimate::weighted_sum(&front) - input(10, 4690.0, 15.0),
        Estimate::weighted_sum(&rear) - input(11, 5340.0, 15.0),
    ])
    .unwrap();
    near(condition.chi_square(), 12.243268443409091);
    let updated: Vec<Estimate> = masses.iter().map(|(_, m)| m.given_zero(&condition)).collect();
    let values = [7170.16816019773, 1725.448357687346, 403.037971852292, 159.921909437116, 576.626204570173];
    let sds = [30.172984253565, 65.041821780239, 7.950018185816, 3.197404444505, 55.977834242641];
    for (estimate, (value, sd)) in updated.iter().zip(values.into_iter().zip(sds)) {
        near(estimate.value(), value);
        near(estimate.sd(), sd);
    }
    let total = Estimate::sum(updated.iter());
    near(total.value(), 10035.202603744658);
    near(total.sd(), 20.268709210317);
    let before = Estimate::sum(masses.iter().map(|(_, m)| m));
    near(before.sd(), 136.203854571);
    near(before.given_zero(&condition).value(), total.value());
    near(before.given_zero(&condition).sd(), total.sd());
}

#[test]
fn the_order_of_readings_does_not_matter() {
    let (a, b) = (input(0, 700.0, 50.0), input(1, 200.0, 20.0));
    let one = &a + &b - input(2, 930.0, 5.0);
    let two = &a - &b * 3.0 - input(3, 90.0, 9.0);
    let forth = a.given_zero(&Condition::new(vec![one.clone(), two.clone()]).unwrap());
    let back = a.given_zero(&Condition::new(vec![two.clone(), one.clone()]).unwrap());
    near(forth.value(), back.value());
    near(forth.variance(), back.variance());
    // One reading after the other is the same as both at once.
    let first = Condition::new(vec![one]).unwrap();
    let then = a.given_zero(&first).given_zero(&Condition::new(vec![two.given_zero(&first)]).unwrap());
    near(then.value(), forth.value());
    near(then.variance(), forth.variance());
}

#[test]
fn what_is_no_news_is_singular() {
    let (a, b) = (input(0, 700.0, 50.0), input(1, 200.0, 20.0));
    let sum = &a + &b;
    assert_eq!(Condition::new(vec![sum.clone(), sum.scale(2.0)]).unwrap_err(), Singular { index: 1 });
    assert_eq!(Condition::new(vec![a.clone(), b.clone(), sum]).unwrap_err(), Singular { index: 2 });
    assert_eq!(Condition::new(vec![Estimate::exact(3.0)]).unwrap_err(), Singular { index: 0 });
    assert_eq!(Condition::new(vec![input(0, 1.0, f64::NAN)]).unwrap_err(), Singular { index: 0 });
    assert!(Condition::new(vec![a, b]).is_ok());
    assert_eq!(
        Singular { index: 1 }.to_string(),
        "reading 2 repeats what those before it already fix, or has no doubt of its own"
    );
}

#[test]
fn no_reading_changes_nothing() {
    let condition = Condition::new(Vec::new()).unwrap();
    let a = input(0, 700.0, 50.0);
    assert_eq!(a.given_zero(&condition), a);
    assert_eq!(condition.chi_square(), 0.0);
}
