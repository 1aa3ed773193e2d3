//! Writes SI values for people: units by size and system, figures by what the tolerance supports.

use crate::num::round_significant;
use crate::units::{Scale, Unit};
use crate::{Dimension, real};

/// Which units a person wants to see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// kg, m, bar, °C.
    Metric,
    /// lb, ft and in, psi, °F.
    Us,
}

/// A value for people: "5350 kg". `tolerance` is a 95 % half width in SI and decides the figures; without one there
/// are at most four. NaN and infinity are shown as "?".
pub fn show(si: f64, d: Dimension, system: System, tolerance: Option<f64>) -> String {
    let form = Form::of(si, d, system);
    form.with_unit(si, &form.figures(si, tolerance))
}

/// A difference of two values for people, such as a margin: as [`show`], but of temperatures "12 K" or, in the other system,
/// "22 °F", wherever the scale begins.
pub fn show_difference(si: f64, d: Dimension, system: System, tolerance: Option<f64>) -> String {
    let form = Form::of_difference(si, d, system);
    form.with_unit(si, &form.figures(si, tolerance))
}

/// A range for people: "between 5250 and 5450 kg"; ends that look the same are written once.
pub fn show_range(low: f64, high: f64, d: Dimension, system: System) -> String {
    let middle = low / 2.0 + high / 2.0;
    let form = Form::of(middle, d, system);
    let figures = form.figures(middle, Some((high - low) / 2.0));
    let (from, to) = (form.number(low, &figures), form.with_unit(high, &figures));
    if form.with_unit(low, &figures) == to { to } else { format!("between {from} and {to}") }
}

/// A value and its range in one unit and to the same figures: ("5350 kg", "between 5250 and 5450").
pub fn show_with_range(si: f64, low: f64, high: f64, d: Dimension, system: System) -> (String, String) {
    let form = Form::of(si, d, system);
    let figures = form.figures(si, Some((high - low) / 2.0));
    let range = format!("between {} and {}", form.number(low, &figures), form.number(high, &figures));
    (form.with_unit(si, &figures), range)
}

/// A value for a file: `parse` gives it back within 1e-9 of itself. NaN and infinity become "?".
pub fn show_exact(si: f64, d: Dimension, system: System) -> String {
    if !si.is_finite() {
        return "?".to_string();
    }
    let usual = unit_for(si, d, system);
    let in_unit = |unit: &Unit| round_significant(unit.from_si(si), EXACT_DIGITS);
    // A scale with an offset drowns the figures of a value near its absolute zero; the SI unit does not.
    let kept = (usual.to_si(in_unit(usual)) - si).abs() <= EXACT_WITHIN * si.abs();
    let unit = if kept { usual } else { d.units().iter().find(|unit| matches!(unit.scale, Scale::Factor(_))).unwrap_or(usual) };
    let written = in_unit(unit);
    let plain = written == 0.0 || (PLAIN_FROM..PLAIN_TO).contains(&written.abs());
    if plain { format!("{written} {}", unit.name) } else { format!("{written:e} {}", unit.name) }
}

/// Digits after the first: twelve in all keep 1e-9 with room to spare and hide what division leaves behind.
const EXACT_DIGITS: usize = 11;
/// Relative; ten times finer than promised.
const EXACT_WITHIN: f64 = 1e-10;
/// Below and above these a number is written with an exponent, to stay legible.
const PLAIN_FROM: f64 = 1e-6;
const PLAIN_TO: f64 = 1e15;

/// Figures without a tolerance.
const FIGURES: i32 = 4;
/// Figures at most, however small the tolerance.
const FIGURES_AT_MOST: i32 = 9;
/// A half width of 1.00 to 3.54 in its leading figure is kept to two figures, 3.55 and up to one (the rule of the
/// Particle Data Group's Review of Particle Physics, introduction, from memory): 98 kg rounds to tens, as 120 kg does.
const TWO_FIGURES_BELOW: f64 = 3.55;

/// From this size on (SI, absolute) the unit of this name is used. How people speak; common practice, no source.
type Step = (f64, &'static str);

#[rustfmt::skip]
fn steps(d: Dimension, system: System) -> &'static [Step] {
    use Dimension::*;
    match (d, system) {
        (Mass, System::Metric) => &[(0.0, "kg")],
        (Mass, System::Us) => &[(0.0, "lb")],
        (Length, System::Metric) => &[(0.0, "mm"), (0.1, "m"), (1e4, "km")],
        (Length, System::Us) => &[(0.0, "in"), (0.9144, "ft"), (804.672, "mi")],
        (Area, System::Metric) => &[(0.0, "mm2"), (1e-3, "cm2"), (0.1, "m2")],
        (Area, System::Us) => &[(0.0, "mm2"), (1e-3, "sq in"), (0.1, "sq ft")],
        (Volume, System::Metric) => &[(0.0, "ml"), (1e-4, "L"), (10.0, "m3")],
        (Volume, System::Us) => &[(0.0, "gal")],
        (Pressure, System::Metric) => &[(0.0, "Pa"), (100.0, "mbar"), (1e4, "bar"), (2e7, "MPa")],
        (Pressure, System::Us) => &[(0.0, "inH2O"), (6894.0, "psi")],
        (Stress, System::Metric) => &[(0.0, "MPa"), (1e10, "GPa")],
        (Stress, System::Us) => &[(0.0, "psi"), (6.894_757e7, "ksi")],
        (Force, System::Metric) => &[(0.0, "N"), (1e3, "kN")],
        (Force, System::Us) => &[(0.0, "lbf")],
        (Torque, System::Metric) => &[(0.0, "Nm"), (1e4, "kNm")],
        (Torque, System::Us) => &[(0.0, "lbf ft")],
        (Voltage, _) => &[(0.0, "mV"), (0.1, "V"), (1e4, "kV")],
        (Current, _) => &[(0.0, "mA"), (0.1, "A")],
        (Power, _) => &[(0.0, "mW"), (0.1, "W"), (1e4, "kW")],
        (Energy, _) => &[(0.0, "J"), (360.0, "Wh"), (3.6e6, "kWh")],
        (Charge, _) => &[(0.0, "mAh"), (360.0, "Ah")],
        (Angle, _) => &[(0.0, "deg")],
        (Slope, _) => &[(0.0, "%"), (0.8, "deg")],
        (Temperature, System::Metric) => &[(0.0, "°C")],
        (Temperature, System::Us) => &[(0.0, "°F")],
        (Ratio, _) => &[(0.0, "%")],
        (Speed, System::Metric) => &[(0.0, "km/h")],
        (Speed, System::Us) => &[(0.0, "mph")],
        (Density, System::Metric) => &[(0.0, "kg/m3")],
        (Density, System::Us) => &[(0.0, "lb/cu ft")],
        (SpringRate, System::Metric) => &[(0.0, "N/mm")],
        (SpringRate, System::Us) => &[(0.0, "lbf/in")],
        (RollStiffness, System::Metric) => &[(0.0, "kNm/rad")],
        (RollStiffness, System::Us) => &[(0.0, "lbf ft/deg")],
        (Duration, _) => &[(0.0, "s"), (120.0, "min"), (7200.0, "h"), (172_800.0, "d")],
        (Acceleration, _) => &[(0.0, "g")],
        (HeatTransfer, System::Metric) => &[(0.0, "W/m2K")],
        (HeatTransfer, System::Us) => &[(0.0, "BTU/h ft2 F")],
        (HeatLoss, System::Metric) => &[(0.0, "W/K")],
        (HeatLoss, System::Us) => &[(0.0, "BTU/h F")],
        (Resistance, _) => &[(0.0, "mohm"), (1.0, "ohm"), (1e4, "kohm")],
        (TemperatureCoefficient, _) => &[(0.0, "%/K")],
        (VoltageDrift, _) => &[(0.0, "mV/K")],
    }
}

fn unit_for(si: f64, d: Dimension, system: System) -> &'static Unit {
    let size = si.abs();
    let name = steps(d, system).iter().rev().find(|(from, _)| size >= *from).map_or(d.usual_unit(), |(_, name)| name);
    named(d, name)
}

/// The unit of that name. A test holds that every step has one; the first unit of the list stands in otherwise.
fn named(d: Dimension, name: &str) -> &'static Unit {
    static NOTHING: Unit = Unit { name: "", spellings: &[], scale: Scale::Factor(1.0), note: "" };
    d.units().iter().find(|unit| unit.name == name).or(d.units().first()).unwrap_or(&NOTHING)
}

/// How a value of this size is written.
struct Form {
    unit: &'static Unit,
    /// In feet and inches: "13 ft 6 in".
    feet_and_inches: bool,
}

/// Up to this many feet, inches are told beside them.
const FEET_WITH_INCHES: f64 = 100.0;
const INCHES_IN_FOOT: f64 = 12.0; // exact

/// Where a number is rounded: at this power of ten, with trailing zeros kept or not.
struct Figures {
    power: i32,
    keep_zeros: bool,
}

impl Form {
    fn of(si: f64, d: Dimension, system: System) -> Form {
        let unit = unit_for(si, d, system);
        let feet_and_inches = unit.name == "ft" && unit.from_si(si).abs() < FEET_WITH_INCHES;
        let unit = if feet_and_inches { named(d, "in") } else { unit };
        Form { unit, feet_and_inches }
    }

    fn of_difference(si: f64, d: Dimension, system: System) -> Form {
        static FAHRENHEIT_DEGREE: Unit = Unit { name: "°F", spellings: &[], scale: Scale::Factor(5.0 / 9.0), note: "exact" };
        match (d, system) {
            (Dimension::Temperature, System::Metric) => Form { unit: named(d, "K"), feet_and_inches: false },
            (Dimension::Temperature, System::Us) => Form { unit: &FAHRENHEIT_DEGREE, feet_and_inches: false },
            _ => Form::of(si, d, system),
        }
    }

    /// What the half width supports, in this unit.
    fn figures(&self, si: f64, tolerance: Option<f64>) -> Figures {
        let written = self.unit.from_si(si);
        let leading = power_of_ten(written);
        let half = tolerance.map(|t| (self.unit.from_si(si + t) - self.unit.from_si(si - t)).abs() / 2.0);
        match half.filter(|half| half.is_finite() && *half > 0.0) {
            Some(half) => {
                let power = power_of_ten(half / TWO_FIGURES_BELOW);
                // Nobody cuts to tenths of an inch what is known to an inch.
                let power = if self.feet_and_inches && half >= 1.0 { power.max(0) } else { power };
                let finest = leading.max(power_of_ten(half)) - FIGURES_AT_MOST + 1;
                Figures { power: power.max(finest), keep_zeros: power >= finest }
            }
            None => Figures { power: leading - FIGURES + 1, keep_zeros: false },
        }
    }

    fn with_unit(&self, si: f64, figures: &Figures) -> String {
        let number = self.number(si, figures);
        if self.feet_and_inches || number == "?" { number } else { format!("{number} {}", self.unit.name) }
    }

    /// The number alone; feet and inches carry their units with them.
    fn number(&self, si: f64, figures: &Figures) -> String {
        let written = self.unit.from_si(si);
        if !written.is_finite() {
            return "?".to_string();
        }
        if self.feet_and_inches { feet_and_inches(written, figures) } else { rounded(written, figures) }
    }
}

fn feet_and_inches(inches: f64, figures: &Figures) -> String {
    if figures.power > 0 {
        return format!("{} ft", rounded(inches / INCHES_IN_FOOT, &Figures { power: figures.power - 1, keep_zeros: true }));
    }
    let total: f64 = rounded(inches.abs(), figures).parse().unwrap_or(0.0);
    let feet = (total / INCHES_IN_FOOT).floor();
    let rest = rounded(total - feet * INCHES_IN_FOOT, figures);
    let sign = if inches < 0.0 && total > 0.0 { "-" } else { "" };
    match (feet == 0.0, rest.parse() == Ok(0.0)) {
        (true, _) => format!("{sign}{rest} in"),
        (false, true) => format!("{sign}{feet} ft"),
        (false, false) => format!("{sign}{feet} ft {rest} in"),
    }
}

/// Power of ten of the first figure: 2 for 512, -1 for 0.3; 0 for 0.
fn power_of_ten(x: f64) -> i32 {
    if x == 0.0 || !x.is_finite() {
        return 0;
    }
    let guess = real::log10(x.abs()).floor();
    guess as i32
}

/// A plain decimal number, rounded at `figures.power`.
fn rounded(x: f64, figures: &Figures) -> String {
    if x.abs() >= PLAIN_TO {
        return format!("{x:.3e}");
    }
    if figures.power > 0 {
        let place = real::pow(10.0, f64::from(figures.power));
        return no_minus_zero(format!("{:.0}", (x / place).round() * place));
    }
    let decimals = usize::try_from(-figures.power).unwrap_or(0);
    let text = format!("{x:.decimals$}");
    let text = if !figures.keep_zeros && text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    };
    no_minus_zero(text)
}

fn no_minus_zero(text: String) -> String {
    let zero = text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    if zero { text.trim_start_matches('-').to_string() } else { text }
}

#[cfg(test)]
mod tests;
