use super::*;

fn input(id: u32, value: f64, sd: f64) -> Estimate {
    Estimate::input(InputId(id), value, sd)
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-12 * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn what_is_shared_cancels() {
    let a = input(0, 7000.0, 50.0);
    let nothing = &a - &a;
    assert_eq!((nothing.value(), nothing.sd(), nothing.terms().len()), (0.0, 0.0, 0));
    near((&a / &a).sd(), 0.0);
    near((&a + &a).sd(), 100.0);
    near((&a * &a).sd(), 2.0 * 7000.0 * 50.0);
    near(a.covariance(&a), 2500.0);
    assert_eq!(a.covariance(&input(1, 0.0, 3.0)), 0.0);
}

#[test]
fn independent_doubts_add_in_quadrature() {
    let (a, b) = (input(3, 10.0, 3.0), input(1, 20.0, 4.0));
    let sum = &a + &b;
    near(sum.sd(), 5.0);
    near((&a - &b).sd(), 5.0);
    assert_eq!(sum.terms(), &[(InputId(1), 4.0), (InputId(3), 3.0)]);
    assert_eq!(sum.shares(), vec![(InputId(1), 16.0 / 25.0), (InputId(3), 9.0 / 25.0)]);
    near((&a * &b).sd(), (60.0_f64 * 60.0 + 40.0 * 40.0).sqrt());
    let ratio = &a / &b;
    near(ratio.sd() / ratio.value(), (0.09_f64 + 0.04).sqrt());
    near((1.0 / &b).sd(), 4.0 / 400.0);
    near((1.0 / &b).covariance(&b), -4.0 * 4.0 / 400.0);
}

#[test]
fn plain_numbers_on_either_side() {
    let a = input(0, 4.0, 1.0);
    for (result, value, term) in [
        (&a + 1.0, 5.0, 1.0),
        (1.0 + &a, 5.0, 1.0),
        (&a - 1.0, 3.0, 1.0),
        (1.0 - &a, -3.0, -1.0),
        (&a * 2.0, 8.0, 2.0),
        (2.0 * a.clone(), 8.0, 2.0),
        (a.clone() / 2.0, 2.0, 0.5),
        (8.0 / &a, 2.0, -0.5),
        (-&a, -4.0, -1.0),
        (a.clone() - a.scale(2.0), -4.0, -1.0),
        (&a + a.offset(3.0), 11.0, 2.0),
        (a.clone() * &Estimate::exact(3.0), 12.0, 3.0),
    ] {
        assert_eq!((result.value(), result.terms()), (value, vec![(InputId(0), term)]));
    }
}

#[test]
fn intervals() {
    let a = input(0, 100.0, 60.0);
    let (low, high) = a.interval95();
    near(low, 100.0 - 1.959963984540054 * 60.0);
    assert_eq!(a.interval_within(0.0, f64::INFINITY), (0.0, high));
    assert_eq!(a.interval_within(-1e9, 150.0), (low, 150.0));
    assert_eq!(input(0, -5.0, 1.0).interval_within(0.0, 1.0), (0.0, 0.0));
    assert_eq!(Estimate::exact(3.0).interval95(), (3.0, 3.0));
}

#[test]
fn a_draw_moves_the_value_by_its_terms() {
    let sum = input(0, 10.0, 3.0) - input(2, 4.0, 2.0);
    assert_eq!(sum.at(&[1.0, 9.0, -1.0]), 6.0 + 3.0 + 2.0);
    assert_eq!(sum.at(&[1.0]), 9.0);
}

#[test]
fn sums_reach_ids_of_any_size() {
    let parts = [input(u32::MAX, 1.0, 2.0), input(0, 1.0, 3.0), input(1 << 16, 1.0, 4.0), input(u32::MAX, 1.0, 5.0)];
    let sum = Estimate::sum(parts.iter());
    assert_eq!(sum.terms(), &[(InputId(0), 3.0), (InputId(1 << 16), 4.0), (InputId(u32::MAX), 7.0)]);
    assert_eq!(Estimate::sum(std::iter::empty()), Estimate::exact(0.0));
}

#[test]
fn propagate_takes_one_side_at_the_edge_of_the_range() {
    let root = |x: &[f64]| if x[0] < 0.0 { Err("below zero") } else { Ok(x[0].sqrt()) };
    let edge = input(0, 1.0, 2.0);
    let out = Estimate::propagate(&[&edge], root).unwrap();
    near(out.sd(), 3.0_f64.sqrt() - 1.0);
    // The same at an upper edge: the slope keeps its sign.
    let capped = |x: &[f64]| if x[0] > 1.0 { Err("above one") } else { Ok(5.0 * x[0]) };
    let top = Estimate::propagate(&[&edge], capped).unwrap();
    assert_eq!(top.terms(), &[(InputId(0), 10.0)]);
    let (below, narrow) = (input(0, -1.0, 0.1), |x: &[f64]| if x[0] == 1.0 { Ok(0.0) } else { Err("only one") });
    assert_eq!(Estimate::propagate(&[&below], root), Err("below zero"));
    assert_eq!(Estimate::propagate(&[&edge], narrow), Err("only one"));
}

#[test]
fn propagate_keeps_correlation_and_skips_what_is_exact() {
    let (a, b, c) = (input(0, 3.0, 0.5), input(1, 2.0, 0.25), Estimate::exact(7.0));
    let mut calls = 0;
    let out = Estimate::propagate(&[&(&a + &b), &c, &b], |x| {
        calls += 1;
        Ok::<f64, ()>(2.0 * x[0] + 5.0 * x[1] - 3.0 * x[2])
    })
    .unwrap();
    assert_eq!(calls, 5);
    let direct = (&a + &b) * 2.0 + 35.0 - &b * 3.0;
    near(out.value(), direct.value());
    for (one, other) in out.terms().iter().zip(direct.terms()) {
        assert_eq!(one.0, other.0);
        near(one.1, other.1);
    }
    assert_eq!(out.terms().len(), 2);
}
