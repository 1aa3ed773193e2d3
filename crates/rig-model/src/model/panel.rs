//! Solar panels and what they charge through.

use quantity::{Stated, dim};

use super::table::table;
use super::words::{YesNo, words};
use super::{Drift, Facing, Many};

words! {
    /// Nominal voltage of a battery or of what runs from one.
    pub enum Nominal {
        /// 12 V.
        V12 = "12 V",
        /// 24 V.
        V24 = "24 V",
        /// 48 V.
        V48 = "48 V",
    }
}

impl Nominal {
    /// In volts.
    #[must_use]
    pub const fn volts(self) -> f64 {
        match self {
            Nominal::V12 => 12.0,
            Nominal::V24 => 24.0,
            Nominal::V48 => 48.0,
        }
    }
}

words! {
    /// How a panel is built.
    pub enum PanelKind {
        /// Glass in a frame.
        Glass = "glass",
        /// Thin and flexible.
        Flexible = "flexible",
    }
}

words! {
    /// What is behind a panel.
    pub enum Mounted {
        /// Glued down: no air behind it.
        Bonded = "bonded",
        /// An air gap to the roof.
        Gap = "gap",
        /// Open all round: tilted up, or on the ground.
        Open = "open",
    }
}

words! {
    /// The face of a panel's glass.
    pub enum Glazing {
        /// Plain.
        Plain = "plain",
        /// With an anti-reflective face.
        AntiReflective = "anti-reflective",
    }
}

table! {
    thing "a [[panel]] table"
    /// Solar panels, all alike and mounted alike. What the label says is said of one: photograph its back before it is glued down.
    pub struct Panel {
        /// Power by the label (at 1000 W/m2 and 25 °C), such as "200 W".
        pub rated: Option<Stated<dim::Power>>,
        /// Open-circuit voltage by the label (Voc), such as "24.3 V".
        pub voc: Option<Stated<dim::Voltage>>,
        /// Voltage at highest power by the label (Vmp), such as "20.4 V".
        pub vmp: Option<Stated<dim::Voltage>>,
        /// Short-circuit current by the label (Isc), such as "10.3 A".
        pub isc: Option<Stated<dim::Current>>,
        /// Current at highest power by the label (Imp), such as "9.8 A".
        pub imp: Option<Stated<dim::Current>>,
        /// Change of the open-circuit voltage with temperature, such as "-0.27 %/K" or "-66 mV/K". On the data sheet; below zero.
        pub voc_change: Option<Drift>,
        /// Change of the power with temperature, such as "-0.35 %/K". On the data sheet; below zero.
        pub power_change: Option<Stated<dim::TemperatureCoefficient>>,
        /// Change of the short-circuit current with temperature, such as "0.05 %/K".
        pub isc_change: Option<Stated<dim::TemperatureCoefficient>>,
        /// Cells in series, such as 36. Count them; of half-cut cells half their number.
        #[schemars(range(min = 1))]
        pub cells: Option<u32>,
        /// Groups of cells that are bypassed together when shaded. Left out: 3.
        #[schemars(range(min = 1))]
        pub groups: Option<u32>,
        /// true if it is of half-cut cells: two halves that work alone when the other is shaded.
        pub half_cut: Option<YesNo>,
        /// Highest series fuse by the label, such as "15 A".
        pub max_fuse: Option<Stated<dim::Current>>,
        /// Fuse in each string of this entry, such as "15 A". Left out: none.
        pub string_fuse: Option<Stated<dim::Current>>,
        /// "glass" or "flexible".
        pub kind: Option<PanelKind>,
        /// "bonded" (glued down), "gap" (an air gap to the roof) or "open" (tilted up, air all round).
        pub mounted: Option<Mounted>,
        /// Air gap between the roof and its lower face, such as "30 mm".
        pub gap: Option<Stated<dim::Length>>,
        /// Tilt from level when parked, such as "0 deg" for flat.
        pub tilt: Option<Stated<dim::Angle>>,
        /// The way its upper face looks when tilted: "forward", "rearward", "left", "right", or an angle clockwise from the nose.
        pub faces: Option<Facing>,
        /// Level of IEC TS 63126 by the label: 1 or 2. Left out, or 0: none named.
        #[schemars(range(max = 2))]
        pub heat_level: Option<u8>,
        /// Panels in series in one string. Left out: 1. The strings of one entry are in parallel; a string may go on in another
        /// entry of the same controller with the same number.
        #[schemars(range(min = 1))]
        pub in_series: Option<u32>,
        /// Name of the controller, or of the portable unit, that it feeds.
        pub controller: Option<String>,
        /// "plain" or "anti-reflective".
        pub glass: Option<Glazing>,
        /// Years since it was made, such as 4. A plain number.
        #[schemars(range(min = 0.0))]
        pub age: Option<f64>,
        /// Nominal voltage of the battery it is sold for, where the label says so: "12 V", "24 V" or "48 V".
        pub for_battery: Option<Nominal>,
    }
}

words! {
    /// How a solar controller works.
    pub enum ControllerKind {
        /// Switches the panel onto the battery (PWM).
        Pwm = "pwm",
        /// Finds the panel's best voltage (MPPT).
        Tracking = "tracking",
    }
}

table! {
    thing "a [[controller]] table"
    /// A solar charge controller.
    pub struct Controller {
        /// "pwm" or "tracking".
        pub kind: Option<ControllerKind>,
        /// Highest panel voltage by its plate, such as "100 V". It bears no more, not even for a moment.
        pub max_voltage: Option<Stated<dim::Voltage>>,
        /// Highest charging current by its plate, such as "30 A".
        pub max_current: Option<Stated<dim::Current>>,
        /// Highest short-circuit current of the panels by its plate, such as "35 A".
        pub max_input_current: Option<Stated<dim::Current>>,
        /// Names of the batteries it charges, the one that is filled first in front.
        #[serde(default)]
        pub charges: Many<String>,
        /// Absorption voltage it is set to, such as "14.4 V".
        pub absorption: Option<Stated<dim::Voltage>>,
        /// Float voltage it is set to, such as "13.6 V".
        pub float: Option<Stated<dim::Voltage>>,
        /// Volts the panels must be above the battery for it to run, such as "1 V".
        pub headroom: Option<Stated<dim::Voltage>>,
        /// Volts the panels must be above the battery for it to start in the morning, such as "5 V".
        pub start_voltage: Option<Stated<dim::Voltage>>,
        /// Share of the panels' power that reaches the battery, such as "97 %".
        pub efficiency: Option<Stated<dim::Ratio>>,
        /// What it takes for itself, such as "0.3 W".
        pub own_draw: Option<Stated<dim::Power>>,
        /// true if a relay ties the two batteries it charges; false if each has an output of its own.
        pub common_relay: Option<YesNo>,
    }
}
