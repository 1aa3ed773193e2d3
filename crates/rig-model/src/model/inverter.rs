//! What makes one voltage of another: inverters, converters, portable units.

use quantity::{Stated, dim};

use super::table::table;
use super::words::{YesNo, words};

words! {
    /// Form of an inverter's output.
    pub enum Waveform {
        /// A sine, as mains has.
        Sine = "sine",
        /// Steps ("modified sine").
        Modified = "modified",
    }
}

table! {
    thing "an [[inverter]] table"
    /// An inverter: mains voltage from a battery.
    pub struct Inverter {
        /// Power it gives for long by its plate, such as "2000 W".
        pub continuous: Option<Stated<dim::Power>>,
        /// Power it gives for a moment by its plate, such as "4000 W" or "4000 VA".
        pub surge: Option<Stated<dim::Power>>,
        /// For how long it gives that, such as "2 s". In its manual.
        pub surge_seconds: Option<Stated<dim::Duration>>,
        /// What it takes when nothing is plugged in, such as "15 W".
        pub idle: Option<Stated<dim::Power>>,
        /// What it takes in its search mode, such as "4 W".
        pub searching: Option<Stated<dim::Power>>,
        /// true if the search mode is switched on.
        pub search_mode: Option<YesNo>,
        /// Share of what it takes that it gives, such as "90 %".
        pub efficiency: Option<Stated<dim::Ratio>>,
        /// "sine" or "modified".
        pub waveform: Option<Waveform>,
        /// Name of the battery it stands on.
        pub battery: Option<String>,
        /// Battery voltage at which it switches off, such as "10.5 V".
        pub cut_off: Option<Stated<dim::Voltage>>,
        /// Battery voltage at which it beeps, such as "11 V".
        pub alarm: Option<Stated<dim::Voltage>>,
        /// Warmest air it may stand in, such as "50 °C".
        pub max_air: Option<Stated<dim::Temperature>>,
        /// Air temperature above which it gives less, such as "40 °C".
        pub derates_above: Option<Stated<dim::Temperature>>,
        /// Voltage it gives, such as "230 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// true if it joins neutral and earth inside while it runs, "?" if nobody has looked.
        pub bond: Option<YesNo>,
    }
}

words! {
    /// How a converter between battery voltages works.
    pub enum ConverterKind {
        /// Makes the lower voltage of the whole bank.
        StepDown = "step-down",
        /// Keeps two batteries in series alike.
        Equaliser = "equaliser",
    }
}

table! {
    thing "a [[converter]] table"
    /// A converter from 24 V to 12 V, or an equaliser of two batteries in series.
    pub struct Converter {
        /// "step-down" or "equaliser".
        pub kind: Option<ConverterKind>,
        /// Current it gives for long by its plate, such as "20 A".
        pub current: Option<Stated<dim::Current>>,
        /// Current it gives for a moment by its plate, such as "30 A".
        pub peak: Option<Stated<dim::Current>>,
        /// Voltage it gives, such as "12.5 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Current it takes when nothing runs, such as "30 mA".
        pub idle: Option<Stated<dim::Current>>,
        /// Share of what it takes that it gives, such as "88 %".
        pub efficiency: Option<Stated<dim::Ratio>>,
        /// Name of the battery it stands on.
        pub battery: Option<String>,
    }
}

table! {
    thing "a [[portable]] table"
    /// A portable unit: battery, charger and inverter in one case.
    pub struct Portable {
        /// Energy by its label, such as "1500 Wh".
        pub energy: Option<Stated<dim::Energy>>,
        /// Voltage it gives, such as "230 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Power it gives for long by its label, such as "1800 W".
        pub continuous: Option<Stated<dim::Power>>,
        /// Power it gives for a moment by its label, such as "2700 W".
        pub surge: Option<Stated<dim::Power>>,
        /// For how long it gives that, such as "2 s".
        pub surge_seconds: Option<Stated<dim::Duration>>,
        /// What its mains side takes when nothing is plugged in, such as "12 W".
        pub idle: Option<Stated<dim::Power>>,
        /// Lowest voltage at its solar socket by its label, such as "11 V".
        pub solar_min: Option<Stated<dim::Voltage>>,
        /// Highest voltage at its solar socket by its label, such as "60 V". It bears no more.
        pub solar_max: Option<Stated<dim::Voltage>>,
        /// Highest current at its solar socket by its label, such as "12 A".
        pub solar_current: Option<Stated<dim::Current>>,
        /// Highest power it takes from the sun by its label, such as "400 W".
        pub solar_power: Option<Stated<dim::Power>>,
        /// Power it takes from mains when it charges, such as "600 W".
        pub charge_power: Option<Stated<dim::Power>>,
        /// true if it refuses to be charged when its cells are frozen.
        pub cold_protected: Option<YesNo>,
        /// Warmest air it may stand in, such as "40 °C".
        pub max_air: Option<Stated<dim::Temperature>>,
        /// Name of the inlet that it feeds.
        pub feeds: Option<String>,
        /// true if it joins neutral and earth inside; most float. "?" if nobody has looked.
        pub bond: Option<YesNo>,
    }
}
