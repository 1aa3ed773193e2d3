//! What charges batteries other than the sun: chargers, the alternator, inlets, generators.

use quantity::{Stated, dim};

use super::table::table;
use super::words::{YesNo, words};

words! {
    /// How a charger works.
    pub enum ChargerKind {
        /// From mains voltage.
        Mains = "mains",
        /// From another battery or the alternator, through a converter that limits its current.
        DcDc = "dc-dc",
        /// A relay or a cable: nothing limits the current.
        Direct = "direct",
    }
}

table! {
    thing "a [[charger]] table"
    /// What charges a battery from mains, the alternator or another battery.
    pub struct Charger {
        /// "mains", "dc-dc" or "direct" (a relay or a cable).
        pub kind: Option<ChargerKind>,
        /// Charging current by its plate, such as "30 A".
        pub current: Option<Stated<dim::Current>>,
        /// Charging voltage, such as "14.4 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Share of what it takes that reaches the battery, such as "90 %".
        pub efficiency: Option<Stated<dim::Ratio>>,
        /// Power factor on mains by its plate, such as 0.95. A plain number.
        #[schemars(range(min = 0.0, max = 1.0))]
        pub power_factor: Option<f64>,
        /// Name of the battery it charges.
        pub charges: Option<String>,
        /// What it takes its power from: "alternator", or the name of a battery or of an inlet.
        pub from: Option<String>,
        /// true if it runs only while the ignition is on.
        pub ignition_switched: Option<YesNo>,
    }
}

table! {
    "an [alternator] table"
    /// The truck's alternator.
    pub struct Alternator {
        /// Current by its plate, such as "100 A".
        pub rated: Option<Stated<dim::Current>>,
        /// Voltage it holds, such as "27.8 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Current it gives at hot idle, all of it, such as "35 A". Clamp meter on its cable, engine hot, lights on.
        pub idle: Option<Stated<dim::Current>>,
        /// Current that lights, engine and fan take of it, such as "25 A". Clamp meter.
        pub vehicle_loads: Option<Stated<dim::Current>>,
        /// Share of its rating that is left when the engine bay is hot, such as "80 %".
        pub hot_share: Option<Stated<dim::Ratio>>,
    }
}

words! {
    /// What stands behind an inlet.
    pub enum InletSource {
        /// A pedestal of a camp ground.
        Pedestal = "pedestal",
        /// A socket of a house.
        House = "house",
        /// A generator.
        Generator = "generator",
    }
}

table! {
    named "an [[inlet]] table"
    /// Where mains voltage comes in.
    pub struct Inlet {
        /// A name of its own among inlets, such as "shore".
        pub name: String,
        /// Rating of the breaker behind it in the rig, such as "16 A".
        pub breaker: Option<Stated<dim::Current>>,
        /// Voltage between its live pins, such as "230 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Rating of the lead, such as "16 A". Moulded on its plug.
        pub cord: Option<Stated<dim::Current>>,
        /// "pedestal", "house" or "generator": what it is plugged into.
        pub source: Option<InletSource>,
        /// Rating of the breaker at the source, such as "10 A". On the pedestal or in the house's box.
        pub source_current: Option<Stated<dim::Current>>,
        /// true if neutral and earth are joined in the supply, "?" if nobody has looked. An electrician's question.
        pub bond: Option<YesNo>,
    }
}

words! {
    /// What a generator burns.
    pub enum Fuel {
        /// Diesel.
        Diesel = "diesel",
        /// Petrol (gasoline).
        Petrol = "petrol",
        /// Gas from cylinders.
        Gas = "gas",
    }
}

table! {
    thing "a [[generator]] table"
    /// A generator of mains voltage, built in or portable.
    pub struct Generator {
        /// Power it gives for long by its plate, such as "2 kW". Not its peak.
        pub power: Option<Stated<dim::Power>>,
        /// true if neutral and earth are joined inside it; portable ones mostly float. "?" if nobody has looked.
        pub bond: Option<YesNo>,
        /// "diesel", "petrol" or "gas".
        pub fuel: Option<Fuel>,
    }
}
