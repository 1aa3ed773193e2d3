//! The unit table: every unit the parser reads, with its factor and where that comes from.
//!
//! Only units met in a yard. A unit with the note "exact" is so by definition (SI Brochure; the foot, pound and US
//! gallon by their international definitions; all from memory, held against another library in the tests).

use std::f64::consts::PI;

/// How a written number becomes an SI value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// `si = written * factor`.
    Factor(f64),
    /// `si = (written + zero) * factor`: a temperature scale. `zero` is in the written unit.
    Offset {
        /// Kelvin in one degree of the scale.
        factor: f64,
        /// Degrees from absolute zero up to the scale's zero.
        zero: f64,
    },
    /// A rise in hundredths of the run; SI is the angle, `atan(written / 100)`.
    Rise,
    /// American wire gauge; SI is the metal area.
    Gauge,
}

/// One unit of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// How we write it: "kg".
    pub name: &'static str,
    /// Other spellings that are read.
    pub spellings: &'static [&'static str],
    /// How a number in it becomes SI.
    pub scale: Scale,
    /// Where the factor comes from.
    pub note: &'static str,
}

impl Unit {
    /// Name and other spellings.
    pub fn all_spellings(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.name).chain(self.spellings.iter().copied())
    }

    /// SI value of `written` in this unit. For a gauge that is the gauge number, 0 for 1/0, -1 for 2/0.
    pub fn to_si(&self, written: f64) -> f64 {
        match self.scale {
            Scale::Factor(factor) => written * factor,
            Scale::Offset { factor, zero } => (written + zero) * factor,
            Scale::Rise => crate::real::atan(written / PERCENT_IN_ONE),
            Scale::Gauge => gauge_area(written),
        }
    }

    /// The number to write in this unit for an SI value; the inverse of `to_si`.
    pub fn from_si(&self, si: f64) -> f64 {
        match self.scale {
            Scale::Factor(factor) => si / factor,
            Scale::Offset { factor, zero } => si / factor - zero,
            Scale::Rise => crate::real::tan(si) * PERCENT_IN_ONE,
            Scale::Gauge => gauge_number(si),
        }
    }
}

const PERCENT_IN_ONE: f64 = 100.0; // exact, the word

const INCH: f64 = 0.0254; // exact, international inch
const FOOT: f64 = 12.0 * INCH; // exact
const POUND: f64 = 0.453_592_37; // exact, international pound
const GRAVITY: f64 = 9.806_65; // exact, standard acceleration of gravity, 3rd CGPM
const POUND_FORCE: f64 = POUND * GRAVITY; // exact
const LITRE: f64 = 1e-3; // exact
const GALLON: f64 = 231.0 * INCH * INCH * INCH; // exact, US liquid gallon, 231 cubic inches
const HOUR: f64 = 3600.0; // exact
const DEGREE: f64 = PI / 180.0; // exact
const FAHRENHEIT: f64 = 5.0 / 9.0; // exact, kelvin in one degree Fahrenheit
const BTU: f64 = 1_055.055_852_62; // exact, International Table value

// American wire gauge (ASTM B258; from memory): 39 equal ratios from No. 36, 0.005 in, to No. 4/0, 0.46 in.
const GAUGE_THIN: f64 = 36.0;
const GAUGE_THIN_DIAMETER: f64 = 0.005 * INCH;
const GAUGE_STEPS: f64 = 39.0;
const GAUGE_SPAN: f64 = 92.0;

/// Largest and smallest gauge number that is read: 4/0 and 40 (the gauge's own ends met on wire; from memory).
pub(crate) const GAUGE_RANGE: (f64, f64) = (-3.0, 40.0);

fn gauge_area(number: f64) -> f64 {
    let diameter = GAUGE_THIN_DIAMETER * crate::real::pow(GAUGE_SPAN, (GAUGE_THIN - number) / GAUGE_STEPS);
    PI * (diameter / 2.0) * (diameter / 2.0)
}

fn gauge_number(area: f64) -> f64 {
    let diameter = 2.0 * (area / PI).sqrt();
    let ratio = crate::real::ln(diameter / GAUGE_THIN_DIAMETER) / crate::real::ln(GAUGE_SPAN);
    GAUGE_THIN - GAUGE_STEPS * ratio
}

const EXACT: &str = "exact";

const fn unit(name: &'static str, spellings: &'static [&'static str], factor: f64, note: &'static str) -> Unit {
    Unit { name, spellings, scale: Scale::Factor(factor), note }
}

pub(crate) static MASS: &[Unit] = &[
    unit("kg", &[], 1.0, EXACT),
    unit("g", &[], 1e-3, EXACT),
    unit("t", &["tonne", "tonnes"], 1e3, EXACT),
    unit("lb", &["lbs"], POUND, "exact, international pound"),
    unit("oz", &[], POUND / 16.0, "exact, 1/16 lb"),
    unit("short ton", &["short tons", "US ton", "US tons"], 2000.0 * POUND, "exact, 2000 lb"),
    unit("long ton", &["long tons"], 2240.0 * POUND, "exact, 2240 lb"),
];

pub(crate) static LENGTH: &[Unit] = &[
    unit("m", &[], 1.0, EXACT),
    unit("mm", &[], 1e-3, EXACT),
    unit("cm", &[], 1e-2, EXACT),
    unit("km", &[], 1e3, EXACT),
    unit("in", &["inch", "inches", "\"", "″", "''", "′′"], INCH, "exact, international inch"),
    unit("ft", &["foot", "feet", "'", "′"], FOOT, "exact, 12 in"),
    unit("yd", &["yard", "yards"], 3.0 * FOOT, "exact, 3 ft"),
    unit("mi", &["mile", "miles"], 5280.0 * FOOT, "exact, 5280 ft"),
];

pub(crate) static AREA: &[Unit] = &[
    unit("m2", &["m²", "sq m"], 1.0, EXACT),
    unit("cm2", &["cm²", "sq cm"], 1e-4, EXACT),
    unit("mm2", &["mm²", "sq mm"], 1e-6, EXACT),
    unit("sq ft", &["ft2", "ft²"], FOOT * FOOT, "exact, square of the foot"),
    unit("sq in", &["in2", "in²"], INCH * INCH, "exact, square of the inch"),
    Unit {
        name: "AWG",
        spellings: &["awg"],
        scale: Scale::Gauge,
        note: "ASTM B258, from memory: 39 equal ratios, 0.005 in to 0.46 in",
    },
];

pub(crate) static VOLUME: &[Unit] = &[
    unit("m3", &["m³", "cu m"], 1.0, EXACT),
    unit("L", &["l", "litre", "litres", "liter", "liters"], LITRE, EXACT),
    unit("ml", &["mL"], 1e-3 * LITRE, EXACT),
    unit("gal", &["US gal", "gallon", "gallons"], GALLON, "exact, US liquid gallon, 231 cubic inches"),
    unit("imp gal", &["imperial gal"], 4.546_09 * LITRE, "exact, 4.54609 L"),
    unit("cu ft", &["ft3", "ft³"], FOOT * FOOT * FOOT, "exact, cube of the foot"),
];

pub(crate) static PRESSURE: &[Unit] = &[
    unit("Pa", &[], 1.0, EXACT),
    unit("kPa", &[], 1e3, EXACT),
    unit("MPa", &["N/mm2", "N/mm²"], 1e6, EXACT),
    unit("GPa", &[], 1e9, EXACT),
    unit("bar", &[], 1e5, EXACT),
    unit("mbar", &["hPa"], 1e2, EXACT),
    unit("psi", &["PSI", "lbf/in2"], POUND_FORCE / (INCH * INCH), "exact, pound-force on a square inch"),
    unit("ksi", &["KSI"], 1e3 * POUND_FORCE / (INCH * INCH), "exact, 1000 psi"),
    unit(
        "inH2O",
        &["inH₂O", "in H2O", "inWC", "in WC"],
        1e3 * GRAVITY * INCH,
        "conventional: 1 in of water of 1000 kg/m3 at standard gravity",
    ),
];

pub(crate) static FORCE: &[Unit] = &[
    unit("N", &[], 1.0, EXACT),
    unit("kN", &[], 1e3, EXACT),
    unit("daN", &["dAN"], 10.0, EXACT),
    unit("lbf", &[], POUND_FORCE, "exact, one pound at standard gravity"),
];

pub(crate) static TORQUE: &[Unit] = &[
    unit("Nm", &["N m", "N·m"], 1.0, EXACT),
    unit("kNm", &["kN m", "kN·m"], 1e3, EXACT),
    unit(
        "lbf ft",
        &["lb ft", "ft lb", "ft lbf", "lb-ft", "ft-lb", "lbf·ft"],
        POUND_FORCE * FOOT,
        "exact, pound-force times foot",
    ),
    unit("lbf in", &["lb in", "in lb", "lb-in", "in-lb"], POUND_FORCE * INCH, "exact, pound-force times inch"),
];

pub(crate) static VOLTAGE: &[Unit] = &[unit("V", &[], 1.0, EXACT), unit("mV", &[], 1e-3, EXACT), unit("kV", &[], 1e3, EXACT)];

pub(crate) static CURRENT: &[Unit] = &[unit("A", &[], 1.0, EXACT), unit("mA", &[], 1e-3, EXACT)];

pub(crate) static POWER: &[Unit] = &[
    unit("W", &[], 1.0, EXACT),
    unit("kW", &[], 1e3, EXACT),
    unit("mW", &[], 1e-3, EXACT),
    unit("VA", &[], 1.0, "exact, one volt times one ampere: apparent power, of which watts are a part"),
    unit("kVA", &[], 1e3, "exact, 1000 VA"),
    unit("BTU/h", &["Btu/h", "BTU/hr"], BTU / HOUR, "exact, International Table Btu in an hour"),
];

pub(crate) static ENERGY: &[Unit] = &[
    unit("J", &[], 1.0, EXACT),
    unit("kJ", &[], 1e3, EXACT),
    unit("MJ", &[], 1e6, EXACT),
    unit("Wh", &[], HOUR, "exact, one watt for 3600 s"),
    unit("kWh", &[], 1e3 * HOUR, "exact, 1000 Wh"),
];

pub(crate) static CHARGE: &[Unit] =
    &[unit("Ah", &[], HOUR, "exact, one ampere for 3600 s"), unit("mAh", &[], 1e-3 * HOUR, "exact, 1/1000 Ah")];

pub(crate) static ANGLE: &[Unit] =
    &[unit("rad", &[], 1.0, EXACT), unit("deg", &["°", "degree", "degrees"], DEGREE, "exact, pi/180")];

pub(crate) static SLOPE: &[Unit] = &[
    Unit { name: "%", spellings: &["percent"], scale: Scale::Rise, note: "rise in hundredths of the run" },
    unit("deg", &["°", "degree", "degrees"], DEGREE, "exact, pi/180"),
    unit("rad", &[], 1.0, EXACT),
];

pub(crate) static TEMPERATURE: &[Unit] = &[
    unit("K", &[], 1.0, EXACT),
    Unit {
        name: "°C", spellings: &["℃", "C", "degC", "deg C"], scale: Scale::Offset { factor: 1.0, zero: 273.15 }, note: EXACT
    },
    Unit {
        name: "°F",
        spellings: &["℉", "F", "degF", "deg F"],
        scale: Scale::Offset { factor: FAHRENHEIT, zero: 459.67 },
        note: EXACT,
    },
];

pub(crate) static RATIO: &[Unit] = &[unit("%", &["percent"], 1e-2, EXACT)];

pub(crate) static SPEED: &[Unit] = &[
    unit("m/s", &[], 1.0, EXACT),
    unit("km/h", &["kph", "kmh"], 1e3 / HOUR, "exact, 1/3.6 m/s"),
    unit("mph", &["mi/h"], 5280.0 * FOOT / HOUR, "exact, 5280 ft in an hour"),
];

pub(crate) static DENSITY: &[Unit] = &[
    unit("kg/m3", &["kg/m³"], 1.0, EXACT),
    unit("kg/L", &["kg/l", "g/cm3", "g/cm³", "g/ml", "g/mL"], 1.0 / LITRE, EXACT),
    unit("lb/cu ft", &["lb/ft3", "lb/ft³"], POUND / (FOOT * FOOT * FOOT), "exact, pound in a cubic foot"),
    unit("lb/gal", &[], POUND / GALLON, "exact, pound in a US gallon"),
];

pub(crate) static SPRING_RATE: &[Unit] = &[
    unit("N/m", &[], 1.0, EXACT),
    unit("N/mm", &["kN/m"], 1e3, EXACT),
    unit("kN/mm", &["MN/m"], 1e6, EXACT),
    unit("lbf/in", &["lb/in"], POUND_FORCE / INCH, "exact, pound-force an inch"),
];

pub(crate) static ROLL_STIFFNESS: &[Unit] = &[
    unit("Nm/rad", &["N m/rad"], 1.0, EXACT),
    unit("kNm/rad", &["kN m/rad"], 1e3, EXACT),
    unit("Nm/deg", &["N m/deg", "Nm/°"], 1.0 / DEGREE, "exact, 180/pi Nm/rad"),
    unit("kNm/deg", &["kN m/deg", "kNm/°"], 1e3 / DEGREE, "exact, 180/pi kNm/rad"),
    unit("lbf ft/deg", &["lb ft/deg", "ft lb/deg"], POUND_FORCE * FOOT / DEGREE, "exact, pound-force times foot, a degree"),
];

pub(crate) static DURATION: &[Unit] = &[
    unit("s", &["sec"], 1.0, EXACT),
    unit("min", &["minute", "minutes"], 60.0, EXACT),
    unit("h", &["hr", "hour", "hours"], HOUR, EXACT),
    unit("d", &["day", "days"], 24.0 * HOUR, EXACT),
];

pub(crate) static ACCELERATION: &[Unit] =
    &[unit("m/s2", &["m/s²"], 1.0, EXACT), unit("g", &[], GRAVITY, "exact, standard gravity")];

pub(crate) static HEAT_TRANSFER: &[Unit] = &[
    unit("W/m2K", &["W/m²K", "W/(m2K)", "W/(m²K)", "W/(m2 K)", "W/(m² K)", "W/m2 K", "W/m² K"], 1.0, EXACT),
    unit(
        "BTU/h ft2 F",
        &["BTU/(h ft2 F)", "BTU/(h·ft²·°F)", "BTU/h ft² °F"],
        BTU / HOUR / (FOOT * FOOT) / FAHRENHEIT,
        "exact, International Table Btu in an hour through a square foot, a degree Fahrenheit",
    ),
];

pub(crate) static HEAT_LOSS: &[Unit] = &[
    unit("W/K", &["W/°C", "W/C"], 1.0, EXACT),
    unit(
        "BTU/h F",
        &["BTU/(h F)", "BTU/(h·°F)", "BTU/h °F"],
        BTU / HOUR / FAHRENHEIT,
        "exact, Btu in an hour a degree Fahrenheit",
    ),
];

pub(crate) static RESISTANCE: &[Unit] = &[
    unit("ohm", &["Ω", "\u{2126}", "ohms"], 1.0, EXACT),
    unit("mohm", &["mΩ", "m\u{2126}", "milliohm", "milliohms"], 1e-3, EXACT),
    unit("kohm", &["kΩ", "k\u{2126}"], 1e3, EXACT),
];

pub(crate) static TEMPERATURE_COEFFICIENT: &[Unit] =
    &[unit("/K", &["per K"], 1.0, EXACT), unit("%/K", &["%/°C", "%/C", "%/℃", "% per K", "% per °C"], 1e-2, EXACT)];

pub(crate) static VOLTAGE_DRIFT: &[Unit] =
    &[unit("V/K", &["V/°C", "V/C", "V/℃"], 1.0, EXACT), unit("mV/K", &["mV/°C", "mV/C", "mV/℃"], 1e-3, EXACT)];

/// Unit words that mean several things, and what to write for each.
pub(crate) static AMBIGUOUS: &[(&str, &str)] = &[
    ("ton", "short ton (2000 lb), long ton (2240 lb) or t (1000 kg)"),
    ("tons", "short ton (2000 lb), long ton (2240 lb) or t (1000 kg)"),
    ("hp", "kW: one horsepower is 0.7457 kW in the US and 0.7355 kW elsewhere"),
    ("HP", "kW: one horsepower is 0.7457 kW in the US and 0.7355 kW elsewhere"),
];
