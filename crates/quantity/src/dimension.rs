//! What kind of thing a number measures.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{self, Unit};

/// What kind of thing a number measures. Values are kept in the SI unit that `si_unit` names.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// Mass, in kg. Axle loads and ratings are masses too: what a scale under the wheel shows.
    Mass,
    /// Length or a coordinate, in m.
    Length,
    /// Area, in m2; wire sizes too ("16 mm2", "6 AWG").
    Area,
    /// Volume, in m3.
    Volume,
    /// Pressure, in Pa. Whether it is gauge or absolute the field must say.
    Pressure,
    /// Stress or strength of a material, in Pa.
    Stress,
    /// Force, in N.
    Force,
    /// Torque, in N m.
    Torque,
    /// Voltage, in V.
    Voltage,
    /// Electric current, in A.
    Current,
    /// Power, in W.
    Power,
    /// Energy, in J.
    Energy,
    /// Electric charge, in C (1 Ah is 3600 C).
    Charge,
    /// Angle, in rad.
    Angle,
    /// Slope, kept as its angle in rad; read from "30 %", "12 deg" or "1:8".
    Slope,
    /// Temperature, in K; never a temperature difference.
    Temperature,
    /// Share of something, 0.12 for "12 %".
    Ratio,
    /// Speed, in m/s.
    Speed,
    /// Density, in kg/m3.
    Density,
    /// Spring rate, in N/m.
    SpringRate,
    /// Roll stiffness, in N m/rad.
    RollStiffness,
    /// Duration, in s.
    Duration,
    /// Acceleration, in m/s2.
    Acceleration,
    /// Heat transfer coefficient (U value of a wall), in W/(m2 K).
    HeatTransfer,
    /// Heat that flows for each degree of difference, in W/K.
    HeatLoss,
    /// Electrical resistance, in ohm.
    Resistance,
    /// Relative change with temperature, in 1/K; -0.0027 for "-0.27 %/K".
    TemperatureCoefficient,
    /// Change of a voltage with temperature, in V/K.
    VoltageDrift,
}

/// What `Dimension`'s methods answer from: one row a dimension.
struct Row {
    noun: &'static str,
    article: &'static str,
    si_unit: &'static str,
    usual_unit: &'static str,
    example: &'static str,
    second_example: &'static str,
    range: (f64, f64),
    units: &'static [Unit],
}

/// `$range` is where a value stops being one a person can mean. A zero at the low end is nature's (mass, volume,
/// absolute temperature), or a perfect vacuum; the other ends are "common practice, no source": far beyond any road
/// vehicle, so that only a slip of the pen is outside.
macro_rules! row {
    ($article:literal $noun:literal, $si:literal, usual $usual:literal, $example:literal or $second:literal, $low:expr => $high:expr, $units:ident) => {{
        static ROW: Row = Row {
            noun: $noun,
            article: concat!($article, " ", $noun),
            si_unit: $si,
            usual_unit: $usual,
            example: $example,
            second_example: $second,
            range: ($low, $high),
            units: units::$units,
        };
        &ROW
    }};
}

impl Dimension {
    /// Every dimension, in the order of the enum.
    pub const ALL: [Dimension; 28] = [
        Dimension::Mass,
        Dimension::Length,
        Dimension::Area,
        Dimension::Volume,
        Dimension::Pressure,
        Dimension::Stress,
        Dimension::Force,
        Dimension::Torque,
        Dimension::Voltage,
        Dimension::Current,
        Dimension::Power,
        Dimension::Energy,
        Dimension::Charge,
        Dimension::Angle,
        Dimension::Slope,
        Dimension::Temperature,
        Dimension::Ratio,
        Dimension::Speed,
        Dimension::Density,
        Dimension::SpringRate,
        Dimension::RollStiffness,
        Dimension::Duration,
        Dimension::Acceleration,
        Dimension::HeatTransfer,
        Dimension::HeatLoss,
        Dimension::Resistance,
        Dimension::TemperatureCoefficient,
        Dimension::VoltageDrift,
    ];

    #[rustfmt::skip]
    fn row(self) -> &'static Row {
        use std::f64::consts::{FRAC_PI_2, TAU};
        match self {
            Dimension::Mass => row!("a" "mass", "kg", usual "kg", "1200 kg" or "2600 lb", 0.0 => 1e6, MASS),
            Dimension::Length => row!("a" "length", "m", usual "m", "0.84 m" or "33 in", -1e7 => 1e7, LENGTH),
            Dimension::Area => row!("an" "area", "m2", usual "mm2", "16 mm2" or "6 AWG", 0.0 => 1e6, AREA),
            Dimension::Volume => row!("a" "volume", "m3", usual "L", "120 L" or "32 gal", 0.0 => 1e4, VOLUME),
            Dimension::Pressure => row!("a" "pressure", "Pa", usual "bar", "5.5 bar" or "80 psi", -101_325.0 => 1e10, PRESSURE),
            Dimension::Stress => row!("a" "stress", "Pa", usual "MPa", "235 MPa" or "36 ksi", -1e12 => 1e12, PRESSURE),
            Dimension::Force => row!("a" "force", "N", usual "N", "18 kN" or "4000 lbf", -1e9 => 1e9, FORCE),
            Dimension::Torque => row!("a" "torque", "N m", usual "Nm", "85 Nm" or "63 lbf ft", -1e9 => 1e9, TORQUE),
            Dimension::Voltage => row!("a" "voltage", "V", usual "V", "24 V" or "650 mV", -1e6 => 1e6, VOLTAGE),
            Dimension::Current => row!("a" "current", "A", usual "A", "30 A" or "350 mA", -1e6 => 1e6, CURRENT),
            Dimension::Power => row!("a" "power", "W", usual "W", "60 W" or "2.2 kW", -1e9 => 1e9, POWER),
            Dimension::Energy => row!("an" "energy", "J", usual "Wh", "1.2 kWh" or "900 Wh", -1e13 => 1e13, ENERGY),
            Dimension::Charge => row!("a" "charge", "C", usual "Ah", "280 Ah" or "2500 mAh", -1e10 => 1e10, CHARGE),
            Dimension::Angle => row!("an" "angle", "rad", usual "deg", "28 deg" or "0.5 rad", -TAU => TAU, ANGLE),
            Dimension::Slope => row!("a" "slope", "rad", usual "%", "30 %" or "1:8", -FRAC_PI_2 => FRAC_PI_2, SLOPE),
            Dimension::Temperature => row!("a" "temperature", "K", usual "°C", "35 °C" or "95 °F", 0.0 => 1e4, TEMPERATURE),
            Dimension::Ratio => row!("a" "share", "1", usual "%", "12 %" or "0.5 %", -1e6 => 1e6, RATIO),
            Dimension::Speed => row!("a" "speed", "m/s", usual "km/h", "80 km/h" or "50 mph", -1e4 => 1e4, SPEED),
            Dimension::Density => row!("a" "density", "kg/m3", usual "kg/m3", "1000 kg/m3" or "0.84 kg/L", 0.0 => 1e5, DENSITY),
            Dimension::SpringRate => row!("a" "spring rate", "N/m", usual "N/mm", "320 N/mm" or "1800 lbf/in", 0.0 => 1e10, SPRING_RATE),
            Dimension::RollStiffness => row!("a" "roll stiffness", "N m/rad", usual "kNm/rad", "450 kNm/rad" or "8 kNm/deg", 0.0 => 1e12, ROLL_STIFFNESS),
            Dimension::Duration => row!("a" "duration", "s", usual "s", "90 min" or "3 d", 0.0 => 1e10, DURATION),
            Dimension::Acceleration => row!("an" "acceleration", "m/s2", usual "m/s2", "0.8 g" or "3.5 m/s2", -1e5 => 1e5, ACCELERATION),
            Dimension::HeatTransfer => row!("a" "heat transfer coefficient", "W/(m2 K)", usual "W/m2K", "1.2 W/m2K" or "0.2 BTU/h ft2 F", 0.0 => 1e5, HEAT_TRANSFER),
            Dimension::HeatLoss => row!("a" "heat loss per degree", "W/K", usual "W/K", "0.9 W/K" or "1.7 BTU/h F", 0.0 => 1e6, HEAT_LOSS),
            Dimension::Resistance => row!("a" "resistance", "ohm", usual "mohm", "12 mohm" or "0.5 ohm", 0.0 => 1e9, RESISTANCE),
            Dimension::TemperatureCoefficient => row!("a" "change per degree", "1/K", usual "%/K", "-0.27 %/K" or "0.05 %/K", -1.0 => 1.0, TEMPERATURE_COEFFICIENT),
            Dimension::VoltageDrift => row!("a" "voltage change per degree", "V/K", usual "mV/K", "-100 mV/K" or "-0.12 V/K", -1e3 => 1e3, VOLTAGE_DRIFT),
        }
    }

    /// "mass".
    pub fn noun(self) -> &'static str {
        self.row().noun
    }

    /// "a mass", "an area".
    pub fn with_article(self) -> &'static str {
        self.row().article
    }

    /// The unit values are kept in: "kg".
    pub fn si_unit(self) -> &'static str {
        self.row().si_unit
    }

    /// The unit a bare number most likely meant, offered when one is met: "kg", "bar", "°C".
    pub fn usual_unit(self) -> &'static str {
        self.row().usual_unit
    }

    /// A text that reads as this dimension: "1200 kg".
    pub fn example(self) -> &'static str {
        self.row().example
    }

    /// Another one, in other units: "2600 lb".
    pub fn second_example(self) -> &'static str {
        self.row().second_example
    }

    /// Every unit it can be written in, the first being the base of the list.
    pub fn units(self) -> &'static [Unit] {
        self.row().units
    }

    /// Lowest and highest value that can be meant, in SI. `parse` does not hold to it, the model's checks do;
    /// intervals are clipped to it.
    pub fn physical_range(self) -> (f64, f64) {
        self.row().range
    }
}

/// A dimension as a type, for `Quantity` and `Stated`.
pub trait Dim {
    /// The same as a value.
    const DIMENSION: Dimension;
}

/// One type a dimension.
pub mod dim {
    use super::{Dim, Dimension};

    macro_rules! markers {
        ($($name:ident),*) => {$(
            #[doc = concat!("Marks `Dimension::", stringify!($name), "`.")]
            #[derive(Clone, Copy, Debug, PartialEq, Eq)]
            pub struct $name;

            impl Dim for $name {
                const DIMENSION: Dimension = Dimension::$name;
            }
        )*};
    }

    markers!(
        Mass,
        Length,
        Area,
        Volume,
        Pressure,
        Stress,
        Force,
        Torque,
        Voltage,
        Current,
        Power,
        Energy,
        Charge,
        Angle,
        Slope,
        Temperature,
        Ratio,
        Speed,
        Density,
        SpringRate,
        RollStiffness,
        Duration,
        Acceleration,
        HeatTransfer,
        HeatLoss,
        Resistance,
        TemperatureCoefficient,
        VoltageDrift
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_holds_every_dimension_once_in_order() {
        assert!(Dimension::ALL.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(Dimension::ALL.last(), Some(&Dimension::VoltageDrift));
        assert_eq!(Dimension::ALL.len(), Dimension::VoltageDrift as usize + 1);
    }

    #[test]
    fn examples_read_as_their_own_dimension_and_in_range() {
        for d in Dimension::ALL {
            for text in [d.example(), d.second_example()] {
                let si = crate::parse(text, d).unwrap();
                let (low, high) = d.physical_range();
                assert!(low < si && si < high, "{text}");
            }
        }
    }

    #[test]
    fn the_usual_unit_is_one_of_the_units() {
        for d in Dimension::ALL {
            assert!(d.units().iter().any(|unit| unit.name == d.usual_unit()), "{d:?}");
        }
    }

    #[test]
    fn the_file_names_dimensions_in_kebab_case() {
        assert_eq!(serde_json::to_string(&Dimension::SpringRate).unwrap(), "\"spring-rate\"");
    }
}
