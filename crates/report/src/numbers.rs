//! Numbers as a report shows them: in the audit's units, with the figures that the range supports.

use check::Measure;
use quantity::{Dimension, System, Unit};

/// A spread below this share of the value is what rounding in floating point leaves behind, not a doubt.
const NO_SPREAD: f64 = 1e-9;

/// How numbers are shown.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Numbers {
    system: System,
    utf8: bool,
}

impl Numbers {
    pub(crate) fn new(system: impl Into<System>, utf8: bool) -> Self {
        Self { system: system.into(), utf8 }
    }

    /// A value with its unit and, where it has a spread, its range: ("5350 kg", "between 5250 and 5450").
    pub(crate) fn with_range(self, measure: &Measure) -> (String, Option<String>) {
        let (value, low, high) = (measure.value.0, measure.low.0, measure.high.0);
        self.span(value, low, high, measure.dimension)
    }

    /// The same from the three numbers.
    pub(crate) fn span(self, value: f64, low: f64, high: f64, dimension: Dimension) -> (String, Option<String>) {
        let spread = high - low;
        if !spread.is_finite() || spread <= NO_SPREAD * value.abs() {
            return (self.exact(value, dimension), None);
        }
        let (value, range) = quantity::show_with_range(value, low, high, dimension, self.system);
        (self.signs(&value), Some(self.signs(&range)))
    }

    /// A value without spread.
    pub(crate) fn exact(self, si: f64, dimension: Dimension) -> String {
        self.signs(&quantity::show(si, dimension, self.system, None))
    }

    /// A value with the figures that a half width of its interval supports.
    pub(crate) fn amount(self, si: f64, dimension: Dimension, half: f64) -> String {
        self.span(si, si - half, si + half, dimension).0
    }

    /// The same of a margin: between two temperatures it is in kelvin (or degrees Fahrenheit), not counted from freezing.
    pub(crate) fn margin(self, si: f64, dimension: Dimension, half: f64) -> String {
        let half = Some(half).filter(|half| half.is_finite() && 2.0 * half > NO_SPREAD * si.abs());
        self.signs(&quantity::show_difference(si, dimension, self.system, half))
    }

    /// The unit that a value of this size is shown in. Feet and inches count as feet.
    pub(crate) fn unit(self, si: f64, dimension: Dimension) -> Option<&'static Unit> {
        let text = quantity::show(si, dimension, self.system, None);
        let (_, whole) = text.split_once(' ')?;
        let named = |name: &str| dimension.units().iter().find(|unit| unit.name == name);
        named(whole).or_else(|| named(whole.split(' ').next().unwrap_or_default()))
    }

    /// ASCII units where only those can be shown, the proper signs elsewhere.
    fn signs(self, text: &str) -> String {
        if self.utf8 { proper(text) } else { text.replace('°', "deg").replace('²', "2").replace('³', "3") }
    }
}

/// The text with the proper signs of its units.
pub(crate) fn proper(text: &str) -> String {
    text.replace(" deg", "°").replace("m2", "m²").replace("m3", "m³").replace("H2O", "H₂O")
}

/// "1.03": demand over capacity. More figures than any load of a rig is known to would pretend.
pub(crate) fn share(utilisation: f64) -> String {
    if utilisation.is_finite() { format!("{utilisation:.2}") } else { "?".to_owned() }
}

/// "78 %".
pub(crate) fn percent(share: f64) -> String {
    if share.is_finite() { format!("{:.0} %", (share * 100.0).abs()) } else { "? %".to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Num;

    fn measure(value: f64, half: f64, dimension: Dimension) -> Measure {
        Measure {
            value: Num(value),
            unit: dimension.si_unit().to_owned(),
            dimension,
            low: Num(value - half),
            high: Num(value + half),
        }
    }

    #[test]
    fn figures_follow_the_range_and_units_the_audit() {
        let load = measure(5347.2, 98.0, Dimension::Mass);
        let metric = Numbers::new(System::Metric, false);
        assert_eq!(metric.with_range(&load), ("5350 kg".to_owned(), Some("between 5250 and 5450".to_owned())));
        let us = Numbers::new(System::Us, false);
        assert_eq!(us.with_range(&load).0, "11790 lb");
    }

    #[test]
    fn a_scale_has_the_unit_of_its_largest_number() {
        let of = |system, si, dimension| Numbers::new(system, true).unit(si, dimension).map(|unit| unit.name);
        assert_eq!(of(System::Metric, 18e6, Dimension::Energy), Some("kWh"));
        assert_eq!(of(System::Metric, 0.05, Dimension::Length), Some("mm"));
        assert_eq!(of(System::Us, 4.12, Dimension::Length), Some("ft"));
        assert_eq!(of(System::Us, 2.0, Dimension::Area), Some("sq ft"));
        assert_eq!(of(System::Us, f64::NAN, Dimension::Area), None);
    }

    #[test]
    fn a_spread_left_by_rounding_is_none() {
        let load = measure(5200.0, 1e-9, Dimension::Mass);
        assert_eq!(Numbers::new(System::Metric, false).with_range(&load), ("5200 kg".to_owned(), None));
    }

    /// Twelve kelvin are 21.6 degrees Fahrenheit; 95 kg are 95 kg.
    #[test]
    fn a_margin_between_temperatures_counts_from_nowhere() {
        let of = |system, utf8, si, half, dimension| Numbers::new(system, utf8).margin(si, dimension, half);
        assert_eq!(of(System::Metric, true, 12.0, 0.0, Dimension::Temperature), "12 K");
        assert_eq!(of(System::Metric, false, -12.04, 1.5, Dimension::Temperature), "-12.0 K");
        assert_eq!(of(System::Us, true, 12.0, 0.0, Dimension::Temperature), "21.6 °F");
        assert_eq!(of(System::Us, false, 12.0, 5.0, Dimension::Temperature), "22 degF");
        assert_eq!(of(System::Metric, false, 95.3, 4.0, Dimension::Mass), "95 kg");
    }

    #[test]
    fn signs_are_ascii_unless_the_terminal_has_them() {
        let lean = measure(0.5, 0.0, Dimension::Angle);
        assert_eq!(Numbers::new(System::Metric, false).with_range(&lean).0, "28.65 deg");
        assert_eq!(Numbers::new(System::Metric, true).with_range(&lean).0, "28.65°");
        let warm = measure(308.15, 0.0, Dimension::Temperature);
        assert_eq!(Numbers::new(System::Metric, false).with_range(&warm).0, "35 degC");
        assert_eq!(Numbers::new(System::Metric, true).with_range(&warm).0, "35 °C");
    }
}
