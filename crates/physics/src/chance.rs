//! How often chance alone gives a chi-square this large.

use quantity::real::{exp, ln};

/// Probability that a chi-square of `dof` degrees of freedom is at least `chi_square`.
///
/// 1 for a chi-square of 0 or less, or for no degrees of freedom; NaN stays NaN. Relative error below 1e-12 to far in
/// the tail (dof up to some hundreds).
///
/// # Source
/// Incomplete gamma function with a = dof / 2: its power series below x = a + 1, its continued fraction above
/// (mathematics). No fitted coefficients: the gamma function of whole and half numbers is a product.
///
/// # Checked against
/// `tests/outside/reconcile.rs`: values of a statistics library, and the quantiles of printed tables.
#[must_use]
pub fn chi_square_tail(chi_square: f64, dof: usize) -> f64 {
    if chi_square.is_nan() {
        return chi_square;
    }
    if chi_square <= 0.0 || dof == 0 {
        return 1.0;
    }
    if chi_square.is_infinite() {
        return 0.0;
    }
    let (a, x) = (dof as f64 / 2.0, chi_square / 2.0);
    // x^a e^-x / gamma(a), the factor of both forms.
    let front = exp(a * ln(x) - x - ln_gamma_of_half(dof));
    if x < a + 1.0 { 1.0 - front * series(a, x) } else { front * fraction(a, x) }
}

/// How far out from the middle, in standard deviations, the share `tail` of a normal distribution lies, both sides
/// together: 1.96 for 0.05. Infinite for 0 or less, 0 for 1 or more.
///
/// # Source
/// The tail is that of a chi-square of one degree of freedom; Newton's steps from below, where the tail is convex
/// (mathematics).
///
/// # Checked against
/// Unit test: quantiles of printed tables.
#[must_use]
pub fn two_sided(tail: f64) -> f64 {
    if tail.is_nan() || tail >= 1.0 {
        return if tail.is_nan() { tail } else { 0.0 };
    }
    if tail <= 0.0 {
        return f64::INFINITY;
    }
    let mut z = 0.0;
    loop {
        let density = (2.0 / std::f64::consts::PI).sqrt() * exp(-z * z / 2.0);
        let step = (chi_square_tail(z * z, 1) - tail) / density;
        let next = z + step;
        // Rounding ends the rise.
        if !(next > z && next.is_finite()) || step <= f64::EPSILON * next {
            return z;
        }
        z = next;
    }
}

/// ln gamma(n / 2): gamma(1/2) = sqrt(pi), gamma(1) = 1, and gamma(t + 1) = t gamma(t).
fn ln_gamma_of_half(n: usize) -> f64 {
    let odd = n % 2 == 1;
    let first = if odd { ln(std::f64::consts::PI) / 2.0 } else { 0.0 };
    let start = if odd { 1.0 / 2.0 } else { 1.0 };
    let steps = n.saturating_sub(if odd { 1 } else { 2 }) / 2;
    (0..steps).fold(first, |sum, i| sum + ln(start + i as f64))
}

/// Lower incomplete gamma over x^a e^-x: 1/a + x/(a (a+1)) + ..
fn series(a: f64, x: f64) -> f64 {
    let (mut term, mut sum, mut at) = (1.0 / a, 1.0 / a, a);
    loop {
        at += 1.0;
        term *= x / at;
        let next = sum + term;
        if next.is_nan() || next <= sum {
            return sum;
        }
        sum = next;
    }
}

/// Upper incomplete gamma over x^a e^-x, as a continued fraction by the modified Lentz method.
fn fraction(a: f64, x: f64) -> f64 {
    // Stands in for a zero denominator, as the method wants; its size does not show in the result.
    let tiny = f64::MIN_POSITIVE;
    let from_zero = |v: f64| if v == 0.0 { tiny } else { v };
    let mut b = x + 1.0 - a;
    let mut d = 1.0 / from_zero(b);
    let mut c = 1.0 / tiny;
    let mut value = d;
    let mut i = 0.0;
    loop {
        i += 1.0;
        let numerator = i * (a - i);
        b += 2.0;
        d = 1.0 / from_zero(b + numerator * d);
        c = from_zero(b + numerator / c);
        let step = c * d;
        value *= step;
        if (step - 1.0).abs() <= f64::EPSILON || !step.is_finite() {
            return value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_degrees_of_freedom_are_an_exponential() {
        for chi in [0.1, 1.0, 3.9, 4.1, 12.0, 100.0, 700.0] {
            let want = exp(-chi / 2.0);
            assert!((chi_square_tail(chi, 2) / want - 1.0).abs() < 1e-12, "{chi}");
        }
    }

    #[test]
    fn the_ends() {
        assert_eq!(chi_square_tail(0.0, 3), 1.0);
        assert_eq!(chi_square_tail(-1.0, 3), 1.0);
        assert_eq!(chi_square_tail(f64::INFINITY, 3), 0.0);
        assert_eq!(chi_square_tail(1e300, 3), 0.0);
        assert!(chi_square_tail(f64::NAN, 3).is_nan());
        assert!(chi_square_tail(1e-300, 1) <= 1.0);
    }

    /// Source: quantiles of the normal distribution as every printed table has them. Known: from memory. Tolerance: their
    /// last figure.
    #[test]
    fn two_sided_quantiles_of_printed_tables() {
        for (tail, z) in [(0.3173, 1.0), (0.05, 1.959_964), (0.01, 2.575_829), (0.001, 3.290_527), (1e-9, 6.109_410)] {
            let within = if tail == 0.3173 { 2e-4 } else { 1e-6 };
            assert!((two_sided(tail) - z).abs() < within, "{tail}: {}", two_sided(tail));
            let z = two_sided(tail);
            assert!((chi_square_tail(z * z, 1) / tail - 1.0).abs() < 1e-9, "{tail}");
        }
        assert_eq!((two_sided(1.0), two_sided(0.0)), (0.0, f64::INFINITY));
        assert!(two_sided(f64::NAN).is_nan() && two_sided(1e-300).is_finite());
    }

    #[test]
    fn both_forms_meet() {
        for dof in 1..40 {
            let a = dof as f64 / 2.0;
            let (x, front) = (a + 1.0, exp(a * ln(a + 1.0) - (a + 1.0) - ln_gamma_of_half(dof)));
            assert!((front * series(a, x) + front * fraction(a, x) - 1.0).abs() < 1e-13, "{dof}");
        }
    }
}
