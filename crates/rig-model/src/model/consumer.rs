//! What takes power, and what keeps warm or cool.

use quantity::{Quantity, Stated, dim};

use super::leaf::read_stated;
use super::leaf::short::{word, written};
use super::table::table;
use super::words::{YesNo, words};
use super::{Many, Month, OneLine, Short};
use crate::free::Free;

words! {
    /// The voltage that a load runs on.
    pub enum Bus {
        /// 12 V.
        V12 = "12 V",
        /// 24 V.
        V24 = "24 V",
        /// 48 V.
        V48 = "48 V",
        /// Mains voltage.
        Ac = "ac",
    }
}

words! {
    /// When a load is used.
    pub enum When {
        /// Standing.
        Camp = "camp",
        /// Driving.
        Travel = "travel",
        /// Both.
        Always = "always",
    }
}

words! {
    /// What a load is.
    pub enum LoadKind {
        /// A lamp.
        Lamp = "lamp",
        /// A fan.
        Fan = "fan",
        /// A water pump.
        Pump = "pump",
        /// A refrigerator with a compressor.
        Fridge = "fridge",
        /// A freezer with a compressor.
        Freezer = "freezer",
        /// An absorption refrigerator on its electric element.
        AbsorptionFridge = "absorption-fridge",
        /// A heater's fan, pump and glow plug.
        Heater = "heater",
        /// An air conditioner.
        Cooling = "cooling",
        /// Another motor or compressor.
        Motor = "motor",
        /// A computer, a telephone, a radio.
        Electronics = "electronics",
        /// What is never switched off: a detector, a router, a display.
        Standing = "standing",
        /// Anything else.
        Other = "other",
    }
}

table! {
    @thing "a [[load]] table"
    /// Something that takes power. What is said is said of one.
    Load {
        /// Power while it runs by its plate, such as "45 W".
        pub power: Option<Stated<dim::Power>>,
        /// Current while it runs by its plate, such as "3.8 A". It or `power`, not both.
        pub current: Option<Stated<dim::Current>>,
        /// "12 V", "24 V", "48 V" or "ac": what it runs on.
        pub on: Option<Bus>,
        /// Hours a day that it is switched on, such as "4 h".
        pub hours: Option<Stated<dim::Duration>>,
        /// Share of that time in which it really runs, such as "35 %".
        pub duty: Option<Stated<dim::Ratio>>,
        /// Energy of a whole day, measured: it wins over power and hours, such as "480 Wh". Plug meter or shunt over 24 h.
        pub daily: Option<Stated<dim::Energy>>,
        /// Months in which it is used: "jan" to "dec". Left out: all of them.
        #[serde(default)]
        pub months: Many<Month>,
        /// "camp", "travel" or "always", or a list. Left out: always.
        #[serde(default)]
        pub when: Many<When>,
        /// Clock hour from which it is used, such as "18 h". Local standard time.
        pub from: Option<Quantity<dim::Duration>>,
        /// Clock hour until which it is used, such as "23 h".
        pub to: Option<Quantity<dim::Duration>>,
        /// "lamp", "fan", "pump", "fridge", "freezer", "absorption-fridge", "heater", "cooling", "motor", "electronics", "standing" or "other".
        pub kind: Option<LoadKind>,
        /// Power at its start, such as "900 VA".
        pub start: Option<Stated<dim::Power>>,
        /// Current at its start with the motor still standing (LRA) by its plate, such as "68 A".
        pub locked_rotor: Option<Stated<dim::Current>>,
        /// Share of the start that a soft starter takes off, such as "65 %".
        pub soft_start: Option<Stated<dim::Ratio>>,
        /// How long its start takes, such as "0.5 s".
        pub start_seconds: Option<Stated<dim::Duration>>,
        /// Power factor, such as 0.8. A plain number.
        #[schemars(range(min = 0.0, max = 1.0))]
        pub power_factor: Option<f64>,
        /// true if it wants a true sine.
        pub needs_sine: Option<YesNo>,
        /// true if somebody's health hangs on it.
        pub medical: Option<bool>,
        /// true of what watches over people: a detector of gas, smoke or fumes, an alarm. No way out switches it off. Left
        /// out: its name tells.
        pub safety: Option<bool>,
        /// true if it is taken from one of two batteries in series.
        pub tap: Option<bool>,
        /// Name of the battery that feeds it.
        pub battery: Option<String>,
        /// Name of the inverter, the converter or the portable unit that feeds it.
        pub through: Option<String>,
        /// Heat that leaks into a refrigerator for each degree, such as "0.9 W/K". From its energy at two temperatures.
        pub ua: Option<Stated<dim::HeatLoss>>,
        /// Temperature wanted inside it, such as "4 °C"; of an air conditioner in the room.
        pub inside: Option<Stated<dim::Temperature>>,
        /// Heat an air conditioner takes out, such as "13500 BTU/h". Not the power it takes.
        pub cooling_capacity: Option<Stated<dim::Power>>,
        /// Heat taken out over power taken, such as 2.6. A plain number.
        #[schemars(range(min = 0.0))]
        pub cop: Option<f64>,
        /// Hours a day that it is wanted, such as "6 h".
        pub wanted: Option<Quantity<dim::Duration>>,
        /// How long it runs at a stretch, such as "3 h".
        pub lasts: Option<Stated<dim::Duration>>,
    }
}

words! {
    /// Colour of the roof and walls, for the heat of the sun.
    pub enum Colour {
        /// White.
        White = "white",
        /// Sand.
        Sand = "sand",
        /// Olive.
        Olive = "olive",
        /// Black.
        Black = "black",
    }
}

words! {
    /// Panes of a window.
    pub enum WindowKind {
        /// One.
        Single = "single",
        /// Two.
        Double = "double",
    }
}

table! {
    "an insulation table"
    /// Insulation of the walls.
    #[derive(Default)]
    pub struct Insulation {
        /// Thickness, such as "40 mm".
        pub thickness: Option<Stated<dim::Length>>,
        /// What it is of, such as "XPS", "PU", "EPS", "felt" or "cork".
        pub material: Option<String>,
    }
}

impl OneLine for Insulation {
    const EXPECTED: &'static str = "thickness and material, such as \"40 mm XPS\"";
    const EXAMPLES: &'static [&'static str] = &["40 mm XPS", "60 mm PU"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        if let Ok(thickness) = read_stated(line) {
            return Some(Self { thickness: Some(thickness), material: None });
        }
        let (thickness, material) = line.rsplit_once(char::is_whitespace)?;
        Some(Self { thickness: Some(read_stated(thickness).ok()?), material: Some(material.to_owned()) })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("thickness", written(self.thickness.as_ref())), ("material", word(&self.material))]
    }
}

table! {
    "a [body.heat] table"
    /// What heat passes through the body.
    pub struct Heat {
        /// Heat through its walls, roof and floor, for each square metre and degree, such as "1.2 W/m2K".
        pub u: Option<Stated<dim::HeatTransfer>>,
        /// Insulation of its walls, where u is not known: "40 mm XPS", or a table.
        pub insulation: Option<Short<Insulation>>,
        /// true if metal frames go through the insulation.
        pub metal_frames: Option<YesNo>,
        /// "white", "sand", "olive" or "black".
        pub colour: Option<Colour>,
        /// Area of all windows, such as "0.8 m2".
        pub windows: Option<Stated<dim::Area>>,
        /// "single" or "double".
        pub window_kind: Option<WindowKind>,
        /// Share of the sun that blinds keep off the windows, such as "70 %".
        pub window_shade: Option<Stated<dim::Ratio>>,
        /// Share of the roof that panels above an air gap shade, such as "30 %".
        pub roof_shade: Option<Stated<dim::Ratio>>,
        /// How often an hour the air inside is changed, such as 0.5. A plain number.
        #[schemars(range(min = 0.0))]
        pub air_changes: Option<f64>,
        /// Number of people inside.
        pub people: Option<u32>,
        /// Power of what runs inside and warms it, such as "80 W".
        pub appliances: Option<Stated<dim::Power>>,
    }
}
