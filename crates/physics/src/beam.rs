//! Beams: the largest bending moment and the deflection of the cases that brackets and cross members are.
//!
//! Straight, elastic, slender, small deflections; shear deflection is left out, and no buckling is looked at. Plain
//! functions: N, m, Pa in; N m, m out; no range is checked. Source: elastic beam theory (physics). Checked against
//! `tests/outside/section.rs`.

/// What a load does to a beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bending {
    /// Largest bending moment, N m.
    pub moment: f64,
    /// Largest deflection, m.
    pub deflection: f64,
}

// Divisors of the cases, from integrating the moment (physics).
const THREE: f64 = 3.0;
const FOUR: f64 = 4.0;
const SIX: f64 = 6.0;
const EIGHT: f64 = 8.0;
const FORTY_EIGHT: f64 = 48.0;
const FIVE: f64 = 5.0;
const UNIFORM: f64 = 384.0;

/// A cantilever with `load` at its end; `stiffness` is E I, N m2.
#[must_use]
pub fn cantilever_end(load: f64, length: f64, stiffness: f64) -> Bending {
    Bending { moment: load * length, deflection: load * length * length * length / (THREE * stiffness) }
}

/// A cantilever under `load` spread evenly over its length, N in all.
#[must_use]
pub fn cantilever_uniform(load: f64, length: f64, stiffness: f64) -> Bending {
    Bending { moment: load * length / 2.0, deflection: load * length * length * length / (EIGHT * stiffness) }
}

/// A beam on two supports with `load` in the middle.
#[must_use]
pub fn simple_middle(load: f64, span: f64, stiffness: f64) -> Bending {
    Bending { moment: load * span / FOUR, deflection: load * span * span * span / (FORTY_EIGHT * stiffness) }
}

/// A beam on two supports under `load` spread evenly over its span, N in all.
#[must_use]
pub fn simple_uniform(load: f64, span: f64, stiffness: f64) -> Bending {
    Bending { moment: load * span / EIGHT, deflection: FIVE * load * span * span * span / (UNIFORM * stiffness) }
}

/// A beam on two supports that reaches `overhang` beyond both, with `load` at each tip: a cross member over the rails.
/// The deflection is the tips'; the moment is the same all along the span.
#[must_use]
pub fn two_overhangs(load: f64, overhang: f64, span: f64, stiffness: f64) -> Bending {
    let deflection = load * overhang * overhang * (2.0 * overhang + THREE * span) / (SIX * stiffness);
    Bending { moment: load * overhang, deflection }
}

/// Bending stress, Pa, in the leg of an angle bracket: `force` at `arm` from the bend, over the bracket's `length`.
#[must_use]
pub fn angle_leg_stress(force: f64, arm: f64, length: f64, thickness: f64) -> f64 {
    force * arm / (length * thickness * thickness / SIX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Overhangs with no span between are two cantilevers back to back.
    #[test]
    fn a_span_of_nothing_leaves_cantilevers() {
        assert_eq!(two_overhangs(5e3, 0.6, 0.0, 4e5), cantilever_end(5e3, 0.6, 4e5));
    }
}
