//! Scales: round numbers in the unit that people read, and where they stand.

use quantity::{Dimension, Unit, real};

use super::Shown;

/// Ticks of a scale at most.
const MOST: f64 = 64.0;
/// Steps that people count in, of each power of ten.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];

/// The unit of a scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    unit: &'static Unit,
}

/// A tick: its SI value and its number.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tick {
    pub(super) si: f64,
    pub(super) words: String,
}

impl Scale {
    /// The unit for numbers of this SI unit up to `largest`; none where the unit is not known.
    pub(super) fn of(si_unit: &str, largest: f64, shown: Shown) -> Option<Self> {
        let dimension = Dimension::ALL.into_iter().find(|dimension| dimension.si_unit() == si_unit)?;
        shown.unit(largest, dimension).map(|unit| Self { unit })
    }

    /// Name of the unit as a drawing shows it.
    pub(super) fn unit(self) -> String {
        crate::numbers::proper(&format!(" {}", self.unit.name)).trim().to_owned()
    }

    /// The number of an SI value in this unit.
    pub(super) fn number(self, si: f64) -> f64 {
        self.unit.from_si(si)
    }

    /// Round numbers from the first to the second value, about as many as asked.
    pub(super) fn ticks(self, low: f64, high: f64, about: f64) -> Vec<Tick> {
        let (from, to) = (self.number(low), self.number(high));
        let (from, to) = (from.min(to), from.max(to));
        let Some(step) = step(to - from, about) else { return Vec::new() };
        let first = (from / step).ceil();
        let count = ((to / step).floor() - first).clamp(0.0, MOST);
        let decimals = decimals(step);
        (0..=count as u32)
            .map(|at| (first + f64::from(at)) * step + 0.0)
            .map(|number| Tick { si: self.unit.to_si(number), words: format!("{number:.decimals$}") })
            .collect()
    }
}

/// The round step that cuts a length into about so many pieces.
fn step(length: f64, about: f64) -> Option<f64> {
    let wished = length / about;
    if !(wished.is_finite() && wished > 0.0) {
        return None;
    }
    let power = real::pow(10.0, real::log10(wished).floor());
    let steps = STEPS.map(|step| step * power).into_iter().chain([power * 10.0]);
    steps.into_iter().find(|step| *step >= wished * (1.0 - f64::EPSILON)).filter(|step| step.is_finite() && *step > 0.0)
}

/// Decimals that a step needs.
fn decimals(step: f64) -> usize {
    (-real::log10(step).floor()).clamp(0.0, f64::from(u8::MAX)) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::System;

    fn shown() -> Shown {
        Shown::new(System::Metric, true)
    }

    #[test]
    fn a_scale_of_energy_counts_in_kilowatt_hours() {
        // 5.12 kWh = 18.432 MJ; five pieces of 1.024 kWh: the next round step is 2 kWh.
        let scale = Scale::of("J", 18.432e6, shown()).unwrap();
        assert_eq!(scale.unit(), "kWh");
        let ticks = scale.ticks(0.0, 18.432e6, 5.0);
        assert_eq!(ticks.iter().map(|tick| tick.words.as_str()).collect::<Vec<_>>(), ["0", "2", "4"]);
        assert!((ticks[1].si - 7.2e6).abs() < 1e-6);
    }

    #[test]
    fn odd_scales_have_no_ticks() {
        let scale = Scale::of("1", 1.0, shown()).unwrap();
        assert_eq!(scale.ticks(0.5, 0.5, 5.0), []);
        assert_eq!(scale.ticks(f64::NAN, 1.0, 5.0), []);
        assert_eq!(scale.ticks(0.0, f64::INFINITY, 5.0), []);
        assert!(Scale::of("parrots", 1.0, shown()).is_none());
    }

    #[test]
    fn small_steps_show_their_decimals_and_no_minus_zero() {
        let scale = Scale::of("1", 0.02, shown()).unwrap();
        let words: Vec<String> = scale.ticks(-0.01, 0.01, 4.0).into_iter().map(|tick| tick.words).collect();
        assert_eq!(words, ["-1.0", "-0.5", "0.0", "0.5", "1.0"]);
    }
}
