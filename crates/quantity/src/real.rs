//! Transcendental functions in pure Rust: the same bytes on every machine, which those of the standard library
//! do not promise. Each is the function of the same name in `libm`; angles are in rad. As there, an argument
//! outside the domain gives NaN, never a panic.

/// Sine of an angle in rad.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in rad.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Tangent of an angle in rad.
#[inline]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Sine and cosine of an angle in rad.
#[inline]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Angle in rad, from -pi/2 to pi/2, whose sine is `x`; NaN outside -1 to 1.
#[inline]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Angle in rad, from 0 to pi, whose cosine is `x`; NaN outside -1 to 1.
#[inline]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Angle in rad, from -pi/2 to pi/2, whose tangent is `x`.
#[inline]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Angle in rad, from -pi to pi, of the point (`x`, `y`). The ordinate comes first, as in the standard library.
#[inline]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// e to the power `x`.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm; NaN below 0.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Logarithm to the base 10; NaN below 0.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// `x` to the power `y`; NaN for a negative `x` and a `y` that is not whole.
#[inline]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Square root of `x` squared plus `y` squared, without overflow in between.
#[inline]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Cube root; also of a negative number.
#[inline]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{E, PI};

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() <= 4.0 * f64::EPSILON * b.abs().max(1.0), "{a} is not {b}");
    }

    #[test]
    fn known_values_come_out() {
        near(sin(PI / 6.0), 0.5);
        near(cos(PI / 3.0), 0.5);
        near(tan(PI / 4.0), 1.0);
        near(asin(0.5), PI / 6.0);
        near(acos(0.5), PI / 3.0);
        near(atan(1.0), PI / 4.0);
        near(exp(1.0), E);
        near(ln(E), 1.0);
        near(log10(1000.0), 3.0);
        near(pow(2.0, 0.5), 2.0_f64.sqrt());
        near(hypot(3.0, 4.0), 5.0);
        near(cbrt(-27.0), -3.0);
    }

    #[test]
    fn atan2_takes_the_ordinate_first() {
        near(atan2(1.0, 0.0), PI / 2.0);
        near(atan2(0.0, -1.0), PI);
        let (s, c) = sin_cos(1.0);
        near(atan2(s, c), 1.0);
    }
}
