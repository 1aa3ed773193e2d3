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

/// 2 / sqrt(pi) times the integral of e to the power -t squared from `x` to infinity: twice the share of a normal
/// distribution above `x` sqrt(2).
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// Two thirds of the mantissa: adding it and taking it off again rounds to a whole number, and leaves that number in the
/// lowest bits. A conversion to an integer type would do the same, but keeps loops from being vectorised.
const ROUND: f64 = 6_755_399_441_055_744.0;

/// pi / 2 in three parts, the first two with 33 bits each, so that their product with a whole number below 2^20 is exact.
const HALF_PI: [f64; 3] = [1.570_796_326_734_125_6, 6.077_100_506_303_966e-11, 2.022_266_248_795_950_7e-21];

/// Sine of -pi/4 to pi/4 as x + x^3 times a polynomial in x^2 (the coefficients of fdlibm, as in `libm`).
const SINE: [f64; 6] = [
    -1.666_666_666_666_663_2e-1,
    8.333_333_333_322_49e-3,
    -1.984_126_982_985_795e-4,
    2.755_731_370_707_006_8e-6,
    -2.505_076_025_340_686_3e-8,
    1.589_690_995_211_55e-10,
];

/// Cosine of -pi/4 to pi/4 as 1 - x^2 / 2 + x^4 times a polynomial in x^2 (the same).
const COSINE: [f64; 6] = [
    4.166_666_666_666_66e-2,
    -1.388_888_888_887_411e-3,
    2.480_158_728_947_673e-5,
    -2.755_731_435_139_066_3e-7,
    2.087_572_321_298_175e-9,
    -1.135_964_755_778_819_5e-11,
];

/// Sine and cosine of an angle in rad of magnitude up to a million, in straight arithmetic without a branch, so that a
/// loop over it is vectorised. Within 2e-16 of the exact value; beyond a million wrong without notice.
#[inline]
pub fn sin_cos_swift(x: f64) -> (f64, f64) {
    let quarter = x * std::f64::consts::FRAC_2_PI + ROUND;
    let n = quarter - ROUND;
    let [high, middle, low] = HALF_PI;
    let r = ((x - n * high) - n * middle) - n * low;
    let z = r * r;
    let [s1, s2, s3, s4, s5, s6] = SINE;
    let sine = r + r * z * (s1 + z * (s2 + z * (s3 + z * (s4 + z * (s5 + z * s6)))));
    let [c1, c2, c3, c4, c5, c6] = COSINE;
    let cosine = 1.0 - (z / 2.0 - z * z * (c1 + z * (c2 + z * (c3 + z * (c4 + z * (c5 + z * c6))))));
    // In odd quarters sine and cosine change places; then each has the sign of its quarter.
    let quarter = quarter.to_bits();
    let odd = (quarter & 1).wrapping_neg();
    let (sine, cosine) = (sine.to_bits(), cosine.to_bits());
    let changed = (sine ^ cosine) & odd;
    let sign = |quarter: u64| (quarter & 2) << 62;
    let sine = sine ^ changed ^ sign(quarter);
    (f64::from_bits(sine), f64::from_bits(cosine ^ changed ^ sign(quarter.wrapping_add(1))))
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
        near(erfc(0.0), 1.0);
        near(erfc(-1.0) + erfc(1.0), 2.0);
    }

    #[test]
    fn atan2_takes_the_ordinate_first() {
        near(atan2(1.0, 0.0), PI / 2.0);
        near(atan2(0.0, -1.0), PI);
        let (s, c) = sin_cos(1.0);
        near(atan2(s, c), 1.0);
    }

    #[test]
    fn the_swift_form_is_as_good_as_the_exact_one() {
        let mut worst = 0.0_f64;
        for k in -200_000..=200_000 {
            let x = f64::from(k) * 4.987_654_321;
            for x in [x, x * 1e-5] {
                let ((s, c), (want_s, want_c)) = (sin_cos_swift(x), sin_cos(x));
                worst = worst.max((s - want_s).abs()).max((c - want_c).abs());
            }
        }
        assert!(worst < 2.3e-16, "off by {worst}");
        assert_eq!(sin_cos_swift(0.0), (0.0, 1.0));
    }
}
