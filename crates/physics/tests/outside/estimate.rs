//! Kernels under uncertainty, and the arithmetic of uncertainty itself.

use crate::F64;
use physics::KernelError;
use quantity::real::{cos, sin};
use quantity::{Estimate, InputId};

/// Computed elsewhere: height of the centre of gravity of five masses (kg, m, sd kg, sd m) and its spread, by first
/// order. Tolerance of the spread 1e-4: `propagate` steps by one sd, and the square of the largest sd over the total
/// mass, (111 / 9690)², is what that adds.
#[test]
fn the_height_of_a_ledger() {
    let rows = [
        (7200.0, 0.95, 40.0, 0.05),
        (1480.0, 2.05, 111.0, 0.10),
        (400.0, 1.35, 8.0, 0.02),
        (160.0, 1.10, 3.2, 0.02),
        (450.0, 1.9, 67.5, 0.15),
    ];
    let mut inputs = Vec::new();
    for (i, (mass, z, sd_mass, sd_z)) in rows.iter().enumerate() {
        let id = 2 * i as u32;
        inputs.push(Estimate::input(InputId(id), *mass, *sd_mass));
        inputs.push(Estimate::input(InputId(id + 1), *z, *sd_z));
    }
    let all: Vec<&Estimate> = inputs.iter().collect();
    let height = Estimate::propagate(&all, |x| {
        let mass: f64 = x.iter().step_by(2).sum();
        let moment: f64 = x.chunks(2).map(|pair| pair[0] * pair[1]).sum();
        Ok::<f64, KernelError>(moment / mass)
    })
    .expect("answers");
    assert_close!(height.value(), 1.1811145510835914, F64, "height");
    assert_close!(height.sd(), 0.042283761352669015, 1e-4, "spread");
    assert_eq!(height.shares()[0].0, InputId(1), "the height of the bare chassis matters most");
    // Mass and height of each item together, in the order of the list.
    let of_item = |i: u32| height.shares().iter().filter(|(id, _)| id.0 / 2 == i).map(|(_, share)| share).sum::<f64>();
    for (i, want) in [0.7725, 0.1859, 0.0004, 0.0001, 0.0412].into_iter().enumerate() {
        assert!((of_item(i as u32) - want).abs() < 1e-4, "item {i}: {}", of_item(i as u32));
    }
}

/// Published: GUM example H.2, resistance, reactance and impedance of one element. Inputs read in the manual of an
/// uncertainty library: V 4.999 (3.2e-3), I 19.661e-3 (9.5e-6), phase 1.04446 (7.5e-4), correlations -0.36, 0.86,
/// -0.65. The GUM prints u(R) 0.071, u(X) 0.295, u(Z) 0.236 from unrounded inputs (from memory); with the rounded
/// inputs above the spreads here were computed elsewhere. Tolerance 1e-6: steps of one sd, the largest 7e-4 of its
/// value, squared; and 2 % of what the GUM prints,
/// since correlations rounded to two digits move u(R) by 1.5 %.
#[test]
fn three_correlated_readings() {
    // Correlated inputs as sums of independent ones, by hand (lower triangle of the correlation).
    let (vi, vp, ip): (f64, f64, f64) = (-0.36, 0.86, -0.65);
    let ii = (1.0 - vi * vi).sqrt();
    let pi = (ip - vp * vi) / ii;
    let pp = (1.0 - vp * vp - pi * pi).sqrt();
    let unit = |id: u32| Estimate::input(InputId(id), 0.0, 1.0);
    let (a, b, c) = (unit(0), unit(1), unit(2));
    let volt = a.scale(3.2e-3).offset(4.999);
    let ampere = Estimate::weighted_sum(&[(9.5e-6 * vi, &a), (9.5e-6 * ii, &b)]).offset(19.661e-3);
    let phase = Estimate::weighted_sum(&[(7.5e-4 * vp, &a), (7.5e-4 * pi, &b), (7.5e-4 * pp, &c)]).offset(1.04446);
    let of =
        |f: fn(&[f64]) -> f64| Estimate::propagate(&[&volt, &ampere, &phase], |x| Ok::<f64, KernelError>(f(x))).expect("answers");
    let r = of(|x| x[0] * cos(x[2]) / x[1]);
    let x = of(|x| x[0] * sin(x[2]) / x[1]);
    let z = of(|x| x[0] / x[1]);
    for (got, value, sd, printed) in [
        (&r, 127.732169928102, 0.069978728007, 0.071),
        (&x, 219.846511912638, 0.295716826857, 0.295),
        (&z, 254.259701948019, 0.236602971823, 0.236),
    ] {
        assert_close!(got.value(), value, F64, "value");
        assert_close!(got.sd(), sd, 1e-6, "spread");
        assert_close!(got.sd(), printed, 0.02, "spread as the GUM prints it");
    }
}

/// From memory: GUM example H.1, an end gauge: 25, 9.7, 2.9 and 16.6 nm give 32 nm. 9.7 is itself 5.8, 3.9 and 6.7.
/// Tolerance: the printed digits.
#[test]
fn independent_errors_add_in_quadrature() {
    let quadrature = |parts: &[f64]| {
        let inputs: Vec<Estimate> =
            parts.iter().enumerate().map(|(i, sd)| Estimate::input(InputId(i as u32), 0.0, *sd)).collect();
        Estimate::sum(inputs.iter()).sd()
    };
    assert!((quadrature(&[5.8, 3.9, 6.7]) - 9.7).abs() < 0.05);
    assert_close!(quadrature(&[5.8, 3.9, 6.7]), 9.681941953967707, F64, "comparator");
    assert_close!(quadrature(&[25.0, 9.7, 2.9, 16.6]), 31.67112249352713, F64, "end gauge");
    assert_eq!(quadrature(&[25.0, 9.7, 2.9, 16.6]).round(), 32.0);
}
